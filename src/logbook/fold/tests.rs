use chrono::Duration;
use proptest::prelude::*;

use super::*;
use crate::boat::{Boat, Hours, Machine, MeterChange, Retired, Waters};
use crate::checklist::Grade;
use crate::defects::{
    FollowUpLook, LearningSet, LearningState, NamedPlan, Repair, Service, ServiceInterval,
};
use crate::logbook::record::{
    Agreement, DraftKept, LookMade, ToldOf, Undo, WalkFinished, WalkNoted, WalkStarted,
};
use crate::walk::{Agreed, Details, Look, Told};

fn at(seconds: i64) -> DateTime<FixedOffset> {
    let first = DateTime::parse_from_rfc3339("2026-05-01T12:00:00Z").expect("a time");
    first + Duration::seconds(seconds)
}

const ITEMS: [&str; 3] = ["drive-belt", "bilge-pump", "fuel-hoses"];

/// What one record does: numbers name walks, items and earlier records.
#[derive(Clone, Debug)]
enum Step {
    Begin(u8, i64),
    Look(u8, u8, usize, i64),
    Note(u8, f64),
    Blind(u8, bool),
    Agree(u8, usize),
    Told(u8, u8, i64),
    Finish(u8, i64),
    Draft(u8, u8, bool),
    Undo(prop::sample::Index),
    Repair(u8, i64),
    Meter(i64),
    Service(u8, i64),
    Interval(u8, i64),
    Plan(f64),
    Learning(usize, i64),
    Profile(usize, bool),
    Retire(prop::sample::Index),
}

fn step() -> impl Strategy<Value = Step> {
    let walk = 0u8..3;
    let item = 0u8..3;
    let when = 0i64..1000;
    prop_oneof![
        2 => (walk.clone(), when.clone()).prop_map(|(w, t)| Step::Begin(w, t)),
        6 => (walk.clone(), item.clone(), 0usize..5, when.clone())
            .prop_map(|(w, i, g, t)| Step::Look(w, i, g, t)),
        1 => (walk.clone(), 0.0..9999.0f64).prop_map(|(w, h)| Step::Note(w, h)),
        1 => (walk.clone(), any::<bool>()).prop_map(|(w, on)| Step::Blind(w, on)),
        1 => (walk.clone(), 0usize..3).prop_map(|(w, n)| Step::Agree(w, n)),
        1 => (walk.clone(), item.clone(), when.clone()).prop_map(|(w, i, t)| Step::Told(w, i, t)),
        1 => (walk.clone(), when.clone()).prop_map(|(w, t)| Step::Finish(w, t)),
        3 => (walk, item.clone(), any::<bool>()).prop_map(|(w, i, full)| Step::Draft(w, i, full)),
        4 => any::<prop::sample::Index>().prop_map(Step::Undo),
        2 => (item.clone(), when.clone()).prop_map(|(i, t)| Step::Repair(i, t)),
        3 => (item.clone(), when.clone()).prop_map(|(i, t)| Step::Service(i, t)),
        1 => (item, when.clone()).prop_map(|(i, t)| Step::Interval(i, t)),
        1 => when.prop_map(Step::Meter),
        1 => (0.0..99.0f64).prop_map(Step::Plan),
        1 => (0usize..4, 0i64..1000).prop_map(|(state, t)| Step::Learning(state, t)),
        1 => (0usize..4, any::<bool>()).prop_map(|(waters, two)| Step::Profile(waters, two)),
        1 => any::<prop::sample::Index>().prop_map(Step::Retire),
    ]
}

fn item(n: u8) -> String {
    ITEMS[usize::from(n)].to_owned()
}

