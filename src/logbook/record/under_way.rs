//! A line of being under way.

use super::event::{
    Event, Grounds, Time, Weight, at_a_time, fault, machine_fault, naming_nothing, on_no_item,
};
use crate::boat::units::{Measure, Quantity};
use crate::boat::{Hours, Waters};
use crate::defects::admit::Fault;
use crate::defects::under_way::Passage;
use crate::defects::under_way_line::{EVERY, Leg, UnderWay};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

/// The fastest an engine of a small boat turns, rpm (judgement).
const MOST_RPM: f64 = 20_000.0;
/// More drops in a minute are a stream.
const MOST_DROPS: f64 = 1_000.0;
/// More is claimed in no round.
const MOST_CLAIMS: usize = 24;
/// The most fuel a small boat carries, litres (judgement).
const MOST_FUEL: f64 = 50_000.0;

impl Event for UnderWay {
    const NAME: &'static str = "under-way";
    const OUTSIDE: Outside = Outside::act::<Self>();
    const CHANGED: Weight = Weight::Said;
    const CONCERNS_BOAT: bool = false;

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        let said = [
            ("by", &self.by),
            ("plan", &self.plan),
            ("remark", &self.remark),
        ];
        let said = said
            .into_iter()
            .filter_map(|(field, text)| Some((field, text.as_deref()?)));
        let usual = self.usual.iter().map(|words| ("usual", words.as_str()));
        said.chain(usual).collect()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        if let Some(fault) = machine_fault(&mut self.machine, grounds) {
            return vec![fault];
        }
        let mut faults = figures(self);
        faults.extend(grounds.meter_fault(self.machine.as_deref(), self.hours));
        faults.extend(place(self, grounds));
        faults
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.under_way, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let done = match self.kind {
            Leg::Begins => "got under way",
            Leg::Round => "made a round under way",
            Leg::Ends => "ended being under way",
        };
        Some(done.to_owned())
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let value = |m: Option<Measure>| m.map(Measure::value);
        let unit = |m: Option<Measure>| m.map(|m| m.unit().to_string());
        let rows = of.history.under_way.iter().map(|s| UnderWayRow {
            id: s.id.clone(),
            kind: s.rec.kind,
            machine: s.rec.machine.clone(),
            at: s.at,
            by: s.rec.by.clone(),
            plan: s.rec.plan.clone(),
            waters: s.rec.waters,
            every: s.rec.every.map(f64::from),
            hours: s.rec.hours,
            rpm: s.rec.rpm,
            speed: value(s.rec.speed),
            speed_unit: unit(s.rec.speed),
            oil: value(s.rec.oil),
            oil_unit: unit(s.rec.oil),
            temp: value(s.rec.temperature),
            temp_unit: unit(s.rec.temperature),
            volts: value(s.rec.volts),
            vacuum: value(s.rec.vacuum),
            vacuum_unit: unit(s.rec.vacuum),
            bilge: value(s.rec.bilge),
            bilge_unit: unit(s.rec.bilge),
            drops: s.rec.drops,
            fuel: s.rec.fuel.map(|v| v.litres()),
            fuel_added: s.rec.fuel_added.map(|v| v.litres()),
            usual: (!s.rec.usual.is_empty()).then(|| s.rec.usual.join("; ")),
            engine_off: s.rec.engine_off,
            remark: s.rec.remark.clone(),
        });
        vec![of.lines(rows)]
    }
}

