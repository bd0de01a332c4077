//! The stop column of the morning check, through the whole way from look to verdict; and the leak
//! classes of the operator checks.

use super::story::{Story, Told, all_but, look};
use crate::assess::words::Verdict::{ClearToRun, DoNotRun, NotSignedOff, RunWithCare};
use crate::boat::Waters;
use crate::checklist::Grade::{Early, Failed, Failing, Sound, Worn};
use crate::checklist::{Catalogue, Grade, Leak, leak_grade};

/// Where no one source says so.
const COMMON: &str = "common practice, no single source";
/// Class III goes to the mechanic at once, and no fuel leak of any class is operated with.
const ARMY: &str = "US Army TM 5-2010-205-14 p 4-4, TM 10-4930-229-12&P p 2-7";

/// What is seen, the item, its rung, the source of the rule.
const STOPS: &[(&str, &str, Grade, &str)] = &[
    (
        "a smell of fuel or exhaust",
        "engine-space-smell",
        Failing,
        COMMON,
    ),
    (
        "bilge water rising while watched",
        "bilge-water",
        Failed,
        COMMON,
    ),
    ("fuel in the tray", "drip-tray", Failed, COMMON),
    ("fuel in the bilge", "bilge-oil", Failed, COMMON),
    ("no bilge pump", "bilge-pump", Failed, COMMON),
    ("seacock shut or leaking", "engine-seacock", Failing, COMMON),
    (
        "strainer more than half full",
        "raw-water-strainer",
        Failing,
        COMMON,
    ),
    (
        "inlet hose weeps below the waterline",
        "raw-water-inlet-hose",
        Failing,
        COMMON,
    ),
    (
        "drops fall from the sea-water pump",
        "raw-water-pump-seal",
        Failing,
        COMMON,
    ),
    ("a cord of the belt bare", "drive-belt", Failing, COMMON),
    (
        "class III at the front seal",
        "front-crankshaft-seal",
        Failing,
        ARMY,
    ),
    (
        "class III at the coolant pump",
        "coolant-pump-seal",
        Failing,
        ARMY,
    ),
    (
        "engine oil off the stick",
        "engine-oil-level",
        Failing,
        COMMON,
    ),
    ("engine oil milky", "engine-oil-condition", Failing, COMMON),
    (
        "class III at the oil filter",
        "oil-filter-seat",
        Failing,
        ARMY,
    ),
    ("class III at the sump", "sump-gasket", Failing, ARMY),
    (
        "water up to the filter element",
        "fuel-prefilter-bowl",
        Failing,
        COMMON,
    ),
    ("any fuel", "fuel-hoses", Failing, ARMY),
    ("any fuel", "fuel-fine-filter", Failing, ARMY),
    ("any fuel", "injector-line-unions", Failing, ARMY),
    ("no coolant", "coolant-level", Failed, COMMON),
    (
        "a gas streak at the manifold",
        "exhaust-manifold-gasket",
        Failing,
        COMMON,
    ),
    (
        "a gas streak at the elbow",
        "exhaust-elbow",
        Failing,
        COMMON,
    ),
    (
        "gearbox oil off the stick",
        "gearbox-oil-level",
        Failing,
        COMMON,
    ),
    (
        "gearbox oil milky",
        "gearbox-oil-condition",
        Failing,
        COMMON,
    ),
    ("a mount loose", "engine-mounts", Failing, COMMON),
    ("the coupling loose", "shaft-coupling", Failing, COMMON),
    (
        "a stream at the stuffing box",
        "stuffing-box",
        Failed,
        COMMON,
    ),
    (
        "a stream at the stern hose",
        "stern-tube-hose",
        Failed,
        COMMON,
    ),
    ("exhaust hose split", "exhaust-hose", Failed, COMMON),
    (
        "throttle stiff, frayed, a pin missing",
        "throttle-cable",
        Failing,
        COMMON,
    ),
    (
        "shift stiff, frayed, a pin missing",
        "shift-cable",
        Failing,
        COMMON,
    ),
    (
        "start battery below 12.2 V",
        "start-battery",
        Failing,
        COMMON,
    ),
    (
        "no extinguisher charged",
        "fire-extinguisher",
        Failed,
        COMMON,
    ),
    ("buzzer dead", "alarm-panel", Failing, COMMON),
    ("more than 15 s to fire", "cold-start", Failing, COMMON),
    ("no oil pressure", "oil-pressure", Failed, COMMON),
    ("no water at the outlet", "raw-water-flow", Failed, COMMON),
    (
        "no sure neutral or astern",
        "gear-response",
        Failing,
        COMMON,
    ),
];

