//! Where things are: every place of the boat with how it stands, from above or from the side. A place opens
//! its ladder; things are put where they are in this boat.
//!
//! - [`mod@draw`]: the drawing, and what is said of the place in front
//! - [`arrange`]: things moved about, engines turned, bulkheads and tanks put in

pub mod arrange;
pub mod draw;

use std::rc::Rc;

use crate::arrangement::{Arrangement, Direction, Standing, View as Side, next};
use crate::boat::Point;
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::list::{DefectList, Scenario};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::kind::{Asks, Cx, Finder, Go, Screen, To};
use crate::screen::layers::{Choice, Layer};
use crate::text::safe_line;

pub use arrange::{Carried, Way};

/// The screen.
pub struct PlacesScreen {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// What stands where.
    pub arrangement: Arrangement,
    /// How each place stands, in the same order.
    pub standings: Vec<Standing>,
    /// The list over the usual plan, whose numbers are shown.
    pub list: DefectList,
    /// From where one looks.
    pub side: Side,
    /// The place in front.
    pub at: usize,
    /// What is being moved, and where it stands meanwhile.
    pub carried: Option<(Carried, Point)>,
    /// Records made here, which one key takes back.
    pub made: Vec<String>,
}

/// What is picked.
#[derive(Clone, Debug)]
pub enum Pick {
    /// What is done with the place in front.
    Of(Vec<Way>),
    /// What is changed of the whole.
    Whole(Vec<Way>),
    /// Which of several places a name means.
    Which(Vec<usize>),
}

/// What is typed.
#[derive(Clone, Debug)]
pub enum Line {
    /// A part of the name of an item.
    Find,
    /// The name of a bulkhead or a tank to be put in.
    Thing(crate::boat::ThingKind),
}

impl PlacesScreen {
    /// Of a boat, the place of an item in front.
    pub fn new(book: &Book, front: Option<&Subject>) -> PlacesScreen {
        let condition = book.condition();
        let (exposure, waters) = condition.usual_plan();
        let list = condition.list(Scenario::new(exposure, waters), false);
        let arrangement = Arrangement::of(&condition, book.history());
        let standings = Standing::all(&arrangement, &condition, book.history(), &list);
        // Else the place of what is to be put right first.
        let numbers = standings
            .iter()
            .enumerate()
            .filter_map(|(n, s)| Some((s.number?, n)));
        let worst = numbers.min().map(|(_, n)| n);
        let at = front.and_then(|front| arrangement.index(front)).or(worst);
        PlacesScreen {
            at: at.unwrap_or(0),
            side: Side::default(),
            condition,
            arrangement,
            standings,
            list,
            carried: None,
            made: Vec::new(),
        }
    }

    /// Whose place is in front.
    pub fn subject(&self) -> Option<&Subject> {
        self.arrangement
            .places
            .get(self.at)
            .map(|place| &place.subject)
    }

    /// The title of the item of a place, with its machine where there are several.
    pub fn title(&self, at: usize) -> String {
        let subject = self.arrangement.places.get(at).map(|place| &place.subject);
        let item = subject.and_then(|s| self.condition.item(s));
        let title = item.map_or("", |item| item.title.as_str());
        let machines = &self.condition.boat.machines;
        let machine = subject
            .and_then(|s| s.machine.as_deref())
            .filter(|_| machines.len() > 1);
        let machine = machine.and_then(|id| machines.iter().find(|m| m.id == id));
        match machine {
            Some(machine) => format!("{title}, {}", safe_line(&machine.name)),
            None => title.to_owned(),
        }
    }

    fn step(&mut self, direction: Direction) {
        if let Some((_, point)) = &mut self.carried {
            *point = self.side.moved(*point, arrange::by(direction));
            return;
        }
        let points: Vec<Point> = self
            .arrangement
            .places
            .iter()
            .map(|place| place.point)
            .collect();
        self.at = next(&points, self.at, direction, self.side).unwrap_or(self.at);
    }

    /// To the place of the finding of this number.
    fn go_to_number(&mut self, number: usize, cx: &mut Cx<'_, Self>) {
        match self.standings.iter().position(|s| s.number == Some(number)) {
            Some(at) => self.at = at,
            None => cx.tell(format!("the list has no number {number}")),
        }
    }

    fn look(&self, cx: &mut Cx<'_, Self>) {
        if let Some(subject) = self.subject() {
            let machines = &self.condition.boat.machines;
            let first = || machines.first().map(|m| m.id.clone()).unwrap_or_default();
            let finder = Finder {
                machine: subject.machine.clone().unwrap_or_else(first),
                blind: false,
                guest: None,
                asks: None,
            };
            cx.go(Go::Over(To::Finding(subject.item.clone(), finder)));
        }
    }

    fn find(&mut self, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let machines = &self.condition.boat.machines;
        let first = machines.first().map_or("", |m| m.id.as_str());
        let machine = self
            .subject()
            .and_then(|s| s.machine.as_deref())
            .unwrap_or(first);
        let spoken = self.condition.spoken_of(text, machine);
        let found: Vec<usize> = spoken
            .iter()
            .filter_map(|s| self.arrangement.index(s))
            .collect();
        match found.as_slice() {
            [] => return Err("nothing aboard has that in its name".to_owned()),
            [only] => self.at = *only,
            several => {
                let options = several.iter().map(|at| self.title(*at)).collect();
                cx.ask(Layer::choice("Which one?", options, Pick::Which(found)));
            }
        }
        Ok(())
    }
}

impl Asks for PlacesScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for PlacesScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::MoveUp => self.step(Direction::Up),
            Action::MoveDown => self.step(Direction::Down),
            Action::MoveLeft => self.step(Direction::Left),
            Action::MoveRight => self.step(Direction::Right),
            Action::Places => {
                self.side = match self.side {
                    Side::Above => Side::Side,
                    Side::Side => Side::Above,
                };
            }
            Action::OpenPlace if self.carried.is_some() => self.put_down(cx),
            Action::Back if self.carried.is_some() => self.carried = None,
            Action::OpenPlace => self.ask_what(cx),
            Action::Arrange => self.ask_whole(cx),
            Action::Find => cx.ask(Layer::line("Find", "a part of its name", Line::Find)),
            Action::Undo => self.take_back(cx),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::Back => cx.go(Go::Back),
            _ => {
                if let Some(number) = action.own_digit().and_then(|d| d.to_digit(10)) {
                    self.go_to_number(number as usize, cx);
                }
            }
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::Of(ways) | Pick::Whole(ways) => {
                if let Some(way) = ways.into_iter().nth(at) {
                    self.go_way(way, cx);
                }
            }
            Pick::Which(found) => self.at = found.get(at).copied().unwrap_or(self.at),
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Find => self.find(text, cx),
            Line::Thing(kind) => self.name_thing(kind, text),
        }
    }
}
