//! What is left so that she must not be started before it is put back, told where one stands; and put back
//! there.

use crate::checklist::{Forbids, Leaves};
use crate::defects::admit::too_long;
use crate::defects::{Closed, Opened};
use crate::logbook::record::Record;
use crate::screen::layers::Layer;
use crate::screen::walk::ask::{Line, Pick};
use crate::screen::walk::state::{Turn, WalkScreen};
use crate::text::safe_line;
use crate::walk::Spot;

/// What something left open can forbid, the usual first.
const FORBIDS: [(Forbids, &str); 3] = [
    (Forbids::Start, "to start: shut, off, out"),
    (Forbids::Float, "to float: the sea could come in there"),
    (Forbids::Leave, "to leave: at her berth she may run"),
];

impl WalkScreen {
    /// Asks what of an item is left, and how; where the step of its row leaves something open, that is
    /// offered first.
    pub(super) fn ask_left_open(&self, spot: Spot, cx: &mut Turn<'_>) {
        let leaves = self.still_to_leave();
        if leaves.is_empty() {
            return self.ask_what_is_left(spot, cx);
        }
        let mut options: Vec<String> = leaves.iter().map(told_of).collect();
        options.push("something else".to_owned());
        let title = "Left open: what?".to_owned();
        cx.ask(Layer::choice(title, options, Pick::Leaves(spot, leaves)));
    }

    /// What the step of the row leaves open, as picked.
    pub(super) fn leaves_picked(
        &mut self,
        spot: Spot,
        leaves: Vec<Leaves>,
        at: usize,
        cx: &mut Turn<'_>,
    ) {
        match leaves.into_iter().nth(at) {
            Some(leaves) => self.leave_open(&leaves.item, leaves.what, leaves.forbids, cx),
            None => self.ask_what_is_left(spot, cx),
        }
    }

    fn ask_what_is_left(&self, spot: Spot, cx: &mut Turn<'_>) {
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
        let item = self.item(spot).map(|item| item.id.clone());
        if let Some(((forbids, _), item)) = FORBIDS.get(at).zip(item) {
            self.leave_open(&item, what, *forbids, cx);
        }
    }

    /// Something of an item is left open. It is no look: a walk that has not begun does not begin
    /// with it.
    fn leave_open(&mut self, item: &str, what: String, forbids: Forbids, cx: &mut Turn<'_>) {
        let subject = self.before.subject(item, &self.started.machine);
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

    /// What the step of the row in front leaves open and is not yet.
    pub(super) fn still_to_leave(&self) -> Vec<Leaves> {
        let step = self.row().and_then(|row| row.step.as_ref());
        let open = self.open_here();
        let is_open = |leaves: &&Leaves| open.iter().any(|(_, what, _)| *what == leaves.what);
        let leaves = step.into_iter().flat_map(|step| &step.opens);
        leaves.filter(|leaves| !is_open(leaves)).cloned().collect()
    }

    /// What of the row in front is open, the last first: the record, what is left how, all of it in words.
    pub(super) fn open_here(&self) -> Vec<(String, String, String)> {
        let items = self.row().map_or(&[][..], |row| &row.items);
        let condition = &self.so_far.condition;
        let open = condition.left_open(Some(&self.started.machine));
        let open = open.filter(|(subject, _)| items.contains(&subject.item));
        let mut open: Vec<_> = open.map(|(_, left)| left).collect();
        open.sort_by(|a, b| (b.opened.at, &b.opened.id).cmp(&(a.opened.at, &a.opened.id)));
        let told = open.into_iter().map(|left| {
            let opened = &left.opened;
            (opened.id.clone(), opened.rec.what.clone(), left.words())
        });
        told.collect()
    }

    /// What is seen put back of the row in front: the only thing at once, else which of several.
    pub(super) fn ask_put_back(&mut self, cx: &mut Turn<'_>) {
        let open = self.open_here();
        match open.as_slice() {
            [] => cx.tell("nothing of this row is left open"),
            [(of, what, _)] => self.put_back(of.clone(), what, cx),
            several => {
                let options = several.iter().map(|(.., words)| words.clone()).collect();
                let title = "What do you see put back as it belongs?";
                cx.ask(Layer::choice(title, options, Pick::PutBack(open)));
            }
        }
    }

    /// It is seen put back.
    pub(super) fn put_back(&mut self, of: String, what: &str, cx: &mut Turn<'_>) {
        let closed = Closed {
            of,
            at: Some(cx.book.now()),
            told: None,
        };
        if self.walk_record(vec![Record::from(closed)], true, cx) {
            cx.tell(format!("seen put back: {}", safe_line(what)));
        }
    }
}

/// What is left how, and what it forbids.
pub(super) fn told_of(leaves: &Leaves) -> String {
    format!("{}: it forbids {}", leaves.what, leaves.forbids.words())
}
