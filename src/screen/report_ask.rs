//! A report written from the screens: asked for a file, and asked again before one is written over.

use std::path::Path;

use super::app::{App, Screen};
use super::ask::Ask;
use super::layer::Layer;
use crate::logbook::{Folder, read_log};
use crate::report::gather::Source;
use crate::report::write::{self, Form};

impl App {
    /// Asks for the file to write a report of the walk in sight to.
    pub(super) fn ask_report(&mut self) {
        let id = match &self.screen {
            Screen::Verdict(screen) => Some(screen.walk.id.clone()),
            Screen::Walks(screen) => screen.rows.get(screen.cursor).map(|r| r.id.clone()),
            _ => None,
        };
        let Some((id, book)) = id.zip(self.book.as_ref()) else {
            return;
        };
        let Some(walk) = book.history().walk(&id) else {
            return;
        };
        let date = walk.at.format("%Y-%m-%d").to_string();
        let name = write::file_name(&[&book.boat().name, &date, &walk.checklist]);
        self.layers.push(Layer::line(
            "Write a report of this walk to which file?",
            format!("Enter: {name}; or .md .csv .json"),
            Ask::ReportTo(id, name),
        ));
    }

    /// A file was named; one that is there already is asked about.
    pub(super) fn report_named(&mut self, id: String, text: &str) -> Result<(), String> {
        let path = self.setup.pictures.join(text);
        Form::of(&path).map_err(|e| e.to_string())?;
        if write::is_there(&path).map_err(|e| e.to_string())? {
            self.layers.push(Layer::choice(
                format!("{text} is there already"),
                vec!["keep it".to_owned(), "write over it".to_owned()],
                Ask::ReportOver(id, path),
            ));
            return Ok(());
        }
        self.write_report(&id, &path)
    }

    /// Whether an earlier file may go was answered.
    pub(super) fn report_over(&mut self, id: &str, path: &Path, at: usize) {
        if at != 1 {
            self.tell("kept as it was; no report was written");
        } else if let Err(why) = self.write_report(id, path) {
            self.warn(format!("no report: {why}"));
        }
    }

    fn write_report(&mut self, id: &str, path: &Path) -> Result<(), String> {
        let Some(book) = &self.book else {
            return Ok(());
        };
        let log = read_log(book.root(), &*self.setup.clock).map_err(|e| e.to_string())?;
        let source = Source {
            boat: book.boat(),
            library: book.library(),
            history: book.history(),
            now: book.now(),
        };
        let walk = book.history().walk(id);
        let report = write::report(&source, walk, &log);
        write::write(report, path, &Folder::new(book.root())).map_err(|e| e.to_string())?;
        self.tell(format!("report written: {}", path.display()));
        Ok(())
    }
}
