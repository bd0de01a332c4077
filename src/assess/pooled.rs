//! What several boats teach together about one rate, and how much they differ in it.
//!
//! Each boat has a rate of her own, drawn from a gamma distribution; the moves seen on her in so many
//! wear hours are Poisson. Over the rates the moves of a boat are negative binomial, and the gamma
//! distribution is the one under which what was seen is likeliest (empirical Bayes; Gaver and
//! O'Muircheartaigh 1987, Clayton and Kaldor 1987). Each boat's own estimate then lies between hers and
//! that of all, the nearer to hers the more was seen of her.

use super::learning::LeavingRate;

/// Moves seen on one boat, and the wear hours in which they were.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Exposed {
    /// Moves down from the rung.
    pub moves: u32,
    /// Wear hours spent on it, above zero.
    pub time: f64,
}

/// What several boats say of one rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The mean of the rates, per wear hour.
    pub mean: f64,
    /// Shape of the gamma distribution of the rates: the smaller, the more boats differ. None where
    /// they differ by no more than chance: the shape is then without bound, and one rate holds for all.
    pub shape: Option<f64>,
    /// The shape by the method of moments, from which the search sets out; none where the moments show
    /// no difference.
    pub moments: Option<f64>,
}

/// Between these the shape is looked for: beyond the upper one no difference could be told by any
/// records, at the lower one nearly all boats are without a move.
const SHAPES: [f64; 2] = [1e-3, 1e7];
/// Steps of the logarithm of the shape at which it is first looked.
const STEP: f64 = 0.25;
/// What a finite shape has to make likelier, in logarithms, to be told from one without bound.
const LIKELIER: f64 = 1e-7;
/// After so many halvings nothing is left of an interval.
const HALVINGS: u32 = 200;

impl Fit {
    /// From what was seen on each boat; none where nothing was watched, or no move was seen: then no
    /// rate can be told, only that it is small. Boats on which nothing was watched say nothing.
    pub fn of(boats: &[Exposed]) -> Option<Fit> {
        let watched = |b: &&Exposed| b.time.is_finite() && b.time > 0.0;
        let boats: Vec<Exposed> = boats.iter().filter(watched).copied().collect();
        let (moves, time) = sums(&boats);
        if moves <= 0.0 || time <= 0.0 {
            return None;
        }
        let moments = by_moments(&boats);
        let alike = Fit {
            mean: moves / time,
            shape: None,
            moments,
        };
        let at = |log_shape: f64| likelihood(&boats, log_shape.exp());
        let [low, high] = SHAPES.map(f64::ln);
        let steps = ((high - low) / STEP).ceil() as u32;
        let grid = (0..=steps).map(|n| (low + STEP * f64::from(n)).min(high));
        let first = moments.map(|shape| shape.ln().clamp(low, high));
        let best = grid.chain(first).max_by(|a, b| at(*a).total_cmp(&at(*b)))?;
        let log_shape = highest(at, (best - STEP).max(low), (best + STEP).min(high));
        let limit = poisson(&boats, moves / time);
        if at(log_shape) - limit <= LIKELIER {
            return Some(alike);
        }
        let shape = log_shape.exp();
        Some(Fit {
            mean: mean_given(&boats, shape),
            shape: Some(shape),
            moments,
        })
    }

    /// What is known of the rate of a boat of which nothing was seen; none where all boats have one.
    pub fn of_any_boat(&self) -> Option<LeavingRate> {
        let shape = self.shape?;
        Some(LeavingRate {
            shape,
            time: shape / self.mean,
        })
    }

    /// The rate of a boat after what was seen on her, per wear hour: between her own and that of all.
    pub fn rate_of(&self, boat: Exposed) -> f64 {
        match self.of_any_boat() {
            Some(any) => any.after(boat.moves, boat.time).mean(),
            None => self.mean,
        }
    }
}

fn sums(boats: &[Exposed]) -> (f64, f64) {
    let moves = boats.iter().map(|b| f64::from(b.moves)).sum();
    (moves, boats.iter().map(|b| b.time).sum())
}

/// The shape by moments: the spread of the rates about that of all, weighed by wear hours, less what
/// chance alone gives (Marshall 1991).
fn by_moments(boats: &[Exposed]) -> Option<f64> {
    let (moves, time) = sums(boats);
    let mean = moves / time;
    let spread: f64 = boats
        .iter()
        .map(|b| b.time * (f64::from(b.moves) / b.time - mean).powi(2))
        .sum();
    let squares: f64 = boats.iter().map(|b| b.time * b.time).sum();
    let by_chance = mean * (boats.len() as f64 - 1.0);
    let between = (spread - by_chance) / (time - squares / time);
    (between.is_finite() && between > 0.0).then(|| mean * mean / between)
}

/// The logarithm of how likely what was seen is at a shape, with the mean that suits it best; what
/// depends on neither is left out.
fn likelihood(boats: &[Exposed], shape: f64) -> f64 {
    let mean = mean_given(boats, shape);
    let of = |b: &Exposed| {
        let expected = mean * b.time;
        // (shape + k) / (shape + expected) stays near 1 where the shape is large.
        let each = (0..b.moves).map(|k| ((f64::from(k) - expected) / (shape + expected)).ln_1p());
        let moved = f64::from(b.moves) * expected.ln() + each.sum::<f64>();
        moved - shape * (expected / shape).ln_1p()
    };
    boats.iter().map(of).sum()
}

