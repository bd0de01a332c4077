//! Everything on record by keys: found, opened, taken back, put right, and put back; and a meter that
//! shows less than before.

use handlamp::checklist::Grade;
use handlamp::logbook::Clock as _;

use crate::stage::{Stage, plain};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

fn shown(stage: &Stage) -> String {
    stage.text(80, 24)
}

fn snapshots(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("entries-{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

/// A boat with a morning check begun: the belt graded worn by mistake.
fn walked() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage
        .of_known_age()
        .keys("enter '1243.6' enter / 'drive belt' enter 2 esc esc");
    let looks = stage.last_walk().looks;
    assert_eq!(looks[0].look.grade(), Some(Grade::Worn), "{looks:?}");
    stage.keys("esc");
    stage
}

fn days(n: u64) -> std::time::Duration {
    std::time::Duration::from_secs(n * 86_400)
}

fn grade(stage: &Stage) -> Option<Grade> {
    let walk = stage.last_walk();
    walk.looks_at("drive-belt")
        .last()
        .and_then(|timed| timed.look.grade())
}

#[test]
fn a_wrong_grade_is_found_put_right_and_put_back() {
    let mut stage = walked();
    stage.keys("J");
    snapshots(&stage, "list");
    stage.keys("/ 'belt worn' enter");
    assert!(
        shown(&stage).contains("find: belt worn"),
        "{}",
        shown(&stage)
    );
    stage.keys("enter");
    snapshots(&stage, "open");
    let digit = stage.digit_of("put right: grade");
    stage.keys(&digit);
    assert!(shown(&stage).contains("1 early"), "{}", shown(&stage));
    stage.keys("2 'the other belt' enter");
    snapshots(&stage, "follows");
    // Enter once too often leaves it as it was.
    stage.keys("enter");
    assert_eq!(grade(&stage), Some(Grade::Worn));
    stage.keys("enter");
    stage.keys(&digit).keys("2 'the other belt' enter");
    let mut stage = stage.killed();
    assert_eq!(
        grade(&stage),
        Some(Grade::Worn),
        "killed before it was recorded"
    );
    stage.keys("J / 'belt worn' enter enter").keys(&digit);
    stage.keys("2 'the other belt' enter 2");
    assert_eq!(grade(&stage), Some(Grade::Early));
    let mut stage = stage.killed();
    assert_eq!(grade(&stage), Some(Grade::Early));
    stage.keys("J / 'belt' enter u");
    assert!(shown(&stage).contains("Take back"), "{}", shown(&stage));
    stage.keys("enter 2");
    assert_eq!(grade(&stage), None);
    assert!(
        shown(&stage).contains("taken back: Graded"),
        "{}",
        shown(&stage)
    );
    stage.keys("u 2");
    assert_eq!(grade(&stage), Some(Grade::Early), "as it was before that");
}

#[test]
fn a_walk_begun_by_mistake_is_set_aside_by_one_question() {
    let mut stage = walked();
    stage.keys("J / 'began' enter u");
    assert!(
        shown(&stage).contains("its looks go with it"),
        "{}",
        shown(&stage)
    );
    stage.keys("enter");
    assert!(shown(&stage).contains("say why"), "{}", shown(&stage));
    stage.keys("'begun by mistake' enter 2");
    let book = stage.book();
    assert!(book.history().walks.is_empty());
    let mut stage = stage.killed();
    stage.keys("enter esc");
    assert!(!shown(&stage).contains("go on"), "{}", shown(&stage));
}

#[test]
fn a_meter_that_shows_less_asks_which_reading_is_wrong() {
    let mut stage = walked();
    stage.keys("J / 'began' enter u 'by mistake' enter 2 esc esc");
    let mut stage = stage.killed();
    // 1286.5 typed for 1268.5, two mornings ago.
    stage.clock.advance(days(3));
    stage.keys("enter '1286.5' enter 0 esc");
    stage.clock.advance(days(2));
    let mut stage = stage.killed();
    stage.keys("J / 'began' enter enter");
    let digit = stage.digit_of("close the walk");
    stage.keys(&digit).keys("2 esc esc enter '1269' enter");
    snapshots(&stage, "which-meter");
    assert!(
        shown(&stage).contains("which is wrong?"),
        "{}",
        shown(&stage)
    );
    stage.keys("2 '1268.5' enter 0 esc");
    let hours: Vec<_> = stage
        .book()
        .history()
        .walks
        .iter()
        .map(|w| w.hours)
        .collect();
    let read: Vec<String> = hours.into_iter().flatten().map(|h| h.to_string()).collect();
    assert_eq!(read, ["1268.5", "1269.0"]);
}

#[test]
fn a_meter_typed_wrong_with_the_boat_is_put_right_in_the_morning_and_on_the_boat() {
    let figures = |stage: &Stage| {
        let history = stage.book().history().clone();
        let read = history.hour_readings("main").into_iter();
        read.map(|(_, hours)| hours.to_string()).collect::<Vec<_>>()
    };
    for (typed, read) in [("8124", "812.4"), ("81.2", "8124")] {
        let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), plain());
        stage.keys(&format!("1 'Kittiwake' enter 2 '{typed}' enter"));
        stage.clock.advance(days(2));
        stage.keys(&format!("enter '{read}' enter"));
        assert!(
            shown(&stage).contains("which is wrong?"),
            "{}",
            shown(&stage)
        );
        stage.keys("2 0 esc");
        let stage = stage.killed();
        let hours = read.parse::<f64>().expect("a number");
        assert_eq!(figures(&stage), vec![format!("{hours:.1}"); 2]);
    }
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), plain());
    stage.keys("1 'Kittiwake' enter 2 '8124' enter");
    stage.clock.advance(days(2));
    stage.keys("f2 / 'hour meter' enter enter ctrl-u '812.4' enter");
    assert!(
        shown(&stage).contains("Which of both is wrong?"),
        "{}",
        shown(&stage)
    );
    // Leaving it changes nothing, and what was typed stands there still.
    stage.keys("esc");
    assert!(shown(&stage).contains("│ 812.4"), "{}", shown(&stage));
    assert_eq!(figures(&stage), ["8124.0"]);
    stage.keys("enter 2");
    assert_eq!(figures(&stage), ["812.4"]);
}

