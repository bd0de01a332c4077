//! A guest's walk by keys, and what the owner is told of it.

use handlamp::boat::kinds::Holds;
use handlamp::boat::profile::Tank;
use handlamp::checklist::Grade;

use crate::stage::Stage;

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

/// The demo boat with a guest named, in front of the first row.
fn guest() -> Stage {
    let mut stage = Stage::demo();
    stage.keys("X 3");
    shows(&stage, "Who walks?");
    stage.keys("enter");
    shows(&stage, "say who walks");
    stage.keys("'Anna' enter esc");
    shows(&stage, "Short morning check, guest");
    stage
}

#[test]
fn every_look_of_a_guest_is_marked_also_after_a_kill() {
    let mut stage = guest();
    stage.keys("4");
    let mut stage = stage.killed();
    stage.keys("enter 0");
    let walk = stage.last_walk();
    assert!(walk.guest);
    assert_eq!(walk.by.as_deref(), Some("Anna"));
    assert!(walk.looks.len() > 1 && walk.looks.iter().all(|timed| timed.look.guest));
    assert_eq!(walk.looks[0].look.grade(), Some(Grade::Failed));
}

#[test]
fn the_owner_reads_what_guests_saw_before_the_next_start() {
    let mut stage = guest();
    stage.keys("4");
    let mut stage = stage.killed();
    stage.keys("down enter");
    shows(&stage, "What guests saw since you walked");
    shows(&stage, "Anna walked once");
    shows(&stage, "failed");
    // The key pressed once too often is harmless.
    stage.keys("enter");
    assert!(!stage.text(80, 24).contains("What guests saw"));
}

#[test]
fn a_guest_puts_nothing_right_at_the_gate() {
    let mut stage = guest();
    stage.keys("/ 'drive b' enter 3 esc pgdn pgdn");
    shows(&stage, "BEFORE THE START");
    let gate = stage.text(80, 24);
    assert!(!gate.contains("put right"), "{gate}");
    assert!(gate.contains("she is needed now"), "{gate}");
}

#[test]
fn what_the_owner_saw_worse_within_the_week_is_asked_about() {
    let mut stage = Stage::demo();
    stage.keys("enter esc / 'drive b' enter 3 esc");
    let mut stage = stage.killed();
    stage.keys("X 3 'Anna' enter esc / 'drive b' enter 0");
    shows(&stage, "the same spot seen?");
    shows(&stage, "it stays as the owner saw it");
    stage.keys("2");
    let text = stage.text(80, 24);
    assert!(text.contains("Drive belt"), "{text}");
}

#[test]
fn what_a_guest_finds_by_the_trouble_key_is_a_guests() {
    let mut stage = guest();
    stage.keys("0 f3 'drive b' enter 3");
    let found = stage.last_walk();
    assert_eq!(found.checklist, "finding");
    assert!(found.guest && found.looks.iter().all(|timed| timed.look.guest));
    assert_eq!(found.by.as_deref(), Some("Anna"));
}

/// A guest in front of the first row, on the demo boat with these tanks for fuel.
fn with_tanks(tanks: &[(&str, Option<&str>)]) -> Stage {
    let mut stage = Stage::demo();
    for (name, capacity) in tanks {
        let id = name.to_lowercase().replace(' ', "-");
        let mut boat = stage.book().profile().clone();
        boat.tanks.push(Tank {
            id,
            name: (*name).to_owned(),
            holds: Some(Holds::Fuel),
            capacity: capacity.map(|text| text.parse().expect("a volume")),
        });
        let mut book = stage.book();
        book.set_boat(boat).expect("set");
        book.finish();
        stage.noticed();
    }
    stage.keys("X 3 'Anna' enter esc");
    stage
}

#[test]
fn a_guest_is_asked_at_the_end_what_fuel_is_left() {
    let mut stage = with_tanks(&[("Port tank", Some("120 L")), ("Day tank", None)]);
    stage.keys("0 f 2");
    shows(&stage, "Fuel left, Port tank of 120 L");
    for (columns, rows) in [(80, 24), (60, 20)] {
        let shot = stage.shot(columns, rows);
        insta::assert_snapshot!(format!("guest-fuel-{columns}x{rows}"), shot);
    }
    // Left, the walk stays open.
    stage.keys("esc");
    assert!(stage.last_walk().finished.is_none());
    stage.keys("f 2 '400' enter");
    shows(&stage, "cannot be left");
    stage.keys("ctrl-u '1/3' enter");
    shows(&stage, "Fuel left, Day tank");
    stage.keys("enter");
    let walk = stage.last_walk();
    assert!(walk.finished.is_some());
    assert_eq!(walk.fuel.len(), 1);
    let mut stage = stage.killed();
    stage.keys("down enter");
    shows(&stage, "What guests saw since you walked");
    shows(
        &stage,
        "Fuel left: Port tank 33 % of 120 L; Day tank not said.",
    );
    for (columns, rows) in [(80, 24), (60, 20)] {
        let shot = stage.shot(columns, rows);
        insta::assert_snapshot!(format!("guests-saw-fuel-{columns}x{rows}"), shot);
    }
}

#[test]
fn without_a_tank_for_fuel_no_guest_is_asked_and_nothing_is_said_of_it() {
    let mut stage = guest();
    stage.keys("0 f 2");
    assert!(stage.last_walk().finished.is_some());
    let mut stage = stage.killed();
    stage.keys("down enter");
    shows(&stage, "What guests saw since you walked");
    assert!(!stage.text(80, 24).to_lowercase().contains("fuel is left"));
}

#[test]
fn the_owner_is_not_asked_for_fuel() {
    let mut stage = with_tanks(&[("Port tank", None)]);
    stage.keys("esc");
    let mut stage = stage.killed();
    stage.keys("enter enter 0 f 2");
    assert!(!stage.text(80, 24).contains("Fuel left"));
}
