//! Clocks that stand wrong, by minutes or by years, back and forth: what counts of an item is the
//! last live look at it in the order in which they were made, whatever time they bear.

use std::collections::BTreeMap;

use chrono::{DateTime, Duration, FixedOffset};
use handlamp::checklist::Grade;
use handlamp::defects::Private;
use serde_json::json;

use super::aboard::{Aboard, BOAT_ITEM, ITEMS, time};
use super::count::Count;
use super::given_on;
use super::oracle::{Answer, Asked, ask};

const SCHEDULES: u64 = 120;

/// What a clock shows at a time.
#[derive(Clone, Copy, Debug)]
enum Wrong {
    By(i64),
    /// No battery: it begins again at the epoch with every start.
    NoBattery,
}

const MINUTE: i64 = 60;
const HOUR: i64 = 60 * MINUTE;
const DAY: i64 = 24 * HOUR;
const YEAR: i64 = 365 * DAY;

const CLOCKS: [Wrong; 14] = [
    Wrong::By(0),
    Wrong::By(0),
    Wrong::By(-14 * MINUTE),
    Wrong::By(9 * MINUTE),
    Wrong::By(-3 * HOUR),
    Wrong::By(5 * HOUR),
    Wrong::By(-2 * DAY),
    Wrong::By(36 * HOUR),
    Wrong::By(4 * DAY),
    Wrong::By(-40 * DAY),
    Wrong::By(-15 * YEAR),
    Wrong::By(10 * YEAR),
    Wrong::By(40 * YEAR),
    Wrong::NoBattery,
];

impl Wrong {
    fn shows(self, at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
        match self {
            Wrong::By(seconds) => at + Duration::seconds(seconds),
            Wrong::NoBattery => time("1970-01-01T00:00:40+00:00"),
        }
    }
}

/// What is known to be true, in the order of what people did.
#[derive(Default)]
struct Truth {
    grades: BTreeMap<&'static str, Grade>,
    last_walk: String,
    finished: bool,
}

impl Truth {
    fn stops(&self) -> Vec<&str> {
        let stop = |item: &str, grade: Grade| {
            // It alone does not stop at failing.
            let at = if item == BOAT_ITEM {
                Grade::Failed
            } else {
                Grade::Failing
            };
            grade >= at
        };
        let stops = self
            .grades
            .iter()
            .filter(|(item, grade)| stop(item, **grade));
        stops.map(|(item, _)| *item).collect()
    }

    /// How an answer differs from it.
    fn against(&self, answer: &Answer) -> Vec<String> {
        let mut found = Vec::new();
        let machine = |item: &str| (item != BOAT_ITEM).then(|| "main".to_owned());
        for (item, grade) in &self.grades {
            let own = answer.grades.get(&((*item).to_owned(), machine(item)));
            if own != Some(grade) {
                found.push(format!("{item} {own:?}, not {grade}"));
            }
        }
        let stops: Vec<&str> = answer.stops.iter().map(|(item, _)| item.as_str()).collect();
        let mut expected = self.stops();
        expected.sort_unstable();
        if stops != expected {
            found.push(format!("stops {stops:?}, not {expected:?}"));
        }
        if !self.finished {
            return found;
        }
        // Bilge water alone forbids leaving; it is no ground to keep the engine still.
        let forbids = match expected.as_slice() {
            [] => None,
            [BOAT_ITEM] => Some(2),
            _ => Some(3),
        };
        let stopped = |word: u8| Some(word).filter(|word| *word >= 2);
        let now = answer.now.get("main").copied();
        if now.and_then(stopped) != forbids {
            found.push(format!("now {now:?}, stops {expected:?}"));
        }
        let then = answer.at_walk.get("main");
        let fits =
            then.is_some_and(|(walk, word)| *walk == self.last_walk && stopped(*word) == forbids);
        if !fits {
            found.push(format!(
                "as at the walk {then:?}, last {}, stops {expected:?}",
                self.last_walk
            ));
        }
        found
    }
}

/// Looks made in one sitting.
fn sit(aboard: &mut Aboard, truth: &mut Truth, rng: &mut fastrand::Rng) {
    let walk = aboard.begin_walk("main");
    for item in ITEMS {
        if rng.u8(..4) > 0 {
            let grade = Grade::ALL[rng.usize(..5)];
            aboard.look(&walk, item, grade.as_str());
            truth.grades.insert(item, grade);
        }
    }
    aboard.finish_walk(&walk);
    truth.last_walk = walk;
    truth.finished = true;
}

