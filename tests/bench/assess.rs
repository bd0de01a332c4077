//! How long it takes to fold ten years of mornings into the condition of a boat, to rank the list
//! anew and to judge a walk. `cargo bench --bench assess`.

#![allow(clippy::expect_used, missing_docs)]

use std::sync::{Arc, LazyLock};

use chrono::{DateTime, Duration, FixedOffset};
use handlamp::assess::Exposure;
use handlamp::assess::trend::{LEVEL, Point, Trend};
use handlamp::boat::{Boat, Hours, Waters};
use handlamp::causes::{Causes, Look, Seen};
use handlamp::checklist::{Grade, Item, Library, Scope};
use handlamp::defects::condition::Condition;
use handlamp::defects::judged::judge;
use handlamp::defects::leaving::{Asked, Outlook};
use handlamp::defects::list::Scenario;
use handlamp::defects::trends::TrendQuery;
use handlamp::defects::{History, LearningSet, LearningState, NamedPlan, Service, Stamped};
use handlamp::logbook::fold::fold;
use handlamp::logbook::placed::Written;
use handlamp::logbook::record::Record;
use handlamp::report::gather::{Source, of_now, of_walk};
use handlamp::report::html::html;
use handlamp::report::words::Language;
use handlamp::service::leaving::coming;
use handlamp::service::{What, due, when_asked};

mod mornings;

use mornings::{WALKS, asked, day, rung};

struct World {
    boat: Boat,
    library: Arc<Library>,
    written: Vec<Written>,
    history: History,
    now: DateTime<FixedOffset>,
}

static WORLD: LazyLock<World> = LazyLock::new(|| world(1));
/// Five engines with every item early or worn: some 600 defects.
static FLEET: LazyLock<World> = LazyLock::new(|| world(5));

/// Two engines, every item early or worn: some 120 defects.
static PAIR: LazyLock<World> = LazyLock::new(|| world(2));

/// Four engines with sixty tasks each, done three times.
static SERVICED: LazyLock<World> = LazyLock::new(serviced);

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
            tell(&mut written, n, &only.id, asked(items, n), rung);
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
    for record in mornings::walk(n, machine, false, items, grade) {
        let id = format!("r{}", written.len());
        written.push(Written::new(id, day(n), record));
    }
}

