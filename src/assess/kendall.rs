//! The Mann–Kendall test for a trend (Mann 1945, Kendall 1975): do later values tend to be larger
//! than earlier ones?

use super::normal::two_sided;
use crate::text::words;

/// Up to so many points without ties the chance is counted out; above, the normal approximation
/// serves (the practice of published tables, which end there).
const MOST_EXACT: usize = 10;

words! {
    /// How a chance was found.
    PMethod, "method of a chance" {
        /// Counted over all orders.
        Exact = "exact",
        /// By the normal approximation, with continuity and tie correction.
        Normal = "normal",
    }
}

/// The test of a series.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Kendall {
    /// How many points the test has seen.
    pub n: usize,
    /// Pairs that rise less pairs that fall.
    pub s: i64,
    /// Variance of S where there is no trend, corrected for ties in either direction.
    pub variance: f64,
    /// Pairs whose times differ.
    pub pairs_in_time: u64,
    /// Pairs whose values differ.
    pub pairs_in_value: u64,
    /// Standard score of S with the continuity correction; 0 where S is 0.
    pub z: f64,
    /// Two-sided chance of an S as far from zero where there is no trend.
    pub p: f64,
    /// How `p` was found.
    pub p_method: PMethod,
}

impl Kendall {
    /// The test of finite points `(time, value)` in any order; none for fewer than two. The work
    /// grows as n log n (Knight 1966, Journal of the American Statistical Association 61).
    pub fn of(points: &[(f64, f64)]) -> Option<Kendall> {
        let n = points.len();
        if n < 2 {
            return None;
        }
        // A negative zero becomes a plain one, so that equal means equal.
        let plain = |(x, y): &(f64, f64)| (x + 0.0, y + 0.0);
        let mut sorted: Vec<(f64, f64)> = points.iter().map(plain).collect();
        sorted.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let in_time = Ties::of(&sorted, |a, b| a.0 == b.0);
        let in_both = Ties::of(&sorted, |a, b| a == b);
        // Points of one time stand by value, so that they never count as falling.
        let mut values: Vec<f64> = sorted.iter().map(|p| p.1).collect();
        let falling = inversions(&mut values);
        let in_value = Ties::of(&values, |a, b| a == b);
        let all = pairs(n as u64);
        let unequal = all + in_both.pairs - in_time.pairs - in_value.pairs;
        let s = unequal as i64 - 2 * falling as i64;
        let variance = variance(n as f64, &in_time, &in_value);
        let z = if s == 0 || variance <= 0.0 {
            0.0
        } else {
            (s - s.signum()) as f64 / variance.sqrt()
        };
        let exact = n <= MOST_EXACT && in_time.pairs == 0 && in_value.pairs == 0;
        let (p, p_method) = if exact {
            (exact_two_sided(n, s), PMethod::Exact)
        } else {
            (two_sided(z), PMethod::Normal)
        };
        Some(Kendall {
            n,
            s,
            variance,
            pairs_in_time: all - in_time.pairs,
            pairs_in_value: all - in_value.pairs,
            z,
            p,
            p_method,
        })
    }

    /// Kendall's tau-b, corrected for ties; none where all times or all values are one.
    pub fn tau_b(&self) -> Option<f64> {
        let product = self.pairs_in_time as f64 * self.pairs_in_value as f64;
        (product > 0.0).then(|| self.s as f64 / product.sqrt())
    }

    /// Kendall's tau-a, S over all pairs, as some published examples give it.
    pub fn tau_a(&self) -> f64 {
        self.s as f64 / pairs(self.n as u64) as f64
    }
}

/// Chance of an S of at least `s`, one-sided, where every order of `n` unlike values is equally
/// likely: by the recurrence over the number of falling pairs. `n` is at most 20.
pub fn exact_one_sided(n: usize, s: i64) -> f64 {
    let mut orders = vec![1_u64];
    for k in 2..=n {
        let mut next = vec![0; orders.len() + k - 1];
        for (falling, count) in orders.iter().enumerate() {
            for more in 0..k {
                next[falling + more] += count;
            }
        }
        orders = next;
    }
    let most = orders.len() as i64 - 1;
    let at_least = orders.iter().enumerate();
    let at_least = at_least.filter(|(falling, _)| most - 2 * *falling as i64 >= s);
    let favourable: u64 = at_least.map(|(_, count)| count).sum();
    favourable as f64 / orders.iter().sum::<u64>() as f64
}

