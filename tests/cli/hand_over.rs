//! `hand-over`: what somebody else has to know who takes her out, as text, page and JSON.

use scraper::{Html, Node};
use serde_json::{Value, json};

use super::harness::{PROFILE, Place, flat};
use super::law::{change, failing};

/// Everything that can be told for it, of a boat.
const PLACES: [(&str, &str); 5] = [
    ("seacocks_at", "under the cabin sole, aft of the mast"),
    (
        "fuel_off_at",
        "red lever in the cockpit locker, across is off",
    ),
    ("isolators_at", "starboard of the steps"),
    ("extinguisher_at", "at the galley and by the steps"),
    ("extinguisher_port_at", "round plug in the second step"),
];
/// The same of a machine.
const HANDLING: [(&str, &str); 3] = [
    ("starts_by", "key right, count to ten, then the button"),
    (
        "stops_by",
        "pull the black handle by the wheel until she stands",
    ),
    (
        "when_stop_fails",
        "shut the fuel, red lever in the cockpit locker",
    ),
];

fn page(place: &Place, name: &str) -> String {
    let run = place.run(&["hand-over", name]);
    assert_eq!(run.code, Some(0), "{run}");
    std::fs::read_to_string(place.path().join(name)).expect("written")
}

/// The texts of a page, in their order.
fn texts(page: &str) -> String {
    let parsed = Html::parse_document(page);
    assert!(parsed.errors.is_empty(), "{:?}", parsed.errors);
    let texts = parsed.tree.values().filter_map(|node| match node {
        Node::Text(text) => Some(text.text.to_string()),
        _ => None,
    });
    flat(&texts.collect::<Vec<_>>().join(" "))
}

/// True where the words stand in this order.
fn in_order(text: &str, words: &[&str]) -> bool {
    let mut rest = text;
    words.iter().all(|word| match rest.split_once(word) {
        Some((_, after)) => {
            rest = after;
            true
        }
        None => false,
    })
}

#[test]
fn the_stop_stands_first_in_plain_words_with_its_order_and_its_caution() {
    let place = failing();
    let run = place.run(&["hand-over"]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&run.stdout);
    let order = [
        "Grey Plover: for who takes her out",
        "2026-05-05",
        "STOPS ! Drive belt",
        "do not start the engine",
        "CAUTION:",
        "THE LAST CHECK",
        "do not run",
        "TEMPORARY REPAIRS",
        "LEVELS, AND WHEN TO DIP NEXT",
        "HOW SHE STARTS AND STOPS",
        "WHERE THINGS ARE",
        "WHAT IS NORMAL ON HER",
        "WHAT DRIPS AND IS KNOWN",
        "SHORT MORNING CHECK",
        "TO WRITE DOWN",
        "no permission to run",
    ];
    assert!(in_order(&text, &order), "{}", run.stdout);
    assert!(!text.contains("No stop is on record"));
    let order = order.map(|word| match word.chars().any(char::is_lowercase) {
        true => word.replace("CAUTION", "Caution").replace("STOPS ! ", ""),
        false => word.to_owned(),
    });
    let page = texts(&page(&place, "her.html")).to_uppercase();
    let order: Vec<String> = order.iter().map(|word| word.to_uppercase()).collect();
    let order: Vec<&str> = order.iter().map(String::as_str).collect();
    assert!(in_order(&page, &order), "{page}");
    let answer = place.json("hand-over", &["hand-over"]);
    assert_eq!(answer["stops"][0]["item"], "drive-belt");
    assert_eq!(answer["machines"][0]["last_check"]["now"], "do-not-run");
    assert_eq!(answer["file"], Value::Null);
}

