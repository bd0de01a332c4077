//! One file of sixty lines, damaged in every way a disk, an editor or a copying program can.
//!
//! What is read is then a record as it was written, or is told to be changed; and every record that
//! is not read is told. A file cut short ends as one that was being written does: nothing in it tells
//! the loss, only that its session has no end mark. Those cases are counted, and no other may be
//! among them. A later session, which had read more, tells the loss.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::{Duration, Instant};

use handlamp::logbook::{
    Checked, Clock, Entry, EntryId, Folder, Log, Problem, ProblemKind, Reader, RealDisk, Session,
    Stamp, read_log,
};

use super::model::stage::{NOW_MS, clock};

pub const LINES: usize = 60;
/// Blocks begin at every so many bytes.
const STEP: usize = 16;
/// All but the first line and the last, which belong to the protocol.
const RECORDS: usize = LINES - 2;

pub struct Original {
    pub bytes: Vec<u8>,
    /// The lines by id.
    entries: HashMap<EntryId, Entry>,
    /// A file whose writer had read all of the first.
    pub later: Vec<u8>,
}

/// What was read of a damaged file.
struct Read {
    log: Log,
    /// Records that are not read as they were written.
    lost: usize,
    /// Records are lost and nothing here tells.
    untold: bool,
}

fn session(root: &Path, newest: Stamp, seed: u64) -> Session {
    let rng = fastrand::Rng::with_seed(seed);
    Session::new(Box::new(RealDisk), Folder::new(root), "0.1.0", newest, rng)
}

