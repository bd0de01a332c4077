//! Every rule of the leak run's verdict.

use super::story::{Story, Told, day, look};
use crate::assess::words::Verdict;
use crate::assess::words::Verdict::{NotSignedOff, SignedOff, SignedOffWithRecheck};
use crate::checklist::Grade::{Early, Failing, Sound, Worn};
use crate::checklist::{Leak, Library, PhaseState, leak_grade};
use crate::defects::Recheck;
use crate::logbook::record::{Record, WalkNoted};
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
    let but_one = morning.into_iter().filter(|l| l.item != "bilge-oil");
    let part = story.daily(0.8, but_one);
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

/// A leak run after work that disturbed these joints.
fn after(disturbed: &[&str], looks: Vec<Look>) -> Story {
    let mut story = run(looks);
    for written in &mut story.written {
        if let Record::WalkStarted(started) = &mut written.record {
            started.disturbed = disturbed.iter().map(|i| (*i).to_owned()).collect();
        }
    }
    story
}

/// Joints with what each leak class leads to: S signed off, R with recheck, N not signed off; none,
/// I, II, III, stream. Rules: US Army classes (no fuel leak of any class is allowed), the rung of
/// each class by fluid and place, worn or worse against, early with a recheck.
const TABLE: [(&str, [char; 5]); 9] = [
    ("fuel-fine-filter", ['S', 'N', 'N', 'N', 'N']),
    ("lift-pump-seal", ['S', 'N', 'N', 'N', 'N']),
    ("exhaust-elbow", ['S', 'N', 'N', 'N', 'N']),
    ("oil-filter-seat", ['S', 'R', 'N', 'N', 'N']),
    ("front-crankshaft-seal", ['S', 'R', 'N', 'N', 'N']),
    ("gearbox-output-seal", ['S', 'R', 'N', 'N', 'N']),
    ("coolant-hoses", ['S', 'R', 'N', 'N', 'N']),
    ("engine-seacock", ['S', 'N', 'N', 'N', 'N']),
    ("raw-water-pump-cover", ['S', 'R', 'N', 'N', 'N']),
];
const PHASES: [&str; 4] = ["dead", "idle", "settled", "next-morning"];

fn verdict_of(letter: char) -> Option<Verdict> {
    Some(match letter {
        'S' => SignedOff,
        'R' => SignedOffWithRecheck,
        _ => NotSignedOff,
    })
}

#[test]
fn leak_class_by_fluid_by_phase_by_disturbed() {
    let catalogue = &Library::built_in().catalogue;
    for (id, row) in TABLE {
        let item = catalogue.item(id).expect("in the catalogue");
        let (fluid, place) = item.fluid.zip(item.place).expect("it leaks");
        for (leak, letter) in Leak::ALL.iter().zip(row) {
            let grade = leak_grade(fluid, place, item.near_heat, *leak).expect("a rung");
            for phase in PHASES {
                let mut looks = dry(true);
                let mut here = looks.iter_mut();
                let seen = here.find(|l| l.item == id && l.phase.as_deref() == Some(phase));
                *seen.expect("asked") = look(id, grade).leak(*leak).during(phase);
                for disturbed in [&[][..], &[id]] {
                    assert_eq!(
                        after(disturbed, looks.clone()).verdict(2.0),
                        verdict_of(letter),
                        "{id} {leak} {phase} disturbed {disturbed:?}"
                    );
                }
            }
        }
    }
}

/// Whether the morning after has to see an item even where it is not known what was touched.
fn must_see_next_morning(item: &str) -> bool {
    let run = Library::built_in().checklist("leak-run").expect("built in");
    let mut phases = run.phases.iter();
    let morning = phases.find(|p| p.state == PhaseState::NextMorning);
    let mut rows = morning.expect("the last phase").rows.iter();
    rows.any(|r| r.must_see && r.items.iter().any(|i| i == item))
}

