//! Numbers and measures of parts: said, warned of, taken back, put right, merged, and shown on a page.

use serde_json::{Value, json};

use super::harness::{Place, Run, TWINS, copy, session};

const FILTER: &[&str] = &["parts", "put", "oil-filter"];

fn put(place: &Place, fields: &[&str]) -> Run {
    place.run(&[FILTER, fields].concat())
}

#[track_caller]
fn done(place: &Place, args: &[&str]) -> String {
    let run = place.run(args);
    assert_eq!(run.code, Some(0), "{}: {}", run.line, run.stderr);
    run.stdout
}

/// A part as it is known.
#[track_caller]
fn row(place: &Place, part: &str) -> Value {
    let answer = place.json("parts-page", &["parts", "--part", part]);
    answer["rows"][0].clone()
}

fn sorts(row: &Value) -> Vec<&str> {
    let cautions = row["cautions"].as_array().expect("cautions").iter();
    cautions
        .map(|c| c["sort"].as_str().expect("a sort"))
        .collect()
}

#[test]
fn what_is_said_of_a_part_stands_until_something_newer_is_said() {
    let mut place = Place::with_boat();
    let mut runs = vec![put(
        &place,
        &[
            "makers_number=K 100",
            "thread=3/4 by 16",
            "height_mm=79",
            "bypass=yes",
        ],
    )];
    place.at("2026-05-03T09:05:00+02:00");
    runs.push(put(&place, &["fitted_number=R-7", "seal_outside_mm=2.5in"]));
    place.at("2026-05-03T09:10:00+02:00");
    runs.push(put(
        &place,
        &[
            "fits=R 7; S 12",
            "bought=the chandler at the lock",
            "height_mm=",
        ],
    ));
    runs.push(place.run(&["parts", "--for", "oil-and-filter"]));
    insta::assert_snapshot!(session(&runs));
    let known = row(&place, "oil-filter");
    assert_eq!(known["known"]["makers_number"], "K 100");
    assert_eq!(known["known"]["seal_outside_mm"], 63.5);
    assert_eq!(known["known"]["height_mm"], Value::Null);
    assert_eq!(known["known"]["fits"], json!(["R 7", "S 12"]));
    assert_eq!(sorts(&known), Vec::<&str>::new(), "R-7 is an equivalent");
    assert_eq!(known["tasks"], json!(["oil-and-filter"]));
    for run in &runs {
        let wide = run.stdout.lines().filter(|l| l.chars().count() > 80);
        assert_eq!(wide.collect::<Vec<_>>(), Vec::<&str>::new(), "{}", run.line);
    }
    // As of a day before anything was said.
    place.at("2026-05-01T09:00:00+02:00");
    assert_eq!(row(&place, "oil-filter")["known"], Value::Null);
}

#[test]
fn every_part_a_task_or_a_remedy_needs_is_listed_once() {
    let place = Place::with_boat();
    let all = place.json("parts-page", &["parts"]);
    let rows = all["rows"].as_array().expect("rows");
    let of = |part: &str| {
        let found: Vec<_> = rows.iter().filter(|row| row["part"] == part).collect();
        assert_eq!(found.len(), 1, "{part}");
        found[0]
    };
    let impeller = of("raw-water-impeller");
    let tasks = json!(["raw-water-impeller", "raw-water-pump-seals"]);
    assert_eq!(impeller["tasks"], tasks);
    assert_eq!(
        impeller["remedies"],
        json!(["coolant-temperature", "raw-water-impeller"])
    );
    assert_eq!(
        (&of("thermostat")["tasks"], &of("thermostat")["machine"]),
        (&json!([]), &json!("main"))
    );
    assert_eq!(of("bilge-pump")["machine"], Value::Null);
    assert!(
        rows.iter().all(|row| row["part"] != "gland-packing"),
        "she has no stuffing box"
    );
    assert!(
        rows.iter().all(|row| row["part"] != "spark-plug"),
        "she has no outboard"
    );
}

#[test]
fn what_is_fitted_is_held_against_what_is_specified() {
    let place = Place::with_boat();
    done(&place, &["parts", "put", "oil-filter", "fitted_number=R-7"]);
    assert_eq!(sorts(&row(&place, "oil-filter")), ["cannot-be-told"]);
    let run = put(&place, &["makers_number=K 100", "differs=5 mm shorter"]);
    assert!(run.stdout.contains("Other than specified: "), "{run}");
    assert!(run.stdout.contains("5 mm shorter"), "{run}");
    assert_eq!(sorts(&row(&place, "oil-filter")), ["other-than-specified"]);
    done(&place, &["parts", "put", "oil-filter", "fits=r7"]);
    assert_eq!(sorts(&row(&place, "oil-filter")), Vec::<&str>::new());
}

