use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::*;
use crate::assess::words::{Risk, Verdict};
use crate::boat::{Boat, Hours};
use crate::defects::condition::Condition;
use crate::defects::judged::judge;
use crate::defects::list::{DefectList, Scenario};
use crate::defects::{History, State};
use crate::logbook::FixedClock;
use crate::logbook::fold::fold;
use crate::logbook::placed::Written;

mod time;
mod words;

const MORNING: &str = "2026-11-25T06:30:00+01:00";

fn time(text: &str) -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(text).expect("a time")
}

fn library() -> Arc<Library> {
    Arc::new(Library::built_in().clone())
}

/// The demo's records as the log would give them back.
fn written(now: DateTime<FixedOffset>) -> (Boat, Vec<Written>) {
    let (boat, records) = records(now).expect("told");
    let entry = |(n, record): (usize, Record)| Written::new(n.to_string(), now, record);
    (boat, records.into_iter().enumerate().map(entry).collect())
}

fn folded(now: DateTime<FixedOffset>) -> (Condition, History) {
    let (boat, written) = written(now);
    let history = fold(&written);
    (Condition::of(&boat, library(), &history, now), history)
}

fn list(condition: &Condition) -> DefectList {
    let (exposure, waters) = condition.usual_plan();
    condition.list(Scenario::new(exposure, waters), true)
}

/// Rows of each risk among the living.
fn risks(list: &DefectList) -> BTreeMap<&'static str, usize> {
    let mut counts = BTreeMap::new();
    let over = |s| matches!(s, State::Confirmed | State::Withdrawn);
    for row in list.rows.iter().filter(|r| !over(r.state)) {
        *counts.entry(row.risk.as_str()).or_default() += 1;
    }
    counts
}

#[test]
fn the_list_has_something_of_everything() {
    let (condition, _) = folded(time(MORNING));
    let list = list(&condition);
    let risks = risks(&list);
    for risk in [Risk::High, Risk::Serious, Risk::Medium, Risk::Low] {
        assert!(
            risks.get(risk.as_str()).is_some_and(|n| *n >= 3),
            "{risks:?}"
        );
    }
    let state = |item: &str| list.rows.iter().find(|r| r.item == item).map(|r| r.state);
    for (item, expected) in [
        ("exhaust-elbow", State::Open),
        ("dripless-shaft-seal", State::Deferred),
        ("coolant-hoses", State::Repaired),
        ("loom-chafe", State::Confirmed),
        ("fuel-bleed-and-return-unions", State::Confirmed),
        ("heat-exchanger", State::Withdrawn),
    ] {
        assert_eq!(state(item), Some(expected), "{item}");
    }
    let again = |item: &str| list.rows.iter().any(|r| r.item == item && r.reopened == 1);
    assert!(again("raw-water-pump-seal"));
    assert!(list.rows.iter().any(|r| r.past_life));
    assert!(list.rows.iter().all(|r| !r.stop));
    assert!(list.unseen.iter().any(|u| u.item == "propeller-shaft"));
}

#[test]
fn the_verdict_is_care_and_today_is_due() {
    let now = time(MORNING);
    let (condition, history) = folded(now);
    for machine in ["main", "generator"] {
        let mut walks = history.walks.iter().rev();
        let last = walks.find(|w| w.machine == machine).expect("walked");
        let judged = judge(&condition.boat, &library(), &history, &condition, last);
        assert_eq!(judged.at_walk, Some(Verdict::RunWithCare), "{machine}");
        assert_eq!(judged.now, Some(Verdict::RunWithCare), "{machine}");
    }
    let last = history.walks.last().expect("walked");
    assert_eq!((now.date_naive() - last.at.date_naive()).num_days(), 1);
    assert!(history.walks.iter().all(|w| w.finished.is_some()));
    let verdicts: Vec<_> = history
        .walks
        .iter()
        .filter(|w| w.checklist == "daily")
        .filter_map(|w| judge(&condition.boat, &library(), &history, &condition, w).at_walk)
        .collect();
    for verdict in [Verdict::ClearToRun, Verdict::RunWithCare, Verdict::DoNotRun] {
        assert!(verdicts.contains(&verdict), "{verdict:?}");
    }
}

#[test]
fn a_recheck_of_a_later_month_is_not_owed_by_an_old_leak_run() {
    let (condition, history) = folded(time(MORNING));
    let owed = condition
        .owed(&history)
        .find(|o| o.recheck.rec.item == "exhaust-elbow");
    assert!(owed.is_some_and(|o| !o.due));
    let mut runs = history.walks.iter().filter(|w| w.checklist == "leak-run");
    let first = runs.next().expect("a leak run");
    let judged = judge(&condition.boat, &library(), &history, &condition, first);
    assert_eq!(judged.at_walk, Some(Verdict::SignedOffWithRecheck));
    assert!(
        judged
            .reasons
            .iter()
            .all(|r| r.rule != "elbow off and look inside")
    );
}

