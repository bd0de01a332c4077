//! A seal: a short code that tells later whether the records are still those it was made from.
//!
//! The code stands for a listing, a SHA-256 of every record up to a time mark, in the order of
//! their ids, so that neither the order of files nor a merge of two copies changes it. Records
//! after the mark do not touch it. The marks of beginning and end of a session are no records of
//! the boat and are left out.
//!
//! Thirty characters in six groups: nine for the milliseconds of the mark, three for its counter,
//! sixteen (80 bits) of the SHA-256 of the listing, two that catch a slip of the pen. The alphabet
//! has no I, L, O and U. A mark that has no room there takes a seventh group: ten characters and
//! seven. Counters that long were given out before the clock carried them into the milliseconds.
//!
//! What it proves: that the records are the same as when the code was made, to whoever kept the
//! code. Not who made them, not when, and not that they are true; and nothing to anybody who has
//! the code from the same hand as the records.

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap};
use std::fmt;
use std::marker::PhantomData;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset, SecondsFormat};
use sha2::{Digest, Sha256};

use super::line::{Entry, Rec};
use super::read::Log;
use super::record::event::Part;
use super::record::{LookMade, Record};
use super::stamp::Stamp;
use crate::text::code::{self, CHECKS};
use crate::walk::Look;

/// What a seal proves, and what it does not.
pub const PROVES: &str = "A seal proves to whoever kept the code that the records are the same as when it was made. It does not prove who made them, when, or that they are true. Profile file and pictures are not in it.";

/// Characters for milliseconds, counter and hash.
type Parts = [usize; 3];
/// Those of nearly every code.
const PARTS: Parts = [9, 3, 16];
/// Those of a code whose mark has no room in the others.
const LONG_PARTS: Parts = [10, 7, 16];
const GROUP: usize = 5;
/// How a listing begins.
const HEAD: &str = "Listing of the records behind a seal of handlamp, up to";

/// A code, read or made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seal {
    /// The mark up to which records are sealed.
    pub upto: Stamp,
    hash: [u8; 10],
}

/// The records behind a seal: id and digest, in the order of both; two records may share an id in a
/// damaged log.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Listing {
    upto: Stamp,
    records: Vec<(Arc<str>, Digest128)>,
}

/// The first 128 bits of a SHA-256.
type Digest128 = u128;
/// Hexadecimal digits of one.
const DIGITS: usize = 32;

/// What became of a record since it was sealed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// It says something else.
    Changed,
    /// It is gone.
    Missing,
    /// It was not there.
    Added,
}

/// Why a text is no seal, or nothing can be sealed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SealError {
    /// Too few or too many characters.
    #[error("a seal has {short} letters and digits, or {long}; this has {0}", short = length(PARTS), long = length(LONG_PARTS))]
    Length(usize),
    /// A character no seal has.
    #[error("a seal has no '{0}'")]
    Character(char),
    /// The check characters do not fit.
    #[error("this is no seal as it was printed: a character is wrong, or two changed places")]
    Mistyped,
    /// A time mark that has no room in a code.
    #[error("the last record is dated so far from now that it cannot be sealed")]
    OutOfRange,
    /// No such walk, or it goes on.
    #[error("there is no finished walk '{0}'")]
    NoWalk(String),
    /// A text that is no listing.
    #[error("this is no listing of a seal (line {0})")]
    NoListing(usize),
}

impl Listing {
    /// The records of a log up to a mark.
    pub fn of(log: &Log, upto: Stamp) -> Listing {
        let sealed = log.entries.iter().filter(|e| is_sealed(e, upto));
        let mut written = Written::default();
        let records = sealed.map(|e| (e.id.shared(), digest(e, &written.again(&e.rec))));
        let mut records: Vec<_> = records.collect();
        records.sort_unstable();
        Listing { upto, records }
    }

    /// How many records.
    pub fn len(&self) -> usize {
        self.records.len()
    }

    /// Records of a log it does not stand for.
    pub fn left_out(&self, log: &Log) -> usize {
        let of_boat = |e: &&Entry| is_sealed(e, Stamp(u64::MAX, u32::MAX));
        log.entries.iter().filter(of_boat).count() - self.len()
    }

    /// True where there is none.
    pub fn is_empty(&self) -> bool {
        self.records.is_empty()
    }

    /// The code that stands for it.
    ///
    /// # Errors
    /// [`SealError::OutOfRange`].
    pub fn seal(&self) -> Result<Seal, SealError> {
        parts_of(self.upto).ok_or(SealError::OutOfRange)?;
        let mut hash = [0; 10];
        let whole = Sha256::digest(self.to_string());
        hash.copy_from_slice(&whole[..10]);
        Ok(Seal {
            upto: self.upto,
            hash,
        })
    }

