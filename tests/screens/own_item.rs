//! An item of one's own made and changed by keys.

use std::sync::Arc;

use handlamp::checklist::{Cadence, EffectKind, Grade, Item, Scope};

use crate::stage::Stage;

fn item(stage: &Stage) -> Item {
    let book = stage.book();
    let library = Arc::clone(book.library());
    let item = library.catalogue.item("davit-hydraulic-hose");
    item.cloned().expect("it is there")
}

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

/// The demo boat with a hose of her own: bilge, hose, fire.
fn with_item() -> Stage {
    let mut stage = Stage::demo();
    stage.keys("f2 / 'an item of' enter enter 'Davit hydraulic hose' enter 2 3 1 1");
    stage
}

#[test]
fn five_answers_make_it_and_the_next_key_says_where_it_is_asked() {
    let mut stage = with_item();
    assert_eq!(item(&stage).station, "bilge");
    assert_eq!(item(&stage).effects[0].effect, EffectKind::Fire);
    shows(&stage, "it is asked nowhere yet");
    stage.keys("enter");
    let places = stage.text(80, 24);
    assert!(
        places.contains("Short") || places.contains("Leak run"),
        "{places}"
    );
    assert!(
        !places.contains("Outboard check"),
        "no outboard is aboard\n{places}"
    );
    stage.keys("1 2");
    let own: Vec<_> = stage.book().library().own_rows().cloned().collect();
    assert_eq!(own.len(), 1);
    assert_eq!(
        (own[0].checklist.as_str(), own[0].cadence),
        ("daily", Cadence::Weekly)
    );
    shows(&stage, "Asked in Morning check: Cold");
    // It is out of there as easily.
    stage.keys("/ 'asked in' enter enter 4");
    assert_eq!(stage.book().library().own_rows().count(), 0);
    shows(&stage, "Asked nowhere yet");
}

#[test]
fn its_words_are_changed_line_by_line_and_shown_as_they_will_be_asked() {
    let mut stage = with_item();
    stage.keys("/ '3 fail' enter enter ctrl-u 'Oil at a fitting' enter");
    stage.keys("/ 'caution' enter enter 'Boom down and lashed first.' enter");
    stage.keys("/ 'not to be' enter enter 3");
    assert_eq!(item(&stage).stop_at, Some(Grade::Failing));
    stage.keys("/ 'when it' enter enter 3 3");
    let effects: Vec<_> = item(&stage)
        .effects
        .iter()
        .map(|e| (e.effect, e.beta))
        .collect();
    assert_eq!(
        effects,
        [(EffectKind::Fire, 0.5), (EffectKind::Flooding, 0.1)]
    );
    stage.keys("esc home enter");
    shows(&stage, "Boom down and lashed first.");
    shows(&stage, "Oil at a fitting");
    stage.keys("esc");
    shows(&stage, "your own");
    stage.keys("esc / 'davit' enter enter");
    shows(&stage, "your own");
}

#[test]
fn esc_goes_back_one_question_and_keeps_what_was_said() {
    let mut stage = Stage::demo();
    stage.keys("f2 / 'an item of' enter enter 'Davit hydraulic hose' enter 2 esc esc");
    shows(&stage, "What is it called?");
    shows(&stage, "Davit hydraulic hose");
    stage.keys("enter 3 3 1 2");
    assert_eq!(
        item(&stage).station,
        stage.book().library().catalogue.stations()[2].id
    );
    assert_eq!(item(&stage).scope, Scope::Boat);
    // What is refused says why beside it, and stays typed.
    stage.keys("/ 'look takes' enter enter ctrl-u '90000' enter");
    shows(&stage, "no whole number from 1 to 1800");
    shows(&stage, "90000");
}

#[test]
fn it_looks_in_order_at_three_sizes() {
    let mut stage = with_item();
    stage.keys("enter 1 1");
    for (columns, rows) in [(80, 24), (60, 20), (140, 45)] {
        insta::assert_snapshot!(
            format!("own-item-{columns}x{rows}"),
            stage.text(columns, rows)
        );
    }
    stage.keys("home enter");
    insta::assert_snapshot!("own-item-as-asked-60x20", stage.text(60, 20));
}

#[test]
fn a_check_of_ones_own_is_made_in_three_questions_and_walked() {
    let mut stage = Stage::demo();
    stage.keys("f2 / 'a check of' enter enter 'Before the lock' enter 1 'throttle' enter 1");
    shows(&stage, "Engine: cold");
    // The next key asks for the next row.
    stage.keys("enter 'shift' enter 1 / 'shift' enter enter 4");
    shows(&stage, "every time, must be seen");
    for (columns, rows) in [(80, 24), (60, 20), (140, 45)] {
        insta::assert_snapshot!(
            format!("own-list-{columns}x{rows}"),
            stage.text(columns, rows)
        );
    }
    let list = stage.book().library().checklist("before-the-lock").cloned();
    let rows = list.expect("it is there").phases[0].rows.clone();
    assert_eq!(rows.len(), 2);
    assert!(rows[1].must_see);
    // The last row cannot be taken out: a checklist asks something.
    stage.keys("enter 6 / 'throttle' enter enter 6");
    shows(&stage, "a checklist asks something");
    stage.keys("esc esc");
    shows(&stage, "Before the lock");
}

#[test]
fn a_check_of_ones_own_is_put_away_and_taken_up_again_by_the_same_keys() {
    let mut stage = Stage::demo();
    stage
        .keys("f2 / 'a check of' enter enter 'Before the lock' enter 1 'throttle' enter 1 esc esc");
    shows(&stage, "Before the lock");
    // Enter once too often changes nothing: the arrow stands on what holds.
    stage.keys("f2 / 'before the lock' enter enter / 'offered' enter enter enter");
    shows(&stage, "Offered on the boat's screen");
    assert!(
        !stage
            .book()
            .library()
            .checklist("before-the-lock")
            .expect("there")
            .put_away
    );
    stage.keys("enter 2 esc");
    shows(&stage, "not offered");
    stage.keys("esc");
    assert!(
        !stage.text(80, 24).contains("Before the lock"),
        "{}",
        stage.text(80, 24)
    );
    let mut stage = stage.killed();
    stage.keys("f2 / 'before the lock' enter enter / 'offered' enter enter 1 esc esc");
    shows(&stage, "Before the lock");
}
