//! From the lines of many files to one history: sorted by time mark and id, each record once,
//! clashes, gaps and wild clocks reported.
//!
//! A record marked more than 48 hours ahead of this computer's clock was written by a clock that
//! was wrong. Left alone it would count as the newest for years, so it is placed by its wall time
//! if that is believable, else after the record before it in its file. If more than half of all
//! records are ahead, it is this computer's clock that is wrong, and all marks are believed. What is
//! found of a session is recorded by the next one that writes, so that its records keep their place
//! when that date comes.

use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::path::Path;

use super::line::{Checked, Entry, EntryId};
use super::problem::{Problem, ProblemKind};
use super::read::{LogFile, known_by};
use super::record::ClockFound;
use super::stamp::{AHEAD_MS, Stamp};

/// How far the wall clock may be behind the newest record before it is told: clocks of two devices
/// differ by a minute or two, a flat battery or a wrong zone by more. This project's own figure.
pub(crate) const BEHIND_MS: u64 = 5 * 60 * 1000;
/// Places named of different records that carry one id; the rest are counted.
const NAMED: usize = 8;

/// Sort the entries, drop copies, and report what is wrong. Entries arrive file by file in the
/// order of their lines, with `begun` holding for each file what its first line says, and `once`
/// where it is known that no two carry one id. Returns the newest mark to be believed, and the sessions
/// whose clock was found wrong just now.
pub(crate) fn arrange(
    entries: &mut Vec<Entry>,
    files: &[LogFile],
    begun: &[Begun],
    now_ms: u64,
    once: bool,
    problems: &mut Vec<Problem>,
) -> (Stamp, Vec<ClockFound>) {
    let ahead = ahead_of_clock(entries, now_ms);
    if ahead == Ahead::Most {
        problems.push(Problem::with_file(
            Path::new(""),
            ProblemKind::ClockBehind,
            "this computer's clock is earlier than most records; set it if it is wrong",
        ));
    }
    let belief = Belief {
        now_ms: (ahead == Ahead::Some).then_some(now_ms),
        found: found_before(entries),
    };
    let mut found = Vec::new();
    if belief.now_ms.is_none() && belief.found.is_empty() {
        entries.sort_by(|a, b| (a.stamp, &a.id).cmp(&(b.stamp, &b.id)));
    } else {
        found = place_by_belief(entries, files, begun, &belief, problems);
    }
    if !once {
        drop_copies(entries, files, problems);
    }
    let newest = belief.newest(entries, begun).unwrap_or_default();
    let behind = newest.0.saturating_sub(now_ms);
    if behind > BEHIND_MS && ahead != Ahead::Most {
        problems.push(Problem::with_file(
            Path::new(""),
            ProblemKind::ClockBehind,
            format!(
                "this computer's clock is {} earlier than the last record; set it if it is wrong",
                roughly(behind)
            ),
        ));
    }
    (newest, found)
}

/// What the first line of a file says.
#[derive(Default)]
pub(crate) struct Begun {
    /// The session that wrote it.
    pub(crate) session: Option<Box<str>>,
    /// The newest mark its writer knew.
    pub(crate) after: Stamp,
}

/// Which time marks are believed.
struct Belief {
    /// Marks too far ahead of this time are not; none where this clock itself is wrong.
    now_ms: Option<u64>,
    /// By session: later marks were found wrong before, and records say so.
    found: HashMap<String, u64>,
}

impl Belief {
    /// Whether a mark of a session is believed.
    fn holds(&self, stamp: Stamp, session: Option<&str>) -> bool {
        let found = session.and_then(|session| self.found.get(session));
        let is_found = found.is_some_and(|beyond| stamp.0 > *beyond);
        !is_found && !self.now_ms.is_some_and(|now| stamp.is_ahead(now))
    }

    /// The newest mark that is believed. One of a session found wrong is not, though a clock that is
    /// wrong in its turn shows a later time: what follows it would stand where that session does.
    fn newest(&self, entries: &[Entry], begun: &[Begun]) -> Option<Stamp> {
        let session = |e: &Entry| begun.get(e.file as usize)?.session.as_deref();
        let held = entries.iter().filter(|e| self.holds(e.stamp, session(e)));
        held.map(|e| e.stamp).max()
    }
}

/// What sound records say of sessions whose clock was wrong.
fn found_before(entries: &[Entry]) -> HashMap<String, u64> {
    let mut found: HashMap<String, u64> = HashMap::new();
    for (_, clock) in clocks_told(entries) {
        let beyond = found.entry(clock.session).or_insert(clock.beyond);
        *beyond = clock.beyond.min(*beyond);
    }
    found
}

