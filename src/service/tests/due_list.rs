use chrono::NaiveDate;
use proptest::prelude::*;

use super::*;
use crate::checklist::UnknownAge;
use crate::service::Group;

fn date(text: &str) -> Option<NaiveDate> {
    Some(text.parse().expect("a date"))
}

#[test]
fn a_task_is_due_by_hours_or_months_whichever_comes_first() {
    let mut story = Story::new();
    story.done("2026-05-03", "fuel-fine-filter", Some(1203.5));
    let row = story.task("2026-05-03", "fuel-fine-filter");
    assert_eq!(row.due_hours, Some(hours(1403.5)));
    assert_eq!(row.hours_left, Some(200.0));
    // 3.5 h in a week: half an hour a day, so the year comes before the 400 days.
    assert_eq!((row.due_date, row.about), (date("2027-05-03"), false));
    assert_eq!(row.days_left, Some(365.0));
    assert!(row.on_record && !row.due);
    assert_eq!(
        row.why,
        "every 200 h or 12 months; last done 3 May 2026 at 1203.5 h"
    );
    story.read_meter("2026-05-10", 1263.5);
    let row = story.task("2026-05-10", "fuel-fine-filter");
    assert!(row.about, "it runs more now: {row:?}");
    assert!(row.due_date < date("2026-07-10"), "{row:?}");
}

#[test]
fn it_is_due_to_the_tenth_of_an_hour() {
    let mut story = Story::new();
    story.done("2026-05-03", "fuel-fine-filter", Some(1203.6));
    story.read_meter("2026-07-01", 1403.5);
    let row = story.task("2026-07-01", "fuel-fine-filter");
    assert_eq!((row.hours_left, row.due), (Some(0.1), false));
    story.read_meter("2026-07-02", 1403.6);
    let row = story.task("2026-07-02", "fuel-fine-filter");
    assert_eq!((row.hours_left, row.due), (Some(0.0), true));
}

#[test]
fn it_is_due_to_the_minute() {
    let mut story = Story::new();
    story.done("2026-05-31T07:40:00+02:00", "gearbox-oil", None);
    let before = story.task("2027-05-31T07:39:00+02:00", "gearbox-oil");
    assert!(!before.due);
    assert!(story.task("2027-05-31T07:40:00+02:00", "gearbox-oil").due);
    assert_eq!(before.due_date, date("2027-05-31"));
    assert_eq!(before.due_hours, None, "no bound in hours");
}

#[test]
fn the_first_interval_on_record_and_after_long_standing_is_the_short_one() {
    let mut story = Story::new();
    story.done("2026-05-03", "oil-and-filter", Some(1203.6));
    let first = story.task("2026-05-03", "oil-and-filter");
    assert_eq!(first.due_hours, Some(hours(1253.6)));
    assert_eq!(
        first.why,
        "every 50 h or 6 months after the first time on record; last done 3 May 2026 at 1203.6 h"
    );
    story.done("2026-07-03", "oil-and-filter", Some(1253.0));
    let second = story.task("2026-07-03", "oil-and-filter");
    assert_eq!(second.due_hours, Some(hours(1353.0)));
    story.done("2027-07-03", "oil-and-filter", Some(1253.4));
    let stood = story.task("2027-07-03", "oil-and-filter");
    assert_eq!(stood.due_hours, Some(hours(1303.4)));
    assert!(stood.why.contains("after long standing"), "{}", stood.why);
}

#[test]
fn the_handbook_figure_of_this_machine_outranks_ours() {
    let mut story = Story::new();
    story.done("2026-05-03", "oil-and-filter", Some(1203.6));
    story.set("2026-05-04", "oil-and-filter", Some(200), None);
    let row = story.task("2026-05-05", "oil-and-filter");
    assert_eq!(
        row.due_hours,
        Some(hours(1403.6)),
        "the short first one too"
    );
    assert_eq!(row.due_date, date("2026-11-03"), "months stay ours");
    assert!(
        row.why
            .contains("every 200 h or 6 months as set for this machine (handbook, page 9)")
    );
    story.set("2026-05-06", "oil-and-filter", Some(200), Some(0));
    let row = story.task("2026-05-07", "oil-and-filter");
    assert!(row.about, "no bound in months: {row:?}");
    story.set("2026-05-08", "oil-and-filter", None, None);
    let row = story.task("2026-05-09", "oil-and-filter");
    assert_eq!(row.due_hours, Some(hours(1253.6)), "ours again");
    story.set("2026-05-10", "oil-and-filter", Some(0), Some(0));
    let rows = story.due("2026-05-11");
    assert!(rows.iter().all(|r| r.id != "oil-and-filter"));
}

