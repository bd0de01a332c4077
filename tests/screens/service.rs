//! What is due, by keys: work recorded, refused, left half typed, taken back; months at a glance.

use handlamp::defects::ServiceDraft;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::terminal::app_loop::{App as _, Flow};
use handlamp::terminal::input::Incoming;
use std::rc::Rc;
use std::sync::Arc;

use crate::stage::{Stage, now};

/// The oil of the main engine: what nobody knows the age of on the other stands before it.
const OIL: &str = "q m / 'oil and' enter";

/// What is on disk, read anew.
fn book(stage: &Stage) -> Book {
    let library = Arc::new(handlamp::checklist::Library::built_in().clone());
    let clock = Rc::new(FixedClock::new(now()));
    Book::open(stage.dir.path(), clock, library, Some(9)).expect("it opens")
}

fn services(stage: &Stage) -> usize {
    book(stage).history().services.len()
}

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

#[test]
fn every_screen_with_a_list_opens_what_is_due_with_one_key() {
    for keys in ["", "d", "b", "b enter"] {
        let mut stage = Stage::demo();
        stage.keys(keys).keys("q");
        shows(&stage, "What is due: ");
        stage.keys("esc");
        shows(&stage, "Morning check");
    }
}

#[test]
fn what_is_overdue_stands_on_the_boat_screen_and_moves_nothing() {
    let mut stage = Stage::demo();
    for (columns, rows) in [(80, 24), (60, 20)] {
        let text = stage.text(columns, rows);
        // Never done on record, and first looked at eight months ago, which started their clock.
        let anodes = "due: Engine anodes, look and renew, 107 h over, and 1 more";
        assert_eq!(text.lines().nth(2), Some(anodes));
        assert_eq!(text.lines().nth(3).map(|l| l.starts_with('▸')), Some(true));
    }
    stage.keys("m");
    shows(&stage, "due: Raw-water impeller, 45 d over");
}

#[test]
fn a_service_is_recorded_as_it_was_typed() {
    let mut stage = Stage::demo();
    let before = services(&stage);
    stage.keys(OIL).keys("F");
    shows(&stage, "1 of 10: when?");
    stage.keys("enter '1241' enter '6.8' enter '7 qt' enter '3/4' enter");
    shows(&stage, "6 of 10: which parts?");
    stage.keys("'filter; washer' enter");
    shows(&stage, "R. Quay");
    stage.keys("enter 'dark but clean' enter '48,50' enter '50' enter");
    shows(&stage, "owed 4 May: Engine oil level");
    shows(&stage, "leak run now; its 2 joints are ticked");
    let book = book(&stage);
    let service = &book.history().services.last().expect("one").rec;
    assert_eq!(book.history().services.len(), before + 1);
    assert_eq!(service.machine.as_deref(), Some("main"));
    assert_eq!(service.hours.map(|h| h.get()), Some(1241.0));
    let text = |v: Option<handlamp::boat::units::Volume>| v.map(|v| v.to_string());
    assert_eq!(text(service.out).as_deref(), Some("6.8 L"));
    assert_eq!(text(service.filled).as_deref(), Some("7 qt"));
    assert_eq!(service.turn.as_deref(), Some("3/4"));
    assert_eq!(service.parts, ["filter", "washer"]);
    assert_eq!(service.by.as_deref(), Some("R. Quay"));
    assert_eq!(service.note.as_deref(), Some("dark but clean"));
    assert_eq!(service.cost.map(|c| c.get()), Some(48.5));
    assert_eq!(service.minutes, Some(50));
}

#[test]
fn every_question_can_be_passed_and_nothing_is_made_up() {
    let mut stage = Stage::demo();
    stage.keys(OIL).keys("F");
    stage.keys("enter enter enter enter enter enter enter enter enter enter");
    shows(&stage, "The turn used is not recorded");
    let book = book(&stage);
    let service = &book.history().services.last().expect("one").rec;
    assert_eq!(service.hours, None, "the estimate is never taken unseen");
    assert!(service.out.is_none() && service.turn.is_none() && service.cost.is_none());
    assert!(service.minutes.is_none());
    assert_eq!(service.by.as_deref(), Some("R. Quay"), "it stood in sight");
}

