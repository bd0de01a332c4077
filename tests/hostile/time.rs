//! Clocks that jump, zones that change, days that are rare.

use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use chrono::{DateTime, FixedOffset};
use handlamp::checklist::Library;
use handlamp::demo;
use handlamp::logbook::book::Book;
use handlamp::logbook::import::import;
use handlamp::logbook::input::read_documents;
use handlamp::logbook::{Clock, FixedClock, ProblemKind};
use serde_json::json;

use super::place::Place;

fn at(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a time")
}

fn open(root: &std::path::Path, clock: &Rc<FixedClock>) -> Book {
    let clock: Rc<dyn Clock> = Rc::clone(clock) as Rc<dyn Clock>;
    Book::open(root, clock, Arc::new(Library::built_in().clone()), None).expect("it opens")
}

fn kinds(book: &Book) -> Vec<ProblemKind> {
    book.problems().iter().map(|p| p.kind).collect()
}

fn repair(book: &mut Book, done: &str, when: DateTime<FixedOffset>) {
    use handlamp::defects::Repair;
    use handlamp::logbook::record::Record;
    let text = json!({"item":"drive-belt","machine":"main","at":when.to_rfc3339(),"done":done})
        .to_string();
    let repair: Repair = serde_json::from_str(&text).expect("a repair");
    book.record(vec![Record::from(repair)]).expect("recorded");
    assert_eq!(book.unsaved(), 0);
}

/// The clock goes back an hour, ten years, to 1970, and on to 2106 within one session: nothing is
/// refused, what was recorded later comes later, and durations do not mind.
#[test]
fn a_clock_that_jumps_refuses_nothing_and_keeps_the_order() {
    let dir = tempfile::tempdir().expect("a folder");
    let clock = Rc::new(FixedClock::new(at("2026-05-03T09:00:00+02:00")));
    let library = Arc::new(Library::built_in().clone());
    let boat = serde_json::from_str(super::place::PROFILE).expect("a boat");
    let mut book = Book::create(
        dir.path(),
        boat,
        Rc::clone(&clock) as Rc<dyn Clock>,
        library,
        None,
    )
    .expect("made");
    let jumps = [
        "2026-05-03T09:01:00+02:00",
        "2026-05-03T08:00:00+02:00",
        "2016-05-03T08:00:00+02:00",
        "1970-01-01T00:00:00Z",
        "1969-12-31T23:00:00Z",
        "2106-02-07T06:28:16Z",
        "2026-05-03T09:05:00+02:00",
    ];
    let started = clock.monotonic();
    for (n, jump) in jumps.iter().enumerate() {
        clock.set(at(jump));
        clock.advance(Duration::from_secs(1));
        repair(&mut book, &n.to_string(), at("2026-05-03T09:00:00+02:00"));
    }
    assert_eq!(clock.monotonic() - started, Duration::from_secs(7));
    book.finish();
    let again = open(dir.path(), &clock);
    let said: Vec<String> = again
        .history()
        .repairs
        .iter()
        .map(|r| r.rec.done.clone())
        .collect();
    let mut sorted = said.clone();
    sorted.sort();
    assert_eq!(sorted.len(), jumps.len(), "all are there");
    let written: Vec<_> = again.written().iter().skip(1).map(|w| w.at).collect();
    assert_eq!(written.len(), jumps.len());
    assert!(
        kinds(&again).iter().all(|k| *k == ProblemKind::ClockAhead),
        "{:?}",
        again.problems()
    );
    // Before the wild mark the order is that of recording, whatever the wall said.
    let order: Vec<String> = again
        .written()
        .iter()
        .skip(1)
        .map(|w| match &w.record {
            handlamp::logbook::record::Record::Repair(r) => r.done.clone(),
            other => other.event().to_owned(),
        })
        .collect();
    let position = |n: usize| {
        order
            .iter()
            .position(|d| *d == n.to_string())
            .expect("there")
    };
    assert!((0..4).all(|n| position(n) < position(n + 1)), "{order:?}");
}

