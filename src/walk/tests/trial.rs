//! The grid of a sea trial: what is looked at at one speed stands there once, and nowhere else.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::walk;
use crate::boat::Role;
use crate::checklist::{Grade, Library};
use crate::walk::{Cell, Look, Plan, Touched, Trial, TrialRow, Walk};

fn survey() -> Plan {
    let list = Library::built_in().checklist("survey").expect("built in");
    let touched = Touched::default();
    Plan::compose(
        list,
        Role::Propulsion,
        &[],
        &[],
        &touched,
        |_| None,
        |_| true,
    )
}

fn look(item: &str, phase: &str, at_rpm: Option<u32>) -> Look {
    Look {
        at_rpm,
        ..Look::graded(item, Some(phase), Grade::Sound)
    }
}

fn of<'a>(plan: &'a Plan, walk: &'a Walk, rated: Option<f64>) -> Trial<'a> {
    Trial::of(plan, walk, rated, &BTreeMap::new()).expect("a grid")
}

fn named(row: &TrialRow<'_>) -> String {
    row.named("phase")
}

#[test]
fn before_anything_is_seen_each_step_has_its_row() {
    let (plan, walk) = (survey(), walk([]));
    let trial = of(&plan, &walk, Some(3600.0));
    let rows: Vec<String> = trial.rows.iter().map(named).collect();
    assert_eq!(
        rows,
        [
            "idle, warm",
            "ahead, idle",
            "40 %, 1440 rpm",
            "60 %, 2160 rpm",
            "80 %, 2880 rpm",
            "90 %, 3240 rpm",
            "full, 3600 rpm",
            "astern",
            "idle again"
        ]
    );
    // Without the rated speed no share of it has a figure.
    let trial = of(&plan, &walk, None);
    let rows: Vec<String> = trial.rows.iter().map(named).collect();
    assert_eq!(rows[2], "phase, speed not told");
    assert_eq!(rows.len(), 6);
}

#[test]
fn what_was_seen_at_a_speed_is_not_hidden_by_a_later_look_that_saw_nothing() {
    let missed = Look {
        at_rpm: Some(1450),
        ..Look::not_seen("oil-pressure", Some("under-way"), "spray", None)
    };
    let looks = [look("oil-pressure", "under-way", Some(1450)), missed];
    let (plan, walk) = (survey(), walk(looks));
    let trial = of(&plan, &walk, None);
    let mut cells = trial.rows.iter().flat_map(|row| &row.cells);
    let cell = cells.find(|cell| cell.look().is_some());
    let cell = cell.expect("a cell");
    assert_eq!(cell.look().and_then(|t| t.look.grade()), Some(Grade::Sound));
    assert_eq!(cell.empty(), None);
}

#[test]
fn a_speed_near_a_step_goes_by_its_name_and_one_between_two_by_neither() {
    let looks = [1450, 2500, 2900].map(|rpm| look("oil-pressure", "under-way", Some(rpm)));
    let (plan, walk) = (survey(), walk(looks));
    let trial = of(&plan, &walk, Some(3600.0));
    let phase = plan.phases.iter().position(|p| p.id == "under-way");
    let rows = trial.rows.iter().filter(|row| row.phase == phase);
    let rows: Vec<String> = rows.map(named).collect();
    assert_eq!(
        rows,
        [
            "40 %, 1450 rpm",
            "60 %, 2160 rpm",
            "69 %, 2500 rpm",
            "80 %, 2900 rpm",
            "90 %, 3240 rpm"
        ]
    );
}

#[test]
fn why_a_cell_is_empty() {
    let unseen = Look {
        at_rpm: Some(1440),
        ..Look::not_seen("exhaust-smoke", Some("under-way"), "dark", None)
    };
    let idle = look("coolant-temperature", "warm-up", Some(800));
    let fast = look("oil-pressure", "warm-up", Some(1100));
    let (plan, walk) = (survey(), walk([unseen, idle, fast]));
    let trial = of(&plan, &walk, Some(3600.0));
    let why = |rpm: u32, item: &str| {
        let row = trial.rows.iter().find(|row| row.rpm == Some(rpm));
        let column = trial.columns.iter().position(|c| *c == item);
        row.expect("a row").cells[column.expect("a column")].empty()
    };
    assert_eq!(
        why(1440, "exhaust-smoke").as_deref(),
        Some("not seen: dark")
    );
    assert_eq!(why(1440, "oil-pressure").as_deref(), Some("not read"));
    assert_eq!(why(3600, "prefilter-vacuum").as_deref(), Some("not asked"));
    // Asked once while she warms up, and seen at 1100.
    assert_eq!(why(800, "oil-pressure").as_deref(), Some("asked once"));
    assert_eq!(why(1100, "oil-pressure"), None);
}

proptest! {
    /// Every look at an engine speed, and every one at a column in a phase of the grid, is in exactly one
    /// cell, and that cell is of its item, its phase and its speed.
    #[test]
    fn every_look_is_in_one_cell_of_its_own_speed(
        looks in prop::collection::vec(
            (0usize..5, 0usize..7, prop::option::of(prop::sample::select(vec![800u32, 1440, 1450, 2500, 3600]))),
            0..40,
        ),
        rated in prop::option::of(1000.0..5000.0f64),
    ) {
        let items = ["oil-pressure", "coolant-temperature", "exhaust-smoke", "stuffing-box", "gear-response"];
        let phases = ["warm-up", "dockside", "under-way", "full-throttle", "after", "close", "of no plan"];
        let looks = looks.iter().map(|(item, phase, rpm)| look(items[*item], phases[*phase], *rpm));
        let (plan, walk) = (survey(), walk(looks));
        let trial = of(&plan, &walk, rated);
        let mut held: BTreeMap<String, usize> = BTreeMap::new();
        for row in &trial.rows {
            prop_assert_eq!(row.cells.len(), trial.columns.len());
            for (item, cell) in trial.columns.iter().zip(&row.cells) {
                let Cell::Looks(looks) = cell else { continue };
                prop_assert!(!looks.is_empty());
                for timed in looks {
                    *held.entry(timed.id.to_string()).or_default() += 1;
                    prop_assert_eq!(&timed.look.item, item);
                    prop_assert_eq!(timed.look.at_rpm, row.rpm);
                    let phase = row.phase.map(|p| plan.phases[p].id.as_str());
                    let own = timed.look.phase.as_deref();
                    prop_assert!(phase == own || phase.is_none() && own == Some("of no plan"));
                }
            }
        }
        let at_speeds = |phase: Option<&str>| {
            let mut phases = plan.phases.iter().filter(|p| Some(p.id.as_str()) == phase);
            phases.any(|p| !p.steps.is_empty())
        };
        for timed in &walk.looks {
            let column = trial.columns.contains(&timed.look.item.as_str());
            let here = timed.look.at_rpm.is_some() || column && at_speeds(timed.look.phase.as_deref());
            if here {
                prop_assert_eq!(held.get(&*timed.id), Some(&1), "{:?}", timed.look);
            }
        }
        let twice = held.values().filter(|n| **n > 1).count();
        prop_assert_eq!(twice, 0);
        // Two rows of one phase never have one speed.
        let mut keys: Vec<_> = trial.rows.iter().map(|row| (row.phase, row.rpm)).collect();
        keys.sort_unstable();
        keys.dedup();
        prop_assert_eq!(keys.len(), trial.rows.len());
    }
}
