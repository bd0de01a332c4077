//! The law of time: with nothing new on record no answer becomes better on a later day. Chances,
//! levels, rank groups, verdicts and days due are watched day by day for two years, on random boats
//! and on the demo.
//!
//! Two things are named. A deferral that runs out makes its row worse, so it breaks no law; it is
//! counted, so that it is known to have been there. And the level of a row is that of its deciding
//! effect: where a more severe effect takes the lead (2B, then 1C) the letter of the row may be a
//! later one, while the level of every single effect holds.

use std::collections::BTreeMap;

use chrono::{Duration, NaiveDate};
use proptest::prelude::*;

use super::*;
use crate::assess::words::{Level, Severity};
use crate::boat::Machine;
use crate::checklist::{Grade, Kind, Scope};
use crate::defects::condition::Condition;
use crate::defects::list::Row;
use crate::defects::wait::Wait;
use crate::defects::{Deferral, Fitted, Recheck, Repair, Service, Subject};
use crate::logbook::record::{LookMade, WalkFinished, WalkStarted};
use crate::service::due::due;
use crate::walk::Look;

const DAYS: i64 = 730;

/// Room for the last digits of a sum of floats.
const GRAIN: f64 = 1e-9;

type Key = (String, Option<String>);

/// What is said of one row, in the order of worse: larger is worse, but for the waits.
#[derive(Debug)]
struct Said {
    stop: bool,
    risk: Risk,
    severity: Severity,
    level: Level,
    levels: Vec<Level>,
    chance: f64,
    deferred: bool,
    past_life: bool,
    waits: [Option<Wait>; 2],
}

/// Everything said on one day.
struct Answers {
    rows: BTreeMap<Key, Said>,
    /// What nobody has looked at: its chance and its risk.
    unseen: BTreeMap<Key, (f64, Risk)>,
    /// Looks at every graded item: due, and the day of it.
    looks: BTreeMap<Key, Wait>,
    /// Work, rechecks, lives and looks: due, day, hours left.
    due: BTreeMap<String, (bool, Option<NaiveDate>, Option<f64>)>,
    /// Of each finished walk: rank of the verdict now, and how many stops and cares are named.
    verdicts: Vec<Option<u8>>,
}

impl Answers {
    /// The rows alone.
    fn rows(condition: &Condition) -> Answers {
        let list = list_of(condition);
        Answers {
            rows: list.rows.iter().map(|r| (key(r), said(r))).collect(),
            unseen: BTreeMap::new(),
            looks: BTreeMap::new(),
            due: BTreeMap::new(),
            verdicts: Vec::new(),
        }
    }

    fn of(condition: &Condition, history: &History) -> Answers {
        let list = list_of(condition);
        let name = |item: &str, machine: &Option<String>| (item.to_owned(), machine.clone());
        let rows = list.rows.iter();
        let unseen = list.unseen.iter();
        let looks = condition.next_looks(condition.boat.waters);
        let due = due(condition, history);
        Answers {
            rows: rows.map(|r| (key(r), said(r))).collect(),
            unseen: unseen
                .map(|u| (name(&u.item, &u.machine), (u.chance, u.risk)))
                .collect(),
            looks: looks
                .iter()
                .map(|l| (name(&l.item, &l.machine), l.within))
                .collect(),
            due: due
                .iter()
                .map(|d| {
                    let id = format!("{} {} {:?}", d.what, d.id, d.machine);
                    (id, (d.due, d.due_date, d.hours_left))
                })
                .collect(),
            verdicts: last_walks(condition, history)
                .map(|walk| {
                    let verdict = crate::defects::verdict::verdict(condition, history, walk)?.0;
                    Some(badness(verdict))
                })
                .collect(),
        }
    }
}

fn key(row: &Row) -> Key {
    (row.item.clone(), row.machine.clone())
}

fn said(r: &Row) -> Said {
    Said {
        stop: r.stop,
        risk: r.risk,
        severity: r.severity,
        level: r.level,
        levels: r.appraisal.effects.iter().map(|e| e.level).collect(),
        chance: r.chance,
        deferred: r.deferred.is_some(),
        past_life: r.past_life,
        waits: [r.fix_within, r.look_again_within],
    }
}

fn list_of(condition: &Condition) -> DefectList {
    let (exposure, waters) = condition.usual_plan();
    condition.list(Scenario::new(exposure, waters), false)
}

/// The last walk of each machine by each checklist.
fn last_walks<'a>(
    condition: &'a Condition,
    history: &'a History,
) -> impl Iterator<Item = &'a crate::walk::Walk> {
    let machines = condition.boat.machines.iter();
    machines.flat_map(move |m| {
        let mine = history.walks.iter().rev();
        let mine = mine.filter(|w| w.machine == m.id && w.finished.is_some());
        ["daily", "leak-run"]
            .into_iter()
            .filter_map(move |list| mine.clone().find(|w| w.checklist == list))
    })
}

