//! `leaving`.

use serde_json::{Value, json};

use super::harness::{Place, flat, full_walk, session};
use super::law::{belt, change, failing};

/// A boat with a walk that found these, and whose age is known.
fn found(looks: &[Value]) -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, looks);
    let run = place.run(&["record", &place.file("w1.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place
}

fn worn(item: &str) -> Value {
    json!({"item": item, "grade": "worn"})
}

fn items(answer: &Value, group: &str) -> Vec<String> {
    let rows = answer[group].as_array().expect("rows");
    let item = |row: &Value| row["item"].as_str().expect("an item").to_owned();
    rows.iter().map(item).collect()
}

/// Says how long mending takes, in hours, and what it costs.
fn estimate(place: &Place, item: &str, hours: &str, money: &str) {
    let labour = format!("{hours},{hours},{hours}");
    let args = [
        "cost",
        item,
        "--machine",
        "main",
        "--low",
        money,
        "--likely",
        money,
        "--high",
        money,
        "--labour",
        &labour,
        "--rate",
        "0",
    ];
    let run = place.run(&args);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
}

fn number(answer: &Value, field: &str) -> f64 {
    answer["takes_away"][field].as_f64().expect("a number")
}

#[test]
fn the_demo_boat_is_told_what_to_do_before_she_leaves() {
    let mut place = Place::empty();
    let logbook = place.logbook().display().to_string();
    let run = place.run(&["demo", "--json", &logbook]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-03T09:00:00+02:00");
    let passage = [
        "leaving",
        "--machine",
        "main",
        "--hours",
        "40",
        "--days",
        "4",
        "--waters",
        "offshore",
        "--work",
        "6h",
    ];
    let answer = place.json("leaving", &passage);
    let text = place.run(&passage);
    for heading in ["MUST BE DONE", "WORTH DOING", "CAN WAIT", "Not in this"] {
        assert!(text.stdout.contains(heading), "{heading}: {text}");
    }
    let words = flat(&text.stdout);
    assert!(
        words.contains("steering, rig, electronics, weather"),
        "{words}"
    );
    assert!(
        !words.contains("chance of getting through") && !words.contains(" %"),
        "{words}"
    );
    // Every stop of the list stands among what must be done, and nowhere else.
    let list = place.json(
        "defects",
        &[
            "defects",
            "--machine",
            "main",
            "--hours",
            "40",
            "--days",
            "4",
            "--waters",
            "offshore",
        ],
    );
    let rows = list["rows"].as_array().expect("rows");
    let stops = rows.iter().filter(|row| row["stop"] == true);
    for stop in stops {
        let item = stop["item"].as_str().expect("an item");
        let held = answer["must"].as_array().expect("rows").iter();
        assert!(
            held.into_iter()
                .any(|row| row["item"] == item && row["because"] == "stop"),
            "{item}"
        );
        assert!(!items(&answer, "can_wait").contains(&item.to_owned()));
    }
    // Every row of the list is in one of the three, once.
    let told = [
        items(&answer, "must"),
        items(&answer, "worth_doing"),
        items(&answer, "can_wait"),
    ]
    .concat();
    for row in rows {
        let item = row["item"].as_str().expect("an item").to_owned();
        assert!(told.contains(&item), "{item} is told nowhere");
    }
    let minutes = &answer["minutes"];
    let of = |field: &str| minutes[field].as_f64().expect("minutes");
    assert!(
        of("chosen") + of("must") <= of("given") + of("short"),
        "{minutes}"
    );
}

/// Six hours beside what must be done, for three jobs: the two that gain most for their minutes leave no
/// room for the one that gains more than both.
#[test]
fn the_choice_is_the_best_and_not_the_first_that_fits() {
    let place = found(&[
        worn("drive-belt"),
        worn("fuel-prefilter-bowl"),
        worn("shift-cable"),
    ]);
    estimate(&place, "drive-belt", "6", "20");
    estimate(&place, "fuel-prefilter-bowl", "1", "20");
    estimate(&place, "shift-cable", "5", "80");
    let passage = ["leaving", "--hours", "100", "--days", "30", "--work"];
    let unlimited = place.json("leaving", &passage[..5]);
    let first = unlimited["minutes"]["must"].as_f64().expect("minutes");
    let with = |minutes: f64| format!("{}min", first + minutes);
    let six = with(360.0);
    let passage = [&passage[..], &[six.as_str()]].concat();
    let answer = place.json("leaving", &passage);
    insta::assert_snapshot!(session(&[place.run(&passage)]));
    assert_eq!(items(&answer, "worth_doing"), ["drive-belt"]);
    assert!(number(&answer, "share") > number(&answer, "by_order") + 0.01);
    assert!(number(&answer, "share") <= number(&answer, "at_most"));
    assert_eq!(answer["minutes"]["chosen"], 360.0);
    assert_eq!(answer["takes_away"]["proved"], true);
    assert_eq!(answer["worth_doing"][0]["still_if_longer"], false);
    // With an hour more all is different, and never worse.
    let seven = with(420.0);
    let more = place.json("leaving", &[&passage[..6], &[seven.as_str()]].concat());
    assert!(number(&more, "share") > number(&answer, "share"));
    assert_eq!(
        items(&more, "worth_doing"),
        ["fuel-prefilter-bowl", "drive-belt"]
    );
}

#[test]
fn a_stop_is_never_traded() {
    let place = failing();
    let runs = [
        place.run(&["leaving", "--hours", "20", "--days", "3", "--work", "30min"]),
        place.run(&["leaving", "--without", "drive-belt"]),
        place.run(&["leaving", "--with", "engine-anodes"]),
        place.run(&["leaving", "--without", "no-such-item"]),
    ];
    assert_eq!(
        runs.iter().map(|run| run.code).collect::<Vec<_>>(),
        [Some(1), Some(2), Some(2), Some(2)]
    );
    assert!(
        runs[1].stderr.contains("a stop is never traded"),
        "{}",
        runs[1].stderr
    );
    let answer = place.json("leaving", &["leaving", "--hours", "20", "--work", "30min"]);
    assert_eq!(answer["must"][0]["item"], "drive-belt");
    assert_eq!(answer["must"][0]["because"], "stop");
    assert!(answer["minutes"]["short"].as_f64().expect("minutes") > 0.0);
    assert!(flat(&runs[0].stdout).contains("more than there is: she does not leave"));
}

#[test]
fn what_is_not_counted_is_said_before_all_else() {
    let place = failing();
    change(&place, &["drive-belt", "\"failing\""], |l| {
        l.replacen('{', "(", 1)
    });
    let answer = place.json("leaving", &["leaving", "--work", "2h"]);
    assert_eq!(answer["not_counted"][0]["item"], "drive-belt");
    let run = place.run(&["leaving"]);
    assert!(run.stdout.starts_with("NOT COUNTED"), "{}", run.stdout);
}

#[test]
fn hands_money_and_what_is_wished_for_change_the_choice() {
    let place = found(&[
        worn("drive-belt"),
        worn("engine-mounts"),
        worn("shift-cable"),
        worn("coolant-hoses"),
    ]);
    let leave = |more: &[&str]| {
        let args = [&["leaving", "--hours", "60", "--days", "10"], more].concat();
        place.json("leaving", &args)
    };
    let alone = leave(&[]);
    let mounts = |answer: &Value| {
        let rows = answer["can_wait"].as_array().expect("rows").iter();
        rows.into_iter()
            .find(|row| row["item"] == "engine-mounts")
            .cloned()
    };
    assert_eq!(mounts(&alone).expect("it waits")["waits"], "other-hands");
    let both = leave(&["--hands", "owner,mechanic"]);
    assert_eq!(mounts(&both), None);
    // Four hours of the mechanic are fewer than the mounts take.
    let few = leave(&["--hands", "owner,mechanic=4h"]);
    assert_eq!(mounts(&few).expect("it waits")["waits"], "worth-less");
    estimate(&place, "drive-belt", "1", "50");
    estimate(&place, "shift-cable", "2", "120");
    let poor = leave(&["--spend", "100"]);
    assert!(items(&poor, "can_wait").contains(&"shift-cable".to_owned()));
    assert!(poor["money"]["chosen"].as_f64().expect("money") <= 100.0);
    let told = poor["not_here"].to_string();
    assert!(told.contains("2 job(s) have no estimate"), "{told}");
    let wished = leave(&[
        "--spend",
        "100",
        "--with",
        "shift-cable",
        "--without",
        "drive-belt",
    ]);
    let must = wished["must"].as_array().expect("rows");
    let asked = must.iter().find(|row| row["because"] == "asked-for");
    assert_eq!(asked.expect("it was asked for")["item"], "shift-cable");
    assert_eq!(wished["money"]["short"], 20.0);
    let rows = wished["can_wait"].as_array().expect("rows");
    let belt = rows
        .iter()
        .find(|row| row["item"] == "drive-belt")
        .expect("it waits");
    assert_eq!(belt["waits"], "left-out");
}

#[test]
fn what_nobody_knows_the_age_of_must_be_done_where_it_can_burn_or_flood() {
    let place = Place::with_boat();
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &[belt("early")]);
    let run = place.run(&["record", &place.file("w1.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let answer = place.json("leaving", &["leaving", "--hours", "20", "--days", "5"]);
    let rows = answer["must"].as_array().expect("rows");
    let ages = rows.iter().filter(|row| row["because"] == "unknown-age");
    let ages: Vec<String> = ages.map(|row| row["item"].to_string()).collect();
    assert!(
        ages.contains(&"\"fuel-fine-filter\"".to_owned()),
        "{ages:?}"
    );
    // One look for all that ask for it.
    let looks = rows.iter().filter(|row| row["who"].is_null());
    let mut looks: Vec<String> = looks.map(|row| row["item"].to_string()).collect();
    let all = looks.len();
    looks.sort();
    looks.dedup();
    assert_eq!(looks.len(), all, "{looks:?}");
    // An impeller is mended at anchor, and hardly ever burns her.
    let waits = items(&answer, "unknown_age");
    assert!(
        waits.contains(&"raw-water-impeller".to_owned()),
        "{waits:?}"
    );
    let twice = |item: &String| ages.contains(&format!("\"{item}\""));
    assert!(!waits.iter().any(twice));
}

#[test]
fn options_that_cannot_be_meant_are_refused() {
    let place = found(&[worn("drive-belt")]);
    for args in [
        &["leaving", "--work", "long"][..],
        &["leaving", "--work", "-1h"],
        &["leaving", "--spend", "-5"],
        &["leaving", "--hands", "cousin"],
        &["leaving", "--plan", "nowhere"],
        &["leaving", "--hours", "NaN"],
    ] {
        let run = place.run(args);
        assert_eq!(run.code, Some(2), "{args:?}: {}", run.stdout);
        assert!(!run.stderr.is_empty());
    }
}
