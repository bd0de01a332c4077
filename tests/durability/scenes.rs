//! What people do with a logbook, each as a short story on a stage that may fail at any call.

use crate::model::images::Effort;
use crate::model::stage::{Stage, look};

pub struct Scene {
    pub name: &'static str,
    pub play: fn(&Stage),
    /// How closely to look at a crash after each of its calls.
    pub effort: Effort,
}

const fn scene(name: &'static str, play: fn(&Stage), effort: Effort) -> Scene {
    Scene { name, play, effort }
}

pub const SCENES: [Scene; 14] = [
    scene("first run", first_run, Effort::Every),
    scene("a short walk", |stage| walk(stage, 10), Effort::Every),
    scene("undo and redo", undo, Effort::Every),
    scene("a note of 5 kB", long_note, Effort::Every),
    scene("a batch", batch, Effort::Every),
    scene("the profile replaced", profiles, Effort::Every),
    scene("texts kept", texts, Effort::Every),
    scene("pictures before their looks", pictures, Effort::Every),
    scene("resumed after a kill", resumed, Effort::Every),
    scene("the file replaced", replaced, Effort::Every),
    scene("the file removed", removed, Effort::Every),
    scene("a full disk, then room", not_saved, Effort::Every),
    scene("another folder", moved, Effort::Every),
    scene("a merge", merged, Effort::Every),
];

const BOAT: &str = "{\"type\":\"boat\",\"name\":\"Grey Plover\"}";

fn first_run(stage: &Stage) {
    let book = stage.book();
    stage.profile(&book, BOAT);
    let mut writer = stage.writer(&book);
    writer.append(&[("boat", BOAT.to_owned())]);
    writer.append(&[look(1), look(2), look(3)]);
    writer.settle();
}

/// A walk of so many items, in one session.
pub fn walk(stage: &Stage, items: usize) {
    let mut writer = stage.writer(&stage.book());
    writer.append(&[("walk", "{\"walk\":\"w1\"}".to_owned())]);
    for n in 0..items {
        writer.append(&[look(n)]);
    }
    writer.append(&[("walk-finished", "{\"walk\":\"w1\"}".to_owned())]);
    writer.settle();
}

fn undo(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    writer.append(&[look(1)]);
    for n in 0..3 {
        let of = writer.session.latest().pop().map(|entry| entry.id);
        let of = of.expect("a record to take back");
        writer.append(&[("undo", format!("{{\"of\":\"{of}\",\"n\":{n}}}"))]);
    }
    writer.settle();
}

fn long_note(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    let note = "Öl am Flansch \u{202e} \u{7f} 漢 ".repeat(180);
    writer.append(&[look(1)]);
    let rec = serde_json::json!({"n": 2, "note": note.chars().take(3900).collect::<String>()});
    writer.append(&[("look", rec.to_string())]);
    writer.append(&[look(3)]);
    writer.settle();
}

fn batch(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    writer.batch("sheet-1", &[look(1), look(2), look(3)]);
    writer.batch("sheet-2", &[look(4), look(5)]);
    writer.append(&[look(6)]);
    writer.settle();
}

fn profiles(stage: &Stage) {
    let book = stage.book();
    for n in 0..4 {
        stage.profile(&book, &format!("{BOAT}{}", " ".repeat(n * 40)));
    }
    stage.writer(&book).settle();
}

fn texts(stage: &Stage) {
    let book = stage.book();
    for text in ["{\"rows\":[]}", "{\"rows\":[1,2,3]}", "{\"rows\":[]}"] {
        stage.text(&book, text);
    }
    let mut writer = stage.writer(&book);
    writer.append(&[look(1)]);
    writer.settle();
}

fn pictures(stage: &Stage) {
    let book = stage.book();
    let mut writer = stage.writer(&book);
    for (n, shade) in [7, 8, 7].into_iter().enumerate() {
        stage.picture(&book, &[shade; 900]);
        writer.append(&[look(n)]);
    }
    writer.settle();
}

fn resumed(stage: &Stage) {
    let book = stage.book();
    let mut first = stage.writer(&book);
    for n in 0..3 {
        first.append(&[look(n)]);
    }
    first.retry();
    drop(first);
    let mut second = stage.writer(&book);
    for n in 3..6 {
        second.append(&[look(n)]);
    }
    second.settle();
}

/// A syncing program puts an older copy in the place of the session's file.
fn replaced(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    writer.append(&[look(1)]);
    let path = stage.record_file(&stage.book());
    let older = path.as_deref().and_then(|path| stage.read(path));
    writer.append(&[look(2)]);
    if let Some(path) = path {
        stage.meddle(&path, Some(&older.unwrap_or_default()));
    }
    writer.append(&[look(3)]);
    writer.append(&[look(4)]);
    writer.settle();
}

fn removed(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    writer.append(&[look(1)]);
    if let Some(path) = stage.record_file(&stage.book()) {
        stage.meddle(&path, None);
    }
    writer.append(&[look(2)]);
    writer.append(&[look(3)]);
    writer.settle();
}

fn not_saved(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    writer.append(&[look(1)]);
    stage.disk.fill();
    for n in 2..5 {
        writer.append(&[look(n)]);
    }
    writer.retry();
    stage.disk.heal();
    writer.retry();
    writer.append(&[look(5)]);
    writer.settle();
}

fn moved(stage: &Stage) {
    let mut writer = stage.writer(&stage.book());
    writer.append(&[look(1)]);
    stage.disk.fill();
    writer.append(&[look(2)]);
    writer.move_to(&stage.other());
    stage.disk.heal();
    writer.move_to(&stage.other());
    writer.append(&[look(3)]);
    writer.settle();
}

fn merged(stage: &Stage) {
    let (into, from) = (stage.book(), stage.other());
    stage.ledger.borrow_mut().unordered = true;
    stage.profile(&from, BOAT);
    stage.text(&from, "{\"rows\":[]}");
    stage.picture(&from, &[9; 300]);
    for n in [10, 20] {
        let mut theirs = stage.writer(&from);
        theirs.append(&[look(n), look(n + 1)]);
        theirs.settle();
    }
    let mut ours = stage.writer(&into);
    ours.append(&[look(1)]);
    ours.settle();
    stage.merge(&into, &from);
    let again = stage.merge(&into, &from);
    assert_eq!(
        (again.files, again.records),
        (0, 0),
        "a second merge brings nothing"
    );
}