#[test]
fn the_undo_key_of_any_screen_takes_back_what_the_eye_is_on_and_names_it_first() {
    let mut stage = Stage::demo();
    stage.keys("d");
    let before = stage.book().written().len();
    // It asks before anything is recorded, and leaving it comes back to the list.
    stage.keys("u");
    let asked = stage.text(80, 24);
    assert!(asked.contains("Take back: "), "{asked}");
    stage.keys("esc esc");
    let back = stage.text(80, 24);
    assert!(!back.contains("Take back: "), "{back}");
    assert_eq!(stage.book().written().len(), before);
    stage.keys("u 'the other side' enter 2");
    assert!(
        stage.book().written().len() > before,
        "{}",
        stage.text(80, 24)
    );
    // The same key puts it back.
    let taken = stage.book().written().len();
    stage.keys("u 2");
    assert!(
        stage.book().written().len() > taken,
        "{}",
        stage.text(80, 24)
    );
}

#[test]
fn what_was_reckoned_from_a_wrong_meter_is_shown_before_it_is_put_right() {
    let mut stage = walked();
    stage.keys("J / 'began' enter u 'by mistake' enter 2 esc esc");
    let mut stage = stage.killed();
    stage.clock.advance(days(3));
    // A leak run at 1286.5, typed for 1268.5, leaves a look owed at 1291.5.
    let at = stage.clock.now().to_rfc3339();
    stage.take(&format!(
        r#"{{"type":"walk","id":"run","checklist":"leak-run","at":"{at}","hours":1286.5,"disturbed":["oil-filter-seat"],
            "looks":[{{"item":"oil-filter-seat","phase":"idle","grade":"sound"}}]}}"#
    ));
    let due = |stage: &Stage| -> Vec<String> {
        let book = stage.book();
        let due = book
            .history()
            .rechecks
            .iter()
            .filter_map(|r| r.rec.due_hours);
        due.map(|hours| hours.to_string()).collect()
    };
    assert_eq!(due(&stage), ["1291.5"]);
    stage.clock.advance(days(2));
    let mut stage = stage.killed();
    stage.keys("enter '1269' enter 2 '1268.5' enter");
    snapshots(&stage, "meter-follows");
    let text = shown(&stage);
    assert!(text.contains("1273.5 h"), "{text}");
    assert_eq!(due(&stage), ["1291.5"], "nothing is recorded yet");
    stage.keys("2 0 esc");
    assert_eq!(due(&stage), ["1273.5"]);
}

#[test]
fn an_entry_tells_what_the_verdict_read_around_it() {
    let mut stage = walked();
    let at = stage.clock.now().to_rfc3339();
    stage.take(&format!(
        r#"{{"type":"walk","id":"w2","checklist":"short","at":"{at}",
            "looks":[{{"item":"drive-belt","grade":"failed"}}]}}"#
    ));
    stage.keys("J / 'finished a walk' enter enter");
    let text = shown(&stage);
    assert!(text.contains("Just before this entry"), "{text}");
    assert!(text.contains("now it reads"), "{text}");
    snapshots(&stage, "read-then");
}
