//! The file is whole, its words keep to what cards are for, and places stand where they were told.

use std::collections::HashSet;

use super::*;
use crate::boat::facts::{Fact, Of};
use crate::boat::{Boat, Waters};
use crate::causes::Causes;
use crate::checklist::Library;
use crate::text::{width, wrap};

fn all() -> &'static SymptomsFile {
    SymptomsFile::built_in()
}

/// Every line, with whose it is.
fn lines() -> Vec<(&'static str, &'static CardLine)> {
    let cards = all().cards.iter();
    let cards = cards.flat_map(|card| card.lines.iter().map(|line| (card.id.as_str(), line)));
    let symptoms = all().symptoms.iter();
    let symptoms = symptoms.flat_map(|s| s.first.iter().map(|line| (s.id.as_str(), line)));
    cards.chain(symptoms).collect()
}

#[test]
fn every_name_in_the_file_is_known_and_stands_once() {
    let library = Library::built_in();
    let causes = Causes::built_in();
    let mut ids = HashSet::new();
    assert!(all().cards.iter().all(|card| ids.insert(&card.id)));
    ids.clear();
    assert!(all().symptoms.iter().all(|symptom| ids.insert(&symptom.id)));
    for symptom in &all().symptoms {
        let id = &symptom.id;
        assert_eq!(symptom.first.is_empty(), symptom.card.is_some(), "{id}");
        assert_eq!(
            all().card_of(symptom).is_some(),
            symptom.card.is_some(),
            "{id}"
        );
        assert!(!all().first(symptom).is_empty(), "{id}");
        assert!(!symptom.looks.is_empty() && !symptom.source.is_empty());
        let mut items = HashSet::new();
        let mut seen = true;
        for look in &symptom.looks {
            assert!(items.insert(&look.item), "{id}: {} twice", look.item);
            assert!(
                library.catalogue.item(&look.item).is_some(),
                "{id}: {}",
                look.item
            );
            let asks = look.asks.iter();
            for asks in asks {
                assert!(causes.question(asks).is_some(), "{id}: {asks}");
            }
            assert!(
                seen || !look.seen,
                "{id}: what was seen already comes first"
            );
            seen = look.seen;
        }
    }
    for card in &all().cards {
        assert!(all().symptom_of(&card.id).is_some(), "{}", card.id);
        assert!(!card.source.is_empty());
    }
    for (id, line) in lines() {
        for name in &line.at {
            let fact = Fact::named(name, Of::Boat).or_else(|| Fact::named(name, Of::Machine));
            let fact = fact.unwrap_or_else(|| panic!("{id}: {name}"));
            assert!(fact.is_place(), "{id}: {name} says no place");
        }
    }
}

/// What is asked for: six lines, no question, no figure, and none of more than two lines of 60 columns.
#[test]
fn a_card_is_read_at_a_glance() {
    for card in &all().cards {
        assert!((1..=6).contains(&card.lines.len()), "{}", card.id);
    }
    for (id, line) in lines() {
        let says = &line.says;
        assert!(!says.contains('?'), "{id}: {says}");
        assert!(!says.contains(|c: char| c.is_ascii_digit()), "{id}: {says}");
        assert!(!says.contains('%') && says.is_ascii(), "{id}: {says}");
        assert!(says.ends_with('.'), "{id}: {says}");
        assert!(wrap(says, 57).len() <= 2, "{id}: {says}");
    }
    for card in &all().cards {
        for line in &card.lines {
            assert!(width(&line.says) <= 57, "{}: {}", card.id, line.says);
        }
    }
}

/// The boat comes first where the engine is stopped; water coming in stops no engine; and nothing says
/// that an engine may run.
#[test]
fn the_words_stop_and_never_start_an_engine() {
    let said = |lines: &[CardLine]| {
        let said: Vec<_> = lines.iter().map(|line| line.says.to_lowercase()).collect();
        said.join(" ")
    };
    for symptom in &all().symptoms {
        let (id, words) = (&symptom.id, said(all().first(symptom)));
        for never in [
            "may run",
            "can run",
            "safe to",
            "start again",
            "start her",
            "start the engine",
            "restart",
        ] {
            assert!(!words.contains(never), "{id}: {never}");
        }
        if let Some(off) = words.find("engine off") {
            let boat = ["boat first", "sea room", "throttle right back"];
            let boat = boat.iter().filter_map(|word| words.find(word)).min();
            assert!(boat.is_some_and(|boat| boat < off), "{id}: {words}");
        }
    }
    let water = said(&all().card("water-in").expect("a card").lines);
    assert!(!water.contains("engine off") && water.contains("engine is not stopped"));
}