#[test]
fn a_clock_behind_its_own_records_is_told_when_the_logbook_opens() {
    let dir = tempfile::tempdir().expect("a folder");
    let clock = Rc::new(FixedClock::new(at("2026-05-03T09:00:00+02:00")));
    let library = Arc::new(Library::built_in().clone());
    demo::write_to(dir.path(), Rc::clone(&clock) as Rc<dyn Clock>, &library)
        .expect("the demo boat");
    let mut book = open(dir.path(), &clock);
    repair(&mut book, "now", at("2026-05-03T09:00:00+02:00"));
    book.finish();
    for (wall, told) in [
        ("2026-05-03T09:00:01+02:00", false),
        ("2026-05-03T08:55:00+02:00", false),
        ("2026-05-03T08:00:00+02:00", true),
        ("2016-05-03T08:00:00+02:00", true),
        ("1970-01-01T00:00:05Z", true),
        ("2027-05-03T08:00:00+02:00", false),
        ("2106-02-07T06:28:16Z", false),
    ] {
        clock.set(at(wall));
        let book = open(dir.path(), &clock);
        let expected = if told {
            vec![ProblemKind::ClockBehind]
        } else {
            Vec::new()
        };
        assert_eq!(kinds(&book), expected, "{wall}: {:?}", book.problems());
        // A wrong clock makes no list, and none fails.
        let condition = book.condition();
        let (exposure, waters) = condition.usual_plan();
        let list = condition.list(
            handlamp::defects::list::Scenario::new(exposure, waters),
            true,
        );
        assert!(list.rows.iter().all(|row| row.chance.is_finite()));
    }
}

#[test]
fn a_zone_goes_with_each_record_and_an_unknown_one_is_utc() {
    for (zone, offset) in [
        ("Pacific/Auckland", "+1"),
        ("Europe/Lisbon", "+0"),
        ("UTC", "+00:00"),
        (":bogus", "+00:00"),
        ("", "+00:00"),
        ("\u{1b}[2J", "+00:00"),
    ] {
        let place = Place::with_findings();
        let mut command = place.command();
        let args = ["repair", "drive-belt", "--done", "new belt", "--json"];
        let run = place.finish(
            &args,
            command.env("TZ", zone).args(args).output().expect("run"),
        );
        assert_eq!(run.code, Some(0), "{zone:?}: {run}");
        let mut export = place.command();
        assert!(
            export
                .args(["logbook", "export", "tables"])
                .status()
                .expect("run")
                .success()
        );
        let repairs =
            std::fs::read_to_string(place.path().join("tables/repairs.ndjson")).expect("repairs");
        let row: serde_json::Value =
            serde_json::from_str(repairs.lines().next().expect("a row")).expect("JSON");
        let said = row["at"].as_str().expect("a time").replace('Z', "+00:00");
        assert!(said[19..].contains(offset), "{zone:?}: {said}");
    }
    let place = Place::with_findings();
    let mut command = place.command();
    let run = place.finish(
        &["walks"],
        command.env_remove("TZ").arg("walks").output().expect("run"),
    );
    assert_eq!(run.code, Some(0), "{run}");
}

#[test]
fn walks_are_told_apart_by_id_when_clocks_repeat_an_hour_or_cross_the_date_line() {
    let place = Place::with_boat();
    // One hour comes twice at the end of summer time; a day is crossed twice at the date line.
    let times = [
        "2025-10-26T01:30:00+01:00",
        "2025-10-26T01:30:00+00:00",
        "2025-11-02T09:00:00+12:00",
        "2025-11-01T21:30:00-11:00",
        "2025-11-01T23:59:59-11:00",
        "2026-03-29T00:59:59+00:00",
        "2026-03-29T02:00:01+01:00",
    ];
    let mut place = place;
    place.at("2026-05-03T09:00:00+02:00");
    for (n, time) in times.iter().enumerate() {
        place.record(&json!({"type":"walk","id":format!("w{n}"),"checklist":"daily","at":time,"looks":[{"item":"drive-belt","grade":"early"}]}));
    }
    let walks = place.json("walks", &["walks"]);
    let rows = walks["rows"].as_array().expect("rows");
    assert_eq!(rows.len(), times.len());
    let mut instants: Vec<_> = rows
        .iter()
        .map(|r| at(r["at"].as_str().expect("a time")).to_utc())
        .collect();
    assert!(
        instants.is_sorted() || instants.iter().rev().is_sorted(),
        "{instants:?}"
    );
    instants.dedup();
    assert_eq!(instants.len(), times.len());
    let offsets: Vec<&str> = rows
        .iter()
        .map(|r| r["at"].as_str().expect("a time"))
        .collect();
    assert!(
        times.iter().all(|t| offsets
            .iter()
            .any(|o| at(o) == at(t) && at(o).offset() == at(t).offset())),
        "{offsets:?}"
    );
}

