//! A condition carried on by one document after another says what a fold says.

use std::path::Path;
use std::sync::Arc;

use chrono::Duration;
use proptest::prelude::*;

use super::asked::asked;
use super::split::{library as split_library, splits};
use super::story::{Story, day, look};
use super::verdicts::{happens, tell};
use crate::checklist::{Forbids, Grade, Library};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::onward::Onward;
use crate::logbook::fold::apply;
use crate::logbook::placed::Written;
use crate::logbook::record::{Record, Undo};
use crate::logbook::{FixedClock, read_log};
use crate::walk::{Better, Look};

/// Everything a document is held against.
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
    all.push(format!("{:?} {:?}", condition.quiet, condition.rests.len()));
    all.push(format!("{:?}", condition.own_causes));
    all
}

/// What a boat and its documents are taken on with, and where two conditions differ.
struct Taking {
    boat: crate::boat::Boat,
    library: Arc<Library>,
    history: History,
    onward: Onward,
}

impl Taking {
    fn of(story: &Story) -> Taking {
        Taking {
            boat: story.boat.clone(),
            library: Arc::new(Library::built_in().clone()),
            history: History::default(),
            onward: Onward::default(),
        }
    }

    /// Where the condition as of a time, or what had happened by then, is not what a fold says.
    fn differs_as_of(&mut self, at: chrono::DateTime<chrono::FixedOffset>) -> Vec<String> {
        let (condition, then) = self.onward.at(&self.boat, &self.library, &self.history, at);
        let cut = self.history.as_of(at);
        let folded = Condition::of(&self.boat, Arc::clone(&self.library), &cut, at);
        let mut found = differing((condition, then), (&folded, &cut));
        if self.history.is_all_by(at) && cut != self.history {
            found.push(format!("not all had happened by {at}"));
        }
        if *then != cut {
            found.push(format!("what had happened: {then:#?} is not {cut:#?}"));
        }
        found
    }

    /// The same with all that is on record.
    fn differs_of_all(&mut self, at: chrono::DateTime<chrono::FixedOffset>) -> Vec<String> {
        let history = &self.history;
        let condition = self.onward.of_all(&self.boat, &self.library, history, at);
        let folded = Condition::of(&self.boat, Arc::clone(&self.library), history, at);
        differing((condition, history), (&folded, history))
    }

    /// A document comes, written on a day.
    fn take(&mut self, document: &[Written], on: f64) {
        for written in document {
            let mut written = written.clone();
            written.at = day(on);
            apply(&mut self.history, &[], &written);
        }
        self.onward.grew(&self.history);
    }
}

fn differing(carried: (&Condition, &History), folded: (&Condition, &History)) -> Vec<String> {
    let both = told(carried.0, carried.1)
        .into_iter()
        .zip(told(folded.0, folded.1));
    let differing = both.filter(|(carried, folded)| carried != folded);
    let mut found: Vec<String> = differing
        .map(|(a, b)| format!("{a}\n  is not {b}"))
        .collect();
    if carried.0.lives.len() != folded.0.lives.len() {
        found.push("lives".to_owned());
    }
    found
}

/// A walk with what was made in it, or what stands alone.
fn documents(written: &[Written]) -> impl Iterator<Item = &[Written]> {
    written.chunk_by(|a, b| {
        let within = |r: &Record| matches!(r, Record::Look(_) | Record::WalkFinished(_));
        within(&b.record) && (within(&a.record) || matches!(a.record, Record::WalkStarted(_)))
    })
}

/// Of every kind of record the corpora hold, what stands there.
fn corpora() -> Vec<Record> {
    let clock = FixedClock::new(day(30.0));
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hostile/corpus");
    let mut all = Vec::new();
    for name in ["v1", "v2", "kinds", "passage"] {
        let log = read_log(&root.join(name).join("logbook"), &clock).expect("read");
        let read = log.entries.iter().filter_map(|entry| {
            let read = Record::read(&entry.ev, &entry.rec.get())?;
            Some(read.expect("a record"))
        });
        all.extend(read);
    }
    all
}

