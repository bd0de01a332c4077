//! A report made on a thread of its own, so that whoever waits for it can show how far it is, and
//! stop it. The command and the screens make reports in this one way.

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::Duration;

use chrono::{DateTime, FixedOffset};

use super::gather::Source;
use super::leaving_part::BeforeLeavingPart;
use super::words::Language;
use super::write::{self, WriteError, Written};
use crate::boat::Boat;
use crate::checklist::Library;
use crate::defects::{History, NamedPlan};
use crate::logbook::book::Book;
use crate::logbook::{FixedClock, read_log};

/// Said where the report of a walk is to have a plan.
const PLAN_OF_A_WALK: &str = "the report of a past walk tells of that day, and a plan of what is ahead; what to do before leaving goes into a report of the logbook as it stands: handlamp report now";

/// What is to be made, by itself: the logbook may go on being used meanwhile.
pub struct Order {
    boat: Boat,
    library: Arc<Library>,
    history: History,
    now: DateTime<FixedOffset>,
    root: PathBuf,
    /// Id of the walk; none for the logbook as it stands.
    walk: Option<String>,
    /// Where the report goes.
    to: PathBuf,
    language: Language,
    /// What to do before leaving under this plan stands in it too.
    plan: Option<NamedPlan>,
}

impl Order {
    /// The report of a walk of these records, or of all of them, to be written to a file.
    pub fn new(book: &Book, history: History, walk: Option<String>, to: PathBuf) -> Order {
        Order {
            boat: book.boat().clone(),
            library: Arc::clone(book.library()),
            history,
            now: book.now(),
            root: book.root().to_owned(),
            walk,
            to,
            language: Language::English,
            plan: None,
        }
    }

    /// Written in another language than English.
    pub fn in_language(self, language: Language) -> Order {
        Order { language, ..self }
    }

    /// With what to do before leaving under a plan.
    pub fn under_plan(self, plan: Option<NamedPlan>) -> Order {
        Order { plan, ..self }
    }

    /// Makes it and writes it.
    ///
    /// # Errors
    /// [`WriteError`].
    pub fn carry_out(&self, progress: &Progress) -> Result<Written, WriteError> {
        if self.walk.is_some() && self.plan.is_some() {
            return Err(WriteError::Refused(PLAN_OF_A_WALK.to_owned()));
        }
        let log = read_log(&self.root, &FixedClock::new(self.now))?;
        let source = Source {
            boat: &self.boat,
            library: &self.library,
            history: &self.history,
            now: self.now,
        };
        let walk = self.walk.as_ref().and_then(|id| self.history.walk(id));
        let mut report = write::report(&source, walk, &log, self.language);
        if let Some(plan) = &self.plan {
            let part = BeforeLeavingPart::of(&source, plan, self.language);
            report.before_leaving = Some(part.map_err(WriteError::Refused)?);
        }
        write::write(report, &self.to, &self.root, progress)
    }
}

/// How far a report is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stage {
    /// What it says is being put together.
    Gathering,
    /// Its photographs are being made smaller.
    Photographs {
        /// How many are done.
        done: usize,
        /// How many there are to do.
        total: usize,
    },
    /// Its file is being written.
    Writing,
}

/// What the maker of a report and those who wait for it share.
pub struct Progress {
    stage: Mutex<Stage>,
    stop: AtomicBool,
    /// Held while there may be a file that is not whole.
    unwhole: Mutex<()>,
}

impl Default for Progress {
    fn default() -> Progress {
        Progress {
            stage: Mutex::new(Stage::Gathering),
            stop: AtomicBool::new(false),
            unwhole: Mutex::new(()),
        }
    }
}

impl Progress {
    /// How far it is.
    pub fn stage(&self) -> Stage {
        *lock(&self.stage)
    }

    /// Whether it is to be given up.
    pub fn is_stopped(&self) -> bool {
        self.stop.load(Ordering::SeqCst)
    }

    /// It has come so far.
    pub(super) fn reached(&self, stage: Stage) {
        *lock(&self.stage) = stage;
    }

    /// One more photograph is done.
    pub(super) fn one_more(&self) {
        if let Stage::Photographs { done, .. } = &mut *lock(&self.stage) {
            *done += 1;
        }
    }

    /// Does what may leave a file that is not whole for a while.
    pub(super) fn unwhole<T>(&self, work: impl FnOnce() -> T) -> T {
        let _held = lock(&self.unwhole);
        work()
    }
}

pub(super) fn lock<T>(state: &Mutex<T>) -> MutexGuard<'_, T> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A report under way. Dropping it gives it up: nothing of it is on the disk then, and an earlier
/// file is as it was, unless the whole new one is already in its place.
pub struct Making<T = Written> {
    progress: Arc<Progress>,
    answer: Receiver<Result<T, WriteError>>,
}

impl<T: Send + 'static> Making<T> {
    /// Begins.
    ///
    /// # Errors
    /// [`WriteError::Thread`].
    pub fn begin(
        work: impl FnOnce(&Progress) -> Result<T, WriteError> + Send + 'static,
    ) -> Result<Making<T>, WriteError> {
        let progress = Arc::new(Progress::default());
        let of_thread = Arc::clone(&progress);
        let (done, answer) = mpsc::channel();
        thread::Builder::new()
            .name("report".into())
            .spawn(move || {
                // Nobody waits any more where it was given up.
                let _ = done.send(work(&of_thread));
            })
            .map_err(WriteError::Thread)?;
        Ok(Making { progress, answer })
    }
}

impl<T> Making<T> {
    /// How far it is.
    pub fn stage(&self) -> Stage {
        self.progress.stage()
    }

    /// Asks for it to be given up; the answer comes when that is so, or says that it was too late.
    pub fn stop(&self) {
        self.progress.stop.store(true, Ordering::SeqCst);
    }

    /// Whether that was asked for.
    pub fn is_stopped(&self) -> bool {
        self.progress.is_stopped()
    }

    /// What came of it, waited for as long; none while it is still being made.
    pub fn answer(&self, wait: Duration) -> Option<Result<T, WriteError>> {
        match self.answer.recv_timeout(wait) {
            Ok(answer) => Some(answer),
            Err(RecvTimeoutError::Timeout) => None,
            Err(RecvTimeoutError::Disconnected) => Some(Err(WriteError::Broken)),
        }
    }
}

impl<T> Drop for Making<T> {
    fn drop(&mut self) {
        self.stop();
        // Whoever is not writing by now finds that it was stopped before it begins to.
        drop(lock(&self.progress.unwhole));
    }
}
