//! The program: what stands on what, and how events change it. Drawing reads it and changes nothing.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use ratatui::Frame;
use ratatui::buffer::Buffer;

use crate::checklist::FINDING;
use crate::keys::{Action, Context};
use crate::logbook::book::{Book, OpenError};
use crate::paint::theme::ThemeName;
use crate::screen::front::{Base, Open};
use crate::screen::kind::{Finder, Go, To};
use crate::screen::late_bell::LateBell;
use crate::screen::shared::{Notice, Setup, Shared};
use crate::screen::start::{Start, tell_problems};
use crate::screen::{draw, others, routes};
use crate::terminal::app_loop::{self, Flow};
use crate::terminal::bounded::bounded;
use crate::terminal::input::Incoming;
use crate::terminal::signals::Signal;

/// How often saving is tried again by itself while records wait.
const RETRY: Duration = Duration::from_secs(5);

/// The screens, one on the other, and what they rest on.
pub struct App {
    pub(super) base: Base,
    /// The topmost last; boxes stand over the screen beneath them.
    pub(super) stack: Vec<Box<dyn Open>>,
    pub(super) size: (u16, u16),
    retry_at: Option<Instant>,
    bell: LateBell,
    leaving: bool,
}

impl App {
    /// Opens the logbook and its first screen. Without a boat the first start begins.
    ///
    /// # Errors
    /// The logbook cannot be read.
    pub fn open(setup: Setup) -> Result<App, OpenError> {
        let book = match setup.open_book() {
            Ok(book) => Some(book),
            Err(OpenError::NoBoat(_)) => None,
            Err(error) => return Err(error),
        };
        let shared = Shared::new(setup);
        let mut app = App {
            base: Base { shared, book },
            stack: Vec::new(),
            size: (80, 24),
            retry_at: None,
            bell: LateBell::default(),
            leaving: false,
        };
        match &app.base.book {
            Some(book) => {
                tell_problems(&mut app.base.shared, book);
                app.to(To::Boat(0));
            }
            None => {
                let dir = app.base.shared.setup.root.clone();
                app.stack = vec![Start::at(&dir, &mut app.base.shared)];
            }
        }
        Ok(app)
    }

    /// Goes straight into a walk with a checklist.
    ///
    /// # Errors
    /// One sentence where there is no such checklist.
    pub fn open_walk(
        &mut self,
        checklist: &str,
        machine: Option<&str>,
        guest: Option<String>,
    ) -> Result<(), String> {
        let Some(book) = &self.base.book else {
            return Ok(());
        };
        if book.library().checklist(checklist).is_none() {
            let known = book.library().checklists().iter();
            let known: Vec<_> = known.map(|c| c.id.as_str()).collect();
            return Err(format!(
                "there is no checklist '{checklist}'; there are {}",
                known.join(", ")
            ));
        }
        let first = book.boat().machines.first().map(|m| m.id.clone());
        let machine = machine.map(str::to_owned).or(first).unwrap_or_default();
        if checklist == FINDING {
            self.open_trouble();
            return Ok(());
        }
        let list = book.library().checklist(checklist);
        let walked = book.boat().machines.iter().find(|m| m.id == machine);
        let unsuited = list.zip(walked);
        if let Some(why) = unsuited.and_then(|(list, m)| book.library().unsuited(list, m)) {
            return Err(why);
        }
        self.to(To::Walk {
            checklist: checklist.to_owned(),
            machine,
            asked: false,
            guest,
        });
        Ok(())
    }

    /// The context whose keys work now.
    pub fn context(&self) -> Context {
        self.stack
            .last()
            .map_or(Context::Choice, |top| top.context())
    }

    /// Whether an action of the screen in front works: nothing stands over it.
    pub(super) fn is_bare(&self) -> bool {
        self.stack.last().is_some_and(|top| top.is_bare())
    }

    /// Opens a screen in place of all that stands; a box over it. Where there is nothing to show the
    /// screen in front stays, and no box over it.
    fn to(&mut self, to: To) {
        let Some(front) = routes::open(to, &mut self.base) else {
            return self.drop_boxes();
        };
        if !routes::is_box(front.as_ref()) {
            self.stack.clear();
        }
        self.stack.push(front);
    }

    /// Does what the screen at a place of the stack said.
    fn go(&mut self, from: usize, go: Option<Go>) {
        let Some(go) = go else { return };
        match go {
            Go::Home => self.to(To::Boat(0)),
            Go::To(to) => self.to(to),
            Go::Anew => self.renew(),
            Go::Back | Go::BackAnew => {
                self.stack.remove(from);
                if matches!(go, Go::BackAnew) {
                    self.renew();
                }
                if self.stack.is_empty() {
                    self.to(To::Boat(0));
                }
            }
            Go::Instead(to) => {
                if let Some(front) = routes::open(to, &mut self.base) {
                    self.stack[from] = front;
                }
            }
            Go::Over(to) => self.stack.extend(routes::open(to, &mut self.base)),
            Go::Shelf => self.back_to_shelf(),
            Go::Leave => self.leaving = true,
        }
    }

