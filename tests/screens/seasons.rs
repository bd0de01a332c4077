//! The seasons by keys: a lay-up with its steps and what they leave open, standing, put back, launched.

use serde_json::json;

use crate::stage::{Stage, words};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A boat sound all over, raw-water cooled by a heat exchanger, that winters ashore.
fn boat() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.take(
        &json!({"type": "walk", "id": "may", "checklist": "daily", "at": "2026-05-02T08:00:00+02:00",
            "looks": [{"item": "drive-belt", "grade": "sound"}]})
        .to_string(),
    );
    let mut stage = stage.killed();
    stage.of_known_age();
    stage
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

fn lay_up(stage: &mut Stage) {
    stage.keys("down down down enter enter");
    let shown = words(&stage.text(140, 45));
    assert!(shown.contains("Winter lay-up"), "{shown}");
}

/// To the row of this title, and what stands there in one line.
fn find(stage: &mut Stage, part: &str) -> String {
    stage.keys(&format!("/ '{part}' enter"));
    words(&stage.text(140, 45))
}

#[test]
fn a_step_stands_before_its_look_and_what_it_leaves_open_is_two_keys() {
    let mut stage = boat();
    lay_up(&mut stage);
    shots(&stage, "lay-up");
    let shown = find(&mut stage, "impeller");
    assert!(
        shown.contains("U left open: impeller out: it forbids to start"),
        "{shown}"
    );
    shots(&stage, "lay-up-step");
    stage.keys("U enter");
    let shown = words(&stage.text(140, 45));
    assert!(
        shown.contains("noted; it forbids to start until it is put back"),
        "{shown}"
    );
    assert!(
        shown.contains("B put back? left open: impeller out"),
        "{shown}"
    );
    assert!(!shown.contains("U left open: impeller out"), "{shown}");
    let book = stage.book();
    assert_eq!(book.history().opened.len(), 1);
    // Once too often: it asks for something else, and nothing is recorded twice.
    stage.keys("U esc");
    assert_eq!(stage.book().history().opened.len(), 1);
    // Killed and gone on with, it stands.
    let mut stage = stage.killed();
    let condition = stage.book().condition();
    assert_eq!(condition.left_open(Some("main")).count(), 1);
    stage.keys("home");
    let shown = words(&stage.text(140, 45));
    assert!(
        shown.contains("put back; left open: impeller out"),
        "{shown}"
    );
}

#[test]
fn seen_put_back_is_one_key_at_its_row_and_undone_by_one() {
    let mut stage = boat();
    lay_up(&mut stage);
    find(&mut stage, "impeller");
    let open = |stage: &Stage| stage.book().condition().left_open(Some("main")).count();
    stage.keys("U enter");
    assert_eq!(open(&stage), 1);
    // No look puts it back.
    stage.keys("0");
    assert_eq!(open(&stage), 1);
    stage.keys("B");
    let shown = words(&stage.text(140, 45));
    assert!(shown.contains("seen put back: impeller out"), "{shown}");
    assert_eq!(open(&stage), 0);
    stage.keys("B");
    assert_eq!(open(&stage), 0, "once too often does no harm");
    stage.keys("u");
    assert_eq!(open(&stage), 1, "{}", stage.text(140, 45));
}

#[test]
fn laid_up_she_is_offered_what_is_for_her_season() {
    let mut stage = boat();
    let entries = |stage: &Stage| words(&stage.text(140, 45));
    assert!(entries(&stage).contains("Winter lay-up"));
    assert!(!entries(&stage).contains("Launch"), "{}", entries(&stage));
    stage.take(
        &json!({"type": "walk", "id": "oct", "checklist": "lay-up", "at": "2026-05-02T09:00:00+02:00",
            "looks": [{"item": "bilge-water", "grade": "sound", "phase": "as-found"}]})
        .to_string(),
    );
    stage.take(
        &json!({"type": "opened", "item": "raw-water-impeller", "machine": "main", "what": "impeller out",
            "forbids": "start", "at": "2026-05-02T10:00:00+02:00"})
        .to_string(),
    );
    let mut stage = stage.killed();
    let shown = entries(&stage);
    assert!(
        shown.contains("laid up since 2 May 2026; next look by 1 Jun"),
        "{shown}"
    );
    assert!(!shown.contains("Winter lay-up "), "{shown}");
    shots(&stage, "laid-up");
    stage.keys("down enter enter");
    let shown = words(&stage.text(140, 45));
    assert!(shown.contains("left open: impeller out"), "{shown}");
    shots(&stage, "fitting-out");
}
