//! The table as built, and with the user's keys.

use std::collections::{BTreeMap, BTreeSet};

use super::{Action, Context, KeyRow, KeyTable, ROWS, works};
use crate::keys::key::{Code, Key};
use crate::text::nearest;

impl KeyTable {
    /// The table without any overrides.
    pub fn built_in() -> KeyTable {
        // Every built-in spelling is a key, by test.
        let keys = |row: &KeyRow| row.keys.iter().filter_map(|k| k.parse().ok()).collect();
        KeyTable {
            keys: ROWS.iter().map(keys).collect(),
        }
    }

    /// The table with the keys of some actions, by name, replaced.
    ///
    /// # Errors
    /// One sentence for each thing wrong: an action or key that does not exist, a digit used for
    /// anything but its own grade or choice, an action left without a key where it works, one
    /// key for two actions in a context.
    pub fn with_overrides(
        overrides: &BTreeMap<String, Vec<String>>,
    ) -> Result<KeyTable, Vec<String>> {
        let mut table = KeyTable::built_in();
        let mut errors = Vec::new();
        for (name, spellings) in overrides {
            let Some(at) = ROWS.iter().position(|row| row.action.name() == name) else {
                errors.push(unknown_action(name));
                continue;
            };
            let action = ROWS[at].action;
            let mut keys: Vec<Key> = Vec::new();
            for spelling in spellings {
                match spelling.parse() {
                    Ok(key) if keys.contains(&key) => {}
                    Ok(key) => keys.push(key),
                    Err(error) => errors.push(format!("{name}: {error}")),
                }
            }
            errors.extend(digit_errors(action, &keys));
            table.keys[at] = keys;
        }
        // Wrong spellings leave holes that would be reported twice.
        if errors.is_empty() {
            errors.extend(table.missing());
            errors.extend(table.clashes());
        }
        if errors.is_empty() {
            Ok(table)
        } else {
            Err(errors)
        }
    }

    fn missing(&self) -> Vec<String> {
        let mut errors = Vec::new();
        for (row, keys) in ROWS.iter().zip(&self.keys) {
            let without = |context: &&Context| !keys.iter().any(|k| works(**context, k));
            if let Some(context) = row.contexts.iter().find(without) {
                let why = if context.takes_text() && !keys.is_empty() {
                    "; letters are text there, so add a key such as f1 or ctrl-s"
                } else {
                    ""
                };
                errors.push(format!("{} has no key left in {context}{why}", row.action));
            }
        }
        errors
    }

    pub(super) fn clashes(&self) -> Vec<String> {
        let mut errors: Vec<String> = Vec::new();
        // What clashes in a walk clashes on its drawing too, and is said once.
        let mut told: BTreeSet<(Action, Action)> = BTreeSet::new();
        for context in Context::ALL {
            let mut taken: BTreeMap<Key, Action> = BTreeMap::new();
            for (row, keys) in self.rows(*context) {
                for key in keys.iter().filter(|k| works(*context, k)) {
                    if let Some(first) = taken.insert(*key, row.action)
                        && told.insert((first, row.action))
                    {
                        errors.push(format!(
                            "the key {key} would be both {first} and {} in {context}",
                            row.action
                        ));
                    }
                }
            }
        }
        errors
    }
}

fn unknown_action(name: &str) -> String {
    let shown = name.escape_default();
    match nearest(name, Action::ALL.iter().map(|a| a.name())) {
        Some(near) => format!("there is no action '{shown}'; did you mean '{near}'?"),
        None => format!("there is no action '{shown}'; handlamp keys lists them"),
    }
}

fn digit_errors(action: Action, keys: &[Key]) -> Vec<String> {
    let own = action.own_digit();
    let mut errors: Vec<String> = keys
        .iter()
        .filter_map(|key| match key.code() {
            Code::Char(c) if c.is_ascii_digit() && key.typed().is_some() && Some(c) != own => Some(
                format!("{action} cannot be on {c}: plain digits grade and pick, nothing else"),
            ),
            _ => None,
        })
        .collect();
    if let Some(digit) = own
        && !keys.contains(&Key::plain(Code::Char(digit)))
    {
        errors.push(format!(
            "{action} keeps the key {digit}; other keys can stand beside it"
        ));
    }
    errors
}
