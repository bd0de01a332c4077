//! The fields of a record, one by one, as a form shows and takes them.

use chrono::{DateTime, FixedOffset};
use serde_json::{Map, Value};

use super::several;
use crate::causes::Causes;
use crate::checklist::{Grade, Item, nearest, plain};
use crate::defects::finding::happened_at;
use crate::logbook::record::Record;
use crate::text::safe_line;
use crate::walk::Look;

/// Where what a record says stands one level deeper than its walk and its time; none where it does not.
fn inner(record: &Record) -> Option<&'static str> {
    match record {
        Record::Look(_) => Some("look"),
        Record::Agreement(_) => Some("agreed"),
        Record::FrontMatter(_) => Some("entries"),
        _ => None,
    }
}

/// What people often leave out and say afterwards: a form offers it though it is not said.
fn often_left_out(record: &Record) -> &'static [&'static str] {
    match record {
        Record::WalkStarted(_) => &["by", "hours"],
        Record::Look(made) if is_asked_more(&made.look) => &["signs", "note"],
        Record::Look(_) => &["note"],
        Record::Repair(_) => &["by", "hours"],
        Record::Service(_) => &["by", "hours", "note"],
        Record::Fitted(_) => &["hours"],
        Record::Agreement(_) => &["runs", "may_open", "samples", "full_throttle"],
        _ => &[],
    }
}

/// True of what is not sound, where some question is about the item.
fn is_asked_more(look: &Look) -> bool {
    let mut questions = Causes::built_in().questions().iter();
    let bad = look.grade().is_some_and(|grade| grade > Grade::Sound);
    bad && questions.any(|asks| asks.by_item(&look.item).is_some())
}

/// What no form changes: what records hang together by, and what the program reckoned of a walk, a look
/// or a service when it was made, on which answers rest.
fn fixed(record: &Record) -> &'static [&'static str] {
    match record {
        Record::WalkStarted(_) => &[
            "walk",
            "checklist",
            "asked",
            "left_out",
            "joins",
            "disturbed",
            "blind",
            "guest",
        ],
        Record::Look(_) => &["phase", "too_soon", "as_last_time", "guest"],
        Record::Service(_) => &["task", "restarted", "owed"],
        Record::WalkFinished(_) => &["walk", "pace", "said"],
        Record::OwnCauses(_) => &["file"],
        Record::LearningStart(_) => &["rates"],
        // It was given out as it is; another revision says what is different.
        Record::Issued(_) => &[
            "number", "revision", "walk", "walks", "code", "content", "page", "records", "why",
            "by",
        ],
        _ => &["walk", "of", "from"],
    }
}

/// A field of a record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Field {
    /// Its name, as in the files.
    pub name: String,
    /// What it says, in one line; empty where it says nothing.
    pub value: String,
    /// No form changes it.
    pub is_fixed: bool,
}

/// What a record says, field by field, and what it leaves out and may say.
pub fn fields(record: &Record) -> Vec<Field> {
    let fixed = fixed(record);
    let said = flat(record);
    let left_out = often_left_out(record).iter();
    let left_out = left_out.filter(|name| !said.contains_key(**name));
    let left_out: Vec<Field> = left_out
        .map(|name| Field {
            name: (*name).to_owned(),
            value: String::new(),
            is_fixed: false,
        })
        .collect();
    let said = said.into_iter();
    // Lists and figures that the program reckoned are for no eye.
    let said = said.filter(|(name, value)| {
        let is_plain = !(value.is_array() || value.is_object());
        is_plain || !fixed.contains(&name.as_str())
    });
    let said = said.map(|(name, value)| Field {
        is_fixed: fixed.contains(&name.as_str()),
        value: shown(&name, &value),
        name,
    });
    said.chain(left_out).collect()
}

