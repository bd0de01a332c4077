//! Which of several answers a rung is, on the real program: asked once the grade is on disk, answered ahead
//! of it, and a kill in between.

use std::path::Path;

use serde_json::{Value, json};

use crate::boat::{json as answer, new_boat, start};
use crate::harness::Session;

/// What the last look at an item says, as the export has it on disk.
fn last_look(book: &Path, item: &str) -> Value {
    let entries = answer(book, &["entries"]);
    let rows = entries["rows"].as_array().expect("rows").clone();
    let look = rows
        .iter()
        .find(|row| row["kind"] == "look" && row["item"] == item && row["state"] != "taken-back");
    let look = look.unwrap_or_else(|| panic!("no look at {item}: {entries}"));
    let shown = answer(
        book,
        &["entries", "show", look["id"].as_str().expect("an id")],
    );
    let fields = shown["fields"].as_array().expect("fields").iter();
    let fields = fields.map(|field| {
        let name = field["field"].as_str().expect("a name").to_owned();
        (name, field["value"].clone())
    });
    Value::Object(fields.collect())
}

fn to_the_oil(session: &mut Session) {
    session.send("/");
    session.wait_for_text("Find");
    session.send("look and feel<Enter>");
    session.wait_for_text("Engine oil, look and feel");
}

#[test]
fn a_grade_outlives_a_kill_at_its_question_and_the_answer_is_given_later() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    to_the_oil(&mut session);
    session.send("2");
    session.wait_for_text("leave it open");
    session.kill_9();
    let look = last_look(&book, "engine-oil-condition");
    assert_eq!(
        (&look["grade"], &look["signs"]),
        (&json!("worn"), &json!(""))
    );

    let mut session = start(&book);
    session.wait_for_text("go on");
    session.send("<Enter>");
    session.wait_for_text("going on where it was left");
    to_the_oil(&mut session);
    session.wait_for_text("; look of the engine oil");
    session.send(";");
    session.take("Milky");
    session.wait_for_text("oil: Milky");
    session.wait_until("it is on disk", |_| {
        last_look(&book, "engine-oil-condition")["signs"] == "olook: milky"
    });
    session.kill_9();
    let look = last_look(&book, "engine-oil-condition");
    assert_eq!(look["grade"], "worn");
}

#[test]
fn an_answer_ahead_of_the_rung_outlives_a_kill() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut session = start(&book);
    session.begin_walk();
    to_the_oil(&mut session);
    session.send(";");
    session.take("Thin, and it smells of fuel");
    session.wait_for_text("now grade it");
    session.kill_9();

    let mut session = start(&book);
    session.wait_for_text("go on");
    session.send("<Enter>");
    session.wait_for_text("going on where it was left");
    to_the_oil(&mut session);
    session.wait_for_text("look of the engine oil: Thin");
    session.send("2");
    session.wait_for_seen(1);
    assert!(
        !session.contents().contains("leave it open"),
        "{}",
        session.contents()
    );
    session.send("<C-c>");
    session.exit_status();
    let look = last_look(&book, "engine-oil-condition");
    assert_eq!(
        (&look["grade"], &look["signs"]),
        (&json!("worn"), &json!("olook: fuel"))
    );
}
