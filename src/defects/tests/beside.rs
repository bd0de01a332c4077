//! What is seen beside the rows a walk asks counts for it as what is asked. No walk with a leak seen
//! in it is signed off (common practice, no single source).

use super::story::{Story, Told, day, look};
use crate::assess::words::Verdict::{NotSignedOff, SignedOff, SignedOffWithRecheck};
use crate::boat::{Role, Unit};
use crate::checklist::Grade::{Early, Failing, Sound, Worn};
use crate::checklist::{Leak, Library, Scope};
use crate::logbook::record::Record;
use crate::walk::{Look, Plan, SEEN_BESIDE};

const DISTURBED: &str = "oil-filter-seat";

/// A leak run of the first machine after an oil change, as the program begins it: rows that touch
/// nothing of it are left out. All it asks is dry, the next morning too, then these looks.
fn after_oil(story: Story, beside: impl IntoIterator<Item = Look>) -> Story {
    let machine = story.boat.machines[0].id.clone();
    let mut story = story.begin("run", "leak-run", &machine, 1.0, None);
    let condition = story.on(1.0);
    let list = Library::built_in().checklist("leak-run").expect("built in");
    let disturbed = [DISTURBED.to_owned()];
    if let Some(Record::WalkStarted(started)) = story.written.last_mut().map(|w| &mut w.record) {
        started.disturbed = disturbed.to_vec();
        started.left_out = condition.left_out_after(list, &machine, &disturbed);
    }
    let mut looks = dry(&plan(&story));
    looks.extend(beside);
    let story = story.go_on("run", 1.0, looks);
    let at = story.written.last().expect("looks").at;
    let finished = serde_json::json!({"walk": "run", "at": at.to_rfc3339()});
    let finished = serde_json::from_value(finished).expect("an end");
    story.write(1.0, Record::WalkFinished(finished))
}

fn plan(story: &Story) -> Plan {
    let history = story.history();
    let walk = history.walk("run").expect("the run");
    story.on(1.0).plan_of(walk).expect("a known checklist")
}

fn dry(plan: &Plan) -> Vec<Look> {
    let phases = plan.phases.iter();
    let looks = phases.flat_map(|p| {
        let items = p.rows.iter().flat_map(|r| &r.items);
        items.map(|i| look(i, Sound).during(&p.id))
    });
    looks.collect()
}

/// Items of the first machine and the boat that the run after an oil change asks nowhere.
fn unasked() -> Vec<&'static str> {
    let plan = plan(&after_oil(Story::new(), []));
    let asked = |id: &str| plan.spots().any(|s| plan.item(s) == Some(id));
    let items = Library::built_in().catalogue.items().iter();
    let items = items.filter(|i| i.is_for(Role::Propulsion));
    let ids = items.map(|i| i.id.as_str()).filter(|id| !asked(id));
    ids.collect()
}

#[test]
fn hoses_that_leak_beside_the_rows_asked_are_not_signed_off() {
    let leaking = || look("coolant-hoses", Failing).leak(Leak::Iii);
    let told = [leaking().during("idle"), leaking()];
    for seen in told {
        let judged = after_oil(Story::new(), [seen.clone()]).judged_walk(3.0, "run");
        assert_eq!(judged.now, Some(NotSignedOff), "{seen:?}");
        assert_eq!(judged.at_walk, Some(NotSignedOff));
        let named: Vec<_> = judged.reasons.iter().map(|r| r.item.as_str()).collect();
        assert_eq!(named, ["coolant-hoses"]);
    }
}

#[test]
fn every_item_counts_whether_the_run_asks_it_or_not() {
    let unasked = unasked();
    assert!(unasked.contains(&"coolant-hoses") && unasked.contains(&"fuel-tank-and-vent"));
    assert!(unasked.len() > 30, "{unasked:?}");
    for item in unasked {
        let with = |grade| {
            let run = after_oil(Story::new(), [look(item, grade).during("settled")]);
            run.judged_walk(3.0, "run").now
        };
        assert_eq!(with(Sound), Some(SignedOff), "{item}");
        assert_eq!(with(Early), Some(SignedOffWithRecheck), "{item}");
        assert_eq!(with(Worn), Some(NotSignedOff), "{item}");
    }
}

#[test]
fn the_worse_of_two_looks_beside_counts_until_a_reason_is_given() {
    let first = look("coolant-hoses", Failing).during("idle");
    let second = look("coolant-hoses", Sound).during("settled");
    let run = |second: Look| after_oil(Story::new(), [first.clone(), second]).verdict(3.0);
    assert_eq!(run(second.clone()), Some(NotSignedOff));
    let tightened = second.better(crate::walk::Better::Adjusted);
    assert_eq!(run(tightened), Some(SignedOff));
}

#[test]
fn a_repair_of_what_was_seen_beside_waits_for_a_look() {
    let run = after_oil(
        Story::new(),
        [look("coolant-hoses", Failing).during("idle")],
    );
    let mended = run.repair(1.5, "coolant-hoses");
    let judged = mended.judged_walk(3.0, "run");
    assert_eq!(judged.now, Some(SignedOffWithRecheck));
    assert_eq!(judged.reasons[0].rule, "repaired, not yet looked at");
}

