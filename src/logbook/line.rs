//! One record as one line of text:
//!
//! ```text
//! {"v":1,"id":"k7f3q2-9xw4h0m2-17","t":[1795587687123,0],"at":"2026-11-25T07:21:27+01:00","ev":"look","rec":{...},"sum":"1a2b3c4d"}
//! ```
//!
//! `sum` is the CRC-32 of the bytes before `,"sum":"`, in lower-case hexadecimal, so a line can be
//! checked without agreeing on any canonical form of JSON. Characters that could drive a terminal
//! or reorder text are written as `\uXXXX`: the file is safe to show with `cat`.

use std::borrow::Cow;
use std::fmt;
use std::sync::Arc;

use chrono::{DateTime, Datelike, FixedOffset, NaiveDate, SecondsFormat};
use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::alike::Alike;
use super::error::LogbookError;
use super::exact::{Exact, time};
use super::record::{Event, LookMade};
use super::stamp::Stamp;
use crate::safety::{Safety, stands};
use crate::text::is_hidden;

/// The version of the line form written here.
pub const VERSION: u32 = 1;
/// The longest line, with its newline: 64 KiB.
pub const MAX_LINE: usize = 64 * 1024;
/// The longest id, and the longest name of a record.
const MAX_ID: usize = 64;

/// `,"sum":"` + 8 digits + `"}`
const SUM_KEY: &[u8] = b",\"sum\":\"";
const SUM_TAIL: usize = SUM_KEY.len() + 8 + 2;

/// The name of one record: `device-session-number` for records numbered here, or whatever the
/// maker of a batch gave.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct EntryId(Arc<str>);

impl EntryId {
    /// An id from text: 1 to 64 letters, digits, `.`, `_`, `:` or `-`; `None` for anything else.
    #[must_use]
    pub fn new(text: &str) -> Option<Self> {
        let allowed = |b: u8| b.is_ascii_alphanumeric() || b"._:-".contains(&b);
        let fits = !text.is_empty() && text.len() <= MAX_ID && text.bytes().all(allowed);
        fits.then(|| Self(text.into()))
    }

    /// The id of line `n` of a session.
    pub(crate) fn numbered(session: &str, n: u32) -> Self {
        Self(format!("{session}-{n}").into())
    }

    /// The text of the id, shared with whoever names it.
    pub(crate) fn shared(&self) -> Arc<str> {
        Arc::clone(&self.0)
    }

    /// The id as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Whether a line is as it was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Checked {
    /// The checksum matches.
    Good,
    /// A hand edit or bit rot (the two cannot be told apart), or a line with no checksum.
    ChangedOutside,
}

/// One record as read.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its name, the same in every copy.
    pub id: EntryId,
    /// Its time mark, which gives the order.
    pub stamp: Stamp,
    /// Wall time when it was written, for people.
    pub at: DateTime<FixedOffset>,
    /// What kind of record it is.
    pub ev: Cow<'static, str>,
    /// The record, a JSON object.
    pub rec: Rec,
    /// Which of the log's files it was read from.
    pub file: u32,
    /// The line in that file, from 1.
    pub line: u32,
    /// Whether the checksum matched.
    pub checked: Checked,
    /// Written in a later version of the line form than this program knows.
    pub newer: bool,
    /// Another record with different content carries the same id.
    pub shared_id: bool,
    /// The clock that wrote it can have been right.
    pub believed: bool,
}

/// The record of a line: a JSON object.
#[derive(Debug, Clone)]
pub enum Rec {
    /// As it stands there.
    Text(Box<str>),
    /// A look, which is written again byte for byte as it stands there.
    Look(LookMade),
}

impl Rec {
    /// As JSON, byte for byte as it stands in the line.
    #[must_use]
    pub fn get(&self) -> Cow<'_, str> {
        match self {
            Rec::Text(text) => Cow::Borrowed(text),
            Rec::Look(look) => Cow::Owned(serde_json::to_string(look).unwrap_or_default()),
        }
    }

    /// As a value.
    ///
    /// # Errors
    /// Where it is none of that type.
    pub fn parse<T: serde::de::DeserializeOwned>(&self) -> serde_json::Result<T> {
        serde_json::from_str(&self.get())
    }
}

