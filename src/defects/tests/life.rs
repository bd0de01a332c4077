//! Every arrow of the life of a defect.

use super::story::{Story, Told, day, look};
use crate::assess::words::{Level, Severity};
use crate::checklist::Grade::{Early, Failed, Failing, Sound, Worn};
use crate::checklist::{Leak, WearMark};
use crate::defects::State::{Confirmed, Deferred, Open, Repaired, Withdrawn};
use crate::defects::life::Filled;
use crate::walk::{Better, Wear};

const BELT: &str = "drive-belt";

fn found() -> Story {
    Story::new().daily(0.0, [look(BELT, Worn)])
}

#[test]
fn a_finding_opens_and_a_worse_one_is_noted() {
    let story = found()
        .daily(1.0, [look(BELT, Worn)])
        .daily(2.0, [look(BELT, Failing)]);
    let defect = story.defect(BELT);
    assert_eq!((defect.state, defect.looks), (Open, 3));
    assert_eq!(defect.opened, day(0.0) + chrono::Duration::seconds(1));
    assert_eq!(
        defect.worse_since,
        Some(day(2.0) + chrono::Duration::seconds(1))
    );
    assert!(
        Story::new()
            .daily(0.0, [look(BELT, Sound)])
            .life(BELT)
            .defects
            .is_empty()
    );
}

#[test]
fn a_mark_of_wear_on_a_sound_item_is_a_finding() {
    let mut marked = look(BELT, Sound);
    marked.wear.push(Wear {
        mark: WearMark::Chafe,
        r#where: None,
        against: None,
    });
    assert_eq!(Story::new().daily(0.0, [marked]).defect(BELT).state, Open);
}

#[test]
fn a_deferral_by_date_holds_to_the_end_of_the_day_and_runs_out() {
    let story = found().defer(1.0, BELT, "2026-05-10");
    assert_eq!(story.state(1.0, BELT), Deferred);
    assert_eq!(story.state(9.4, BELT), Deferred);
    assert_eq!(story.state(9.6, BELT), Open);
}

#[test]
fn a_deferral_by_hours_runs_out_at_the_meter_and_through_a_new_meter() {
    let run = |on: f64, h: f64| move |s: Story| s.walk("daily", "main", on, Some(h), []);
    let story = run(0.0, 1000.0)(found()).defer(1.0, BELT, "1010 h");
    assert_eq!(run(5.0, 1009.0)(story.clone()).state(5.0, BELT), Deferred);
    assert_eq!(run(5.0, 1010.0)(story.clone()).state(5.0, BELT), Open);
    let replaced = story.new_meter(3.0, 1005.0, 0.0);
    assert_eq!(run(5.0, 4.0)(replaced.clone()).state(5.0, BELT), Deferred);
    assert_eq!(run(5.0, 6.0)(replaced).state(5.0, BELT), Open);
}

#[test]
fn only_an_open_defect_is_deferred() {
    let story = Story::new()
        .daily(0.0, [look(BELT, Sound)])
        .defer(1.0, BELT, "2026-06-01")
        .daily(2.0, [look(BELT, Worn)]);
    assert_eq!(story.state(2.5, BELT), Open);
}

#[test]
fn a_repair_waits_for_a_sound_look() {
    let story = found().repair(1.0, BELT);
    assert_eq!(story.defect(BELT).state, Repaired);
    let standing = story.life(BELT).status;
    assert!(standing.unconfirmed);
    assert_eq!(
        (standing.grade, standing.since),
        (Some(Sound), Some(day(1.0)))
    );
    let seen = story.clone().daily(2.0, [look(BELT, Sound)]);
    assert_eq!(seen.defect(BELT).state, Confirmed);
    assert!(!seen.life(BELT).status.unconfirmed);
    let again = story.daily(2.0, [look(BELT, Early)]).defect(BELT);
    assert_eq!((again.state, again.reopened), (Open, 1));
}

