//! The locker and what to carry: bought, used, counted, thrown away, taken back; what counts at sea; what
//! is worth taking.

use serde_json::{Value, json};

use super::harness::{Place, Run, flat, full_walk};

#[track_caller]
fn ran(place: &Place, args: &[&str]) -> Run {
    let run = place.run(args);
    assert_eq!(run.code, Some(0), "{}: {}", run.line, run.stderr);
    run
}

#[track_caller]
fn done(place: &Place, args: &[&str]) {
    let _ = ran(place, args);
}

#[track_caller]
fn refused(place: &Place, args: &[&str], why: &str) {
    let run = place.run(args);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(run.stderr.contains(why), "{}", run.stderr);
}

#[track_caller]
fn row(place: &Place, spare: &str) -> Value {
    let answer = place.json("locker", &["locker"]);
    let rows = answer["rows"].as_array().expect("rows");
    let found = rows.iter().find(|row| row["spare"] == spare);
    found.cloned().unwrap_or_default()
}

/// A boat with a belt that is worn, so that it can fail on the way, and all else sound.
fn worn() -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    let looks = [json!({"item": "drive-belt", "grade": "worn"})];
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &looks);
    done(&place, &["record", &place.file("w1.json", &sheet)]);
    place
}

const PASSAGE: [&str; 7] = [
    "carry", "--hours", "60", "--days", "3", "--waters", "offshore",
];

fn carry(place: &Place, more: &[&str]) -> Value {
    place.json("carry", &[&PASSAGE[..], more].concat())
}

#[track_caller]
fn of<'a>(answer: &'a Value, group: &str, spare: &str) -> Option<&'a Value> {
    let rows = answer[group].as_array().expect("rows");
    rows.iter().find(|row| row["spare"] == spare)
}

#[test]
fn what_is_bought_used_and_counted_adds_up_and_the_last_one_is_told() {
    let place = Place::with_boat();
    let answer = ran(
        &place,
        &[
            "locker",
            "add",
            "drive-belts",
            "2",
            "--lies",
            "under the chart table",
        ],
    );
    assert!(answer.stdout.contains("under the chart table"), "{answer}");
    assert_eq!(row(&place, "drive-belts")["count"], 2.0);
    let used = ran(
        &place,
        &["locker", "use", "drive-belts", "--for", "drive-belt"],
    );
    assert!(!used.stdout.contains("last one"), "{used}");
    let last = ran(&place, &["locker", "use", "drive-belts"]);
    assert!(
        flat(&last.stdout).contains("That was the last one"),
        "{last}"
    );
    // Once more takes nothing below none.
    let more = place.json("locker-changed", &["locker", "use", "drive-belts"]);
    assert_eq!(
        (&more["row"]["count"], &more["last_gone"]),
        (&json!(0.0), &json!(false))
    );
    done(&place, &["locker", "count", "drive-belts", "3"]);
    done(
        &place,
        &["locker", "drop", "drive-belts", "--note", "cracked"],
    );
    let belts = row(&place, "drive-belts");
    assert_eq!(belts["count"], 2.0);
    assert!(belts["counted"].is_string());
    assert_eq!(belts["lies"], "under the chart table");
}

#[test]
fn an_entry_taken_back_counts_no_more() {
    let place = Place::with_boat();
    let bought = place.json("locker-changed", &["locker", "add", "impeller-set", "2"]);
    let used = place.json("locker-changed", &["locker", "use", "impeller-set"]);
    assert_eq!(row(&place, "impeller-set")["count"], 1.0);
    let id = |answer: &Value| {
        answer["ids"]
            .as_array()
            .and_then(|all| all.last().cloned())
            .expect("an id")
    };
    let id = |answer: &Value| id(answer).as_str().expect("text").to_owned();
    done(
        &place,
        &["entries", "take-back", &id(&used), "--why", "none was used"],
    );
    assert_eq!(row(&place, "impeller-set")["count"], 2.0);
    done(
        &place,
        &["entries", "take-back", &id(&bought), "--why", "never came"],
    );
    assert_eq!(row(&place, "impeller-set")["count"], 0.0);
}

