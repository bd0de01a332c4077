//! The state of the screens and how events change it. Drawing reads it and changes nothing.

use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;
use std::time::{Duration, Instant};

use ratatui::Frame;

use crate::boat::units::Volume;
use crate::checklist::Library;
use crate::keys::{Action, Context, KeyTable};
use crate::logbook::book::{Book, OpenError};
use crate::logbook::record::Record;
use crate::logbook::{Clock, Severity};
use crate::paint::theme::{Theme, ThemeName};
use crate::screen::boat::BoatScreen;
use crate::screen::defects::DefectsScreen;
use crate::screen::layers::ask::Ask;
use crate::screen::layers::{HelpView, Layer};
use crate::screen::readings::ReadingsScreen;
use crate::screen::service::ServiceScreen;
use crate::screen::service::forms::Desk;
use crate::screen::start::shelf::Shelf;
use crate::screen::verdict::VerdictScreen;
use crate::screen::walk::WalkScreen;
use crate::screen::walks::WalksScreen;
use crate::screen::{draw, start};
use crate::terminal::app_loop::Flow;
use crate::terminal::bounded::bounded;
use crate::terminal::input::Incoming;
use crate::terminal::signals::Signal;

/// How often saving is tried again by itself while records wait.
const RETRY: Duration = Duration::from_secs(5);
/// A sync that takes longer than this is told on the row.
pub const SLOW_SYNC: Duration = Duration::from_millis(50);

/// What the screens are opened with.
pub struct Setup {
    /// The logbook's folder.
    pub root: PathBuf,
    /// Time.
    pub clock: Rc<dyn Clock>,
    /// What can be looked at.
    pub library: Arc<Library>,
    /// Keys, the user's in them.
    pub keys: KeyTable,
    /// Look.
    pub theme: Theme,
    /// Who walks.
    pub by: Option<String>,
    /// Fixes ids and file names, for reproducible runs.
    pub seed: Option<u64>,
    /// Where pictures of the screen go.
    pub pictures: PathBuf,
    /// Where the newest record seen of each logbook is kept, outside of it.
    pub marks: Option<PathBuf>,
}

/// Everything the screens know.
pub struct App {
    pub(super) setup: Setup,
    pub(super) book: Option<Book>,
    pub(super) screen: Screen,
    pub(super) layers: Vec<Layer>,
    pub(super) notice: Option<Notice>,
    pub(super) size: (u16, u16),
    pub(super) retry_at: Option<Instant>,
    pub(super) draft_at: Option<Instant>,
    /// When the countdown of a phase shows another figure.
    pub(super) count_at: Option<Instant>,
    pub(super) leaving: bool,
    pub(super) answers: start::Answers,
    /// The boats to choose from, where the folder holds several logbooks.
    pub(super) shelf: Option<Shelf>,
    /// The bucket last named.
    pub(super) bucket: Option<Volume>,
    /// The folder of the last picture taken in, as typed.
    pub(super) pictures_from: String,
    /// What is being written about services.
    pub(super) desk: Desk,
}

/// Which screen lies beneath the layers.
pub enum Screen {
    /// First start: there is no boat yet.
    Start,
    /// The boat.
    Boat(Box<BoatScreen>),
    /// A walk.
    Walk(Box<WalkScreen>),
    /// The end of a walk.
    Verdict(Box<VerdictScreen>),
    /// The defect list.
    Defects(Box<DefectsScreen>),
    /// Past walks.
    Walks(Box<WalksScreen>),
    /// Readings in time.
    Readings(Box<ReadingsScreen>),
    /// What is due.
    Service(Box<ServiceScreen>),
}

/// One line told above the footer, until the next key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What is told.
    pub text: String,
    /// It is bad news.
    pub bad: bool,
}

impl Setup {
    /// The logbook in its folder.
    pub(super) fn open_book(&self) -> Result<Book, OpenError> {
        let (clock, library) = (Rc::clone(&self.clock), Arc::clone(&self.library));
        let mut book = Book::open_to_record(&self.root, clock, library, self.seed)?;
        book.mind(self.marks.as_deref());
        Ok(book)
    }
}

impl App {
    /// Opens the logbook and its first screen. Without a boat the first start begins.
    ///
    /// # Errors
    /// The logbook cannot be read.
    pub fn open(setup: Setup) -> Result<App, OpenError> {
        let (book, shelf) = match setup.open_book() {
            Ok(book) => (Some(book), None),
            Err(OpenError::NoBoat(_)) => (None, Shelf::at(&setup.root)),
            Err(error) => return Err(error),
        };
        let mut app = App {
            setup,
            book,
            screen: Screen::Start,
            layers: Vec::new(),
            notice: None,
            size: (80, 24),
            retry_at: None,
            draft_at: None,
            count_at: None,
            leaving: false,
            answers: start::Answers::default(),
            shelf,
            bucket: None,
            pictures_from: String::new(),
            desk: Desk::default(),
        };
        if app.book.is_some() {
            app.go_home();
            app.tell_problems();
        } else {
            app.first_layer();
        }
        Ok(app)
    }

