//! The pictures of a folder beneath the line in which the path of one is typed: the newest first, one under the
//! arrow. They stand there while the line names the folder alone.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError};

use chrono::FixedOffset;

use crate::keys::Action;
use crate::logbook::pictures::{Found, Listed, opening, pictures_in};
use crate::photo::scale::Pixels;
use crate::screen::complete::{complete, folder_of, path_of};
use crate::screen::layers::typing::LineInput;
use crate::text::safe_line;

/// Pixels of a picture beside a line at the most.
const LONGEST: u32 = 100;
/// A page of the list.
const PAGE: usize = 8;

/// The pictures of a folder.
#[derive(Default)]
pub struct Files {
    /// The folder, as it stands in the line.
    folder: String,
    /// What it holds.
    pub listed: Listed,
    /// Why it cannot be read.
    pub fault: Option<String>,
    /// Under the arrow; none until it is moved where Enter is to pass.
    pub cursor: Option<usize>,
    /// Taken in while the program runs.
    taken: BTreeSet<PathBuf>,
    zone: Option<FixedOffset>,
    /// Enter passes until the arrow is moved.
    passes: bool,
    /// The line holds the name of the one that was under the arrow.
    put: bool,
}

/// A picture shown small beside a line.
pub struct Look {
    path: PathBuf,
    /// As far as it was looked at.
    pub shown: Shown,
}

/// What is shown of it.
pub enum Shown {
    /// Nothing yet: it is opened when no key comes for a moment.
    NotYet,
    /// Nothing yet: it is being opened.
    Opening(Receiver<Result<Pixels, String>>),
    /// It.
    Small(Box<Pixels>),
    /// Why it is not shown.
    Not(String),
}

impl Look {
    /// One that is not opened yet.
    pub fn at(path: PathBuf) -> Look {
        Look {
            path,
            shown: Shown::NotYet,
        }
    }

    /// Begins to open it, or takes what came of that.
    fn open(&mut self) {
        let answer = match &self.shown {
            Shown::Opening(answer) => answer.try_recv(),
            _ => {
                if let Some(answer) = opening(self.path.clone(), LONGEST) {
                    self.shown = Shown::Opening(answer);
                }
                return;
            }
        };
        self.shown = match answer {
            Ok(Ok(pixels)) => Shown::Small(Box::new(pixels)),
            Ok(Err(why)) => Shown::Not(why),
            Err(TryRecvError::Empty) => return,
            Err(TryRecvError::Disconnected) => Shown::Not("it could not be opened".to_owned()),
        };
    }
}

impl Files {
    /// Those of no folder yet. `zone` is where one is; where `passes`, the arrow stands on none.
    pub fn new(taken: BTreeSet<PathBuf>, zone: FixedOffset, passes: bool) -> Files {
        Files {
            taken,
            zone: Some(zone),
            passes,
            ..Files::default()
        }
    }

    /// True for one taken in while the program runs.
    pub fn is_taken(&self, found: &Found) -> bool {
        self.taken.contains(&found.path)
    }

    /// The one under the arrow.
    pub fn front(&self) -> Option<&Found> {
        self.listed.pictures.get(self.cursor?)
    }

    /// Looks into a folder. The arrow stands on the newest that was not taken in.
    fn list(&mut self, folder: String) {
        let listed = self.zone.map(|zone| pictures_in(&path_of(&folder), zone));
        self.fault = None;
        self.listed = match listed {
            Some(Ok(listed)) => listed,
            Some(Err(error)) => {
                let folder = safe_line(&folder);
                self.fault = Some(format!("{folder} cannot be read ({error})"));
                Listed::default()
            }
            None => Listed::default(),
        };
        let mut pictures = self.listed.pictures.iter();
        let fresh = pictures.position(|found| !self.taken.contains(&found.path));
        self.cursor = fresh.or(Some(0)).filter(|_| !self.passes);
        self.folder = folder;
    }
}

impl LineInput {
    /// The pictures beneath the line, while it names their folder alone.
    pub fn files(&self) -> Option<&Files> {
        let files = self.files.as_deref();
        files.filter(|files| !files.folder.is_empty() && files.folder == self.text())
    }

    /// Looks into the folder that the line names, where it is another one.
    pub fn follow(&mut self) {
        if self.files.is_none() {
            return;
        }
        let folder = folder_of(self.text());
        let whole = !folder.is_empty() && folder == self.text();
        let files = self.files.as_deref_mut();
        if let Some(files) = files.filter(|files| whole && files.folder != folder) {
            files.list(folder);
        }
        self.look_at_front();
    }

    /// Moves the arrow among the pictures.
    pub fn step(&mut self, action: Action) {
        let last = match self.files() {
            Some(files) if !files.listed.pictures.is_empty() => files.listed.pictures.len() - 1,
            _ => return,
        };
        if let Some(files) = self.files.as_deref_mut() {
            let at = files.cursor;
            files.cursor = match action {
                Action::MoveUp => at.map(|at| at.saturating_sub(1)),
                Action::MoveDown => at.map_or(Some(0), |at| Some((at + 1).min(last))),
                Action::PageUp => at.map(|at| at.saturating_sub(PAGE)),
                Action::PageDown => at.map_or(Some(0), |at| Some((at + PAGE).min(last))),
                _ => at,
            };
        }
        self.look_at_front();
    }

    fn look_at_front(&mut self) {
        let front = self.files().and_then(Files::front);
        let front = front.map(|found| found.path.clone());
        if front.as_ref() != self.look.as_ref().map(|look| &look.path) {
            self.look = front.map(Look::at);
        }
    }

    /// True where a picture is to be opened as soon as no key comes, or is being opened.
    pub fn wants_look(&self) -> bool {
        let look = self.look.as_ref();
        look.is_some_and(|look| matches!(look.shown, Shown::NotYet | Shown::Opening(_)))
    }

    /// Opens it, a step at a time.
    pub fn open_look(&mut self) {
        if let Some(look) = &mut self.look {
            look.open();
        }
    }

    /// Puts the name of the picture under the arrow into the line; false, with the reason, where that
    /// cannot be typed.
    pub fn put_front(&mut self) -> bool {
        let Some(found) = self.files().and_then(Files::front) else {
            return true;
        };
        let name = found.path.file_name().and_then(|name| name.to_str());
        let name = name.filter(|name| *name == found.name).map(str::to_owned);
        let Some(name) = name else {
            self.error = Some(format!(
                "the name of {} holds what cannot be typed; give the file another name first",
                found.name
            ));
            return false;
        };
        self.edit(Action::LineEnd);
        self.insert(&name);
        if let Some(files) = self.files.as_deref_mut() {
            files.put = true;
        }
        true
    }

    /// Takes the name out again that was put in: it was not taken.
    pub fn take_out_front(&mut self) {
        let put = self.files.as_deref_mut().filter(|files| files.put);
        let Some(files) = put else { return };
        files.put = false;
        let folder = files.folder.clone();
        // What is there may be another by now.
        files.list(folder.clone());
        self.clear();
        self.insert(&folder);
        self.look_at_front();
    }

    /// Completes the path in the line as far as there is no choice.
    pub fn complete_path(&mut self) {
        if !self.parts().1.is_empty() {
            return;
        }
        match complete(self.text()) {
            Ok(completed) => {
                self.clear();
                self.insert(&completed.text);
                if !completed.choices.is_empty() {
                    self.hint = completed.choices.join("  ");
                }
            }
            Err(why) => self.error = Some(why),
        }
    }
}