    /// Closes the logbook that is open and asks for another, unless it has something in memory only.
    fn back_to_shelf(&mut self) {
        if self.still_unsaved() {
            return;
        }
        if let Some(mut book) = self.base.book.take() {
            book.finish();
        }
        let shared = &mut self.base.shared;
        shared.desk = Default::default();
        let dir = shared.shelf.take().unwrap_or_default();
        self.stack = vec![Start::at(&dir, shared)];
    }

    /// Makes all screens anew from the book; what has nothing left to show goes.
    fn renew(&mut self) {
        let Some(book) = &self.base.book else { return };
        self.stack.retain_mut(|front| front.renew(book));
        // A box stands over something.
        if self
            .stack
            .iter()
            .all(|front| routes::is_box(front.as_ref()))
        {
            let boat = routes::open(To::Boat(0), &mut self.base);
            self.stack.splice(0..0, boat);
        }
    }

    fn act(&mut self, action: Action) -> Flow {
        match action {
            Action::Quit => return self.leave(),
            Action::Suspend => {
                self.tell_clock_runs_on();
                return Flow::Suspend;
            }
            Action::Help => {
                if let Some(top) = self.stack.last_mut() {
                    top.help();
                }
            }
            Action::Screenshot => self.picture(),
            Action::Theme => self.next_theme(),
            Action::SaveAgain => {
                if !self.still_unsaved() {
                    self.base.shared.tell("all is saved");
                }
            }
            Action::OpenReadings if self.is_bare() => self.open_readings(),
            Action::Causes if self.is_bare() => self.open_causes(),
            Action::OpenService if self.is_bare() => self.to(To::Service),
            Action::OpenEntries if self.is_bare() => self.to(To::Entries),
            Action::OpenUnderWay if self.is_bare() => self.to(To::UnderWay),
            Action::OpenLocker if self.is_bare() => self.to(To::Locker),
            Action::Symptoms if !self.is_among_symptoms() => self.open_symptoms(),
            Action::Trouble if !self.is_bare() || !self.is_finding() => self.open_trouble(),
            _ => self.on_top(|top, base| top.act(action, base)),
        }
        if self.leaving { Flow::Quit } else { Flow::Stay }
    }

    /// Lets what is in front do something, and goes where it says.
    fn on_top(&mut self, does: impl FnOnce(&mut dyn Open, &mut Base) -> Option<Go>) {
        let at = self.stack.len().saturating_sub(1);
        let top = self.stack.last_mut();
        let go = top.and_then(|top| does(top.as_mut(), &mut self.base));
        self.go(at, go);
    }

    /// True where what was found beside a walk is in front.
    fn is_finding(&self) -> bool {
        let top = self.stack.last().and_then(|top| top.shown());
        top.is_some_and(|top| top.is_finding())
    }

    /// Asks what is wrong, over all that stands: what is half typed there is kept, and stays.
    fn open_trouble(&mut self) {
        if self.is_finding() {
            return self
                .base
                .shared
                .warn("Esc first: this one is still asked about");
        }
        self.keep();
        let Some(finder) = self.finder() else {
            let told = "which boat first; then what is wrong aboard her";
            return self.base.shared.warn(told);
        };
        let trouble = routes::open(To::Trouble(finder), &mut self.base);
        self.stack.extend(trouble);
    }

    /// True where nothing stands over what she does, or over what comes first then.
    fn is_among_symptoms(&self) -> bool {
        let top = self.stack.last().and_then(|top| top.shown());
        self.is_bare() && top.is_some_and(|top| top.is_symptoms())
    }

    /// Asks what she does, over all that stands, as what is wrong is asked.
    fn open_symptoms(&mut self) {
        self.keep();
        let Some(finder) = self.finder() else {
            let told = "which boat first; handlamp first-minute prints the cards without one";
            return self.base.shared.warn(told);
        };
        let symptoms = routes::open(To::Symptoms(finder), &mut self.base);
        self.stack.extend(symptoms);
    }

    /// Who would find something now, and on which machine: what stands in front tells; none without a
    /// logbook.
    fn finder(&self) -> Option<Finder> {
        let book = self.base.book.as_ref()?;
        let shown = || self.stack.iter().rev().filter_map(|front| front.shown());
        let first = || book.boat().machines.first().map(|m| m.id.as_str());
        let machine = shown().find_map(|screen| screen.machine()).or_else(first);
        Some(Finder {
            machine: machine.unwrap_or_default().to_owned(),
            blind: shown().any(|screen| screen.is_blind(book)),
            guest: shown().find_map(|screen| screen.guest()),
            asks: None,
        })
    }

