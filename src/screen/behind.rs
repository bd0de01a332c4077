//! Records this computer had seen that are not here, and a clock that stands before the last record:
//! both are said before anything is built on them.

use chrono::{DateTime, FixedOffset};

use crate::keys::Action;
use crate::logbook::book::{Book, ToSay};
use crate::screen::app::{App, Screen};
use crate::screen::layers::Layer;
use crate::screen::layers::ask::Ask;

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

    /// Asks why one goes on without records that are missing, or why a loss can be lived with.
    pub(super) fn ask_go_on(&mut self) {
        let Some(book) = self.book.as_ref() else {
            return;
        };
        let missing = book.missing().into_iter().find(|m| m.open);
        let (title, lead) = match (missing, book.losses().len()) {
            (Some(missing), _) => (
                "Go on with this copy: why?",
                format!(
                    "a few words; what was recorded up to {} stays missing until it is merged back",
                    missing.mark.at.format("%Y-%m-%d %H:%M")
                ),
            ),
            (None, 0) => {
                return self.tell("nothing is missing here that somebody would have to accept");
            }
            (None, losses) => (
                "These losses are known: why can they be lived with?",
                format!(
                    "a few words; {} in every answer, see: handlamp logbook check",
                    match losses {
                        1 => "it stays named".to_owned(),
                        n => format!("all {n} stay named"),
                    }
                ),
            ),
        };
        self.layers.push(Layer::line(title, lead, Ask::GoOn));
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
        let (by, why) = (by.as_deref(), text);
        let gone_on = book
            .go_on(by.map(str::to_owned), why.to_owned())
            .map_err(|e| e.to_string())?;
        if !gone_on {
            book.accept_losses(by, why).map_err(|e| e.to_string())?;
        }
        self.renew();
        self.tell(match gone_on {
            true => "recorded: going on with this copy",
            false => "recorded: the losses are known",
        });
        Ok(())
    }

    /// What is on record and not counted, in one sentence, and whether it still forbids a clear
    /// verdict; none where all is counted.
    pub(super) fn not_counted(&self) -> Option<(String, bool)> {
        let book = self.book.as_ref()?;
        let doubts = match &self.screen {
            Screen::Boat(screen) => &screen.condition.doubts,
            Screen::Defects(screen) => &screen.condition.doubts,
            Screen::Verdict(screen) => &screen.condition.doubts,
            _ => &book.history().doubts,
        };
        let first = doubts.iter().find(|d| d.blocks()).or(doubts.first())?;
        let more = match doubts.len() {
            1 => String::new(),
            n => format!(" (and {} more)", n - 1),
        };
        let does = book.to_say().map(|say| match say {
            ToSay::GoOn => "goes on with this copy",
            ToSay::Known => "says that it is known",
        });
        let keys = self.setup.keys.keys_of(Action::GoOn);
        let key = keys.first().filter(|_| self.layers.is_empty());
        let key = key.zip(does);
        let key = key.map_or_else(String::new, |(key, does)| format!(", {key} {does}"));
        // The words a person needs come first; which file it is, the check says.
        let item = first.told.item.as_deref();
        let item = item.map(|id| book.library().catalogue.item(id).map_or(id, |i| &i.title));
        let item = item.map_or_else(String::new, |title| format!("{title}: "));
        let told = format!("NOT COUNTED{more}{key}: {item}{}", first.told.why);
        Some((told, first.blocks()))
    }
}

/// A time of day, with its day where that is not the other's.
fn time(at: DateTime<FixedOffset>, other: DateTime<FixedOffset>) -> String {
    let same = other.date_naive() == at.date_naive();
    let form = if same { "%H:%M" } else { "%H:%M on %-d %b %Y" };
    at.format(form).to_string()
}
