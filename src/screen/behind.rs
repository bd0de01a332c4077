//! Records this computer had seen that are not here, and a clock that stands before the last record:
//! both are said before anything is built on them.

use std::convert::Infallible;

use chrono::{DateTime, FixedOffset};

use crate::defects::doubt::Doubt;
use crate::keys::Action;
use crate::logbook::book::{Book, ToSay};
use crate::screen::kind::{Asks, Cx, Go, Screen, Shown, To};
use crate::screen::layers::{Choice, Layer};
use crate::screen::shared::{Setup, Shared};

/// A walk is to begin under a clock that is behind the record.
pub struct ClockBehind {
    checklist: String,
    machine: String,
    guest: Option<String>,
    newest: DateTime<FixedOffset>,
    now: DateTime<FixedOffset>,
}

impl Asks for ClockBehind {
    type Pick = ();
    type Line = Infallible;
}

impl ClockBehind {
    /// Where it is so.
    pub fn of(
        book: &Book,
        checklist: &str,
        machine: &str,
        guest: Option<&str>,
    ) -> Option<ClockBehind> {
        let (newest, now) = book.clock_behind()?;
        Some(ClockBehind {
            checklist: checklist.to_owned(),
            machine: machine.to_owned(),
            guest: guest.map(str::to_owned),
            newest,
            now,
        })
    }

    /// Asks whether to begin all the same.
    pub fn ask(&mut self, cx: &mut Cx<'_, Self>) {
        let (newest, now) = (self.newest, self.now);
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
        let title = "This computer's clock is behind";
        cx.ask(Layer::told(title, vec![lead, String::new()], options, ()));
    }
}

impl Shown for ClockBehind {
    fn is_box(&self) -> bool {
        true
    }
}

impl Screen for ClockBehind {
    fn picked(&mut self, _ask: (), at: usize, _of: &Choice, cx: &mut Cx<'_, Self>) {
        if at == 1 {
            return cx.go(Go::To(To::Walk {
                checklist: self.checklist.clone(),
                machine: self.machine.clone(),
                asked: true,
                guest: self.guest.clone(),
            }));
        }
        cx.tell("nothing was begun; set this computer's clock, then start again");
        cx.go(Go::Back);
    }
}

/// Somebody goes on without records that are missing, or lives with a loss.
pub struct GoOn {
    title: &'static str,
    hint: String,
}

impl Asks for GoOn {
    type Pick = Infallible;
    type Line = ();
}

impl GoOn {
    /// Where there is something to go on without; else that is told.
    pub fn of(shared: &mut Shared, book: &Book) -> Option<GoOn> {
        let missing = book.missing().into_iter().find(|m| m.open);
        let (title, hint) = match (missing, book.losses().len()) {
            (Some(missing), _) => (
                "Go on with this copy: why?",
                format!(
                    "a few words; what was recorded up to {} stays missing until it is merged back",
                    missing.mark.at.format("%Y-%m-%d %H:%M")
                ),
            ),
            (None, 0) => {
                shared.tell("nothing is missing here that somebody would have to accept");
                return None;
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
        Some(GoOn { title, hint })
    }

    /// Asks why.
    pub fn ask(&mut self, cx: &mut Cx<'_, Self>) {
        cx.ask(Layer::line(self.title, self.hint.clone(), ()));
    }
}

impl Shown for GoOn {
    fn is_box(&self) -> bool {
        true
    }
}

impl Screen for GoOn {
    fn typed(&mut self, _ask: (), text: &str, cx: &mut Cx<'_, Self>) -> Result<(), String> {
        if text.is_empty() {
            return Err("a reason is needed; Esc leaves it open".into());
        }
        let by = cx.setup.by.clone();
        let gone_on = cx.book.go_on(by.clone(), text.to_owned());
        let gone_on = gone_on.map_err(|e| e.to_string())?;
        if !gone_on {
            let accepted = cx.book.accept_losses(by.as_deref(), text);
            accepted.map_err(|e| e.to_string())?;
        }
        cx.tell(match gone_on {
            true => "recorded: going on with this copy",
            false => "recorded: the losses are known",
        });
        cx.go(Go::BackAnew);
        Ok(())
    }
}

/// What is on record and not counted, in one sentence, and whether it still forbids a clear verdict;
/// none where all is counted. The key that goes on with it works where nothing stands over the
/// screen.
pub fn not_counted(
    setup: &Setup,
    book: &Book,
    doubts: &[Doubt],
    bare: bool,
) -> Option<(String, bool)> {
    let first = doubts.iter().find(|d| d.blocks()).or(doubts.first())?;
    let more = match doubts.len() {
        1 => String::new(),
        n => format!(" (and {} more)", n - 1),
    };
    let does = book.to_say().map(|say| match say {
        ToSay::GoOn => "goes on with this copy",
        ToSay::Known => "says that it is known",
    });
    let keys = setup.keys.keys_of(Action::GoOn);
    let key = keys.first().filter(|_| bare);
    let key = key.zip(does);
    let key = key.map_or_else(String::new, |(key, does)| format!(", {key} {does}"));
    // The words a person needs come first; which file it is, the check says.
    let item = first.told.item.as_deref();
    let item = item.map(|id| book.library().catalogue.item(id).map_or(id, |i| &i.title));
    let item = item.map_or_else(String::new, |title| format!("{title}: "));
    let told = format!("NOT COUNTED{more}{key}: {item}{}", first.told.why);
    Some((told, first.blocks()))
}

/// A time of day, with its day where that is not the other's.
fn time(at: DateTime<FixedOffset>, other: DateTime<FixedOffset>) -> String {
    let same = other.date_naive() == at.date_naive();
    let form = if same { "%H:%M" } else { "%H:%M on %-d %b %Y" };
    at.format(form).to_string()
}
