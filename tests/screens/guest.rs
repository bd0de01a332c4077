//! A guest's walk by keys, and what the owner is told of it.

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
