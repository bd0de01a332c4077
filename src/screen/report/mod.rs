//! A report written from the screens: asked for a file, and asked again before one is written over.

pub mod wait;

use crate::logbook::named::is_there;
use crate::report::making::{Making, Order};
use crate::report::write::{self, Form};
use crate::screen::app::{App, Screen};
use crate::screen::layers::Layer;
use crate::screen::layers::ask::Ask;
use crate::screen::report::wait::Waiting;

impl App {
    /// Asks for the file to write a report of the walk in sight to.
    pub(crate) fn ask_report(&mut self) {
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
        self.layers.push(App::report_question(id, name));
    }

    /// The question for a file, with the name that is offered.
    pub(crate) fn report_question(id: String, offered: String) -> Layer {
        Layer::line(
            "Write a report of this walk to which file?",
            format!("Enter: {offered}; or .md .csv .json"),
            Ask::ReportTo(id, offered),
        )
    }

    /// A file was named; one that is there already is asked about.
    pub(crate) fn report_named(
        &mut self,
        id: String,
        offered: String,
        text: &str,
    ) -> Result<(), String> {
        let name = if text.is_empty() { &offered } else { text }.to_owned();
        let path = self.setup.pictures.join(&name);
        Form::of(&path).map_err(|e| e.to_string())?;
        if is_there(&path).map_err(|e| e.to_string())? {
            self.layers.push(Layer::choice(
                format!("{name} is there already"),
                vec!["keep it".to_owned(), "write over it".to_owned()],
                Ask::ReportOver(id, offered, name),
            ));
            return Ok(());
        }
        self.write_report(id, offered, name)
    }

    /// Whether an earlier file may go was answered.
    pub(crate) fn report_over(&mut self, id: String, offered: String, name: String, at: usize) {
        if at != 1 {
            self.tell("kept as it was; no report was written");
        } else if let Err(why) = self.write_report(id, offered, name) {
            self.warn(format!("no report: {why}"));
        }
    }

    fn write_report(&mut self, id: String, offered: String, name: String) -> Result<(), String> {
        let Some(book) = &self.book else {
            return Ok(());
        };
        let (history, path) = (book.history().clone(), self.setup.pictures.join(&name));
        let order = Order::new(book, history, Some(id.clone()), path);
        let making = Making::begin(order).map_err(|e| e.to_string())?;
        let waiting = Waiting::new(making, id, offered, name);
        self.layers.push(Layer::Report(Box::new(waiting)));
        Ok(())
    }
}
