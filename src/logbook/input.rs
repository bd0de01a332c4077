//! Records from outside: JSON or JSON Lines, checked whole before any of it is written.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::Deserialize;
use serde::de::DeserializeOwned;
use serde_json::value::RawValue;

pub use schema::schema;

use super::record::{Event, EventKind, Record};
use crate::boat::Hours;
use crate::checklist::position::Positions;
use crate::checklist::{Complaint, nearest, plain};
use crate::service::ServiceSheet;
use crate::walk::{Agreed, FrontFact, FuelLeft, Look, Notified};

mod schema;

/// A finished (or interrupted) walk as one document.
#[derive(Clone, Debug, Deserialize, JsonSchema)]
pub struct WalkSheet {
    /// Checklist id.
    pub checklist: String,
    /// Machine id; may be left out where the boat has one.
    #[serde(default)]
    pub machine: Option<String>,
    /// When it was walked.
    pub at: DateTime<FixedOffset>,
    /// Who walked.
    #[serde(default)]
    pub by: Option<String>,
    /// Meter as read; left out where it was not.
    #[serde(default)]
    pub hours: Option<Hours>,
    /// False where the walk was broken off and may go on.
    #[serde(default = "yes")]
    pub finished: bool,
    /// Joints the service before a leak run disturbed, by item id; left out where not known.
    #[serde(default)]
    pub disturbed: Vec<String>,
    /// True where earlier grades were out of sight until each look was made.
    #[serde(default)]
    pub blind: bool,
    /// True where a guest walked: it can raise a stop, and lifts none and confirms no repair.
    #[serde(default)]
    pub guest: bool,
    /// What fuel a guest left, tank by tank.
    #[serde(default)]
    pub fuel: Vec<FuelLeft>,
    /// What was agreed beforehand with the owner or seller.
    #[serde(default)]
    pub agreed: Option<Agreed>,
    /// What stands before the findings in its document, entry by entry.
    #[serde(default)]
    pub front: BTreeMap<FrontFact, String>,
    /// Why the engine was started though a stop was in force; left out where it was not, or where
    /// nobody said.
    #[serde(default)]
    pub started_anyway: Option<String>,
    /// Who was told of what is unsafe.
    #[serde(default)]
    pub told: Vec<Notified>,
    /// In the order made.
    pub looks: Vec<Look>,
}

fn yes() -> bool {
    true
}

/// One document of a file.
#[derive(Clone, Debug)]
pub struct Document {
    /// The id it brings, if it brings one.
    pub id: Option<String>,
    /// What it says.
    pub body: Body,
    place: Place,
}

/// What a document says.
#[derive(Clone, Debug)]
pub enum Body {
    /// A walk.
    Walk(Box<WalkSheet>),
    /// Work that was done.
    Service(Box<ServiceSheet>),
    /// Any other record.
    Act(Box<Record>),
}

/// Where a document stands in its file.
#[derive(Clone, Debug)]
pub struct Place {
    file: String,
    text: String,
    lines_before: usize,
    columns_before: usize,
}

/// How a kind of record comes from outside.
#[derive(Clone, Copy)]
pub enum Outside {
    /// Not at all.
    No,
    /// Another way, which is named.
    Elsewhere(&'static str),
    /// `record` takes it.
    Taken(Taken),
}

/// What `record` takes as one type of document.
#[derive(Clone, Copy)]
pub struct Taken {
    read: fn(&Place) -> Result<Body, Vec<Complaint>>,
    schema: fn(&mut SchemaGenerator) -> Schema,
}

impl Outside {
    /// As it stands in the log.
    pub const fn act<T: Event + JsonSchema>() -> Outside
    where
        Record: From<T>,
    {
        Outside::Taken(Taken {
            read: |place| place.read::<T>().map(|act| Body::Act(Box::new(act.into()))),
            schema: T::json_schema,
        })
    }

