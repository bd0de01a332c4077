//! The boat by keys: everything the profile knows of her, or could know, changed row by row.

mod change;
pub mod draw;
mod forms;
mod rows;

use std::sync::Arc;

use crate::boat::Boat;
use crate::boat::facts::{Fact, Of, Place};
use crate::checklist::Library;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::complete::Readable;
use crate::screen::facts::{NOT_FOUND, next_of, stepped};
use crate::screen::kind::{Asks, Cx, Go, Screen};
use crate::screen::layers::{Choice, Layer};
use change::Change;
pub use rows::{Last, Row};

/// The screen of the profile.
pub struct ProfileScreen {
    /// The profile in force.
    pub boat: Boat,
    /// Titles of items.
    pub library: Arc<Library>,
    /// Everything, in groups.
    pub rows: Vec<Row>,
    /// The row under the arrow.
    pub cursor: usize,
    /// The machine whose ten answers alone are asked; none where everything is shown.
    pub ten: Option<String>,
    /// A change that waits for a reason, and what is told when it is taken.
    waiting: Option<(Change, String)>,
    /// Whether photographs of places can be read.
    readable: Readable,
}

impl ProfileScreen {
    /// Of the book.
    pub fn new(book: &Book) -> ProfileScreen {
        let boat = book.profile().clone();
        let mut readable = Readable::default();
        readable.ask(book, rows::photos(book));
        ProfileScreen {
            readable,
            rows: rows::rows(&boat, book.library()),
            boat,
            library: Arc::clone(book.library()),
            cursor: 1,
            ten: None,
            waiting: None,
        }
    }

    /// The answers that sharpen the most on a machine, where none of them is on record yet.
    pub fn ten(book: &Book, machine: &str) -> Option<ProfileScreen> {
        let rows = rows::ten(&book.condition(), machine);
        let open = |row: &Row| rows::is_open(row, book.profile(), book.history());
        let offered = !rows.is_empty() && rows.iter().all(open);
        offered.then(|| ProfileScreen {
            rows,
            cursor: 0,
            ten: Some(machine.to_owned()),
            ..ProfileScreen::new(book)
        })
    }

    /// The row under the arrow.
    pub fn row(&self) -> Option<&Row> {
        self.rows.get(self.cursor)
    }

    /// Goes so many rows on that can be answered.
    fn go(&mut self, action: Action) {
        let rows = self.rows.iter().enumerate();
        let open = rows.filter(|(_, row)| row.can_be_answered());
        self.cursor = stepped(action, self.cursor, open.map(|(n, _)| n));
    }

    fn go_to(&mut self, is: impl Fn(&Row) -> bool) {
        if let Some(at) = self.rows.iter().position(is) {
            self.cursor = at;
        }
    }

    /// To the next row with a text in its words, from the arrow on and round again.
    fn find(&mut self, text: &str, book: &Book) -> Result<(), String> {
        let wanted = text.to_lowercase();
        let found = next_of(self.cursor, self.rows.len(), |at| {
            let row = &self.rows[at];
            let (words, _) = row.words(book);
            row.can_be_answered() && words.to_lowercase().contains(&wanted)
        });
        self.cursor = found.ok_or(NOT_FOUND)?;
        Ok(())
    }
}

/// What is picked.
#[derive(Clone, Debug)]
pub enum Pick {
    /// A word for a fact.
    Fact(Place, &'static Fact),
    /// One more that a machine lacks, or one of these that it has after all.
    Lacks(String, Vec<String>),
    /// Which of these a machine lacks.
    Drop(String, Vec<String>),
    /// What is to be done with a handbook limit: machine, item.
    Limit(String, String),
    /// For which of these items the handbook gives something.
    NewLimit(String, Vec<String>),
    /// It has left, or stays.
    Out(Place),
    /// A stop goes out of sight, or not.
    EvenSo,
    /// Which of two figures of a meter was typed wrong.
    TypedWrong,
    /// What is done with the photograph of a place.
    Photo(Place, &'static Fact),
}

/// What is typed.
#[derive(Clone, Debug)]
pub enum Line {
    /// A part of a row's words.
    Find,
    /// A fact.
    Fact(Place, &'static Fact),
    /// A part of the name of what a machine lacks.
    Lacks(String),
    /// The name of one more.
    Name(Of),
    /// What is sound by the handbook of a machine, for an item.
    Range(String, String),
    /// Which page says so; the range before it.
    Page(String, String, String),
    /// Why stops go out of sight.
    EvenSo,
    /// When last.
    Last(Last),
    /// The path of a photograph of a place.
    Photo(Place, &'static Fact),
}

impl Asks for ProfileScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for ProfileScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Answer => self.ask(cx),
            Action::Photo => self.ask_photo(cx),
            Action::Find => {
                let hint = "a part of its words, such as sump";
                cx.ask(Layer::line("Find", hint, Line::Find));
            }
            Action::Back => cx.go(Go::Home),
            _ => self.go(action),
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, of: &Choice, cx: &mut Cx<'_, Self>) {
        if let Err(told) = self.taken(ask, at, of, cx) {
            cx.warn(told);
        }
    }

    fn left_list(&mut self, ask: Pick, _cx: &mut Cx<'_, Self>) {
        if matches!(ask, Pick::EvenSo | Pick::TypedWrong) {
            self.waiting = None;
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::Find => self.find(text, cx.book),
            ask => self.written(ask, text, cx),
        }
    }
}
