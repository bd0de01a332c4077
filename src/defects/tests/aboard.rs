//! The boat that answers speak of: what the records name beside her profile.

use std::sync::Arc;

use super::story::{Story, day, look};
use crate::assess::words::Verdict;
use crate::boat::{EvenSo, PassedStop, ProfileSet, Retired, Waters};
use crate::checklist::{Grade, Library};
use crate::defects::aboard::{Aboard, aboard};
use crate::defects::condition::Condition;
use crate::defects::judged::judge;
use crate::defects::verdicts::verdicts;
use crate::logbook::record::Record;

fn library() -> Arc<Library> {
    Arc::new(Library::built_in().clone())
}

/// The boat of a story a day later.
fn of(story: &Story, on: f64) -> Aboard {
    let history = story.history();
    aboard(&story.boat, &library(), &history, day(on))
}

fn profile(mut story: Story, on: f64, waters: Waters) -> Story {
    story.boat.waters = waters;
    let set = ProfileSet::from(story.boat.clone());
    story.write(on, Record::Profile(Box::new(set)))
}

/// The id of the look behind the only stop of a story.
fn look_id(story: &Story) -> String {
    let mut latest = story.written.iter().rev();
    let look = latest.find(|w| matches!(w.record, Record::Look(_)));
    look.expect("a look").id.to_string()
}

fn stop(item: &str, machine: &str, look: String) -> PassedStop {
    PassedStop {
        item: item.to_owned(),
        machine: Some(machine.to_owned()),
        look,
    }
}

fn ids(boat: &crate::boat::Boat) -> Vec<&str> {
    boat.machines.iter().map(|m| m.id.as_str()).collect()
}

#[test]
fn a_profile_that_no_record_contradicts_is_the_boat() {
    let story = Story::new().daily(0.0, [look("drive-belt", Grade::Failing)]);
    let found = of(&story, 1.0);
    assert_eq!(found.boat, story.boat);
    assert!(found.stubs.is_empty() && found.doubts.is_empty());
}

#[test]
fn a_machine_only_records_name_stands_beside_the_profile() {
    let two = Story::with(&["main", "port"]).walk(
        "daily",
        "port",
        0.0,
        None,
        [look("drive-belt", Grade::Failing)],
    );
    let mut one = two;
    one.boat.machines.truncate(1);
    let found = of(&one, 1.0);
    assert_eq!(found.stubs, ["port"]);
    assert_eq!(ids(&found.boat), ["main", "port"]);
    assert_eq!(found.boat.machines[1].name, "port (not in the profile)");
    // An act that names a machine is enough.
    let mut named = Story::with(&["aux"]).repair(0.0, "drive-belt");
    named.boat.machines[0].id = "main".into();
    assert_eq!(of(&named, 1.0).stubs, ["aux"]);
}

#[test]
fn a_retired_machine_goes_with_its_reason_and_stays_for_a_stop_the_reason_does_not_name() {
    let retire = |mut story: Story, on: f64, stops: Vec<PassedStop>, why: Option<&str>| {
        let machine = Some("port".to_owned());
        let retired = Retired {
            machine,
            stops,
            why: why.map(str::to_owned),
            ..Retired::default()
        };
        story.boat.machines.truncate(1);
        story.write(on, Record::Retired(Box::new(retired)))
    };
    let story = profile(Story::with(&["main", "port"]), 0.0, Waters::Inshore);
    let belt = |grade| [look("drive-belt", grade)];
    let sound = story
        .clone()
        .walk("daily", "port", 1.0, None, belt(Grade::Sound));
    assert!(
        of(&retire(sound, 2.0, Vec::new(), None), 3.0)
            .stubs
            .is_empty()
    );
    let failing = story.walk("daily", "port", 1.0, None, belt(Grade::Failing));
    let named = vec![stop("drive-belt", "port", look_id(&failing))];
    for (stops, why, stays) in [
        (named.clone(), Some("sold"), false),
        (named.clone(), None, true),
        (Vec::new(), Some("sold"), true),
        (
            vec![stop("drive-belt", "port", "another".into())],
            Some("sold"),
            true,
        ),
    ] {
        let found = of(&retire(failing.clone(), 2.0, stops, why), 3.0);
        assert_eq!(found.stubs == ["port"], stays, "{found:?}");
        assert_eq!(found.doubts.len(), usize::from(!stays));
        assert!(
            found
                .doubts
                .iter()
                .all(|doubt| !doubt.blocks() && doubt.told.why.contains("sold"))
        );
    }
    // Walked after it left, it is there.
    let gone = retire(failing, 2.0, named, Some("sold"));
    let found = of(
        &gone.walk("daily", "port", 2.5, None, belt(Grade::Sound)),
        3.0,
    );
    assert_eq!(found.stubs, ["port"]);
    assert!(found.boat.machines[1].name.starts_with("port (retired"));
}

