//! Checks a user's file, and our own: first its shape, then whether it makes sense.

use std::fmt;

use serde::{Deserialize, de::DeserializeOwned};
use serde_json::{Error, Value};

use super::catalogue::{Catalogue, CatalogueFile};
use super::item::Item;
use super::list::{Checklist, ChecklistFile, Phase, Row};
use super::position::{Positions, byte_in};
use super::rules::{self, Faults};
use super::task::{Task, TasksFile};
use super::task_rules;
use super::wording::{nearest, plain, visible};

/// Largest file read, bytes: a thousand times what a checklist needs.
pub const LARGEST_FILE: usize = 1 << 20;

/// The types of file there are, for messages.
const TYPES: &str = "'checklist', 'catalogue' or 'service-tasks'";

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

/// A file that passed.
#[derive(Clone, Debug, PartialEq)]
pub enum Parsed {
    /// Stations and items, a file of type `catalogue`.
    Catalogue(CatalogueFile),
    /// A checklist, a file of type `checklist`.
    Checklist(Checklist),
    /// Service tasks, a file of type `service-tasks`.
    Tasks(TasksFile),
}

impl Parsed {
    /// Everything the file gives an id to: what it is, path of the id, the id.
    pub(super) fn defines(&self) -> Vec<(&'static str, String, String)> {
        match self {
            Parsed::Catalogue(file) => {
                let stations = file.stations.iter().enumerate();
                let items = file.items.iter().enumerate();
                stations
                    .map(|(n, s)| ("station", format!("stations[{n}].id"), s.id.clone()))
                    .chain(items.map(|(n, i)| ("item", format!("items[{n}].id"), i.id.clone())))
                    .collect()
            }
            Parsed::Checklist(list) => vec![("checklist", "id".into(), list.id.clone())],
            Parsed::Tasks(file) => {
                let tasks = file.tasks.iter().enumerate();
                tasks
                    .map(|(n, t)| ("service task", format!("tasks[{n}].id"), t.id.clone()))
                    .collect()
            }
        }
    }
}

/// Reads a catalogue file, a checklist or service tasks and checks it against what is known already: `known`
/// holds the items and stations it may name besides its own.
///
/// # Errors
/// Everything that is wrong, in the order it stands in the file. A fault of syntax hides what
/// comes after it, and faults of shape (a missing field, a word for a number) hide the rules.
pub fn check_file(name: &str, text: &str, known: &Catalogue) -> Result<Parsed, Vec<Complaint>> {
    if text.len() > LARGEST_FILE {
        let message = format!("the file is larger than {} KiB", LARGEST_FILE / 1024);
        return Err(complain(name, "", vec![(String::new(), message)]));
    }
    let text = without_mark(text);
    let shape = |found: Vec<Stop>| shape_complaints(name, text, &found);
    let peek: Peek = serde_json::from_str(text)
        .map_err(|error| shape(vec![(byte_in(text, error.line(), error.column()), error)]))?;
    let mut faults = Faults::default();
    let parsed = match peek
        .file_type
        .as_ref()
        .map(|t| t.as_str().unwrap_or_default())
    {
        Some("catalogue") => {
            let file = read::<CatalogueFile>(text, &CATALOGUE).map_err(shape)?;
            rules::catalogue(&file, known, &mut faults);
            Parsed::Catalogue(file)
        }
        Some("checklist") => {
            let list = read::<ChecklistFile>(text, &CHECKLIST)
                .map_err(shape)?
                .into();
            rules::checklist(&list, known, &mut faults);
            Parsed::Checklist(list)
        }
        Some("service-tasks") => {
            let file = read::<TasksFile>(text, &TASKS).map_err(shape)?;
            task_rules::tasks(&file, known, &mut faults);
            Parsed::Tasks(file)
        }
        other => {
            let (path, message) = match other {
                None => ("", format!("the field 'type' is missing; it is {TYPES}")),
                Some(word) => {
                    let near = nearest(word, ["checklist", "catalogue", "service-tasks"])
                        .unwrap_or_default();
                    let word = visible(word);
                    (
                        "type",
                        format!("'{word}' is no type of file; it is {TYPES}{near}"),
                    )
                }
            };
            return Err(complain(name, text, vec![(path.into(), message)]));
        }
    };
    if let Ok(value) = serde_json::from_str::<Value>(text) {
        rules::hidden_in(&value, &mut String::new(), &mut faults);
    }
    let complaints = complain(name, text, faults.into_vec());
    if complaints.is_empty() {
        Ok(parsed)
    } else {
        Err(complaints)
    }
}

/// What a file says it is, if it can be read so far.
pub(super) fn file_type(text: &str) -> Option<String> {
    let peek: Peek = serde_json::from_str(without_mark(text)).ok()?;
    Some(peek.file_type?.as_str()?.to_owned())
}

/// Faults of one file, each a path and a sentence, with their places, in the order they stand.
pub(super) fn complain(name: &str, text: &str, faults: Vec<(String, String)>) -> Vec<Complaint> {
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
struct Shape {
    read: fn(&str) -> Option<Error>,
    lists: &'static [(&'static str, &'static Shape)],
}

const fn shape<T: DeserializeOwned>(lists: &'static [(&'static str, &'static Shape)]) -> Shape {
    Shape {
        read: |text| serde_json::from_str::<T>(text).err(),
        lists,
    }
}

static STATION: Shape = shape::<super::catalogue::Station>(&[]);
static ITEM: Shape = shape::<Item>(&[]);
static ROW: Shape = shape::<Row>(&[]);
static PHASE: Shape = shape::<Phase>(&[("rows", &ROW)]);
static CHECKLIST: Shape = shape::<ChecklistFile>(&[("phases", &PHASE)]);
static TASK: Shape = shape::<Task>(&[]);
static TASKS: Shape = shape::<TasksFile>(&[("tasks", &TASK)]);
static CATALOGUE: Shape = shape::<CatalogueFile>(&[("stations", &STATION), ("items", &ITEM)]);

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