fn badness(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::ClearToRun | Verdict::NothingSeenAgainstStarting | Verdict::SignedOff => 0,
        Verdict::RunWithCare | Verdict::SignedOffWithRecheck => 1,
        Verdict::DoNotLeave => 2,
        Verdict::DoNotRun | Verdict::NotSignedOff => 3,
    }
}

/// True where a wait is no better than one told on an earlier day.
fn no_better(before: &Wait, after: &Wait) -> bool {
    let date = match (before.date, after.date) {
        (Some(before), Some(after)) => after <= before,
        (Some(_), None) => false,
        (None, _) => true,
    };
    let hours = match (before.hours, after.hours) {
        (Some(before), Some(after)) => after <= before + GRAIN * before.abs(),
        (Some(_), None) => false,
        (None, _) => true,
    };
    let wear = after.wear_hours <= before.wear_hours * (1.0 + GRAIN);
    date && hours && wear && after.over >= before.over
}

/// What is better on the later of two days, in words.
fn better(before: &Answers, after: &Answers) -> Vec<String> {
    let mut found = Vec::new();
    for (key, then) in &before.rows {
        let Some(now) = after.rows.get(key) else {
            found.push(format!("{key:?} is gone from the list"));
            continue;
        };
        let group = (!now.stop, now.risk) <= (!then.stop, then.risk);
        let chance = now.chance >= then.chance * (1.0 - GRAIN);
        let kept = now.past_life >= then.past_life && now.deferred <= then.deferred;
        let leads = (now.risk, now.severity) < (then.risk, then.severity);
        let level = now.level <= then.level || leads;
        let each = now.levels.iter().zip(&then.levels).all(|(n, t)| n <= t);
        if !(group && chance && kept && level && each) {
            found.push(format!("{key:?}: {then:?}, later {now:?}"));
        }
        for (wait, (then, now)) in ["fix within", "look again within"]
            .into_iter()
            .zip(then.waits.iter().zip(&now.waits))
        {
            let holds = match (then, now) {
                (Some(then), Some(now)) => no_better(then, now),
                (Some(_), None) => false,
                (None, _) => true,
            };
            if !holds {
                found.push(format!("{key:?} {wait}: {then:?}, later {now:?}"));
            }
        }
    }
    for (key, then) in &before.unseen {
        let now = after.unseen.get(key);
        if !now.is_some_and(|now| now.0 >= then.0 * (1.0 - GRAIN) && now.1 <= then.1) {
            found.push(format!("unseen {key:?}: {then:?}, later {now:?}"));
        }
    }
    for (key, then) in &before.looks {
        let now = after.looks.get(key);
        if !now.is_some_and(|now| no_better(then, now)) {
            found.push(format!("next look {key:?}: {then:?}, later {now:?}"));
        }
    }
    for (key, then) in &before.due {
        let now = after.due.get(key);
        let holds = now.is_some_and(|now| {
            let date = then
                .1
                .is_none_or(|then| now.1.is_some_and(|now| now <= then));
            // A thousandth of an hour is the grain in which hours left are told.
            let hours = then
                .2
                .is_none_or(|then| now.2.is_some_and(|now| now <= then + 0.0021));
            now.0 >= then.0 && date && hours
        });
        if !holds {
            found.push(format!("due {key}: {then:?}, later {now:?}"));
        }
    }
    for (then, now) in before.verdicts.iter().zip(&after.verdicts) {
        if now < then {
            found.push(format!("verdict {then:?}, later {now:?}"));
        }
    }
    found
}

/// Watches a boat every `step` days, and with all that is said of her every `whole` days; how many
/// deferrals ran out.
fn watch(
    boat: &Boat,
    history: &History,
    from: DateTime<FixedOffset>,
    (days, step, whole): (i64, i64, i64),
) -> Result<usize, String> {
    let library = library();
    let mut condition = Condition::of(boat, Arc::clone(&library), history, from);
    let mut before = Answers::rows(&condition);
    let mut before_all = Answers::of(&condition, history);
    let mut ran_out = 0;
    for day in (step..=days).step_by(step as usize) {
        let now = from + Duration::days(day);
        condition.on_day(now);
        if day % (8 * whole) == 0 {
            // What is folded hangs on no day: else the next day could find another past.
            let anew = Condition::of(boat, Arc::clone(&library), history, now);
            for machine in &boat.machines {
                let of = |c: &Condition| c.rate(Some(&machine.id));
                assert_eq!(of(&anew), of(&condition), "{}", machine.id);
            }
            assert_eq!(anew.dwells, condition.dwells);
            condition = anew;
        }
        let after = Answers::rows(&condition);
        let mut found = better(&before, &after);
        if day % whole == 0 {
            let all = Answers::of(&condition, history);
            found.extend(better(&before_all, &all));
            before_all = all;
        }
        if !found.is_empty() {
            return Err(format!("day {day}: {}", found.join("\n")));
        }
        ran_out += before
            .rows
            .iter()
            .filter(|(key, said)| said.deferred && !after.rows[*key].deferred)
            .count();
        before = after;
    }
    Ok(ran_out)
}

