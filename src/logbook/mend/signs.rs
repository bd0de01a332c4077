//! What becomes of the answers of a look that is put right.

use super::At;
use crate::defects::behind::signs::keep_fitting;
use crate::logbook::book::Book;
use crate::logbook::record::{LookMade, Record};
use crate::walk::{Look, Signs};

/// What a look put right says no more of its kind, in a sentence; none where it says all it said.
pub(super) fn unsaid(book: &Book, record: &Record) -> Option<String> {
    let Record::Correction(correction) = record else {
        return None;
    };
    let (of, to) = (
        At::find(book, &correction.of).ok()?,
        correction.to.as_deref()?,
    );
    let (Record::Look(was), Record::Look(is)) = (of.record(), to) else {
        return None;
    };
    let gone = was.look.signs.iter();
    let gone = gone.filter(|(question, _)| !is.look.signs.contains_key(*question));
    let gone: Signs = gone.map(|(q, a)| (q.clone(), a.clone())).collect();
    let condition = book.condition();
    let lines = condition.sign_lines(&gone).join("; ");
    (!gone.is_empty()).then(|| format!("it is said no more that {lines}"))
}

/// A look moved to another item, or to another rung, keeps those of its answers that go with it.
pub(super) fn as_moved(book: &Book, was: &LookMade, is: &mut LookMade) {
    let moved = was.look.item != is.look.item || was.look.grade() != is.look.grade();
    let Some(grade) = is
        .look
        .grade()
        .filter(|_| moved && !is.look.signs.is_empty())
    else {
        return;
    };
    let mut look = Look::clone(&is.look);
    // What is said in the same breath is meant, and what is wrong with it is told.
    let said = |question: &String, answer: &String| was.look.signs.get(question) != Some(answer);
    let meant = look
        .signs
        .iter()
        .filter(|(question, answer)| said(question, answer));
    let meant: Signs = meant.map(|(q, a)| (q.clone(), a.clone())).collect();
    keep_fitting(
        book.condition().causes(),
        &look.item.clone(),
        grade,
        &mut look.signs,
    );
    look.signs.extend(meant);
    is.look = look.into();
}