    /// In a form of its own, which becomes one record or several.
    pub const fn sheet<T: DeserializeOwned + JsonSchema>() -> Outside
    where
        Body: From<T>,
    {
        Outside::Taken(Taken {
            read: |place| place.read::<T>().map(Body::from),
            schema: T::json_schema,
        })
    }
}

impl From<WalkSheet> for Body {
    fn from(sheet: WalkSheet) -> Body {
        Body::Walk(Box::new(sheet))
    }
}

impl From<ServiceSheet> for Body {
    fn from(sheet: ServiceSheet) -> Body {
        Body::Service(Box::new(sheet))
    }
}

/// The types of documents `record` takes, in the order they are told of.
fn types() -> impl Iterator<Item = (&'static str, Taken)> {
    Record::KINDS.iter().filter_map(|kind| match kind.outside {
        Outside::Taken(taken) => Some((kind.name, taken)),
        Outside::No | Outside::Elsewhere(_) => None,
    })
}

/// Their names, for messages.
pub fn type_names() -> Vec<&'static str> {
    types().map(|(name, _)| name).collect()
}

#[derive(Deserialize)]
struct Peek {
    #[serde(rename = "type", default)]
    tag: Option<String>,
    #[serde(default)]
    id: Option<String>,
}

/// Reads the documents of a file: one JSON object, an array of them, or one after another (JSON
/// Lines).
///
/// # Errors
/// Every document's faults of form, with file, line, column and field.
pub fn read_documents(name: &str, text: &str) -> Result<Vec<Document>, Vec<Complaint>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut documents = Vec::new();
    let mut complaints = Vec::new();
    // How far was counted, and what was.
    let (mut counted, mut lines_before, mut columns_before) = (0, 0, 0);
    for (start, raw) in split(name, text)? {
        let between = &text[counted..start];
        lines_before += between.matches('\n').count();
        columns_before = match between.rsplit_once('\n') {
            Some((_, last)) => last.chars().count(),
            None => columns_before + between.chars().count(),
        };
        counted = start;
        let place = Place {
            file: name.to_owned(),
            text: raw.to_owned(),
            lines_before,
            columns_before,
        };
        match read_one(place) {
            Ok(document) => documents.push(document),
            Err(found) => complaints.extend(found),
        }
    }
    if documents.is_empty() && complaints.is_empty() {
        let message = "there is no record in it".to_owned();
        complaints.push(Complaint {
            file: name.to_owned(),
            line: 1,
            column: 1,
            field: String::new(),
            message,
        });
    }
    if complaints.is_empty() {
        Ok(documents)
    } else {
        Err(complaints)
    }
}

fn split<'t>(name: &str, text: &'t str) -> Result<Vec<(usize, &'t str)>, Vec<Complaint>> {
    let offset = |raw: &str| raw.as_ptr() as usize - text.as_ptr() as usize;
    let complain = |error: serde_json::Error| {
        let (line, column) = (error.line().max(1), error.column().max(1));
        vec![Complaint {
            file: name.to_owned(),
            line,
            column,
            field: String::new(),
            message: plain(&error),
        }]
    };
    if text.trim_start().starts_with('[') {
        let all: Vec<&RawValue> = serde_json::from_str(text).map_err(complain)?;
        return Ok(all
            .into_iter()
            .map(|raw| (offset(raw.get()), raw.get()))
            .collect());
    }
    let stream = serde_json::Deserializer::from_str(text).into_iter::<&RawValue>();
    stream
        .map(|raw| {
            raw.map(|raw| (offset(raw.get()), raw.get()))
                .map_err(complain)
        })
        .collect()
}

