//! What is owed, what joins a walk, what is left out of it.

use super::story::{Story, day, look};
use crate::checklist::Grade::{Early, Sound, Worn};
use crate::checklist::Library;
use crate::logbook::record::Record;
use crate::walk::Cause;

const HOSE: &str = "coolant-hoses";

fn due(story: &Story, on: f64) -> Vec<bool> {
    let (condition, history) = (story.on(on), story.history());
    condition.owed(&history).map(|o| o.due).collect()
}

fn joins(story: &Story, on: f64, machine: &str) -> Vec<(String, String)> {
    let condition = story.on(on);
    let daily = condition.library.checklist("daily").expect("built in");
    let joins = condition.joins(&story.history(), daily, machine);
    joins.into_iter().map(|j| (j.item, j.why)).collect()
}

#[test]
fn a_recheck_by_date_comes_due_joins_and_is_settled_by_a_look_at_or_after_it() {
    let story = Story::new().recheck(0.0, HOSE, Some(5.0), None);
    assert_eq!(due(&story, 4.9), [false]);
    assert!(joins(&story, 4.9, "main").is_empty());
    assert_eq!(due(&story, 5.0), [true]);
    assert_eq!(
        joins(&story, 5.0, "main"),
        [(HOSE.into(), "owed: nip the clip".into())]
    );
    let early = story.clone().daily(4.0, [look(HOSE, Sound)]);
    assert_eq!(
        due(&early, 6.0),
        [true],
        "a look before its time settles nothing"
    );
    let unseen = crate::walk::Look::not_seen(HOSE, None, "dark", None);
    let unseen = story.clone().daily(5.5, [unseen]);
    assert_eq!(due(&unseen, 6.0), [true]);
    let seen = story.daily(5.0, [look(HOSE, Early)]);
    assert!(due(&seen, 6.0).is_empty());
}

#[test]
fn a_recheck_by_hours_comes_due_at_the_meter_and_through_a_new_one() {
    let at = |on: f64, h: f64| move |s: Story| s.walk("daily", "main", on, Some(h), []);
    let story = at(0.0, 500.0)(Story::new()).recheck(0.1, HOSE, None, Some(510.0));
    assert_eq!(due(&at(2.0, 509.0)(story.clone()), 2.0), [false]);
    assert_eq!(due(&at(2.0, 510.0)(story.clone()), 2.0), [true]);
    let replaced = story.new_meter(1.0, 505.0, 0.0);
    assert_eq!(due(&at(2.0, 4.0)(replaced.clone()), 2.0), [false]);
    let run = at(2.0, 5.0)(replaced);
    assert_eq!(due(&run, 2.0), [true]);
    let settled = run.walk("daily", "main", 3.0, Some(6.0), [look(HOSE, Sound)]);
    assert!(due(&settled, 3.5).is_empty());
}

#[test]
fn a_look_asked_for_on_an_estimate_settles_though_the_meter_shows_less() {
    let told = |joined: bool, by_id: bool| {
        let story = Story::new().walk("daily", "main", 0.0, Some(500.0), []);
        // At 15 h a month five hours are about ten days.
        let story = story.recheck(0.1, HOSE, None, Some(505.0));
        let condition = story.on(10.5);
        let daily = condition.library.checklist("daily").expect("built in");
        let joins = condition.joins(&story.history(), daily, "main");
        assert_eq!(
            (joins[0].item.as_str(), joins[0].why.as_str()),
            (HOSE, "owed: nip the clip")
        );
        assert_eq!(joins[0].cause, Some(Cause::Owed));
        let mut story = story.walk("daily", "main", 10.5, Some(504.6), [look(HOSE, Sound)]);
        for written in &mut story.written {
            if let Record::WalkStarted(walk) = &mut written.record
                && joined
                && written.at == day(10.5)
            {
                let mut join = joins[0].clone();
                join.recheck = join.recheck.filter(|_| by_id);
                walk.joins = vec![join];
            }
        }
        story
    };
    assert!(due(&told(true, true), 13.0).is_empty());
    // An early record tells it by its words alone.
    assert!(due(&told(true, false), 13.0).is_empty());
    // Nobody asked for it: a look before its time.
    assert_eq!(due(&told(false, true), 13.0), [true]);
}

#[test]
fn a_look_that_changes_nothing_settles_too() {
    let story = Story::new()
        .recheck(0.0, HOSE, None, None)
        .begin("w", "daily", "main", -1.0, None)
        .go_on("w", -1.0, [look(HOSE, Worn)])
        .go_on("w", 1.0, [look(HOSE, Sound)]);
    assert!(due(&story, 2.0).is_empty());
}

#[test]
fn open_defects_and_repairs_unseen_join() {
    let story = Story::with(&["port", "starboard"]).walk(
        "daily",
        "port",
        0.0,
        None,
        [look(HOSE, Worn), look("bilge-pump", Early)],
    );
    assert_eq!(
        joins(&story, 1.0, "port"),
        [
            ("bilge-pump".into(), "open defect, early since 1 May".into()),
            (HOSE.into(), "open defect, worn since 1 May".into())
        ]
    );
    let starboard = joins(&story, 1.0, "starboard");
    assert_eq!(starboard.len(), 1, "the boat's own pump joins there too");
    let story = story.repair(1.0, HOSE);
    assert!(
        joins(&story, 2.0, "port").contains(&(HOSE.into(), "repaired, not yet looked at".into()))
    );
    let story = story.walk("daily", "port", 3.0, None, [look(HOSE, Sound)]);
    assert!(
        joins(&story, 4.0, "port")
            .iter()
            .all(|(item, _)| item != HOSE)
    );
}

#[test]
fn a_removed_item_owes_nothing() {
    let story = Story::new()
        .recheck(0.0, HOSE, None, None)
        .removed(1.0, HOSE);
    assert!(due(&story, 2.0).is_empty());
}

/// Titles of the daily rows left out on a day.
fn left_out(story: &Story, on: f64) -> Vec<&'static str> {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let left = story.on(on).left_out(daily, "main");
    left.iter()
        .map(|l| daily.phases[l.phase].rows[l.row].title.as_str())
        .collect()
}

#[test]
fn weekly_rows_rest_for_a_week_once_all_of_them_was_seen() {
    let row = "Coolant colour, hoses squeezed";
    let items = [
        "coolant-condition",
        "coolant-hoses",
        "coolant-hose-clips",
        "water-heater-hoses",
        "header-cap",
    ];
    let story = Story::new().daily(0.0, items.map(|i| look(i, Sound)));
    assert!(left_out(&Story::new(), 0.0).is_empty());
    assert_eq!(left_out(&story, 6.0), [row]);
    assert!(left_out(&story, 7.0).is_empty());
    let part = Story::new().daily(0.0, [look(items[0], Sound), look(items[1], Sound)]);
    assert!(left_out(&part, 1.0).is_empty());
}

#[test]
fn what_the_boat_does_not_have_keeps_no_row_awake() {
    let items = [
        "coolant-condition",
        "coolant-hoses",
        "coolant-hose-clips",
        "header-cap",
    ];
    let mut story = Story::new().daily(0.0, items.map(|i| look(i, Sound)));
    story.boat.machines[0]
        .without
        .push("water-heater-hoses".into());
    assert_eq!(left_out(&story, 1.0), ["Coolant colour, hoses squeezed"]);
}