/// The sound records of a clock found wrong, each with the number of its file.
fn clocks_told(entries: &[Entry]) -> impl Iterator<Item = (usize, ClockFound)> {
    let sound = |e: &&Entry| &*e.ev == "clock" && e.checked == Checked::Good;
    let told = entries.iter().filter(sound);
    told.filter_map(|e| Some((e.file as usize, e.rec.parse().ok()?)))
}

/// A span of milliseconds in the largest unit of which it has at least two.
fn roughly(ms: u64) -> String {
    let minutes = ms / 60_000;
    match minutes {
        2_880.. => format!("{} days", minutes / 1440),
        120.. => format!("{} h", minutes / 60),
        _ => format!("{minutes} min"),
    }
}

/// How many of the records are marked further ahead than can be believed.
#[derive(Clone, Copy, PartialEq)]
enum Ahead {
    None,
    Some,
    Most,
}

/// Each record counts once: copies of one file must not outvote the others.
fn ahead_of_clock(entries: &[Entry], now_ms: u64) -> Ahead {
    let wild = entries.iter().filter(|e| e.stamp.is_ahead(now_ms));
    let wild: HashSet<&EntryId> = wild.map(|e| &e.id).collect();
    if wild.is_empty() {
        return Ahead::None;
    }
    let all: HashSet<&EntryId> = entries.iter().map(|e| &e.id).collect();
    if wild.len() * 2 > all.len() {
        Ahead::Most
    } else {
        Ahead::Some
    }
}

/// Sort with the marks that are not believed replaced. A session with such a clock stands after the
/// record it had read when it began, wherever that one was placed; within it a wall time that can
/// be believed goes on from there. Returns the sessions found just now.
fn place_by_belief(
    entries: &mut Vec<Entry>,
    files: &[LogFile],
    begun: &[Begun],
    belief: &Belief,
    problems: &mut Vec<Problem>,
) -> Vec<ClockFound> {
    // What a session had read may be lost: it then stands after all that is believed.
    let newest = belief.newest(entries, begun);
    let had_read = had_read(entries, begun);
    let order = readers_last(entries, begun, &had_read);
    let mut by_file: Vec<Vec<Entry>> = files.iter().map(|_| Vec::new()).collect();
    for entry in entries.drain(..) {
        if let Some(file) = by_file.get_mut(entry.file as usize) {
            file.push(entry);
        }
    }
    let mut placed_as: BTreeMap<Stamp, Stamp> = BTreeMap::new();
    let mut placed: Vec<(Stamp, Entry)> = Vec::new();
    let mut found: BTreeMap<String, (u64, Stamp)> = BTreeMap::new();
    for file in order {
        let (session, after) = begun.get(file).map_or((None, Stamp::default()), |b| {
            (b.session.as_deref(), b.after)
        });
        let known = placed_as.range(..=after).next_back();
        let mut last = match known {
            Some((own, place)) if *own == after || !belief.holds(after, None) => *place,
            _ if belief.holds(after, None) => after,
            _ => newest.unwrap_or_default(),
        };
        // Whoever called a clock wrong may have had the wrong one, and still had read what it shows.
        let read = had_read.get(file).into_iter().flatten();
        let read = read.filter_map(|mark| placed_as.get(mark)).max();
        last = read.map_or(last, |place| last.max(place.next()));
        let is_later = read.is_some() || placed_as.get(&after).is_some_and(|place| *place > after);
        let mut wild = 0_u32;
        for mut entry in std::mem::take(&mut by_file[file]) {
            entry.believed = belief.holds(entry.stamp, session);
            if entry.believed && is_later && entry.stamp <= last {
                last = last.next();
                placed_as.insert(entry.stamp, last);
            } else if entry.believed {
                last = entry.stamp;
            } else {
                wild += 1;
                let wall = Stamp(u64::try_from(entry.at.timestamp_millis()).unwrap_or(0), 0);
                // A clock set right while the session went on shows in the wall time alone.
                if wall > last && belief.holds(wall, session) {
                    last = wall;
                    entry.believed = true;
                }
                placed_as.insert(entry.stamp, last);
                if let (Some(now), Some(session)) = (belief.now_ms, session) {
                    let beyond = now.saturating_add(AHEAD_MS);
                    if belief
                        .found
                        .get(session)
                        .is_none_or(|known| *known > beyond)
                    {
                        let found = found
                            .entry(session.to_owned())
                            .or_insert((beyond, entry.stamp));
                        found.1 = found.1.max(entry.stamp);
                    }
                }
            }
            placed.push((last, entry));
        }
        if wild > 0 {
            problems.push(Problem::with_file(
                &files[file].path,
                ProblemKind::ClockAhead,
                format!("{wild} record(s) are marked more than two days in the future, so the clock was wrong; they are placed by what is known of their order"),
            ));
        }
    }
    placed.sort_by(|(p, a), (q, b)| (p, a.stamp, &a.id).cmp(&(q, b.stamp, &b.id)));
    entries.extend(placed.into_iter().map(|(_, entry)| entry));
    let found = found.into_iter();
    found
        .map(|(session, (beyond, read))| ClockFound {
            session,
            beyond,
            read: Some(read),
        })
        .collect()
}

