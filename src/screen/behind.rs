//! Records this computer had seen that are not here, and a clock that stands before the last record:
//! both are said before anything is built on them.

use chrono::{DateTime, FixedOffset};

use super::app::App;
use super::ask::Ask;
use super::keys::Action;
use super::layer::Layer;
use crate::logbook::book::Book;

impl App {
    /// Asks before a walk begins under a clock that is behind the record; true where it was asked.
    pub(super) fn asks_clock(&mut self, checklist: &str, machine: &str) -> bool {
        let Some((newest, now)) = self.book.as_ref().and_then(Book::clock_behind) else {
            return false;
        };
        let lead = format!(
            "This computer says {}, the last record was made at {}{}. One of the two was wrong.",
            time(now, newest),
            time(newest, now),
            if newest.date_naive() == now.date_naive() {
                " today"
            } else {
                ""
            }
        );
        let options = vec![
            "leave and set the clock".to_owned(),
            "go on: the records keep their order".to_owned(),
        ];
        let ask = Ask::ClockBehind(checklist.to_owned(), machine.to_owned());
        let title = "This computer's clock is behind";
        let layer = Layer::told(title, vec![lead, String::new()], options, ask);
        self.layers.push(layer);
        true
    }

    /// A line of that question was picked.
    pub(super) fn clock_picked(&mut self, at: usize, checklist: &str, machine: &str) {
        if at == 1 {
            self.begin_walk_now(checklist, machine);
        } else {
            self.tell("nothing was begun; set this computer's clock, then start again");
        }
    }

    /// Asks why one goes on without records that are missing.
    pub(super) fn ask_go_on(&mut self) {
        let missing = self.book.as_ref().map(Book::missing).unwrap_or_default();
        let Some(missing) = missing.into_iter().find(|m| m.open) else {
            return self.tell("no record this computer had seen is missing here");
        };
        self.layers.push(Layer::line(
            "Go on with this copy: why?",
            format!(
                "a few words; what was recorded up to {} stays missing until it is merged back",
                missing.mark.at.format("%Y-%m-%d %H:%M")
            ),
            Ask::GoOn,
        ));
    }

    /// The reason was typed.
    pub(super) fn go_on_typed(&mut self, text: &str) -> Result<(), String> {
        if text.is_empty() {
            return Err("a reason is needed; Esc leaves it open".into());
        }
        let by = self.setup.by.clone();
        let Some(book) = &mut self.book else {
            return Ok(());
        };
        book.go_on(by, text.to_owned()).map_err(|e| e.to_string())?;
        self.renew();
        self.tell("recorded: going on with this copy");
        Ok(())
    }

    /// What is on record and not counted, in one sentence, and whether it still forbids a clear
    /// verdict; none where all is counted.
    pub(super) fn not_counted(&self) -> Option<(String, bool)> {
        let doubts = &self.book.as_ref()?.history().doubts;
        let first = doubts.iter().find(|d| d.blocks).or(doubts.first())?;
        let more = match doubts.len() {
            1 => String::new(),
            n => format!(" (and {} more)", n - 1),
        };
        let open = self.book.as_ref()?.missing().iter().any(|m| m.open);
        let keys = self.setup.keys.keys_of(Action::GoOn);
        let key = keys.first().filter(|_| open && self.layers.is_empty());
        let key = key.map_or_else(String::new, |key| format!("; {key} goes on with this copy"));
        let told = format!("NOT COUNTED{more}: {}{key}", first.told.sentence());
        Some((told, first.blocks))
    }
}

/// A time of day, with its day where that is not the other's.
fn time(at: DateTime<FixedOffset>, other: DateTime<FixedOffset>) -> String {
    let same = other.date_naive() == at.date_naive();
    let form = if same { "%H:%M" } else { "%H:%M on %-d %b %Y" };
    at.format(form).to_string()
}
