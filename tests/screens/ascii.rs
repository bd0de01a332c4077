//! Where the terminal shows ASCII alone, no character outside it stands on any screen, whoever
//! wrote it.

use std::rc::Rc;
use std::sync::Arc;

use handlamp::boat::{Boat, Hours, Waters};
use handlamp::checklist::Library;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};

use crate::stage::{Stage, now, text_of};

const SIZES: [(u16, u16); 4] = [(80, 24), (60, 20), (140, 45), (30, 8)];

fn ascii() -> Theme {
    Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Ascii,
    }
}

/// Presses keys one by one and looks at the screen after each, and in the end at every size; then
/// it shows `text`.
#[track_caller]
fn sees(stage: &mut Stage, keys: &str, text: &str) {
    for key in keys.split(' ').filter(|key| !key.is_empty()) {
        stage.keys(key);
        looks(stage, keys, &SIZES[..1]);
    }
    looks(stage, keys, &SIZES);
    let screen = stage.text(110, 30);
    assert!(screen.contains(text), "{keys}: no '{text}' in\n{screen}");
}

#[track_caller]
fn looks(stage: &Stage, keys: &str, sizes: &[(u16, u16)]) {
    for &(columns, rows) in sizes {
        let screen = text_of(&stage.buffer(columns, rows));
        let strange: String = screen.chars().filter(|c| !c.is_ascii()).collect();
        assert!(
            strange.is_empty(),
            "{keys} at {columns}x{rows}: {strange} in\n{screen}"
        );
    }
}

/// A boat of three answers, in a morning check.
fn walking() -> Stage {
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), ascii());
    stage.keys("1 'Grey Plover' enter 2 '1200' enter enter enter");
    stage
}

#[test]
fn a_walk_and_its_layers_are_ascii() {
    let mut stage = walking();
    sees(&mut stage, "?", "Keys that work here");
    sees(&mut stage, "esc right left down up pgdn pgup", " 0/");
    sees(
        &mut stage,
        "/ 'stuffing' enter g 1 space space space",
        "drops",
    );
    sees(&mut stage, "esc / 'outlet' enter g", "measure with");
    sees(&mut stage, "1 space", "seconds");
    sees(&mut stage, "esc g 2 '10'", "bucket");
    sees(
        &mut stage,
        "esc esc / 'pulleys' enter right 3",
        "what of it?",
    );
    sees(&mut stage, "5 'é→本'", "note");
    sees(&mut stage, "enter / 'pulleys' enter right", "e>?");
    sees(&mut stage, "/ 'feel' enter 2", "leave it open");
    sees(&mut stage, "6 up", "Milky");
    sees(&mut stage, "n 'Öl≈½' enter", "Ol~1");
    sees(&mut stage, "ctrl-s / 'gasket' enter l", "class");
    sees(&mut stage, "esc x", "seen");
    sees(&mut stage, "esc / 'dipstick' enter a", "topped up");
    sees(&mut stage, "esc r", "reading");
    sees(&mut stage, "esc h", "Hour meter");
    sees(&mut stage, "esc C", "icture");
    sees(&mut stage, "esc f", "have no look yet");
}

#[test]
fn a_verdict_and_what_is_done_about_it_are_ascii() {
    let mut stage = walking();
    stage.keys("/ 'belt' enter 3 enter enter f 2");
    sees(&mut stage, "down down", "do not run");
    sees(&mut stage, "? esc T", "stop rule");
    sees(&mut stage, "X enter", "");
    stage.wait_for("report written");
    looks(&stage, "the report", &SIZES);
    sees(&mut stage, "d R 'nül'", "nul");
    sees(&mut stage, "esc D 'nül' enter", "digits: rung");
    sees(&mut stage, "esc O 'nül' enter", "");
    sees(&mut stage, "esc W 'nül'", "nul");
}

#[test]
fn the_demo_boat_and_her_lists_are_ascii() {
    let mut stage = Stage::demo_in(ascii());
    sees(&mut stage, "? esc", "Morning check");
    sees(&mut stage, "b ? esc down enter", "run with care");
    sees(&mut stage, "esc d", "rows");
    sees(
        &mut stage,
        "? esc + + - > < v v v v enter down pgdn pgdn pgdn",
        "risk",
    );
    sees(&mut stage, "esc down P", "plan");
    sees(&mut stage, "enter enter", "");
    sees(&mut stage, "esc esc", "");
}

#[test]
fn readings_and_what_is_due_are_ascii() {
    let mut stage = Stage::demo_in(ascii());
    sees(&mut stage, "y", "Readings");
    sees(&mut stage, "down down down down down ? esc", "Readings");
    sees(&mut stage, "esc q", "What is due");
    sees(&mut stage, "? esc down enter", "");
    sees(&mut stage, "esc M", "2026");
    sees(&mut stage, "right left pgdn esc L", "");
    sees(&mut stage, "esc I", "");
    sees(&mut stage, "esc F enter enter enter enter enter", "");
}

#[test]
fn a_leak_run_and_a_survey_are_ascii() {
    let mut stage = walking();
    stage.keys("esc esc");
    sees(&mut stage, "down enter", "What was touched?");
    sees(&mut stage, "1 z space pgdn 0 0 l 3 enter", "/");
    let mut stage = walking();
    stage.keys("esc esc");
    sees(&mut stage, "down down enter", "greed");
    sees(
        &mut stage,
        "'Ærø' enter enter enter enter enter esc enter",
        "survey",
    );
    sees(&mut stage, "/ 'drive' enter Q 'très' enter E", "speed");
    sees(&mut stage, "esc H 2 enter enter esc", "");
}

#[test]
fn first_questions_and_the_shelf_are_ascii() {
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), ascii());
    sees(&mut stage, "", "There is no logbook here yet");
    sees(&mut stage, "1 'Ærøskøbing日本' enter 2", "hour meter");
    sees(&mut stage, "'1200' enter", "Morning check");
    assert!(stage.text(80, 24).contains("ArOskObing") || stage.text(80, 24).contains("Aroskobing"));
    let dir = tempfile::tempdir().expect("a folder");
    for name in ["Grey Plover", "Ñandú ⟪…⟫"] {
        let library = Arc::new(Library::built_in().clone());
        let clock = Rc::new(FixedClock::new(now()));
        let boat = Boat::simple(name, Waters::Inshore, Hours::new(100.0).ok());
        let place = dir.path().join(name);
        Book::create(&place, boat, clock, library, Some(7)).expect("begun");
    }
    let mut stage = Stage::on(dir, ascii());
    sees(&mut stage, "down down up", "Which boat?");
    assert!(
        stage.text(80, 24).contains("Nandu <~>"),
        "{}",
        stage.text(80, 24)
    );
}