    /// Goes straight into a walk with a checklist.
    ///
    /// # Errors
    /// One sentence where there is no such checklist.
    pub fn open_walk(&mut self, checklist: &str, machine: Option<&str>) -> Result<(), String> {
        let Some(book) = &self.book else {
            return Ok(());
        };
        if book.library().checklist(checklist).is_none() {
            let known: Vec<_> = book
                .library()
                .checklists()
                .iter()
                .map(|c| c.id.as_str())
                .collect();
            return Err(format!(
                "there is no checklist '{checklist}'; there are {}",
                known.join(", ")
            ));
        }
        let machine = match machine {
            Some(machine) => machine.to_owned(),
            None => book
                .boat()
                .machines
                .first()
                .map(|m| m.id.clone())
                .unwrap_or_default(),
        };
        self.begin_walk(checklist, &machine);
        Ok(())
    }

    pub(super) fn tell_problems(&mut self) {
        let Some(book) = &self.book else { return };
        let damage = book
            .problems()
            .iter()
            .filter(|p| p.severity() == Severity::Damage)
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
            self.warn(said.join("; "));
        } else if !said.is_empty() {
            self.tell(said.join("; "));
        }
    }

    /// The context whose keys work now.
    pub fn context(&self) -> Context {
        if let Some(layer) = self.layers.last() {
            return layer.context();
        }
        match &self.screen {
            Screen::Start => Context::Choice,
            Screen::Boat(_) => Context::Boat,
            Screen::Walk(_) => Context::Walk,
            Screen::Verdict(_) => Context::Verdict,
            Screen::Defects(_) => Context::Defects,
            Screen::Walks(_) => Context::Walks,
            Screen::Readings(_) => Context::Readings,
            Screen::Service(_) => Context::Service,
        }
    }

    pub(super) fn tell(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            bad: false,
        });
    }

    pub(super) fn warn(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            bad: true,
        });
    }

    /// Records, and says so loudly where saving failed. What was recorded stands in the state in
    /// any case. Returns the ids; none where the records have no form that could be written.
    pub(super) fn record(&mut self, records: Vec<Record>) -> Option<Vec<String>> {
        let book = self.book.as_mut()?;
        match book.record(records) {
            Ok(ids) => Some(ids),
            Err(error) => {
                self.warn(error.to_string());
                None
            }
        }
    }

    /// While records wait in memory saving is tried again by itself, whatever left them there.
    fn watch_saving(&mut self) {
        let waiting = self.book.as_ref().is_some_and(|b| b.unsaved() > 0);
        let next = self.retry_at.unwrap_or_else(|| Instant::now() + RETRY);
        self.retry_at = waiting.then_some(next);
    }

    /// To the boat screen.
    pub(super) fn go_home(&mut self) {
        if let Some(book) = &self.book {
            let before = match &self.screen {
                Screen::Boat(boat) => Some(boat.machine),
                _ => None,
            };
            self.screen = Screen::Boat(Box::new(BoatScreen::new(book, before.unwrap_or(0))));
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
                if !matches!(self.layers.last(), Some(Layer::Help(_))) {
                    let context = self.context();
                    self.layers
                        .push(Layer::Help(HelpView { context, scroll: 0 }));
                }
            }
            Action::Screenshot => self.picture(),
            Action::Theme => self.next_theme(),
            Action::SaveAgain => self.save_again(),
            _ if !self.layers.is_empty() => self.layer_act(action),
            Action::OpenReadings => self.open_readings(),
            Action::OpenService => self.open_service(),
            _ => match self.screen {
                Screen::Start => {}
                Screen::Boat(_) => self.boat_act(action),
                Screen::Walk(_) => self.walk_act(action),
                Screen::Verdict(_) => self.verdict_act(action),
                Screen::Defects(_) => self.defects_act(action),
                Screen::Walks(_) => self.walks_act(action),
                Screen::Readings(_) => self.readings_act(action),
                Screen::Service(_) => self.service_act(action),
            },
        }
        if self.leaving { Flow::Quit } else { Flow::Stay }
    }

    fn next_theme(&mut self) {
        let names = ThemeName::ALL;
        let at = names
            .iter()
            .position(|n| *n == self.setup.theme.name)
            .unwrap_or(0);
        self.setup.theme.name = names[(at + 1) % names.len()];
        self.tell(format!("theme: {}", self.setup.theme.name));
    }

    /// Leaves, unless records are in memory only: then asks.
    fn leave(&mut self) -> Flow {
        self.keep_draft();
        if self.still_unsaved() {
            return Flow::Stay;
        }
        if let Some(book) = &mut self.book {
            book.finish();
        }
        self.give_up_report();
        Flow::Quit
    }

    /// Tries again to save what is in memory only, and offers other ways where that fails.
    fn save_again(&mut self) {
        if !self.still_unsaved() {
            self.tell("all is saved");
        }
    }

    /// Tries to save what waits; true, and asked what to do, where records are left in memory only.
    pub(super) fn still_unsaved(&mut self) -> bool {
        let unsaved = self.book.as_mut().map_or(0, |book| {
            if book.unsaved() > 0 {
                book.retry();
            }
            book.unsaved()
        });
        if unsaved == 0 {
            return false;
        }
        if !matches!(self.layers.last(), Some(Layer::Choice(c)) if c.ask == Ask::Unsaved) {
            self.layers.push(Layer::choice(
                format!("{unsaved} record(s) are NOT SAVED and in memory only"),
                vec![
                    "try again".into(),
                    "save to another folder".into(),
                    "leave, and keep them in a rescue file".into(),
                    "stay".into(),
                ],
                Ask::Unsaved,
            ));
        }
        true
    }

    /// The cells of the screen at a size.
    pub fn buffer(&self, columns: u16, rows: u16) -> ratatui::buffer::Buffer {
        draw::buffer(self, columns, rows)
    }

    /// The logbook's folder.
    pub fn root(&self) -> &std::path::Path {
        &self.setup.root
    }

    /// What could not be saved, as lines of the log; printed when the terminal is back, to be kept as
    /// a file in the log's folder.
    pub fn unsaved_lines(&self) -> Vec<String> {
        self.book
            .as_ref()
            .map(Book::unsaved_lines)
            .unwrap_or_default()
    }

    /// Tells how the last save went where that is worth a word.
    pub(super) fn slow_sync(&self) -> Option<Duration> {
        self.book
            .as_ref()
            .map(Book::last_sync)
            .filter(|d| *d > SLOW_SYNC)
    }
}