/// Why a line is not a record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// Not a record in any form known here; the reason in a few words.
    Bad(String),
    /// The checksum matches, but the form is of a later version.
    Newer,
}

/// Write a record as one line ending in a newline.
///
/// # Errors
/// [`LogbookError::BadRecord`] when `ev` is not 1 to 32 of `a-z`, `0-9`, `-`, or `rec` is not one
/// JSON object; [`LogbookError::TooLong`] when the line exceeds [`MAX_LINE`].
pub fn encode(
    id: &EntryId,
    stamp: Stamp,
    at: DateTime<FixedOffset>,
    ev: &str,
    rec: &str,
) -> Result<String, LogbookError> {
    let bad = |why: String| LogbookError::BadRecord {
        ev: ev.chars().take(MAX_ID).collect(),
        why,
    };
    let named = |b: u8| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-';
    if ev.is_empty() || ev.len() > MAX_ID / 2 || !ev.bytes().all(named) {
        return Err(bad("its name must be lower-case words".into()));
    }
    let rec: &RawValue = serde_json::from_str(rec).map_err(|e| bad(e.to_string()))?;
    if !rec.get().starts_with('{') {
        return Err(bad("its content must be a JSON object".into()));
    }
    let mut line = format!(
        r#"{{"v":{VERSION},"id":"{id}","t":[{},{}],"at":"{}","ev":"{ev}","rec":"#,
        stamp.0,
        stamp.1,
        within_calendar(at).to_rfc3339_opts(SecondsFormat::Secs, false),
    );
    push_safe(&mut line, rec.get());
    let sum = crc32fast::hash(line.as_bytes());
    line.push_str(&format!(",\"sum\":\"{sum:08x}\"}}\n"));
    if line.len() > MAX_LINE {
        return Err(LogbookError::TooLong {
            ev: ev.to_owned(),
            bytes: line.len(),
            limit: MAX_LINE,
        });
    }
    Ok(line)
}

/// RFC 3339 has four digits for the year. A clock outside that is wrong anyway, and must not stop
/// a record from being written.
pub(crate) fn within_calendar(at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    let year = match at.year() {
        // Leave a day at both ends, so that no offset leads out of the range.
        y if y < 1 => 1,
        y if y > 9998 => 9998,
        _ => return at,
    };
    NaiveDate::from_ymd_opt(year, 6, 1)
        .and_then(|day| day.and_hms_opt(0, 0, 0))
        .map_or(at, |t| t.and_utc().fixed_offset())
}

/// Append JSON text on one line, with hidden characters escaped. JSON has
/// nothing beyond ASCII outside its strings, so every such character stands inside one.
fn push_safe(line: &mut String, json: &str) {
    for c in json.chars() {
        match c {
            // Only white space between tokens can be a raw control character.
            '\n' | '\r' | '\t' => line.push(' '),
            c if is_hidden(c) => {
                for unit in c.encode_utf16(&mut [0; 2]) {
                    line.push_str(&format!("\\u{unit:04x}"));
                }
            }
            c => line.push(c),
        }
    }
}

/// A line as it stands in the file, borrowed. A derived struct refuses a key given twice.
#[derive(Deserialize)]
struct Wire<'a> {
    v: u32,
    #[serde(borrow)]
    id: Cow<'a, str>,
    t: Stamp,
    #[serde(borrow)]
    at: Cow<'a, str>,
    #[serde(borrow)]
    ev: Cow<'a, str>,
    #[serde(borrow)]
    rec: &'a RawValue,
    #[serde(default)]
    sum: Option<serde::de::IgnoredAny>,
}

#[derive(Deserialize)]
struct Versioned {
    v: u32,
}

/// Read one line, given without its line end. `file` and `line` are left 0 for the caller.
///
/// # Errors
/// [`Refused`] when the line is no record.
pub fn decode(raw: &[u8]) -> Result<Entry, Refused> {
    decode_beside(raw, &mut Alike::default())
}