fn story(
    seed: u64,
    clocks: &dyn Fn(usize, &mut fastrand::Rng) -> Wrong,
    sittings: usize,
    count: &mut Count,
) {
    let dir = tempfile::tempdir().expect("a folder");
    let root = dir.path().join("logbook");
    let mut rng = fastrand::Rng::with_seed(seed);
    let mut at = time("2046-05-01T08:00:00+02:00");
    let mut aboard = Aboard::begin(&root, "2046-05-01T08:00:00+02:00", &["main"], seed + 1);
    let mut truth = Truth::default();
    let mut told = Vec::new();
    // A first morning by a clock that is right.
    at += Duration::hours(1);
    sit(aboard.session_at(at), &mut truth, &mut rng);
    for n in 0..sittings {
        at += Duration::minutes(rng.i64(10..3_000));
        let clock = clocks(n, &mut rng);
        told.push(clock);
        aboard.session_at(clock.shows(at));
        sit(&mut aboard, &mut truth, &mut rng);
        // Set right, or lost, while the program runs.
        if rng.u8(..5) == 0 {
            let clock = clocks(n, &mut rng);
            told.push(clock);
            aboard.clock.set(clock.shows(at + Duration::hours(1)));
            sit(&mut aboard, &mut truth, &mut rng);
        }
    }
    aboard.book.finish();
    at += Duration::hours(2);
    let asked = Asked {
        at_walk: true,
        ..Asked::default()
    };
    if seed.is_multiple_of(6) {
        let all = Private::ALL.iter().copied().collect();
        let what = format!("schedule {seed} {told:?}");
        given_on::holds(&root, at, &all, &what, count);
    }
    // Today, when the day the wrong clock pointed to comes, and after it.
    for later in [0, 2 * DAY, 5 * DAY, 11 * YEAR, 60 * YEAR] {
        let answer = ask(&root, at + Duration::seconds(later), asked);
        let wrong = truth.against(&answer);
        count.holds(wrong.is_empty(), || {
            format!(
                "schedule {seed} {told:?}, {} days later: {wrong:?}",
                later / DAY
            )
        });
        count.holds(answer.told.is_empty(), || {
            format!("schedule {seed} {told:?}: {:?}", answer.told)
        });
    }
}

/// How wrong the clock of each sitting is.
type Way<'a> = &'a dyn Fn(usize, &mut fastrand::Rng) -> Wrong;

#[test]
fn the_last_live_look_counts_whatever_one_clock_shows() {
    let mut count = Count::new("one wrong clock");
    for (n, clock) in CLOCKS.into_iter().enumerate() {
        for sittings in 1..5 {
            // Wrong once, wrong for good, and by turns.
            let last = sittings - 1;
            let wrong = |is: bool| if is { clock } else { Wrong::By(0) };
            let ways: [Way<'_>; 4] = [
                &|k, _| wrong(k == 0),
                &|k, _| wrong(k == last),
                &|k, _| wrong(k % 2 == 0),
                &|_, _| clock,
            ];
            for (way, clocks) in ways.into_iter().enumerate() {
                story(
                    (n * 100 + sittings * 10 + way) as u64,
                    clocks,
                    sittings,
                    &mut count,
                );
            }
        }
    }
    count.tell(2_000);
}

#[test]
fn the_last_live_look_counts_whatever_the_clocks_show() {
    let mut count = Count::new("clocks back and forth");
    for seed in 0..SCHEDULES {
        let any = |_: usize, rng: &mut fastrand::Rng| CLOCKS[rng.usize(..CLOCKS.len())];
        story(seed, &any, 6, &mut count);
    }
    count.tell(1_200);
}

