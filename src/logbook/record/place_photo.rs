//! Where something is, shown by a photograph.

use super::event::{
    Event, Grounds, Names, Time, Weight, at_a_time, fault, machine_fault, on_no_item,
};
use crate::boat::facts::{Fact, Of};
use crate::defects::PlacePhoto;
use crate::defects::admit::{Fault, photo_fault};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::text::safe_line;
use crate::walk::Photo;

/// The fact of a name that says where something is.
fn place(name: &str) -> Option<&'static Fact> {
    let known = [Of::Boat, Of::Machine];
    let known = known.iter().find_map(|of| Fact::named(name, *of));
    known.filter(|fact| fact.is_place())
}

impl Event for PlacePhoto {
    const NAME: &'static str = "place-photo";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // No verdict rests on it.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    on_no_item!();

    // Its words are looked at with its picture.
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
        let Some(of) = place(&self.fact).map(|fact| fact.of) else {
            let message = format!(
                "'{}' says of nothing where it is; see: handlamp boat show --why",
                safe_line(&self.fact)
            );
            return vec![fault("fact", message)];
        };
        let odd = match (of, &self.machine) {
            (Of::Machine, _) => machine_fault(&mut self.machine, grounds),
            (_, Some(_)) => {
                let message = "this is of the boat, and of no machine";
                Some(fault("machine", message))
            }
            (_, None) => None,
        };
        let photo = self.photo.as_ref().and_then(photo_fault);
        let photo = photo.map(|why| fault("photo", why));
        odd.into_iter().chain(photo).collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.place_photos, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let words = place(&self.fact).map_or(self.fact.as_str(), |fact| fact.words);
        let on = self.machine.as_ref().map(|id| format!(" ({id})"));
        let on = on.unwrap_or_default();
        Some(match &self.photo {
            Some(photo) => format!(
                "took a photograph in of a place, {words}{on}: {}",
                photo.words()
            ),
            None => format!("took the photograph of a place off, {words}{on}"),
        })
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.place_photos.iter().map(|s| {
            let photo = s.rec.photo.as_ref();
            PlaceRow {
                id: s.id.clone(),
                fact: s.rec.fact.clone(),
                machine: s.rec.machine.clone(),
                at: s.at,
                path: photo.map(|photo| photo.path.clone()),
                caption: photo.and_then(|photo| photo.caption.clone()),
                kept: photo.and_then(|photo| photo.kept.clone()),
            }
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// Where something is, shown by a photograph.
    PlaceRow = "place_photos" key(id) {
        /// Record id.
        id: String,
        /// The fact of the profile that says it in words.
        fact: String,
        /// Machine id; null for a fact of the boat.
        machine: Option<String>,
        /// When it was told.
        at: Time,
        /// The name its file had; null where the photograph was taken off.
        path: Option<String>,
        /// What it shows.
        caption: Option<String>,
        /// Name of the content under photos/; null where only the path is known.
        kept: Option<String>,
    }
}
