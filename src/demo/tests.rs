use std::collections::BTreeMap;

use super::*;
use crate::assess::words::{Risk, Verdict};
use crate::defects::State;
use crate::defects::condition::Condition;
use crate::defects::judged::judge;
use crate::defects::list::Outset;
use crate::logbook::FixedClock;
use crate::logbook::fold::{Written, fold};

fn now(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a time")
}

fn library() -> Arc<Library> {
    Arc::new(Library::built_in().clone())
}

#[test]
fn tmp_print() {
    let library = library();
    let at = now("2026-11-25T06:30:00+01:00");
    let t = std::time::Instant::now();
    let (_, recs) = records(at, &library);
    println!("records {} in {:?}", recs.len(), t.elapsed());
    let dir = tempfile::tempdir().expect("dir");
    let clock = Rc::new(FixedClock::new(at));
    let t = std::time::Instant::now();
    write_to(dir.path(), clock.clone(), &library).expect("w");
    println!("written in {:?}", t.elapsed());
    let t = std::time::Instant::now();
    let book = Book::open(dir.path(), clock, library.clone(), None).expect("o");
    println!("opened in {:?} problems {:?}", t.elapsed(), book.problems());
    let t = std::time::Instant::now();
    let c = book.condition();
    println!("condition {:?}", t.elapsed());
    let mut per: BTreeMap<(String, String), usize> = BTreeMap::new();
    for w in &book.history().walks {
        *per.entry((w.checklist.clone(), w.machine.clone())).or_default() += 1;
    }
    println!("{per:?} rate {:?} {:?} meter {:?} {:?}", c.rate(Some("main")), c.rate(Some("generator")), c.meter_now(Some("main")), c.meter_now(Some("generator")));
    let (exposure, waters) = c.usual_plan();
    println!("{exposure:?}");
    let list = c.list(Outset { exposure, waters }, true);
    for r in &list.rows {
        println!("{:2} {:8} {:3} {:30} {:10} {:8} {:10} {:10} {} opened {} looks {} | {}", r.rank, r.risk.as_str(), r.code, r.item, r.machine.clone().unwrap_or_default(), r.grade.as_str(), r.state.as_str(), if r.reopened > 0 {"reopened"} else {""}, if r.stop {"STOP"} else {""}, r.opened.date_naive(), r.looks, r.why);
        println!("      fix {:?} look {:?}", r.fix_within.as_ref().map(|w| (w.hours.round(), w.date)), r.look_again_within.as_ref().map(|w| (w.hours.round(), w.date)));
    }
    for u in &list.unseen { println!("unseen {} {:?} {}", u.item, u.machine, u.risk.as_str()); }
    for m in ["main", "generator"] {
        let walk = book.history().walks.iter().rev().find(|w| w.machine == m).expect("w");
        let j = judge(book.boat(), &library, book.history(), &c, walk);
        println!("{m} {} {:?} now {:?}", walk.at, j.at_walk, j.now);
        for r in &j.reasons { println!("   {} {:?} {}", r.item, r.grade.map(|g| g.as_str()), r.rule); }
        println!("   not seen {:?}", j.not_seen);
    }
    let mut verdicts: BTreeMap<String, usize> = BTreeMap::new();
    for w in book.history().walks.iter() {
        let j = judge(book.boat(), &library, book.history(), &c, w);
        *verdicts.entry(format!("{} {:?}", w.checklist, j.at_walk)).or_default() += 1;
        if w.checklist != "daily" { println!("{} {} {:?} {:?}", w.checklist, w.at, j.at_walk, j.reasons.iter().map(|r| format!("{}: {}", r.item, r.rule)).collect::<Vec<_>>()); }
    }
    println!("{verdicts:?}");
    let _ = (Risk::High, Verdict::ClearToRun, State::Open, fold(&[] as &[Written]), Condition::joins as fn(&_, &_, &str) -> _);
}
