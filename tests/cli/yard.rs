//! `yard`: the letter, and the same list back. Nothing reads as done that is only told.

use pulldown_cmark::{Event, Options, Parser, Tag};
use scraper::{Html, Selector};
use serde_json::{Value, json};

use super::harness::{Place, flat, full_walk};

/// A boat with an outlet and a belt worn, before she is lifted.
fn lifted() -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let looks = [
        json!({"item":"exhaust-outlet","grade":"failing"}),
        json!({"item":"drive-belt","grade":"worn"}),
        json!({"item":"engine-seacock","grade":"worn"}),
    ];
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &looks);
    let run = place.run(&["record", &place.file("w1.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-04T09:00:00+02:00");
    place
}

fn rows<'a>(answer: &'a Value, of: &str, word: &str) -> Vec<&'a str> {
    let rows = answer["rows"].as_array().expect("rows").iter();
    let own = rows.filter(|row| row[of] == word);
    own.map(|row| row["item"].as_str().expect("an item"))
        .collect()
}

fn ran(place: &Place, args: &[&str]) -> String {
    let run = place.run(args);
    assert_eq!(run.code, Some(0), "{run}");
    flat(&run.stdout)
}

#[test]
fn the_list_is_what_needs_her_out_of_the_water_and_nothing_else() {
    let place = lifted();
    let answer = place.json("yard", &["yard"]);
    let mend = rows(&answer, "for", "mend");
    assert!(
        mend.contains(&"exhaust-outlet") && mend.contains(&"engine-seacock"),
        "{answer}"
    );
    assert!(
        !answer.to_string().contains("drive-belt"),
        "a belt is changed afloat"
    );
    let looks = rows(&answer, "for", "look");
    // The last are hidden while she floats: seacock bodies, shaft bearing, propeller, its nut, anodes.
    for item in [
        "propeller-shaft",
        "stern-tube-hose",
        "shaft-lift",
        "propeller-seen",
        "propeller-nut",
        "hull-anodes",
    ] {
        assert!(looks.contains(&item), "{item}: {looks:?}");
    }
    assert!(
        !looks.contains(&"full-throttle-speed"),
        "that is tried under way"
    );
    let open = answer["rows"].as_array().expect("rows").iter();
    for row in open {
        let works = row["for"] == "mend" || row["for"] == "task";
        assert_eq!(row["leave_open"], works, "{row}");
    }
    let words = answer["not_here"][0].as_str().expect("words");
    assert!(words.contains("rudder"), "{words}");
}

