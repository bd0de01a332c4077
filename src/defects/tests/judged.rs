//! The daily verdict, as at the walk and as of now.

use super::story::{Story, Told, all_but, day, look, must_see};
use crate::assess::words::Verdict::{ClearToRun, DoNotLeave, DoNotRun, RunWithCare};
use crate::checklist::Grade::{Early, Failing, Sound, Worn};
use crate::walk::Look;

const BELT: &str = "drive-belt";

#[test]
fn all_seen_and_sound_is_clear() {
    let judged = Story::new()
        .of_known_age()
        .daily(0.0, must_see())
        .judged(0.1);
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(ClearToRun), Some(ClearToRun))
    );
    assert!(judged.reasons.is_empty());
}

#[test]
fn early_is_named_and_stays_clear() {
    let judged = Story::new()
        .of_known_age()
        .daily(0.0, all_but([look(BELT, Early)]))
        .judged(0.1);
    assert_eq!(judged.now, Some(ClearToRun));
    assert_eq!(judged.reasons[0].item, BELT);
}

#[test]
fn a_must_see_item_not_seen_asks_for_care_until_somebody_looks() {
    let unseen = Look::not_seen(BELT, Some("cold"), "no lamp", None);
    let story = Story::new().of_known_age().daily(0.0, all_but([unseen]));
    let judged = story.judged(0.1);
    assert_eq!(judged.at_walk, Some(RunWithCare));
    assert_eq!(judged.now, Some(RunWithCare));
    assert_eq!(judged.reasons[0].item, BELT);
    let reason = judged
        .not_seen
        .iter()
        .find(|n| n.item == BELT)
        .expect("named");
    assert_eq!(reason.reason.as_deref(), Some("no lamp"));
    let seen = story.walk("survey", "main", 0.5, None, [look(BELT, Sound)]);
    let judged = seen.judged_walk(1.0, "daily-0");
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(RunWithCare), Some(ClearToRun))
    );
}

#[test]
fn worn_where_it_matters_asks_for_care_unless_it_may_wait() {
    let story = Story::new()
        .of_known_age()
        .daily(0.0, all_but([look(BELT, Worn)]));
    assert_eq!(story.verdict(0.1), Some(RunWithCare));
    let deferred = story.defer(0.2, BELT, "2026-05-10");
    let judged = deferred.judged(1.0);
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(RunWithCare), Some(ClearToRun))
    );
    assert_eq!(deferred.verdict(10.0), Some(RunWithCare), "it has run out");
}

#[test]
fn a_deferral_hides_nothing_of_a_stop() {
    let story = Story::new()
        .of_known_age()
        .daily(0.0, all_but([look(BELT, Worn)]))
        .defer(0.5, BELT, "2027-01-01")
        .daily(1.0, all_but([look(BELT, Failing)]));
    assert_eq!(story.verdict(1.1), Some(DoNotRun));
    let row = story.row(1.1, BELT).expect("a row");
    assert!(row.stop && row.deferred.is_none());
    assert_eq!(row.state, crate::defects::State::Open);
}

#[test]
fn a_repair_not_yet_seen_runs_with_care_and_a_look_lifts_it() {
    let story = Story::new()
        .of_known_age()
        .daily(0.0, all_but([look(BELT, Failing)]))
        .repair(0.5, BELT);
    let judged = story.judged(0.6);
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(DoNotRun), Some(RunWithCare))
    );
    assert_eq!(judged.reasons[0].rule, "repaired, not yet looked at");
    let story = story.walk("survey", "main", 0.7, None, [look(BELT, Sound)]);
    assert_eq!(story.judged_walk(0.8, "daily-0").now, Some(ClearToRun));
}

#[test]
fn an_unfinished_walk_and_a_survey_have_no_verdict() {
    let story = Story::new()
        .of_known_age()
        .begin("w", "daily", "main", 0.0, None);
    let story = story.go_on("w", 0.0, all_but([look(BELT, Failing)]));
    let judged = story.judged(0.1);
    assert_eq!((judged.at_walk, judged.now), (None, None));
    let survey =
        Story::new()
            .of_known_age()
            .walk("survey", "main", 0.0, None, [look(BELT, Failing)]);
    assert_eq!(survey.verdict(0.1), None);
}