#[test]
fn what_nobody_told_is_a_line_to_write_on_and_what_was_told_stands_there() {
    let place = Place::with_boat();
    let text = flat(&place.run(&["hand-over"]).stdout);
    for words in [
        "Seacocks: not told ____",
        "Fuel shut-off: not told ____",
        "Battery isolators: not told ____",
        "Extinguishers: not told ____",
        "Port to discharge it through: not told ____",
        "Start: not told ____",
        "Stop: not told ____",
        "What stops her: not told ____",
        "When that fails: not told ____",
        "Oil pressure: not told ____",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("FROM THE OWNER"), "nothing was typed");
    assert!(text.contains("no finished check is on record"), "{text}");
    let bare = page(&place, "bare.html");
    assert!(bare.contains("<em>not told</em> <u></u>"), "room on paper");
    for (fact, value) in PLACES.iter().chain(&HANDLING) {
        let run = place.run(&["boat", "put", fact, value]);
        assert_eq!(run.code, Some(0), "{run}");
    }
    for (fact, value) in [
        ("stopping", "solenoid-to-stop"),
        ("hand_over_note", "Call R. Quay, berth 12, before you go."),
    ] {
        assert_eq!(place.run(&["boat", "put", fact, value]).code, Some(0));
    }
    let text = flat(&place.run(&["hand-over"]).stdout);
    let told = texts(&page(&place, "told.html"));
    for (_, value) in PLACES.iter().chain(&HANDLING) {
        assert!(text.contains(value) && told.contains(value), "{value}");
    }
    assert!(
        text.contains("FROM THE OWNER Call R. Quay, berth 12"),
        "{text}"
    );
    assert!(text.contains("without current the key does not stop her"));
    let answer = place.json("hand-over", &["hand-over"]);
    assert_eq!(answer["places"][0]["told"], PLACES[0].1);
    assert_eq!(answer["machines"][0]["stopping"], "solenoid-to-stop");
    // They are facts like any other: shown, explained, bounded, taken back.
    let shown = flat(&place.run(&["boat", "show", "--why"]).stdout);
    assert!(shown.contains("It stands on the hand-over page"), "{shown}");
    let long = "x".repeat(241);
    assert_eq!(place.run(&["boat", "put", "stops_by", &long]).code, Some(2));
    let run = place.run(&["boat", "put", "stops_by", "not known"]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&place.run(&["hand-over"]).stdout);
    assert!(text.contains("Stop: not told ____"), "{text}");
}

#[test]
fn a_temporary_repair_stands_there_with_its_end_until_a_lasting_one() {
    let place = failing();
    let run = place.run(&[
        "repair",
        "drive-belt",
        "--done",
        "tied",
        "--temporary",
        "next harbour",
    ]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&place.run(&["hand-over"]).stdout);
    let order = [
        "TEMPORARY REPAIRS ! Drive belt",
        "until next harbour",
        "nobody has looked",
        "LEVELS",
    ];
    assert!(in_order(&text, &order), "{text}");
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0), "{run}");
    let text = flat(&place.run(&["hand-over"]).stdout);
    assert!(text.contains("No temporary repair is on record."), "{text}");
    assert!(
        text.contains("nobody has looked at it since; look at it first"),
        "{text}"
    );
}

#[test]
fn a_stop_of_another_machine_is_named_with_the_machine() {
    let mut profile: Value = serde_json::from_str(PROFILE).expect("JSON");
    let generator = json!({"id":"generator","name":"Generator","role":"generator"});
    profile["machines"]
        .as_array_mut()
        .expect("machines")
        .push(generator);
    let place = Place::with(&profile.to_string());
    place.record(
        &json!({"type":"walk","id":"w1","checklist":"daily","machine":"generator",
        "at":"2026-05-03T07:40:00+02:00","looks":[{"item":"drive-belt","grade":"failing"}]}),
    );
    let text = flat(&place.run(&["hand-over", "--machine", "main"]).stdout);
    assert!(text.contains("STOPS ! Drive belt (Generator):"), "{text}");
    assert!(text.contains(" Main engine Start: not told"), "{text}");
    assert!(!text.contains(" Generator CAUTION: Its start is remote: lock it out before hands go in. Start: not told"), "{text}");
    let both = flat(&place.run(&["hand-over"]).stdout);
    assert!(both.contains(" Generator CAUTION: Its start is remote: lock it out before hands go in. Start: not told"), "{both}");
    assert_eq!(place.run(&["hand-over", "--machine", "port"]).code, Some(2));
}

