//! `first-minute` and `symptoms`: what comes first, as text, as JSON, and as a page for the hatch.

use handlamp::symptoms::SymptomsFile;
use scraper::{Html, Node, Selector};
use serde_json::Value;

use super::harness::{PROFILE, Place, TWINS, flat};
use super::report_page::{Browser, pages};

/// What tries to leave the text it stands in.
const HOSTILE: &str = "</span></bdi><script>alert(1)</script>\"' onclick=x &lt;\u{1b}[2J\u{202e}zq";

fn page_of(place: &Place, args: &[&str]) -> String {
    let args = [["first-minute"].as_slice(), args, &["--to", "hatch.html"]].concat();
    let run = place.run(&args);
    assert_eq!(run.code, Some(0), "{run}");
    std::fs::read_to_string(place.path().join("hatch.html")).expect("written")
}

/// A boat of which one place was told.
fn told(text: &str) -> Place {
    let mut profile: Value = serde_json::from_str(PROFILE).expect("JSON");
    profile["fuel_off_at"] = text.into();
    Place::with(&profile.to_string())
}

#[test]
fn the_cards_are_printed_with_where_a_hand_goes() {
    let place = told("under the companionway step");
    let run = place.run(&["first-minute"]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&run.stdout);
    for words in [
        "FIRE OR SMOKE IN THE ENGINE SPACE [fire]",
        "- Fuel shut. under the companionway step",
        "- Engine off. place not told",
        "WILL NOT STOP, OR RACES [races]",
        "33 CFR 175",
        "The maker's handbook and local rules come before this.",
    ] {
        assert!(text.contains(words), "{words}\n{}", run.stdout);
    }
    let one = place.run(&["first-minute", "no-drive"]);
    assert!(one.stdout.starts_with("NO DRIVE NEAR A LEE SHORE"), "{one}");
    assert!(!one.stdout.contains("FIRE"), "{one}");
    let answer = place.json("first-minute", &["first-minute", "fire"]);
    assert_eq!(answer["boat"], "Grey Plover");
    assert_eq!(answer["cards"][0]["id"], "fire");
    let line = &answer["cards"][0]["lines"][2];
    assert_eq!(line["says"], "Fuel shut.");
    assert_eq!(line["places"][0]["fact"], "fuel_off_at");
    assert_eq!(line["places"][0]["told"], "under the companionway step");
    assert_eq!(answer["file"], Value::Null);
    let wrong = place.run(&["first-minute", "fier"]);
    assert_eq!(wrong.code, Some(2), "{wrong}");
    assert!(wrong.stderr.contains("nearest is 'fire'"), "{wrong}");
    let wrong = place.run(&["first-minute", "--to", "hatch.txt"]);
    assert_eq!(wrong.code, Some(2), "{wrong}");
}

