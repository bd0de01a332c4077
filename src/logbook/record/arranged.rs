//! Where something is aboard.

use super::event::{Event, Grounds, Time, Weight, at_a_time, fault, machine_fault, naming_nothing};
use crate::boat::arranged::FARTHEST;
use crate::boat::{Arranged, ThingKind};
use crate::checklist::id_fault;
use crate::defects::admit::Fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};

impl Event for Arranged {
    const NAME: &'static str = "arranged";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // No verdict rests on it.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    fn subject_slot(&mut self) -> Option<(&str, &mut Option<String>)> {
        Some((self.item.as_deref()?, &mut self.machine))
    }

    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let spoken_of = [
            self.item.is_some(),
            self.engine.is_some(),
            self.thing.is_some(),
        ];
        if spoken_of.iter().filter(|of| **of).count() != 1 {
            let message = "say where one item, one engine or one thing is: item, engine or thing";
            return vec![fault("item", message)];
        }
        let far = self.point.filter(|point| !point.is_aboard());
        let far = far.map(|_| fault("point", format!("expected -{FARTHEST} to {FARTHEST}")));
        let thing = self.thing.as_ref();
        let named = thing.and_then(|thing| id_fault(&thing.id));
        let named = named.map(|why| fault("thing.id", why));
        let unknown = self
            .engine
            .and_then(|_| machine_fault(&mut self.machine, grounds));
        let odd = (thing.is_some() && self.machine.is_some())
            .then(|| fault("machine", "this is of the boat, and of no machine"));
        [far, named, unknown, odd].into_iter().flatten().collect()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.arranged, self)
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        let on = self.machine.as_ref().map(|id| format!(" ({id})"));
        let on = on.unwrap_or_default();
        let words = match (&self.item, &self.thing) {
            (Some(item), _) => title(item),
            (None, Some(thing)) => format!("{} {}", thing.kind, thing.id),
            (None, None) => "the engine".to_owned(),
        };
        Some(match (self.point, &self.thing) {
            (None, Some(_)) => format!("took off the drawing: {words}"),
            (None, None) if self.item.is_some() => {
                format!("put back where it stood at first on the drawing: {words}{on}")
            }
            _ => format!("said where it is: {words}{on}"),
        })
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.arranged.iter().map(|s| {
            let thing = s.rec.thing.as_ref();
            ArrangedRow {
                id: s.id.clone(),
                item: s.rec.item.clone(),
                machine: s.rec.machine.clone(),
                thing: thing.map(|thing| thing.id.clone()),
                kind: thing.map(|thing| thing.kind),
                at: s.at,
                x: s.rec.point.map(|p| p.x),
                y: s.rec.point.map(|p| p.y),
                z: s.rec.point.map(|p| p.z),
                turned: s.rec.engine.map(|engine| engine.turned),
                mirrored: s.rec.engine.map(|engine| engine.mirrored),
            }
        });
        vec![of.lines(rows)]
    }
}

tables! {
    /// Where something is aboard, in hundredths of the engine's length from its free end.
    ArrangedRow = "arranged" key(id) {
        /// Record id.
        id: String,
        /// The item; null for an engine or a thing that is no item.
        item: Option<String>,
        /// Machine id; null for what the boat has once.
        machine: Option<String>,
        /// Name of what is no item.
        thing: Option<String>,
        /// What it is.
        kind: Option<ThingKind>,
        /// When it was told.
        at: Time,
        /// Aft; null where it stands as at first, or was taken off.
        x: Option<i16>,
        /// To starboard.
        y: Option<i16>,
        /// Up.
        z: Option<i16>,
        /// An engine stands with its flywheel end forward.
        turned: Option<bool>,
        /// An engine stands with its service side to port.
        mirrored: Option<bool>,
    }
}