#[test]
fn a_finding_soon_after_confirmation_reopens_and_a_late_one_is_new() {
    let confirmed = |first: f64| {
        Story::new()
            .walk("daily", "main", 0.0, Some(first), [look(BELT, Worn)])
            .repair(1.0, BELT)
            .walk("daily", "main", 2.0, Some(first + 1.0), [look(BELT, Sound)])
    };
    let later = |on: f64, hours: f64| {
        let story = confirmed(1000.0);
        let story = story.walk("daily", "main", on, Some(hours), [look(BELT, Early)]);
        story.life(BELT).defects.len()
    };
    assert_eq!(later(85.0, 1300.0), 1, "within 90 days though not 100 h");
    assert_eq!(later(300.0, 1050.0), 1, "within 100 h though not 90 days");
    assert_eq!(later(95.0, 1300.0), 2, "after both");
    let reopened = confirmed(1000.0)
        .daily(10.0, [look(BELT, Early)])
        .defect(BELT);
    assert_eq!((reopened.state, reopened.reopened), (Open, 1));
    assert_eq!(reopened.opened, day(0.0) + chrono::Duration::seconds(1));
}

#[test]
fn a_withdrawal_ends_it_and_a_new_finding_is_new() {
    let story = found().withdraw(1.0, BELT);
    let defect = story.defect(BELT);
    assert_eq!(defect.state, Withdrawn);
    assert_eq!(
        defect.withdrawn_why.as_deref(),
        Some("it was salt from the hose")
    );
    assert_eq!(story.life(BELT).status.grade, Some(Sound));
    let story = story.daily(2.0, [look(BELT, Early)]);
    assert_eq!(story.life(BELT).defects.len(), 2);
}

#[test]
fn a_better_look_says_how_it_ended() {
    for (why, state) in [
        (Better::Cleaned, Withdrawn),
        (Better::Adjusted, Withdrawn),
        (Better::Misjudged, Withdrawn),
        (Better::Repaired, Confirmed),
    ] {
        let story = found().daily(1.0, [look(BELT, Sound).better(why)]);
        let defect = story.defect(BELT);
        assert_eq!(defect.state, state, "{why}");
        match state {
            Confirmed => assert_eq!(defect.repaired_at, defect.confirmed_at),
            _ => assert_eq!(defect.withdrawn_why.as_deref(), Some(why.as_str())),
        }
    }
    let half = found().daily(1.0, [look(BELT, Early).better(Better::Cleaned)]);
    assert_eq!(half.defect(BELT).state, Open);
    assert_eq!(half.life(BELT).status.grade, Some(Early));
}

#[test]
fn mended_but_not_sound_stays_open_and_is_known_as_repaired() {
    let story = found().daily(1.0, [look(BELT, Early).better(Better::Repaired)]);
    let defect = story.defect(BELT);
    assert_eq!(defect.state, Open);
    assert!(defect.repaired_at.is_some());
    assert_eq!(story.life(BELT).status.grade, Some(Early));
    assert!(!story.life(BELT).status.unconfirmed);
}

#[test]
fn removal_ends_it_and_fitting_or_seeing_it_brings_the_item_back() {
    let story = found().removed(1.0, BELT);
    assert_eq!(story.defect(BELT).state, Withdrawn);
    assert!(story.life(BELT).status.removed);
    assert!(story.list(2.0).rows.is_empty());
    assert!(!story.clone().fitted(2.0, BELT).life(BELT).status.removed);
    let seen = story.daily(2.0, [look(BELT, Failing)]);
    assert!(seen.row(3.0, BELT).expect("a row").stop);
}

#[test]
fn an_override_holds_until_it_is_lifted() {
    let code = |story: &Story| story.row(3.0, BELT).expect("a row").code;
    let story = found().set(1.0, BELT, Some(Severity::Negligible), Some(Level::E));
    assert_eq!(code(&story), "4E");
    let row = story.row(3.0, BELT).expect("a row");
    assert!(row.why.contains("set by hand (computed"), "{}", row.why);
    let lifted = story.set(2.0, BELT, None, None);
    assert_eq!(code(&lifted), code(&found()));
}

