//! The rows. Order is the order on every screen and in every answer.

use super::{Fact, Form, Head, Of};
use crate::boat::kinds::{
    Battery, Coolant, Cooling, Drive, Fuel, Holds, Lies, Serves, ShaftUnderSail, Stopping,
};
use crate::boat::profile::{LONGEST_DAYS, LONGEST_HOURS, Packing, Role, UnitHabit, Waters};
use crate::boat::units::Unit;

/// The longest name of a boat, a machine, a maker, bytes.
const LONGEST_NAME: usize = 80;
/// More hours than a month has cannot be run in one.
const LONGEST_MONTH: f64 = 744.0;
/// The largest sump or gearbox of a small boat, litres: beyond it the unit was mistyped (judgement).
const LARGEST_SUMP: f64 = 200.0;
/// The longest way between two marks of a dipstick, millimetres (judgement).
const LONGEST_STICK: f64 = 500.0;
/// The most fuel an engine of a small boat burns in an hour, litres (judgement).
const MOST_FUEL: f64 = 200.0;
/// The largest tank of a small boat, litres (judgement).
const LARGEST_TANK: f64 = 50_000.0;
/// The longest way to a handle, a valve or a switch, bytes: some lines of paper.
const LONGEST_WAY: usize = 240;
/// The longest note to who takes her out, bytes.
const LONGEST_NOTE: usize = 600;
/// Said of what no answer rests on.
const KEPT: &str = "Kept with the boat; nothing here is reckoned from it.";

const fn fact(
    of: Of,
    head: Head,
    name: &'static str,
    words: &'static str,
    form: Form,
    why: &'static str,
    then: &'static str,
) -> Fact {
    Fact {
        name,
        words,
        of,
        head,
        form,
        why,
        then,
        needed: false,
        unsaid: None,
    }
}

const fn needed(fact: Fact) -> Fact {
    Fact {
        needed: true,
        ..fact
    }
}

const fn unsaid(value: &'static str, fact: Fact) -> Fact {
    Fact {
        unsaid: Some(value),
        ..needed(fact)
    }
}

const fn number(unit: &'static str, least: f64, most: f64) -> Form {
    Form::Number {
        unit,
        least,
        most,
        whole: false,
    }
}

const fn figure(kept: Unit, us: Unit, imperial: Unit, least: f64, most: f64) -> Form {
    Form::Figure {
        kept,
        us,
        imperial,
        least,
        most,
    }
}

const fn oil(most: f64) -> Form {
    Form::Volume {
        most,
        gallons: false,
    }
}

const fn gallons(most: f64) -> Form {
    Form::Volume {
        most,
        gallons: true,
    }
}

macro_rules! picked {
    ($of:ident) => {
        Form::Words(|| $of::ALL.iter().map(|word| word.as_str()).collect())
    };
}

/// Said of what is written for who takes her out.
const HANDED: &str =
    "It stands on the hand-over page; where it is not known there is a line to write on.";

/// Said of what stands on those as well.
const CARDED: &str =
    "It stands on the hand-over page and on the first-minute cards, behind the line that needs it.";
/// Said of what stands on the cards alone.
const CARD: &str = "It stands on the first-minute cards, behind the line that needs it.";

const TOLD: Form = Form::Text(LONGEST_WAY);
const NAME: Form = Form::Text(LONGEST_NAME);
const MILLIMETRES: Form = figure(
    Unit::Millimetre,
    Unit::Inch,
    Unit::Millimetre,
    0.1,
    LONGEST_STICK,
);

