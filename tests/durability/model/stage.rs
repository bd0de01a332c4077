//! A disk, a ledger and a clock; and writers whose every record is entered in the ledger.

use std::cell::{Cell, RefCell};
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::time::Duration;

use chrono::DateTime;
use handlamp::logbook::photos::keep_photo;
use handlamp::logbook::replace::{keep_text, replace_file};
use handlamp::logbook::{
    Disk, EntryId, FixedClock, Folder, Given, LogbookError, Merged, Session, copy_aside, merge,
};
use handlamp::photo::{Clean, Form};

use super::disk::{MemDisk, State};
use super::ledger::{Ledger, key, load};

/// 2026-11-25T06:21:27Z
pub const NOW_MS: u64 = 1_795_587_687_000;

pub struct Stage {
    pub disk: MemDisk,
    pub ledger: Rc<RefCell<Ledger>>,
    pub clock: FixedClock,
    base: PathBuf,
    seed: Cell<u64>,
}

/// One session and what it waits for.
pub struct Writer<'a> {
    stage: &'a Stage,
    pub session: Session,
    waiting: Vec<String>,
    done: Vec<String>,
}

/// A look numbered `n`.
pub fn look(n: usize) -> (&'static str, String) {
    let rec = format!("{{\"walk\":\"w1\",\"item\":\"drive-belt\",\"grade\":\"worn\",\"n\":{n}}}");
    ("look", rec)
}

impl Stage {
    /// An empty disk with the folder `base`.
    pub fn new(base: &Path) -> Stage {
        Stage::on(MemDisk::with(base), Ledger::default(), base, 1)
    }

    /// A disk with a past; another `seed` than before, as no two programs draw the same ids.
    pub fn on(disk: MemDisk, ledger: Ledger, base: &Path, seed: u64) -> Stage {
        Stage {
            disk,
            ledger: Rc::new(RefCell::new(ledger)),
            clock: clock(),
            base: base.to_owned(),
            seed: Cell::new(seed),
        }
    }

    /// A logbook below folders that have to be made first.
    pub fn book(&self) -> PathBuf {
        self.base.join("home/book")
    }

    /// Another folder; a real and empty one stands under its name.
    pub fn other(&self) -> PathBuf {
        self.base.join("other")
    }

    pub fn rng(&self) -> fastrand::Rng {
        self.seed.set(self.seed.get() + 1);
        fastrand::Rng::with_seed(self.seed.get())
    }

    fn seen(&self) -> Vec<(PathBuf, Vec<u8>)> {
        files(&self.disk.state())
    }

    /// A program starts: it reads the log, then writes.
    pub fn writer(&self, root: &Path) -> Writer<'_> {
        let newest = load(&self.seen(), root).newest;
        if !self.disk.state().is_settled() {
            self.ledger.borrow_mut().read_unsynced = true;
        }
        let disk = Box::new(self.disk.clone());
        self.seed.set(self.seed.get() + 1000);
        let session = Session::new(disk, Folder::new(root), "0.1.0", newest, self.rng());
        Writer {
            stage: self,
            session,
            waiting: Vec::new(),
            done: Vec::new(),
        }
    }

    /// Does it; if that fails, does it once more on a disk that works.
    fn insist<T>(&self, mut act: impl FnMut() -> Result<T, LogbookError>) -> T {
        act().unwrap_or_else(|_| {
            self.disk.heal();
            act().expect("the disk works again")
        })
    }

    fn tried(&self, root: &Path, records: &[(&str, String)]) -> Vec<String> {
        let mut ledger = self.ledger.borrow_mut();
        let tried = &mut ledger.book(root).tried;
        let keys: Vec<String> = records.iter().map(|(ev, rec)| key(ev, rec)).collect();
        for key in &keys {
            let place = tried.len();
            tried.entry(key.clone()).or_insert(place);
        }
        keys
    }

    /// The profile is replaced.
    pub fn profile(&self, root: &Path, text: &str) {
        let bytes = text.as_bytes();
        self.ledger
            .borrow_mut()
            .book(root)
            .boats
            .push(bytes.to_vec());
        let mut rng = self.rng();
        let path = Folder::new(root).boat();
        self.insist(|| replace_file(&self.disk, &path, bytes, &mut rng));
        let mut ledger = self.ledger.borrow_mut();
        let claims = ledger.book(root);
        claims.boats_gone = claims.boats.len();
        drop(ledger);
        self.disk.show();
    }

    /// A text is kept.
    pub fn text(&self, root: &Path, text: &str) {
        let mut rng = self.rng();
        let folder = Folder::new(root);
        let name = self.insist(|| keep_text(&self.disk, &folder, text.as_bytes(), &mut rng));
        let mut ledger = self.ledger.borrow_mut();
        ledger
            .book(root)
            .texts
            .insert(name, text.as_bytes().to_vec());
        drop(ledger);
        self.disk.show();
    }

    /// A picture is kept; what it shows does not matter here.
    pub fn picture(&self, root: &Path, bytes: &[u8]) {
        let mut rng = self.rng();
        let folder = Folder::new(root);
        let picture = Clean {
            form: Form::Png,
            bytes: bytes.to_vec(),
            width: 1,
            height: 1,
        };
        let name = self.insist(|| keep_photo(&self.disk, &folder, &picture, &mut rng));
        let mut ledger = self.ledger.borrow_mut();
        ledger.book(root).photos.insert(name, bytes.to_vec());
    }

    /// The copy at `from` is merged into `into`.
    pub fn merge(&self, into: &Path, from: &Path) -> Merged {
        let theirs = self.ledger.borrow_mut().book(from).clone();
        {
            let mut ledger = self.ledger.borrow_mut();
            let ours = ledger.book(into);
            for (key, _) in theirs.tried.iter() {
                let place = ours.tried.len();
                ours.tried.entry(key.clone()).or_insert(place);
            }
            ours.boats.extend(theirs.boats.iter().cloned());
        }
        let mut rng = self.rng();
        let (a, b) = (Folder::new(into), Folder::new(from));
        let merged = self.insist(|| merge(&self.disk, &a, &b, &|_, _| true, &mut rng));
        let mut ledger = self.ledger.borrow_mut();
        let ours = ledger.book(into);
        ours.acked.extend(theirs.acked);
        ours.texts.extend(theirs.texts);
        ours.photos.extend(theirs.photos);
        if merged.boat {
            ours.boats_gone = ours.boats.len();
        }
        drop(ledger);
        self.disk.show();
        merged
    }

    /// Damaged bytes are copied aside.
    pub fn aside(&self, root: &Path) {
        let problems = load(&self.seen(), root).problems;
        let (folder, mut rng) = (Folder::new(root), self.rng());
        self.insist(|| copy_aside(&self.disk, &folder, &problems, &mut rng));
    }

    /// The one record file of a logbook, if the disk let it be made.
    pub fn record_file(&self, root: &Path) -> Option<PathBuf> {
        let log = Folder::new(root).log();
        let files = self.seen().into_iter().map(|(path, _)| path);
        let mut found = files.filter(|p| p.starts_with(&log) && p.extension().is_some());
        found.next()
    }

    /// What another program did to the files of acknowledged records takes them back, until the
    /// session has written them again.
    pub fn meddle(&self, path: &Path, bytes: Option<&[u8]>) {
        self.ledger.borrow_mut().book(&self.book()).acked.clear();
        self.disk.meddle(path, bytes);
    }

    pub fn read(&self, path: &Path) -> Option<Vec<u8>> {
        self.disk.read(path, u64::MAX).ok()
    }
}

