//! Round figures for an axis.

/// Round figures from `from` to `to`, about `wanted` of them.
pub fn round_ticks(from: f64, to: f64, wanted: usize) -> Vec<f64> {
    let rough = (to - from) / wanted.max(1) as f64;
    if !(rough.is_finite() && rough > 0.0) {
        return vec![from];
    }
    let power = 10_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|m| m * power)
        .find(|s| *s >= rough)
        .unwrap_or(rough);
    let first = (from / step).ceil();
    (0..=wanted * 2)
        .map(|n| (first + n as f64) * step)
        .take_while(|x| *x <= to + step * 1e-9)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round() {
        assert_eq!(round_ticks(0.0, 10.0, 5), [0.0, 2.0, 4.0, 6.0, 8.0, 10.0]);
        assert_eq!(round_ticks(1003.0, 1240.0, 3), [1100.0, 1200.0]);
        assert_eq!(round_ticks(7.0, 7.0, 3), [7.0]);
    }
}
