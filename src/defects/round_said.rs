//! What is to be said at once of the figures of a watch round: the order first, and the boat before the
//! engine. Nothing here grades: what is found is told by whoever looks.
//!
//! The limits are the bands of the catalogue, and the handbook figure of the machine outranks them; a
//! temperature that climbs and fuel that is off by a fifth are judgement.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::fuel::rate_like;
use super::gate::first;
use super::history::{History, Stamped};
use super::plan_words::short;
use super::round_usual::{Usual, speeds_alike};
use super::under_way::{FuelStretch, Passage, fuel_stretches};
use super::under_way_line::UnderWay;
use crate::boat::{Measure, Unit};
use crate::checklist::{Figure, Grade, Order, PhaseState};
use crate::text::capital;

/// A temperature climbs where the last three readings each lie above the one before and it rose so far
/// over them, degrees Celsius (judgement).
const CLIMBS: f64 = 3.0;
/// Fuel used is off where it differs from the rate known by this share (judgement).
const OFF: f64 = 0.2;
/// Over fewer hours by the meter a gauge or a dip says nothing of the rate (judgement).
const LEAST_HOURS: f64 = 0.9;

/// Said where no handbook gives the limit.
const LIMIT: &str = "The limit is judgement; the handbook outranks it.";

/// A figure outside its usual. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoundSaid {
    /// Which.
    pub figure: Figure,
    /// The item to look at, by its id in the catalogue; null where there is none.
    pub item: Option<String>,
    /// What is ordered of a running engine; null where it may go on.
    pub order: Option<Order>,
    /// In words: the order first, then what was read against what is usual, then what to do.
    pub words: Vec<String>,
}

/// What is said of a round. Part of the outside surface.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct RoundAnswer {
    /// Figures outside their usual, the worst first.
    pub said: Vec<RoundSaid>,
    /// Figures that were read and could not be held against anything: no usual is known yet.
    pub no_usual_yet: Vec<Figure>,
}

impl RoundAnswer {
    /// All of it in sentences; empty where nothing is to be said.
    pub fn words(&self) -> Vec<String> {
        let words = self.said.iter().flat_map(|said| said.words.iter().cloned());
        words.chain(self.unjudged_words()).collect()
    }

    /// Of which figures nothing can be said; none where there are none.
    pub fn unjudged_words(&self) -> Option<String> {
        let names = self.no_usual_yet.iter().map(|figure| figure.words());
        let names: Vec<&str> = names.collect();
        (!names.is_empty()).then(|| {
            format!(
                "No usual is known yet, so nothing is said of: {}.",
                names.join(", ")
            )
        })
    }

    /// True where a running engine is to be stopped.
    pub fn stops_her(&self) -> bool {
        self.said.iter().any(|said| said.order.is_some())
    }
}

impl Condition {
    /// What is to be said of the figures of a line on record.
    pub fn round_said(
        &self,
        history: &History,
        machine: &str,
        on_record: &Stamped<UnderWay>,
    ) -> RoundAnswer {
        let (at, line) = (on_record.at, &on_record.rec);
        let mut answer = RoundAnswer::default();
        if line.engine_off {
            return answer;
        }
        for figure in Figure::ALL {
            let Some(read) = line.measured(*figure) else {
                continue;
            };
            let usual = self.usual_under_way(history, machine, *figure, (at, line.rpm));
            let taken = Taken {
                figure: *figure,
                read,
                usual,
            };
            match self.judged(history, machine, at, &taken) {
                Some(said) => answer.said.push(said),
                None if usual.is_none() && figure.has_own_usual() => {
                    answer.no_usual_yet.push(*figure);
                }
                None => {}
            }
        }
        answer.said.extend(fuel_said(self, history, machine, at));
        answer
            .said
            .sort_by_key(|said| said.order.map_or(u8::MAX, |order| order as u8));
        answer
    }

