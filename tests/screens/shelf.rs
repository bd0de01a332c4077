//! Several logbooks in one folder: which boat, another boat, and back.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use handlamp::boat::{Boat, Hours, Waters};
use handlamp::checklist::Library;
use handlamp::demo;
use handlamp::logbook::book::Book;
use handlamp::logbook::{Clock, FixedClock};
use handlamp::terminal::app_loop::{App as _, Flow};
use handlamp::terminal::input::Incoming;

use crate::stage::{Stage, now, plain};

fn begin(root: &Path, name: &str) {
    let library = Arc::new(Library::built_in().clone());
    let clock = Rc::new(FixedClock::new(now()));
    let boat = Boat::simple(name, Waters::Inshore, Hours::new(100.0).ok());
    Book::create(root, boat, clock, library, Some(7)).expect("begun");
}

/// What is on disk.
fn opened(root: &Path) -> Book {
    let library = Arc::new(Library::built_in().clone());
    let clock = Rc::new(FixedClock::new(now()));
    Book::open(root, clock, library, Some(9)).expect("it opens")
}

/// Every boat is read.
fn read(stage: &mut Stage) {
    while stage.app.deadline().is_some() {
        std::thread::sleep(Duration::from_millis(5));
        stage.app.on_deadline();
    }
}

/// Two boats of one name and one whose profile is broken.
fn shelf() -> Stage {
    let dir = tempfile::tempdir().expect("a folder");
    begin(&dir.path().join("bay"), "Grey Plover");
    begin(&dir.path().join("creek"), "Grey Plover");
    let broken = dir.path().join("wreck");
    std::fs::create_dir(&broken).expect("made");
    std::fs::write(broken.join("boat.json"), "{").expect("written");
    std::fs::create_dir(dir.path().join("no-logbook")).expect("made");
    Stage::on(dir, plain())
}

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

#[test]
fn a_folder_of_logbooks_asks_which_boat() {
    let mut stage = shelf();
    shows(&stage, "2 being read");
    read(&mut stage);
    insta::assert_snapshot!(stage.shot(80, 24));
    insta::assert_snapshot!(stage.shot(60, 20));
    insta::assert_snapshot!(stage.shot(140, 45));
    stage.keys("2");
    shows(&stage, "Grey Plover");
    shows(&stage, "Morning check");
    stage.keys("enter enter 0");
    let walks = |name: &str| opened(&stage.dir.path().join(name)).history().walks.len();
    assert_eq!(
        (walks("creek"), walks("bay")),
        (1, 0),
        "written to the one chosen"
    );
}

#[test]
fn a_small_drawing_shows_where_the_worst_is() {
    let dir = tempfile::tempdir().expect("a folder");
    let library = Arc::new(Library::built_in().clone());
    let clock: Rc<dyn Clock> = Rc::new(FixedClock::new(now()));
    demo::write_to(&dir.path().join("a-demo"), clock, &library).expect("the demo boat");
    for name in ["Bay", "Creek", "Marsh"] {
        begin(&dir.path().join(name), name);
    }
    let mut stage = Stage::on(dir, plain());
    read(&mut stage);
    for (columns, rows) in [(140, 45), (80, 24), (60, 20)] {
        insta::assert_snapshot!(stage.shot(columns, rows));
    }
    let (among, worst) = (stage.text(140, 45), "2 worn: ");
    let told = among.lines().find(|line| line.contains(worst));
    let told = told.and_then(|line| line.split_once(worst));
    let title = told.and_then(|(_, rest)| rest.split(" · ").next());
    stage.keys("4");
    let alone = stage.text(140, 45);
    assert!(alone.contains(title.expect("a title")), "{alone}");
    assert!(among.contains("run with care") && alone.contains("run with care"));
}

/// What is wrong, and what she does, is asked aboard one boat.
#[test]
fn among_several_boats_no_key_is_offered_that_speaks_of_one() {
    let mut stage = shelf();
    read(&mut stage);
    assert!(!stage.text(80, 24).contains("trouble"));
    for key in ["f3", "ctrl-f", "f5"] {
        stage.keys(key);
        shows(&stage, "which boat first");
        shows(&stage, "Which boat?");
    }
    stage.keys("1");
    shows(&stage, "trouble");
}

#[test]
fn a_broken_profile_is_told_and_another_can_be_chosen() {
    let mut stage = shelf();
    stage.keys("3");
    shows(&stage, "cannot be understood");
    shows(&stage, "Which boat?");
    stage.keys("up up enter");
    shows(&stage, "Morning check");
}

#[test]
fn back_from_a_boat_leads_to_the_others() {
    let mut stage = shelf();
    stage.keys("1 esc");
    shows(&stage, "Which boat?");
    stage.keys("down enter esc");
    shows(&stage, "Which boat?");
    let leave = Incoming::Key("esc".parse().expect("a key"));
    assert_eq!(stage.app.on(leave), Flow::Quit);
}

#[test]
fn another_boat_gets_a_folder_beside_the_others() {
    let mut stage = shelf();
    stage.keys("4 'Bay' enter 2 '12.5' enter");
    shows(&stage, "the logbook is begun");
    assert!(stage.dir.path().join("bay-2/boat.json").exists());
    stage.keys("esc");
    shows(&stage, "▸ 2 Bay");
    // A question left leads back to the boats.
    stage.keys("down down down down enter esc");
    shows(&stage, "Which boat?");
    stage.keys("5 'Æ|../x' enter 2 enter");
    assert!(stage.dir.path().join("x/boat.json").exists());
}

#[test]
fn long_names_leave_their_folders_in_sight() {
    let dir = tempfile::tempdir().expect("a folder");
    for folder in ["bay", "creek"] {
        let name = "A very long name for a boat of the inland waterways";
        begin(&dir.path().join(folder), name);
    }
    let stage = Stage::on(dir, plain());
    let screen = stage.text(60, 20);
    assert!(
        screen.contains("… · bay") && screen.contains("… · creek"),
        "{screen}"
    );
}

#[test]
fn names_from_outside_are_shown_as_text() {
    let dir = tempfile::tempdir().expect("a folder");
    begin(
        &dir.path().join("a\u{1b}[2Jb"),
        "Evil\u{1b}[31m\u{202e}boat",
    );
    let stage = Stage::on(dir, plain());
    let screen = stage.text(80, 24);
    assert!(
        !screen.contains('\u{1b}') && !screen.contains('\u{202e}'),
        "{screen}"
    );
    shows(&stage, "Which boat?");
}
