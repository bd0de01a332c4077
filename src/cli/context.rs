//! What every command works with: time, form of answers, the library, the logbook.

use std::cell::{Cell, OnceCell, RefCell};
use std::mem::ManuallyDrop;
use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use sha2::{Digest, Sha256};

use super::answer::Form;
use super::failure::{Failure, USAGE};
use super::{Global, place};
use crate::boat::Role;
use crate::checklist::{Library, nearest};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::logbook::book::{Book, OpenError};
use crate::logbook::disk::read_settings;
use crate::logbook::{Clock, FixedClock, Gravity, Log, ProblemKind, SystemClock};
use crate::paint::theme::ThemeName;
use crate::settings::{self, Config};

/// The largest file of the user's own checklists.
const LARGEST_FILE: u64 = 1 << 20;

/// A logbook that is only read. What ten years on record take in memory goes with the process, which
/// ends with the answer, and not piece by piece before.
pub type ToRead = ManuallyDrop<Book>;

/// The surroundings of one command.
pub struct Context {
    /// The options every command takes.
    pub global: Global,
    /// Text or JSON, as asked.
    pub form: Form,
    /// The computer's time, or what `--now` says.
    pub clock: Rc<dyn Clock>,
    library: OnceCell<Arc<Library>>,
    notes: RefCell<Vec<String>>,
    /// A part of the logbook could not be read.
    unread: Cell<bool>,
}

impl Context {
    /// From the options every command takes and the width of the terminal.
    pub fn new(global: Global, width: usize) -> Context {
        let clock: Rc<dyn Clock> = match global.now {
            Some(now) => Rc::new(FixedClock::as_of(now)),
            None => Rc::new(SystemClock::new()),
        };
        Context {
            form: Form::new(global.json, width),
            global,
            clock,
            library: OnceCell::new(),
            notes: RefCell::default(),
            unread: Cell::default(),
        }
    }

    /// Fixes ids where the time is fixed. What is to be recorded goes into them, so that two copies
    /// of a logbook do not give one id to different records of one time.
    pub fn seed(&self, recorded: &str) -> Option<u64> {
        let now = self.global.now?.timestamp_millis();
        let mut first = [0; 8];
        let digest = Sha256::new()
            .chain_update(now.to_be_bytes())
            .chain_update(recorded)
            .finalize();
        first.copy_from_slice(&digest[..8]);
        Some(u64::from_be_bytes(first))
    }

    /// The logbook's folder.
    ///
    /// # Errors
    /// Where none is named and the system knows no home.
    pub fn root(&self) -> Result<PathBuf, Failure> {
        place::logbook(self.global.logbook.as_deref())
    }

    /// The screens' settings, as `config.json` has them.
    ///
    /// # Errors
    /// What is wrong with the file.
    pub fn settings(&self) -> Result<Config, Failure> {
        let names: Vec<_> = ThemeName::ALL.iter().map(|name| name.as_str()).collect();
        match place::config() {
            Some(folder) => {
                settings::read(&folder.join("config.json"), &names).map_err(|sentences| Failure {
                    code: USAGE,
                    sentences,
                })
            }
            None => Ok(Config::default()),
        }
    }

    /// The user's own catalogue files and checklists, name and text of each, by name.
    ///
    /// # Errors
    /// One that cannot be read, by name.
    pub fn user_files(&self) -> Result<Vec<(String, String)>, Failure> {
        let Some(folder) = place::config().map(|dir| dir.join("checklists")) else {
            return Ok(Vec::new());
        };
        let refuse = |path: &PathBuf, why: String| {
            Failure::usage(format!("{} cannot be read ({why})", path.display()))
        };
        let listed = match std::fs::read_dir(&folder) {
            Ok(listed) => listed,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            Err(e) => return Err(refuse(&folder, e.to_string())),
        };
        let mut paths = Vec::new();
        for entry in listed {
            let path = entry.map_err(|e| refuse(&folder, e.to_string()))?.path();
            let hidden = path
                .file_name()
                .is_some_and(|name| name.to_string_lossy().starts_with('.'));
            if path.extension().is_some_and(|e| e == "json") && !hidden {
                paths.push(path);
            }
        }
        paths.sort();
        let mut files = Vec::with_capacity(paths.len());
        for path in paths {
            let text = read_settings(&path, LARGEST_FILE).map_err(|e| match e.kind() {
                std::io::ErrorKind::FileTooLarge => refuse(&path, "it is larger than 1 MiB".into()),
                _ => refuse(&path, e.to_string()),
            })?;
            files.push((path.display().to_string(), text));
        }
        Ok(files)
    }

