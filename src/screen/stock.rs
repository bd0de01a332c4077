//! Whether a spare of the locker went into work recorded just now: offered, taken with one key, never by
//! itself; and told when it was the last.

use crate::defects::locker::{Offered, gone_words};
use crate::logbook::record::Record;
use crate::screen::kind::{Asks, Cx};
use crate::screen::layers::Layer;

/// Asks which spare went in, where some are aboard for it; the first line takes none.
pub fn ask_stock<A: Asks>(
    of: &str,
    offered: Vec<Offered>,
    cx: &mut Cx<'_, A>,
    pick: impl FnOnce(String, Vec<Offered>) -> A::Pick,
) {
    if offered.is_empty() {
        return;
    }
    let each = offered
        .iter()
        .map(|spare| format!("one of: {}", spare.words));
    let options = std::iter::once("nothing from the locker".to_owned());
    let options = options.chain(each).collect();
    let layer = Layer::choice("What went in?", options, pick(of.to_owned(), offered));
    cx.ask(layer);
}

/// Takes one of what was picked out of the locker.
pub fn take_from_stock<A: Asks>(of: &str, offered: &[Offered], at: usize, cx: &mut Cx<'_, A>) {
    let Some(spare) = at.checked_sub(1).and_then(|at| offered.get(at)) else {
        return;
    };
    match cx.record_act(Record::from(spare.used_for(of))) {
        Ok(Some(_)) if spare.count <= 1.0 => cx.warn(gone_words(&spare.words)),
        Ok(Some(_)) => cx.tell("one taken from the locker"),
        Ok(None) => {}
        Err(wrong) => cx.warn(wrong),
    }
}
