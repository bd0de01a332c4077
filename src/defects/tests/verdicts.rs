//! One passage through a history says at every walk what a fold of the history up to there says.

use std::sync::Arc;

use proptest::prelude::*;

use super::story::{Story, Told, look};
use crate::boat::{Retired, Unit, Waters};
use crate::checklist::{Grade, Leak, Library};
use crate::defects::condition::Condition;
use crate::defects::judged::judge;
use crate::defects::learning_set::{LearningSet, LearningState};
use crate::defects::verdicts::{stops, verdicts};
use crate::logbook::record::{Record, WalkFinished};
use crate::walk::{Better, Look};

const ITEMS: [&str; 8] = [
    "drive-belt",
    "raw-water-pump-seal",
    "fuel-hoses",
    "engine-oil-level",
    "bilge-water",
    "exhaust-elbow",
    "raw-water-impeller",
    "fire-extinguisher",
];

/// Something that happens to a boat.
#[derive(Clone, Debug)]
pub(super) enum Happens {
    Walk {
        checklist: &'static str,
        machine: usize,
        hours: bool,
        looks: Vec<Look>,
    },
    /// Begun and left, so that later looks of it lie among those of other walks.
    Left(Vec<Look>),
    /// More looks of the walk left last, and its end.
    TakenUp(Vec<Look>),
    Repair(usize),
    Service(usize, usize),
    Fitted(usize),
    Removed(usize),
    Withdraw(usize),
    Defer(usize, u8),
    Learning(LearningState),
    NewMeter,
    /// The profile is set: waters, and what the first engine is without.
    Profile(Waters, Option<usize>),
    /// The second engine leaves.
    Retired,
    Undo,
}

fn a_look() -> impl Strategy<Value = Look> {
    let extra = prop::option::weighted(0.3, 0usize..5);
    (0usize..ITEMS.len(), 0usize..5, extra, 30.0..90.0f64).prop_map(|(item, rung, extra, value)| {
        let item = ITEMS[item];
        // Mostly sound, as things are.
        let look = look(item, Grade::ALL[rung.saturating_sub(1)]);
        match extra {
            Some(0) => look.better(Better::Misjudged),
            Some(1) => look.better(Better::Repaired),
            Some(2) => look.better(Better::Cleaned),
            Some(3) if item == "engine-oil-level" => look.percent(value).added("0.5 L"),
            Some(4) if item == "fuel-hoses" => look.leak(Leak::Ii),
            _ if item == "bilge-water" => look.read(value, Unit::Millimetre),
            _ => look,
        }
    })
}

pub(super) fn happens() -> impl Strategy<Value = Happens> {
    let looks = || prop::collection::vec(a_look(), 1..6);
    let item = || 0usize..ITEMS.len();
    let lists = prop::sample::select(vec!["daily", "daily", "short", "leak-run", "survey"]);
    prop_oneof![
        12 => (lists, 0usize..2, prop::bool::weighted(0.8), looks()).prop_map(
            |(checklist, machine, hours, looks)| Happens::Walk { checklist, machine, hours, looks }
        ),
        1 => looks().prop_map(Happens::Left),
        1 => looks().prop_map(Happens::TakenUp),
        1 => item().prop_map(Happens::Repair),
        1 => (item(), item()).prop_map(|(a, b)| Happens::Service(a, b)),
        1 => item().prop_map(Happens::Fitted),
        1 => item().prop_map(Happens::Removed),
        1 => item().prop_map(Happens::Withdraw),
        1 => (item(), 0u8..90).prop_map(|(item, days)| Happens::Defer(item, days)),
        1 => prop::sample::select(LearningState::ALL.to_vec()).prop_map(Happens::Learning),
        1 => Just(Happens::NewMeter),
        1 => (prop::sample::select(Waters::ALL.to_vec()), prop::option::of(item()))
            .prop_map(|(waters, without)| Happens::Profile(waters, without)),
        1 => Just(Happens::Retired),
        1 => Just(Happens::Undo),
    ]
}

