//! What to do before leaving, as a section of a report: the same as the command says, in every form, by parsers
//! that are not this program's.

use pulldown_cmark::{Event, Options, Parser, Tag, TagEnd};
use scraper::{Html, Selector};
use serde_json::{Value, json};

use super::harness::{Place, flat};
use super::report::full_place;

/// A boat with findings of every sort and a plan.
fn planned() -> Place {
    let place = full_place();
    let set = [
        "plan",
        "set",
        "to the skerries",
        "--days",
        "4",
        "--hours-per-day",
        "10",
        "--waters",
        "offshore",
        "--work",
        "40h",
        "--hands",
        "owner,mechanic=20h",
    ];
    let run = place.run(&set);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place
}

fn written(place: &Place, name: &str) -> String {
    let run = place.run(&["report", "now", "--to", name, "--plan", "to the skerries"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    std::fs::read_to_string(place.path().join(name)).expect("the report")
}

fn answer(place: &Place) -> Value {
    place.json("leaving", &["leaving", "--plan", "to the skerries"])
}

fn titles(answer: &Value, groups: &[&str]) -> Vec<String> {
    let rows = groups
        .iter()
        .flat_map(|group| answer[group].as_array().expect("rows"));
    rows.map(|row| row["title"].as_str().expect("a title").to_owned())
        .collect()
}

#[test]
fn the_section_holds_what_the_command_answers_for_the_same_plan() {
    let place = planned();
    let answer = answer(&place);
    let report: Value = serde_json::from_str(&written(&place, "now.json")).expect("JSON");
    let section = &report["before_leaving"];
    for group in [
        "must",
        "worth_doing",
        "can_wait",
        "unknown_age",
        "minutes",
        "money",
        "currency",
        "takes_away",
        "not_here",
        "waters",
        "exposure",
    ] {
        assert_eq!(section[group], answer[group], "{group}");
    }
    assert!(!answer["must"].as_array().expect("rows").is_empty());
    assert!(!answer["worth_doing"].as_array().expect("rows").is_empty());
    assert_eq!(section["plan"]["name"], "to the skerries");
    assert_eq!(section["plan"]["work"], 2400);
    // Without a plan nothing of it is said.
    let run = place.run(&["report", "now", "--to", "plain.json"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let plain = std::fs::read_to_string(place.path().join("plain.json")).expect("the report");
    let plain: Value = serde_json::from_str(&plain).expect("JSON");
    assert_eq!(plain.get("before_leaving"), None);
}

/// Texts of a page under the heading of the section, cell by cell.
fn section(page: &str, heading: &str) -> (Vec<String>, Vec<String>, String) {
    let page = Html::parse_document(page);
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    let of = |css: &str| Selector::parse(css).expect("a selector");
    let text = |e: scraper::ElementRef<'_>| flat(&e.text().collect::<String>());
    let is_it = |e: &scraper::ElementRef<'_>| {
        e.select(&of("h2"))
            .next()
            .is_some_and(|h| text(h) == heading)
    };
    let section = page
        .select(&of("section"))
        .find(is_it)
        .expect("the section");
    let under = section.select(&of("h3")).map(text).collect();
    let (row, cell) = (of("tbody tr"), of("td, th"));
    let first = section.select(&row).map(|row| {
        let cell = row.select(&cell).next().expect("a cell");
        text(cell)
    });
    (under, first.collect(), text(section))
}

#[test]
fn a_page_has_each_group_with_its_rows_and_the_words_of_the_command() {
    let place = planned();
    let answer = answer(&place);
    let (under, rows, all) = section(&written(&place, "now.html"), "Before leaving");
    assert_eq!(
        under.first().map(String::as_str),
        Some("Must be done before she leaves")
    );
    for heading in [
        "Worth doing",
        "Can wait, and what that leaves",
        "Not in this",
    ] {
        assert!(under.iter().any(|u| u == heading), "{heading}: {under:?}");
    }
    for title in titles(&answer, &["must", "worth_doing", "can_wait"]) {
        assert!(
            rows.iter().any(|row| row.starts_with(&title)),
            "{title}: {rows:?}"
        );
    }
    let said = place.run(&["leaving", "--plan", "to the skerries"]);
    let said = flat(&said.stdout);
    for words in [
        answer["takes_away"]["words"].as_str().expect("words"),
        "Where all work takes half as long again",
        "Key out, engine still and cold",
        "steering, rig, electronics, weather and crew are not on this list",
    ] {
        assert!(all.contains(words), "{words}: {all}");
        assert!(said.contains(words), "{words}: {said}");
    }
    assert!(all.contains("by owner, mechanic 20 h"), "{all}");
    for page in [&all, &said] {
        assert!(!page.contains("chance of getting through"), "{page}");
    }
}

#[test]
fn a_german_page_says_it_in_german_and_marks_what_it_knows_in_english_alone() {
    let place = planned();
    let text = written(&place, "now.de.html");
    let (under, _, all) = section(&text, "Vor dem Auslaufen");
    assert_eq!(
        under.first().map(String::as_str),
        Some("Muss getan sein, bevor sie ausläuft")
    );
    for words in [
        "Geplant ist to the skerries: 40 h und 4 Tage, 10 h am Tag; Gewässer: ",
        "Schlüssel gezogen, Motor steht und ist kalt",
        "Von den Schwierigkeiten, die diese Liste sehen kann, nehmen diese",
        "Dauert alle Arbeit anderthalbmal so lange",
        "Ruderanlage, Rigg, Elektronik, Wetter und Mannschaft",
        "Zu tun:",
        "Etwa ",
    ] {
        assert!(all.contains(words), "{words}: {all}");
    }
    assert!(!all.contains(",."), "{all}");
    // What is English stands in a span that says so.
    for english in [
        "Do:",
        "Worth doing",
        "About ",
        "takes about",
        "it is for the",
        "Parts:",
    ] {
        assert!(!all.contains(english), "{english}: {all}");
    }
}

#[test]
fn markdown_has_it_as_headings_and_tables() {
    let place = planned();
    let answer = answer(&place);
    let text = written(&place, "now.md");
    let (mut heads, mut cells, mut within) = (Vec::new(), Vec::new(), None);
    let mut said = String::new();
    for event in Parser::new_ext(&text, Options::all()) {
        match event {
            Event::Start(Tag::Heading { .. } | Tag::TableCell) => {
                within = Some(());
                said.clear();
            }
            Event::Text(text) if within.is_some() => said.push_str(&text),
            Event::End(TagEnd::Heading(_)) => heads.push(std::mem::take(&mut said)),
            Event::End(TagEnd::TableCell) => cells.push(std::mem::take(&mut said)),
            _ => {}
        }
    }
    for heading in [
        "Before leaving",
        "Must be done before she leaves",
        "Worth doing",
        "Not in this",
    ] {
        assert!(heads.iter().any(|h| h == heading), "{heading}: {heads:?}");
    }
    for title in titles(&answer, &["must", "worth_doing", "can_wait"]) {
        assert!(cells.iter().any(|cell| cell.starts_with(&title)), "{title}");
    }
}

#[test]
fn a_table_has_a_row_for_each_job_beside_the_looks() {
    let place = planned();
    let answer = answer(&place);
    let table = written(&place, "now.csv");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let rows: Vec<csv::StringRecord> = reader
        .records()
        .collect::<Result<_, _>>()
        .expect("equal rows");
    let ours = |row: &&csv::StringRecord| &row[2] == "BEFORE LEAVING";
    for (group, heading) in [
        ("must", "Must be done before she leaves"),
        ("worth_doing", "Worth doing"),
    ] {
        for row in answer[group].as_array().expect("rows") {
            let item = row["item"].as_str().expect("an item");
            let title = row["title"].as_str().expect("a title");
            let told = rows
                .iter()
                .filter(ours)
                .any(|told| &told[1] == item && &told[3] == heading && told[14].contains(title));
            assert!(told, "{group}: {item}");
        }
    }
    assert!(
        rows.iter()
            .filter(ours)
            .any(|row| row[14].contains("to the skerries"))
    );
    assert!(
        rows.iter().any(|row| !row[0].is_empty()),
        "the looks are there too"
    );
}

#[test]
fn a_report_of_a_past_walk_refuses_a_plan_and_a_plan_nobody_set_is_named() {
    let place = planned();
    let run = place.run(&[
        "report",
        "w3",
        "--to",
        "w3.html",
        "--plan",
        "to the skerries",
    ]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(
        run.stderr
            .contains("the report of a past walk tells of that day"),
        "{}",
        run.stderr
    );
    assert!(!place.path().join("w3.html").exists());
    let run = place.run(&[
        "report",
        "now",
        "--to",
        "x.html",
        "--plan",
        "to the skeries",
    ]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(
        run.stderr.contains("there is no plan 'to the skeries'"),
        "{}",
        run.stderr
    );
}

#[test]
fn hostile_names_of_plans_stay_text_in_every_form() {
    let place = planned();
    for (n, name) in [
        "<script>alert(1)</script>zq0",
        "</bdi></td></table><img src=x onerror=z>zq1",
        "=1+2,\"zq2\";=cmd",
        "[zq3](javascript:alert) ![i](j) | `c`",
    ]
    .into_iter()
    .enumerate()
    {
        place.record(&json!({"type":"plan","name":name,"hours":40,"days":4}));
        let to = |ending: &str| {
            let file = format!("h{n}.{ending}");
            let run = place.run(&["report", "now", "--to", &file, "--plan", name]);
            assert_eq!(run.code, Some(0), "{}", run.stderr);
            std::fs::read_to_string(place.path().join(&file)).expect("the report")
        };
        let page = Html::parse_document(&to("html"));
        assert!(page.errors.is_empty(), "{name}: {:?}", page.errors);
        let of = Selector::parse("script, img[onerror]").expect("a selector");
        assert_eq!(page.select(&of).count(), 0, "{name}");
        let texts: String = page.root_element().text().collect();
        assert!(texts.contains(name), "{name}");
        let mut texts = String::new();
        for event in Parser::new_ext(&to("md"), Options::all()) {
            match event {
                Event::Text(text) => texts.push_str(&text),
                Event::Html(_) | Event::InlineHtml(_) | Event::Code(_) => {
                    panic!("{name}: {event:?}")
                }
                Event::Start(Tag::Link { .. } | Tag::Image { .. }) => panic!("{name}: {event:?}"),
                _ => {}
            }
        }
        assert!(texts.contains(name), "{name}");
        let table = to("csv");
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        for row in reader.records() {
            for field in &row.expect("a row") {
                assert!(!field.trim_start().starts_with(['=', '+', '@']), "{field}");
            }
        }
        let report: Value = serde_json::from_str(&to("json")).expect("JSON");
        assert_eq!(report["before_leaving"]["plan"]["name"], name);
    }
}
