//! What the role of a machine asks for, by commands: a boat with an outboard alone, and machines whose
//! role changes under a stop.

use handlamp::boat::Role;
use handlamp::checklist::{Library, Scope};
use serde_json::{Value, json};

use super::harness::{PROFILE, Place, ages, flat};

/// A dinghy with an outboard of known age.
fn dinghy() -> Place {
    let place = Place::with(&in_role("outboard"));
    let told = ages::told_of(
        Role::Outboard,
        &["main"],
        "2026-04-01T00:00:00+02:00",
        "2026-04-26T09:10:00+02:00",
    );
    let run = place.run(&["record", &place.file("ages.jsonl", &told)]);
    assert_eq!(run.code, Some(0), "{run}");
    place
}

/// The boat of [`PROFILE`] with its machine in a role.
fn in_role(role: &str) -> String {
    let mut boat: Value = serde_json::from_str(PROFILE).expect("a profile");
    boat["machines"][0]["role"] = json!(role);
    boat.to_string()
}

/// A morning on the outboard: everything its checklist asks sound but these.
fn morning(id: &str, at: &str, found: &[(&str, &str)]) -> Value {
    let list = Library::built_in().checklist("outboard").expect("built in");
    let looks = list.phases.iter().flat_map(|phase| {
        let items = phase.rows.iter().flat_map(|row| &row.items);
        items.map(|item| {
            let found = found.iter().find(|(known, _)| known == item);
            let grade = found.map_or("sound", |(_, grade)| grade);
            json!({"item": item, "phase": phase.id, "grade": grade})
        })
    });
    let looks: Vec<Value> = looks.collect();
    json!({"type":"walk","id":id,"checklist":"outboard","at":at,"by":"R. Quay","looks":looks})
}

#[test]
fn an_outboard_is_walked_judged_and_listed_by_its_own_items() {
    let place = dinghy();
    place.record(&morning("w1", "2026-05-02T07:40:00+02:00", &[]));
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "clear-to-run", "{verdict}");
    let found = [("kill-cord", "failing"), ("outboard-propeller", "worn")];
    place.record(&morning("w2", "2026-05-03T07:40:00+02:00", &found));
    let run = place.run(&["verdict"]);
    assert_eq!(run.code, Some(1), "{run}");
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "do-not-leave", "{verdict}");
    let list = place.json("defects", &["defects"]);
    let rows: Vec<_> = list["rows"].as_array().expect("rows").iter().collect();
    let named = |item: &str| rows.iter().any(|row| row["item"] == item);
    assert!(named("kill-cord") && named("outboard-propeller") && rows.len() == 2);
    // Nothing of an inboard engine is asked, due or missed anywhere.
    let inboard = Library::built_in().catalogue.items().iter();
    let inboard = inboard.filter(|i| i.scope == Scope::Machine && !i.is_for(Role::Outboard));
    let inboard: Vec<_> = inboard.map(|i| format!("\"{}\"", i.id)).collect();
    for args in [
        &["defects"][..],
        &["service", "due"],
        &["coverage"],
        &["report", "now", "--format", "json"],
    ] {
        let run = place.run(&[args, &["--json"]].concat());
        for item in &inboard {
            assert!(!run.stdout.contains(item), "{args:?} names {item}");
        }
    }
}

#[test]
fn any_smell_of_petrol_stops_the_boat_before_key_on() {
    let place = dinghy();
    let smelled = [("petrol-vapour", "failing")];
    place.record(&morning("w1", "2026-05-03T07:40:00+02:00", &smelled));
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "do-not-run", "{verdict}");
    assert_eq!(verdict["reasons"][0]["item"], "petrol-vapour");
}

