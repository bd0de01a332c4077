//! A morning on an outboard by keys: what it asks, a stop at the kill cord, and going on after a kill.

use crate::boat::{json, on};
use crate::harness::command_on;

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

#[test]
fn an_outboards_morning_survives_a_kill_and_ends_at_its_kill_cord() {
    let dir = tempfile::tempdir().expect("a folder");
    let profile = r#"{"type":"boat","name":"Tern","waters":"sheltered","units":"metric",
        "usual_hours_per_month":5,"machines":[{"id":"outboard","name":"Outboard","role":"outboard"}]}"#;
    let file = dir.path().join("profile.json");
    std::fs::write(&file, profile).expect("written");
    let made = command_on(BINARY, dir.path())
        .args(["boat", "new"])
        .arg(&file)
        .output();
    assert!(made.expect("it runs").status.success());

    let book = dir.path().join("book");
    let mut session = on(&book).start();
    session.wait_for_text("Outboard check");
    // Of the checklists only those stand here that ask something of it.
    assert!(!session.contents().contains("Short morning check"));
    session.send("<Enter>");
    session.wait_for_text("Petrol smell, low down");
    session.wait_for_text("Any smell stops the whole");
    session.send("000");
    session.wait_for_text("Petrol line, bulb, connectors");
    session.kill_9();

    let mut session = on(&book).start();
    session.wait_for_text("go on: outboard check");
    session.send("<Enter>");
    session.wait_for_text("Petrol line, bulb, connectors");
    session.send("/");
    session.send("kill cord");
    session.send("<Enter>");
    session.wait_for_text("Kill cord, tried");
    session.send("4");
    session.wait_until("the stop is on disk", |_| {
        let list = json(&book, &["defects"]);
        list["rows"].to_string().contains("kill-cord")
    });
    let list = json(&book, &["defects"]);
    assert_eq!(list["rows"][0]["stop"], true, "{list}");
    session.send("<C-c>");
}