/// One thing after another, each some hours or days after the one before.
pub(super) fn tell(all: &[(Happens, f64)]) -> Story {
    let mut story = Story::with(&["main", "wing"]);
    let mut on = 0.0;
    let mut left = None;
    for (n, (happens, after)) in all.iter().enumerate() {
        on += after;
        let meter = 100.0 + 3.0 * on;
        story = match happens.clone() {
            Happens::Walk {
                checklist,
                machine,
                hours,
                looks,
            } => {
                let machine = ["main", "wing"][machine];
                story.walk(checklist, machine, on, hours.then_some(meter), looks)
            }
            Happens::Left(looks) => {
                let walk = format!("left-{n}");
                left = Some(walk.clone());
                let story = story.begin(&walk, "daily", "main", on, Some(meter));
                story.go_on(&walk, on, looks)
            }
            Happens::TakenUp(looks) => match left.take() {
                Some(walk) => {
                    let story = story.go_on(&walk, on, looks);
                    let at = story.written.last().expect("a look").at;
                    let finished = WalkFinished {
                        walk,
                        at,
                        pace: None,
                        said: None,
                    };
                    story.write(on, Record::from(finished))
                }
                None => story,
            },
            Happens::Repair(item) => story.repair(on, ITEMS[item]),
            Happens::Service(a, b) => story.service(on, &[ITEMS[a]], &[ITEMS[b]]),
            Happens::Fitted(item) => story.fitted(on, ITEMS[item]),
            Happens::Removed(item) => story.removed(on, ITEMS[item]),
            Happens::Withdraw(item) => story.withdraw(on, ITEMS[item]),
            Happens::Defer(item, days) => {
                let until = super::story::day(on + f64::from(days)).date_naive();
                story.defer(on, ITEMS[item], &until.to_string())
            }
            Happens::Learning(state) => {
                let set = LearningSet {
                    state,
                    at: Some(super::story::day(on)),
                    why: None,
                };
                story.write(on, Record::from(set))
            }
            Happens::NewMeter => story.new_meter(on, meter, meter - 50.0),
            Happens::Profile(waters, without) => {
                let mut boat = Story::with(&["main", "wing"]).boat;
                boat.waters = waters;
                boat.machines[0].without = without.map(|i| ITEMS[i].into()).into_iter().collect();
                story.write(on, Record::Profile(Box::new(boat.into())))
            }
            Happens::Retired => {
                let retired = Retired {
                    machine: Some("wing".to_owned()),
                    ..Retired::default()
                };
                story.write(on, Record::Retired(Box::new(retired)))
            }
            Happens::Undo if !story.written.is_empty() => story.undo(on),
            Happens::Undo => story,
        };
    }
    story
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn a_passage_says_what_folds_say(
        all in prop::collection::vec((happens(), 0.02..40.0f64), 5..40)
    ) {
        let story = tell(&all);
        let history = story.history();
        let library = Arc::new(Library::built_in().clone());
        let now = story.on(2000.0);
        let found = verdicts(&story.boat, &library, &history);
        for (walk, found) in history.walks.iter().zip(found) {
            let judged = judge(&story.boat, &library, &history, &now, walk);
            prop_assert_eq!(found, judged.at_walk, "{} of {:?}", walk.id, walk.at);
        }
        stops(&story.boat, &library, &history, |end, passed| {
            let then = history.known_at(end);
            let folded = Condition::of(&story.boat, Arc::clone(&library), &then, end.at);
            assert_eq!(passed.learning, folded.learning, "{end:?}");
            assert_eq!(passed.dwells, folded.dwells, "{end:?}");
            for (subject, life) in &folded.lives {
                let passed_life = &passed.lives[subject];
                assert_eq!(passed_life.status, life.status, "{subject:?} at {end:?}");
                let states = |life: &crate::defects::Life| life.current().map(|d| d.state);
                assert_eq!(states(passed_life), states(life), "{subject:?} at {end:?}");
                let machine = subject.machine.as_deref();
                assert_eq!(passed.rate(machine), folded.rate(machine), "{end:?}");
                assert_eq!(passed.meter_now(machine), folded.meter_now(machine), "{end:?}");
            }
        });
    }
}
