//! First start: three questions, or the demo boat. Where a folder holds several logbooks: which.
//!
//! - [`boats`]: several boats, read one after another; [`cards`]: how each stands, drawn

pub mod boats;
pub mod cards;

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Instant;

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::boat::{Boat, Hours, Waters};
use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::logbook::Gravity;
use crate::logbook::book::Book;
use crate::paint::widgets::{self, line};
use crate::screen::front::{Base, Open};
use crate::screen::kind::{Asks, Go, Shown};
use crate::screen::layers::Layer;
use crate::screen::layers::keys::{Given, Layers};
use crate::screen::shared::Shared;
use crate::screen::start::boats::{Boats, Chosen};

/// Before there is a logbook.
pub struct Start {
    boats: Option<Boats>,
    name: String,
    waters: Option<Waters>,
    layers: Layers<Start>,
    /// What is asked next.
    asked: Vec<Layer<Start>>,
}

/// What is picked.
#[derive(Clone, Copy, Debug)]
pub enum Pick {
    /// What to begin with.
    What,
    /// Where she goes.
    Waters,
}

/// What is typed.
#[derive(Clone, Copy, Debug)]
pub enum Line {
    /// Her name.
    Name,
    /// What her meter shows.
    Hours,
}

impl Asks for Start {
    type Pick = Pick;
    type Line = Line;
}

impl Start {
    /// In a folder that holds no logbook, or several in folders of their own.
    pub fn at(dir: &Path, shared: &mut Shared) -> Box<dyn Open> {
        let boats = Boats::at(dir, &shared.setup);
        shared.shelf = boats.as_ref().map(|boats| boats.dir.clone());
        let mut start = Start {
            boats,
            name: String::new(),
            waters: None,
            layers: Layers::of(Vec::new()),
            asked: Vec::new(),
        };
        start.begin();
        Box::new(start)
    }

    /// The first question: what to begin with. Where there are boats, they stand there.
    fn begin(&mut self) {
        let first = Layer::choice(
            "There is no logbook here yet. What shall it be?",
            vec![
                "begin a logbook for my boat (three questions)".into(),
                "look at the demo boat, in a folder of its own".into(),
                "leave".into(),
            ],
            Pick::What,
        );
        self.layers = Layers::of(match self.boats {
            Some(_) => Vec::new(),
            None => vec![first],
        });
    }

    /// A key at the boats.
    fn at_boats(&mut self, action: Action, base: &mut Base) -> Option<Go> {
        let boats = self.boats.as_mut()?;
        let at = match action {
            Action::Back => return Some(Go::Leave),
            Action::Pick => boats.cursor,
            _ => match action.own_digit().and_then(|digit| digit.to_digit(10)) {
                Some(digit) => (digit as usize).checked_sub(1)?,
                None => {
                    boats.step(action);
                    return None;
                }
            },
        };
        match boats.chosen(at)? {
            Chosen::Boat(root) => {
                base.shared.setup.root = root.to_owned();
                boats.cursor = at;
                self.open(base, tell_problems)
            }
            Chosen::New => {
                let name = self.ask_name();
                self.layers = Layers::of(std::mem::take(&mut self.asked));
                name
            }
        }
    }

    fn ask(&mut self, layer: Layer<Start>) -> Option<Go> {
        self.asked.push(layer);
        None
    }

    fn ask_name(&mut self) -> Option<Go> {
        self.ask(Layer::line(
            "What is she called?",
            "the boat's name",
            Line::Name,
        ))
    }

    fn picked(&mut self, ask: Pick, at: usize, base: &mut Base) -> Option<Go> {
        match (ask, at) {
            (Pick::What, 0) => self.ask_name(),
            (Pick::What, 1) => self.open_demo(base),
            (Pick::What, _) => Some(Go::Leave),
            (Pick::Waters, at) => {
                self.waters = Waters::ALL.get(at).copied();
                self.ask(Layer::line(
                    "What does her engine's hour meter show?",
                    "such as 1243.6; empty where there is none or you cannot see it",
                    Line::Hours,
                ))
            }
        }
    }

    fn typed(&mut self, ask: Line, text: &str, base: &mut Base) -> Result<Option<Go>, String> {
        match ask {
            Line::Name if text.is_empty() => Err("she needs a name".into()),
            Line::Name => {
                self.name = text.to_owned();
                let waters = waters_options();
                Ok(self.ask(Layer::choice("Where does she go?", waters, Pick::Waters)))
            }
            Line::Hours if text.is_empty() => self.found_boat(None, base),
            Line::Hours => self.found_boat(Some(Hours::typed(text)?), base),
        }
    }

    /// Creates the logbook from the three answers.
    fn found_boat(&self, hours: Option<Hours>, base: &mut Base) -> Result<Option<Go>, String> {
        let waters = self.waters.unwrap_or(Waters::Inshore);
        let boat = Boat::simple(&self.name, waters, hours);
        let setup = &mut base.shared.setup;
        if let Some(boats) = &self.boats {
            setup.root = boats.place_for(&boat.name);
        }
        let (clock, library) = (Rc::clone(&setup.clock), Arc::clone(&setup.library));
        let book = Book::create(&setup.root, boat, clock, library, setup.seed);
        let mut book = book.map_err(|error| error.to_string())?;
        book.mind(setup.marks.as_deref());
        base.book = Some(book);
        let told = "the logbook is begun; Enter starts the morning check";
        base.shared.tell(told);
        Ok(Some(Go::Home))
    }

    /// What is asked next follows from an answer.
    fn follow(&mut self, from: Layer<Start>) {
        let asked = std::mem::take(&mut self.asked);
        if !asked.is_empty() {
            self.layers.follow(from, asked);
        }
    }

