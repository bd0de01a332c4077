//! Scales: limits in the unit shown, decimals, small bars between limits.

use crate::boat::Unit;
use crate::checklist::Band;
use crate::defects::limits::{Limit, Limits};
use crate::paint::theme::Theme;

/// The last values as small bars of eight heights, scaled from `low` to `high`; beyond these they
/// are as low or as high as bars go. Figures have to stand beside it.
pub fn sparkline(values: &[f64], (low, high): (f64, f64), theme: &Theme) -> String {
    const BARS: [&str; 8] = ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];
    const PLAIN: [&str; 8] = ["_", "_", ".", ".", "-", "-", "^", "^"];
    let bar = |value: &f64| {
        let share = if high > low {
            (value - low) / (high - low)
        } else {
            0.5
        };
        let step = ((share * 8.0).floor().max(0.0) as usize).min(7);
        theme.glyphs.pick(BARS[step], PLAIN[step])
    };
    values.iter().map(bar).collect()
}

/// Ranges of one unit in another.
pub fn bands_in(limits: &Limits, from: Unit, to: Unit) -> Vec<Band> {
    let shown = |end: Option<f64>| end.and_then(|end| from.convert(end, to));
    let band = |limit: &Limit| Band {
        grade: limit.rung,
        from: shown(limit.from),
        to: shown(limit.to),
    };
    limits.bands.iter().map(band).collect()
}

/// What small bars are scaled between: the outermost limits, or the values where they go beyond.
/// Where there are no limits, a tenth of the value on either side at least, so that small strays do
/// not look like falls.
pub fn reach(bands: &[Band], values: &[f64]) -> (f64, f64) {
    let ends = bands.iter().flat_map(|b| [b.from, b.to]).flatten();
    let all: Vec<f64> = ends.chain(values.iter().copied()).collect();
    let low = all.iter().copied().fold(f64::INFINITY, f64::min);
    let high = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let about = if bands.is_empty() {
        (low.abs().max(high.abs())) / 10.0
    } else {
        0.0
    };
    (low - about, high + about)
}

/// Decimals a figure is written with, three at most.
pub fn decimals_of(value: f64) -> usize {
    let exact = |digits: &usize| {
        let scale = 10_f64.powi(*digits as i32);
        ((value * scale).round() / scale - value).abs() < 1e-9
    };
    (0..3).find(exact).unwrap_or(3)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::Grade;
    use crate::paint::theme::tests::{ASCII, PLAIN};

    #[test]
    fn small_bars_stand_between_the_limits() {
        assert_eq!(
            sparkline(&[0.0, 5.0, 10.0, 99.0], (0.0, 10.0), &PLAIN),
            "▁▅██"
        );
        assert_eq!(sparkline(&[3.0, 3.0], (3.0, 3.0), &PLAIN), "▅▅");
        assert_eq!(sparkline(&[-9.0, 9.0], (0.0, 8.0), &ASCII), "_^");
    }

    #[test]
    fn bars_reach_from_limit_to_limit() {
        let band = Band {
            grade: Grade::Sound,
            from: Some(10.0),
            to: Some(20.0),
        };
        assert_eq!(reach(std::slice::from_ref(&band), &[12.0]), (10.0, 20.0));
        assert_eq!(reach(&[band], &[5.0, 12.0]), (5.0, 20.0));
        assert_eq!(reach(&[], &[100.0, 100.0]), (90.0, 110.0));
    }

    #[test]
    fn limits_are_shown_in_the_unit_of_the_person() {
        let limits = Limits {
            bands: vec![Limit {
                rung: Grade::Sound,
                from: Some(0.0),
                to: Some(100.0),
            }],
            ..Limits::default()
        };
        let bands = bands_in(&limits, Unit::Celsius, Unit::Fahrenheit);
        let (from, to) = (bands[0].from, bands[0].to);
        assert!(from.is_some_and(|f| (f - 32.0).abs() < 1e-9));
        assert!(to.is_some_and(|t| (t - 212.0).abs() < 1e-9));
    }
}