/// Every row.
#[rustfmt::skip]
pub const FACTS: &[Fact] = &[
    needed(fact(Of::Boat, Head::Identity, "name", "Name", NAME,
        "So that you know whose logbook this is.",
        "It stands in the head of every screen and report.")),
    fact(Of::Boat, Head::Identity, "builder", "Builder", NAME,
        "Whoever sells parts or surveys her asks for it.", KEPT),
    fact(Of::Boat, Head::Identity, "year", "Year built",
        Form::Number { unit: "", least: 1850.0, most: 2200.0, whole: true },
        "It tells a buyer and a surveyor what to expect of her.", KEPT),
    fact(Of::Boat, Head::Identity, "hull_number", "Hull number", NAME,
        "It tells her from her sisters; it is stamped at the stern.", KEPT),
    fact(Of::Boat, Head::Identity, "length_m", "Length",
        figure(Unit::Metre, Unit::Foot, Unit::Foot, 1.0, 100.0),
        "Yards lift, berth and charge by it.", KEPT),
    needed(fact(Of::Boat, Head::Waters, "waters", "Waters", picked!(Waters),
        "How bad a failure is depends on how far help is.",
        "Severities, stops and the verdict follow it. Where a stop would go out of sight with other waters, it asks first.")),
    needed(fact(Of::Boat, Head::Waters, "units", "Units", picked!(UnitHabit),
        "You type and read in the units you think in.",
        "Figures are shown and taken in them; what is on record stays as it is.")),
    needed(fact(Of::Boat, Head::Hours, "usual_hours_per_month", "Usual hours a month", number("h", 0.0, LONGEST_MONTH),
        "While the meter has said little it is the only way from running hours to a date.",
        "Every date of what is due, until two readings of the meter say better.")),
    needed(fact(Of::Boat, Head::Hours, "day_ahead.hours", "Day ahead, running", number("h", 0.0, LONGEST_HOURS),
        "The verdict speaks of a usual day out.",
        "A longer day lets more fail in it, and the verdict says so.")),
    needed(fact(Of::Boat, Head::Hours, "day_ahead.days", "Day ahead, days", number("d", 0.0, LONGEST_DAYS),
        "Some things go by the calendar and not by running.",
        "The verdict and what to fix first look so many days ahead.")),
    fact(Of::Boat, Head::Waters, "lies_up", "Lies up", picked!(Lies),
        "Afloat a seacock is shut and tagged, ashore it stands open and drained.",
        "What laying up and launching ask. Where it is not known they ask both."),
    fact(Of::Boat, Head::Places, "seacocks_at", "Seacocks", TOLD,
        "When water comes in there is no time to look for them.", CARDED),
    fact(Of::Boat, Head::Places, "fuel_off_at", "Fuel shut-off", TOLD,
        "It is shut at a fire, at a leak, and where an engine does not stop.", CARDED),
    fact(Of::Boat, Head::Places, "isolators_at", "Battery isolators", TOLD,
        "Smoke from a wire ends only when the current does.", CARDED),
    fact(Of::Boat, Head::Places, "extinguisher_at", "Extinguishers", TOLD,
        "Everybody aboard has to find one in the dark.", CARDED),
    fact(Of::Boat, Head::Places, "extinguisher_port_at", "Port to discharge it through", TOLD,
        "A fire in the engine space is put out with the hatch shut.", CARDED),
    fact(Of::Boat, Head::Places, "fans_off_at", "Fans and blower, off", TOLD,
        "They feed a fire in the engine space with air.", CARD),
    fact(Of::Boat, Head::Places, "air_plate_at", "Plate to shut the air", TOLD,
        "A diesel that races on its own oil stops only without air, and no hand may go there.", CARD),
    fact(Of::Boat, Head::Places, "bilge_pumps_at", "Bilge pumps, switch and handle", TOLD,
        "When water comes in somebody else has to set them going.", CARD),
    fact(Of::Boat, Head::Places, "radio_at", "Radio, to call for help", TOLD,
        "Whoever calls may never have held it.", CARD),
    fact(Of::Boat, Head::Places, "hand_over_note", "What else is to be said", Form::Text(LONGEST_NOTE),
        "What only you know of her, and whom to call.",
        "It stands on the hand-over page as you typed it; without it nothing does."),
    needed(fact(Of::Machine, Head::Plate, "name", "Name", NAME,
        "So that you know which one is meant.",
        "It stands wherever the machine does. Records follow its id, so a new name changes nothing on record.")),
    unsaid(Role::Propulsion.as_str(), fact(Of::Machine, Head::Plate, "role", "What it is for", picked!(Role),
        "What a failure takes away depends on it.",
        "Severities, stops and what is asked. Where a stop would go out of sight with another role, it asks first.")),
    fact(Of::Machine, Head::Plate, "maker", "Maker", NAME,
        "Parts are ordered by it; it stands on the plate.", KEPT),
    fact(Of::Machine, Head::Plate, "model", "Model", NAME,
        "Parts are ordered by it; it stands on the plate.", KEPT),
    fact(Of::Machine, Head::Plate, "serial", "Serial number", NAME,
        "One model had several pumps and filters over the years; the number tells which.", KEPT),
    fact(Of::Machine, Head::Plate, "rated_rpm", "Rated speed",
        figure(Unit::Rpm, Unit::Rpm, Unit::Rpm, 100.0, 20_000.0),
        "Full throttle is held against it on a trial.", KEPT),
    fact(Of::Machine, Head::Plate, "rated_kw", "Rated power",
        figure(Unit::Kilowatt, Unit::Horsepower, Unit::Horsepower, 0.1, 5_000.0),
        "It tells what the engine should drive, and what it may burn.", KEPT),
    fact(Of::Machine, Head::Plate, "fuel", "Fuel", picked!(Fuel),
        "Petrol vapour explodes where diesel only burns.",
        "Kept with the boat. What is asked here is written for diesel: of petrol most is not covered here."),
    fact(Of::Machine, Head::Plate, "drive", "Drive", picked!(Drive),
        "A shaft has a gland, a saildrive a seal in the bottom, a sterndrive its bellows.",
        "Kept with the boat. Items here are written for a shaft; drop what she does not have."),
    fact(Of::Machine, Head::Plate, "turbocharger", "Turbocharger", Form::YesNo,
        "It has oil lines and a hot side of its own.", KEPT),
    fact(Of::Machine, Head::Handling, "starts_by", "How it is started", TOLD,
        "Whoever starts her for you knows neither key, preheat nor throttle.", HANDED),
    fact(Of::Machine, Head::Handling, "stopping", "How it is stopped", picked!(Stopping),
        "One of the solenoids stops her when the current fails, the other keeps her running.", HANDED),
    fact(Of::Machine, Head::Handling, "stops_by", "Where it is stopped", TOLD,
        "A stop is looked for in a hurry: which handle, which button, and where.", CARDED),
    fact(Of::Machine, Head::Handling, "when_stop_fails", "When that fails", TOLD,
        "A cable parts, a solenoid sticks: fuel or air has to be shut by another way.", CARDED),
    fact(Of::Machine, Head::Fills, "hours", "Hour meter, as set here", Form::Meter,
        "Running hours are what wears an engine.",
        "What is typed here that differs counts as read now; leave it empty where there is no meter."),
    fact(Of::Machine, Head::Fills, "sump", "Sump, filter included", oil(LARGEST_SUMP),
        "So that an oil change is held against what goes in.",
        "The service asks about a quantity that does not fit, and says what to bring."),
    fact(Of::Machine, Head::Fills, "between_marks", "Between the marks", oil(LARGEST_SUMP),
        "A step on the dipstick means so many litres.",
        "Levels are told in litres, what was added is held against what the stick says, and oil used against fuel."),
    fact(Of::Machine, Head::Fills, "mm_between_marks", "Marks apart", MILLIMETRES,
        "For who reads the stick with a ruler.",
        "A dip can be typed as +2 mm above the low mark, or high -3 mm."),
    fact(Of::Machine, Head::Fills, "fuel_per_hour", "Fuel used in an hour", gallons(MOST_FUEL),
        "Oil used is judged against the fuel burnt.",
        "From 50 h and two dips on, oil use is told as a share of the fuel."),
    fact(Of::Machine, Head::Fills, "gearbox", "Gearbox oil", oil(LARGEST_SUMP),
        "So that its change is held against what goes in.",
        "The service asks about a quantity that does not fit; leave it empty where there is no gearbox."),
    fact(Of::Machine, Head::Fills, "shaft_turns", "Shaft under sail, engine off", picked!(ShaftUnderSail),
        "While it turns with the engine off nothing may pump oil through the gearbox.",
        "Under way it reminds when the engine is to be run in neutral; where it is held it does not. The handbook decides."),
    fact(Of::Machine, Head::Fills, "shaft_run_hours", "Shaft turning, hours between runs", number("h", 1.0, 24.0),
        "The handbook of the gearbox says how long it may turn so; one maker's ask for a run every 8 h.",
        "After so many hours with the engine off a run in neutral is due; 8 where it is not told."),
    fact(Of::Machine, Head::Fills, "packing", "Stern gland packed with", picked!(Packing),
        "Flax has to drip while the shaft turns; another kind may be nearly dry.",
        "Which drip rate is sound. Where it is not known, flax is meant, which is the stricter."),
    fact(Of::Machine, Head::Fills, "cooling", "Cooling", picked!(Cooling),
        "Raw water through the block, a heat exchanger and a keel cooler fail in different ways.",
        "Kept with the boat. Drop the items she does not have: a keel-cooled engine has no raw-water side."),
    fact(Of::Machine, Head::Fills, "coolant", "Coolant", picked!(Coolant),
        "Kinds are not mixed: together they can turn to gel.",
        "Kept with the boat, for who tops it up."),
    fact(Of::Machine, Head::Fills, "thermostat_c", "Thermostat opens at",
        figure(Unit::Celsius, Unit::Fahrenheit, Unit::Celsius, 20.0, 120.0),
        "A warm engine settles a little above it.", KEPT),
    needed(fact(Of::Tank, Head::Carried, "name", "Name", NAME,
        "So that you know which one is meant.", "It stands wherever the tank does.")),
    fact(Of::Tank, Head::Carried, "holds", "Holds", picked!(Holds),
        "So that nobody fills water into fuel.", KEPT),
    fact(Of::Tank, Head::Carried, "capacity", "Capacity", gallons(LARGEST_TANK),
        "How far she goes, and how much to order.", KEPT),
    needed(fact(Of::Bank, Head::Carried, "name", "Name", NAME,
        "So that you know which one is meant.", "It stands wherever the bank does.")),
    fact(Of::Bank, Head::Carried, "serves", "What it is for", picked!(Serves),
        "A weak starting bank keeps her in port, a weak house bank leaves you in the dark.", KEPT),
    fact(Of::Bank, Head::Carried, "kind", "Kind", picked!(Battery),
        "What a voltage at rest says depends on it; of lithium it says nothing.",
        "Kept with the boat. Volts here are judged as those of lead batteries; of lithium they say nothing."),
    fact(Of::Bank, Head::Carried, "ah", "Capacity", number("Ah", 1.0, 10_000.0),
        "It is what a charger, a fuse and a night at anchor are reckoned from.", KEPT),
    fact(Of::Bank, Head::Carried, "fitted", "Fitted", Form::Day,
        "Batteries age by the calendar; five to ten years are usual (common practice, no single source).", KEPT),
    fact(Of::Bank, Head::Carried, "charged_by", "Charged by", Form::Text(LONGEST_NAME),
        "Alternator, shore charger, sun: what is looked at when it is flat.", KEPT),
];
