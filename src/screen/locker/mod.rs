//! The locker by keys: what lies aboard and where, when it was counted, what is missing for the waters chosen.

mod draw;
mod say;

use crate::boat::Waters;
use crate::checklist::TaskPart;
use crate::defects::locker::LockerRow;
use crate::defects::{SpareSaid, StockChange, StockMove};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::logbook::record::Record;
use crate::screen::facts::{NOT_FOUND, next_of, stepped};
use crate::screen::kind::{Asks, Cx, Go, Screen};
use crate::screen::layers::{Choice, Layer};

/// A line of the screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Row {
    /// The waters whose custom is shown.
    Waters,
    /// What stands beneath.
    Head(&'static str),
    /// A spare, by its place.
    Spare(usize),
    /// A spare in words of one's own.
    Own,
}

/// The screen of the locker.
pub struct LockerScreen {
    waters: Waters,
    spares: Vec<LockerRow>,
    rows: Vec<Row>,
    /// Under the arrow.
    cursor: usize,
}

impl LockerScreen {
    /// Of the book, for the boat's own waters.
    pub fn new(book: &Book) -> LockerScreen {
        let mut screen = LockerScreen {
            waters: book.boat().waters,
            spares: Vec::new(),
            rows: Vec::new(),
            cursor: 0,
        };
        screen.read(book);
        screen.cursor = screen
            .rows
            .iter()
            .position(|r| matches!(r, Row::Spare(_)))
            .unwrap_or(0);
        screen
    }

    fn read(&mut self, book: &Book) {
        self.spares = book.condition().locker(book.history(), self.waters);
        let there = |row: &LockerRow| row.is_on_record();
        let places = |wanted: bool| {
            let all = self.spares.iter().enumerate();
            let these = all.filter(move |(_, row)| there(row) == wanted);
            these.map(|(at, _)| Row::Spare(at)).collect::<Vec<_>>()
        };
        let mut rows = vec![Row::Waters, Row::Head("On record")];
        rows.extend(places(true));
        rows.push(Row::Own);
        rows.push(Row::Head("Customary there, and not on record"));
        rows.extend(places(false));
        self.rows = rows;
    }

    /// The spare under the arrow.
    fn here(&self) -> Option<&LockerRow> {
        match self.rows.get(self.cursor)? {
            Row::Spare(at) => self.spares.get(*at),
            Row::Waters | Row::Head(_) | Row::Own => None,
        }
    }

    fn go(&mut self, action: Action) {
        let rows = self.rows.iter().enumerate();
        let open = rows.filter(|(_, row)| !matches!(row, Row::Head(_)));
        self.cursor = stepped(action, self.cursor, open.map(|(n, _)| n));
    }

    fn find(&mut self, text: &str) -> Result<(), String> {
        let wanted = text.to_lowercase();
        let found = next_of(self.cursor, self.rows.len(), |at| match self.rows.get(at) {
            Some(Row::Spare(spare)) => {
                let row = self.spares.get(*spare);
                row.is_some_and(|row| row.title.to_lowercase().contains(&wanted))
            }
            _ => false,
        });
        self.cursor = found.ok_or(NOT_FOUND)?;
        Ok(())
    }

    fn ask(&self, cx: &mut Cx<'_, Self>) {
        match self.rows.get(self.cursor) {
            Some(Row::Waters) => {
                let options = Waters::ALL.iter().map(|w| w.as_str().to_owned()).collect();
                let choice = Choice {
                    title: "For which waters?".to_owned(),
                    options,
                    cursor: Waters::ALL
                        .iter()
                        .position(|w| *w == self.waters)
                        .unwrap_or(0),
                    ..Choice::default()
                };
                cx.ask(Layer::Choice(choice, Pick::Waters));
            }
            Some(Row::Own) => {
                let hint = "what it is, in a few words; it is put down with one aboard";
                cx.ask(Layer::line("A spare of your own", hint, Line::Own));
            }
            Some(Row::Spare(_)) => self.ask_spare(cx),
            Some(Row::Head(_)) | None => {}
        }
    }

    /// Records something of the spare under the arrow.
    fn put(&mut self, record: Record, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let before = self.here().map_or(0.0, |row| row.count);
        let named = match &record {
            Record::Spare(said) => Some((said.spare.clone(), said.machine.clone())),
            Record::Stock(moved) => Some((moved.spare.clone(), moved.machine.clone())),
            _ => None,
        };
        if cx.record_act(record)?.is_none() {
            return Ok(());
        }
        self.read(cx.book);
        if let Some((spare, machine)) = named {
            self.go_to(&spare, machine.as_deref());
        }
        match self.here().filter(|row| before > 0.0 && row.count <= 0.0) {
            Some(row) => cx.warn(crate::defects::locker::gone_words(&row.title)),
            None => cx.tell("taken down; u in the book of entries takes it back"),
        }
        Ok(())
    }

    fn go_to(&mut self, spare: &str, machine: Option<&str>) {
        let is_it = |row: &Row| match row {
            Row::Spare(at) => self
                .spares
                .get(*at)
                .is_some_and(|r| r.is_of(spare, machine)),
            _ => false,
        };
        let at = self.rows.iter().position(is_it);
        self.cursor = at.unwrap_or(self.cursor.min(self.rows.len().saturating_sub(1)));
    }

    /// A spare in one's own words, with one aboard.
    fn own(&mut self, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        let words = text.trim();
        if words.is_empty() {
            return Err("say what it is".to_owned());
        }
        let id = TaskPart::in_words(words).id;
        let said = SpareSaid {
            title: Some(words.to_owned()),
            ..SpareSaid::of(&id, None)
        };
        self.put(Record::from(said), cx)?;
        let change = StockChange {
            spare: id,
            machine: None,
            at: None,
            moved: StockMove::Bought,
            count: 1.0,
            used_for: None,
            note: None,
        };
        self.put(Record::from(change), cx)
    }
}

/// What is picked.
#[derive(Clone, Copy, Debug)]
pub enum Pick {
    /// The waters.
    Waters,
    /// What is said of the spare under the arrow.
    Spare,
}

/// What is typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Line {
    /// A part of a row's words.
    Find,
    /// A spare in words of one's own.
    Own,
    /// How many there are, or came aboard.
    Many(StockMove),
    /// Where it lies.
    Lies,
    /// When one was fitted in harbour.
    Fitted,
    /// Until when it can be used.
    UseBy,
}

impl Asks for LockerScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for LockerScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Answer => self.ask(cx),
            Action::Find => {
                let hint = "a spare, such as belt";
                cx.ask(Layer::line("Find", hint, Line::Find));
            }
            Action::Back => cx.go(Go::BackAnew),
            _ => self.go(action),
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::Waters => {
                self.waters = Waters::ALL.get(at).copied().unwrap_or(self.waters);
                self.read(cx.book);
            }
            Pick::Spare => {
                if let Err(told) = self.spare_picked(at, cx) {
                    cx.warn(told);
                }
            }
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Find => self.find(text),
            Line::Own => self.own(text, cx),
            ask => self.say(ask, text, cx),
        }
    }
}
