//! Fuel: against figures worked by hand and printed ones.

use handlamp::passage::fuel::{Ahead, Burnt, of_power};
use proptest::prelude::*;

fn near(a: f64, b: f64, within: f64) {
    assert!((a - b).abs() <= within, "{a} is not {b}");
}

const PASSAGE: Ahead = Ahead {
    hours: 60.0,
    rate: 2.5,
    aboard: 220.0,
    unusable: 20.0,
    against: 1.0,
};

/// Worked by hand: 60 h at 2.5 L/h are 150 L; a tenth more and 20 L not counted on make 185 L; half
/// as much again and 20 L make 245 L; 200 L last 80 h, 20 h more than are ahead.
#[test]
fn both_rules_as_worked_by_hand() {
    let reach = PASSAGE.reach().expect("it can be");
    near(reach.point_to_point.litres, 185.0, 1e-9);
    near(reach.point_to_point.over, 35.0, 1e-9);
    near(reach.point_to_point.kept_hours, 6.0, 1e-9);
    near(reach.thirds.litres, 245.0, 1e-9);
    near(reach.thirds.over, -25.0, 1e-9);
    near(reach.thirds.kept_hours, 30.0, 1e-9);
    near(reach.lasts, 80.0, 1e-9);
    near(reach.reserve, 20.0, 1e-9);
    near(reach.larger().litres, 245.0, 1e-9);
}

/// A third out, a third back, a third kept (as boating courses teach it): of what can be counted on a
/// third is left when both ways are run.
#[test]
fn thirds_leave_a_third() {
    let reach = PASSAGE.reach().expect("it can be");
    let counted_on = reach.thirds.litres - PASSAGE.unusable;
    let left = counted_on - PASSAGE.hours * PASSAGE.rate;
    near(left / counted_on, 1.0 / 3.0, 1e-12);
}

/// 231 and 268 g/kWh (a club's table of naturally aspirated engines; a small engine's handbook) at
/// 0.84 kg/L are 0.275 and 0.319 L/kWh; at 80 % of the speed a propeller takes 51 % of the power.
#[test]
fn litres_from_power_as_printed() {
    let [least, most] = of_power(1.0, 1.0);
    near(least, 0.275, 0.0005);
    near(most, 0.319, 0.0005);
    near(of_power(30.0, 0.8)[1] / of_power(30.0, 1.0)[1], 0.512, 1e-9);
}

#[test]
fn stretches_add_up_and_what_cannot_be_is_left_out() {
    let mut burnt = Burnt::default();
    assert_eq!(burnt.rate(), None);
    burnt.add(3.0, 1.0);
    burnt.add(5.0, 3.0);
    burnt.add(-1.0, 1.0);
    burnt.add(2.0, 0.0);
    burnt.add(f64::NAN, 1.0);
    assert_eq!((burnt.stretches, burnt.left_out), (2, 3));
    assert_eq!(burnt.rate(), Some(2.0));
}

#[test]
fn figures_that_cannot_be_give_nothing() {
    for wrong in [
        Ahead {
            rate: 0.0,
            ..PASSAGE
        },
        Ahead {
            rate: f64::NAN,
            ..PASSAGE
        },
        Ahead {
            hours: -1.0,
            ..PASSAGE
        },
        Ahead {
            aboard: f64::INFINITY,
            ..PASSAGE
        },
    ] {
        assert_eq!(wrong.reach(), None, "{wrong:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    /// More hours, a larger rate, a harder sea, less aboard or less that counts: never better.
    #[test]
    fn worse_is_never_better(
        hours in 0.0..500.0, rate in 0.1..50.0, aboard in 0.0..2000.0, unusable in 0.0..200.0,
        against in 1.0..2.0, more in 0.0..10.0_f64,
    ) {
        let ahead = Ahead { hours, rate, aboard, unusable, against };
        let as_it_is = ahead.reach().expect("it can be");
        for worse in [
            Ahead { hours: hours + more, ..ahead },
            Ahead { rate: rate + more, ..ahead },
            Ahead { against: against + more, ..ahead },
            Ahead { aboard: (aboard - more).max(0.0), ..ahead },
            Ahead { unusable: unusable + more, ..ahead },
        ] {
            let then = worse.reach().expect("it can be");
            prop_assert!(then.larger().over <= as_it_is.larger().over + 1e-9);
            prop_assert!(then.point_to_point.over <= as_it_is.point_to_point.over + 1e-9);
            prop_assert!(then.reserve <= as_it_is.reserve + 1e-9);
        }
        prop_assert!(as_it_is.larger().litres >= as_it_is.point_to_point.litres);
    }

    /// The fuel lasts the hours ahead exactly where some of it is left or none.
    #[test]
    fn reserve_is_told_as_hours(
        hours in 0.0..500.0, rate in 0.1..50.0, aboard in 0.0..2000.0,
    ) {
        let reach = Ahead { hours, rate, aboard, unusable: 0.0, against: 1.0 }.reach().expect("it can be");
        prop_assert!(((hours + reach.reserve) * rate - aboard).abs() < 1e-6);
    }
}