#[test]
fn the_letter_has_no_code_and_no_price_that_was_not_asked_for() {
    let place = lifted();
    let cost = [
        "cost",
        "exhaust-outlet",
        "--machine",
        "main",
        "--low",
        "190",
        "--likely",
        "271",
        "--high",
        "400",
        "--currency",
        "EUR",
    ];
    ran(&place, &cost);
    let letter = ran(&place, &["yard"]);
    for words in [
        "Exhaust outlet and flap",
        "bed it anew, renew flap or fitting",
        "Leave open for me to see",
        "By when:",
        "I LOOK AT THESE MYSELF",
    ] {
        assert!(letter.contains(words), "{words}: {letter}");
    }
    for code in ["271", "EUR", "serious", "2B", "3C", "critical", "%"] {
        assert!(!letter.contains(code), "{code}: {letter}");
    }
    let priced = ran(&place, &["yard", "--prices"]);
    assert!(priced.contains("about 271 EUR"), "{priced}");
    let run = place.run(&["yard", "letter.txt"]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(
        run.stderr.contains("end it in .html or .md"),
        "{}",
        run.stderr
    );
}

#[test]
fn page_and_markdown_say_what_the_text_says_and_hostile_words_stay_words() {
    let mut profile: Value = serde_json::from_str(super::harness::PROFILE).expect("JSON");
    let name = "</title><script>x</script>*b* [a](b)|";
    profile["name"] = name.into();
    let mut place = Place::with(&profile.to_string());
    let sheet = full_walk(
        "w1",
        "2026-05-03T07:40:00+02:00",
        1203.6,
        &[json!({"item":"exhaust-outlet","grade":"failing"})],
    );
    ran(&place, &["record", &place.file("w1.json", &sheet)]);
    place.at("2026-05-04T09:00:00+02:00");
    ran(&place, &["yard", "letter.html"]);
    ran(&place, &["yard", "letter.md"]);
    let read = |name: &str| std::fs::read_to_string(place.path().join(name)).expect("the letter");
    let page = Html::parse_document(&read("letter.html"));
    assert!(page.errors.is_empty(), "{:?}", page.errors);
    let scripts = Selector::parse("script").expect("a selector");
    assert_eq!(page.select(&scripts).count(), 0);
    let heads = Selector::parse("article strong").expect("a selector");
    let heads: Vec<String> = page
        .select(&heads)
        .map(|e| flat(&e.text().collect::<String>()))
        .collect();
    let answer = place.json("yard", &["yard"]);
    let all = answer["rows"].as_array().expect("rows");
    assert_eq!(heads.len(), all.len());
    for row in all {
        let title = row["title"].as_str().expect("a title");
        let station = row["station"].as_str().expect("a station");
        assert!(
            heads.iter().any(|h| *h == format!("{title}: {station}")),
            "{title}: {heads:?}"
        );
    }
    let mut texts = String::new();
    for event in Parser::new_ext(&read("letter.md"), Options::all()) {
        match event {
            Event::Text(text) => texts.push_str(&text),
            Event::Html(_) | Event::InlineHtml(_) => panic!("{event:?}"),
            Event::Start(Tag::Link { .. } | Tag::Emphasis) => panic!("{event:?}"),
            _ => {}
        }
    }
    assert!(texts.contains(name), "{texts}");
    assert!(texts.contains("Leave open for me to see"), "{texts}");
}

#[test]
fn the_list_back_tells_what_was_seen_from_what_was_only_told() {
    let mut place = lifted();
    let given = place.json("yard", &["yard"]);
    place.at("2026-05-10T09:00:00+02:00");
    for item in ["exhaust-outlet", "engine-seacock"] {
        ran(
            &place,
            &[
                "repair",
                item,
                "--machine",
                "main",
                "--done",
                "renewed",
                "--by",
                "the yard",
            ],
        );
    }
    let back = |place: &Place| {
        place.json(
            "yard-back",
            &["yard", "--back", "2026-05-04T09:00:00+02:00"],
        )
    };
    let answer = back(&place);
    assert_eq!(
        answer["rows"].as_array().expect("rows").len(),
        given["rows"].as_array().expect("rows").len()
    );
    let mut told = rows(&answer, "since", "told");
    told.sort_unstable();
    assert_eq!(told, ["engine-seacock", "exhaust-outlet"]);
    assert_eq!(answer["seen"], 0);
    let text = ran(&place, &["yard", "--back", "2026-05-04T09:00:00+02:00"]);
    assert!(
        text.contains("Told by the yard, 10 May 2026; nobody has looked at it since"),
        "{text}"
    );
    assert!(!text.to_lowercase().contains("done by"), "{text}");
    // One of them is looked at, by a walk of one's own; another by a guest, who confirms nothing.
    place.at("2026-05-11T12:00:00+02:00");
    place.record(&json!({"type":"walk","id":"w2","checklist":"daily","machine":"main","at":"2026-05-11T10:00:00+02:00",
        "looks":[{"item":"exhaust-outlet","grade":"sound"}]}));
    place.record(&json!({"type":"walk","id":"w3","checklist":"daily","machine":"main","at":"2026-05-11T11:00:00+02:00",
        "guest":true,"by":"R. Quay","looks":[{"item":"engine-seacock","grade":"sound"}]}));
    let answer = back(&place);
    assert_eq!(rows(&answer, "since", "seen"), ["exhaust-outlet"]);
    assert_eq!(rows(&answer, "since", "told"), ["engine-seacock"]);
    let seen = answer["rows"].as_array().expect("rows").iter();
    let seen = seen
        .into_iter()
        .find(|row| row["since"] == "seen")
        .expect("a row");
    assert_eq!(seen["grade"], "sound");
    // Work told again after that look is told again, and no longer seen.
    place.at("2026-05-12T12:00:00+02:00");
    ran(
        &place,
        &[
            "repair",
            "exhaust-outlet",
            "--machine",
            "main",
            "--done",
            "bedded again",
        ],
    );
    let answer = back(&place);
    assert_eq!(answer["seen"], 0, "{answer}");
}

#[test]
fn a_plan_may_have_her_ashore_and_then_tells_what_needs_it() {
    let place = lifted();
    ran(
        &place,
        &[
            "plan",
            "set",
            "lift",
            "--days",
            "14",
            "--hours",
            "20",
            "--ashore-days",
            "5",
        ],
    );
    let list = place.json("plans", &["plan", "list"]);
    assert_eq!(list["rows"][0]["ashore_days"], 5.0);
    // What is not said anew stays.
    ran(&place, &["plan", "set", "lift", "--work", "3h"]);
    assert_eq!(
        place.json("plans", &["plan", "list"])["rows"][0]["ashore_days"],
        5.0
    );
    let leaving = place.json("leaving", &["leaving", "--plan", "lift"]);
    let yard = place.json("yard", &["yard", "--plan", "lift"]);
    assert_eq!(leaving["ashore"], yard["rows"]);
    assert_eq!(yard["ashore_days"], 5.0);
    let text = flat(&place.run(&["leaving", "--plan", "lift"]).stdout);
    assert!(text.contains("WHAT NEEDS HER OUT OF THE WATER"), "{text}");
    let letter = ran(&place, &["yard", "--plan", "lift"]);
    assert!(letter.contains("She stands ashore for 5 d."), "{letter}");
    // Without days ashore it is as it was.
    ran(
        &place,
        &["plan", "set", "afloat", "--days", "14", "--hours", "20"],
    );
    let afloat = place.json("leaving", &["leaving", "--plan", "afloat"]);
    assert_eq!(afloat.get("ashore"), None);
    for group in ["must", "worth_doing", "can_wait"] {
        let items = |of: &Value| -> Vec<Value> {
            of[group]
                .as_array()
                .expect("rows")
                .iter()
                .map(|r| r["item"].clone())
                .collect()
        };
        assert_eq!(items(&afloat), items(&leaving), "{group}");
    }
}
