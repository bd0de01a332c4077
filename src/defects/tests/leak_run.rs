//! Every rule of the leak run's verdict.

use super::story::{Story, Told, look};
use crate::assess::words::Verdict::{NotSignedOff, SignedOff, SignedOffWithRecheck};
use crate::checklist::Grade::{Early, Failing, Sound, Worn};
use crate::checklist::{Leak, Library, PhaseState};
use crate::walk::{Better, Look};

const FILTER: &str = "oil-filter-seat";

/// Every item of every phase sound; the next morning's looks with `morning`.
fn dry(morning: bool) -> Vec<Look> {
    let run = Library::built_in().checklist("leak-run").expect("built in");
    let mut looks = Vec::new();
    for phase in &run.phases {
        if phase.state == PhaseState::NextMorning && !morning {
            continue;
        }
        let items = phase.rows.iter().flat_map(|r| &r.items);
        looks.extend(items.map(|i| look(i, Sound).during(&phase.id)));
    }
    looks
}

fn run(looks: Vec<Look>) -> Story {
    Story::new().walk("leak-run", "main", 0.0, None, looks)
}

/// A dry run in which the first look at an item is this one.
fn with(seen: Look, morning: bool) -> Story {
    let mut looks = dry(morning);
    let first = looks
        .iter_mut()
        .find(|l| l.item == seen.item)
        .expect("asked");
    let phase = first.phase.clone().expect("a phase");
    *first = seen.during(&phase);
    run(looks)
}

#[test]
fn dry_with_the_morning_seen_is_signed_off() {
    assert_eq!(run(dry(true)).verdict(2.0), Some(SignedOff));
}

#[test]
fn the_next_mornings_look_is_owed_and_upgrades_the_verdict() {
    let story = run(dry(false));
    assert_eq!(story.verdict(0.1), Some(SignedOffWithRecheck));
    let morning = dry(true).into_iter().rev().take_while(|l| {
        let run = Library::built_in().checklist("leak-run").expect("built in");
        let phase = run.phases.iter().find(|p| Some(&p.id) == l.phase.as_ref());
        phase.is_some_and(|p| p.state == PhaseState::NextMorning)
    });
    let morning: Vec<Look> = morning.map(|l| look(&l.item, Sound)).collect();
    let same_day = story.clone().daily(0.1, morning.clone());
    assert_eq!(
        same_day.judged_walk(0.2, "leak-run-0").now,
        Some(SignedOffWithRecheck),
        "an hour later is no morning"
    );
    let judged = story
        .clone()
        .daily(0.8, morning.clone())
        .judged_walk(1.0, "leak-run-0");
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(SignedOffWithRecheck), Some(SignedOff))
    );
    let part = story.daily(0.8, morning.into_iter().skip(1));
    assert_eq!(
        part.judged_walk(1.0, "leak-run-0").now,
        Some(SignedOffWithRecheck)
    );
}

#[test]
fn early_is_a_recheck_and_worn_is_not_signed_off() {
    assert_eq!(
        with(look(FILTER, Early), true).verdict(2.0),
        Some(SignedOffWithRecheck)
    );
    assert_eq!(
        with(look(FILTER, Worn), true).verdict(2.0),
        Some(NotSignedOff)
    );
    let judged = with(look(FILTER, Failing), true).judged(2.0);
    assert_eq!(judged.now, Some(NotSignedOff));
    assert!(judged.reasons.iter().any(|r| r.item == FILTER));
}

#[test]
fn tightened_and_dry_since_is_signed_off() {
    let mut looks = dry(true);
    let mut at = looks.iter_mut().filter(|l| l.item == FILTER);
    let first = at.next().expect("asked");
    *first = look(FILTER, Worn).during("dead");
    let second = at.next().expect("asked again");
    second.better = Some(Better::Adjusted);
    assert_eq!(run(looks).verdict(2.0), Some(SignedOff));
}

#[test]
fn any_fuel_and_any_exhaust_gas_stand_against_it() {
    for leak in [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream] {
        let wet = look("fuel-fine-filter", Early).leak(leak);
        assert_eq!(with(wet, true).verdict(2.0), Some(NotSignedOff), "{leak}");
    }
    let gas = look("exhaust-elbow", Early).leak(Leak::I);
    assert_eq!(with(gas, true).verdict(2.0), Some(NotSignedOff));
    let stain = look("fuel-fine-filter", Early);
    assert_eq!(
        with(stain, true).verdict(2.0),
        Some(SignedOffWithRecheck),
        "a dry stain is watched"
    );
}

#[test]
fn a_phase_skipped_is_not_signed_off_whatever_the_reason_given() {
    let mut looks = dry(true);
    looks.retain(|l| l.phase.as_deref() != Some("fast"));
    let story = run(looks.clone());
    let judged = story.judged(2.0);
    assert_eq!(judged.now, Some(NotSignedOff));
    assert!(judged.reasons[0].rule.contains("phase skipped"));
    looks.push(Look::not_seen("drive-belt", Some("fast"), "no time", None));
    assert_eq!(run(looks).verdict(2.0), Some(NotSignedOff));
}

#[test]
fn a_stop_anywhere_on_the_machine_stands_against_it() {
    let story = Story::new()
        .daily(-1.0, [look("gearbox-oil-condition", Failing)])
        .walk("leak-run", "main", 0.0, None, dry(true));
    assert_eq!(story.judged_walk(2.0, "leak-run-0").now, Some(NotSignedOff));
}

#[test]
fn a_recheck_owed_or_a_repair_unseen_asks_for_a_recheck() {
    let owed = run(dry(true)).recheck(0.5, FILTER, Some(5.0), None);
    assert_eq!(owed.verdict(2.0), Some(SignedOffWithRecheck));
    let settled = owed.daily(6.0, [look(FILTER, Sound)]);
    assert_eq!(settled.judged_walk(6.5, "leak-run-0").now, Some(SignedOff));
    let mended = with(look(FILTER, Worn), true).repair(1.0, FILTER);
    let judged = mended.judged(2.0);
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(NotSignedOff), Some(SignedOffWithRecheck))
    );
}

#[test]
fn a_leak_found_later_takes_the_sign_off_back() {
    let story = run(dry(true)).daily(3.0, [look(FILTER, Worn)]);
    let judged = story.judged_walk(4.0, "leak-run-0");
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(SignedOff), Some(NotSignedOff))
    );
}
