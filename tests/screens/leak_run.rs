//! The leak run after a service, by keys: what was touched, phases with their time, the stop, the end.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use handlamp::boat::Role;
use handlamp::checklist::{Grade, Leak, Library};
use handlamp::logbook::book::Book;
use handlamp::logbook::{Clock as _, FixedClock};

use crate::stage::{Stage, now};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];
/// To idling: before the start, primed, on the starter, the first minute.
const TO_IDLE: &str = "pgdn pgdn pgdn pgdn";

fn book(root: &Path) -> Book {
    let clock = Rc::new(FixedClock::new(now() + chrono::Duration::hours(4)));
    let library = Arc::new(Library::built_in().clone());
    Book::open(root, clock, library, None).expect("the logbook opens")
}

/// A boat of three answers, with a leak run begun.
fn begun() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter down enter");
    stage
}

/// After an oil change: the first job ticked, gone on with, the meter not read.
fn after_oil() -> Stage {
    let mut stage = begun();
    stage.keys("2 1 enter");
    stage
}

fn shown(stage: &Stage) -> String {
    stage.text(80, 24)
}

/// Whether the least time of a phase is being counted down.
fn is_counting(stage: &Stage) -> bool {
    let text = shown(stage);
    let head = text.lines().next().unwrap_or_default();
    head.contains(" of ") && head.ends_with("min") && !head.contains("look ")
}

fn pass(stage: &Stage, seconds: u64) {
    stage.clock.advance(Duration::from_secs(seconds));
}

fn snapshots(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

#[test]
fn screens_of_a_leak_run_are_laid_out_as_they_were() {
    let mut stage = begun();
    stage.keys("2");
    snapshots(&stage, "touched");
    stage.keys("1 enter");
    snapshots(&stage, "before-start");
    stage.keys(TO_IDLE);
    snapshots(&stage, "idle-waiting");
    stage.keys("0");
    pass(&stage, 47);
    snapshots(&stage, "idle-counting");
    stage.keys("/ 'lift pump' enter 3 5");
    snapshots(&stage, "stop");
}

#[test]
fn a_whole_run_after_an_oil_change_is_signed_off_with_what_is_owed() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    let mut keys = 1;
    for key in ["2", "1", "enter"] {
        stage.keys(key);
        keys += 1;
    }
    while !shown(&stage).contains("the rest is the next morning's") {
        // The light goes from joint to joint until the time of the phase is up.
        while is_counting(&stage) {
            pass(&stage, 60);
        }
        stage.keys("0");
        keys += 1;
        assert!(keys < 200, "{}", shown(&stage));
    }
    stage.keys("f");
    keys += 1;
    snapshots(&stage, "verdict");
    let text = shown(&stage);
    assert!(text.contains("signed off with recheck"), "{text}");
    let book = book(&root);
    let walk = book.history().walks.last().expect("a walk");
    assert_eq!(walk.disturbed, ["oil-filter-seat", "sump-drain-plug"]);
    assert!(walk.finished.is_some());
    let plan = book.condition().plan_of(walk).expect("known");
    assert_eq!(plan.times_not_kept(walk), [""; 0]);
    let tomorrow = plan.phases.last().expect("phases").rows.len();
    // One key a row; before them the start, the job, going on and the meter; after them the end.
    assert_eq!(keys, plan.row_count() - tomorrow + 5);
    assert_eq!(keys, 57);
    for joint in &walk.disturbed {
        let dry = walk
            .looks_at(joint)
            .all(|t| t.look.leak == Some(Leak::None));
        assert!(dry, "sound is dry");
        let owed = &book.history().rechecks;
        assert_eq!(
            owed.iter().filter(|r| r.rec.item == *joint).count(),
            2,
            "{owed:?}"
        );
    }
}

#[test]
fn with_nothing_ticked_everything_is_asked() {
    let mut stage = begun();
    stage.keys("enter enter 0");
    let library = Library::built_in();
    let list = library.checklist("leak-run").expect("built in");
    let list = library.asked_of(list, &[Role::Propulsion]);
    let rows: usize = list.phases.iter().map(|p| p.rows.len()).sum();
    assert!(
        shown(&stage).contains(&format!("1/{rows}")),
        "{}",
        shown(&stage)
    );
    let book = book(stage.dir.path());
    assert!(book.history().walks[0].disturbed.is_empty());
}

#[test]
fn recorded_services_are_ticked_already() {
    let mut stage = after_oil();
    stage.keys("esc esc");
    let mut book = book(stage.dir.path());
    let text = r#"{"type":"service","task":"gearbox-oil","at":"2026-05-03T06:00:00+02:00"}"#;
    let documents = handlamp::logbook::input::read_documents("test", text).expect("well formed");
    handlamp::logbook::import::import(&mut book, &documents).expect("recorded");
    book.finish();
    let mut stage = stage.killed();
    // The service was recorded some hours later; a clock behind it would be asked about.
    stage.clock.set(now() + chrono::Duration::hours(5));
    stage.keys("down enter");
    let text = shown(&stage);
    assert!(text.contains("[x] Gearbox oil, done 3 May"), "{text}");
    stage.keys("enter enter");
    assert!(shown(&stage).contains("disturbed: "), "{}", shown(&stage));
}

