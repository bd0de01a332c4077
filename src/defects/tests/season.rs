//! Laid up, looked at while she stands, fitted out, launched: what of it follows from the walks.

use super::story::{Story, all_but, day, look};
use crate::assess::words::Verdict;
use crate::boat::kinds::{Cooling, Lies};
use crate::checklist::Grade::{Failing, Sound};
use crate::checklist::{Closing, Forbids, Grade, Library};
use crate::defects::season::{
    LAUNCH, LAY_UP, LOOK_EVERY_DAYS, RECOMMISSION, RUN_LAYING_UP, STANDING,
};
use crate::defects::verdict::nothing_against;
use crate::service::due::{Group, What, due};
use crate::walk::{Cause, Look};

const SEACOCK: &str = "engine-seacock";
const IMPELLER: &str = "raw-water-impeller";

fn walked(story: Story, checklist: &str, on: f64) -> Story {
    story.walk(checklist, "main", on, None, [look("bilge-water", Sound)])
}

fn laid_up() -> Story {
    let sound = Story::new().of_known_age().daily(0.0, all_but([]));
    walked(sound, LAY_UP, 1.0)
}

fn stands(story: &Story, on: f64) -> bool {
    let condition = story.on(on);
    condition.laid_up(&story.history(), "main").is_some()
}

#[test]
fn she_stands_from_the_end_of_a_lay_up_to_the_end_of_a_launch() {
    let story = laid_up();
    assert!(!stands(&story, 0.9));
    assert!(stands(&story, 150.0));
    let fitted = walked(story.clone(), RECOMMISSION, 160.0);
    let condition = fitted.on(161.0);
    let season = condition
        .laid_up(&fitted.history(), "main")
        .expect("laid up");
    assert_eq!(
        season.fitted_out.map(|at| at.date_naive()),
        Some(day(160.0).date_naive())
    );
    let launched = walked(fitted, LAUNCH, 165.0);
    assert!(
        stands(&launched, 164.0),
        "what comes later changes no earlier day"
    );
    assert!(!stands(&launched, 166.0));
    assert!(
        stands(&walked(launched, LAY_UP, 300.0), 301.0),
        "and the next winter"
    );
    // A lay-up whose end is taken back is none.
    assert!(!stands(&laid_up().undo(2.0), 3.0));
}

#[test]
fn run_in_a_walk_that_is_none_of_the_seasons_she_stands_no_more() {
    let idle = |grade: Grade| Look::graded("oil-pressure", Some("idle"), grade);
    let run = laid_up().daily(10.0, [idle(Sound)]);
    assert!(!stands(&run, 11.0));
    let cold = Look::graded("bilge-water", Some("cold"), Sound);
    assert!(
        stands(&laid_up().daily(10.0, [cold]), 11.0),
        "a cold look starts nothing"
    );
    // The warm phases of the lay-up itself are before its end.
    let warm = Look::graded("coolant-temperature", Some("idle"), Sound);
    let again = laid_up().walk(LAUNCH, "main", 20.0, None, [warm]);
    assert!(!stands(&again, 21.0), "launched");
}

#[test]
fn a_meter_that_shows_more_than_laying_up_asks_for_says_that_she_was_used() {
    let story = |read: f64| {
        let looks = || [look("bilge-water", Sound)];
        let lay_up = Story::new().walk(LAY_UP, "main", 1.0, Some(500.0), looks());
        lay_up.walk(STANDING, "main", 20.0, Some(read), looks())
    };
    assert!(stands(&story(500.0), 21.0));
    assert!(stands(&story(500.0 + RUN_LAYING_UP), 21.0));
    assert!(!stands(&story(500.1 + RUN_LAYING_UP), 21.0));
    assert!(stands(&story(520.0), 19.0), "not before it was read");
}

