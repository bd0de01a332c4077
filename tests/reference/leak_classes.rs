//! Which rung a leak class means, fluid by place.
//!
//! Classes: US Army operator checks, TM 5-2010-205-14 p 4-4 and TM 9-2330-373-14&P p 4-5 (I: wet
//! or discoloured, no drop; II: drops that do not fall; III: drops that fall). Class I and II may be
//! operated with, fluid level watched; class III is reported at once; fuel is excepted, no class of
//! it is operated with (TM 10-4930-229-12&P p 2-7). Rungs on a boat and the class *stream*: common
//! practice, no single source.

use handlamp::checklist::{Fluid, Grade, Leak, Place, leak_grade};

use Fluid::{Coolant, ExhaustGas, Fuel, GearOil, Oil, RawWater};
use Grade::{Early, Failed, Failing, Sound, Worn};
use Place::{AboveWaterline, BelowWaterline, Gland, Rotating, Static};

/// The rungs of classes I, II, III and stream, away from heat.
const RUNGS: &[(Fluid, &[Place], [Grade; 4])] = &[
    (
        Fuel,
        &[Static, Rotating, AboveWaterline, BelowWaterline],
        [Failing, Failed, Failed, Failed],
    ),
    (
        ExhaustGas,
        &[Static, Rotating, AboveWaterline, BelowWaterline],
        [Failing, Failing, Failing, Failed],
    ),
    (Oil, &[Static, Rotating], [Early, Worn, Failing, Failed]),
    (GearOil, &[Static, Rotating], [Early, Worn, Failing, Failed]),
    (
        Coolant,
        &[Static, Rotating, AboveWaterline, BelowWaterline],
        [Early, Worn, Failing, Failed],
    ),
    (RawWater, &[BelowWaterline], [Worn, Failing, Failed, Failed]),
    (
        RawWater,
        &[Static, Rotating, AboveWaterline],
        [Early, Worn, Failing, Failed],
    ),
];

const CLASSES: [Leak; 4] = [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream];

fn stated(fluid: Fluid, place: Place) -> Option<[Grade; 4]> {
    let row =
        |(f, places, _): &&(Fluid, &[Place], [Grade; 4])| *f == fluid && places.contains(&place);
    RUNGS.iter().find(row).map(|(.., rungs)| *rungs)
}

fn pairs() -> impl Iterator<Item = (Fluid, Place)> {
    let places = |fluid: Fluid| Place::ALL.iter().map(move |place| (fluid, *place));
    Fluid::ALL.iter().copied().flat_map(places)
}

#[test]
fn every_class_of_every_fluid_at_every_place_means_its_rung() {
    for (fluid, place) in pairs() {
        let rungs = stated(fluid, place);
        assert_eq!(
            leak_grade(fluid, place, false, Leak::None),
            rungs.map(|_| Sound)
        );
        for (n, class) in CLASSES.into_iter().enumerate() {
            let expected = rungs.map(|r| r[n]);
            let found = leak_grade(fluid, place, false, class);
            assert_eq!(found, expected, "{fluid} {place} {class}");
        }
    }
}

#[test]
fn heat_makes_oil_one_rung_worse_and_nothing_else() {
    for (fluid, place) in pairs() {
        for class in CLASSES {
            let (cold, hot) = (
                leak_grade(fluid, place, false, class),
                leak_grade(fluid, place, true, class),
            );
            let oil = matches!(fluid, Oil | GearOil);
            assert_eq!(hot, if oil { cold.map(Grade::worse) } else { cold });
        }
    }
}

/// TM 10-4930-229-12&P p 2-7: class I and II of any fluid but fuel may be operated with.
#[test]
fn no_class_of_fuel_is_better_than_failing() {
    for class in CLASSES {
        for place in [Static, Rotating, AboveWaterline, BelowWaterline] {
            assert!(leak_grade(Fuel, place, false, class) >= Some(Failing));
        }
    }
}

/// TM 5-2010-205-14 p 4-4: class III is reported at once, so it is never a thing to watch.
#[test]
fn class_three_is_at_least_failing_everywhere() {
    for (fluid, place) in pairs().filter(|p| stated(p.0, p.1).is_some()) {
        assert!(leak_grade(fluid, place, false, Leak::Iii) >= Some(Failing));
        assert_eq!(leak_grade(fluid, place, false, Leak::Stream), Some(Failed));
    }
}

/// A packed gland is meant to drip while the shaft turns: drops per minute judge it, not classes.
#[test]
fn a_packed_gland_has_no_class() {
    for class in CLASSES {
        assert_eq!(leak_grade(RawWater, Gland, false, class), None);
    }
}
