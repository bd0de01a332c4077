//! The ladder in time: it shows what is on record, in its place, and no better.

#![allow(clippy::panic)]
use proptest::prelude::*;

use super::story::{Story, day, look};
use crate::checklist::Grade::{self, Early, Failing, Sound, Worn};
use crate::checklist::WearMark;
use crate::defects::given_on::GivenOn;
use crate::defects::ladder_in_time::{Happened, LadderInTime};
use crate::logbook::record::Record;
use crate::walk::{Better, Look, Wear};

const SEAL: &str = "raw-water-pump-seal";
const BELT: &str = "drive-belt";

fn ladder(story: &Story, on: f64, item: &str) -> LadderInTime {
    let condition = story.on(on);
    let subject = condition.subject(item, "main");
    let waters = condition.boat.waters;
    let ladder = condition.ladder_in_time(&story.history(), &subject, waters);
    ladder.expect("the boat has it")
}

/// What happened and the rung that counted after it.
fn path(ladder: &LadderInTime) -> Vec<(Happened, Option<Grade>)> {
    ladder.marks.iter().map(|m| (m.what, m.rung)).collect()
}

fn not_seen(item: &str) -> Look {
    let mut look = look(item, Sound);
    look.outcome = crate::walk::Outcome::NotSeen {
        why: "no light".into(),
        close_by: None,
    };
    look
}

fn chafed(mut look: Look, note: &str) -> Look {
    look.wear.push(Wear {
        mark: WearMark::Chafe,
        r#where: Some("the foot".into()),
        against: None,
    });
    look.note = Some(note.into());
    look
}

#[test]
fn looks_go_down_and_repairs_step_up() {
    let story = Story::new()
        .daily(0.0, [look(SEAL, Sound)])
        .daily(5.0, [look(SEAL, Worn)])
        .daily(6.0, [not_seen(SEAL)])
        .repair(7.0, SEAL)
        .daily(8.0, [look(SEAL, Sound)]);
    let ladder = ladder(&story, 10.0, SEAL);
    assert_eq!(
        path(&ladder),
        [
            (Happened::Look, Some(Sound)),
            (Happened::Look, Some(Worn)),
            (Happened::NotSeen, Some(Worn)),
            (Happened::PutRight, Some(Sound)),
            (Happened::Look, Some(Sound)),
        ]
    );
    let steps = ladder.deeds();
    assert_eq!(steps.len(), 1);
    assert_eq!(
        (steps[0].from, steps[0].to, steps[0].lasts),
        (Worn, Sound, true)
    );
    assert_eq!(steps[0].at, day(7.0));
    let words = ladder.words().join(" ");
    assert!(words.starts_with("Graded 3 times since 1 May 2026, asked and not seen once. Sound 1 May 2026, worn 6 May 2026, put right 8 May 2026, sound 9 May 2026."), "{words}");
}

#[test]
fn a_look_taken_back_is_not_shown() {
    let story = Story::new().daily(0.0, [look(SEAL, Sound)]);
    let walk = story.begin("b", "daily", "main", 3.0, None);
    let with = walk.go_on("b", 3.0, [look(SEAL, Failing)]);
    assert_eq!(ladder(&with, 4.0, SEAL).marks.len(), 2);
    let without = with.undo(3.1);
    let ladder = ladder(&without, 4.0, SEAL);
    assert_eq!(path(&ladder), [(Happened::Look, Some(Sound))]);
}

#[test]
fn what_lives_by_a_temporary_repair_is_worn_at_best() {
    let story = Story::new()
        .daily(0.0, [look(BELT, Failing)])
        .patch(1.0, BELT, "next harbour")
        .daily(2.0, [look(BELT, Sound)]);
    let ladder = ladder(&story, 3.0, BELT);
    assert_eq!(
        path(&ladder),
        [
            (Happened::Look, Some(Failing)),
            (Happened::Temporary, Some(Worn)),
            (Happened::Look, Some(Worn)),
        ]
    );
    assert_eq!(ladder.marks[1].says, "mended, until next harbour");
    assert!(!ladder.deeds()[0].lasts);
    assert_eq!(ladder.stands, Some(Worn));
    assert_eq!(ladder.ahead[0].rung, Failing);
}

/// Tape on a fuel hose lifts no stop: the ladder stays where it was.
#[test]
fn a_temporary_repair_that_lifts_no_stop_is_no_step_up() {
    let hose = "fuel-hoses";
    let story = Story::new()
        .daily(0.0, [look(hose, Failing)])
        .patch(1.0, hose, "next harbour");
    let ladder = ladder(&story, 2.0, hose);
    assert_eq!(path(&ladder)[1], (Happened::Temporary, Some(Failing)));
}

#[test]
fn what_a_guest_saw_better_is_shown_and_not_taken() {
    let mut guest = look(SEAL, Sound);
    guest.guest = true;
    let story = Story::new()
        .daily(0.0, [look(SEAL, Worn)])
        .daily(1.0, [guest]);
    let ladder = ladder(&story, 2.0, SEAL);
    assert_eq!(path(&ladder)[1], (Happened::NotTaken, Some(Worn)));
    assert_eq!(ladder.marks[1].says, "sound seen, not taken");
    assert_eq!(ladder.stands, Some(Worn));
}

