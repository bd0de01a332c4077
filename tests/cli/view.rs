//! A walk as at its end: page, command and report say the same of it, whatever was recorded later.

use std::rc::Rc;
use std::sync::Arc;

use chrono::DateTime;
use handlamp::checklist::Library;
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::screen::verdict::VerdictScreen;
use serde_json::{Value, json};

use super::harness::Place;

const LATER: &str = "2026-09-20T09:00:00+02:00";

fn record(place: &Place, now: &str, documents: &Value) {
    let file = place.file("in.json", &documents.to_string());
    let run = place.run_at(now, &["record", &file]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
}

/// A survey that looked at three things and not at a fourth, whose finding is older; then, months
/// later, walks that found much more, a repair, and an item taken out.
fn surveyed() -> Place {
    let place = Place::with_boat();
    let daily = |id: &str, at: &str, hours: f64, looks: Value| {
        json!({"type":"walk","id":id,"checklist":"daily","machine":"main","at":at,
               "hours":hours,"looks":looks})
    };
    let older = json!([{"item":"fuel-hoses","grade":"early"}]);
    record(
        &place,
        "2026-04-28T09:00:00+02:00",
        &daily("before", "2026-04-28T08:00:00+02:00", 1201.0, older),
    );
    let survey = json!({"type":"walk","id":"survey","checklist":"survey","machine":"main",
        "at":"2026-05-02T08:00:00+02:00","hours":1203.0,"blind":true,
        "looks":[{"item":"drive-belt","grade":"worn"},
                 {"item":"raw-water-pump-seal","grade":"early"},
                 {"item":"coolant-hoses","grade":"sound"}]});
    record(&place, "2026-05-02T10:00:00+02:00", &survey);
    let worse: Vec<Value> = [
        "coolant-hoses",
        "engine-mounts",
        "exhaust-elbow",
        "alternator-mount-and-bracket",
        "heat-exchanger",
        "loom-chafe",
        "throttle-cable",
    ]
    .iter()
    .filter(|id| Library::built_in().catalogue.item(id).is_some())
    .map(|id| json!({"item":id,"grade":"worn"}))
    .collect();
    assert!(worse.len() >= 5, "{worse:?}");
    let later = daily("later", "2026-09-19T08:00:00+02:00", 1290.0, json!(worse));
    record(&place, "2026-09-19T10:00:00+02:00", &later);
    let acts = json!([
        {"type":"repair","item":"drive-belt","machine":"main","done":"fitted a new belt"},
        {"type":"removed","item":"raw-water-strainer","machine":"main"},
    ]);
    record(&place, "2026-09-19T11:00:00+02:00", &acts);
    place
}

fn page(place: &Place) -> VerdictScreen {
    let now = DateTime::parse_from_rfc3339(LATER).expect("a time");
    let library = Arc::new(Library::built_in().clone());
    let clock = Rc::new(FixedClock::new(now));
    let book = Book::open(&place.logbook(), clock, library, None).expect("the logbook");
    VerdictScreen::new(&book, "survey", None).expect("the survey")
}

#[test]
fn page_command_and_report_of_a_finished_survey_say_the_same() {
    let place = surveyed();
    let page = page(&place);
    let shown: Vec<(usize, String, String)> = page
        .defects
        .iter()
        .map(|row| (row.rank, row.item.clone(), row.code.clone()))
        .collect();
    // What the walk before it had found counts, what came later does not.
    let mut items: Vec<_> = shown.iter().map(|(_, item, _)| item.as_str()).collect();
    items.sort_unstable();
    assert_eq!(items, ["drive-belt", "fuel-hoses", "raw-water-pump-seal"]);

    let file = place.path().join("survey.json");
    let name = file.to_str().expect("UTF-8");
    let run = place.run_at(LATER, &["report", "survey", "--to", name]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let text = std::fs::read_to_string(&file).expect("written");
    let report: Value = serde_json::from_str(&text).expect("JSON");
    let written: Vec<_> = report["defects"]
        .as_array()
        .expect("rows")
        .iter()
        .map(|d| {
            let row = d.get("row").unwrap_or(d);
            let word = |field: &str| row[field].as_str().unwrap_or_default().to_owned();
            let rank = row["rank"].as_u64().expect("a rank") as usize;
            (rank, word("item"), word("code"))
        })
        .collect();
    assert_eq!(shown, written);

    let run = place.run_at(LATER, &["coverage", "--walk", "survey", "--json"]);
    let answer: Value = serde_json::from_str(&run.stdout).expect("JSON");
    let coverage = page.coverage.as_ref().expect("coverage");
    let told = |of: &Value| [of["plain"].as_f64(), of["weighted"].as_f64()];
    assert_eq!(told(&answer), [coverage.plain, coverage.weighted]);
    assert_eq!(told(&report["coverage"]), told(&answer));
    assert_eq!(report["coverage"]["hidden"], answer["hidden"]);
    assert_eq!(answer["as_of"], report["as_of"]);
    let unseen = |of: &Value| of["not_seen"].as_array().map(Vec::len);
    assert_eq!(unseen(&report), unseen(&answer));
    let verdict = place.run_at(LATER, &["verdict", "--walk", "survey", "--json"]);
    let verdict: Value = serde_json::from_str(&verdict.stdout).expect("JSON");
    assert_eq!(verdict["not_seen"], answer["not_seen"]);

    // On the day of the survey the command said so too.
    let then = place.run_at(
        "2026-05-02T10:00:00+02:00",
        &["coverage", "--walk", "survey", "--json"],
    );
    let then: Value = serde_json::from_str(&then.stdout).expect("JSON");
    assert_eq!(then, answer);
}
