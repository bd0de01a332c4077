//! What is on record put right by keys on a real terminal, the program killed before and after the
//! answer that counts: before it nothing of the change is on record, after it all of it, and every
//! answer is that of a logbook in which it was never wrong.

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use chrono::{Days, NaiveDate, Utc};
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::ages;
use crate::boat::{BINARY, json as answer, start};
use crate::harness::{Session, given, logbook_of};

/// The logbook was begun so many days ago.
const BEGUN: u64 = 40;
/// Fixed once, so that no midnight comes between.
static TODAY: LazyLock<NaiveDate> = LazyLock::new(|| Utc::now().date_naive());

/// What is typed to change what is on record.
pub struct Change<'a> {
    /// Typed up to the last question: keys, and in braces the words of a line to be taken.
    pub keys: &'a [&'a str],
    /// The last question.
    pub asked: &'a str,
    /// The answer that counts.
    pub answer: &'a str,
    /// What the screen says once it is on record.
    pub told: &'a str,
}

/// A change in the book of entries.
pub const RECORD_IT: Change<'_> = Change {
    keys: &[],
    asked: "Record it?",
    answer: "2",
    told: "put right",
};

impl Change<'_> {
    /// Types up to the last question, is killed there, types again and answers, is killed again. What is
    /// `told` of the logbook is the same before the answer.
    #[track_caller]
    pub fn killed_before_and_after<T: PartialEq + std::fmt::Debug>(
        &self,
        book: &Path,
        told: impl Fn(&Path) -> T,
    ) {
        let (before, was) = (entries(book), told(book));
        self.typed(book).kill_9();
        assert_eq!(entries(book), before, "not answered: {:?}", self.keys);
        assert_eq!(told(book), was, "not answered: {:?}", self.keys);
        let mut session = self.typed(book);
        session.send(self.answer);
        session.wait_for_text(self.told);
        session.kill_9();
        let after = entries(book);
        assert_ne!(after, before, "answered: {:?}", self.keys);
        let is_still_there = |was: &Value| after.iter().any(|is| is["id"] == was["id"]);
        assert!(before.iter().all(is_still_there), "{after:?}");
    }

    #[track_caller]
    fn typed(&self, book: &Path) -> Session {
        let mut session = start(book);
        for keys in self.keys {
            match keys.strip_prefix('{').and_then(|k| k.strip_suffix('}')) {
                Some(words) => session.take(words),
                None => session.send(keys),
            }
        }
        session.wait_for_text(self.asked);
        session
    }

    /// The same from `wrong` to `right`, two logbooks that differ in nothing else. What is `seen` of an
    /// answer becomes another by it, and so do all answers.
    #[track_caller]
    fn puts_right(&self, wrong: &Book, right: &Book, seen: impl Fn(&Path) -> Value) {
        let (wrong, right) = (wrong.1.as_path(), right.1.as_path());
        assert_ne!(seen(wrong), seen(right));
        self.killed_before_and_after(wrong, answers);
        assert_eq!(seen(wrong), seen(right), "{:?}", self.keys);
        for (now, never_wrong) in answers(wrong).iter().zip(&answers(right)) {
            assert_eq!(now, never_wrong, "{:?}", self.keys);
        }
    }
}

type Book = (TempDir, PathBuf);

/// A time of day so many days ago.
pub fn days_ago(n: u64) -> String {
    format!("{}T07:40:00+00:00", *TODAY - Days::new(n))
}

/// What a command answers tomorrow, which is the same however long a test takes.
fn tomorrow(book: &Path, args: &[&str]) -> Value {
    let tomorrow = format!("{}T12:00:00+00:00", *TODAY + Days::new(1));
    answer(book, &[args, &["--now", &tomorrow]].concat())
}

/// What stands in a place of an answer.
fn at<'a>(args: &'a [&str], place: &'a str) -> impl Fn(&Path) -> Value + use<'a> {
    move |book| {
        tomorrow(book, args)
            .pointer(place)
            .cloned()
            .unwrap_or_default()
    }
}

/// The logbook of a boat of known age with these machines and what is recorded of them.
pub fn book_of(machines: &[&str], sheets: &[Value]) -> Book {
    let engine = |id: &&str| json!({"id": id, "name": format!("{id} engine"), "hours": 1200.0});
    let profile = json!({"type": "boat", "name": "Grey Plover", "waters": "inshore", "units": "metric",
        "usual_hours_per_month": 15, "machines": machines.iter().map(engine).collect::<Vec<_>>()});
    let known = ages::told(machines, &days_ago(BEGUN), &days_ago(BEGUN));
    let lines = sheets.iter().map(|sheet| format!("{sheet}\n"));
    let lines: String = [known].into_iter().chain(lines).collect();
    logbook_of(BINARY, &profile.to_string(), &days_ago(BEGUN), &lines)
}

