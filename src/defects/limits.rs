//! What the readings of an item are held against: its bands as ranges in its own unit.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use crate::boat::profile::HandbookLimit;
use crate::checklist::{Band, Grade, Item, PhaseState, Versus};

/// A range of values that means one rung, in the unit of the item's reading. Part of the outside
/// surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Limit {
    /// The rung a value in the range means.
    pub rung: Grade,
    /// Lower end, included; null where open.
    pub from: Option<f64>,
    /// Upper end, not included; null where open.
    pub to: Option<f64>,
}

impl From<&Band> for Limit {
    fn from(band: &Band) -> Limit {
        Limit {
            rung: band.grade,
            from: band.from,
            to: band.to,
        }
    }
}

/// The ranges in force. Part of the outside surface.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Limits {
    /// Where they come from: the handbook's page, else the catalogue's source.
    pub source: String,
    /// The boat's own usual value, where they rest on it.
    pub usual: Option<f64>,
    /// In the order of their lower ends; none where they rest on a usual value not known yet.
    pub bands: Vec<Limit>,
}

impl Condition {
    /// The ranges of an item's reading on a machine, in a state of the engine, with the usual
    /// value where the bands compare with it. The machine's handbook figure outranks the
    /// catalogue.
    pub fn limits(
        &self,
        item: &Item,
        machine: &str,
        state: Option<PhaseState>,
        usual: Option<f64>,
    ) -> Limits {
        let Some(reading) = &item.reading else {
            return Limits::default();
        };
        let known = self.boat.machines.iter().find(|m| m.id == machine);
        let handbook = known.and_then(|m| m.handbook.iter().find(|h| h.item == item.id));
        if let Some(limit) = handbook.filter(|h| h.unit.convert(0.0, reading.unit).is_some()) {
            return Limits {
                source: limit.source.clone(),
                usual: None,
                bands: handbook_bands(limit, |v| limit.unit.convert(v, reading.unit)),
            };
        }
        let bands = reading.bands_in(state, known.and_then(|m| m.packing));
        let usual = usual.filter(|_| reading.versus != Versus::Absolute);
        let place = |end: Option<f64>| match (reading.versus, usual) {
            (Versus::Absolute, _) => end,
            (Versus::BaselineDifference, usual) => Some(end? + usual?),
            (Versus::BaselineRatio, usual) => Some(end? * usual?),
        };
        let stands = match reading.versus {
            Versus::Absolute => true,
            Versus::BaselineDifference => usual.is_some(),
            // A ratio to a value at or below zero turns the bands round.
            Versus::BaselineRatio => usual.is_some_and(|u| u > 0.0),
        };
        let mut bands: Vec<Limit> = bands
            .iter()
            .filter(|_| stands)
            .map(|band| Limit {
                rung: band.grade,
                from: place(band.from),
                to: place(band.to),
            })
            .collect();
        bands.sort_by(|a, b| {
            let from = |l: &Limit| l.from.unwrap_or(f64::NEG_INFINITY);
            from(a).total_cmp(&from(b))
        });
        Limits {
            source: item.source.clone(),
            usual,
            bands,
        }
    }
}

fn handbook_bands(limit: &HandbookLimit, to: impl Fn(f64) -> Option<f64>) -> Vec<Limit> {
    let (from, to) = (limit.from.and_then(&to), limit.to.and_then(&to));
    let band = |rung, from, to| Limit { rung, from, to };
    let low = from.map(|from| band(Grade::Failing, None, Some(from)));
    let high = to.map(|to| band(Grade::Failing, Some(to), None));
    let good = Some(band(Grade::Sound, from, to));
    [low, good, high].into_iter().flatten().collect()
}

impl Limits {
    /// The rung a value means; none outside all bands.
    pub fn rung_of(&self, value: f64) -> Option<Grade> {
        let holds = |l: &&Limit| {
            l.from.is_none_or(|from| value >= from) && l.to.is_none_or(|to| value < to)
        };
        self.bands.iter().find(holds).map(|l| l.rung)
    }

    /// The ends that a value meets on its way up or down where a worse rung than its present one
    /// begins, nearest first, each worse than the one before.
    pub fn ahead(&self, value: f64, rising: bool) -> Vec<(f64, Grade)> {
        let mut worst = self.rung_of(value).unwrap_or(Grade::Sound);
        let mut ends: Vec<(f64, Grade)> = self
            .bands
            .iter()
            .filter_map(|l| Some((if rising { l.from? } else { l.to? }, l.rung)))
            .filter(|(end, _)| if rising { *end > value } else { *end <= value })
            .collect();
        ends.sort_by(|a, b| (a.0 - value).abs().total_cmp(&(b.0 - value).abs()));
        ends.retain(|(_, rung)| {
            let worse = *rung > worst;
            worst = worst.max(*rung);
            worse
        });
        ends
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn limits() -> Limits {
        let band = |rung, from, to| Limit { rung, from, to };
        Limits {
            source: String::new(),
            usual: None,
            bands: vec![
                band(Grade::Failing, None, Some(0.0)),
                band(Grade::Worn, Some(0.0), Some(20.0)),
                band(Grade::Early, Some(20.0), Some(40.0)),
                band(Grade::Sound, Some(40.0), Some(101.0)),
                band(Grade::Failing, Some(101.0), None),
            ],
        }
    }

    #[test]
    fn worse_rungs_lie_ahead_on_the_way_up_and_down() {
        let down = [
            (40.0, Grade::Early),
            (20.0, Grade::Worn),
            (0.0, Grade::Failing),
        ];
        assert_eq!(limits().ahead(60.0, false), down);
        assert_eq!(limits().ahead(60.0, true), [(101.0, Grade::Failing)]);
        // From a worse rung the way up leads through better ones first.
        assert_eq!(limits().ahead(10.0, true), [(101.0, Grade::Failing)]);
        assert_eq!(limits().ahead(10.0, false), [(0.0, Grade::Failing)]);
        assert!(limits().ahead(-5.0, false).is_empty());
    }
}
