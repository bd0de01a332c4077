//! Which of several answers a rung is: asked beside the rungs once the grade is on record, and at a key.

use std::time::Duration;

use handlamp::checklist::Grade;
use handlamp::walk::{Look, Signs};
use serde_json::json;

use crate::stage::Stage;

const SIZES: [(u16, u16); 2] = [(80, 24), (60, 20)];
/// Stands in every such question, and in no other.
const OPEN: &str = "leave it open";

/// A boat of three answers, in a morning check.
fn morning() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.of_known_age();
    stage.keys("enter enter");
    stage
}

/// At the exhaust smoke, one of two items of a row, open.
fn at_smoke() -> Stage {
    let mut stage = morning();
    stage.keys("/ 'exhaust smoke' enter");
    stage
}

fn shown(stage: &Stage) -> String {
    stage.text(140, 45)
}

/// The look at an item in the last walk.
#[track_caller]
fn look(stage: &Stage, item: &str) -> Look {
    let walk = stage.last_walk();
    let mut looks = walk.looks.iter().rev();
    let timed = looks.find(|timed| timed.look.item == item);
    Look::clone(&timed.unwrap_or_else(|| panic!("no look at {item}")).look)
}

fn signs(pairs: &[(&str, &str)]) -> Signs {
    let pairs = pairs.iter();
    pairs
        .map(|(question, answer)| ((*question).to_owned(), (*answer).to_owned()))
        .collect()
}

#[test]
fn a_rung_that_is_one_of_several_answers_asks_which_beside_the_rungs() {
    let mut stage = at_smoke();
    stage.keys("3");
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(format!("which-{columns}x{rows}"), stage.shot(columns, rows));
    }
    // The grade is on record before it is asked, and the answer beside it after.
    assert_eq!(look(&stage, "exhaust-smoke").grade(), Some(Grade::Failing));
    assert_eq!(look(&stage, "exhaust-smoke").signs, Signs::new());
    // What the rung is not is not offered.
    assert!(
        !shown(&stage).contains("breath of steam"),
        "{}",
        shown(&stage)
    );
    let sweet = stage.digit_of("smelling sweet");
    assert_eq!(sweet, "6");
    stage.keys(&sweet);
    assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
    let answered = look(&stage, "exhaust-smoke");
    assert_eq!(answered.signs, signs(&[("plume", "sweet")]));
    assert_eq!(answered.grade(), Some(Grade::Failing));
    // It stands with the item, in words.
    stage.keys("up");
    let told = "exhaust plume: White and smelling sweet";
    assert!(shown(&stage).contains(told), "{}", shown(&stage));
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("which-said-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    // One key takes the answer back, and the grade stays.
    stage.keys("u");
    let back = look(&stage, "exhaust-smoke");
    assert_eq!(
        (back.grade(), back.signs),
        (Some(Grade::Failing), Signs::new())
    );
}

#[test]
fn a_rung_pressed_meanwhile_grades_the_next_item_and_leaves_it_open() {
    let mut stage = morning();
    stage.keys("/ 'look and feel' enter 2");
    assert!(shown(&stage).contains(OPEN), "{}", shown(&stage));
    let before = stage.last_walk().looks.len();
    stage.keys("0");
    assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
    assert!(
        stage.last_walk().looks.len() > before,
        "the next row is graded"
    );
    let oil = look(&stage, "engine-oil-condition");
    assert_eq!((oil.grade(), oil.signs), (Some(Grade::Worn), Signs::new()));
    // Enter and Esc leave it open as well, and go on.
    for key in ["enter", "esc"] {
        let mut stage = morning();
        stage.keys("/ 'look and feel' enter 2").keys(key);
        assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
        assert!(!shown(&stage).contains("of it?"), "{}", shown(&stage));
        let oil = look(&stage, "engine-oil-condition");
        assert_eq!((oil.grade(), oil.signs), (Some(Grade::Worn), Signs::new()));
    }
}