#[test]
fn she_was_walked_for_most_of_a_year() {
    let (_, history) = folded(time(MORNING));
    let walks = history.walks.len();
    assert!((140..=180).contains(&walks), "{walks} walks");
    // A weekly row that also names an item she lacks is asked weekly all the same.
    let colour = |w: &&crate::walk::Walk| w.machine == "main" && w.saw("coolant-condition");
    let asked = history.walks.iter().filter(colour).count();
    assert!((20..=45).contains(&asked), "{asked}");
}

#[test]
fn she_ran_as_the_story_says() {
    let now = time(MORNING);
    let (condition, history) = folded(now);
    assert_eq!(condition.boat.machines[0].hours, Hours::new(1240.3).ok());
    let ago = |days| now - chrono::Duration::days(days);
    let run = |machine: &str, from, to| {
        let all = history.hour_readings(machine);
        let at = |time| all.iter().rev().find(|(t, _)| *t <= time).map(|(_, h)| *h);
        at(to)
            .zip(at(from))
            .map_or(0.0, |(to, from): (Hours, Hours)| to.since(from))
    };
    let cruise = run("main", ago(103), ago(73));
    assert!((50.0..75.0).contains(&cruise), "{cruise} h");
    let year = run("main", ago(245), now);
    assert!((130.0..220.0).contains(&year), "{year} h");
    let idle = history
        .walks
        .iter()
        .filter(|w| w.at > ago(135) && w.at < ago(122));
    assert_eq!(idle.count(), 0);
    assert!(history.walks.iter().any(|w| w.hours.is_none()));
    assert_eq!(history.meters.len(), 1);
    let generator = history.hour_readings("generator");
    let ran = generator
        .last()
        .zip(generator.first())
        .map(|(l, f)| l.1.since(f.1));
    assert!(ran.is_some_and(|h| h > 15.0), "{ran:?}");
    for machine in ["main", "generator"] {
        assert!(
            history
                .hour_readings(machine)
                .is_sorted_by_key(|(_, total)| *total)
        );
    }
}

#[test]
fn the_same_day_tells_the_same_story_and_another_day_one_like_it() {
    let evening = records(time("2026-11-25T23:10:00+01:00")).expect("told");
    assert_eq!(records(time(MORNING)).expect("told"), evening);
    let (condition, _) = folded(time(MORNING));
    let expected = risks(&list(&condition));
    for other in [
        "2028-02-29T12:00:00Z",
        "2031-07-04T01:00:00-09:30",
        "1999-01-01T00:00:00+13:00",
    ] {
        let (condition, _) = folded(time(other));
        assert_eq!(risks(&list(&condition)), expected, "{other}");
    }
}

#[test]
fn texts_are_plain_and_short() {
    let (_, written) = written(time(MORNING));
    for w in &written {
        let text = w.record.payload().expect("json");
        assert!(text.bytes().all(|b| (b' '..=b'~').contains(&b)), "{text}");
        if let Record::Look(made) = &w.record {
            assert!(
                made.look.note.as_ref().is_none_or(|n| n.len() <= 72),
                "{text}"
            );
        }
    }
}

#[test]
fn it_is_written_whole_and_never_over_another() {
    let (library, now) = (library(), time(MORNING));
    let clock: Rc<dyn Clock> = Rc::new(FixedClock::new(now));
    let path = write_somewhere(Rc::clone(&clock), &library).expect("written");
    #[cfg(unix)]
    {
        let mode = std::fs::metadata(&path).expect("there").permissions();
        assert_eq!(
            std::os::unix::fs::PermissionsExt::mode(&mode) & 0o777,
            0o700
        );
    }
    let book = Book::open(&path, Rc::clone(&clock), Arc::clone(&library), None).expect("a logbook");
    assert!(book.problems().is_empty(), "{:?}", book.problems());
    let (mut boat, told) = records(now).expect("told");
    boat.machines.iter_mut().for_each(|m| m.hours = None);
    assert_eq!(*book.boat(), boat);
    // The profile is a record too.
    assert_eq!(book.written().len(), told.len() + 1);
    let asked = |w: &crate::walk::Walk| w.asked.clone().expect("kept");
    let texts = Folder::new(&path).texts();
    for walk in &book.history().walks {
        assert!(texts.join(format!("{}.json", asked(walk))).exists());
    }
    let before = std::fs::read(path.join("boat.json")).expect("there");
    let again = write_to(&path, clock, &library);
    assert!(matches!(again, Err(DemoError::Occupied(_))));
    assert_eq!(
        std::fs::read(path.join("boat.json")).expect("there"),
        before
    );
    std::fs::remove_dir_all(&path).expect("ours to remove");
}

#[test]
fn where_the_calendar_ends_it_is_said_and_nothing_is_told() {
    for today in ["9999-12-01T00:00:00Z", "0003-06-01T00:00:00Z"] {
        let told = records(time(today)).expect_err("no such days");
        assert!(told.to_string().contains("no date"), "{told}");
    }
    for today in [
        "1970-01-01T00:00:00Z",
        "2024-02-29T12:00:00+05:45",
        "2099-12-31T23:59:59-11:00",
    ] {
        records(time(today)).expect("told");
    }
}
