//! Questions and causes of the boat's own.

use serde_json::Value;

use super::event::{Event, Time, Weight, by_the_program, naming_nothing};
use crate::defects::OwnCauses;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for OwnCauses {
    const NAME: &'static str = "own-causes";
    const CONCERNS_BOAT: bool = false;
    // They group and propose a look; no verdict rests on them.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        self.at
    }

    naming_nothing!();

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.own_causes, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let titles: Vec<&str> = things(&self.file).map(|(_, _, title)| title).collect();
        let what = "put questions and causes of the boat's own into the logbook";
        Some(match titles.is_empty() {
            true => what.to_owned(),
            false => format!("{what}: {}", titles.join("; ")),
        })
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let all = of.history.own_causes.iter();
        let rows = all.flat_map(|s| {
            let each = things(&s.rec.file);
            each.map(|(sort, name, title)| OwnCauseRow {
                id: s.id.clone(),
                at: s.at,
                sort: sort.to_owned(),
                name: name.to_owned(),
                title: title.to_owned(),
            })
        });
        vec![of.lines(rows)]
    }
}

/// What a file holds: sort, id and title of each, as far as it says so.
fn things(file: &Value) -> impl Iterator<Item = (&'static str, &str, &str)> {
    let sorts = [("question", "questions"), ("cause", "causes")];
    sorts.into_iter().flat_map(|(sort, list)| {
        let all = file.get(list).and_then(Value::as_array);
        let all = all.into_iter().flatten();
        all.filter_map(move |one| {
            let text = |field: &str| one.get(field).and_then(Value::as_str);
            Some((sort, text("id")?, text("title")?))
        })
    })
}

tables! {
    /// A question or a cause of the boat's own; of each id the last one put in holds.
    OwnCauseRow = "own_causes" key(id, sort, name) {
        /// Record id.
        id: String,
        /// When it was put in.
        at: Time,
        /// question or cause.
        sort: String,
        /// Its own id, which answers and signs name.
        name: String,
        /// What it is called.
        title: String,
    }
}
