//! How long things stay on each rung, pooled over boats of one family: what each boat's own looks taught,
//! drawn towards what all taught, the more the less was seen of her.
//!
//! A boat learns by kind over all that is aboard, so a boat is what is pooled here, by what her first
//! machine is for: a finer cut would leave too few boats in each.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Serialize;

use super::offer;
use super::over::{At, Over};
use super::shelf::Fleet;
use crate::assess::dwell::Dwells;
use crate::assess::gamma;
use crate::assess::pooled::{Exposed, Fit};
use crate::boat::Role;
use crate::checklist::Kind;
use crate::defects::PooledRate;

/// Rates pooled over boats. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Rates {
    /// Over which boats.
    pub over: Over,
    /// Every kind and rung on which something was watched, by family.
    pub rows: Vec<RateSum>,
}

/// One kind on one rung, over boats of one family. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RateSum {
    /// What the first machine of these boats is for.
    pub family: Role,
    /// The kind of thing.
    pub kind: Kind,
    /// The rung things move away from, 0 (sound) to 3 (failing).
    pub rung: usize,
    /// Mean dwell of judgement, wear hours.
    pub judgement: f64,
    /// Wear hours in a day of lying still; judgement.
    pub standing: f64,
    /// Moves past the rung seen on all boats.
    pub moves: u32,
    /// Wear hours watched on all boats.
    pub hours: f64,
    /// Mean dwell over the boats, wear hours: the reciprocal of the mean rate; null where no move was
    /// seen.
    pub dwell: Option<f64>,
    /// Shape of the gamma distribution of the boats' rates: the smaller, the more they differ. Null where
    /// they differ by no more than chance, and where no move was seen.
    pub shape: Option<f64>,
    /// The same by the method of moments.
    pub shape_by_moments: Option<f64>,
    /// Where the dwell of a boat not known lies with nine chances in ten, as if mean and shape were
    /// known for sure; null without a shape.
    pub range: Option<[f64; 2]>,
    /// Where no move was seen: the dwell is longer than this with 95 chances in a hundred, wear hours;
    /// null where moves were seen.
    pub longer_than: Option<f64>,
    /// What a boat not among these may begin from; null where nothing is offered.
    pub offered: Option<PooledRate>,
    /// Why nothing is offered, or what is to be known of what is, one sentence.
    pub said: String,
    /// Each boat.
    pub boats: Vec<RateAt>,
}

/// One boat among those pooled. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct RateAt {
    /// Whose.
    #[serde(flatten)]
    pub at: At,
    /// Id of her logbook.
    pub boat_id: String,
    /// Moves seen on her.
    pub moves: u32,
    /// Wear hours watched on her.
    pub hours: f64,
    /// Mean dwell by her looks alone, wear hours; null where no move was seen on her.
    pub own: Option<f64>,
    /// Mean dwell by hers and all others', wear hours; null where no move was seen on any.
    pub pooled: Option<f64>,
}

impl RateAt {
    fn exposed(&self) -> Exposed {
        Exposed {
            moves: self.moves,
            time: self.hours,
        }
    }
}

/// The rates of every family, kind and rung on which something was watched.
pub fn pooled(fleet: &Fleet) -> Rates {
    let mut by: BTreeMap<(Role, Kind, usize), Vec<RateAt>> = BTreeMap::new();
    for (boat, stand) in fleet.each_once() {
        for (kind, taught) in &stand.taught {
            for rung in 0..4 {
                let (moves, hours) = (taught.moves[rung], taught.time[rung]);
                if hours > 0.0 {
                    let boats = by.entry((stand.family, *kind, rung)).or_default();
                    boats.push(RateAt {
                        at: At::of(boat),
                        boat_id: stand.id.clone(),
                        moves,
                        hours,
                        own: (moves > 0).then(|| hours / f64::from(moves)),
                        pooled: None,
                    });
                }
            }
        }
    }
    let judgement = Dwells::judgement();
    let rows = by.into_iter().filter_map(|((family, kind, rung), boats)| {
        let dwell = judgement.of(kind)?;
        Some(RateSum::of(
            (family, kind, rung),
            (dwell.means()[rung], dwell.standing()),
            boats,
        ))
    });
    Rates {
        over: Over::all(fleet),
        rows: rows.collect(),
    }
}

impl RateSum {
    fn of(
        (family, kind, rung): (Role, Kind, usize),
        (judgement, standing): (f64, f64),
        mut boats: Vec<RateAt>,
    ) -> RateSum {
        let seen: Vec<Exposed> = boats.iter().map(RateAt::exposed).collect();
        let fit = Fit::of(&seen);
        for (boat, seen) in boats.iter_mut().zip(&seen) {
            boat.pooled = fit.map(|fit| 1.0 / fit.rate_of(*seen));
        }
        let hours: f64 = seen.iter().map(|boat| boat.time).sum();
        let offered = offer::offered((family, kind, rung), &seen);
        let any = fit.and_then(|fit| fit.of_any_boat());
        RateSum {
            family,
            kind,
            rung,
            judgement,
            standing,
            moves: seen.iter().map(|boat| boat.moves).sum(),
            hours,
            dwell: fit.map(|fit| 1.0 / fit.mean),
            shape: fit.and_then(|fit| fit.shape),
            shape_by_moments: fit.and_then(|fit| fit.moments),
            range: any.map(|any| any.range()),
            // So long without a move has one chance in twenty at this rate.
            longer_than: fit.is_none().then(|| hours / gamma::quantile(1.0, 0.95)),
            said: match &offered {
                Err(why) => why.clone(),
                Ok(_) if fit.is_some_and(|fit| fit.shape.is_none()) => {
                    "the boats differ by no more than chance: taken as one".to_owned()
                }
                Ok(_) => String::new(),
            },
            offered: offered.ok(),
            boats,
        }
    }
}
