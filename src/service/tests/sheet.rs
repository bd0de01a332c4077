//! What may be recorded.

use super::*;
use crate::service::interval_of;

fn faults(story: &mut Story, day: &str, sheet: &ServiceSheet) -> Vec<(String, String)> {
    story.try_done(day, sheet).expect_err("refused")
}

fn one(day: &str, sheet: &ServiceSheet) -> (String, String) {
    let mut story = Story::new();
    let mut found = faults(&mut story, day, sheet);
    assert_eq!(found.len(), 1, "{found:?}");
    found.remove(0)
}

fn fault(field: &str, message: &str) -> (String, String) {
    (field.to_owned(), message.to_owned())
}

#[test]
fn decisions() {
    let day = "2026-05-03";
    let with = |change: &dyn Fn(&mut ServiceSheet)| {
        let mut told = sheet("oil-and-filter");
        change(&mut told);
        one(day, &told)
    };
    assert_eq!(
        one(day, &sheet("oil-and-filtre")),
        fault(
            "task",
            "'oil-and-filtre' is no service task known here; nearest is 'oil-and-filter'; see: handlamp service tasks"
        )
    );
    assert_eq!(
        with(&|s| s.machine = Some("port".into())),
        fault(
            "machine",
            "Grey Plover has no machine 'port'; expected main"
        )
    );
    assert_eq!(
        with(&|s| s.hours = Some(hours(1199.9))),
        fault(
            "hours",
            "the meter showed 1200.0 h on 2026-04-26 and cannot go back to 1199.9; mend the figure, or record a replaced meter"
        )
    );
    assert_eq!(
        with(&|s| s.at = Some(at("2026-05-05T08:00:01+02:00"))),
        fault("at", "2026-05-05T08:00:01+02:00 lies in the future")
    );
    assert_eq!(
        with(&|s| s.filled = Some("21.1 L".parse().expect("a volume"))),
        fault(
            "in",
            "21.1 L is more than three times what the sump holds (7 L); mend the figure, or the profile"
        )
    );
    assert_eq!(
        with(&|s| s.out = Some("6 gal".parse().expect("a volume"))).0,
        "out"
    );
    assert_eq!(
        with(&|s| s.disturbed = Some(vec!["oil-filter-seet".into()])),
        fault(
            "disturbed[0]",
            "'oil-filter-seet' is no item known here; nearest is 'oil-filter-seat'"
        )
    );
    assert_eq!(
        with(&|s| s.renewed = Some(vec!["drive-belt".into(), "drive-belt".into()])),
        fault("renewed[1]", "drive-belt stands here twice")
    );
    assert_eq!(
        with(&|s| s.renewed = Some(vec!["stuffing-box".into()])),
        fault("renewed[0]", "machine 'main' has no stuffing-box")
    );
    assert_eq!(
        with(&|s| s.parts = vec![" ".into()]),
        fault("parts[0]", "the text is empty")
    );
    assert_eq!(
        with(&|s| s.turn = Some("x".repeat(2000))),
        fault("turn", "the text is longer than 1024 bytes")
    );
    assert_eq!(
        one(day, &sheet("stern-gland-repack")),
        fault("task", "no machine has a stuffing-box")
    );
    let told = ServiceSheet {
        hours: Some(hours(1203.0)),
        ..sheet("fire-extinguisher")
    };
    assert_eq!(
        one(day, &told),
        fault(
            "hours",
            "the task is the boat's, and no meter belongs to it"
        )
    );
    let told = ServiceSheet {
        renewed: Some(vec!["drive-belt".into()]),
        ..sheet("fire-extinguisher")
    };
    assert_eq!(
        one(day, &told),
        fault(
            "renewed[0]",
            "drive-belt belongs to a machine, and the task to the boat"
        )
    );
}

#[test]
fn three_fillings_are_taken_and_more_is_not_in_any_unit() {
    let told = |volume: &str| {
        let mut story = Story::new();
        let sheet = ServiceSheet {
            filled: Some(volume.parse().expect("a volume")),
            ..sheet("oil-and-filter")
        };
        story.try_done("2026-05-03", &sheet).is_ok()
    };
    // 21 L are 22.19 US quarts, 5.548 US gallons, 4.619 imperial gallons, 36.95 imperial pints.
    for (taken, refused) in [
        ("21 L", "21.001 L"),
        ("22.19 qt", "22.2 qt"),
        ("5.547 gal", "5.548 gal"),
        ("4.619 imp-gal", "4.62 imp-gal"),
        ("18.47 imp-qt", "18.48 imp-qt"),
        ("36.95 imp-pt", "36.96 imp-pt"),
        ("21000 mL", "21001 mL"),
    ] {
        assert!(told(taken), "{taken}");
        assert!(!told(refused), "{refused}");
    }
}