/// The order of the trade for each card (common practice, no single source).
#[test]
fn each_card_keeps_its_order() {
    let order: [(&str, &[&str]); 5] = [
        (
            "fire",
            &[
                "Engine off",
                "Fuel shut",
                "Fans off",
                "hatch",
                "through the port",
            ],
        ),
        ("exhaust-gas", &["Everybody out", "engine off", "open"]),
        (
            "races",
            &[
                "stop",
                "Fuel shut",
                "No hand and no rag",
                "Air shut with a plate",
            ],
        ),
        ("no-drive", &["Anchor", "Sail", "Call", "Then the engine"]),
        ("no-water", &["Engine off", "Never open a hot", "seacock"]),
    ];
    for (id, order) in order {
        let lines = &all().card(id).expect("a card").lines;
        let said: String = lines.iter().map(|line| format!("{} ", line.says)).collect();
        let mut rest = said.as_str();
        for word in order {
            let at = rest.find(word).unwrap_or_else(|| panic!("{id}: {word}"));
            rest = &rest[at..];
        }
    }
}

/// No look turns the engine, opens cap or sea side, or brings somebody under the boat: what is only told
/// with her running is told as seen.
#[test]
fn no_look_is_offered_that_may_not_be_made_then() {
    let library = Library::built_in();
    let phases = |item: &str| {
        let lists = library.checklists().iter();
        let phases = lists.flat_map(|list| &list.phases);
        let asking = phases.filter(|phase| {
            let mut items = phase.rows.iter().flat_map(|row| &row.items);
            items.any(|asked| asked == item)
        });
        asking.map(|phase| phase.state).collect::<Vec<_>>()
    };
    let never = [
        "header-cap",
        "coolant-level",
        "coolant-condition",
        "raw-water-strainer",
        "raw-water-impeller",
        "raw-water-pump-cover",
        "starter-motor",
        "hot-restart",
        "full-throttle-speed",
    ];
    for symptom in &all().symptoms {
        for look in symptom.looks.iter().filter(|look| !look.seen) {
            let told = format!("{}: {}", symptom.id, look.item);
            assert!(!never.contains(&look.item.as_str()), "{told}");
            let phases = phases(&look.item);
            let turning = !phases.is_empty() && phases.iter().all(|state| state.turns());
            assert!(!turning, "{told} is looked at while it turns");
            let asks = look.asks.iter();
            for (_, question) in asks.filter_map(|id| Causes::built_in().question(id)) {
                assert!(question.needs.is_empty(), "{told} asks {}", question.id);
                assert!(!question.state.turns(), "{told} asks {}", question.id);
            }
        }
    }
}

#[test]
fn a_place_stands_behind_its_line_once_it_was_told() {
    let fire = &all().card("fire").expect("a card").lines;
    let line = |at: &str| {
        let line = fire.iter().find(|line| line.at.iter().any(|a| a == at));
        line.expect("a line")
    };
    let mut boat = Boat::simple("Grey Plover", Waters::Inshore, None);
    assert_eq!(
        line("fuel_off_at").told(Some(&boat)).behind().as_deref(),
        Some(NOT_TOLD)
    );
    assert_eq!(
        line("fuel_off_at").told(None).behind().as_deref(),
        Some(NOT_TOLD)
    );
    boat.fuel_off_at = Some("under the companionway step".to_owned());
    boat.isolators_at = Some("by the steps".to_owned());
    assert_eq!(
        line("fuel_off_at").told(Some(&boat)).behind().as_deref(),
        Some("under the companionway step")
    );
    // Of two places each is named, and what was not told is said.
    assert_eq!(
        line("isolators_at").told(Some(&boat)).behind().as_deref(),
        Some("Fans and blower, off: place not told; Battery isolators: by the steps")
    );
    // Of several machines each has its own.
    let mut other = boat.machines[0].clone();
    (other.id, other.name) = ("gen".to_owned(), "Generator".to_owned());
    other.stops_by = Some("red button".to_owned());
    boat.machines.push(other);
    assert_eq!(
        line("stops_by").told(Some(&boat)).behind().as_deref(),
        Some(
            "Where it is stopped, Main engine: place not told; Where it is stopped, Generator: red button"
        )
    );
    assert_eq!(fire[4].told(Some(&boat)).behind(), None);
}

#[test]
fn she_is_spoken_of_in_many_words() {
    let found = |typed: &str| -> Vec<&str> {
        let found = all().symptoms.iter().filter(|s| s.is_spoken_of(typed));
        found.map(|s| s.id.as_str()).collect()
    };
    assert_eq!(found("overh"), ["runs-hot"]);
    assert_eq!(found("BOILS"), ["runs-hot"]);
    assert_eq!(found("click"), ["will-not-start"]);
    assert_eq!(found("white smoke"), ["smokes"]);
    assert_eq!(found("headache"), ["gas-alarm"]);
    assert_eq!(found("alternator"), ["charge-lamp"]);
    assert_eq!(found("zq"), [""; 0]);
    assert_eq!(found("").len(), all().symptoms.len());
}
