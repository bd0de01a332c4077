use chrono::Duration;
use proptest::prelude::*;

mod reckoned;

use super::*;
use crate::boat::{Boat, Hours, Machine, MeterChange, Retired, Waters};
use crate::checklist::Grade;
use crate::defects::{
    FollowUpLook, LearningSet, LearningState, NamedPlan, Recheck, Repair, Service, ServiceInterval,
};
use crate::logbook::record::{
    Agreement, Correction, DraftKept, LookMade, SetAside, ToldOf, Undo, WalkFinished, WalkNoted,
    WalkStarted,
};
use crate::walk::{Agreed, Details, Look, Notified};

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
    /// Another look, put in the place of an earlier record.
    Correct(prop::sample::Index, Option<usize>),
    Aside(u8, prop::sample::Index),
    Repair(u8, i64),
    Meter(i64),
    /// A look owed at a figure reckoned from an earlier record, and another meter fitted by one.
    Owed(u8, prop::sample::Index, f64),
    OtherMeter(prop::sample::Index, i64),
    /// Another reading of a walk, put in the place of an earlier record.
    Reread(prop::sample::Index, u8, f64),
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
        2 => (any::<prop::sample::Index>(), prop::option::of(0usize..5))
            .prop_map(|(of, rung)| Step::Correct(of, rung)),
        1 => (0u8..3, any::<prop::sample::Index>()).prop_map(|(w, look)| Step::Aside(w, look)),
        2 => (item.clone(), when.clone()).prop_map(|(i, t)| Step::Repair(i, t)),
        3 => (item.clone(), when.clone()).prop_map(|(i, t)| Step::Service(i, t)),
        1 => (item, when.clone()).prop_map(|(i, t)| Step::Interval(i, t)),
        1 => when.clone().prop_map(Step::Meter),
        2 => (0u8..3, any::<prop::sample::Index>(), 0.0..99.0f64)
            .prop_map(|(i, from, h)| Step::Owed(i, from, h)),
        1 => (any::<prop::sample::Index>(), when).prop_map(|(from, t)| Step::OtherMeter(from, t)),
        2 => (any::<prop::sample::Index>(), 0u8..3, 0.0..9999.0f64)
            .prop_map(|(of, w, h)| Step::Reread(of, w, h)),
        1 => (0.0..99.0f64).prop_map(Step::Plan),
        1 => (0usize..4, 0i64..1000).prop_map(|(state, t)| Step::Learning(state, t)),
        1 => (0usize..4, any::<bool>()).prop_map(|(waters, two)| Step::Profile(waters, two)),
        1 => any::<prop::sample::Index>().prop_map(Step::Retire),
    ]
}

fn item(n: u8) -> String {
    ITEMS[usize::from(n)].to_owned()
}

fn look(walk: &str, item: &str, rung: usize, t: i64) -> Record {
    Record::Look(LookMade {
        walk: walk.into(),
        at: at(t),
        look: Look::graded(item, Some("cold"), Grade::ALL[rung]).into(),
    })
}

fn noted(walk: u8, h: f64) -> Record {
    Record::from(WalkNoted {
        walk: format!("w{walk}"),
        hours: Hours::new(h).ok(),
        ..WalkNoted::default()
    })
}

/// So much more than any reading that no shift leads out of what a meter can show.
const FAR: f64 = 20_000.0;

