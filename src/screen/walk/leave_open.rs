//! What is left so that she must not be started before it is put back, told where one stands.

use crate::defects::Opened;
use crate::logbook::record::Record;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::Line;
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::Spot;

impl WalkScreen {
    /// Asks what of an item is left, and how.
    pub(super) fn ask_left_open(&self, spot: Spot, cx: &mut Turn<'_>) {
        cx.ask(Layer::line(
            self.title_of(spot, "left open: what?"),
            "such as: seacock shut, belt off; she is not started before it is put back",
            Line::LeftOpen(spot),
        ));
    }

    /// What is left, as typed. It is no look: a walk that has not begun does not begin with it.
    pub(super) fn left_open_typed(
        &mut self,
        spot: Spot,
        what: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let Some(item) = self.item(spot) else {
            return Ok(());
        };
        let subject = self.before.subject(&item.id, &self.started.machine);
        let opened = Record::from(Opened {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            at: Some(cx.book.now()),
            what: what.to_owned(),
            why: None,
        });
        let Some(ids) = cx.record_act(opened)? else {
            return Ok(());
        };
        self.take_up(cx.book, vec![subject]);
        self.undo.push(ids);
        cx.tell("noted; before each start it stands first, until it is put back");
        Ok(())
    }
}
