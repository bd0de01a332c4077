//! A trial at engine speeds as one grid: a row for each speed of each phase, a column for each item that
//! is asked at speeds. A look at one speed never stands for another.

use std::collections::{BTreeMap, BTreeSet};

use super::look::Outcome;
use super::plan::{Plan, PlanPhase};
use super::round::{TimedLook, Walk};
use crate::checklist::Step;

/// A speed goes by the name of a step whose own it comes so near to, per cent of the rated one
/// (judgement; the nearest steps lie ten apart).
const NEAR: f64 = 4.0;

/// The grid. Its cells are in the order of its columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial<'a> {
    /// Items by their ids in the catalogue, in walking order.
    pub columns: Vec<&'a str>,
    /// Phase by phase in walking order, in each the slower first, what was seen at no told speed last.
    pub rows: Vec<TrialRow<'a>>,
}

/// One engine speed in one phase.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialRow<'a> {
    /// Index of the phase in the plan; none for looks that name none of it.
    pub phase: Option<usize>,
    /// The step it is, where it comes near one.
    pub step: Option<&'a Step>,
    /// The speed, revolutions per minute; none where nobody told it.
    pub rpm: Option<u32>,
    /// The same, per cent of the rated speed; none where that is not known.
    pub of_rated: Option<f64>,
    /// What is known of each column at it.
    pub cells: Vec<Cell<'a>>,
}

/// One item at one speed.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell<'a> {
    /// This phase does not ask it.
    NotAsked,
    /// It is asked once in this phase, and was seen at another speed.
    Once,
    /// Asked, and no look at this speed is on record.
    Unseen,
    /// The looks at this speed that count, in the order made; never empty.
    Looks(Vec<&'a TimedLook>),
}

impl<'a> Trial<'a> {
    /// The grid of a walk; none where it is asked nothing at speeds and no look names one. `rated` is the
    /// rated speed, `at` the speed one is at in a phase by its index, looked at there or not.
    pub fn of(
        plan: &'a Plan,
        walk: &'a Walk,
        rated: Option<f64>,
        at: &BTreeMap<usize, u32>,
    ) -> Option<Trial<'a>> {
        let rated = rated.filter(|rated| *rated > 0.0);
        let columns = columns(plan, walk);
        let mut rows = Vec::new();
        for (p, phase) in plan.phases.iter().enumerate() {
            let looks = in_phase(walk, Some(&phase.id));
            let at_speeds = phase.is_at_speeds() || looks.iter().any(|t| t.look.at_rpm.is_some());
            if at_speeds {
                let speeds = speeds(phase, &looks, &columns, rated, at.get(&p));
                rows.extend(speeds.into_iter().map(|(rpm, step)| {
                    let cell = |item: &&str| cell(phase, &looks, item, rpm);
                    row(Some(p), step, rpm, rated, columns.iter().map(cell))
                }));
            }
        }
        rows.extend(of_no_phase(plan, walk, &columns, rated));
        rows.retain(|row| row.cells.iter().any(|cell| *cell != Cell::NotAsked));
        (!rows.is_empty()).then_some(Trial { columns, rows })
    }
}

impl PlanPhase {
    /// Whether steps are run in it, or something is asked at each speed.
    fn is_at_speeds(&self) -> bool {
        !self.steps.is_empty() || self.rows.iter().any(|row| row.each_speed)
    }
}

impl Plan {
    /// Whether anything of it is asked at engine speeds.
    pub fn is_at_speeds(&self) -> bool {
        self.phases.iter().any(PlanPhase::is_at_speeds)
    }
}

/// Items asked at each speed, then those of which a look names one.
fn columns<'a>(plan: &'a Plan, walk: &'a Walk) -> Vec<&'a str> {
    let rows = plan.phases.iter().flat_map(|phase| &phase.rows);
    let asked = rows.filter(|row| row.each_speed).flat_map(|row| &row.items);
    let named = walk.looks.iter().filter(|t| t.look.at_rpm.is_some());
    let named = named.map(|t| &t.look.item);
    let mut seen = BTreeSet::new();
    let all = asked.chain(named).map(String::as_str);
    all.filter(|item| seen.insert(*item)).collect()
}

fn in_phase<'a>(walk: &'a Walk, phase: Option<&str>) -> Vec<&'a TimedLook> {
    let looks = walk.looks.iter();
    looks.filter(|t| t.look.phase.as_deref() == phase).collect()
}

fn row<'a>(
    phase: Option<usize>,
    step: Option<&'a Step>,
    rpm: Option<u32>,
    rated: Option<f64>,
    cells: impl Iterator<Item = Cell<'a>>,
) -> TrialRow<'a> {
    let share = |(rpm, rated): (u32, f64)| f64::from(rpm) / rated * 100.0;
    TrialRow {
        phase,
        step,
        rpm,
        of_rated: rpm.zip(rated).map(share),
        cells: cells.collect(),
    }
}

