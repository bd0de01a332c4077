//! Something is wrong, now: one key from any screen, which item, its rung, and what it orders.

use handlamp::checklist::{Grade, Leak};

use crate::stage::Stage;

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A boat of three answers.
fn boat() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage
}

fn shown(stage: &Stage) -> String {
    stage.text(140, 45)
}

#[test]
fn three_keys_put_a_burst_hose_on_record_and_tell_its_order() {
    let mut stage = boat();
    stage.keys("f3");
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("trouble-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    let digit = stage.digit_of("Exhaust hose and clips");
    stage.keys(&digit).keys("4");
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(format!("found-{columns}x{rows}"), stage.shot(columns, rows));
    }
    let text = stage.text(60, 20);
    assert!(text.contains("stop the engine"), "{text}");
    assert!(text.contains("4─┸ failed"), "{text}");
    assert!(text.contains("To be put right: now."), "{text}");
    // On record and ended, though no key ends it; killed at once it stands.
    let mut stage = stage.killed();
    let walk = stage.last_walk();
    assert_eq!(walk.checklist, "finding");
    assert!(walk.finished.is_some());
    assert_eq!(walk.looks[0].look.grade(), Some(Grade::Failed));
    let text = stage.text(80, 24);
    assert!(text.contains("Exhaust hose"), "{text}");
    assert!(!text.contains("go on:"), "{text}");
    // The boat screen counts it.
    stage.keys("d");
    assert!(
        shown(&stage).contains("Exhaust hose and clips"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn any_item_is_found_as_it_is_typed_and_a_digit_still_takes() {
    let mut stage = boat();
    stage.keys("f3 'anod'");
    let text = shown(&stage);
    assert!(text.contains("named: anod"), "{text}");
    stage.keys("enter 2 esc");
    let walk = stage.last_walk();
    assert!(
        walk.looks[0].look.item.contains("anode"),
        "{:?}",
        walk.looks
    );
    // What no name has is found by how it is spoken of.
    stage.keys("f3 'packing'");
    assert!(
        !shown(&stage).contains("nothing on this boat"),
        "{}",
        shown(&stage)
    );
    // Esc takes the name away, and then leaves.
    stage.keys("esc");
    assert!(!shown(&stage).contains("named:"), "{}", shown(&stage));
    stage.keys("esc");
    assert!(
        !shown(&stage).contains("Something is wrong"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn it_opens_over_a_note_half_typed_which_stays() {
    let mut stage = boat();
    stage.keys("enter enter n 'weeps at the elb' f3 'drive belt' 1 3 esc");
    let text = shown(&stage);
    assert!(text.contains("weeps at the elb"), "{text}");
    stage.keys("'ow' ctrl-s esc");
    let drafts = stage.book().history().drafts.clone();
    let notes: Vec<_> = drafts
        .iter()
        .filter_map(|d| d.details.note.clone())
        .collect();
    assert_eq!(notes, ["weeps at the elbow"]);
    // The walk beneath knows it: the belt holds it now.
    stage.keys("enter");
    assert!(
        shown(&stage).contains("DO NOT RUN: Drive belt"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn the_name_typed_so_far_and_a_note_ahead_of_the_rung_outlive_a_kill() {
    let mut stage = boat();
    stage.keys("f3 'drive belt' enter n 'frayed' ctrl-s");
    let mut stage = stage.killed();
    let text = shown(&stage);
    assert!(text.contains("go on: found beside a walk"), "{text}");
    stage.keys("enter");
    assert!(shown(&stage).contains("frayed"), "{}", shown(&stage));
    stage.keys("3");
    let walk = stage.last_walk();
    assert!(walk.finished.is_some());
    assert_eq!(walk.looks[0].look.note.as_deref(), Some("frayed"));
}

#[test]
fn what_is_said_after_the_rung_stands_with_it() {
    let mut stage = boat();
    stage.keys("f3 'coolant hose' enter 2 n 'under the clip' ctrl-s l 3 esc");
    let walk = stage.last_walk();
    let look = &walk.looks.last().expect("a look").look;
    assert_eq!(look.note.as_deref(), Some("under the clip"));
    assert_eq!(look.leak, Some(Leak::Ii));
    assert!(walk.finished.is_some());
    assert_eq!(walk.looks.len(), 1, "{:?}", walk.looks);
    // Another rung takes its place and asks nothing but why it is better.
    stage.keys("f3 'coolant hose' enter 4");
    assert!(shown(&stage).contains("do not start"), "{}", shown(&stage));
    // Taken back it stands nowhere.
    stage.keys("u esc b");
    let text = shown(&stage);
    assert_eq!(text.matches("Found beside a walk").count(), 1, "{text}");
}

#[test]
fn it_can_be_told_afterwards_with_its_time_and_hours() {
    let mut stage = boat();
    stage.keys("f3 'drive belt' enter 3 e 'noon' enter");
    assert!(
        shown(&stage).contains("expected a time"),
        "{}",
        shown(&stage)
    );
    stage.keys("ctrl-u '06:10' enter '1243.6' enter");
    let text = shown(&stage);
    assert!(text.contains("3 May 06:10"), "{text}");
    let book = stage.book();
    let told: Vec<_> = book
        .history()
        .walks
        .iter()
        .filter(|w| !w.looks.is_empty())
        .collect();
    assert_eq!(told.len(), 1);
    assert_eq!(told[0].at.to_rfc3339(), "2026-05-03T06:10:00+02:00");
    assert!(told[0].entered_after && told[0].finished.is_some());
    assert_eq!(told[0].looks[0].at, told[0].at);
}

#[test]
fn in_a_blind_walk_earlier_grades_stay_out_of_sight() {
    let mut stage = boat();
    stage.keys("f3 'drive belt' enter 3 esc");
    stage.keys("enter enter H f3");
    let text = shown(&stage);
    assert!(
        !text.contains("Drive belt") && !text.contains("failing"),
        "{text}"
    );
    stage.keys("'drive belt'");
    assert!(!shown(&stage).contains("failing"), "{}", shown(&stage));
    stage.keys("enter");
    let text = shown(&stage);
    assert!(text.contains("earlier grades are hidden"), "{text}");
    assert!(!text.contains("◂"), "{text}");
}

#[test]
fn the_key_pressed_twice_does_no_harm() {
    let mut stage = boat();
    stage.keys("f3 f3");
    assert!(
        shown(&stage).contains("Something is wrong"),
        "{}",
        shown(&stage)
    );
    stage.keys("'drive belt' enter f3");
    assert!(shown(&stage).contains("What is it?"), "{}", shown(&stage));
    stage.keys("esc");
    assert!(!shown(&stage).contains("What is it?"), "{}", shown(&stage));
    assert_eq!(stage.book().history().walks.len(), 0);
}
