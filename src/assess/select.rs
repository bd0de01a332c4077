//! The k-th smallest of the slopes between all pairs of points, without writing them all down, by
//! counting inversions (Matoušek 1991, Information Processing Letters 39; Dillencourt, Mount and
//! Netanyahu 1992). A slope lies below `b` exactly where the later point of the pair has the
//! smaller `y - b x`, so the slopes below `b` are the falling pairs of that sequence.

use super::double::Double;

/// Times the points, so many slopes between two bounds are written down and sorted.
const WRITTEN_DOWN: u64 = 6;
/// How far from the guess the bounds are set, in standard deviations of the draw.
const SAFETY: f64 = 3.0;
/// A slope nearer to zero than this counts as zero where many are equal.
const TINY: f64 = 1e-250;
/// Bounds this close, relatively, hold one slope: each is rounded three times.
const CLOSE: f64 = 16.0 * f64::EPSILON;

/// Points ready for selection. The same points give the same answer: the draws are seeded.
#[derive(Debug)]
pub(super) struct Slopes {
    /// By x, then y.
    points: Vec<(f64, f64)>,
    /// Pairs whose x differ.
    pairs: u64,
}

/// A bound and how many slopes lie below it.
#[derive(Clone, Copy, Debug)]
struct Bound {
    at: f64,
    below: u64,
}

/// A point's place in a sequence.
#[derive(Clone, Copy, Debug)]
struct Key {
    residual: Double,
    point: u32,
}

impl Slopes {
    /// From finite points in any order, at most some thousand million of them.
    pub(super) fn of(points: &[(f64, f64)]) -> Slopes {
        // A negative zero becomes a plain one, so that equal means equal.
        let plain = |(x, y): &(f64, f64)| (x + 0.0, y + 0.0);
        let mut points: Vec<(f64, f64)> = points.iter().map(plain).collect();
        points.sort_unstable_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
        let n = points.len() as u64;
        let tied = points.chunk_by(|a, b| a.0 == b.0);
        let tied: u64 = tied
            .map(|g| g.len() as u64 * (g.len() as u64 - 1) / 2)
            .sum();
        Slopes {
            points,
            pairs: n * n.saturating_sub(1) / 2 - tied,
        }
    }

    /// Pairs whose x differ.
    pub(super) fn pairs(&self) -> u64 {
        self.pairs
    }

    /// The slopes of rank `rank` and `rank + 1`, counted from zero; the last one twice where there
    /// is no next. `rank` is below [`Slopes::pairs`].
    pub(super) fn two_at(&self, rank: u64) -> (f64, f64) {
        let (slope, next) = self.at(rank);
        let last = rank + 1 >= self.pairs;
        let next = if last { Some(slope) } else { next };
        (slope, next.unwrap_or_else(|| self.at(rank + 1).0))
    }

    /// The slope of a rank, and the next one where it came to light.
    fn at(&self, rank: u64) -> (f64, Option<f64>) {
        let mut rng = fastrand::Rng::with_seed(self.pairs);
        let mut low = Bound {
            at: f64::NEG_INFINITY,
            below: 0,
        };
        let mut high = Bound {
            at: f64::INFINITY,
            below: self.pairs,
        };
        let n = self.points.len() as u64;
        loop {
            let between = high.below - low.below;
            if between <= WRITTEN_DOWN * n {
                let all: Vec<u64> = (0..between).collect();
                let mut found = self.draw(&self.order(low.at), high.at, &all);
                let place = (rank - low.below) as usize;
                let (_, slope, after) = found.select_nth_unstable_by(place, f64::total_cmp);
                return (*slope, after.iter().copied().min_by(f64::total_cmp));
            }
            let mut drawn = if between == self.pairs && between > n * n / 4 {
                self.draw_any(&mut rng)
            } else {
                let mut ordinals: Vec<u64> = (0..n).map(|_| rng.u64(0..between)).collect();
                ordinals.sort_unstable();
                self.draw(&self.order(low.at), high.at, &ordinals)
            };
            drawn.sort_unstable_by(f64::total_cmp);
            let share = (rank - low.below) as f64 / between as f64;
            let middle = share * drawn.len() as f64;
            let spread = SAFETY * (share * (1.0 - share) * drawn.len() as f64).sqrt() + 2.0;
            let guess = |at: f64| drawn[(at.max(0.0) as usize).min(drawn.len() - 1)];
            let room = high.at - low.at;
            let close = (CLOSE * low.at.abs().max(high.at.abs())).max(TINY);
            if room.is_finite() && room <= close {
                return (guess(middle), None);
            }
            let before = between;
            let (from, to) = (guess(middle - spread), just_above(guess(middle + spread)));
            self.narrow(from, rank, &mut low, &mut high);
            self.narrow(to, rank, &mut low, &mut high);
            if high.below - low.below > before / 2 {
                // Many equal slopes fill the room: close in on the one in the middle.
                self.narrow(guess(middle), rank, &mut low, &mut high);
                self.narrow(just_above(guess(middle)), rank, &mut low, &mut high);
                self.narrow(cut(low.at, high.at), rank, &mut low, &mut high);
            }
        }
    }

