//! Where things are: told by record and command, and drawn in the report.

use std::collections::BTreeSet;

use scraper::{Html, Selector};
use serde_json::{Value, json};

use super::harness::{Place, Run, copy};

#[track_caller]
fn done(run: Run) -> String {
    assert_eq!(run.code, Some(0), "{run}");
    run.stdout
}

fn record(place: &Place, document: &Value) -> Run {
    place.run(&["record", &place.file("said.json", &document.to_string())])
}

fn row(place: &Place, item: &str) -> Value {
    let answer = place.json("places", &["places"]);
    let rows = answer["rows"].as_array().expect("rows");
    rows.iter()
        .find(|row| row["item"] == item)
        .cloned()
        .expect("aboard")
}

#[test]
fn where_a_thing_is_is_told_the_newest_word_holds_and_is_taken_back() {
    let mut place = Place::with_boat();
    let seacock = row(&place, "engine-seacock");
    assert_eq!(seacock["not_told"], true, "in another place in every boat");
    let text = done(place.run(&["places"]));
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("place not told"), "{text}");
    let said = |x: i64| json!({"type":"arranged","item":"engine-seacock","point":[x,-40,4]});
    done(record(&place, &said(-60)));
    let seacock = row(&place, "engine-seacock");
    assert_eq!(seacock["at"], json!([-60, -40, 4]));
    assert_eq!(seacock["words"], "forward of the engine, to port, low");
    assert_eq!(seacock["not_told"], false);
    // Two copies add up, and what is taken back gives back the word before.
    place.at("2026-05-03T10:00:00+02:00");
    let other = place.path().join("other");
    copy(&place.logbook(), &other);
    let there = other.to_str().expect("UTF-8").to_owned();
    let file = place.file("there.json", &said(-70).to_string());
    done(place.run(&["record", &file, "--logbook", &there]));
    done(place.run(&["logbook", "merge", &there]));
    assert_eq!(row(&place, "engine-seacock")["at"][0], -70);
    let entries = place.json("entries", &["entries", "--kind", "arranged"]);
    let newest = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    done(place.run(&["entries", "take-back", &newest]));
    assert_eq!(row(&place, "engine-seacock")["at"][0], -60);
    done(place.run(&["logbook", "check"]));
}

#[test]
fn what_is_no_place_is_refused_in_words() {
    let place = Place::with_boat();
    for (document, told) in [
        (
            json!({"type":"arranged","point":[0,0,0]}),
            "say where one item, one engine or one thing is",
        ),
        (
            json!({"type":"arranged","item":"drive-belt","engine":{},"point":[0,0,0]}),
            "say where one item",
        ),
        (
            json!({"type":"arranged","item":"drive-belt","point":[900,0,0]}),
            "expected -400 to 400",
        ),
        (
            json!({"type":"arranged","item":"drive-belt","point":[9]}),
            "point",
        ),
        (
            json!({"type":"arranged","item":"drive-bolt","point":[0,0,0]}),
            "drive-bolt",
        ),
        (
            json!({"type":"arranged","engine":{},"machine":"mian","point":[0,0,0]}),
            "mian",
        ),
        (
            json!({"type":"arranged","thing":{"id":"Water Tank","kind":"tank"},"point":[0,0,0]}),
            "is no id",
        ),
        (
            json!({"type":"arranged","thing":{"id":"water","kind":"mast"},"point":[0,0,0]}),
            "kind",
        ),
        (
            json!({"type":"arranged","thing":{"id":"water","kind":"tank"},"machine":"main"}),
            "of the boat",
        ),
    ] {
        let run = record(&place, &document);
        assert_eq!(run.code, Some(2), "{document}: {run}");
        assert!(run.stderr.contains(told), "{document}: {run}");
        assert!(run.stderr.contains("said.json line 1"), "{run}");
    }
}

/// Every finding is on both drawings, its number leads to it and back, and the table says the same.
#[test]
fn every_finding_of_a_report_is_on_the_drawing_and_in_the_table() {
    let place = Place::with_boat();
    let looks = [
        "drive-belt",
        "fuel-hoses",
        "coolant-hoses",
        "engine-mounts",
        "bilge-pump",
        "exhaust-hose",
    ];
    let looks = looks.map(|item| json!({"item":item,"grade":"worn","note":"<b>5 & 6</b>"}));
    let walk =
        json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:00:00+02:00","looks":looks});
    done(record(&place, &walk));
    let file = place.path().join("report.html").display().to_string();
    done(place.run(&["report", "now", "--to", &file]));
    let html = Html::parse_document(&std::fs::read_to_string(&file).expect("written"));
    let all = |of: &str| {
        let selector = Selector::parse(of).expect("a selector");
        html.select(&selector)
            .map(|e| e.value().clone())
            .collect::<Vec<_>>()
    };
    let ids: Vec<String> = all("[id]")
        .iter()
        .filter_map(|e| e.attr("id").map(str::to_owned))
        .collect();
    let unique: BTreeSet<&String> = ids.iter().collect();
    assert_eq!(unique.len(), ids.len(), "no id stands twice");
    let findings = all("article").len();
    assert_eq!(findings, 6);
    for link in all("a").iter().filter_map(|e| e.attr("href")) {
        let to = link.strip_prefix('#').expect("within the page");
        assert!(ids.iter().any(|id| id == to), "{link} leads nowhere");
    }
    let numbers = all("svg.places tspan").len();
    assert_eq!(numbers, 2 * findings, "each on both drawings");
    let leads = all("th[id^=place-] a").len();
    assert_eq!(leads, findings, "the table beneath leads to each");
    let back = all("article a").len();
    assert_eq!(back, findings, "each leads to the drawing");
    let file = place.path().join("report.json").display().to_string();
    done(place.run(&["report", "now", "--to", &file]));
    let told = std::fs::read_to_string(&file).expect("written");
    let told: Value = serde_json::from_str(&told).expect("JSON");
    let rows = told["places"].clone();
    let ranked = rows
        .as_array()
        .expect("places")
        .iter()
        .filter(|row| !row["rank"].is_null());
    assert_eq!(ranked.count(), findings);
}
