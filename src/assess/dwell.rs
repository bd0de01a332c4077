//! How long each kind of thing stays on each rung, in wear hours.

use crate::checklist::Kind;

/// Dwell times of one kind of thing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dwell {
    standing: f64,
    means: [f64; 4],
}

impl Dwell {
    /// Standing wear in wear hours per day, and the mean dwell on sound, early, worn and failing
    /// in wear hours.
    ///
    /// # Errors
    /// Where the standing wear is negative, a mean is not above zero, or a figure is not finite.
    pub fn new(standing: f64, means: [f64; 4]) -> Result<Dwell, String> {
        if !(standing.is_finite() && standing >= 0.0) {
            return Err(format!("standing wear {standing} is not zero or more"));
        }
        match means.into_iter().find(|m| !(m.is_finite() && *m > 0.0)) {
            Some(bad) => Err(format!("a mean dwell of {bad} h is not above zero")),
            None => Ok(Dwell { standing, means }),
        }
    }

    /// Wear hours that pass in one day of lying still.
    pub const fn standing(&self) -> f64 {
        self.standing
    }

    /// The same with the mean dwell on one rung (0 to 3) replaced by another above zero.
    pub(super) const fn with_mean(mut self, rung: usize, mean: f64) -> Dwell {
        self.means[rung] = mean;
        self
    }

    /// On each rung the shorter of two dwells, and the larger standing wear.
    #[must_use]
    pub fn faster(&self, other: &Dwell) -> Dwell {
        Dwell {
            standing: self.standing.max(other.standing),
            means: std::array::from_fn(|rung| self.means[rung].min(other.means[rung])),
        }
    }

    /// Mean dwells on sound, early, worn and failing, wear hours.
    pub const fn means(&self) -> &[f64; 4] {
        &self.means
    }
}

/// Dwell times of every kind that has a chain. A plain value handed to the arithmetic, so what a
/// boat has taught can stand in place of the starting values.
#[derive(Clone, Debug, PartialEq)]
pub struct Dwells(Vec<(Kind, Dwell)>);

/// The project's own starting values (judgement, no published source): kind, standing wear per
/// day, mean dwells on sound, early, worn, failing in wear hours.
const JUDGEMENT: [(Kind, f64, [f64; 4]); 11] = [
    (Kind::Seal, 0.5, [1500.0, 600.0, 250.0, 60.0]),
    (Kind::Joint, 0.3, [2000.0, 700.0, 300.0, 60.0]),
    (Kind::Hose, 2.0, [6000.0, 2000.0, 800.0, 150.0]),
    (Kind::Cable, 2.0, [6000.0, 2000.0, 800.0, 150.0]),
    (Kind::ChafePoint, 0.0, [1200.0, 400.0, 150.0, 30.0]),
    (Kind::Belt, 0.3, [1000.0, 400.0, 150.0, 25.0]),
    (Kind::Wiring, 2.0, [7500.0, 2500.0, 900.0, 190.0]),
    (Kind::Mount, 0.2, [3000.0, 1200.0, 500.0, 120.0]),
    (Kind::ExhaustPart, 1.0, [2000.0, 700.0, 300.0, 60.0]),
    (Kind::Machinery, 0.5, [2000.0, 700.0, 300.0, 80.0]),
    (Kind::Safeguard, 3.0, [5000.0, 1700.0, 700.0, 200.0]),
];

impl Dwells {
    /// The starting values: judgement, shown to the user as such.
    pub fn judgement() -> Dwells {
        let entry = |(kind, standing, means)| (kind, Dwell { standing, means });
        Dwells(JUDGEMENT.into_iter().map(entry).collect())
    }

    /// The same dwells with those of one kind replaced.
    pub fn with(mut self, kind: Kind, dwell: Dwell) -> Dwells {
        self.0.retain(|(known, _)| *known != kind);
        self.0.push((kind, dwell));
        self
    }

    /// The dwells of a kind; `None` for levels, readings and signs, which have no chain.
    pub fn of(&self, kind: Kind) -> Option<Dwell> {
        let entry = self.0.iter().find(|(known, _)| *known == kind);
        entry.map(|(_, dwell)| *dwell)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_but_three_has_a_chain_that_quickens_downwards() {
        let dwells = Dwells::judgement();
        for kind in Kind::ALL {
            let chainless = matches!(kind, Kind::Level | Kind::Reading | Kind::Sign);
            assert_eq!(dwells.of(*kind).is_none(), chainless, "{kind}");
            if let Some(dwell) = dwells.of(*kind) {
                let checked = Dwell::new(dwell.standing(), *dwell.means());
                assert_eq!(checked.as_ref(), Ok(&dwell));
                assert!(dwell.means().windows(2).all(|m| m[0] > m[1]), "{kind}");
            }
        }
    }

    #[test]
    fn a_replaced_kind_leaves_the_others_alone() {
        let learned = Dwell::new(0.5, [1000.0, 500.0, 200.0, 50.0]).expect("good figures");
        let dwells = Dwells::judgement().with(Kind::Seal, learned);
        assert_eq!(dwells.of(Kind::Seal), Some(learned));
        assert_eq!(dwells.of(Kind::Belt), Dwells::judgement().of(Kind::Belt));
    }

    #[test]
    fn impossible_dwells_are_refused() {
        for standing in [-0.1, f64::NAN, f64::INFINITY] {
            assert!(Dwell::new(standing, [1.0; 4]).is_err());
        }
        for mean in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(Dwell::new(0.0, [1.0, 1.0, mean, 1.0]).is_err());
        }
    }
}