/// A look in the walk `w1`.
fn look(grade: &str, n: usize) -> (&'static str, String) {
    let at = clock().now().to_rfc3339();
    let look = format!(r#"{{"item":"drive-belt","grade":"{grade}","note":"né {n}"}}"#);
    let rec = format!(r#"{{"walk":"w1","at":"{at}","look":{look}}}"#);
    ("look", rec)
}

/// A session of these records, as bytes.
fn written(records: &[(&str, String)], newest: Stamp, seed: u64) -> Vec<u8> {
    let dir = tempfile::tempdir().expect("a folder");
    let clock = clock();
    let mut writer = session(dir.path(), newest, seed);
    for record in records {
        clock.advance(Duration::from_millis(700));
        let saved = writer.append(std::slice::from_ref(record), &clock);
        saved.expect("saved");
    }
    writer.finish(&clock).expect("saved");
    let log = read_log(dir.path(), &clock).expect("a log");
    std::fs::read(dir.path().join(&log.files[0].path)).expect("read")
}

fn read(files: &[&[u8]]) -> Log {
    let mut reader = Reader::new(NOW_MS);
    for (n, bytes) in files.iter().enumerate() {
        reader.file(PathBuf::from(format!("log/{n}.jsonl")), bytes, || false);
    }
    reader.finish()
}

impl Original {
    pub fn new() -> Original {
        let at = clock().now().to_rfc3339();
        let walk = format!(r#"{{"walk":"w1","checklist":"daily","machine":"main","at":"{at}"}}"#);
        let mut records = vec![("walk", walk)];
        let grades = ["sound", "early", "worn"].iter().cycle();
        records.extend((1..RECORDS).zip(grades).map(|(n, grade)| look(grade, n)));
        let bytes = written(&records, Stamp::default(), 1);
        let log = read(&[&bytes]);
        assert_eq!((log.entries.len(), log.problems.len()), (LINES, 0));
        let entries = log.entries.into_iter().map(|e| (e.id.clone(), e));
        Original {
            entries: entries.collect(),
            later: written(&[look("worn", LINES)], log.newest, 2),
            bytes,
        }
    }

    pub fn lines(&self) -> Vec<&[u8]> {
        self.bytes.split_inclusive(|b| *b == b'\n').collect()
    }

    /// Whether this is one of the records, to the letter.
    fn knows(&self, read: &Entry) -> bool {
        self.entries.get(&read.id).is_some_and(|e| {
            (e.stamp, e.at, &e.ev, e.rec.get()) == (read.stamp, read.at, &read.ev, read.rec.get())
        })
    }

    /// Reads damaged bytes: nothing is misread in silence, and a loss is told.
    fn judge(&self, bytes: &[u8], what: &dyn Fn() -> String) -> Read {
        let log = read(&[bytes]);
        let mut sound = 0;
        for entry in &log.entries {
            if entry.checked == Checked::Good {
                assert!(self.knows(entry), "{}: believed {entry:?}", what());
                sound += usize::from(!matches!(&*entry.ev, "session" | "end"));
            } else {
                let told = |p: &Problem| {
                    p.kind == ProblemKind::ChangedOutside && p.line == Some(entry.line)
                };
                assert!(log.problems.iter().any(told), "{}: {entry:?}", what());
            }
        }
        assert!(sound <= RECORDS, "{}: a record counts twice", what());
        let lost = RECORDS - sound;
        let untold = lost > 0 && !log.is_damaged();
        if untold {
            // So ends a file that was being written, and so may one that was cut later.
            let blank = bytes.iter().rev().take_while(|b| **b == b'\n').count();
            let ends_early = bytes.len() - blank + 1 < self.bytes.len() || blank == 0;
            assert!(ends_early, "{}: {lost} lost, {:?}", what(), log.problems);
            let ended = log.files.iter().any(|file| file.ended);
            assert!(!ended, "{}: {lost} lost before an end", what());
        }
        Read { log, lost, untold }
    }
}

/// How many cases there were, and how many records they cost.
#[derive(Default)]
struct Count {
    cases: usize,
    lost: usize,
    untold: usize,
}

impl Count {
    fn add(&mut self, read: &Read) {
        self.cases += 1;
        self.lost += read.lost;
        self.untold += usize::from(read.untold);
    }

    fn tell(&self, name: &str, started: Instant) {
        let (cases, lost, untold) = (self.cases, self.lost, self.untold);
        let seconds = started.elapsed().as_secs_f32();
        println!(
            "{name}: {cases} cases, {lost} records lost, {untold} of them cuts that nothing tells, no other in silence, {seconds:.1} s"
        );
    }
}

/// Does `act` for every number below `end`, on two threads.
fn each(end: usize, act: impl Fn(usize, &mut Count) + Sync) -> Count {
    let half = |first: usize| {
        let mut count = Count::default();
        (first..end).step_by(2).for_each(|n| act(n, &mut count));
        count
    };
    let (a, b) = thread::scope(|scope| {
        let other = scope.spawn(|| half(1));
        (half(0), other.join().expect("judged"))
    });
    Count {
        cases: a.cases + b.cases,
        lost: a.lost + b.lost,
        untold: a.untold + b.untold,
    }
}

#[test]
fn every_flipped_bit_is_told() {
    let (started, original) = (Instant::now(), Original::new());
    let end = original.bytes.len();
    let count = each(end, |at, count| {
        let mut bytes = original.bytes.clone();
        for bit in 0..8 {
            bytes[at] ^= 1 << bit;
            let read = original.judge(&bytes, &|| format!("bit {bit} of byte {at}"));
            // Damage, but for the newline of the end mark: that looks like a line half written.
            assert!(!read.log.problems.is_empty(), "bit {bit} of byte {at}");
            assert!(read.log.is_damaged() || at + 1 == end, "byte {at}");
            assert!(read.lost <= 2, "bit {bit} of byte {at}");
            count.add(&read);
            bytes[at] ^= 1 << bit;
        }
    });
    assert_eq!((count.cases, count.untold), (end * 8, 0));
    count.tell("bits flipped", started);
}

#[test]
fn every_truncation_keeps_what_comes_before() {
    let (started, original) = (Instant::now(), Original::new());
    let count = each(original.bytes.len(), |length, count| {
        let bytes = &original.bytes[..length];
        let read = original.judge(bytes, &|| format!("cut at {length}"));
        let lines = bytes.iter().filter(|b| **b == b'\n').count();
        let newline_alone = usize::from(original.bytes[length] == b'\n');
        assert_eq!(read.log.entries.len(), lines + newline_alone);
        let torn = length > 0 && bytes[length - 1] != b'\n' && newline_alone == 0;
        assert_eq!(
            read.log.problems.len(),
            usize::from(torn),
            "cut at {length}"
        );
        count.add(&read);
    });
    // Every cut that takes a record along, and no other.
    let end = original.lines()[LINES - 1].len();
    assert_eq!(count.untold, original.bytes.len() - end - 1);
    count.tell("truncations", started);
}

#[test]
fn a_later_session_tells_every_cut_before_it() {
    let (started, original) = (Instant::now(), Original::new());
    let first = original.lines()[0].len();
    let count = each(original.bytes.len(), |length, count| {
        let bytes = &original.bytes[..length];
        let cut = original.judge(bytes, &|| format!("cut at {length}"));
        if cut.untold && length >= first {
            let log = read(&[bytes, &original.later]);
            let told = |p: &Problem| p.kind == ProblemKind::NotHere;
            assert!(
                log.problems.iter().any(told) && log.is_damaged(),
                "cut at {length}"
            );
            count.add(&Read {
                log,
                untold: false,
                ..cut
            });
        }
    });
    assert!(count.cases > 10_000);
    count.tell("truncations before a later session", started);
}

#[test]
fn lines_deleted_doubled_swapped_and_joined() {
    let (started, original) = (Instant::now(), Original::new());
    let lines = original.lines();
    let mut count = Count::default();
    for at in 0..LINES {
        let mut fewer = lines.clone();
        fewer.remove(at);
        let read = original.judge(&fewer.concat(), &|| format!("line {at} deleted"));
        assert_eq!(read.lost, usize::from((1..=RECORDS).contains(&at)));
        assert_eq!(read.log.is_damaged(), at + 1 < LINES, "line {at} deleted");
        count.add(&read);
        let mut more = lines.clone();
        more.insert(at, lines[at]);
        let mut swapped = lines.clone();
        swapped.swap(at, (at + 1) % LINES);
        for bytes in [more.concat(), swapped.concat()] {
            let read = original.judge(&bytes, &|| format!("line {at} doubled or swapped"));
            assert_eq!((read.lost, read.log.problems.len()), (0, 0), "line {at}");
            count.add(&read);
        }
    }
    assert_eq!(count.untold, 0);
    count.tell("lines deleted, doubled and swapped", started);
    // Two files in one, the first cut at any length: what was whole stays.
    let (whole, later) = (&original.bytes, &original.later);
    let both = [&whole[..], later].concat();
    assert_eq!(read(&[&both]).problems, []);
    assert_eq!(
        read(&[&[&both[..], &both].concat()]).entries.len(),
        LINES + 3
    );
    for length in 0..whole.len() {
        let joined = read(&[&[&whole[..length], later].concat()]);
        let kept = whole[..length].iter().filter(|b| **b == b'\n').count();
        let torn = length > 0 && whole[length - 1] != b'\n';
        // The half line takes the first line of the other file with it.
        assert_eq!(joined.entries.len(), kept + 3 - usize::from(torn));
        // With nothing of the first the later session tells that what it had read is not here.
        assert!(joined.is_damaged(), "joined at {length}");
    }
    println!(
        "two files joined: {} cases, none in silence",
        whole.len() + 2
    );
}

#[test]
fn every_byte_put_in_is_told() {
    let (started, original) = (Instant::now(), Original::new());
    let count = each(original.bytes.len() + 1, |at, count| {
        for byte in [0, b'\n', 0x1e] {
            let (before, after) = original.bytes.split_at(at);
            let bytes = [before, &[byte], after].concat();
            let read = original.judge(&bytes, &|| format!("{byte:02x} put in at {at}"));
            let harmless = read.log.problems.is_empty();
            // An empty line between two others, or at either end, is no damage.
            let between = before.last().is_none_or(|b| *b == b'\n') || after == b"\n";
            let between = between || after.first() == Some(&b'\n');
            assert_eq!(harmless, byte == b'\n' && between, "{byte:02x} at {at}");
            assert!(read.lost <= 1, "{byte:02x} put in at {at}");
            count.add(&read);
        }
    });
    assert_eq!(count.untold, 0);
    count.tell("NUL, newline and RS put in", started);
}

#[test]
fn blocks_put_in_and_written_over_are_told() {
    let (started, original) = (Instant::now(), Original::new());
    let count = each(original.bytes.len() / STEP, |n, count| {
        let at = n * STEP;
        for (length, byte) in [(512, 0), (4096, 0), (512, b'\n'), (4096, b'\n')] {
            let block = vec![byte; length];
            let (before, after) = original.bytes.split_at(at);
            let over = &after[length.min(after.len())..];
            for rest in [after, over] {
                let bytes = [before, &block, rest].concat();
                let what = || format!("{length} of {byte:02x} at {at}, then {}", rest.len());
                let read = original.judge(&bytes, &what);
                assert!(read.lost <= length / 100, "{}", what());
                count.add(&read);
            }
        }
    });
    count.tell("blocks put in and written over", started);
}