#[test]
fn a_spare_counts_at_sea_only_with_tools_instruction_and_once_fitted() {
    let place = Place::with_boat();
    done(&place, &["locker", "add", "drive-belts", "2"]);
    let belts = row(&place, "drive-belts");
    assert_eq!(
        (&belts["count"], &belts["counts"]),
        (&json!(2.0), &json!(0.0))
    );
    assert_eq!(belts["not_because"].as_array().map(Vec::len), Some(3));
    let tell = [
        "locker",
        "tell",
        "drive-belts",
        "--tools",
        "yes",
        "--instruction",
        "yes",
    ];
    done(&place, &tell);
    assert_eq!(row(&place, "drive-belts")["counts"], 0.0);
    done(
        &place,
        &[
            "locker",
            "tell",
            "drive-belts",
            "--fitted-once",
            "2026-04-02",
        ],
    );
    assert_eq!(row(&place, "drive-belts")["counts"], 2.0);
    done(
        &place,
        &["locker", "tell", "drive-belts", "--elsewhere", "yes"],
    );
    let ashore = row(&place, "drive-belts");
    assert_eq!(
        (&ashore["counts"], &ashore["missing"]),
        (&json!(0.0), &json!(1.0))
    );
    done(
        &place,
        &["locker", "tell", "drive-belts", "--not-known", "elsewhere"],
    );
    done(
        &place,
        &["locker", "tell", "drive-belts", "--use-by", "2026-05-01"],
    );
    assert_eq!(row(&place, "drive-belts")["counts"], 0.0);
    refused(
        &place,
        &[
            "locker",
            "tell",
            "drive-belts",
            "--fitted-once",
            "2030-01-01",
        ],
        "--fitted-once: that is yet to come",
    );
}

#[test]
fn what_is_carried_depends_on_what_already_counts() {
    let place = worn();
    let before = carry(&place, &["--litres", "4"]);
    let belts = of(&before, "take", "drive-belts")
        .expect("a belt is taken")
        .clone();
    assert!(belts["take"].as_u64().is_some_and(|n| n > 0), "{belts}");
    assert!(!belts["cautions"].as_array().expect("cautions").is_empty());
    assert_eq!(belts["minutes"], 90);
    assert_eq!(belts["room"], json!([0.75, 3.0]));
    let text = ran(&place, &PASSAGE).stdout;
    for told in [
        "you need",
        "miles of room for this",
        "Not in this",
        "CUSTOMARY IN OFFSHORE WATERS",
    ] {
        assert!(flat(&text).contains(told), "{told}: {text}");
    }
    assert!(!text.contains("getting through"), "{text}");
    // Aboard and not yet fit to count: nothing changes.
    done(&place, &["locker", "add", "drive-belts", "9"]);
    let same = carry(&place, &["--litres", "4"]);
    assert_eq!(
        of(&same, "take", "drive-belts").expect("still")["take"],
        belts["take"]
    );
    assert!(of(&same, "not_yet", "drive-belts").is_some());
    let ready = [
        "--tools",
        "yes",
        "--instruction",
        "yes",
        "--fitted-once",
        "2026-04-02",
    ];
    done(
        &place,
        &[&["locker", "tell", "drive-belts"], &ready[..]].concat(),
    );
    let after = carry(&place, &["--litres", "4"]);
    assert!(of(&after, "take", "drive-belts").is_none(), "{after}");
    let protected = of(&after, "rest", "drive-belts").expect("weighed");
    assert!(protected["long_stop"].as_f64() < belts["long_stop"].as_f64());
    assert!(of(&after, "missing", "drive-belts").is_none());
}

