//! The boat set up by keys, with a kill in the middle.

use crate::harness::{Setup, command_on, logged, new_boat};

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

#[test]
fn a_boat_is_set_up_by_keys_and_a_kill_costs_what_was_half_typed_alone() {
    let (dir, book) = new_boat(BINARY);
    let start = || {
        Setup::new(BINARY, &[])
            .env("HANDLAMP_LOGBOOK", &book.to_string_lossy())
            .start()
    };
    let mut session = start();
    session.wait_for_text("Morning check");
    session.send("Z");
    session.wait_for_text("Who she is");
    session.send("/between<Enter>");
    session.wait_for_text("▸ Between the marks");
    session.send("<Enter>");
    session.wait_for_text("empty: not known");
    session.send("1.5<Enter>");
    session.wait_for_text("Between the marks: taken");
    session.send("/add a machine<Enter><Enter>");
    session.wait_for_text("What is the machine called?");
    session.send("Generator<Enter>");
    session.wait_for_text("added: Generator");
    session.send("<Enter>");
    session.wait_for_text("2  generator");
    session.send("2");
    session.wait_for_text("What it is for: taken");
    session.send("/serial<Enter><Enter>");
    session.wait_for_text("empty: not known");
    session.send("4711");
    session.wait_for_text("4711");
    session.kill_9();
    assert!(!logged(&book).contains("4711"), "not taken yet");

    let mut session = start();
    session.wait_for_text("Morning check");
    session.send("Z");
    session.wait_for_text("Who she is");
    session.send("/lacks<Enter>");
    session.wait_for_text("nothing here has that in its words");
    session.send("<C-u>this machine<Enter><Enter>");
    session.wait_for_text("left her?");
    session.send("1");
    session.send("<Esc>");
    session.wait_for_text("Morning check");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);

    let shown = command_on(BINARY, dir.path())
        .args(["boat", "show"])
        .output()
        .expect("it runs");
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    for told in [
        "Between the marks: 1.5 L",
        "Machine generator: Generator",
        "What it is for: generator",
    ] {
        assert!(shown.contains(told), "no '{told}' in\n{shown}");
    }
}