#[test]
fn what_nobody_knows_the_age_of_is_due_now_and_not_in_a_year() {
    let mut story = Story::new();
    let row = story.task("2026-05-03", "oil-and-filter");
    assert_eq!((row.due, row.on_record), (true, false));
    assert_eq!(row.unknown_age, Some(UnknownAge::Due));
    assert_eq!(row.group(), Group::FirstSeason);
    assert_eq!(
        (row.due_date, row.due_hours, row.days_left),
        (None, None, None)
    );
    assert!(
        row.why
            .ends_with("not done on record, and nobody said when last, so it is due now"),
        "{}",
        row.why
    );
    // Said not to be known it stays so.
    story.remember("2026-05-03", "oil-and-filter", None);
    let row = story.task("2026-05-03", "oil-and-filter");
    assert_eq!(row.unknown_age, Some(UnknownAge::Due));
    assert!(row.why.contains("nobody knows when it was last done"));
    // A part known to be fitted on a day counts from that day.
    story.fitted("2025-06-01", "raw-water-impeller", Some("main"));
    let row = story.task("2026-05-03", "raw-water-impeller");
    assert!(row.on_record && row.unknown_age.is_none());
    assert_eq!(row.due_date, date("2026-06-01"));
}

#[test]
fn a_last_time_that_is_remembered_counts_until_one_is_on_record() {
    let mut story = Story::new();
    story.remember("2026-05-03", "gearbox-oil", Some("2025-09-01"));
    let row = story.task("2026-05-03", "gearbox-oil");
    assert_eq!((row.due_date, row.due), (date("2026-09-01"), false));
    assert_eq!((row.on_record, row.unknown_age), (false, None));
    assert_eq!(row.group(), Group::NotOnRecord);
    assert!(
        row.why
            .ends_with("last done 1 Sep 2025, as remembered on 3 May 2026"),
        "{}",
        row.why
    );
    // The last word counts, also where it takes an answer back.
    story.remember("2026-05-04", "gearbox-oil", Some("2024-09-01"));
    assert!(story.task("2026-05-04", "gearbox-oil").due);
    story.remember("2026-05-05", "gearbox-oil", None);
    let row = story.task("2026-05-05", "gearbox-oil");
    assert_eq!(row.unknown_age, Some(UnknownAge::Due));
    story.done("2026-05-06", "gearbox-oil", Some(1205.0));
    let row = story.task("2026-05-06", "gearbox-oil");
    assert_eq!((row.due_date, row.on_record), (date("2027-05-06"), true));
    // What it renews is as old, so that a part past its life says so.
    story.remember("2026-05-06", "raw-water-impeller", Some("2022-05-01"));
    let (condition, _) = story.condition("2026-05-07");
    let life = condition
        .life("raw-water-impeller", "main")
        .expect("a life");
    assert_eq!(life.status.fitted, Some(at("2022-05-01")));
    assert_eq!(life.status.grade, None, "an age is no look");
}

#[test]
fn a_look_starts_the_clock_of_what_can_be_judged_by_looking() {
    let mut story = Story::new();
    let row = story.task("2026-05-03", "hoses");
    assert_eq!(row.unknown_age, Some(UnknownAge::Look));
    assert!(row.due, "due to be looked at");
    story.look("2026-05-03", graded("coolant-hoses", Grade::Sound));
    story.look("2026-06-03", graded("coolant-hoses", Grade::Sound));
    let row = story.task("2026-06-03", "hoses");
    assert_eq!((row.unknown_age, row.due), (None, false));
    assert_eq!(row.due_date, date("2027-05-03"), "the first look counts");
    // No look tells how old oil is.
    story.look("2026-06-04", graded("oil-filter-seat", Grade::Sound));
    let row = story.task("2026-06-04", "oil-and-filter");
    assert_eq!(row.unknown_age, Some(UnknownAge::Due));
}

