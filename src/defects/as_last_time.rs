//! "As last time": one key for an open defect that looks as it did, which is a look of its own.

use super::condition::Condition;
use super::history::History;
use super::life::State;
use crate::checklist::{Grade, Item};
use crate::walk::{Details, TimedLook, Walk};

/// After so many walks in a row the item's words are asked again (judgement).
pub const MOST_IN_A_ROW: u32 = 5;

/// Said of an item without an open defect.
pub const NOTHING_OPEN: &str = "nothing is open on this item";

/// What an item is as last time.
#[derive(Clone, Debug, PartialEq)]
pub struct AsLastTime {
    /// The rung of the last look.
    pub grade: Grade,
    /// Its leak class, its marks of wear and its signs.
    pub details: Details,
}

impl Condition {
    /// What an item would be as last time in a walk; this is the boat as she was known before it.
    ///
    /// # Errors
    /// Why that cannot be said of it, in one sentence.
    pub fn as_last_time(
        &self,
        history: &History,
        item: &Item,
        walk: &Walk,
    ) -> Result<AsLastTime, String> {
        let none = || NOTHING_OPEN.to_owned();
        let subject = self.subject(&item.id, &walk.machine);
        let life = self.life(&item.id, &walk.machine).ok_or_else(none)?;
        let standing = &life.status;
        let open = life.current().is_some_and(|d| d.state == State::Open);
        let last = standing.look.as_ref().filter(|_| open).ok_or_else(none)?;
        let grade = standing.grade.ok_or_else(none)?;
        if walk.blind {
            return Err("not in a walk that hides earlier grades: grade what you see".to_owned());
        }
        if !item.kind.wears() || item.reading.is_some() || last.look.reading.is_some() {
            return Err("a level or a reading is read each time".to_owned());
        }
        if self
            .stop_rule(&subject, item, life, self.boat.waters)
            .is_some()
        {
            return Err("it holds a stop: read its words and grade it".to_owned());
        }
        if standing.patch.is_some() {
            return Err("it lives by a temporary repair: look whether that holds".to_owned());
        }
        let mut walks = history.walks.iter();
        let before = walks.find(|w| w.looks.iter().any(|l| l.id == last.id));
        let own = |before: &Walk| before.by == walk.by && !self.is_former(before);
        if !before.is_some_and(own) {
            return Err("somebody else looked last time: grade what you see".to_owned());
        }
        if standing.as_last_time >= MOST_IN_A_ROW {
            return Err(format!(
                "{MOST_IN_A_ROW} times in a row as last time: read its words and grade it"
            ));
        }
        let details = Details {
            leak: last.look.leak,
            wear: last.look.wear.clone(),
            signs: last.look.signs.clone(),
            ..Details::default()
        };
        Ok(AsLastTime { grade, details })
    }
}

/// Walks in a row, up to the one of a look, in which its item was said to be as last time; none where
/// that look does not say so.
pub fn in_a_row(history: &History, look: &TimedLook) -> Option<u32> {
    let item = look.look.item.as_str();
    let made = |w: &&Walk| w.looks.iter().any(|l| l.id == look.id);
    let machine = &history.walks.iter().find(made)?.machine;
    let walks = history.walks.iter().filter(|w| w.machine == *machine);
    let upto = walks.rev().skip_while(|w| !made(w));
    let said = upto.filter_map(|w| Some(w.looks_at(item).last()?.look.as_last_time));
    Some(said.take_while(|said| *said).count() as u32).filter(|n| *n > 0)
}
