//! Leak rates against a table of the usual convention of 20 drops to the millilitre, worked by hand.

use handlamp::assess::leak_rate::{
    DROPS_PER_ML, drop_leak, flow, hours_to_low_mark, litres_per_day, millilitres_per_hour,
    use_per_100_hours,
};

/// Drops per minute, mL per hour, mL per day. Convention: 20 drops make 1 mL (0.05 mL each); the
/// rows are worked by hand from it: 1 a minute, 2 and 3 a minute, one every 10 s, 10 a minute, one
/// a second.
const TABLE: [(f64, f64, f64); 6] = [
    (1.0, 3.0, 72.0),
    (2.0, 6.0, 144.0),
    (3.0, 9.0, 216.0),
    (6.0, 18.0, 432.0),
    (10.0, 30.0, 720.0),
    (60.0, 180.0, 4320.0),
];

#[test]
fn the_table_of_drops() {
    for (drops, per_hour, per_day) in TABLE {
        let rate = millilitres_per_hour(drops, DROPS_PER_ML);
        assert_eq!(rate, per_hour, "{drops}");
        assert_eq!(drop_leak(drops).nominal, per_hour, "{drops}");
        let litres = litres_per_day(rate);
        assert!(
            (litres * 1000.0 - per_day).abs() < 1e-9,
            "{drops}: {litres}"
        );
    }
}

/// The published spread of drops to the millilitre begins at 10 and goes beyond 50; 40 is shown as
/// its far end. Half as many to the millilitre is twice the leak.
#[test]
fn the_range_of_drops() {
    for (drops, per_hour, _) in TABLE {
        let leak = drop_leak(drops);
        assert_eq!(leak.high, per_hour * 2.0);
        assert_eq!(leak.low, per_hour / 2.0);
    }
}

/// By hand: 1.5 L between the marks at 30 mL/h are 50 h; 10 L in 40 s are 15 L/min; 0.6 L added
/// over 40 h are 1.5 L per 100 h.
#[test]
fn marks_buckets_and_use() {
    assert_eq!(hours_to_low_mark(1.5, 30.0), Some(50.0));
    assert_eq!(flow(10.0, 40.0), Some(900.0));
    assert_eq!(use_per_100_hours(0.6, 40.0), Some(1.5));
}
