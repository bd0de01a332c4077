//! What takes minutes and comes before the engine runs: levels, water in the fuel, a shut seacock, a
//! flat battery. Apart from the defects: doing it mends nothing, and mending does not do it.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::dips::{HIGH_MARK, LOW_MARK, tells};
use super::life::Life;
use super::subject::Subject;
use crate::checklist::{Grade, Item};
use crate::text::words;

words! {
    /// What is to be done before starting.
    Chore, "chore before starting" {
        /// Fill a level up.
        TopUp = "top-up",
        /// Read a level again that was filled, or that stands too high.
        ReadAgain = "read-again",
        /// Let water out.
        Drain = "drain",
        /// Charge a battery.
        Charge = "charge",
        /// Open what was found shut.
        Open = "open",
    }
}

/// A thing to do before starting. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BeforeStart {
    /// What to do.
    #[serde(rename = "do")]
    pub chore: Chore,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Title of the item.
    pub title: String,
    /// How much to add, litres; null where nobody can tell, and for other chores.
    pub litres: Option<f64>,
    /// How, and why, in a sentence.
    pub how: String,
}

impl BeforeStart {
    /// All of it in one line.
    pub fn words(&self) -> String {
        format!("{}: {}", self.title, self.how)
    }
}

/// From which rung on something else than a level is a chore, and what to do then.
const CHORES: [(&str, Grade, Chore, &str); 4] = [
    (
        "engine-seacock",
        Grade::Failing,
        Chore::Open,
        "see that it is open, lever along the pipe, before the key is turned",
    ),
    (
        "fuel-prefilter-bowl",
        Grade::Worn,
        Chore::Drain,
        "drain the water off until the fuel runs bright, shut the drain, and wipe it dry to see that it holds",
    ),
    (
        "start-battery",
        Grade::Worn,
        Chore::Charge,
        "charge it, or start from another bank; not where it is swollen or smells",
    ),
    (
        "house-battery",
        Grade::Worn,
        Chore::Charge,
        "charge it; not where it is swollen or smells",
    ),
];

/// What each level is filled with.
const FILLED_WITH: [(&str, &str); 3] = [
    ("engine-oil-level", "the same engine oil"),
    ("gearbox-oil-level", "the same gearbox oil"),
    ("coolant-level", "the same mix, engine cold"),
];

impl Condition {
    /// What is to be done on a machine (on every one where none is named) and the boat before she
    /// starts, levels first. A chore stands
    /// until the item is looked at again, or put right.
    pub fn before_start(&self, machine: Option<&str>) -> Vec<BeforeStart> {
        let here = |s: &&Subject| {
            s.machine
                .as_deref()
                .is_none_or(|m| machine.is_none_or(|at| m == at))
        };
        let subjects = self.lives.keys().filter(here);
        let mut chores: Vec<BeforeStart> = subjects.filter_map(|s| self.chore(s)).collect();
        chores.sort_by_key(|c| c.chore);
        chores
    }

    fn chore(&self, subject: &Subject) -> Option<BeforeStart> {
        let (item, life) = (self.item(subject)?, self.lives.get(subject)?);
        let grade = life.status.judged().filter(|_| !life.status.removed)?;
        let (chore, litres, how) = if tells(item) {
            self.level_chore(subject, item, life, grade)?
        } else {
            let (_, _, chore, how) = CHORES
                .iter()
                .find(|(id, from, ..)| *id == item.id && grade >= *from)?;
            (*chore, None, (*how).to_owned())
        };
        Some(BeforeStart {
            chore,
            item: item.id.clone(),
            machine: subject.machine.clone(),
            title: item.title.clone(),
            litres,
            how,
        })
    }

    fn level_chore(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
        grade: Grade,
    ) -> Option<(Chore, Option<f64>, String)> {
        let read_again = |how: &str| Some((Chore::ReadAgain, None, how.to_owned()));
        if self.is_filled(subject, item, life) {
            return read_again("it was filled: read it again before starting");
        }
        let with = FILLED_WITH.iter().find(|(id, _)| *id == item.id);
        let with = with.map_or("the same as is in it", |(_, with)| with);
        let last = life.status.course.dips.last().map(|d| d.value);
        let last = last.filter(|_| life.status.since.is_some());
        let top_up = |share: Option<f64>, why: String| {
            let marks = self.between_marks(subject, item);
            let litres = share.zip(marks).map(|(share, marks)| {
                // To the next tenth: what is poured is read off a bottle.
                (share / HIGH_MARK * marks * 10.0).ceil() / 10.0
            });
            let much = litres.map_or(String::new(), |litres| format!("{litres:.1} L of "));
            let how = format!(
                "top up with {much}{with}, above the low mark and never past the high one, then read it again: {why}"
            );
            Some((Chore::TopUp, litres, how))
        };
        match last {
            Some(last) if last < LOW_MARK => {
                top_up(Some(LOW_MARK - last), "below its low mark".into())
            }
            Some(last) if last > HIGH_MARK && grade > Grade::Sound => read_again(
                "over its high mark: wait and read it again; drawing it off cures nothing that came in",
            ),
            None if grade >= Grade::Failing => {
                read_again("graded without a reading: read it, and bring it between the marks")
            }
            _ => {
                let falling = self.falling(subject, item, life)?;
                let day = self.day_ahead().hours;
                falling.meets.filter(|m| m.about <= day)?;
                let share = falling.wants(day).min(falling.room());
                top_up(Some(share), falling.when())
            }
        }
    }
}