#[test]
fn a_disturbed_joint_is_seen_through_every_phase_that_asks_it() {
    for (id, _) in TABLE {
        for phase in PHASES {
            let mut looks = dry(true);
            looks.retain(|l| !(l.item == id && l.phase.as_deref() == Some(phase)));
            let (unknown, disturbed) = match phase {
                "next-morning" if must_see_next_morning(id) => {
                    (SignedOffWithRecheck, SignedOffWithRecheck)
                }
                "next-morning" => (SignedOff, SignedOffWithRecheck),
                _ => (SignedOff, NotSignedOff),
            };
            let seen = |of: &[&str]| after(of, looks.clone()).verdict(2.0);
            assert_eq!(seen(&[]), Some(unknown), "{id} {phase}");
            assert_eq!(seen(&[id]), Some(disturbed), "{id} {phase}");
            looks.push(Look::not_seen(id, Some(phase), "no access", None));
            let unseen = after(&[id], looks.clone()).verdict(2.0);
            assert_eq!(unseen, Some(disturbed), "a reason is no look: {id} {phase}");
        }
    }
    let judged = after(
        &[FILTER],
        dry(true)
            .into_iter()
            .filter(|l| !(l.item == FILTER && l.phase.as_deref() == Some("settled")))
            .collect(),
    )
    .judged(2.0);
    assert_eq!(judged.reasons[0].item, FILTER);
    assert!(judged.reasons[0].rule.contains("disturbed"));
}

#[test]
fn a_joint_the_checklist_asks_only_before_the_start_is_added_to_it() {
    let shut_off = "fuel-shut-off";
    assert_eq!(
        after(&[shut_off], dry(true)).verdict(2.0),
        Some(NotSignedOff)
    );
    let mut looks = dry(true);
    for phase in ["idle", "settled", "next-morning"] {
        looks.push(look(shut_off, Sound).during(phase));
    }
    assert_eq!(after(&[shut_off], looks).verdict(2.0), Some(SignedOff));
}

/// The looks a run leaves owed at its end.
fn owed(story: &Story, on: f64) -> Vec<Recheck> {
    let history = story.history();
    let walk = history.walks.last().expect("a walk");
    story.on(on).follow_ups(&history, walk)
}

#[test]
fn what_is_owed_joins_later_walks_and_the_morning_upgrades_the_verdict() {
    let disturbed = [FILTER, "coolant-hoses", "drive-belt"];
    let mut story = after(&disturbed, dry(false));
    let owed = owed(&story, 0.01);
    let named = |item: &str| {
        let of: Vec<_> = owed.iter().filter(|r| r.item == item).collect();
        (
            of.iter().filter(|r| r.due_at.is_some()).count(),
            of.iter().filter(|r| r.due_hours.is_some()).count(),
        )
    };
    assert_eq!(named(FILTER), (1, 1));
    assert_eq!(named("coolant-hoses"), (1, 1));
    assert_eq!(named("drive-belt"), (1, 0), "a belt does not leak");
    assert_eq!(
        named("engine-oil-level"),
        (1, 0),
        "downhill, and to be seen"
    );
    assert_eq!(named("rear-crankshaft-seal"), (0, 0), "nobody touched it");
    let hose = owed.iter().find(|r| r.item == "coolant-hoses");
    assert!(hose.expect("owed").why.contains("nip"));
    for recheck in &owed {
        story = story.write(0.01, Record::from(recheck.clone()));
    }
    let again = super::leak_run::owed(&story, 0.02);
    assert_eq!(again, [], "nothing is owed twice");
    assert_eq!(story.verdict(0.1), Some(SignedOffWithRecheck));
    let joins = story.on(0.5).joins_any(&story.history(), "main");
    assert!(
        joins
            .iter()
            .any(|j| j.item == "coolant-hoses" && j.why.contains("nip"))
    );
    let looks: Vec<Look> = dry(true)
        .into_iter()
        .filter_map(|l| {
            let morning = l.phase.as_deref() == Some("next-morning");
            morning.then(|| look(&l.item, Sound))
        })
        .collect();
    let judged = story.daily(0.8, looks).judged_walk(0.9, "leak-run-0");
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(SignedOffWithRecheck), Some(SignedOff)),
        "the hours to come do not hold it up: {:?}",
        judged.reasons
    );
}

