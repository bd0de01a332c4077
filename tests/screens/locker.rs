//! The locker by keys: counted, used to the last, told, found, for other waters; and offered after a repair.

use crate::stage::Stage;

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

fn count(stage: &Stage, spare: &str) -> f64 {
    stage.book().history().stock(spare, None).0
}

#[test]
fn spares_are_counted_used_and_told_by_few_keys() {
    let mut stage = Stage::demo();
    stage.keys("f9");
    for (columns, rows) in [(140, 45), (80, 24), (60, 20)] {
        insta::assert_snapshot!(
            format!("locker-empty-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    // Two belts, seen and counted.
    stage.keys("/ 'drive belts' enter enter 1 ctrl-u '2' enter");
    assert_eq!(count(&stage, "drive-belts"), 2.0);
    shows(&stage, "Does not count at sea");
    stage.keys("enter 4 'under the chart table' enter enter 6 enter 7 enter 5 enter");
    shows(&stage, "Counts at sea.");
    for (columns, rows) in [(140, 45), (80, 24), (60, 20)] {
        insta::assert_snapshot!(
            format!("locker-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    let said = stage.book().history().spare("drive-belts", None);
    assert_eq!((said.tools, said.instruction), (Some(true), Some(true)));
    assert_eq!(said.lies.as_deref(), Some("under the chart table"));
    stage.keys("enter 2");
    assert_eq!(count(&stage, "drive-belts"), 1.0);
    stage.keys("enter 2");
    shows(&stage, "last one");
    // Once more takes nothing.
    stage.keys("enter 2");
    assert_eq!(count(&stage, "drive-belts"), 0.0);
    shows(&stage, "none is aboard");
}

#[test]
fn wrong_words_stay_typed_and_record_nothing() {
    let mut stage = Stage::demo();
    stage.keys("f9 / 'impeller' enter");
    let records = stage.book().history().stock.len();
    stage.keys("enter 1 ctrl-u 'many' enter");
    shows(&stage, "expected a number");
    stage.keys("ctrl-u '-3' enter");
    stage.keys("ctrl-u '1e9' enter");
    assert_eq!(stage.book().history().stock.len(), records);
    stage.keys("esc esc enter 8 ctrl-u 'soon' enter");
    shows(&stage, "expected a day");
    let said = stage.book().history().spares.len();
    stage.keys("esc esc / 'no such thing' enter");
    shows(&stage, "nothing here has that in its words");
    assert_eq!(stage.book().history().spares.len(), said);
}

#[test]
fn other_waters_have_other_customs_and_ones_own_words_are_a_spare() {
    let mut stage = Stage::demo();
    stage.keys("f9 home up up up up enter 4");
    shows(&stage, "missing for ocean waters");
    stage.keys("/ 'elbow with gasket' enter");
    shows(&stage, "Exhaust elbow with gasket");
    stage.keys("home down enter 'Spare kill cord' enter");
    assert_eq!(count(&stage, "spare-kill-cord"), 1.0);
    shows(&stage, "Spare kill cord");
}

#[test]
fn a_repair_offers_what_the_locker_has_and_takes_it_with_one_key() {
    let mut stage = Stage::demo();
    stage.keys("d");
    let subject = stage.book().condition();
    let list = subject.list(
        handlamp::defects::list::Scenario::new(subject.usual_plan().0, subject.usual_plan().1),
        false,
    );
    let served = |item: &str| {
        handlamp::checklist::KnownSpare::all().iter().find(|k| {
            let here = k.carried(handlamp::boat::Waters::Inshore).is_some();
            here && k.items.iter().any(|i| i == item)
        })
    };
    let at = list.rows.iter().position(|row| served(&row.item).is_some());
    let at = at.expect("a row that a spare serves");
    let spare = served(&list.rows[at].item).expect("known");
    stage.keys("esc f9");
    stage.keys(&format!(
        "/ '{}' enter enter 1 ctrl-u '1' enter esc",
        spare.title
    ));
    assert_eq!(count(&stage, &spare.id), 1.0);
    let downs = "down ".repeat(at);
    stage.keys(&format!("d {downs} R 'new one fitted' enter 1 enter"));
    shows(&stage, "What went in?");
    // Enter alone takes nothing.
    stage.keys("enter");
    assert_eq!(count(&stage, &spare.id), 1.0);
}
