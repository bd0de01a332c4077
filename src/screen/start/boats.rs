//! Several boats in one folder: how each stands, and which is opened.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, TryRecvError};
use std::thread;
use std::time::{Duration, Instant};

use crate::keys::Action;
use crate::logbook::glance::Glance;
use crate::logbook::shelf::{OnShelf, logbooks_in, place_for};
use crate::screen::kind::moved;
use crate::screen::shared::Setup;

/// How often it is looked whether another boat is read.
const LOOK: Duration = Duration::from_millis(50);

/// How a boat stands, or why that cannot be said.
type Told = Result<Box<Glance>, String>;

/// A boat to choose.
pub struct Choosable {
    /// The folder of her logbook.
    pub root: PathBuf,
    /// Her name by the file of her profile; none where that cannot be read.
    pub name: Option<String>,
    /// How she stands; none as long as her records are being read.
    pub told: Option<Told>,
}

/// The logbooks in a folder that is none itself. Their records are read one after another on a thread of
/// their own, so that keys are answered meanwhile.
pub struct Boats {
    /// The folder they lie in.
    pub dir: PathBuf,
    /// By the names of their folders.
    pub all: Vec<Choosable>,
    /// Which is in front; behind the last, another one is begun.
    pub cursor: usize,
    reading: Option<(Reading, Instant)>,
}

/// What was chosen.
pub enum Chosen<'a> {
    /// A boat, by her folder.
    Boat(&'a Path),
    /// Another is begun.
    New,
}

impl Boats {
    /// What stands in a folder; none where no logbook does.
    pub fn at(dir: &Path, setup: &Setup) -> Option<Boats> {
        let found = logbooks_in(dir).ok().filter(|found| !found.is_empty())?;
        let choosable = |(root, boat): OnShelf| Choosable {
            root,
            name: boat.as_ref().ok().map(|boat| boat.name.clone()),
            told: boat.err().map(|error| Err(error.to_string())),
        };
        let all: Vec<Choosable> = found.into_iter().map(choosable).collect();
        let reading = Reading::of(&all, setup);
        // Whoever comes back from a boat is at her again.
        let front = all.iter().position(|boat| boat.root == setup.root);
        Some(Boats {
            dir: dir.to_owned(),
            all,
            cursor: front.unwrap_or(0),
            reading: reading.map(|reading| (reading, Instant::now() + LOOK)),
        })
    }

    /// How many lines there are to choose from.
    pub fn count(&self) -> usize {
        self.all.len() + 1
    }

    /// One up or down.
    pub fn step(&mut self, action: Action) {
        let to = moved(action, self.cursor, self.count(), 1);
        self.cursor = to.unwrap_or(self.cursor);
    }

    /// What stands in a place.
    pub fn chosen(&self, at: usize) -> Option<Chosen<'_>> {
        match self.all.get(at) {
            Some(boat) => Some(Chosen::Boat(&boat.root)),
            None => (at == self.all.len()).then_some(Chosen::New),
        }
    }

    /// A folder beside the others for a boat of this name.
    pub fn place_for(&self, name: &str) -> PathBuf {
        place_for(&self.dir, name)
    }

    /// When it is to be looked whether another boat is read; none once all are.
    pub fn wakes_at(&self) -> Option<Instant> {
        self.reading.as_ref().map(|(_, at)| *at)
    }

    /// Takes in what was read meanwhile.
    pub fn woken(&mut self) {
        let Some((reading, at)) = &mut self.reading else {
            return;
        };
        *at = Instant::now() + LOOK;
        loop {
            match reading.told.try_recv() {
                Ok((n, told)) => {
                    if let Some(boat) = self.all.get_mut(n) {
                        boat.told = Some(told);
                    }
                }
                Err(TryRecvError::Empty) => return,
                Err(TryRecvError::Disconnected) => break,
            }
        }
        self.reading = None;
        // Whatever ended the reading early, nothing stands there as if it were still to come.
        let unread = self.all.iter_mut().filter(|boat| boat.told.is_none());
        unread.for_each(|boat| boat.told = Some(Err("her records could not be read".to_owned())));
    }
}

/// Boats being read.
struct Reading {
    told: Receiver<(usize, Told)>,
    stop: Arc<AtomicBool>,
}

impl Reading {
    /// Begins to read those whose profile can be read; none where there is no thread for it.
    fn of(all: &[Choosable], setup: &Setup) -> Option<Reading> {
        let unread = all
            .iter()
            .enumerate()
            .filter(|(_, boat)| boat.told.is_none());
        let roots: Vec<(usize, PathBuf)> = unread.map(|(n, boat)| (n, boat.root.clone())).collect();
        let (now, library) = (setup.clock.now(), Arc::clone(&setup.library));
        let marks = setup.marks.clone();
        let stop = Arc::new(AtomicBool::new(false));
        let (give, told) = mpsc::channel();
        let stopped = Arc::clone(&stop);
        let read = move || {
            for (n, root) in roots {
                if stopped.load(Ordering::Relaxed) {
                    return;
                }
                let glance = Glance::at(&root, now, &library, marks.as_deref());
                let glance = glance.map(Box::new).map_err(|error| error.to_string());
                if give.send((n, glance)).is_err() {
                    return;
                }
            }
        };
        let thread = thread::Builder::new().name("boats".to_owned());
        thread.spawn(read).ok()?;
        Some(Reading { told, stop })
    }
}

impl Drop for Reading {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
    }
}
