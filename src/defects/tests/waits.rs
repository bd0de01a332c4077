//! The days until which a repair and a look may wait, against figures found outside the program.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::story::{Story, look};
use crate::assess::span::Threshold;
use crate::checklist::Grade::Worn;
use crate::checklist::Library;
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::logbook::record::{LookMade, Record};

const BELT: &str = "drive-belt";

/// A worn belt by bisection in Python's `decimal` with 40 digits.
///
/// A belt stays 150 wear hours on worn and 25 on failing, and wears 0.3 a day at rest (judgement).
/// After t wear hours the chance that it has passed both is
/// 1 − (150 e^(−t/150) − 25 e^(−t/25)) / 125, the closed form of two exponential stages. Inshore the
/// loss of propulsion at beta 0.5 is critical, and high from level B on (1e-2): from a chance of 0.02
/// on, reached at t = 13.563 219 180 049 8. Half of that is 6.781 6, less than the 9.294 to a chance
/// of 0.01. At 5 h in ten days a day is 0.8 wear hours; then, at 40 h in twenty days, 2.3. So the look
/// is due 6.781 6 / 0.8 days after the first, the repair (13.563 2 − 8) / 2.3 days after the tenth.
#[test]
fn the_days_of_a_worn_belt_are_those_of_a_calculation_elsewhere() {
    let march = |text: &str| -> DateTime<FixedOffset> {
        DateTime::parse_from_rfc3339(&format!("2026-03-{text}")).expect("a time")
    };
    // Noon of the 1st, 11th and 31st of March, counted from the 1st of May.
    let (first, second, third) = (-61.0, -51.0, -31.0);
    let made = LookMade {
        walk: "first".into(),
        at: march("01T12:00:00Z"),
        look: look(BELT, Worn).into(),
    };
    let story = Story::new()
        .begin("first", "daily", "main", first, Some(100.0))
        .write(first, Record::Look(made))
        .walk("daily", "main", second, Some(105.0), [])
        .walk("daily", "main", third, Some(145.0), []);
    let noon = march("31T12:00:00Z");
    let waits = |story: &Story, now| {
        let library = Arc::new(Library::built_in().clone());
        let condition = Condition::of(&story.boat, library, &story.history(), now);
        let (exposure, waters) = condition.usual_plan();
        let rows = condition.list(Scenario::new(exposure, waters), false).rows;
        let row = rows.into_iter().find(|row| row.item == BELT);
        let row = row.expect("a row");
        [row.fix_within, row.look_again_within].map(|wait| wait.expect("it ends"))
    };
    for (hours, days) in [
        (0, ["2026-03-13", "2026-03-09"]),
        (2, ["2026-03-14", "2026-03-10"]),
    ] {
        let zone = FixedOffset::east_opt(hours * 3600).expect("a zone");
        let found = waits(&story, noon.with_timezone(&zone));
        let dates = found.map(|wait| wait.date.expect("a date").to_string());
        assert_eq!(dates, days, "+0{hours}:00");
        for (wait, end) in found.iter().zip(["13T22:03:03.537Z", "09T23:26:53.835Z"]) {
            assert_eq!(wait.at, Some(march(end)));
            assert!(wait.over && wait.threshold == Threshold::High);
        }
    }
    // At the look itself all of the wear is left.
    let at_first = waits(&story, march("01T12:00:00Z"));
    let wear = at_first.map(|wait| wait.wear_hours);
    for (found, exact) in wear
        .iter()
        .zip([13.563_219_180_049_75, 6.781_609_590_024_875])
    {
        assert!((found / exact - 1.0).abs() < 1e-10, "{found} {exact}");
    }
}