#[test]
fn a_stop_is_told_at_once_and_the_walk_goes_on() {
    let mut stage = after_oil();
    stage.keys(TO_IDLE).keys("/ 'lift pump' enter 3 5");
    let text = shown(&stage);
    assert!(text.contains("STOP THE ENGINE NOW"), "{text}");
    // The grade is in the record before anything is acknowledged.
    let seen = |stage: &Stage| {
        let book = book(stage.dir.path());
        let walk = book.history().walks.last().cloned().expect("a walk");
        let look = walk.looks_at("fuel-prefilter-outside").last().cloned();
        look.map(|t| (t.look.grade(), t.look.leak, t.look.phase.clone()))
    };
    let idle = Some("idle".to_owned());
    assert_eq!(
        seen(&stage),
        Some((Some(Grade::Failing), None, idle.clone()))
    );
    stage.keys("enter");
    assert!(
        shown(&stage).contains("what comes out?"),
        "{}",
        shown(&stage)
    );
    stage.keys("enter");
    assert_eq!(
        seen(&stage),
        Some((Some(Grade::Failing), Some(Leak::I), idle))
    );
    assert!(!shown(&stage).contains("STOP THE ENGINE"));
    stage.keys("f 2");
    assert!(
        shown(&stage).contains("not signed off"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn before_the_start_nothing_runs_that_could_be_stopped() {
    let mut stage = after_oil();
    stage.keys("/ 'lift pump' enter 3 5");
    assert!(!shown(&stage).contains("STOP THE ENGINE"));
    assert!(shown(&stage).contains("what comes out?"));
}

#[test]
fn a_rung_changed_takes_its_leak_class_with_it() {
    let mut stage = after_oil();
    stage.keys("right 0 up 2 enter enter");
    let book = book(stage.dir.path());
    let looks: Vec<_> = book.history().walks[0]
        .looks_at("oil-filter-seat")
        .collect();
    assert_eq!(looks.len(), 1);
    let look = &looks[0].look;
    assert_eq!(
        (look.grade(), look.leak),
        (Some(Grade::Worn), Some(Leak::Ii))
    );
    assert_eq!(
        look.grade_reason, None,
        "dry is taken back, not argued with"
    );
}

#[test]
fn a_phase_left_early_is_named_and_allowed() {
    let mut stage = after_oil();
    stage.keys(TO_IDLE).keys("z");
    pass(&stage, 125);
    stage.keys("0 pgdn z");
    pass(&stage, 400);
    stage.keys("0 f 2");
    stage.keys("down down down down");
    let text = stage.text(140, 200);
    assert!(text.contains("Idling: 2 min of 5 min"), "{text}");
    assert!(!text.contains("Raised speed, neutral: "), "{text}");
}

#[test]
fn the_key_begins_anew_and_undo_takes_it_back() {
    let mut stage = after_oil();
    stage.keys(TO_IDLE).keys("0");
    pass(&stage, 120);
    assert!(shown(&stage).contains("3:00 of 5 min"), "{}", shown(&stage));
    stage.keys("z");
    assert!(shown(&stage).contains("5:00 of 5 min"), "{}", shown(&stage));
    stage.keys("u");
    assert!(shown(&stage).contains("2:59 of 5 min"), "{}", shown(&stage));
}

#[test]
fn a_clock_set_meanwhile_is_noticed_and_the_count_goes_on() {
    for hours in [-1_i64, 1, -24 * 400, 24 * 400] {
        let mut stage = after_oil();
        stage.keys(TO_IDLE).keys("z");
        pass(&stage, 60);
        let jumped = stage.clock.now() + chrono::Duration::hours(hours);
        stage.clock.set(jumped);
        assert!(shown(&stage).contains("4:00 of 5 min"), "{}", shown(&stage));
        stage.keys("down");
        let text = shown(&stage);
        assert!(text.contains("the computer's clock was set"), "{text}");
        assert!(
            text.contains(if hours < 0 { "back" } else { "ahead" }),
            "{text}"
        );
        assert!(text.contains("4:00 of 5 min"), "{text}");
        stage.keys("down");
        assert!(
            !shown(&stage).contains("was set"),
            "said once: {}",
            shown(&stage)
        );
        // The record holds a beginning that is right by the clock as it stands now.
        let mut stage = stage.killed();
        // What was begun more than a day ago stands last.
        stage.keys(if hours > 24 {
            "down down down down down enter"
        } else {
            "enter"
        });
        let text = shown(&stage);
        assert!(text.contains("3:5"), "{text}");
    }
}

#[test]
fn a_clock_set_back_while_the_program_was_gone_leaves_the_time_unknown() {
    let mut stage = after_oil();
    stage.keys(TO_IDLE).keys("z");
    let clock = stage.clock.now() - chrono::Duration::hours(3);
    stage.clock.set(clock);
    let mut stage = stage.killed();
    stage.keys("enter");
    assert!(
        shown(&stage).contains("time unknown, z begins it"),
        "{}",
        shown(&stage)
    );
    stage.keys("z");
    assert!(shown(&stage).contains("5:00 of 5 min"), "{}", shown(&stage));
}

#[test]
fn other_walks_are_not_timed_and_ask_nothing_more() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter enter enter z");
    assert!(shown(&stage).contains("nothing is timed here"));
    assert!(shown(&stage).contains("0 min"));
}

/// The reason for a better grade may stay open in a blind run; the leak class is asked all the same.
#[test]
fn a_blind_run_asks_what_comes_out_where_the_reason_for_better_stays_open() {
    let mut stage = after_oil();
    stage.keys("right 3 enter enter f 2 esc esc");
    // Every joint anew, as nobody said what was touched.
    stage.keys("down enter enter enter H / 'oil filter' enter 1");
    let text = shown(&stage);
    assert!(text.contains("better than last time"), "{text}");
    stage.keys("esc");
    let text = shown(&stage);
    assert!(text.contains("what comes out?"), "{text}");
}
