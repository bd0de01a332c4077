//! What is not done for a look, what is dangerous and how that is said.

use std::collections::BTreeSet;

use super::{judged, judged_when, offered, said, seen};
use crate::causes::{Causes, Judged, Now, Seen, Standing};

fn withheld<'j>(judged: &'j Judged<'_>) -> Vec<&'j str> {
    judged
        .offers
        .withheld
        .iter()
        .map(|held| held.question.id.as_str())
        .collect()
}

/// The questions that may be asked at all after this, whether they tell much or not.
fn allowed(looks: &[(&str, &str)], now: Option<Now>) -> BTreeSet<String> {
    let judged = judged_when(looks, now);
    let candidates = crate::causes::offers::candidates(&judged.reckoned);
    let questions = Causes::built_in().questions().iter();
    let free = questions.filter(|question| {
        let seen = Seen {
            now,
            ..Seen::default()
        };
        crate::causes::offers::forbidden(&judged.reckoned, &candidates, question, &seen).is_none()
    });
    free.map(|question| question.id.clone()).collect()
}

#[test]
fn the_cap_stays_on_for_four_hours() {
    let sweet = [("plume", "sweet"), ("clevel", "falls")];
    for now in [Now::Warm, Now::Running, Now::UnderWay] {
        let allowed = allowed(&sweet, Some(now));
        for cap in ["bubbles", "clook", "clevel"] {
            assert!(!allowed.contains(cap), "{cap}, {now}");
        }
        assert!(!offered(&judged_when(&sweet, Some(now))).contains(&"bubbles"));
    }
    assert!(allowed(&sweet, Some(Now::Cold)).contains("bubbles"));
    let warm = judged_when(&sweet, Some(Now::Warm));
    assert!(withheld(&warm).contains(&"clook"));
    let said = said(&warm);
    assert!(
        said.contains("Not now: look of the coolant, bubbles in the coolant: the cap stays on"),
        "{said}"
    );
}

#[test]
fn nobody_cranks_where_water_or_risen_oil_can_be_behind_it() {
    for looks in [
        &[("start", "hard")][..],
        &[("olevel", "risen")],
        &[("olevel", "risen"), ("olook", "fuel")],
        &[
            ("olook", "milky"),
            ("owater", "salt"),
            ("clevel", "ok"),
            ("clook", "ok"),
        ],
        &[("fdamp", "damp")],
    ] {
        let allowed = allowed(looks, None);
        for turning in ["start", "lamps", "cdrop", "bubbles", "plume", "wot", "gear"] {
            assert!(!allowed.contains(turning), "{turning} after {looks:?}");
        }
        assert!(
            allowed.contains("siph"),
            "a look with the engine still is free"
        );
    }
    // The part that makes it so is only a candidate: no answer forbids by itself.
    let only_candidate = [("siph", "stuck"), ("hist", "rough")];
    assert!(!allowed(&only_candidate, None).contains("start"));
    // Running already, nothing is cranked.
    assert!(allowed(&[("olevel", "low")], Some(Now::Running)).contains("plume"));
}

#[test]
fn no_full_speed_with_oil_or_heat_in_doubt() {
    for looks in [
        &[("olevel", "low")][..],
        &[("olevel", "risen")],
        &[("opress", "hotlow")],
        &[("opress", "none")],
        &[("temp", "load")],
        &[("temp", "slow")],
        &[("temp", "sudden")],
        &[("alarm", "temp")],
        &[("alarm", "oil")],
        &[("fdamp", "damp")],
        &[("smell", "fuel")],
    ] {
        let allowed = allowed(looks, None);
        assert!(
            !allowed.contains("wot") && !allowed.contains("wotn"),
            "{looks:?}"
        );
    }
    assert!(allowed(&[("plume", "black")], None).contains("wotn"));
}

#[test]
fn under_way_nothing_is_opened_to_the_sea_and_the_helm_comes_first() {
    let hot = [("temp", "load"), ("flow", "thin")];
    let under_way = allowed(&hot, Some(Now::UnderWay));
    for open in ["strain", "inlet", "imp", "bore", "prop"] {
        assert!(!under_way.contains(open), "{open}");
    }
    let judged = judged_when(&hot, Some(Now::UnderWay));
    let at_helm: Vec<bool> = judged
        .offers
        .best
        .iter()
        .map(|o| o.question.at_helm)
        .collect();
    assert!(
        at_helm[0] && at_helm.is_sorted_by(|a, b| a >= b),
        "{:?}",
        offered(&judged)
    );
    assert!(!allowed(&hot, Some(Now::Running)).contains("prop"));
    assert!(allowed(&hot, Some(Now::Cold)).contains("prop"));
    assert!(allowed(&hot, Some(Now::Cold)).contains("strain"));
}