/// What is told beside the walks of the items they see, by its kind; some of it of another record.
fn act(story: Story, kind: usize, on: f64, of: &str) -> Story {
    let item = [
        "drive-belt",
        "fuel-hoses",
        "engine-oil-level",
        "bilge-water",
    ][kind % 4];
    match kind / 4 {
        0 => story.repair(on, item),
        1 => story.patch(on, item, "next harbour"),
        2 => story.defer(on, item, "2027-05-01"),
        3 => story.withdraw(on, item),
        4 => story.fitted(on, item),
        5 => story.removed(on, item),
        6 => {
            let mut story = story.service(on, &[item], &["engine-oil-level"]);
            if let Some(Record::Service(service)) = story.written.last_mut().map(|w| &mut w.record)
            {
                service.task.clone_from(&Library::built_in().tasks()[0].id);
            }
            story
        }
        7 => story.opened(on, item, "left open"),
        8 => story.forbidding(on, item, "left open", Forbids::Leave),
        9 => story.closed(on, of),
        10 => story.told_back(on, of, "Ann"),
        11 => story.set(on, item, None, None),
        12 => story.recheck(on, item, Some(on + 5.0), None),
        _ => story.write(on, Record::from(Undo::of(of))),
    }
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

#[test]
fn acts_between_mornings_are_carried_on() {
    let mut story = Story::with(&["main", "wing"]);
    for n in 0..52 {
        let on = f64::from(n);
        let looks = [
            look("drive-belt", Grade::Early),
            look("bilge-water", Grade::Sound),
        ];
        story = story.walk("daily", "main", on, Some(100.0 + on), looks);
        let last = format!("r{}", story.written.len().saturating_sub(5));
        story = act(story, n as usize, on + 0.5, &last);
    }
    let mut taking = Taking::of(&story);
    let mut folded = 0;
    for (n, document) in documents(&story.written).enumerate() {
        let at = document[0].record.at().expect("a time");
        assert_eq!(taking.differs_as_of(at), Vec::<String>::new(), "{at}");
        assert_eq!(
            taking.differs_of_all(day(2000.0)),
            Vec::<String>::new(),
            "{at}"
        );
        folded += usize::from(n > 0 && !taking.onward.is_carried());
        folded += usize::from(n > 0 && !taking.onward.is_carried_of_all());
        taking.take(document, 2000.0);
    }
    assert_eq!(folded, 0, "each of them only tells what it touches anew");
}

#[test]
fn an_act_on_what_was_split_is_carried_on_unless_it_was_once_seen_as_one() {
    for (new, old) in splits() {
        for as_one in [false, true] {
            let mut story = Story::with(&["main", "wing"]);
            story = story.daily(0.0, [look(old, Grade::Worn)]);
            if as_one {
                story = asked(story, &[("daily-0", "then")]);
            }
            story = story.daily(1.0, [look("drive-belt", Grade::Sound)]);
            story = story.repair(2.0, old).daily(3.0, [look(old, Grade::Sound)]);
            story = story.daily(4.0, [look(new, Grade::Early)]);
            story = story.repair(5.0, new).daily(6.0, [look(new, Grade::Sound)]);
            let mut taking = Taking {
                library: split_library(),
                ..Taking::of(&story)
            };
            let mut acts = 0;
            for document in documents(&story.written) {
                let at = document[0].record.at().expect("a time");
                assert_eq!(taking.differs_as_of(at), Vec::<String>::new(), "{new} {at}");
                taking.take(document, 2000.0);
                if matches!(document[0].record, Record::Repair(_)) {
                    acts += 1;
                    assert_eq!(taking.onward.is_carried(), !as_one, "{new} {at}");
                }
            }
            assert_eq!(acts, 2);
        }
    }
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
        let mut taking = Taking::of(&story);
        // As in a file, whose records are all written on a later day.
        let written_on = 2000.0;
        if let Some(on) = later {
            // What is told already of a day in their midst.
            let other = Story::with(&["main", "wing"]);
            taking.take(&other.repair(on, "drive-belt").written, written_on);
        }
        for (document, back) in documents(&story.written).zip(back.into_iter().cycle()) {
            let at = document[0].record.at().unwrap_or(document[0].at);
            // Now and then one is told out of its turn.
            let at = if back { at - Duration::days(30) } else { at };
            let differing = taking.differs_as_of(at);
            prop_assert!(differing.is_empty(), "{at} {differing:#?}");
            taking.take(document, written_on);
        }
    }

    #[test]
    fn with_every_kind_of_record_in_any_order_it_is_as_folded(
        all in prop::collection::vec((happens(), 0.02..40.0f64), 3..16),
        beside in prop::collection::vec((0usize..1000, 0usize..16, -60.0..60.0f64), 1..16),
        acts in prop::collection::vec((0usize..56, 0usize..16, -60.0..60.0f64), 1..16),
        turn in prop::collection::vec(0usize..6, 16),
    ) {
        let story = tell(&all);
        let corpora = corpora();
        let mut taking = Taking::of(&story);
        let (now, mut told) = (700.0, 0);
        for (n, document) in documents(&story.written).enumerate() {
            let at = document[0].record.at().unwrap_or(document[0].at);
            let on = (at - day(0.0)).num_milliseconds() as f64 / 86_400_000.0;
            let here = |spot: &usize| n % 16 == *spot;
            for (which, _, off) in beside.iter().filter(|(_, spot, _)| here(spot)) {
                let mut record = corpora[which % corpora.len()].clone();
                // Told late, ahead, or by the time of its line.
                if let Some(at) = record.at_slot() {
                    *at = (*off < 40.0).then(|| day(on + off));
                }
                told += 1;
                let differing = taking.differs_of_all(day(now));
                prop_assert!(differing.is_empty(), "{differing:#?}");
                taking.take(&[Written::new(format!("c{told}"), day(now), record)], now);
            }
            for (kind, _, off) in acts.iter().filter(|(_, spot, _)| here(spot)) {
                let story = Story::with(&["main", "wing"]);
                let of = format!("a{}", told / 2);
                let mut made = act(story, *kind, on + off, &of).written;
                told += 1;
                made[0].id = format!("a{told}").into();
                let differing = taking.differs_of_all(day(now));
                prop_assert!(differing.is_empty(), "{differing:#?}");
                taking.take(&made, now);
            }
            let at = match turn[n % 16] {
                0 => at - Duration::days(30),
                1 => at + Duration::days(3),
                _ => at,
            };
            let differing = taking.differs_as_of(at);
            prop_assert!(differing.is_empty(), "{at} {differing:#?}");
            taking.take(document, now);
        }
    }
}
