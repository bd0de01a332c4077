//! What stands where in this boat: the first arrangement, with what the owner said of hers.

use crate::boat::{Arranged, Boat, EngineStands, Machine, Point, Role, Thing, ThingKind};
use crate::checklist::{Body, FirstPlaces, Group};
use crate::defects::condition::Condition;
use crate::defects::{History, Subject};
use crate::text::safe_line;

/// Between the middles of two engines side by side (judgement).
const APART: i16 = 96;
/// From the only driving engine to a generator, to starboard of the batteries (judgement).
const GENERATOR: i16 = 118;
/// What is judged from the helm stands close together whichever engine it is of.
const AT_HELM: i16 = 8;
/// From free end to flange: turned about, either end is where the other was.
const TURNED_ABOUT: i16 = 100;
/// Half the length, width and height of a tank nobody measured (judgement).
const TANK: Point = Point {
    x: 14,
    y: 16,
    z: 23,
};

/// Where an item is.
#[derive(Clone, Debug, PartialEq)]
pub struct Place {
    /// Whose place it is.
    pub subject: Subject,
    /// Where.
    pub point: Point,
    /// It is in another place in every boat, and nobody has said where.
    pub is_asked: bool,
}

/// Something large, as a box.
#[derive(Clone, Debug, PartialEq)]
pub struct Box3 {
    /// What is written on it.
    pub title: String,
    /// Forward, port, lower corner.
    pub from: Point,
    /// Aft, starboard, upper corner.
    pub to: Point,
    /// The machine it belongs to, where it belongs to one.
    pub machine: Option<String>,
    /// What the owner drew in.
    pub thing: Option<Thing>,
}

/// What stands where.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Arrangement {
    /// Every item the boat has, in the order of the subjects.
    pub places: Vec<Place>,
    /// What is large.
    pub boxes: Vec<Box3>,
}

impl Arrangement {
    /// Of a boat, by what is known of her and on record.
    pub fn of(condition: &Condition, history: &History) -> Arrangement {
        let table = FirstPlaces::built_in();
        let boat = &condition.boat;
        let had = condition
            .lives
            .iter()
            .filter(|(_, life)| !life.status.removed);
        let places = had.filter_map(|(subject, _)| {
            let item = condition.item(subject)?;
            let (group, first) = table.of(item, &condition.library.catalogue);
            let machine = subject.machine.as_deref();
            let said = said_of(history, subject).and_then(|said| said.point);
            Some(Place {
                point: said.unwrap_or_else(|| stands(boat, history, machine, group).put(first)),
                is_asked: said.is_none() && table.is_asked(&item.id),
                subject: subject.clone(),
            })
        });
        let places = places.collect();
        let mut boxes: Vec<Box3> = table
            .bodies()
            .iter()
            .flat_map(|body| boxes_of(boat, history, body))
            .collect();
        boxes.extend(things(history));
        Arrangement { places, boxes }
    }

    /// What a walk on a machine has in sight: what is hers, and what the boat has once.
    pub fn of_machine(mut self, machine: &str) -> Arrangement {
        let here = |of: &Option<String>| of.as_deref().is_none_or(|of| of == machine);
        self.places.retain(|place| here(&place.subject.machine));
        self.boxes.retain(|found| here(&found.machine));
        self
    }

    /// Where an item is; none for what the boat does not have.
    pub fn place(&self, subject: &Subject) -> Option<&Place> {
        self.places.get(self.index(subject)?)
    }

    /// The place of an item among the places.
    pub fn index(&self, subject: &Subject) -> Option<usize> {
        self.places
            .binary_search_by(|place| place.subject.cmp(subject))
            .ok()
    }
}

/// How a machine stands, and by how much what belongs to it is elsewhere.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Stands {
    on_engine: bool,
    engine: EngineStands,
    shift: Point,
}

impl Stands {
    pub(super) fn of(engine: EngineStands, on_engine: bool, shift: Point) -> Stands {
        Stands {
            on_engine,
            engine,
            shift,
        }
    }

    /// A point of the first arrangement in this boat.
    pub(super) fn put(self, first: Point) -> Point {
        let Point { mut x, mut y, z } = first;
        if self.on_engine && self.engine.turned {
            x = TURNED_ABOUT - x;
        }
        if self.on_engine && self.engine.mirrored {
            y = -y;
        }
        Point { x, y, z } + self.shift
    }
}

/// The newest word of where an item is; it may say that it is as at first.
pub fn said_of<'a>(history: &'a History, subject: &Subject) -> Option<&'a Arranged> {
    let mut said = history.arranged.iter().rev().map(|s| &s.rec);
    said.find(|said| said.item.as_ref() == Some(&subject.item) && said.machine == subject.machine)
}