#[test]
fn hours_of_before_the_lay_up_say_nothing_of_after_it() {
    let looks = || [look("bilge-water", Sound)];
    let morning = Story::new()
        .of_known_age()
        .walk("daily", "main", 0.0, Some(400.0), all_but([]));
    let unread = morning.walk(LAY_UP, "main", 60.0, None, looks());
    let read = unread.walk(STANDING, "main", 80.0, Some(430.0), looks());
    assert!(stands(&read, 81.0), "run in the weeks before");
    let again = read
        .clone()
        .walk(STANDING, "main", 100.0, Some(430.0), looks());
    assert!(stands(&again, 101.0));
    let used = read.walk(STANDING, "main", 100.0, Some(433.0), looks());
    assert!(!stands(&used, 101.0), "run since it was first read");
}

#[test]
fn no_morning_check_of_hers_is_clear_while_she_stands() {
    let story = laid_up().daily(2.0, all_but([]));
    let judged = story.judged(3.0);
    assert_eq!(judged.now, Some(Verdict::RunWithCare));
    let why = &judged.reasons.last().expect("a reason").rule;
    assert!(
        why.starts_with("laid up since 2 May 2026: before she runs"),
        "{why}"
    );
    let launched = walked(story, LAUNCH, 4.0).daily(5.0, all_but([]));
    assert_eq!(launched.verdict(6.0), Some(Verdict::ClearToRun));
}

#[test]
fn she_is_looked_at_every_month_while_she_stands() {
    let rows = |story: &Story, on: f64| {
        let rows = due(&story.on(on), &story.history());
        let rows = rows.into_iter().filter(|row| row.what == What::Standing);
        rows.collect::<Vec<_>>()
    };
    let story = laid_up();
    let first = &rows(&story, 2.0)[0];
    let month = LOOK_EVERY_DAYS as f64;
    assert_eq!(first.due_date, Some(day(1.0 + month).date_naive()));
    assert!(!first.due);
    assert!(rows(&story, 2.0 + month)[0].due);
    let looked = walked(story, STANDING, 20.0);
    let next = &rows(&looked, 21.0)[0];
    assert_eq!(next.due_date, Some(day(20.0 + month).date_naive()));
    assert!(rows(&walked(looked, LAUNCH, 30.0), 31.0).is_empty());
}

#[test]
fn what_the_calendar_ends_in_winter_is_due_at_launch_and_due_no_less() {
    let story = laid_up();
    let (on, history) = (story.on(400.0), story.history());
    let rows = due(&on, &history);
    let launch: Vec<_> = rows
        .iter()
        .filter(|r| r.group() == Group::AtLaunch)
        .collect();
    assert!(!launch.is_empty());
    for row in &launch {
        assert!(row.due && row.machine.is_some(), "{row:?}");
        assert_eq!(row.over().as_deref(), Some("due at launch"));
    }
    let boats_own = rows.iter().filter(|r| r.machine.is_none());
    assert!(boats_own.clone().count() > 0);
    assert!(
        boats_own.into_iter().all(|r| r.group() != Group::AtLaunch),
        "gas and fire wait for no launch"
    );
    // The same rows are due whether she is laid up or not.
    let afloat = Story::new().of_known_age().daily(0.0, all_but([]));
    let other = due(&afloat.on(400.0), &afloat.history());
    let due_ids = |rows: &[crate::service::due::DueRow]| {
        let due = rows
            .iter()
            .filter(|r| r.due && matches!(r.what, What::Task | What::Life));
        let mut ids: Vec<_> = due.map(|r| (r.id.clone(), r.machine.clone())).collect();
        ids.sort();
        ids
    };
    assert_eq!(due_ids(&rows), due_ids(&other));
}

