//! From the lines of many files to one history: sorted by time mark and id, each record once,
//! clashes, gaps and wild clocks reported.
//!
//! A record marked more than 48 hours ahead of this computer's clock was written by a clock that
//! was wrong. Left alone it would count as the newest for years, so it is placed by its wall time
//! if that is believable, else after the record before it in its file. If more than half of all
//! records are ahead, it is this computer's clock that is wrong, and all marks are believed.

use std::cmp::Reverse;
use std::collections::HashMap;
use std::path::{Path, PathBuf};

use super::line::{Checked, Entry};
use super::problem::{Problem, ProblemKind};
use super::read::LogFile;
use super::stamp::Stamp;

/// Sort the entries, drop copies, and report what is wrong. Entries arrive file by file in the
/// order of their lines, with `before` holding for each file the newest mark its writer knew.
/// Returns the newest mark to be believed.
pub(crate) fn arrange(
    entries: &mut Vec<Entry>,
    files: &[LogFile],
    before: &[Stamp],
    now_ms: u64,
    problems: &mut Vec<Problem>,
) -> Stamp {
    let ahead = entries.iter().filter(|e| e.stamp.is_ahead(now_ms)).count();
    if ahead * 2 > entries.len() {
        problems.push(Problem::with_file(
            Path::new(""),
            ProblemKind::ClockBehind,
            "this computer's clock is earlier than most records; set it if it is wrong",
        ));
        entries.sort_by(|a, b| (a.stamp, &a.id).cmp(&(b.stamp, &b.id)));
    } else if ahead == 0 {
        entries.sort_by(|a, b| (a.stamp, &a.id).cmp(&(b.stamp, &b.id)));
    } else {
        place_by_belief(entries, files, before, now_ms, problems);
    }
    drop_copies(entries, files, problems);
    let believed = |stamp: &Stamp| ahead * 2 > entries.len() || !stamp.is_ahead(now_ms);
    let marks = entries.iter().map(|e| e.stamp);
    marks.filter(believed).max().unwrap_or_default()
}