#[test]
fn what_cannot_be_stays_to_be_mended() {
    let mut stage = Stage::demo();
    let before = services(&stage);
    stage.keys(OIL).keys("F '2026-06-01' enter");
    shows(&stage, "lies in the future");
    shows(&stage, "2026-06-01 ");
    stage.keys("backspace backspace backspace backspace backspace '05-03' enter");
    shows(&stage, "2 of 10: hour meter");
    stage.keys("'1200' enter");
    shows(&stage, "cannot go back to");
    shows(&stage, "│ 1200 ");
    stage.keys("left left backspace '4' right right enter");
    shows(&stage, "cannot have run to");
    stage.keys("home right right backspace '2' end backspace backspace '41' enter");
    shows(&stage, "how much came out?");
    stage.keys("'22' enter");
    shows(&stage, "more than three times what the sump holds");
    shows(&stage, "│ 22 ");
    stage.keys("backspace backspace '7 bar' enter");
    shows(&stage, "3 of 10");
    stage.keys("backspace backspace backspace backspace enter '7000' enter");
    shows(&stage, "more than three times");
    assert_eq!(services(&stage), before, "nothing was recorded");
}

#[test]
fn what_is_left_half_typed_is_kept_and_said() {
    let mut stage = Stage::demo();
    stage.keys(OIL).keys("F enter '1241' enter '6.8' esc");
    // One question back, with what was typed there; what was typed here is kept already.
    shows(&stage, "2 of 10: hour meter");
    shows(&stage, "│ 1241 ");
    assert_eq!(drafts(&stage), ["hours 1241, out 6.8"]);
    stage.keys("enter");
    shows(&stage, "│ 6.8 ");
    stage.keys("esc esc esc");
    shows(&stage, "hours 1241, out 6.8; F goes on");
    stage.keys("esc");
    stage.keys(OIL).keys("F enter");
    shows(&stage, "│ 1241 ");
    stage.keys("enter");
    shows(&stage, "│ 6.8 ");
    // Leaving keeps what is typed, the open line included.
    stage.keys("backspace '9'");
    let quit = Incoming::Key("ctrl-c".parse().expect("a key"));
    assert_eq!(stage.app.on(quit), Flow::Quit);
    assert_eq!(drafts(&stage), ["hours 1241, out 6.9"]);
}

/// What is kept of services, as it was typed.
fn drafts(stage: &Stage) -> Vec<String> {
    let book = book(stage);
    let answers = |d: &ServiceDraft| {
        let typed = d.typed.iter().filter(|(_, text)| !text.is_empty());
        let typed = typed.map(|(question, text)| format!("{question} {text}"));
        typed.collect::<Vec<_>>().join(", ")
    };
    let drafts = book.history().service_drafts.iter();
    drafts.map(answers).collect()
}

#[test]
fn what_is_recorded_or_emptied_is_kept_no_longer() {
    let mut stage = Stage::demo();
    stage.keys(OIL).keys("F enter '1241' esc esc");
    assert_eq!(drafts(&stage), ["hours 1241"]);
    stage.keys("esc q");
    shows(&stage, "typed in part and not recorded (hours 1241)");
    stage
        .keys(OIL)
        .keys("F enter backspace backspace backspace backspace esc esc");
    shows(&stage, "nothing is recorded");
    assert!(drafts(&stage).is_empty());
    stage.keys("F enter '1241' esc esc F");
    stage.keys("enter enter enter enter enter enter enter enter enter enter 2");
    assert!(drafts(&stage).is_empty());
    stage.keys("u");
    assert_eq!(drafts(&stage), ["hours 1241, by R. Quay"]);
}