fn entries(book: &Path) -> Vec<Value> {
    let entries = answer(book, &["entries", "--most", "1000"]);
    entries["rows"].as_array().expect("rows").clone()
}

/// What the boat's answers say, without the names of records.
fn answers(book: &Path) -> Vec<Value> {
    fn without_ids(value: &mut Value) {
        match value {
            Value::Object(fields) => {
                ["records", "said", "said_differs", "id", "logbook"]
                    .iter()
                    .for_each(|name| drop(fields.remove(*name)));
                fields.values_mut().for_each(without_ids);
            }
            Value::Array(all) => all.iter_mut().for_each(without_ids),
            _ => {}
        }
    }
    let asked: [&[&str]; 6] = [
        &["walks"],
        &["defects", "--all"],
        &["due"],
        &["learning"],
        &["boat", "show"],
        &["hand-over"],
    ];
    let mut all: Vec<Value> = asked.iter().map(|args| tomorrow(book, args)).collect();
    all.iter_mut().for_each(without_ids);
    all
}

/// A morning check of a machine.
fn check(id: &str, machine: &str, days: u64, more: Value) -> Value {
    let mut sheet = json!({"type": "walk", "id": id, "checklist": "daily", "machine": machine,
        "at": days_ago(days), "looks": [{"item": "drive-belt", "phase": "cold", "grade": "worn"}]});
    let own = sheet.as_object_mut().expect("a sheet");
    own.extend(more.as_object().expect("fields").clone());
    sheet
}

#[test]
fn a_repair_on_the_wrong_item_is_moved_to_the_right_one() {
    let repaired = |item: &str| {
        let looks = json!({"looks": [
            {"item": "drive-belt", "phase": "cold", "grade": "failing"},
            {"item": "engine-mounts", "phase": "cold", "grade": "worn"}]});
        let repair = json!({"type": "repair", "item": item, "machine": "main", "at": days_ago(2),
            "done": "new belt"});
        book_of(&["main"], &[check("w1", "main", 3, looks), repair])
    };
    let change = Change {
        keys: &[
            "J/new belt<Enter><Enter>",
            "{put right: item}",
            "<C-u>drive belt<Enter>",
            "the wrong row<Enter>",
        ],
        ..RECORD_IT
    };
    let seen = at(&["verdict"], "/now");
    change.puts_right(&repaired("engine-mounts"), &repaired("drive-belt"), seen);
}

/// The meter was read twice, the second time two days ago.
fn metered(second: f64) -> Book {
    let first = check("w1", "main", 9, json!({"hours": 1250.0}));
    let second = check("w2", "main", 2, json!({"hours": second}));
    book_of(&["main"], &[first, second])
}

fn rate(book: &Path) -> Value {
    at(&["boat", "show"], "/rates/0/per_day")(book)
}

#[test]
fn false_hours_are_put_right_and_leave_the_sums() {
    let change = Change {
        keys: &[
            "J/began<Enter><Enter>",
            "{put right: hours}",
            "<C-u>1268.5<Enter>",
            "two figures changed about<Enter>",
        ],
        ..RECORD_IT
    };
    change.puts_right(&metered(1286.5), &metered(1268.5), rate);
}

#[test]
fn a_morning_asks_which_reading_is_wrong_and_the_earlier_one_is_mended() {
    let change = Change {
        keys: &["<Enter>", "1269<Enter>", "{1286.5 h, of}", "1268.5"],
        asked: "What did it show on",
        answer: "<Enter>",
        told: "· 1269.0 h",
    };
    change.puts_right(&metered(1286.5), &metered(1268.5), rate);
}

#[test]
fn a_morning_takes_another_meter() {
    let change = Change {
        keys: &["<Enter>", "4<Enter>"],
        asked: "neither: it is another meter",
        answer: "3",
        told: "· 4.0 h",
    };
    let changed = metered(1268.5);
    let another =
        json!({"type": "meter", "machine": "main", "at": days_ago(2), "old": 1268.5, "new": 4.0});
    given(BINARY, changed.0.path(), &["record"], &another.to_string());
    let seen = at(&["hand-over"], "/machines/0/hours");
    change.puts_right(&metered(1268.5), &changed, seen);
}

#[test]
fn a_walk_on_the_wrong_machine_is_moved() {
    let walked = |machine: &str, hours: f64| {
        book_of(
            &["port", "starboard"],
            &[check("w1", machine, 2, json!({"hours": hours}))],
        )
    };
    let change = Change {
        keys: &[
            "J/began<Enter><Enter>",
            "{put right: machine}",
            "{starboard engine}",
            "1204<Enter>",
            "the other engine<Enter>",
        ],
        ..RECORD_IT
    };
    let seen = at(&["defects"], "/rows/0/machine");
    let right = walked("starboard", 1204.0);
    change.puts_right(&walked("port", 1203.6), &right, seen);
}

