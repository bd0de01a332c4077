//! The built-in questions and causes keep to the rules of any file, and to more.

use std::collections::BTreeSet;

use crate::causes::file::CausesFile;
use crate::causes::words::Act;
use crate::causes::{BUILT_IN, Causes, Says, check_file};
use crate::checklist::{Catalogue, Complaint, Grade};

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

/// Every answer that is not normal can be told by an item: a rung says it, or leaves it to be asked. What
/// happened is told by services, by standing, or beside a look.
#[test]
fn every_question_is_answered_by_an_item_and_every_answer_can_be_told() {
    for question in Causes::built_in().questions() {
        let id = &question.id;
        assert!(!question.from.is_empty(), "{id}");
        let rungs: Vec<_> = question
            .from
            .iter()
            .flat_map(|by| Grade::ALL.iter().map(|grade| by.says(*grade)))
            .collect();
        if question.event {
            assert!(rungs.iter().all(|says| *says == Says::Nothing), "{id}");
            continue;
        }
        assert!(rungs.contains(&Says::Ok), "no item shows {id} to be normal");
        let asks = rungs.contains(&Says::Which);
        assert!(!asks || question.answers.len() > 1, "{id}");
        for reply in &question.answers {
            let is_told = rungs.contains(&Says::Answer(&reply.id));
            assert!(is_told || asks, "{id}: nothing says {}", reply.id);
        }
        for by in &question.from {
            let silent = by.told().next().is_none();
            assert!(!silent || !by.sound, "{id}: {} says nothing bad", by.item);
        }
    }
    let says = |id: &str, item: &str, grade| {
        let (_, question) = Causes::built_in().question(id).expect("a question");
        question.by_item(item).map(|by| by.says(grade))
    };
    let nothing = Some(Says::Nothing);
    assert_eq!(says("noise", "injector-seats", Grade::Sound), nothing);
    assert_eq!(says("suck", "raw-water-inlet-hose", Grade::Sound), nothing);
    assert_eq!(
        says("fdamp", "fuel-hoses", Grade::Worn),
        nothing,
        "it is dry"
    );
    assert_eq!(
        says("olook", "engine-oil-condition", Grade::Failing),
        Some(Says::Answer("milky"))
    );
    assert_eq!(says("co", "carbon-monoxide-alarm", Grade::Failed), None);
}

/// A worse rung of an item never says less than a better one: where one says something, so do the worse,
/// but for those whose words are of another fault.
#[test]
fn a_worse_rung_says_no_less_but_where_its_words_are_of_another_fault() {
    let other = [
        ("cwet", "heat-exchanger"),
        ("noise", "vibration-and-noise"),
        ("noise", "gear-response"),
        ("vib", "vibration-and-noise"),
        ("play", "propeller-shaft"),
        ("vac", "prefilter-vacuum"),
        ("gear", "gear-response"),
        ("oleak", "oil-cooler"),
        ("oleak", "drip-tray"),
        ("pull", "alternator"),
    ];
    let mut less = BTreeSet::new();
    for question in Causes::built_in().questions() {
        for by in &question.from {
            let bad = Grade::ALL.iter().skip(1).map(|grade| by.says(*grade));
            let said = bad.skip_while(|says| *says == Says::Nothing);
            if said.into_iter().any(|says| says == Says::Nothing) {
                less.insert((question.id.as_str(), by.item.as_str()));
            }
        }
    }
    assert_eq!(less, BTreeSet::from(other));
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