/// The same where all boats have one rate, to which it comes as the shape grows.
fn poisson(boats: &[Exposed], mean: f64) -> f64 {
    let of = |b: &Exposed| f64::from(b.moves) * (mean * b.time).ln() - mean * b.time;
    boats.iter().map(of).sum()
}

/// The mean that suits a shape best. What is summed falls as the mean grows, so there is one.
fn mean_given(boats: &[Exposed], shape: f64) -> f64 {
    let rates = boats.iter().map(|b| f64::from(b.moves) / b.time);
    let (mut low, mut high) = rates.fold((f64::INFINITY, 0.0_f64), |(low, high), rate| {
        (low.min(rate), high.max(rate))
    });
    let rises = |mean: f64| {
        let of = |b: &Exposed| (f64::from(b.moves) - mean * b.time) / (shape + mean * b.time);
        boats.iter().map(of).sum::<f64>() > 0.0
    };
    for _ in 0..HALVINGS {
        let middle = low + (high - low) / 2.0;
        if middle <= low || middle >= high {
            break;
        }
        if rises(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low + (high - low) / 2.0
}

/// Where a function with one hill between two points is highest, by golden section.
fn highest(of: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let share = (5.0_f64.sqrt() - 1.0) / 2.0;
    let inner = |low: f64, high: f64| [high - share * (high - low), low + share * (high - low)];
    let mut at = inner(low, high);
    let mut value = at.map(&of);
    for _ in 0..HALVINGS {
        if high - low <= 1e-10 {
            break;
        }
        if value[0] < value[1] {
            low = at[0];
        } else {
            high = at[1];
        }
        at = inner(low, high);
        value = at.map(&of);
    }
    low + (high - low) / 2.0
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn boats(seen: &[(u32, f64)]) -> Vec<Exposed> {
        let of = |(moves, time): &(u32, f64)| Exposed {
            moves: *moves,
            time: *time,
        };
        seen.iter().map(of).collect()
    }

    #[test]
    fn without_a_move_no_rate_is_told() {
        assert_eq!(Fit::of(&[]), None);
        assert_eq!(Fit::of(&boats(&[(0, 900.0), (0, 20.0)])), None);
        assert_eq!(Fit::of(&boats(&[(3, 0.0), (0, f64::NAN)])), None);
    }

    #[test]
    fn one_boat_and_boats_alike_have_one_rate() {
        for seen in [
            vec![(4, 800.0)],
            vec![(4, 800.0), (2, 400.0), (1, 200.0)],
            vec![(1, 100.0), (0, 10.0), (0, 10.0)],
        ] {
            let seen = boats(&seen);
            let fit = Fit::of(&seen).expect("moves were seen");
            let (moves, time) = sums(&seen);
            assert_eq!(fit.shape, None, "{fit:?}");
            assert!((fit.mean / (moves / time) - 1.0).abs() < 1e-12);
            assert_eq!(fit.of_any_boat(), None);
            assert_eq!(fit.rate_of(seen[0]), fit.mean);
        }
    }

    proptest! {
        #[test]
        fn a_boat_lies_between_herself_and_all(
            seen in prop::collection::vec((0u32..40, 1.0f64..5e3), 2..15),
        ) {
            let seen = boats(&seen);
            if let Some(fit) = Fit::of(&seen) {
                prop_assert!(fit.mean.is_finite() && fit.mean > 0.0);
                prop_assert!(fit.shape.is_none_or(|s| s > 0.0 && s.is_finite()));
                for boat in &seen {
                    let own = f64::from(boat.moves) / boat.time;
                    let rate = fit.rate_of(*boat);
                    let slack = 1e-9 * fit.mean;
                    if fit.shape.is_some() {
                        prop_assert!(rate >= own.min(fit.mean) - slack);
                        prop_assert!(rate <= own.max(fit.mean) + slack);
                    }
                }
            }
        }

        #[test]
        fn another_unit_of_time_changes_nothing_else(
            seen in prop::collection::vec((0u32..30, 1.0f64..5e3), 3..10), unit in 0.01f64..100.0,
        ) {
            let first = Fit::of(&boats(&seen));
            let other: Vec<_> = seen.iter().map(|(n, t)| (*n, t * unit)).collect();
            let other = Fit::of(&boats(&other));
            prop_assert_eq!(first.is_some(), other.is_some());
            if let (Some(first), Some(other)) = (first, other) {
                prop_assert!((first.mean / (other.mean * unit) - 1.0).abs() < 1e-4);
                if let (Some(a), Some(b)) = (first.shape, other.shape) {
                    // Where it is nearly flat the top cannot be told more closely.
                    prop_assert!(a > 1e3 || (a / b - 1.0).abs() < 1e-3, "{} {}", a, b);
                }
            }
        }
    }
}
