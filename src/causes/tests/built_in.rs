//! The built-in questions and causes keep to the rules of any file, and to more.

use std::collections::BTreeSet;

use crate::causes::file::CausesFile;
use crate::causes::words::Act;
use crate::causes::{BUILT_IN, Causes, check_file};
use crate::checklist::{Catalogue, Complaint};

/// What a line of words has room for, characters.
const LONGEST: usize = 150;

fn nothing() -> Causes {
    let file = serde_json::from_str(r#"{"type": "causes"}"#);
    Causes::of(file.expect("a file"))
}

#[test]
fn they_pass_their_own_check() {
    let checked = check_file("causes.json", BUILT_IN, &nothing(), Catalogue::built_in());
    let told = |all: Vec<Complaint>| all.iter().map(|c| format!("{c}\n")).collect::<String>();
    let file = checked.unwrap_or_else(|all| panic!("{}", told(all)));
    assert_eq!(file.causes, Causes::built_in().causes());
    assert!(file.causes.len() >= 60 && file.questions.len() >= 68);
}

#[test]
fn every_text_is_short_and_ends_as_it_should() {
    let causes = Causes::built_in();
    for question in causes.questions() {
        let id = &question.id;
        assert!(question.ask.ends_with('?'), "{id}: {}", question.ask);
        let words = question.answers.iter().map(|reply| &reply.words);
        let stops = question
            .answers
            .iter()
            .filter_map(|reply| reply.stop.as_ref());
        let whole = words
            .chain(stops)
            .chain([&question.ok])
            .chain(&question.caution);
        for text in whole {
            assert!(text.ends_with('.') && text.len() <= LONGEST, "{id}: {text}");
        }
        assert!(
            !question.title.ends_with('.') && question.title.len() <= 40,
            "{id}"
        );
    }
    for cause in causes.causes() {
        let id = &cause.id;
        assert!(
            cause.apart.ends_with(['.', '?']) && cause.apart.len() <= LONGEST,
            "{id}"
        );
        for text in [&cause.ignored].into_iter().chain(&cause.stop) {
            assert!(text.ends_with('.') && text.len() <= LONGEST, "{id}: {text}");
        }
        assert!(
            !cause.title.ends_with('.') && cause.title.len() <= LONGEST,
            "{id}"
        );
        assert!(cause.source.len() > 5, "{id}");
    }
}

/// What is dangerous can be looked at, or only a mechanic tells; and every question bears on something.
#[test]
fn nothing_stands_there_for_nothing() {
    let causes = Causes::built_in();
    let used: BTreeSet<(&str, &str)> = causes
        .causes()
        .iter()
        .flat_map(|cause| {
            cause
                .signs
                .iter()
                .map(|s| (s.question.as_str(), s.answer.as_str()))
        })
        .collect();
    let unused: Vec<_> = causes
        .questions()
        .iter()
        .flat_map(|q| q.answers.iter().map(|a| (q.id.as_str(), a.id.as_str())))
        .filter(|pair| !used.contains(pair))
        .collect();
    assert_eq!(
        unused,
        [("clook", "rusty")],
        "rust in the coolant is age, and proves no hole"
    );
    for cause in causes.causes().iter().filter(|cause| cause.order.is_some()) {
        assert!(!cause.looks.is_empty() || cause.stripping, "{}", cause.id);
    }
}

/// The looks that need a caution have one, and it is read before the question.
#[test]
fn what_can_hurt_has_its_caution() {
    for question in Causes::built_in().questions() {
        let acts = [
            Act::CapOff,
            Act::FullSpeed,
            Act::SeaSideOpen,
            Act::UnderBoat,
        ];
        let risky = acts.into_iter().any(|act| question.asks_for(act));
        assert!(!risky || question.caution.is_some(), "{}", question.id);
    }
    for (id, word) in [
        ("temp", "hot cap"),
        ("clevel", "cold"),
        ("bleed", "high-pressure"),
        ("start", "Never crank on and on"),
        ("co", "Everybody out"),
        ("strain", "seacock"),
        ("prop", "Key out"),
        ("olevel", "do not start"),
        ("flow", "stop the engine"),
    ] {
        let (_, question) = Causes::built_in().question(id).expect("a question");
        let caution = question.caution.as_deref().unwrap_or_default();
        assert!(caution.contains(word), "{id}: {caution}");
    }
}

#[test]
fn the_committed_schema_is_the_generated_one() {
    let text = format!("{:#}\n", schemars::schema_for!(CausesFile).as_value());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/checklists/schema/causes.json");
    if std::env::var_os("HANDLAMP_BLESS").is_some() {
        std::fs::write(path, &text).expect("the schema folder can be written");
    }
    let committed = std::fs::read_to_string(path).expect("the schema is committed");
    assert_eq!(
        committed.replace('\r', ""),
        text,
        "HANDLAMP_BLESS=1 rewrites it"
    );
    let schema = serde_json::from_str(&text).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let mut file: serde_json::Value = serde_json::from_str(BUILT_IN).expect("JSON");
    assert!(validator.is_valid(&file));
    file["extra"] = true.into();
    assert!(!validator.is_valid(&file));
}
