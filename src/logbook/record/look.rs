//! A look at an item in a walk.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::draft::forget;
use super::event::{Event, Names, Part, Time, Weight, by_the_program};
use crate::boat::Unit;
use crate::checklist::{Grade, Leak, WearMark};
use crate::logbook::lenient::{self, InPart};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::walk::{Better, Details, Look, Outcome, Photo, TimedLook, Walk};

/// A look in a walk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LookMade {
    /// Walk id; shared with the looks beside it.
    pub walk: Arc<str>,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What was seen.
    pub look: Arc<Look>,
}

impl LookMade {
    /// It as part of its walk.
    pub(in crate::logbook) fn timed(&self, placed: &Placed<'_>) -> TimedLook {
        TimedLook {
            id: Arc::clone(&placed.written.id),
            at: placed.when.at,
            place: placed.when.place,
            verified: placed.is_sound(),
            look: Arc::clone(&self.look),
        }
    }
}

impl Event for LookMade {
    const NAME: &'static str = "look";
    const LOST: Weight = Weight::UntilSeen;
    const CHANGED: Weight = Weight::UntilSeen;
    const COUNTS_CHANGED: bool = true;

    // From outside it comes with its walk, and is held there against the looks before it.
    by_the_program!();

    fn at(&self) -> Option<Time> {
        Some(self.at)
    }

    fn names(&self) -> Names<'_> {
        Names {
            photos: &self.look.photos,
            ..Names::walk(&self.walk, Part::Within)
        }
    }

    fn photos_slot(&mut self) -> &mut [Photo] {
        // Most looks have none, and are shared.
        match self.look.photos.is_empty() {
            true => &mut [],
            false => &mut Arc::make_mut(&mut self.look).photos,
        }
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let Some(walk) = state.walk(&self.walk) else {
            return Applied::NoWalk;
        };
        // Nearly always the newest.
        let before = |made: &TimedLook| made.when() < placed.when;
        let spot = match walk.looks.last().is_none_or(before) {
            true => walk.looks.len(),
            false => walk.looks.partition_point(before),
        };
        walk.looks.insert(spot, self.timed(placed));
        let look = &self.look;
        let of = (&*self.walk, look.phase.as_deref(), look.item.as_str());
        // What was typed before a speed was told may have gone into a look at one.
        let went =
            |d: &Details| d.at_rpm == look.at_rpm || d.at_rpm.is_none() && d.is_said_by(look);
        forget(state.history, of, went);
        Applied::Done
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        let item = title(&self.look.item);
        match &self.look.outcome {
            Outcome::NotSeen { .. } => Some(format!("could not see {item}")),
            Outcome::Graded(grade) => Some(format!("graded {item} {grade}")),
        }
    }

    fn in_part(payload: &str) -> Option<InPart> {
        lenient::look(payload)
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let looks = || {
            let walks = of.history.walks.iter();
            walks.flat_map(|walk| walk.looks.iter().map(move |timed| (walk, timed)))
        };
        let readings = looks().filter_map(|(w, l)| reading(w, l));
        vec![
            of.lines(looks().map(|(w, l)| look(w, l))),
            of.lines(readings),
            of.lines(looks().flat_map(|(w, l)| wear(w, l))),
            of.lines(looks().flat_map(|(w, l)| signs(w, l))),
            of.lines(looks().flat_map(|(w, l)| photos(w, l))),
        ]
    }
}

