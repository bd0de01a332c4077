//! Forms of one question and of several: what is typed, gone back from, left and refused; and words
//! that stand whole.

use crate::keys::begun;
use crate::stage::{self, Stage};

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

/// Repairs and deferrals on record.
fn acts(stage: &Stage) -> (usize, usize) {
    let book = stage.book();
    (book.history().repairs.len(), book.history().deferrals.len())
}

#[test]
fn the_usual_editing_keys_work_in_a_line_and_in_a_note() {
    let mut stage = begun();
    stage.keys(
        "/ 'belt' enter 2 enter up n 'inner edge wet' ctrl-left ctrl-w home 'the ' end '; dry'",
    );
    stage.keys("ctrl-s");
    let note = |stage: &Stage| {
        let walk = stage.last_walk();
        walk.looks_at("drive-belt")
            .last()
            .and_then(|t| t.look.note.clone())
    };
    assert_eq!(note(&stage).as_deref(), Some("the inner wet; dry"));
    // All before the cursor goes, and is put in again.
    stage.keys("n ctrl-u ctrl-s");
    assert_eq!(note(&stage), None);
    stage.keys("n 'frayed edge' ctrl-u ctrl-y alt-b ctrl-k ctrl-s");
    assert_eq!(note(&stage).as_deref(), Some("frayed"));
    stage.keys("/ 'no such thing' ctrl-u 'edge belt' alt-b ctrl-u enter");
    let text = stage.text(80, 24);
    let here = text.lines().find(|line| line.starts_with('▸'));
    assert!(here.is_some_and(|line| line.contains("Belt")), "{text}");
}

#[test]
fn the_keys_of_a_field_stand_in_its_help() {
    let mut stage = begun();
    stage.keys("/ f1");
    let text = stage.text(80, 45);
    for key in [
        "ctrl-u",
        "ctrl-w",
        "ctrl-k",
        "ctrl-left",
        "alt-left alt-b",
        "home ctrl-a",
    ] {
        assert!(text.contains(key), "no {key} in\n{text}");
    }
    assert!(!text.contains('…'), "{text}");
}

#[test]
fn esc_goes_one_question_back_with_what_was_typed_and_from_the_first_out() {
    let mut stage = Stage::demo();
    let before = acts(&stage);
    stage.keys("d D '2027-01-01' enter 'no spare' esc");
    shows(&stage, "may wait until when?");
    shows(&stage, "│ 2027-01-01 ");
    stage.keys("enter");
    shows(&stage, "Why may it wait?");
    shows(&stage, "│ no spare ");
    stage.keys("esc esc");
    assert!(!stage.text(80, 24).contains("may wait until when?"));
    // Opened again it holds what was typed, in each question.
    stage.keys("D");
    shows(&stage, "│ 2027-01-01 ");
    stage.keys("enter");
    shows(&stage, "│ no spare ");
    stage.keys("esc esc R 'taped' enter 2 'next harbour' esc");
    shows(&stage, "Lasting or temporary?");
    stage.keys("esc");
    shows(&stage, "│ taped ");
    stage.keys("enter 2");
    shows(&stage, "│ next harbour ");
    assert_eq!(acts(&stage), before);
}

#[test]
fn what_is_on_record_is_not_gone_back_over_and_stands_in_no_line_again() {
    let mut stage = Stage::demo();
    stage.keys("d down O '3' enter 'spare aboard' enter");
    shows(&stage, "override recorded");
    stage.keys("O");
    shows(&stage, "severity 1-4");
    assert!(!stage.text(80, 24).contains("│ 3 "));
    stage.keys("esc");
    assert!(!stage.text(80, 24).contains("severity 1-4"));
}

#[test]
fn the_first_start_goes_back_question_by_question() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '12x' enter");
    shows(&stage, "12x");
    shows(&stage, "hour meter show?");
    stage.keys("esc");
    shows(&stage, "Where does she go?");
    stage.keys("esc");
    shows(&stage, "│ Grey Plover ");
    stage.keys("esc");
    shows(&stage, "What shall it be?");
    stage.keys("1 enter 2");
    shows(&stage, "│ 12x ");
    stage.keys("backspace enter");
    assert_eq!(stage.book().profile().name, "Grey Plover");
}

#[test]
fn a_form_says_beside_the_very_question_what_is_wrong_and_keeps_it() {
    let mut stage = Stage::demo();
    stage.keys("d D '2020-01-01' enter");
    shows(&stage, "may wait until when?");
    shows(&stage, "│ 2020-01-01 ");
    assert!(!stage.text(80, 24).contains("a date such as 2026-06-01"));
    stage.keys("ctrl-u 'soon' enter");
    shows(&stage, "│ soon ");
}

#[test]
fn what_a_survey_agrees_beforehand_can_be_gone_back_over() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 enter");
    stage.keys("down down enter 'the owner' enter 'anode' enter esc");
    shows(&stage, "│ anode ");
    stage.keys("ctrl-u 'nothing' enter esc esc");
    shows(&stage, "│ the owner ");
    stage.keys("esc");
    let agreed = stage.last_walk().agreed.expect("agreed");
    assert_eq!(agreed.runs.as_deref(), Some("the owner"));
    assert_eq!(agreed.may_open.as_deref(), Some("nothing"));
}

#[test]
fn what_is_due_stands_whole_with_its_machine_where_it_is_narrow() {
    let mut stage = Stage::demo();
    stage.keys("q");
    for (columns, rows) in [(60, 20), (80, 24), (140, 45)] {
        let text = stage.text(columns, rows);
        assert!(!text.contains('…'), "{text}");
        assert!(text.contains("[generator]"), "{text}");
        // Hours and days never touch, however many there are.
        assert!(!text.contains("over1"), "{text}");
    }
}

