//! `service`, `due` and `label`.

use serde_json::json;

use super::harness::{Place, TWINS, session};

fn oil(place: &Place) -> super::harness::Run {
    place.run(&[
        "service",
        "done",
        "oil-and-filter",
        "--hours",
        "1203.6",
        "--out",
        "6.8 L",
        "--in",
        "7qt",
        "--turn",
        "3/4",
        "--part",
        "oil filter",
        "--cost",
        "48,5",
        "--by",
        "R. Quay",
        "--note",
        "filter tight",
    ])
}

#[test]
fn work_is_recorded_shown_and_due_again() {
    let mut place = Place::with_boat();
    let mut runs = vec![oil(&place)];
    place.at("2026-05-03T09:30:00+02:00");
    runs.push(place.run(&["service", "done", "fuel-prefilter", "fuel-fine-filter"]));
    runs.push(place.run(&["service", "list"]));
    runs.push(place.run(&["service", "tasks"]));
    runs.push(place.run(&["service", "show", "oil-and-filter"]));
    runs.push(place.run(&["due"]));
    runs.push(place.run(&["label", "oil-and-filter"]));
    insta::assert_snapshot!(session(&runs));
    for run in &runs {
        let wide = run.stdout.lines().filter(|l| l.chars().count() > 80);
        assert_eq!(wide.collect::<Vec<_>>(), Vec::<&str>::new(), "{}", run.line);
    }
    let rows = place.json("services", &["service", "list"]);
    assert_eq!(rows["rows"][2]["in"], "7 qt", "as entered");
    assert_eq!(rows["rows"][2]["out"], "6.8 L");
    assert_eq!(rows["rows"][2]["cost"], 48.5);
    assert_eq!(rows["rows"][2]["at"], "2026-05-03T09:00:00+02:00");
    assert_eq!(rows["rows"][0]["hours"], json!(null));
    let id = rows["rows"][2]["id"].as_str().expect("an id").to_owned();
    let shown = place.json("service-show", &["service", "show", &id]);
    assert_eq!(shown["services"][0]["note"], "filter tight");
    place.json("service-show", &["service", "show", "coolant"]);
    place.json("tasks", &["service", "tasks"]);
    let due = place.json("due", &["due"]);
    let oil = due["rows"].as_array().expect("rows");
    let oil = oil
        .iter()
        .find(|r| r["id"] == "oil-and-filter")
        .expect("oil");
    assert_eq!(oil["due_hours"], 1253.6);
    let label = place.json("label", &["label", "oil-and-filter"]);
    assert_eq!(label["next_hours"], 1253.6);
    assert_eq!(label["next_date"], "2026-11-03");
}

#[test]
fn months_ahead_at_a_glance() {
    let place = Place::with_boat();
    assert_eq!(oil(&place).code, Some(0));
    insta::assert_snapshot!(session(&[place.run(&["due", "--calendar"])]));
}

