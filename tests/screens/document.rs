//! The document of a survey by keys: what stands before its findings, and issuing it.

use crate::stage::Stage;

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

fn said(stage: &Stage) -> String {
    stage.text(80, 24)
}

/// The demo boat's survey, its document in front.
fn document() -> Stage {
    let mut stage = Stage::demo();
    stage.keys("b end X '2'");
    stage
}

#[test]
fn a_survey_is_a_draft_or_a_document_and_no_entry_is_lost_by_a_kill() {
    let mut stage = Stage::demo();
    stage.keys("b end X");
    assert!(
        said(&stage).contains("What is made of this survey?"),
        "{}",
        said(&stage)
    );
    stage.keys("'2'");
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("document-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    stage.keys("enter 'C. Curlew' enter");
    let mut stage = stage.killed();
    stage.keys("b end X '2'");
    assert!(said(&stage).contains("C. Curlew"), "{}", said(&stage));
}

#[test]
fn nothing_is_issued_before_it_was_read_and_the_code_stands_there_then() {
    let mut stage = document();
    stage.keys("end enter").wait_for("issue it");
    assert!(
        said(&stage).contains("On record and not among these findings"),
        "{}",
        said(&stage)
    );
    // The key pressed most often is the safe one.
    stage.keys("enter");
    assert!(stage.book().history().issued.is_empty(), "{}", said(&stage));
    stage.keys("end enter").wait_for("issue it");
    stage.keys("'2'").wait_for("Code ");
    let issued = stage.book().history().issued.clone();
    assert_eq!(issued.len(), 1);
    let (number, code) = (&issued[0].rec.number, &issued[0].rec.code);
    assert!(said(&stage).contains(code.as_str()), "{}", said(&stage));
    assert!(said(&stage).contains(number.as_str()), "{}", said(&stage));
    let pages = std::fs::read_dir(stage.dir.path()).expect("a folder");
    let pages = pages.filter_map(|entry| entry.ok()?.file_name().into_string().ok());
    let pages: Vec<String> = pages.filter(|name| name.ends_with(".html")).collect();
    assert_eq!(pages.len(), 1, "{pages:?}");
    let page = std::fs::read_to_string(stage.dir.path().join(&pages[0])).expect("written");
    assert!(page.contains(code.as_str()));
    // Another time it is another revision, and why is asked.
    stage.keys("esc end");
    assert!(
        said(&stage).contains("Why it is issued again"),
        "{}",
        said(&stage)
    );
}
