//! How long it takes to fold ten years of mornings into the condition of a boat, to rank the list
//! anew and to judge a walk. `cargo bench --bench assess`.

#![allow(clippy::expect_used, missing_docs)]

use std::sync::{Arc, LazyLock};

use chrono::{DateTime, Duration, FixedOffset};
use handlamp::assess::Exposure;
use handlamp::boat::{Boat, Hours, Waters};
use handlamp::checklist::{Grade, Item, Library};
use handlamp::defects::History;
use handlamp::defects::condition::Condition;
use handlamp::defects::judged::judge;
use handlamp::defects::list::Outset;
use handlamp::logbook::fold::{Written, fold};
use handlamp::logbook::record::{LookMade, Record, WalkFinished, WalkStarted};
use handlamp::walk::Look;

const WALKS: i64 = 3650;
const LOOKS: usize = 40;

struct World {
    boat: Boat,
    library: Arc<Library>,
    written: Vec<Written>,
    history: History,
    now: DateTime<FixedOffset>,
}

static WORLD: LazyLock<World> = LazyLock::new(|| world(1));
/// Eight engines with every item early or worn: some 500 defects.
static FLEET: LazyLock<World> = LazyLock::new(|| world(8));

fn day(n: i64) -> DateTime<FixedOffset> {
    let first = DateTime::parse_from_rfc3339("2026-05-01T07:40:00+02:00").expect("a time");
    first + Duration::days(n)
}

fn main() {
    divan::main();
}

fn world(machines: usize) -> World {
    let machines: Vec<_> = (0..machines)
        .map(|n| serde_json::json!({"id": format!("m{n}"), "name": "Engine"}))
        .collect();
    let boat = serde_json::json!({"type": "boat", "name": "Grey Plover", "waters": "inshore",
        "units": "metric", "usual_hours_per_month": 15, "machines": machines});
    let boat: Boat = serde_json::from_value(boat).expect("a boat");
    let library = Arc::new(Library::built_in().clone());
    let mut written = Vec::new();
    if let [only] = boat.machines.as_slice() {
        let items = library.catalogue.items();
        for n in 0..WALKS {
            let start = n as usize * 7;
            let asked = (0..LOOKS).map(|k| &items[(start + k) % items.len()]);
            tell(&mut written, n, &only.id, asked, |k| {
                if k % 13 == 5 {
                    Grade::Early
                } else {
                    Grade::Sound
                }
            });
        }
    } else {
        for (n, machine) in boat.machines.iter().enumerate() {
            let items = library.catalogue.items().iter();
            tell(&mut written, n as i64, &machine.id, items, |k| {
                [Grade::Early, Grade::Worn, Grade::Failing][k % 3]
            });
        }
    }
    let history = fold(&written);
    let now = history.walks.last().map_or(day(0), |w| w.at) + Duration::days(1);
    World {
        boat,
        library,
        written,
        history,
        now,
    }
}

fn tell<'a>(
    written: &mut Vec<Written>,
    n: i64,
    machine: &str,
    items: impl Iterator<Item = &'a Item>,
    grade: impl Fn(usize) -> Grade,
) {
    let (walk, at) = (format!("w{n}"), day(n));
    let mut put = |record| {
        let id = format!("r{}", written.len());
        written.push(Written { id, at, record });
    };
    put(Record::WalkStarted(WalkStarted {
        walk: walk.clone(),
        checklist: "daily".into(),
        asked: None,
        machine: machine.to_owned(),
        at,
        by: None,
        hours: Hours::new(1000.0 + n as f64 / 2.0).ok(),
        entered_after: false,
        blind: false,
        left_out: Vec::new(),
        joins: Vec::new(),
    }));
    for (k, item) in items.enumerate() {
        put(Record::Look(LookMade {
            walk: walk.clone(),
            at: at + Duration::seconds(k as i64),
            look: Look::graded(&item.id, Some("cold"), grade(k + n as usize)).into(),
        }));
    }
    let at = at + Duration::minutes(5);
    put(Record::WalkFinished(WalkFinished {
        walk,
        at,
        pace: None,
    }));
}

fn condition(world: &World) -> Condition {
    let library = Arc::clone(&world.library);
    Condition::of(&world.boat, library, &world.history, world.now)
}

/// Records into state: 3650 walks of 40 looks.
#[divan::bench(sample_count = 10)]
fn fold_ten_years() -> History {
    fold(&WORLD.written)
}

/// State into the condition of the boat: to stay under 150 ms.
#[divan::bench(sample_count = 10)]
fn condition_of_ten_years() -> Condition {
    condition(&WORLD)
}

/// The history cut at a day, as a verdict at the walk asks.
#[divan::bench(sample_count = 10)]
fn ten_years_as_of_a_day() -> History {
    WORLD.history.as_of(day(WALKS / 2))
}

/// Both verdicts of a walk.
#[divan::bench(sample_count = 10)]
fn judge_the_last_of_ten_years(bencher: divan::Bencher) {
    let condition = condition(&WORLD);
    let walk = WORLD.history.walks.last().expect("a walk");
    let world = &*WORLD;
    bencher.bench_local(|| {
        judge(
            &world.boat,
            &world.library,
            &world.history,
            &condition,
            walk,
        )
    });
}

/// Some 500 defects ranked over another exposure: to stay under 2 ms.
#[divan::bench]
fn rank_five_hundred_anew(bencher: divan::Bencher) {
    let condition = condition(&FLEET);
    let outset = |hours| Outset {
        exposure: Exposure { hours, days: 30.0 },
        waters: Waters::Offshore,
    };
    let rows = condition.list(outset(50.0), false).rows.len();
    assert!(rows >= 500, "only {rows} rows");
    let mut hours = 50.0;
    bencher.bench_local(|| {
        hours = if hours > 200.0 { 50.0 } else { hours + 1.0 };
        condition.list(outset(hours), false)
    });
}