    /// Reads a listing that was written down.
    ///
    /// # Errors
    /// [`SealError::NoListing`] with the line at fault.
    pub fn read(text: &str) -> Result<Listing, SealError> {
        let mut lines = (1..).zip(text.lines());
        let head = lines.next().and_then(|(_, line)| line.strip_prefix(HEAD));
        let upto = head.and_then(|rest| {
            let (ms, counter) = rest.trim().split_once(' ')?;
            Some(Stamp(ms.parse().ok()?, counter.parse().ok()?))
        });
        let upto = upto.ok_or(SealError::NoListing(1))?;
        let record = |(n, line): (usize, &str)| {
            let (digest, id) = line.split_once(' ').ok_or(SealError::NoListing(n))?;
            let digest = read_digest(digest).ok_or(SealError::NoListing(n))?;
            Ok((id.into(), digest))
        };
        let mut records = lines.map(record).collect::<Result<Vec<_>, _>>()?;
        records.sort_unstable();
        Ok(Listing { upto, records })
    }

    /// What became of the records of this listing, by id, in another of the same logbook.
    pub fn changes_to(&self, other: &Listing) -> Vec<(String, Change)> {
        let (sealed, now) = (self.by_id(), other.by_id());
        let mut changes = Vec::new();
        for (id, digests) in &sealed {
            match now.get(id) {
                None => changes.push(((*id).to_owned(), Change::Missing)),
                Some(now) if now != digests => changes.push(((*id).to_owned(), Change::Changed)),
                Some(_) => {}
            }
        }
        let new = now.keys().filter(|id| !sealed.contains_key(*id));
        changes.extend(new.map(|id| ((*id).to_owned(), Change::Added)));
        changes
    }

    fn by_id(&self) -> BTreeMap<&str, &[(Arc<str>, Digest128)]> {
        let same_id = self.records.chunk_by(|(a, _), (b, _)| a == b);
        let named = same_id.filter_map(|same| Some((&*same.first()?.0, same)));
        named.collect()
    }
}

impl fmt::Display for Listing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "{HEAD} {} {}", self.upto.0, self.upto.1)?;
        for (id, digest) in &self.records {
            writeln!(f, "{digest:0DIGITS$x} {id}")?;
        }
        Ok(())
    }
}

/// What a logbook is sealed to.
#[derive(Clone, Debug)]
pub struct Sealed {
    /// The code.
    pub code: Seal,
    /// What it stands for.
    pub listing: Listing,
    /// When the last of the records was written; none where there is none.
    pub last: Option<DateTime<FixedOffset>>,
    /// Records it does not stand for: later than the walk, or dated ahead of the clock.
    pub left_out: usize,
}

/// Seals the records up to the end of a walk, or all of them.
///
/// # Errors
/// The walk is not there, or two records of one id say different things.
pub fn sealed(log: &Log, walk: Option<&str>) -> Result<Sealed, SealError> {
    let upto = match walk {
        Some(id) => end_of_walk(log, id)?,
        None => log.newest,
    };
    let listing = Listing::of(log, upto);
    let within = log.entries.iter().filter(|e| is_sealed(e, upto));
    Ok(Sealed {
        code: listing.seal()?,
        last: within.max_by_key(|e| e.stamp).map(|e| e.at),
        left_out: listing.left_out(log),
        listing,
    })
}

/// Whether a record is among those sealed up to a mark.
pub fn is_sealed(entry: &Entry, upto: Stamp) -> bool {
    entry.stamp <= upto && !matches!(&*entry.ev, "session" | "end")
}

/// The mark of the last record of a finished walk.
///
/// # Errors
/// [`SealError::NoWalk`].
fn end_of_walk(log: &Log, walk: &str) -> Result<Stamp, SealError> {
    let mut finished = false;
    let mut last = Stamp::default();
    for entry in &log.entries {
        let Some(Ok(record)) = Record::read(&entry.ev, &entry.rec.get()) else {
            continue;
        };
        // What is said beside a walk may come long after it.
        let made = |(id, part)| id == walk && part != Part::Beside;
        if record.names().walk.is_some_and(made) {
            finished |= matches!(record, Record::WalkFinished(_));
            last = last.max(entry.stamp);
        }
    }
    if finished {
        Ok(last)
    } else {
        Err(SealError::NoWalk(walk.to_owned()))
    }
}