/// The stop is in a line that cannot be read any more: the page says so before all else, and nowhere
/// that there is none.
#[test]
fn a_record_that_is_missing_is_said_first_in_every_form() {
    let place = failing();
    let whole = texts(&page(&place, "whole.html"));
    assert!(
        !whole.contains("Not counted") && !whole.contains("not counted"),
        "{whole}"
    );
    change(&place, &["\"drive-belt\"", "failing"], |line| {
        line.replace("failing", "sound")
    });
    let run = place.run(&["hand-over"]);
    let text = flat(&run.stdout);
    assert!(text.starts_with("NOT COUNTED:"), "{text}");
    assert!(
        text.contains("STOPS ! No stop is on record that counts"),
        "{text}"
    );
    let page = texts(&page(&place, "damaged.html"));
    let order = [
        "Not counted",
        "may be better than it should be",
        "Stops",
        "No stop is on record that counts",
    ];
    assert!(in_order(&page, &order), "{page}");
    let answer = place.json("hand-over", &["hand-over"]);
    assert!(
        answer["not_counted"]
            .as_array()
            .is_some_and(|told| !told.is_empty())
    );
}

#[test]
fn text_of_the_profile_is_text_on_the_page_and_on_the_terminal() {
    let hostile = "<script>alert(1)</script>\"'></bdi><img src=x onerror=y>&lt;\u{1b}[2J\u{202e}zq";
    let name = "</title></style></bdi><img src=x onerror=y>\"'<script>";
    let mut profile: Value = serde_json::from_str(PROFILE).expect("JSON");
    for (fact, _) in PLACES {
        profile[fact] = hostile.into();
    }
    for (fact, _) in HANDLING {
        profile["machines"][0][fact] = hostile.into();
    }
    profile["name"] = name.into();
    profile["hand_over_note"] = hostile.into();
    profile["machines"][0]["name"] = name.into();
    profile["tanks"] = json!([{"id":"fuel","name":name,"holds":"fuel","capacity":"90 L"}]);
    let place = Place::with(&profile.to_string());
    let page = page(&place, "a.html");
    assert!(!page.contains(['\u{1b}', '\u{202e}']));
    assert!(page.contains("default-src 'none'; style-src 'unsafe-inline'; img-src data:"));
    let parsed = Html::parse_document(&page);
    assert!(parsed.errors.is_empty(), "{:?}", parsed.errors);
    for node in parsed.tree.values() {
        if let Node::Element(element) = node {
            assert!(
                !matches!(element.name(), "script" | "img" | "a"),
                "{element:?}"
            );
            let ours = |name: &str| {
                matches!(
                    name,
                    "lang" | "charset" | "http-equiv" | "content" | "name" | "class"
                )
            };
            assert!(element.attrs().all(|(name, _)| ours(name)), "{element:?}");
        }
    }
    let told = texts(&page);
    let whole = "<script>alert(1)</script>\"'></bdi><img src=x onerror=y>&lt;⟪ESC⟫[2J⟪202E⟫zq";
    assert_eq!(
        told.matches(whole).count(),
        PLACES.len() + HANDLING.len() + 1,
        "{told}"
    );
    let run = place.run(&["hand-over"]);
    assert!(!run.stdout.contains(['\u{1b}', '\u{202e}']), "{run}");
}

#[test]
fn a_page_replaces_a_page_and_nothing_else() {
    let place = Place::with_boat();
    for name in ["her.md", "her"] {
        let run = place.run(&["hand-over", name]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(run.stderr.contains("end it in .html"), "{run}");
    }
    let mine = place.file("mine.html", "mine");
    assert_eq!(place.run(&["hand-over", &mine]).code, Some(2));
    assert_eq!(std::fs::read_to_string(&mine).expect("there"), "mine");
    page(&place, "her.html");
    page(&place, "her.html");
}

#[test]
fn an_outboard_has_the_check_that_is_made_for_it_and_its_petrol_is_spoken_of() {
    let mut profile: Value = serde_json::from_str(PROFILE).expect("JSON");
    profile["machines"][0]["role"] = "outboard".into();
    let place = Place::with(&profile.to_string());
    let text = flat(&place.run(&["hand-over"]).stdout);
    assert!(text.contains("Petrol: sniff low in the bilge"), "{text}");
    assert!(
        text.contains("[ ] Kill cord") || text.to_lowercase().contains("kill cord"),
        "{text}"
    );
    assert!(!text.contains("SHORT MORNING CHECK"), "{text}");
    profile["machines"][0]["role"] = "other".into();
    let place = Place::with(&profile.to_string());
    let text = flat(&place.run(&["hand-over"]).stdout);
    assert!(text.contains("Not covered here: Main engine"), "{text}");
    assert!(!text.contains("[ ]"), "{text}");
}
