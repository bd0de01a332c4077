//! Two devices with a copy each, whose files are carried both ways in any order: whole, half, under
//! other names, older ones over newer ones, or by a merge. Whatever happens in between, after a
//! last exchange both hold the same, and that is all that either had.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use handlamp::logbook::{Disk, Folder, Log, Merged, Session, Stamp, merge};

use super::model::disk::MemDisk;
use super::model::ledger::load;
use super::model::stage::{clock, files};

const SCHEDULES: u64 = 1000;
const STEPS: usize = 24;

/// A session by its first line, and the newest record it had read.
struct Began {
    line: String,
    newest: (String, Stamp),
}

struct Story {
    disk: MemDisk,
    roots: [PathBuf; 2],
    sessions: Vec<Session>,
    /// What each had read when it began.
    newest: [Option<(String, Stamp)>; 2],
    clock: handlamp::logbook::FixedClock,
    rng: fastrand::Rng,
    acknowledged: BTreeSet<String>,
    began: Vec<Began>,
    /// Copies made so far, some of them outdated.
    copies: Vec<(PathBuf, Vec<u8>)>,
    told: usize,
    shrunk: usize,
}

fn ids(log: &Log) -> BTreeSet<String> {
    log.entries.iter().map(|e| e.id.to_string()).collect()
}

impl Story {
    fn new(base: &Path, seed: u64) -> Story {
        let disk = MemDisk::with(base);
        let roots = ["a", "b"].map(|name| base.join(name));
        let mut story = Story {
            sessions: Vec::new(),
            newest: [None, None],
            clock: clock(),
            rng: fastrand::Rng::with_seed(seed),
            acknowledged: BTreeSet::new(),
            began: Vec::new(),
            copies: Vec::new(),
            told: 0,
            shrunk: 0,
            disk,
            roots,
        };
        for who in 0..2 {
            let session = story.session(who);
            story.sessions.push(session);
        }
        story
    }

    fn log(&self, who: usize) -> Log {
        load(&files(&self.disk.state()), &self.roots[who])
    }

    fn session(&mut self, who: usize) -> Session {
        let log = self.log(who);
        let last = log.entries.iter().max_by_key(|e| e.stamp);
        self.newest[who] = last.map(|e| (e.id.to_string(), e.stamp));
        let disk = Box::new(self.disk.clone());
        let folder = Folder::new(&self.roots[who]);
        Session::new(disk, folder, "0.1.0", log.newest, self.rng.fork())
    }

    fn look(&mut self, who: usize, n: usize) {
        self.clock.advance(Duration::from_millis(400));
        let records = [("look", format!("{{\"n\":{n}}}"))];
        let ids = self.sessions[who].append(&records, &self.clock);
        let id = ids.expect("saved")[0].to_string();
        let (session, number) = id.rsplit_once('-').expect("a number");
        if number == "1" {
            let newest = self.newest[who].clone();
            self.began.extend(newest.map(|newest| Began {
                line: format!("{session}-0"),
                newest,
            }));
        }
        self.acknowledged.insert(id);
    }

    /// A program starts again on a device.
    fn restart(&mut self, who: usize) {
        // Two devices that write in the same millisecond are beyond what a time mark can tell apart.
        self.clock.advance(Duration::from_millis(400));
        if self.rng.bool() {
            self.sessions[who].finish(&self.clock).expect("a clean end");
        }
        self.sessions[who] = self.session(who);
    }

    fn put(&mut self, path: &Path, bytes: &[u8]) {
        let there = self.disk.read(path, u64::MAX).ok();
        self.shrunk += usize::from(there.is_some_and(|there| bytes.len() < there.len()));
        self.disk.folders(path.parent().expect("a folder"));
        self.disk.meddle(path, Some(bytes));
    }

    /// The record files of a device, below its folder.
    fn files(&self, who: usize) -> Vec<(PathBuf, Vec<u8>)> {
        let root = &self.roots[who];
        let all = files(&self.disk.state()).into_iter();
        let own = all.filter_map(|(path, bytes)| {
            let inside = path.strip_prefix(root).ok()?.to_owned();
            let record = inside.extension().is_some_and(|e| e == "jsonl");
            record.then_some((inside, bytes))
        });
        own.collect()
    }

