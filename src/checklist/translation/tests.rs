//! Every text has its German, and it says the same as far as a program can tell: the same figures with
//! the same units, the same ends, no "never" that got lost.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use super::*;
use crate::checklist::{Checklist, Closing, FINDING, Grade, Item, KnownSpare, Library};

/// So many texts of what the survey does not ask are given in English. It is raised knowingly, by whoever
/// leaves a text for later.
const FALLING_BACK: usize = 0;

/// Sort, id and field with the English texts that stand there.
type Place = (&'static str, String, &'static str);

fn of_item(item: &Item) -> Vec<(&'static str, Vec<&str>)> {
    let before = item.before_start.as_ref().map(|b| b.how.as_str());
    let filled = item.marks.as_ref().map(|m| m.filled_with.as_str());
    let first = item.first_look.iter();
    let first = first.flat_map(|first| Grade::ALL.iter().filter_map(|g| first.rung(*g).as_deref()));
    vec![
        ("title", vec![&item.title]),
        ("ladder", item.ladder.iter().map(String::as_str).collect()),
        ("first_look", first.collect()),
        ("remedy", vec![&item.remedy.action]),
        (
            "cautions",
            item.cautions.iter().map(String::as_str).collect(),
        ),
        ("before_start", before.into_iter().collect()),
        ("filled_with", filled.into_iter().collect()),
        ("parts", item.parts.iter().map(String::as_str).collect()),
    ]
}

fn of_list(list: &Checklist) -> Vec<(&'static str, Vec<&str>)> {
    let catalogue = &Library::built_in().catalogue;
    let phases = || list.phases.iter();
    let steps = phases().flat_map(|p| &p.steps).map(|s| s.title.as_str());
    // What is said before a phase stands in German where the walk is one of the seasons.
    let season = list.closes_with == Closing::Season;
    let before = phases().filter(|_| season);
    let before = before.flat_map(|p| {
        p.before
            .iter()
            .chain(p.before_for.iter().map(|b| &b.before))
    });
    let done = || {
        phases()
            .flat_map(|p| &p.rows)
            .filter_map(|r| r.step.as_ref())
    };
    let opens = done().flat_map(|s| s.opens.iter().map(|leaves| leaves.what.as_str()));
    // A row without a title of its own has that of its item.
    let own = |row: &&str| !catalogue.items().iter().any(|item| item.title == *row);
    let rows = phases().flat_map(|p| &p.rows).map(|r| r.title.as_str());
    vec![
        ("title", vec![&list.title]),
        ("purpose", vec![&list.purpose]),
        ("phases", phases().map(|p| p.title.as_str()).collect()),
        ("steps", steps.collect()),
        ("rows", rows.filter(own).collect()),
        ("before", before.map(String::as_str).collect()),
        (
            "cautions",
            done().filter_map(|s| s.caution.as_deref()).collect(),
        ),
        ("do", done().map(|s| s.action.as_str()).collect()),
        ("opens", opens.collect()),
    ]
}

/// Every text that a report can give, by its place; not what is the same in any language.
fn english() -> BTreeMap<Place, BTreeSet<&'static str>> {
    let library = Library::built_in();
    let catalogue = &library.catalogue;
    let stations = catalogue.stations().iter();
    let stations = stations.map(|s| ("stations", &s.id, vec![("title", vec![s.title.as_str()])]));
    let items = catalogue.items().iter();
    let items = items.map(|item| ("items", &item.id, of_item(item)));
    let lists = library
        .checklists()
        .iter()
        .chain(library.checklist(FINDING));
    let lists = lists.map(|list| ("lists", &list.id, of_list(list)));
    let tasks = library.tasks().iter();
    let tasks = tasks.map(|task| {
        (
            "tasks",
            &task.id,
            vec![("title", vec![task.title.as_str()])],
        )
    });
    let spares = KnownSpare::all().iter().map(|spare| {
        let (title, words) = spare.texts();
        (
            "spares",
            &spare.id,
            vec![("title", title), ("words", words)],
        )
    });
    let tools = KnownSpare::tools_known().iter();
    let tools = tools.map(|(id, words)| ("tools", id, vec![("title", vec![words.as_str()])]));
    let all = stations.chain(items).chain(lists).chain(tasks);
    let all = all.chain(spares).chain(tools);
    let mut found: BTreeMap<Place, BTreeSet<&str>> = BTreeMap::new();
    for (sort, id, fields) in all {
        for (field, texts) in fields {
            let texts = texts.into_iter();
            let texts = texts.filter(|text| text.contains(char::is_alphabetic));
            found
                .entry((sort, id.clone(), field))
                .or_default()
                .extend(texts);
        }
    }
    found
}