/// The digest of what a record says, with its JSON. Each part goes in with its length, so that no two records can read
/// alike.
fn digest(entry: &Entry, rec: &str) -> Digest128 {
    let at = entry.at.to_rfc3339();
    let stamp = [entry.stamp.0, entry.stamp.1.into()].map(u64::to_be_bytes);
    let texts = [entry.id.as_str(), &at, &entry.ev, rec];
    let texts = texts.iter().map(|text| text.as_bytes());
    let mut whole = Sha256::new();
    for part in texts.chain(stamp.iter().map(|bytes| &bytes[..])) {
        whole.update((part.len() as u64).to_be_bytes());
        whole.update(part);
    }
    let whole: [u8; 32] = whole.finalize().into();
    whole[..16]
        .iter()
        .fold(0, |n, byte| n << 8 | Digest128::from(*byte))
}

/// Looks as they stand in their lines; of many that are kept once the JSON is written once. It goes by
/// where a look is kept, so the log stays lent to it.
#[derive(Default)]
struct Written<'l> {
    looks: HashMap<*const Look, String>,
    log: PhantomData<&'l Log>,
}

impl<'l> Written<'l> {
    /// A record as JSON, byte for byte as it stands in its line.
    fn again(&mut self, rec: &'l Rec) -> Cow<'l, str> {
        let Rec::Look(LookMade { walk, at, look }) = rec else {
            return rec.get();
        };
        let json = self.looks.entry(Arc::as_ptr(look));
        let json = json.or_insert_with(|| serde_json::to_string(&**look).unwrap_or_default());
        let at = at.to_rfc3339_opts(SecondsFormat::Secs, true);
        // It was read so: to the second, and nothing of a walk's id has to be escaped.
        format!(r#"{{"walk":"{walk}","at":"{at}","look":{json}}}"#).into()
    }
}

/// A digest as a listing has it.
fn read_digest(text: &str) -> Option<Digest128> {
    let is_digit = |b: u8| matches!(b, b'0'..=b'9' | b'a'..=b'f');
    let fits = text.len() == DIGITS && text.bytes().all(is_digit);
    Digest128::from_str_radix(text, 16).ok().filter(|_| fits)
}

/// Characters of a code without its hyphens.
const fn length(parts: Parts) -> usize {
    parts[0] + parts[1] + parts[2] + CHECKS
}

/// The shortest form with room for a mark.
fn parts_of(upto: Stamp) -> Option<Parts> {
    let fits = |value: u64, symbols: usize| value >> (5 * symbols) == 0;
    let fit = |parts: &Parts| fits(upto.0, parts[0]) && fits(upto.1.into(), parts[1]);
    [PARTS, LONG_PARTS].into_iter().find(fit)
}

impl Seal {
    fn symbols(&self) -> Vec<u8> {
        let parts = parts_of(self.upto).unwrap_or(LONG_PARTS);
        let hash = self
            .hash
            .iter()
            .fold(0, |n, byte| n << 8 | u128::from(*byte));
        let values = [self.upto.0.into(), self.upto.1.into(), hash];
        let each = values.into_iter().zip(parts);
        each.flat_map(|(value, count)| code::symbols(value, count))
            .collect()
    }
}

impl fmt::Display for Seal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut symbols = self.symbols();
        symbols.extend(code::check(&symbols));
        f.write_str(&code::grouped(symbols, GROUP))
    }
}

impl std::str::FromStr for Seal {
    type Err = SealError;

    /// Reads a code as a person may type it: any case, hyphens and spaces anywhere, O for 0, I and
    /// L for 1.
    fn from_str(text: &str) -> Result<Seal, SealError> {
        let symbols = code::read(text).map_err(SealError::Character)?;
        let mut forms = [PARTS, LONG_PARTS].into_iter();
        let parts = forms.find(|parts| length(*parts) == symbols.len());
        let parts = parts.ok_or(SealError::Length(symbols.len()))?;
        let (body, checks) = symbols.split_at(symbols.len() - CHECKS);
        if code::check(body) != checks {
            return Err(SealError::Mistyped);
        }
        let (ms, rest) = body.split_at(parts[0]);
        let (counter, hash) = rest.split_at(parts[1]);
        let bytes = code::number(hash).to_be_bytes();
        let mut hash = [0; 10];
        hash.copy_from_slice(&bytes[6..]);
        // Ten characters are 50 bits; seven are 35, of which a counter has 32.
        let counter = u32::try_from(code::number(counter)).map_err(|_| SealError::Mistyped)?;
        let upto = Stamp(code::number(ms) as u64, counter);
        // One code for one seal: the long form is never printed where the short one has room.
        match parts_of(upto) == Some(parts) {
            true => Ok(Seal { upto, hash }),
            false => Err(SealError::Mistyped),
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
