//! Among several boats each stands as bad as by herself, and says what she does not count.

use std::fs;
use std::rc::Rc;

use handlamp::assess::words::Verdict;
use handlamp::defects::verdict::last_morning;
use handlamp::fleet::rates::pooled;
use handlamp::fleet::stays::staying;
use handlamp::fleet::weeks::by_week;
use handlamp::fleet::{Fleet, Over};
use handlamp::logbook::book::Book;
use handlamp::logbook::glance::Glance;
use handlamp::logbook::{Clock, FixedClock};

use super::aboard::{Aboard, BELT, files};
use super::count::Count;
use super::oracle::{answer, library, rank};
use super::scenes::SCENES;

#[test]
fn among_several_a_boat_is_no_better_than_by_herself() {
    let mut count = Count::new("boats at a glance");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let aboard: Aboard = (scene.play)(&root);
        let now = aboard.book.now();
        drop(aboard);
        let glance = Glance::at(&root, now, &library(), None).expect("read");
        let clock = Rc::new(FixedClock::new(now));
        let book = Book::open(&root, clock, library(), None).expect("it opens");
        let alone = answer(&book, false);
        assert_eq!(glance.not_counted, alone.told, "{}", scene.name);
        assert_eq!(glance.stops, alone.stops.len(), "{}", scene.name);
        let condition = book.condition();
        for machine in &condition.boat.machines {
            let checked = last_morning(&condition, book.history(), &machine.id).is_some();
            let unchecked = glance.unchecked.contains(&machine.name);
            let word = alone.now.get(&machine.id).filter(|_| checked);
            let among = glance.verdict.map(rank);
            let as_bad = word.is_none_or(|word| among >= Some(*word));
            let what = || format!("{}: {}", scene.name, machine.id);
            count.holds(checked != unchecked && as_bad, what);
        }
        if !glance.unchecked.is_empty() {
            let words = glance.words();
            assert!(!words.starts_with("clear"), "{}: {words}", scene.name);
        }
    }
    count.tell(SCENES.len());
}

/// Who stays by the reckoning over several boats: whoever has a stop, may not run or leave, has a machine
/// without a finished check, or records uncounted that forbid *clear*.
#[test]
fn no_boat_goes_out_over_what_is_on_record() {
    let mut count = Count::new("boats that may go out or not");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("hers");
        let aboard: Aboard = (scene.play)(&root);
        let now = aboard.book.now();
        drop(aboard);
        let clock: Rc<dyn Clock> = Rc::new(FixedClock::new(now));
        let book = Book::open(&root, Rc::clone(&clock), library(), None).expect("it opens");
        let alone = answer(&book, false);
        let condition = book.condition();
        let held = !alone.stops.is_empty()
            || alone
                .now
                .values()
                .any(|word| *word >= rank(Verdict::DoNotLeave))
            || condition.doubts.iter().any(|doubt| doubt.blocks());
        for spoilt in [false, true] {
            if spoilt {
                let file = root.join(files(&root).last().expect("a file of the log"));
                let mut bytes = fs::read(&file).expect("read");
                let middle = bytes.len() / 2;
                bytes[middle] ^= 0x20;
                fs::write(&file, bytes).expect("written");
            }
            let fleet = Fleet::read(dir.path(), (&clock, None), &library(), None).expect("listed");
            let stays = staying(&fleet);
            let (over, all) = (Over::all(&fleet), by_week(&fleet, now.date_naive()));
            let told = &fleet.boats[0].told;
            let lost = told.as_ref().map_or(1, |stand| stand.not_counted.len());
            let said = over.missing.len() + over.in_part.len() == usize::from(lost > 0);
            let holds = !stays.rows.is_empty() || !held;
            let sums = stays.over == over && all.over == over && over == pooled(&fleet).over;
            let what = || format!("{}, spoilt: {spoilt}", scene.name);
            count.holds(said && sums && (holds || spoilt), what);
            if spoilt && told.is_err() {
                assert!(!stays.rows.is_empty(), "{}", scene.name);
            }
        }
    }
    count.tell(2 * SCENES.len());
}

#[test]
fn a_stop_is_said_where_no_check_is_finished() {
    let dir = tempfile::tempdir().expect("a folder");
    let root = dir.path().join("logbook");
    let mut aboard = Aboard::begin(&root, "2046-05-01T08:00:00+02:00", &["main"], 5);
    let walk = aboard.begin_walk("main");
    aboard.look(&walk, BELT, "failed");
    let glance = Glance::of(&aboard.book);
    assert_eq!((glance.verdict, glance.stops), (None, 1));
    assert_eq!(glance.words(), "1 stop; no check finished");
}

#[test]
fn a_damaged_boat_among_several_says_so() {
    let scene = &SCENES[0];
    let dir = tempfile::tempdir().expect("a folder");
    let root = dir.path().join("logbook");
    let aboard: Aboard = (scene.play)(&root);
    let now = aboard.book.now();
    drop(aboard);
    let file = root.join(files(&root).first().expect("a file of the log"));
    let mut bytes = fs::read(&file).expect("read");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 0x20;
    fs::write(&file, bytes).expect("written");
    let glance = Glance::at(&root, now, &library(), None).expect("read");
    assert!(!glance.not_counted.is_empty());
    assert!(!glance.is_clear(), "{}", glance.words());
}
