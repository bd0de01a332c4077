//! Lines that were read become records that are understood, and what is not becomes a suspect.

use std::collections::HashSet;
use std::path::Path;

use super::book::unknown;
use super::doubts::{Finder, Suspect, begun_twice};
use super::line::{Checked, Entry, Rec};
use super::placed::{Trust, Written};
use super::problem::Problem;
use super::read::Log;
use super::record::{EventKind, Record};
use super::session::FORMAT;

/// What a log says, as far as it is understood.
pub(super) struct Understood {
    /// Records in the order of the log.
    pub(super) written: Vec<Written>,
    /// Sound lines whose content makes no sense.
    pub(super) refused: Vec<Problem>,
    /// What of the record no answer counts.
    pub(super) suspects: Vec<Suspect>,
    /// Records of a later version.
    pub(super) newer: usize,
    /// Ids of what is kept and not understood.
    pub(super) unread: Vec<String>,
}

/// After so many entries their memory is given back.
const GIVEN_BACK: usize = 1 << 14;

/// Understands the entries of a log, which are taken out of it.
pub(super) fn understand(log: &mut Log) -> Understood {
    // In an undamaged log each entry goes as its record comes, from the end of a list that is turned
    // round, and its memory with it; only where something is wrong are they needed again.
    let keep = !log.problems.is_empty();
    let mut kept: Vec<Entry> = Vec::new();
    let mut places: Vec<(u32, u32, usize)> = Vec::new();
    let mut written = Vec::with_capacity(log.entries.len());
    let mut refused = Vec::new();
    let mut in_part = Vec::new();
    let (mut newer, mut later) = (0, 0);
    let mut unread = Vec::new();
    let mut entries = std::mem::take(&mut log.entries);
    entries.reverse();
    while let Some(entry) = entries.pop() {
        if entries.len().is_multiple_of(GIVEN_BACK) {
            entries.shrink_to_fit();
        }
        let read = match &entry.rec {
            Rec::Look(look) => Some(Ok(Record::Look(look.clone()))),
            Rec::Text(text) => Record::read(&entry.ev, text),
        };
        let record = match read {
            Some(Ok(record)) => {
                refused.extend(unknown(log, &entry, &record));
                Some(record)
            }
            Some(Err(error)) => {
                let kind = EventKind::named(&entry.ev);
                let part = kind.and_then(|kind| (kind.in_part)(&entry.rec.get()));
                let why = part.as_ref().map(|part| part.why.clone());
                let why = why.unwrap_or_else(|| error.to_string());
                let problem = Problem::not_understood(log.path_of(&entry), &entry, &why);
                match part {
                    Some(part) => {
                        let record = part.record.clone();
                        in_part.push((refused.len(), written.len(), part));
                        refused.push(problem);
                        Some(record)
                    }
                    None => {
                        unread.push(entry.id.as_str().to_owned());
                        refused.push(problem);
                        if !keep {
                            // It has no place of its own: that of the record before it.
                            places.push((entry.file, entry.line, written.len().saturating_sub(1)));
                            kept.push(entry.clone());
                        }
                        None
                    }
                }
            }
            None if &*entry.ev == "session" => {
                later += usize::from(format_of(&entry.rec.get()) > FORMAT);
                None
            }
            None if &*entry.ev == "end" => None,
            None => {
                newer += 1;
                unread.push(entry.id.as_str().to_owned());
                None
            }
        };
        if keep {
            places.push((entry.file, entry.line, written.len()));
            kept.push(entry.clone());
        }
        if let Some(record) = record {
            let trust = Trust {
                sound: entry.checked == Checked::Good,
                believed: entry.believed,
                alone: !entry.shared_id,
            };
            written.push(Written {
                id: entry.id.shared(),
                at: entry.at,
                record,
                trust,
            });
        }
    }
    let mut suspects = Vec::new();
    if keep || !refused.is_empty() {
        let files = log.files.iter().map(|file| file.path.as_path());
        let files: Vec<&Path> = files.collect();
        let finder = Finder::new(&kept, files, places, &written);
        let in_part_of: HashSet<usize> = in_part.iter().map(|(n, ..)| *n).collect();
        let whole = refused.iter().enumerate();
        let whole = whole.filter(|(n, _)| !in_part_of.contains(n));
        let problems = log.problems.iter().chain(whole.map(|(_, problem)| problem));
        suspects.extend(problems.filter_map(|problem| finder.suspect(problem)));
        for (n, place, part) in in_part {
            if let Some(problem) = refused.get(n) {
                suspects.push(finder.in_part(problem, place, part));
            }
        }
    }
    suspects.extend(begun_twice(&written));
    if newer > 0 {
        suspects.push(Suspect::said(format!(
            "{newer} record(s) of a later version of the program; this one does not know what they say"
        )));
    }
    if later > 0 {
        suspects.push(Suspect::said(format!(
            "{later} session(s) of a later version of the program were read as far as this one knows"
        )));
    }
    Understood {
        written,
        refused,
        suspects,
        newer,
        unread,
    }
}

/// The format a session line names; 0 where none can be read.
fn format_of(session: &str) -> u32 {
    let after = session.split("\"fmt\":").nth(1).unwrap_or_default();
    let digits = after.split(|c: char| !c.is_ascii_digit()).next();
    digits.and_then(|digits| digits.parse().ok()).unwrap_or(0)
}