#[test]
fn what_there_is_no_room_to_fit_makes_no_stop_shorter() {
    let place = worn();
    let near = carry(&place, &["--room", "0.5"]);
    assert!(of(&near, "take", "drive-belts").is_none(), "{near}");
    let belts = of(&near, "rest", "drive-belts").expect("weighed");
    assert_eq!(
        (&belts["too_long"], &belts["short_stop"]),
        (&json!(true), &json!(0.0))
    );
    let far = carry(&place, &["--room", "10"]);
    assert!(of(&far, "take", "drive-belts").is_some());
    // By night hands take twice as long: 30 min of cooling and 120 of work.
    let night = carry(&place, &["--hard"]);
    assert_eq!(
        of(&night, "take", "drive-belts").expect("taken")["minutes"],
        150
    );
}

#[test]
fn no_spare_is_taken_for_what_happens_at_once() {
    let place = worn();
    let answer = carry(&place, &["--litres", "100"]);
    // Plugs serve what floods at once: carried by custom, never by this choice.
    assert!(of(&answer, "take", "wood-plugs").is_none(), "{answer}");
    assert!(of(&answer, "missing", "wood-plugs").is_some());
    assert!(answer["order"].is_array() || answer["order"].is_null());
    let more = carry(&place, &["--litres", "100", "--kilos", "5"]);
    assert!(more["order"].is_null(), "two limits prove no order");
}

#[test]
fn what_cannot_be_is_refused() {
    let place = Place::with_boat();
    refused(&place, &["locker", "use", "drive-belt"], "drive-belts");
    refused(&place, &["locker", "add", "drive-belts", "0"], "COUNT");
    refused(
        &place,
        &["locker", "count", "drive-belts", "-1"],
        "unexpected argument",
    );
    refused(&place, &["locker", "count", "drive-belts", "NaN"], "COUNT");
    refused(
        &place,
        &["locker", "tell", "drive-belts"],
        "say something of the spare",
    );
    refused(
        &place,
        &["locker", "add", "drive-belts", "--serves", "no-such"],
        "--serves",
    );
    refused(
        &place,
        &["locker", "use", "drive-belts", "--for", "no-such"],
        "--for",
    );
    refused(
        &place,
        &["locker", "tell", "my-own", "--lies", "aft"],
        "title",
    );
    refused(&place, &["carry", "--litres=-4"], "expected a number");
    refused(&place, &["carry", "--plan", "no-such"], "no-such");
    for record in [
        json!({"type":"stock","spare":"drive-belts","moved":"stolen","count":1}),
        json!({"type":"stock","spare":"../../x","moved":"bought","count":1}),
        json!({"type":"stock","spare":"drive-belts","machine":"no-such","moved":"bought","count":1}),
        json!({"type":"spare","spare":"drive-belts","litres":-1.0}),
        json!({"type":"spare","spare":"drive-belts","lies":"aft","not_known":["lies"]}),
        json!({"type":"spare","spare":"drive-belts","not_known":["colour"]}),
    ] {
        let file = place.file("bad.json", &record.to_string());
        assert_eq!(place.run(&["record", &file]).code, Some(2), "{record}");
    }
    // A spare of one's own, in words, serves what is named.
    done(
        &place,
        &[
            "locker",
            "add",
            "Spare kill cord",
            "--serves",
            "drive-belt",
            "--minutes",
            "5",
        ],
    );
    let own = row(&place, "spare-kill-cord");
    assert_eq!(
        (&own["title"], &own["count"]),
        (&json!("Spare kill cord"), &json!(1.0))
    );
}