    /// What is to be said of one figure; none where it is as usual, or nothing is known to hold it against.
    fn judged(
        &self,
        history: &History,
        machine: &str,
        at: DateTime<FixedOffset>,
        taken: &Taken,
    ) -> Option<RoundSaid> {
        let id = taken.figure.item()?;
        let item = self.library.catalogue.item(id)?;
        let usual = taken.usual.map(|usual| usual.value);
        let state = Some(PhaseState::UnderWay);
        let proposal = self.reading_proposal(item, machine, taken.read, state, || usual);
        let rung = proposal.as_ref().map_or(Grade::Sound, |p| p.grade);
        let by_handbook = proposal
            .as_ref()
            .filter(|p| p.by.starts_with("the handbook"));
        let by_handbook = by_handbook.map(|p| p.by.clone());
        let climbs = taken.figure == Figure::Temperature && climbs(history, machine, at, taken);
        if rung == Grade::Sound && !climbs {
            return None;
        }
        let low = self.below_handbook(machine, id, taken.read);
        let (order, todo) = taken.rule(rung, climbs, low);
        let mut words: Vec<String> = Vec::new();
        words.extend(order.map(|order| format!("{}{}.", capital(first(order)), order.words())));
        let mut read = taken.against_usual();
        if climbs {
            read.push_str(", and climbing");
        }
        if let Some(by) = &by_handbook {
            read.push_str(&format!(", outside {by}"));
        }
        words.push(format!("{read}."));
        words.push(todo.to_owned());
        words.extend(by_handbook.is_none().then(|| LIMIT.to_owned()));
        Some(RoundSaid {
            figure: taken.figure,
            item: Some(id.to_owned()),
            order,
            words,
        })
    }

    /// True where the handbook of a machine has a least figure for an item, and this is less.
    fn below_handbook(&self, machine: &str, item: &str, read: Measure) -> bool {
        let machines = &self.boat.machines;
        let known = machines.iter().find(|m| m.id == machine);
        let limit = known.and_then(|m| m.handbook.iter().find(|h| h.item == item));
        let least = limit.and_then(|h| Some((h.from?, read.value_in(h.unit)?)));
        least.is_some_and(|(least, value)| value < least)
    }
}

/// A figure as read, with what it usually is.
struct Taken {
    figure: Figure,
    read: Measure,
    usual: Option<Usual>,
}

impl Taken {
    /// The order, and what to do, at the rung its bands mean. A ratio of oil pressure to the usual alone
    /// stops nothing; the lamp, the handbook, or next to none does.
    fn rule(
        &self,
        rung: Grade,
        climbs: bool,
        below_handbook: bool,
    ) -> (Option<Order>, &'static str) {
        let over = self.usual.is_none_or(|usual| self.value() >= usual.value);
        match (self.figure, rung) {
            (Figure::Oil, _) if below_handbook => (
                Some(Order::StopNow),
                "Below the handbook's least. Then dip the oil; start again only once it is known why.",
            ),
            (Figure::Oil, Grade::Failed) => (
                Some(Order::StopNow),
                "Next to no oil pressure. Then dip the oil; start again only once it is known why.",
            ),
            (Figure::Oil, _) if over => (
                None,
                "Higher than usual at this speed: thick or cold oil, or the gauge. Read it again when she is warm.",
            ),
            (Figure::Oil, _) => (
                None,
                "Lower than usual at this speed: look again now, watch the lamp. Lamp or alarm: engine off at once.",
            ),
            (Figure::Temperature, Grade::Failing | Grade::Failed) => (
                Some(Order::WhenSafe),
                "Slow down first, then stop. Water from the exhaust? Belt? Never open the cap hot.",
            ),
            (Figure::Temperature, _) if climbs => (
                Some(Order::WhenSafe),
                "Slow down first; if it does not settle, stop. Water from the exhaust? Belt? Never open the cap hot.",
            ),
            (Figure::Temperature, _) if over => (
                None,
                "Look: water from the exhaust, belt, strainer from the hatch. 8 C over, or climbing: slow, then stop.",
            ),
            (Figure::Temperature, _) => (
                None,
                "She runs cold: a thermostat that stays open, or the sender. No hurry.",
            ),
            (Figure::Volts, _) if over_charged(self.value()) => (
                None,
                "Batteries gas: no spark near them, air the space, load on. If it stays, have the charging looked at in port.",
            ),
            (Figure::Volts, _) => (
                None,
                "Charging is weak: charge lamp? belt, from the hatch? The belt may drive the coolant pump too: watch the temperature. Save current.",
            ),
            (Figure::Vacuum, Grade::Failing | Grade::Failed) => (
                None,
                "The filter is blocking: change over to the other element, or slow down and change it at a stop with sea room. Water in the bowl?",
            ),
            (Figure::Vacuum, _) => (
                None,
                "The filter is filling: look at the bowl, have an element ready. 3 inHg over new: change over.",
            ),
            (Figure::Bilge, _) => (
                None,
                "The boat first: is it rising? Sea or fresh? Pump, then seacock, hoses, gland. The engine is not stopped for water; she may be needed.",
            ),
            (Figure::Drops, Grade::Early) if self.value() < 1.0 => (
                None,
                "The gland has run dry: flax has to drip. With the shaft stopped and held feel whether it is warm.",
            ),
            (Figure::Drops, Grade::Failing | Grade::Failed) => (
                None,
                "More than 60 a minute: watch the bilge, pump; tighten only with the shaft stopped.",
            ),
            (Figure::Drops, _) => (
                None,
                "More than a slow drip: count again next round; tighten only with the shaft stopped.",
            ),
            (Figure::Rpm | Figure::Speed | Figure::Fuel, _) => (None, "Find out why."),
        }
    }