#[test]
fn what_is_left_open_is_walked_backwards_first_and_a_look_puts_nothing_back() {
    let story = laid_up()
        .forbidding(1.1, SEACOCK, "seacock shut and tagged", Forbids::Start)
        .forbidding(1.2, IMPELLER, "impeller out", Forbids::Start)
        .forbidding(1.3, "throttle-cable", "cable off", Forbids::Leave);
    let condition = story.on(100.0);
    let list = condition.library.checklist(RECOMMISSION).expect("built in");
    let joins = condition.joins(&story.history(), list, "main");
    let items: Vec<&str> = joins.iter().map(|j| j.item.as_str()).collect();
    assert_eq!(
        items,
        ["throttle-cable", IMPELLER, SEACOCK],
        "the last first"
    );
    assert!(joins.iter().all(|j| j.cause == Some(Cause::LeftOpen)));
    let left_out = condition.left_out(list, "main");
    let plan = condition.compose(list, &left_out, &joins, "main");
    for item in items {
        let row = plan
            .phases
            .iter()
            .flat_map(|p| &p.rows)
            .find(|r| r.items.iter().any(|i| i == item));
        let why = row.and_then(|r| r.why.as_deref());
        assert!(
            why.is_some_and(|why| why.contains("left open: ")),
            "{item}: {why:?}"
        );
    }
    let walked = story.walk(
        RECOMMISSION,
        "main",
        101.0,
        None,
        [look(SEACOCK, Sound), look(IMPELLER, Sound)],
    );
    assert_eq!(walked.verdict(102.0), Some(Verdict::DoNotRun));
    let reasons = walked.judged(102.0).reasons;
    assert!(
        reasons
            .iter()
            .filter(|r| r.rule.contains("left open: "))
            .count()
            == 3,
        "{reasons:?}"
    );
}

#[test]
fn a_walk_of_a_season_is_never_clear_and_says_no_where_it_is() {
    let story = laid_up();
    let walk = story.history().walks.last().cloned().expect("a walk");
    assert_eq!(story.verdict(2.0), None);
    let told = nothing_against(&story.on(2.0), &walk).expect("told");
    assert!(told.contains("a morning check says"), "{told}");
    let next = story
        .on(2.0)
        .after_season(&story.history(), &walk)
        .expect("next");
    assert!(
        next.starts_with("laid up since 2 May 2026; next look by 1 Jun 2026."),
        "{next}"
    );
    let stop = Story::new().of_known_age().walk(
        LAY_UP,
        "main",
        1.0,
        None,
        [look("fuel-hoses", Grade::Failed)],
    );
    assert_eq!(stop.verdict(2.0), Some(Verdict::DoNotRun));
    let worn =
        Story::new()
            .of_known_age()
            .walk(LAY_UP, "main", 1.0, None, [look("drive-belt", Failing)]);
    assert!(matches!(
        worn.verdict(2.0),
        Some(Verdict::RunWithCare | Verdict::DoNotRun)
    ));
}

#[test]
fn a_row_is_for_her_cooling_and_for_where_she_lies_and_an_unknown_leaves_nothing_out() {
    let library = Library::built_in();
    for list in [LAY_UP, STANDING, RECOMMISSION, LAUNCH] {
        let list = library.checklist(list).expect("built in");
        assert_eq!(list.closes_with, Closing::Season);
        let rows = || list.phases.iter().flat_map(|p| &p.rows);
        assert!(rows().all(|row| row.suits(None, None)), "{}", list.id);
        for row in rows() {
            for lies in Lies::ALL {
                assert_eq!(
                    row.suits(None, Some(*lies)),
                    row.lies.is_none_or(|own| own == *lies)
                );
            }
            for cooling in Cooling::ALL {
                let asked = row.cooling.is_empty() || row.cooling.contains(cooling);
                assert_eq!(row.suits(Some(*cooling), None), asked);
            }
        }
        // Each kind of boat is asked something, and not all of it.
        for (cooling, lies) in Cooling::ALL
            .iter()
            .flat_map(|c| Lies::ALL.iter().map(move |l| (*c, *l)))
        {
            assert!(
                rows().any(|row| row.suits(Some(cooling), Some(lies))),
                "{}: {cooling} {lies}",
                list.id
            );
        }
    }
    let lay_up = library.checklist(LAY_UP).expect("built in");
    let rows = || lay_up.phases.iter().flat_map(|p| &p.rows);
    assert!(
        rows().any(|r| r.lies == Some(Lies::Ashore))
            && rows().any(|r| r.lies == Some(Lies::Afloat))
    );
    assert!(
        rows().any(|r| r.cooling == [Cooling::RawWater]),
        "a raw-water block is drained"
    );
}
