//! What looks teach: what is watched, what is dropped, what begins anew.

use super::story::{Story, Told, day, look};
use crate::assess::{Dwells, Taught};
use crate::checklist::Grade::{self, Early, Failed, Failing, Sound, Worn};
use crate::checklist::Kind;
use crate::defects::{LearningSet, LearningState};
use crate::logbook::record::Record;
use crate::walk::{Better, Look};

const SEAL: &str = "raw-water-pump-seal";
/// Standing wear of a seal, wear hours a day (judgement).
const S: f64 = 0.5;

/// A walk with the meter read: on a day, at an hour, with a look at the seal.
fn seen(story: Story, on: f64, hours: f64, look: Look) -> Story {
    story.walk("daily", "main", on, Some(hours), [look])
}

fn told(looks: &[(f64, f64, Grade)]) -> Story {
    let each = looks.iter();
    each.fold(Story::new(), |story, (on, hours, grade)| {
        seen(story, *on, *hours, look(SEAL, *grade))
    })
}

fn taught(story: &Story) -> Taught {
    story.on(1000.0).learning.of(Kind::Seal)
}

/// Moves and time to the tenth of a wear hour: a look is made a second after the meter is read.
fn rounded(story: &Story) -> ([u32; 4], [f64; 4]) {
    let taught = taught(story);
    (taught.moves, taught.time.map(|t| (t * 10.0).round() / 10.0))
}

/// What is as last time many times over was read in its words once (practice of the walk; judgement).
#[test]
fn as_last_time_over_and_over_teaches_as_one_look_does() {
    let walked = |same: &[f64], as_last_time: bool| {
        let first = told(&[(0.0, 100.0, Sound), (10.0, 115.0, Worn)]);
        let story = same.iter().fold(first, |story, on| {
            let mut again = look(SEAL, Worn);
            again.as_last_time = as_last_time;
            seen(story, *on, 115.0 + on - 10.0, again)
        });
        taught(&seen(story, 40.0, 160.0, look(SEAL, Failing)))
    };
    let apart = |a: &Taught, b: &Taught| {
        assert_eq!(a.moves, b.moves);
        let each = a.time.iter().zip(&b.time).map(|(a, b)| (a - b).abs());
        each.fold(0.0, f64::max)
    };
    let days = [11.0, 12.0, 13.0, 14.0];
    let once = walked(&days[..1], true);
    assert!(apart(&walked(&days, true), &once) < 0.1);
    assert!(
        apart(&walked(&days, false), &once) > 1.0,
        "each graded look counts"
    );
}

#[test]
fn as_last_time_is_not_offered_to_somebody_else() {
    let walk = |by: &str| {
        let story = Story::new().daily(0.0, [look(SEAL, Worn)]);
        let mut history = story.history();
        history.walks[0].by = Some("R. Quay".to_owned());
        let mut next = history.walks[0].clone();
        next.id = "next".to_owned();
        next.looks.clear();
        next.by = Some(by.to_owned());
        let condition = story.on(1.0);
        let item = condition.library.catalogue.item(SEAL).expect("an item");
        condition
            .as_last_time(&history, item, &next)
            .map(|same| same.grade)
    };
    assert_eq!(walk("R. Quay"), Ok(Worn));
    let refused = walk("J. Quay").expect_err("somebody else");
    assert!(refused.contains("somebody else"), "{refused}");
}

#[test]
fn wear_between_looks_is_running_hours_and_standing_wear() {
    let story = told(&[
        (0.0, 100.0, Sound),
        (10.0, 115.0, Sound),
        (20.0, 130.0, Worn),
    ]);
    let between = 15.0 + 10.0 * S;
    let third = between / 3.0;
    let expected = [between + third, third, third, 0.0].map(|t| (t * 10.0).round() / 10.0);
    assert_eq!(rounded(&story), ([1, 1, 0, 0], expected));
    let condition = story.on(1000.0);
    let judgement = Dwells::judgement().of(Kind::Seal).expect("a chain");
    let dwell = condition.dwells.of(Kind::Seal).expect("a chain");
    assert_eq!(dwell, taught(&story).dwell(&judgement));
    assert!(dwell.means()[0] < judgement.means()[0]);
    let kind = &condition.learning.kinds[&Kind::Seal];
    assert_eq!(kind.items.len(), 1);
    assert_eq!(
        (kind.items[0].0.item.as_str(), kind.items[0].1),
        (SEAL, kind.total)
    );
    assert_eq!(kind.approximate, 0.0);
    // Kinds nobody looked at keep the judgement.
    assert_eq!(
        condition.dwells.of(Kind::Belt),
        Dwells::judgement().of(Kind::Belt)
    );
}

