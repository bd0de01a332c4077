//! The document of a walk: what stands before its findings, entered row by row, and issuing it under a
//! number. What was issued is shown with its code.

mod draw;
mod forms;

use std::collections::BTreeMap;
use std::time::{Duration, Instant};

use crate::defects::front::offered;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::report::issue::list::issued;
use crate::report::issue::{Ask, Made};
use crate::report::making::Making;
use crate::report::pictures::PhotoSize;
use crate::report::words::Language;
use crate::report::write;
use crate::screen::facts::{NOT_FOUND, next_of, stepped};
use crate::screen::kind::{Asks, Cx, Go, Screen};
use crate::screen::layers::{Choice, NoteInput};
use crate::screen::shared::Shared;
use crate::text::capital;
use crate::walk::front::FrontGroup;
use crate::walk::{FrontFact, FrontMatter};

/// How often a document under way is looked at.
const LOOK: Duration = Duration::from_millis(50);

/// The screen of the document of a walk.
pub struct DocumentScreen {
    walk: String,
    title: String,
    front: FrontMatter,
    offers: BTreeMap<FrontFact, String>,
    /// What was issued of it, in words.
    issued: Vec<String>,
    rows: Vec<Row>,
    cursor: usize,
    /// As it is to be issued.
    ask: Ask,
    /// Name of the file.
    file: String,
    /// Under way, and when it is to be looked at.
    making: Option<(Making<Made>, Instant)>,
    /// Made, and not issued yet.
    made: Option<Made>,
}

/// One line of the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Row {
    /// What follows is under it.
    Head(&'static str),
    /// Something that was issued, by its place.
    Issued(usize),
    /// It is made, and then asked about.
    Issue,
    /// Its number.
    Number,
    /// Why it is issued again.
    Why,
    /// Whether it has costs.
    Costs,
    /// How large its photographs are.
    Photographs,
    /// Its language.
    Language,
    /// Its file.
    File,
    /// An entry before its findings.
    Fact(FrontFact),
}

/// What is picked.
#[derive(Clone, Copy, Debug)]
pub enum Pick {
    /// A word for an entry.
    Word(FrontFact),
    /// What is known of an entry, or another text.
    Offer(FrontFact),
    /// With costs, or without.
    Costs,
    /// How large photographs are.
    Photographs,
    /// In which language.
    Language,
    /// It is issued now, or not.
    Issue,
}

/// What is typed.
#[derive(Clone, Copy, Debug)]
pub enum Line {
    /// A part of a row's words.
    Find,
    /// An entry.
    Fact(FrontFact),
    /// The number.
    Number,
    /// Why it is issued again.
    Why,
    /// The file.
    File,
}

impl Asks for DocumentScreen {
    type Pick = Pick;
    type Line = Line;
}

impl DocumentScreen {
    /// Of a walk of the book.
    pub fn of(book: &Book, walk: &str) -> Option<DocumentScreen> {
        let known = book.history().walk(walk)?;
        let date = known.at.format("%Y-%m-%d").to_string();
        let mut screen = DocumentScreen {
            walk: walk.to_owned(),
            title: format!("Report of the walk of {date}"),
            front: FrontMatter::default(),
            offers: BTreeMap::new(),
            issued: Vec::new(),
            rows: Vec::new(),
            cursor: 0,
            ask: Ask {
                walk: walk.to_owned(),
                assistants: Vec::new(),
                number: None,
                addendum: false,
                language: Language::English,
                costs: false,
                photographs: PhotoSize::Usual,
                why: None,
                by: None,
            },
            file: write::file_name(&[&book.boat().name, &date, &known.checklist]),
            making: None,
            made: None,
        };
        screen.read(book);
        screen.cursor = screen.rows.iter().position(|row| row.is_open())?;
        Some(screen)
    }

    /// Takes in what the book says; false where the walk is gone.
    fn read(&mut self, book: &Book) -> bool {
        let Some(walk) = book.history().walk(&self.walk) else {
            return false;
        };
        self.front = walk.front.clone();
        self.offers = offered(book.boat(), book.history(), walk);
        let all = issued(book);
        let own = all.iter().filter(|s| s.issued.walks.contains(&self.walk));
        let told = own.map(|s| {
            let gone = if s.taken_back { ", taken back" } else { "" };
            let since = match s.changed_since {
                true => ", changed since on record",
                false => "",
            };
            let day = s.at.format("%-d %b %Y");
            let name = s.issued.name();
            format!("{name}, {day}, code {}{gone}{since}", s.issued.code)
        });
        self.issued = told.collect();
        self.rows = self.all_rows();
        self.cursor = self.cursor.min(self.rows.len().saturating_sub(1));
        true
    }

    fn all_rows(&self) -> Vec<Row> {
        let mut rows = Vec::new();
        if !self.issued.is_empty() {
            rows.push(Row::Head("Issued"));
            rows.extend((0..self.issued.len()).map(Row::Issued));
        }
        for group in FrontGroup::ALL {
            rows.push(Row::Head(heading(group)));
            rows.extend(group.facts().map(Row::Fact));
        }
        rows.push(Row::Head("Issue it"));
        if !self.issued.is_empty() {
            rows.push(Row::Why);
        }
        rows.extend([
            Row::Number,
            Row::Costs,
            Row::Photographs,
            Row::Language,
            Row::File,
            Row::Issue,
        ]);
        rows
    }

