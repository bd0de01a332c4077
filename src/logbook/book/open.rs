//! Opening a logbook, beginning one, and what is found beside its log.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use super::profile::InForce;
use super::state::State;
use super::{Book, OpenError, behind, profile};
use crate::boat::{Boat, ProfileSet};
use crate::checklist::Library;
use crate::defects::Doubt;
use crate::defects::said::BUILD;
use crate::logbook::clock::Clock;
use crate::logbook::disk::RealDisk;
use crate::logbook::fold::fold;
use crate::logbook::folder::Folder;
use crate::logbook::line::Entry;
use crate::logbook::read::{Log, read_log};
use crate::logbook::record::Record;
use crate::logbook::rescued::{Rescued, look_for};
use crate::logbook::seen::Seen;
use crate::logbook::session::Session;
use crate::logbook::texts;
use crate::logbook::understand::understand;

/// The id of the record that first set up the profile, as [`Book::boat_id`] has it.
fn profile_id(log: &Log) -> Option<&str> {
    let understood = |e: &&Entry| matches!(Record::read(&e.ev, &e.rec.get()), Some(Ok(_)));
    let mut profiles = log.entries.iter().filter(|e| &*e.ev == "boat");
    profiles.find(understood).map(|e| e.id.as_str())
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
        Book::open_and(root, clock, library, seed, |_| ()).map(|(book, ())| book)
    }

    /// The same with what is asked of the log as it was read, before its lines become records.
    ///
    /// # Errors
    /// As [`Book::open`].
    pub fn open_and<T>(
        root: &Path,
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
        asked: impl FnOnce(&Log) -> T,
    ) -> Result<(Book, T), OpenError> {
        Book::read((root, false), clock, library, seed, asked)
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
        Book::read((root, true), clock, library, seed, |_| ()).map(|(book, ())| book)
    }

    fn read<T>(
        (root, to_record): (&Path, bool),
        clock: Rc<dyn Clock>,
        library: Arc<Library>,
        seed: Option<u64>,
        asked: impl FnOnce(&Log) -> T,
    ) -> Result<(Book, T), OpenError> {
        let folder = Folder::new(root);
        let profile = profile::read_file(&folder);
        let mut seen = Seen::before_reading(root);
        let mut log = read_log(root, &*clock)?;
        let take = to_record.then_some(&*clock);
        let name = profile.as_ref().ok().map(|set| set.boat.name.as_str());
        let boat = (profile_id(&log), name);
        let rescued = look_for(&folder, &log, boat, take);
        if !rescued.taken.is_empty() {
            seen = Seen::before_reading(root);
            log = read_log(root, &*clock)?;
        }
        let answer = asked(&log);
        let book = Book::of(folder, profile, (log, seen), clock, library, seed)?;
        Ok((book.with(rescued), answer))
    }

    /// What was rescued and lies there untaken is not counted, and every answer says so.
    fn with(mut self, rescued: Rescued) -> Book {
        let doubts = rescued.left.iter().map(|left| match left.ours {
            true => Doubt::blocking(left.told()),
            false => Doubt::said(left.told()),
        });
        self.beside.extend(doubts);
        if !self.beside.is_empty() {
            self.doubt_anew();
        }
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
        let mut session = Session::new(
            Box::new(RealDisk),
            folder.clone(),
            BUILD,
            log.newest,
            rng.fork(),
        );
        session.knows(std::mem::take(&mut log.beside));
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
            state: State::new(profile.boat().clone(), library, history),
            profile,
            written: read.written,
            own,
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
            to_say: None,
            trouble: None,
        };
        book.doubt_anew();
        book.settle_profile();
        book.problems.extend(book.profile_notes());
        Ok(book)
    }
}
