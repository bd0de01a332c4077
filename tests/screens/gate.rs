//! A stop holds the walk: it is said when it is found, stands in the head, and a gate asks before the
//! engine turns.

use handlamp::checklist::Grade;
use serde_json::json;

use crate::stage::Stage;

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A boat of three answers, in her morning check.
fn morning() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.of_known_age().keys("enter enter");
    stage
}

/// The belt found with its cord showing, cold; the wear mark is passed.
fn belt_fails() -> Stage {
    let mut stage = morning();
    stage.keys("/ 'belt' enter 3");
    stage
}

fn shown(stage: &Stage) -> String {
    stage.text(140, 45)
}

fn at_the_gate() -> Stage {
    let mut stage = belt_fails();
    stage.keys("esc pgdn pgdn");
    stage
}

fn is_at_gate(stage: &Stage) -> bool {
    shown(stage).contains("BEFORE THE START")
}

#[test]
fn a_stop_found_cold_is_said_with_its_order_and_stands_in_the_head() {
    let mut stage = belt_fails();
    let text = shown(&stage);
    assert!(
        text.contains("do not start the engine: Drive belt"),
        "{text}"
    );
    stage.keys("esc");
    let text = shown(&stage);
    assert!(text.contains("DO NOT RUN: Drive belt"), "{text}");
    stage.keys("V");
    assert!(
        shown(&stage).contains("So far: do not run"),
        "{}",
        shown(&stage)
    );
    stage.keys("esc u");
    assert!(!shown(&stage).contains("DO NOT RUN"), "{}", shown(&stage));
}

#[test]
fn the_gate_stands_before_the_start_however_it_is_reached() {
    let stage = at_the_gate();
    assert!(is_at_gate(&stage), "{}", shown(&stage));
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(format!("gate-{columns}x{rows}"), stage.shot(columns, rows));
    }
    // Left, it is asked again by the first act there, and no grade is taken.
    let mut stage = stage;
    stage.keys("esc 0");
    assert!(is_at_gate(&stage), "{}", shown(&stage));
    let looks = stage.last_walk().looks.len();
    assert_eq!(looks, 1, "only the belt");
    // Nor by the digits of a grade, pressed in a hurry.
    for digit in ["1", "2", "3", "4"] {
        let mut stage = at_the_gate();
        stage.keys(digit).keys("esc esc");
        let walk = stage.last_walk();
        let started = walk
            .looks
            .iter()
            .any(|l| l.look.phase.as_deref() == Some("idle"));
        assert!(!started, "{digit}");
    }
}

#[test]
fn what_was_put_right_is_noted_and_looked_at_again() {
    let mut stage = at_the_gate();
    stage.keys("3 'new belt' enter 1");
    let text = shown(&stage);
    assert!(text.contains("now look at it again"), "{text}");
    assert!(!text.contains("DO NOT RUN"), "{text}");
    stage.keys("0 pgdn pgdn");
    assert!(!is_at_gate(&stage), "{}", shown(&stage));
    let repairs = stage.book().history().repairs.len();
    assert_eq!(repairs, 1);
}

#[test]
fn she_can_be_started_in_spite_of_it_and_the_record_says_so() {
    let mut stage = at_the_gate();
    stage.keys("5");
    assert!(!is_at_gate(&stage), "{}", shown(&stage));
    stage.keys("right 0");
    let walk = stage.last_walk();
    let run = walk
        .looks
        .iter()
        .any(|l| l.look.phase.as_deref() == Some("idle"));
    assert!(run, "{}", shown(&stage));
    // Killed midway: the looks tell it all the same, and the reason is asked at the end.
    let mut stage = stage.killed();
    stage.keys("enter f 2");
    let text = shown(&stage);
    assert!(text.contains("started over a stop: why?"), "{text}");
    stage.keys("'a lee shore' enter");
    let text = shown(&stage);
    assert!(text.contains("run in spite of Drive belt"), "{text}");
    assert!(text.contains("reason given: a lee shore"), "{text}");
    assert_eq!(
        stage.last_walk().started_anyway.as_deref(),
        Some("a lee shore")
    );
}

#[test]
fn the_reason_may_be_left() {
    let mut stage = at_the_gate();
    stage.keys("5 right 0 f 2 esc");
    let text = shown(&stage);
    assert!(text.contains("no reason given"), "{text}");
}

#[test]
fn a_smell_stands_before_key_on() {
    let mut stage = morning();
    stage.keys("right 3 enter pgdn");
    let text = shown(&stage);
    assert!(text.contains("BEFORE KEY ON"), "{text}");
    assert!(text.contains("switch nothing"), "{text}");
}