/// By file, the newest marks its session had read of those it found wrong.
fn had_read(entries: &[Entry], begun: &[Begun]) -> Vec<Vec<Stamp>> {
    let mut read: Vec<Vec<Stamp>> = begun.iter().map(|_| Vec::new()).collect();
    for (file, clock) in clocks_told(entries) {
        if let Some(read) = read.get_mut(file) {
            read.extend(clock.read);
        }
    }
    read
}

/// The files in such an order that a session comes after those it had read, as far as the record
/// tells and does not go round in a circle.
fn readers_last(entries: &[Entry], begun: &[Begun], had_read: &[Vec<Stamp>]) -> Vec<usize> {
    let mut holder: HashMap<Stamp, Option<usize>> = begun.iter().map(|b| (b.after, None)).collect();
    holder.extend(had_read.iter().flatten().map(|mark| (*mark, None)));
    for entry in entries {
        if let Some(holder) = holder.get_mut(&entry.stamp) {
            *holder = Some(entry.file as usize);
        }
    }
    let mut order = Vec::with_capacity(begun.len());
    let mut met = vec![false; begun.len()];
    let mut placed = vec![false; begun.len()];
    let mut first: Vec<usize> = (0..begun.len()).collect();
    first.sort_by_key(|file| (begun.get(*file).map(|b| b.after), *file));
    for file in first {
        let mut waiting = vec![file];
        while let Some(file) = waiting.pop() {
            if placed.get(file).copied().unwrap_or(true) {
                continue;
            }
            if std::mem::replace(&mut met[file], true) {
                placed[file] = true;
                order.push(file);
                continue;
            }
            waiting.push(file);
            let marks = had_read[file].iter().chain([&begun[file].after]);
            let needed = marks.filter_map(|mark| *holder.get(mark)?);
            waiting.extend(needed.filter(|needed| !met.get(*needed).copied().unwrap_or(true)));
        }
    }
    order
}

/// Keep one of each record. The same id with the same content is one record, whichever file and
/// time it was taken down at: the sound copy counts, then the earliest. The same id with another
/// content is a clash: both stay, marked.
fn drop_copies(entries: &mut Vec<Entry>, files: &[LogFile], problems: &mut Vec<Problem>) {
    let mut first: HashMap<&str, usize> = HashMap::with_capacity(entries.len());
    let mut twins: HashMap<usize, Vec<usize>> = HashMap::new();
    for (index, entry) in entries.iter().enumerate() {
        let known = *first.entry(entry.id.as_str()).or_insert(index);
        if known != index {
            twins
                .entry(known)
                .or_insert_with(|| vec![known])
                .push(index);
        }
    }
    let mut dropped = vec![false; if twins.is_empty() { 0 } else { entries.len() }];
    let mut clashes = Vec::new();
    for mut group in twins.into_values() {
        // Sound copies first, each kind in the order of the history.
        group.sort_by_key(|&i| (Reverse(entries[i].checked == Checked::Good), i));
        let mut contents = HashSet::with_capacity(group.len());
        let mut kept: Vec<usize> = Vec::new();
        for i in group {
            match contents.insert((&*entries[i].ev, entries[i].rec.get())) {
                true => kept.push(i),
                false => dropped[i] = true,
            }
        }
        if kept.len() > 1 {
            clashes.push(kept);
        }
    }
    clashes.sort();
    for kept in clashes {
        let more = kept.len().saturating_sub(NAMED);
        let mut places: Vec<String> = kept
            .iter()
            .take(NAMED)
            .map(|&i| {
                format!(
                    "{} line {}",
                    files[entries[i].file as usize].path.display(),
                    entries[i].line
                )
            })
            .collect();
        if more > 0 {
            places.push(format!("and {more} more"));
        }
        let entry = &entries[kept[0]];
        let mut message = format!(
            "{} different records carry the id {}: {}",
            kept.len(),
            entry.id,
            places.join(", ")
        );
        let begins = |&&i: &&usize| {
            let entry = &entries[i];
            &*entry.ev == "walk" && entry.checked == Checked::Good
        };
        let mut kind = ProblemKind::SameId;
        if kept.iter().filter(begins).count() > 1 {
            kind = ProblemKind::SameWalk;
            message += "; they begin walks, of which the first alone counts, with the looks of all";
        }
        problems.push(Problem::with_file(Path::new(""), kind, message));
        for i in kept {
            entries[i].shared_id = true;
        }
    }
    let mut drop = dropped.into_iter();
    entries.retain(|_| !drop.next().unwrap_or(false));
}