/// Below most likely a dangerous cause is not ruled out and has its look; its stop words are not said.
#[test]
fn a_danger_asks_for_its_look_and_does_not_order() {
    let judged = judged(&[("vib", "gear")]);
    let danger = judged
        .dangers
        .iter()
        .find(|danger| danger.cause.id == "coupling");
    let danger = danger.expect("the coupling is not ruled out");
    assert!(danger.standing > Standing::MostLikely && !danger.in_force);
    assert_eq!(danger.look.map(|look| look.id.as_str()), Some("coup"));
    assert!(offered(&judged).contains(&"coup"));
    let said = said(&judged);
    assert!(
        said.contains("Not ruled out, and dangerous: The shaft coupling"),
        "{said}"
    );
    assert!(
        said.contains("Make this look before you start: Key out. Spanner on each bolt"),
        "{said}"
    );
    assert!(
        !said.contains("STOP") && !said.contains("Do not run"),
        "{said}"
    );
}

/// Once its look was sound it is not said again.
#[test]
fn a_danger_is_silent_after_its_look() {
    let judged = judged(&[("vib", "gear"), ("coup", "ok")]);
    assert!(
        judged
            .dangers
            .iter()
            .all(|danger| danger.cause.id != "coupling")
    );
}

/// Its stop words are said with the stop of its own part, or of a sign that stops by itself.
#[test]
fn stop_words_need_a_stop_in_force() {
    let mut known = seen(&[("vib", "gear")]);
    known.stops.insert("shaft-coupling".into());
    let judged = Causes::built_in().judge(&known);
    let in_force = |judged: &Judged<'_>, id: &str| {
        judged
            .dangers
            .iter()
            .any(|danger| danger.cause.id == id && danger.in_force)
    };
    assert!(in_force(&judged, "coupling") && !in_force(&judged, "prop-rope"));
    assert!(said(&judged).contains("STOP: Do not run the engine."));
    let risen = super::judged(&[("olevel", "risen"), ("olook", "fuel")]);
    assert!(in_force(&risen, "lift-diaphragm"));
    assert_eq!(
        risen.orders,
        ["The oil has risen: do not start the engine."]
    );
    assert!(said(&risen).starts_with("STOP: The oil has risen"));
}

/// What only stripping proves is never called likely before its own look.
#[test]
fn what_only_stripping_proves_waits_for_its_look() {
    let before = judged(&[
        ("clevel", "falls"),
        ("plume", "sweet"),
        ("olook", "milky"),
        ("cwet", "ok"),
    ]);
    let gasket = &before.candidates[0];
    assert_eq!(gasket.cause.id, "head-gasket");
    assert!(
        gasket.chance >= 0.55 && gasket.standing == Standing::MayBe,
        "{}",
        gasket.chance
    );
    assert!(!said(&before).contains("Most likely"));
    let after = judged(&[
        ("clevel", "falls"),
        ("plume", "sweet"),
        ("olook", "milky"),
        ("bubbles", "steady"),
    ]);
    assert_eq!(after.candidates[0].cause.id, "head-gasket");
    assert_eq!(after.candidates[0].standing, Standing::PointsStrongly);
    for id in ["head-gasket", "low-compression", "inj-pump-seal", "clutch"] {
        let causes = Causes::built_in().causes();
        assert!(
            causes.iter().any(|cause| cause.id == id && cause.stripping),
            "{id}"
        );
    }
    let pump = judged(&[
        ("olevel", "risen"),
        ("olook", "fuel"),
        ("fdamp", "ok"),
        ("smell", "ok"),
    ]);
    let pump = pump
        .candidates
        .iter()
        .find(|c| c.cause.id == "inj-pump-seal");
    assert!(pump.expect("there").standing >= Standing::MayBe);
}

/// The caution stands before the look, and what each answer would mean after it.
#[test]
fn the_caution_comes_before_the_look() {
    let judged = judged(&[
        ("clevel", "falls"),
        ("plume", "sweet"),
        ("cwet", "ok"),
        ("olook", "ok"),
    ]);
    let said = said(&judged);
    let at = |words: &str| {
        said.find(words)
            .unwrap_or_else(|| panic!("{words} in {said}"))
    };
    assert!(
        at("Caution: Open the cap only when the engine is cold.")
            < at("Look next: What does the coolant look like?")
    );
    assert!(at("Look next") < at("Then"), "{said}");
    let next = &judged.offers.best[0];
    assert_eq!(next.meanings.len(), next.question.answers.len() + 1);
}

#[test]
fn an_event_is_never_offered() {
    for looks in [
        &[("stall", "slow")][..],
        &[("start", "hard")],
        &[("olook", "milky")],
    ] {
        let judged = judged(looks);
        assert!(!offered(&judged).contains(&"hist"));
    }
    let empty = Causes::built_in().judge(&Seen::default());
    assert!(empty.dangers.is_empty() && empty.offers.best.is_empty() && !empty.speaks);
}
