//! What a service does to the items.

use super::*;
use crate::boat::{Measure, Unit};
use crate::defects::State;
use crate::service::{disturbed_since, disturbed_since_leak_run};

#[test]
fn what_it_renews_restarts_at_sound_with_a_look_owed() {
    let mut story = Story::new();
    story.look("2026-05-01", graded("raw-water-impeller", Grade::Failing));
    story.done("2026-05-03", "raw-water-impeller", Some(1203.6));
    let (condition, _) = story.condition("2026-05-04");
    let life = condition
        .life("raw-water-impeller", "main")
        .expect("a life");
    assert_eq!(life.status.grade, Some(Grade::Sound));
    assert_eq!(life.status.fitted, Some(at("2026-05-03")));
    assert!(life.status.unconfirmed);
    assert_eq!(life.current().map(|d| d.state), Some(State::Repaired));
    story.look("2026-05-05", graded("raw-water-impeller", Grade::Sound));
    let (condition, _) = story.condition("2026-05-06");
    let life = condition
        .life("raw-water-impeller", "main")
        .expect("a life");
    assert_eq!(life.defects[0].state, State::Confirmed);
}

#[test]
fn fresh_oil_begins_a_new_series_and_mends_nothing() {
    let percent = |value: f64, grade| {
        let mut look = graded("engine-oil-level", grade);
        look.reading = Some(Measure::new(value, Unit::Percent).expect("a measure"));
        look.phase = Some("cold".into());
        look
    };
    let mut story = Story::new();
    story.look("2026-05-01", percent(50.0, Grade::Sound));
    story.look("2026-05-02", percent(95.0, Grade::Failing));
    let stop = |story: &Story, day: &str| {
        let (condition, _) = story.condition(day);
        let item = condition
            .library
            .catalogue
            .item("engine-oil-level")
            .cloned();
        let life = condition.life("engine-oil-level", "main").expect("a life");
        let item = item.expect("known");
        let subject = condition.subject(&item.id, "main");
        let rule = condition.stop_rule(&subject, &item, life, condition.boat.waters);
        let rise = life.status.rise.map(|r| r.by);
        (rule.is_some(), life.status.readings.len(), rise)
    };
    assert_eq!(stop(&story, "2026-05-03"), (true, 2, Some(45.0)));
    story.done("2026-05-03", "oil-and-filter", Some(1203.0));
    // Readings begin anew; the stop stays until somebody looks.
    assert_eq!(stop(&story, "2026-05-04"), (true, 0, Some(45.0)));
    story.look("2026-05-04", percent(90.0, Grade::Sound));
    assert_eq!(
        stop(&story, "2026-05-05"),
        (false, 1, None),
        "no rise against the old oil"
    );
}

#[test]
fn an_overfill_is_found_as_ever() {
    let mut story = Story::new();
    story.done("2026-05-03", "oil-and-filter", Some(1203.0));
    let mut look = graded("engine-oil-level", Grade::Failing);
    look.reading = Some(Measure::new(115.0, Unit::Percent).expect("a measure"));
    story.look("2026-05-04", look);
    let (condition, _) = story.condition("2026-05-05");
    let (exposure, waters) = condition.usual_plan();
    let list = condition.list(crate::defects::list::Scenario::new(exposure, waters), false);
    assert_eq!(list.rows[0].item, "engine-oil-level");
    assert!(list.rows[0].stop);
}

#[test]
fn looks_are_owed_and_join_the_next_walk() {
    let mut story = Story::new();
    story.done("2026-05-03", "oil-and-filter", Some(1203.6));
    let told: Vec<_> = story
        .rechecks("2026-05-03")
        .into_iter()
        .map(|r| {
            (
                r.item,
                r.due_date.map(|d| d.to_string()),
                r.due_hours.map(Hours::get),
            )
        })
        .collect();
    let hours_date = told[1].1.clone();
    assert_eq!(
        told,
        [
            (
                "engine-oil-level".to_owned(),
                Some("2026-05-04".to_owned()),
                None
            ),
            (
                "oil-filter-seat".to_owned(),
                hours_date.clone(),
                Some(1208.6)
            ),
            ("engine-oil-condition".to_owned(), hours_date, Some(1208.6)),
        ]
    );
    let joins = |story: &Story, day: &str| -> Vec<String> {
        let (condition, history) = story.condition(day);
        let joins = condition.joins_any(&history, "main").into_iter();
        joins
            .filter(|j| j.why.starts_with("owed"))
            .map(|j| j.item)
            .collect()
    };
    assert!(joins(&story, "2026-05-03").is_empty());
    assert_eq!(joins(&story, "2026-05-04"), ["engine-oil-level"]);
    story.look(
        "2026-05-04T09:00:00+02:00",
        graded("engine-oil-level", Grade::Sound),
    );
    assert!(joins(&story, "2026-05-05").is_empty());
    story.read_meter("2026-05-06", 1208.6);
    assert_eq!(
        joins(&story, "2026-05-06"),
        ["oil-filter-seat", "engine-oil-condition"]
    );
}

