//! What is due at a watch round: with every round, and what its hours have come round for. What was found
//! since she left is not offered to be claimed as usual.

use chrono::{DateTime, Duration, FixedOffset};

use super::condition::Condition;
use super::history::Stamped;
use super::under_way::Passage;
use super::under_way_line::UnderWay;
use crate::checklist::{Figure, Grade, LookFrom, RoundCadence, RoundLook};

/// What is due at a round.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RoundDue {
    /// From the helm and at the hatch, in the order they are made.
    pub looks: Vec<&'static RoundLook>,
    /// With the engine off: at a stop, or when it can be spared.
    pub standing: Option<&'static RoundLook>,
    /// Looks in which something was found since she left, with what: they are not as usual.
    pub found: Vec<(&'static RoundLook, String)>,
}

impl RoundDue {
    /// What can be claimed as usual in one go, in the words of the claim.
    pub fn claims(&self) -> Vec<String> {
        let found = |look: &RoundLook| self.found.iter().any(|(own, _)| own.id == look.id);
        let looks = self.looks.iter().filter(|look| !found(look));
        looks.map(|look| look.usual.clone()).collect()
    }
}

impl Condition {
    /// What is due at a round of a machine under way; `engine_off` where she sails or is towed.
    pub fn round_due(
        &self,
        passage: &Passage<'_>,
        (machine, now): (&str, DateTime<FixedOffset>),
        engine_off: bool,
    ) -> RoundDue {
        let mut due = RoundDue::default();
        let here = |look: &&RoundLook| {
            !look.is_of_the_turning_shaft()
                && (!engine_off || look.engine_off || look.from == LookFrom::Standing)
                && self.is_aboard(look, machine)
        };
        for look in RoundLook::all().iter().filter(here) {
            if !self.has_come(passage, (machine, now), look) {
                continue;
            }
            if look.from == LookFrom::Standing {
                due.standing = Some(look);
                continue;
            }
            due.looks.push(look);
            due.found.extend(
                self.found_since(passage, machine, look)
                    .map(|what| (look, what)),
            );
        }
        due
    }

    /// True where the boat has one of the items of a look, or it is none of items.
    fn is_aboard(&self, look: &RoundLook, machine: &str) -> bool {
        let life = |id: &String| self.life(id, machine);
        let there = |id: &String| life(id).is_some_and(|life| !life.status.removed);
        look.items.is_empty() || look.items.iter().any(there)
    }

    /// True where a look has come round: with every round, or where this round is the nearest to its hours.
    fn has_come(
        &self,
        passage: &Passage<'_>,
        (machine, now): (&str, DateTime<FixedOffset>),
        look: &RoundLook,
    ) -> bool {
        let Some(hours) = look.every.hours() else {
            return true;
        };
        let Some(made) = self.last_made(passage, machine, look) else {
            return true;
        };
        let every = Duration::minutes(i64::from(passage.every()));
        now - made >= Duration::hours(i64::from(hours)) - every / 2
    }

    /// When a look was made last: claimed or read in a round, or all its items looked at in walks; else
    /// since when she is under way.
    fn last_made(
        &self,
        passage: &Passage<'_>,
        machine: &str,
        look: &RoundLook,
    ) -> Option<DateTime<FixedOffset>> {
        let begun = passage.lines.first().map(|line| line.at);
        let told = passage.lines.iter().rev();
        let told = told.copied().find(|line| tells_of(line, look));
        let walked = || {
            let aboard = look.items.iter().filter_map(|id| self.life(id, machine));
            let aboard = aboard.filter(|life| !life.status.removed);
            let seen: Option<Vec<_>> = aboard
                .map(|life| Some(life.status.look.as_ref()?.at))
                .collect();
            seen?.into_iter().min()
        };
        begun.max(told.map(|line| line.at)).max(walked())
    }

    /// What was found since she left in the items of a look, and stands; none where nothing was.
    fn found_since(
        &self,
        passage: &Passage<'_>,
        machine: &str,
        look: &RoundLook,
    ) -> Option<String> {
        let begun = passage.lines.first()?.at;
        let found = look.items.iter().filter_map(|id| {
            let life = self.life(id, machine)?;
            let grade = life.status.judged().filter(|grade| *grade > Grade::Sound)?;
            let since = life.status.since.filter(|since| *since >= begun)?;
            let title = &self.library.catalogue.item(id)?.title;
            Some(format!("{title} {grade}, {}", since.format("%H:%M")))
        });
        let found: Vec<String> = found.collect();
        (!found.is_empty()).then(|| found.join("; "))
    }
}

/// True where a line claims a look as usual, or has all its figures.
fn tells_of(line: &Stamped<UnderWay>, look: &RoundLook) -> bool {
    let read = |figure: &Figure| line.rec.figure(*figure).is_some();
    let read = !look.figures.is_empty() && look.figures.iter().all(read);
    read || line.rec.usual.contains(&look.usual)
}

impl RoundLook {
    /// As it is said where it is due: what, how often, from where.
    pub fn in_words(&self) -> String {
        match self.every {
            RoundCadence::Round => format!("{}, {}", self.look, self.from.words()),
            every => format!("{}, {}, {}", self.look, every.words(), self.from.words()),
        }
    }
}