#[test]
fn where_nothing_is_known_what_must_be_seen_is_owed() {
    let owed = owed(&run(dry(false)), 0.01);
    assert!(owed.iter().any(|r| r.item == "bilge-oil"));
    assert!(
        owed.iter()
            .all(|r| r.due_at.is_some() && r.item != "engine-mounts")
    );
}

#[test]
fn a_morning_phase_walked_too_soon_after_the_stop_stays_owed() {
    let begin = |minutes: i64| {
        let mut story = run(dry(true));
        let noted = Record::from(WalkNoted {
            walk: "leak-run-0".into(),
            phase: Some("just-stopped".into()),
            begun_at: Some(day(0.0) - chrono::Duration::minutes(minutes)),
            ..WalkNoted::default()
        });
        story = story.write(0.0, noted);
        story.judged(2.0)
    };
    assert_eq!(begin(420).now, Some(SignedOff));
    let soon = begin(5);
    assert_eq!(soon.now, Some(SignedOffWithRecheck));
    let named = soon.reasons.iter().filter(|r| r.item.is_empty());
    let named: Vec<_> = named.map(|r| r.rule.as_str()).collect();
    assert!(
        named
            .iter()
            .any(|r| r.starts_with("Settled: looked at after")),
        "{named:?}"
    );
    assert!(
        named
            .iter()
            .any(|r| r.starts_with("The next morning: looked at after")),
        "{named:?}"
    );
}

#[test]
fn a_level_falls_into_the_new_filter_and_must_not_rise() {
    let read = |before: f64, after: f64| {
        let mut looks = dry(true);
        for l in &mut looks {
            if l.item == "engine-oil-level" {
                let value = if l.phase.as_deref() == Some("dead") {
                    before
                } else {
                    after
                };
                *l = l.clone().percent(value);
            }
        }
        let mut story = run(looks);
        story.boat.machines[0].between_marks = "1.5 L".parse().ok();
        let walk = story.history().walks[0].clone();
        let levels = story.on(2.0).levels(&walk);
        assert_eq!(levels.len(), 1);
        (levels[0].told.clone(), story.verdict(2.0))
    };
    let (told, verdict) = read(95.0, 75.0);
    assert!(
        told.contains("down 20 %") && told.contains("0.3 L"),
        "{told}"
    );
    assert!(told.contains("filter takes"), "{told}");
    assert_eq!(verdict, Some(SignedOff));
    let (told, verdict) = read(80.0, 92.0);
    assert!(
        told.contains("up 12 %") && told.contains("water or fuel"),
        "{told}"
    );
    assert_eq!(verdict, Some(SignedOffWithRecheck));
}

#[test]
fn what_went_in_is_held_against_what_came_out_and_what_it_holds() {
    let told = |filled: &str| {
        let service = serde_json::json!({"task": "oil-and-filter", "machine": "main",
            "at": day(-0.1).to_rfc3339(), "out": "6.8 L", "in": filled});
        let service = serde_json::from_value(service).expect("a service");
        let mut story = Story::new().write(-0.1, Record::Service(Box::new(service)));
        story.boat.machines[0].sump = "7 L".parse().ok();
        let story = story.walk("leak-run", "main", 0.0, None, dry(false));
        let history = story.history();
        story.on(0.1).quantities(&history, &history.walks[0])
    };
    let words = |filled: &str| told(filled).into_iter().map(|(_, w)| w).collect::<Vec<_>>();
    assert_eq!(words("7 L"), ["7 L in, 6.8 L out, it holds 7 L"]);
    assert!(words("8 L")[0].ends_with("more than it holds: dip before any start"));
}