/// Zones by the name of the place, the doubled hour of October, and a journey west and back.
#[test]
fn zones_and_the_doubled_hour_move_no_look() {
    let mut count = Count::new("zones and the doubled hour");
    let ways = [
        [
            "2046-10-28T02:30:00+02:00",
            "2046-10-28T02:50:00+02:00",
            "2046-10-28T02:10:00+01:00",
        ],
        [
            "2046-10-28T01:59:00+02:00",
            "2046-10-28T02:59:59+02:00",
            "2046-10-28T02:00:00+01:00",
        ],
        [
            "2046-06-01T08:00:00+02:00",
            "2046-06-01T04:00:00-05:00",
            "2046-06-02T00:30:00+12:00",
        ],
        [
            "2046-06-01T23:50:00-11:00",
            "2046-06-03T00:55:00+13:00",
            "2046-06-02T01:05:00-11:00",
        ],
        [
            "2046-03-25T01:59:00+01:00",
            "2046-03-25T03:00:00+02:00",
            "2046-03-25T03:01:00+02:00",
        ],
    ];
    for (n, way) in ways.iter().enumerate() {
        for last in [Grade::Sound, Grade::Failed] {
            let dir = tempfile::tempdir().expect("a folder");
            let root = dir.path().join("logbook");
            let mut aboard = Aboard::begin(&root, "2046-03-01T08:00:00+02:00", &["main"], n as u64);
            let grades = [Grade::Worn, Grade::Failing, last];
            let mut truth = Truth::default();
            for (at, grade) in way.iter().zip(grades) {
                aboard.session(at);
                let found: Vec<(&str, &str)> =
                    ITEMS.iter().map(|item| (*item, grade.as_str())).collect();
                truth.last_walk = aboard.walk("main", &found);
                truth.finished = true;
                truth.grades.extend(ITEMS.map(|item| (item, grade)));
                let asked = Asked {
                    at_walk: true,
                    ..Asked::default()
                };
                let now = aboard.book.now() + Duration::minutes(5);
                let answer = ask(&root, now, asked);
                let wrong = truth.against(&answer);
                count.holds(wrong.is_empty() && answer.told.is_empty(), || {
                    format!("{way:?} up to {at}: {wrong:?} {:?}", answer.told)
                });
            }
        }
    }
    count.tell(30);
}

/// A repair made by a clock that is wrong stands after the look it answers, and before the next.
#[test]
fn repairs_by_a_wrong_clock_stand_where_they_were_made() {
    let mut count = Count::new("repairs by a wrong clock");
    for (n, clock) in CLOCKS.into_iter().enumerate() {
        for again in [false, true] {
            let dir = tempfile::tempdir().expect("a folder");
            let root = dir.path().join("logbook");
            let mut aboard = Aboard::begin(&root, "2046-05-01T08:00:00+02:00", &["main"], n as u64);
            aboard
                .session("2046-05-02T08:00:00+02:00")
                .walk("main", &[("drive-belt", "failing")]);
            aboard.session_at(clock.shows(time("2046-05-02T18:00:00+02:00")));
            let at = aboard.now();
            aboard.record(
                "repair",
                &json!({"item":"drive-belt","machine":"main","at":at,"done":"a new belt"}),
            );
            if again {
                aboard.after(600);
                let walk = aboard.begin_walk("main");
                aboard.look(&walk, "drive-belt", "failed");
                aboard.finish_walk(&walk);
            }
            aboard.book.finish();
            let answer = ask(&root, time("2046-05-03T08:00:00+02:00"), Asked::default());
            count.holds(answer.stops.is_empty() != again, || {
                format!("{clock:?}, again {again}: {answer:?}")
            });
            count.holds(answer.told.is_empty(), || {
                format!("{clock:?}: {:?}", answer.told)
            });
        }
    }
    count.tell(50);
}

/// A sheet typed up an hour after walking, by a clock that stands ahead, outvotes no later look.
#[test]
fn a_sheet_typed_by_a_clock_ahead_outvotes_nothing() {
    let mut count = Count::new("sheets by a clock ahead");
    for ahead in [3 * DAY, 40 * DAY, 10 * YEAR] {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let mut aboard = Aboard::begin(&root, "2046-05-01T08:00:00+02:00", &["main"], 5);
        aboard
            .session("2046-05-02T08:00:00+02:00")
            .walk("main", &[]);
        let typed = time("2046-05-02T12:00:00+02:00") + Duration::seconds(ahead);
        let walked = (typed - Duration::hours(1)).to_rfc3339();
        let looks: Vec<_> = ITEMS
            .iter()
            .map(|item| json!({"item":item,"phase":"cold","grade":"sound"}))
            .collect();
        aboard.session_at(typed).take(&[
            json!({"type":"walk","id":"sheet","checklist":"short","machine":"main","at":walked,"looks":looks}),
        ]);
        aboard
            .session("2046-05-02T18:00:00+02:00")
            .walk("main", &[("drive-belt", "failing")]);
        for days in [0, 5, 60, 5_000] {
            let now = time("2046-05-02T19:00:00+02:00") + Duration::days(days);
            let answer = ask(&root, now, Asked::default());
            count.holds(
                answer.stops.len() == 1 && answer.now.get("main") == Some(&3),
                || format!("{} days ahead, {days} days later: {answer:?}", ahead / DAY),
            );
        }
    }
    count.tell(12);
}
