//! What was recorded last in a walk is taken back, by name; a stop once she was turned only with a
//! reason.

use crate::defects::stopped::first_run;
use crate::logbook::book::Book;
use crate::logbook::mend::{Reason, taking_back_because};
use crate::logbook::record::{DraftKept, LookMade, Record};
use crate::screen::layers::Layer;
use crate::screen::walk::ask::Line;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::{Details, Look, TimedLook};

/// The looks that come back where records are taken back that took them back.
fn restored<'a>(book: &'a Book, group: &'a [String]) -> impl Iterator<Item = &'a LookMade> {
    let undone = book.written().iter().rev();
    let undone = undone.filter(|w| group.iter().any(|id| *id == *w.id));
    let of = undone.filter_map(|w| w.record.takes_back());
    of.filter_map(|of| {
        let mut all = book.written().iter().rev();
        all.find_map(|w| match &w.record {
            Record::Look(made) if *w.id == *of => Some(made),
            _ => None,
        })
    })
}

impl WalkScreen {
    /// What people wrote of a look, and their pictures, as far as no look that comes back has it: it waits
    /// for the next one.
    fn kept_of(&self, book: &Book, group: &[String], undone: &TimedLook) -> Option<DraftKept> {
        let look = &undone.look;
        let phase = look.phase.clone()?;
        let stands = restored(book, group)
            .find(|made| made.look.item == look.item && made.look.phase == look.phase);
        let said = look.details();
        let own = Details {
            at_rpm: said.at_rpm,
            note: said.note,
            ..Details::default()
        };
        let details = match stands {
            Some(made) if made.look.note == own.note => return None,
            Some(_) => own,
            None => Details {
                said: said.said,
                photos: said.photos,
                ..own
            },
        };
        let kept = DraftKept {
            walk: self.started.walk.clone(),
            phase,
            item: look.item.clone(),
            details,
        };
        // What was typed since is newer.
        let mut drafts = book.history().drafts.iter();
        let newer = drafts.any(|d| {
            (&d.walk, &d.phase, &d.item) == (&kept.walk, &kept.phase, &kept.item)
                && d.details.at_rpm == kept.details.at_rpm
        });
        (!newer && !kept.details.is_empty()).then_some(kept)
    }

    /// Takes the last entry of this walk back, and names it. Once she was turned, a stop goes only with
    /// a reason.
    pub fn undo(&mut self, cx: &mut Turn<'_>) {
        let group = match self.undo.last() {
            Some(group) => group.clone(),
            None => match self.walk(cx.book).looks.last() {
                Some(last) => vec![last.id.to_string()],
                None => return cx.tell("nothing to take back"),
            },
        };
        let walk = self.walk(cx.book);
        let stopped = |look: &Look| {
            let item = self.before.library.catalogue.item(&look.item)?;
            self.before.stop_seen(item, &walk.machine, look)?;
            Some(item.title.clone())
        };
        let looks = walk
            .looks
            .iter()
            .filter(|l| group.iter().any(|id| **id == *l.id));
        let mut stops: Vec<String> = looks.filter_map(|timed| stopped(&timed.look)).collect();
        // What comes back with it may hold the stop as it did.
        for earlier in restored(cx.book, &group) {
            let held = stopped(&earlier.look);
            stops.retain(|title| held.as_ref() != Some(title));
        }
        if !stops.is_empty() && first_run(&self.before, walk).is_some() {
            let title = format!(
                "Take back the stop on {}: why was it wrong?",
                stops.join(", ")
            );
            let hint = "a few words; it stays owed a look until it is seen again";
            return cx.ask(Layer::line(title, hint, Line::WhyUndo(group)));
        }
        self.undo_group(&group, None, cx);
    }

    /// Takes looks back for a reason.
    pub fn undo_because(
        &mut self,
        group: &[String],
        why: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        if why.trim().is_empty() {
            return Err("a reason is needed; Esc leaves it as it is".to_owned());
        }
        self.undo_group(group, Some(why.trim()), cx);
        Ok(())
    }

    fn undo_group(&mut self, group: &[String], why: Option<&str>, cx: &mut Turn<'_>) {
        self.undo.pop();
        let mut looks = self.walk(cx.book).looks.iter();
        let undone = looks.find(|l| group.iter().any(|id| **id == *l.id));
        let spot = undone.and_then(|look| self.spot_of(look));
        let rpm = undone.and_then(|look| look.look.at_rpm);
        // What was said of the look goes, and the look before it stands with the same rung.
        let stands = undone.is_some_and(|undone| {
            let mut before = restored(cx.book, group);
            before.any(|made| {
                made.look.item == undone.look.item && made.look.outcome == undone.look.outcome
            })
        });
        let named = undone.map(|look| match look.look.grade() {
            Some(grade) => (look.look.item.clone(), grade.to_string()),
            None => (look.look.item.clone(), "not seen".to_owned()),
        });
        let looks = self.walk(cx.book).looks.iter();
        let looks = looks.filter(|l| group.iter().any(|id| **id == *l.id));
        let kept = looks.filter_map(|undone| self.kept_of(cx.book, group, undone));
        let kept: Vec<DraftKept> = kept.collect();
        let named = named.map_or("taken back".to_owned(), |(item, said)| {
            let item = self
                .before
                .library
                .catalogue
                .item(&item)
                .map_or(item, |i| i.title.clone());
            match stands {
                true => format!("taken back: what was said last of {}", safe_line(&item)),
                false => format!("taken back: {} {said}", safe_line(&item)),
            }
        });
        let reason = Reason {
            why: why.unwrap_or_default().to_owned(),
            by: cx.setup.by.clone().filter(|_| why.is_some()),
        };
        let back = group.iter().rev();
        let back = back.map(|of| taking_back_because(cx.book, of, &reason));
        let named = match kept.iter().any(|kept| kept.details.note.is_some()) {
            true => format!("{named}; its note is kept, n shows it"),
            false => named,
        };
        let records = back.chain(kept.into_iter().map(Record::from)).collect();
        if self.walk_record(records, false, cx) {
            if let Some(spot) = spot {
                let open = spot.item > 0
                    || (self.open && (spot.phase, spot.row) == (self.at.phase, self.at.row));
                self.go(spot);
                self.open = open;
                if rpm.is_some() {
                    self.put_speed(rpm);
                }
            }
            cx.tell(named);
        }
    }
}