#[test]
fn undo_takes_a_service_back_and_keeps_what_was_typed() {
    let mut stage = Stage::demo();
    let before = services(&stage);
    let list = {
        stage.keys(OIL);
        stage.text(80, 24)
    };
    stage.keys("F enter '1241' enter enter enter enter enter enter enter enter enter 2");
    assert_eq!(services(&stage), before + 1);
    stage.keys("u");
    shows(&stage, "taken back");
    assert_eq!(services(&stage), before);
    stage.keys("u");
    shows(&stage, "nothing was recorded here");
    stage.keys("F enter");
    shows(&stage, "│ 1241 ");
    stage.keys("esc");
    stage.keys("up down");
    let rows = |text: &str| text.lines().take(18).map(str::to_owned).collect::<Vec<_>>();
    let (now, then) = (stage.text(80, 24), list);
    assert_eq!(rows(&now)[0], rows(&then)[0]);
}

#[test]
fn the_handbook_sets_the_interval_of_this_machine() {
    let mut stage = Stage::demo();
    stage.keys(OIL).keys("I '150' enter '1.5' enter");
    shows(&stage, "is no whole number");
    stage.keys("backspace backspace backspace 'none' enter 'page 41' enter");
    shows(&stage, "every 150 h as set for this machine (page 41)");
    let set = book(&stage)
        .history()
        .intervals
        .last()
        .expect("one")
        .rec
        .clone();
    assert_eq!((set.hours, set.months), (Some(150), Some(0)));
    assert_eq!(set.machine.as_deref(), Some("main"));
    stage.keys("I");
    shows(&stage, "│ 150 ");
    stage.keys("esc u");
    shows(&stage, "taken back");
    assert!(book(&stage).history().intervals.is_empty());
    stage.keys(OIL).keys("esc q m / 'oil and' enter");
    let screen = stage.text(80, 24);
    assert!(
        screen.contains(" 100 h") && !screen.contains("150 h"),
        "{screen}"
    );
}

#[test]
fn the_label_of_the_last_service_is_shown_to_be_copied() {
    let mut stage = Stage::demo();
    stage.keys(OIL).keys("L");
    shows(&stage, "turn 3/4");
    shows(&stage, "next: ");
    stage.keys("esc / 'coolant' enter L");
    shows(&stage, "has no label");
}

#[test]
fn months_follow_the_arrow_and_the_page_keys() {
    let mut stage = Stage::demo();
    stage.keys("q M");
    shows(&stage, "May 2026");
    stage.keys("pgdn");
    let text = stage.text(80, 24);
    let list = text.lines().filter(|l| l.trim() == "June 2026").count();
    assert_eq!(list, 1, "the list begins with the month chosen\n{text}");
    stage.keys("pgdn pgdn");
    shows(&stage, "August 2026 ");
    stage.keys("pgdn");
    // Past the months in sight the next ones come.
    let heading = stage.text(80, 24).lines().nth(1).map(str::to_owned);
    assert!(!heading.expect("a line").starts_with("May 2026"));
    stage.keys("home M end");
    shows(&stage, "When its item asks for it");
    stage.keys("home M");
    shows(&stage, "May 2026");
}

#[test]
fn the_machine_key_narrows_the_list() {
    let mut stage = Stage::demo();
    stage.keys("q m m");
    let text = stage.text(80, 24);
    assert!(text.lines().next().expect("a title").ends_with("generator"));
    assert!(!text.contains("Gearbox oil"), "{text}");
    stage.keys("m");
    shows(&stage, "all machines");
}

#[test]
fn the_task_tells_each_caution_before_its_step() {
    let mut stage = Stage::demo();
    stage.keys(OIL).keys("enter");
    let text = stage.text(140, 60);
    let at = |words: &str| {
        text.find(words)
            .unwrap_or_else(|| panic!("no {words} in\n{text}"))
    };
    assert!(at("Hot oil scalds") < at("2 Run the engine"));
    assert!(at("The maker's handbook outranks") < at("tools:"));
    assert!(at("tools:") < at("2 Run the engine"));
    assert!(at("2 Run the engine") < at("joints disturbed:"));
    assert!(at("joints disturbed:") < at("owed:") && at("owed:") < at("source:"));
}