/// Sort with the marks that are too far ahead replaced.
fn place_by_belief(
    entries: &mut Vec<Entry>,
    files: &[LogFile],
    before: &[Stamp],
    now_ms: u64,
    problems: &mut Vec<Problem>,
) {
    let mut placed: Vec<(Stamp, Entry)> = Vec::with_capacity(entries.len());
    let mut wild = vec![0_u32; files.len()];
    let mut last = (u32::MAX, Stamp::default());
    for entry in entries.drain(..) {
        let file = entry.file as usize;
        if last.0 != entry.file {
            let known = before.get(file).copied().unwrap_or_default();
            let known = if known.is_ahead(now_ms) {
                Stamp::default()
            } else {
                known
            };
            last = (entry.file, known);
        }
        if entry.stamp.is_ahead(now_ms) {
            wild[file] += 1;
            let wall = Stamp(u64::try_from(entry.at.timestamp_millis()).unwrap_or(0), 0);
            if !wall.is_ahead(now_ms) {
                last.1 = wall;
            }
        } else {
            last.1 = entry.stamp;
        }
        placed.push((last.1, entry));
    }
    placed.sort_by(|(p, a), (q, b)| (p, a.stamp, &a.id).cmp(&(q, b.stamp, &b.id)));
    entries.extend(placed.into_iter().map(|(_, entry)| entry));
    for (file, count) in files.iter().zip(wild).filter(|(_, count)| *count > 0) {
        problems.push(Problem::with_file(
            &file.path,
            ProblemKind::ClockAhead,
            format!("{count} record(s) are marked more than two days in the future, so the clock was wrong; they are placed by what is known of their order"),
        ));
    }
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
        let mut kept: Vec<usize> = Vec::new();
        for i in group {
            let same = |&&k: &&usize| {
                entries[k].ev == entries[i].ev && entries[k].rec.get() == entries[i].rec.get()
            };
            match kept.iter().find(same) {
                Some(_) => dropped[i] = true,
                None => kept.push(i),
            }
        }
        if kept.len() > 1 {
            clashes.push(kept);
        }
    }
    clashes.sort();
    for kept in clashes {
        let places: Vec<String> = kept
            .iter()
            .map(|&i| {
                format!(
                    "{} line {}",
                    files[entries[i].file as usize].path.display(),
                    entries[i].line
                )
            })
            .collect();
        let entry = &entries[kept[0]];
        problems.push(Problem {
            file: PathBuf::new(),
            line: None,
            kind: ProblemKind::SameId,
            message: format!(
                "{} different records carry the id {}: {}",
                kept.len(),
                entry.id,
                places.join(", ")
            ),
            bytes: None,
        });
        for i in kept {
            entries[i].shared_id = true;
        }
    }
    let mut drop = dropped.into_iter();
    entries.retain(|_| !drop.next().unwrap_or(false));
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
    pub(crate) fn report(self, files: &[LogFile], problems: &mut Vec<Problem>) {
        let mut gaps = Vec::new();
        for (session, (file, mut numbers)) in self.seen {
            numbers.sort_unstable();
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
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::logbook::line::{EntryId, encode};
    use crate::logbook::read::{Log, Reader};
    use chrono::DateTime;
    use proptest::prelude::*;

    const NOW: u64 = 1_795_587_687_123;
    const YEAR: u64 = 365 * 86_400_000;

    /// A line as a session would write it; `at` follows `wall_ms`.
    fn line(id: &str, ms: u64, wall_ms: u64, ev: &str, rec: &str) -> String {
        let at = DateTime::from_timestamp_millis(wall_ms.cast_signed()).unwrap();
        let id = EntryId::new(id).unwrap();
        encode(&id, Stamp(ms, 0), at.fixed_offset(), ev, rec).unwrap()
    }

    fn log(files: &[String]) -> Log {
        let mut reader = Reader::new(NOW);
        for (n, text) in files.iter().enumerate() {
            reader.file(
                PathBuf::from(format!("log/{n}.jsonl")),
                text.as_bytes(),
                || false,
            );
        }
        reader.finish()
    }

    fn ids(log: &Log) -> Vec<&str> {
        log.entries.iter().map(|e| e.id.as_str()).collect()
    }

    fn kinds(log: &Log) -> Vec<ProblemKind> {
        log.problems.iter().map(|p| p.kind).collect()
    }

    #[test]
    fn a_session_with_a_clock_years_ahead_does_not_stay_the_newest() {
        let after = format!("{{\"after\":[{},0]}}", NOW - 5000);
        let wild = line("w-0", NOW + 80 * YEAR, NOW + 80 * YEAR, "session", &after)
            + &line("w-1", NOW + 80 * YEAR + 1, NOW + 80 * YEAR, "look", "{}");
        let sane = line("a", NOW - 5000, NOW - 5000, "look", "{}")
            + &line("b", NOW - 4000, NOW - 4000, "look", "{}")
            + &line("c", NOW - 3000, NOW - 3000, "look", "{}");
        for files in [[wild.clone(), sane.clone()], [sane, wild]] {
            let log = log(&files);
            assert_eq!(ids(&log), ["a", "w-0", "w-1", "b", "c"]);
            assert_eq!(kinds(&log), [ProblemKind::ClockAhead]);
            assert_eq!(log.newest, Stamp(NOW - 3000, 0));
        }
    }

    #[test]
    fn a_mark_driven_ahead_is_placed_by_its_wall_time() {
        let text = line("a", NOW - 9, NOW - 9, "look", "{}")
            + &line("x", NOW + YEAR, NOW - 5000, "look", "{}")
            + &line("b", NOW - 8, NOW - 8, "look", "{}");
        assert_eq!(ids(&log(&[text])), ["x", "a", "b"]);
    }

    #[test]
    fn when_most_is_in_the_future_this_clock_is_behind() {
        let text: String = (1..5)
            .map(|n| line(&format!("e{n}"), NOW + YEAR * n, NOW, "look", "{}"))
            .collect();
        let log = log(&[text]);
        assert_eq!(ids(&log), ["e1", "e2", "e3", "e4"]);
        assert_eq!(kinds(&log), [ProblemKind::ClockBehind]);
        assert_eq!(log.newest, Stamp(NOW + YEAR * 4, 0));
    }

    #[test]
    fn one_id_with_two_contents_keeps_both_and_says_so() {
        let one = line(
            "k7f3q2-9xw4h0m2-0",
            NOW,
            NOW,
            "look",
            "{\"grade\":\"worn\"}",
        );
        let other = line(
            "k7f3q2-9xw4h0m2-0",
            NOW,
            NOW,
            "look",
            "{\"grade\":\"sound\"}",
        );
        let log = log(&[one.clone() + &other, one]);
        assert_eq!(log.entries.len(), 2);
        assert!(log.entries.iter().all(|e| e.shared_id));
        assert_eq!(kinds(&log), [ProblemKind::SameId]);
    }

    #[test]
    fn a_sound_copy_beats_a_changed_one_with_the_same_content() {
        let good = line("a", NOW, NOW, "look", "{}");
        let changed = good.replace("[1", "[0").replace("\"t\":[0", "\"t\":[1");
        let changed = changed.replace(&good[good.len() - 11..good.len() - 3], "00000000");
        let log = log(&[changed, good]);
        assert_eq!(log.entries.len(), 1);
        assert_eq!(log.entries[0].checked, Checked::Good);
        assert_eq!(kinds(&log), [ProblemKind::ChangedOutside]);
    }

    #[test]
    fn gaps_are_named_over_all_files_together() {
        let part = |n: u64| line(&format!("k7f3q2-9xw4h0m2-{n}"), NOW + n, NOW, "look", "{}");
        let holes = log(&[[0, 1, 4, 6].map(part).concat()]);
        let said: Vec<&str> = holes.problems.iter().map(|p| p.message.as_str()).collect();
        assert_eq!(
            said,
            [
                "entries 2 to 3 of session k7f3q2-9xw4h0m2 are missing",
                "entry 5 of session k7f3q2-9xw4h0m2 is missing"
            ]
        );
        let mended = log(&[
            [0, 1, 4, 6].map(part).concat(),
            [2, 3, 4, 5].map(part).concat(),
        ]);
        assert!(mended.problems.is_empty());
    }

    proptest! {
        #[test]
        fn neither_files_nor_lines_nor_copies_change_the_history(
            marks in prop::collection::vec((0..YEAR, 0..4_usize, any::<bool>()), 1..40),
            seed in any::<u64>(),
        ) {
            let line = |(n, &(ms, _, _)): (usize, &(u64, usize, bool))| line(&format!("e{n}"), NOW - YEAR + ms, NOW, "look", "{}");
            let whole: String = marks.iter().enumerate().map(line).collect();
            let mut parts = vec![Vec::new(); 4];
            for (n, mark) in marks.iter().enumerate() {
                parts[mark.1].push(line((n, mark)));
                if mark.2 {
                    parts[(mark.1 + 1) % 4].push(line((n, mark)));
                }
            }
            let mut rng = fastrand::Rng::with_seed(seed);
            for part in &mut parts {
                rng.shuffle(part);
            }
            rng.shuffle(&mut parts);
            let parts: Vec<String> = parts.into_iter().map(|p| p.concat()).collect();
            let (one, many) = (log(&[whole]), log(&parts));
            prop_assert_eq!(ids(&one), ids(&many));
            prop_assert!(many.problems.is_empty());
        }
    }
}
