//! What the boat taught, shown: rung by rung the judgement, the moves and hours, and the dwell that
//! follows.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::doubt::{Doubt, NotCounted};
use super::learning_set::LearningState;
use super::learning_start::PooledRate;
use super::subject::Subject;
use crate::assess::dwell::{Dwell, Dwells};
use crate::assess::learning::Taught;
use crate::checklist::{Grade, Kind};

/// One rung of one kind. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RungLearned {
    /// The kind of thing it is, from which it has its dwells.
    pub kind: Kind,
    /// The rung things move away from, 0 (sound) to 3 (failing).
    pub rung: usize,
    /// Mean dwell of judgement, wear hours.
    pub judgement: f64,
    /// Moves past this rung between two looks, each boundary crossed counted once.
    pub moves: u32,
    /// Wear hours that things were known to spend on this rung.
    pub time: f64,
    /// Mean dwell that counts, wear hours: (2 × judgement + time) / (2 + moves); where other boats
    /// taught it, (shape × dwell + time) / (shape + moves) with those of `start`.
    pub learned: f64,
    /// The true mean is longer than this with 95 chances in a hundred.
    pub low: f64,
    /// The true mean is shorter than this with 95 chances in a hundred.
    pub high: f64,
    /// What other boats taught and what counts in place of the judgement; missing where it does not.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub start: Option<PooledRate>,
}

/// What the looks at one item taught. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ItemTaught {
    /// The kind of thing it is, from which it has its dwells.
    pub kind: Kind,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Moves seen, by rung left.
    pub moves: [u32; 4],
    /// Wear hours watched, by rung.
    pub time: [f64; 4],
}

impl RungLearned {
    fn of(
        kind: Kind,
        rung: usize,
        (judgement, start): (&Dwell, Option<&PooledRate>),
        taught: &Taught,
    ) -> RungLearned {
        let rate = match start {
            Some(start) => taught.rate_after(rung, start.rate()),
            None => taught.rate(rung, judgement),
        };
        let [low, high] = rate.range();
        RungLearned {
            kind,
            rung,
            judgement: judgement.means()[rung],
            moves: taught.moves[rung],
            time: taught.time[rung],
            learned: rate.dwell(),
            low,
            high,
            start: start.cloned(),
        }
    }

    /// True where a look taught something about it.
    pub fn is_taught(&self) -> bool {
        self.moves > 0 || self.time > 0.0
    }

    /// The update in one line: judgement, what the boat showed, what follows.
    pub fn sentence(&self) -> String {
        let word = Grade::ALL.get(self.rung).map_or("", |g| g.as_str());
        let judgement = figure(self.judgement);
        let (begun, weight, dwell) = match &self.start {
            None => (
                format!("judgement {judgement} h"),
                "2".to_owned(),
                judgement,
            ),
            Some(start) => {
                let (weight, dwell) = (figure(start.shape), figure(start.dwell));
                let source = start.source();
                (
                    format!("judgement {judgement} h, in its place {dwell} h, {source}"),
                    weight,
                    dwell,
                )
            }
        };
        if !self.is_taught() {
            return format!("{word}: {begun}; nothing learned yet");
        }
        let plural = if self.moves == 1 { "" } else { "s" };
        format!(
            "{word}: {begun}; this boat: {} move{plural} in {} h → ({weight} × {dwell} + {}) / ({weight} + {}) = {} h, true with nine chances in ten from {:.0} to {:.0} h",
            self.moves,
            figure(self.time),
            figure(self.time),
            self.moves,
            figure(self.learned),
            self.low,
            self.high
        )
    }
}

impl Condition {
    /// What is known of a kind, rung by rung; `None` for levels, readings and signs.
    pub fn learned_of(&self, kind: Kind) -> Option<[RungLearned; 4]> {
        let judgement = Dwells::judgement().of(kind)?;
        let taught = self.learning.of(kind);
        let of = |rung| {
            let start = self.learning.started(kind, rung);
            RungLearned::of(kind, rung, (&judgement, start), &taught)
        };
        Some([0, 1, 2, 3].map(of))
    }

    /// Every kind that has a chain, rung by rung.
    pub fn learned(&self) -> Vec<RungLearned> {
        let kinds = Kind::ALL.iter().filter_map(|kind| self.learned_of(*kind));
        kinds.flatten().collect()
    }

    /// Every item that taught something, by kind.
    pub fn items_that_taught(&self) -> Vec<ItemTaught> {
        let kinds = self.learning.kinds.iter();
        kinds
            .flat_map(|(kind, taught)| taught.items.iter().map(|(s, t)| item(*kind, s, t)))
            .collect()
    }

    /// The items of one kind that taught something.
    pub fn items_that_taught_of(&self, kind: Kind) -> Vec<ItemTaught> {
        let taught = self.learning.kinds.get(&kind);
        let items = taught.map_or(&[][..], |t| &t.items);
        items.iter().map(|(s, t)| item(kind, s, t)).collect()
    }

    /// Which looks count, in words.
    pub fn learning_in_words(&self) -> String {
        let window = self.learning.window;
        let since = window
            .from
            .map(|from| {
                format!(
                    " Looks before {} are forgotten.",
                    from.format("%Y-%m-%d %H:%M")
                )
            })
            .unwrap_or_default();
        match (window.state, window.until) {
            (LearningState::Off, _) => "Learning is off: the judgement alone counts.".to_owned(),
            (_, Some(until)) => format!(
                "Learning is frozen: looks after {} do not count.{since}",
                until.format("%Y-%m-%d %H:%M")
            ),
            _ => format!("Learning runs: every look counts.{since}"),
        }
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

fn item(kind: Kind, subject: &Subject, taught: &Taught) -> ItemTaught {
    ItemTaught {
        kind,
        item: subject.item.clone(),
        machine: subject.machine.clone(),
        moves: taught.moves,
        time: taught.time,
    }
}

/// A figure with at most two decimals, without zeros behind.
pub fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}
