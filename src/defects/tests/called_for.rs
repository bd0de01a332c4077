//! What is looked at only when findings call for it.

use std::sync::Arc;

use super::asked::{Shelf, asked, now};
use super::story::{Story, all_but, look};
use crate::assess::words::Verdict;
use crate::checklist::Grade::{Failed, Failing, Sound, Worn};
use crate::checklist::{Asked, Catalogue, Item, Library};
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;

const PROPELLER: &str = "propeller-seen";
const GAS: &str = "carbon-monoxide-sounded";

fn called_for() -> impl Iterator<Item = &'static Item> {
    let items = Library::built_in().catalogue.items().iter();
    items.filter(|item| item.called_for)
}

fn counts(condition: &Condition, item: &str) -> bool {
    condition.lives.keys().any(|subject| subject.item == item)
}

/// A morning of which everything that has to be seen was sound.
fn morning() -> Story {
    Story::new().of_known_age().daily(0.0, all_but([]))
}

#[test]
fn without_a_look_nothing_counts_it_and_its_name_finds_it() {
    let story = morning();
    let condition = story.on(0.5);
    assert_eq!(story.verdict(0.5), Some(Verdict::ClearToRun));
    let (exposure, waters) = condition.usual_plan();
    let list = condition.list(Scenario::new(exposure, waters), true);
    let offered = condition.offered("main", false);
    for item in called_for() {
        let id = item.id.as_str();
        assert!(!counts(&condition, id), "{id}");
        assert!(list.unseen.iter().all(|unseen| unseen.item != id), "{id}");
        assert!(list.rows.iter().all(|row| row.item != id), "{id}");
        assert!(offered.iter().all(|subject| subject.item != id), "{id}");
        let found = condition.named(&item.title, "main");
        assert!(found.iter().any(|subject| subject.item == id), "{id}");
        assert!(condition.place_of(id, "main").is_some(), "{id}");
        let subject = condition.subject(id, "main");
        let scenario = Scenario::new(exposure, waters);
        let told = condition.explain(&story.history(), &subject, scenario);
        assert!(told.is_some(), "{id}");
        let daily = condition.library.checklist("daily").expect("built in");
        assert_eq!(condition.look_faults(&look(id, Worn), "main", daily), []);
    }
}

#[test]
fn found_bad_it_is_a_defect_like_any_other_and_sound_it_rests() {
    let found = morning().daily(1.0, all_but([look(PROPELLER, Failed)]));
    assert_eq!(found.verdict(1.5), Some(Verdict::DoNotRun));
    assert!(found.row(1.5, PROPELLER).is_some_and(|row| row.stop));
    let mended = found.repair(2.0, PROPELLER);
    assert!(mended.row(2.5, PROPELLER).is_some(), "it waits for a look");
    let sound = mended.daily(3.0, all_but([look(PROPELLER, Sound)]));
    assert_eq!(sound.verdict(3.5), Some(Verdict::ClearToRun));
    for on in [3.5, 400.0] {
        let condition = sound.on(on);
        assert!(!counts(&condition, PROPELLER), "day {on}");
        let life = condition.life(PROPELLER, "main").expect("known");
        assert_eq!(life.status.grade, Some(Sound));
    }
    // A look that is owed is one to be made, whatever was seen.
    let owed = sound.recheck(4.0, PROPELLER, Some(5.0), None);
    assert!(counts(&owed.on(6.0), PROPELLER));
    assert!(owed.on(6.0).owed(&owed.history()).any(|owed| owed.due));
}

/// Everybody out and air first: practice of the trade, no single source.
#[test]
fn the_carbon_monoxide_alarm_that_sounded_stops_by_itself_and_its_test_does_not_lift_it() {
    let sounded = morning().daily(
        1.0,
        all_but([look(GAS, Failing), look("carbon-monoxide-alarm", Sound)]),
    );
    assert_eq!(sounded.verdict(1.5), Some(Verdict::DoNotRun));
    let stops = sounded.on(1.5).open_stops();
    assert_eq!(stops.len(), 1);
    assert_eq!(stops[0].subject.item, GAS);
    let again = sounded.daily(2.0, all_but([look("carbon-monoxide-alarm", Sound)]));
    assert_eq!(again.verdict(2.5), Some(Verdict::DoNotRun));
}

/// A condition told on, item by item, is the one folded anew.
#[test]
fn one_that_is_told_anew_is_the_one_that_is_folded() {
    let mut story = morning();
    for (on, grade) in [(1.0, Sound), (2.0, Worn), (3.0, Sound)] {
        let mut told = story.on(9.0);
        story = story.daily(on, [look(PROPELLER, grade)]);
        let (history, folded) = (story.history(), story.on(9.0));
        told.retell(&told.subject(PROPELLER, "main"), &history);
        let whose = |condition: &Condition| format!("{:?} {:?}", condition.lives, condition.quiet);
        assert_eq!(whose(&told), whose(&folded), "{grade}");
        assert_eq!(counts(&told, PROPELLER), grade == Worn);
        assert_eq!(told.waits.len(), told.lives.len());
    }
}

/// A walk asked with a text of before these items existed is judged as it was.
#[test]
fn what_was_asked_before_there_were_such_items_answers_as_it_did() {
    let today = Library::built_in();
    let mut catalogue = today.catalogue.to_file();
    catalogue.items.retain(|item| !item.called_for);
    let then = Asked {
        checklist: today.checklist("daily").expect("built in").clone(),
        catalogue: Catalogue::of([catalogue]),
    };
    let shelf = Shelf([("then".to_owned(), Arc::new(then))].into());
    let library = Arc::new(today.with_texts(Arc::new(shelf)));
    let looks = [look("drive-belt", Failing), look("raw-water-flow", Worn)];
    let story = Story::new().daily(0.0, looks);
    let old = asked(story.clone(), &[("daily-0", "then")]);
    let (old, plain) = (now(&old, &library, 1.0), story.on(1.0));
    assert!(old.notes().is_empty() && old.doubts.is_empty());
    let told = |condition: &Condition| format!("{:?} {:?}", condition.lives, condition.quiet);
    assert_eq!(told(&old), told(&plain));
    let list = |condition: &Condition| {
        let (exposure, waters) = condition.usual_plan();
        condition.list(Scenario::new(exposure, waters), true)
    };
    let (old, plain) = (list(&old), list(&plain));
    assert_eq!(format!("{:?}", old.rows), format!("{:?}", plain.rows));
    assert_eq!(format!("{:?}", old.unseen), format!("{:?}", plain.unseen));
}
