//! What a reading or a sign is held against, in words, each with its source; and a reading that still
//! rises at one engine speed.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::limits::Limits;
use crate::boat::Unit;
use crate::boat::units::Quantity;
use crate::checklist::{Grade, Item, Pass, PhaseState, Step, Versus};
use crate::text::figure;
use crate::walk::{Cell, TimedLook};

/// A temperature that rose by so much from one reading to the next has not settled, C (judgement).
const STILL: f64 = 1.0;
/// Readings nearer than this tell nothing of the other, seconds (judgement).
const APART: i64 = 60;

/// Something to hold a value against. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct PassLine {
    /// What passes and what does not, in words.
    pub says: String,
    /// Where that comes from; what is judgement says so.
    pub source: String,
}

impl Condition {
    /// What an item is held against in a state of the engine: the handbook's figure, else the ranges of
    /// the catalogue, or the words of its ladder where nothing is read. `usual` is her own usual value,
    /// where it may be known.
    pub fn pass_lines(
        &self,
        item: &Item,
        machine: &str,
        state: Option<PhaseState>,
        usual: Option<f64>,
    ) -> PassLine {
        let source = item.source.clone();
        let Some(reading) = &item.reading else {
            let [sound, .., failing, _] = &item.ladder;
            let says = format!("sound: {sound}; failing: {failing}");
            return PassLine { says, source };
        };
        let unit = reading.unit.preferred(self.boat.units);
        let limits = self.limits(item, machine, state, usual);
        if !limits.bands.is_empty() {
            let shown = |v: f64| reading.unit.convert(v, unit);
            let says = ranges(&limits, shown, unit.as_str());
            let rated = self.rated(machine).filter(|_| reading.of_rated);
            let rated = rated.map(|rpm| format!("; short of {} rpm", figure(rpm)));
            return PassLine {
                says: format!("{says}{}", rated.unwrap_or_default()),
                source: limits.source,
            };
        }
        let machine = self.boat.machines.iter().find(|m| m.id == machine);
        let bands = reading.bands_in(state, machine.and_then(|m| m.packing));
        let own = Limits {
            bands: bands.iter().map(Into::into).collect(),
            ..Limits::default()
        };
        let from = reading.unit;
        let says = match reading.versus {
            Versus::BaselineRatio => ranges(&own, |v| Some(v * 100.0), "% of her usual"),
            _ => {
                let nought = from.convert(0.0, unit).unwrap_or_default();
                let shown = |v: f64| Some(from.convert(v, unit)? - nought);
                ranges(&own, shown, &format!("{unit} over her usual"))
            }
        };
        PassLine { says, source }
    }

    /// The published figures of an item at a step, in the unit a person reads.
    pub fn published(&self, item: &Item, step: &Step) -> Vec<PassLine> {
        let Some(reading) = &item.reading else {
            return Vec::new();
        };
        let unit = reading.unit.preferred(self.boat.units);
        let shown = |end: Option<f64>| end.and_then(|v| reading.unit.convert(v, unit)).map(figure);
        let said = |pass: &Pass| {
            let range = match (shown(pass.from), shown(pass.to)) {
                (Some(from), Some(to)) => format!("{from} to {to} {unit}"),
                (Some(from), None) => format!("{from} {unit} or more"),
                (None, Some(to)) => format!("at most {to} {unit}"),
                (None, None) => return None,
            };
            Some(PassLine {
                says: format!("{}: {range}", step.title),
                source: pass.source.clone(),
            })
        };
        let own = step.pass.iter().filter(|pass| pass.item == item.id);
        own.filter_map(said).collect()
    }
}

/// Ranges in words, the best rung first.
fn ranges(limits: &Limits, shown: impl Fn(f64) -> Option<f64>, unit: &str) -> String {
    let mut told: Vec<(Grade, Vec<String>)> = Vec::new();
    let shown = |end: Option<f64>| end.and_then(&shown).map(figure);
    for band in &limits.bands {
        let range = match (shown(band.from), shown(band.to)) {
            (Some(from), Some(to)) => format!("{from} to {to}"),
            (Some(from), None) => format!("{from} or more"),
            (None, Some(to)) => format!("below {to}"),
            (None, None) => "any".to_owned(),
        };
        match told.iter_mut().find(|(rung, _)| *rung == band.rung) {
            Some((_, ranges)) => ranges.push(range),
            None => told.push((band.rung, vec![range])),
        }
    }
    told.sort_by_key(|(rung, _)| *rung);
    let said = told
        .iter()
        .map(|(rung, ranges)| format!("{rung} {}", ranges.join(" or ")));
    format!("{} ({unit})", said.collect::<Vec<_>>().join(", "))
}

/// That a temperature read again at one speed minutes later was still rising, in a sentence; none where it
/// stood, or was read once.
pub fn still_climbing(item: &Item, cell: &Cell<'_>, unit: Unit) -> Option<String> {
    let reading = item.reading.as_ref()?;
    let Cell::Looks(looks) = cell else {
        return None;
    };
    let is_heat = matches!(reading.quantity, Quantity::Temperature);
    let mut read: Vec<&TimedLook> = looks.iter().copied().filter(|_| is_heat).collect();
    read.retain(|t| t.look.reading.is_some());
    let value = |t: &TimedLook, unit: Unit| t.look.reading?.value_in(unit);
    let last = *read.last()?;
    let apart = |t: &&&TimedLook| (last.at - t.at).num_seconds() >= APART;
    let before = read.iter().rev().find(apart)?;
    let rose = value(last, Unit::Celsius)? - value(before, Unit::Celsius)?;
    let (from, to) = (value(before, unit)?, value(last, unit)?);
    let minutes = (last.at - before.at).num_minutes();
    (rose >= STILL).then(|| {
        format!(
            "still climbing: {} to {} {unit} in {minutes} min, not stabilised.",
            figure(from),
            figure(to)
        )
    })
}