#[test]
fn a_repair_or_a_new_part_begins_anew_at_sound() {
    let worn = || told(&[(0.0, 100.0, Sound), (10.0, 120.0, Worn)]);
    let before = rounded(&worn());
    let again = |story: Story| {
        seen(
            seen(story, 20.0, 140.0, look(SEAL, Sound)),
            30.0,
            160.0,
            look(SEAL, Sound),
        )
    };
    for story in [worn().repair(12.0, SEAL), worn().fitted(12.0, SEAL)] {
        let (moves, time) = rounded(&again(story));
        assert_eq!(moves, before.0, "nothing moved up or down by it");
        // From the repair on day 12 (124 h) to the last look.
        assert_eq!(time[0], before.1[0] + 36.0 + 18.0 * S);
        assert_eq!(time[1..], before.1[1..]);
    }
    // A look that says it was mended is a repair made at that look.
    let mended = seen(
        worn(),
        20.0,
        140.0,
        look(SEAL, Sound).better(Better::Repaired),
    );
    let mended = seen(mended, 30.0, 160.0, look(SEAL, Sound));
    assert_eq!(rounded(&mended).1[0], before.1[0] + 20.0 + 10.0 * S);
}

#[test]
fn cleaned_and_adjusted_teach_nothing_and_misjudged_drops_the_earlier_look() {
    let base = || told(&[(0.0, 100.0, Sound), (10.0, 120.0, Worn)]);
    let before = rounded(&base());
    let then = |why: Option<Better>| {
        let mut better = look(SEAL, Early);
        better.better = why;
        rounded(&seen(
            seen(base(), 20.0, 140.0, better),
            30.0,
            160.0,
            look(SEAL, Early),
        ))
    };
    for why in [Some(Better::Cleaned), Some(Better::Adjusted), None] {
        let (moves, time) = then(why);
        assert_eq!(moves, before.0);
        // Restarts at the new grade: the last ten days count there.
        assert_eq!(time[1], before.1[1] + 25.0, "{why:?}");
        assert_eq!((time[0], time[2]), (before.1[0], before.1[2]));
    }
    let (moves, time) = then(Some(Better::Misjudged));
    // Sound on day 0, early on day 20 and day 30: the worn look is as if never made.
    assert_eq!((moves, time), ([1, 0, 0, 0], [25.0, 50.0, 0.0, 0.0]));
    let withdrawn = seen(base().withdraw(12.0, SEAL), 20.0, 140.0, look(SEAL, Sound));
    assert_eq!(rounded(&withdrawn), ([0; 4], [50.0, 0.0, 0.0, 0.0]));
}

#[test]
fn the_looks_of_one_walk_and_of_one_instant_are_one_look_with_the_worst_grade() {
    let story = seen(Story::new(), 0.0, 100.0, look(SEAL, Sound));
    let both = [look(SEAL, Worn), look(SEAL, Early)];
    let one_walk = story.clone().walk("daily", "main", 10.0, Some(120.0), both);
    let alone = seen(story.clone(), 10.0, 120.0, look(SEAL, Worn));
    assert_eq!(rounded(&one_walk), rounded(&alone));
    // Two people, two computers, one instant: merged, it is one look with the worse grade.
    for grades in [[Worn, Early], [Early, Worn]] {
        let [a, b] = grades.map(|grade| [look(SEAL, grade)]);
        let story = story.clone().walk("daily", "main", 10.0, Some(120.0), a);
        let story = story.walk("leak-run", "main", 10.0, Some(120.0), b);
        assert_eq!(rounded(&story), rounded(&alone));
    }
}

#[test]
fn the_order_of_recording_is_of_no_matter() {
    let looks = [
        (0.0, 100.0, Sound),
        (10.0, 115.0, Early),
        (20.0, 130.0, Early),
        (30.0, 150.0, Failing),
        (40.0, 160.0, Failed),
    ];
    // Typed up afterwards, each stands at the time it tells of.
    let taught = |looks: &[_]| taught(&told(looks).typed_up(500.0));
    let expected = taught(&looks);
    let mut orders = [looks, looks];
    orders[0].reverse();
    orders[1].swap(0, 3);
    orders[1].swap(1, 4);
    for order in orders {
        assert_eq!(taught(&order), expected);
    }
    assert_eq!(expected.moves, [1, 1, 1, 1]);
}

#[test]
fn hours_that_go_back_begin_anew() {
    let story = told(&[
        (0.0, 100.0, Sound),
        (10.0, 200.0, Sound),
        (20.0, 150.0, Worn),
        (30.0, 170.0, Worn),
    ]);
    // Neither the move nor the ten days in between count.
    assert_eq!(
        rounded(&story),
        ([0; 4], [100.0 + 10.0 * S, 0.0, 20.0 + 10.0 * S, 0.0])
    );
    // A meter that was replaced goes on counting.
    let story = told(&[(0.0, 100.0, Sound)]).new_meter(5.0, 110.0, 0.0);
    let story = seen(story, 10.0, 10.0, look(SEAL, Sound));
    assert_eq!(rounded(&story), ([0; 4], [20.0 + 10.0 * S, 0.0, 0.0, 0.0]));
}

