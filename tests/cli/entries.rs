//! Everything on record is listed, taken back and put right. What is put right is as if it had never
//! been wrong, but for a stop that was taken back, which is owed a look.

use serde_json::{Value, json};

use super::harness::{Place, TWINS, copy, flat, full_walk};

/// A boat whose ages are known, with one whole morning check that found `looks`.
fn walked(looks: &[Value]) -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let file = place.file(
        "w1.json",
        &full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, looks),
    );
    let run = place.run(&["record", &file]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.at("2026-05-03T12:00:00+02:00");
    place
}

fn belt(grade: &str) -> Value {
    json!({"item":"drive-belt","phase":"cold","grade":grade})
}

/// The id of the newest entry found by a filter.
#[track_caller]
pub fn entry(place: &Place, filter: &[&str]) -> String {
    let args = [&["entries"], filter].concat();
    let found = place.json("entries", &args);
    let id = found["rows"][0]["id"].as_str();
    id.unwrap_or_else(|| panic!("{filter:?}: {found}"))
        .to_owned()
}

#[track_caller]
pub fn done(place: &Place, args: &[&str]) -> Value {
    let answer = place.json("entry-changed", &[&["entries"], args].concat());
    assert_eq!(answer["recorded"], true);
    answer
}

#[track_caller]
fn refused(place: &Place, args: &[&str], says: &str) {
    let before = place.json("entries", &["entries"]);
    let run = place.run(&[&["entries"], args].concat());
    assert_eq!(run.code, Some(2), "{}", run.stdout);
    assert!(run.stderr.contains(says), "{}", run.stderr);
    assert_eq!(
        place.json("entries", &["entries"]),
        before,
        "nothing is recorded"
    );
}

/// What the boat's answers say, without what names the records behind them.
fn answers(place: &Place) -> Vec<Value> {
    fn without_ids(value: &mut Value) {
        match value {
            Value::Object(fields) => {
                ["records", "walk", "said", "said_differs", "id", "logbook"]
                    .iter()
                    .for_each(|name| drop(fields.remove(*name)));
                fields.values_mut().for_each(without_ids);
            }
            Value::Array(all) => all.iter_mut().for_each(without_ids),
            _ => {}
        }
    }
    let asked = [
        ("verdict", &["verdict"][..]),
        ("defects", &["defects", "--all"][..]),
        ("due", &["due"][..]),
        ("learning", &["learning"][..]),
        ("walks", &["walks"][..]),
    ];
    let mut all: Vec<Value> = asked
        .iter()
        .map(|(name, args)| place.json(name, args))
        .collect();
    all.iter_mut().for_each(without_ids);
    all
}

#[test]
fn a_grade_put_right_is_as_never_wrong_and_back_again() {
    let right = answers(&walked(&[belt("early")]));
    let place = walked(&[belt("worn")]);
    let wrong = answers(&place);
    assert_ne!(wrong, right);
    let id = entry(&place, &["--item", "drive-belt", "--kind", "look"]);
    let told = done(
        &place,
        &["put-right", &id, "grade=early", "--why", "the other belt"],
    );
    let follows = told["follows"].to_string();
    assert!(follows.contains("early in place of worn"), "{follows}");
    assert_eq!(answers(&place), right);
    let row = &place.json("entries", &["entries", "--item", "drive-belt"])["rows"][0];
    assert_eq!(
        (&row["id"], &row["state"]),
        (&json!(id), &json!("put-right"))
    );
    assert_eq!(row["was"], "Graded Drive belt worn");
    assert_eq!(row["changed"]["why"], "the other belt");
    done(&place, &["put-back", &id]);
    assert_eq!(answers(&place), wrong);
}

