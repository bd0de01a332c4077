//! What cannot be saved is said with the reason, however narrow the window.

use std::rc::Rc;
use std::sync::Arc;

use handlamp::boat::{Boat, Waters};
use handlamp::checklist::Library;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;

use crate::stage::{Stage, now};

/// Nothing can be made below `log`, which is a file now.
fn refused() -> Stage {
    let stage = Stage::demo();
    let log = stage.dir.path().join("log");
    std::fs::rename(&log, stage.dir.path().join("kept")).expect("moved");
    std::fs::write(&log, "").expect("written");
    stage
}

/// The screen without its line ends.
fn flowing(stage: &Stage, columns: u16) -> String {
    let text = stage.text(columns, 24);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_cannot_be_saved_says_why_in_a_narrow_window_too() {
    let mut stage = refused();
    stage.keys("enter enter 0");
    for columns in [40, 60, 80, 140] {
        let told = flowing(&stage, columns);
        let line = "in memory): a file is in the folder's place; S saves again";
        assert!(
            told.contains("! NOT SAVED (") && told.contains(line),
            "{told}"
        );
    }
    // Where the key means a letter it is not named, and the reason stays.
    stage.keys("n");
    let told = flowing(&stage, 60);
    assert!(
        told.contains("in memory): a file is in the folder's place"),
        "{told}"
    );
    assert!(!told.contains("saves again"), "{told}");
}

/// Where the rest of the record cannot be read, the folder does not pass for her logbook.
#[test]
fn a_session_saved_alone_elsewhere_does_not_open_as_her_logbook() {
    let mut stage = refused();
    stage.keys("enter enter 0 S 2");
    let stick = tempfile::tempdir().expect("a folder");
    let path = stick.path().display().to_string();
    stage.keys(&format!("'{path}' enter"));
    let told = flowing(&stage, 140);
    assert!(told.contains("this session alone"), "{told}");
    assert!(told.contains("handlamp logbook merge"), "{told}");
    assert!(!told.contains("NOT SAVED"), "{told}");
    let opened = Book::open(
        stick.path(),
        Rc::new(FixedClock::new(now())),
        Arc::new(Library::built_in().clone()),
        None,
    );
    let Err(error) = opened else {
        panic!("half a record must not pass for the whole");
    };
    let said = error.to_string();
    assert!(
        said.contains("handlamp logbook merge") && said.contains(&path),
        "{said}"
    );
}

#[test]
fn a_logbook_of_another_boat_is_no_place_to_save_in() {
    let mut stage = refused();
    let other = tempfile::tempdir().expect("a folder");
    let boat = Boat::simple("Two Terns", Waters::Inshore, None);
    let library = Arc::new(Library::built_in().clone());
    let clock = || Rc::new(FixedClock::new(now()));
    let mut made = Book::create(other.path(), boat, clock(), library, None).expect("begun");
    made.finish();
    stage.keys("enter enter 0 S 2");
    stage.keys(&format!("'{}' enter", other.path().display()));
    let told = flowing(&stage, 140);
    assert!(
        told.contains("different boats") && told.contains("NOT SAVED"),
        "{told}"
    );
}

/// What is told stands beneath a question, and covers none of its answers.
#[test]
fn what_is_told_covers_no_answer_of_a_question() {
    let answers = |stage: &Stage, columns, rows| -> Vec<String> {
        let text = stage.text(columns, rows);
        let panel = text.rfind("┌ ").map_or("", |at| &text[at..]);
        let inside = panel.lines().filter_map(|l| l.split('│').nth(1));
        let inside = inside.map(|l| l.trim().trim_start_matches('▸').trim().to_owned());
        inside
            .filter(|l| l.starts_with(|c: char| c.is_ascii_digit()))
            .collect()
    };
    for keys in ["enter enter 0 f", "enter enter / 'belt' enter 3"] {
        let (mut saved, mut refused) = (Stage::demo(), refused());
        saved.keys(keys);
        refused.keys(keys);
        for (columns, rows) in [(60, 20), (80, 24), (140, 45)] {
            let told = refused.text(columns, rows);
            let open = answers(&refused, columns, rows);
            assert!(told.contains("NOT SAVED"), "{told}");
            assert!(!open.is_empty(), "{told}");
            assert_eq!(open, answers(&saved, columns, rows), "{keys}\n{told}");
        }
    }
}

/// The way out stays open while a folder is typed.
#[test]
fn leaving_is_asked_again_while_a_folder_is_typed() {
    let mut stage = refused();
    stage.keys("enter enter 0 ctrl-c 2");
    assert!(stage.text(80, 24).contains("Save to which folder?"));
    stage.keys("'/mnt' ctrl-c");
    let told = stage.text(80, 24);
    assert!(told.contains("3  leave, and keep them"), "{told}");
    // The path is still there when one stays.
    stage.keys("4");
    let told = stage.text(80, 24);
    assert!(
        told.contains("Save to which folder?") && told.contains("/mnt"),
        "{told}"
    );
}
