//! A checklist of one's own by keys: made in three questions, then changed row by row.

mod forms;
pub mod rows;

use std::sync::Arc;

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::checklist::own_list::Change;
use crate::checklist::{Cadence, Checklist, Library, PhaseState};
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::facts::{Facts, stepped};
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, View};
use crate::screen::layers::Choice;
use rows::Row;

/// The screen of a checklist of one's own.
pub struct OwnListScreen {
    /// The checklist; none while its first questions are asked.
    list: Option<Checklist>,
    library: Arc<Library>,
    rows: Vec<Row>,
    cursor: usize,
    title: String,
}

/// What is picked.
#[derive(Clone, Debug)]
pub enum Pick {
    /// How the engine is in one more phase.
    State,
    /// Which of these items is the first in it.
    First(PhaseState, Vec<String>),
    /// Which of these items a phase asks as well.
    Item(String, Vec<String>),
    /// How often a phase asks an item, and whether it must be seen.
    Often(String, String),
    /// Whether it is offered.
    Offered,
}

/// What is typed.
#[derive(Clone, Debug)]
pub enum Line {
    /// What the new one is called.
    New,
    /// A part of the name of the first item of a phase in this state.
    FindFirst(PhaseState),
    /// A part of the name of an item that a phase asks as well.
    FindItem(String),
    /// What it is called.
    Title,
    /// What it is for.
    Purpose,
    /// What comes before the first row of a phase.
    Before(String),
    /// A part of a row's words.
    Find,
}

/// How often a row can be asked.
const OFTEN: [Cadence; 3] = [Cadence::EveryTime, Cadence::Weekly, Cadence::Monthly];

impl OwnListScreen {
    /// One to be made.
    pub fn new(book: &Book) -> OwnListScreen {
        OwnListScreen {
            list: None,
            library: Arc::clone(book.library()),
            rows: Vec::new(),
            cursor: 0,
            title: String::new(),
        }
    }

    /// One that is there.
    pub fn of(book: &Book, id: &str) -> Option<OwnListScreen> {
        let list = book.library().checklist(id)?.clone();
        Some(OwnListScreen {
            rows: rows::rows(&list),
            list: Some(list),
            ..OwnListScreen::new(book)
        })
    }

    fn row(&self) -> Option<&Row> {
        self.rows.get(self.cursor)
    }

    fn go_to(&mut self, row: &Row) {
        if let Some(at) = self.rows.iter().position(|other| other == row) {
            self.cursor = at;
        }
    }

    fn go(&mut self, action: Action) {
        let rows = self.rows.iter().enumerate();
        let open = rows.filter(|(_, row)| !matches!(row, Row::Phase(_)));
        self.cursor = stepped(action, self.cursor, open.map(|(n, _)| n));
    }
}

impl Asks for OwnListScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Shown for OwnListScreen {
    fn context(&self) -> Context {
        Context::Profile
    }

    /// No picture stands beside words of one's own.
    fn offers(&self, action: Action) -> bool {
        action != Action::Photo
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        let Some(list) = &self.list else { return };
        let facts = Facts {
            left: &list.title,
            right: "your own",
            rows: self.rows.iter().map(|row| row.told(list)).collect(),
            cursor: self.cursor,
            why: (self.row().map(Row::why).unwrap_or_default(), ""),
            more: "",
        };
        facts.draw(view, frame, area);
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.library = Arc::clone(book.library());
        let Some(id) = self.list.as_ref().map(|list| list.id.clone()) else {
            return true;
        };
        let here = self.row().cloned();
        self.list = self.library.checklist(&id).cloned();
        self.rows = self.list.as_ref().map(rows::rows).unwrap_or_default();
        if let Some(here) = here {
            self.go_to(&here);
        }
        self.cursor = self.cursor.min(self.rows.len().saturating_sub(1));
        self.list.is_some()
    }
}

impl Screen for OwnListScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Back => cx.go(Go::BackAnew),
            Action::Answer => self.ask(cx),
            Action::Find => self.ask_find(cx),
            _ => self.go(action),
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, _of: &Choice, cx: &mut Cx<'_, Self>) {
        if let Err(told) = self.taken(ask, at, cx) {
            cx.warn(told);
        }
    }

    fn left_list(&mut self, ask: Pick, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::State if self.list.is_none() => self.ask_title(cx),
            Pick::First(state, _) => self.ask_first(state, cx),
            Pick::Item(phase, _) => self.ask_item(phase, cx),
            Pick::State | Pick::Often(..) | Pick::Offered => {}
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        match ask {
            Line::New => self.named(text, cx),
            Line::FindFirst(state) => self.find_first(state, text, cx),
            Line::FindItem(phase) => self.find_item(phase, text, cx),
            Line::Title => self.change(&Change::Title(text.to_owned()), cx),
            Line::Purpose => self.change(&Change::Purpose(text.to_owned()), cx),
            Line::Before(phase) => self.change(&Change::Before(phase, text.to_owned()), cx),
            Line::Find => self.find(text),
        }
    }

    fn left_line(&mut self, ask: Line, _text: &str, cx: &mut Cx<'_, Self>) {
        match ask {
            Line::New => cx.go(Go::BackAnew),
            Line::FindFirst(_) if self.list.is_none() => self.ask_state(cx),
            _ => {}
        }
    }
}
