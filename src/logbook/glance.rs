//! How a boat stands, at a glance, for whoever keeps several.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::book::{Book, OpenError};
use super::clock::FixedClock;
use crate::arrangement::standing::AtStation;
use crate::arrangement::{Arrangement, Standing};
use crate::assess::words::Verdict;
use crate::checklist::Library;
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::list::{Row, Scenario};
use crate::defects::verdict::{last_morning, verdict};
use crate::service::{DueRow, Group, due};

/// So many of the list are told.
pub const WORST: usize = 5;
/// What is due within so many days is told.
pub const DAYS: f64 = 30.0;

/// One boat among several.
#[derive(Clone, Debug)]
pub struct Glance {
    /// Her name.
    pub boat: String,
    /// The worst word now over her machines, each by its last finished morning check; none where no
    /// machine has one.
    pub verdict: Option<Verdict>,
    /// Machines without a finished morning check, by their names.
    pub unchecked: Vec<String>,
    /// The first of the list, at most [`WORST`].
    pub worst: Vec<Row>,
    /// How many the list has.
    pub listed: usize,
    /// How many of them forbid running.
    pub stops: usize,
    /// Items nobody has seen.
    pub unseen: usize,
    /// Work and looks due now or within [`DAYS`].
    pub due: usize,
    /// Of an age that nobody knows.
    pub unknown_age: usize,
    /// The beginning of the last finished walk.
    pub last_walk: Option<DateTime<FixedOffset>>,
    /// What is on record and not counted, a sentence each.
    pub not_counted: Vec<String>,
    /// Where things are.
    pub arrangement: Arrangement,
    /// How each station stands on it, what matters most first.
    pub stations: Vec<AtStation>,
}

impl Glance {
    /// Of the logbook in a folder. Changes nothing there.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn at(
        root: &Path,
        now: DateTime<FixedOffset>,
        library: &Arc<Library>,
        marks: Option<&Path>,
    ) -> Result<Glance, OpenError> {
        let clock = Rc::new(FixedClock::new(now));
        let mut book = Book::open(root, clock, Arc::clone(library), None)?;
        book.mind(marks);
        Ok(Glance::of(&book))
    }

    /// Of an open logbook.
    pub fn of(book: &Book) -> Glance {
        Glance::stands(&book.condition(), book.history())
    }

    /// Of what the records of a boat say.
    pub fn stands(condition: &Condition, history: &History) -> Glance {
        let (exposure, waters) = condition.usual_plan();
        let list = condition.list(Scenario::new(exposure, waters), false);
        let mut words = Vec::new();
        let mut unchecked = Vec::new();
        for machine in &condition.boat.machines {
            let last = last_morning(condition, history, &machine.id);
            match last.and_then(|walk| verdict(condition, history, walk)) {
                Some((word, _)) => words.push(word),
                None => unchecked.push(machine.name.clone()),
            }
        }
        let rows = due(condition, history);
        let soon = rows.iter().filter(|row| {
            row.group() != Group::FirstSeason
                && (row.due || row.days_left.is_some_and(|d| d <= DAYS))
        });
        let aged = |row: &&DueRow| row.group() == Group::FirstSeason;
        let walks = history.walks.iter().filter(|walk| walk.finished.is_some());
        let arrangement = Arrangement::of(condition, history);
        let standings = Standing::all(&arrangement, condition, history, &list);
        Glance {
            boat: condition.boat.name.clone(),
            verdict: words.into_iter().max(),
            unchecked,
            stops: list.rows.iter().filter(|row| row.stop).count(),
            listed: list.rows.len(),
            unseen: list.unseen.len(),
            worst: list.rows.into_iter().take(WORST).collect(),
            due: soon.count(),
            unknown_age: rows.iter().filter(aged).count(),
            last_walk: walks.map(|walk| walk.at).max(),
            not_counted: condition.doubts.iter().map(|d| d.told.sentence()).collect(),
            stations: AtStation::all(&arrangement, &standings, condition),
            arrangement,
        }
    }

    /// Nothing speaks against starting in what was checked.
    pub fn is_clear(&self) -> bool {
        let clear = [Verdict::ClearToRun, Verdict::NothingSeenAgainstStarting];
        self.verdict.is_some_and(|word| clear.contains(&word))
    }

    /// The word now. What has no finished check takes *clear* from it, and a stop that no such word
    /// speaks of stands before it.
    pub fn words(&self) -> String {
        let unchecked = match self.unchecked.as_slice() {
            [] => String::new(),
            names => format!("not checked: {}", names.join(", ")),
        };
        let word = match self.verdict {
            None => "no check finished".to_owned(),
            Some(word) if unchecked.is_empty() => word.spoken(),
            Some(_) if self.is_clear() => unchecked,
            Some(word) => format!("{}; {unchecked}", word.spoken()),
        };
        match self.stops {
            0 => word,
            _ if self.verdict >= Some(Verdict::DoNotLeave) => word,
            1 => format!("1 stop; {word}"),
            stops => format!("{stops} stops; {word}"),
        }
    }
}