#[test]
fn a_filter_without_its_by_pass_is_refused_in_words() {
    let place = Place::with_boat();
    let run = put(
        &place,
        &[
            "makers_number=K 100",
            "fitted_number=R-7",
            "fitted_bypass=no",
            "drain_back=yes",
            "fitted_drain_back=no",
        ],
    );
    assert_eq!(
        run.code,
        Some(0),
        "what is fitted is a fact: {}",
        run.stderr
    );
    assert!(
        run.stdout
            .contains("Refused: the one fitted, R-7, has no by-pass"),
        "{run}"
    );
    assert!(run.stdout.contains("draining back"), "{run}");
    assert_eq!(
        sorts(&row(&place, "oil-filter")),
        ["refused", "other-than-specified"]
    );
    // It is never taken for an equivalent, by hand or from a file.
    let refused = put(&place, &["fits=R 7"]);
    assert_eq!(refused.code, Some(2), "{refused}");
    assert!(
        refused.stderr.contains("refused as an equivalent"),
        "{refused}"
    );
    let file = place.file(
        "in.json",
        r#"{"type":"part","part":"oil-filter","fits":["R7"]}"#,
    );
    assert_eq!(place.run(&["record", &file]).code, Some(2));
    done(&place, &["parts", "put", "oil-filter", "fits_not=R-7"]);
    assert!(row(&place, "oil-filter")["known"].get("fits").is_none());
    let order = place.run(&["service", "show", "oil-and-filter"]);
    assert!(order.stdout.contains("Refused: "), "{order}");
}

#[test]
fn a_number_read_before_the_last_service_is_to_be_read_again() {
    let mut place = Place::with_boat();
    done(
        &place,
        &[
            "parts",
            "put",
            "oil-filter",
            "makers_number=K 100",
            "fitted_number=K 100",
        ],
    );
    assert_eq!(sorts(&row(&place, "oil-filter")), Vec::<&str>::new());
    place.at("2026-05-03T10:00:00+02:00");
    done(&place, &["service", "done", "oil-and-filter"]);
    assert_eq!(sorts(&row(&place, "oil-filter")), ["cannot-be-told"]);
    place.at("2026-05-03T11:00:00+02:00");
    done(
        &place,
        &["parts", "put", "oil-filter", "fitted_number=K 100"],
    );
    assert_eq!(sorts(&row(&place, "oil-filter")), Vec::<&str>::new());
    place.at("2026-05-03T12:00:00+02:00");
    done(
        &place,
        &[
            "service",
            "done",
            "oil-and-filter",
            "--part",
            "filter K-100",
        ],
    );
    assert_eq!(
        sorts(&row(&place, "oil-filter")),
        Vec::<&str>::new(),
        "the service names it"
    );
}

#[test]
fn kinds_of_coolant_are_not_mixed() {
    let place = Place::with_boat();
    let said = [
        "parts",
        "put",
        "coolant",
        "coolant=organic",
        "specification=by the handbook",
    ];
    assert!(done(&place, &said).contains("is not known"));
    done(&place, &["boat", "put", "coolant", "inorganic"]);
    assert_eq!(sorts(&row(&place, "coolant")), ["not-mixed"]);
    let told = place.run(&["parts", "--part", "coolant"]);
    assert!(told.stdout.contains("Not to be mixed: "), "{told}");
    done(&place, &["boat", "put", "coolant", "organic"]);
    assert_eq!(sorts(&row(&place, "coolant")), Vec::<&str>::new());
}

#[test]
fn an_entry_is_taken_back_and_put_right() {
    let mut place = Place::with_boat();
    done(
        &place,
        &[
            "parts",
            "put",
            "drive-belt",
            "makers_number=B 10",
            "section=A",
        ],
    );
    place.at("2026-05-03T10:00:00+02:00");
    done(
        &place,
        &[
            "parts",
            "put",
            "drive-belt",
            "makers_number=B 11",
            "outside_length_mm=1013",
        ],
    );
    place.at("2026-05-03T11:00:00+02:00");
    let entries = place.json("entries", &["entries", "--kind", "part"]);
    let words = entries["rows"][0]["words"].as_str().expect("words");
    assert_eq!(
        words,
        "Told of a part, Drive belt (main); maker's number: B 11; outside length: 1013 mm"
    );
    let id = |n: usize| entries["rows"][n]["id"].as_str().expect("an id").to_owned();
    done(
        &place,
        &[
            "entries",
            "put-right",
            &id(0),
            "outside_length_mm=1031",
            "--why",
            "read upside down",
        ],
    );
    assert_eq!(
        row(&place, "drive-belt")["known"]["outside_length_mm"],
        1031.0
    );
    let wrong = ["entries", "put-right", &id(0), "vanes=6", "--why", "no"];
    assert_eq!(place.run(&wrong).code, Some(2), "a belt has no vanes");
    done(&place, &["entries", "take-back", &id(0)]);
    let known = row(&place, "drive-belt")["known"].clone();
    assert_eq!(
        known["makers_number"], "B 10",
        "what it had replaced stands again"
    );
    assert_eq!(known["outside_length_mm"], Value::Null);
    done(&place, &["entries", "put-back", &id(0)]);
    done(&place, &["entries", "take-back", &id(1)]);
    let known = row(&place, "drive-belt")["known"].clone();
    assert_eq!(
        (&known["makers_number"], &known["section"]),
        (&json!("B 11"), &Value::Null)
    );
}