/// A record with another value in one of its fields; an empty text takes the field out. `item` is the
/// item it speaks of, for the unit of a reading.
///
/// # Errors
/// Why it cannot say that, in a sentence without a full stop.
pub fn with(
    record: &Record,
    (field, text): (&str, &str),
    item: Option<&Item>,
    now: DateTime<FixedOffset>,
) -> Result<Record, String> {
    let text = text.trim();
    if fixed(record).contains(&field) {
        return Err(format!("'{}' is not put right by itself", safe_line(field)));
    }
    let mut refused = None;
    let is = flat(record);
    let is = is.get(field);
    if is.is_some_and(|is| shown(field, is) == text) {
        return Ok(record.clone());
    }
    // A time is typed as the clock showed it there and then.
    let then = is
        .and_then(Value::as_str)
        .and_then(|at| DateTime::parse_from_rfc3339(at).ok());
    let now = then.map_or(now, |then| now.with_timezone(then.offset()));
    let anew = several::read(field, text, is).filter(|_| !text.is_empty());
    let anew = match anew {
        Some(value) => vec![Some(value?)],
        None => values(field, text, item, now)?,
    };
    for value in anew {
        let mut said = flat(record);
        said.remove(field);
        said.extend(value.map(|value| (field.to_owned(), value)));
        if field == "grade" && !text.is_empty() {
            ["not_seen", "close_by"]
                .iter()
                .for_each(|name| drop(said.remove(*name)));
        }
        if field == "not_seen" && !text.is_empty() {
            [
                "grade",
                "leak",
                "reading",
                "wear",
                "signs",
                "as_last_time",
                "better",
                "grade_reason",
            ]
            .iter()
            .for_each(|name| drop(said.remove(*name)));
        }
        match read(record, said) {
            Ok(now) if text.is_empty() || has(&now, field) || text == "false" => return Ok(now),
            Ok(_) => refused = Some(unknown(record, field)),
            Err(why) => refused = refused.or(Some(why)),
        }
    }
    Err(refused.unwrap_or_else(|| unknown(record, field)))
}

/// The values a text can mean in a field; none where it is to be taken out.
fn values(
    field: &str,
    text: &str,
    item: Option<&Item>,
    now: DateTime<FixedOffset>,
) -> Result<Vec<Option<Value>>, String> {
    if text.is_empty() {
        return Ok(vec![None]);
    }
    let words = || Value::String(text.to_owned());
    if field == "at" {
        let at = happened_at(text, now)?;
        return Ok(vec![Some(Value::String(at.to_rfc3339()))]);
    }
    if field == "grade" {
        let digit = text.parse().ok().and_then(Grade::from_rung);
        let word = digit.map_or_else(words, |grade| Value::String(grade.to_string()));
        return Ok(vec![Some(word)]);
    }
    let reading = item.and_then(|item| item.reading.as_ref());
    if let Some(reading) = reading.filter(|_| field == "reading" && !text.starts_with('{')) {
        let measure = reading.parse(text, reading.unit)?;
        return Ok(vec![serde_json::to_value(measure).ok()]);
    }
    let literal: Option<Value> = serde_json::from_str(text).ok();
    let literal = literal.filter(|value| !value.is_string());
    Ok(vec![Some(words()), literal]
        .into_iter()
        .filter(Option::is_some)
        .collect())
}

fn has(record: &Record, field: &str) -> bool {
    flat(record).contains_key(field)
}

fn unknown(record: &Record, field: &str) -> String {
    let known = fields(record).into_iter().filter(|f| !f.is_fixed);
    let known: Vec<String> = known.map(|f| f.name).collect();
    let near = nearest(field, known.iter().map(String::as_str)).unwrap_or_default();
    format!(
        "this entry has no '{}'{near}; it has {}",
        safe_line(field),
        known.join(", ")
    )
}

/// The payload of a record, what stands deeper beside its walk and its time.
fn flat(record: &Record) -> Map<String, Value> {
    let payload = record.payload().ok();
    let value = payload.and_then(|text| serde_json::from_str(&text).ok());
    let Some(Value::Object(mut said)) = value else {
        return Map::new();
    };
    if let Some(name) = inner(record)
        && let Some(Value::Object(deeper)) = said.remove(name)
    {
        said.extend(deeper);
    }
    said
}

fn read(like: &Record, mut said: Map<String, Value>) -> Result<Record, String> {
    if let Some(name) = inner(like) {
        let own: Map<String, Value> = ["walk", "at"]
            .into_iter()
            .filter_map(|name| Some((name.to_owned(), said.remove(name)?)))
            .collect();
        let deeper = std::mem::replace(&mut said, own);
        said.insert(name.to_owned(), Value::Object(deeper));
    }
    let text = Value::Object(said).to_string();
    match Record::read(like.event(), &text) {
        Some(Ok(record)) => Ok(record),
        Some(Err(error)) => Err(plain(&error)),
        None => Err("this version does not know this entry".to_owned()),
    }
}

/// A value in one line: in words, a figure with its unit, else as in the files.
fn shown(field: &str, value: &Value) -> String {
    if let Some(several) = several::told(field, value) {
        return several;
    }
    match value {
        Value::String(text) => match DateTime::parse_from_rfc3339(text) {
            Ok(at) => at.format("%Y-%m-%d %H:%M").to_string(),
            Err(_) => text.clone(),
        },
        Value::Object(fields) => match (fields.get("value"), fields.get("unit")) {
            (Some(value), Some(Value::String(unit))) if fields.len() == 2 => {
                format!("{} {unit}", shown(field, value))
            }
            _ => value.to_string(),
        },
        _ => value.to_string(),
    }
}
