//! Which of several answers a rung is groups what was found, and no more: the same book with and without
//! the answers says the same of what is wrong, of the verdict and of what is due.

use handlamp::causes::Causes;
use handlamp::checklist::Grade;
use serde_json::{Map, Value, json};

use super::harness::Place;

const STORIES: u64 = 4;
const WALKS: usize = 3;
/// Items that every boat with an inboard diesel has, and that questions are about.
const ITEMS: [&str; 11] = [
    "bilge-water",
    "cold-start",
    "coolant-hoses",
    "coolant-temperature",
    "engine-oil-condition",
    "exhaust-elbow",
    "exhaust-smoke",
    "fuel-prefilter-bowl",
    "raw-water-impeller",
    "raw-water-pump-seal",
    "starter-motor",
];

/// A day's looks at items that some question is about, every one with an answer that goes with its rung.
fn looks(rng: &mut fastrand::Rng) -> Vec<(Value, Value)> {
    let questions = Causes::built_in().questions();
    let asked: Vec<_> = questions
        .iter()
        .flat_map(|asks| asks.from.iter().map(move |by| (asks, by)))
        .filter(|(_, by)| ITEMS.contains(&by.item.as_str()))
        .collect();
    let mut looks: Vec<(Value, Value)> = Vec::new();
    for _ in 0..8 {
        let (asks, by) = asked[rng.usize(..asked.len())];
        let grade = Grade::ALL[rng.usize(1..Grade::ALL.len())];
        let answer = &asks.answers[rng.usize(..asks.answers.len())].id;
        let known = |(plain, _): &(Value, Value)| plain["item"] == json!(by.item);
        if looks.iter().any(known) {
            continue;
        }
        let mut plain = json!({"item": by.item, "grade": grade, "better": "misjudged"});
        if rng.bool() {
            plain["note"] = json!("seen by lamp");
        }
        let mut signs = Map::new();
        signs.insert(asks.id.clone(), json!(answer));
        let mut said = plain.clone();
        said["signs"] = Value::Object(signs);
        looks.push((plain, said));
    }
    looks
}

/// What is said of her, without what names the records behind it, and without what may be behind the
/// findings, which stands beside the verdict and is what the answers are for.
fn answers(place: &Place) -> Vec<Value> {
    let asked: [(&str, &[&str]); 4] = [
        ("defects", &["defects"]),
        (
            "defects",
            &["defects", "--hours", "120", "--waters", "offshore"],
        ),
        ("verdict", &["verdict"]),
        ("due", &["due"]),
    ];
    let said = asked.iter().map(|(kind, args)| place.json(kind, args));
    said.map(without_names).collect()
}

fn without_names(mut value: Value) -> Value {
    match &mut value {
        Value::Object(fields) => {
            let names = ["records", "walk", "id", "logbook", "said", "said_differs"];
            for name in names.into_iter().chain(["not_ruled_out"]) {
                fields.remove(name);
            }
            let all = std::mem::take(fields).into_iter();
            *fields = all.map(|(name, of)| (name, without_names(of))).collect();
        }
        Value::Array(all) => {
            *all = std::mem::take(all).into_iter().map(without_names).collect();
        }
        _ => {}
    }
    value
}

#[test]
fn a_book_with_answers_says_what_it_says_without_them() {
    let (mut signed, mut found) = (0, 0);
    for seed in 0..STORIES {
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut places = [false, true].map(|_| Place::with_boat().of_known_age(&["main"]));
        for day in 0..WALKS {
            let looks = looks(&mut rng);
            let at = format!("2026-05-{:02}T07:40:00+02:00", 3 + day);
            signed += looks.len();
            for (with, place) in places.iter_mut().enumerate() {
                place.at(&format!("2026-05-{:02}T12:00:00+02:00", 3 + day));
                let told = looks.iter().map(|(plain, said)| match with {
                    0 => plain.clone(),
                    _ => said.clone(),
                });
                let walk = json!({"type": "walk", "checklist": "daily", "machine": "main",
                    "at": at, "looks": told.collect::<Vec<_>>()});
                place.record(&walk);
            }
            let [without, with] = [&places[0], &places[1]].map(answers);
            found += with[0]["rows"].as_array().map_or(0, Vec::len);
            assert_eq!(with, without, "seed {seed}, day {day}");
        }
    }
    assert!(signed > 40 && found > 40, "{signed} answers, {found} rows");
}