#[test]
fn the_demo_boat_becomes_no_better_by_waiting() {
    let (boat, written) = written(time(MORNING));
    let history = fold(&written);
    let ran_out = watch(&boat, &history, time(MORNING), (DAYS, 7, 28)).expect("the law holds");
    assert!(ran_out > 0, "a deferral of the demo runs out");
}

/// A boat whose season lies behind her: an old cruise, a quiet spring, looks of every sort.
#[derive(Clone, Debug)]
struct Past {
    usual: f64,
    /// Day, hours run since the reading before it, and by whom told: a walk, or so many services.
    readings: Vec<(i64, f64, u8)>,
    looks: Vec<(usize, i64, usize)>,
    repaired: Option<usize>,
    deferred: Option<(usize, i64, bool)>,
    fitted: Vec<(usize, i64)>,
    owed: Option<(usize, i64, bool)>,
    /// Time of day of the first morning, minutes.
    minute: i64,
}

const FIRST: &str = "2025-01-01T00:00:00+01:00";
/// Where the past ends.
const LAST: i64 = 400;

fn past() -> impl Strategy<Value = Past> {
    // Of the engine, then of the generator.
    let items = 2 * Library::built_in().catalogue.items().len();
    let reading = (
        0..LAST,
        prop_oneof![Just(0.0), 0.0..8.0f64, 20.0..80.0f64],
        0u8..7,
    );
    let rest = (
        prop::option::of(0..items),
        prop::option::of((0..items, 1i64..300, any::<bool>())),
        prop::collection::vec((0..items, 0..LAST), 0..6),
        prop::option::of((0..items, 1i64..200, any::<bool>())),
        prop_oneof![Just(0i64), 0i64..1440],
    );
    (
        prop_oneof![Just(0.0), 0.1..60.0f64],
        prop::collection::vec(reading, 0..14),
        prop::collection::vec((0..items, 0..LAST, 0usize..5), 4..16),
        rest,
    )
        .prop_map(|(usual, readings, looks, rest)| Past {
            usual,
            readings,
            looks,
            repaired: rest.0,
            deferred: rest.1,
            fitted: rest.2,
            owed: rest.3,
            minute: rest.4,
        })
}

impl Past {
    fn at(&self, day: i64) -> DateTime<FixedOffset> {
        time(FIRST) + Duration::days(day) + Duration::minutes(self.minute)
    }

    fn boat(&self) -> Boat {
        let boat = serde_json::json!({"type": "boat", "name": "Grey Plover", "waters": "inshore",
            "units": "metric", "usual_hours_per_month": self.usual,
            "machines": [{"id": "main", "name": "Main engine"},
                         {"id": "generator", "name": "Generator", "role": "generator"}]});
        serde_json::from_value(boat).expect("a boat")
    }