#[test]
fn what_was_asked_before_there_were_kinds_is_a_line_of_it() {
    let mut stage = morning();
    stage.keys("/ 'look and feel' enter 2");
    let else_of_it = stage.digit_of("something else of it");
    stage.keys(&else_of_it).keys("'thin as water' enter");
    let oil = look(&stage, "engine-oil-condition");
    assert_eq!(oil.note.as_deref(), Some("thin as water"));
    assert_eq!(oil.signs, Signs::new());
    // What is left open is told at the item, with the key that asks it again.
    stage.keys("up");
    let told = "; look of the engine oil: which one is not said";
    assert!(shown(&stage).contains(told), "{}", shown(&stage));
    stage.keys(";");
    let milky = stage.digit_of("Milky");
    stage.keys(&milky);
    let oil = look(&stage, "engine-oil-condition");
    assert_eq!(oil.signs, signs(&[("olook", "milky")]));
    assert_eq!(oil.note.as_deref(), Some("thin as water"));
    // Asked again it stands under the arrow, so that Enter changes nothing; its first line takes it back.
    stage.keys("; enter");
    assert_eq!(
        look(&stage, "engine-oil-condition").signs,
        signs(&[("olook", "milky")])
    );
    stage.keys("; up up up up enter");
    let oil = look(&stage, "engine-oil-condition");
    assert_eq!((oil.grade(), oil.signs), (Some(Grade::Worn), Signs::new()));
    assert!(shown(&stage).contains("taken back"), "{}", shown(&stage));
}

/// A key that says something else of the item takes the place of the question, and `u` takes back the rung.
#[test]
fn the_keys_of_the_item_still_say_what_they_say() {
    let mut stage = at_smoke();
    stage.keys("3 n 'since the harbour' ctrl-s");
    let smoke = look(&stage, "exhaust-smoke");
    assert_eq!(smoke.note.as_deref(), Some("since the harbour"));
    let mut stage = at_smoke();
    stage.keys("left 3");
    let which = stage.digit_of("Exhaust smoke");
    stage.keys(&which);
    assert!(shown(&stage).contains(OPEN), "{}", shown(&stage));
    stage.keys("u");
    assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
    let book = stage.book();
    let looks = book.history().walks.iter().flat_map(|walk| &walk.looks);
    assert_eq!(looks.count(), 0);
}

#[test]
fn another_rung_keeps_what_goes_with_it_and_says_what_does_not() {
    let mut stage = at_smoke();
    stage.keys("3").keys("6");
    stage.keys("up 2");
    assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
    assert_eq!(
        look(&stage, "exhaust-smoke").signs,
        signs(&[("plume", "sweet")])
    );
    let mut stage = at_smoke();
    stage.keys("3 6 up 0");
    if shown(&stage).contains("why?") {
        let wrong = stage.digit_of("misjudged");
        stage.keys(&wrong);
    }
    let clear = look(&stage, "exhaust-smoke");
    assert_eq!(
        (clear.grade(), clear.signs),
        (Some(Grade::Sound), Signs::new())
    );
    let told = "no more said at this rung: exhaust plume";
    assert!(shown(&stage).contains(told), "{}", shown(&stage));
    // And worse again it is asked again.
    stage.keys("up 3");
    assert!(shown(&stage).contains(OPEN), "{}", shown(&stage));
}

#[test]
fn what_is_answered_ahead_of_the_rung_outlives_a_kill_and_is_not_asked() {
    let mut stage = at_smoke();
    stage.keys(";");
    let sweet = stage.digit_of("smelling sweet");
    stage.keys(&sweet);
    assert!(shown(&stage).contains("now grade it"), "{}", shown(&stage));
    let mut stage = stage.killed();
    stage.keys("enter / 'exhaust smoke' enter");
    let told = "exhaust plume: White and smelling sweet";
    assert!(shown(&stage).contains(told), "{}", shown(&stage));
    stage.keys("3");
    assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
    assert_eq!(
        look(&stage, "exhaust-smoke").signs,
        signs(&[("plume", "sweet")])
    );
    // What is not seen after all keeps it in its note.
    let mut stage = at_smoke();
    stage.keys(";").keys(&sweet).keys("x 1");
    let unseen = look(&stage, "exhaust-smoke");
    let note = unseen.note.unwrap_or_default();
    assert!(note.contains("smelling sweet"), "{note}");
}

#[test]
fn the_answer_of_last_time_is_marked_but_not_in_a_blind_walk() {
    let last = json!({"type": "walk", "checklist": "daily", "machine": "main",
        "at": "2026-05-02T07:40:00+02:00", "by": "R. Quay", "looks": [
            {"item": "exhaust-smoke", "phase": "idle", "grade": "failing", "signs": {"plume": "sweet"}},
            {"item": "coolant-hoses", "grade": "worn", "signs": {"cwet": "hose"}}]});
    let mut stage = morning();
    stage.keys("esc").take(&last.to_string());
    stage.keys("enter enter / 'exhaust smoke' enter 3");
    let marked = "White and smelling sweet (last time)";
    assert!(shown(&stage).contains(marked), "{}", shown(&stage));
    // "As last time" takes the answer along and asks nothing.
    stage.keys("enter / 'coolant hoses' enter \"");
    assert!(!shown(&stage).contains(OPEN), "{}", shown(&stage));
    let hoses = look(&stage, "coolant-hoses");
    assert!(hoses.as_last_time, "{hoses:?}");
    assert_eq!(hoses.signs, signs(&[("cwet", "hose")]));

    let mut stage = morning();
    stage.keys("esc").take(&last.to_string());
    stage.keys("enter enter H / 'exhaust smoke' enter 3");
    let text = shown(&stage);
    assert!(text.contains(OPEN) && !text.contains("last time"), "{text}");
}