#[test]
fn the_count_of_what_is_due_now_is_that_of_the_rows_that_say_so() {
    let mut stage = begun();
    stage.keys("esc q");
    let text = stage.text(80, 45);
    let says = |line: &&str| line.contains(" now ") && !line.starts_with("What is due");
    assert!(text.starts_with("What is due: 0 now"), "{text}");
    assert_eq!(text.lines().filter(says).count(), 0, "{text}");
}

#[test]
fn a_boat_without_a_meter_shows_no_hours() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 enter");
    shows(&stage, "Main engine · no meter read");
    stage.keys("enter");
    shows(&stage, "Main engine · no meter read");
}

#[test]
fn a_list_over_several_machines_names_each() {
    let mut stage = Stage::demo();
    stage.keys("d");
    for (columns, rows) in [(60, 20), (80, 24)] {
        let text = stage.text(columns, rows);
        assert!(
            text.contains("[main]") && text.contains("[generator]"),
            "{text}"
        );
    }
    stage.keys("m");
    assert!(!stage.text(80, 24).contains("[main]"));
    shows(&stage, "only main");
}

#[test]
fn what_is_repaired_is_neither_sound_nor_counted_open() {
    let mut stage = Stage::demo();
    let open = |stage: &Stage| {
        let text = stage.text(80, 24);
        let head = text
            .lines()
            .find(|l| l.contains("Fix first"))
            .map(str::to_owned);
        head.expect("the list")
    };
    let head = open(&stage);
    let count = |head: &str, what: &str| -> usize {
        let words: Vec<&str> = head.split([' ', ',']).filter(|w| !w.is_empty()).collect();
        let at = words.iter().position(|w| *w == what).expect("counted");
        words[at - 1].parse().expect("a number")
    };
    let (open_before, repaired_before) = (count(&head, "open"), count(&head, "repaired"));
    for (columns, rows) in [(60, 20), (80, 24)] {
        let text = stage.text(columns, rows);
        assert!(text.contains("items unseen"), "{text}");
    }
    stage.keys("d R 'new elbow' enter 1");
    shows(&stage, "How long did it take?");
    // Enter passes it; what is typed is checked and kept with the repair.
    stage.keys("'soon' enter");
    shows(&stage, "expected minutes such as 50");
    stage.keys("ctrl-u '1h20' enter");
    let book = stage.book();
    let took = book.history().repairs.last().expect("a repair");
    assert_eq!(took.rec.minutes, Some(80));
    shows(&stage, "repaired");
    let text = stage.text(80, 24);
    let row = text
        .lines()
        .find(|l| l.contains("Exhaust mixing elbow"))
        .expect("a row");
    assert!(row.contains("repaired") && !row.contains("sound"), "{row}");
    stage.keys("esc");
    let head = open(&stage);
    assert_eq!(count(&head, "open"), open_before - 1);
    assert_eq!(count(&head, "repaired"), repaired_before + 1);
    assert!(!stage.text(80, 24).contains("0 sound: repaired"));
}

#[test]
fn rows_not_seen_are_not_counted_as_seen() {
    let mut stage = begun();
    stage.keys("x 1 0 0 f 2");
    let text = stage.text(80, 24);
    assert!(text.contains("2 of "), "{text}");
    assert!(!text.contains("3 of "), "{text}");
}

/// The repair recorded last: what was done, and its cause.
fn last_repair(stage: &Stage) -> (String, Option<String>) {
    let book = stage.book();
    let last = book.history().repairs.last().expect("a repair");
    (last.rec.done.clone(), last.rec.cause.clone())
}

/// Goes down the list of defects to a row.
fn to_row(stage: &mut Stage, title: &str) {
    stage.keys("pgup pgup pgup pgup");
    for _ in 0..30 {
        let text = stage.text(80, 24);
        let mut lines = text.lines().skip_while(|line| !line.starts_with('▸'));
        if lines.by_ref().take(2).any(|line| line.contains(title)) {
            return;
        }
        stage.keys("down");
    }
    panic!("no row '{title}' in\n{}", stage.text(80, 24));
}

#[test]
fn where_a_cause_is_named_one_question_more_is_asked_and_enter_says_nothing() {
    let mut stage = Stage::demo();
    // Nothing that was found has to do with it: no question.
    stage.keys("d");
    to_row(&mut stage, "alarm");
    stage.keys("R 'new bulb' enter 1 enter");
    shows(&stage, "repair recorded");
    assert_eq!(last_repair(&stage), ("new bulb".to_owned(), None));
    let at = stage::now().to_rfc3339();
    let look = |item: &str, signs: serde_json::Value| serde_json::json!({"item": item, "grade": "failing", "signs": signs});
    let looks = [
        look("raw-water-flow", serde_json::json!({"flow": "thin"})),
        look("raw-water-impeller", serde_json::json!({"imp": "missing"})),
    ];
    let sheet = serde_json::json!({"type": "walk", "checklist": "daily", "machine": "main", "at": at, "looks": looks});
    stage.take(&sheet.to_string());
    to_row(&mut stage, "impeller");
    stage.keys("R 'new impeller' enter 1");
    shows(&stage, "Was this the cause?");
    shows(&stage, "do not know");
    stage.keys("esc");
    shows(&stage, "Lasting or temporary?");
    stage.keys("1 enter enter");
    shows(&stage, "repair recorded");
    assert_eq!(last_repair(&stage), ("new impeller".to_owned(), None));
    stage.keys("R 'and cover' enter 1 2 enter");
    let (done, cause) = last_repair(&stage);
    assert_eq!(
        (done.as_str(), cause.as_deref()),
        ("and cover", Some("impeller"))
    );
}
