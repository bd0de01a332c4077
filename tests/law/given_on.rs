//! A history given on with the boat: whatever is kept back, the copy answers no better than the book,
//! and nothing in it is sound by a look of its new owner's.

use std::collections::BTreeSet;
use std::path::Path;
use std::rc::Rc;

use chrono::{DateTime, FixedOffset};
use handlamp::defects::Private;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::logbook::give_on::give_on;

use super::aboard::time;
use super::count::Count;
use super::oracle::{Asked, ask, library};
use super::scenes::{NOW, SCENES};

/// What stays behind, from nothing to all.
fn mixes() -> Vec<BTreeSet<Private>> {
    let one = |private: &Private| BTreeSet::from([*private]);
    let mut mixes: Vec<BTreeSet<Private>> = Private::ALL.iter().map(one).collect();
    mixes.push(BTreeSet::new());
    mixes.push(Private::ALL.iter().copied().collect());
    mixes
}

/// Gives a logbook on and holds the copy against it.
pub fn holds(
    root: &Path,
    now: DateTime<FixedOffset>,
    kept_back: &BTreeSet<Private>,
    what: &str,
    count: &mut Count,
) {
    let place = tempfile::tempdir().expect("a folder");
    let to = place.path().join("hers");
    let clock = Rc::new(FixedClock::new(now));
    let book = Book::open(root, clock, library(), Some(1)).expect("the book");
    let given = give_on(&book, &to, kept_back);
    count.holds(given.is_ok(), || {
        format!("{what}: {:?}", given.as_ref().err())
    });
    let (own, copy) = (
        ask(root, now, Asked::default()),
        ask(&to, now, Asked::default()),
    );
    let better = copy.better(&own);
    count.holds(better.is_empty(), || {
        format!("{what}, kept back {kept_back:?}: {better:?}")
    });
    count.holds(copy.told.is_empty(), || format!("{what}: {:?}", copy.told));
    let clear: Vec<_> = copy.now.iter().filter(|(_, rank)| **rank == 0).collect();
    count.holds(clear.is_empty(), || {
        format!("{what}: clear by a former owner's word, {clear:?}")
    });
    // And on a second owner after the first.
    let clock = Rc::new(FixedClock::new(now + chrono::Duration::days(30)));
    let hers = Book::open(&to, clock, library(), Some(2)).expect("the copy");
    let on = give_on(&hers, &place.path().join("theirs"), kept_back);
    count.holds(on.is_ok(), || {
        format!("{what}, given on again: {:?}", on.as_ref().err())
    });
}

#[test]
fn a_history_given_on_says_no_less_and_no_better() {
    let mut count = Count::new("histories given on");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        (scene.play)(&root).book.finish();
        for kept_back in mixes() {
            holds(&root, time(NOW), &kept_back, scene.name, &mut count);
        }
    }
    count.tell(300);
}
