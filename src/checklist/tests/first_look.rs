//! What a survey asks can be seen by somebody who was never aboard.

use std::collections::HashSet;

use crate::checklist::*;

/// Words that only somebody who has seen her before can answer. Facts of English, so that none is a
/// published figure; "usual" of a first look is always another boat's.
const OF_BEFORE: [&str; 28] = [
    "usual",
    "as always",
    "as ever",
    "ever again",
    "last time",
    "last look",
    "last run",
    "since",
    "new spot",
    "new hum",
    "nothing new",
    "above new",
    "new element",
    "every day",
    "every trip",
    "each time",
    "daily",
    "oftener",
    "again",
    "it was",
    "clearly risen",
    "slower",
    "longer",
    "a shade darker",
    "other times",
    "as the log has it",
    "up by",
    "low again",
];

fn presupposes(text: &str) -> Option<&'static str> {
    let words = text.to_lowercase();
    let words = words.split(|c: char| !c.is_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    let text = format!(" {} ", words.join(" "));
    let has = |word: &&str| text.contains(&format!(" {word} "));
    OF_BEFORE.into_iter().find(has)
}

#[test]
fn no_rung_that_a_survey_shows_presupposes_an_earlier_look() {
    let library = Library::built_in();
    let survey = library.checklist("survey").expect("built in");
    let shown = library.catalogue_of(survey);
    let mut told = Vec::new();
    let rows = survey.phases.iter().flat_map(|phase| &phase.rows);
    for id in rows.flat_map(|row| &row.items) {
        let item = shown.item(id).expect("known");
        let found = item.ladder.iter().filter_map(|rung| {
            let word = presupposes(rung)?;
            Some(format!("{id}: '{rung}' has '{word}'"))
        });
        told.extend(found);
    }
    assert!(told.is_empty(), "{told:#?}");
    // The list of words finds what it is for.
    let usual: HashSet<&str> = library
        .catalogue
        .items()
        .iter()
        .filter_map(|item| {
            let mut rungs = item.ladder.iter();
            rungs
                .find_map(|rung| presupposes(rung))
                .map(|_| item.id.as_str())
        })
        .collect();
    for id in [
        "bilge-water",
        "drip-tray",
        "oil-pressure",
        "stop-control",
        "coolant-level",
    ] {
        assert!(usual.contains(id), "{id}");
    }
}

#[test]
fn the_words_of_a_first_look_differ_from_their_neighbours_and_fit_the_ladder() {
    for item in Catalogue::built_in().items() {
        let Some(first) = &item.first_look else {
            continue;
        };
        let shown = item.at_first_look();
        let rungs: HashSet<&str> = shown.ladder.iter().map(String::as_str).collect();
        assert_eq!(rungs.len(), 5, "{}", item.id);
        assert!(
            shown.ladder.iter().all(|rung| rung.chars().count() <= 42),
            "{}",
            item.id
        );
        for (rung, (now, usual)) in Grade::ALL.iter().zip(shown.ladder.iter().zip(&item.ladder)) {
            assert_eq!(
                first.rung(*rung).is_some(),
                now != usual,
                "{} {rung}",
                item.id
            );
        }
    }
}

#[test]
fn every_other_checklist_asks_in_the_usual_words() {
    let library = Library::built_in();
    for list in library.checklists() {
        let same = *library.catalogue_of(list) == *library.catalogue;
        assert_eq!(same, list.id != "survey", "{}", list.id);
    }
}

fn file(item: &Item) -> String {
    let item = serde_json::to_string(item).expect("writes");
    format!(r#"{{"type":"catalogue","stations":[],"items":[{item}]}}"#)
}

#[test]
fn an_item_of_ones_own_takes_over_what_still_fits() {
    let built_in = Library::built_in();
    let mut item = built_in
        .catalogue
        .item("bilge-water")
        .expect("built in")
        .clone();
    item.first_look = None;
    item.ladder[2] = "a finger higher than yesterday".to_owned();
    let files = [("mine.json".to_owned(), file(&item))];
    let (library, _) = built_in.with_files(&files).expect("no fault");
    let own = library.catalogue.item("bilge-water").expect("there");
    let first = own.first_look.as_ref().expect("what fits");
    assert_eq!(first.worn, None, "other words need others for a first look");
    assert!(first.sound.is_some() && first.early.is_some());
}

#[test]
fn words_that_say_nothing_are_refused_by_their_field() {
    let mut item = Catalogue::built_in()
        .item("bilge-water")
        .expect("built in")
        .clone();
    item.first_look = Some(FirstLook::default());
    let refused = |item: &Item| {
        let found = check_file("mine.json", &file(item), Catalogue::built_in());
        let found = found.expect_err("refused");
        found.iter().map(ToString::to_string).collect::<String>()
    };
    assert!(refused(&item).contains("first_look"), "{}", refused(&item));
    let first = FirstLook {
        worn: Some(" ".to_owned()),
        ..FirstLook::default()
    };
    item.first_look = Some(first);
    assert!(
        refused(&item).contains("first_look.worn"),
        "{}",
        refused(&item)
    );
    let hidden = FirstLook {
        worn: Some("a\u{202e}b".to_owned()),
        ..FirstLook::default()
    };
    item.first_look = Some(hidden);
    assert!(
        refused(&item).contains("first_look.worn"),
        "{}",
        refused(&item)
    );
}