tables! {
    /// A look at an item in a walk.
    LookRow = "looks" key(look) {
        /// Look id.
        look: String,
        /// Walk id.
        walk: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// Phase of the checklist.
        phase: Option<String>,
        /// When it was made.
        at: Time,
        /// The rung seen; null where it was not seen.
        grade: Option<Grade>,
        /// Why it was not seen.
        not_seen: Option<String>,
        /// What would have to be done to see it.
        close_by: Option<String>,
        /// Leak class.
        leak: Option<Leak>,
        /// What the seller or owner said of it.
        said: Option<String>,
        /// Note.
        note: Option<String>,
        /// Why the grade differs from what the reading or the leak class proposes.
        grade_reason: Option<String>,
        /// Why it is better than last time.
        better: Option<Better>,
        /// Engine speed while looking, rpm.
        at_rpm: Option<u32>,
        /// Topped up, litres.
        added_litres: Option<f64>,
    }
    /// A value measured at a look.
    ReadingRow = "readings" key(look) {
        /// Look id.
        look: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// When it was taken.
        at: Time,
        /// The value, in its unit.
        value: f64,
        /// The unit, as entered.
        unit: Unit,
        /// The value in the base unit of its quantity (L, kPa, C, V, rpm, mm, s, drops/min, L/h, %).
        base_value: f64,
    }
    /// A mark of wear seen at a look.
    WearRow = "wear" key(look, mark, place, against) {
        /// Look id.
        look: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// When it was seen.
        at: Time,
        /// Sort of mark.
        mark: WearMark,
        /// Where on the item.
        place: Option<String>,
        /// What it touches.
        against: Option<String>,
    }
    /// Which of several answers a rung was, as said at a look.
    SignRow = "signs" key(look, question) {
        /// Look id.
        look: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// When it was seen.
        at: Time,
        /// Id of the question; `handlamp causes list` tells them.
        question: String,
        /// Id of its answer; ok is the normal one.
        answer: String,
    }
    /// A picture named at a look.
    PhotoRow = "photos" key(look, path) {
        /// Look id.
        look: String,
        /// Path as entered, or the name it had.
        path: String,
        /// What it shows.
        caption: Option<String>,
        /// Name of the content under photos/; null where only the path is known.
        kept: Option<String>,
        /// Size of the content, bytes.
        bytes: Option<u64>,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// When the look was made.
        at: Time,
    }
}

/// A look.
fn look(walk: &Walk, timed: &TimedLook) -> LookRow {
    let look = &timed.look;
    let (not_seen, close_by) = match &look.outcome {
        Outcome::Graded(_) => (None, None),
        Outcome::NotSeen { why, close_by } => (Some(why.clone()), close_by.clone()),
    };
    LookRow {
        look: timed.id.to_string(),
        walk: walk.id.clone(),
        item: look.item.clone(),
        machine: walk.machine.clone(),
        phase: look.phase.clone(),
        at: timed.at,
        grade: look.grade(),
        not_seen,
        close_by,
        leak: look.leak,
        said: look.said.clone(),
        note: look.note.clone(),
        grade_reason: look.grade_reason.clone(),
        better: look.better,
        at_rpm: look.at_rpm,
        added_litres: look.added.map(|v| v.litres()),
    }
}

/// What was measured at a look, if anything was.
fn reading(walk: &Walk, timed: &TimedLook) -> Option<ReadingRow> {
    let measure = timed.look.reading?;
    Some(ReadingRow {
        look: timed.id.to_string(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        value: measure.value(),
        unit: measure.unit(),
        base_value: measure.unit().to_base(measure.value()),
    })
}

/// The marks of wear seen at a look.
fn wear<'a>(walk: &'a Walk, timed: &'a TimedLook) -> impl Iterator<Item = WearRow> + 'a {
    timed.look.wear.iter().map(|wear| WearRow {
        look: timed.id.to_string(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        mark: wear.mark,
        place: wear.r#where.clone(),
        against: wear.against.clone(),
    })
}

/// The answers given at a look.
fn signs<'a>(walk: &'a Walk, timed: &'a TimedLook) -> impl Iterator<Item = SignRow> + 'a {
    timed.look.signs.iter().map(|(question, answer)| SignRow {
        look: timed.id.to_string(),
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        question: question.clone(),
        answer: answer.clone(),
    })
}

/// The pictures named at a look.
fn photos<'a>(walk: &'a Walk, timed: &'a TimedLook) -> impl Iterator<Item = PhotoRow> + 'a {
    timed.look.photos.iter().map(|photo| PhotoRow {
        item: timed.look.item.clone(),
        machine: walk.machine.clone(),
        at: timed.at,
        look: timed.id.to_string(),
        path: photo.path.clone(),
        caption: photo.caption.clone(),
        kept: photo.kept.clone(),
        bytes: photo.bytes,
    })
}