    /// What can be looked at: built in, with the user's own files on top.
    ///
    /// # Errors
    /// What is wrong with the user's files.
    pub fn library(&self) -> Result<Arc<Library>, Failure> {
        if let Some(library) = self.library.get() {
            return Ok(Arc::clone(library));
        }
        let library = Arc::new(Library::with_user_files(&self.user_files()?)?);
        Ok(Arc::clone(self.library.get_or_init(|| library)))
    }

    /// The same with what the boat's logbook carries, where there is one.
    ///
    /// # Errors
    /// What is wrong with the user's files, or the logbook cannot be read.
    pub fn library_at_hand(&self) -> Result<Arc<Library>, Failure> {
        self.library_and_roles().map(|(library, _)| library)
    }

    /// The same with the roles of the machine named, or of all the boat has; that of an inboard engine
    /// where there is no boat.
    ///
    /// # Errors
    /// As [`Context::library_at_hand`], or there is no such machine.
    pub fn library_and_roles(&self) -> Result<(Arc<Library>, Vec<Role>), Failure> {
        let base = self.library()?;
        let seed = self.seed("");
        match Book::open(
            &self.root()?,
            Rc::clone(&self.clock),
            Arc::clone(&base),
            seed,
        ) {
            Ok(book) => {
                let wanted = self.global.machine.as_deref();
                wanted.map_or(Ok(()), |id| self.known_machine(&book, id))?;
                let machines = book.boat().machines.iter();
                let machines = machines.filter(|m| wanted.is_none_or(|id| m.id == id));
                let mut roles: Vec<Role> = machines.map(|m| m.role).collect();
                roles.sort_unstable();
                roles.dedup();
                Ok((Arc::clone(book.library()), roles))
            }
            Err(OpenError::NoBoat(_)) => Ok((base, vec![Role::Propulsion])),
            Err(error) => Err(error.into()),
        }
    }

    /// The logbook, to be read; damage in it is told beside the answer.
    ///
    /// # Errors
    /// It is not there, or cannot be read.
    pub fn book(&self) -> Result<ToRead, Failure> {
        self.book_and(|_| ()).map(|(book, ())| book)
    }

    /// The same with what is asked of its log, which is read once for both.
    ///
    /// # Errors
    /// As [`Context::book`].
    pub fn book_and<T>(&self, asked: impl FnOnce(&Log) -> T) -> Result<(ToRead, T), Failure> {
        Ok(self.opened(asked)??)
    }

    /// The same where an answer is owed without a logbook too: none where there is none, or where it
    /// cannot be read, which is then told beside the answer.
    ///
    /// # Errors
    /// What is wrong with the user's files, or no folder is named and the system knows no home.
    pub fn book_at_hand(&self) -> Result<Option<ToRead>, Failure> {
        match self.opened(|_| ())? {
            Ok((book, ())) => Ok(Some(book)),
            Err(OpenError::NoBoat(_)) => Ok(None),
            Err(error) => {
                let failure = Failure::from(error);
                failure.sentences.iter().for_each(|told| self.note(told));
                self.unread.set(true);
                Ok(None)
            }
        }
    }

    fn opened<T>(
        &self,
        asked: impl FnOnce(&Log) -> T,
    ) -> Result<Result<(ToRead, T), OpenError>, Failure> {
        let (clock, library) = (Rc::clone(&self.clock), self.library()?);
        let opened = Book::open_and(&self.root()?, clock, library, self.seed(""), asked);
        Ok(opened.map(|(mut book, answer)| {
            book.mind(place::marks().as_deref());
            self.tell_of(&book);
            (ManuallyDrop::new(book), answer)
        }))
    }

    /// The logbook, to record something in it.
    ///
    /// # Errors
    /// As [`Context::book`].
    pub fn book_for(&self, recorded: &str) -> Result<Book, Failure> {
        let (clock, library) = (Rc::clone(&self.clock), self.library()?);
        let seed = self.seed(recorded);
        let mut book = Book::open_to_record(&self.root()?, clock, library, seed)?;
        book.mind(place::marks().as_deref());
        self.tell_of(&book);
        Ok(book)
    }

    /// What is wrong with the record, beside the answer.
    fn tell_of(&self, book: &Book) {
        let rescued = book.rescued();
        rescued.taken.iter().for_each(|taken| self.note(taken));
        for left in &rescued.left {
            self.note(left.told().sentence());
        }
        let damage = book
            .problems()
            .iter()
            .filter(|p| p.gravity() == Gravity::Damage)
            .count();
        if damage > 0 {
            self.note(format!(
                "{damage} thing(s) in the record are damaged or in doubt; see: handlamp logbook check"
            ));
        }
        let of_profile = book.problems().iter();
        for problem in of_profile.filter(|p| p.kind == ProblemKind::Profile) {
            self.note(problem.to_string());
        }
        let doubts = book.history().doubts.iter();
        self.form.tell(doubts.map(|d| d.told.clone()).collect());
        let mut problems = book.problems().iter();
        if problems.any(|p| p.kind == ProblemKind::Unreadable) {
            self.unread.set(true);
        }
    }

