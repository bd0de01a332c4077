//! Whose hours count, how readings count, and what a generator's things can do.

use super::story::{Story, day, look};
use crate::boat::{Hours, Role, Waters};
use crate::checklist::{Catalogue, EffectKind, Grade, Scope};
use crate::defects::list::Scenario;
use crate::defects::work::Service;
use crate::logbook::record::Record;

/// An engine that ran 300 h in three weeks.
fn ran() -> Story {
    let story = Story::new().walk("daily", "main", 0.0, Some(100.0), []);
    story.walk("daily", "main", 21.0, Some(400.0), [])
}

#[test]
fn a_machine_that_is_named_and_not_known_takes_no_others_hours() {
    let condition = ran().on(21.0);
    let (main, other) = (Some("main"), Some("port"));
    assert!(condition.rate(main).per_day > 10.0);
    assert_eq!(condition.rate(None), condition.rate(main));
    // The profile's 15 h a month.
    assert!(condition.rate(other).per_day < 0.6);
    assert!(condition.machine_usage(other).readings().is_empty());
    assert_eq!(condition.machine_usage(None).readings().len(), 2);
    let week = |machine| condition.exposure(None, Some(7.0), machine).hours;
    assert!(week(other) < 4.0 && week(main) > 90.0);
    assert_eq!(condition.pace(other).per_day, condition.rate(other).per_day);
}

/// Six services told with the one reading of a day weigh no more than one.
#[test]
fn one_reading_told_with_six_services_moves_no_date() {
    let read = [(0.0, 100.0), (30.0, 110.0), (60.0, 121.0)];
    let season = read.iter().fold(Story::new(), |story, (on, hours)| {
        story.walk("daily", "main", *on, Some(*hours), [])
    });
    let season = season.daily(0.0, [look("drive-belt", Grade::Early)]);
    let serviced = |times: usize| {
        (0..times).fold(season.clone(), |story, _| {
            let service = Service {
                task: "own-work".into(),
                machine: Some("main".into()),
                at: Some(day(90.0)),
                hours: Hours::new(170.0).ok(),
                ..Service::default()
            };
            story.write(90.0, Record::Service(Box::new(service)))
        })
    };
    let said = |times: usize| {
        let story = serviced(times);
        let row = story.row(91.0, "drive-belt").expect("a row");
        let per_day = story.on(91.0).rate(Some("main")).per_day;
        (per_day, row.chance, row.fix_within, row.look_again_within)
    };
    assert_eq!(said(6), said(1));
    assert!(said(1).0 > 0.3 && said(1).0 < 0.6);
}

/// A boat whose second machine is a generator.
fn with_generator(waters: Waters) -> Story {
    let mut story = Story::with(&["main", "generator"]).waters(waters);
    story.boat.machines[1].role = Role::Generator;
    story
}

/// Stop rule, worst severity and rating speak of the same effects, on every item, rung, machine and
/// in all waters; a rung that the catalogue names stops everywhere.
#[test]
fn a_row_stops_by_the_effects_it_is_rated_by() {
    let mut apart = Vec::new();
    for waters in Waters::ALL {
        for item in Catalogue::built_in().items() {
            for grade in [Grade::Failing, Grade::Failed] {
                let mut stops = Vec::new();
                for machine in ["main", "generator"] {
                    let seen = [look(&item.id, grade)];
                    let story = with_generator(*waters);
                    let story = story.walk("survey", machine, 0.0, None, seen);
                    let condition = story.on(1.0);
                    let (exposure, waters) = condition.usual_plan();
                    let list = condition.list(Scenario::new(exposure, waters), false);
                    let row = list.rows.iter().find(|r| r.item == item.id);
                    let row = row.expect("a row");
                    let rated: Vec<_> = row.appraisal.effects.iter().map(|e| e.effect).collect();
                    let subject = condition.subject(&item.id, machine);
                    let effects = condition.effects(&subject, item);
                    assert!(
                        effects.iter().all(|e| rated.contains(&e.effect)),
                        "{}",
                        item.id
                    );
                    let rung = crate::assess::stop_rung(item, effects, waters);
                    assert_eq!(
                        row.stop,
                        rung.is_some_and(|rung| grade >= rung),
                        "{}",
                        item.id
                    );
                    if let Some(named) = item.stop_at {
                        assert_eq!(rung, Some(named), "{}", item.id);
                    }
                    stops.push(row.stop);
                }
                if stops[0] != stops[1] {
                    assert_eq!((item.scope, grade), (Scope::Machine, Grade::Failing));
                    let control =
                        |e: &crate::checklist::Effect| e.effect == EffectKind::LossOfControl;
                    assert!(item.effects.iter().any(control), "{}", item.id);
                    apart.push(item.id.as_str());
                }
            }
        }
    }
    apart.sort_unstable();
    apart.dedup();
    // What takes control of the boat where the engine drives her: on a generator failing alone does
    // not stop, failed does.
    assert_eq!(
        apart,
        [
            "control-adjustment",
            "control-cable-run",
            "gear-response",
            "helm-lever-and-interlock",
            "idle-speed",
            "outboard-shift-and-throttle",
            "outboard-steering",
            "propeller-shaft",
            "shaft-coupling",
            "shaft-in-gear",
            "shift-cable",
            "throttle-cable"
        ]
    );
}

/// She does not run: what ages in the berth has a day and no hours, what wears by running alone has
/// hours and no day, and nothing reads as due.
#[test]
fn a_boat_that_does_not_run_never_says_no_hours() {
    let mut story = Story::new().daily(
        0.0,
        [
            look("coolant-hoses", Grade::Early),
            look("loom-chafe", Grade::Early),
            look("engine-oil-level", Grade::Early),
        ],
    );
    story.boat.usual_hours_per_month = 0.0;
    let words = |wait: crate::defects::wait::Wait| {
        wait.words(|h| format!("{h:.0} h"), |date| format!("by {date}"))
    };
    let hoses = story.row(1.0, "coolant-hoses").expect("a row");
    let wait = hoses.fix_within.expect("a wait");
    assert_eq!((wait.hours, wait.over), (None, false));
    assert!(words(wait).starts_with("by 20"), "{}", words(wait));
    let chafe = story.row(1.0, "loom-chafe").expect("a row");
    let wait = chafe.fix_within.expect("a wait");
    assert!(wait.date.is_none() && wait.hours.is_some_and(|h| h > 1.0));
    assert!(words(wait).ends_with("h of running, no limit at this use"));
    let level = story.row(1.0, "engine-oil-level").expect("a row");
    let wait = level.look_again_within.expect("an interval");
    assert_eq!((wait.hours, wait.over), (None, false));
    for wait in [hoses.look_again_within, chafe.look_again_within, Some(wait)] {
        assert!(!words(wait.expect("a wait")).contains("0 h"));
    }
    // Hours run out by standing alone: then it is due, and says since when.
    let due = story.row(2000.0, "coolant-hoses").expect("a row");
    let wait = due.fix_within.expect("a wait");
    assert!(wait.over && wait.hours == Some(0.0));
    assert_eq!(wait.date, hoses.fix_within.and_then(|w| w.date));
    assert_eq!(words(wait), "now");
}
