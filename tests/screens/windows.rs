//! Two windows on one logbook: what the first one shows after the second has written.

use std::fs;
use std::path::{Path, PathBuf};

use chrono::Duration;
use handlamp::checklist::Library;
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;
use handlamp::terminal::signals::Signal;

use crate::keys::{begun, book, looks};
use crate::stage::Stage;

/// A whole morning, every row sound, not yet finished.
const ALL_SOUND: &str =
    "0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0 0";

/// A window with a morning walked and not finished, and another beside it.
fn two() -> (Stage, Stage) {
    let mut first = begun();
    first.keys(ALL_SOUND);
    let second = first.beside();
    (first, second)
}

/// A walk of its own in which the belt is failing: a stop.
fn belt_fails(window: &mut Stage) {
    window
        .app
        .open_walk("daily", None, None)
        .expect("a checklist");
    window.keys("enter / 'belt' enter 3 enter enter");
    let worst = looks(&book(window.dir.path()), "drive-belt")
        .last()
        .cloned();
    let grade = worst.and_then(|look| look.grade());
    assert_eq!(grade.map(|g| g.rung()), Some(3), "{}", window.text(80, 24));
}

fn shown(window: &Stage) -> String {
    window.text(110, 40)
}

/// The files of the record.
fn files(root: &Path) -> Vec<PathBuf> {
    let years = fs::read_dir(root.join("log")).expect("a log");
    let files = years.flat_map(|year| fs::read_dir(year.expect("read").path()).expect("a year"));
    let mut files: Vec<_> = files.map(|file| file.expect("read").path()).collect();
    files.sort();
    files
}