    /// Takes a bound in where it lies between those known.
    fn narrow(&self, at: f64, rank: u64, low: &mut Bound, high: &mut Bound) {
        if !(at > low.at && at < high.at) {
            return;
        }
        let below = self.below(at);
        let bound = if below <= rank { low } else { high };
        *bound = Bound { at, below };
    }

    /// Slopes below `b`.
    fn below(&self, b: f64) -> u64 {
        let mut keys: Vec<Key> = (0..self.points.len()).map(|i| self.key(i, b)).collect();
        let mut count = 0;
        falling(&mut keys, |left, _| count += left.len() as u64);
        count
    }

    /// The points by `y - b x`, those of equal value by x: the order in which a pair stands as in
    /// time where its slope is at least `b`.
    fn order(&self, b: f64) -> Vec<Key> {
        let mut keys: Vec<Key> = (0..self.points.len()).map(|i| self.key(i, b)).collect();
        if b.is_finite() {
            keys.sort_unstable_by(|a, b| {
                a.residual.compare(&b.residual).then(a.point.cmp(&b.point))
            });
        }
        keys
    }

    /// As many slopes as points, each between any two whose x differ: as most pairs are, or this
    /// would be long in finding one.
    fn draw_any(&self, rng: &mut fastrand::Rng) -> Vec<f64> {
        let n = self.points.len();
        let mut slopes = Vec::with_capacity(n);
        while slopes.len() < n {
            let (a, b) = (rng.usize(0..n), rng.usize(0..n));
            if self.points[a].0 != self.points[b].0 {
                slopes.push(self.slope(a, b));
            }
        }
        slopes
    }

    /// Of the slopes that fall below `high` in an order, those of the given ascending ordinals.
    fn draw(&self, order: &[Key], high: f64, ordinals: &[u64]) -> Vec<f64> {
        let mut keys: Vec<Key> = order
            .iter()
            .map(|k| self.key(k.point as usize, high))
            .collect();
        let mut slopes = Vec::with_capacity(ordinals.len());
        let mut wanted = ordinals.iter().copied().peekable();
        let mut seen = 0;
        falling(&mut keys, |left, right| {
            let until = seen + left.len() as u64;
            while let Some(ordinal) = wanted.next_if(|ordinal| *ordinal < until) {
                let earlier = &left[(ordinal - seen) as usize];
                slopes.push(self.slope(earlier.point as usize, right.point as usize));
            }
            seen = until;
        });
        slopes
    }

    /// `y - b x` of a point. At infinity the order of x alone is left of it.
    fn key(&self, point: usize, b: f64) -> Key {
        let (x, y) = self.points[point];
        let residual = if b.is_finite() {
            Double::residual(y, b, x)
        } else {
            Double::plain(-x * b.signum())
        };
        Key {
            residual,
            point: point as u32,
        }
    }

    fn slope(&self, a: usize, b: usize) -> f64 {
        let ((x, y), (later, other)) = (self.points[a], self.points[b]);
        (other - y) / (later - x)
    }
}

/// A value strictly between two bounds that are not close: slopes are rounded, so those drawn may
/// all lie just outside.
fn cut(low: f64, high: f64) -> f64 {
    let step = |from: f64| (from.abs() * CLOSE).max(TINY);
    match (low.is_finite(), high.is_finite()) {
        (true, true) => low + (high - low) / 2.0,
        (true, false) => low + step(low),
        (false, true) => high - step(high),
        (false, false) => 0.0,
    }
}

/// A bound above all slopes equal to one.
fn just_above(slope: f64) -> f64 {
    if slope.abs() < TINY {
        TINY
    } else {
        slope + slope.abs() * CLOSE / 2.0
    }
}

/// Merges a sequence into ascending order. Whenever a key moves before others, `seen` is told the
/// ones it moves before and the key: they are the falling pairs.
fn falling(keys: &mut Vec<Key>, mut seen: impl FnMut(&[Key], &Key)) {
    let n = keys.len();
    let mut spare = keys.clone();
    let mut width = 1;
    while width < n {
        for (from, to) in keys.chunks(2 * width).zip(spare.chunks_mut(2 * width)) {
            let (left, right) = from.split_at(width.min(from.len()));
            let (mut l, mut r) = (0, 0);
            for place in to {
                if l < left.len()
                    && (r == right.len() || !right[r].residual.below(&left[l].residual))
                {
                    *place = left[l];
                    l += 1;
                } else {
                    seen(&left[l..], &right[r]);
                    *place = right[r];
                    r += 1;
                }
            }
        }
        std::mem::swap(keys, &mut spare);
        width *= 2;
    }
}
