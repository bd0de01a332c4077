//! Everything on record, entry by entry: found by words as they are typed, shown in full, taken back,
//! put right, moved.
//!
//! - `mend`: the questions that lead there
//! - [`mod@draw`]: the list

mod draw;
mod mend;

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::logbook::entries::{Entry, entries};
use crate::logbook::mend::{Reason, put_back, set_aside, take_back};
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, To, View, moved};
use crate::screen::layers::{Choice, LineInput};

use mend::{Ask, Line};

/// A page of the list.
const PAGE: usize = 10;

/// The list of entries, newest first.
pub struct EntriesScreen {
    /// All of them.
    all: Vec<Entry>,
    /// The words of each, once something is looked for: none is put together anew at every key.
    words: Vec<String>,
    /// Places in `all` of those that have what is typed.
    shown: Vec<usize>,
    /// Under the arrow.
    cursor: usize,
    /// What is looked for.
    needle: LineInput,
    /// It is being typed: letters are text.
    finding: bool,
    /// One machine, or all.
    machine: Option<String>,
    /// It stands over the screen whose entry is to be taken back.
    over: bool,
}

impl EntriesScreen {
    /// All entries of the book.
    pub fn new(book: &Book) -> EntriesScreen {
        let mut screen = EntriesScreen {
            all: Vec::new(),
            words: Vec::new(),
            shown: Vec::new(),
            cursor: 0,
            needle: LineInput::default(),
            finding: false,
            machine: None,
            over: false,
        };
        screen.read(book);
        screen
    }

    /// What is on record about an item or of a walk, by its id; the arrow on the newest entry that
    /// counts.
    pub fn about(book: &Book, id: &str) -> EntriesScreen {
        let mut screen = EntriesScreen::new(book);
        screen.over = true;
        screen.needle.insert(id);
        screen.look_up();
        let counts = |at: &usize| screen.row(*at).is_some_and(Entry::counts);
        screen.cursor = (0..screen.shown.len()).find(counts).unwrap_or(0);
        screen
    }

    fn read(&mut self, book: &Book) {
        let catalogue = &book.library().catalogue;
        let title = |id: &str| catalogue.item(id).map_or(id, |item| &item.title).to_owned();
        self.all = entries(book.written(), &title);
        self.words.clear();
        self.look_up();
    }

    /// Finds anew what has the words typed, each of them.
    fn look_up(&mut self) {
        let needle = self.needle.text().to_lowercase();
        let needles: Vec<&str> = needle.split_whitespace().collect();
        if self.words.is_empty() && !needles.is_empty() {
            self.words = self.all.iter().map(words).collect();
        }
        let has = |place: usize| {
            let words = self.words.get(place).map_or("", String::as_str);
            needles.iter().all(|needle| words.contains(needle))
        };
        let here = |entry: &Entry| {
            let asked = self.machine.as_ref();
            asked.is_none_or(|asked| entry.machine.as_ref().is_none_or(|own| own == asked))
        };
        let all = self.all.iter().enumerate();
        let found = all.filter(|(place, entry)| here(entry) && has(*place));
        self.shown = found.map(|(place, _)| place).collect();
        self.cursor = self.cursor.min(self.shown.len().saturating_sub(1));
    }

    fn row(&self, at: usize) -> Option<&Entry> {
        self.all.get(*self.shown.get(at)?)
    }

    /// The entry under the arrow.
    fn entry(&self) -> Option<&Entry> {
        self.row(self.cursor)
    }

    /// The next machine that entries name, or all.
    fn next_machine(&mut self, book: &Book) {
        let machines = &book.boat().machines;
        let at = self.machine.as_ref();
        let at = at.and_then(|id| machines.iter().position(|m| m.id == *id));
        let next = machines.get(at.map_or(0, |at| at + 1));
        self.machine = next.map(|m| m.id.clone());
        self.cursor = 0;
        self.look_up();
    }

