//! Things put where they are in this boat. Each is a record like any other: the newest word of a thing
//! holds, two devices add up, and one key takes back what was said here.

use crate::arrangement::Direction;
use crate::arrangement::places::{engine_said, first_shift, said_of, things};
use crate::boat::{Arranged, EngineStands, Point, Thing, ThingKind};
use crate::checklist::id_fault;
use crate::logbook::mend::taking_back;
use crate::logbook::record::Record;
use crate::screen::kind::{Cx, Shown};
use crate::screen::layers::Layer;
use crate::screen::places::{Line, Pick, PlacesScreen};
use crate::text::safe_line;

/// A key moves what is carried so far, hundredths of the engine's length.
const STEP: (i16, i16) = (3, 5);

/// What is being moved.
#[derive(Clone, Debug, PartialEq)]
pub enum Carried {
    /// The item of the place in front.
    Item,
    /// The engine of this machine with all that belongs to it.
    Engine(String),
    /// A bulkhead or a tank.
    Thing(Thing),
}

/// What can be done.
#[derive(Clone, Debug)]
pub enum Way {
    /// Look at the item and grade it.
    Look,
    /// Move it.
    Carry(Carried),
    /// Put the item back where it stood at first.
    AsAtFirst,
    /// Turn an engine about.
    Turn(String),
    /// Change its sides.
    Mirror(String),
    /// Put in a bulkhead or a tank.
    PutIn(ThingKind),
    /// Take one off.
    TakeOff(Thing),
}

/// How far one key moves what is carried, to the right and down.
pub fn by(direction: Direction) -> (i16, i16) {
    let (right, down) = direction.step();
    (right * STEP.0, down * STEP.1)
}

impl PlacesScreen {
    /// What is done with the place in front?
    pub(super) fn ask_what(&self, cx: &mut Cx<'_, Self>) {
        let said = self
            .subject()
            .and_then(|subject| said_of(cx.book.history(), subject));
        let moved = said.is_some_and(|said| said.point.is_some());
        let mut ways = vec![
            ("look at it now: its ladder".to_owned(), Way::Look),
            (
                "it is elsewhere on this boat: move it".to_owned(),
                Way::Carry(Carried::Item),
            ),
        ];
        if moved {
            ways.push((
                "put it back where it stood at first".to_owned(),
                Way::AsAtFirst,
            ));
        }
        let (options, ways) = ways.into_iter().unzip();
        cx.ask(Layer::choice(self.title(self.at), options, Pick::Of(ways)));
    }

    /// What is changed of the whole?
    pub(super) fn ask_whole(&self, cx: &mut Cx<'_, Self>) {
        let machines = &self.condition.boat.machines;
        let mut ways: Vec<(String, Way)> = Vec::new();
        for machine in machines {
            let name = safe_line(&machine.name);
            let stands = self.stands(&machine.id, cx);
            let turned = if stands.turned {
                "free end forward"
            } else {
                "flywheel end forward"
            };
            let side = if stands.mirrored { "starboard" } else { "port" };
            ways.push((format!("{name}: {turned}"), Way::Turn(machine.id.clone())));
            ways.push((
                format!("{name}: service side to {side}"),
                Way::Mirror(machine.id.clone()),
            ));
            let carried = Carried::Engine(machine.id.clone());
            ways.push((
                format!("{name}: move it with all that belongs to it"),
                Way::Carry(carried),
            ));
        }
        ways.push((
            "put in a bulkhead".to_owned(),
            Way::PutIn(ThingKind::Bulkhead),
        ));
        ways.push(("put in a tank".to_owned(), Way::PutIn(ThingKind::Tank)));
        for (thing, name) in self.things(cx) {
            ways.push((
                format!("move {name}"),
                Way::Carry(Carried::Thing(thing.clone())),
            ));
            ways.push((format!("take {name} off"), Way::TakeOff(thing)));
        }
        let (options, ways) = ways.into_iter().unzip();
        cx.ask(Layer::choice(
            "Where things are: what is different on this boat?",
            options,
            Pick::Whole(ways),
        ));
    }

    fn things(&self, cx: &Cx<'_, Self>) -> Vec<(Thing, String)> {
        let drawn = things(cx.book.history()).into_iter();
        drawn
            .filter_map(|found| Some((found.thing?, found.title)))
            .collect()
    }

    fn stands(&self, machine: &str, cx: &Cx<'_, Self>) -> EngineStands {
        let said = engine_said(cx.book.history(), machine);
        said.and_then(|said| said.engine).unwrap_or_default()
    }

    fn shift(&self, machine: &str, cx: &Cx<'_, Self>) -> Point {
        let boat = &self.condition.boat;
        let first = || {
            boat.machines
                .iter()
                .find(|m| m.id == machine)
                .map(|m| first_shift(boat, m))
        };
        let said = engine_said(cx.book.history(), machine).and_then(|said| said.point);
        said.or_else(first).unwrap_or_default()
    }

