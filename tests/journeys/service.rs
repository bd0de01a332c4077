//! A whole oil and filter change told by keys, and the leak run after it.

use std::path::Path;

use crate::harness::{Session, Setup, command_on, logged, new_boat, rows};
use crate::keyscript::keys;

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

/// From the boat screen to the record: the task found, meter, quantities and turn typed, the rest
/// passed.
const CHANGE: [&str; 13] = [
    "q",
    "/oil and<Enter>",
    "F",
    "<Enter>",
    "1200<Enter>",
    "6.8<Enter>",
    "7<Enter>",
    "3/4<Enter>",
    "<Enter>",
    "<Enter>",
    "<Enter>",
    "<Enter>",
    "<Enter>",
];
/// What the screen says before each of them, and after the last.
const SAYS: [&str; 14] = [
    "q due",
    "What is due",
    "▸                      do             service Engine oil and filter",
    "1 of 10: when?",
    "2 of 10: hour meter",
    "3 of 10: how much came out?",
    "4 of 10: how much went in?",
    "5 of 10: how far was it turned?",
    "6 of 10: which parts?",
    "7 of 10: by whom?",
    "8 of 10: a note?",
    "9 of 10: what did it cost?",
    "10 of 10: how long did it take?",
    "leak run now; its 2 joints are ticked",
];

fn start(book: &Path) -> Session {
    Setup::new(BINARY, &[])
        .env("HANDLAMP_LOGBOOK", &book.to_string_lossy())
        .start()
}

#[test]
fn a_service_half_typed_survives_a_kill() {
    let (_dir, book) = new_boat(BINARY);
    let mut session = start(&book);
    for (said, script) in SAYS.iter().zip(CHANGE).take(5) {
        session.wait_for_text(said);
        session.send(script);
    }
    session.wait_for_text(SAYS[5]);
    session.send("6.8");
    session.wait_until("the draft is kept", |_| {
        logged(&book).contains(r#""out":"6.8""#)
    });
    session.kill_9();
    let mut session = start(&book);
    session.wait_for_text(SAYS[0]);
    session.send("q");
    session.wait_for_text("typed in part and not recorded (hours 1200, out 6.8)");
    for script in &CHANGE[1..4] {
        session.send(script);
    }
    session.wait_for_text("│ 1200 ");
    session.send("<Enter>");
    session.wait_for_text("│ 6.8 ");
}

#[test]
fn an_oil_change_and_its_leak_run_by_keys_alone() {
    let (dir, book) = new_boat(BINARY);
    let run = |args: &[&str]| {
        let made = command_on(BINARY, dir.path())
            .args(args)
            .output()
            .expect("it runs");
        assert!(made.status.success(), "{made:?}");
        String::from_utf8(made.stdout).expect("text")
    };
    let mut session = start(&book);
    for (said, script) in SAYS.iter().zip(CHANGE) {
        session.wait_for_text(said);
        session.send(script);
    }
    session.wait_for_text(SAYS[13]);
    let pressed: usize = CHANGE.iter().map(|script| keys(script).len()).sum();
    assert_eq!(pressed, 32, "keys for an oil and filter change");

    // The leak run begins with its joints, after three more keys.
    session.send("<Enter>");
    session.wait_for_text("[x] Engine oil and filter, done");
    session.send("<Enter>");
    session.wait_for_text("Hour meter");
    session.wait_for_text("2 joint(s) disturbed");
    session.send("<Enter>");
    session.wait_for_text("disturbed: Service side");
    // Every joint dry, and on before the times are up, which is named and changes nothing.
    let mut seen = 0;
    while !session
        .contents()
        .contains("the rest is the next morning's")
    {
        session.send("0");
        seen += 1;
        session.wait_for_seen(seen);
        let all = rows(&session.contents()).map(|(_, all)| all);
        assert!(all.is_some_and(|all| seen < all), "{}", session.contents());
    }
    session.send("f");
    session.wait_for_text("signed off with recheck");
    session.send("<Enter>");
    session.wait_for_text("q due");
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    let services: serde_json::Value =
        serde_json::from_str(&run(&["service", "list", "--json"])).expect("JSON");
    let service = &services["rows"][0];
    assert_eq!(service["task"], "oil-and-filter");
    assert_eq!(service["out"], "6.8 L");
    assert_eq!(service["in"], "7 L");
    assert_eq!(service["turn"], "3/4");
    let walks = run(&["walks"]);
    assert!(walks.contains("leak-run") && walks.contains("signed off with recheck"));
}