#[test]
fn a_repair_moves_to_the_item_it_was_done_to() {
    let both = [belt("worn"), json!({"item":"engine-mounts","grade":"worn"})];
    let repair = |place: &Place, item: &str| {
        let run = place.run(&["repair", item, "--done", "new one"]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    };
    let right = walked(&both);
    repair(&right, "drive-belt");
    let place = walked(&both);
    repair(&place, "engine-mounts");
    let id = entry(&place, &["--kind", "repair"]);
    refused(&place, &["put-right", &id, "item=drive-belt"], "--why");
    refused(
        &place,
        &["put-right", &id, "item=gold", "--why", "x"],
        "gold",
    );
    refused(
        &place,
        &["put-right", &id, "colour=red", "--why", "x"],
        "has no 'colour'",
    );
    done(
        &place,
        &["put-right", &id, "item=drive-belt", "--why", "wrong row"],
    );
    assert_eq!(answers(&place), answers(&right));
}

#[test]
fn false_hours_leave_every_sum() {
    let next = |place: &mut Place, hours: f64| {
        let file = full_walk("w2", "2026-05-05T07:40:00+02:00", hours, &[]);
        place.at("2026-05-05T12:00:00+02:00");
        let file = place.file("w2.json", &file);
        place.run(&["record", &file])
    };
    let mut right = walked(&[]);
    assert_eq!(next(&mut right, 1206.5).code, Some(0));
    let mut place = walked(&[]);
    let file = place.file(
        "wrong.json",
        &full_walk("w0", "2026-05-03T11:00:00+02:00", 1206.9, &[]),
    );
    let run = place.run(&["record", &file]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let blocked = next(&mut place, 1206.5);
    assert_eq!(blocked.code, Some(2), "{}", blocked.stdout);
    let begin = entry(&place, &["--walk", "w0", "--kind", "walk"]);
    refused(
        &place,
        &["put-right", &begin, "hours=9", "--why", "x"],
        "hours",
    );
    done(
        &place,
        &["put-right", &begin, "hours=1203.6", "--why", "misread"],
    );
    assert_eq!(next(&mut place, 1206.5).code, Some(0));
    let rates = |place: &Place| place.json("boat", &["boat", "show"])["rates"].clone();
    assert_eq!(rates(&place), rates(&right));
}

#[test]
fn a_stop_taken_back_is_owed_a_look() {
    let place = walked(&[]);
    let clear = place.json("verdict", &["verdict"]);
    assert_eq!(clear["now"], "clear-to-run");
    let run = place.run(&["find", "engine-oil-level", "4"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert_eq!(place.json("verdict", &["verdict"])["now"], "do-not-run");
    let id = entry(&place, &["--item", "engine-oil-level", "--kind", "look"]);
    refused(&place, &["take-back", &id], "say why");
    let why = ["--why", "it was the other stick", "--by", "R. Quay"];
    let told = done(&place, &[&["take-back", id.as_str()], &why[..]].concat());
    assert!(
        told["follows"]
            .to_string()
            .contains("the stop on Engine oil level goes")
    );
    for (name, args) in [
        ("verdict", ["verdict"]),
        ("defects", ["defects"]),
        ("due", ["due"]),
    ] {
        let said = place.json(name, &args)["not_counted"].to_string();
        assert!(
            said.contains("taken back on 2026-05-03 by R. Quay, it was the other stick"),
            "{said}"
        );
    }
    assert_eq!(place.json("verdict", &["verdict"])["now"], "run-with-care");
    let run = place.run(&["find", "engine-oil-level", "0"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let seen = place.json("verdict", &["verdict", "--walk", "w1"]);
    assert_eq!(seen["now"], "clear-to-run", "{seen}");
    assert_eq!(seen["not_counted"], Value::Null);
}

#[test]
fn so_is_one_that_is_made_less_and_one_moved_elsewhere() {
    let stopped = || {
        let place = walked(&[]);
        let run = place.run(&["find", "engine-oil-level", "4"]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        let id = entry(&place, &["--item", "engine-oil-level", "--kind", "look"]);
        (place, id)
    };
    for change in ["grade=early", "item=coolant-level"] {
        let (place, id) = stopped();
        done(&place, &["put-right", &id, change, "--why", "misread"]);
        let told = place.json("verdict", &["verdict", "--walk", "w1"]);
        assert_ne!(told["now"], "clear-to-run", "{change}");
        let said = told["not_counted"].to_string();
        assert!(said.contains("engine-oil-level"), "{change}: {said}");
    }
    // One that stays a stop is owed nothing besides.
    let (place, id) = stopped();
    done(
        &place,
        &["put-right", &id, "note=milky", "--why", "left out"],
    );
    let told = place.json("verdict", &["verdict", "--walk", "w1"]);
    assert_eq!(
        (&told["now"], &told["not_counted"]),
        (&json!("do-not-run"), &Value::Null)
    );
}

#[test]
fn a_walk_on_the_wrong_machine_is_moved_with_its_hours_asked_anew() {
    let mut place = Place::with(TWINS);
    let walk = |machine: &str, hours: f64| {
        json!({"type":"walk","id":"w1","checklist":"short","machine":machine,
            "at":"2026-05-03T07:40:00+02:00","hours":hours,
            "looks":[{"item":"drive-belt","grade":"worn"}]})
    };
    place.at("2026-05-03T12:00:00+02:00");
    place.record(&walk("port", 1203.6));
    let id = entry(&place, &["--kind", "walk"]);
    refused(
        &place,
        &["put-right", &id, "machine=starboard", "--why", "x"],
        "hours",
    );
    refused(
        &place,
        &["put-right", &id, "machine=third", "--why", "x"],
        "no machine 'third'",
    );
    let changes = [
        "machine=starboard",
        "hours=88.0",
        "--why",
        "the other engine",
    ];
    done(
        &place,
        &[&["put-right", id.as_str()], &changes[..]].concat(),
    );
    let mut right = Place::with(TWINS);
    right.at("2026-05-03T12:00:00+02:00");
    right.record(&walk("starboard", 88.0));
    let of = |place: &Place| {
        let defects = place.json("defects", &["defects"])["rows"].clone();
        (defects, place.json("walks", &["walks"])["rows"].clone())
    };
    assert_eq!(of(&place), of(&right));
}

#[test]
fn a_look_on_the_wrong_machine_becomes_a_finding_on_the_other() {
    let mut place = Place::with(TWINS);
    place.at("2026-05-03T12:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"w1","checklist":"short","machine":"port",
        "at":"2026-05-03T07:40:00+02:00","looks":[{"item":"drive-belt","grade":"failing"}]}),
    );
    let id = entry(&place, &["--kind", "look"]);
    done(
        &place,
        &[
            "put-right",
            &id,
            "machine=starboard",
            "--why",
            "the other engine",
        ],
    );
    let rows = place.json("defects", &["defects"])["rows"].clone();
    assert_eq!(rows.as_array().map(Vec::len), Some(1), "{rows}");
    assert_eq!(
        (&rows[0]["machine"], &rows[0]["grade"]),
        (&json!("starboard"), &json!("failing"))
    );
}

#[test]
fn a_walk_begun_by_mistake_is_set_aside_and_an_old_one_closed() {
    let place = walked(&[]);
    let before = answers(&place);
    let begun = |id: &str, at: &str| {
        json!({"type":"walk","id":id,"checklist":"short","machine":"main","at":at,
            "finished":false,"looks":[{"item":"drive-belt","grade":"sound"}]})
    };
    place.record(&begun("mistake", "2026-05-03T11:00:00+02:00"));
    refused(&place, &["set-aside", "mistake"], "--why");
    refused(
        &place,
        &["set-aside", "nothing", "--why", "x"],
        "no walk 'nothing'",
    );
    let told = done(
        &place,
        &["set-aside", "mistake", "--why", "begun by mistake"],
    );
    let follows = told["follows"].to_string();
    assert!(
        follows.contains("one look less") && follows.contains("one walk less"),
        "{follows}"
    );
    assert_eq!(answers(&place), before);
    let rows = place.json("entries", &["entries", "--walk", "mistake"])["rows"].clone();
    let rows = rows.as_array().expect("rows");
    assert!(
        rows.iter().all(|row| row["state"] == "set-aside"),
        "{rows:?}"
    );
    let begin = entry(&place, &["--walk", "mistake", "--kind", "walk"]);
    done(&place, &["put-back", &begin]);
    refused(&place, &["take-back", &begin], "set the walk aside");
    let ids = |place: &Place| {
        let rows = place.json("walks", &["walks"])["rows"].clone();
        let rows = rows.as_array().expect("rows").clone();
        rows.iter()
            .map(|row| (row["id"].clone(), row["finished"].clone()))
            .collect::<Vec<_>>()
    };
    assert!(ids(&place).contains(&(json!("mistake"), json!(false))));
    // An old one is closed as it stands, and comes before what was walked since.
    place.record(&begun("old", "2026-04-30T08:00:00+02:00"));
    done(&place, &["close", "old"]);
    refused(&place, &["close", "old"], "it has ended");
    let all = ids(&place);
    assert_eq!(all[0], (json!("old"), json!(true)));
    assert_eq!(place.json("verdict", &["verdict"])["walk"], "w1");
}

#[test]
fn who_walked_and_when_is_put_right() {
    let place = walked(&[belt("worn")]);
    let id = entry(&place, &["--kind", "walk"]);
    let changes = [
        "by=J. Quay",
        "at=2026-05-02 07:40",
        "--why",
        "typed a day late",
    ];
    done(
        &place,
        &[&["put-right", id.as_str()], &changes[..]].concat(),
    );
    let row = place.json("walks", &["walks"])["rows"][0].clone();
    assert_eq!(
        (&row["by"], &row["at"]),
        (&json!("J. Quay"), &json!("2026-05-02T07:40:00+02:00"))
    );
    let look = place.json("entries", &["entries", "--kind", "look"])["rows"][0].clone();
    assert!(
        look["at"]
            .as_str()
            .is_some_and(|at| at.starts_with("2026-05-02")),
        "{look}"
    );
    let last = &place.json("defects", &["defects"])["rows"][0]["last_look"];
    assert!(
        last.as_str().is_some_and(|at| at.starts_with("2026-05-02")),
        "{last}"
    );
    let day = entry(
        &place,
        &["--day", "2026-05-02", "--find", "drive belt worn"],
    );
    let shown = place.json("entry", &["entries", "show", &day]);
    let fields = shown["fields"].to_string();
    assert!(
        fields.contains("grade") && shown["entry"]["id"] == json!(day),
        "{shown}"
    );
    refused(
        &place,
        &["put-right", &day, "at=2027-01-01 10:00", "--why", "x"],
        "at:",
    );
    refused(
        &place,
        &["put-right", &day, "at=soon", "--why", "x"],
        "expected a time",
    );
}

#[test]
fn two_copies_put_right_differently_keep_the_worse_until_it_is_answered() {
    let place = walked(&[belt("worn")]);
    let id = entry(&place, &["--item", "drive-belt", "--kind", "look"]);
    let other = place.path().join("other");
    copy(&place.logbook(), &other);
    done(
        &place,
        &["put-right", &id, "grade=sound", "--why", "saw it wrong"],
    );
    let there = other.to_str().expect("UTF-8");
    let away = [
        "entries",
        "put-right",
        &id,
        "grade=early",
        "--why",
        "not so bad",
        "--logbook",
        there,
    ];
    let run = place.run(&away);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let run = place.run(&["logbook", "merge", there]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let told = place.json("defects", &["defects"]);
    assert_eq!(told["rows"][0]["grade"], "early", "{told}");
    let said = told["not_counted"].to_string();
    assert!(said.contains("the worse of them holds"), "{said}");
    done(
        &place,
        &["put-right", &id, "grade=sound", "--why", "agreed"],
    );
    let told = place.json("defects", &["defects"]);
    assert_eq!(
        (&told["rows"], &told["not_counted"]),
        (&json!([]), &Value::Null)
    );
}

#[test]
fn the_list_and_an_entry_in_words() {
    let place = walked(&[belt("worn")]);
    let id = entry(&place, &["--item", "drive-belt", "--kind", "look"]);
    let only = place.run(&["entries", "take-back", &id, "--only-tell"]);
    assert_eq!(only.code, Some(0), "{}", only.stderr);
    assert!(
        flat(&only.stdout).contains("Nothing is recorded"),
        "{}",
        only.stdout
    );
    assert!(
        flat(&only.stdout).contains("Drive belt (worn) leaves the list"),
        "{}",
        only.stdout
    );
    let list = place.run(&["entries", "--most", "2"]);
    assert!(list.stdout.contains("--most N"), "{}", list.stdout);
    let shown = place.run(&["entries", "show", &id]);
    assert!(
        shown.stdout.contains("If it did not count:"),
        "{}",
        shown.stdout
    );
    let none = place.run(&["entries", "show", "nope"]);
    assert_eq!(none.code, Some(2));
    assert!(none.stderr.contains("no entry 'nope'"), "{}", none.stderr);
    let run = place.run(&["entries", "take-back", &id]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let shown = place.run(&["entries", "show", &id]);
    assert!(
        shown.stdout.contains("If it counted again:"),
        "{}",
        shown.stdout
    );
}

/// No entry opens a way round what is asked where a thing is recorded.
#[test]
fn what_the_program_reckoned_and_what_she_is_stay() {
    let mut place = walked(&[belt("worn")]);
    let waters = place.run(&["boat", "put", "waters", "ocean"]);
    assert_eq!(waters.code, Some(0), "{}", waters.stderr);
    let profile = entry(&place, &["--kind", "boat"]);
    refused(
        &place,
        &["take-back", &profile, "--why", "x"],
        "in her profile",
    );
    refused(
        &place,
        &["put-right", &profile, "waters=inshore", "--why", "x"],
        "in her profile",
    );
    let walk = entry(&place, &["--kind", "walk"]);
    for field in [
        "left_out=[]",
        "joins=[]",
        "checklist=short",
        "blind=true",
        "asked=x",
    ] {
        refused(
            &place,
            &["put-right", &walk, field, "--why", "x"],
            "not put right by itself",
        );
    }
    let look = entry(&place, &["--item", "drive-belt", "--kind", "look"]);
    for field in ["phase=idle", "too_soon=true", "as_last_time=true"] {
        refused(
            &place,
            &["put-right", &look, field, "--why", "x"],
            "not put right by itself",
        );
    }
    let long = "x".repeat(2000);
    for args in [["take-back", &look], ["set-aside", "w1"]] {
        refused(
            &place,
            &[&args[..], &["--why", &long]].concat(),
            "longer than",
        );
    }
    refused(
        &place,
        &["put-right", &look, "grade=early", "--why", &long],
        "longer than",
    );
    let shown = place.json("entry", &["entries", "show", &look]);
    let fixed = |name: &str| {
        let fields = shown["fields"].as_array().expect("fields");
        fields.iter().find(|f| f["field"] == name).expect("said")["fixed"].clone()
    };
    assert_eq!(
        (fixed("phase"), fixed("grade")),
        (json!(true), json!(false))
    );
    // What lies before the next morning is not made the next morning.
    place.at("2026-05-04T12:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"run","checklist":"leak-run","machine":"main",
        "at":"2026-05-03T10:00:00+02:00",
        "looks":[{"item":"sump-drain-plug","phase":"next-morning","grade":"sound","leak":"none",
            "at":"2026-05-04T07:00:00+02:00"}]}),
    );
    let morning = entry(&place, &["--walk", "run", "--kind", "look"]);
    let earlier = ["put-right", &morning, "at=2026-05-03 11:00", "--why", "x"];
    refused(&place, &earlier, "next morning");
    let end = entry(&place, &["--walk", "run", "--kind", "walk-finished"]);
    refused(
        &place,
        &["put-right", &end, "at=2026-05-04 06:00", "--why", "x"],
        "next morning",
    );
}

/// A walk left unfinished for days is nobody's sitting: a stop found in it is owed a look.
#[test]
fn a_stop_of_an_old_unfinished_walk_goes_only_with_a_reason() {
    let mut place = walked(&[]);
    place.record(
        &json!({"type":"walk","id":"old","checklist":"short","machine":"main",
        "at":"2026-05-03T08:00:00+02:00","finished":false,
        "looks":[{"item":"throttle-cable","grade":"failed"}]}),
    );
    place.at("2026-05-05T12:00:00+02:00");
    let id = entry(&place, &["--walk", "old", "--kind", "look"]);
    refused(&place, &["take-back", &id], "say why");
    done(&place, &["take-back", &id, "--why", "misread"]);
    let told = place.json("verdict", &["verdict"])["not_counted"].to_string();
    assert!(told.contains("throttle-cable"), "{told}");
}

#[test]
fn a_service_put_right_owes_what_it_owes_by_the_right_hours() {
    let serviced = |hours: &str| {
        let place = walked(&[]);
        let done = ["service", "done", "oil-and-filter", "--hours", hours];
        let run = place.run(&done);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        place
    };
    let right = answers(&serviced("1205"));
    let place = serviced("1206.5");
    assert_ne!(answers(&place), right);
    let id = entry(&place, &["--kind", "service"]);
    refused(
        &place,
        &["put-right", &id, "hours=1100", "--why", "x"],
        "cannot go back",
    );
    refused(
        &place,
        &["put-right", &id, "renewed=[\"gold\"]", "--why", "x"],
        "gold",
    );
    refused(
        &place,
        &["put-right", &id, "owed=[]", "--why", "x"],
        "not put right by itself",
    );
    done(
        &place,
        &["put-right", &id, "hours=1205", "--why", "misread"],
    );
    assert_eq!(answers(&place), right);
}

#[test]
fn a_look_moves_only_to_a_machine_that_has_the_item() {
    let mut place = Place::with(&TWINS.replace(
        r#""name":"Starboard engine""#,
        r#""name":"Starboard engine","without":["drive-belt"]"#,
    ));
    place.at("2026-05-03T12:00:00+02:00");
    place.record(
        &json!({"type":"walk","id":"w1","checklist":"short","machine":"port",
        "at":"2026-05-03T07:40:00+02:00","looks":[{"item":"drive-belt","grade":"worn"}]}),
    );
    let id = entry(&place, &["--kind", "look"]);
    refused(
        &place,
        &["put-right", &id, "machine=starboard", "--why", "x"],
        "has no drive-belt",
    );
}

#[test]
fn marks_of_wear_are_put_right_in_words() {
    let look = json!({"item": "drive-belt", "phase": "cold", "grade": "worn", "wear": [
        {"mark": "crack", "where": "the ribs", "against": "the pulley"}, {"mark": "heat"}]});
    let place = walked(&[look]);
    let id = entry(&place, &["--item", "drive-belt", "--kind", "look"]);
    let wear = |place: &Place| {
        let shown = place.json("entry", &["entries", "show", &id]);
        let fields = shown["fields"].as_array().expect("fields").clone();
        let field = fields.into_iter().find(|field| field["field"] == "wear");
        field.map(|field| field["value"].clone())
    };
    assert_eq!(
        wear(&place),
        Some(json!("crack at the ribs against the pulley; heat"))
    );
    let args = [
        "put-right",
        &id,
        "wear=crack at the back",
        "--why",
        "the other side",
    ];
    done(&place, &args);
    assert_eq!(wear(&place), Some(json!("crack at the back")));
    let args = ["put-right", &id, "wear=scar", "--why", "no"];
    refused(&place, &args, "'scar' is no mark of wear");
}