    pub(super) fn go_way(&mut self, way: Way, cx: &mut Cx<'_, Self>) {
        match way {
            Way::Look => self.look(cx),
            Way::Carry(carried) => {
                let point = match &carried {
                    Carried::Item => self
                        .arrangement
                        .places
                        .get(self.at)
                        .map(|place| place.point),
                    Carried::Engine(machine) => Some(self.shift(machine, cx)),
                    Carried::Thing(thing) => self.middle_of(thing),
                };
                self.carried = Some((carried, point.unwrap_or_default()));
                cx.tell("arrows move it, Enter puts it down, Esc leaves it where it was");
            }
            Way::AsAtFirst => self.say(
                Arranged {
                    point: None,
                    ..self.of_item()
                },
                cx,
            ),
            Way::Turn(machine) => {
                let stands = self.stands(&machine, cx);
                self.say_engine(
                    machine,
                    EngineStands {
                        turned: !stands.turned,
                        ..stands
                    },
                    cx,
                );
            }
            Way::Mirror(machine) => {
                let stands = self.stands(&machine, cx);
                self.say_engine(
                    machine,
                    EngineStands {
                        mirrored: !stands.mirrored,
                        ..stands
                    },
                    cx,
                );
            }
            Way::PutIn(kind) => {
                let hint = "a short name, such as engine room aft, or water";
                cx.ask(Layer::line(
                    format!("What is the {kind} called?"),
                    hint,
                    Line::Thing(kind),
                ));
            }
            Way::TakeOff(thing) => self.say(
                Arranged {
                    thing: Some(thing),
                    ..Arranged::default()
                },
                cx,
            ),
        }
    }

    /// A bulkhead or a tank has a name, and is put where it is.
    pub(super) fn name_thing(&mut self, kind: ThingKind, text: &str) -> Result<(), String> {
        let words: Vec<String> = text
            .to_lowercase()
            .split_whitespace()
            .map(str::to_owned)
            .collect();
        let id = words.join("-");
        if let Some(why) = id_fault(&id) {
            return Err(why);
        }
        let start = self
            .arrangement
            .places
            .get(self.at)
            .map(|place| place.point)
            .unwrap_or_default();
        let start = match kind {
            ThingKind::Bulkhead => Point {
                y: 0,
                z: 50,
                ..start
            },
            ThingKind::Tank => start,
        };
        self.carried = Some((Carried::Thing(Thing { id, kind }), start));
        Ok(())
    }

    fn middle_of(&self, thing: &Thing) -> Option<Point> {
        let mut boxes = self.arrangement.boxes.iter();
        let found = boxes.find(|b| b.thing.as_ref() == Some(thing))?;
        let middle = |a: i16, b: i16| a + (b - a) / 2;
        Some(Point {
            x: middle(found.from.x, found.to.x),
            y: middle(found.from.y, found.to.y),
            z: middle(found.from.z, found.to.z),
        })
    }

    fn of_item(&self) -> Arranged {
        let subject = self.subject();
        Arranged {
            item: subject.map(|s| s.item.clone()),
            machine: subject.and_then(|s| s.machine.clone()),
            ..Arranged::default()
        }
    }

    fn say_engine(&mut self, machine: String, engine: EngineStands, cx: &mut Cx<'_, Self>) {
        let point = Some(self.shift(&machine, cx));
        self.say(
            Arranged {
                machine: Some(machine),
                engine: Some(engine),
                point,
                ..Arranged::default()
            },
            cx,
        );
    }

    /// What was carried stands here.
    pub(super) fn put_down(&mut self, cx: &mut Cx<'_, Self>) {
        let Some((carried, point)) = self.carried.take() else {
            return;
        };
        match carried {
            Carried::Item => self.say(
                Arranged {
                    point: Some(point),
                    ..self.of_item()
                },
                cx,
            ),
            Carried::Engine(machine) => {
                let engine = Some(self.stands(&machine, cx));
                let said = Arranged {
                    machine: Some(machine),
                    engine,
                    point: Some(point),
                    ..Arranged::default()
                };
                self.say(said, cx);
            }
            Carried::Thing(thing) => {
                self.say(
                    Arranged {
                        thing: Some(thing),
                        point: Some(point),
                        ..Arranged::default()
                    },
                    cx,
                );
            }
        }
    }

    fn say(&mut self, said: Arranged, cx: &mut Cx<'_, Self>) {
        match cx.record_act(Record::from(said)) {
            Ok(Some(ids)) => {
                self.made.extend(ids);
                self.renew(cx.book);
                cx.tell("on record; u takes it back");
            }
            Ok(None) => {}
            Err(told) => cx.warn(told),
        }
    }

    /// Takes the last one back that was said here.
    pub(super) fn take_back(&mut self, cx: &mut Cx<'_, Self>) {
        let Some(of) = self.made.pop() else {
            return cx.tell("nothing to take back");
        };
        if cx.record(vec![taking_back(cx.book, &of)]).is_some() {
            self.renew(cx.book);
            cx.tell("taken back");
        }
    }
}
