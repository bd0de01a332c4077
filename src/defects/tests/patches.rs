//! Temporary repairs: they hold, and mend nothing.

use super::story::{Story, all_but, look};
use crate::assess::words::Verdict::{ClearToRun, DoNotRun, RunWithCare};
use crate::checklist::Grade::{Failing, Sound, Worn};
use crate::defects::State::{Confirmed, Open, Repaired, Temporary};

const BELT: &str = "drive-belt";

/// A belt found failing and helped out until the next harbour.
fn patched() -> Story {
    Story::new()
        .of_known_age()
        .daily(0.0, all_but([look(BELT, Failing)]))
        .patch(1.0, BELT, "next harbour")
}

#[test]
fn a_temporary_repair_that_holds_is_worn_listed_and_never_clear() {
    let story = patched();
    assert_eq!(story.state(1.1, BELT), Repaired);
    assert_eq!(story.verdict(1.1), Some(RunWithCare));
    let held = story.daily(2.0, all_but([look(BELT, Sound)]));
    assert_eq!(held.state(2.1, BELT), Temporary);
    let judged = held.judged(2.1);
    assert_eq!(judged.now, Some(RunWithCare));
    assert!(judged.reasons.iter().all(|r| r.item == BELT));
    assert!(judged.reasons[0].rule.contains("until next harbour"));
    let row = held.row(2.1, BELT).expect("listed");
    assert_eq!((row.grade, row.stop), (Worn, false));
    let lasting = held
        .repair(3.0, BELT)
        .daily(4.0, all_but([look(BELT, Sound)]));
    assert_eq!(lasting.state(4.1, BELT), Confirmed);
    assert_eq!(lasting.verdict(4.1), Some(ClearToRun));
}

#[test]
fn what_was_patched_and_gives_way_is_open_again_and_stays_temporary_when_it_holds_again() {
    let story = patched().daily(2.0, all_but([look(BELT, Failing)]));
    assert_eq!(story.state(2.1, BELT), Open);
    assert_eq!(story.verdict(2.1), Some(DoNotRun));
    let again = story.daily(3.0, all_but([look(BELT, Sound)]));
    assert_eq!(again.state(3.1, BELT), Temporary);
    assert!(
        again.withdraw(3.5, BELT).row(3.6, BELT).is_some(),
        "no word withdraws it"
    );
}

/// A taped fuel hose and one sound walk are not clear to run: practice of the trade, no single source.
#[test]
fn fuel_exhaust_and_hoses_below_the_waterline_are_stopped_until_mended_for_good() {
    for item in ["fuel-hoses", "exhaust-elbow", "raw-water-inlet-hose"] {
        let found = Story::new()
            .of_known_age()
            .daily(0.0, all_but([look(item, Failing)]));
        assert_eq!(found.verdict(0.5), Some(DoNotRun), "{item}");
        let taped = found.patch(1.0, item, "2026-06-01");
        assert_eq!(taped.verdict(1.1), Some(DoNotRun), "{item}");
        let held = taped.daily(2.0, all_but([look(item, Sound)]));
        let judged = held.judged(2.1);
        assert_eq!(judged.now, Some(DoNotRun), "{item}");
        assert!(judged.reasons[0].rule.contains("run only to reach help"));
        let mended = held.repair(3.0, item);
        assert_eq!(mended.verdict(3.1), Some(RunWithCare), "{item}");
    }
}

#[test]
fn a_temporary_repair_teaches_no_lifetime() {
    let taught = |story: &Story| {
        let learning = story.on(40.0).learning;
        format!("{learning:?}")
    };
    let story = Story::new()
        .of_known_age()
        .walk("daily", "main", 0.0, Some(100.0), [look(BELT, Failing)])
        .patch(1.0, BELT, "1400 h")
        .walk("daily", "main", 2.0, Some(110.0), [look(BELT, Sound)]);
    let later = story
        .clone()
        .walk("daily", "main", 20.0, Some(160.0), [look(BELT, Sound)]);
    let meter = |story: Story| story.walk("daily", "main", 20.0, Some(160.0), []);
    assert_eq!(taught(&later), taught(&meter(story)));
}

#[test]
fn the_hour_or_day_that_has_come_is_said() {
    let on = |until: &str, n: f64| {
        let story = Story::new()
            .of_known_age()
            .daily(0.0, [look(BELT, Failing)]);
        let held = story
            .patch(1.0, BELT, until)
            .daily(2.0, [look(BELT, Sound)]);
        held.row(n, BELT).expect("listed").why
    };
    assert!(!on("2026-05-20", 3.0).contains("has come"));
    assert!(on("2026-05-20", 30.0).contains("has come"));
}