#[test]
fn the_first_season_is_one_list_in_order_after_what_is_overdue() {
    let mut story = Story::new();
    story.done("2025-05-01", "gearbox-oil", None);
    story.done("2026-05-01", "coolant", None);
    let rows = story.due("2026-05-03");
    let groups: Vec<Group> = rows.iter().map(DueRow::group).collect();
    let first = groups.iter().position(|g| *g == Group::FirstSeason);
    let first = first.expect("a first season");
    assert!(groups[..first].iter().all(|g| *g == Group::Now));
    assert!(rows[..first].iter().any(|r| r.id == "gearbox-oil"));
    let season: Vec<&DueRow> = rows.iter().filter(|r| r.unknown_age.is_some()).collect();
    assert!(
        groups[first..first + season.len()]
            .iter()
            .all(|g| *g == Group::FirstSeason)
    );
    let order = |r: &&DueRow| (r.severity, r.unknown_age);
    assert!(
        season.is_sorted_by_key(order),
        "the worst that can follow first"
    );
    assert!(season.iter().all(|r| r.calendar_day(a_day()).is_none()));
}

fn a_day() -> NaiveDate {
    date("2026-05-03").expect("a day")
}

#[test]
fn a_meter_nobody_read_stays_unread() {
    let mut story = Story::new();
    let id = story.done("2026-05-06", "fuel-fine-filter", None);
    assert_eq!(story.service(&id).hours, None);
    let row = story.task("2026-05-06", "fuel-fine-filter");
    assert!(
        row.why
            .ends_with("last done 6 May 2026, the meter not read, so its hours are an estimate"),
        "{}",
        row.why
    );
    // Ten days at half an hour since the profile's reading.
    assert_eq!(row.due_hours, Some(hours(1405.0)));
    // Where there is no meter at all there is nothing for it to show.
    let mut story = Story::with(serde_json::json!([{"id": "main", "name": "Main engine"}]));
    story.done("2026-05-06", "fuel-fine-filter", None);
    let row = story.task("2026-05-16", "fuel-fine-filter");
    assert_eq!(row.due_hours, None);
    assert_eq!(row.hours_left, Some(195.0));
}

#[test]
fn hours_are_told_as_the_meter_in_service_shows_them() {
    let mut story = Story::new();
    story.done("2026-05-03", "fuel-fine-filter", Some(1203.6));
    story.tell("2026-06-01", new_meter("2026-06-01", 1253.6, 0.0));
    let row = story.task("2026-06-01", "fuel-fine-filter");
    assert_eq!(row.due_hours, Some(hours(150.0)));
    assert_eq!(row.hours_left, Some(150.0));
    story.tell("2026-06-02", new_meter("2026-06-02", 0.0, 0.0));
    story.read_meter("2026-08-01", 160.0);
    let over = story.task("2026-08-01", "fuel-fine-filter");
    assert_eq!((over.hours_left, over.due), (Some(-10.0), true));
}

#[test]
fn lives_run_out_beside_the_tasks_and_are_not_told_twice() {
    let mut story = Story::new();
    let lives = |story: &Story| -> Vec<DueRow> {
        let rows = story.due("2026-05-03").into_iter();
        rows.filter(|r| r.what == What::Life).collect()
    };
    let hose = |story: &Story| {
        lives(story)
            .into_iter()
            .find(|r| r.id == "fuel-hoses")
            .expect("a hose")
    };
    assert_eq!(hose(&story).unknown_age, Some(UnknownAge::Look));
    assert_eq!(
        hose(&story).why,
        "a life of 120 months; nobody knows when it was fitted, so it is due to be looked at, and that look starts its clock"
    );
    story.fitted("2016-05-02", "fuel-hoses", Some("main"));
    assert_eq!(hose(&story).due_date, date("2026-05-02"));
    assert!(hose(&story).due);
    assert_eq!(hose(&story).why, "a life of 120 months; fitted 2 May 2016");
    let told: Vec<_> = lives(&story).into_iter().map(|r| r.id).collect();
    for renewed in [
        "raw-water-impeller",
        "fire-extinguisher",
        "dripless-shaft-seal",
    ] {
        assert!(!told.contains(&renewed.to_owned()), "{renewed} is a task");
    }
}

#[test]
fn the_next_look_at_a_defect_stands_in_the_list() {
    let mut story = Story::new();
    story.look("2026-05-02", graded("fuel-hoses", Grade::Early));
    let rows = story.due("2026-05-03");
    let look = rows.iter().find(|r| r.what == What::Look).expect("a look");
    assert_eq!(
        (look.id.as_str(), look.item.as_str()),
        ("fuel-hoses", "fuel-hoses")
    );
    let (condition, _) = story.condition("2026-05-03");
    let (exposure, waters) = condition.usual_plan();
    let list = condition.list(crate::defects::list::Scenario::new(exposure, waters), false);
    let wait = list.rows[0].look_again_within.expect("a wait");
    assert_eq!(look.due_date, wait.date);
    assert!(
        look.hours_left
            .zip(wait.hours)
            .is_some_and(|(h, left)| (h - left).abs() < 2e-3)
    );
}

