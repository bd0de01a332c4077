//! Opening a logbook, beginning one, and what is found beside its log.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use super::profile::InForce;
use super::{Book, OpenError, behind, profile};
use crate::boat::{Boat, ProfileSet};
use crate::checklist::Library;
use crate::defects::{Doubt, NotCounted};
use crate::logbook::clock::Clock;
use crate::logbook::disk::RealDisk;
use crate::logbook::fold::fold;
use crate::logbook::folder::Folder;
use crate::logbook::read::{Log, read_log};
use crate::logbook::rescued::{Rescued, look_for};
use crate::logbook::seen::Seen;
use crate::logbook::session::Session;
use crate::logbook::texts;
use crate::logbook::understand::understand;

/// The id of the record that first set up the profile.
fn profile_id(log: &Log) -> Option<&str> {
    let first = log.entries.iter().find(|e| &*e.ev == "boat");
    first.map(|e| e.id.as_str())
}

impl Book {
    /// Opens the logbook in a folder. Reading changes nothing on disk.
    ///
    /// # Errors
    /// [`OpenError`]; damage within the record is no error but a problem to be told.
    pub fn open(
        root: &Path,
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
    ) -> Result<Book, OpenError> {
        let folder = Folder::new(root);
        let seen = Seen::before_reading(root);
        let log = read_log(root, &*clock)?;
        let profile = profile::read_file(&folder);
        let rescued = look_for(&folder, &log, profile_id(&log), None);
        Ok(Book::of(folder, profile, (log, seen), clock, library, seed)?.with(rescued))
    }

    /// The same to record something in it: what was rescued when it could not be saved is taken in
    /// first.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn open_to_record(
        root: &Path,
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
    ) -> Result<Book, OpenError> {
        let folder = Folder::new(root);
        let profile = profile::read_file(&folder);
        let mut seen = Seen::before_reading(root);
        let mut log = read_log(root, &*clock)?;
        let rescued = look_for(&folder, &log, profile_id(&log), Some(&*clock));
        if !rescued.taken.is_empty() {
            seen = Seen::before_reading(root);
            log = read_log(root, &*clock)?;
        }
        Ok(Book::of(folder, profile, (log, seen), clock, library, seed)?.with(rescued))
    }

    /// What was rescued and lies there untaken is not counted, and every answer says so.
    fn with(mut self, rescued: Rescued) -> Book {
        let doubts = rescued.left.iter().map(|left| {
            let told = NotCounted {
                file: Some(left.file.display().to_string()),
                line: None,
                item: None,
                why: left.why.clone(),
            };
            match left.ours {
                true => Doubt::blocking(told),
                false => Doubt::said(told),
            }
        });
        self.beside.extend(doubts);
        self.doubt_anew();
        self.rescued = rescued;
        self
    }

    /// Begins a logbook in a folder that has none.
    ///
    /// # Errors
    /// Where the folder cannot be written.
    pub fn create(
        root: &Path,
        boat: Boat,
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
    ) -> Result<Book, OpenError> {
        let folder = Folder::new(root);
        let seen = Seen::before_reading(root);
        let log = (read_log(root, &*clock)?, seen);
        let profile = Ok(boat.clone().into());
        let mut book = Book::of(folder, profile, log, clock, library, seed)?;
        book.set_boat(boat)?;
        Ok(book)
    }

    pub(super) fn of(
        folder: Folder,
        profile: Result<ProfileSet, OpenError>,
        (mut log, mut seen): (Log, Seen),
        clock: Rc<dyn Clock>,
        base: Arc<Library>,
        seed: Option<u64>,
    ) -> Result<Book, OpenError> {
        // A fixed seed must not give two sessions one id: what the log holds already goes into it.
        let mut rng = seed.map_or_else(fastrand::Rng::new, |seed| {
            let held = (log.entries.len() as u64).wrapping_mul(0x9E37_79B9_7F4A_7C15);
            fastrand::Rng::with_seed(seed ^ held)
        });
        let app = concat!("handlamp ", env!("CARGO_PKG_VERSION"));
        let session = Session::new(
            Box::new(RealDisk),
            folder.clone(),
            app,
            log.newest,
            rng.fork(),
        );
        seen.read(&log.files);
        let others = log.files.iter().filter(|file| file.live).count();
        let clocks = std::mem::take(&mut log.clocks);
        let read = understand(&mut log);
        let mut problems = log.problems;
        problems.extend(read.refused);
        let history = fold(&read.written);
        let profile = InForce::new(&history, profile, &read.written)?;
        let own = texts::boats_own(&folder, &base, &read.written);
        let library = texts::library(&folder, &base, &own, &history);
        let mut book = Book {
            folder,
            session,
            clock,
            rng,
            base,
            library,
            boat: profile.boat().clone(),
            profile,
            written: read.written,
            own,
            history,
            problems,
            suspects: read.suspects,
            beside: Vec::new(),
            clocks,
            newer: read.newer,
            others,
            rescued: Rescued::default(),
            unread: read.unread,
            seen,
            unread_since: None,
            known: behind::Known::default(),
            trouble: None,
        };
        book.doubt_anew();
        book.settle_profile();
        book.problems.extend(book.profile_notes());
        Ok(book)
    }
}