#[test]
fn oil_that_rose_stops_and_a_smaller_rise_is_named() {
    let oil = "engine-oil-level";
    let at = |value| look(oil, Sound).percent(value).during("cold");
    let story = |second| {
        Story::new()
            .of_known_age()
            .daily(0.0, all_but([at(50.0)]))
            .daily(1.0, all_but([at(second)]))
    };
    let judged = story(61.0).judged(1.1);
    assert_eq!(judged.now, Some(DoNotRun));
    assert!(judged.reasons[0].rule.contains("rose by 11 %"));
    assert!(story(61.0).row(1.1, oil).expect("a concern").stop);
    let judged = story(57.0).judged(1.1);
    assert_eq!(judged.now, Some(ClearToRun));
    assert!(judged.reasons[0].rule.contains("watch it"));
    assert!(story(53.0).judged(1.1).reasons.is_empty());
    let drained = story(61.0).repair(1.5, oil);
    assert_eq!(drained.verdict(1.6), Some(RunWithCare));
    let coolant = |value| look("coolant-level", Sound).percent(value).during("cold");
    let warm = Story::new()
        .of_known_age()
        .daily(0.0, all_but([coolant(50.0)]))
        .daily(1.0, all_but([coolant(80.0)]));
    assert_eq!(
        warm.verdict(1.1),
        Some(ClearToRun),
        "coolant swells with heat"
    );
}

#[test]
fn what_was_found_later_is_in_the_verdict_of_now_alone() {
    let story = Story::new().of_known_age().daily(0.0, must_see()).walk(
        "survey",
        "main",
        1.0,
        None,
        [look(BELT, Failing)],
    );
    let judged = story.judged_walk(1.5, "daily-0");
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(ClearToRun), Some(DoNotRun))
    );
    let before = story.history().as_of(day(0.5));
    assert_eq!(before.walks.len(), 1);
}

#[test]
fn a_walk_of_one_engine_is_not_stopped_by_the_other_but_by_the_boat() {
    let story = |item: &str| {
        Story::with(&["port", "starboard"])
            .of_known_age()
            .walk(
                "daily",
                "starboard",
                0.0,
                None,
                [look(item, crate::checklist::Grade::Failed)],
            )
            .walk("daily", "port", 1.0, None, must_see())
    };
    assert_eq!(story(BELT).verdict(1.1), Some(ClearToRun));
    assert_eq!(story("bilge-pump").verdict(1.1), Some(DoNotLeave));
    assert_eq!(story("engine-space-smell").verdict(1.1), Some(DoNotRun));
}

#[test]
fn an_age_that_nobody_knows_is_never_clear_where_it_is_grave() {
    let seen = |story: Story| story.daily(0.0, must_see()).judged(0.1);
    let unknown = seen(Story::new());
    assert_eq!(unknown.now, Some(RunWithCare));
    assert_eq!(unknown.reasons.len(), 1, "{:?}", unknown.reasons);
    let reason = &unknown.reasons[0];
    assert!(reason.rule.starts_with("nobody knows when last done"));
    assert!(reason.rule.contains("impeller"), "{}", reason.rule);
    // In sheltered waters a lost drive is an afternoon; a fire is one anywhere.
    let sheltered = seen(Story::new().waters(crate::boat::Waters::Sheltered));
    let rule = &sheltered.reasons[0].rule;
    assert!(
        !rule.contains("earbox") && rule.contains("xtinguisher"),
        "{rule}"
    );
    assert_eq!(seen(Story::new().of_known_age()).now, Some(ClearToRun));
}

#[test]
fn telling_an_old_age_is_no_better_than_not_knowing_it() {
    let story = Story::new().of_known_age();
    let on = |day| story.clone().daily(day, must_see()).judged(day + 0.1);
    // The shortest interval is a year or 100 h; twice that is two, or more than a year at 15 h a month.
    assert_eq!(on(150.0).now, Some(ClearToRun));
    let late = on(740.0);
    assert_eq!(late.now, Some(RunWithCare));
    let rule = &late.reasons[0].rule;
    assert!(
        rule.starts_with("more than twice past its time (judgement): "),
        "{rule}"
    );
}

#[test]
fn an_age_told_later_does_not_change_what_was_known_at_the_walk() {
    let story = Story::new().daily(0.0, must_see());
    let told = Story::new().of_known_age().written.into_iter();
    let mut later = story.clone();
    for (n, mut written) in told.enumerate() {
        written.id = format!("told-{n}").into();
        written.at = day(1.0);
        later.written.push(written);
    }
    let judged = later.judged(1.1);
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(RunWithCare), Some(ClearToRun))
    );
    let each = crate::defects::verdicts::verdicts(
        &later.boat,
        &std::sync::Arc::new(crate::checklist::Library::built_in().clone()),
        &later.history(),
    );
    assert_eq!(each, [Some(RunWithCare)]);
}
