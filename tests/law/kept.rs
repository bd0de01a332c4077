//! An open book keeps the condition it folded while nothing has changed: whatever is done to it, what it
//! says then is what a book opened anew says, and what is folded from nothing.

use std::sync::Arc;

use handlamp::boat::Waters;
use handlamp::defects::condition::Condition;
use handlamp::logbook::mend::{Reason, put_right, set_aside, taking_back};
use serde_json::json;

use super::aboard::{Aboard, BELT, HOSE};
use super::count::Count;
use super::oracle::{Asked, answer, ask};
use super::scenes::SCENES;

/// What is done to an open book, one after the other, within a minute or two.
type Deed = fn(&mut Aboard);

fn last_look(aboard: &Aboard) -> Option<String> {
    let walks = aboard.book.history().walks.iter().rev();
    let mut looks = walks.flat_map(|walk| walk.looks.iter().rev());
    looks.next().map(|timed| timed.id.to_string())
}

fn because() -> Reason {
    Reason {
        why: "seen wrong".to_owned(),
        by: None,
    }
}

const DEEDS: [(&str, Deed); 8] = [
    ("a walk that finds a stop", |aboard| {
        aboard.walk("main", &[(BELT, "failed")]);
    }),
    ("a repair", |aboard| {
        let at = aboard.now();
        aboard.take(&[json!({"type":"repair","item":BELT,"machine":"main","at":at,"done":"new"})]);
    }),
    ("a look put right", |aboard| {
        let id = last_look(aboard).expect("a look");
        let change = [("grade".to_owned(), "3".to_owned())];
        let records = put_right(&aboard.book, &id, &change, &because()).expect("put right");
        aboard.book.record(records).expect("recorded");
    }),
    ("a look taken back", |aboard| {
        let id = last_look(aboard).expect("a look");
        let record = taking_back(&aboard.book, &id);
        aboard.book.record(vec![record]).expect("recorded");
    }),
    ("waters changed", |aboard| {
        let mut boat = aboard.book.profile().clone();
        boat.waters = Waters::Offshore;
        aboard.book.set_boat(boat).expect("set");
    }),
    ("what nobody knew the age of", Aboard::tells_age),
    ("a walk of another window", |aboard| {
        let mut other = Aboard::on(&aboard.root, aboard.book.now(), 991);
        other.walk("main", &[(HOSE, "failing")]);
        other.book.finish();
        aboard.book.refresh().expect("read again");
    }),
    ("a walk set aside", |aboard| {
        let walk = aboard.book.history().walks.last().expect("one").id.clone();
        let records = set_aside(&aboard.book, &walk, &because()).expect("set aside");
        aboard.book.record(records).expect("recorded");
    }),
];

#[test]
fn a_condition_that_is_kept_is_that_of_now() {
    let mut count = Count::new("conditions kept");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let mut aboard = (scene.play)(&root);
        aboard.session("2046-05-08T08:00:00+02:00");
        for (what, deed) in DEEDS {
            // It is kept from here on.
            let _ = answer(&aboard.book, false);
            deed(&mut aboard);
            let told = || format!("{}, after {what}", scene.name);
            let (own, now) = (answer(&aboard.book, false), aboard.book.now());
            count.equal(&own, &ask(&root, now, Asked::default()), told);
            let kept = aboard.book.condition();
            let (boat, history) = (aboard.book.boat(), aboard.book.history());
            let library = Arc::clone(aboard.book.library());
            let anew = Condition::of(boat, library, history, kept.now);
            let whole = |c: &Condition| format!("{:?} {:?} {:?}", c.lives, c.doubts, c.dwells);
            count.holds(whole(&kept) == whole(&anew), || {
                format!("{}, folded", told())
            });
        }
    }
    count.tell(SCENES.len() * DEEDS.len());
}