#[test]
fn a_stop_on_the_machine_or_the_boat_stands_against_a_run_that_never_looked_there() {
    let catalogue = &Library::built_in().catalogue;
    let mut met = [0, 0];
    for item in unasked() {
        let found = |machine: &str| {
            let twins = Story::with(&["port", "starboard"]);
            twins.walk("daily", machine, 0.0, None, [look(item, Failing)])
        };
        let port = found("port");
        if !port.row(0.5, item).is_some_and(|row| row.stop) {
            continue;
        }
        let run = |story: Story| after_oil(story, []).judged_walk(3.0, "run").now;
        assert_eq!(run(port), Some(NotSignedOff), "{item}");
        let boat_wide = catalogue.item(item).map(|i| i.scope) == Some(Scope::Boat);
        let expected = if boat_wide { NotSignedOff } else { SignedOff };
        assert_eq!(run(found("starboard")), Some(expected), "{item}");
        met[usize::from(boat_wide)] += 1;
    }
    assert!(met[0] > 3 && met[1] > 1, "{met:?}");
}

#[test]
fn what_is_seen_beside_does_not_stand_for_the_rows_of_a_phase() {
    let mut story = after_oil(Story::new(), [look("coolant-hoses", Sound).during("fast")]);
    story.written.retain(|w| match &w.record {
        Record::Look(made) => {
            made.look.phase.as_deref() != Some("fast") || made.look.item == "coolant-hoses"
        }
        _ => true,
    });
    let judged = story.judged_walk(3.0, "run");
    assert_eq!(judged.now, Some(NotSignedOff));
    let skipped = |r: &crate::defects::said::VerdictReason| r.rule.starts_with("phase skipped");
    assert!(judged.reasons.iter().any(skipped), "{:?}", judged.reasons);
}

#[test]
fn a_reading_without_a_phase_hides_no_rise() {
    let mut story = after_oil(Story::new(), []);
    let read = |value: f64| look("engine-oil-level", Sound).read(value, Unit::Percent);
    let mut last = story.written.pop().expect("the end");
    let looks = [
        read(80.0).during("dead"),
        read(81.0),
        read(95.0).during("settled"),
        read(95.0),
    ];
    let story = story.go_on("run", 1.01, looks);
    last.at = story.written.last().expect("looks").at;
    if let Record::WalkFinished(end) = &mut last.record {
        end.at = last.at;
    }
    let story = story.write(1.01, last.record);
    let history = story.history();
    let levels = story.on(3.0).levels(history.walk("run").expect("the run"));
    let rises: Vec<_> = levels
        .iter()
        .map(|l| (l.item.as_str(), l.is_rise))
        .collect();
    assert_eq!(rises, [("engine-oil-level", true)]);
    assert!(
        levels[0].told.starts_with("81 % before the start, 95 %"),
        "{levels:?}"
    );
}

#[test]
fn a_look_at_what_no_row_asks_joins_where_it_was_met() {
    let mut story = after_oil(Story::new(), []);
    story.written.truncate(story.written.len() - 1);
    let idle = plan(&story);
    let phase = idle
        .phases
        .iter()
        .position(|p| p.id == "idle")
        .expect("asked");
    let third = idle.phases[phase].rows[2].items[0].clone();
    let looks = [
        look(&third, Sound).during("idle"),
        look("coolant-hoses", Worn).during("idle"),
        look("fuel-tank-and-vent", Sound).during("idle"),
        look("engine-anodes", Sound),
        look("coolant-hoses", Worn).during("settled"),
        look("drive-belt", Sound).during("no-such-phase"),
    ];
    let plan = plan(&story.go_on("run", 1.1, looks));
    let beside: Vec<_> = plan
        .rows()
        .filter_map(|(p, r)| Some((plan.phases[p].id.as_str(), r, plan.row(p, r)?)))
        .filter(|(.., row)| row.beside)
        .map(|(phase, n, row)| (phase, n, row.items[0].as_str(), row.why.as_deref()))
        .collect();
    let settled = plan
        .phases
        .iter()
        .find(|p| p.id == "settled")
        .expect("asked");
    let last = settled.rows.len() - 1;
    assert_eq!(
        beside,
        [
            ("idle", 3, "coolant-hoses", Some(SEEN_BESIDE)),
            ("idle", 4, "fuel-tank-and-vent", Some(SEEN_BESIDE)),
            ("settled", last, "coolant-hoses", Some(SEEN_BESIDE)),
        ]
    );
}

#[test]
fn a_phase_of_which_nothing_is_asked_comes_in_at_its_place() {
    let list = Library::built_in().checklist("daily").expect("built in");
    let rows = |p: usize| (0..list.phases[p].rows.len()).map(move |row| (p, row));
    let mut story = Story::new().begin("run", "daily", "main", 1.0, None);
    if let Some(Record::WalkStarted(started)) = story.written.last_mut().map(|w| &mut w.record) {
        let left = rows(1).map(|(phase, row)| crate::walk::LeftOut { phase, row });
        started.left_out = left.collect();
    }
    let ids = |plan: &Plan| plan.phases.iter().map(|p| p.id.clone()).collect::<Vec<_>>();
    let all: Vec<_> = list.phases.iter().map(|p| p.id.clone()).collect();
    assert_ne!(ids(&plan(&story)), all);
    let seen = look("engine-anodes", Worn).during(&list.phases[1].id);
    let story = story.go_on("run", 1.0, [seen]);
    assert_eq!(ids(&plan(&story)), all);
}

#[test]
fn what_was_taken_out_of_the_boat_and_is_seen_all_the_same_has_its_row() {
    let story = Story::new().removed(0.5, "water-heater-hoses");
    let before = story.clone();
    let story = after_oil(story, [look("water-heater-hoses", Worn).during("idle")]);
    let history = story.history();
    let walk = history.walk("run").expect("the run");
    let plan = before.on(1.0).plan_of(walk).expect("known");
    assert!(
        plan.spots()
            .any(|s| plan.item(s) == Some("water-heater-hoses"))
    );
    assert_eq!(story.verdict(3.0), Some(NotSignedOff));
    assert!(walk.finished.expect("finished") > day(1.0));
}
