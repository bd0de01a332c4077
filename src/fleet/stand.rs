//! How one boat stands, as far as sums over several ask.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use crate::assess::learning::Taught;
use crate::boat::Role;
use crate::checklist::{Catalogue, Kind, Library};
use crate::defects::NotCounted;
use crate::defects::condition::Condition;
use crate::defects::failings::Failings;
use crate::defects::list::{Row, Scenario};
use crate::logbook::book::{Book, OpenError};
use crate::logbook::glance::Glance;
use crate::logbook::{Clock, ProblemKind};
use crate::service::parts::{PartRow, parts};
use crate::service::{DueRow, due};

/// One boat that was read.
#[derive(Clone, Debug)]
pub struct Stand {
    /// Id of her logbook, the same in every copy of it.
    pub id: String,
    /// Records taken in.
    pub records: usize,
    /// How she stands at a glance.
    pub glance: Glance,
    /// Her whole list of defects over the usual plan.
    pub rows: Vec<Row>,
    /// Her parts, with what is known of them.
    pub parts: Vec<PartRow>,
    /// What is due.
    pub due: Vec<DueRow>,
    /// How each item fared.
    pub failings: Vec<Failings>,
    /// Titles of its items.
    titles: Vec<(String, String)>,
    /// What her first machine is for.
    pub family: Role,
    /// What her looks taught, by kind.
    pub taught: Vec<(Kind, Taught)>,
    /// What is on record and not counted.
    pub not_counted: Vec<NotCounted>,
    /// What of it forbids a clear verdict.
    pub blocking: Vec<String>,
    /// A part of her logbook could not be read.
    pub is_part_unread: bool,
}

impl Stand {
    /// Of the logbook in a folder, by what had happened by a time where one is given. Changes nothing
    /// there.
    ///
    /// # Errors
    /// It cannot be read.
    pub fn at(
        root: &Path,
        (clock, as_of): (Rc<dyn Clock>, Option<DateTime<FixedOffset>>),
        library: &Arc<Library>,
        marks: Option<&Path>,
    ) -> Result<Stand, OpenError> {
        let mut book = Book::open(root, clock, Arc::clone(library), None)?;
        book.mind(marks);
        Ok(Stand::of(&book, as_of))
    }

    fn of(book: &Book, as_of: Option<DateTime<FixedOffset>>) -> Stand {
        let history = match as_of {
            Some(at) => Rc::new(book.history().as_of(at)),
            None => book.shared_history(),
        };
        let library = Arc::clone(book.library());
        let condition = Condition::of(book.boat(), library, &history, book.now());
        let (exposure, waters) = condition.usual_plan();
        let list = condition.list(Scenario::new(exposure, waters), false);
        let failings = condition.failings(&history);
        let blocking = condition.doubts.iter().filter(|d| d.blocks());
        let mut problems = book.problems().iter();
        let first = condition.boat.machines.first();
        Stand {
            id: book.boat_id().to_owned(),
            records: history.length,
            titles: titles(&failings, &condition.library.catalogue),
            rows: list.rows.clone(),
            parts: parts(&condition, &history),
            due: due(&condition, &history),
            glance: Glance::stands(&condition, &history),
            failings,
            family: first.map_or(Role::Propulsion, |machine| machine.role),
            taught: {
                let kinds = condition.learning.kinds.iter();
                kinds.map(|(kind, taught)| (*kind, taught.total)).collect()
            },
            blocking: blocking.map(|d| d.told.sentence()).collect(),
            not_counted: condition.not_counted(),
            is_part_unread: problems.any(|p| p.kind == ProblemKind::Unreadable),
        }
    }

    /// The title of an item that was graded.
    pub fn title<'a>(&'a self, item: &'a str) -> &'a str {
        let known = self.titles.iter().find(|(id, _)| id == item);
        known.map_or(item, |(_, title)| title)
    }
}

fn titles(failings: &[Failings], catalogue: &Catalogue) -> Vec<(String, String)> {
    let mut titles: Vec<(String, String)> = Vec::new();
    for item in failings.iter().map(|f| &f.subject.item) {
        if let Some(known) = catalogue.item(item)
            && titles.last().is_none_or(|(id, _)| id != item)
        {
            titles.push((item.clone(), known.title.clone()));
        }
    }
    titles
}
