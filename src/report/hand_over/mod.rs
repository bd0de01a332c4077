//! The hand-over page: what somebody else has to know who takes her out. Part of the outside surface:
//! the JSON form is [`HandOver`].
//!
//! - here: what it says, as plain data, and from where
//! - [`words`]: the same in sentences and lines to write on, which text and page share
//! - [`page`]: as one HTML file to print
//!
//! What nobody told stands there as not told, with a line to write on. It holds no rules:
//! [`crate::defects::hand_over`] has them.

pub mod page;
pub mod words;

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::gather::Source;
use super::wording::CAUTIONS;
use crate::assess::words::Verdict;
use crate::boat::facts::{Fact, Of, Place};
use crate::boat::kinds::{Fuel, Holds, Stopping};
use crate::boat::{Boat, Machine};
use crate::checklist::{Checklist, Closing, Library};
use crate::defects::before_start::BeforeStart;
use crate::defects::condition::Condition;
use crate::defects::hand_over::{
    KnownDrip, LevelNow, OilUsed, Patched, StopNow, Unconfirmed, UsualReading,
};
use crate::defects::verdict::{full_check_first, last_morning, lead, verdict};
use crate::defects::{History, NotCounted};
use crate::walk::Photo;

/// Facts of the boat that say where something is.
const PLACES: [&str; 5] = [
    "seacocks_at",
    "fuel_off_at",
    "isolators_at",
    "extinguisher_at",
    "extinguisher_port_at",
];
/// Reasons of a verdict that are told; the list of defects has them all.
const MOST_REASONS: usize = 4;

/// What a hand-over page says. Stops, chores and temporary repairs are those of every machine.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct HandOver {
    /// The boat's name.
    pub boat: String,
    /// When the page was made.
    pub made_at: DateTime<FixedOffset>,
    /// Her machines; the one handed over where one was named.
    pub machines: Vec<MachineHanded>,
    /// The stops in force.
    pub stops: Vec<StopNow>,
    /// What takes minutes and comes before starting.
    pub before_you_start: Vec<BeforeStart>,
    /// Repairs that are not for good.
    pub temporary: Vec<Patched>,
    /// What was put right and nobody has looked at since.
    pub not_looked_at: Vec<Unconfirmed>,
    /// Her levels between marks.
    pub levels: Vec<LevelNow>,
    /// Her tanks, as the profile has them; what is in them now nobody can tell from the record.
    pub tanks: Vec<TankPart>,
    /// Where things are.
    pub places: Vec<FactTold>,
    /// Photographs of where things are, and of how a machine is started and stopped.
    pub photographs: Vec<PlaceShown>,
    /// What readings usually show on her.
    pub usual: Vec<UsualReading>,
    /// Oil used, where it is known.
    pub oil_used: Vec<OilUsed>,
    /// What comes out, is known, and stops nothing.
    pub drips: Vec<KnownDrip>,
    /// What the owner typed for who takes her out; null where nothing.
    pub note: Option<String>,
    /// The checks that stand on it, one for each machine.
    pub checks: Vec<Check>,
    /// What to mind, before anything else is done.
    pub cautions: Vec<String>,
    /// The photographs as a page holds them, by the name they are kept under.
    #[serde(skip)]
    pub pictures: BTreeMap<String, String>,
    /// What is on record and not counted in it.
    #[serde(skip)]
    pub not_counted: Vec<NotCounted>,
    /// Id and name of each of her machines, the others too.
    #[serde(skip)]
    names: Vec<(String, String)>,
    /// What the checks ask.
    #[serde(skip)]
    library: Arc<Library>,
}

/// A machine that is handed over.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MachineHanded {
    /// Id, which records name.
    pub id: String,
    /// Its name in the profile.
    pub name: String,
    /// What its meter shows; null where it has none that is known.
    pub hours: Option<f64>,
    /// True where the hours are estimated.
    pub estimated: bool,
    /// The last finished morning check; null where there is none.
    pub last_check: Option<LastCheck>,
    /// Why the full check comes before a short one, in words (judgement); null where the last is fresh.
    pub full_check_first: Option<String>,
    /// That nothing here is made for it, in words; null where something is.
    pub not_covered: Option<String>,
    /// What it burns; null where nobody told.
    pub fuel: Option<Fuel>,
    /// Fuel of an hour of usual running, as it was typed; null where nobody told.
    pub fuel_per_hour: Option<String>,
    /// How it is started; null where nobody told.
    pub starts_by: Option<String>,
    /// What stops it; null where nobody told.
    pub stopping: Option<Stopping>,
    /// Where it is stopped; null where nobody told.
    pub stops_by: Option<String>,
    /// How it is stopped where that fails; null where nobody told.
    pub when_stop_fails: Option<String>,
    /// What to mind of it before it is started, beside what is said of every engine.
    pub cautions: Vec<String>,
}