impl crate::terminal::app_loop::App for App {
    fn draw(&self, frame: &mut Frame<'_>) {
        draw::screen(self, frame);
    }

    fn on(&mut self, incoming: Incoming) -> Flow {
        let mut flow = Flow::Stay;
        match incoming {
            Incoming::Key(key) => {
                self.notice = None;
                let news = self.take_in_others();
                self.watch_clock();
                match self.setup.keys.lookup(self.context(), &key) {
                    Some(action) => flow = self.act(action),
                    None => self.layer_key(key),
                }
                self.tell_also(news);
            }
            Incoming::Paste(text) => self.paste(&text),
            Incoming::Burst(keys) => {
                self.warn(format!("{keys} keys came faster than typing and were left out; text can be pasted into a note or a field"));
            }
            Incoming::Resize => {
                if let Ok((columns, rows)) = crossterm::terminal::size() {
                    self.size = bounded((columns, rows).into()).into();
                }
            }
            Incoming::Changed => {
                let news = self.take_in_others();
                // What was good news a while ago makes room; a warning stays beside it.
                if news.is_some() && self.notice.as_ref().is_some_and(|n| !n.bad) {
                    self.notice = None;
                }
                self.tell_also(news);
            }
            Incoming::Signal(Signal::Continued) => {
                let news = self.take_in_others();
                self.tell_clock_runs_on();
                self.watch_clock();
                self.tell_also(news);
            }
            Incoming::Signal(Signal::Suspend) => self.save_all(),
            Incoming::Signal(Signal::Terminate(_)) | Incoming::Hangup | Incoming::InputError(_) => {
                self.save_all();
                self.give_up_report();
            }
            Incoming::CannotSuspend => {
                self.warn("nothing could continue the program here, so it does not stop")
            }
        }
        self.watch_saving();
        self.count_at = self.next_count();
        if self.leaving { Flow::Quit } else { flow }
    }

    fn folders(&self) -> Vec<PathBuf> {
        self.book.as_ref().map(Book::folders).unwrap_or_default()
    }

    fn deadline(&self) -> Option<Instant> {
        [
            self.retry_at,
            self.draft_at,
            self.count_at,
            self.next_tick(),
            self.report_look(),
        ]
        .into_iter()
        .flatten()
        .min()
    }

    fn on_deadline(&mut self) {
        let now = Instant::now();
        if self.draft_at.is_some_and(|at| at <= now) {
            self.keep_draft();
        }
        if self.retry_at.is_some_and(|at| at <= now) {
            self.retry_at = None;
            if self.book.as_mut().is_none_or(Book::retry) {
                self.tell("saved again; nothing was lost");
            }
        }
        if self.count_at.is_some_and(|at| at <= now) {
            self.counted();
        }
        if self.report_look().is_some_and(|at| at <= now) {
            self.look_at_report();
        }
        self.count_at = self.next_count();
        self.watch_saving();
    }

    fn takes_text(&self) -> bool {
        self.context().takes_text()
    }
}

impl App {
    /// Before the end by a signal: the draft, then what waits, then the mark of a clean end.
    fn save_all(&mut self) {
        self.keep_draft();
        if let Some(book) = &mut self.book {
            if book.unsaved() > 0 {
                book.retry();
            }
            book.finish();
        }
    }
}