/// Held for what it was set at and better; what is worse since is never answered better for it.
#[test]
fn an_override_is_suspended_by_a_worse_rung_a_leak_or_a_mark_since_and_says_so() {
    let row = |story: &Story, item| story.row(4.0, item).expect("a row");
    let set = |item, first| {
        let story = Story::new().daily(0.0, [first]);
        story.set(1.0, item, Some(Severity::Negligible), Some(Level::E))
    };
    let kept = set(BELT, look(BELT, Worn));
    for better in [Worn, Early] {
        let seen = kept.clone().daily(2.0, [look(BELT, better)]);
        assert_eq!(row(&seen, BELT).code, "4E");
    }
    let worse = kept.clone().daily(2.0, [look(BELT, Failing)]);
    let plain = Story::new().daily(2.0, [look(BELT, Failing)]);
    assert_eq!(row(&worse, BELT).code, row(&plain, BELT).code);
    let why = row(&worse, BELT).why;
    assert!(
        why.contains("set at worn and failing was seen since"),
        "{why}"
    );
    let anew = worse.set(3.0, BELT, Some(Severity::Negligible), Some(Level::E));
    assert_eq!(row(&anew, BELT).code, "4E", "set anew at the worse rung");
    let mended = kept
        .daily(2.0, [look(BELT, Failing)])
        .daily(3.0, [look(BELT, Worn)]);
    assert_eq!(row(&mended, BELT).code, "4E", "seen as good as then");

    let seal = "raw-water-pump-seal";
    let leaks = set(seal, look(seal, Worn)).daily(2.0, [look(seal, Worn).leak(Leak::I)]);
    assert!(
        row(&leaks, seal)
            .why
            .contains("what comes out was seen since")
    );
    let mut rubs = look(BELT, Worn);
    rubs.wear.push(Wear {
        mark: WearMark::Chafe,
        r#where: None,
        against: None,
    });
    let chafed = set(BELT, look(BELT, Worn)).daily(2.0, [rubs]);
    let why = row(&chafed, BELT).why;
    assert!(why.contains("chafe was seen since"), "{why}");

    // Made worse by hand, a worse look leaves it no better.
    let grave = Story::new().daily(0.0, [look(BELT, Early)]).set(
        1.0,
        BELT,
        Some(Severity::Catastrophic),
        Some(Level::A),
    );
    let graver = grave.daily(2.0, [look(BELT, Worn)]);
    assert_eq!(row(&graver, BELT).code, "1A");
    assert!(row(&graver, BELT).why.contains("kept as the worse"));
}

#[test]
fn within_a_walk_the_worst_look_counts_until_something_is_put_right() {
    let seal = "raw-water-pump-seal";
    let two = |second| {
        let looks = [look(seal, Worn).during("cold"), second];
        Story::new().daily(0.0, looks).life(seal)
    };
    let dry = look(seal, Sound).during("idle");
    let life = two(dry.clone());
    assert_eq!(life.status.grade, Some(Worn));
    assert_eq!(life.status.trail.len(), 2, "both looks were made");
    assert_eq!(life.defects[0].looks, 2);
    assert_eq!(two(look(seal, Failing)).status.grade, Some(Failing));
    assert_eq!(two(dry.better(Better::Cleaned)).status.grade, Some(Sound));
    let next_day = Story::new()
        .daily(0.0, [look(seal, Worn)])
        .daily(1.0, [look(seal, Early)]);
    assert_eq!(next_day.life(seal).status.grade, Some(Early));
}

#[test]
fn a_top_up_regrades_at_once() {
    let oil = "engine-oil-level";
    let looks = [
        look(oil, Failing).percent(-5.0).added("1 L"),
        look(oil, Sound).percent(70.0),
    ];
    let story = Story::new().daily(0.0, looks);
    assert_eq!(story.life(oil).status.grade, Some(Sound));
    let rise = story.life(oil).status.rise.map(|r| r.filled);
    assert_eq!(rise, Some(Filled::Unknown), "no mark says how far 1 L goes");
    assert_eq!(story.defect(oil).state, Withdrawn);
}