#[test]
fn a_cable_forbids_leaving_and_lets_her_run() {
    let mut stage = morning();
    stage.keys("/ 'throttle cable' enter 3");
    let text = shown(&stage);
    assert!(text.contains("do not leave: Throttle cable"), "{text}");
    stage.keys("esc pgdn pgdn");
    assert!(!is_at_gate(&stage), "{}", shown(&stage));
    assert!(
        shown(&stage).contains("DO NOT LEAVE: Throttle"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn typed_afterwards_nothing_holds() {
    let mut stage = belt_fails();
    stage.keys("esc e pgdn pgdn right 0");
    let walk = stage.last_walk();
    let graded = walk
        .looks
        .iter()
        .filter(|l| l.look.grade() == Some(Grade::Sound));
    assert_eq!(graded.count(), 1, "{}", shown(&stage));
}

#[test]
fn no_oil_pressure_is_said_over_everything_while_she_runs() {
    let mut stage = morning();
    stage.keys("pgdn pgdn / 'oil pressure' enter 4");
    let text = shown(&stage);
    assert!(text.contains("STOP THE ENGINE NOW"), "{text}");
    assert!(text.contains("stop the engine now: Oil pressure"), "{text}");
}

#[test]
fn a_stop_told_in_another_walk_holds_this_one() {
    let mut stage = belt_fails();
    stage.keys("esc f 2");
    stage.keys("esc esc enter enter pgdn pgdn");
    assert!(is_at_gate(&stage), "{}", shown(&stage));
}

#[test]
fn what_a_blind_walk_hides_is_not_called_no_stop() {
    let mut stage = belt_fails();
    stage.keys("esc f 2 esc esc down down enter enter enter enter enter enter enter");
    let text = shown(&stage);
    assert!(
        text.contains("so far in this walk alone: no stop"),
        "{text}"
    );
    stage.keys("V");
    let text = shown(&stage);
    assert!(text.contains("before this walk is out of sight"), "{text}");
}

#[test]
fn the_short_check_is_short_on_a_boat_of_many_defects() {
    let mut stage = Stage::demo();
    stage.keys("down down down down enter enter");
    let walk = stage.last_walk();
    assert_ne!(walk.checklist, "short", "recorded with its first look");
    stage.keys("0");
    let walk = stage.last_walk();
    assert_eq!((walk.checklist.as_str(), walk.joins.len()), ("short", 0));
    let text = shown(&stage);
    assert!(text.contains("Short morning check"), "{text}");
}

#[test]
fn every_way_stays_in_sight_beside_many_stops() {
    let mut stage = morning();
    for item in [
        "belt",
        "mounts",
        "raw-water inlet hose",
        "fuel hoses",
        "oil level",
    ] {
        stage.keys(&format!("/ '{item}' enter 3 esc"));
    }
    stage.keys("pgdn 5 pgdn");
    let text = stage.text(60, 20);
    assert!(is_at_gate(&stage), "{text}");
    let ways = [
        "running engine",
        "holds her",
        "put right",
        "finish the walk",
        "needed now",
    ];
    for way in ways {
        assert!(text.contains(way), "{way}: {text}");
    }
    assert!(text.contains("who holds the key?"), "{text}");
    assert!(text.contains("2 more lines"), "{text}");
}

#[test]
fn a_temporary_repair_at_the_gate_says_until_when_and_stays_in_sight() {
    let mut stage = at_the_gate();
    stage.keys("3 'tape round it' enter");
    let text = shown(&stage);
    assert!(text.contains("Lasting or temporary?"), "{text}");
    stage.keys("2 'next harbour' enter");
    let book = stage.book();
    let repairs = &book.history().repairs;
    let until = repairs.last().and_then(|r| r.rec.temporary.clone());
    assert_eq!(
        until.map(|u| u.to_string()).as_deref(),
        Some("next harbour")
    );
    stage.keys("0 V");
    let text = shown(&stage);
    assert!(
        text.contains("temporary repair, until next harbour"),
        "{text}"
    );
}

/// A boat in her morning check whose seacock was left shut.
fn left_shut() -> Stage {
    let mut stage = morning();
    stage.keys("0 esc esc");
    let opened = json!({"type":"opened","item":"engine-seacock","what":"seacock shut"});
    stage.take(&opened.to_string());
    stage.keys("enter pgdn pgdn");
    stage
}

#[test]
fn what_was_left_open_holds_the_start_and_one_key_puts_it_back() {
    let mut stage = left_shut();
    let text = shown(&stage);
    assert!(is_at_gate(&stage), "{text}");
    assert!(text.contains("left open: seacock shut"), "{text}");
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("left-open-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    stage.keys("3");
    assert_eq!(stage.book().history().closed.len(), 1);
    stage.keys("pgup pgdn");
    assert!(!is_at_gate(&stage), "{}", shown(&stage));
    stage.keys("u pgup pgdn");
    let text = shown(&stage);
    assert!(is_at_gate(&stage), "taken back, it holds again: {text}");
}

#[test]
fn what_is_left_is_told_by_one_key_and_taken_back_by_another() {
    let mut stage = morning();
    stage.keys("/ 'engine seacock' enter U");
    insta::assert_snapshot!("left-open-asked-80x24", stage.shot(80, 24));
    stage.keys("enter 'seacock shut' enter enter");
    let text = shown(&stage);
    assert!(text.contains("it forbids to start"), "{text}");
    assert_eq!(stage.book().history().opened.len(), 1);
    stage.keys("esc pgdn pgdn");
    assert!(is_at_gate(&stage), "{}", shown(&stage));
    stage.keys("esc u");
    assert_eq!(stage.book().history().opened.len(), 0);
    // From the boat's own screen, without a walk: none is begun by it, nor by taking it back.
    stage.keys("esc f3 'engine seacock' enter U 'shut' enter enter u esc esc");
    assert_eq!(stage.book().history().opened.len(), 0);
    assert_eq!(stage.book().history().walks.len(), 0);
    stage.keys("esc f3 'engine seacock' enter U 'shut for lunch' enter enter esc esc");
    let book = stage.book();
    let opened: Vec<_> = book.history().opened.iter().map(|o| &o.rec.what).collect();
    assert_eq!(opened, ["shut for lunch"]);
    assert_eq!(book.history().walks.len(), 0);
    assert!(
        shown(&stage).contains("shut for lunch"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn the_boat_says_what_is_left_open_and_puts_it_back() {
    let mut stage = left_shut();
    stage.keys("esc esc esc");
    let text = shown(&stage);
    assert!(text.contains("Before you start"), "{text}");
    assert!(text.contains("put back; left open: seacock shut"), "{text}");
    stage.keys("B");
    assert!(
        shown(&stage).contains("put back as it belongs?"),
        "{}",
        shown(&stage)
    );
    stage.keys("1");
    let text = shown(&stage);
    assert!(!text.contains("Before you start"), "{text}");
    stage.keys("u");
    assert!(
        shown(&stage).contains("Before you start"),
        "{}",
        shown(&stage)
    );
    stage.keys("B enter B");
    assert!(
        shown(&stage).contains("nothing is left open"),
        "{}",
        shown(&stage)
    );
}

/// The belt found failing while she idles.
fn fails_running() -> Stage {
    let mut stage = morning();
    stage.keys("pgdn pgdn / 'oil pressure' enter 4");
    stage
}

#[test]
fn a_stop_found_while_she_runs_offers_the_ways_of_the_gate_once() {
    let stage = fails_running();
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("stop-running-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    // She runs on in spite of it: not asked again for the same.
    let mut stage = stage;
    stage.keys("5");
    let text = shown(&stage);
    assert!(
        !text.contains("STOP THE ENGINE") && !is_held(&text),
        "{text}"
    );
    stage.keys("tab 0");
    assert!(!is_held(&shown(&stage)), "{}", shown(&stage));
    // Another one is asked about.
    stage.keys("/ 'water from the ex' enter 4");
    let text = shown(&stage);
    assert!(text.contains("STOP THE ENGINE"), "{text}");
    // Left without an answer, it holds the next act.
    stage.keys("esc 0");
    assert!(is_held(&shown(&stage)), "{}", shown(&stage));
}

fn is_held(text: &str) -> bool {
    text.contains("BEFORE SHE RUNS AGAIN")
}

#[test]
fn stopped_the_walk_goes_on_where_no_running_engine_is_needed() {
    let mut stage = fails_running();
    stage.keys("1");
    let text = shown(&stage);
    assert!(!text.contains("STOP THE ENGINE"), "{text}");
    stage.keys("0");
    let walk = stage.last_walk();
    let cold = walk
        .looks
        .iter()
        .filter(|l| l.look.phase.as_deref() == Some("cold"));
    assert!(cold.count() > 0, "{}", shown(&stage));
    stage.keys("pgdn pgdn 0");
    assert!(is_held(&shown(&stage)), "{}", shown(&stage));
}

#[test]
fn in_a_survey_the_gate_offers_a_limitation_the_owner_and_looks_that_need_no_engine() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter down down enter esc enter");
    stage.keys("/ 'belt' enter 3 esc");
    for _ in 0..12 {
        if is_at_gate(&stage) {
            break;
        }
        stage.keys("pgdn");
    }
    let text = shown(&stage);
    let ways = [
        "running tests declined: say why",
        "whoever answers for the boat was told",
        "looks that need no running engine",
    ];
    for way in ways {
        assert!(text.contains(way), "{way}: {text}");
    }
    // Declined: why, and how the rest could be seen, stand with all that was not seen.
    stage.keys("4 2 'with the yard present' enter");
    let walk = stage.last_walk();
    assert!(walk.finished.is_some(), "{}", shown(&stage));
    let unseen = walk.looks_at("oil-pressure").next().expect("told of");
    let why = format!("{:?}", unseen.look.outcome);
    assert!(
        why.contains("not safe now") && why.contains("yard present"),
        "{why}"
    );
}
