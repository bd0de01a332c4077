//! What a leak run does besides at a grade: the leak class of a joint goes with its rung.

use crate::checklist::{Closing, Grade, Item, Leak, leak_grade};
use crate::logbook::book::Book;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{self, Offer, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::{Details, Look, Spot};

impl WalkScreen {
    /// True where the walk follows work on the engine.
    pub fn is_leak_run(&self) -> bool {
        let list = self.before.library.checklist(&self.started.checklist);
        list.is_some_and(|l| l.closes_with == Closing::LeakRun)
    }

    /// What is said of an item with a grade. In a leak run sound is dry, which is a class of its
    /// own; a worse rung takes that back. Answers that do not go with the grade are said no more.
    pub(crate) fn details_for(&self, book: &Book, spot: Spot, grade: Grade) -> Details {
        let mut details = self.standing_details(book, spot);
        let joint = self.item(spot).filter(|_| self.is_leak_run());
        let joint = joint.filter(|item| rung_of(item, Leak::None).is_some());
        if joint.is_some() && matches!(details.leak, None | Some(Leak::None)) {
            details.leak = (grade == Grade::Sound).then_some(Leak::None);
        }
        details.signs = self.signs_for(book, spot, grade, details.signs);
        details
    }

    /// The leak classes that mean the rung of a look in a leak run, where none was named yet.
    pub(crate) fn leak_classes(&self, item: &Item, look: &Look) -> Vec<Leak> {
        let Some(grade) = look.grade().filter(|_| self.is_leak_run()) else {
            return Vec::new();
        };
        if look.leak.is_some() {
            return Vec::new();
        }
        let means = |leak: &Leak| rung_of(item, *leak) == Some(grade);
        Leak::ALL.iter().copied().filter(means).collect()
    }
}

fn rung_of(item: &Item, leak: Leak) -> Option<Grade> {
    leak_grade(item.fluid?, item.place?, item.near_heat, leak)
}

impl WalkScreen {
    /// Asks which leak class the rung just graded was, if it was a leak.
    pub fn ask_leak_seen(
        &mut self,
        spot: Spot,
        classes: Vec<Leak>,
        offer: Offer,
        cx: &mut Turn<'_>,
    ) {
        let mut options: Vec<String> = classes.iter().map(|l| ask::leak_option(*l)).collect();
        options.push("no leak: something else about it".to_owned());
        let title = self.title_of(spot, "what comes out?");
        cx.ask(Layer::beside_rungs(
            title,
            options,
            0,
            Pick::LeakSeen(spot, classes, offer),
        ));
    }

    /// True where one has not gone elsewhere from a stop found there.
    pub(crate) fn is_at(&self, spot: Spot) -> bool {
        (self.at.phase, self.at.row) == (spot.phase, spot.row)
    }

    /// Takes the class; a joint that leaks is not asked where it wears.
    pub fn leak_seen(&mut self, spot: Spot, leak: Option<Leak>, offer: Offer, cx: &mut Turn<'_>) {
        match leak {
            Some(leak) => {
                self.amend(spot, |d| d.leak = Some(leak), cx);
                if !self.is_at(spot) {
                    return;
                }
                self.offer(
                    spot,
                    Offer {
                        wears: false,
                        ..offer
                    },
                    cx,
                );
            }
            None if self.is_at(spot) => self.offer(spot, offer, cx),
            None => {}
        }
    }
}
