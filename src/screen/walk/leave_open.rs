//! What is left so that she must not be started before it is put back, told where one stands.

use crate::checklist::Forbids;
use crate::defects::Opened;
use crate::defects::admit::too_long;
use crate::logbook::record::Record;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{Line, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::walk::Spot;

/// What something left open can forbid, the usual first.
const FORBIDS: [(Forbids, &str); 3] = [
    (Forbids::Start, "to start: shut, off, out"),
    (Forbids::Float, "to float: the sea could come in there"),
    (Forbids::Leave, "to leave: at her berth she may run"),
];

impl WalkScreen {
    /// Asks what of an item is left, and how.
    pub(super) fn ask_left_open(&self, spot: Spot, cx: &mut Turn<'_>) {
        cx.ask(Layer::line(
            self.title_of(spot, "left open: what?"),
            "such as: seacock shut, belt off; it stands first until it is put back",
            Line::LeftOpen(spot),
        ));
    }

    /// What is left, as typed: then what it forbids.
    pub(super) fn left_open_typed(
        &mut self,
        spot: Spot,
        what: &str,
        cx: &mut Turn<'_>,
    ) -> Result<(), String> {
        let what = what.trim();
        if what.is_empty() {
            return Err("say what was left how".to_owned());
        }
        if let Some((_, told)) = too_long("what", what) {
            return Err(told);
        }
        cx.ask(Layer::choice(
            self.title_of(spot, "what does it forbid?"),
            FORBIDS.map(|(_, words)| words.to_owned()).into(),
            Pick::Forbids(spot, what.to_owned()),
        ));
        Ok(())
    }

    /// What it forbids, as picked.
    pub(super) fn forbids_picked(
        &mut self,
        spot: Spot,
        what: String,
        at: usize,
        cx: &mut Turn<'_>,
    ) {
        if let Some((forbids, _)) = FORBIDS.get(at) {
            self.leave_open(spot, what, *forbids, cx);
        }
    }

    /// Something of an item is left open. It is no look: a walk that has not begun does not begin
    /// with it.
    pub(super) fn leave_open(
        &mut self,
        spot: Spot,
        what: String,
        forbids: Forbids,
        cx: &mut Turn<'_>,
    ) {
        let Some(item) = self.item(spot) else {
            return;
        };
        let subject = self.before.subject(&item.id, &self.started.machine);
        let opened = Record::from(Opened {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            at: Some(cx.book.now()),
            what,
            why: None,
            forbids: Some(forbids),
        });
        match cx.record_act(opened) {
            Ok(Some(ids)) => {
                self.take_up(cx.book, vec![subject]);
                self.undo.push(ids);
                let words = forbids.words();
                cx.tell(format!("noted; it forbids {words} until it is put back"));
            }
            Ok(None) => {}
            Err(told) => cx.warn(told),
        }
    }
}