    /// What one key does to an entry: it is taken back, or counts again.
    pub fn turn(&self, cx: &mut Cx<'_, Self>) {
        let Some(entry) = self.entry() else {
            return cx.tell("nothing to take back");
        };
        if !entry.counts() {
            let records = put_back(cx.book, &entry.id);
            return mend::confirm(records, "counts again", cx);
        }
        mend::ask_why(entry, cx);
    }
}

impl Asks for EntriesScreen {
    type Pick = Ask;
    type Line = Line;
}

impl Shown for EntriesScreen {
    fn context(&self) -> Context {
        match self.finding {
            true => Context::Pick,
            false => Context::Entries,
        }
    }

    fn draw(&self, view: &View<'_>, frame: &mut Frame<'_>, area: Rect) {
        draw::draw(view, self, frame, area);
    }

    /// The arrow stays on its entry.
    fn renew(&mut self, book: &Book) -> bool {
        let id = self.entry().map(|entry| entry.id.clone());
        self.read(book);
        let same = |place: &usize| self.all.get(*place).map(|entry| &entry.id) == id.as_ref();
        self.cursor = self.shown.iter().position(same).unwrap_or(self.cursor);
        true
    }

    fn offers(&self, action: Action) -> bool {
        !matches!(action, Action::ShowEntry | Action::Undo) || self.entry().is_some()
    }
}

impl Screen for EntriesScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Pick => self.finding = false,
            Action::Find => self.finding = true,
            Action::ShowEntry => {
                if let Some(entry) = self.entry() {
                    mend::show(entry, cx);
                }
            }
            Action::Undo => self.turn(cx),
            Action::FilterMachine => self.next_machine(cx.book),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::OpenWalks => cx.go(Go::To(To::Walks)),
            Action::Back if self.over && !self.finding => cx.go(Go::BackAnew),
            Action::Back if !self.needle.text().is_empty() => {
                self.needle = LineInput::default();
                self.finding = false;
                self.look_up();
            }
            Action::Back if self.finding => self.finding = false,
            Action::Back => cx.go(Go::Home),
            _ if self.finding && self.needle.edit(action) => {
                self.cursor = 0;
                self.look_up();
            }
            _ => {
                let moved = moved(action, self.cursor, self.shown.len(), PAGE);
                self.cursor = moved.unwrap_or(self.cursor);
            }
        }
    }

    /// While something is looked for, letters are of it.
    fn key(&mut self, key: &Key, _: &mut Cx<'_, Self>) {
        if self.finding {
            self.needle.key(key);
            self.cursor = 0;
            self.look_up();
        }
    }

    fn paste(&mut self, text: &str, _: &mut Cx<'_, Self>) -> bool {
        if self.finding {
            self.needle.insert(text);
            self.cursor = 0;
            self.look_up();
        }
        self.finding
    }

    fn picked(&mut self, ask: Ask, at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        mend::picked(ask, at, cx);
    }

    fn typed(&mut self, ask: Line, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        mend::typed(ask, text, cx)
    }
}

/// What an entry is found by, in small letters.
fn words(entry: &Entry) -> String {
    let own = [
        entry.walk.as_deref(),
        entry.item.as_deref(),
        entry.by.as_deref(),
    ];
    let own: Vec<&str> = own.into_iter().flatten().collect();
    let day = entry.at.format("%Y-%m-%d %H:%M");
    format!("{} {} {day} {}", entry.words, entry.kind, own.join(" ")).to_lowercase()
}

/// Why an entry is taken back or put right, by whoever sits here.
fn reason(why: &str, cx: &Cx<'_, EntriesScreen>) -> Reason {
    Reason {
        why: why.trim().to_owned(),
        by: cx.setup.by.clone(),
    }
}

/// The records that take an entry back, a walk with all its looks.
fn taken_back(
    book: &Book,
    entry: &mend::Whose,
    reason: &Reason,
) -> Result<Vec<crate::logbook::record::Record>, Vec<crate::defects::admit::Fault>> {
    match &entry.begins {
        Some(walk) => set_aside(book, walk, reason),
        None => take_back(book, &entry.id, reason),
    }
}
