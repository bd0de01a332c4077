//! Who was told of what is unsafe.

use chrono::{DateTime, FixedOffset, NaiveDateTime, NaiveTime};

use crate::keys::Action;
use crate::logbook::record::{Record, ToldOf};
use crate::screen::kind::Cx;
use crate::screen::layers::Layer;
use crate::screen::verdict::{Line, VerdictScreen};
use crate::walk::Notified;

impl VerdictScreen {
    /// Asks who was told of what is unsafe.
    pub fn ask_told(&mut self, cx: &mut Cx<'_, Self>) {
        let untold = self.untold().len();
        if untold == 0 {
            return cx.tell(if self.unsafe_found.is_empty() {
                "no stop rule was reached in this walk"
            } else {
                "of all that is unsafe somebody was told"
            });
        }
        let title = format!("{untold} unsafe finding(s): whom did you tell?");
        let hint = "a name and what they are: owner, broker, harbour master";
        cx.ask(Layer::line(title, hint, Line::Whom));
    }

    /// Records who was told, and when.
    ///
    /// # Errors
    /// The time is none, or cannot be.
    pub fn put_told(
        &mut self,
        whom: String,
        when: &str,
        cx: &mut Cx<'_, Self>,
    ) -> Result<(), String> {
        let at = read_when(when, cx.book.now())?;
        if at < self.walk.at {
            return Err("that is before the walk began".into());
        }
        let items = self.untold();
        let record = ToldOf {
            walk: self.walk.id.clone(),
            told: Notified { items, whom, at },
        };
        if cx.record(vec![Record::from(record)]).is_some()
            && let Some(now) = VerdictScreen::new(cx.book, &self.walk.id, self.pace)
        {
            *self = now;
            cx.tell("recorded");
        }
        Ok(())
    }

    /// Names the key for telling, where something is untold.
    pub fn remind(&self, cx: &mut Cx<'_, Self>) {
        let untold = self.untold().len();
        if untold > 0 {
            let key = cx.setup.key(Action::Told);
            cx.warn(format!(
                "{untold} unsafe finding(s): tell who answers for the boat today; {key} records it"
            ));
        }
    }
}

/// A time as a person types it: nothing for now, a time of today, or a date and time.
fn read_when(text: &str, now: DateTime<FixedOffset>) -> Result<DateTime<FixedOffset>, String> {
    if text.is_empty() {
        return Ok(now);
    }
    let today = NaiveTime::parse_from_str(text, "%H:%M").map(|t| now.date_naive().and_time(t));
    let local = today.or_else(|_| NaiveDateTime::parse_from_str(text, "%Y-%m-%d %H:%M"));
    let at = local
        .ok()
        .and_then(|local| local.and_local_timezone(*now.offset()).single())
        .ok_or_else(|| format!("'{text}' is no time; type such as 16:40, or 2026-05-03 16:40"))?;
    if at > now {
        return Err(format!("{text} is still to come"));
    }
    Ok(at)
}
