//! What cannot be saved is said with the reason, however narrow the window.

use crate::stage::Stage;

/// Nothing can be made below `log`, which is a file now.
fn refused() -> Stage {
    let stage = Stage::demo();
    let log = stage.dir.path().join("log");
    std::fs::rename(&log, stage.dir.path().join("kept")).expect("moved");
    std::fs::write(&log, "").expect("written");
    stage
}

/// The screen without its line ends.
fn flowing(stage: &Stage, columns: u16) -> String {
    let text = stage.text(columns, 24);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_cannot_be_saved_says_why_in_a_narrow_window_too() {
    let mut stage = refused();
    stage.keys("enter enter 0");
    for columns in [40, 60, 80, 140] {
        let told = flowing(&stage, columns);
        let line = "in memory): a file is in the folder's place; S saves again";
        assert!(
            told.contains("! NOT SAVED (") && told.contains(line),
            "{told}"
        );
    }
    // Where the key means a letter it is not named, and the reason stays.
    stage.keys("n");
    let told = flowing(&stage, 60);
    assert!(
        told.contains("in memory): a file is in the folder's place"),
        "{told}"
    );
    assert!(!told.contains("saves again"), "{told}");
}