/// The file of the record in which a look was last made.
fn file_of_a_look(root: &Path) -> PathBuf {
    let has_look =
        |file: &PathBuf| fs::read_to_string(file).is_ok_and(|t| t.contains(r#""ev":"look""#));
    files(root).into_iter().rfind(has_look).expect("a look")
}

#[test]
fn a_stop_of_another_window_is_in_the_verdict_that_is_drawn_next() {
    let (mut first, mut second) = two();
    belt_fails(&mut second);
    first.keys("f");
    let text = shown(&first);
    assert!(text.contains("do not run"), "{text}");
    assert!(text.contains("Drive belt"), "{text}");
    assert!(!text.contains("clear to run\n"), "{text}");
}

#[test]
fn one_walk_in_two_windows_is_one_walk() {
    let (mut first, mut second) = two();
    second.keys("enter / 'belt' enter 3 enter enter");
    first.noticed();
    assert!(
        shown(&first).contains("graded drive belt"),
        "{}",
        shown(&first)
    );
    first.keys("f");
    assert!(shown(&first).contains("do not run"), "{}", shown(&first));
    second.noticed();
    assert!(
        shown(&second).contains("finished a walk"),
        "{}",
        shown(&second)
    );
}

#[test]
fn a_verdict_that_is_drawn_already_is_drawn_anew() {
    let (mut first, mut second) = two();
    first.keys("f");
    assert!(shown(&first).contains("clear to run"), "{}", shown(&first));
    belt_fails(&mut second);
    first.noticed();
    let text = shown(&first);
    assert!(text.contains("do not run"), "{text}");
    assert!(text.contains("another window"), "{text}");
    assert!(text.contains("graded drive belt"), "{text}");
    // Without a notice of the system, the next key sees it, whichever that is.
    let (mut first, mut second) = two();
    first.keys("f");
    belt_fails(&mut second);
    first.keys("down");
    assert!(shown(&first).contains("do not run"), "{}", shown(&first));
}

#[test]
fn after_a_stop_and_continue_the_first_look_is_at_the_record() {
    let (mut first, mut second) = two();
    first.keys("f");
    belt_fails(&mut second);
    let _ = first.app.on(Incoming::Signal(Signal::Continued));
    assert!(shown(&first).contains("do not run"), "{}", shown(&first));
}

#[test]
fn the_list_the_boat_and_the_past_walks_show_it_too() {
    let (mut first, mut second) = two();
    first.keys("f esc");
    assert!(shown(&first).contains("clear to run"), "{}", shown(&first));
    belt_fails(&mut second);
    first.noticed();
    assert!(shown(&first).contains("do not run"), "{}", shown(&first));
    first.keys("d");
    assert!(shown(&first).contains("Drive belt"), "{}", shown(&first));

    let (mut first, mut second) = two();
    first.keys("f d");
    assert!(!shown(&first).contains("Drive belt"), "{}", shown(&first));
    belt_fails(&mut second);
    first.noticed();
    assert!(shown(&first).contains("Drive belt"), "{}", shown(&first));
    first.keys("b");
    assert!(shown(&first).contains("2 walks"), "{}", shown(&first));
}

#[test]
fn a_report_written_from_the_first_window_has_the_stop() {
    let (mut first, mut second) = two();
    first.keys("f");
    belt_fails(&mut second);
    first.keys("X 'now.md' enter").wait_for("report written");
    let page = fs::read_to_string(first.dir.path().join("now.md")).expect("written");
    assert!(page.contains("Drive belt"), "{page}");
}

#[test]
fn the_arrow_of_the_list_stays_on_its_row_and_a_question_on_its_item() {
    let (mut first, mut second) = two();
    first.keys("/ 'coolant level' enter 2 enter enter f d R 'topped up and'");
    let before = shown(&first);
    belt_fails(&mut second);
    first.noticed();
    let text = shown(&first);
    assert!(text.contains("topped up and"), "{before}\n{text}");
    first.keys("space 'bled' enter 1 enter");
    let book = book(first.dir.path());
    let repair = &book.history().repairs.last().expect("a repair").rec;
    assert_eq!(repair.done, "topped up and bled");
    assert_ne!(repair.item, "drive-belt");
}

#[test]
fn what_is_half_typed_stays_and_the_next_record_sorts_last() {
    let (mut first, mut second) = two();
    first.keys("/ 'belt' enter n 'dust on'");
    belt_fails(&mut second);
    first.noticed();
    let text = shown(&first);
    assert!(text.contains("dust on"), "{text}");
    assert!(text.contains("another window"), "{text}");
    first.keys("space 'the guard' ctrl-s");
    let book = book(first.dir.path());
    let last = book.written().last().expect("records");
    let text = serde_json::to_string(&last.record.payload().expect("JSON")).expect("JSON");
    assert!(text.contains("dust on the guard"), "{text}");
}

#[test]
fn an_earlier_grade_of_another_window_is_what_a_new_one_is_held_against() {
    let mut first = begun();
    first.keys("0");
    let mut second = first.beside();
    belt_fails(&mut second);
    first.noticed();
    first.keys("/ 'belt' enter 0");
    let text = shown(&first);
    assert!(text.contains("better"), "{text}");
}

#[test]
fn a_blind_walk_is_told_that_something_came_and_not_what() {
    let mut first = begun();
    first.keys("H 0");
    let mut second = first.beside();
    belt_fails(&mut second);
    first.noticed();
    let text = shown(&first);
    assert!(text.contains("another window recorded"), "{text}");
    assert!(
        !text.contains("graded") && !text.contains("rive belt"),
        "{text}"
    );
}

#[test]
fn half_typed_elsewhere_is_no_news() {
    let (mut first, mut second) = two();
    second
        .app
        .open_walk("daily", None, None)
        .expect("a checklist");
    second.keys("enter n 'grey' ctrl-s");
    first.noticed();
    assert!(shown(&first).contains("began a walk"), "{}", shown(&first));
    first.keys("up");
    second.keys("n 'er' ctrl-s");
    first.noticed();
    assert!(
        !shown(&first).contains("another window"),
        "{}",
        shown(&first)
    );
}

#[test]
fn a_walk_that_vanishes_under_its_window_is_said_and_can_go_on() {
    let (first, _) = two();
    let root = first.dir.path().to_owned();
    let walk = file_of_a_look(&root);
    let mut again = first.killed();
    again.keys("enter");
    let kept = fs::read(&walk).expect("read");
    fs::remove_file(&walk).expect("removed");
    again.noticed();
    let text = shown(&again);
    assert!(text.contains("on record no more"), "{text}");
    assert!(text.contains("NOT COUNTED"), "{text}");
    again.keys("0");
    assert_eq!(book(&root).history().walks.len(), 1);
    // The very same records merged back lift it.
    fs::write(&walk, kept).expect("written");
    again.noticed();
    assert!(!shown(&again).contains("NOT COUNTED"), "{}", shown(&again));
}

#[test]
fn what_this_window_recorded_stays_though_its_file_is_taken_away() {
    let (mut first, mut second) = two();
    let root = first.dir.path().to_owned();
    let own = file_of_a_look(&root);
    fs::remove_file(&own).expect("removed");
    belt_fails(&mut second);
    first.noticed();
    first.keys("f");
    let text = shown(&first);
    let daily = Library::built_in().checklist("daily").expect("built in");
    let all: usize = daily.phases.iter().map(|phase| phase.rows.len()).sum();
    assert!(
        text.contains(&format!("{all} of {all} rows seen")),
        "{text}"
    );
    assert!(text.contains("do not run"), "{text}");
    // It is written to a new file with the next record.
    let seen = book(&root)
        .history()
        .walks
        .iter()
        .map(|w| w.looks.len())
        .max();
    assert!(seen.is_some_and(|seen| seen > 42), "{seen:?}");
}

#[test]
fn its_own_records_are_no_news() {
    let mut first = begun();
    for key in ["0", "0", "n 'a' ctrl-s", "f 2", "esc"] {
        first.keys(key).noticed();
        let text = shown(&first);
        assert!(!text.contains("another window"), "{text}");
    }
}

#[test]
fn a_profile_changed_elsewhere_shows() {
    let (mut first, mut second) = two();
    first.keys("f esc");
    second
        .app
        .open_walk("daily", None, None)
        .expect("a checklist");
    second.keys("enter / 'coolant pump' enter x 6 2");
    first.noticed();
    let text = shown(&first);
    assert!(text.contains("another window"), "{text}");
}

#[test]
fn a_clock_behind_the_record_is_asked_about_before_a_walk_begins() {
    let mut stage = begun();
    stage.keys("0 f 2 esc");
    let before = stage.clock.clone();
    let now = crate::stage::now();
    // A few minutes are nothing.
    before.set(now - Duration::minutes(3));
    stage.keys("enter");
    assert!(shown(&stage).contains("Hour meter"), "{}", shown(&stage));
    stage.keys("esc esc");
    before.set(now - Duration::minutes(14));
    stage.keys("enter");
    let text = shown(&stage);
    assert!(
        text.contains("07:26, the last record was made at 07:40 today"),
        "{text}"
    );
    // The key pressed once too often begins nothing.
    stage.keys("enter");
    let text = shown(&stage);
    assert!(text.contains("nothing was begun"), "{text}");
    assert!(!text.contains("Hour meter"), "{text}");
    stage.keys("enter 2");
    assert!(shown(&stage).contains("Hour meter"), "{}", shown(&stage));
    // A flat battery: years behind.
    stage.keys("esc esc");
    before.set("1970-01-01T00:03:00+00:00".parse().expect("a time"));
    stage.keys("enter");
    let text = shown(&stage);
    assert!(text.contains("00:03 on 1 Jan 1970"), "{text}");
    assert!(text.contains("on 3 May 2026"), "{text}");
}

#[test]
fn an_older_copy_is_told_on_the_screen_until_somebody_goes_on_with_it() {
    let (mut before, mut first) = two();
    before.keys("f esc");
    first.noticed();
    assert!(shown(&first).contains("clear to run"), "{}", shown(&first));
    let root = first.dir.path().to_owned();
    drop(before);
    let newest = file_of_a_look(&root);
    let text = fs::read_to_string(&newest).expect("read");
    let less = text.lines().count() - 40;
    let kept: String = text.lines().take(less).map(|l| format!("{l}\n")).collect();
    fs::write(&newest, kept).expect("written");
    first.noticed();
    let text = shown(&first);
    assert!(text.contains("NOT COUNTED"), "{text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let older = "that are not here: this may be an older copy";
    assert!(flat.contains(older), "{text}");
    assert!(!text.contains("clear to run"), "{text}");
    // No key wipes it away.
    first.keys("down up");
    assert!(shown(&first).contains("NOT COUNTED"), "{}", shown(&first));
    first.keys("G enter");
    assert!(
        shown(&first).contains("a reason is needed"),
        "{}",
        shown(&first)
    );
    first.keys("'the stick broke' enter");
    let text = shown(&first);
    assert!(text.contains("went on without them"), "{text}");
    let book = book(&root);
    let gone_on = &book.history().gone_on.last().expect("recorded").rec;
    assert_eq!(gone_on.why, "the stick broke");
    assert_eq!(gone_on.who.as_deref(), Some("R. Quay"));
}