    fn written(&self) -> Vec<Written> {
        let boat = self.boat();
        let mut all: Vec<(DateTime<FixedOffset>, Record)> =
            vec![(self.at(0), Record::Profile(Box::new(boat.clone().into())))];
        let items = Library::built_in().catalogue.items();
        let subject = |n: usize| {
            let item = &items[n % items.len()];
            let machine: &Machine = &boat.machines[n / items.len() % 2];
            let machine = (item.scope == Scope::Machine).then(|| machine.id.clone());
            Subject {
                item: item.id.clone(),
                machine,
            }
        };
        let mut readings = self.readings.clone();
        readings.sort_by_key(|r| r.0);
        let mut total = 100.0;
        for (day, ran, told) in readings {
            total += ran;
            let hours = Hours::new(total).ok();
            let at = self.at(day);
            match told {
                0 => all.extend(walk(at, "main", hours, None)),
                services => all.extend((0..services).map(|_| {
                    let service = Service {
                        task: "engine-oil-and-filter".into(),
                        machine: Some("main".into()),
                        at: Some(at),
                        hours,
                        ..Service::default()
                    };
                    (at, Record::Service(Box::new(service)))
                })),
            }
        }
        for (n, day, rung) in &self.looks {
            let subject = subject(*n);
            let machine = subject.machine.as_deref().unwrap_or("main");
            let look = Look::graded(&subject.item, None, Grade::ALL[*rung]);
            all.extend(walk(self.at(*day), machine, None, Some(look)));
        }
        for (n, day) in &self.fitted {
            let Subject { item, machine } = subject(*n);
            let at = Some(self.at(*day));
            let hours = None;
            let fitted = Fitted {
                item,
                machine,
                at,
                hours,
            };
            all.push((self.at(*day), Record::from(fitted)));
        }
        if let Some(n) = self.repaired {
            let Subject { item, machine } = subject(n);
            let repair = Repair {
                item,
                machine,
                at: Some(self.at(LAST)),
                hours: None,
                done: "mended".into(),
                by: None,
                temporary: None,
                cause: None,
                minutes: None,
            };
            all.push((self.at(LAST), Record::from(repair)));
        }
        let until = |days: i64, by_hours: bool| match by_hours {
            true => (None, Hours::new(total + days as f64 / 4.0).ok()),
            false => (Some(self.at(LAST + days)), None),
        };
        if let Some((n, days, by_hours)) = self.deferred {
            let Subject { item, machine } = subject(n);
            let until = match until(days, by_hours) {
                (_, Some(hours)) => hours.get().to_string(),
                (at, None) => at.expect("one of both").date_naive().to_string(),
            };
            let deferral = Deferral {
                item,
                machine,
                at: Some(self.at(LAST)),
                why: "no part aboard".into(),
                until: until.parse().expect("hours or a date"),
            };
            all.push((self.at(LAST), Record::from(deferral)));
        }
        if let Some((n, days, by_hours)) = self.owed {
            let Subject { item, machine } = subject(n);
            let (due_at, due_hours) = until(days, by_hours);
            let recheck = Recheck {
                item,
                machine,
                at: Some(self.at(LAST)),
                due_at,
                due_hours,
                from: None,
                why: "nip the clip".into(),
            };
            all.push((self.at(LAST), Record::from(recheck)));
        }
        let entry =
            |(n, (at, record)): (usize, (_, Record))| Written::new(format!("r{n}"), at, record);
        all.into_iter().enumerate().map(entry).collect()
    }
}

fn walk(
    at: DateTime<FixedOffset>,
    machine: &str,
    hours: Option<Hours>,
    look: Option<Look>,
) -> Vec<(DateTime<FixedOffset>, Record)> {
    let item = look.as_ref().map_or("", |l| l.item.as_str());
    let walk = format!("{machine}-{at}-{item}");
    let started = WalkStarted {
        walk: walk.clone(),
        checklist: "daily".into(),
        asked: None,
        machine: machine.to_owned(),
        at,
        by: None,
        hours,
        entered_after: false,
        blind: false,
        left_out: Vec::new(),
        joins: Vec::new(),
        disturbed: Vec::new(),
        guest: false,
    };
    let made = look.map(|look| {
        let walk = walk.as_str().into();
        (
            at,
            Record::Look(LookMade {
                walk,
                at,
                look: look.into(),
            }),
        )
    });
    let finished = WalkFinished {
        walk: walk.clone(),
        at,
        pace: None,
        said: None,
    };
    let begun = std::iter::once((at, Record::from(started)));
    begun
        .chain(made)
        .chain([(at, Record::from(finished))])
        .collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3))]

    #[test]
    fn no_boat_becomes_better_by_waiting(past in past()) {
        let history = fold(&past.written());
        let from = past.at(LAST);
        let watched = watch(&past.boat(), &history, from, (DAYS, 1, 12));
        prop_assert_eq!(watched.err(), None);
    }
}

/// The case that was seen: an old cruise, and next to nothing since. On the day it was half a year
/// old every chance fell, with nothing recorded.
#[test]
fn an_old_cruise_does_not_leave_the_rate_of_use_overnight() {
    let past = Past {
        usual: 3.0,
        readings: vec![(0, 0.0, 0), (5, 40.0, 0), (10, 40.0, 0), (40, 1.0, 0)],
        looks: vec![],
        repaired: None,
        deferred: None,
        fitted: vec![],
        owed: None,
        minute: 0,
    };
    let items = Library::built_in().catalogue.items();
    let belt = items
        .iter()
        .position(|i| i.kind == Kind::Belt)
        .expect("a belt");
    let past = Past {
        looks: vec![(belt, 40, 2)],
        ..past
    };
    let history = fold(&past.written());
    let watched = watch(&past.boat(), &history, past.at(41), (300, 1, 5));
    assert_eq!(watched, Ok(0));
}