/// The speeds of a phase with the steps they are: those looked at, the one one is at, and those of
/// steps that nothing was near.
fn speeds<'a>(
    phase: &'a PlanPhase,
    looks: &[&TimedLook],
    columns: &[&str],
    rated: Option<f64>,
    at: Option<&u32>,
) -> Vec<(Option<u32>, Option<&'a Step>)> {
    let looked = looks
        .iter()
        .filter(|t| columns.contains(&t.look.item.as_str()));
    let mut speeds: BTreeSet<Option<u32>> = looked.map(|t| t.look.at_rpm).collect();
    speeds.extend(at.map(|rpm| Some(*rpm)));
    let mut named: BTreeMap<Option<u32>, &Step> = BTreeMap::new();
    if let [only] = phase.steps.as_slice() {
        if speeds.is_empty() {
            speeds.insert(rated.and_then(|rated| only.rpm(rated)));
        }
        named = speeds.iter().map(|rpm| (*rpm, only)).collect();
    } else if let Some(rated) = rated {
        for step in &phase.steps {
            let Some(own) = step.rpm(rated) else { continue };
            let off = |rpm: &u32| rpm.abs_diff(own);
            let near = speeds.iter().flatten().copied().min_by_key(off);
            let near = near.filter(|rpm| f64::from(off(rpm)) <= rated * NEAR / 100.0);
            let near = near.filter(|rpm| !named.contains_key(&Some(*rpm)));
            named.entry(Some(near.unwrap_or(own))).or_insert(step);
        }
        speeds.extend(named.keys());
    }
    if speeds.is_empty() {
        speeds.insert(None);
    }
    let mut speeds: Vec<Option<u32>> = speeds.into_iter().collect();
    speeds.sort_by_key(|rpm| (rpm.is_none(), *rpm));
    let step = |rpm: Option<u32>| (rpm, named.get(&rpm).copied());
    speeds.into_iter().map(step).collect()
}

fn cell<'a>(phase: &PlanPhase, looks: &[&'a TimedLook], item: &str, rpm: Option<u32>) -> Cell<'a> {
    let of_item: Vec<&TimedLook> = looks
        .iter()
        .copied()
        .filter(|t| t.look.item == item)
        .collect();
    let mut here = of_item.clone();
    here.retain(|t| t.look.at_rpm == rpm);
    let mut rows = phase.rows.iter();
    let asked = rows.find(|row| row.items.iter().any(|i| i == item));
    match asked {
        _ if !here.is_empty() => Cell::Looks(here),
        None => Cell::NotAsked,
        Some(row) if row.each_speed || of_item.is_empty() => Cell::Unseen,
        Some(_) => Cell::Once,
    }
}

/// Looks at a speed that name no phase of the plan, as a sheet may leave it out.
fn of_no_phase<'a>(
    plan: &Plan,
    walk: &'a Walk,
    columns: &[&str],
    rated: Option<f64>,
) -> Vec<TrialRow<'a>> {
    let known = |id: &str| plan.phases.iter().any(|phase| phase.id == id);
    let bare = |t: &&TimedLook| !t.look.phase.as_deref().is_some_and(known);
    let looks: Vec<&TimedLook> = walk.looks.iter().filter(bare).collect();
    let speeds: BTreeSet<u32> = looks.iter().filter_map(|t| t.look.at_rpm).collect();
    let rows = speeds.into_iter().map(|rpm| {
        let cell = |item: &&str| {
            let of_item = |t: &&TimedLook| t.look.item == **item && t.look.at_rpm == Some(rpm);
            let here: Vec<&TimedLook> = looks.iter().copied().filter(of_item).collect();
            match here.is_empty() {
                true => Cell::NotAsked,
                false => Cell::Looks(here),
            }
        };
        row(None, None, Some(rpm), rated, columns.iter().map(cell))
    });
    rows.collect()
}

impl<'a> Cell<'a> {
    /// The look that stands: the last that saw it, else the last that did not.
    pub fn look(&self) -> Option<&'a TimedLook> {
        let Cell::Looks(looks) = self else {
            return None;
        };
        let seen = looks.iter().rev().find(|t| t.look.grade().is_some());
        seen.or(looks.last()).copied()
    }

    /// Why there is no value, in words; none where something was graded.
    pub fn empty(&self) -> Option<String> {
        match self {
            Cell::NotAsked => Some("not asked".to_owned()),
            Cell::Once => Some("asked once".to_owned()),
            Cell::Unseen => Some("not read".to_owned()),
            Cell::Looks(_) => match &self.look()?.look.outcome {
                Outcome::NotSeen { why, .. } => Some(format!("not seen: {why}")),
                Outcome::Graded(_) => None,
            },
        }
    }
}

impl TrialRow<'_> {
    /// Its step and its speed, as it is named beside its cells: `80 %, 2880 rpm`. `phase` is the
    /// title of its phase, for what is no step of it.
    pub fn named(&self, phase: &str) -> String {
        let share = || self.of_rated.map(|share| format!("{share:.0} %"));
        let name = match self.step {
            Some(step) => step.title.clone(),
            None => share().unwrap_or_else(|| phase.to_owned()),
        };
        match self.rpm {
            Some(rpm) => format!("{name}, {rpm} rpm"),
            None if self.step.is_some_and(|step| step.of_rated.is_none()) => name,
            None => format!("{name}, speed not told"),
        }
    }
}