#[test]
fn its_checklist_is_shown_and_printed_and_no_other_is_begun_on_it() {
    let place = dinghy();
    let shown = place.run(&["checklist", "show", "outboard"]);
    assert!(shown.stdout.contains("Asked of: outboard"), "{shown}");
    let sheet = place.run(&["checklist", "sheet", "outboard"]);
    let at = |words: &str| {
        sheet
            .stdout
            .find(words)
            .unwrap_or_else(|| panic!("{words}: {sheet}"))
    };
    assert!(at("[petrol-vapour]") < at("[outboard-tank]"));
    assert!(at("CAUTION: Tried at every start") < at("whole, clips snap, stops"));
    // A survey on paper asks what she has.
    let survey = place.run(&["checklist", "sheet", "survey"]);
    assert!(survey.stdout.contains("[tell-tale]") && !survey.stdout.contains("[drive-belt]"));
    let inboard = Place::with_boat().run(&["checklist", "sheet", "survey"]);
    assert!(!inboard.stdout.contains("[tell-tale]") && inboard.stdout.contains("[drive-belt]"));

    let walk =
        json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":[]});
    let run = place.run(&["record", &place.file("daily.json", &walk.to_string())]);
    assert_eq!(run.code, Some(2), "{run}");
    let told = flat(&run.stderr);
    assert!(told.contains("field `checklist`"), "{told}");
    assert!(
        told.contains("'daily' asks nothing of 'main', whose role is outboard; for it there are"),
        "{told}"
    );
}

/// What its role does not ask for can be seen all the same, and counts.
#[test]
fn a_stop_on_what_the_role_does_not_ask_for_is_taken_and_holds() {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.record(
        &json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"petrol-vapour","grade":"failing"},{"item":"kill-cord","grade":"worn"}]}),
    );
    let verdict = place.json("verdict", &["verdict"]);
    assert_eq!(verdict["now"], "do-not-run", "{verdict}");
    let named = verdict["reasons"].to_string();
    assert!(named.contains("petrol-vapour"), "{named}");
    let list = place.json("defects", &["defects"])["rows"].to_string();
    assert!(
        list.contains("petrol-vapour") && list.contains("kill-cord"),
        "{list}"
    );
}

#[test]
fn a_machine_that_nothing_is_made_for_is_said_in_every_answer() {
    let place = Place::with(&in_role("other"));
    let told = "not covered here: Main engine (role other)";
    let list = place.json("defects", &["defects"]);
    assert!(list["notes"].to_string().contains(told), "{list}");
    let finding = json!({"type":"walk","checklist":"finding","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"bilge-water","phase":"found","grade":"worn"}]});
    place.record(&finding);
    let run = place.run(&["verdict"]);
    assert!(flat(&run.stdout).contains(told), "{run}");
}

/// The law of answers: what was found goes on counting when its machine is called something else.
#[test]
fn a_stop_outlives_a_change_of_role() {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.record(&json!({"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"dripless-shaft-seal","grade":"failed"},{"item":"throttle-cable","grade":"failing"},
                 {"item":"shaft-coupling","grade":"worn"}]}));
    let rows = |place: &Place| {
        let list = place.json("defects", &["defects"]);
        let rows = list["rows"].as_array().expect("rows").iter();
        let mut rows: Vec<_> = rows
            .map(|r| r["item"].as_str().expect("an id").to_owned())
            .collect();
        rows.sort();
        rows
    };
    let before = rows(&place);
    // A generator has no controls to lose, so that the cable would hold no stop: that is asked.
    let set = |role: &str| place.run(&["boat", "set", &place.file("set.json", &in_role(role))]);
    let refused = set("generator");
    assert_eq!(refused.code, Some(2), "{refused}");
    let told = flat(&refused.stderr);
    assert!(
        told.contains("throttle-cable of 'main' holds a stop, which would go out of sight"),
        "{told}"
    );
    assert!(!told.contains("dripless-shaft-seal"), "{told}");
    for role in ["outboard", "other"] {
        let done = set(role);
        assert_eq!(done.code, Some(0), "{done}");
        assert_eq!(rows(&place), before, "{role}");
        assert_eq!(
            place.json("verdict", &["verdict"])["now"],
            "do-not-leave",
            "{role}"
        );
    }
}
