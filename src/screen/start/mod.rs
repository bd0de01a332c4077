//! First start: three questions, or the demo boat.

pub mod shelf;

use std::rc::Rc;
use std::sync::Arc;

use crate::boat::{Boat, Hours, Waters};
use crate::logbook::book::Book;
use crate::screen::app::App;
use crate::screen::layers::Layer;
use crate::screen::layers::ask::Ask;
use crate::screen::start::shelf::Shelf;

/// What to begin with.
pub fn first_question() -> Layer {
    Layer::choice(
        "There is no logbook here yet. What shall it be?",
        vec![
            "begin a logbook for my boat (three questions)".into(),
            "look at the demo boat, in a folder of its own".into(),
            "leave".into(),
        ],
        Ask::FirstChoice,
    )
}

/// The first of the three questions.
pub fn name_question() -> Layer {
    Layer::line("What is she called?", "the boat's name", Ask::BoatName)
}

/// The kinds of waters, as asked.
pub fn waters_options() -> Vec<String> {
    Waters::ALL
        .iter()
        .map(|w| match w {
            Waters::Sheltered => "sheltered: lakes, rivers, canals",
            Waters::Inshore => "inshore: coast, bays, estuaries",
            Waters::Offshore => "offshore: days from help",
            Waters::Ocean => "ocean: long voyages, self-sufficient",
        })
        .map(str::to_owned)
        .collect()
}

/// Answers given so far.
#[derive(Clone, Debug, Default)]
pub struct Answers {
    /// Her name.
    pub name: String,
    /// Her waters.
    pub waters: Option<Waters>,
}

impl App {
    /// Creates the logbook from the three answers.
    pub(crate) fn found_boat(&mut self, hours: Option<Hours>) {
        let answers = std::mem::take(&mut self.answers);
        let boat = Boat::simple(
            &answers.name,
            answers.waters.unwrap_or(Waters::Inshore),
            hours,
        );
        let beside = self.shelf.as_ref().map(|shelf| shelf.place_for(&boat.name));
        self.setup.root = beside.unwrap_or_else(|| self.setup.root.clone());
        let setup = &self.setup;
        let made = Book::create(
            &setup.root,
            boat,
            Rc::clone(&setup.clock),
            Arc::clone(&setup.library),
            setup.seed,
        );
        match made {
            Ok(mut book) => {
                book.mind(setup.marks.as_deref());
                self.book = Some(book);
                self.layers.clear();
                self.go_home();
                self.tell("the logbook is begun; Enter starts the morning check");
            }
            Err(error) => {
                self.first_layer();
                self.warn(error.to_string());
            }
        }
    }

    /// The first question: which boat, or what to begin with.
    pub(crate) fn first_layer(&mut self) {
        let first = self.shelf.as_ref().map(Shelf::question);
        self.layers = vec![first.unwrap_or_else(first_question)];
    }

    /// Writes the demo boat to a folder of its own and opens it.
    pub(crate) fn open_demo(&mut self) {
        let setup = &mut self.setup;
        match crate::demo::write_somewhere(Rc::clone(&setup.clock), &setup.library) {
            Ok(root) => {
                setup.root = root;
                match setup.open_book() {
                    Ok(book) => {
                        self.book = Some(book);
                        self.layers.clear();
                        self.go_home();
                        self.tell(format!(
                            "the demo boat lies in {}",
                            self.setup.root.display()
                        ));
                    }
                    Err(error) => self.warn(error.to_string()),
                }
            }
            Err(error) => {
                self.first_layer();
                self.warn(error.to_string());
            }
        }
    }
}
