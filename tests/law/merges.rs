//! Two devices with a copy each, whose files are carried in part, both ways, or merged: whatever
//! happens in between, all of it together says what was seen last, and a copy that lacks a file which
//! one of its own had read says so.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use chrono::Duration;
use handlamp::checklist::Grade;
use handlamp::logbook::{Folder, RealDisk, merge};

use super::aboard::{Aboard, BOAT_ITEM, ITEMS, files, time};
use super::count::Count;
use super::harness::copy;
use super::oracle::{Answer, Asked, ask};

const SCHEDULES: u64 = 110;
const STEPS: usize = 10;
pub const NOT_YET: &str = "files of another device that have not arrived";

struct Story {
    _dir: tempfile::TempDir,
    roots: [PathBuf; 2],
    aboard: Vec<Aboard>,
    at: chrono::DateTime<chrono::FixedOffset>,
    rng: fastrand::Rng,
    /// Of each item the last grade, in the order of time.
    grades: BTreeMap<&'static str, Grade>,
    /// The files that lay there when a file was begun.
    read: BTreeMap<PathBuf, BTreeSet<PathBuf>>,
}

fn here(root: &Path) -> BTreeSet<PathBuf> {
    files(root).into_iter().collect()
}

impl Story {
    fn new(seed: u64) -> Story {
        let dir = tempfile::tempdir().expect("a folder");
        let roots = ["a", "b"].map(|name| dir.path().join(name));
        let mut first = Aboard::begin(&roots[0], "2046-05-01T08:00:00+02:00", &["main"], seed * 2);
        first.tells_age();
        first.book.finish();
        copy(&roots[0], &roots[1]);
        let at = time("2046-05-01T09:00:00+02:00");
        let second = Aboard::on(&roots[1], at, seed * 2 + 1);
        Story {
            _dir: dir,
            roots,
            aboard: vec![first, second],
            at,
            rng: fastrand::Rng::with_seed(seed),
            grades: BTreeMap::new(),
            read: BTreeMap::new(),
        }
    }

    fn walks(&mut self, who: usize) {
        let before = here(&self.roots[who]);
        let aboard = &mut self.aboard[who];
        aboard.session_at(self.at);
        let walk = aboard.begin_walk("main");
        for item in ITEMS {
            if self.rng.u8(..3) > 0 {
                let grade = Grade::ALL[self.rng.usize(..5)];
                aboard.look(&walk, item, grade.as_str());
                self.grades.insert(item, grade);
            }
        }
        aboard.finish_walk(&walk);
        aboard.book.finish();
        for file in here(&self.roots[who]).difference(&before) {
            self.read.insert(file.clone(), before.clone());
        }
    }

    /// Some files of one device are carried to the other.
    fn carries(&mut self, from: usize, all: bool) {
        let (from, to) = (self.roots[from].clone(), self.roots[1 - from].clone());
        for file in files(&from) {
            if all || self.rng.bool() {
                std::fs::create_dir_all(to.join(&file).parent().expect("a year")).expect("made");
                std::fs::copy(from.join(&file), to.join(&file)).expect("copied");
            }
        }
    }

    fn merges(&mut self, from: usize) {
        let (from, into) = (
            Folder::new(&self.roots[from]),
            Folder::new(&self.roots[1 - from]),
        );
        merge(&RealDisk, &into, &from, &|_, _| true, &mut self.rng).expect("merged");
    }

    fn asks(&self, root: &Path) -> Answer {
        ask(root, self.at + Duration::hours(1), Asked::default())
    }

    /// All there is in one folder, laid there in this order.
    fn union(&self, order: [usize; 2]) -> Answer {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("all");
        for who in order {
            copy(&self.roots[who], &root);
        }
        self.asks(&root)
    }

    /// True where a file here was begun by somebody who had read another that is not here.
    fn misses(&self, who: usize) -> bool {
        let here = here(&self.roots[who]);
        let read = here.iter().filter_map(|file| self.read.get(file));
        read.flatten().any(|file| !here.contains(file))
    }
}

#[test]
fn all_copies_together_say_what_was_seen_last() {
    let mut count = Count::new("two devices");
    for seed in 0..SCHEDULES {
        let mut story = Story::new(seed);
        for _ in 0..STEPS {
            story.at += Duration::minutes(story.rng.i64(5..2_000));
            let who = story.rng.usize(..2);
            match story.rng.u8(..5) {
                0..=2 => story.walks(who),
                3 => story.carries(who, false),
                _ => story.merges(who),
            }
            let all = story.union([0, 1]);
            for who in 0..2 {
                let answer = story.asks(&story.roots[who]);
                let untold = (!story.misses(who)).then_some(NOT_YET);
                count.law(&answer, &all, untold, || {
                    format!("schedule {seed}, device {who}")
                });
            }
        }
        let all = story.union([0, 1]);
        let machine = |item: &str| (item != BOAT_ITEM).then(|| "main".to_owned());
        let expected = story.grades.iter();
        let expected: BTreeMap<_, _> = expected
            .map(|(item, grade)| (((*item).to_owned(), machine(item)), *grade))
            .collect();
        count.holds(all.grades == expected && all.told.is_empty(), || {
            format!(
                "schedule {seed}: {:?} {:?}, not {expected:?}",
                all.grades, all.told
            )
        });
        let other = story.union([1, 0]);
        count.equal(&other, &all, || {
            format!("schedule {seed}, the other way round")
        });
        let first = story.rng.usize(..2);
        story.merges(first);
        story.carries(1 - first, true);
        for who in 0..2 {
            let answer = story.asks(&story.roots[who]);
            count.equal(&answer, &all, || {
                format!("schedule {seed}, device {who} at last")
            });
        }
    }
    assert!(count.undetectable.keys().all(|kind| *kind == NOT_YET));
    count.tell(2_600);
}
