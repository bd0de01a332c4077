//! The ranked list: elapsed wear, life, what nobody looked at, what comes first.

use super::story::{Story, look};
use crate::assess::words::{Level, Severity};
use crate::boat::Role;
use crate::checklist::Catalogue;
use crate::checklist::Grade::{Early, Failed, Failing, Sound, Worn};

const BELT: &str = "drive-belt";
const SEAL: &str = "raw-water-pump-seal";

#[test]
fn elapsed_wear_is_running_hours_and_standing_by_the_meter() {
    let story = Story::new()
        .walk("daily", "main", 0.0, Some(1000.0), [look(SEAL, Early)])
        .walk("daily", "main", 10.0, Some(1030.0), []);
    let row = story.row(10.0, SEAL).expect("a row");
    // A seal wears half an hour for each day it stands (judgement).
    assert!((row.elapsed.hours - 30.0).abs() < 0.01, "{:?}", row.elapsed);
    assert!((row.elapsed.days - 10.0).abs() < 0.01);
    assert!((row.elapsed.wear_hours - 35.0).abs() < 0.02);
}

#[test]
fn unknown_hours_follow_from_the_days_and_are_flagged() {
    let story = Story::new().daily(0.0, [look(SEAL, Early)]);
    let row = story.row(30.4375, SEAL).expect("a row");
    assert!((row.elapsed.hours - 15.0).abs() < 0.01, "15 h a month");
    assert!(row.estimated);
    assert!(row.why.contains("about 15"), "{}", row.why);
    let metered = Story::new()
        .walk("daily", "main", 0.0, Some(1000.0), [look(SEAL, Early)])
        .walk("daily", "main", 1.0, Some(1004.0), []);
    assert!(!metered.on(1.0).meter_now(Some("main")).estimated);
}

#[test]
fn past_its_life_it_counts_as_worn_at_best_and_says_so() {
    let hose = "exhaust-hose";
    let story = Story::new()
        .fitted(-3660.0, hose)
        .daily(0.0, [look(hose, Sound)]);
    let row = story.row(1.0, hose).expect("a concern");
    assert_eq!(row.grade, Worn);
    assert!(row.why.starts_with("Worn, past its life"), "{}", row.why);
    let failing = story.clone().daily(2.0, [look(hose, Failing)]);
    let row = failing.row(3.0, hose).expect("a row");
    assert_eq!(row.grade, Failing);
    assert!(
        row.why.starts_with("Failing and past its life"),
        "{}",
        row.why
    );
    let renewed = story.repair(1.0, hose).fitted(1.0, hose);
    assert!(renewed.row(2.0, hose).is_none());
    let young = Story::new()
        .fitted(-3600.0, hose)
        .daily(0.0, [look(hose, Sound)]);
    assert!(young.row(1.0, hose).is_none());
}

#[test]
fn a_life_in_hours_ends_at_the_meter() {
    let anodes = "engine-anodes";
    let story = |hours| {
        Story::new()
            .fitted(0.0, anodes)
            .walk("daily", "main", 0.0, Some(1000.0), [look(anodes, Sound)])
            .walk("daily", "main", 20.0, Some(hours), [])
    };
    assert!(story(1199.0).row(20.0, anodes).is_none());
    assert!(story(1200.0).row(20.0, anodes).is_some());
}

#[test]
fn what_nobody_looked_at_forms_its_own_group() {
    let story = Story::new().daily(0.0, [look(BELT, Sound), look(SEAL, Early)]);
    let list = story.list(1.0);
    assert_eq!(list.rows.len(), 1, "sound items are no rows");
    let asked = Catalogue::built_in().items().iter();
    let asked = asked
        .filter(|i| i.is_for(Role::Propulsion) && !i.called_for)
        .count();
    assert_eq!(list.unseen.len(), asked - 2);
    assert!(list.unseen.is_sorted_by_key(|u| (u.risk, u.severity)));
    let mount = list
        .unseen
        .iter()
        .find(|u| u.item == "engine-mounts")
        .expect("unseen");
    // At least the half per cent that the mixture takes as failed already.
    assert!(mount.chance > 0.005 && mount.chance < 0.1);
    assert!(story.removed(1.0, "engine-mounts").list(2.0).unseen.len() == asked - 3);
}

