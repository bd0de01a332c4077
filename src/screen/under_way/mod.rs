//! Under way: what is left, when the next round is due, what is due at it, the figures of the day against
//! what is usual, the last rounds. All as usual is said with two keys, in words that are shown first.
//!
//! - `afloat`: what is shown, gathered from the rules; [`mod@draw`]: how it is drawn
//! - `usual`: a round that claims all as usual; `form`: a line typed in one go; `fields`: its questions

mod afloat;
mod draw;
mod fields;
mod form;
mod usual;

use crate::defects::RoundDraft;
use crate::defects::round_draft::LineField;
use crate::defects::under_way_line::Leg;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::screen::kind::{Asks, Cx, Go, Screen, To, moved};
use crate::screen::layers::Choice;

use afloat::Afloat;
use usual::Way;

/// Under way on one machine, or what it takes to get under way.
pub struct UnderWayScreen {
    machine: String,
    now: Afloat,
    /// The figure whose day is drawn.
    figure: usize,
    /// So many of the last lines lie beneath the foot of the list.
    back: usize,
    /// The line being typed.
    form: Option<RoundDraft>,
}

impl UnderWayScreen {
    /// On the machine that is under way, else on the first.
    pub fn new(book: &Book) -> UnderWayScreen {
        UnderWayScreen::on(book, &afloat::machine_under_way(book))
    }

    fn on(book: &Book, machine: &str) -> UnderWayScreen {
        UnderWayScreen {
            machine: machine.to_owned(),
            now: Afloat::of(book, machine),
            figure: afloat::FIRST,
            back: 0,
            form: None,
        }
    }

    fn read(&mut self, book: &Book) {
        self.now = Afloat::of(book, &self.machine);
    }

    /// The next machine of several.
    fn next_machine(&mut self, cx: &mut Cx<'_, Self>) {
        let machines = &cx.book.boat().machines;
        let here = machines.iter().position(|m| m.id == self.machine);
        let next = machines
            .get(here.map_or(0, |at| at + 1))
            .or(machines.first());
        if let Some(id) = next.map(|machine| machine.id.clone()) {
            *self = UnderWayScreen::on(cx.book, &id);
        }
    }

    /// The last line is taken back, or put right, in the book of entries.
    fn take_back(&self, cx: &mut Cx<'_, Self>) {
        match &self.now.last_at {
            Some(at) => cx.go(Go::Over(To::TakeBack(format!(
                "under-way {}",
                at.format("%Y-%m-%d %H:%M")
            )))),
            None => cx.tell("nothing to take back"),
        }
    }
}

impl Asks for UnderWayScreen {
    type Pick = Vec<Way>;
    type Line = LineField;
}

impl Screen for UnderWayScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::GetUnderWay => self.begin(Leg::Begins, false, cx),
            Action::AllUsual => self.ask_usual(cx),
            Action::Reading => self.begin(Leg::Round, false, cx),
            Action::EnteredAfter => self.begin(Leg::Round, true, cx),
            Action::Finish => self.begin(Leg::Ends, false, cx),
            Action::FilterMachine => self.next_machine(cx),
            Action::Undo => self.take_back(cx),
            Action::OpenDefects => cx.go(Go::To(To::Defects)),
            Action::Back => cx.go(Go::BackAnew),
            Action::MoveUp | Action::MoveDown => {
                let count = self.now.figures.len();
                self.figure = moved(action, self.figure, count, 1).unwrap_or(self.figure);
            }
            Action::PageUp => {
                let most = self.now.rows.len().saturating_sub(1);
                self.back = (self.back + PAGE).min(most);
            }
            Action::PageDown => self.back = self.back.saturating_sub(PAGE),
            _ => {}
        }
    }

    fn picked(&mut self, ask: Vec<Way>, at: usize, _: &Choice, cx: &mut Cx<'_, Self>) {
        if let Some(way) = ask.get(at) {
            self.go_way(*way, cx);
        }
    }

    fn typed(&mut self, ask: LineField, text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        self.answer(ask, text, cx)
    }

    fn left_line(&mut self, ask: LineField, text: &str, cx: &mut Cx<'_, Self>) {
        self.leave_half_typed(ask, text, cx);
    }

    /// The draft on record fills it in.
    fn fills_in(&self, _: &LineField) -> bool {
        false
    }

    fn went_back(&mut self, ask: LineField, text: &str, cx: &mut Cx<'_, Self>) {
        self.keep_typed(ask, text, cx);
    }

    /// Before the last question nothing is on record but what is typed.
    fn can_be_answered_again(&self, ask: &LineField) -> bool {
        !matches!(ask, LineField::Every | LineField::Remark)
    }

    fn keeps(&self, _: &LineField) -> bool {
        true
    }

    fn keep(&mut self, ask: LineField, text: &str, cx: &mut Cx<'_, Self>) {
        self.keep_typed(ask, text, cx);
    }

    /// What is due and what is late goes by the clock of the key.
    fn look_at_clock(&mut self, cx: &mut Cx<'_, Self>) {
        self.read(cx.book);
    }
}

/// Lines of a page of the last rounds.
const PAGE: usize = 5;