/// Fire does not wait for a logbook, nor for one that can be read.
#[test]
fn without_a_logbook_and_with_one_that_cannot_be_read_they_are_printed_all_the_same() {
    let place = Place::empty();
    let run = place.run(&["first-minute", "fire"]);
    assert_eq!(run.code, Some(0), "{run}");
    assert!(run.stdout.contains("Discharge the extinguisher"), "{run}");
    assert!(run.stdout.contains("place not told"), "{run}");
    assert!(!place.logbook().exists(), "nothing is recorded");
    let answer = place.json("symptoms", &["symptoms"]);
    let rows = answer["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), SymptomsFile::built_in().symptoms.len());
    std::fs::create_dir_all(place.logbook()).expect("made");
    std::fs::write(place.logbook().join("boat.json"), "{").expect("written");
    let run = place.run(&["first-minute", "fire"]);
    assert_eq!(run.code, Some(3), "{run}");
    assert!(run.stdout.contains("Discharge the extinguisher"), "{run}");
    assert!(run.stderr.contains("boat.json"), "{run}");
}

#[test]
fn of_several_machines_each_is_named_or_the_one_asked_for() {
    let place = Place::with(TWINS);
    let all = place.json("first-minute", &["first-minute", "fire"]);
    let places = |answer: &Value| {
        let places = answer["cards"][0]["lines"][1]["places"].as_array().cloned();
        let places = places.expect("places");
        let machines = places.iter().map(|p| p["machine"].as_str().expect("one"));
        machines.map(str::to_owned).collect::<Vec<_>>()
    };
    assert_eq!(places(&all), ["port", "starboard"]);
    let one = place.json(
        "first-minute",
        &["first-minute", "fire", "--machine", "port"],
    );
    assert_eq!(places(&one), ["port"]);
    let run = place.run(&["first-minute", "--machine", "middle"]);
    assert_eq!(run.code, Some(2), "{run}");
}

#[test]
fn what_she_does_is_answered_with_what_comes_first() {
    let place = told("red lever");
    let run = place.run(&["symptoms", "overheats"]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&run.stdout);
    for words in [
        "Runs hot [runs-hot]",
        "- Boat first: sea room, anchor or sail ready.",
        "- Never open a hot coolant cap: steam scalds.",
        "Then look: as seen: Coolant temperature [coolant-temperature];",
    ] {
        assert!(text.contains(words), "{words}\n{}", run.stdout);
    }
    // An outboard has one, this boat none.
    assert!(!text.contains("tell-tale"), "{}", run.stdout);
    let answer = place.json("symptoms", &["symptoms", "fire"]);
    let row = &answer["rows"][0];
    assert_eq!(row["card"], "fire");
    assert_eq!(row["first"][2]["places"][0]["told"], "red lever");
    assert_eq!(row["looks"][0]["item"], "engine-space-smell");
    assert_eq!(row["looks"][0]["question"], "smell");
    assert_eq!(row["looks"][0]["seen"], true);
    let none = place.run(&["symptoms", "sings"]);
    assert_eq!(none.code, Some(2), "{none}");
}

#[test]
fn the_page_is_whole_html_with_a_list_for_each_card_and_no_script() {
    let place = told("under the companionway step");
    let page = page_of(&place, &[]);
    let parsed = Html::parse_document(&page);
    assert!(parsed.errors.is_empty(), "{:?}", parsed.errors);
    let all = |css: &str| {
        let selector = Selector::parse(css).expect("a selector");
        parsed.select(&selector).count()
    };
    assert_eq!(all("html[lang=en]"), 1);
    assert_eq!(all("main"), 1);
    assert_eq!(all("h1"), 1);
    let cards = &SymptomsFile::built_in().cards;
    assert_eq!(all("section > h2"), cards.len());
    assert_eq!(all("section > ol"), cards.len());
    let lines: usize = cards.iter().map(|card| card.lines.len()).sum();
    assert_eq!(all("ol > li"), lines);
    assert_eq!(all("script, link, img, a, form"), 0);
    assert!(page.contains("default-src 'none'; style-src 'unsafe-inline'"));
    let text: String = parsed.root_element().text().collect();
    assert!(text.contains("under the companionway step"));
    assert!(text.contains("place not told"));
    // Over a page it writes, and over nothing else.
    page_of(&place, &["fire"]);
    place.file("own.html", "not a page");
    let run = place.run(&["first-minute", "--to", "own.html"]);
    assert_eq!(run.code, Some(2), "{run}");
}

#[test]
fn hostile_places_stay_text() {
    let place = told(HOSTILE);
    let page = page_of(&place, &[]);
    let parsed = Html::parse_document(&page);
    assert!(parsed.errors.is_empty(), "{:?}", parsed.errors);
    for node in parsed.tree.values() {
        if let Node::Element(element) = node {
            assert!(!matches!(element.name(), "script" | "img"), "{element:?}");
            assert!(element.attrs().all(|(name, _)| !name.starts_with("on")));
        }
    }
    let text: String = parsed.root_element().text().collect();
    assert!(text.contains("</bdi><script>alert(1)</script>\"' onclick=x &lt;"));
    assert!(!page.contains(['\u{1b}', '\u{202e}']));
    let run = place.run(&["first-minute", "fire"]);
    assert!(run.stdout.contains("zq") && !run.stdout.contains(['\u{1b}', '\u{202e}']));
}

#[test]
fn a_browser_prints_two_cards_to_a_page() {
    let Some(browser) = Browser::find("the first-minute cards") else {
        return;
    };
    let place = told("under the companionway step");
    let page = page_of(&place, &[]);
    for size in ["8.27in 11.69in", "8.5in 11in"] {
        let pdf = browser.print(&page, size, place.path());
        let (count, _) = pages(&pdf);
        assert_eq!(count, SymptomsFile::built_in().cards.len().div_ceil(2));
    }
}