fn exact_two_sided(n: usize, s: i64) -> f64 {
    (2.0 * exact_one_sided(n, s.abs())).min(1.0)
}

const fn pairs(n: u64) -> u64 {
    n * n.saturating_sub(1) / 2
}

/// Groups of equal things among sorted ones.
struct Ties {
    /// Pairs of equal values: the sum of t(t-1)/2 over groups of t ties.
    pairs: u64,
    /// Sum of t(t-1)(t-2) over groups of t ties, for the variance where both sides have ties.
    triples: f64,
    /// Sum of t(t-1)(2t+5) over groups of t ties, which the variance of S is less by.
    variance: f64,
}

impl Ties {
    fn of<T>(sorted: &[T], equal: impl Fn(&T, &T) -> bool) -> Ties {
        let mut ties = Ties {
            pairs: 0,
            triples: 0.0,
            variance: 0.0,
        };
        for group in sorted.chunk_by(equal) {
            let t = group.len() as f64;
            ties.pairs += pairs(group.len() as u64);
            ties.triples += t * (t - 1.0) * (t - 2.0);
            ties.variance += t * (t - 1.0) * (2.0 * t + 5.0);
        }
        ties
    }
}

/// Variance of S (Kendall 1975, with ties in both directions); for ties in one direction alone it
/// is `[n(n-1)(2n+5) - sum of t(t-1)(2t+5)] / 18`.
fn variance(n: f64, in_time: &Ties, in_value: &Ties) -> f64 {
    let whole = n * (n - 1.0) * (2.0 * n + 5.0);
    let mut variance = (whole - in_time.variance - in_value.variance) / 18.0;
    if n > 2.0 {
        variance += in_time.triples * in_value.triples / (9.0 * n * (n - 1.0) * (n - 2.0));
    }
    variance += 2.0 * in_time.pairs as f64 * in_value.pairs as f64 / (n * (n - 1.0));
    variance.max(0.0)
}

/// Pairs in falling order; sorts the values.
fn inversions(values: &mut [f64]) -> u64 {
    let mut spare = values.to_vec();
    let mut count = 0;
    let mut width = 1;
    while width < values.len() {
        for (from, to) in values.chunks(2 * width).zip(spare.chunks_mut(2 * width)) {
            let (left, right) = from.split_at(width.min(from.len()));
            let (mut l, mut r) = (0, 0);
            for place in to {
                if l < left.len() && (r == right.len() || left[l] <= right[r]) {
                    *place = left[l];
                    l += 1;
                } else {
                    *place = right[r];
                    r += 1;
                    count += (left.len() - l) as u64;
                }
            }
        }
        values.copy_from_slice(&spare);
        width *= 2;
    }
    count
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn too_little_or_all_alike_says_nothing() {
        assert_eq!(Kendall::of(&[]), None);
        assert_eq!(Kendall::of(&[(1.0, 2.0)]), None);
        let at_once = Kendall::of(&[(1.0, 2.0), (1.0, 5.0), (1.0, 3.0)]).expect("points");
        let alike = Kendall::of(&[(1.0, 2.0), (2.0, 2.0), (3.0, 2.0)]).expect("points");
        let one = Kendall::of(&[(1.0, 2.0); 4]).expect("points");
        for kendall in [at_once, alike, one] {
            assert_eq!((kendall.s, kendall.variance), (0, 0.0));
            assert_eq!((kendall.z, kendall.p, kendall.tau_b()), (0.0, 1.0, None));
        }
    }

    #[test]
    fn four_readings_can_never_call_a_trend() {
        let rising = [(1.0, 1.0), (2.0, 2.0), (3.0, 3.0), (4.0, 4.0)];
        let kendall = Kendall::of(&rising).expect("points");
        assert_eq!(
            (kendall.s, kendall.tau_b(), kendall.tau_a()),
            (6, Some(1.0), 1.0)
        );
        assert!((kendall.p - 1.0 / 12.0).abs() < 1e-15);
    }
}