/// What is wrong with its figures.
fn figures(line: &UnderWay) -> Vec<Fault> {
    let mut faults = Vec::new();
    let measures = [
        ("speed", line.speed, Quantity::Speed, "kn"),
        ("oil", line.oil, Quantity::Pressure, "bar"),
        ("temperature", line.temperature, Quantity::Temperature, "C"),
        ("volts", line.volts, Quantity::Voltage, "V"),
        ("vacuum", line.vacuum, Quantity::Pressure, "inHg"),
        ("bilge", line.bilge, Quantity::Length, "mm"),
    ];
    for (field, measure, quantity, unit) in measures {
        let Some(measure) = measure else { continue };
        if measure.unit().quantity() != quantity {
            let message = format!("{measure} is of another kind; expected {unit} or the like");
            faults.push(fault(field, message));
        } else if measure.value() < 0.0 && quantity != Quantity::Temperature {
            faults.push(fault(field, format!("{measure} is less than nothing")));
        }
    }
    let bounded = [
        ("rpm", line.rpm, MOST_RPM),
        ("drops", line.drops, MOST_DROPS),
        ("fuel", line.fuel.map(|v| v.litres()), MOST_FUEL),
        ("fuel_added", line.fuel_added.map(|v| v.litres()), MOST_FUEL),
    ];
    for (field, value, most) in bounded {
        if value.is_some_and(|v| !(0.0..=most).contains(&v)) {
            faults.push(fault(field, format!("expected 0 to {most}")));
        }
    }
    if line
        .every
        .is_some_and(|every| !(EVERY[0]..=EVERY[1]).contains(&every))
    {
        let message = format!("expected {} to {} minutes", EVERY[0], EVERY[1]);
        faults.push(fault("every", message));
    }
    let begins = line.kind == Leg::Begins;
    let at_first = [
        ("plan", line.plan.is_some()),
        ("waters", line.waters.is_some()),
        ("every", line.every.is_some()),
    ];
    let late = at_first.iter().filter(|(_, said)| *said && !begins);
    faults.extend(late.map(|(field, _)| fault(field, "it is said where being under way begins")));
    let of_a_round = [
        ("usual", !line.usual.is_empty()),
        ("engine_off", line.engine_off),
    ];
    let early = of_a_round
        .iter()
        .filter(|(_, said)| *said && line.kind != Leg::Round);
    faults.extend(early.map(|(field, _)| fault(field, "it is said in a round")));
    if line.usual.len() > MOST_CLAIMS {
        faults.push(fault("usual", format!("expected at most {MOST_CLAIMS}")));
    }
    if line.usual.iter().any(|words| words.trim().is_empty()) {
        faults.push(fault("usual", "say what is as usual"));
    }
    if line.kind == Leg::Round && line.is_empty() {
        faults.push(fault("remark", "give a figure, or say how it stands"));
    }
    faults
}

/// What is wrong with where it stands.
fn place(line: &UnderWay, grounds: &Grounds<'_>) -> Option<Fault> {
    let machine = line.machine.as_deref()?;
    let running = Passage::running(grounds.history, machine, grounds.at);
    match (line.kind, running) {
        (Leg::Begins, Some(running)) => {
            let since = running.lines.first().map(|line| line.at);
            let since = since.map_or_else(String::new, |at| at.to_rfc3339());
            Some(fault(
                "kind",
                format!("{machine} is under way since {since}; end that first"),
            ))
        }
        (Leg::Ends, Some(running)) if running.is_in() => {
            let since = running.lines.last().map(|line| line.at);
            let since = since.map_or_else(String::new, |at| at.to_rfc3339());
            Some(fault("kind", format!("{machine} is in since {since}")))
        }
        (Leg::Round | Leg::Ends, None) => Some(fault(
            "kind",
            format!("{machine} is not under way; begin first"),
        )),
        _ => {
            let name = line.plan.as_ref()?;
            let known = grounds.history.plans.contains_key(name);
            (!known).then(|| fault("plan", format!("there is no plan '{name}'")))
        }
    }
}

tables! {
    /// A line of being under way, as read.
    UnderWayRow = "under_way" key(id) {
        /// Record id.
        id: String,
        /// What it tells: begins, round or ends.
        kind: Leg,
        /// Machine id.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Who looked.
        by: Option<String>,
        /// The plan she left with.
        plan: Option<String>,
        /// Waters, where they are not those of the plan.
        waters: Option<Waters>,
        /// Minutes between two rounds, where said.
        every: Option<f64>,
        /// Hour meter.
        hours: Option<Hours>,
        /// Engine speed, rpm.
        rpm: Option<f64>,
        /// Speed of the boat.
        speed: Option<f64>,
        /// Its unit.
        speed_unit: Option<String>,
        /// Oil pressure.
        oil: Option<f64>,
        /// Its unit.
        oil_unit: Option<String>,
        /// Coolant temperature.
        temp: Option<f64>,
        /// Its unit.
        temp_unit: Option<String>,
        /// Charging voltage.
        volts: Option<f64>,
        /// Vacuum behind the prefilter.
        vacuum: Option<f64>,
        /// Its unit.
        vacuum_unit: Option<String>,
        /// Water in the bilge.
        bilge: Option<f64>,
        /// Its unit.
        bilge_unit: Option<String>,
        /// Drops of the stern gland in a minute.
        drops: Option<f64>,
        /// Fuel aboard, litres.
        fuel: Option<f64>,
        /// Fuel taken in since the line before, litres.
        fuel_added: Option<f64>,
        /// What was claimed to be as usual, in the words it was claimed in, `; ` between.
        usual: Option<String>,
        /// She sailed, or was towed, with the engine off.
        engine_off: bool,
        /// In words.
        remark: Option<String>,
    }
}