fn serviced() -> World {
    let mut world = world(4);
    let items = world.library.catalogue.items().iter().take(60);
    let tasks: Vec<_> = items
        .map(|item| {
            let machine = item.scope == Scope::Machine;
            serde_json::json!({"id": format!("look-after-{}", item.id), "title": item.title,
                "scope": if machine { "machine" } else { "boat" }, "item": item.id,
                "every": {"hours": 100, "months": 6}, "first": {"hours": 50},
                "disturbs": [item.id], "renews": [item.id],
                "steps": [{"do": "Look after it."}],
                "who": "owner", "where": "in-port", "source": "a bench"})
        })
        .collect();
    let file = serde_json::json!({"type": "service-tasks", "tasks": tasks});
    let file = ("bench.json".to_owned(), file.to_string());
    let library = Library::with_user_files(&[file]).expect("good tasks");
    world.library = Arc::new(library);
    for n in 0..3 {
        for task in &world.library.tasks()[..60] {
            for machine in &world.boat.machines {
                let id = format!("s{}", world.written.len());
                let at = world.now - Duration::days(400 - 100 * n);
                let done = Service {
                    task: task.id.clone(),
                    machine: (task.scope == Scope::Machine).then(|| machine.id.clone()),
                    at: Some(at),
                    hours: Hours::new(1000.0 + 50.0 * n as f64).ok(),
                    renewed: task.renews.clone(),
                    ..Service::default()
                };
                let record = Record::Service(Box::new(done));
                world.written.push(Written::new(id, at, record));
            }
        }
    }
    world.history = fold(&world.written);
    world
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

/// The same without learning: what is left of the row above is what the looks cost to learn from,
/// to stay under 300 ms.
#[divan::bench(sample_count = 10)]
fn condition_of_ten_years_unlearned(bencher: divan::Bencher) {
    let mut history = WORLD.history.clone();
    history.learning.push(Stamped {
        id: "off".into(),
        at: day(0),
        place: 0,
        rec: LearningSet {
            state: LearningState::Off,
            at: None,
            why: None,
        },
    });
    let library = &WORLD.library;
    bencher.bench_local(|| Condition::of(&WORLD.boat, Arc::clone(library), &history, WORLD.now));
}

/// When every item is to be looked at again, to the hour.
#[divan::bench]
fn next_looks_of_a_boat(bencher: divan::Bencher) {
    let condition = condition(&WORLD);
    bencher.bench_local(|| condition.next_looks(Waters::Inshore));
}

/// What 25 looks point to, with every look that could be next weighed: to stay under 2 ms.
#[divan::bench]
fn causes_of_25_looks(bencher: divan::Bencher) {
    let causes = Causes::built_in();
    let looks = causes.questions().iter().step_by(2).take(25).enumerate();
    let looks = looks.map(|(n, question)| {
        let answer = if n % 3 == 0 {
            question.answers[0].id.as_str()
        } else {
            "ok"
        };
        Look::of(&question.id, answer)
    });
    let seen = Seen {
        looks: looks.collect(),
        ..Seen::default()
    };
    bencher.bench_local(|| causes.judge(&seen).candidates.len());
}

/// What joins the morning check.
#[divan::bench]
fn joins_of_a_boat(bencher: divan::Bencher) {
    let condition = condition(&WORLD);
    let daily = condition.library.checklist("daily").expect("built in");
    bencher.bench_local(|| condition.joins(&WORLD.history, daily, "m0"));
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

/// Everything that ten years say of what comes: the condition, every next look, every defect's
/// waits, and every trend. To stay under 300 ms.
#[divan::bench(sample_count = 10)]
fn all_trends_and_waits_of_ten_years(bencher: divan::Bencher) {
    let trends = |condition: &Condition| {
        let subjects = condition.lives.keys();
        let asked = TrendQuery::default();
        subjects
            .filter(|s| condition.item(s).is_some_and(|i| i.reading.is_some()))
            .filter_map(|s| condition.trend(&WORLD.history, s, asked).ok())
            .count()
    };
    let told = trends(&condition(&WORLD));
    assert!(told >= 20, "only {told} trends");
    bencher.bench_local(|| {
        let condition = condition(&WORLD);
        let (exposure, waters) = condition.usual_plan();
        let list = condition.list(Scenario::new(exposure, waters), false);
        (trends(&condition), condition.next_looks(waters), list)
    });
}

/// More than 500 defects ranked over another exposure: to stay under 2 ms.
#[divan::bench]
fn rank_five_hundred_anew(bencher: divan::Bencher) {
    let condition = condition(&FLEET);
    let scenario = |hours| Scenario::new(Exposure { hours, days: 30.0 }, Waters::Offshore);
    let rows = condition.list(scenario(50.0), false).rows.len();
    assert!(rows >= 500, "only {rows} rows");
    let mut hours = 50.0;
    bencher.bench_local(|| {
        hours = if hours > 200.0 { 50.0 } else { hours + 1.0 };
        condition.list(scenario(hours), false)
    });
}

/// Before leaving with some 120 jobs and 40 h of work: all of it under 20 ms, beside one knapsack alone.
#[divan::bench]
fn choose_among_120_jobs(bencher: divan::Bencher) {
    let (condition, asked, outlook) = leaving();
    bencher.bench_local(|| condition.leaving(&PAIR.history, &asked, &outlook));
}

/// A job taken in and out by turns, the rest chosen anew from what was gathered: under 5 ms.
#[divan::bench]
fn a_job_taken_in_and_the_rest_chosen_anew(bencher: divan::Bencher) {
    let (condition, mut asked, outlook) = leaving();
    let first = condition.leaving(&PAIR.history, &asked, &outlook);
    let first = first.expect("an answer").can_wait;
    let item = first.last().expect("a job that waits").item.clone();
    bencher.bench_local(|| {
        match asked.kept.with.is_empty() {
            true => asked.kept.take_in(&item),
            false => asked.kept.leave_out(&item),
        }
        condition.leaving(&PAIR.history, &asked, &outlook)
    });
}

/// What the question before leaving rests on, gathered once when the screen opens.
#[divan::bench]
fn gather_120_jobs(bencher: divan::Bencher) {
    let (condition, asked, _) = leaving();
    bencher.bench_local(|| {
        let rows = coming(&condition, &PAIR.history, None);
        condition.outlook(&PAIR.history, (asked.scenario, None), rows)
    });
}

fn leaving() -> (Condition, Asked, Outlook) {
    let condition = condition(&PAIR);
    let plan = NamedPlan {
        hours_per_day: Some(20.0),
        days: Some(3.0),
        work: Some(2_400),
        ..NamedPlan::default()
    };
    let scenario = condition.under(&plan, None);
    let asked = plan.asked(scenario, None);
    let rows = coming(&condition, &PAIR.history, None);
    let outlook = condition.outlook(&PAIR.history, (scenario, None), rows);
    let told = condition.leaving(&PAIR.history, &asked, &outlook);
    let told = told.expect("an answer");
    let jobs = told.worth_doing.len() + told.can_wait.len();
    assert!(jobs >= 100, "only {jobs} jobs");
    (condition, asked, outlook)
}

/// Everything due, for four engines with more than sixty tasks each: to stay under 5 ms.
#[divan::bench]
fn due_of_sixty_tasks_on_four_engines(bencher: divan::Bencher) {
    let condition = condition(&SERVICED);
    let rows = due(&condition, &SERVICED.history);
    let tasks = rows.iter().filter(|r| r.what == What::Task).count();
    assert!(tasks >= 240, "only {tasks} tasks");
    bencher.bench_local(|| due(&condition, &SERVICED.history));
}

/// Everything due after ten years of mornings: what opening the list adds to folding the condition.
#[divan::bench]
fn due_of_ten_years(bencher: divan::Bencher) {
    let condition = condition(&WORLD);
    bencher.bench_local(|| {
        let rows = due(&condition, &WORLD.history);
        (rows, when_asked(&condition, &WORLD.history))
    });
}

/// Readings in sequence: a slow fall, rounded as a gauge is read, so that many slopes are equal.
fn readings(n: u32) -> Vec<Point> {
    let mut rng = fastrand::Rng::with_seed(7);
    let reading = |i| {
        let x = f64::from(i) * 1.5;
        let y = 4.0 - 0.0002 * x + rng.f64() - 0.5;
        Point {
            day: f64::from(i) / 3.0,
            x,
            y: (y * 20.0).round() / 20.0,
        }
    };
    (0..n).map(reading).collect()
}

/// Line, interval and test of a series: 10 000 readings to stay under 20 ms.
#[divan::bench(args = [100, 1_000, 10_000])]
fn trend_of(bencher: divan::Bencher, n: u32) {
    let readings = readings(n);
    bencher.bench_local(|| Trend::of(&readings, LEVEL));
}

/// The same where every slope is one: all readings alike.
#[divan::bench(args = [10_000])]
fn trend_of_all_alike(bencher: divan::Bencher, n: u32) {
    let mut readings = readings(n);
    for reading in &mut readings {
        reading.y = 4.0;
    }
    bencher.bench_local(|| Trend::of(&readings, LEVEL));
}

/// Ten years, and a survey of every item the day after, worn here and there.
static SURVEYED: LazyLock<World> = LazyLock::new(|| {
    let mut world = world(1);
    let library = Arc::clone(&world.library);
    let items: Vec<_> = library.catalogue.items().iter().take(150).collect();
    let machine = world.boat.machines[0].id.clone();
    tell(
        &mut world.written,
        WALKS,
        &machine,
        items.into_iter(),
        |k| match k % 5 {
            0 => Grade::Worn,
            1 => Grade::Early,
            _ => Grade::Sound,
        },
    );
    world.history = fold(&world.written);
    world
});

fn source(world: &World) -> Source<'_> {
    Source {
        boat: &world.boat,
        library: &world.library,
        history: &world.history,
        now: world.now,
    }
}

/// The page of a survey of 150 items on a boat that was never looked at before.
#[divan::bench(sample_count = 10, sample_size = 1)]
fn report_of_a_survey(bencher: divan::Bencher) {
    let mut world = World {
        boat: SURVEYED.boat.clone(),
        library: Arc::clone(&SURVEYED.library),
        written: Vec::new(),
        history: History::default(),
        now: SURVEYED.now,
    };
    let last = SURVEYED.history.walks.last().expect("a walk");
    world.history.walks = vec![last.clone()];
    bencher.bench(|| {
        html(&of_walk(
            &source(&world),
            &world.history.walks[0],
            Language::English,
        ))
    });
}

/// The same survey after ten years of mornings.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn report_of_a_survey_after_ten_years() -> String {
    let last = SURVEYED.history.walks.last().expect("a walk");
    html(&of_walk(&source(&SURVEYED), last, Language::English))
}

/// The page of the logbook as it stands after ten years of mornings.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn report_of_ten_years() -> String {
    html(&of_now(&source(&WORLD), Language::English))
}
