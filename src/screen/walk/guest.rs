//! A guest's walk: it can raise a stop, and lifts none and confirms no repair. What guests saw is told
//! to the owner before the next start.

use chrono::Duration;

use super::ask::Pick;
use super::state::{Turn, WalkScreen};
use crate::logbook::book::Book;
use crate::screen::layers::Layer;
use crate::walk::Spot;

/// So long the owner's worse rung is asked about (judgement).
const A_WEEK: Duration = Duration::days(7);
impl WalkScreen {
    /// It is walked by a guest of this name.
    pub fn by_a_guest(&mut self, name: String) {
        (self.started.guest, self.blank.guest) = (true, true);
        self.blank.by = Some(name.clone());
        self.started.by = Some(name);
    }

    /// Before the owner walks: what guests saw since.
    pub fn tell_of_guests(&self, cx: &mut Turn<'_>) {
        if self.started.guest {
            return;
        }
        let machine = &self.started.machine;
        let Some(saw) = self.before.guests_saw(cx.book.history(), machine) else {
            return;
        };
        let options = vec!["read; go on".to_owned()];
        let heading = "What guests saw since you walked";
        cx.ask(Layer::told(heading, saw.words(), options, Pick::GuestsSaw));
    }

    /// True where a guest stands before what the owner graded within a week.
    pub(super) fn is_of_the_week(&self, book: &Book, spot: Spot) -> bool {
        let Some(item) = self.item(spot).filter(|_| self.started.guest) else {
            return false;
        };
        let life = self.before.life(&item.id, &self.started.machine);
        let since = life.and_then(|life| life.status.since);
        since.is_some_and(|since| book.now() - since <= A_WEEK)
    }

    /// Asks a guest whether it was the spot that the owner saw worse.
    pub(super) fn ask_same_spot(&self, spot: Spot, cx: &mut Turn<'_>) {
        let item = self.item(spot);
        let life = item.and_then(|item| self.before.life(&item.id, &self.started.machine));
        let stood = life.and_then(|life| life.status.grade);
        let stood = stood.map_or(String::new(), |grade| format!("the owner saw it {grade}: "));
        let title = self.title_of(spot, &format!("{stood}the same spot seen?"));
        let options = [
            "yes; it stays as the owner saw it until the owner looks",
            "not sure: look again",
        ];
        let options = options.map(str::to_owned).into();
        cx.ask(Layer::beside_rungs(title, options, 0, Pick::SameSpot(spot)));
    }
}