/// The same among others, of which looks that say the same are kept once.
pub(super) fn decode_beside(raw: &[u8], alike: &mut Alike) -> Result<Entry, Refused> {
    let bad = |why: &str| Refused::Bad(why.to_owned());
    if raw.len() >= MAX_LINE {
        return Err(bad("longer than any line this program writes"));
    }
    let text = std::str::from_utf8(raw).map_err(|_| bad("not UTF-8 text"))?;
    let good = sum_matches(raw) || !stands(Safety::Checksum);
    let said = match exact(text, alike) {
        Some(said) => said,
        None => general(text, good)?,
    };
    Ok(Entry {
        id: said.id,
        stamp: said.stamp,
        at: said.at,
        ev: said.ev,
        rec: said.rec,
        file: 0,
        line: 0,
        checked: if good {
            Checked::Good
        } else {
            Checked::ChangedOutside
        },
        newer: said.newer,
        shared_id: false,
        believed: true,
    })
}

/// What a line says by itself.
struct Said {
    id: EntryId,
    stamp: Stamp,
    at: DateTime<FixedOffset>,
    ev: Cow<'static, str>,
    rec: Rec,
    newer: bool,
}

/// A line of exactly the form that [`encode`] gives it; none of any other.
fn exact(text: &str, alike: &mut Alike) -> Option<Said> {
    let cut = text.len().checked_sub(SUM_TAIL)?;
    let (body, tail) = text.split_at_checked(cut)?;
    let mut sum = Exact::new(tail);
    sum.past(",\"sum\":\"")?;
    let _: &str = sum.string().filter(|_| sum.rest() == "}")?;
    let mut head = Exact::new(body);
    head.past("{\"v\":1,\"id\":\"")?;
    let id = EntryId::new(head.string()?)?;
    head.past(",\"t\":[")?;
    let ms = head.number()?;
    head.past(",")?;
    let stamp = Stamp(ms, head.number()?);
    head.past("],\"at\":\"")?;
    let at = time(head.string()?)?;
    head.past(",\"ev\":\"")?;
    let ev = head.string()?;
    head.past(",\"rec\":")?;
    let rec = head.rest();
    let look = (ev == LookMade::NAME).then(|| alike.look(rec)).flatten();
    let (ev, rec) = match look {
        Some(look) => (Cow::Borrowed(LookMade::NAME), Rec::Look(look)),
        None => {
            let raw: &RawValue = serde_json::from_str(rec).ok()?;
            let is_whole = rec.starts_with('{') && raw.get().len() == rec.len();
            is_whole.then(|| (Cow::Owned(ev.to_owned()), Rec::Text(rec.into())))?
        }
    };
    Some(Said {
        id,
        stamp,
        at,
        ev,
        rec,
        newer: false,
    })
}

/// A line of any form known here, parsed.
fn general(text: &str, good: bool) -> Result<Said, Refused> {
    let bad = |why: &str| Refused::Bad(why.to_owned());
    let wire: Wire<'_> = serde_json::from_str(text).map_err(|e| {
        let version = serde_json::from_str::<Versioned>(text).map_or(0, |line| line.v);
        if good && version > VERSION {
            Refused::Newer
        } else {
            Refused::Bad(e.to_string())
        }
    })?;
    // Taken in only so that a second one is refused.
    let _: Option<serde::de::IgnoredAny> = wire.sum;
    Ok(Said {
        id: EntryId::new(&wire.id).ok_or_else(|| bad("its id is not an id"))?,
        stamp: wire.t,
        at: DateTime::parse_from_rfc3339(&wire.at).map_err(|_| bad("its time is not a time"))?,
        ev: Cow::Owned(wire.ev.into_owned()),
        rec: if wire.rec.get().starts_with('{') {
            Rec::Text(wire.rec.get().into())
        } else {
            return Err(bad("its content is not a JSON object"));
        },
        newer: wire.v > VERSION,
    })
}

/// Lower-case digits only: else one flipped bit could turn `a` into `A` unseen.
fn sum_matches(raw: &[u8]) -> bool {
    let Some((body, tail)) = raw.len().checked_sub(SUM_TAIL).map(|cut| raw.split_at(cut)) else {
        return false;
    };
    let digits = tail.strip_prefix(SUM_KEY);
    let Some(digits) = digits.and_then(|tail| tail.strip_suffix(b"\"}")) else {
        return false;
    };
    let sum = crc32fast::hash(body);
    let digit = |place: u32| b"0123456789abcdef"[(sum >> (4 * place) & 15) as usize];
    digits.iter().copied().eq((0..8).rev().map(digit))
}

#[cfg(test)]
mod both_readers;
#[cfg(test)]
mod tests;