#[test]
fn a_service_is_corrected_and_taken_back() {
    let mut place = Place::with_boat();
    assert_eq!(oil(&place).code, Some(0));
    let id = |place: &Place| {
        let rows = place.json("services", &["service", "list"]);
        assert_eq!(rows["rows"].as_array().expect("rows").len(), 1);
        rows["rows"][0]["id"].as_str().expect("an id").to_owned()
    };
    let first = id(&place);
    place.at("2026-05-03T10:00:00+02:00");
    // The meter was mistyped: the correction may show less than what it corrects.
    let less = ["service", "done", "oil-and-filter", "--hours", "1203.4"];
    let refused = place.run(&less);
    assert_eq!(refused.code, Some(2));
    assert!(
        refused
            .stderr
            .contains("--hours: the meter showed 1203.6 h on 2026-05-03")
    );
    let corrected = place.run(&[&less[..], &["--corrects", &first]].concat());
    assert_eq!(corrected.code, Some(0), "{}", corrected.stderr);
    let second = id(&place);
    assert_ne!(first, second);
    let again = place.run(&[&less[..], &["--corrects", &first]].concat());
    assert!(
        again
            .stderr
            .starts_with("handlamp: --corrects: there is no service")
    );
    place.at("2026-05-03T11:00:00+02:00");
    let undone = place.run(&["service", "undo", &second]);
    assert_eq!(undone.code, Some(0), "{}", undone.stderr);
    let due = place.json("due", &["due"]);
    let owed = due["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .filter(|r| r["what"] == "recheck");
    assert_eq!(owed.count(), 0);
    assert_eq!(place.run(&["service", "undo", &second]).code, Some(2));
}

#[test]
fn what_cannot_be_meant_is_refused() {
    let place = Place::with_boat();
    let run = |args: &[&str]| place.run(&[&["service", "done"], args].concat());
    let runs = [
        run(&["oil-and-filtre"]),
        run(&["oil-and-filter", "--hours", "1100"]),
        run(&["oil-and-filter", "--in", "70 L"]),
        run(&["oil-and-filter", "--in", "7 bar"]),
        run(&["oil-and-filter", "--disturbed", "oil-filter-seet"]),
        run(&["oil-and-filter", "coolant", "--in", "7 L"]),
        run(&["oil-and-filter", "nowhere.json"]),
        run(&["nowhere.json"]),
        place.run(&["service", "set", "oil-and-filter", "--hours", "0"]),
        place.run(&["label", "coolant"]),
        place.run(&["service", "show", "nothing"]),
    ];
    insta::assert_snapshot!(session(&runs));
    assert!(runs.iter().all(|r| r.code == Some(2)));
    let rows = place.json("services", &["service", "list"]);
    assert_eq!(rows["rows"], json!([]));
}

#[test]
fn services_come_from_files_all_or_nothing() {
    let place = Place::with_boat();
    let sheet = json!({"type":"service","id":"s1","task":"oil-and-filter","machine":"main",
        "at":"2026-05-03T08:00:00+02:00","hours":1203.6,"out":"6.8 L","in":"7 L","parts":["oil filter"],
        "turn":"1/2","cost":48.5,"note":"","by":"R. Quay","disturbed":["oil-filter-seat"],
        "photos":[{"path":"seat.jpg","caption":"the seat"}]});
    let file = place.file("s1.json", &sheet.to_string());
    let done = place.json("recorded", &["service", "done", &file]);
    assert_eq!(done["ids"], json!(["s1"]));
    let again = place.json("recorded", &["record", &file]);
    assert_eq!((&again["records"], &again["known"]), (&json!(0), &json!(1)));
    let other = place.file(
        "two.jsonl",
        "{\"type\":\"service\",\"task\":\"coolant\"}\n{\"type\":\"plan\",\"name\":\"x\",\"hours\":1}\n",
    );
    let refused = place.run(&["service", "done", &other]);
    assert!(refused.stderr.contains("line 2"), "{}", refused.stderr);
    assert!(
        refused.stderr.contains("expected a service"),
        "{}",
        refused.stderr
    );
    // A correction told in a file takes the other's place.
    let correction = json!({"type":"service","id":"s2","corrects":"s1","task":"oil-and-filter",
        "at":"2026-05-03T08:00:00+02:00","hours":1203.4});
    let file = place.file("s2.json", &correction.to_string());
    assert_eq!(place.run(&["record", &file]).code, Some(0));
    let rows = place.json("services", &["service", "list"]);
    assert_eq!(rows["rows"].as_array().expect("rows").len(), 1);
    assert_eq!(rows["rows"][0]["id"], "s2");
    // An interval is a record too.
    place.record(&json!({"type":"service-interval","task":"oil-and-filter","hours":250,"months":12,"source":"p. 9"}));
    let tasks = place.json("tasks", &["service", "tasks"]);
    let rows = tasks["rows"].as_array().expect("rows");
    let oil = rows
        .iter()
        .find(|r| r["id"] == "oil-and-filter")
        .expect("oil");
    assert_eq!((&oil["hours"], &oil["months"]), (&json!(250.0), &json!(12)));
}

#[test]
fn an_interval_of_ones_own_is_set_and_lifted() {
    let place = Place::with_boat();
    let set = |args: &[&str]| place.run(&[&["service", "set", "oil-and-filter"], args].concat());
    let runs = [
        set(&[
            "--hours",
            "250",
            "--months",
            "none",
            "--source",
            "handbook p. 9",
        ]),
        set(&[]),
    ];
    insta::assert_snapshot!(session(&runs));
}

#[test]
fn with_two_engines_the_machine_is_named() {
    let place = Place::with(TWINS);
    let refused = place.run(&["service", "done", "oil-and-filter"]);
    assert_eq!(refused.code, Some(2));
    assert!(
        refused.stderr.contains("several machines have"),
        "{}",
        refused.stderr
    );
    let done = place.run(&["service", "done", "oil-and-filter", "--machine", "port"]);
    assert_eq!(done.code, Some(0), "{}", done.stderr);
    let due = place.json("due", &["due", "--machine", "starboard"]);
    let rows = due["rows"].as_array().expect("rows");
    assert!(rows.iter().all(|r| r["machine"] != "port"));
    assert_eq!(place.run(&["label", "oil-and-filter"]).code, Some(2));
    let label = place.json("label", &["label", "oil-and-filter", "--machine", "port"]);
    assert_eq!(label["on"], "Two Terns, Port engine");
}

#[test]
fn files_are_written_whole_and_over_nothing_else() {
    let place = Place::with_boat();
    assert_eq!(oil(&place).code, Some(0));
    let path = |name: &str| place.path().join(name);
    let ics = place.json("due", &["due", "--ics", "due.ics"]);
    assert_eq!(ics["ics"], "due.ics");
    let text = std::fs::read_to_string(path("due.ics")).expect("written");
    let todos = text.matches("BEGIN:VTODO\r\n").count();
    let dated = ics["rows"].as_array().expect("rows").iter();
    assert_eq!(todos, dated.filter(|r| !r["due_date"].is_null()).count());
    // The same input gives the same file.
    let again = place.run(&["due", "--ics", "due.ics"]);
    assert_eq!(again.code, Some(0), "{}", again.stderr);
    assert_eq!(
        std::fs::read_to_string(path("due.ics")).expect("there"),
        text
    );
    let html = place.run(&["label", "oil-and-filter", "--html", "label.html"]);
    assert_eq!(html.code, Some(0), "{}", html.stderr);
    let text = std::fs::read_to_string(path("label.html")).expect("written");
    assert!(text.contains("62mm 40mm") && text.contains("Engine oil and filter"));
    place.file("photo.jpg", "not a calendar");
    for args in [
        ["due", "--ics", "photo.jpg", "--json"],
        ["due", "--ics", ".", "--json"],
    ] {
        let run = place.run(&args);
        assert_eq!(run.code, Some(2), "{}", run.stderr);
    }
    let label = place.run(&["label", "oil-and-filter", "--html", "photo.jpg"]);
    assert_eq!(label.code, Some(2));
    assert_eq!(
        std::fs::read_to_string(path("photo.jpg")).expect("there"),
        "not a calendar"
    );
}

#[test]
fn a_task_of_ones_own_is_checked_and_counts_everywhere() {
    let mut place = Place::with_boat();
    let text = json!({"type":"service-tasks","tasks":[{"id":"grease-the-pump","title":"Grease the pump","scope":"machine",
        "item":"raw-water-impeller","every":{"months":1},"steps":[{"caution":"Engine stopped.","do":"One turn of the cup."}],
        "who":"owner","where":"at-anchor","source":"the handbook, page 3"}]})
    .to_string();
    let good = place.file("own.json", &text);
    assert_eq!(place.run(&["checklist", "check", &good]).code, Some(0));
    let bad = place.file(
        "bad.json",
        &text.replace("raw-water-impeller", "raw-water-impeler"),
    );
    let run = place.run(&["checklist", "check", &bad]);
    assert_eq!(run.code, Some(1));
    assert!(
        run.stdout.contains("nearest is 'raw-water-impeller'"),
        "{}",
        run.stdout
    );
    place.file("home/.config/handlamp/checklists/own.json", &text);
    let done = place.run(&["service", "done", "grease-the-pump"]);
    assert_eq!(done.code, Some(0), "{}", done.stderr);
    place.at("2026-06-03T09:00:00+02:00");
    let due = place.json("due", &["due"]);
    let rows = due["rows"].as_array().expect("rows");
    let own = rows
        .iter()
        .find(|r| r["id"] == "grease-the-pump")
        .expect("own");
    assert_eq!(
        (&own["due"], &own["due_date"]),
        (&json!(true), &json!("2026-06-03"))
    );
}

#[test]
fn a_last_time_is_told_as_it_is_remembered_or_said_not_to_be_known() {
    let mut place = Place::with_boat();
    place.at("2026-05-03T09:00:00+02:00");
    let row = |place: &Place, id: &str| {
        let rows = place.json("due", &["due"])["rows"].clone();
        let rows = rows.as_array().expect("rows").clone();
        rows.into_iter().find(|r| r["id"] == id).expect("a row")
    };
    let oil = row(&place, "oil-and-filter");
    assert_eq!(
        (&oil["due"], &oil["unknown_age"]),
        (&json!(true), &json!("due"))
    );
    assert_eq!(row(&place, "fuel-hoses")["unknown_age"], "look");
    let last = |args: &[&str]| place.run(&[&["service", "last"], args].concat());
    let runs = [
        last(&["oil-and-filter", "2026-04", "--hours", "1180"]),
        last(&["fuel-hoses", "2015"]),
        last(&["gearbox-oil", "not-known"]),
        last(&["gearbox-oil", "2027-01-01"]),
        last(&["gearbox-oil", "soon"]),
        last(&["drive-belt", "2025"]),
        last(&["nonsense", "2025"]),
        place.run(&["due"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let hose = row(&place, "fuel-hoses");
    assert_eq!(
        (&hose["due_date"], &hose["due"]),
        (&json!("2025-01-01"), &json!(true))
    );
    // As a record, and the last word counts.
    place.record(&json!({"type":"when-last","task":"oil-and-filter"}));
    assert_eq!(row(&place, "oil-and-filter")["unknown_age"], "due");
}