#[test]
fn without_a_meter_a_look_is_owed_by_the_rate_of_use_within_a_month() {
    let due_at = |usual: f64| {
        let mut story = Story::with(serde_json::json!([{"id": "main", "name": "Main engine"}]));
        story.boat.usual_hours_per_month = usual;
        let id = story.done("2026-05-03", "drive-belts", None);
        let owed = story.service(&id).owed;
        assert_eq!(owed[0].due_hours, None);
        owed[0].due_at.expect("a time")
    };
    // Five hours at half an hour a day.
    assert_eq!(due_at(15.21875), at("2026-05-13"));
    assert_eq!(due_at(0.0), at("2026-06-02"));
    assert_eq!(due_at(700.0), at("2026-05-04T06:00:00+02:00"));
}

#[test]
fn the_same_work_again_owes_its_looks_anew_and_not_twice() {
    let mut story = Story::new();
    story.done("2026-05-03", "drive-belts", Some(1203.0));
    story.done(
        "2026-05-03T09:00:00+02:00",
        "raw-water-impeller",
        Some(1203.0),
    );
    assert_eq!(story.rechecks("2026-05-03T10:00:00+02:00").len(), 3);
    let again = story.done("2026-06-03", "drive-belts", Some(1230.0));
    let rechecks = story.rechecks("2026-06-03");
    assert_eq!(rechecks.len(), 3, "{rechecks:?}");
    let belt = rechecks
        .iter()
        .find(|r| r.item == "drive-belt")
        .expect("a belt");
    assert_eq!(belt.id, format!("{again}.owed.1"));
}

#[test]
fn an_undo_takes_back_all_it_did() {
    let mut story = Story::new();
    story.look("2026-05-01", graded("drive-belt", Grade::Worn));
    let before = (story.history(), story.due("2026-05-06"));
    let id = story.done("2026-05-03", "drive-belts", Some(1203.0));
    assert_ne!(story.due("2026-05-06"), before.1);
    let undone = story.tell("2026-05-04", undo(&id));
    let mut after = story.history();
    // That it was written and taken back stays on record.
    (after.latest, after.length) = (before.0.latest, before.0.length);
    assert_eq!((after, story.due("2026-05-06")), before);
    story.tell("2026-05-05", undo(&undone));
    assert_eq!(
        story.history().services.len(),
        1,
        "and an undo can be undone"
    );
}

#[test]
fn joints_disturbed_are_there_for_the_leak_run() {
    let mut story = Story::new();
    let first = story.done("2026-05-01", "oil-and-filter", Some(1202.0));
    story.done("2026-05-02", "drive-belts", Some(1202.5));
    let (condition, history) = story.condition("2026-05-03");
    let items = |since| -> Vec<String> {
        let all = disturbed_since(&history, "main", since).into_iter();
        all.map(|d| d.item).collect()
    };
    assert_eq!(
        items(None),
        [
            "oil-filter-seat",
            "sump-drain-plug",
            "drive-belt",
            "pulleys-and-guards",
            "alternator"
        ]
    );
    assert_eq!(items(Some(at("2026-05-01"))).len(), 3, "after, not at");
    let all = disturbed_since_leak_run(&condition, &history, "main");
    assert_eq!((all.len(), &all[0].service), (5, &first));
    assert!(disturbed_since(&history, "port", None).is_empty());
    // A finished leak run begins the count anew.
    let walk = begun("run", "leak-run", "2026-05-02T07:00:00+02:00");
    story.tell("2026-05-02", Record::from(walk));
    let (condition, history) = story.condition("2026-05-03");
    assert_eq!(
        disturbed_since_leak_run(&condition, &history, "main").len(),
        5
    );
    let finished = WalkFinished {
        walk: "run".into(),
        at: at("2026-05-02T07:30:00+02:00"),
        pace: None,
        said: None,
    };
    story.tell("2026-05-02", Record::from(finished));
    let (condition, history) = story.condition("2026-05-03");
    let left = disturbed_since_leak_run(&condition, &history, "main");
    assert_eq!(left.len(), 3, "{left:?}");
}
