//! When a line meets a limit: about then, not before, not after.

use super::slope::Line;

/// How far along its axis a line meets a limit, counted from now and never in the past.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Crossing {
    /// The value to be met, in the unit of the series.
    pub limit: f64,
    /// By the bound of the slope that heads there fastest; none without an interval.
    pub not_before: Option<f64>,
    /// By the slope itself.
    pub about: f64,
    /// By the slowest bound; none where that one never gets there.
    pub not_after: Option<f64>,
}

impl Crossing {
    /// The crossing of a limit by a line as of `now` on its axis; none where the line heads
    /// elsewhere or lies still. All three lines go through the medians.
    pub fn of(line: &Line, limit: f64, now: f64) -> Option<Crossing> {
        let ahead = |slope: f64| {
            let far = (limit - line.y) / slope;
            let heads_there = slope != 0.0 && (far >= 0.0 || limit == line.y);
            (heads_there && far.is_finite()).then(|| (line.x + far - now).max(0.0))
        };
        let bounds = [line.low, line.high].map(|bound| bound.and_then(ahead));
        let reached = || bounds.iter().flatten().copied();
        let about = ahead(line.slope)?;
        Some(Crossing {
            limit,
            not_before: reached().min_by(f64::total_cmp),
            about,
            not_after: match bounds {
                [Some(a), Some(b)] => Some(a.max(b)),
                _ => None,
            },
        })
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn line(slope: f64, low: f64, high: f64) -> Line {
        Line {
            slope,
            low: Some(low),
            high: Some(high),
            x: 100.0,
            y: 4.0,
            through: 5,
        }
    }

    #[test]
    fn a_line_meets_a_limit_between_its_bounds() {
        let falling = line(-0.01, -0.02, -0.005);
        let crossing = Crossing::of(&falling, 3.0, 150.0).expect("it falls there");
        assert_eq!((crossing.not_before, crossing.about), (Some(0.0), 50.0));
        assert_eq!(crossing.not_after, Some(150.0));
        assert_eq!(Crossing::of(&falling, 5.0, 150.0), None, "it rises never");
    }

    #[test]
    fn a_bound_that_turns_away_never_gets_there() {
        let unsure = line(-0.01, -0.02, 0.001);
        let crossing = Crossing::of(&unsure, 3.0, 100.0).expect("it falls there");
        assert_eq!(
            (crossing.not_before, crossing.not_after),
            (Some(50.0), None)
        );
        assert_eq!(Crossing::of(&line(0.0, -0.1, 0.1), 3.0, 100.0), None);
    }

    #[test]
    fn what_is_past_counts_as_now() {
        let falling = line(-0.01, -0.02, -0.005);
        let crossing = Crossing::of(&falling, 3.0, 900.0).expect("it fell there");
        let now = (crossing.not_before, crossing.about, crossing.not_after);
        assert_eq!(now, (Some(0.0), 0.0, Some(0.0)));
    }
}
