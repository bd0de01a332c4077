//! When things are to be looked at again, and what of that joins a morning.

use super::story::{Story, look};
use crate::boat::Waters;
use crate::checklist::Grade::{Early, Sound};
use crate::checklist::Library;
use crate::defects::condition::Condition;
use crate::defects::next_look::NextLook;
use crate::defects::owed::MOST_LOOKS_DUE;
use crate::walk::{Cause, Join};

/// An item with a chain that the daily walk does not ask.
const OUTLET: &str = "exhaust-outlet";

fn joins(story: &Story, on: f64, list: &str) -> Vec<Join> {
    let condition = story.on(on);
    let list = condition.library.checklist(list).expect("built in");
    condition.joins(&story.history(), list, "main")
}

fn next(condition: &Condition, item: &str) -> NextLook {
    let looks = condition.next_looks(Waters::Inshore);
    let found = looks.into_iter().find(|look| look.item == item);
    found.expect("graded")
}

/// Every item of the boat sound on the first day.
fn surveyed() -> Story {
    let items = Library::built_in().catalogue.items().iter();
    let looks = items
        .filter(|i| i.id != "stuffing-box")
        .map(|i| look(&i.id, Sound));
    Story::new().walk("survey", "main", 0.0, Some(1000.0), looks)
}

#[test]
fn the_next_look_at_a_sound_item_draws_nearer_and_joins_the_daily_walk_when_it_comes() {
    let story = Story::new().walk("survey", "main", 0.0, None, [look(OUTLET, Sound)]);
    let first = next(&story.on(0.1), OUTLET);
    assert!(!first.due && first.within.wear_hours > 10.0 && first.grade == Sound);
    let comes = first.within.date.expect("a date");
    let later = next(&story.on(20.0), OUTLET);
    assert!(
        (later.within.date.expect("a date") - comes)
            .num_days()
            .abs()
            <= 1
    );
    assert!(later.within.wear_hours < first.within.wear_hours);
    let days = (comes - super::story::day(0.0).date_naive()).num_days() as f64;
    assert_eq!(joins(&story, days - 2.0, "daily"), []);
    let due = joins(&story, days + 2.0, "daily");
    assert_eq!(
        due,
        [Join {
            item: OUTLET.into(),
            why: "look again, last seen 1 May 2026".into(),
            cause: Some(Cause::LookDue),
            recheck: None,
        }]
    );
    assert!(next(&story.on(days + 2.0), OUTLET).due);
    for other in ["leak-run", "survey"] {
        assert_eq!(
            joins(&story, days + 2.0, other),
            [],
            "{other} asks what it asks"
        );
    }
    let seen = story.daily(days + 3.0, [look(OUTLET, Sound)]);
    assert_eq!(joins(&seen, days + 4.0, "daily"), []);
}

#[test]
fn an_open_defect_joins_once_and_what_is_asked_anyway_is_not_marked() {
    let story = surveyed().daily(1.0, [look(OUTLET, Early)]);
    let daily = joins(&story, 600.0, "daily");
    let outlet: Vec<_> = daily.iter().filter(|j| j.item == OUTLET).collect();
    assert_eq!(outlet.len(), 1);
    assert!(outlet[0].why.starts_with("open defect"));
    // The belt is asked every morning.
    let asked = |j: &Join| j.item == "drive-belt";
    assert!(next(&story.on(600.0), "drive-belt").due);
    assert!(!daily.iter().any(asked));
}

#[test]
fn however_much_has_come_due_few_looks_join_one_morning_worst_severity_first() {
    let story = surveyed();
    let condition = story.on(900.0);
    let daily = condition.library.checklist("daily").expect("built in");
    let due: Vec<_> = condition.looks_due(daily, "main").collect();
    assert!(due.len() > MOST_LOOKS_DUE, "{}", due.len());
    let severity = |item: &str| next(&condition, item).severity;
    assert!(
        due.windows(2)
            .all(|p| severity(&p[0].item) <= severity(&p[1].item))
    );
    let again: Vec<_> = joins(&story, 900.0, "daily");
    assert_eq!(again, due[..MOST_LOOKS_DUE]);
    // The looks made, the next ones follow.
    let seen = again.iter().map(|j| look(&j.item, Sound));
    let then = joins(&story.clone().daily(900.0, seen), 901.0, "daily");
    assert_eq!(then[0].item, due[MOST_LOOKS_DUE].item);
}

#[test]
fn what_is_due_by_its_date_is_due_by_the_quick_test() {
    let story = surveyed();
    for on in (0..1200).step_by(97).map(f64::from) {
        let condition = story.on(on + 0.3);
        let daily = condition.library.checklist("daily").expect("built in");
        let quick: Vec<String> = condition.looks_due(daily, "main").map(|j| j.item).collect();
        let beside = condition.next_looks_beside_the_daily_walk("main");
        assert!(beside.len() > MOST_LOOKS_DUE, "{}", beside.len());
        for look in beside {
            assert_eq!(
                look.due,
                quick.contains(&look.item),
                "day {on}: {}",
                look.item
            );
        }
    }
}

#[test]
fn every_graded_item_has_one_but_those_without_an_interval_and_those_gone() {
    let story = surveyed().removed(1.0, OUTLET);
    let condition = story.on(2.0);
    let looks = condition.next_looks(Waters::Offshore);
    assert!(looks.iter().all(|l| l.item != OUTLET));
    for (subject, life) in &condition.lives {
        let item = condition.item(subject).expect("known");
        let expected = !life.status.removed
            && life.status.grade.is_some()
            && (condition.dwells.of(item.kind).is_some() || item.look_every_days.is_some());
        let found = looks.iter().any(|l| l.item == subject.item);
        assert_eq!(found, expected, "{}", subject.item);
    }
    let order: Vec<_> = looks.iter().map(|l| (!l.due, l.within.date)).collect();
    assert!(order.is_sorted_by_key(|(due, date)| (*due, date.is_none(), *date)));
    assert!(Story::new().on(1.0).next_looks(Waters::Inshore).is_empty());
}