/// A clock that stands at [`NOW_MS`].
pub fn clock() -> FixedClock {
    let now = DateTime::from_timestamp_millis(NOW_MS.cast_signed()).expect("a time");
    FixedClock::new(now.fixed_offset())
}

/// Everything seen on a disk.
pub fn files(state: &State) -> Vec<(PathBuf, Vec<u8>)> {
    let files = state.files().into_iter();
    files.map(|(path, bytes)| (path, bytes.to_vec())).collect()
}

impl Writer<'_> {
    fn root(&self) -> PathBuf {
        self.session.folder().root().to_owned()
    }

    /// A little later, one or more records in one append.
    pub fn append(&mut self, records: &[(&str, String)]) {
        self.stage.clock.advance(Duration::from_millis(700));
        let keys = self.stage.tried(&self.root(), records);
        self.waiting.extend(keys);
        match self.session.append(records, &self.stage.clock) {
            Ok(ids) => {
                assert_eq!(ids.len(), records.len());
                self.acknowledged();
            }
            Err(LogbookError::NotSaved { unsaved, .. }) => self.still_waiting(unsaved),
            Err(e) => panic!("{e}"),
        }
    }

    fn still_waiting(&self, unsaved: usize) {
        assert_eq!(unsaved, self.waiting.len());
        assert_eq!(self.session.unsaved(), unsaved);
        assert!(self.session.unsaved_lines().len() >= unsaved);
    }

    fn acknowledged(&mut self) {
        assert_eq!(self.session.unsaved(), 0);
        self.done.append(&mut self.waiting);
        let mut ledger = self.stage.ledger.borrow_mut();
        let acked = &mut ledger.book(self.session.folder().root()).acked;
        acked.extend(self.done.iter().cloned());
        drop(ledger);
        self.stage.disk.show();
    }

    /// The person presses the key for another try.
    pub fn retry(&mut self) {
        match self.session.retry(&self.stage.clock) {
            Ok(()) => self.acknowledged(),
            Err(LogbookError::NotSaved { unsaved, .. }) => self.still_waiting(unsaved),
            Err(e) => panic!("{e}"),
        }
    }

    /// The disk works again: everything is saved, and the session ends.
    pub fn settle(mut self) {
        self.stage.disk.heal();
        self.retry();
        assert!(self.waiting.is_empty(), "saved once the disk works");
        self.session.finish(&self.stage.clock).expect("a clean end");
    }

    /// On to another folder; whether that worked.
    pub fn move_to(&mut self, root: &Path) -> bool {
        let mut ledger = self.stage.ledger.borrow_mut();
        let claims = ledger.book(root);
        for key in self.done.iter().chain(&self.waiting) {
            let place = claims.tried.len();
            claims.tried.entry(key.clone()).or_insert(place);
        }
        drop(ledger);
        let moved = self.session.move_to(root, &self.stage.clock).is_ok();
        if moved {
            self.acknowledged();
        }
        moved
    }

    /// A batch in a file of its own, whose records bring their ids.
    pub fn batch(&mut self, batch: &str, records: &[(&str, String)]) {
        let keys = self.stage.tried(&self.root(), records);
        let given: Vec<Given> = (0..)
            .zip(records)
            .map(|(n, (ev, rec))| Given {
                id: EntryId::new(&format!("{batch}.{n}")),
                ev: (*ev).to_owned(),
                rec: rec.clone(),
            })
            .collect();
        let (stage, session) = (self.stage, &mut self.session);
        stage.insist(|| session.append_whole_file(&given, &stage.clock));
        let mut ledger = stage.ledger.borrow_mut();
        ledger.book(session.folder().root()).acked.extend(keys);
        drop(ledger);
        stage.disk.show();
    }
}
