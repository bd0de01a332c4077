//! The arithmetic behind a row, told step by step.

use super::story::{Story, look};
use crate::assess::words::{Level, Severity};
use crate::checklist::Grade::{Early, Worn};
use crate::defects::explain::Explanation;
use crate::defects::list::Outset;

fn explain(story: &Story, on: f64, item: &str) -> Explanation {
    let condition = story.on(on);
    let (exposure, waters) = condition.usual_plan();
    let subject = condition.subject(item, "main");
    let said = condition.explain(&subject, Outset { exposure, waters });
    said.expect("the boat has it")
}

#[test]
fn it_says_what_the_row_says() {
    let seal = "raw-water-pump-seal";
    let story = Story::new().daily(0.0, [look(seal, Worn)]);
    let (said, row) = (
        explain(&story, 3.0, seal),
        story.row(3.0, seal).expect("a row"),
    );
    assert_eq!(said.chance, row.chance);
    assert_eq!(said.grade, Some(row.grade));
    assert_eq!(said.fix_within, row.fix_within);
    let deciding = said
        .effects
        .iter()
        .find(|e| e.effect == row.effect)
        .expect("listed");
    assert_eq!(deciding.code, row.code);
    let shares = said.distribution.expect("a chain");
    assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-12);
    assert_eq!(shares[4], said.chance);
    assert!(said.steps[0].starts_with("worn seen 2026-05-01"));
}

#[test]
fn it_tells_of_no_look_no_chain_and_an_override() {
    let story = Story::new();
    assert!(explain(&story, 0.0, "drive-belt").steps[0].contains("nobody has graded it yet"));
    let level = Story::new().daily(0.0, [look("coolant-level", Early)]);
    let said = explain(&level, 30.0, "coolant-level");
    assert_eq!((said.dwell_means, said.distribution), (None, None));
    assert!(
        (said.chance - 1e-3).abs() < 1e-15,
        "ten times early, as the look is old"
    );
    assert!(said.steps.iter().any(|s| s.contains("ten times that")));
    let set = level.set(
        1.0,
        "coolant-level",
        Some(Severity::Critical),
        Some(Level::B),
    );
    let said = explain(&set, 2.0, "coolant-level");
    assert!(said.steps.iter().any(|s| s.contains("set by hand to 2B")));
}