fn record(step: Step, before: usize) -> Record {
    let hours = |h| Hours::new(h).expect("hours");
    match step {
        Step::Begin(walk, t) => Record::from(WalkStarted {
            walk: format!("w{walk}"),
            checklist: "daily".into(),
            asked: None,
            machine: "main".into(),
            at: at(t),
            by: None,
            hours: (t % 2 == 1).then(|| hours(t as f64)),
            entered_after: false,
            blind: walk > 0,
            left_out: Vec::new(),
            joins: Vec::new(),
            disturbed: Vec::new(),
            guest: false,
        }),
        Step::Look(walk, of, rung, t) => look(&format!("w{walk}"), &item(of), rung, t),
        Step::Note(walk, h) => noted(walk, h),
        Step::Blind(walk, on) => Record::from(WalkNoted {
            walk: format!("w{walk}"),
            blind: Some(on),
            ..WalkNoted::default()
        }),
        Step::Agree(walk, n) => Record::from(Agreement {
            walk: format!("w{walk}"),
            at: None,
            agreed: Agreed {
                runs: Some(format!("answer {n}")),
                ..Agreed::default()
            },
        }),
        Step::Told(walk, of, t) => Record::from(ToldOf {
            walk: format!("w{walk}"),
            told: Notified {
                items: vec![item(of)],
                whom: "the broker".into(),
                at: at(t),
            },
        }),
        Step::Finish(walk, t) => Record::from(WalkFinished {
            walk: format!("w{walk}"),
            at: at(t),
            pace: None,
            said: None,
        }),
        Step::Draft(walk, of, full) => Record::from(DraftKept {
            walk: format!("w{walk}"),
            phase: "cold".into(),
            item: item(of),
            details: Details {
                note: full.then(|| "wet below".into()),
                ..Details::default()
            },
        }),
        Step::Undo(of) => Record::from(Undo::of(format!("r{}", of.index(before.max(1))))),
        Step::Correct(of, rung) => Record::Correction(Box::new(Correction {
            of: format!("r{}", of.index(before.max(1))),
            replaces: Vec::new(),
            to: rung.map(|rung| Box::new(look("w0", &item(1), rung, 7))),
            why: "typed wrong".into(),
            by: None,
        })),
        Step::Aside(walk, of) => Record::from(SetAside {
            walk: format!("w{walk}"),
            looks: vec![format!("r{}", of.index(before.max(1)))],
            why: "begun by mistake".into(),
            by: None,
        }),
        Step::Repair(of, t) => Record::from(Repair {
            item: item(of),
            machine: Some("main".into()),
            at: Some(at(t)),
            hours: (t % 2 == 1).then(|| hours(t as f64)),
            done: "mended".into(),
            by: None,
            temporary: None,
            cause: None,
            minutes: None,
        }),
        Step::Meter(t) => Record::from(MeterChange {
            machine: "main".into(),
            at: at(t),
            old: hours(100.0),
            from: None,
            new: Hours::ZERO,
        }),
        Step::Owed(of, from, h) => Record::from(Recheck {
            item: item(of),
            machine: (of > 0).then(|| "main".into()),
            at: None,
            due_at: None,
            due_hours: Some(hours(FAR + h)),
            from: Some(format!("r{}", from.index(before.max(1)))),
            why: "nip the clip".into(),
        }),
        Step::OtherMeter(from, t) => Record::from(MeterChange {
            machine: "main".into(),
            at: at(t),
            old: hours(FAR),
            from: Some(format!("r{}", from.index(before.max(1)))),
            new: hours(3.0),
        }),
        Step::Reread(of, walk, h) => Record::Correction(Box::new(Correction {
            of: format!("r{}", of.index(before.max(1))),
            replaces: Vec::new(),
            to: Some(Box::new(noted(walk, h))),
            why: "typed wrong".into(),
            by: None,
        })),
        Step::Learning(state, t) => Record::from(LearningSet {
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
        Step::Interval(of, t) => Record::from(ServiceInterval {
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
        Step::Plan(h) => Record::from(NamedPlan {
            name: "passage".into(),
            hours: Some(h),
            ..NamedPlan::default()
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

    #[test]
    fn put_right_is_as_never_wrong(
        steps in prop::collection::vec(step(), 1..40),
        of in any::<prop::sample::Index>(),
        instead in correctable(),
    ) {
        let mut wrong = written(steps);
        let spot = of.index(wrong.len());
        let right = record(instead, spot);
        wrong[spot].record = typed_wrong(right.clone());
        // Whatever is put right may be what these were reckoned from.
        for step in [Step::Owed(1, of, 7.0), Step::OtherMeter(of, 500)] {
            let mut reckoned = record(step, 1);
            reckoned_from(&mut reckoned, &wrong[spot].id);
            wrong.push(Written::new(format!("r{}", wrong.len()), at(900), reckoned));
        }
        let named = |w: &Written| matches!(&w.record, Record::Correction(c) if *c.of == *wrong[spot].id);
        prop_assume!(!wrong.iter().any(named));
        let undone = |w: &Written| matches!(&w.record, Record::Undo(undo) if *undo.of == *wrong[spot].id);
        prop_assume!(!wrong.iter().any(undone));
        let mut never = wrong.clone();
        never[spot].record = right.clone();
        if let (Some(was), Some(is)) = (shown(&wrong[spot].record), shown(&right)) {
            never.iter_mut().for_each(|w| reckon_anew(&mut w.record, &wrong[spot].id, was, is));
        }
        let mut put = wrong.clone();
        put.push(correction("fix", &wrong[spot].id, &[], Some(right)));
        prop_assert_eq!(told(&fold(&put)), told(&fold(&never)));
        // Taken back again it is as it was.
        put.push(Written::new("back", at(3000), Record::from(Undo::of("fix"))));
        prop_assert_eq!(told(&fold(&put)), told(&fold(&wrong)));
    }

    #[test]
    fn corrections_made_apart_give_the_same_in_any_order(
        steps in prop::collection::vec(step(), 1..30),
        fixes in prop::collection::vec((any::<prop::sample::Index>(), prop::option::of(0usize..5)), 2..4),
    ) {
        let all = written(steps);
        let fix = |(n, (of, rung)): (usize, &(prop::sample::Index, Option<usize>))| {
            let to = rung.map(|rung| look("w0", &item(1), rung, 7));
            correction(&format!("fix{n}"), &all[of.index(all.len())].id, &[], to)
        };
        let fixes: Vec<Written> = fixes.iter().enumerate().map(fix).collect();
        let there: Vec<Written> = all.iter().chain(&fixes).cloned().collect();
        let back: Vec<Written> = all.iter().chain(fixes.iter().rev()).cloned().collect();
        // Looks hold by their rung, whoever wrote first; two of one rung say the same.
        prop_assert_eq!(told(&fold(&there)), told(&fold(&back)));
    }
}

/// What can be put right, each by itself.
fn correctable() -> impl Strategy<Value = Step> {
    let puts_right = |step: &Step| {
        !matches!(
            step,
            Step::Undo(_)
                | Step::Correct(..)
                | Step::Reread(..)
                | Step::Aside(..)
                | Step::Profile(..)
                | Step::Retire(_)
        )
    };
    step().prop_filter("of the profile, or no record of its own", puts_right)
}

/// What a record says that a meter showed.
fn shown(record: &Record) -> Option<Hours> {
    match record {
        Record::WalkStarted(walk) => walk.hours,
        Record::WalkNoted(noted) => noted.hours,
        Record::Repair(repair) => repair.hours,
        _ => None,
    }
}

fn reckoned_from(record: &mut Record, id: &str) {
    match record {
        Record::Recheck(recheck) => recheck.from = Some(id.to_owned()),
        Record::Meter(change) => change.from = Some(id.to_owned()),
        _ => {}
    }
}

/// What would have been reckoned from a reading that was never wrong.
fn reckon_anew(record: &mut Record, from: &str, was: Hours, is: Hours) {
    let more = |figure: Hours| Hours::new(figure.get() + is.get() - was.get()).expect("hours");
    match record {
        Record::Recheck(recheck) if recheck.from.as_deref() == Some(from) => {
            recheck.due_hours = recheck.due_hours.map(more);
        }
        Record::Meter(change) if change.from.as_deref() == Some(from) => {
            change.old = more(change.old);
        }
        _ => {}
    }
}

/// The same as it might be typed wrong.
fn typed_wrong(mut record: Record) -> Record {
    match &mut record {
        Record::WalkStarted(walk) => {
            walk.machine = "aux".into();
            walk.hours = walk.hours.and_then(|_| Hours::new(5.0).ok());
        }
        Record::Look(made) => {
            made.at += Duration::seconds(33);
            made.look = Look::graded(&item(2), Some("cold"), Grade::Worn).into();
        }
        Record::WalkNoted(noted) => {
            noted.hours = noted.hours.and_then(|_| Hours::new(5.0).ok());
            noted.blind = noted.blind.map(|on| !on);
        }
        Record::WalkFinished(end) => end.at += Duration::seconds(999),
        Record::Agreement(agreement) => agreement.walk = "w2".into(),
        Record::Told(told) => told.walk = "w2".into(),
        Record::Draft(draft) => draft.item = item(2),
        Record::Repair(repair) => {
            repair.item = item(2);
            repair.hours = repair.hours.and_then(|_| Hours::new(5.0).ok());
        }
        Record::Recheck(recheck) => recheck.due_hours = Hours::new(FAR).ok(),
        Record::Meter(meter) => meter.machine = "aux".into(),
        Record::Service(service) => service.renewed.clear(),
        Record::Interval(interval) => interval.hours = Some(7),
        Record::Plan(plan) => plan.name = "race".into(),
        Record::Learning(set) => set.at = Some(at(1)),
        _ => {}
    }
    record
}

fn correction(id: &str, of: &str, replaces: &[&str], to: Option<Record>) -> Written {
    let correction = Correction {
        of: of.to_owned(),
        replaces: replaces.iter().map(|id| (*id).to_owned()).collect(),
        to: to.map(Box::new),
        why: "typed wrong".into(),
        by: None,
    };
    Written::new(
        id.to_owned(),
        at(2000),
        Record::Correction(Box::new(correction)),
    )
}

/// What a state tells, without what it says of corrections themselves.
fn told(history: &History) -> History {
    History {
        taken_back: Vec::new(),
        clashes: Vec::new(),
        latest: None,
        length: 0,
        ..history.clone()
    }
}

#[test]
fn of_corrections_made_apart_the_worse_look_holds_until_it_is_answered() {
    let mut all = written(vec![Step::Begin(0, 0), Step::Look(0, 1, 2, 7)]);
    let rung = |all: &[Written]| {
        let history = fold(all);
        let looks = &history.walks[0].looks;
        let grade = looks.first().and_then(|timed| timed.look.grade());
        (grade.map(Grade::rung), history.clashes.len(), looks.len())
    };
    let to = |rung| Some(look("w0", &item(1), rung, 7));
    all.push(correction("a", "r1", &[], to(3)));
    assert_eq!(rung(&all), (Some(3), 0, 1));
    all.push(correction("b", "r1", &[], to(1)));
    assert_eq!(rung(&all), (Some(3), 1, 1), "the worse, and it is said");
    all.push(correction("c", "r1", &[], None));
    assert_eq!(
        rung(&all),
        (Some(3), 1, 1),
        "a taking back that knew nothing of it"
    );
    let undo = Record::from(Undo::of("r1"));
    all.push(Written::new("u", at(2001), undo));
    assert_eq!(rung(&all), (Some(3), 1, 1), "so for one in the old way");
    all.push(correction("d", "r1", &["a", "b", "c"], to(0)));
    assert_eq!(rung(&all), (Some(0), 0, 1), "answered");
    all.push(correction("e", "r1", &["d"], None));
    assert_eq!(rung(&all), (None, 0, 0), "taken back by one who knew");
    all.push(Written::new("f", at(2002), Record::from(Undo::of("e"))));
    assert_eq!(rung(&all), (Some(0), 0, 1), "and that taken back");
}

#[test]
fn a_correction_whose_record_is_lost_stands_by_itself() {
    let mut all = written(vec![Step::Begin(0, 0)]);
    let lost = correction("a", "r9", &[], Some(look("w0", &item(1), 4, 7)));
    all.push(lost);
    let history = fold(&all);
    assert_eq!(&*history.walks[0].looks[0].id, "r9");
    all[1].trust.sound = false;
    assert!(
        fold(&all).walks[0].looks.is_empty(),
        "changed outside, it counts for nothing"
    );
}

#[test]
fn looks_made_elsewhere_outlive_a_walk_set_aside() {
    let all = written(vec![
        Step::Begin(0, 0),
        Step::Look(0, 0, 4, 5),
        Step::Note(0, 99.0),
        Step::Look(0, 1, 3, 6),
    ]);
    let mut all = all;
    let aside = |looks: &[&str]| {
        let aside = SetAside {
            walk: "w0".into(),
            looks: looks.iter().map(|id| (*id).to_owned()).collect(),
            why: "begun by mistake".into(),
            by: None,
        };
        Written::new("s", at(2000), Record::from(aside))
    };
    all.push(aside(&["r1", "r3"]));
    assert!(fold(&all).walks.is_empty());
    all[4] = aside(&["r1"]);
    let history = fold(&all);
    let walk = &history.walks[0];
    assert!(walk.is_stub && walk.machine == "main" && walk.hours.is_none());
    assert_eq!(walk.looks.len(), 1);
    assert_eq!(&*walk.looks[0].id, "r3");
    all.push(Written::new("u", at(2001), Record::from(Undo::of("s"))));
    assert_eq!(fold(&all).walks[0].looks.len(), 2);
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
    let undo =
        |of: &str, n: usize| Written::new(format!("r{n}"), at(9), Record::from(Undo::of(of)));
    all.push(undo("r3", 4));
    assert_eq!(items(&all), ITEMS[..2]);
    assert!(fold(&all).walks[0].looks.is_empty());
    all.push(undo("r4", 5));
    assert_eq!(items(&all), ITEMS[1..2]);
    assert_eq!(fold(&all).walks[0].looks.len(), 1);
    all.push(Written::new(
        "r6",
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
    let looks: Vec<_> = history.walks[0].looks.iter().map(|l| &*l.id).collect();
    assert_eq!(looks, ["r3", "r2"]);
}