    fn words(&self, row: &Row) -> (String, Option<String>) {
        let known = |text: Option<&str>| {
            let text = text.map(|text| text.replace('\n', "; "));
            Some(text.unwrap_or_else(|| crate::boat::facts::NOT_KNOWN.to_owned()))
        };
        match row {
            Row::Head(words) => ((*words).to_owned(), None),
            Row::Issued(n) => (self.issued.get(*n).cloned().unwrap_or_default(), None),
            Row::Issue => (
                "Make it, and see what it says before it is issued".to_owned(),
                None,
            ),
            Row::Number => {
                let number = self.ask.number.as_deref();
                let number = number.unwrap_or("the next by itself");
                ("Number".to_owned(), Some(number.to_owned()))
            }
            Row::Why => (
                "Why it is issued again".to_owned(),
                known(self.ask.why.as_deref()),
            ),
            Row::Costs => {
                let costs = if self.ask.costs { "in it" } else { "left out" };
                (
                    "What putting right may cost".to_owned(),
                    Some(costs.to_owned()),
                )
            }
            Row::Photographs => {
                let size = self.ask.photographs.to_string();
                ("Photographs".to_owned(), Some(size))
            }
            Row::Language => {
                let language = language_words(self.ask.language);
                ("Language".to_owned(), Some(language.to_owned()))
            }
            Row::File => ("File".to_owned(), Some(self.file.clone())),
            Row::Fact(fact) => {
                let value = known(self.front.get(*fact));
                let offer = self.offers.get(fact).zip(value.as_ref());
                let offer = offer.map(|(offer, value)| format!("{value}; offered: {offer}"));
                (capital(&fact.words()), offer.or(value))
            }
        }
    }

    fn why(&self) -> (String, String) {
        let Some(row) = self.rows.get(self.cursor) else {
            return Default::default();
        };
        let one = |text: &str| (text.to_owned(), String::new());
        match row {
            Row::Head(_) => Default::default(),
            Row::Issued(n) => {
                // Whole, where the row has no room for it.
                let whole = self.issued.get(*n).map_or("", String::as_str);
                one(&format!(
                    "{whole}. It stays as it was issued. The code is given by another way than the page: by voice, on paper. Its page is written again with: handlamp issued NUMBER --to FILE.html"
                ))
            }
            Row::Issue => {
                one("Nothing is issued before you have seen number, size and what is missing.")
            }
            Row::Number => {
                one("Year and a count, or your own. A number once given is never given again.")
            }
            Row::Why => one("It stands in the revision beside what changed."),
            Row::Costs => one("Left out unless you want them in it."),
            Row::Photographs => one(
                "small goes by mail, usual is for half a page of paper, full as they were taken in. The size of the file is told before it is written.",
            ),
            Row::Language => one("What you and others wrote stays as it was written."),
            Row::File => one("Where the page goes; a plain file of that name is written over."),
            Row::Fact(fact) => {
                let offer = self.offers.get(fact);
                let offer = offer
                    .map(|text| format!("Known already, and entered only if you take it: {text}"));
                (
                    format!("{}.", capital(fact.asked())),
                    offer.unwrap_or_default(),
                )
            }
        }
    }

    fn find(&mut self, text: &str) -> Result<(), String> {
        let wanted = text.to_lowercase();
        let found = next_of(self.cursor, self.rows.len(), |at| {
            let (words, _) = self.words(&self.rows[at]);
            self.rows[at].is_open() && words.to_lowercase().contains(&wanted)
        });
        self.cursor = found.ok_or(NOT_FOUND)?;
        Ok(())
    }
}

impl Row {
    fn is_open(&self) -> bool {
        !matches!(self, Row::Head(_))
    }
}

fn language_words(language: Language) -> &'static str {
    match language {
        Language::English => "English",
        Language::German => "German",
    }
}

const fn heading(group: FrontGroup) -> &'static str {
    match group {
        FrontGroup::Instruction => "Who asked for it",
        FrontGroup::Surveyor => "Who made it",
        FrontGroup::Day => "Where and how she lay",
        FrontGroup::Boat => "The boat, as on her plates",
        FrontGroup::Machinery => "The machinery, as on its plates",
        FrontGroup::Basis => "What it rests on besides",
    }
}

impl Screen for DocumentScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        // It stays in sight until it is known what came of it.
        if let Some((making, _)) = &self.making {
            if action == Action::Back {
                making.stop();
            }
            return;
        }
        match action {
            Action::Back => cx.go(Go::BackAnew),
            Action::Answer => self.ask_row(cx),
            Action::Find => self.ask_find(cx),
            _ => {
                let rows = self.rows.iter().enumerate();
                let open = rows.filter(|(_, row)| row.is_open()).map(|(n, _)| n);
                self.cursor = stepped(action, self.cursor, open);
            }
        }
    }

    fn picked(&mut self, ask: Pick, at: usize, of: &Choice, cx: &mut Cx<'_, Self>) {
        if let Err(told) = self.taken(ask, at, of, cx) {
            cx.warn(told);
        }
    }

    fn left_list(&mut self, ask: Pick, cx: &mut Cx<'_, Self>) {
        if matches!(ask, Pick::Issue) {
            self.not_issued(cx);
        }
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        self.written(ask, text, cx)
    }

    fn noted(&mut self, ask: Line, note: &NoteInput, end: bool, cx: &mut Cx<'_, Self>) {
        if let (Line::Fact(fact), true) = (ask, end)
            && let Err(told) = self.enter(fact, &note.area.lines().join("\n"), cx)
        {
            cx.warn(told);
        }
    }

    fn wakes_at(&mut self, _shared: &Shared, _book: &Book) -> Option<Instant> {
        self.making.as_ref().map(|(_, at)| *at)
    }

    fn woken(&mut self, cx: &mut Cx<'_, Self>) {
        self.look(cx);
    }
}
