//! A watch by keys alone: under way, a round half typed when the program is killed, gone on with, all as
//! usual, in. Nothing acknowledged is lost, and what was typed is back.

use std::path::Path;

use crate::harness::{Session, Setup, logged, new_boat};

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

fn start(book: &Path) -> Session {
    Setup::new(BINARY, &[])
        .env("HANDLAMP_LOGBOOK", &book.to_string_lossy())
        .start()
}

/// So many lines of being under way are on record.
fn lines(book: &Path) -> usize {
    logged(book).matches(r#""ev":"under-way","#).count()
}

#[test]
fn a_round_half_typed_survives_a_kill_and_the_watch_goes_on() {
    let (_dir, book) = new_boat(BINARY);
    let mut session = start(&book);
    session.wait_for_text("q due");
    session.send("<F10>");
    session.wait_for_text("She lies.");
    session.send("<Enter>");
    for said in ["1 of 4", "2 of 4", "3 of 4", "4 of 4"] {
        session.wait_for_text(said);
        session.send("<Enter>");
    }
    session.wait_for_text("Under way: no plan");
    assert_eq!(lines(&book), 1);
    session.send("r");
    session.wait_for_text("Round, 1 of 12: Hour meter?");
    session.send("<Enter>");
    session.wait_for_text("Round, 2 of 12: Engine speed?");
    session.send("2200<Enter>");
    session.wait_for_text("Round, 3 of 12: Speed of the boat?");
    session.send("5.5");
    session.wait_until("the draft is kept", |_| {
        let log = logged(&book);
        log.contains(r#""rpm":"2200""#) && log.contains(r#""speed":"5.5""#)
    });
    session.kill_9();
    assert_eq!(lines(&book), 1, "she is under way still");
    let mut session = start(&book);
    session.wait_for_text("q due");
    session.send("<F10>");
    session.wait_for_text("Under way: no plan");
    session.send("r");
    session.wait_for_text("what was typed before is filled in");
    session.send("<Enter>");
    session.wait_for_text("│ 2200 ");
    session.send("<Enter>");
    session.wait_for_text("│ 5.5 ");
    for said in 4..=12 {
        session.send("<Enter>");
        session.wait_for_text(&format!("{said} of 12"));
    }
    session.send("<Enter>");
    session.wait_for_text("written down; the next round");
    assert_eq!(lines(&book), 2);
    // Soon after a round it is asked first, and enter pressed too often writes nothing.
    session.send("<Enter>");
    session.wait_for_text("A round was noted");
    session.send("<Enter>");
    session.wait_for_text("nothing more is written");
    assert_eq!(lines(&book), 2);
    session.send("f");
    session.wait_for_text("In, 1 of 4: Hour meter?");
    for said in ["2 of 4", "3 of 4", "4 of 4"] {
        session.send("<Enter>");
        session.wait_for_text(said);
    }
    session.send("<Enter>");
    session.wait_for_text("She lies.");
    assert_eq!(lines(&book), 3);
    session.kill_9();
    assert_eq!(lines(&book), 3);
}