#[test]
fn what_two_devices_say_of_one_part_adds_up() {
    let mut place = Place::with_boat();
    let other = place.path().join("other");
    copy(&place.logbook(), &other);
    let there = other.to_str().expect("UTF-8").to_owned();
    place.at("2026-05-03T10:00:00+02:00");
    done(
        &place,
        &[
            "parts",
            "put",
            "oil-filter",
            "makers_number=K 100",
            "fits=R-7",
            "height_mm=79",
        ],
    );
    place.at("2026-05-03T10:05:00+02:00");
    let away = [
        "parts",
        "put",
        "oil-filter",
        "thread=3/4 by 16",
        "height_mm=80",
        "fits=S 12",
        "--logbook",
        &there,
    ];
    done(&place, &away);
    done(&place, &["logbook", "merge", &there]);
    let here = row(&place, "oil-filter")["known"].clone();
    assert_eq!(
        (&here["makers_number"], &here["thread"]),
        (&json!("K 100"), &json!("3/4 by 16"))
    );
    assert_eq!(here["height_mm"], 80.0, "of one field the newest word");
    assert_eq!(here["fits"], json!(["R-7", "S 12"]));
    let home = place.logbook();
    let home = home.to_str().expect("UTF-8");
    done(&place, &["logbook", "merge", home, "--logbook", &there]);
    let answer = place.json(
        "parts-page",
        &["parts", "--part", "oil-filter", "--logbook", &there],
    );
    assert_eq!(answer["rows"][0]["known"], here, "both say the same");
}

#[test]
fn what_cannot_be_said_is_refused_and_nothing_is_recorded() {
    let place = Place::with(TWINS);
    let long = format!("makers_number={}", "9".repeat(81));
    let words = format!("note={}", "x".repeat(1025));
    let mut runs = Vec::new();
    for args in [
        &["oil-filter", "makers_number=K"][..],
        &["oil-filtr", "makers_number=K", "--machine", "port"],
        &["oil-filter", "colour=red", "--machine", "port"],
        &["oil-filter", "vanes=6", "--machine", "port"],
        &["oil-filter", "height_mm=900000", "--machine", "port"],
        &["oil-filter", "height_mm=tall", "--machine", "port"],
        &["oil-filter", "bypass=perhaps", "--machine", "port"],
        &["oil-filter", "makers_number=K", "--machine", "starbord"],
        &["oil-filter", &long, "--machine", "port"],
        &["oil-filter", &words, "--machine", "port"],
        &["oil-filter", "makers_number", "--machine", "port"],
    ] {
        let run = place.run(&[&["parts", "put"], args].concat());
        assert_eq!(run.code, Some(2), "{run}");
        runs.push(run);
    }
    runs.push(place.run(&["parts", "--part", "oil-filtr"]));
    runs.push(place.run(&["parts", "--for", "nothing"]));
    insta::assert_snapshot!(session(&runs));
    let entries = place.json("entries", &["entries", "--kind", "part"]);
    assert_eq!(entries["rows"], json!([]));
    let many: Vec<String> = (0..51).map(|n| format!("N{n}")).collect();
    let document = json!({"type":"part","part":"oil-filter","machine":"port","fits":many});
    let file = place.file("many.json", &document.to_string());
    assert_eq!(place.run(&["record", &file]).code, Some(2));
}

#[test]
fn each_engine_has_parts_of_its_own() {
    let place = Place::with(TWINS);
    done(
        &place,
        &[
            "parts",
            "put",
            "oil-filter",
            "makers_number=K 100",
            "--machine",
            "port",
        ],
    );
    let of = |machine: &str| {
        let args = ["parts", "--part", "oil-filter", "--machine", machine];
        place.json("parts-page", &args)["rows"][0]["known"].clone()
    };
    assert_eq!(of("port")["makers_number"], "K 100");
    assert_eq!(of("starboard"), Value::Null);
}

