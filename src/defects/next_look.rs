//! When each item is to be looked at again, sound ones too.

use std::cell::OnceCell;
use std::collections::HashSet;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::life::Life;
use super::subject::Subject;
use super::wait::Wait;
use crate::assess::chance::Decay;
use crate::assess::span::WearCourse;
use crate::assess::words::Severity;
use crate::boat::Waters;
use crate::checklist::{Checklist, Closing, Grade, Item};
use crate::walk::{Cause, Join, LeftOut};

/// The next look at an item. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct NextLook {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Where it is, by the id of the station in the catalogue.
    pub station: String,
    /// The rung that counts.
    pub grade: Grade,
    /// When it was seen, or made by a repair.
    pub seen: DateTime<FixedOffset>,
    /// It has come due.
    pub due: bool,
    /// Until then, counted from that look.
    pub within: Wait,
    /// As shown.
    #[serde(skip)]
    pub title: String,
    /// Worst severity of its effects.
    #[serde(skip)]
    pub severity: Severity,
}

impl Condition {
    /// The next look at every graded item in some waters, the first to come first; of those due the
    /// worst severity first. Items without a chain and an interval have none.
    pub fn next_looks(&self, waters: Waters) -> Vec<NextLook> {
        self.next_looks_at(waters, |_| true)
    }

    fn next_looks_at(&self, waters: Waters, at: impl Fn(&Subject) -> bool) -> Vec<NextLook> {
        let each = self.lives.iter().zip(&self.waits);
        let each = each.filter(|((subject, _), _)| at(subject));
        let mut looks: Vec<NextLook> = each
            .filter_map(|(life, waits)| self.next_look(life, waters, &waits[waters as usize]))
            .collect();
        looks.sort_by(|a, b| {
            let coming = |look: &NextLook| (!look.due, look.within.date.is_none());
            // Of what is due the worst severity leads, not what has been due longest.
            let date = |look: &NextLook| look.within.date.filter(|_| !look.due);
            let dates = || date(a).cmp(&date(b));
            let whole = || a.within.wear_hours.total_cmp(&b.within.wear_hours);
            let worst = || a.severity.cmp(&b.severity);
            let names = || (&a.item, &a.machine).cmp(&(&b.item, &b.machine));
            let first = coming(a).cmp(&coming(b)).then_with(dates);
            first.then_with(worst).then_with(whole).then_with(names)
        });
        looks
    }

    fn next_look(
        &self,
        (subject, life): (&Subject, &Life),
        waters: Waters,
        waits: &OnceCell<[Option<Wait>; 2]>,
    ) -> Option<NextLook> {
        // What is sound by a former owner's word is among what nobody has looked at.
        if life.status.is_sound_as_told() {
            return None;
        }
        let (item, course) = self.under_way(subject, life, waters)?;
        course.known.last?;
        let [_, within] = *waits.get_or_init(|| self.told(subject, &course));
        let within = within?;
        Some(NextLook {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            station: item.station.clone(),
            grade: self.counted_grade(subject, item, life)?,
            seen: life.status.since?,
            due: within.over,
            within,
            title: item.title.clone(),
            severity: Severity::worst_of(self.effects(subject, item), waters),
        })
    }

    /// An item of the boat that is there, on its way.
    fn under_way<'a>(
        &'a self,
        subject: &Subject,
        life: &Life,
        waters: Waters,
    ) -> Option<(&'a Item, WearCourse<'a>)> {
        let item = self.item(subject).filter(|_| !life.status.removed)?;
        let stopped = self.stop_rule(subject, item, life, waters).is_some();
        Some((item, self.course(subject, item, life, waters, stopped)))
    }

    /// Looks that have come due at items the checklist does not ask today on a machine, with the
    /// reason to join; the worst severity first, then the larger chance of failure. Only what has a
    /// chain: a reading, a level or a sign wants the state of the engine it is taken in, which a
    /// daily walk may never reach.
    pub fn looks_due(&self, checklist: &Checklist, machine: &str) -> impl Iterator<Item = Join> {
        let asked = self.asked_today(checklist, machine);
        let waters = self.boat.waters;
        let here = self
            .lives
            .iter()
            .filter(|(s, _)| s.machine.as_deref().is_none_or(|m| m == machine));
        let mut due: Vec<_> = here
            .filter(|(subject, _)| !asked.contains(subject.item.as_str()))
            .filter_map(|(subject, life)| {
                let (item, course) = self.under_way(subject, life, waters)?;
                let chained = matches!(course.known.decay, Decay::Chain(_));
                let course = Some(course).filter(|_| chained)?;
                let since = life.status.since.filter(|_| course.look_is_due())?;
                let severity = Severity::worst_of(self.effects(subject, item), waters);
                let chance = course.known.prognosis(self.day_ahead()).chance;
                Some((severity, chance, subject.item.clone(), since))
            })
            .collect();
        due.sort_by(|a, b| a.0.cmp(&b.0).then(b.1.total_cmp(&a.1)).then(a.2.cmp(&b.2)));
        due.into_iter().map(|(_, _, item, since)| Join {
            item,
            why: format!("look again, last seen {}", since.format("%-d %b %Y")),
            cause: Some(Cause::LookDue),
            recheck: None,
        })
    }

    /// The next looks that a daily walk of a machine would take in and does not ask by itself, the
    /// first to come first: at what has a chain, see [`Condition::looks_due`].
    pub fn next_looks_beside_the_daily_walk(&self, machine: &str) -> Vec<NextLook> {
        let mut lists = self.library.checklists_for(self.role(machine));
        let daily = lists.find(|list| list.closes_with == Closing::Daily);
        let rows = daily.into_iter().flat_map(|list| &list.phases);
        let asked: HashSet<&str> = rows
            .flat_map(|phase| &phase.rows)
            .flat_map(|row| row.items.iter().map(String::as_str))
            .collect();
        self.next_looks_at(self.boat.waters, |subject| {
            let here = subject.machine.as_deref().is_none_or(|m| m == machine);
            let item = self.item(subject);
            let chained = item.is_some_and(|i| self.dwells.of(i.kind).is_some());
            here && chained && !asked.contains(subject.item.as_str())
        })
    }

    /// Items that the rows of a checklist due today ask.
    fn asked_today<'a>(&self, checklist: &'a Checklist, machine: &str) -> HashSet<&'a str> {
        let left_out = self.left_out(checklist, machine);
        let mut asked = HashSet::new();
        for (p, phase) in checklist.phases.iter().enumerate() {
            let rows = phase.rows.iter().enumerate();
            let due = rows.filter(|(r, _)| !left_out.contains(&LeftOut { phase: p, row: *r }));
            asked.extend(due.flat_map(|(_, row)| row.items.iter().map(String::as_str)));
        }
        asked
    }
}
