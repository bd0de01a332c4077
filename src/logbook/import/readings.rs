//! Readings of an hour meter that two documents of one batch give, and that cannot both be right.

use std::collections::HashMap;

use chrono::{DateTime, FixedOffset};

use super::super::input::{Body, Document};
use super::super::record::Record;
use crate::boat::{Boat, Hours, MeterLine};
use crate::checklist::Complaint;
use crate::defects::History;
use crate::defects::admit::contradict;

/// What a document says that a meter showed.
pub(super) struct Said<'a> {
    document: &'a Document,
    machine: String,
    at: DateTime<FixedOffset>,
    hours: Hours,
}

impl<'a> Said<'a> {
    /// The reading of a document; none where it has none, or does not tell of which machine.
    pub(super) fn of(
        document: &'a Document,
        boat: &Boat,
        now: DateTime<FixedOffset>,
    ) -> Option<Said<'a>> {
        let (machine, at, hours) = match &document.body {
            Body::Walk(sheet) => (sheet.machine.clone(), Some(sheet.at), sheet.hours?),
            Body::Service(sheet) => (sheet.machine.clone(), sheet.at, sheet.hours?),
            Body::Act(record) => match &**record {
                Record::Repair(repair) => (repair.machine.clone(), repair.at, repair.hours?),
                Record::Fitted(fitted) => (fitted.machine.clone(), fitted.at, fitted.hours?),
                _ => return None,
            },
        };
        let only = match boat.machines.as_slice() {
            [only] => Some(only.id.clone()),
            _ => None,
        };
        Some(Said {
            document,
            machine: machine.or(only)?,
            at: at.unwrap_or(now),
            hours,
        })
    }

    /// The id a service of the batch names that it takes the place of.
    fn corrects(&self) -> Option<&str> {
        match &self.document.body {
            Body::Service(sheet) => sheet.corrects.as_deref(),
            Body::Walk(_) | Body::Act(_) => None,
        }
    }

    /// True beside another of the same machine that cannot be right as well.
    fn stands_against(&self, other: &Said<'_>, line: &MeterLine) -> bool {
        let replaced = || {
            self.corrects()
                .is_some_and(|id| other.document.id.as_deref() == Some(id))
        };
        contradict(line, (self.at, self.hours), (other.at, other.hours)) && !replaced()
    }

    /// Its id, or where it stands.
    fn name(&self) -> String {
        match &self.document.id {
            Some(id) => format!("'{id}'"),
            None => format!("line {}", self.document.complaint("", "").line),
        }
    }

    fn is_service(&self) -> bool {
        matches!(self.document.body, Body::Service(_))
    }
}

/// The readings of a batch so far, by machine.
#[derive(Default)]
pub(super) struct Readings<'a>(HashMap<String, Vec<Said<'a>>>);

impl<'a> Readings<'a> {
    /// A complaint where a reading and one of the batch before it cannot both be right, with both of
    /// them and the way out. In place of what was `found` of that field; else added.
    pub(super) fn held_against(
        &self,
        said: Option<&Said<'_>>,
        history: &History,
        mut found: Vec<Complaint>,
    ) -> Vec<Complaint> {
        let Some(said) = said else {
            return found;
        };
        let line = history.meter_line(&said.machine);
        let before = self.0.get(&said.machine).into_iter().flatten();
        let mut before = before.rev();
        if let Some(other) = before.find(|other| said.stands_against(other, &line)) {
            let (this, that) = (said.name(), other.name());
            let way = match (said.is_service() && other.is_service(), &other.document.id) {
                (true, Some(id)) => {
                    format!(", or give the right one the field \"corrects\":\"{id}\"")
                }
                _ => "; of services the right one may say which it takes the place of, with the field \"corrects\"".to_owned(),
            };
            let told = format!(
                "{this} ({} h) and {that} ({} h) of the same batch cannot both be right; mend one{way}",
                said.hours, other.hours
            );
            found.retain(|complaint| complaint.field != "hours");
            found.push(said.document.complaint("hours", told));
        }
        found
    }

    /// Takes the reading of a document in that was accepted.
    pub(super) fn take(&mut self, said: Option<Said<'a>>) {
        if let Some(said) = said {
            let replaced = said.corrects().map(str::to_owned);
            if replaced.is_some() {
                let others = self.0.values_mut();
                others.for_each(|all| all.retain(|other| other.document.id != replaced));
            }
            let known = self.0.get_mut(&said.machine);
            match known {
                Some(known) => known.push(said),
                None => {
                    self.0.insert(said.machine.clone(), vec![said]);
                }
            }
        }
    }
}