#[test]
fn a_stop_comes_first_whatever_its_risk() {
    let story = Story::new()
        .daily(
            0.0,
            [
                look("alarm-panel", Failing),
                look("exhaust-elbow", Worn),
                look(SEAL, Early),
            ],
        )
        .set(
            0.5,
            "alarm-panel",
            Some(Severity::Negligible),
            Some(Level::E),
        );
    let list = story.list(1.0);
    let items: Vec<_> = list.rows.iter().map(|r| r.item.as_str()).collect();
    assert_eq!(items[0], "alarm-panel");
    assert_eq!(
        list.rows.iter().map(|r| r.rank).collect::<Vec<_>>(),
        [1, 2, 3]
    );
    assert!(list.rows[0].why.contains("Stops the engine"));
    assert_eq!(list.rows[0].fix_within.map(|w| w.wear_hours), Some(0.0));
}

#[test]
fn a_withdrawn_defect_is_listed_only_when_all_are_asked_and_last() {
    let story = Story::new()
        .daily(0.0, [look(BELT, Worn), look(SEAL, Early)])
        .withdraw(1.0, BELT);
    assert!(story.row(2.0, BELT).is_none());
    let condition = story.on(2.0);
    let (exposure, waters) = condition.usual_plan();
    let all = condition.list(crate::defects::list::Scenario::new(exposure, waters), true);
    let items: Vec<_> = all.rows.iter().map(|r| r.item.as_str()).collect();
    assert_eq!(items, [SEAL, BELT]);
}

#[test]
fn what_has_failed_is_certain_and_says_so() {
    let row = Story::new()
        .daily(0.0, [look(BELT, Failed)])
        .row(1.0, BELT)
        .expect("a row");
    assert_eq!(row.chance, 1.0);
    assert!(row.why.contains("failed already"), "{}", row.why);
}

#[test]
fn odd_profiles_and_far_days_give_finite_figures() {
    let mut story = Story::new()
        .daily(0.0, [look(BELT, Worn), look("engine-oil-level", Early)])
        .fitted(0.0, "exhaust-hose");
    story.boat.usual_hours_per_month = 1e300;
    story.boat.day_ahead.hours = 1e300;
    story.boat.day_ahead.days = 1e300;
    for now in [-700_000.0, 0.0, 2_900_000.0] {
        for row in story.list(now).rows {
            assert!(row.chance.is_finite() && row.elapsed.wear_hours.is_finite());
            let waits = [row.fix_within, row.look_again_within];
            assert!(
                waits
                    .iter()
                    .flatten()
                    .all(|w| w.hours.is_none_or(f64::is_finite))
            );
        }
        story.judged(now);
    }
}

#[test]
fn times_at_the_ends_of_the_calendar_do_no_harm() {
    use crate::logbook::record::Record;
    let story = Story::new()
        .daily(0.0, [look(BELT, Worn), look(SEAL, Early)])
        .recheck(0.0, SEAL, Some(5.0), None)
        .fitted(0.0, "exhaust-hose");
    for absurd in [
        "+262142-12-31T23:59:59+02:00",
        "-262143-01-02T00:00:00-14:00",
        "9999-12-31T23:59:59-12:00",
    ] {
        let Ok(time) = absurd.parse::<chrono::DateTime<chrono::FixedOffset>>() else {
            continue;
        };
        for n in 0..story.written.len() {
            let mut odd = story.clone();
            match &mut odd.written[n].record {
                Record::WalkStarted(r) => r.at = time,
                Record::Look(r) => r.at = time,
                Record::WalkFinished(r) => r.at = time,
                Record::Recheck(r) => (r.at, r.due_at) = (Some(time), Some(time)),
                Record::Fitted(r) => r.at = Some(time),
                _ => {}
            }
            let (condition, history) = (odd.on(10.0), odd.history());
            let daily = condition.library.checklist("daily").expect("built in");
            assert!(odd.list(10.0).rows.iter().all(|r| r.chance.is_finite()));
            condition.joins(&history, daily, "main");
            condition.owed(&history).for_each(drop);
            odd.judged(10.0);
        }
    }
}
