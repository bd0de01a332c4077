//! What other boats taught, taken into a boat's logbook: how long things stay on a rung there counts in
//! place of the judgement, until her own looks outweigh it.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::condition::Condition;
use super::doubt::{Doubt, NotCounted};
use super::history::Stamped;
use super::taught::Learning;
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::learning::LeavingRate;
use crate::boat::Role;
use crate::checklist::Kind;

/// Between these a pooled dwell is believed, wear hours.
const DWELLS: [f64; 2] = [0.1, 1e6];
/// Between these its weight is believed, in moves seen.
const SHAPES: [f64; 2] = [1.0, 1e6];

/// Values that other boats taught were taken in, to begin from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LearningStart {
    /// Each kind and rung of which a value was taken in; all others stay with the judgement.
    pub rates: Vec<PooledRate>,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// Why, in the owner's words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why: Option<String>,
}

/// What other boats taught of one kind on one rung. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "AsWritten")]
#[schemars(!try_from)]
pub struct PooledRate {
    /// The kind of thing.
    pub kind: Kind,
    /// The rung things move away from, 0 (sound) to 3 (failing).
    pub rung: usize,
    /// What the first machine of those boats is for.
    pub family: Role,
    /// On how many other boats things of the kind were watched on that rung.
    pub boats: u32,
    /// Moves past it seen on them.
    pub moves: u32,
    /// Wear hours watched on them.
    pub hours: f64,
    /// How many moves seen it weighs as much as.
    pub shape: f64,
    /// Mean dwell, wear hours.
    pub dwell: f64,
}

#[derive(Deserialize)]
struct AsWritten {
    kind: Kind,
    rung: usize,
    family: Role,
    boats: u32,
    moves: u32,
    hours: f64,
    shape: f64,
    dwell: f64,
}

impl TryFrom<AsWritten> for PooledRate {
    type Error = String;

    fn try_from(w: AsWritten) -> Result<PooledRate, String> {
        let within = |value: f64, [low, high]: [f64; 2]| (low..=high).contains(&value);
        if w.rung > 3 || Dwells::judgement().of(w.kind).is_none() {
            return Err(format!("a {} has no rung {} to leave", w.kind, w.rung));
        }
        if !within(w.dwell, DWELLS) || !within(w.shape, SHAPES) || !within(w.hours, [0.0, 1e12]) {
            return Err("a pooled dwell, its weight or its hours cannot be".to_owned());
        }
        Ok(PooledRate {
            kind: w.kind,
            rung: w.rung,
            family: w.family,
            boats: w.boats,
            moves: w.moves,
            hours: w.hours,
            shape: w.shape,
            dwell: w.dwell,
        })
    }
}

impl PooledRate {
    /// What is known of the rate before any look aboard.
    pub fn rate(&self) -> LeavingRate {
        LeavingRate {
            shape: self.shape,
            time: self.shape * self.dwell,
        }
    }

    /// Where it comes from, in words.
    pub fn source(&self) -> String {
        let plural = if self.moves == 1 { "" } else { "s" };
        format!(
            "pooled over {} other boats, {} move{plural} in {:.0} wear hours",
            self.boats, self.moves, self.hours
        )
    }
}

/// The values to begin from: those taken in last.
pub(super) fn in_force(taken: &[Stamped<LearningStart>]) -> Option<Stamped<LearningStart>> {
    taken.last().cloned()
}

impl Learning {
    /// The value of other boats that counts for a rung of a kind; none where judgement does.
    pub fn started(&self, kind: Kind, rung: usize) -> Option<&PooledRate> {
        let rates = self.start.iter().flat_map(|start| &start.rec.rates);
        rates
            .rev()
            .find(|rate| (rate.kind, rate.rung) == (kind, rung))
    }

    /// What is known of how a kind leaves each rung before any look aboard.
    pub(super) fn starting(&self, kind: Kind, judgement: &Dwell) -> [LeavingRate; 4] {
        std::array::from_fn(|rung| match self.started(kind, rung) {
            Some(pooled) => pooled.rate(),
            None => LeavingRate::judgement(judgement.means()[rung]),
        })
    }

    /// The kinds of which values of other boats count.
    pub(super) fn started_kinds(&self) -> Vec<Kind> {
        let rates = self.start.iter().flat_map(|start| &start.rec.rates);
        let mut kinds: Vec<Kind> = rates.map(|rate| rate.kind).collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds
    }
}

impl Condition {
    /// The judgement that is not counted because other boats taught longer dwells, so that answers may
    /// be better than by it; none where they taught none, or only shorter ones.
    pub(super) fn longer_by_others(&self) -> Option<Doubt> {
        let start = self.learning.start.as_ref()?;
        let judgement = Dwells::judgement();
        let longer = |kind: &Kind| {
            let Some(judged) = judgement.of(*kind) else {
                return false;
            };
            let alone = self.learning.of(*kind).dwell(&judged);
            let now = self.dwells.of(*kind);
            let longer = |(now, alone): (&f64, &f64)| now > alone;
            now.is_some_and(|now| now.means().iter().zip(alone.means()).any(longer))
        };
        let kinds = self.learning.started_kinds();
        let kinds: Vec<&str> = kinds
            .iter()
            .filter(|k| longer(k))
            .map(|k| k.as_str())
            .collect();
        let boats = start.rec.rates.iter().map(|rate| rate.boats).max();
        (!kinds.is_empty()).then(|| {
            Doubt::said(NotCounted::because(format!(
                "the judgement of how long some things stay on a rung ({}): in its place counts what up to {} other boats taught, taken in on {} (entry {}), and that is longer, so that chances read smaller",
                kinds.join(", "),
                boats.unwrap_or_default(),
                start.at.format("%Y-%m-%d"),
                start.id
            )))
        })
    }
}