fn read_one(place: Place) -> Result<Document, Vec<Complaint>> {
    let peek: Peek = serde_json::from_str(&place.text).map_err(|e| vec![place.misread(&e)])?;
    let Some(tag) = peek.tag.as_deref() else {
        return Err(vec![place.complaint(
            "",
            format!(
                "the field 'type' is missing; expected {}",
                type_names().join(", ")
            ),
        )]);
    };
    let body = match EventKind::named(tag).map_or(Outside::No, |kind| kind.outside) {
        Outside::Taken(taken) => (taken.read)(&place),
        Outside::Elsewhere(how) => Err(vec![place.complaint("type", how.to_owned())]),
        Outside::No => {
            let names = type_names();
            let near = nearest(tag, names.iter().copied()).unwrap_or_default();
            let message = format!(
                "'{}' is no type of record{near}; expected {}",
                crate::text::safe_line(tag),
                names.join(", ")
            );
            Err(vec![place.complaint("type", message)])
        }
    }?;
    Ok(Document {
        id: peek.id,
        body,
        place,
    })
}

impl Document {
    /// True where both say the same, letter for letter.
    pub(super) fn same_text(&self, other: &Document) -> bool {
        self.place.text == other.place.text
    }

    /// A complaint about a field of the document, such as `looks[2].item`.
    pub fn complaint(&self, field: &str, message: impl Into<String>) -> Complaint {
        self.place.complaint(field, message.into())
    }
}

impl Place {
    /// A document that is a whole file.
    pub(super) fn whole(file: &str, text: &str) -> Place {
        Place {
            file: file.to_owned(),
            text: text.strip_prefix('\u{feff}').unwrap_or(text).to_owned(),
            lines_before: 0,
            columns_before: 0,
        }
    }

    pub(super) fn read<T: DeserializeOwned>(&self) -> Result<T, Vec<Complaint>> {
        let mut unknown = Vec::new();
        let mut deserializer = serde_json::Deserializer::from_str(&self.text);
        let read: Result<T, _> =
            serde_ignored::deserialize(&mut deserializer, |path| unknown.push(dotted(&path)));
        unknown.retain(|field| field != "type" && field != "id");
        let complain = |field: &String| {
            let last = field.rsplit('.').next().unwrap_or(field);
            self.complaint(
                field,
                format!("there is no field '{}' here", crate::text::safe_line(last)),
            )
        };
        let mut complaints: Vec<Complaint> = unknown.iter().map(complain).collect();
        match read {
            Ok(value) if complaints.is_empty() => return Ok(value),
            Ok(_) => {}
            // A field left out is often one mistyped: both are told.
            Err(error) => complaints.push(self.misread(&error)),
        }
        Err(complaints)
    }

    fn misread(&self, error: &serde_json::Error) -> Complaint {
        let byte = crate::checklist::position::byte_in(&self.text, error.line(), error.column());
        let field = Positions::of(&self.text).path_at(byte);
        self.at(
            error.line().max(1),
            error.column().max(1),
            field,
            plain(error),
        )
    }

    pub(super) fn complaint(&self, field: &str, message: String) -> Complaint {
        let positions = Positions::of(&self.text);
        let (line, column) = positions.line_column(positions.byte_of(field));
        self.at(line, column, field.to_owned(), message)
    }

    fn at(&self, line: usize, column: usize, field: String, message: String) -> Complaint {
        Complaint {
            file: self.file.clone(),
            line: line + self.lines_before,
            column: if line == 1 {
                column + self.columns_before
            } else {
                column
            },
            field,
            message,
        }
    }
}

/// A path of an ignored field in the form used by every complaint: `looks[2].colour`.
fn dotted(path: &serde_ignored::Path<'_>) -> String {
    use serde_ignored::Path;
    match path {
        Path::Root => String::new(),
        Path::Seq { parent, index } => format!("{}[{index}]", dotted(parent)),
        Path::Map { parent, key } => {
            let parent = dotted(parent);
            if parent.is_empty() {
                key.clone()
            } else {
                format!("{parent}.{key}")
            }
        }
        Path::Some { parent }
        | Path::NewtypeStruct { parent }
        | Path::NewtypeVariant { parent } => dotted(parent),
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
pub(super) mod tests;