    /// Opens the logbook in the folder chosen.
    fn open(&mut self, base: &mut Base, told: fn(&mut Shared, &Book)) -> Option<Go> {
        match base.shared.setup.open_book() {
            Ok(book) => {
                told(&mut base.shared, &book);
                base.book = Some(book);
                Some(Go::Home)
            }
            Err(error) => self.again(error.to_string(), base),
        }
    }

    /// Writes the demo boat to a folder of its own and opens it.
    fn open_demo(&mut self, base: &mut Base) -> Option<Go> {
        let setup = &mut base.shared.setup;
        match crate::demo::write_somewhere(Rc::clone(&setup.clock), &setup.library) {
            Ok(root) => {
                setup.root = root;
                self.open(base, |shared, _| {
                    let place = shared.setup.root.display();
                    shared.tell(format!("the demo boat lies in {place}"));
                })
            }
            Err(error) => self.again(error.to_string(), base),
        }
    }

    /// From the first question on, saying why.
    fn again(&mut self, why: String, base: &mut Base) -> Option<Go> {
        self.begin();
        base.shared.warn(why);
        None
    }
}

impl Open for Start {
    fn shown(&self) -> Option<&dyn Shown> {
        None
    }

    fn context(&self) -> Context {
        self.layers.context().unwrap_or(Context::Choice)
    }

    fn is_bare(&self) -> bool {
        self.layers.is_empty()
    }

    fn draw(&self, base: &Base, frame: &mut Frame<'_>, area: Rect, _alone: bool) {
        let theme = base.shared.setup.theme;
        let about = "walk the engine room, grade what you see, know what to fix first";
        if let Some(boats) = &self.boats {
            return cards::draw(base, boats, frame, area, self.layers.is_empty());
        }
        let told = vec![
            line("handlamp", 60, theme.title()),
            line(about, 78, theme.quiet()),
        ];
        widgets::lines(frame, area, told);
    }

    fn draw_over(&self, base: &Base, frame: &mut Frame<'_>, area: Rect) {
        self.layers.draw(&base.shared.setup, frame, area);
    }

    fn act(&mut self, action: Action, base: &mut Base) -> Option<Go> {
        if self.layers.is_empty() {
            return self.at_boats(action, base);
        }
        match self.layers.act(action) {
            Given::Picked(ask, at, choice) => {
                let go = self.picked(ask, at, base);
                self.follow(Layer::Choice(choice, ask));
                go
            }
            Given::Typed(ask, line) => match self.typed(ask, line.text().trim(), base) {
                Ok(go) => {
                    self.follow(Layer::Line(line, ask));
                    go
                }
                Err(error) => {
                    self.layers.open_again(line, ask, error);
                    None
                }
            },
            Given::LeftList(_) if self.boats.is_none() => Some(Go::Leave),
            Given::Refused(told) => {
                base.shared.warn(told);
                None
            }
            Given::LeftList(_)
            | Given::Noted(..)
            | Given::Rung(..)
            | Given::LeftLine(..)
            | Given::WentBack(..)
            | Given::Nothing => None,
        }
    }

    fn key(&mut self, key: &Key, base: &mut Base) -> Option<Go> {
        if let Err(told) = self.layers.key(key) {
            base.shared.warn(told);
        }
        None
    }

    fn paste(&mut self, text: &str, base: &mut Base) {
        if let Err(told) = self.layers.paste(text) {
            base.shared.warn(told);
        }
    }

    fn offers(&self, action: Action) -> bool {
        // Both speak of one boat, and say so here.
        !matches!(action, Action::Trouble | Action::Symptoms)
    }

    fn help(&mut self) {
        self.layers.help(self.context());
    }

    fn wakes_at(&self) -> Option<Instant> {
        self.boats.as_ref()?.wakes_at()
    }

    fn wake(&mut self, now: Instant, _base: &mut Base) -> Option<Go> {
        let boats = self.boats.as_mut()?;
        if boats.wakes_at().is_some_and(|at| at <= now) {
            boats.woken();
        }
        None
    }
}

/// The kinds of waters, as asked.
fn waters_options() -> Vec<String> {
    Waters::ALL
        .iter()
        .map(|w| match w {
            Waters::Sheltered => "sheltered: lakes, rivers, canals",
            Waters::Inshore => "inshore: coast, bays, estuaries",
            Waters::Offshore => "offshore: days from help",
            Waters::Ocean => "ocean: long voyages, self-sufficient",
        })
        .map(str::to_owned)
        .collect()
}

/// Tells what stands against a logbook that was just opened.
pub fn tell_problems(shared: &mut Shared, book: &Book) {
    let damage = book
        .problems()
        .iter()
        .filter(|p| p.gravity() == Gravity::Damage)
        .count();
    let notices = book.problems().len() - damage;
    let rescued = book.rescued();
    let mut said = rescued.taken.clone();
    said.extend(rescued.left.iter().map(|left| left.told().sentence()));
    let untaken = !rescued.left.is_empty();
    let writable = book.is_writable();
    if !writable {
        said.push("read-only: nothing recorded here can be saved".to_owned());
    }
    if damage > 0 {
        said.push(format!(
            "{damage} damaged place(s) in the record; see: handlamp logbook check"
        ));
    } else if notices > 0 {
        said.push(format!(
            "{notices} notice(s) about the record; see: handlamp logbook check"
        ));
    } else if book.newer() > 0 {
        said.push(format!(
            "{} record(s) of a later version are kept but not counted",
            book.newer()
        ));
    }
    if book.others() > 0 {
        said.push("open in another window too, which may be stopped".to_owned());
    }
    if damage > 0 || untaken || !writable {
        shared.warn(said.join("; "));
    } else if !said.is_empty() {
        shared.tell(said.join("; "));
    }
}