#[test]
fn an_item_left_out_stays_while_a_stop_is_open_on_it() {
    let left_out = |story: &Story| {
        let mut out = story.clone();
        out.boat.machines[0].without = vec!["drive-belt".into(), "stuffing-box".into()];
        out
    };
    let without = |story: &Story| of(&left_out(story), 9.0).boat.machines[0].without.clone();
    let failing = Story::new().daily(0.0, [look("drive-belt", Grade::Failing)]);
    assert_eq!(without(&failing), ["stuffing-box"]);
    assert_eq!(
        without(
            &failing
                .clone()
                .daily(1.0, [look("drive-belt", Grade::Sound)])
        )
        .len(),
        2
    );
    assert_eq!(
        without(&Story::new().daily(0.0, [look("drive-belt", Grade::Worn)])).len(),
        2
    );
    let set = |story: Story, look: String| {
        let mut set = ProfileSet::from(story.boat.clone());
        set.even_so = Some(EvenSo {
            why: "never there".into(),
            stops: vec![stop("drive-belt", "main", look)],
        });
        story.write(2.0, Record::Profile(Box::new(set)))
    };
    let look_of = look_id(&failing);
    let passed = set(left_out(&failing), look_of);
    let found = of(&passed, 9.0);
    assert_eq!(found.boat.machines[0].without.len(), 2);
    assert!(
        matches!(found.doubts.as_slice(), [doubt] if !doubt.blocks() && doubt.told.why.contains("never there"))
    );
    // A later look is not what the reason speaks of.
    let again = passed.daily(3.0, [look("drive-belt", Grade::Failed)]);
    assert_eq!(of(&again, 9.0).boat.machines[0].without, ["stuffing-box"]);
}

#[test]
fn a_stop_of_farther_waters_is_told_until_it_is_looked_at() {
    let valve = |grade| [look("anti-siphon-valve", grade)];
    let story = profile(Story::new(), 0.0, Waters::Ocean).daily(1.0, valve(Grade::Failing));
    let stopped = story.on(1.5).open_stops();
    assert_eq!(stopped.len(), 1);
    assert!(story.on(1.5).doubts.is_empty());
    let lower = profile(story, 2.0, Waters::Sheltered);
    assert!(lower.on(3.0).open_stops().is_empty());
    let doubts = lower.on(3.0).doubts;
    assert!(
        matches!(doubts.as_slice(), [doubt] if doubt.blocks()),
        "{doubts:?}"
    );
    assert!(doubts[0].told.why.contains("in ocean waters"), "{doubts:?}");
    // Seen again in the waters she is in, it is judged by these.
    let again = lower.clone().daily(4.0, valve(Grade::Failing));
    assert!(again.on(5.0).doubts.is_empty());
    // It was a stop in between: the waters rose after the look and fell again.
    let between = profile(Story::new(), 0.0, Waters::Sheltered).daily(1.0, valve(Grade::Failing));
    assert!(between.on(1.5).doubts.is_empty());
    let between = profile(
        profile(between, 2.0, Waters::Inshore),
        3.0,
        Waters::Sheltered,
    );
    assert_eq!(between.on(4.0).doubts.len(), 1);
    // With a reason on record it holds no verdict up.
    let mut set = ProfileSet::from(lower.boat.clone());
    set.even_so = Some(EvenSo {
        why: "valve shut off".into(),
        stops: stopped.iter().map(|s| s.passed()).collect(),
    });
    let given = lower.write(3.0, Record::Profile(Box::new(set)));
    let doubts = given.on(4.0).doubts;
    assert!(
        matches!(doubts.as_slice(), [doubt] if !doubt.blocks()),
        "{doubts:?}"
    );
}

#[test]
fn verdicts_in_one_pass_say_what_each_says_alone_when_waters_change() {
    let valve = |grade| [look("anti-siphon-valve", grade)];
    let mut story = profile(Story::new(), 0.0, Waters::Ocean).daily(1.0, valve(Grade::Failing));
    story = profile(story, 2.0, Waters::Sheltered).daily(3.0, [look("drive-belt", Grade::Sound)]);
    story = profile(story, 4.0, Waters::Inshore).daily(5.0, valve(Grade::Sound));
    story = profile(story, 6.0, Waters::Sheltered).daily(7.0, valve(Grade::Early));
    let history = story.history();
    let found = verdicts(&story.boat, &library(), &history);
    let now = Condition::of(&story.boat, library(), &history, day(9.0));
    for (walk, found) in history.walks.iter().zip(&found) {
        let judged = judge(&story.boat, &library(), &history, &now, walk);
        assert_eq!(*found, judged.at_walk, "{}", walk.id);
    }
    let stopped: Vec<_> = found
        .iter()
        .map(|v| *v == Some(Verdict::DoNotRun))
        .collect();
    assert_eq!(
        stopped,
        [true, false, false, false],
        "each judged in the waters she was in then"
    );
}