#[test]
fn leap_days_ends_of_years_and_leap_seconds_are_days_and_seconds() {
    let mut place = Place::with_boat();
    place.at("2028-12-31T23:59:59Z");
    for (n, time) in [
        "2028-02-29T12:00:00Z",
        "2026-12-31T23:59:60Z",
        "2027-01-01T00:00:00Z",
        "2028-02-29T23:59:60+00:00",
    ]
    .iter()
    .enumerate()
    {
        place.record(&json!({"type":"walk","id":format!("w{n}"),"checklist":"daily","at":time,"looks":[{"item":"drive-belt","grade":"worn"}]}));
    }
    for until in ["2029-02-28", "2032-02-29"] {
        place.record(&json!({"type":"deferral","item":"drive-belt","why":"no part","until":until}));
    }
    for (field, value) in [
        ("until", "2029-02-29"),
        ("until", "2028-13-01"),
        ("until", "2029-06-31"),
    ] {
        let run = place.run_with_input(
            &["record", "-"],
            &json!({"type":"deferral","item":"drive-belt","why":"no part",field:value}).to_string(),
        );
        assert_eq!(run.code, Some(2), "{value}: {run}");
        assert!(run.stderr.contains(field), "{run}");
    }
    for time in [
        "2027-02-29T12:00:00Z",
        "2028-02-30T12:00:00Z",
        "2028-01-01T24:00:00Z",
        "2028-01-01T12:00:61Z",
        "2028-01-01",
    ] {
        let run = place.run_with_input(
            &["record", "-"],
            &json!({"type":"repair","item":"drive-belt","done":"x","at":time}).to_string(),
        );
        assert_eq!(run.code, Some(2), "{time}: {run}");
    }
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
    for now in [
        "2028-02-29T00:00:00Z",
        "2028-12-31T23:59:60Z",
        "2029-02-28T12:00:00Z",
        "9999-12-31T23:59:59Z",
        "0000-01-01T00:00:00Z",
    ] {
        for args in [
            &["defects"][..],
            &["walks"],
            &["verdict"],
            &["due"],
            &["leaving", "--work", "6h", "--days", "3"],
            &["fleet", "."],
            &["hand-over", "--to", "page.html"],
            &["explain", "drive-belt"],
            &["logbook", "check"],
        ] {
            let run = place.run_at(now, args);
            assert!(matches!(run.code, Some(0..=2)), "{now}: {run}");
            assert!(!run.stderr.contains("panicked"), "{now}: {run}");
        }
    }
}

/// Records dated at the ends of the calendar, taken in-process: they are refused or taken, and what
/// is taken can be judged.
#[test]
fn the_ends_of_the_calendar_break_nothing() {
    for now in [
        "0000-01-01T00:00:00Z",
        "9999-12-31T23:59:59Z",
        "2026-05-03T09:00:00+02:00",
    ] {
        for when in [
            "0000-01-01T00:00:00-23:59",
            "0001-01-01T00:00:00Z",
            "9999-12-31T23:59:60+23:59",
            "9999-12-31T23:59:59-23:59",
        ] {
            let dir = tempfile::tempdir().expect("a folder");
            let clock = Rc::new(FixedClock::new(at(now)));
            let library = Arc::new(Library::built_in().clone());
            let boat = serde_json::from_str(super::place::PROFILE).expect("a boat");
            let mut book = Book::create(
                dir.path(),
                boat,
                Rc::clone(&clock) as Rc<dyn Clock>,
                library,
                None,
            )
            .expect("made");
            let text = json!([
                {"type":"walk","checklist":"daily","at":when,"hours":1201,"looks":[{"item":"drive-belt","grade":"worn"}]},
                {"type":"fitted","item":"raw-water-impeller","at":when,"hours":1},
                {"type":"recheck","item":"drive-belt","due_at":when,"why":"x"},
            ])
            .to_string();
            let documents = read_documents("x", &text).expect("documents");
            for document in documents {
                let _ = import(&mut book, &[document]);
            }
            let condition = book.condition();
            let (exposure, waters) = condition.usual_plan();
            let list = condition.list(
                handlamp::defects::list::Scenario::new(exposure, waters),
                true,
            );
            assert!(list.rows.iter().all(|row| row.chance.is_finite()));
            assert_eq!(
                open(dir.path(), &clock).written().len(),
                book.written().len()
            );
        }
    }
}