/// The last morning check of a machine, as of now.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct LastCheck {
    /// Id of the walk.
    pub walk: String,
    /// Title of its checklist.
    pub title: String,
    /// When it was finished.
    pub at: DateTime<FixedOffset>,
    /// The verdict as of now; null where it gives none.
    pub now: Option<Verdict>,
    /// The first reasons of it that are no stop, in words.
    pub reasons: Vec<String>,
    /// How many more there are.
    pub more: usize,
}

/// A tank.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct TankPart {
    /// What she calls it.
    pub name: String,
    /// What is in it; null where nobody told.
    pub holds: Option<Holds>,
    /// How much it holds, as it was typed; null where nobody told.
    pub capacity: Option<String>,
}

/// A check on paper.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Check {
    /// Name of the machine.
    pub machine: String,
    /// Id of the checklist.
    pub checklist: String,
    /// The checklist, without what she does not have.
    #[serde(skip)]
    pub list: Checklist,
}

/// Something that somebody told, or nobody.
#[derive(Clone, Debug, Serialize, JsonSchema)]
#[schemars(rename = "Told")]
pub struct FactTold {
    /// Its name in the profile.
    pub fact: String,
    /// What it is, in words.
    pub words: String,
    /// What was told; null where nothing was.
    pub told: Option<String>,
}

/// A photograph of where something is.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PlaceShown {
    /// The fact that says it in words, by its name in the profile.
    pub fact: String,
    /// Machine id; null for a fact of the boat.
    pub machine: Option<String>,
    /// The photograph.
    pub photo: Photo,
}

/// What is to be said of her, or of one machine of hers.
pub fn hand_over(source: &Source<'_>, machine: Option<&str>) -> HandOver {
    let Source {
        boat,
        library,
        history,
        now,
    } = *source;
    let condition = Condition::of(boat, Arc::clone(library), history, now);
    let here = |own: &Option<String>| {
        let own = own.as_deref();
        own.is_none_or(|own| machine.is_none_or(|asked| asked == own))
    };
    let stops = condition.stops_now();
    let asked: Vec<&Machine> = boat
        .machines
        .iter()
        .filter(|m| machine.is_none_or(|id| m.id == id))
        .collect();
    let machines = asked
        .iter()
        .map(|m| handed(&condition, source, m, &stops))
        .collect();
    let checks = asked.iter().filter_map(|m| check(&condition, m));
    let checks: Vec<Check> = checks.collect();
    let mut levels = condition.levels_now();
    levels.retain(|level| here(&level.machine));
    levels.sort_by_key(|level| place_of(boat, &level.machine));
    let mut usual = condition.usual_readings(history);
    usual.retain(|reading| here(&reading.machine));
    usual.sort_by_key(|reading| place_of(boat, &reading.machine));
    let mut oil_used = condition.oil_used_now(history);
    oil_used.retain(|oil| here(&oil.machine));
    let mut drips = condition.known_drips();
    drips.retain(|drip| here(&drip.machine));
    drips.sort_by_key(|drip| (place_of(boat, &drip.machine), drip.at.date_naive()));
    HandOver {
        boat: boat.name.clone(),
        made_at: now,
        machines,
        stops,
        before_you_start: condition.before_start(None),
        temporary: condition.patched(),
        not_looked_at: condition.unconfirmed(),
        levels,
        tanks: tanks(boat),
        places: PLACES
            .iter()
            .filter_map(|name| told(boat, name, &Place::boat()))
            .collect(),
        photographs: photographs(boat, history, machine),
        pictures: BTreeMap::new(),
        usual,
        oil_used,
        drips,
        note: boat.hand_over_note.clone(),
        checks,
        cautions: CAUTIONS.iter().map(|c| (*c).to_owned()).collect(),
        not_counted: condition.not_counted(),
        names: boat
            .machines
            .iter()
            .map(|m| (m.id.clone(), m.name.clone()))
            .collect(),
        library: Arc::clone(library),
    }
}

/// The place of a machine in the profile; what the boat has once comes last.
fn place_of(boat: &Boat, machine: &Option<String>) -> usize {
    let place = |id: &String| boat.machines.iter().position(|m| m.id == *id);
    machine.as_ref().and_then(place).unwrap_or(usize::MAX)
}

fn told(boat: &Boat, name: &str, place: &Place) -> Option<FactTold> {
    let fact = Fact::named(name, Of::Boat)?;
    Some(FactTold {
        fact: fact.name.to_owned(),
        words: fact.words.to_owned(),
        told: fact.shown(boat, place),
    })
}