#[test]
fn looks_with_next_to_no_wear_between_them_are_one() {
    // A chafe point does not age standing, and the engine did not run.
    let chafe = |on: f64, hours: f64, grade| {
        move |s: Story| {
            s.walk(
                "daily",
                "main",
                on,
                Some(hours),
                [look("loom-chafe", grade)],
            )
        }
    };
    let story = chafe(10.0, 100.0, Worn)(chafe(0.0, 100.0, Sound)(Story::new()));
    let kind = crate::checklist::Library::built_in();
    let kind = kind.catalogue.item("loom-chafe").map(|i| i.kind);
    assert_eq!(kind, Some(Kind::ChafePoint));
    assert!(story.on(20.0).learning.of(Kind::ChafePoint).is_nothing());
}

#[test]
fn unknown_hours_are_days_at_the_rate_of_use_and_told() {
    let story = Story::new()
        .daily(0.0, [look(SEAL, Sound)])
        .daily(60.0, [look(SEAL, Sound)]);
    let condition = story.on(60.0);
    let kind = &condition.learning.kinds[&Kind::Seal];
    let hours = condition.rate(None).per_day * 60.0;
    assert!(
        (kind.approximate - hours).abs() < 1e-6,
        "{}",
        kind.approximate
    );
    assert!((kind.total.time[0] - hours - 60.0 * S).abs() < 1e-6);
}

#[test]
fn what_comes_later_teaches_nothing_now() {
    let story = told(&[
        (0.0, 100.0, Sound),
        (10.0, 120.0, Sound),
        (20.0, 140.0, Failing),
    ]);
    let then = story.history().as_of(day(11.0));
    let condition = story.on(11.0);
    let library = std::sync::Arc::clone(&condition.library);
    let condition =
        crate::defects::condition::Condition::of(&story.boat, library, &then, day(11.0));
    assert_eq!(condition.learning.of(Kind::Seal).moves, [0; 4]);
    assert_eq!(taught(&story).moves, [1, 1, 1, 0]);
}

#[test]
fn learning_is_frozen_resumed_reset_and_switched_off() {
    let looks = [
        (0.0, 100.0, Sound),
        (10.0, 120.0, Early),
        (20.0, 140.0, Worn),
        (30.0, 160.0, Worn),
    ];
    let set = |on: f64, state| {
        move |story: Story| {
            story.write(
                500.0,
                Record::from(LearningSet {
                    state,
                    at: Some(day(on)),
                    why: None,
                }),
            )
        }
    };
    let all = told(&looks).typed_up(500.0);
    let moves = |story: &Story| taught(story).moves;
    assert_eq!(moves(&all), [1, 1, 0, 0]);
    let frozen = set(15.0, LearningState::Frozen)(all.clone());
    assert_eq!(moves(&frozen), [1, 0, 0, 0]);
    assert_eq!(
        taught(&set(40.0, LearningState::Running)(frozen)),
        taught(&all)
    );
    let reset = set(15.0, LearningState::Reset)(all.clone());
    // The looks of day 20 and 30 are left.
    assert_eq!(rounded(&reset), ([0; 4], [0.0, 0.0, 25.0, 0.0]));
    let off = set(15.0, LearningState::Off)(all.clone());
    assert!(off.on(50.0).learning.kinds.is_empty());
    assert_eq!(off.on(50.0).dwells, Dwells::judgement());
    // What was forgotten stays forgotten when it goes on after a freeze.
    let on = set(50.0, LearningState::Running)(set(45.0, LearningState::Frozen)(reset.clone()));
    assert_eq!(taught(&on), taught(&reset));
    assert_eq!(
        moves(&set(15.0, LearningState::Off)(all.clone()).undo(60.0)),
        moves(&all)
    );
}

#[test]
fn a_removed_item_taught_up_to_its_removal_and_levels_teach_nothing() {
    let story = told(&[(0.0, 100.0, Sound), (10.0, 120.0, Early)]);
    let before = taught(&story);
    let story = story.removed(15.0, SEAL);
    assert_eq!(taught(&seen(story, 20.0, 140.0, look(SEAL, Early))), before);
    let level =
        |on: f64, grade| move |s: Story| seen(s, on, 100.0 + on, look("coolant-level", grade));
    let story = level(9.0, Worn)(level(0.0, Sound)(Story::new()));
    assert!(story.on(10.0).learning.kinds.is_empty());
}