#[test]
fn a_job_says_whether_its_spare_is_aboard_and_one_spare_goes_into_one_job() {
    let place = worn();
    let spare = |place: &Place| {
        let answer = place.json(
            "leaving",
            &[
                "leaving",
                "--hours",
                "60",
                "--days",
                "3",
                "--with",
                "drive-belt",
            ],
        );
        let groups = ["must", "worth_doing", "can_wait"];
        let rows = groups
            .iter()
            .flat_map(|g| answer[*g].as_array().expect("rows").clone());
        let mut belt = rows.filter(|row| row["item"] == "drive-belt");
        belt.next().expect("the belt")["spare"].clone()
    };
    assert_eq!(spare(&place), Value::Null, "nothing is on record");
    done(&place, &["locker", "add", "drive-belts", "--lies", "aft"]);
    assert_eq!(spare(&place)["to_hand"], "aboard");
    let text = ran(&place, &["leaving", "--with", "drive-belt"]).stdout;
    assert!(
        flat(&text).contains("Aboard: Drive belts, full set, 1, aft, never counted."),
        "{text}"
    );
    assert!(!text.contains("parts aboard are not on record"), "{text}");
    let last = ran(&place, &["locker", "use", "drive-belts"]);
    assert!(flat(&last.stdout).contains("last one"), "{last}");
    assert_eq!(spare(&place)["to_hand"], "missing");
}

#[test]
fn the_list_for_the_shop_takes_off_what_is_aboard() {
    let place = worn();
    let row = |id: &str, locker: bool| {
        let answer = place.json("parts", &["defects", "--parts", "--waters", "offshore"]);
        let rows = answer["shop"].as_array().expect("rows").clone();
        let mut found = rows
            .into_iter()
            .filter(|r| r["id"] == id && r["for_locker"] == locker);
        found.next().unwrap_or_default()
    };
    let belt = row("drive-belt", false);
    assert_eq!((&belt["buy"], &belt["aboard"]), (&json!(1.0), &json!(0.0)));
    assert_eq!(row("drive-belts", true)["buy"], 2.0);
    done(&place, &["locker", "add", "drive-belts", "2"]);
    let belt = row("drive-belt", false);
    assert_eq!(
        (&belt["buy"], &belt["spare"]),
        (&json!(0.0), &json!("drive-belts"))
    );
    // One of the two goes in, so that the locker lacks one.
    assert_eq!(row("drive-belts", true)["buy"], 1.0);
    let text = ran(&place, &["defects", "--parts", "--waters", "offshore"]).stdout;
    assert!(
        text.contains("FOR THE SHOP") && text.contains("ABOARD ALREADY"),
        "{text}"
    );
}

#[test]
fn litres_aboard_take_nothing_off_what_work_takes() {
    let place = worn();
    done(&place, &["locker", "add", "engine-oil", "9"]);
    let answer = place.json("parts", &["defects", "--parts", "--hours", "900"]);
    let rows = answer["shop"].as_array().expect("rows");
    let mut oil = rows.iter().filter(|r| r["id"] == "engine-oil");
    let oil = oil.next().expect("oil is due");
    assert_eq!(
        (&oil["buy"], &oil["words"]),
        (&json!(1.0), &json!("as much as the handbook says"))
    );
}

#[test]
fn a_repair_offers_what_the_locker_has_and_takes_nothing() {
    let place = worn();
    done(&place, &["locker", "add", "drive-belts", "2"]);
    let run = ran(&place, &["repair", "drive-belt", "--done", "new belt"]);
    assert!(
        flat(&run.stdout).contains("handlamp locker use drive-belts --for drive-belt"),
        "{run}"
    );
    assert_eq!(row(&place, "drive-belts")["count"], 2.0);
}

/// A service offers it in the same words as a repair, by the task, and takes nothing either.
#[test]
fn a_service_offers_what_the_locker_has_and_takes_nothing() {
    let place = worn();
    done(&place, &["locker", "add", "drive-belts", "2"]);
    let run = ran(&place, &["service", "done", "drive-belts"]);
    assert!(
        flat(&run.stdout).contains("handlamp locker use drive-belts --for drive-belts"),
        "{run}"
    );
    assert_eq!(row(&place, "drive-belts")["count"], 2.0);
    let none = ran(&place, &["service", "done", "coolant"]);
    assert!(!none.stdout.contains("locker use"), "{none}");
}
