//! What is behind the findings: said unasked where it is worth it, in full behind one key, and the look
//! that tells is made from there.

use handlamp::checklist::Grade;
use handlamp::logbook::book::Book;
use serde_json::json;

use crate::stage::{Stage, words};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A boat of three answers.
fn boat() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage
}

/// Coolant that goes, sweet white smoke, milky oil: three findings of yesterday that belong together.
fn three() -> Stage {
    let mut stage = boat();
    stage.take(
        &json!({"type": "walk", "id": "may", "checklist": "daily", "at": "2026-05-02T08:00:00+02:00",
            "looks": [
                {"item": "coolant-level", "grade": "failing", "signs": {"clevel": "falls"}},
                {"item": "exhaust-smoke", "grade": "failing", "signs": {"plume": "sweet"}},
                {"item": "engine-oil-condition", "grade": "failing", "signs": {"olook": "milky"}},
                {"item": "engine-mounts", "grade": "worn"},
                {"item": "drive-belt", "grade": "sound"},
            ]})
        .to_string(),
    );
    stage.killed()
}

fn shown(stage: &Stage) -> String {
    stage.text(140, 45)
}

#[track_caller]
fn shots(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

#[test]
fn what_belongs_together_is_said_with_the_verdict_and_in_full_behind_a_key() {
    let mut stage = three();
    shots(&stage, "causes-on-the-boat");
    for (columns, rows) in SIZES {
        let text = words(&stage.text(columns, rows));
        assert!(text.contains("f7 tells more"), "{text}");
        assert!(text.contains("Not ruled out, and dangerous"), "{text}");
    }
    stage.keys("f7");
    shots(&stage, "causes");
    // The first screenful holds what matters, in this order.
    for (columns, rows) in SIZES {
        let text = words(&stage.text(columns, rows));
        // Where it is wide the looks stand beside the rest.
        if columns == 140 {
            continue;
        }
        let order = ["dangerous: ", "These belong together", "Look next", " s, "];
        let mut from = 0;
        for told in order {
            let at = text[from..].find(told);
            from += at.unwrap_or_else(|| panic!("{told} after {from} in {text}"));
        }
        assert!(
            !text.contains('%') && !text.contains("the cause is"),
            "{text}"
        );
    }
    // All that stands beneath is come to.
    stage.keys("end");
    let text = words(&stage.text(60, 20));
    assert!(text.contains("outranks all of this"), "{text}");
    stage.keys(":");
    let text = shown(&stage);
    assert!(text.contains("every figure is judgement"), "{text}");
    assert!(text.contains("Head-gasket"), "{text}");
    stage.keys("esc esc");
    assert!(shown(&stage).contains("Morning check"), "{}", shown(&stage));
}

#[test]
fn the_look_that_tells_is_made_from_there_and_what_is_said_changes() {
    let mut stage = three();
    stage.keys("f7");
    let before = shown(&stage);
    // The oil forbids starting her, so that no look is offered for which she is started.
    assert!(!before.contains("Started cold"), "{before}");
    let digit = stage.digit_of("coolant look like");
    stage.keys(&digit);
    let text = shown(&stage);
    assert!(text.contains("Found on"), "{text}");
    stage.keys("0");
    assert_eq!(stage.last_walk().looks[0].look.item, "coolant-condition");
    stage.keys("esc");
    while !shown(&stage).contains("What is behind the findings") {
        stage.keys("esc");
    }
    let after = shown(&stage);
    assert_ne!(before, after);
    assert!(!after.contains("coolant look like"), "{after}");
}

#[test]
fn enter_takes_the_look_under_the_arrow_and_the_key_leads_back_from_it() {
    let mut stage = three();
    stage.keys("f7 down up enter");
    assert!(shown(&stage).contains("Found on"), "{}", shown(&stage));
    // Nothing is on record before the rung, and the same key leads back.
    assert_eq!(stage.last_walk().id, "may");
    stage.keys("f7");
    let text = shown(&stage);
    assert!(text.contains("What is behind the findings"), "{text}");
    stage.keys("esc");
    assert!(shown(&stage).contains("Morning check"), "{}", shown(&stage));
}

#[test]
fn a_rung_found_and_the_last_verdict_say_what_they_belong_to() {
    let mut stage = three();
    stage.keys("b enter");
    shots(&stage, "causes-with-the-verdict");
    for (columns, rows) in SIZES {
        let text = words(&stage.text(columns, rows));
        assert!(text.contains("do not run"), "{text}");
        assert!(text.contains("f7 tells more"), "{text}");
    }
    stage.keys("f3 'coolant level' enter 4");
    assert!(
        shown(&stage).contains("4 failed") || shown(&stage).contains("4─"),
        "{}",
        shown(&stage)
    );
    shots(&stage, "causes-with-a-finding");
    for (columns, rows) in SIZES {
        let text = words(&stage.text(columns, rows));
        // Where it is low, the order and the rungs come before it.
        assert!(text.contains("4─┸ failed"), "{text}");
        assert!(
            rows < 24 || text.contains("Not ruled out, and dangerous"),
            "{text}"
        );
        assert!(rows < 24 || text.contains("f7 tells more"), "{text}");
    }
    stage.keys("f7");
    assert!(
        shown(&stage).contains("These belong together"),
        "{}",
        shown(&stage)
    );
}

#[test]
fn rows_that_may_belong_together_carry_a_sign_and_stay_rows() {
    let mut stage = three();
    let rows = |stage: &Stage| shown(stage).matches("(a)").count();
    stage.keys("d");
    shots(&stage, "causes-in-the-list");
    // Three rows, and what the sign means.
    assert_eq!(rows(&stage), 4, "{}", shown(&stage));
    for (columns, height) in SIZES {
        let text = words(&stage.text(columns, height));
        assert!(
            text.contains("(a): these may belong together; f7 tells"),
            "{text}"
        );
    }
    while !shown(&stage).contains("─ Coolant level") && !shown(&stage).contains("Coolant level:")
    {
        stage.keys("down");
    }
    stage.keys("enter pgdn pgdn");
    let text = words(&shown(&stage));
    assert!(text.contains("may belong together with"), "{text}");
    stage.keys("esc f7");
    let text = shown(&stage);
    assert!(text.contains("What is behind the findings"), "{text}");
}

#[test]
fn a_sound_boat_says_nothing_unasked_and_one_sentence_asked() {
    let mut stage = boat();
    stage.take(
        r#"{"type":"walk","id":"may","checklist":"daily","at":"2026-05-02T08:00:00+02:00","looks":[{"item":"drive-belt","grade":"sound"}]}"#,
    );
    for key in ["esc", "d", "b"] {
        stage.keys(key);
        assert!(!shown(&stage).contains("f7"), "{}", shown(&stage));
    }
    stage.keys("f7");
    let text = words(&shown(&stage));
    assert!(
        text.contains("Nothing found on her asks for a cause."),
        "{text}"
    );
    stage.keys("enter 1 :");
    assert!(!shown(&stage).contains("Found on"), "{}", shown(&stage));
}

#[test]
fn a_blind_walk_shows_nothing_of_it() {
    let mut stage = three();
    stage.keys("enter enter H f7");
    let text = words(&shown(&stage));
    assert!(
        text.contains("in a blind walk nothing of this is shown"),
        "{text}"
    );
    assert!(!text.contains("belong together"), "{text}");
    // Nor of what is found beside it.
    stage.keys("f3 'cylinder head joint' enter 3");
    let text = words(&shown(&stage));
    assert!(!text.contains("f7 tells more"), "{text}");
}

/// What the answers of a book are, in words.
fn answers(book: &Book) -> String {
    let condition = book.condition();
    let (exposure, waters) = condition.usual_plan();
    let scenario = handlamp::defects::list::Scenario::new(exposure, waters);
    let list = condition.list(scenario, true);
    let rows = list.rows.iter();
    let rows = rows.map(|row| format!("{} {} {:?} {}", row.item, row.code, row.grade, row.stop));
    let last = book.history().walks.last().expect("a walk");
    let verdict = handlamp::defects::verdict::verdict(&condition, book.history(), last);
    format!("{verdict:?} {:?}", rows.collect::<Vec<_>>())
}

#[test]
fn looking_at_what_is_behind_changes_no_answer_and_records_nothing() {
    let mut stage = three();
    let before = (answers(&stage.book()), stage.book().history().walks.len());
    stage.keys("f7 down end home : esc enter esc esc d f7 esc b f7 esc");
    let after = (answers(&stage.book()), stage.book().history().walks.len());
    assert_eq!(before, after);
    let last = stage.last_walk();
    assert_eq!(last.looks[0].look.grade(), Some(Grade::Failing));
}