#[test]
fn a_level_rises_within_one_engine_state_with_nothing_added() {
    let oil = "engine-oil-level";
    let at = |value| look(oil, Sound).percent(value).during("cold");
    let rise = |story: Story| story.life(oil).status.rise.map(|r| r.by);
    let first = Story::new().daily(0.0, [at(50.0)]);
    assert_eq!(rise(first.clone()), None);
    assert_eq!(rise(first.clone().daily(1.0, [at(48.0)])), None);
    assert_eq!(rise(first.clone().daily(1.0, [at(62.0)])), Some(12.0));
    let slow = first.clone().daily(1.0, [at(56.0)]).daily(2.0, [at(62.0)]);
    assert_eq!(rise(slow), Some(12.0), "a slow rise adds up");
    let still = first.clone().daily(1.0, [at(62.0)]).daily(2.0, [at(62.0)]);
    assert_eq!(rise(still), Some(12.0), "waiting does not cure it");
    let other = first.clone().walk(
        "leak-run",
        "main",
        1.0,
        None,
        [look(oil, Sound).percent(62.0).during("settled")],
    );
    assert_eq!(rise(other), None, "settled is not cold");
    let topped = first.clone().daily(1.0, [at(48.0).added("0.6 L")]);
    let filled = |story: Story| story.life(oil).status.rise.map(|r| r.filled);
    let unknown = Some(Filled::Unknown);
    assert_eq!(filled(topped.daily(2.0, [at(80.0)])), unknown);
    let blind = first.clone().daily(1.0, [look(oil, Sound).added("0.6 L")]);
    let blind = blind.daily(2.0, [at(80.0)]);
    assert_eq!(filled(blind.clone()), unknown);
    assert_eq!(
        rise(blind.daily(3.0, [at(80.0)])),
        None,
        "the next one begins there"
    );
    let changed = first.clone().daily(1.0, [at(62.0)]).repair(2.0, oil);
    assert_eq!(rise(changed.clone()), None);
    assert_eq!(rise(changed.daily(3.0, [at(90.0)])), None);
    let misread = first.daily(1.0, [at(62.0).better(Better::Misjudged)]);
    assert_eq!(rise(misread), None);
}

#[test]
fn what_the_boat_has_once_is_one_thing_from_either_engine() {
    let pump = "bilge-pump";
    let story = Story::with(&["port", "starboard"])
        .walk(
            "daily",
            "port",
            0.0,
            None,
            [look(pump, Failing), look(BELT, Worn)],
        )
        .walk("daily", "starboard", 1.0, None, [look(pump, Failed)]);
    let rows = story.list(2.0).rows;
    let pumps: Vec<_> = rows.iter().filter(|r| r.item == pump).collect();
    assert_eq!(pumps.len(), 1);
    assert_eq!((pumps[0].machine.as_deref(), pumps[0].looks), (None, 2));
    let belts: Vec<_> = rows.iter().filter(|r| r.item == BELT).collect();
    assert_eq!(belts.len(), 1);
    assert_eq!(belts[0].machine.as_deref(), Some("port"));
}

#[test]
fn an_undone_record_never_was_and_its_undo_can_be_undone() {
    let story = found().repair(1.0, BELT).undo(1.1);
    assert_eq!(story.defect(BELT).state, Open);
    assert_eq!(story.undo(1.2).defect(BELT).state, Repaired);
}

#[test]
fn a_repair_of_what_was_sound_is_no_concern() {
    let story = Story::new()
        .daily(0.0, [look(BELT, Sound)])
        .repair(1.0, BELT);
    assert!(story.life(BELT).defects.is_empty());
    assert!(!story.life(BELT).status.unconfirmed);
}