fn record(step: Step, before: usize) -> Record {
    let hours = |h| Hours::new(h).expect("hours");
    match step {
        Step::Begin(walk, t) => Record::WalkStarted(WalkStarted {
            walk: format!("w{walk}"),
            checklist: "daily".into(),
            asked: None,
            machine: "main".into(),
            at: at(t),
            by: None,
            hours: None,
            entered_after: false,
            blind: walk > 0,
            left_out: Vec::new(),
            joins: Vec::new(),
            disturbed: Vec::new(),
        }),
        Step::Look(walk, of, rung, t) => Record::Look(LookMade {
            walk: format!("w{walk}"),
            at: at(t),
            look: Look::graded(&item(of), Some("cold"), Grade::ALL[rung]).into(),
        }),
        Step::Note(walk, h) => Record::WalkNoted(WalkNoted {
            walk: format!("w{walk}"),
            hours: Some(hours(h)),
            ..WalkNoted::default()
        }),
        Step::Blind(walk, on) => Record::WalkNoted(WalkNoted {
            walk: format!("w{walk}"),
            blind: Some(on),
            ..WalkNoted::default()
        }),
        Step::Agree(walk, n) => Record::Agreement(Agreement {
            walk: format!("w{walk}"),
            at: None,
            agreed: Agreed {
                runs: Some(format!("answer {n}")),
                ..Agreed::default()
            },
        }),
        Step::Told(walk, of, t) => Record::Told(ToldOf {
            walk: format!("w{walk}"),
            told: Told {
                items: vec![item(of)],
                whom: "the broker".into(),
                at: at(t),
            },
        }),
        Step::Finish(walk, t) => Record::WalkFinished(WalkFinished {
            walk: format!("w{walk}"),
            at: at(t),
            pace: None,
            said: None,
        }),
        Step::Draft(walk, of, full) => Record::Draft(DraftKept {
            walk: format!("w{walk}"),
            phase: "cold".into(),
            item: item(of),
            details: Details {
                note: full.then(|| "wet below".into()),
                ..Details::default()
            },
        }),
        Step::Undo(of) => Record::Undo(Undo {
            of: format!("r{}", of.index(before.max(1))),
        }),
        Step::Repair(of, t) => Record::Repair(Repair {
            item: item(of),
            machine: Some("main".into()),
            at: Some(at(t)),
            hours: None,
            done: "mended".into(),
            by: None,
            temporary: None,
        }),
        Step::Meter(t) => Record::Meter(MeterChange {
            machine: "main".into(),
            at: at(t),
            old: hours(100.0),
            new: Hours::ZERO,
        }),
        Step::Learning(state, t) => Record::Learning(LearningSet {
            state: LearningState::ALL[state],
            at: Some(at(t)),
            why: None,
        }),
        Step::Service(of, t) => Record::Service(Box::new(Service {
            task: "oil-and-filter".into(),
            machine: Some("main".into()),
            at: Some(at(t)),
            renewed: vec![item(of)],
            owed: vec![FollowUpLook {
                item: item(of),
                machine: Some("main".into()),
                due_at: None,
                due_hours: Some(hours(f64::from(of))),
                why: "dry".into(),
            }],
            ..Service::default()
        })),
        Step::Interval(of, t) => Record::Interval(ServiceInterval {
            task: "oil-and-filter".into(),
            machine: Some("main".into()),
            at: Some(at(t)),
            hours: Some(u32::from(of) * 100),
            months: None,
            source: None,
        }),
        Step::Profile(waters, two) => {
            let mut boat = Boat::simple("Plover", Waters::ALL[waters], Some(hours(before as f64)));
            boat.machines
                .extend(two.then(|| Machine::bare("aux", "Generator")));
            Record::Profile(Box::new(boat.into()))
        }
        Step::Retire(base) => Record::Retired(Box::new(Retired {
            machine: Some("aux".into()),
            base: vec![format!("r{}", base.index(before.max(1)))],
            ..Retired::default()
        })),
        Step::Plan(h) => Record::Plan(NamedPlan {
            name: "passage".into(),
            hours: Some(h),
            days: None,
            waters: None,
        }),
    }
}

fn written(steps: Vec<Step>) -> Vec<Written> {
    let each = steps.into_iter().enumerate();
    each.map(|(n, step)| Written::new(format!("r{n}"), at(n as i64), record(step, n)))
        .collect()
}

proptest! {
    #[test]
    fn one_by_one_is_the_same_as_all_at_once(steps in prop::collection::vec(step(), 0..60)) {
        let all = written(steps);
        let mut history = History::default();
        for n in 0..all.len() {
            if !apply(&mut history, &all[..n], &all[n]) {
                history = fold(&all[..=n]);
            }
            prop_assert_eq!(&history, &fold(&all[..=n]), "after {:?}", all[n]);
        }
    }
}

#[test]
fn a_draft_is_forgotten_when_its_look_comes_and_comes_back_with_its_undo() {
    let mut all = written(vec![
        Step::Begin(0, 0),
        Step::Draft(0, 0, true),
        Step::Draft(0, 1, true),
        Step::Look(0, 0, 1, 5),
    ]);
    let items =
        |all: &[Written]| -> Vec<String> { fold(all).drafts.into_iter().map(|d| d.item).collect() };
    assert_eq!(items(&all[..3]), ITEMS[..2]);
    assert_eq!(items(&all), ITEMS[1..2]);
    let undo = |of: &str, n: usize| {
        Written::new(format!("r{n}"), at(9), Record::Undo(Undo { of: of.into() }))
    };
    all.push(undo("r3", 4));
    assert_eq!(items(&all), ITEMS[..2]);
    assert!(fold(&all).walks[0].looks.is_empty());
    all.push(undo("r4", 5));
    assert_eq!(items(&all), ITEMS[1..2]);
    assert_eq!(fold(&all).walks[0].looks.len(), 1);
    all.push(Written::new(
        "r6".into(),
        at(10),
        record(Step::Draft(0, 1, false), 6),
    ));
    assert!(items(&all).is_empty(), "empty details clear a draft");
}

#[test]
fn walks_and_looks_stand_in_the_order_they_were_made() {
    let mut all = written(vec![
        Step::Begin(1, 500),
        Step::Begin(0, 300),
        Step::Look(0, 0, 1, 450),
        Step::Look(0, 1, 1, 400),
    ]);
    // Told hours after: each stands at its own time.
    for (n, w) in all.iter_mut().enumerate() {
        w.at = at(1000 + n as i64);
    }
    let history = fold(&all);
    let ids: Vec<_> = history.walks.iter().map(|w| w.id.as_str()).collect();
    assert_eq!(ids, ["w0", "w1"]);
    let looks: Vec<_> = history.walks[0]
        .looks
        .iter()
        .map(|l| l.id.as_str())
        .collect();
    assert_eq!(looks, ["r3", "r2"]);
}
