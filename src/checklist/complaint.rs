//! Reads a file whole or says everything that is wrong with it, by file, line, column and field: first
//! its shape, then whether it makes sense.

use std::fmt;

use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::{Error, Value};

use super::faults::{Faults, hidden_in};
use super::position::{Positions, byte_in};
use super::wording::{nearest, plain, visible};

/// Largest file read, bytes: a thousand times what a checklist needs.
pub const LARGEST_FILE: usize = 1 << 20;

/// What is wrong with a file, and where. Lines and columns count from 1, columns in characters.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Complaint {
    /// Name of the file.
    pub file: String,
    /// Line in the file, from 1.
    pub line: usize,
    /// Column in the line, from 1.
    pub column: usize,
    /// The field, such as `phases[2].rows[0].items[1]`; empty for the whole file.
    pub field: String,
    /// What is wrong, a plain sentence without a full stop.
    pub message: String,
}

impl fmt::Display for Complaint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Complaint {
            file,
            line,
            column,
            field,
            message,
        } = self;
        write!(f, "{} line {line}, column {column}: ", visible(file))?;
        if !field.is_empty() {
            write!(f, "field `{field}`: ")?;
        }
        f.write_str(message)
    }
}

impl std::error::Error for Complaint {}

/// What a file says it is, none where it says nothing.
///
/// # Errors
/// It is too large, or no JSON object.
pub(crate) fn type_of(name: &str, text: &str) -> Result<Option<String>, Vec<Complaint>> {
    if text.len() > LARGEST_FILE {
        let message = format!("the file is larger than {} KiB", LARGEST_FILE / 1024);
        return Err(complain(name, "", vec![(String::new(), message)]));
    }
    let text = without_mark(text);
    let peek: Peek = serde_json::from_str(text).map_err(|error| {
        let stop = byte_in(text, error.line(), error.column());
        shape_complaints(name, text, &[(stop, error)])
    })?;
    let word = |word: Value| word.as_str().unwrap_or_default().to_owned();
    Ok(peek.file_type.map(word))
}

/// Complains of a type of file that is not read here.
pub(crate) fn other_type(
    name: &str,
    text: &str,
    said: Option<&str>,
    types: &[&str],
) -> Vec<Complaint> {
    let all: Vec<_> = types.iter().map(|known| format!("'{known}'")).collect();
    let all = match all.split_last() {
        Some((last, before)) if !before.is_empty() => format!("{} or {last}", before.join(", ")),
        _ => all.concat(),
    };
    let fault = match said {
        None => (
            String::new(),
            format!("the field 'type' is missing; it is {all}"),
        ),
        Some(word) => {
            let near = nearest(word, types.iter().copied()).unwrap_or_default();
            let word = visible(word);
            (
                "type".to_owned(),
                format!("'{word}' is no type of file; it is {all}{near}"),
            )
        }
    };
    complain(name, text, vec![fault])
}

/// Reads a file of one type and holds it against rules.
///
/// # Errors
/// Everything that is wrong, in the order it stands in the file.
pub(crate) fn checked<T: DeserializeOwned>(
    name: &str,
    text: &str,
    shape: &Shape,
    rules: impl FnOnce(&T, &mut Faults),
) -> Result<T, Vec<Complaint>> {
    let text = without_mark(text);
    let file = read::<T>(text, shape).map_err(|found| shape_complaints(name, text, &found))?;
    let mut faults = Faults::default();
    rules(&file, &mut faults);
    if let Ok(value) = serde_json::from_str::<Value>(text) {
        hidden_in(&value, &mut String::new(), &mut faults);
    }
    let complaints = complain(name, text, faults.into_vec());
    if complaints.is_empty() {
        Ok(file)
    } else {
        Err(complaints)
    }
}

/// Faults of one file, each a path and a sentence, with their places, in the order they stand.
pub(crate) fn complain(name: &str, text: &str, faults: Vec<(String, String)>) -> Vec<Complaint> {
    if faults.is_empty() {
        return Vec::new();
    }
    let positions = Positions::of(without_mark(text));
    let mut complaints: Vec<_> = faults
        .into_iter()
        .map(|(field, message)| {
            let (line, column) = positions.line_column(positions.byte_of(&field));
            Complaint {
                file: name.to_owned(),
                line,
                column,
                field,
                message,
            }
        })
        .collect();
    complaints.sort();
    complaints
}

#[derive(Deserialize)]
struct Peek {
    #[serde(rename = "type")]
    file_type: Option<Value>,
}

fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

/// How a part of a file is read on its own, and which of its lists hold parts in turn: so a
/// fault in one item does not hide the next item's.
pub(crate) struct Shape {
    read: fn(&str) -> Option<Error>,
    lists: &'static [(&'static str, &'static Shape)],
}

/// A part read as `T`, with its lists by name.
pub(crate) const fn shape<T: DeserializeOwned>(
    lists: &'static [(&'static str, &'static Shape)],
) -> Shape {
    Shape {
        read: |text| serde_json::from_str::<T>(text).err(),
        lists,
    }
}

/// serde's word on a fault, and the byte of the file where it stopped.
type Stop = (usize, Error);

fn read<T: DeserializeOwned>(text: &str, shape: &Shape) -> Result<T, Vec<Stop>> {
    serde_json::from_str(text).map_err(|_| {
        let positions = Positions::of(text);
        let mut found = Vec::new();
        gather(
            &positions,
            (positions.byte_of(""), text.len()),
            shape,
            &mut found,
        );
        found
    })
}

/// Adds the faults of a part's parts, then its own where it is none of theirs.
fn gather(at: &Positions<'_>, part: (usize, usize), shape: &Shape, found: &mut Vec<Stop>) {
    let text = at.text().get(part.0..part.1).unwrap_or_default();
    let Some(error) = (shape.read)(text).filter(|_| found.len() < Faults::MOST) else {
        return;
    };
    let stop = part.0 + byte_in(text, error.line(), error.column());
    let mut told = false;
    for (name, inner) in shape.lists {
        for element in at.elements(part.0, name) {
            let before = found.len();
            gather(at, element, inner, found);
            told |= found.len() > before && (element.0..element.1).contains(&stop);
        }
    }
    if !told {
        found.push((stop, error));
    }
}

fn shape_complaints(name: &str, text: &str, found: &[Stop]) -> Vec<Complaint> {
    let positions = Positions::of(text);
    let mut complaints: Vec<_> = found
        .iter()
        .map(|(stop, error)| {
            let field = positions.path_at(*stop);
            // serde stops at the end of what it dislikes; a fault of syntax is just there, any
            // other is better shown where the field begins.
            let shown = if error.is_data() {
                positions.byte_of(&field)
            } else {
                *stop
            };
            let (line, column) = positions.line_column(shown);
            let field = visible(&field);
            Complaint {
                file: name.to_owned(),
                line,
                column,
                field,
                message: plain(error),
            }
        })
        .collect();
    if found.len() >= Faults::MOST {
        let message = format!("faults beyond the first {} are not shown", Faults::MOST);
        complaints.extend(complain(name, text, vec![(String::new(), message)]));
    }
    complaints.sort();
    complaints
}
