//! Looks that are owed: rechecks come due, and what joins the next walk and why.

use chrono::{DateTime, FixedOffset};

use super::acts::Recheck;
use super::condition::Condition;
use super::history::{History, Stamped};
use super::life::{State, Subject};
use crate::boat::Hours;
use crate::checklist::{Checklist, Grade};
use crate::walk::plan::{ItemPlace, rows_left_out};
use crate::walk::{Join, LeftOut, Plan, Walk};

/// A recheck and whether its time has come.
#[derive(Clone, Debug)]
pub struct Owed<'a> {
    /// The record.
    pub recheck: &'a Stamped<Recheck>,
    /// Due now or overdue.
    pub due: bool,
}

impl Condition {
    /// Rechecks not yet settled by a graded look at or after their time, in the order recorded.
    pub fn owed<'a>(&'a self, history: &'a History) -> impl Iterator<Item = Owed<'a>> + 'a {
        let open = history.rechecks.iter().filter(|r| !self.settled(r));
        open.map(|recheck| Owed {
            recheck,
            due: self.is_due(&recheck.rec, self.now),
        })
    }

    fn settled(&self, recheck: &Stamped<Recheck>) -> bool {
        let subject = Subject {
            item: recheck.rec.item.clone(),
            machine: recheck.rec.machine.clone(),
        };
        let Some(life) = self.lives.get(&subject) else {
            return true;
        };
        let seen = life
            .standing
            .trail
            .iter()
            .filter(|step| !step.repair && step.at > recheck.at);
        life.standing.removed || seen.clone().any(|step| self.is_due(&recheck.rec, step.at))
    }

    fn is_due(&self, recheck: &Recheck, at: DateTime<FixedOffset>) -> bool {
        let by_date = recheck.due_at.is_some_and(|due| at >= due);
        let subject = Subject {
            item: recheck.item.clone(),
            machine: recheck.machine.clone(),
        };
        let total = self.usage(&subject).at(at).hours;
        let offset = self.meter_offset(recheck.machine.as_deref(), at);
        let by_hours = recheck
            .due_hours
            .is_some_and(|due| total - offset >= due.get());
        by_date || by_hours || (recheck.due_at.is_none() && recheck.due_hours.is_none())
    }

    /// What joins a walk of a machine: rechecks that are due, repairs nobody has looked at, open
    /// defects.
    pub fn joins(&self, history: &History, machine: &str) -> Vec<Join> {
        let here = |m: &Option<String>| m.as_deref().is_none_or(|m| m == machine);
        let mut joins = Vec::new();
        for owed in self
            .owed(history)
            .filter(|o| o.due && here(&o.recheck.rec.machine))
        {
            let rec = &owed.recheck.rec;
            joins.push(Join {
                item: rec.item.clone(),
                why: format!("owed: {}", rec.why),
            });
        }
        for (subject, life) in self.lives.iter().filter(|(s, _)| here(&s.machine)) {
            let Some(defect) = life.current() else {
                continue;
            };
            let why = match defect.state {
                State::Repaired => "repaired, not yet looked at".to_owned(),
                _ => {
                    let grade = life.standing.grade.unwrap_or(Grade::Sound);
                    format!(
                        "open defect since {}, now {grade}",
                        defect.opened.format("%-d %b")
                    )
                }
            };
            joins.push(Join {
                item: subject.item.clone(),
                why,
            });
        }
        joins
    }

    /// Rows of a checklist that are not due today on a machine. An item the machine does not have
    /// makes no row due.
    pub fn left_out(&self, checklist: &Checklist, machine: &str) -> Vec<LeftOut> {
        rows_left_out(checklist, |item| {
            let life = self.life(item, machine);
            let Some(life) = life.filter(|life| !life.standing.removed) else {
                return Some(0);
            };
            let last = life.standing.trail.iter().rev().find(|s| !s.repair)?;
            Some((self.now.date_naive() - last.at.date_naive()).num_days())
        })
    }

    /// The rows of a walk, as it was begun.
    pub fn plan_of(&self, walk: &Walk) -> Option<Plan> {
        let checklist = self.library.checklist(&walk.checklist)?;
        Some(self.compose(checklist, &walk.left_out, &walk.joins, &walk.machine))
    }

    /// The rows of a walk with what is left out and what joins.
    pub fn compose(
        &self,
        checklist: &Checklist,
        left_out: &[LeftOut],
        joins: &[Join],
        machine: &str,
    ) -> Plan {
        let catalogue = &self.library.catalogue;
        let place = |id: &str| {
            let item = catalogue.item(id)?;
            Some(ItemPlace {
                title: item.title.clone(),
                station: item.station.clone(),
                station_rank: catalogue.station_rank(&item.station)?,
            })
        };
        let has = |id: &str| {
            let life = self.life(id, machine);
            life.is_some_and(|life| !life.standing.removed)
        };
        Plan::compose(checklist, left_out, joins, place, has)
    }

    /// Total hours less what the meter in service at a time shows.
    fn meter_offset(&self, machine: Option<&str>, at: DateTime<FixedOffset>) -> f64 {
        self.meters(machine).total(Hours::ZERO, at).get()
    }
}
