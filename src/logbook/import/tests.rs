use std::rc::Rc;

use chrono::DateTime;

use super::*;
use crate::assess::words::Verdict;
use crate::boat::Unit;
use crate::checklist::Library;
use crate::defects::judged::judge;
use crate::logbook::clock::FixedClock;
use crate::logbook::input::read_documents;
use crate::logbook::input::tests::SHEET;

struct Aboard {
    book: Book,
    root: tempfile::TempDir,
}

const NOW: &str = "2026-06-01T12:00:00Z";

fn aboard(machines: &str) -> Aboard {
    let root = tempfile::tempdir().expect("a folder");
    let boat = format!(
        r#"{{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15,"machines":{machines}}}"#
    );
    let boat = serde_json::from_str(&boat).expect("a boat");
    let now = DateTime::parse_from_rfc3339(NOW).expect("a time");
    let clock = Rc::new(FixedClock::new(now));
    let library = Arc::new(Library::built_in().clone());
    let book = Book::create(root.path(), boat, clock, library, Some(7)).expect("a logbook");
    Aboard { book, root }
}

fn one() -> Aboard {
    aboard(r#"[{"id":"main","name":"Main engine"}]"#)
}

fn two() -> Aboard {
    aboard(r#"[{"id":"port","name":"Port"},{"id":"starboard","name":"Starboard"}]"#)
}

impl Aboard {
    fn take(&mut self, text: &str) -> Result<Imported, Refused> {
        let documents = read_documents("in.json", text).expect("it reads");
        import(&mut self.book, &documents)
    }

    /// Line, field and message of each complaint; nothing may have been recorded.
    fn refused(&mut self, text: &str) -> Vec<(usize, String, String)> {
        let before = (self.book.written().len(), self.files());
        let refused = self.take(text).expect_err("it was taken");
        assert_eq!((self.book.written().len(), self.files()), before);
        let Refused::Faults(found) = refused else {
            unreachable!("a fault of the input");
        };
        found
            .into_iter()
            .map(|c| (c.line, c.field, c.message))
            .collect()
    }

    fn one_fault(&mut self, text: &str) -> (String, String) {
        let mut all = self.refused(text);
        assert_eq!(all.len(), 1, "{all:?}");
        let (_, field, message) = all.remove(0);
        (field, message)
    }

    fn files(&self) -> usize {
        let years = std::fs::read_dir(self.root.path().join("log")).expect("a log");
        years
            .filter_map(|y| std::fs::read_dir(y.ok()?.path()).ok())
            .map(Iterator::count)
            .sum()
    }
}

fn walk(day: u8, looks: &str) -> String {
    format!(
        r#"{{"type":"walk","checklist":"daily","at":"2026-05-{day:02}T08:00:00Z","looks":[{looks}]}}"#
    )
}

const WORN: &str = r#"{"item":"drive-belt","grade":"worn"}"#;
const SOUND: &str = r#"{"item":"drive-belt","grade":"sound"}"#;

#[test]
fn a_walk_becomes_its_records_and_is_there_when_opened_again() {
    let mut aboard = one();
    let taken = aboard.take(&walk(3, WORN)).expect("taken");
    assert_eq!(
        (taken.records, taken.ids.len(), taken.walks.len()),
        (3, 3, 1)
    );
    let walk = aboard.book.history().walk(&taken.walks[0]).expect("there");
    assert!(walk.finished.is_some() && walk.asked.is_some() && walk.entered_after);
    assert_eq!(walk.looks[0].look.phase.as_deref(), Some("cold"));
    let clock = FixedClock::new(aboard.book.now());
    let library = Arc::clone(aboard.book.library());
    let again = Book::open(aboard.root.path(), Rc::new(clock), library, Some(8)).expect("opens");
    assert_eq!(again.history().walks, aboard.book.history().walks);
    assert!(again.problems().is_empty());
}

#[test]
fn the_sheet_of_the_documentation_is_taken() {
    one().take(SHEET).expect("taken");
}

/// Marks 22 mm apart: 11 mm is half of them (common arithmetic).
#[test]
fn a_dipstick_told_in_millimetres_is_kept_in_per_cent() {
    let mut aboard = one();
    let dip = r#"{"item":"engine-oil-level","grade":"sound","reading":{"value":11,"unit":"mm"}}"#;
    let refused = aboard.refused(&walk(3, dip));
    assert_eq!(refused[0].1, "looks[0].reading", "{refused:?}");
    assert!(refused[0].2.contains("set mm_between_marks"), "{refused:?}");
    let mut boat = aboard.book.boat().clone();
    boat.machines[0].mm_between_marks = Some(22.0);
    aboard.book.set_boat(boat).expect("set");
    aboard.take(&walk(3, dip)).expect("taken");
    let walks = &aboard.book.history().walks;
    let look = &walks.last().expect("a walk").looks[0].look;
    let read = look.reading.expect("read");
    assert_eq!((read.value(), read.unit()), (50.0, Unit::Percent));
}

#[test]
fn all_or_nothing_with_every_fault_named() {
    let bad = walk(
        4,
        r#"{"item":"drive-bolt","grade":"worn"},{"item":"coolant-hoses","grade":"worn","leak":"i"}"#,
    );
    let text = format!("{}\n{bad}", walk(3, WORN));
    let all = one().refused(&text);
    assert_eq!(all.len(), 2, "{all:?}");
    assert_eq!((all[0].0, all[0].1.as_str()), (2, "looks[0].item"));
    assert!(
        all[0].2.starts_with("'drive-bolt' is no item known here")
            && all[0].2.contains("drive-belt")
    );
    assert_eq!(all[1].1, "looks[1].grade_reason");
}

#[test]
fn faults_of_a_look_name_their_field() {
    for (look, field, part) in [
        (
            r#"{"item":"drive-belt","grade":"worn","phase":"hot"}"#,
            "phase",
            "no such phase",
        ),
        (
            r#"{"item":"drive-belt","grade":"worn","leak":"i"}"#,
            "leak",
            "nothing leaks",
        ),
        (
            r#"{"item":"bilge-pump","grade":"worn","reading":{"value":3,"unit":"bar"}}"#,
            "reading",
            "has no reading",
        ),
        (
            r#"{"item":"start-battery","grade":"sound","reading":{"value":3,"unit":"bar"}}"#,
            "reading.unit",
            "does not fit",
        ),
        (
            r#"{"item":"start-battery","grade":"sound","reading":{"value":12.1,"unit":"V"}}"#,
            "grade_reason",
            "failing",
        ),
        (
            r#"{"item":"drive-belt","grade":"sound","added":"1 L"}"#,
            "added",
            "no level",
        ),
        (
            r#"{"item":"fuel-hoses","grade":"early","leak":"iii"}"#,
            "grade_reason",
            "leak class iii",
        ),
    ] {
        let (named, message) = one().one_fault(&walk(3, look));
        assert_eq!(named, format!("looks[0].{field}"), "{message}");
        assert!(message.contains(part), "{message}");
    }
    let long = "x".repeat(crate::defects::admit::LONGEST_TEXT + 1);
    let look = format!(r#"{{"item":"drive-belt","not_seen":"{long}"}}"#);
    assert_eq!(one().one_fault(&walk(3, &look)).0, "looks[0].not_seen");
}

#[test]
fn a_handbook_outranks_the_catalogue() {
    let machine = r#"[{"id":"main","name":"Main engine","handbook":[{"item":"start-battery","unit":"V","from":12.0,"source":"page 40"}]}]"#;
    let look = r#"{"item":"start-battery","grade":"sound","reading":{"value":12.1,"unit":"V"}}"#;
    aboard(machine)
        .take(&walk(3, look))
        .expect("sound by the handbook");
}

#[test]
fn faults_of_a_walk_name_their_field() {
    let (field, message) = one().one_fault(&walk(3, WORN).replace("daily", "dayly"));
    assert_eq!(field, "checklist");
    assert!(message.contains("there are daily"), "{message}");
    let (field, message) = two().one_fault(&walk(3, WORN));
    assert_eq!(field, "machine");
    assert!(message.contains("port, starboard"), "{message}");
    let middle = walk(3, WORN).replace("\"at\"", "\"machine\":\"middle\",\"at\"");
    let (_, message) = two().one_fault(&middle);
    assert!(message.contains("no machine 'middle'"), "{message}");
    let late = walk(3, WORN).replace("2026-05", "2027-05");
    assert_eq!(one().one_fault(&late).0, "at");
    for odd in ["0001-01-01T00:00:00+14:00", "1899-12-31T23:00:00Z"] {
        let early = walk(3, WORN).replace("2026-05-03T08:00:00Z", odd);
        assert_eq!(one().one_fault(&early).0, "at", "{odd}");
    }
    for absurd in [
        "+262142-12-31T23:59:59+02:00",
        "-262143-01-01T00:00:00-14:00",
    ] {
        let text = walk(3, WORN).replace("2026-05-03T08:00:00Z", absurd);
        let read = read_documents("in.json", &text);
        assert!(
            read.is_err() || one().one_fault(&text).0 == "at",
            "{absurd}"
        );
    }
}

#[test]
fn a_leak_run_says_what_was_disturbed_and_leaves_looks_owed() {
    let sheet = |disturbed: &str| {
        let looks = r#"{"item":"oil-filter-seat","phase":"settled","grade":"sound"}"#;
        let text = walk(3, looks).replace("daily", "leak-run");
        text.replace("\"looks\"", &format!("\"disturbed\":{disturbed},\"looks\""))
    };
    for (disturbed, field, part) in [
        (r#"["no-such"]"#, "disturbed[0]", "no item known here"),
        (
            r#"["drive-belt","drive-belt"]"#,
            "disturbed[1]",
            "named twice",
        ),
    ] {
        let (at, message) = one().one_fault(&sheet(disturbed));
        assert_eq!(at, field);
        assert!(message.contains(part), "{message}");
    }
    let daily = walk(3, WORN).replace("\"looks\"", "\"disturbed\":[\"drive-belt\"],\"looks\"");
    assert_eq!(one().one_fault(&daily).0, "disturbed");
    let mut aboard = one();
    aboard
        .take(&sheet(r#"["oil-filter-seat"]"#))
        .expect("taken");
    let again = aboard.book.history().clone();
    let run = &again.walks[0];
    assert_eq!(run.disturbed, ["oil-filter-seat"]);
    assert!(!run.left_out.is_empty());
    let owed = again
        .rechecks
        .iter()
        .filter(|r| r.rec.item == "oil-filter-seat");
    assert_eq!(owed.count(), 2, "{:?}", again.rechecks);
}

#[test]
fn a_meter_does_not_run_backwards_nor_faster_than_time() {
    let at = |day: u8, hours: f64| {
        walk(day, "").replace("\"looks\"", &format!("\"hours\":{hours},\"looks\""))
    };
    let mut aboard = one();
    aboard.take(&at(10, 1000.0)).expect("taken");
    for (day, hours, part) in [
        (11, 999.0, "cannot go back"),
        (11, 1030.0, "cannot have run"),
        (9, 1001.0, "shows only"),
    ] {
        let (field, message) = aboard.one_fault(&at(day, hours));
        assert_eq!(field, "hours");
        assert!(message.contains(part), "{message}");
    }
    let change =
        r#"{"type":"meter","machine":"main","at":"2026-05-12T08:00:00Z","old":1010,"new":0}"#;
    aboard.take(change).expect("taken");
    aboard.take(&at(13, 5.0)).expect("the new meter");
    let fitted = r#"{"type":"fitted","item":"drive-belt","at":"2026-05-14T08:00:00Z","hours":3}"#;
    assert_eq!(aboard.one_fault(fitted).0, "hours");
}

#[test]
fn recorded_twice_it_is_there_once_even_when_the_boat_has_moved_on() {
    let mut aboard = one();
    let mine = walk(3, WORN).replace("\"type\"", "\"id\":\"paper-17\",\"type\"");
    let first = aboard.take(&mine).expect("taken");
    assert_eq!(first.walks, ["paper-17"]);
    aboard.take(&walk(5, WORN)).expect("taken");
    let before = aboard.files();
    let again = aboard.take(&mine).expect("harmless");
    assert_eq!((again.ids.len(), again.known), (0, 1));
    assert_eq!(
        (aboard.files(), aboard.book.history().walks.len()),
        (before, 2)
    );
    let twice = mine.replace("17", "18");
    let taken = aboard.take(&format!("{twice}\n{twice}")).expect("harmless");
    assert_eq!((taken.known, aboard.book.history().walks.len()), (1, 3));
    let other = twice.replace("18", "19");
    let changed = other.replace("worn", "failing");
    assert_eq!(aboard.one_fault(&format!("{other}\n{changed}")).0, "id");
}

#[test]
fn an_id_has_a_form() {
    let long = "x".repeat(LONGEST_ID + 1);
    for id in ["", "a b", "../x", &long] {
        let text = walk(3, WORN).replace("\"type\"", &format!("\"id\":\"{id}\",\"type\""));
        assert_eq!(one().one_fault(&text).0, "id", "{id}");
    }
}

#[test]
fn each_walk_of_a_batch_is_judged_against_those_before_it() {
    let text = format!("{}\n{}", walk(3, WORN), walk(4, SOUND));
    let all = one().refused(&text);
    assert_eq!((all[0].0, all[0].1.as_str()), (2, "looks[0].better"));
    let mended =
        r#"{"type":"repair","item":"drive-belt","at":"2026-05-03T12:00:00Z","done":"new belt"}"#;
    let text = format!("{}\n{mended}\n{}", walk(3, WORN), walk(4, SOUND));
    one().take(&text).expect("the repair explains it");
}

#[test]
fn an_older_walk_is_judged_by_its_own_day() {
    let mut aboard = one();
    aboard.take(&walk(20, WORN)).expect("taken");
    aboard.take(&walk(3, SOUND)).expect("it was sound then");
    let walks = &aboard.book.history().walks;
    assert!(walks[0].at < walks[1].at && walks[0].joins.is_empty());
}

#[test]
fn an_act_finds_its_machine_and_its_time() {
    let mut aboard = one();
    aboard.take(&walk(3, WORN)).expect("taken");
    let repair = r#"{"type":"repair","item":"drive-belt","done":"new belt"}"#;
    aboard.take(repair).expect("taken");
    let made = &aboard.book.history().repairs[0];
    assert_eq!(made.rec.machine.as_deref(), Some("main"));
    assert_eq!(made.at, aboard.book.now());
    let (field, message) = two().one_fault(repair);
    assert_eq!(field, "machine");
    assert!(message.contains("port, starboard"), "{message}");
}

#[test]
fn acts_say_why_and_act_on_something() {
    for (act, field) in [
        (
            r#"{"type":"repair","item":"drive-belt","done":" "}"#,
            "done",
        ),
        (
            r#"{"type":"repair","item":"drive-bolt","done":"x"}"#,
            "item",
        ),
        (
            r#"{"type":"deferral","item":"drive-belt","why":"x","until":"2026-07-01"}"#,
            "item",
        ),
        (
            r#"{"type":"withdrawal","item":"drive-belt","why":"x"}"#,
            "item",
        ),
        (
            r#"{"type":"override","item":"drive-belt","level":"f","why":"x"}"#,
            "level",
        ),
        (
            r#"{"type":"override","item":"drive-belt","level":"b","why":""}"#,
            "why",
        ),
        (r#"{"type":"recheck","item":"drive-belt","why":""}"#, "why"),
        (
            r#"{"type":"meter","machine":"port","at":"2026-05-12T08:00:00Z","old":1,"new":0}"#,
            "machine",
        ),
        (r#"{"type":"plan","name":"passage"}"#, "hours"),
        (r#"{"type":"plan","name":"passage","hours":1e9}"#, "hours"),
    ] {
        assert_eq!(one().one_fault(act).0, field, "{act}");
    }
}

#[test]
fn a_stop_neither_waits_nor_is_talked_away() {
    let mut aboard = one();
    let failing = r#"{"item":"drive-belt","grade":"failing"}"#;
    aboard.take(&walk(3, failing)).expect("taken");
    for act in [
        r#"{"type":"deferral","item":"drive-belt","why":"x","until":"2026-07-01"}"#,
        r#"{"type":"withdrawal","item":"drive-belt","why":"x"}"#,
    ] {
        let (field, message) = aboard.one_fault(act);
        assert_eq!(field, "item");
        assert!(message.contains("a stop rule is in force"), "{message}");
    }
    let better = r#"{"item":"drive-belt","grade":"sound","better":"misjudged"}"#;
    let taken = aboard.take(&walk(4, better)).expect("looked at again");
    let book = &aboard.book;
    let condition = book.condition();
    let walk = book.history().walk(&taken.walks[0]).expect("there");
    let judged = judge(
        book.boat(),
        book.library(),
        book.history(),
        &condition,
        walk,
    );
    assert_eq!(
        judged.now,
        Some(Verdict::RunWithCare),
        "must-see items are missing"
    );
}

#[test]
fn two_readings_of_a_batch_that_contradict_are_refused_with_both_ids() {
    let at = |id: &str, day: u8, hours: f64| {
        let text = walk(day, "").replace("\"looks\"", &format!("\"hours\":{hours},\"looks\""));
        text.replacen("{", &format!("{{\"id\":\"{id}\","), 1)
    };
    for (day, hours) in [(11, 999.0), (10, 999.0), (11, 1030.0), (9, 1001.0)] {
        let batch = format!("{}\n{}", at("w1", 10, 1000.0), at("w2", day, hours));
        let (field, message) = one().one_fault(&batch);
        assert_eq!(field, "hours");
        let both = message.contains("'w1' (1000.0 h)") && message.contains("'w2' (");
        assert!(both && message.contains("\"corrects\""), "{message}");
    }
    let batch = format!("{}\n{}", at("w1", 10, 1000.0), at("w2", 10, 1000.0));
    one().take(&batch).expect("they say the same");
}

#[test]
fn a_service_of_a_batch_takes_the_place_of_one_that_contradicts_it() {
    let service = |id: &str, hours: f64, more: &str| {
        format!(
            r#"{{"type":"service","id":"{id}","task":"oil-and-filter","at":"2026-05-10T08:00:00Z","hours":{hours}{more}}}"#
        )
    };
    let first = service("s1", 1210.0, "");
    let (_, message) = one().one_fault(&format!("{first}\n{}", service("s2", 1201.0, "")));
    assert!(message.contains(r#""corrects":"s1""#), "{message}");
    let corrects = service("s2", 1201.0, r#","corrects":"s1""#);
    let mut aboard = one();
    aboard.take(&format!("{first}\n{corrects}")).expect("taken");
    let services = &aboard.book.history().services;
    assert_eq!(services.len(), 1);
    assert_eq!(services[0].id, "s2");
}