#[test]
fn each_machine_has_its_own_and_the_boat_hers() {
    let mut story = Story::with(serde_json::json!([
        {"id": "port", "name": "Port engine", "hours": 500.0},
        {"id": "generator", "name": "Generator", "role": "generator", "hours": 50.0,
         "without": ["gearbox-oil-level", "shift-cable", "shaft-alignment", "stuffing-box", "dripless-shaft-seal"]}
    ]));
    let sheet = ServiceSheet {
        machine: Some("generator".into()),
        hours: Some(hours(55.0)),
        ..sheet("oil-and-filter")
    };
    story.try_done("2026-05-03", &sheet).expect("taken");
    let rows = story.due("2026-05-04");
    let tasks = |task: &str| -> Vec<_> {
        let rows = rows.iter().filter(|r| r.what == What::Task && r.id == task);
        rows.map(|r| (r.machine.as_deref(), r.on_record)).collect()
    };
    assert_eq!(
        tasks("oil-and-filter"),
        [(Some("port"), false), (Some("generator"), true)],
        "what nobody knows the age of comes before what is to come"
    );
    assert_eq!(tasks("gearbox-oil"), [(Some("port"), false)]);
    assert_eq!(tasks("fire-extinguisher"), [(None, false)]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// The list is in its order, and the order in which records were written has no say in it.
    #[test]
    fn the_order_is_total_and_the_same_every_time(
        done in prop::collection::vec((0usize..22, 0i64..400, prop::bool::ANY), 0..12),
        now in 400i64..900,
    ) {
        let tasks = Library::built_in().tasks();
        let mut story = Story::new();
        // Of two services of one task at one instant the place decides, and turning them turns it.
        let mut told = std::collections::HashSet::new();
        for (task, day, read) in done {
            if !told.insert((task, day)) {
                continue;
            }
            let day = days_later("2026-04-27", day);
            let service = ServiceSheet {
                hours: read.then(|| hours(1200.0)),
                ..sheet(&tasks[task % tasks.len()].id)
            };
            // One the machine has not is refused, and the rest goes on.
            let _ = story.try_done(&day, &service);
        }
        let now = days_later("2026-04-27", now);
        // Typed up afterwards, each stands at the time it tells of.
        story.written.iter_mut().skip(1).for_each(|w| w.at = at(&now));
        let rows = story.due(&now);
        prop_assert!(rows.is_sorted_by(|a, b| a.order(b) == std::cmp::Ordering::Less));
        let mut turned = story.clone();
        turned.written[1..].reverse();
        prop_assert_eq!(&turned.due(&now), &rows);
        let over = rows.iter().take_while(|r| r.unknown_age.is_none()).count();
        prop_assert!(rows[..over].iter().all(|r| r.due));
        let rows: Vec<_> = rows.into_iter().filter(|r| r.unknown_age.is_none()).collect();
        let dated = rows.iter().take_while(|r| r.days_left.is_some()).count();
        prop_assert!(rows[dated..].iter().all(|r| r.days_left.is_none()));
        let left: Vec<f64> = rows[..dated].iter().filter_map(|r| r.days_left).collect();
        prop_assert!(left.is_sorted());
    }
}

#[test]
fn a_sound_item_that_the_daily_walk_does_not_ask_is_to_be_looked_at_again() {
    let mut story = Story::new();
    story.look(
        "2026-05-03T09:00:00+02:00",
        graded("control-adjustment", Grade::Sound),
    );
    story.look(
        "2026-05-03T09:01:00+02:00",
        graded("drive-belt", Grade::Sound),
    );
    let looks = |day: &str| -> Vec<(String, Option<f64>, bool)> {
        let rows = story.due(day).into_iter();
        let looks = rows.filter(|r| r.what == What::Look);
        looks.map(|r| (r.id, r.days_left, r.due)).collect()
    };
    let next = looks("2026-05-04");
    assert_eq!(next.len(), 1, "the belt is asked every morning: {next:?}");
    let first = &next[0];
    assert_eq!(first.0, "control-adjustment");
    let days = first.1.expect("a date");
    assert!(days > 5.0 && !first.2, "{first:?}");
    let later = looks(&days_later("2026-05-04", days as i64 + 1));
    assert!(later.len() == 1 && later[0].2, "{later:?}");
}