    /// What the records say as of now; where the time is fixed, as of that time.
    pub fn history(&self, book: &Book) -> Rc<History> {
        match self.global.now {
            Some(now) if !book.history().is_all_by(now) => Rc::new(book.history().as_of(now)),
            Some(_) => book.shared_history(),
            None => book.shared_history(),
        }
    }

    /// The condition of the boat, from what the records say.
    pub fn condition(&self, book: &Book, history: &History) -> Condition {
        let library = Arc::clone(book.library());
        let condition = Condition::of(book.boat(), library, history, book.now());
        self.form.tell(condition.not_counted());
        condition
    }

    /// The machine asked for: named, or the only one.
    ///
    /// # Errors
    /// Several and none named, or none of that name.
    pub fn machine(&self, book: &Book) -> Result<String, Failure> {
        let machines = &book.boat().machines;
        let ids = || machines.iter().map(|m| m.id.as_str());
        match (&self.global.machine, machines.as_slice()) {
            (Some(id), _) => self.known_machine(book, id).map(|()| id.clone()),
            (None, [only]) => Ok(only.id.clone()),
            (None, _) => Err(Failure::usage(format!(
                "{} has several machines; name one with --machine: {}",
                book.boat().name,
                ids().collect::<Vec<_>>().join(", ")
            ))),
        }
    }

    /// The logbook to be read, what its records say, and the condition of the boat.
    ///
    /// # Errors
    /// As [`Context::book`].
    pub fn boat(&self) -> Result<(ToRead, Rc<History>, Condition), Failure> {
        let book = self.book()?;
        let history = self.history(&book);
        let condition = self.condition(&book, &history);
        Ok((book, history, condition))
    }

    /// Whether the machine asked for is this one; what the boat has once is of every machine.
    pub fn is_asked(&self, machine: Option<&str>) -> bool {
        let asked = self.global.machine.as_deref();
        asked.is_none_or(|asked| machine.is_none_or(|own| own == asked))
    }

    /// Refuses to be asked for a machine the boat does not have.
    ///
    /// # Errors
    /// One sentence with the nearest id.
    pub fn known_asked(&self, book: &Book) -> Result<(), Failure> {
        let asked = self.global.machine.as_deref();
        asked.map_or(Ok(()), |machine| self.known_machine(book, machine))
    }

    /// Refuses a machine the boat does not have.
    ///
    /// # Errors
    /// One sentence with the nearest id.
    fn known_machine(&self, book: &Book, id: &str) -> Result<(), Failure> {
        let ids = || book.boat().machines.iter().map(|m| m.id.as_str());
        if ids().any(|known| known == id) {
            return Ok(());
        }
        Err(Failure::usage(format!(
            "--machine: {} has no machine '{id}'{}; she has {}",
            book.boat().name,
            nearest(id, ids()).unwrap_or_default(),
            ids().collect::<Vec<_>>().join(", ")
        )))
    }

    /// A sentence for the standard error beside the answer.
    pub fn note(&self, sentence: impl Into<String>) {
        self.notes.borrow_mut().push(sentence.into());
    }

    /// One sentence where this computer's clock is behind the newest record.
    pub fn clock_told(book: &Book) -> Option<String> {
        let (newest, now) = book.clock_behind()?;
        let time = |at: DateTime<FixedOffset>| at.format("%H:%M on %-d %b %Y").to_string();
        Some(format!(
            "this computer says {}, the last record was made at {}; the records keep their order, but set the clock if it is wrong: dates follow from it",
            time(now),
            time(newest)
        ))
    }

    /// A part of what is answered about could not be read.
    pub fn tell_part_unread(&self) {
        self.unread.set(true);
    }

    /// Whether a part of the logbook could not be read: the answer says which, and the exit code
    /// says so too.
    pub fn is_part_unread(&self) -> bool {
        self.unread.get()
    }

    /// The sentences noted up to now; they are told once.
    pub fn take_notes(&self) -> Vec<String> {
        self.notes.take()
    }

    /// The time now, or what `--now` says.
    pub fn now(&self) -> DateTime<FixedOffset> {
        self.clock.now()
    }
}
