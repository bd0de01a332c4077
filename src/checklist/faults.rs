//! What is found wrong with a file, told field by field, and the rules that any file keeps to.

use std::collections::HashSet;
use std::hash::Hash;

use serde::Serialize;
use serde_json::Value;

use super::wording::{is_hidden_control, nearest, visible};

/// Longest id, characters.
pub(super) const LONGEST_ID: usize = 64;

/// What was found, each with the path of its field; beyond [`Faults::MOST`] only counted, so a
/// hostile file cannot make the list larger than itself.
#[derive(Default)]
pub(crate) struct Faults {
    found: Vec<(String, String)>,
    left_out: usize,
}

impl Faults {
    /// Most faults told of one file.
    pub(super) const MOST: usize = 100;

    pub(crate) fn add(&mut self, path: &str, message: impl FnOnce() -> String) {
        if self.found.len() < Faults::MOST {
            self.found.push((path.to_owned(), message()));
        } else {
            self.left_out += 1;
        }
    }

    pub(crate) fn refuse(&mut self, when: bool, path: &str, message: &str) {
        if when {
            self.add(path, || message.to_owned());
        }
    }

    /// The first of them as one sentence without a full stop.
    pub(super) fn first(self) -> Option<String> {
        let (field, why) = self.into_vec().into_iter().next()?;
        Some(format!("{field}: {why}"))
    }

    pub(super) fn into_vec(mut self) -> Vec<(String, String)> {
        if self.left_out > 0 {
            self.found.push((
                String::new(),
                format!("{} more faults are not shown", self.left_out),
            ));
        }
        self.found
    }
}

/// No text anywhere may hold characters that steer a terminal or the direction of writing.
pub(super) fn hidden_characters(value: &impl Serialize, faults: &mut Faults) {
    // What is refused here is refused where it is written.
    if let Ok(value) = serde_json::to_value(value) {
        hidden_in(&value, &mut String::new(), faults);
    }
}

pub(super) fn hidden_in(value: &Value, path: &mut String, faults: &mut Faults) {
    let length = path.len();
    match value {
        Value::String(text) => {
            if let Some(c) = text.chars().find(|c| is_hidden_control(*c)) {
                faults.add(path, || {
                    format!(
                        "the text holds a hidden control character, U+{:04X}",
                        u32::from(c)
                    )
                });
            }
        }
        Value::Array(values) => {
            for (n, value) in values.iter().enumerate() {
                path.push_str(&format!("[{n}]"));
                hidden_in(value, path, faults);
                path.truncate(length);
            }
        }
        Value::Object(fields) => {
            for (key, value) in fields {
                path.push_str(if length == 0 { "" } else { "." });
                path.push_str(key);
                hidden_in(value, path, faults);
                path.truncate(length);
            }
        }
        _ => {}
    }
}

/// Lower-case words and digits joined by single hyphens.
pub(crate) fn id(id: &str, path: &str, faults: &mut Faults) {
    if let Some(message) = id_fault(id) {
        faults.add(path, || message);
    }
}

/// What is wrong with an id, if anything is.
pub(crate) fn id_fault(id: &str) -> Option<String> {
    let word = |w: &str| {
        !w.is_empty()
            && w.bytes()
                .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
    };
    (id.len() > LONGEST_ID || !id.split('-').all(word)).then(|| {
        let id = visible(id);
        format!("'{id}' is no id: lower-case words and digits joined by hyphens, at most {LONGEST_ID} characters")
    })
}

pub(crate) fn blank(text: &str, path: &str, faults: &mut Faults) {
    faults.refuse(text.trim().is_empty(), path, "the text is empty");
}

pub(crate) fn once<T: Hash + Eq + Copy + AsRef<str>>(
    seen: &mut HashSet<T>,
    id: T,
    path: &str,
    what: &str,
    faults: &mut Faults,
) {
    if !seen.insert(id) {
        faults.add(path, || {
            format!("the {what} '{}' stands here twice", visible(id.as_ref()))
        });
    }
}

pub(crate) fn unknown<'k>(
    what: &str,
    id: &str,
    known: impl Iterator<Item = &'k str>,
    path: &str,
    faults: &mut Faults,
) {
    faults.add(path, || {
        let near = nearest(id, known).unwrap_or_default();
        format!("'{}' is no {what} known here{near}", visible(id))
    });
}
