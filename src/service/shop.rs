//! What to buy: what due work takes and what the locker lacks, with what is aboard taken off. What the remedies
//! of the defect list take stands beside it, in the same list of parts.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::due::{What, due};
use crate::checklist::{KnownPart, KnownSpare, PartKind, SpareUnit};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::list::{DefectList, Scenario};
use crate::defects::locker::{LockerRow, how_many};

/// Something to be had in the shop or from the locker. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ShopRow {
    /// Id of the part on the parts page, or of the spare; null where it has none.
    pub id: Option<String>,
    /// What it is.
    pub title: String,
    /// Machine id; null for what the boat has once, or fits any.
    pub machine: Option<String>,
    /// Items whose remedy takes it.
    pub items: Vec<String>,
    /// Tasks due that take it.
    pub tasks: Vec<String>,
    /// It is customary in those waters, and missing.
    pub for_locker: bool,
    /// So many are wanted.
    pub wanted: f64,
    /// So many of them are aboard, in the spare named.
    pub aboard: f64,
    /// So many are to be bought.
    pub buy: f64,
    /// The spare of the locker that holds it; null where none is on record.
    pub spare: Option<String>,
    /// How many to buy, as it is said.
    pub words: String,
}

/// What is taken from a spare so far, by its place among the rows of the locker and the part of it.
#[derive(Default)]
struct Taken(BTreeMap<(usize, String), f64>);

impl Taken {
    /// Takes so many of a part out of the first spare that holds it; how many, and of which spare.
    fn take(
        &mut self,
        locker: &[LockerRow],
        (part, machine): (&str, Option<&str>),
        wanted: f64,
        today: chrono::NaiveDate,
    ) -> (f64, Option<String>) {
        let holds = |row: &LockerRow| {
            let known = KnownSpare::of(&row.spare);
            // How many litres the work takes nothing here knows, so that none are taken off.
            let counted = known.filter(|k| k.unit != SpareUnit::Litre);
            let has = counted.is_some_and(|k| k.parts.iter().any(|p| p == part));
            has && row.fits(machine) && row.is_here(today)
        };
        for (at, row) in locker.iter().enumerate().filter(|(_, row)| holds(row)) {
            let taken = self.0.entry((at, part.to_owned())).or_insert(0.0);
            let free = (row.count - *taken).clamp(0.0, wanted);
            if free > 0.0 {
                *taken += free;
                return (free, Some(row.spare.clone()));
            }
        }
        (0.0, None)
    }

    /// The most that work takes out of a spare.
    fn of(&self, at: usize) -> f64 {
        let own = self.0.iter().filter(|((row, _), _)| *row == at);
        own.map(|(_, taken)| *taken).fold(0.0, f64::max)
    }
}

/// The list for the shop: first what defects wait for, then what tasks take that are due before the exposure
/// is over, then what the locker lacks in those waters once all that is taken out of it.
pub fn shop(
    condition: &Condition,
    history: &History,
    list: &DefectList,
    scenario: Scenario,
) -> Vec<ShopRow> {
    let locker = condition.locker(history, scenario.waters);
    let today = condition.now.date_naive();
    let mut rows: Vec<ShopRow> = Vec::new();
    for row in list.rows.iter().filter(|row| row.waits()) {
        for part in &row.parts {
            let known = KnownPart::in_remedy(&row.item, part).map(|k| k.id.as_str());
            let wanted = wanted_row(&mut rows, (known, part), row.machine.as_deref());
            wanted.wanted += 1.0;
            if !wanted.items.contains(&row.item) {
                wanted.items.push(row.item.clone());
            }
        }
    }
    let exposure = scenario.exposure;
    for row in due(condition, history) {
        let by_hours = row.hours_left.is_some_and(|h| h <= exposure.hours);
        let by_days = row.days_left.is_some_and(|d| d <= exposure.days);
        let comes = row.due || by_hours || by_days;
        let task = condition.library.task(&row.id);
        let Some(task) = task.filter(|_| comes && row.what == What::Task) else {
            continue;
        };
        for part in &task.parts {
            let words = KnownPart::of(&part.id).map_or(&part.part, |k| &k.title);
            let wanted = wanted_row(&mut rows, (Some(&part.id), words), row.machine.as_deref());
            // The same part for a defect and a task goes in once.
            if wanted.items.is_empty() {
                wanted.wanted += 1.0;
            }
            wanted.tasks.push(task.id.clone());
        }
    }
    let mut taken = Taken::default();
    for row in &mut rows {
        let part = row.id.clone().unwrap_or_default();
        let (aboard, spare) =
            taken.take(&locker, (&part, row.machine.as_deref()), row.wanted, today);
        row.aboard = aboard;
        row.spare = spare;
        row.buy = row.wanted - aboard;
        let kind = KnownPart::of(&part).map(|known| known.kind);
        row.words = match kind {
            Some(PartKind::Oil | PartKind::Coolant) => "as much as the handbook says".to_owned(),
            _ => format!("{}", row.buy),
        };
    }
    for (at, row) in locker.iter().enumerate() {
        let here = if row.is_here(today) { row.count } else { 0.0 };
        let left = (here - taken.of(at)).max(0.0);
        let wanted = row.customary.map_or(0.0, f64::from);
        let buy = (wanted - left).max(0.0);
        if buy > 0.0 {
            rows.push(ShopRow {
                id: Some(row.spare.clone()),
                title: row.title.clone(),
                machine: row.machine.clone(),
                items: Vec::new(),
                tasks: Vec::new(),
                for_locker: true,
                wanted,
                aboard: left,
                buy,
                spare: Some(row.spare.clone()),
                words: how_many(buy, row.unit),
            });
        }
    }
    rows
}

fn wanted_row<'a>(
    rows: &'a mut Vec<ShopRow>,
    (id, title): (Option<&str>, &str),
    machine: Option<&str>,
) -> &'a mut ShopRow {
    let same = |row: &ShopRow| {
        let part = match (row.id.as_deref(), id) {
            (None, None) => row.title == title,
            (one, other) => one == other,
        };
        part && row.machine.as_deref() == machine
    };
    let at = rows.iter().position(same).unwrap_or(rows.len());
    if at == rows.len() {
        rows.push(ShopRow {
            id: id.map(str::to_owned),
            title: title.to_owned(),
            machine: machine.map(str::to_owned),
            items: Vec::new(),
            tasks: Vec::new(),
            for_locker: false,
            wanted: 0.0,
            aboard: 0.0,
            buy: 0.0,
            spare: None,
            words: String::new(),
        });
    }
    &mut rows[at]
}
