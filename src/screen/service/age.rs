//! "When last?" of the row under the arrow.

use super::{Line, ServiceScreen};
use crate::defects::WhenLast;
use crate::logbook::record::Record;
use crate::screen::kind::{Cx, Shown};
use crate::screen::layers::Layer;
use crate::service::What;

type Turn<'a> = Cx<'a, ServiceScreen>;

impl ServiceScreen {
    /// Asks when the row under the arrow was last done or fitted.
    pub fn ask_when_last(&self, cx: &mut Turn<'_>) {
        let Some(row) = self.row() else { return };
        if !matches!(row.what, What::Task | What::Life) {
            return cx.tell("only what is done again or has a life has an age");
        }
        let asks = match row.what {
            What::Task => "when last done?",
            _ => "when fitted?",
        };
        let title = format!("{}: {asks}", row.title);
        cx.ask(Layer::line(title, WhenLast::HINT, Line::WhenLast));
    }

    /// Records the answer.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn when_last_typed(&mut self, text: &str, cx: &mut Turn<'_>) -> Result<(), String> {
        let Some(row) = self.row().cloned() else {
            return Ok(());
        };
        let (task, item) = match row.what {
            What::Task => (Some(row.id.clone()), None),
            _ => (None, Some(row.item.clone())),
        };
        let told = WhenLast {
            task,
            item,
            machine: row.machine.clone(),
            ..WhenLast::typed(text, cx.book.now())?
        };
        let last = told.last;
        if cx.record_act(Record::from(told))?.is_some() {
            self.renew(cx.book);
            self.go_to(Some(&row));
            cx.tell(match last {
                Some(_) => "taken as remembered; the last word counts",
                None => "not known; the last word counts",
            });
        }
        Ok(())
    }
}
