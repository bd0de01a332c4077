//! The laws of the rank, over random histories: others fixed, a worse item never moves down; the
//! order is total and the same whatever the order of the records.

use proptest::prelude::*;

use super::story::{Story, look};
use crate::assess::exposure::Exposure;
use crate::boat::Waters;
use crate::checklist::{Catalogue, Grade};
use crate::defects::list::Scenario;

const ITEMS: [&str; 10] = [
    "drive-belt",
    "raw-water-pump-seal",
    "oil-filter-seat",
    "fuel-hoses",
    "exhaust-elbow",
    "coolant-level",
    "bilge-pump",
    "engine-mounts",
    "loom-chafe",
    "throttle-cable",
];

/// A grade and the day of the look, one for each item.
fn looks() -> impl Strategy<Value = Vec<(Grade, u8)>> {
    let grade = (1usize..5).prop_map(|rung| Grade::ALL[rung]);
    prop::collection::vec((grade, 0u8..200), ITEMS.len())
}

fn waters() -> impl Strategy<Value = Waters> {
    prop::sample::select(Waters::ALL.to_vec())
}

fn tell(seen: &[(Grade, u8)]) -> Story {
    let each = ITEMS.iter().zip(seen);
    let story = each.fold(Story::new(), |story, (item, (grade, on))| {
        // No two at one time: a fraction of a day for each.
        let place = ITEMS.iter().position(|i| i == item).unwrap_or(0) as f64;
        story.daily(f64::from(*on) + place / 100.0, [look(item, *grade)])
    });
    // Told in any order, so each stands at the time it tells of.
    story.typed_up(400.0)
}

fn ranked(story: &Story, hours: f64, days: f64, waters: Waters) -> Vec<String> {
    let exposure = Exposure { hours, days };
    let list = story.on(200.0).list(Scenario::new(exposure, waters), false);
    list.rows.into_iter().map(|r| r.item).collect()
}

fn place(order: &[String], item: &str) -> usize {
    order.iter().position(|i| i == item).expect("it is listed")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_worse_grade_never_moves_an_item_down(
        seen in looks(), which in 0usize..10, waters in waters(), hours in 0.0..500.0f64,
    ) {
        let before = ranked(&tell(&seen), hours, 30.0, waters);
        let mut worse = seen;
        worse[which].0 = worse[which].0.worse();
        let after = ranked(&tell(&worse), hours, 30.0, waters);
        prop_assert!(place(&after, ITEMS[which]) <= place(&before, ITEMS[which]));
    }

    #[test]
    fn an_older_look_never_moves_an_item_down(
        seen in looks(), which in 0usize..10, waters in waters(), hours in 0.0..500.0f64,
    ) {
        let before = ranked(&tell(&seen), hours, 30.0, waters);
        let mut older = seen;
        older[which].1 /= 2;
        let after = ranked(&tell(&older), hours, 30.0, waters);
        prop_assert!(place(&after, ITEMS[which]) <= place(&before, ITEMS[which]));
    }

    #[test]
    fn more_exposure_and_worse_waters_never_lower_a_row(
        seen in looks(), near in waters(), far in waters(), hours in 0.0..500.0f64, more in 0.0..500.0f64,
    ) {
        let (near, far) = (near.min(far), near.max(far));
        let condition = tell(&seen).on(200.0);
        let rows = |hours, waters| {
            let exposure = Exposure { hours, days: 30.0 };
            condition.list(Scenario::new(exposure, waters), false).rows
        };
        let (calm, rough) = (rows(hours, near), rows(hours + more, far));
        for row in &calm {
            let same = rough.iter().find(|r| r.item == row.item).expect("it is listed");
            prop_assert!(same.stop >= row.stop);
            prop_assert!(same.risk <= row.risk, "{} {} {}", row.item, row.code, same.code);
            prop_assert!(same.chance >= row.chance);
        }
    }

    #[test]
    fn the_order_is_total_and_does_not_hang_on_the_order_of_records(
        seen in looks(), turn in 0usize..10, waters in waters(),
    ) {
        let story = tell(&seen);
        let first = ranked(&story, 50.0, 30.0, waters);
        prop_assert_eq!(first.len(), ITEMS.len());
        prop_assert_eq!(&first, &ranked(&story, 50.0, 30.0, waters));
        // Three records a walk: the walks in another order, each still whole.
        let mut turned = story.clone();
        turned.written.rotate_left(turn * 3);
        prop_assert_eq!(first, ranked(&turned, 50.0, 30.0, waters));
    }
}

/// Betas and severities are the catalogue's; with the same chance the worse of two always leads.
#[test]
fn every_item_stands_no_lower_in_rougher_waters() {
    for item in Catalogue::built_in().items() {
        for pair in Waters::ALL.windows(2) {
            let risk = |waters| {
                let story = Story::new().waters(waters);
                let story = story.daily(0.0, [look(&item.id, Grade::Failing)]);
                let row = story.row(10.0, &item.id).expect("a row");
                (std::cmp::Reverse(row.stop), row.risk, row.severity)
            };
            assert!(risk(pair[1]) <= risk(pair[0]), "{} {}", item.id, pair[0]);
        }
    }
}
