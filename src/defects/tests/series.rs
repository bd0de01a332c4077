//! What begins a series anew, and that every reader of the history counts the same as such.

use super::story::{Story, Told, day, look};
use crate::boat::Unit;
use crate::checklist::Grade::{Early, Sound};
use crate::defects::series::{RestartBy, Series};
use crate::defects::trends::TrendQuery;

const BELT: &str = "drive-belt";

/// Three sound readings of the belt, one a week.
fn measured() -> Story {
    [6.0, 7.0, 8.0]
        .into_iter()
        .enumerate()
        .fold(Story::new(), |story, (week, mm)| {
            story.daily(7.0 * week as f64, [belt(mm)])
        })
}

fn belt(mm: f64) -> crate::walk::Look {
    look(BELT, Sound).read(mm, Unit::Millimetre)
}

/// The fullest series of the belt, and the usual that a grade is proposed by.
fn belt_of(story: &Story) -> (Series, Option<f64>) {
    let condition = story.on(40.0);
    let item = condition.library.catalogue.item(BELT).expect("an item");
    let usual = condition.usual(item, "main", None);
    let subject = condition.subject(BELT, "main");
    let mut series = condition.series(&story.history(), &subject);
    (series.remove(0), usual)
}

#[test]
fn limits_rest_on_the_usual_that_grades_are_proposed_by() {
    type Act = fn(Story) -> Story;
    // The median of all four readings, where nothing began anew; else one reading is too few.
    let acts: [(&str, Act, Option<f64>); 6] = [
        ("nothing", |s| s, Some(7.5)),
        ("repair", |s| s.repair(20.0, BELT), None),
        ("renewed", |s| s.service(20.0, &[BELT], &[]), None),
        ("restarted", |s| s.service(20.0, &[], &[BELT]), None),
        ("both", |s| s.service(20.0, &[BELT], &[BELT]), None),
        (
            "another item",
            |s| s.service(20.0, &["exhaust-elbow"], &[]),
            Some(7.5),
        ),
    ];
    for (name, act, expected) in acts {
        let story = act(measured()).daily(21.0, [belt(9.0)]);
        let (series, usual) = belt_of(&story);
        assert_eq!(usual, expected, "{name}");
        assert_eq!(series.limits.usual, expected, "{name}");
    }
}

#[test]
fn a_service_is_one_restart() {
    let story = measured().service(20.0, &[BELT], &[BELT]);
    let (series, _) = belt_of(&story.daily(21.0, [belt(9.0)]));
    let by: Vec<RestartBy> = series.restarts.iter().map(|r| r.by).collect();
    assert_eq!(by, [RestartBy::Service]);
    assert_eq!(series.current().count(), 1);
}

#[test]
fn what_a_service_changed_says_nothing_of_agreement() {
    let level = |grade| [look("engine-oil-level", grade)];
    let told = |serviced: &[&str]| {
        let story = Story::new().daily(0.0, level(Early));
        let story = story.service(1.0, &[], serviced).daily(2.0, level(Sound));
        let (history, condition) = (story.history(), story.on(3.0));
        let compared = condition.compared(&history, &history.walks[0], &history.walks[1]);
        (compared.rows[0].put_right, compared.agreement.items)
    };
    assert_eq!(told(&["engine-oil-level"]), (true, 0));
    assert_eq!(told(&["coolant-level"]), (false, 1));
}

#[test]
fn within_a_walk_what_follows_a_service_is_a_new_state() {
    let story = Story::new().begin("w", "daily", "main", 0.0, None);
    let story = story.go_on("w", 0.0, [look(BELT, Early)]);
    let story = story.service(0.1, &[BELT], &[]);
    let story = story.go_on("w", 0.2, [look(BELT, Sound)]);
    let (history, condition) = (story.history(), story.on(1.0));
    let mended = history.mended(&condition.subject(BELT, "main"));
    assert_eq!(
        mended.iter().map(|when| when.at).collect::<Vec<_>>(),
        [day(0.1)]
    );
    let counted = history.walks[0].counted(BELT, &mended);
    assert_eq!(counted.map(|(grade, _)| grade), Some(Sound));
}

#[test]
fn a_line_through_medians_of_runs_says_so() {
    let told = |readings: u32| {
        let story = (0..readings).fold(Story::new(), |story, n| {
            story.daily(f64::from(n) / 50.0, [belt(6.0 + f64::from(n % 7))])
        });
        let condition = story.on(40.0);
        let subject = condition.subject(BELT, "main");
        let answer = condition.trend(&story.history(), &subject, TrendQuery::default());
        let notes = answer.expect("readings").notes;
        notes.into_iter().find(|note| note.contains("medians of"))
    };
    assert_eq!(told(1000), None);
    let note = told(1001).expect("a note");
    assert!(note.contains("the medians of 334 runs"), "{note}");
}
