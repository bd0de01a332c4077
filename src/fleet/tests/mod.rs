//! What is offered, and to whom.

use crate::assess::pooled::Exposed;
use crate::boat::Role;
use crate::checklist::Kind;
use crate::fleet::offer::{LEAST_BOATS, LEAST_MOVES, RatesFile, offered};

const SOUND: (Role, Kind, usize) = (Role::Propulsion, Kind::Seal, 0);

fn seen(boats: &[(u32, f64)]) -> Vec<Exposed> {
    let of = |(moves, time): &(u32, f64)| Exposed {
        moves: *moves,
        time: *time,
    };
    boats.iter().map(of).collect()
}

#[test]
fn what_is_offered_weighs_no_more_than_what_was_seen() {
    // Alike: without bound, so as much as the moves seen.
    let alike = offered(SOUND, &seen(&[(2, 800.0), (2, 800.0), (2, 800.0)])).expect("an offer");
    assert_eq!((alike.shape, alike.boats, alike.moves), (6.0, 3, 6));
    assert!((alike.dwell - 400.0).abs() < 1e-9);
    // Far apart: as little as the judgement does.
    let apart = [(30, 800.0), (0, 800.0), (1, 5000.0), (0, 3000.0)];
    let apart = offered(SOUND, &seen(&apart)).expect("an offer");
    assert_eq!(apart.shape, 2.0);
    // Between: what the boats say.
    let between = [
        (9, 800.0),
        (3, 800.0),
        (5, 800.0),
        (1, 900.0),
        (12, 1000.0),
        (4, 700.0),
    ];
    let between = offered(SOUND, &seen(&between)).expect("an offer");
    assert!(between.shape > 2.0 && between.shape < 34.0, "{between:?}");
}

#[test]
fn too_few_boats_or_moves_offer_nothing() {
    assert_eq!((LEAST_BOATS, LEAST_MOVES), (3, 5));
    for few in [
        vec![(9, 800.0), (9, 800.0)],
        vec![(2, 800.0), (1, 800.0), (1, 800.0)],
        vec![(0, 800.0), (0, 800.0), (0, 800.0)],
        vec![],
    ] {
        let why = offered(SOUND, &seen(&few)).expect_err("nothing");
        assert!(why.ends_with("the judgement stays"), "{why}");
    }
}

#[test]
fn only_boats_of_her_family_and_not_herself_speak_to_a_boat() {
    let boats: Vec<String> = (0..4)
        .map(|n| {
            format!(
                r#"{{"boat":"b{n}","moves":{},"hours":{}.0}}"#,
                2 + n,
                500 * (n + 1)
            )
        })
        .collect();
    let row = |family: &str| {
        format!(
            r#"{{"family":"{family}","kind":"seal","rung":0,"standing":0.5,"boats":[{}]}}"#,
            boats.join(",")
        )
    };
    let text = format!(r#"{{"type":"fleet-rates","rows":[{}]}}"#, row("propulsion"));
    let file = RatesFile::read("rates.json", &text).expect("a good file");
    let (all, _) = file.offer("another", Role::Propulsion);
    assert_eq!((all[0].boats, all[0].moves), (4, 14));
    let (others, _) = file.offer("b3", Role::Propulsion);
    assert_eq!((others[0].boats, others[0].moves), (3, 9));
    assert_eq!(file.offer("another", Role::Outboard), (vec![], vec![]));
    let twice = format!(
        r#"{{"type":"fleet-rates","rows":[{},{}]}}"#,
        row("outboard"),
        row("outboard")
    );
    assert!(RatesFile::read("rates.json", &twice).is_err());
}