/// How an engine stands, by the newest word of it.
pub fn engine_said<'a>(history: &'a History, machine: &str) -> Option<&'a Arranged> {
    let mut said = history.arranged.iter().rev().map(|s| &s.rec);
    said.find(|said| said.engine.is_some() && said.machine.as_deref() == Some(machine))
}

fn stands(boat: &Boat, history: &History, machine: Option<&str>, group: Group) -> Stands {
    let machine = boat
        .machines
        .iter()
        .find(|m| Some(m.id.as_str()) == machine);
    let Some(machine) = machine.filter(|_| group != Group::Aboard) else {
        return Stands::default();
    };
    let said = engine_said(history, &machine.id);
    let engine = said.and_then(|said| said.engine).unwrap_or_default();
    let shift = said.and_then(|said| said.point);
    let shift = shift.unwrap_or_else(|| first_shift(boat, machine));
    Stands::of(
        engine,
        group == Group::OnEngine,
        match group {
            Group::SeenFrom => Point {
                x: 0,
                y: shift.y.signum() * AT_HELM,
                z: 0,
            },
            _ => shift,
        },
    )
}

/// Where an engine stands of which nobody said where: driving ones side by side, the others beyond.
pub fn first_shift(boat: &Boat, machine: &Machine) -> Point {
    let place = |of: &dyn Fn(&&Machine) -> bool| {
        let alike = boat.machines.iter().filter(of);
        alike
            .clone()
            .position(|m| m.id == machine.id)
            .map(|n| (n, alike.count()))
    };
    let drives = |m: &&Machine| m.role != Role::Generator;
    let y = match (place(&drives), place(&|m| m.role == Role::Generator)) {
        // The first is the one to port.
        (Some((n, all)), _) => (2 * small(n) - (small(all) - 1)) * APART / 2,
        (_, Some((n, _))) => {
            GENERATOR
                + small(
                    boat.machines
                        .iter()
                        .filter(drives)
                        .count()
                        .saturating_sub(1),
                ) * APART
                    / 2
                + small(n) * APART
        }
        (None, None) => 0,
    };
    Point { x: 0, y, z: 0 }
}

fn small(n: usize) -> i16 {
    i16::try_from(n).unwrap_or_default().min(8)
}

fn boxes_of(boat: &Boat, history: &History, body: &Body) -> Vec<Box3> {
    let put = |machine: Option<&str>| {
        let stands = stands(boat, history, machine, body.group);
        let (from, to) = (stands.put(body.from), stands.put(body.to));
        Box3 {
            title: title(boat, body, machine),
            from: Point {
                x: from.x.min(to.x),
                y: from.y.min(to.y),
                z: from.z,
            },
            to: Point {
                x: from.x.max(to.x),
                y: from.y.max(to.y),
                z: to.z,
            },
            machine: machine.map(str::to_owned),
            thing: None,
        }
    };
    if body.group == Group::Aboard {
        return vec![put(None)];
    }
    let has = |m: &&Machine| {
        body.roles
            .as_ref()
            .is_none_or(|roles| roles.contains(&m.role))
    };
    boat.machines
        .iter()
        .filter(has)
        .map(|m| put(Some(&m.id)))
        .collect()
}

/// What is written on a box: on the engines of several machines, which they are.
fn title(boat: &Boat, body: &Body, machine: Option<&str>) -> String {
    let several = boat.machines.len() > 1 && body.is_engine();
    let machine = boat
        .machines
        .iter()
        .find(|m| Some(m.id.as_str()) == machine);
    let machine = machine.filter(|_| several);
    machine.map_or_else(
        || body.title.clone(),
        |machine| safe_line(&machine.name).into_owned(),
    )
}

/// What the owner drew in beside: of each the newest word.
pub fn things(history: &History) -> Vec<Box3> {
    let said: Vec<&Arranged> = history
        .arranged
        .iter()
        .map(|s| &s.rec)
        .filter(|s| s.thing.is_some())
        .collect();
    let newest =
        |(n, of): &(usize, &&Arranged)| !said.iter().skip(n + 1).any(|later| later.is_of(of));
    let newest = said.iter().enumerate().filter(newest);
    newest
        .filter_map(|(_, said)| {
            let (thing, at) = (said.thing.as_ref()?, said.point?);
            let half = match thing.kind {
                ThingKind::Bulkhead => Point { x: 1, y: 84, z: 50 },
                ThingKind::Tank => TANK,
            };
            let back = Point {
                x: -half.x,
                y: -half.y,
                z: -half.z,
            };
            Some(Box3 {
                title: thing.id.replace('-', " "),
                from: at + back,
                to: at + half,
                machine: None,
                thing: Some(thing.clone()),
            })
        })
        .collect()
}