#[test]
fn a_former_owners_word_is_set_off_and_projects_nothing_from_sound() {
    let given = |story: Story| {
        story.write(
            5.0,
            Record::from(GivenOn {
                at: day(5.0),
                kept_back: Vec::new(),
                entries: 1,
                left_out: 0,
                shortened: 0,
                taken_back: 0,
                put_right: 0,
                not_counted: 0,
            }),
        )
    };
    let story = given(Story::new().daily(0.0, [look(SEAL, Sound)]));
    let told = ladder(&story, 6.0, SEAL);
    assert_eq!(told.marks.last().map(|m| m.what), Some(Happened::GivenOn));
    assert_eq!(told.ahead.len(), 0);
    assert!(
        told.rests_on.contains("former owner's word"),
        "{}",
        told.rests_on
    );
    let own = ladder(&story.daily(7.0, [look(SEAL, Sound)]), 8.0, SEAL);
    assert_eq!(own.ahead.len(), 4);
}

#[test]
fn a_withdrawal_closes_and_one_that_is_refused_is_no_step() {
    let open = Story::new().daily(0.0, [look(SEAL, Early)]);
    let closed = ladder(&open.withdraw(1.0, SEAL), 2.0, SEAL);
    assert_eq!(path(&closed)[1], (Happened::Withdrawn, Some(Sound)));
    let stopped = Story::new()
        .daily(0.0, [look(BELT, Failing)])
        .withdraw(1.0, BELT);
    assert_eq!(
        path(&ladder(&stopped, 2.0, BELT)),
        [(Happened::Look, Some(Failing))]
    );
}

#[test]
fn a_repair_told_at_a_look_is_a_step_of_its_own() {
    let mut better = look(SEAL, Sound);
    better.better = Some(Better::Repaired);
    let story = Story::new()
        .daily(0.0, [look(SEAL, Worn)])
        .daily(4.0, [better]);
    let what: Vec<Happened> = ladder(&story, 5.0, SEAL)
        .marks
        .iter()
        .map(|m| m.what)
        .collect();
    assert_eq!(what, [Happened::Look, Happened::PutRight, Happened::Look]);
}

#[test]
fn the_same_words_again_are_no_new_sign() {
    let worn = |note| chafed(look(BELT, Worn), note);
    let story = Story::new()
        .daily(0.0, [worn("dust")])
        .daily(1.0, [worn("dust")])
        .daily(2.0, [worn("more dust")]);
    let ladder = ladder(&story, 3.0, BELT);
    let what: Vec<Happened> = ladder.marks.iter().map(|m| m.what).collect();
    assert_eq!(
        what,
        [Happened::WearSeen, Happened::Look, Happened::WearSeen]
    );
    assert_eq!(
        ladder.mark_in_words(&ladder.marks[2]).as_deref(),
        Some("w 3 May 2026: chafe at the foot; more dust")
    );
    assert_eq!(ladder.mark_in_words(&ladder.marks[1]), None);
}

#[test]
fn where_nothing_is_projected_it_says_why() {
    let story = Story::new().daily(
        0.0,
        [look("coolant-level", Early), look(SEAL, Grade::Failed)],
    );
    for (item, why) in [
        ("coolant-level", "kind level comes and goes"),
        (SEAL, "it has failed"),
        (BELT, "nobody has looked at it yet"),
    ] {
        let ladder = ladder(&story, 1.0, item);
        assert_eq!(ladder.ahead.len(), 0, "{item}");
        assert!(ladder.rests_on.contains(why), "{}", ladder.rests_on);
    }
}

/// With nothing new on record no passage moves, and none is told better on a later day.
#[test]
fn what_is_ahead_stands_still() {
    let story = Story::new().daily(0.0, [look(SEAL, Worn)]);
    let at = |on: f64| {
        let ahead = ladder(&story, on, SEAL).ahead;
        ahead
            .iter()
            .map(|rung| rung.met.map(|met| met.at))
            .collect::<Vec<_>>()
    };
    let first = at(0.1);
    assert_eq!(first.len(), 2);
    for on in [1.0, 30.0, 200.0] {
        for (was, is) in first.iter().flatten().zip(at(on).iter().flatten()) {
            let apart = (was.expect("a day") - is.expect("a day"))
                .num_seconds()
                .abs();
            assert!(apart <= 1, "{on}: {apart} s");
        }
    }
    let late = ladder(&story, 200.0, SEAL).words().join(" ");
    assert!(late.contains("failing or worse perhaps already"), "{late}");
    assert!(late.contains("which is judgement"), "{late}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    /// Marks come in the order of time, and stand as far apart as they happened.
    #[test]
    fn places_are_in_order_and_in_proportion(
        gaps in prop::collection::vec(0.2..90.0_f64, 1..12),
        rungs in prop::collection::vec(0_usize..4, 12),
    ) {
        let mut story = Story::new();
        let mut on = 0.0;
        for (gap, rung) in gaps.iter().zip(&rungs) {
            story = story.daily(on, [look(SEAL, Grade::from_rung(*rung).expect("a rung"))]);
            on += gap;
        }
        let ladder = ladder(&story, on, SEAL);
        let window = ladder.window();
        prop_assert!(ladder.marks.windows(2).all(|m| m[0].at <= m[1].at));
        prop_assert!(window.from < window.to);
        prop_assert!(window.share(ladder.now).is_some(), "now is always drawn");
        if let Some(opened) = ladder.opened {
            prop_assert!(window.share(opened).is_some(), "so is the finding");
        }
        let whole = (window.to - window.from).num_milliseconds() as f64;
        for mark in &ladder.marks {
            let along = (mark.at - window.from).num_milliseconds() as f64 / whole;
            match window.share(mark.at) {
                Some(share) => prop_assert!((share - along).abs() < 1e-9),
                None => prop_assert!(!(0.0..=1.0).contains(&along)),
            }
        }
    }
}
