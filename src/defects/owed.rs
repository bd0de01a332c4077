//! Looks that are owed: rechecks come due, and what joins the next walk and why.

use chrono::{DateTime, FixedOffset};

use super::acts::Recheck;
use super::condition::Condition;
use super::history::{History, Stamped};
use super::subject::Subject;
use crate::checklist::{Checklist, Closing, Grade};
use crate::walk::plan::{ItemPlace, rows_left_out};
use crate::walk::{Cause, Join, LeftOut, Plan, Touched, Walk};

/// So many looks that have come due join one daily walk, the worst severity first; the others wait
/// for the next one, so that a morning stays short (judgement).
pub const MOST_LOOKS_DUE: usize = 3;

/// A recheck and whether its time has come.
#[derive(Clone, Debug)]
pub struct FollowUp<'a> {
    /// The record by which the look is owed.
    pub recheck: &'a Stamped<Recheck>,
    /// Due now or overdue.
    pub due: bool,
}

/// What is to be looked at.
pub fn subject_of(recheck: &Stamped<Recheck>) -> Subject {
    Subject {
        item: recheck.rec.item.clone(),
        machine: recheck.rec.machine.clone(),
    }
}

impl Condition {
    /// Rechecks not yet settled, in the order recorded: by a graded look at or after their time, or
    /// in a walk they joined. What a service left owed is owed no more once the same work was done
    /// again.
    pub fn owed<'a>(&'a self, history: &'a History) -> impl Iterator<Item = FollowUp<'a>> + 'a {
        let open = history
            .rechecks
            .iter()
            .filter(|r| !self.settled(history, r) && !left_owed_anew(history, r));
        open.map(|recheck| FollowUp {
            recheck,
            due: self.is_due(recheck, self.now),
        })
    }

    fn settled(&self, history: &History, recheck: &Stamped<Recheck>) -> bool {
        let Some(standing) = self
            .lives
            .get(&subject_of(recheck))
            .map(|life| &life.status)
        else {
            return true;
        };
        let looks = standing.trail.iter().filter(|step| !step.repair);
        let morning = recheck.rec.due_at.is_some();
        let mut looks = looks.filter(|step| !(morning && step.too_soon));
        let settles = |at| at > recheck.at && self.is_due(recheck, at);
        standing.removed || looks.any(|step| settles(step.at)) || asked_and_seen(history, recheck)
    }

    /// True where the time of a recheck has come; one without a time is due at once.
    fn is_due(&self, recheck: &Stamped<Recheck>, at: DateTime<FixedOffset>) -> bool {
        let rec = &recheck.rec;
        let by_hours = rec
            .due_hours
            .map(|due| self.has_run_to(rec.machine.as_deref(), (due, recheck.at), at));
        let by_date = rec.due_at.map(|due| at >= due);
        match (by_date, by_hours) {
            (None, None) => true,
            (date, hours) => date == Some(true) || hours == Some(true),
        }
    }

    /// What joins a walk of a checklist on a machine: see [`Condition::joins_any`]; a daily walk also
    /// takes in looks that have come due, see [`Condition::looks_due`]. Nothing joins a finding, and only
    /// what is left open a walk of the seasons.
    pub fn joins(&self, history: &History, checklist: &Checklist, machine: &str) -> Vec<Join> {
        // What these ask is what they say that they ask.
        match checklist.closes_with {
            Closing::Short | Closing::Finding => return Vec::new(),
            Closing::Season => return self.open_backwards(machine),
            Closing::Daily | Closing::LeakRun | Closing::Survey => {}
        }
        let mut joins = self.joins_any(history, machine);
        self.add_looks_due(checklist, machine, &mut joins);
        joins
    }

    /// Adds looks that have come due to what joins a daily walk, at most [`MOST_LOOKS_DUE`].
    pub fn add_looks_due(&self, checklist: &Checklist, machine: &str, joins: &mut Vec<Join>) {
        if checklist.closes_with == Closing::Daily {
            let due = self.looks_due(checklist, machine);
            let new = due.filter(|d| joins.iter().all(|j| j.item != d.item));
            let new: Vec<_> = new.take(MOST_LOOKS_DUE).collect();
            joins.extend(new);
        }
    }

    /// What joins any walk of a machine: rechecks that are due, repairs nobody has looked at, open
    /// defects, items past their life.
    pub fn joins_any(&self, history: &History, machine: &str) -> Vec<Join> {
        let here = |m: &Option<String>| m.as_deref().is_none_or(|m| m == machine);
        let mut joins = Vec::new();
        for owed in self
            .owed(history)
            .filter(|o| o.due && here(&o.recheck.rec.machine))
        {
            let rec = &owed.recheck.rec;
            joins.push(Join::owed(&rec.item, &owed.recheck.id, &rec.why));
        }
        for (subject, life) in self.lives.iter().filter(|(s, _)| here(&s.machine)) {
            let (cause, why) = match life.current() {
                _ if life.status.unconfirmed => {
                    (Cause::Mended, "repaired, not yet looked at".to_owned())
                }
                Some(_) if life.status.patch.is_some() => {
                    (Cause::Open, "temporary repair".to_owned())
                }
                Some(defect) => {
                    let grade = life.status.grade.unwrap_or(Grade::Sound);
                    let since = defect.opened.format("%-d %b");
                    (Cause::Open, format!("open defect, {grade} since {since}"))
                }
                None => {
                    let item = self.item(subject).filter(|_| !life.status.removed);
                    let over = item.and_then(|item| self.past_life(subject, item, life));
                    let Some(over) = over else { continue };
                    let since = over.format("%-d %b %Y");
                    (Cause::PastLife, format!("past its life since {since}"))
                }
            };
            joins.push(Join {
                item: subject.item.clone(),
                why,
                cause: Some(cause),
                recheck: None,
            });
        }
        joins
    }

    /// Rows of a checklist that are not due today on a machine, or not for it. An item the machine does
    /// not have makes no row due.
    pub fn left_out(&self, checklist: &Checklist, machine: &str) -> Vec<LeftOut> {
        let mut left_out = rows_left_out(checklist, |item| {
            // What the machine does not have is not missed.
            let Some(life) = self.life(item, machine).filter(|l| !l.status.removed) else {
                return Some(0);
            };
            // By a former owner's word alone it is not seen.
            let own = life
                .status
                .trail
                .iter()
                .rev()
                .filter(|_| !life.status.as_told);
            let last = own.into_iter().find(|s| !s.repair)?;
            Some((self.now.date_naive() - last.at.date_naive()).num_days())
        });
        left_out.extend(self.rows_for_others(checklist, machine));
        left_out
    }

    /// The rows of a walk, as it was begun, with what was seen beside them.
    pub fn plan_of(&self, walk: &Walk) -> Option<Plan> {
        let checklist = self.list_of(walk)?;
        let (left_out, joins) = (&walk.left_out, &walk.joins);
        let mut plan =
            self.compose_after(&checklist, left_out, joins, &walk.disturbed, &walk.machine);
        let looked = walk.looks.iter().map(|t| &t.look);
        let looked = looked.filter_map(|l| Some((l.phase.as_deref()?, l.item.as_str())));
        let on = (&*checklist, self.role(&walk.machine));
        plan.put_beside(on, looked, |id| self.place_of(id, &walk.machine));
        Some(plan)
    }

    /// Where an item stands that a machine or the boat has, taken out of her or not: what is looked
    /// at is there.
    pub fn place_of(&self, item: &str, machine: &str) -> Option<ItemPlace> {
        self.life(item, machine)?;
        self.place(item)
    }

    fn place(&self, item: &str) -> Option<ItemPlace> {
        let catalogue = &self.library.catalogue;
        let item = catalogue.item(item)?;
        Some(ItemPlace {
            title: item.title.clone(),
            station: item.station.clone(),
            station_rank: catalogue.station_rank(&item.station)?,
        })
    }

    /// The rows of a walk with what is left out and what joins.
    pub fn compose(
        &self,
        checklist: &Checklist,
        left_out: &[LeftOut],
        joins: &[Join],
        machine: &str,
    ) -> Plan {
        self.compose_after(checklist, left_out, joins, &[], machine)
    }

    /// Rows of a checklist that are not due, and those that touch nothing of what was disturbed.
    pub fn left_out_after(
        &self,
        checklist: &Checklist,
        machine: &str,
        disturbed: &[String],
    ) -> Vec<LeftOut> {
        let mut left_out = self.left_out(checklist, machine);
        let touched = Touched::of(&self.library.catalogue, disturbed);
        for row in touched.rows_left_out(checklist) {
            if !left_out.contains(&row) {
                left_out.push(row);
            }
        }
        left_out
    }

    /// The rows of a walk after work that disturbed these joints; see [`crate::walk::touched`].
    pub fn compose_after(
        &self,
        checklist: &Checklist,
        left_out: &[LeftOut],
        joins: &[Join],
        disturbed: &[String],
        machine: &str,
    ) -> Plan {
        let place = |id: &str| self.place(id);
        let has = |id: &str| self.has(id, Some(machine));
        let touched = Touched::of(&self.library.catalogue, disturbed);
        let role = self.role(machine);
        Plan::compose(checklist, role, left_out, joins, &touched, place, has)
    }
}

/// True where a walk was begun with a recheck and its item was graded in it: what is due by hours
/// joins on an estimate, and the meter, read afterwards, may show a little less.
fn asked_and_seen(history: &History, recheck: &Stamped<Recheck>) -> bool {
    let rec = &recheck.rec;
    let mut walks = history.walks.iter().filter(|walk| {
        walk.at > recheck.at && rec.machine.as_ref().is_none_or(|m| *m == walk.machine)
    });
    walks.any(|walk| {
        let joined = walk
            .joins
            .iter()
            .any(|j| j.item == rec.item && j.is_for(&recheck.id, &rec.why));
        joined && walk.saw(&rec.item)
    })
}

/// True where a service left a look owed and the same task, done again since, leaves it owed anew.
fn left_owed_anew(history: &History, recheck: &Stamped<Recheck>) -> bool {
    // One record, one place: it is that of the service whose look this is.
    let Some(by) = history.services.iter().find(|s| s.place == recheck.place) else {
        return false;
    };
    let mut later = history
        .services
        .iter()
        .filter(|s| s.at > by.at && s.rec.task == by.rec.task && s.rec.machine == by.rec.machine);
    later.any(|s| s.rec.owed.iter().any(|o| o.item == recheck.rec.item))
}
