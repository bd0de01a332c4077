//! What takes minutes and comes before the engine runs: levels, water in the fuel, a shut seacock, a
//! flat battery. Apart from the defects: doing it mends nothing, and mending does not do it.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::dips::{HIGH_MARK, LOW_MARK};
use super::life::Life;
use super::still_open::LeftOpen;
use super::subject::Subject;
use crate::checklist::{Chore, Grade, Item};

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
    /// Id of the record by which it was left open, for what is to be put back; null for other chores.
    pub of: Option<String>,
}

impl BeforeStart {
    /// All of it in one line.
    pub fn words(&self) -> String {
        format!("{}: {}", self.title, self.how)
    }
}

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
        let open = self.left_open(machine);
        chores.extend(open.filter_map(|(subject, left)| self.put_back(subject, left)));
        chores.sort_by_key(|c| c.chore);
        chores
    }

    fn put_back(&self, subject: &Subject, left: &LeftOpen) -> Option<BeforeStart> {
        Some(BeforeStart {
            chore: Chore::PutBack,
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            title: self.item(subject)?.title.clone(),
            litres: None,
            how: match left.told {
                Some(_) => format!("see it; {}", left.words()),
                None => format!("put back; {}", left.words()),
            },
            of: Some(left.opened.id.clone()),
        })
    }

    /// Why a level holds a start though no rung of it stops her: it was last seen by a reading outside
    /// its marks, and nothing was filled in since.
    pub(super) fn outside_marks(
        &self,
        subject: &Subject,
        item: &Item,
        life: &Life,
    ) -> Option<String> {
        let grade = life.status.judged().filter(|_| !life.status.removed)?;
        if !item.is_between_marks() || self.is_filled(subject, item, life) {
            return None;
        }
        let dip = life.status.course.dips.last();
        let dip = dip.filter(|dip| Some(dip.at) >= life.status.since)?;
        if dip.value < LOW_MARK {
            return Some("below its low mark: top it up and read it again".to_owned());
        }
        let over = dip.value > HIGH_MARK && grade > Grade::Sound;
        over.then(|| "over its high mark: wait, and read it again".to_owned())
    }

    fn chore(&self, subject: &Subject) -> Option<BeforeStart> {
        let (item, life) = (self.item(subject)?, self.lives.get(subject)?);
        let grade = life.status.judged().filter(|_| !life.status.removed)?;
        let (chore, litres, how) = if item.is_between_marks() {
            self.level_chore(subject, item, life, grade)?
        } else {
            let told = item.before_start.as_ref().filter(|b| grade >= b.from)?;
            (told.chore, None, told.how.clone())
        };
        Some(BeforeStart {
            chore,
            item: item.id.clone(),
            machine: subject.machine.clone(),
            title: item.title.clone(),
            litres,
            how,
            of: None,
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
        let with = item.marks.as_ref().map(|m| m.filled_with.as_str());
        let with = with.unwrap_or("the same as is in it");
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