/// The photographs of places of the boat and of the machine asked for, or of all.
fn photographs(boat: &Boat, history: &History, machine: Option<&str>) -> Vec<PlaceShown> {
    let places = Place::all(boat).into_iter();
    let asked =
        places.filter(|place| machine.is_none_or(|id| place.machine().is_none_or(|m| m == id)));
    let shown = asked.flat_map(|place| {
        place.facts().filter_map(move |fact| {
            let photo = history.place_photo(fact.name, place.machine())?;
            Some(PlaceShown {
                fact: fact.name.to_owned(),
                machine: place.machine().map(str::to_owned),
                photo: photo.clone(),
            })
        })
    });
    shown.collect()
}

fn tanks(boat: &Boat) -> Vec<TankPart> {
    let tanks = boat.tanks.iter().map(|tank| TankPart {
        name: tank.name.clone(),
        holds: tank.holds,
        capacity: tank.capacity.map(|volume| volume.to_string()),
    });
    tanks.collect()
}

fn handed(
    condition: &Condition,
    source: &Source<'_>,
    machine: &Machine,
    stops: &[StopNow],
) -> MachineHanded {
    let id = machine.id.as_str();
    let meter = condition.meter_now(Some(id));
    let known = condition.knows_meter(id);
    let bare = condition.not_covered().find(|(bare, _)| *bare == id);
    let bare = bare.map(|(_, told)| told);
    let first = full_check_first(condition, source.history, id, source.now);
    MachineHanded {
        id: machine.id.clone(),
        name: machine.name.clone(),
        hours: known.then(|| (meter.hours * 10.0).round() / 10.0),
        estimated: known && meter.estimated,
        last_check: last_check(condition, source, id, stops),
        full_check_first: first.filter(|_| bare.is_none()),
        not_covered: bare,
        fuel: machine.fuel,
        fuel_per_hour: machine.fuel_per_hour.map(|volume| volume.to_string()),
        starts_by: machine.starts_by.clone(),
        stopping: machine.stopping,
        stops_by: machine.stops_by.clone(),
        when_stop_fails: machine.when_stop_fails.clone(),
        cautions: words::own_cautions(machine),
    }
}

fn last_check(
    condition: &Condition,
    source: &Source<'_>,
    machine: &str,
    stops: &[StopNow],
) -> Option<LastCheck> {
    let walk = last_morning(condition, source.history, machine)?;
    let (now, reasons) = match verdict(condition, source.history, walk) {
        Some((now, reasons)) => (Some(now), reasons),
        None => (None, Vec::new()),
    };
    let own = |of: &Option<String>| of.as_deref().is_none_or(|of| of == machine);
    let is_stop = |item: &str| stops.iter().any(|s| s.item == item && own(&s.machine));
    let title = |item: &str| {
        let known = condition.library.catalogue.item(item);
        known.map_or_else(|| item.to_owned(), |i| i.title.clone())
    };
    let mut told: Vec<String> = reasons
        .iter()
        .filter(|reason| reason.item.is_empty() || !is_stop(&reason.item))
        .map(|reason| format!("{}{}", lead(&title(&reason.item)), reason.rule))
        .collect();
    let more = told.len().saturating_sub(MOST_REASONS);
    told.truncate(MOST_REASONS);
    let list = condition.list_of(walk);
    Some(LastCheck {
        walk: walk.id.clone(),
        title: list.map_or_else(|| walk.checklist.clone(), |list| list.title.clone()),
        at: walk.finished?,
        now,
        reasons: told,
        more,
    })
}

/// The check that is made on a machine before starting by somebody without her logbook: the short one,
/// where that asks nothing of it the full one made for it; without what she does not have.
fn check(condition: &Condition, machine: &Machine) -> Option<Check> {
    let library = &condition.library;
    let of = |closing: Closing| move |list: &&Checklist| list.closes_with == closing;
    let short = library
        .checklists_for(machine.role)
        .find(of(Closing::Short));
    let list = short.or_else(|| {
        let mut lists = library.checklists_for(machine.role);
        lists.find(of(Closing::Daily))
    });
    let list = list.filter(|_| library.covers(machine.role))?;
    let mut list = library.asked_of(list, &[machine.role]).into_owned();
    let has = |item: &String| condition.has(item, Some(&machine.id));
    for phase in &mut list.phases {
        phase.rows.iter_mut().for_each(|row| row.items.retain(has));
        phase.rows.retain(|row| !row.items.is_empty());
    }
    list.phases.retain(|phase| !phase.rows.is_empty());
    Some(Check {
        machine: machine.name.clone(),
        checklist: list.id.clone(),
        list,
    })
}
