//! What is told of her to who takes her out.

use super::story::{Story, Told, all_but, day, look};
use crate::assess::trend::Direction;
use crate::boat::Unit;
use crate::checklist::Grade::{Early, Failing, Sound};
use crate::checklist::Leak;
use crate::defects::condition::Condition;
use crate::defects::hand_over::UsualReading;

const OIL: &str = "engine-oil-level";
const PRESSURE: &str = "oil-pressure";

fn condition(story: &Story, on: f64) -> Condition {
    story.on(on)
}

fn usual(story: &Story, on: f64, item: &str) -> Option<UsualReading> {
    let condition = condition(story, on);
    let all = condition.usual_readings(&story.history());
    all.into_iter().find(|u| u.item == item)
}

#[test]
fn stops_of_every_machine_are_told_with_their_orders() {
    let story = Story::with(&["main", "generator"])
        .daily(0.0, all_but([]))
        .walk(
            "daily",
            "generator",
            1.0,
            None,
            [look("drive-belt", Failing)],
        );
    let stops = condition(&story, 1.5).stops_now();
    let told: Vec<_> = stops
        .iter()
        .map(|s| (s.item.as_str(), s.machine.as_deref()))
        .collect();
    assert_eq!(told, [("drive-belt", Some("generator"))]);
    assert!(
        stops[0].orders.join(" ").contains("do not start"),
        "{stops:?}"
    );
    assert!(!stops[0].cautions.is_empty());
    // A repair of the main engine's says nothing of the other.
    let mended = story.repair(2.0, "drive-belt");
    assert_eq!(condition(&mended, 2.5).stops_now().len(), 1);
}

#[test]
fn a_temporary_repair_stands_before_anybody_has_looked_and_after() {
    let found = Story::new().daily(0.0, all_but([look("drive-belt", Failing)]));
    let patched = found.patch(1.0, "drive-belt", "next harbour");
    let told = condition(&patched, 1.5).patched();
    assert_eq!(
        (told[0].until.as_str(), told[0].seen),
        ("next harbour", false)
    );
    assert!(
        condition(&patched, 1.5).unconfirmed().is_empty(),
        "told once"
    );
    let held = patched.daily(2.0, all_but([look("drive-belt", Sound)]));
    let told = condition(&held, 2.5).patched();
    assert_eq!((told.len(), told[0].seen), (1, true));
    let lasting = held.repair(3.0, "drive-belt");
    let condition = condition(&lasting, 3.5);
    assert!(condition.patched().is_empty());
    assert_eq!(condition.unconfirmed()[0].item, "drive-belt");
}

#[test]
fn a_date_that_has_come_is_said_of_a_temporary_repair() {
    let found = Story::new().daily(0.0, all_but([look("drive-belt", Failing)]));
    let patched = found.patch(1.0, "drive-belt", "2026-05-10");
    assert!(!condition(&patched, 2.0).patched()[0].over);
    assert!(condition(&patched, 20.0).patched()[0].over);
}

#[test]
fn a_level_is_told_as_read_and_one_never_seen_as_not_known() {
    let read = look(OIL, Sound).during("cold").percent(85.0);
    let story = Story::new().daily(0.0, [read]);
    let levels = condition(&story, 0.5).levels_now();
    let level = |item: &str| levels.iter().find(|l| l.item == item).expect("hers");
    let oil = level(OIL);
    let seen = oil.seen.as_deref().expect("seen");
    assert!(seen.starts_with("85 % of the way up"), "{seen}");
    assert!(oil.read_by.is_some_and(|by| by > day(0.0).date_naive()));
    let coolant = level("coolant-level");
    assert_eq!((&coolant.seen, coolant.at), (&None, None));
    let below = story.daily(1.0, [look(OIL, Failing).during("cold").percent(-5.0)]);
    let levels = condition(&below, 1.5).levels_now();
    let oil = levels.iter().find(|l| l.item == OIL).expect("hers");
    assert_eq!(oil.seen.as_deref(), Some("below the low mark"));
}

/// Two readings are no usual value; a gauge without one is named all the same, so that there is room
/// to write it.
#[test]
fn what_is_usual_is_the_middle_of_sound_readings_from_three_on() {
    let read = |bar| look(PRESSURE, Sound).during("idle").read(bar, Unit::Bar);
    let two = Story::new().daily(0.0, [read(3.0)]).daily(1.0, [read(3.4)]);
    assert!(
        usual(&two, 1.5, PRESSURE)
            .expect("a gauge")
            .shows
            .is_empty()
    );
    assert!(usual(&two, 1.5, "drive-belt").is_none(), "no gauge");
    let three = two.daily(2.0, [read(3.1)]);
    let told = usual(&three, 2.5, PRESSURE).expect("known");
    assert_eq!(told.shows.len(), 1);
    assert_eq!(told.shows[0].words(), "3.1 bar");
    assert_eq!(told.shows[0].readings, 3);
    assert_eq!(told.shows[0].phase.as_deref(), Some("Idling"));
    assert_eq!(told.moves, Direction::None);
    let worse = three.daily(
        3.0,
        [look(PRESSURE, Failing).during("idle").read(1.0, Unit::Bar)],
    );
    let told = usual(&worse, 3.5, PRESSURE).expect("known");
    assert_eq!(
        told.shows[0].words(),
        "3.1 bar",
        "what is not sound is not usual"
    );
}

#[test]
fn a_drip_is_known_while_it_is_seen_and_stops_nothing() {
    let drips = |story: &Story, on| condition(story, on).known_drips();
    let damp = look("raw-water-pump-seal", Early).leak(Leak::I);
    let story = Story::new().daily(0.0, [damp]);
    let known = drips(&story, 0.5);
    assert_eq!(known[0].item, "raw-water-pump-seal");
    assert_eq!(known[0].words(), "damp, no drop");
    let dry = story
        .clone()
        .daily(1.0, [look("raw-water-pump-seal", Sound).leak(Leak::None)]);
    assert!(drips(&dry, 1.5).is_empty());
    let fuel = Story::new().daily(0.0, [look("fuel-hoses", Failing).leak(Leak::Ii)]);
    assert!(
        drips(&fuel, 0.5).is_empty(),
        "a stop is no drip to live with"
    );
    assert_eq!(condition(&fuel, 0.5).stops_now().len(), 1);
    let mended = story.repair(1.0, "raw-water-pump-seal");
    assert!(
        drips(&mended, 1.5).is_empty(),
        "nobody has seen that it is dry"
    );
}
