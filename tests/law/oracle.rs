//! What a logbook answers, and when one answer is better than another.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::rc::Rc;
use std::sync::{Arc, LazyLock};

use chrono::{DateTime, FixedOffset};
use handlamp::assess::words::Verdict;
use handlamp::checklist::{Closing, Grade, Library};
use handlamp::defects::State;
use handlamp::defects::condition::Condition;
use handlamp::defects::judged::judge;
use handlamp::defects::verdict::verdict;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;

/// An item on a machine; no machine for what the boat has once.
pub type Subject = (String, Option<String>);

/// What is said of a boat.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// By machine, on the last finished walk that has one: its rank, 2 forbids.
    pub now: BTreeMap<String, u8>,
    /// The same as at the end of that walk, with its id; empty where it was not asked.
    pub at_walk: BTreeMap<String, (String, u8)>,
    pub stops: BTreeSet<Subject>,
    /// Of every graded item.
    pub grades: BTreeMap<Subject, Grade>,
    /// Defects that stand: open 0, deferred 1, repaired 2.
    pub standing: BTreeMap<Subject, u8>,
    /// What is not counted, in words.
    pub told: Vec<String>,
    /// There is no answer, and why: an answer that is no better than any.
    pub refused: Option<String>,
}

/// The catalogue and checklists of the program, without a settings folder.
pub fn library() -> Arc<Library> {
    static LIBRARY: LazyLock<Arc<Library>> =
        LazyLock::new(|| Arc::new(Library::built_in().clone()));
    Arc::clone(&LIBRARY)
}

/// How bad a word is: 0 is the best.
pub fn rank(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::ClearToRun | Verdict::NothingSeenAgainstStarting | Verdict::SignedOff => 0,
        Verdict::RunWithCare | Verdict::SignedOffWithRecheck => 1,
        Verdict::DoNotLeave => 2,
        Verdict::DoNotRun | Verdict::NotSignedOff => 3,
    }
}

/// How well a defect is taken care of; nothing where it troubles nobody any more.
pub fn care(state: State) -> Option<u8> {
    match state {
        State::Open => Some(0),
        State::Deferred => Some(1),
        State::Repaired | State::Temporary => Some(2),
        State::Confirmed | State::Withdrawn => None,
    }
}

/// How the logbook is opened.
#[derive(Clone, Copy, Default)]
pub struct Asked<'a> {
    /// Where this computer keeps what it had seen of logbooks.
    pub marks: Option<&'a Path>,
    /// Also as at the end of the walk, which costs as much again.
    pub at_walk: bool,
}

/// Opens the logbook in a folder and asks it.
pub fn ask(root: &Path, now: DateTime<FixedOffset>, asked: Asked<'_>) -> Answer {
    let clock = Rc::new(FixedClock::new(now));
    match Book::open(root, clock, library(), Some(1)) {
        Ok(mut book) => {
            if asked.marks.is_some() {
                book.mind(asked.marks);
            }
            answer(&book, asked.at_walk)
        }
        Err(error) => Answer {
            refused: Some(error.to_string()),
            ..Answer::default()
        },
    }
}

/// What an open logbook answers.
pub fn answer(book: &Book, at_walk: bool) -> Answer {
    let condition = book.condition();
    let mut said = Answer {
        told: condition
            .not_counted()
            .iter()
            .map(|n| n.sentence())
            .collect(),
        ..Answer::default()
    };
    for machine in &book.boat().machines {
        judge_machine(&mut said, book, &condition, &machine.id, at_walk);
    }
    for (subject, life) in &condition.lives {
        let key = (subject.item.clone(), subject.machine.clone());
        let Some(item) = condition.item(subject) else {
            continue;
        };
        let waters = condition.boat.waters;
        if condition.stop_rule(subject, item, life, waters).is_some() {
            said.stops.insert(key.clone());
        }
        let grade = condition.counted_grade(subject, item, life);
        if let Some(grade) = grade.filter(|_| !life.status.removed) {
            said.grades.insert(key.clone(), grade);
        }
        let defect = life.current().filter(|_| !life.status.removed);
        if let Some(care) = defect.and_then(|d| care(condition.state(subject, d))) {
            said.standing.insert(key, care);
        }
    }
    said
}

fn judge_machine(said: &mut Answer, book: &Book, now: &Condition, machine: &str, at_walk: bool) {
    let history = book.history();
    let mut walks = history.walks.iter().rev().filter(|w| w.machine == machine);
    let last = walks.find(|walk| {
        let closes = book
            .library()
            .checklist_of(&walk.checklist, walk.asked.as_deref());
        walk.finished.is_some()
            && closes.is_some_and(|l| !matches!(l.closes_with, Closing::Survey | Closing::Finding))
    });
    let Some(walk) = last else { return };
    if let Some((word, _)) = verdict(now, history, walk) {
        said.now.insert(machine.to_owned(), rank(word));
    }
    if at_walk {
        let then = judge(book.boat(), book.library(), history, now, walk).at_walk;
        if let Some(word) = then {
            let of = (walk.id.clone(), rank(word));
            said.at_walk.insert(machine.to_owned(), of);
        }
    }
}

impl Answer {
    /// True where something of the record is told as missing, or no answer is given.
    pub fn says_so(&self) -> bool {
        !self.told.is_empty() || self.refused.is_some()
    }

    /// In what this answer is better than another; empty where in nothing. No verdict at all counts
    /// as the best.
    pub fn better(&self, than: &Answer) -> Vec<String> {
        let mut found = Vec::new();
        if self.refused.is_some() {
            return found;
        }
        for (machine, word) in &than.now {
            let own = self.now.get(machine);
            if own.copied().unwrap_or(0) < *word {
                found.push(format!("verdict on {machine} {own:?}, not {word}"));
            }
        }
        for (machine, (walk, word)) in &than.at_walk {
            if let Some((same, own)) = self.at_walk.get(machine)
                && same == walk
                && own < word
            {
                found.push(format!("{machine} as at {walk} {own}, not {word}"));
            }
        }
        for stop in than.stops.difference(&self.stops) {
            found.push(format!("no stop on {stop:?}"));
        }
        for (subject, grade) in &than.grades {
            let own = self.grades.get(subject);
            if own.is_none_or(|own| own < grade) {
                found.push(format!("{subject:?} {own:?}, not {grade}"));
            }
        }
        for (subject, care) in &than.standing {
            let own = self.standing.get(subject);
            if own.is_none_or(|own| own > care) {
                found.push(format!("defect of {subject:?} {own:?}, not {care}"));
            }
        }
        found
    }

    /// The law; what breaks it.
    pub fn breach(&self, intact: &Answer) -> Option<String> {
        if self.says_so() {
            return None;
        }
        let better = self.better(intact);
        (!better.is_empty()).then(|| better.join("; "))
    }
}