/// She is stopped first, and asked nothing; the key asks it afterwards.
#[test]
fn where_she_has_to_be_stopped_nothing_is_asked() {
    let mut stage = morning();
    stage.keys("pgdn pgdn / 'coolant temp' enter 3");
    let text = shown(&stage);
    assert!(text.contains("STOP THE ENGINE"), "{text}");
    assert!(
        !text.contains(OPEN) && !text.contains("which one"),
        "{text}"
    );
    let temperature = look(&stage, "coolant-temperature");
    assert_eq!(temperature.grade(), Some(Grade::Failing));

    let mut stage = morning();
    stage.keys("esc f3 'coolant temp' enter 3");
    let text = shown(&stage);
    assert!(!text.contains(OPEN), "{text}");
    assert!(text.contains("stop the engine"), "{text}");
    stage.keys(";");
    let sudden = stage.digit_of("jumps up");
    stage.keys(&sudden);
    assert_eq!(
        look(&stage, "coolant-temperature").signs,
        signs(&[("temp", "sudden")])
    );
}

#[test]
fn of_one_thing_found_it_is_asked_at_once_and_a_rung_is_its_own() {
    let mut stage = morning();
    stage.keys("esc f3 'exhaust smoke' enter 3");
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("which-found-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    // Pressed anew, a rung is the rung of what was found.
    stage.keys("2");
    assert_eq!(look(&stage, "exhaust-smoke").grade(), Some(Grade::Worn));
    assert!(shown(&stage).contains(OPEN), "{}", shown(&stage));
    stage.keys("6");
    let found = look(&stage, "exhaust-smoke");
    assert_eq!(found.signs, signs(&[("plume", "sweet")]));
    let walk = stage.last_walk();
    assert_eq!((walk.looks.len(), walk.finished.is_some()), (1, true));
}

/// The smell of fuel orders by itself what no rung of a smell orders alone.
#[test]
fn what_an_answer_orders_by_itself_is_told() {
    let mut stage = morning();
    stage.keys("esc f3 'smell' enter 2");
    if !shown(&stage).contains(OPEN) {
        stage.keys(";");
    }
    let fuel = stage.digit_of(" Fuel");
    stage.keys(&fuel);
    let told = "no spark, nothing runs until you know where from";
    assert!(shown(&stage).contains(told), "{}", shown(&stage));
    // It stays there: it is no notice of a moment.
    stage.keys("up");
    assert!(shown(&stage).contains(told), "{}", shown(&stage));
}

/// Thirty mornings of a careful owner, from the eleventh on with oil that is worn: one key for each row,
/// whatever its rung leaves open, and no more.
#[test]
fn no_morning_has_a_key_more() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.of_known_age();
    let mut asked = 0;
    for day in 0..30 {
        stage.keys("enter enter");
        let rows = rows_of(&shown(&stage));
        for _ in 0..rows {
            let before = shown(&stage);
            let here = before.lines().find(|line| line.contains('▸'));
            let names = ["Oil between two fingers", "Engine oil, look and feel"];
            let oil = here.is_some_and(|row| names.iter().any(|name| row.contains(name)));
            let worn = day >= 10 && oil && !before.contains(OPEN);
            stage.keys(if worn { "2" } else { "0" });
            let text = shown(&stage);
            asked += usize::from(text.contains(OPEN));
            assert_eq!(text.contains(OPEN), worn, "{text}");
        }
        let text = shown(&stage);
        assert!(text.contains("every row has its look"), "day {day}: {text}");
        let walk = stage.last_walk();
        assert!(walk.looks.iter().all(|timed| timed.look.signs.is_empty()));
        stage.keys("f esc esc esc");
        stage.clock.advance(Duration::from_secs(24 * 3600));
    }
    assert!(asked >= 15, "an open defect is asked for every morning");
}

/// How many rows a walk asks, as its head tells when it begins.
#[track_caller]
fn rows_of(text: &str) -> usize {
    let mut words = text.split_whitespace();
    let rows = words.find_map(|word| word.strip_prefix("0/")?.parse().ok());
    rows.unwrap_or_else(|| panic!("no walk begins:\n{text}"))
}
