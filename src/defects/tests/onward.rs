//! A condition carried on by one morning after another says what a fold says.

use std::sync::Arc;

use proptest::prelude::*;

use super::story::{Story, day, look};
use super::verdicts::{happens, tell};
use crate::checklist::{Grade, Library};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::onward::Onward;
use crate::logbook::fold::apply;
use crate::logbook::placed::Written;
use crate::logbook::record::Record;
use crate::walk::{Better, Look};

/// Everything a sheet is held against.
fn told(condition: &Condition, history: &History) -> Vec<String> {
    let mut all = Vec::new();
    for (subject, life) in &condition.lives {
        let machine = subject.machine.as_deref();
        let states: Vec<_> = life.defects.iter().map(|d| d.state).collect();
        let item = condition.item(subject).expect("an item");
        let falling = condition.falling(subject, item, life);
        all.push(format!(
            "{subject:?} {:?} {states:?} {falling:?}",
            life.status
        ));
        all.push(format!(
            "{:?} {:?}",
            condition.rate(machine),
            condition.meter_now(machine)
        ));
    }
    for machine in &condition.boat.machines {
        for list in condition.library.checklists() {
            let joins = condition.joins(history, list, &machine.id);
            let left_out = condition.left_out_after(list, &machine.id, &[]);
            all.push(format!("{} {} {joins:?} {left_out:?}", list.id, machine.id));
        }
    }
    all.push(format!("{:?} {:?}", condition.learning, condition.dwells));
    all.push(format!("{:?} {:?}", condition.doubts, condition.planned));
    all.push(format!("{:?} {:?}", condition.aged, condition.given_on));
    all
}

#[test]
fn mornings_in_a_row_are_carried_on() {
    let library = Arc::new(Library::built_in().clone());
    let mut story = Story::with(&["main", "wing"]);
    for n in 0..30 {
        let looks = [
            look("drive-belt", Grade::Sound),
            look("bilge-water", Grade::Sound),
        ];
        let (on, meter) = (f64::from(n), 100.0 + f64::from(n));
        story = story.walk("daily", "main", on, Some(meter), looks);
    }
    let mut history = History::default();
    let mut onward = Onward::default();
    let begins = |w: &Written| matches!(w.record, Record::WalkStarted(_));
    let documents = story.written.chunk_by(|_, next| !begins(next));
    for (n, document) in documents.enumerate() {
        let at = document[0].record.at().expect("a time");
        let (condition, _) = onward.at(&story.boat, &library, &history, at);
        assert_eq!(condition.now, at);
        assert_eq!(onward.is_carried(), n > 0, "{at}");
        for w in document {
            let mut w = w.clone();
            w.at = day(2000.0);
            assert!(apply(&mut history, &[], &w));
        }
        onward.grew(&history);
        assert_eq!(onward.is_carried(), n > 0, "{at}");
    }
}

#[test]
fn hours_that_a_later_reading_shifts_tell_a_life_anew() {
    let library = Arc::new(Library::built_in().clone());
    let better = Look {
        better: Some(Better::Repaired),
        ..look("exhaust-elbow", Grade::Sound)
    };
    // Found again 140 days on: by the rate until then within 100 running hours, by the reading of
    // day 200 after more.
    let mornings = [
        (0.0, Some(100.0), look("drive-belt", Grade::Sound)),
        (5.0, Some(101.0), look("exhaust-elbow", Grade::Early)),
        (10.0, Some(102.0), better),
        (11.0, None, look("exhaust-elbow", Grade::Sound)),
        (150.0, None, look("exhaust-elbow", Grade::Early)),
        (200.0, Some(900.0), look("drive-belt", Grade::Sound)),
        (201.0, None, look("drive-belt", Grade::Sound)),
    ];
    let mut story = Story::with(&["main", "wing"]);
    for (on, meter, look) in mornings {
        story = story.walk("daily", "main", on, meter, [look]);
    }
    let mut history = History::default();
    let mut onward = Onward::default();
    let mut defects = Vec::new();
    let begins = |w: &Written| matches!(w.record, Record::WalkStarted(_));
    for document in story.written.chunk_by(|_, next| !begins(next)) {
        let at = document[0].record.at().expect("a time");
        let (condition, then) = onward.at(&story.boat, &library, &history, at);
        let folded = Condition::of(&story.boat, Arc::clone(&library), then, at);
        assert_eq!(told(condition, then), told(&folded, then), "{at}");
        let mut lives = condition.lives.iter();
        let elbow = lives
            .find(|(subject, life)| subject.item == "exhaust-elbow" && !life.defects.is_empty());
        defects.push(elbow.map_or(0, |(_, life)| life.defects.len()));
        for w in document {
            let mut w = w.clone();
            w.at = day(2000.0);
            assert!(apply(&mut history, &[], &w));
        }
        onward.grew(&history);
    }
    assert_eq!(defects, [0, 0, 1, 1, 1, 1, 2]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn what_is_carried_on_is_what_is_folded(
        all in prop::collection::vec((happens(), 0.02..40.0f64), 5..40),
        back in prop::collection::vec(prop::bool::weighted(0.1), 40),
        later in prop::option::of(0.0..400.0f64),
    ) {
        let story = tell(&all);
        let library = Arc::new(Library::built_in().clone());
        let mut history = History::default();
        let mut onward = Onward::default();
        // As in a file, whose records are all written on a later day.
        let written_on = day(2000.0);
        if let Some(on) = later {
            // What is told already of a day in their midst.
            let other = Story::with(&["main", "wing"]);
            let mut told = other.repair(on, "drive-belt").written;
            told[0].at = written_on;
            assert!(apply(&mut history, &[], &told[0]));
        }
        let documents = story.written.chunk_by(|a, b| {
            let within = |r: &Record| matches!(r, Record::Look(_) | Record::WalkFinished(_));
            within(&b.record) && (within(&a.record) || matches!(a.record, Record::WalkStarted(_)))
        });
        let mut before: Vec<Written> = Vec::new();
        for (document, back) in documents.zip(back.into_iter().cycle()) {
            let at = document[0].record.at().unwrap_or(document[0].at);
            // Now and then one is told out of its turn.
            let at = if back { at - chrono::Duration::days(30) } else { at };
            let (condition, then) = onward.at(&story.boat, &library, &history, at);
            let cut = history.as_of(at);
            let folded = Condition::of(&story.boat, Arc::clone(&library), &cut, at);
            let both = told(condition, then).into_iter().zip(told(&folded, &cut));
            let differing: Vec<_> = both.filter(|(carried, folded)| carried != folded).collect();
            prop_assert!(differing.is_empty(), "{at} {differing:#?}");
            prop_assert_eq!(condition.lives.len(), folded.lives.len());
            let mut alone = true;
            for record in document {
                let mut record = record.clone();
                record.at = written_on;
                alone &= apply(&mut history, &before, &record);
                before.push(record);
            }
            // What only a fold of all tells is refused in a file, or comes as nothing of a walk.
            if !alone {
                return Ok(());
            }
            onward.grew(&history);
        }
    }
}
