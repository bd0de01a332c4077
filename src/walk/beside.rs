//! What was seen beside what a walk asks: a look at an item that no row asks joins the walk by
//! itself, in the phase of the look. So a walk gone on with, another window, a walk told as a sheet
//! and the report all know it from the look alone.

use std::collections::HashSet;

use super::plan::{ItemPlace, Plan, PlanPhase, PlanRow, Spot};
use crate::boat;
use crate::checklist::Checklist;

/// Why such an item stands in the walk.
pub const SEEN_BESIDE: &str = "seen beside";

impl Plan {
    /// Gives each item looked at (phase id and item id, in the order made) that no row asks a row of
    /// its own in each phase where it was looked at, after the row looked at before it there: so it
    /// stands where it was met. `place` says where an item is; what it does not know stays out, as
    /// does a look without a phase of this checklist, walked on a machine of that role.
    pub fn put_beside<'a>(
        &mut self,
        (checklist, machine): (&Checklist, boat::Role),
        looked: impl IntoIterator<Item = (&'a str, &'a str)>,
        place: impl Fn(&str) -> Option<ItemPlace>,
    ) {
        let asked: HashSet<&str> = self.spots().filter_map(|s| self.item(s)).collect();
        let looked: Vec<(&str, &str)> = looked.into_iter().collect();
        let mut beside: Vec<(&str, &str, Option<&str>)> = Vec::new();
        for (n, (phase, item)) in looked.iter().enumerate() {
            let known = beside.iter().any(|(p, i, _)| p == phase && i == item);
            if known || asked.contains(item) {
                continue;
            }
            let before = looked[..n].iter().rev().find(|(p, _)| p == phase);
            beside.push((phase, item, before.map(|(_, item)| *item)));
        }
        for (phase, item, before) in beside {
            let Some((place, phase)) = place(item).zip(self.phase_for((checklist, machine), phase))
            else {
                continue;
            };
            let rows = &self.phases[phase].rows;
            let after = |before: &str| {
                rows.iter()
                    .position(|r| r.items.iter().any(|i| i == before))
            };
            let row = before.and_then(after).map_or(0, |row| row + 1);
            self.put_row_beside(phase, row, item, &place);
        }
    }

    /// Puts one item that no row asks into a phase, as its row with this index.
    pub fn put_row_beside(
        &mut self,
        phase: usize,
        row: usize,
        item: &str,
        place: &ItemPlace,
    ) -> Option<Spot> {
        let rows = &mut self.phases.get_mut(phase)?.rows;
        let row = row.min(rows.len());
        rows.insert(
            row,
            PlanRow {
                why: Some(SEEN_BESIDE.to_owned()),
                beside: true,
                ..PlanRow::alone(item, &place.title, &place.station)
            },
        );
        Some(Spot {
            phase,
            row,
            item: 0,
        })
    }

    /// The index of a phase of the checklist; one of which nothing is asked comes in at its place.
    fn phase_for(
        &mut self,
        (checklist, machine): (&Checklist, boat::Role),
        id: &str,
    ) -> Option<usize> {
        if let Some(known) = self.phases.iter().position(|p| p.id == id) {
            return Some(known);
        }
        let rank = |id: &str| checklist.phases.iter().position(|p| p.id == id);
        let own = rank(id)?;
        let at = self.phases.partition_point(|p| rank(&p.id) < Some(own));
        self.phases
            .insert(at, PlanPhase::empty(&checklist.phases[own], machine));
        Some(at)
    }
}