#[test]
fn numbers_known_stand_on_the_list_of_parts_to_buy() {
    let place = Place::with_findings();
    let before = place.run(&["defects", "--parts"]);
    assert!(!before.stdout.contains("B 10"), "{before}");
    done(
        &place,
        &[
            "parts",
            "put",
            "drive-belt",
            "makers_number=B 10",
            "fitted_number=Q 4",
        ],
    );
    let list = place.run(&["defects", "--parts"]);
    assert!(
        list.stdout.contains("main: maker's B 10; fitted Q 4"),
        "{list}"
    );
    assert!(list.stdout.contains("Other than specified: "), "{list}");
    let answer = place.json("parts", &["defects", "--parts"]);
    let rows = answer["rows"].as_array().expect("rows");
    let belt = rows
        .iter()
        .find(|row| row["part"] == "drive belt of the right size");
    assert_eq!(
        belt.expect("the belt")["numbers"][0]["makers_number"],
        "B 10"
    );
}

#[test]
fn one_page_is_written_with_the_plate_and_without_her_name() {
    let place = Place::with_boat();
    for (fact, value) in [
        ("maker", "Dunlin"),
        ("model", "D3-29"),
        ("serial", "D3/4711"),
    ] {
        done(&place, &["boat", "put", fact, value]);
    }
    done(
        &place,
        &[
            "parts",
            "put",
            "oil-filter",
            "makers_number=K <100>",
            "height_mm=79",
            "fitted_number=R\u{1b}[2J7",
        ],
    );
    let page = place.path().join("parts.html");
    let page = page.to_str().expect("UTF-8").to_owned();
    done(&place, &["parts", "--machine", "main", "--page", &page]);
    let html = std::fs::read_to_string(&page).expect("written");
    for text in [
        "Dunlin",
        "D3-29",
        "D3/4711",
        "K &lt;100&gt;",
        "79 mm",
        "Other than specified",
    ] {
        assert!(html.contains(text), "no '{text}' in {html}");
    }
    for text in [
        "Grey Plover",
        "<script",
        "\u{1b}",
        "http:",
        "https:",
        "<100>",
    ] {
        assert!(!html.contains(text), "'{text}' in {html}");
    }
    assert!(
        html.contains("default-src 'none'"),
        "its policy forbids all else"
    );
    assert!(html.contains("Nothing is known yet of: "));
    let other = place.file("other.txt", "mine");
    assert_eq!(place.run(&["parts", "--page", &other]).code, Some(2));
}

#[test]
fn what_only_records_name_is_listed_too() {
    let place = Place::with_boat();
    done(
        &place,
        &["parts", "put", "drive-belt", "makers_number=B 10"],
    );
    done(&place, &["boat", "lacks", "drive-belt"]);
    let row = row(&place, "drive-belt");
    assert_eq!(row["known"]["makers_number"], "B 10", "{row}");
}

#[test]
fn a_task_of_ones_own_names_its_parts_with_or_without_ids() {
    let place = Place::with_boat();
    let task = json!({"type":"service-tasks","tasks":[{"id":"my-filters","title":"My filters","scope":"machine","item":"oil-filter-seat",
        "parts":["oil filter","a ring of my own",{"id":"my-hose","part":"bypass hose","kind":"hose"}],
        "steps":[{"do":"Renew them."}],"who":"owner","where":"in-port","source":"mine"}]});
    let file = place.file("tasks.json", &task.to_string());
    done(&place, &["checklist", "add", &file]);
    done(&place, &["parts", "put", "my-hose", "bore_mm=19"]);
    done(
        &place,
        &["parts", "put", "a-ring-of-my-own", "measures=40 by 3"],
    );
    let answer = place.json("parts-page", &["parts", "--for", "my-filters"]);
    let parts: Vec<_> = answer["rows"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|r| r["part"].clone())
        .collect();
    assert_eq!(parts, ["oil-filter", "a-ring-of-my-own", "my-hose"]);
    let shown = place.json("service-show", &["service", "show", "my-filters"]);
    assert_eq!(
        shown["task"]["parts"],
        json!(["oil filter", "a ring of my own", "bypass hose"])
    );
    let odd = file_with(
        &place,
        &task,
        json!({"id":"my-hose","part":"hose","color":"red"}),
    );
    let run = place.run(&["checklist", "check", &odd]);
    assert!(run.stdout.contains("color"), "{run}");
}

fn file_with(place: &Place, task: &Value, part: Value) -> String {
    let mut task = task.clone();
    task["tasks"][0]["parts"][0] = part;
    place.file("odd.json", &task.to_string())
}