    /// Shows what is behind the findings, over the screen in front; back to it where one came from there.
    fn open_causes(&mut self) {
        let Some(finder) = self.finder() else { return };
        if finder.blind {
            let hidden = "in a blind walk nothing of this is shown: it tells what was found before";
            return self.base.shared.warn(hidden);
        }
        let top = self.stack.len().saturating_sub(1);
        let beneath = top.checked_sub(1).and_then(|at| self.stack.get(at));
        let beneath = beneath.and_then(|front| front.shown());
        if beneath.is_some_and(|shown| shown.context() == Context::Causes) {
            return self.go(top, Some(Go::BackAnew));
        }
        let causes = routes::open(To::Causes(finder), &mut self.base);
        self.stack.extend(causes);
    }

    /// Opens the readings over the screen in front.
    fn open_readings(&mut self) {
        let (Some(top), Some(book)) = (self.stack.last(), &self.base.book) else {
            return;
        };
        let Some(shown) = top.shown() else { return };
        if shown.is_blind(book) {
            let hidden = "earlier readings are hidden in a blind walk";
            return self.base.shared.warn(hidden);
        }
        let (item, state) = shown.in_front();
        let readings = routes::open(To::Readings(item, state), &mut self.base);
        self.stack.extend(readings);
    }

    fn next_theme(&mut self) {
        let names = ThemeName::ALL;
        let theme = &mut self.base.shared.setup.theme;
        let at = names.iter().position(|n| *n == theme.name).unwrap_or(0);
        theme.name = names[(at + 1) % names.len()];
        let told = format!("theme: {}", theme.name);
        self.base.shared.tell(told);
    }

    /// A program stopped and brought back finds its clocks further on.
    fn tell_clock_runs_on(&mut self) {
        let mut shown = self.stack.iter().filter_map(|front| front.shown());
        if shown.any(|screen| screen.runs(&self.base.shared)) {
            let told = "the clock ran on while the program was stopped";
            self.base.shared.tell(told);
        }
    }

    /// Leaves, unless records are in memory only: then asks.
    fn leave(&mut self) -> Flow {
        self.keep();
        if self.still_unsaved() {
            return Flow::Stay;
        }
        if let Some(book) = &mut self.base.book {
            book.finish();
        }
        self.drop_boxes();
        Flow::Quit
    }

    /// Tries to save what waits; true, and asked what to do, where records are left in memory only.
    fn still_unsaved(&mut self) -> bool {
        let unsaved = self.base.book.as_mut().map_or(0, |book| {
            if book.unsaved() > 0 {
                book.retry();
            }
            book.unsaved()
        });
        if unsaved == 0 {
            return false;
        }
        // The answers stand there already, unless a folder is being typed or help is read.
        let top = self.stack.last().and_then(|top| top.shown());
        let asks = top.is_some_and(|top| top.asks_where_to_save());
        if !(asks && self.context() == Context::Choice) {
            self.to(To::Unsaved);
        }
        true
    }

    /// Keeps what is half typed.
    fn keep(&mut self) {
        for front in &mut self.stack {
            front.keep(&mut self.base);
        }
    }

    /// A report under way is given up with its box.
    fn drop_boxes(&mut self) {
        self.stack.retain(|front| !routes::is_box(front.as_ref()));
    }

    /// Before the end by a signal: the draft, then what waits, then the mark of a clean end.
    fn save_all(&mut self) {
        self.keep();
        if let Some(book) = &mut self.base.book {
            if book.unsaved() > 0 {
                book.retry();
            }
            book.finish();
        }
    }

    /// Takes in what others wrote since, and says what came.
    fn take_in_others(&mut self) -> Option<Notice> {
        let begun = self.is_on_record();
        let book = self.base.book.as_mut()?;
        let was_cut_off = book.is_cut_off();
        // That it cannot be read says the line of what is not counted, and stays.
        let news = book.refresh().unwrap_or_default();
        let turned = book.is_cut_off() != was_cut_off;
        if news.is_some() || turned {
            self.renew();
        }
        let news = news?;
        let lost = begun && !self.is_on_record();
        let book = self.base.book.as_ref()?;
        let mut shown = self.stack.iter().filter_map(|front| front.shown());
        let blind = shown.any(|screen| screen.is_blind(book));
        others::told(book, &news, lost, blind)
    }

    fn is_on_record(&self) -> bool {
        let mut shown = self.stack.iter().filter_map(|front| front.shown());
        let book = self.base.book.as_ref();
        book.is_some_and(|book| shown.any(|screen| screen.is_on_record(book)))
    }

