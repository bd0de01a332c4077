//! A defect may wait.

use chrono::NaiveDate;

use super::event::{Event, Grounds, Time, Weight, fault, on_an_item, unsaid};
use crate::boat::Hours;
use crate::defects::admit::Fault;
use crate::defects::{Deferral, State, Until};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Deferral {
    const NAME: &'static str = "deferral";
    const CHANGED: Weight = Weight::Said;

    on_an_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        vec![("why", &self.why)]
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let mut faults = Vec::new();
        faults.extend(unsaid("why", &self.why, "say why it may wait"));
        if let Until::Date(date) = self.until
            && date < grounds.at.date_naive()
        {
            let message = format!("{date} was over before it was deferred");
            faults.push(fault("until", message));
        }
        if let Some(rule) = grounds.stop() {
            let message = format!("a stop rule is in force and cannot wait: {rule}");
            faults.push(fault("item", message));
        }
        let current = grounds.life().and_then(|life| life.current());
        if current.is_none_or(|d| d.state != State::Open) {
            let message = format!("there is no open defect on {}", self.item);
            faults.push(fault("item", message));
        }
        faults
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.deferrals, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("deferred {}", title(&self.item)))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.deferrals.iter().map(|s| {
            let (until_date, until_hours) = match s.rec.until {
                Until::Date(date) => (Some(date), None),
                Until::Hours(hours) => (None, Some(hours)),
            };
            DeferralRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                why: s.rec.why.clone(),
                until_date,
                until_hours,
            }
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// A deferral.
    DeferralRow = "deferrals" key(id) {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was decided.
        at: Time,
        /// Why it may wait.
        why: String,
        /// Until the end of this day.
        until_date: Option<NaiveDate>,
        /// Until the meter shows this.
        until_hours: Option<Hours>,
    }
}
