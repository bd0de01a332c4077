//! What all screens share.

use std::path::PathBuf;
use std::rc::Rc;
use std::sync::Arc;

use crate::boat::units::Volume;
use crate::checklist::Library;
use crate::keys::{Action, KeyTable};
use crate::logbook::Clock;
use crate::logbook::book::{Book, OpenError};
use crate::paint::theme::Theme;
use crate::report::words::Language;
use crate::screen::leaving::left::LeftBehind;
use crate::screen::service::desk::Desk;
use crate::screen::sources::Sources;

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
    /// The language of reports, where a file's name says no other.
    pub report_language: Language,
    /// Fixes ids and file names, for reproducible runs.
    pub seed: Option<u64>,
    /// Where pictures of the screen go.
    pub pictures: PathBuf,
    /// The bell sounds once when a round under way becomes late.
    pub late_bell: bool,
    /// Where the newest record seen of each logbook is kept, outside of it.
    pub marks: Option<PathBuf>,
}

impl Setup {
    /// The logbook in its folder.
    ///
    /// # Errors
    /// There is none, or it cannot be read.
    pub fn open_book(&self) -> Result<Book, OpenError> {
        let (clock, library) = (Rc::clone(&self.clock), Arc::clone(&self.library));
        let mut book = Book::open_to_record(&self.root, clock, library, self.seed)?;
        book.mind(self.marks.as_deref());
        Ok(book)
    }

    /// The first key of an action, as written.
    pub fn key(&self, action: Action) -> String {
        let keys = self.keys.keys_of(action);
        keys.first().map(ToString::to_string).unwrap_or_default()
    }
}

/// One line told above the footer, until the next key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What is told.
    pub text: String,
    /// It is bad news.
    pub bad: bool,
}

/// What stays while one goes from screen to screen.
pub struct Shared {
    /// What the screens were opened with; the theme and the folder may change.
    pub setup: Setup,
    /// What is told.
    pub notice: Option<Notice>,
    /// The folder of several logbooks this one was chosen from.
    pub shelf: Option<PathBuf>,
    /// The bucket last named.
    pub bucket: Option<Volume>,
    /// Where pictures come from.
    pub pictures: Sources,
    /// What is being written about services.
    pub desk: Desk,
    /// What stays of the question before leaving.
    pub leaving: LeftBehind,
}

impl Shared {
    /// At the start.
    pub fn new(setup: Setup) -> Shared {
        Shared {
            setup,
            notice: None,
            shelf: None,
            bucket: None,
            pictures: Sources::default(),
            desk: Desk::default(),
            leaving: LeftBehind::default(),
        }
    }

    /// Tells something.
    pub fn tell(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            bad: false,
        });
    }

    /// Tells bad news.
    pub fn warn(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice {
            text: text.into(),
            bad: true,
        });
    }
}