/// How many files a session names beside the newest: more are two devices that never met.
const BESIDE: usize = 32;

/// Report what a session had read when it began, where no file has it any more: numbers within a
/// session cannot show that its end was cut off, as when a copying program puts an older file in the
/// place of a newer one, or that the files before it were put away. Returns the last marks of the
/// files that no session line names, the newest first.
pub(crate) fn report_not_here(
    entries: &[Entry],
    files: &[LogFile],
    problems: &mut Vec<Problem>,
) -> Vec<Stamp> {
    let sound = |e: &&Entry| e.checked == Checked::Good;
    let sessions = entries.iter().filter(sound);
    let mut known: BTreeMap<Stamp, &Entry> = BTreeMap::new();
    for (marks, entry) in sessions.filter_map(|e| Some((known_by(e)?, e))) {
        for mark in marks.beside.into_iter().take(BESIDE).chain([marks.after]) {
            if mark != Stamp::default() {
                known.entry(mark).or_insert(entry);
            }
        }
    }
    let mut ends = vec![None; files.len()];
    for entry in entries.iter().filter(sound) {
        if let Some(end) = ends.get_mut(entry.file as usize) {
            *end = Some(entry.stamp);
        }
    }
    let ends: Vec<Stamp> = ends.into_iter().flatten().collect();
    let unnamed = ends.iter().filter(|mark| !known.contains_key(mark));
    let mut beside: Vec<Stamp> = unnamed.copied().collect();
    beside.sort_unstable_by_key(|mark| Reverse(*mark));
    beside.truncate(BESIDE);
    // Nearly always the last of a file, so that few are looked for among all records.
    for mark in ends {
        known.remove(&mark);
    }
    if !known.is_empty() {
        for entry in entries {
            known.remove(&entry.stamp);
        }
    }
    for (mark, session) in known {
        let when = i64::try_from(mark.0).ok();
        let when = when.and_then(chrono::DateTime::from_timestamp_millis);
        let when = when.map_or(String::new(), |w| {
            w.format(" (%Y-%m-%d %H:%M UTC)").to_string()
        });
        problems.push(Problem::with_file(
            &files[session.file as usize].path,
            ProblemKind::NotHere,
            format!("a record{when} that this session had read when it began is in no file here, and more may be missing; merge a copy that has it"),
        ));
    }
    beside
}

/// The numbers each session has used, and from them what is missing.
#[derive(Default)]
pub(crate) struct Numbers {
    seen: HashMap<Box<str>, (u32, Vec<u32>)>,
}

impl Numbers {
    /// Take in the numbers of one session seen in one file.
    pub(crate) fn add(&mut self, session: &str, file: u32, numbers: &mut Vec<u32>) {
        if numbers.is_empty() {
            return;
        }
        match self.seen.get_mut(session) {
            Some((_, all)) => all.append(numbers),
            None => {
                self.seen
                    .insert(session.into(), (file, std::mem::take(numbers)));
            }
        }
    }

    /// Report every gap over all files: a line lost from one copy but found in another is no loss.
    /// True where no session gave a number twice.
    pub(crate) fn report(self, files: &[LogFile], problems: &mut Vec<Problem>) -> bool {
        let mut gaps = Vec::new();
        let mut once = true;
        for (session, (file, mut numbers)) in self.seen {
            numbers.sort_unstable();
            once &= numbers.is_sorted_by(|a, b| a < b);
            let mut expected = 0;
            for n in numbers {
                if n > expected {
                    gaps.push((file, session.clone(), expected, n - 1));
                }
                expected = expected.max(n.saturating_add(1));
            }
        }
        gaps.sort();
        for (file, session, from, to) in gaps {
            let which = if from == to {
                format!("entry {from} of session {session} is missing")
            } else {
                format!("entries {from} to {to} of session {session} are missing")
            };
            let path = &files[file as usize].path;
            problems.push(Problem::with_file(path, ProblemKind::Missing, which));
        }
        once
    }
}

#[cfg(test)]
mod tests;
