//! `verdict` and `walks`.

use handlamp::boat::Role;
use handlamp::checklist::Library;
use handlamp::walk::{Plan, Touched};
use serde_json::{Value, json};

use super::harness::{Place, full_walk, session};

#[test]
fn the_verdict_names_its_rows_and_what_nobody_saw() {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.record(&json!({"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T07:40:00+02:00","by":"R. Quay","hours":1203.6,
        "looks":[{"item":"drive-belt","grade":"worn"},{"item":"bilge-alarm","not_seen":"no access","close_by":"lift the aft board"}]}));
    insta::assert_snapshot!(place.run(&["verdict"]));
}

#[test]
fn do_not_run_is_a_no() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let looks = [json!({"item":"fuel-hoses","grade":"failing","leak":"i"})];
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &looks);
    assert_eq!(place.run_with_input(&["record", "-"], &sheet).code, Some(0));
    let runs = [place.run(&["verdict"]), place.run(&["walks"])];
    assert_eq!(runs[0].code, Some(1));
    insta::assert_snapshot!(session(&runs));
    let answer = place.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "do-not-run");
    assert_eq!(answer["reasons"][0]["item"], "fuel-hoses");
    assert_eq!(
        answer["exposure"],
        json!({"hours":10.0,"days":2.0,"wear_hours":10.0})
    );
}

#[test]
fn a_leak_run_that_is_not_dry_is_a_no() {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.record(
        &json!({"type":"walk","id":"leaks","checklist":"leak-run","at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"oil-filter-seat","phase":"idle","grade":"worn","leak":"ii"}]}),
    );
    let run = place.run(&["verdict", "--walk", "leaks"]);
    assert_eq!(run.code, Some(1), "{}", run.stdout);
    assert!(run.stdout.contains("Now: not signed off"));
}

/// What was seen in the walk counts for it, whether a row asked it or not (common practice, no
/// single source); so does a stop that nobody looked at in it.
#[test]
fn a_leak_beside_the_rows_of_a_leak_run_is_a_no() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let run = |id: &str, at: &str, beside: &[Value]| {
        let mut looks = dry_after_oil();
        looks.extend_from_slice(beside);
        place.record(
            &json!({"type":"walk","id":id,"checklist":"leak-run","at":at,
            "disturbed":["oil-filter-seat","sump-drain-plug"],"looks":looks}),
        );
        place.run(&["verdict", "--walk", id])
    };
    let dry = run("dry", "2026-05-03T07:10:00+02:00", &[]);
    assert_eq!(dry.code, Some(0), "{}", dry.stdout);
    let hoses = json!({"item":"coolant-hoses","phase":"idle","grade":"failing","leak":"iii"});
    let wet = run("wet", "2026-05-03T07:40:00+02:00", &[hoses]);
    assert_eq!(wet.code, Some(1), "{}", wet.stdout);
    assert!(wet.stdout.contains("Now: not signed off"), "{}", wet.stdout);
    let answer = place.json("verdict", &["verdict", "--walk", "wet"]);
    assert_eq!(answer["reasons"][0]["item"], "coolant-hoses");
    assert_eq!(answer["at_walk"], "not-signed-off");
    let report = place.run(&["report", "wet", "--to", "wet.json"]);
    assert_eq!(report.code, Some(0), "{}", report.stderr);
    let report = std::fs::read_to_string(place.path().join("wet.json")).expect("written");
    let report: Value = serde_json::from_str(&report).expect("JSON");
    let looks = report["looks"].as_array().expect("looks");
    let joined = looks.iter().filter(|l| !l["joined"].is_null());
    let joined: Vec<_> = joined.map(|l| (&l["item"], &l["joined"])).collect();
    assert_eq!(joined, [(&json!("coolant-hoses"), &json!("seen beside"))]);
    let page = place.run(&["report", "wet", "--to", "wet.md"]);
    assert_eq!(page.code, Some(0), "{}", page.stderr);
    let page = std::fs::read_to_string(place.path().join("wet.md")).expect("written");
    assert!(page.contains("Came in\\: seen beside"), "{page}");
}

#[test]
fn a_stop_of_the_boat_or_the_machine_holds_a_leak_run_up_though_it_was_not_looked_at() {
    for item in ["fuel-tank-and-vent", "stern-tube-hose"] {
        let place = Place::with_boat().of_known_age(&["main"]);
        place.record(
            &json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:00:00+02:00",
            "looks":[{"item":item,"grade":"failing"}]}),
        );
        place.record(&json!({"type":"walk","id":"run","checklist":"leak-run",
            "at":"2026-05-03T07:40:00+02:00","disturbed":["oil-filter-seat","sump-drain-plug"],
            "looks":dry_after_oil()}));
        let run = place.run(&["verdict", "--walk", "run"]);
        assert_eq!(run.code, Some(1), "{item}: {}", run.stdout);
        let answer = place.json("verdict", &["verdict", "--walk", "run"]);
        assert_eq!(answer["reasons"][0]["item"], item);
    }
}

/// Every item the run after an oil change asks, dry, but for the next morning.
fn dry_after_oil() -> Vec<Value> {
    let library = Library::built_in();
    let list = library.checklist("leak-run").expect("built in");
    let disturbed = ["oil-filter-seat".to_owned(), "sump-drain-plug".to_owned()];
    let touched = Touched::of(&library.catalogue, &disturbed);
    let left_out = touched.rows_left_out(list);
    let asked = |item: &str| {
        library
            .catalogue
            .item(item)
            .is_some_and(|i| i.is_for(Role::Propulsion))
    };
    let fitted = |item: &str| item != "stuffing-box" && asked(item);
    let plan = Plan::compose(
        list,
        Role::Propulsion,
        &left_out,
        &[],
        &touched,
        |_| None,
        fitted,
    );
    let phases = plan.phases.iter().filter(|p| p.id != "next-morning");
    let looks = phases.flat_map(|p| {
        let items = p.rows.iter().flat_map(|r| &r.items);
        items.map(|item| json!({"item":item,"phase":p.id,"grade":"sound"}))
    });
    looks.collect()
}

#[test]
fn the_last_walk_with_a_verdict_is_meant_unless_another_is_named() {
    let place = Place::with_findings();
    place.record(&json!({"type":"walk","id":"look-round","checklist":"survey","at":"2026-05-03T08:40:00+02:00",
        "looks":[{"item":"drive-belt","grade":"worn"}]}));
    assert_eq!(place.json("verdict", &["verdict"])["walk"], "w1");
    let runs = [
        place.run(&["verdict", "--walk", "look-round"]),
        place.run(&["verdict", "--walk", "w2"]),
        place.run(&["verdict", "--walk", "nowhere"]),
    ];
    assert!(
        runs[0]
            .stdout
            .contains("No verdict: this checklist gives none")
    );
    insta::assert_snapshot!(session(&runs[1..]));
}

#[test]
fn without_a_walk_there_is_nothing_to_tell() {
    let place = Place::with_boat().of_known_age(&["main"]);
    insta::assert_snapshot!(session(&[place.run(&["verdict"]), place.run(&["walks"])]));
    assert_eq!(place.json("walks", &["walks"])["rows"], json!([]));
}

#[test]
fn a_fixed_time_leaves_out_what_came_later() {
    let place = Place::with_findings();
    let before = place.run_at("2026-05-02T09:00:00+02:00", &["defects"]);
    assert!(
        before.stdout.contains("Nothing to put right"),
        "{}",
        before.stdout
    );
    assert_eq!(
        place.run_at("2026-05-02T09:00:00+02:00", &["verdict"]).code,
        Some(2)
    );
}