    /// In the unit it is compared in.
    fn value(&self) -> f64 {
        let value = self.read.value_in(self.figure.unit());
        value.unwrap_or_else(|| self.read.value())
    }

    /// What was read against what is usual, in the unit it was read in.
    fn against_usual(&self) -> String {
        let read = self.read;
        let name = capital(self.figure.words());
        let usual = self.usual.and_then(|usual| {
            let usual = Measure::new(usual.value, self.figure.unit()).ok()?;
            usual.value_in(read.unit())
        });
        let unit = match self.figure {
            Figure::Rpm | Figure::Drops => String::new(),
            _ => format!(" {}", read.unit()),
        };
        match usual.filter(|_| self.figure.has_own_usual()) {
            Some(usual) => {
                let apart = read.value() - usual;
                let side = if apart < 0.0 { "under" } else { "over" };
                format!(
                    "{name} {}{unit}, usually {}: {} {side}",
                    short(read.value()),
                    short(usual),
                    short(apart.abs())
                )
            }
            None => format!("{name} {}{unit}", short(read.value())),
        }
    }
}

impl Figure {
    /// It is held against what is usual on this boat; others against fixed bands, or nothing.
    pub const fn has_own_usual(self) -> bool {
        matches!(
            self,
            Figure::Oil | Figure::Temperature | Figure::Vacuum | Figure::Bilge
        )
    }
}

/// Volts above which a lead battery gasses, as the bands of the catalogue have it.
fn over_charged(volts: f64) -> bool {
    volts >= 14.7
}

/// The last three readings of this time under way, this one included, each lie above the one before.
fn climbs(history: &History, machine: &str, at: DateTime<FixedOffset>, taken: &Taken) -> bool {
    let running = Passage::running(history, machine, at);
    let lines = running.iter().flat_map(|p| p.lines.iter());
    let before = lines.filter(|line| line.at < at && !line.rec.engine_off);
    let before: Vec<f64> = before
        .filter_map(|line| line.rec.figure(taken.figure))
        .collect();
    let [.., first, second] = before.as_slice() else {
        return false;
    };
    let value = taken.value();
    let over = taken.usual.is_none_or(|usual| value > usual.value);
    over && *second > *first && value > *second && value - first >= CLIMBS
}

/// Fuel used since the line before, where it is a fifth more or less than is known.
fn fuel_said(
    condition: &Condition,
    history: &History,
    machine: &str,
    at: DateTime<FixedOffset>,
) -> Option<RoundSaid> {
    let stretches = fuel_stretches(history, machine);
    let here = stretches.iter().find(|stretch| stretch.until == at)?;
    if here.hours < LEAST_HOURS {
        return None;
    }
    let used = here.litres / here.hours;
    let like = |earlier: &FuelStretch| {
        let speeds = here.rpm.zip(earlier.rpm);
        earlier.until < at && speeds.is_none_or(|(here, then)| speeds_alike(here, then))
    };
    let known = rate_like(&condition.boat, &stretches, machine, like)?;
    let off = (used - known) / known;
    if off.abs() < OFF {
        return None;
    }
    let per_hour = |litres: f64| {
        let unit = Unit::of_fuel(condition.boat.units);
        let value = Unit::Litre.convert(litres, unit).unwrap_or(litres);
        format!("{} {unit}/h", short(value))
    };
    let (side, why) = match () {
        () if used < 0.0 => (
            "more in the tank than before",
            "Dip again: a gauge misleads when she rolls or heels, or fuel came back from another tank.",
        ),
        () if off > 0.0 => (
            "a fifth or more over",
            "Find why: a leak (nose at the hatch, fuel in the tray), load, a fouled propeller, wind and sea. Fuel to smell or see: engine off, nobody in.",
        ),
        () => (
            "a fifth or more under",
            "Find why: the gauge or the dip, an easier load. Do not count on it.",
        ),
    };
    Some(RoundSaid {
        figure: Figure::Fuel,
        item: None,
        order: None,
        words: vec![
            format!(
                "Fuel used {}, usually {}: {side}.",
                per_hour(used),
                per_hour(known)
            ),
            why.to_owned(),
            LIMIT.to_owned(),
        ],
    })
}
