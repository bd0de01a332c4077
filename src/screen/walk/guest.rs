//! A guest's walk: it can raise a stop, and lifts none and confirms no repair. What guests saw is told
//! to the owner before the next start.

use chrono::Duration;

use super::ask::{Line, Pick};
use super::state::{Turn, WalkScreen};
use crate::boat::profile::Tank;
use crate::logbook::book::Book;
use crate::logbook::record::{Record, WalkNoted};
use crate::screen::layers::Layer;
use crate::walk::fuel::{fuel_tanks, fuel_unit};
use crate::walk::{FuelLeft, Spot};

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

    /// Asks a guest who finishes what fuel is left in the next tank; false where nothing is to be asked.
    pub(super) fn ask_fuel(&mut self, cx: &mut Turn<'_>) -> bool {
        if !self.started.guest || self.is_found() {
            return false;
        }
        let (boat, said) = (cx.book.boat(), &self.walk(cx.book).fuel);
        let is_open = |tank: &&Tank| {
            let is_said = said.iter().any(|left| left.tank == tank.id);
            !is_said && !self.so_far.asked_fuel.contains(&tank.id)
        };
        let Some(tank) = fuel_tanks(boat).find(is_open) else {
            return false;
        };
        let unit = fuel_unit(tank, boat.units);
        let whole = tank.capacity.map(|whole| format!(" of {whole}"));
        let layer = Layer::line(
            format!("Fuel left, {}{}", tank.name, whole.unwrap_or_default()),
            format!("by its gauge or its stick: {unit}, or a part such as 1/2; Enter: not said"),
            Line::FuelLeft(tank.id.clone()),
        );
        // The question before it is answered; the walk stays open until the last one is.
        cx.done = true;
        cx.ask(layer);
        true
    }

    /// Takes what fuel is left in a tank, or that it is not said, and goes on to the end.
    pub(super) fn fuel_typed(
        &mut self,
        tank: &str,
        text: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let boat = cx.book.boat();
        let own = fuel_tanks(boat).find(|own| own.id == tank);
        let left = own.filter(|_| !text.is_empty());
        let left = left.map(|own| FuelLeft::typed(own, text, boat.units));
        let fuel: Vec<FuelLeft> = left.transpose()?.into_iter().collect();
        self.so_far.asked_fuel.push(tank.to_owned());
        let noted = (!fuel.is_empty()).then(|| WalkNoted {
            walk: self.started.walk.clone(),
            fuel,
            ..WalkNoted::default()
        });
        let noted: Vec<Record> = noted.into_iter().map(Record::from).collect();
        if noted.is_empty() || self.walk_record(noted, false, cx) {
            self.finish_walk(cx);
        }
        Ok(())
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