/// Every translation with its place and the digest of what it translates.
fn german() -> Vec<((&'static str, String, String), Said)> {
    let files = GERMAN
        .iter()
        .map(|(_, text)| compiled_in::<WordsFile>(text));
    let places = files.flat_map(WordsFile::places);
    places
        .map(|(sort, id, field, said)| ((sort, id, field), said))
        .collect()
}

/// Each English text with its German.
fn pairs() -> Vec<(&'static str, &'static str)> {
    let texts: BTreeSet<&str> = english().into_values().flatten().collect();
    let said = |text: &'static str| Some((text, Translation::german().of(text)?));
    texts.into_iter().filter_map(said).collect()
}

#[test]
fn what_a_report_can_say_of_the_survey_stands_there_in_german_and_what_falls_back_is_counted() {
    let library = Library::built_in();
    let survey = library.checklist("survey").expect("built in");
    let rows = survey.phases.iter().flat_map(|p| &p.rows);
    let asked: BTreeSet<&String> = rows.flat_map(|r| &r.items).collect();
    let mut there: HashMap<(String, String, String), BTreeSet<String>> = HashMap::new();
    for ((sort, id, field), Said(digest, _)) in german() {
        there
            .entry((sort.into(), id, field))
            .or_default()
            .insert(digest);
    }
    let (mut missing, mut later) = (Vec::new(), Vec::new());
    for ((sort, id, field), texts) in english() {
        let known = there.get(&(sort.to_owned(), id.clone(), field.to_owned()));
        for text in texts {
            let digest = digest(text);
            if known.is_some_and(|known| known.contains(&digest)) {
                continue;
            }
            let told = format!("{sort}.{id}.{field}: [\"{digest}\", \"…\"] for \"{text}\"");
            match sort == "items" && !asked.contains(&id) {
                true => later.push(told),
                false => missing.push(told),
            }
        }
    }
    let told = missing.join("\n");
    assert!(
        missing.is_empty(),
        "without German, put into checklists/words/de:\n{told}"
    );
    let told = later.join("\n");
    assert_eq!(later.len(), FALLING_BACK, "falls back to English:\n{told}");
}

#[test]
fn no_translation_is_of_a_text_that_stands_there_no_more() {
    let english = english();
    let english: HashMap<_, BTreeSet<String>> = english
        .into_iter()
        .map(|((sort, id, field), texts)| {
            let digests = texts.into_iter().map(digest).collect();
            ((sort, id, field.to_owned()), digests)
        })
        .collect();
    let all = german().into_iter();
    let stale = all.filter(|(place, Said(digest, _))| {
        let known = english.get(place);
        known.is_none_or(|known| !known.contains(digest))
    });
    let stale: Vec<_> = stale
        .map(|((sort, id, field), Said(digest, text))| {
            format!("{sort}.{id}.{field}: [\"{digest}\", \"{text}\"]")
        })
        .collect();
    let told = stale.join("\n");
    assert!(
        stale.is_empty(),
        "the English of these was changed, or is gone:\n{told}"
    );
}

#[test]
fn one_english_text_has_one_german_text() {
    let mut known: HashMap<String, String> = HashMap::new();
    for (_, Said(digest, text)) in german() {
        let first = known.entry(digest).or_insert_with(|| text.clone());
        assert_eq!(*first, text);
    }
}

#[test]
fn rungs_that_differ_in_english_differ_in_german() {
    let texts = Translation::german();
    let items = Library::built_in().catalogue.items().iter();
    for item in items.flat_map(|item| [item.clone(), item.at_first_look()]) {
        let english: BTreeSet<_> = item.ladder.iter().collect();
        let german: BTreeSet<_> = item.ladder.iter().map(|rung| texts.of(rung)).collect();
        assert_eq!(german.len(), english.len(), "{}", item.id);
    }
}

/// The figures of a text in their order of size, each with the sign or unit behind it.
fn figures(text: &str) -> Vec<(String, String)> {
    const UNITS: [&str; 8] = ["%", "V", "s", "C", "inHg", "bar", "h", "L"];
    // A decimal comma and the sign of a degree are the reader's habit.
    let text = text.replace("°C", "C");
    let words: Vec<&str> = text.split_whitespace().collect();
    let ends = |c: char| c == ',' || c == '.' || c == ';' || c == ':' || c == '?';
    let mut found = Vec::new();
    for (n, word) in words.iter().enumerate() {
        let figure = word.trim_matches(ends);
        if !figure.contains(|c: char| c.is_ascii_digit()) {
            continue;
        }
        let next = words.get(n + 1).map_or("", |word| word.trim_matches(ends));
        let unit = if UNITS.contains(&next) { next } else { "" };
        found.push((figure.replace(',', "."), unit.to_owned()));
    }
    found.sort();
    found
}

#[test]
fn figures_and_units_are_those_of_the_english_text() {
    assert_eq!(figures("12.6 V, or 3 C"), figures("12,6 V oder 3 °C"));
    assert_ne!(figures("12.6 V"), figures("12,4 V"));
    assert_ne!(figures("5 s"), figures("5 h"));
    for (english, german) in pairs() {
        assert_eq!(figures(german), figures(english), "{english}: {german}");
    }
}

#[test]
fn nothing_that_english_denies_is_affirmed_in_german() {
    let has = |text: &str, words: &[&str]| {
        let text = text.to_lowercase();
        let mut found = text.split(|c: char| !c.is_alphanumeric());
        found.any(|word| words.contains(&word))
    };
    let english_words = [
        "never", "not", "no", "nor", "nobody", "nothing", "none", "without", "cannot",
    ];
    let german_words = [
        "nie", "nicht", "nichts", "kein", "keine", "keinen", "keiner", "keines", "niemand", "ohne",
    ];
    let mut denied = 0;
    for (english, german) in pairs() {
        if has(english, &english_words) {
            denied += 1;
            assert!(has(german, &german_words), "{english}: {german}");
        }
    }
    assert!(denied > 100, "{denied}");
}

#[test]
fn a_translation_has_the_form_of_the_english_text() {
    for (english, german) in pairs() {
        let told = format!("{english}: {german}");
        assert_ne!(german, english);
        assert_eq!(german, german.trim(), "{told}");
        assert!(!german.contains("  "), "{told}");
        let end = |text: &str| text.ends_with(['.', '?']);
        assert_eq!(end(german), end(english), "{told}");
        for sign in ['{', '}', '%', '$', '<', '\n'] {
            assert_eq!(
                german.matches(sign).count(),
                english.matches(sign).count(),
                "{told}"
            );
        }
        let long = 2 * english.chars().count() + 20;
        assert!(german.chars().count() <= long, "{told}");
        let hidden = german
            .chars()
            .any(|c| c.is_control() || crate::text::is_hidden(c));
        assert!(!hidden, "{told}");
    }
}

#[test]
fn a_changed_rung_is_english_again_and_takes_nothing_else_with_it() {
    let library = Library::built_in();
    let texts = Translation::german();
    let mut item = library
        .catalogue
        .item("drive-belt")
        .expect("built in")
        .clone();
    assert_eq!(texts.of(&item.title), Some("Keilriemen"));
    assert_eq!(
        texts.of(&item.ladder[4]),
        Some("gerissen oder von den Scheiben gelaufen")
    );
    item.ladder[4] = "broken, or slipping on its pulleys".into();
    assert_eq!(texts.of(&item.ladder[4]), None);
    assert_eq!(texts.of(&item.title), Some("Keilriemen"));
    assert_eq!(
        texts.of(&item.ladder[3]),
        Some("Gewebe sichtbar, oder ein Stück fehlt")
    );
    assert_eq!(texts.of("Bow thruster of our own"), None);
    assert_eq!(texts.of(""), None);
}

#[test]
fn a_word_of_another_form_does_not_pass() {
    let refused = |text: &str| serde_json::from_str::<WordsFile>(text).is_err();
    assert!(refused(r#"{"item": {}}"#));
    assert!(refused(r#"{"items": {"a": {"title": [["0123"]]}}}"#));
    assert!(refused(r#"{"items": {"a": {"title": "Riemen"}}}"#));
    assert!(!refused(
        r#"{"items": {"a": {"title": [["0123", "Riemen"]]}}}"#
    ));
}
