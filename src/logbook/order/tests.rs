//! One history from any arrangement of the same lines.
#![allow(clippy::unwrap_used)]

use std::path::PathBuf;

use super::*;
use crate::logbook::line::encode;
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

/// Numbers of lines that are damaged must not stand for those that records with ids of their own lack.
#[test]
fn records_of_one_id_are_found_beside_damaged_ones_with_numbers() {
    let own = |rec: &str| line("given", NOW - 9, NOW - 9, "look", rec);
    let damaged = |n: usize| {
        let id = format!("k7f3q2-9xw4h0m2-{n}");
        line(&id, NOW - 8, NOW - 8, "look", "{}").replace("{},", "{,")
    };
    for count in 0..5 {
        let damaged: String = (0..count).map(damaged).collect();
        let read = log(&[own("{}") + &own("{}") + &own("{\"a\":1}") + &damaged]);
        assert_eq!(ids(&read), ["given", "given"], "{count}");
        assert!(kinds(&read).contains(&ProblemKind::SameId), "{count}");
        let read = log(&[own("{}"), own("{}") + &damaged]);
        assert_eq!(ids(&read), ["given"], "{count}");
    }
}

#[test]
fn a_mark_driven_ahead_keeps_its_place_in_its_file() {
    let text = line("a", NOW - 9, NOW - 9, "look", "{}")
        + &line("x", NOW + YEAR, NOW - 5000, "look", "{}")
        + &line("b", NOW - 8, NOW - 8, "look", "{}");
    assert_eq!(ids(&log(&[text])), ["a", "x", "b"]);
    // Once the clock is set right, the wall time goes on from there.
    let text = line("a", NOW - 9000, NOW - 9000, "look", "{}")
        + &line("x", NOW + YEAR, NOW - 5000, "look", "{}")
        + &line("b", NOW - 8, NOW - 8, "look", "{}");
    let other = line("c", NOW - 6000, NOW - 6000, "look", "{}");
    assert_eq!(ids(&log(&[text, other])), ["a", "c", "x", "b"]);
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
fn copies_of_a_file_with_a_wild_clock_do_not_outvote_the_rest() {
    let wild = line("w-0", NOW + 80 * YEAR, NOW + 80 * YEAR, "look", "{}");
    let sane =
        line("a", NOW - 5, NOW - 5, "look", "{}") + &line("b", NOW - 4, NOW - 4, "look", "{}");
    let log = log(&[sane, wild.clone(), wild.clone(), wild]);
    assert_eq!(log.newest, Stamp(NOW - 4, 0));
    assert!(!kinds(&log).contains(&ProblemKind::ClockBehind));
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

/// Time this thread had on a processor for it, the best of three, so that other work does not count.
fn processor_ns(mut work: impl FnMut()) -> u64 {
    let now = || {
        let t = rustix::time::clock_gettime(rustix::time::ClockId::ThreadCPUTime);
        t.tv_sec.unsigned_abs() * 1_000_000_000 + t.tv_nsec.unsigned_abs()
    };
    let run = |_| {
        let began = now();
        work();
        now() - began
    };
    (0..3).map(run).min().unwrap()
}

#[test]
fn many_records_on_one_id_take_time_as_their_number() {
    let text = |count: u64| -> String {
        let record = |n| line("same", NOW - n, NOW - n, "look", &format!("{{\"n\":{n}}}"));
        (0..count).map(record).collect()
    };
    let (few, many) = (text(4_000), text(16_000));
    let took = |text: &String| processor_ns(|| drop(log(std::slice::from_ref(text))));
    let (one, four) = (took(&few), took(&many));
    assert!(four < 6 * one, "{one} ns, four times as many {four} ns");
    let log = log(&[many]);
    assert_eq!(log.entries.len(), 16_000);
    assert!(log.entries.iter().all(|e| e.shared_id));
    assert_eq!(log.problems.len(), 1);
    let problem = &log.problems[0];
    assert!(
        problem
            .message
            .ends_with("log/0.jsonl line 15993, and 15992 more"),
        "{problem}"
    );
}
