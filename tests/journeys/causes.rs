//! From a finding to what is behind it, to the look that tells, and back: what is said has changed.

use serde_json::json;

use crate::boat::start;
use crate::put_right::{book_of, days_ago};

#[test]
fn the_look_that_tells_is_made_from_what_is_behind_a_finding() {
    let looks = json!([
        {"item": "exhaust-smoke", "phase": "idle", "grade": "failing", "signs": {"plume": "sweet"}},
        {"item": "engine-oil-condition", "phase": "cold", "grade": "failing"}]);
    let walk = json!({"type": "walk", "id": "may", "checklist": "daily", "at": days_ago(1), "looks": looks});
    let (_dir, book) = book_of(&["main"], &[walk]);
    let mut program = start(&book);
    program.wait_for_text("do not run");
    program.send("<F3>coolant level<Enter>");
    program.wait_for_text("Found on");
    program.send("3");
    program.wait_for_text("on record");
    // Nothing that is asked after the rung stands over it.
    program.send("<Esc>");
    program.wait_for_text("tells more");
    program.send("<F7>");
    program.wait_for_text("What is behind the findings");
    program.wait_for_text("These belong together");
    let before = program.contents();
    program.send("<Enter>");
    program.wait_for_text("Found on");
    program.send("0");
    program.wait_for_text("on record");
    program.send("<F7>");
    program.wait_for_text("What is behind the findings");
    let after = program.contents();
    assert_ne!(before, after);
}