#[test]
fn without_a_capacity_or_a_task_that_has_one_no_quantity_is_odd() {
    let mut story = Story::with(serde_json::json!([{"id": "main", "name": "Main engine"}]));
    let much = ServiceSheet {
        filled: Some("30 L".parse().expect("a volume")),
        ..sheet("oil-and-filter")
    };
    assert!(story.try_done("2026-05-03", &much).is_ok());
    let coolant = ServiceSheet {
        task: "coolant".into(),
        ..much
    };
    assert!(Story::new().try_done("2026-05-03", &coolant).is_ok());
}

#[test]
fn the_task_says_what_was_opened_unless_somebody_does() {
    let mut story = Story::new();
    let usual = story.done("2026-05-03", "oil-and-filter", Some(1203.0));
    let usual = story.service(&usual);
    assert_eq!(usual.disturbed, ["oil-filter-seat", "sump-drain-plug"]);
    assert_eq!(usual.renewed, ["oil-filter-seat"]);
    assert_eq!(usual.machine.as_deref(), Some("main"));
    let none = ServiceSheet {
        disturbed: Some(Vec::new()),
        renewed: Some(vec!["oil-hoses".into()]),
        ..sheet("oil-and-filter")
    };
    let id = story.try_done("2026-05-04", &none).expect("taken");
    let told = story.service(&id);
    assert!(told.disturbed.is_empty());
    assert_eq!(told.renewed, ["oil-hoses"]);
    assert!(!told.restarted.is_empty() && !told.owed.is_empty());
}

#[test]
fn what_the_machine_does_not_have_was_not_opened() {
    let mut story = Story::with(serde_json::json!([
        {"id": "main", "name": "Main engine", "without": ["sump-drain-plug", "engine-oil-sample"]}
    ]));
    let id = story.done("2026-05-03", "oil-and-filter", None);
    let service = story.service(&id);
    assert_eq!(service.disturbed, ["oil-filter-seat"]);
    assert!(!service.restarted.contains(&"engine-oil-sample".to_owned()));
}

#[test]
fn two_services_at_one_time_are_both_kept() {
    let mut story = Story::new();
    story.done("2026-05-03", "oil-and-filter", Some(1203.0));
    story.done("2026-05-03", "oil-and-filter", Some(1203.0));
    assert_eq!(story.history().services.len(), 2);
}

#[test]
fn an_older_service_may_be_told_later_where_the_meter_agrees() {
    let mut story = Story::new();
    story.done("2026-05-20", "oil-and-filter", Some(1220.0));
    let told = |h: f64| ServiceSheet {
        at: Some(at("2026-05-10")),
        hours: Some(hours(h)),
        ..sheet("coolant")
    };
    let (field, message) = faults(&mut story, "2026-05-21", &told(1221.0)).remove(0);
    assert_eq!(field, "hours");
    assert!(
        message.contains("the meter shows only 1220.0 h later"),
        "{message}"
    );
    assert!(story.try_done("2026-05-21", &told(1210.0)).is_ok());
    assert_eq!(story.history().services[0].rec.task, "coolant", "by time");
}

#[test]
fn an_interval_has_bounds_of_its_own() {
    let story = Story::new();
    let (condition, _) = story.condition("2026-05-03");
    let set = |hours, months| ServiceInterval {
        task: "oil-and-filter".into(),
        machine: None,
        at: None,
        hours,
        months,
        source: None,
    };
    let taken = interval_of(&condition, set(Some(250), None), at("2026-05-03")).expect("taken");
    assert_eq!(taken.machine.as_deref(), Some("main"));
    assert_eq!(taken.at, Some(at("2026-05-03")));
    let found = interval_of(&condition, set(Some(20_001), Some(601)), at("2026-05-03"));
    let found = found.expect_err("refused");
    assert_eq!(
        found,
        [
            fault("hours", "expected 0 (no bound) to 20000"),
            fault("months", "expected 0 (no bound) to 600")
        ]
    );
}