    /// Told beside what is told already.
    fn tell_also(&mut self, news: Option<Notice>) {
        let Some(news) = news else { return };
        let notice = &mut self.base.shared.notice;
        *notice = Some(match notice.take() {
            Some(told) => Notice {
                text: format!("{}; {}", news.text, told.text),
                bad: news.bad || told.bad,
            },
            None => news,
        });
    }

    fn look_at_clock(&mut self) {
        for front in &mut self.stack {
            front.look_at_clock(&mut self.base);
        }
    }

    /// After every turn: when to wake next. While records wait in memory saving is tried again by
    /// itself, whatever left them there.
    fn rest(&mut self) {
        let waiting = self.base.book.as_ref().is_some_and(|b| b.unsaved() > 0);
        let next = self.retry_at.unwrap_or_else(|| Instant::now() + RETRY);
        self.retry_at = waiting.then_some(next);
        let off = !self.base.shared.setup.late_bell;
        self.bell.rest(self.base.book.as_ref(), off);
        for front in &mut self.stack {
            front.rest(&self.base);
        }
    }

    /// The cells of the screen at a size.
    pub fn buffer(&self, columns: u16, rows: u16) -> Buffer {
        draw::buffer(self, columns, rows)
    }

    /// The logbook's folder.
    pub fn root(&self) -> &std::path::Path {
        &self.base.shared.setup.root
    }

    /// What could not be saved, as lines of the log; printed when the terminal is back, to be kept as
    /// a file in the log's folder.
    pub fn unsaved_lines(&self) -> Vec<String> {
        let book = self.base.book.as_ref();
        book.map(Book::unsaved_lines).unwrap_or_default()
    }
}

impl app_loop::App for App {
    fn draw(&self, frame: &mut Frame<'_>) {
        draw::screen(self, frame);
    }

    fn on(&mut self, incoming: Incoming) -> Flow {
        let mut flow = Flow::Stay;
        match incoming {
            Incoming::Key(key) => {
                self.base.shared.notice = None;
                let news = self.take_in_others();
                self.look_at_clock();
                match self.base.shared.setup.keys.lookup(self.context(), &key) {
                    Some(action) => flow = self.act(action),
                    None => self.on_top(|top, base| top.key(&key, base)),
                }
                self.tell_also(news);
            }
            Incoming::Paste(text) => {
                self.on_top(|top, base| {
                    top.paste(&text, base);
                    None
                });
            }
            Incoming::Burst(keys) => {
                let told = format!(
                    "{keys} keys came faster than typing and were left out; text can be pasted into a note or a field"
                );
                self.base.shared.warn(told);
            }
            Incoming::Resize => {
                if let Ok((columns, rows)) = crossterm::terminal::size() {
                    self.size = bounded((columns, rows).into()).into();
                }
            }
            Incoming::Changed => {
                let news = self.take_in_others();
                // What was good news a while ago makes room; a warning stays beside it.
                let notice = &mut self.base.shared.notice;
                notice.take_if(|told| news.is_some() && !told.bad);
                self.tell_also(news);
            }
            Incoming::Signal(Signal::Continued) => {
                let news = self.take_in_others();
                self.tell_clock_runs_on();
                self.look_at_clock();
                self.tell_also(news);
            }
            Incoming::Signal(Signal::Suspend) => self.save_all(),
            Incoming::Signal(Signal::Terminate(_)) | Incoming::Hangup | Incoming::InputError(_) => {
                self.save_all();
                self.drop_boxes();
            }
            Incoming::CannotSuspend => {
                let told = "nothing could continue the program here, so it does not stop";
                self.base.shared.warn(told);
            }
        }
        self.rest();
        if self.leaving { Flow::Quit } else { flow }
    }

    fn folders(&self) -> Vec<PathBuf> {
        let book = self.base.book.as_ref();
        book.map(Book::folders).unwrap_or_default()
    }

    fn deadline(&self) -> Option<Instant> {
        let fronts = self.stack.iter().filter_map(|front| front.wakes_at());
        let bell = self.bell.wakes_at();
        fronts.chain(self.retry_at).chain(bell).min()
    }

    fn on_deadline(&mut self) {
        let now = Instant::now();
        if self.retry_at.is_some_and(|at| at <= now) {
            self.retry_at = None;
            if self.base.book.as_mut().is_none_or(Book::retry) {
                self.base.shared.tell("saved again; nothing was lost");
            }
        }
        if let Some(due) = self.bell.wake(now) {
            self.look_at_clock();
            let told = format!("the round of {} is late", due.format("%H:%M"));
            self.base.shared.warn(told);
        }
        for at in (0..self.stack.len()).rev() {
            let front = self.stack.get_mut(at);
            let go = front.and_then(|front| front.wake(now, &mut self.base));
            self.go(at, go);
        }
        self.rest();
    }

    fn is_heard(&mut self) -> bool {
        self.bell.is_heard()
    }

    fn takes_text(&self) -> bool {
        self.context().takes_text()
    }
}