#[test]
fn an_old_walk_left_open_is_closed_as_it_stands() {
    let walked = |finished: bool| {
        let old = check("old", "main", 9, json!({"finished": finished}));
        book_of(&["main"], &[old, check("w2", "main", 2, json!({}))])
    };
    let change = Change {
        keys: &[
            "J/began<Enter><Down><Enter>",
            "{close the walk as it stands}",
        ],
        told: "closed as it stands",
        ..RECORD_IT
    };
    let seen = at(&["walks"], "/rows/0/finished");
    change.puts_right(&walked(false), &walked(true), seen);
}

#[test]
fn a_note_and_a_mark_of_wear_are_moved_to_the_item_they_were_seen_at() {
    let seen_at = |item: &str| {
        let looks = json!({"looks": [{"item": item, "phase": "cold", "grade": "worn",
            "note": "brown at the lug", "wear": [{"mark": "heat"}]}]});
        book_of(&["main"], &[check("w1", "main", 2, looks)])
    };
    let change = Change {
        keys: &[
            "J/lug<Enter><Enter>",
            "{put right: item}",
            "<C-u>battery switch<Enter>",
            "the other lug<Enter>",
        ],
        ..RECORD_IT
    };
    let right = seen_at("battery-switch-and-terminals");
    let seen = at(&["explain", "battery-switch-and-terminals"], "/effects");
    change.puts_right(&seen_at("earth-straps"), &right, seen);
}

/// A finished survey with what was agreed and seen in it.
fn surveyed(agreed: &Value, looks: &Value) -> Book {
    let sheet = json!({"checklist": "survey", "agreed": agreed, "looks": looks});
    book_of(&["main"], &[check("s1", "main", 2, sheet)])
}

#[test]
fn what_was_agreed_is_put_right() {
    let looks = json!([{"item": "drive-belt", "grade": "worn"}]);
    let agreed = |full: &str| {
        let agreed = json!({"runs": "the owner", "full_throttle": full});
        surveyed(&agreed, &looks)
    };
    let change = Change {
        keys: &[
            "J/agreed<Enter><Enter>",
            "{put right: full_throttle}",
            "<C-u>not at all<Enter>",
            "the owner said so<Enter>",
        ],
        ..RECORD_IT
    };
    let seen = |book: &Path| {
        let file = book.with_file_name("report.json").display().to_string();
        tomorrow(book, &["report", "s1", "--to", &file]);
        let report = std::fs::read_to_string(file).expect("written");
        serde_json::from_str::<Value>(&report).expect("JSON")["agreed"].clone()
    };
    change.puts_right(&agreed("five minutes"), &agreed("not at all"), seen);
}

#[test]
fn a_finding_of_a_finished_survey_is_taken_back() {
    let sound = json!({"item": "coolant-level", "grade": "sound"});
    let found = json!({"item": "earth-straps", "grade": "worn"});
    let change = Change {
        keys: &["J/earth straps<Enter>u", "another boat's<Enter>"],
        told: "taken back",
        ..RECORD_IT
    };
    let wrong = surveyed(&json!({}), &json!([sound, found]));
    let right = surveyed(&json!({}), &json!([sound]));
    change.puts_right(&wrong, &right, at(&["coverage"], "/plain"));
}

#[test]
fn who_walked_is_added_afterwards() {
    let walked = |by: Value| book_of(&["main"], &[check("w1", "main", 2, by)]);
    let change = Change {
        keys: &[
            "J/began<Enter><Enter>",
            "{add: by}",
            "R. Quay<Enter>",
            "left out<Enter>",
        ],
        ..RECORD_IT
    };
    let right = walked(json!({"by": "R. Quay"}));
    change.puts_right(&walked(json!({})), &right, at(&["walks"], "/rows/0/by"));
}

#[test]
fn a_wrong_date_is_put_right_and_the_looks_go_along() {
    let walked = |days: u64| book_of(&["main"], &[check("w1", "main", days, json!({}))]);
    let day = days_ago(9);
    let typed = format!("<C-u>{} 07:40<Enter>", &day[..10]);
    let change = Change {
        keys: &[
            "J/began<Enter><Enter>",
            "{put right: at}",
            &typed,
            "typed a week late<Enter>",
        ],
        ..RECORD_IT
    };
    let seen = at(&["defects"], "/rows/0/last_look");
    change.puts_right(&walked(2), &walked(9), seen);
}
