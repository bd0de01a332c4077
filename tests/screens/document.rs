//! The document of a survey by keys: what stands before its findings, and issuing it.

use crate::stage::Stage;
use serde_json::json;

/// At the end of a survey of a new boat, typed in by command.
fn surveyed() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter");
    stage.of_known_age();
    let at = (crate::stage::now() - chrono::TimeDelta::hours(2)).to_rfc3339();
    let sheet = json!({"type":"walk","id":"s1","checklist":"survey","machine":"main","at":at,
        "by":"S. Surveyor","hours":1200,"blind":true,
        "looks":[{"item":"coolant-hoses","grade":"worn","note":"hard at the clip"}]});
    stage.take(&sheet.to_string());
    stage.keys("b enter X 2");
    stage
}

fn pages(stage: &Stage) -> Vec<std::path::PathBuf> {
    let all = std::fs::read_dir(stage.dir.path()).expect("a folder");
    let all = all.map(|file| file.expect("a file").path());
    all.filter(|path| path.extension().is_some_and(|e| e == "html"))
        .collect()
}

#[test]
fn entries_are_typed_picked_offered_and_taken_out() {
    let mut stage = surveyed();
    for (columns, rows) in [(80, 24), (60, 20), (140, 45)] {
        let name = format!("document-{columns}x{rows}");
        insta::assert_snapshot!(name, stage.shot(columns, rows));
    }
    let front = |stage: &Stage| {
        stage
            .book()
            .history()
            .walks
            .last()
            .expect("it")
            .front
            .clone()
    };
    stage.keys("enter 'A. Finch' enter");
    // What is known is offered, and Enter once too often takes nothing.
    stage.keys("/ 'surveyor' enter enter enter enter");
    assert_eq!(front(&stage).0.len(), 1);
    stage.keys("enter 2");
    stage.keys("/ 'lying' enter enter 1");
    let told: Vec<String> = front(&stage).0.values().cloned().collect();
    assert_eq!(told, ["A. Finch", "S. Surveyor", "afloat"]);
    stage.keys("enter 4");
    assert_eq!(front(&stage).0.len(), 2);
}

#[test]
fn it_is_issued_after_it_was_read_and_shown_with_its_code() {
    let mut stage = surveyed();
    stage.keys("end enter").wait_for("Issue 2");
    let asked = stage.text(110, 40);
    assert!(
        asked.contains("Not entered") && asked.contains(" kB to "),
        "{asked}"
    );
    // Enter once too often issues nothing.
    stage.keys("enter");
    assert!(stage.text(110, 30).contains("nothing was issued"));
    assert!(pages(&stage).is_empty() && stage.book().history().issued.is_empty());
    stage.keys("enter").wait_for("Issue 2");
    stage.keys("2");
    let book = stage.book();
    let issued = &book.history().issued[0].rec;
    assert!(
        stage.text(110, 30).contains(&issued.code),
        "{}",
        stage.text(110, 30)
    );
    assert_eq!(pages(&stage).len(), 1);
    stage.keys("esc esc");
    assert!(stage.text(110, 30).contains(&issued.code));
    // What is taken back of its walk is said where it is shown, and on the boat.
    stage.keys("esc J / 'hard at the clip' enter enter");
    let look = book.history().walks.last().expect("a walk").looks[0]
        .id
        .to_string();
    drop(book);
    let mut book = stage.book();
    let undo = handlamp::logbook::mend::taking_back(&book, &look);
    book.record(vec![undo]).expect("recorded");
    book.finish();
    stage.noticed();
    stage.keys("esc esc esc");
    assert!(
        stage.text(110, 30).contains("changed since on record"),
        "{}",
        stage.text(110, 30)
    );
}

#[test]
fn an_entry_outlives_a_kill() {
    let mut stage = surveyed();
    stage.keys("enter 'C. Curlew' enter");
    let mut stage = stage.killed();
    stage.keys("b enter X 2");
    let shown = stage.text(80, 24);
    assert!(shown.contains("C. Curlew"), "{shown}");
}
