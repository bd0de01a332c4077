//! One list beside another.

use super::story::{Story, look};
use crate::assess::Exposure;
use crate::boat::Waters;
use crate::checklist::Grade::{Early, Failing, Worn};
use crate::defects::compare::{Shift, changed};
use crate::defects::list::Scenario;

fn scenario(hours: f64, waters: Waters) -> Scenario {
    let exposure = Exposure {
        hours,
        days: 2.0 * hours,
    };
    Scenario::new(exposure, waters)
}

fn story() -> Story {
    Story::new().daily(
        0.0,
        [
            look("drive-belt", Worn),
            look("raw-water-pump-seal", Early),
            look("front-crank-seal", Worn),
            look("coolant-hoses", Failing),
            look("engine-mounts", Early),
            look("coolant-level", Early),
        ],
    )
}

#[test]
fn rows_that_rise_come_first_and_those_that_stay_are_left_out() {
    let condition = story().on(1.0);
    let (near, far) = (
        scenario(5.0, Waters::Sheltered),
        scenario(200.0, Waters::Ocean),
    );
    let rows = condition.compare(near, far);
    let list = condition.list(near, false).rows;
    assert_eq!(rows.len(), list.len());
    assert!(
        rows.iter()
            .zip(&list)
            .all(|(c, row)| c.item == row.item && c.a.rank == row.rank)
    );
    let count = |shift| rows.iter().filter(|r| r.shift() == shift).count();
    let (rise, fall) = (count(Shift::Rises), count(Shift::Falls));
    assert!(rise > 0);
    let back = condition.compare(far, near);
    let falls = back.iter().filter(|r| r.shift() == Shift::Falls).count();
    assert_eq!(
        falls, rise,
        "what rises on the way out falls on the way back"
    );
    for row in &rows {
        let worse =
            (row.b.risk, row.b.severity, row.b.level) < (row.a.risk, row.a.severity, row.a.level);
        assert!(!worse || row.shift() == Shift::Rises, "{}", row.item);
    }
    let shown = changed(rows);
    assert_eq!(shown.len(), rise + fall);
    assert!(shown.is_sorted_by_key(|row| row.shift()));
}

#[test]
fn against_itself_everything_stays() {
    let condition = story().on(1.0);
    let here = scenario(50.0, Waters::Inshore);
    let rows = condition.compare(here, here);
    assert!(rows.len() >= 5 && rows.iter().all(|r| r.shift() == Shift::Stays));
    assert!(changed(rows).is_empty());
}
