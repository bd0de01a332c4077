//! Theil–Sen slopes of published examples.

use handlamp::assess::slope::theil_sen;

fn points(times: &[f64], values: &[f64]) -> Vec<(f64, f64)> {
    times.iter().copied().zip(values.iter().copied()).collect()
}

/// Sen (1968), J. Am. Stat. Assoc. 63: slope 4.
#[test]
fn the_example_of_sen() {
    let x = [1.0, 2.0, 3.0, 4.0, 10.0, 12.0, 18.0];
    let y = [9.0, 15.0, 19.0, 20.0, 45.0, 55.0, 78.0];
    assert_eq!(theil_sen(&points(&x, &y)), Some(4.0));
}

/// EPA 530/R-09-007 (2009), Example 17-6, sulfate: slope 26.6666667.
#[test]
fn the_sulfate_example_of_the_epa() {
    let t = [
        89.6, 89.8, 90.1, 90.3, 90.6, 90.8, 91.1, 91.3, 91.6, 91.8, 92.1, 92.6, 93.1, 93.6, 94.1,
        94.6, 95.1, 95.6, 95.8, 96.1, 96.3, 96.6, 96.8,
    ];
    let y = [
        480.0, 450.0, 490.0, 520.0, 485.0, 510.0, 510.0, 530.0, 510.0, 560.0, 560.0, 540.0, 590.0,
        550.0, 600.0, 700.0, 570.0, 610.0, 650.0, 620.0, 830.0, 720.0, 590.0,
    ];
    let slope = theil_sen(&points(&t, &y)).expect("times differ");
    assert!((slope - 26.6666667).abs() < 1e-6, "{slope}");
}

/// Helsel and Hirsch, Appendix C2, Conecuh River annual flow 1941 to 1960: slope -8.875.
#[test]
fn the_conecuh_river() {
    let years: Vec<_> = (1941..=1960).map(f64::from).collect();
    let flow = [
        369.0, 683.0, 923.0, 1193.0, 413.0, 1025.0, 894.0, 859.0, 1157.0, 524.0, 327.0, 574.0,
        762.0, 578.0, 379.0, 374.0, 581.0, 581.0, 530.0, 929.0,
    ];
    assert_eq!(theil_sen(&points(&years, &flow)), Some(-8.875));
}
