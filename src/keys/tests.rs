use std::collections::{BTreeMap, BTreeSet};

use super::*;
use crate::keys::key::Code;

fn key(text: &str) -> Key {
    text.parse().expect(text)
}

fn overrides(rows: &[(&str, &[&str])]) -> Result<KeyTable, Vec<String>> {
    let map: BTreeMap<_, _> = rows
        .iter()
        .map(|(name, keys)| {
            (
                name.to_string(),
                keys.iter().map(|k| k.to_string()).collect(),
            )
        })
        .collect();
    KeyTable::with_overrides(&map)
}

fn only_error(rows: &[(&str, &[&str])]) -> String {
    let errors = overrides(rows).expect_err("must be refused");
    assert_eq!(errors.len(), 1, "{errors:?}");
    errors.concat()
}

#[test]
fn every_action_has_exactly_one_row_and_the_built_in_table_has_no_clash() {
    for action in Action::ALL {
        let rows = ROWS.iter().filter(|row| row.action == *action).count();
        assert_eq!(rows, 1, "{action}");
    }
    assert_eq!(KeyTable::built_in().clashes(), Vec::<String>::new());
    assert_eq!(overrides(&[]), Ok(KeyTable::built_in()));
}

#[test]
fn every_written_key_does_what_its_row_says() {
    let table = KeyTable::built_in();
    for row in ROWS {
        assert!(!row.keys.is_empty() && !row.contexts.is_empty());
        assert_eq!(
            table.keys_of(row.action).len(),
            row.keys.len(),
            "{}",
            row.action
        );
        for context in row.contexts {
            let mut working = 0;
            for spelling in row.keys {
                let key = key(spelling);
                let text = context.takes_text() && key.typed().is_some();
                let expected = (!text).then_some(row.action);
                assert_eq!(
                    table.lookup(*context, &key),
                    expected,
                    "{spelling} in {context}"
                );
                working += usize::from(!text);
            }
            assert!(working > 0, "{} cannot be reached in {context}", row.action);
        }
    }
}

#[test]
fn labels_and_help_fit_and_read_well() {
    for row in ROWS {
        assert!(row.label.chars().count() <= 9, "{}", row.label);
        assert!(row.help.chars().count() <= 64, "{}", row.help);
        assert!(
            !row.help.ends_with('.') && !row.help.contains('\n'),
            "{}",
            row.help
        );
    }
}

#[test]
fn no_built_in_key_needs_altgr_on_common_layouts() {
    for spelling in ROWS.iter().flat_map(|row| row.keys) {
        if let Code::Char(c) = key(spelling).code() {
            assert!(c.is_ascii() && !r"[]{}\@~|#$^`".contains(c), "{spelling}");
        }
    }
}

#[test]
fn a_letter_means_one_thing_on_all_screens() {
    // The machine key shows the next machine where one is shown, and one or all in a list.
    let same: BTreeSet<_> = [Action::NextMachine, Action::FilterMachine].into();
    let mut meaning: BTreeMap<char, BTreeSet<Action>> = BTreeMap::new();
    for row in ROWS {
        for c in row.keys.iter().filter_map(|k| key(k).typed()) {
            if !c.is_ascii_digit() {
                meaning.entry(c).or_default().insert(row.action);
            }
        }
    }
    for (c, actions) in meaning {
        assert!(actions.len() == 1 || actions == same, "{c}: {actions:?}");
    }
}

#[test]
fn the_footer_joins_neighbours_and_ends_with_the_way_out() {
    let table = KeyTable::built_in();
    let walk: Vec<_> = table.footer(Context::Walk, |_| true).collect();
    assert_eq!(walk[0], ("0-4".to_string(), "grade"));
    assert_eq!(walk[1], ("\"".to_string(), "as before"));
    assert_eq!(walk[2], ("f3/f5".to_string(), "trouble"));
    assert_eq!(walk[3], ("x".to_string(), "not seen"));
    assert!(walk.contains(&("up/down".to_string(), "move")));
    for context in Context::ALL {
        let footer: Vec<_> = table.footer(*context, |_| true).collect();
        assert_eq!(
            footer.last(),
            Some(&("ctrl-c".to_string(), "quit")),
            "{context}"
        );
    }
    let note: Vec<_> = table.footer(Context::Note, |_| true).collect();
    assert!(
        note.contains(&("f1".to_string(), "keys")),
        "? is text in a note: {note:?}"
    );
}

#[test]
fn the_help_shows_the_keys_of_the_user() {
    let table = overrides(&[("note", &["N", "f9"])]).expect("valid");
    let line = table
        .help(Context::Walk)
        .find(|l| l.help == "Write a note")
        .expect("a line");
    assert_eq!((line.keys.as_str(), line.section), ("N f9", Section::Look));
    assert_eq!(table.lookup(Context::Walk, &key("f9")), Some(Action::Note));
    assert_eq!(table.lookup(Context::Walk, &key("n")), None);
    assert_eq!(
        table.help(Context::Walk).count(),
        table.rows(Context::Walk).count()
    );
}

#[test]
fn what_is_wrong_with_an_override_is_said_in_one_sentence() {
    assert_eq!(
        only_error(&[("nots", &["n"])]),
        "there is no action 'nots'; did you mean 'note'?"
    );
    assert_eq!(
        only_error(&[("self-destruct", &["n"])]),
        "there is no action 'self-destruct'; handlamp keys lists them"
    );
    assert!(only_error(&[("note", &["entr"])]).starts_with("note: 'entr' is no key; "));
    assert_eq!(
        only_error(&[("note", &["w"])]),
        "the key w would be both note and wear in walk"
    );
    assert_eq!(only_error(&[("note", &[])]), "note has no key left in walk");
    assert_eq!(
        only_error(&[("save", &["S"])]),
        "save has no key left in note; letters are text there, so add a key such as f1 or ctrl-s"
    );
    assert_eq!(
        only_error(&[("note", &["7"])]),
        "note cannot be on 7: plain digits grade and pick, nothing else"
    );
    assert_eq!(
        only_error(&[("grade-2", &["b"])]),
        "grade-2 keeps the key 2; other keys can stand beside it"
    );
}

#[test]
fn two_actions_can_trade_keys_and_grades_can_have_more() {
    let table = overrides(&[
        ("note", &["w", "w"]),
        ("wear", &["n"]),
        ("grade-0", &["0", "space", "à"]),
    ])
    .expect("valid");
    assert_eq!(table.lookup(Context::Walk, &key("w")), Some(Action::Note));
    assert_eq!(table.lookup(Context::Walk, &key("n")), Some(Action::Wear));
    assert_eq!(
        table.lookup(Context::Walk, &key("space")),
        Some(Action::Grade0)
    );
    assert_eq!(table.keys_of(Action::Note), [key("w")]);
}

#[test]
fn several_errors_are_all_told() {
    let errors = overrides(&[("nots", &["n"]), ("wear", &["entr"])]).expect_err("two");
    assert_eq!(errors.len(), 2, "{errors:?}");
}