    fn merge(&mut self, into: usize, from: usize) -> Merged {
        let [into, from] = [into, from].map(|who| Folder::new(&self.roots[who]));
        let merged = merge(&self.disk, &into, &from, &|_, _| true, &mut self.rng);
        merged.expect("merged")
    }

    fn carry(&mut self, from: usize, n: usize) {
        let to = self.roots[1 - from].clone();
        let files = self.files(from);
        let Some((path, bytes)) = files.get(self.rng.usize(..files.len().max(1))) else {
            return;
        };
        self.copies.push((path.clone(), bytes.clone()));
        match self.rng.usize(..5) {
            0 => self.put(&to.join(path), bytes),
            1 => {
                let part = self.rng.usize(..=bytes.len());
                self.put(&to.join(path), &bytes[..part]);
            }
            2 => {
                let name = path.with_extension(format!("sync-conflict-{n}.jsonl"));
                self.put(&to.join(name), bytes);
            }
            3 => {
                let (path, bytes) = self.copies[self.rng.usize(..self.copies.len())].clone();
                self.put(&to.join(path), &bytes);
            }
            _ => {
                self.merge(1 - from, from);
            }
        }
    }

    /// Where the newest record that a session had read is gone, that is told.
    fn watch(&mut self, who: usize) {
        let log = self.log(who);
        let here = ids(&log);
        let missed = self.began.iter().filter(|began| {
            let (id, stamp) = &began.newest;
            let older = log.entries.iter().any(|e| e.stamp < *stamp);
            here.contains(&began.line) && !here.contains(id) && older
        });
        let missed = missed.count();
        assert!(missed == 0 || log.is_damaged(), "{:?}", log.problems);
        self.told += missed;
    }

    fn play(&mut self, restarts: bool) {
        for n in 0..STEPS {
            let who = self.rng.usize(..2);
            match self.rng.usize(..8) {
                0..4 => self.look(who, n),
                4 if restarts => self.restart(who),
                _ => {
                    self.carry(who, n);
                    self.watch(1 - who);
                }
            }
        }
        // Each writes once more, which puts back what was taken from under its open file.
        for who in 0..2 {
            self.look(who, 100 + who);
        }
    }
}

/// How often an older or shorter file came over a newer one, and how often that was told.
fn schedule(seed: u64, base: &Path, restarts: bool) -> (usize, usize) {
    let mut story = Story::new(base, seed);
    story.play(restarts);
    let all: BTreeSet<String> = [0, 1]
        .iter()
        .flat_map(|who| ids(&story.log(*who)))
        .collect();
    if !restarts {
        // A session keeps its records until it ends, so nothing at all is lost.
        assert!(story.acknowledged.is_subset(&all), "seed {seed}");
    }
    for (from, to) in [(0, 1), (1, 0)] {
        story.merge(to, from);
    }
    let (a, b) = (story.log(0), story.log(1));
    let order = |log: &Log| {
        log.entries
            .iter()
            .map(|e| e.id.to_string())
            .collect::<Vec<_>>()
    };
    assert_eq!(order(&a), order(&b), "seed {seed}: one order on both");
    assert_eq!(ids(&a), all, "seed {seed}: all that either had, each once");
    assert_eq!(a.entries.len(), all.len(), "seed {seed}");
    for (from, to) in [(0, 1), (1, 0)] {
        assert_eq!(story.merge(to, from), Merged::default(), "seed {seed}");
    }
    (story.shrunk, story.told)
}

fn schedules(restarts: bool) {
    let started = Instant::now();
    let dir = tempfile::tempdir().expect("a folder");
    for name in ["a", "b"] {
        std::fs::create_dir(dir.path().join(name)).expect("a folder");
    }
    let (mut shrunk, mut told) = (0, 0);
    for seed in 0..SCHEDULES {
        let counts = schedule(seed, dir.path(), restarts);
        shrunk += counts.0;
        told += counts.1;
    }
    assert!(shrunk > 100 && (told > 100 || !restarts));
    let seconds = started.elapsed().as_secs_f32();
    println!(
        "{SCHEDULES} schedules of two devices, {shrunk} files put back or cut, a newest record missed and told at {told} readings, {seconds:.1} s"
    );
}

#[test]
fn two_devices_whose_sessions_go_on_lose_nothing() {
    schedules(false);
}

#[test]
fn two_devices_that_start_again_and_again_keep_what_either_has() {
    schedules(true);
}
