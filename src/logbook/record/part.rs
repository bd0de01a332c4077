//! Something is said of a part: its numbers, its measures, where it was bought.

use super::event::{Event, Grounds, Names, Time, Weight, at_a_time, on_no_item};
use crate::boat::profile::UnitHabit;
use crate::checklist::KnownPart;
use crate::defects::PartSaid;
use crate::defects::admit::Fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::service::parts::fields::{FIELDS, in_words};
use crate::service::parts::said_faults;
use crate::walk::Photo;

impl Event for PartSaid {
    const NAME: &'static str = "part";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // No verdict rests on it.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    on_no_item!();

    // Its words are looked at field by field, and stand in what it is called.
    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    fn names(&self) -> Names<'_> {
        Names {
            photos: self.photo.as_slice(),
            ..Names::NOTHING
        }
    }

    fn photos_slot(&mut self) -> &mut [Photo] {
        self.photo.as_mut_slice()
    }

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        said_faults(self, grounds.condition, grounds.history)
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.parts, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let known = KnownPart::of(&self.part);
        let title = known.map_or(self.part.as_str(), |known| &known.title);
        let on = self.machine.as_ref().map(|id| format!(" ({id})"));
        // A record is the same for whoever reads it: measures as they are kept.
        let said = in_words(self, UnitHabit::Metric).join("; ");
        Some(format!(
            "told of a part, {title}{}; {said}",
            on.unwrap_or_default()
        ))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.parts.iter().flat_map(|s| {
            FIELDS.iter().filter_map(|field| {
                let said = field.shown(&s.rec, UnitHabit::Metric);
                let open = s.rec.leaves_open(field.name);
                let photo = s.rec.photo.as_ref().filter(|_| field.is_photo());
                (said.is_some() || open).then(|| PartRow {
                    id: s.id.clone(),
                    part: s.rec.part.clone(),
                    machine: s.rec.machine.clone(),
                    at: s.at,
                    field: field.name.to_owned(),
                    said,
                    kept: photo.and_then(|photo| photo.kept.clone()),
                })
            })
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// What was said of a part, a row for each field.
    PartRow = "parts" key(id, field) {
        /// Record id.
        id: String,
        /// Id of the part.
        part: String,
        /// Machine id; null for what the boat has once.
        machine: Option<String>,
        /// When it was told.
        at: Time,
        /// The field.
        field: String,
        /// What it says, measures in millimetres; null where nobody knows any more.
        said: Option<String>,
        /// Name of the content of a photograph under photos/; null where there is none.
        kept: Option<String>,
    }
}
