//! A report written from the screens.

use crate::stage::Stage;

fn said(stage: &Stage) -> String {
    stage.text(110, 30)
}

#[test]
fn a_report_is_offered_under_a_name_and_written() {
    let mut stage = Stage::demo();
    stage.keys("b X");
    let asked = said(&stage);
    let name = asked
        .split_whitespace()
        .find(|word| word.starts_with("report-grey-plover-") && word.contains(".html"))
        .expect("a name is offered")
        .trim_end_matches(|c: char| !c.is_ascii_alphanumeric())
        .to_owned();
    let path = stage.dir.path().join(&name);
    assert!(!path.exists());
    stage.keys("enter").wait_for("report written");
    let page = std::fs::read_to_string(&path).expect("written");
    assert!(page.contains("Grey Plover"));
}

#[test]
fn a_file_that_is_there_is_asked_about_and_kept_unless_told() {
    let mut stage = Stage::demo();
    let path = stage.dir.path().join("mine.md");
    std::fs::write(&path, "mine").expect("written");
    let kept = || std::fs::read_to_string(&path).expect("read") == "mine";
    stage.keys("b enter X 'mine.md' enter");
    assert!(
        said(&stage).contains("mine.md is there already"),
        "{}",
        said(&stage)
    );
    stage.keys("enter");
    assert!(kept());
    assert!(said(&stage).contains("kept as it was"));
    stage.keys("X 'mine.md' enter down enter");
    stage.wait_for("report written");
    assert!(!kept());
}

#[test]
fn what_cannot_be_written_keeps_the_line_open_with_the_reason() {
    let mut stage = Stage::demo();
    stage.keys("b X 'a.x' enter");
    assert!(said(&stage).contains("says no form"), "{}", said(&stage));
    std::fs::create_dir(stage.dir.path().join("a.html")).expect("a folder");
    stage.keys("backspace 'html' enter");
    assert!(said(&stage).contains("is a folder"), "{}", said(&stage));
    stage.keys("backspace backspace backspace backspace 'md' enter");
    stage.wait_for("report written");
    assert!(stage.dir.path().join("a.md").is_file());
}

#[test]
fn of_the_boat_the_hand_over_page_is_one_choice_and_the_logbook_the_other() {
    let mut stage = Stage::demo();
    stage.keys("X");
    assert!(
        said(&stage).contains("somebody else who takes her out"),
        "{}",
        said(&stage)
    );
    stage.keys("enter");
    assert!(
        said(&stage).contains("hand-over-grey-plover.html"),
        "{}",
        said(&stage)
    );
    stage.keys("'her.md' enter");
    assert!(
        said(&stage).contains("end its name in .html"),
        "{}",
        said(&stage)
    );
    stage.keys("backspace backspace 'html' enter");
    stage.wait_for("hand-over page written");
    let path = stage.dir.path().join("her.html");
    let page = std::fs::read_to_string(&path).expect("written");
    assert!(page.contains("Grey Plover: for who takes her out"));
    // An earlier file is asked about and kept.
    std::fs::write(&path, "mine").expect("written");
    stage.keys("X enter 'her.html' enter enter");
    assert!(said(&stage).contains("kept as it was"), "{}", said(&stage));
    assert_eq!(std::fs::read_to_string(&path).expect("read"), "mine");
    // She has plans on record: what to do before leaving is a choice, and not the first.
    stage.keys("X down enter");
    assert!(
        said(&stage).contains("With what to do before leaving?"),
        "{}",
        said(&stage)
    );
    stage.keys("enter 'all.md' enter");
    stage.wait_for("report written");
    let text = std::fs::read_to_string(stage.dir.path().join("all.md")).expect("written");
    assert!(!text.contains("## Before leaving"));
    stage.keys("X down enter down enter 'plan.md' enter");
    stage.wait_for("report written");
    let text = std::fs::read_to_string(stage.dir.path().join("plan.md")).expect("written");
    assert!(text.contains("## Before leaving") && text.contains("### Can wait"));
}
