//! What was one item and is two loses no stop, see [`crate::defects::events`].

use std::collections::HashMap;
use std::sync::Arc;

use super::asked::{Shelf, asked, now, stops};
use super::story::{Story, look};
use crate::assess::stop_rung;
use crate::boat::Waters;
use crate::checklist::{Asked, Catalogue, Grade, Library};

/// The text of the morning check as it was before items were split, as a logbook kept it.
const BEFORE: &str = include_str!(
    "../../../tests/hostile/corpus/v1/logbook/texts/987d1d09d486f5bc945ce25fa7c436798ab138b0777fdc674d4015741c730138.json"
);

fn before() -> Arc<Asked> {
    Arc::new(Asked::read(BEFORE.as_bytes()).expect("a text"))
}

pub(super) fn library() -> Arc<Library> {
    let shelf = Shelf(HashMap::from([("then".to_owned(), before())]));
    Arc::new(Library::built_in().with_texts(Arc::new(shelf)))
}

/// Each new item and what it was part of.
pub(super) fn splits() -> impl Iterator<Item = (&'static str, &'static str)> {
    let items = Catalogue::built_in().items().iter();
    items.filter_map(|i| Some((i.id.as_str(), i.split_from.as_deref()?)))
}

#[test]
fn a_stop_seen_before_the_split_holds_until_both_are_looked_at() {
    let (library, before) = (library(), before());
    let mut stopped = 0;
    for (new, old) in splits() {
        for grade in Grade::ALL {
            let was = before.item(old).expect("there").expect("whole");
            let rung = stop_rung(was, &was.effects, Waters::Inshore);
            let story = Story::new().daily(1.0, [look(old, *grade)]);
            let story = asked(story, &[("daily-1", "then")]);
            let then = now(&story, &library, 2.0);
            let told = format!("{old} {grade}, now also {new}");
            let must = rung.is_some_and(|rung| *grade >= rung);
            assert!(!must || stops(&then, old), "{told}");
            assert!(!must || stops(&then, new), "{told}");
            let half = story.clone().daily(3.0, [look(old, Grade::Sound)]);
            assert!(!must || stops(&now(&half, &library, 4.0), new), "{told}");
            let whole = half.daily(5.0, [look(new, Grade::Sound)]);
            let whole = now(&whole, &library, 6.0);
            assert!(!stops(&whole, old) && !stops(&whole, new), "{told}");
            stopped += usize::from(must);
        }
    }
    assert!(stopped >= splits().count());
}

#[test]
fn what_was_put_right_before_the_split_stays_so() {
    let library = library();
    for (new, old) in splits() {
        let story = Story::new().daily(1.0, [look(old, Grade::Failed)]);
        let story = asked(story, &[("daily-1", "then")]).repair(2.0, old);
        assert!(!stops(&now(&story, &library, 3.0), new), "{new}");
        // Once looked at by itself, what is done about the other says nothing of it.
        let story = story
            .daily(4.0, [look(new, Grade::Failed)])
            .repair(5.0, old);
        assert!(stops(&now(&story, &library, 6.0), new), "{new}");
    }
}

#[test]
fn what_is_said_of_it_until_then_are_the_words_of_then() {
    let library = library();
    let story = Story::new().daily(1.0, [look("start-battery", Grade::Failing)]);
    let then = now(&asked(story, &[("daily-1", "then")]), &library, 2.0);
    let subject = then.subject("start-battery-case", "main");
    let item = then.item(&subject).expect("an item");
    let rule = then.stop_rule(&subject, item, &then.lives[&subject], Waters::Inshore);
    assert!(
        rule.expect("a stop")
            .contains("below 12.2 V, or warm or swollen")
    );
}

#[test]
fn without_the_whole_she_is_without_the_part_until_somebody_looks() {
    for (new, old) in splits() {
        let machine_has = Catalogue::built_in().item(old).expect("there").scope;
        if machine_has == crate::checklist::Scope::Boat {
            continue;
        }
        let mut story = Story::new();
        story.boat.machines[0].without.push(old.to_owned());
        assert!(story.on(1.0).life(new, "main").is_none(), "{new}");
        let seen = story.daily(1.0, [look(new, Grade::Failed)]);
        assert!(stops(&seen.on(2.0), new), "{new}");
    }
}