#[test]
fn each_row_of_the_stop_column_forbids_running() {
    for (seen, item, grade, source) in STOPS {
        let judged = Story::new()
            .daily(0.0, all_but([look(item, *grade)]))
            .judged(0.1);
        let told = format!("{seen}: {item} {grade} ({source})");
        assert_eq!(judged.at_walk, Some(DoNotRun), "{told}");
        assert_eq!(judged.now, Some(DoNotRun), "{told}");
        assert_eq!(judged.reasons[0].item, *item);
    }
}

#[test]
fn early_alone_never_forbids_and_never_asks_for_care() {
    for item in Catalogue::built_in().items() {
        let story = Story::new().daily(0.0, all_but([look(&item.id, Early)]));
        assert_eq!(story.verdict(0.1), Some(ClearToRun), "{}", item.id);
    }
}

#[test]
fn worn_alone_never_forbids() {
    for item in Catalogue::built_in().items() {
        for waters in Waters::ALL {
            let story = Story::new().waters(*waters);
            let verdict = story
                .daily(0.0, all_but([look(&item.id, Worn)]))
                .verdict(0.1);
            assert_ne!(verdict, Some(DoNotRun), "{} {waters}", item.id);
        }
    }
}

/// The decision table of the operator checks: class I and II of anything but fuel is operated with
/// and watched, class III is reported at once; fuel of any class is not operated with.
#[test]
fn the_leak_classes_lead_where_the_manuals_lead() {
    let classes = [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream];
    for item in Catalogue::built_in().items() {
        let Some((fluid, place)) = item.fluid.zip(item.place) else {
            continue;
        };
        let fuel = fluid == crate::checklist::Fluid::Fuel;
        for leak in classes {
            let Some(grade) = leak_grade(fluid, place, item.near_heat, leak) else {
                continue;
            };
            let seen = look(&item.id, grade).leak(leak);
            let verdict = Story::new()
                .daily(0.0, all_but([seen.clone()]))
                .verdict(0.1);
            let told = format!("{} {leak} {grade} ({ARMY})", item.id);
            if fuel {
                assert_eq!(verdict, Some(DoNotRun), "{told}");
                let run = Story::new().walk("leak-run", "main", 0.0, None, [seen]);
                assert_eq!(run.verdict(0.1), Some(NotSignedOff), "{told}");
            } else if leak >= Leak::Iii {
                assert!(grade >= Failing, "{told}");
                assert!(matches!(verdict, Some(DoNotRun | RunWithCare)), "{told}");
            }
        }
    }
}

#[test]
fn fuel_graded_early_by_hand_stops_all_the_same() {
    for leak in [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream] {
        let seen = look("fuel-bleed-and-return-unions", Early).leak(leak);
        let story = Story::new().daily(0.0, all_but([seen]));
        assert_eq!(story.verdict(0.1), Some(DoNotRun), "{leak}");
        let row = story
            .row(0.1, "fuel-bleed-and-return-unions")
            .expect("a row");
        assert!(row.stop && row.stop_rule.is_some_and(|r| r.contains("fuel comes out")));
    }
}

#[test]
fn fuel_graded_sound_with_a_leak_class_stops_too() {
    let seen = look("fuel-hoses", Sound).leak(Leak::I);
    let story = Story::new().daily(0.0, all_but([seen]));
    assert_eq!(story.verdict(0.1), Some(DoNotRun));
}
