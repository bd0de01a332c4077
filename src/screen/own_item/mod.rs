//! An item of one's own by keys: made in five questions, then changed row by row, with the words that
//! the walk will show.

pub mod draw;
mod forms;

use std::sync::Arc;

use crate::checklist::own_item::NewItem;
use crate::checklist::{Ask, Cadence, EffectKind, Item, Kind, Library, OwnRow, Scope};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::kind::{Asks, Cx, Go, Screen, moved};
use crate::screen::layers::Choice;

/// The screen of an item of one's own.
pub struct OwnItemScreen {
    /// The item; none while its first questions are asked.
    item: Option<Item>,
    library: Arc<Library>,
    rows: Vec<Row>,
    cursor: usize,
    /// It is shown as it is asked, in place of its questions.
    as_asked: bool,
    begun: Begun,
}

/// What is known of an item before it is made.
#[derive(Clone, Debug, Default)]
struct Begun {
    title: String,
    station: String,
    kind: Option<Kind>,
    effect: Option<EffectKind>,
}

impl Begun {
    fn of(&self, scope: Scope) -> Option<NewItem> {
        Some(NewItem {
            title: self.title.clone(),
            station: self.station.clone(),
            kind: self.kind?,
            effect: self.effect?,
            scope,
        })
    }
}

/// One line of the screen.
#[derive(Clone, Debug, PartialEq)]
enum Row {
    /// A question about it.
    Ask(Ask),
    /// It is asked in a checklist, by a row of one's own.
    Asked(OwnRow),
    /// Where else it is to be asked.
    AskIn,
    /// How it will be asked.
    AsAsked,
}

/// What is picked.
#[derive(Clone, Debug)]
pub enum Pick {
    /// Where one stands to see the new one.
    NewStation,
    /// What sort of thing the new one is.
    NewKind,
    /// What follows when the new one fails.
    NewEffect,
    /// One for each machine, or one aboard.
    NewScope,
    /// An answer.
    Answer(Ask),
    /// Which of the effects.
    Effect,
    /// How surely an effect follows.
    Chance(EffectKind),
    /// In which of these checklists and phases it is asked.
    AskIn(Vec<(String, String)>),
    /// How often it is asked there.
    Often(String, String),
    /// What is to be done with a row of one's own.
    Asked(OwnRow),
}

/// What is typed.
#[derive(Clone, Debug)]
pub enum Line {
    /// What the new one is called.
    New,
    /// An answer.
    Answer(Ask),
    /// A part of a row's words.
    Find,
}

impl OwnItemScreen {
    /// One to be made.
    pub fn new(book: &Book) -> OwnItemScreen {
        OwnItemScreen {
            item: None,
            library: Arc::clone(book.library()),
            rows: Vec::new(),
            cursor: 0,
            as_asked: false,
            begun: Begun::default(),
        }
    }

    /// One that is there.
    pub fn of(book: &Book, id: &str) -> Option<OwnItemScreen> {
        let mut screen = OwnItemScreen::new(book);
        screen.item = book.library().catalogue.item(id).cloned();
        screen.item.as_ref()?;
        screen.rows = screen.rows();
        Some(screen)
    }

    fn rows(&self) -> Vec<Row> {
        let Some(item) = &self.item else {
            return Vec::new();
        };
        let own = self.library.own_rows().filter(|row| row.item == item.id);
        let mut rows = vec![Row::AsAsked];
        rows.extend(own.cloned().map(Row::Asked));
        rows.push(Row::AskIn);
        rows.extend(Ask::ALL.iter().copied().map(Row::Ask));
        rows
    }

    fn words(&self, row: &Row) -> (String, Option<String>) {
        match row {
            Row::AsAsked => ("Show it as it will be asked".to_owned(), None),
            Row::AskIn => {
                let asked = self.rows.iter().any(|row| matches!(row, Row::Asked(_)));
                let words = if asked {
                    "Ask it in one more place"
                } else {
                    "Asked nowhere yet: say where"
                };
                (words.to_owned(), None)
            }
            Row::Asked(row) => {
                let place = place(&self.library, &row.checklist, &row.phase);
                (
                    format!("Asked in {place}"),
                    Some(row.cadence.words().to_owned()),
                )
            }
            Row::Ask(ask) => {
                let shown = self
                    .item
                    .as_ref()
                    .map(|item| ask.shown(item, &self.library));
                (ask.words().to_owned(), shown)
            }
        }
    }

    fn row(&self) -> Option<&Row> {
        self.rows.get(self.cursor)
    }

    fn go_to(&mut self, row: &Row) {
        if let Some(at) = self.rows.iter().position(|other| other == row) {
            self.cursor = at;
        }
    }
}

impl Row {
    fn why(&self) -> &'static str {
        match self {
            Row::AsAsked => {
                "As whoever walks will see it: caution first, then how to look, then the five rungs."
            }
            Row::Asked(_) => "Enter changes how often, or takes it out of there.",
            Row::AskIn => {
                "Beside what the checklist asks itself. A walk begun before goes on as it was begun."
            }
            Row::Ask(ask) => ask.why(),
        }
    }
}

/// A phase of a checklist in words.
fn place(library: &Library, list: &str, phase: &str) -> String {
    let Some(list) = library.checklist(list) else {
        return format!("{list}, which is not there");
    };
    let phase = list.phases.iter().find(|p| p.id == phase);
    let phase = phase.or(list.phases.first()).map_or("", |p| &p.title);
    format!("{}: {phase}", list.title)
}

/// How often a row can be asked.
const OFTEN: [Cadence; 3] = [Cadence::EveryTime, Cadence::Weekly, Cadence::Monthly];

impl Asks for OwnItemScreen {
    type Pick = Pick;
    type Line = Line;
}

impl Screen for OwnItemScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Back | Action::Answer if self.as_asked => self.as_asked = false,
            Action::Back => cx.go(Go::BackAnew),
            Action::Answer => self.ask(cx),
            Action::Find => self.ask_find(cx),
            _ if self.as_asked => {}
            _ => {
                let at = moved(action, self.cursor, self.rows.len(), 10);
                self.cursor = at.unwrap_or(self.cursor);
            }
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, of: &Choice, cx: &mut Cx<'_, Self>) {
        if let Err(told) = self.taken(ask, at, of, cx) {
            cx.warn(told);
        }
    }

    fn left_list(&mut self, ask: Pick, cx: &mut Cx<'_, Self>) {
        match ask {
            Pick::NewStation => self.ask_title(cx),
            Pick::NewKind => self.ask_station(cx),
            Pick::NewEffect => self.ask_kind(cx),
            Pick::NewScope => self.ask_effect(cx),
            Pick::Chance(_) => self.ask_effects(cx),
            Pick::Often(..) => self.ask_where(cx),
            Pick::Answer(_) | Pick::Effect | Pick::AskIn(_) | Pick::Asked(_) => {}
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        self.written(ask, text, cx)
    }

    fn left_line(&mut self, ask: Line, _text: &str, cx: &mut Cx<'_, Self>) {
        if matches!(ask, Line::New) {
            cx.go(Go::BackAnew);
        }
    }
}
