//! The tables are whole, and say the same things.

use std::collections::{BTreeMap, BTreeSet};

use fluent_bundle::FluentResource;

use super::*;

/// Names of the messages with the names of what is filled in.
fn messages(language: Language) -> BTreeMap<String, BTreeSet<String>> {
    let source = language.source();
    FluentResource::try_new(source.to_owned()).expect("a table without faults");
    let mut found = BTreeMap::new();
    let mut name = String::new();
    for line in source.lines().filter(|line| !line.starts_with('#')) {
        if let Some((key, _)) = line.split_once('=')
            && !line.starts_with([' ', '}', '['])
        {
            name = key.trim().to_owned();
            let twice = found.insert(name.clone(), BTreeSet::new());
            assert!(twice.is_none(), "{language}: {name} stands there twice");
        }
        let fills = line.split('$').skip(1).map(|rest| {
            let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_');
            rest[..end.unwrap_or(rest.len())].to_owned()
        });
        if let Some(known) = found.get_mut(&name) {
            known.extend(fills);
        }
    }
    found
}

#[test]
fn every_language_says_what_english_says_with_the_same_to_fill_in() {
    let english = messages(Language::English);
    assert!(!english.is_empty());
    for language in Language::ALL {
        assert_eq!(messages(*language), english, "{language}");
    }
}

#[test]
fn plurals_and_what_is_filled_in_follow_the_language() {
    let said = |language: Language, n: i32| say!(language.words(), "photographs-left-out", n = n);
    assert_eq!(
        said(Language::English, 1),
        "1 photograph cannot be read and is left out."
    );
    assert_eq!(
        said(Language::English, 2),
        "2 photographs cannot be read and are left out."
    );
    assert_eq!(
        said(Language::German, 1),
        "1 Foto ist nicht lesbar und fehlt hier."
    );
    assert_eq!(
        said(Language::German, 2),
        "2 Fotos sind nicht lesbar und fehlen hier."
    );
}
