//! The sea trial in the report of a survey: one grid, in JSON, on the page and in Markdown.

use std::collections::BTreeMap;

use scraper::{ElementRef, Html, Selector};
use serde_json::{Value, json};

use super::harness::Place;
use super::report::written;

/// A survey with looks at speeds: three at one of them minutes apart, one not seen, one asked once, one of
/// which nobody told the speed.
fn place() -> Place {
    let mut place = Place::with_boat();
    done(
        &place,
        &["boat", "put", "rated_rpm", "3600", "--machine", "main"],
    );
    place.at("2026-06-19T16:00:00+02:00");
    let look = |item: &str, rpm: u32, value: f64, unit: &str, at: &str| {
        json!({"item":item,"phase":"under-way","grade":"sound","at_rpm":rpm,
            "reading":{"value":value,"unit":unit},"at":format!("2026-06-19T{at}:00+02:00")})
    };
    let full = |value: f64, at: &str| {
        let mut look = look("coolant-temperature", 3580, value, "C", at);
        look["phase"] = json!("full-throttle");
        look
    };
    let idle = json!({"item":"oil-pressure","phase":"warm-up","grade":"sound","at_rpm":800,
        "reading":{"value":2.1,"unit":"bar"},"at":"2026-06-19T10:05:00+02:00"});
    let smoke = json!({"item":"exhaust-smoke","phase":"under-way","not_seen":"dark & wet",
        "close_by":"by day","at_rpm":1440,"at":"2026-06-19T10:12:00+02:00"});
    let volts = json!({"item":"charging-voltage","phase":"under-way","grade":"sound",
        "reading":{"value":14.12,"unit":"V"},"at":"2026-06-19T10:13:00+02:00"});
    let looks = [
        idle,
        look("oil-pressure", 1440, 45.0, "psi", "10:10"),
        smoke,
        volts,
        look("oil-pressure", 2500, 3.6, "bar", "10:20"),
        look("coolant-temperature", 2500, 80.0, "C", "10:20"),
        look("coolant-temperature", 2500, 80.5, "C", "10:25"),
        full(84.0, "10:30"),
        full(88.0, "10:32"),
        full(91.0, "10:34"),
    ];
    place.record(
        &json!({"type":"walk","id":"s1","checklist":"survey","machine":"main",
        "at":"2026-06-19T10:00:00+02:00","by":"R. Quay","hours":1236.0,"looks":looks}),
    );
    place
}

#[track_caller]
fn done(place: &Place, args: &[&str]) {
    let run = place.run(args);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
}

fn report(place: &Place) -> Value {
    serde_json::from_str(&written(place, "s1", "s1.json")).expect("JSON")
}

fn list<'a>(of: &'a Value, field: &str) -> &'a Vec<Value> {
    of[field].as_array().expect("a list")
}

/// The words of a cell, as every form has them.
fn words(cell: &Value) -> String {
    if let Some(why) = cell["empty"].as_str() {
        return why.to_owned();
    }
    let rungs = ["sound", "early", "worn", "failing", "failed"];
    let looks = list(cell, "looks").iter().map(|look| {
        let rung = rungs.iter().position(|r| look["grade"] == *r);
        format!(
            "{} ({})",
            look["reading"].as_str().expect("read"),
            rung.expect("a rung")
        )
    });
    looks.collect::<Vec<_>>().join(", ")
}

/// Row by its title, column by its item.
fn cell<'a>(trial: &'a Value, row: &str, item: &str) -> &'a Value {
    let row = list(trial, "rows").iter().find(|r| r["title"] == row);
    let column = list(trial, "columns")
        .iter()
        .position(|c| c["item"] == item);
    &row.expect("a row")["cells"][column.expect("a column")]
}

#[test]
fn every_reading_is_in_one_cell_with_the_value_on_record() {
    let place = place();
    let report = report(&place);
    let trial = &report["trial"];
    let titles: Vec<_> = list(trial, "rows").iter().map(|r| &r["title"]).collect();
    assert_eq!(
        titles,
        [
            "idle, warm, 800 rpm",
            "ahead, idle",
            "40 %, 1440 rpm",
            "60 %, 2160 rpm",
            "69 %, 2500 rpm",
            "80 %, 2880 rpm",
            "90 %, 3240 rpm",
            "Under way, by steps, speed not told",
            "full, 3580 rpm",
            "astern",
            "idle again"
        ]
    );
    for (row, item, said) in [
        ("40 %, 1440 rpm", "oil-pressure", "45 psi (0)"),
        ("60 %, 2160 rpm", "oil-pressure", "not read"),
        ("69 %, 2500 rpm", "oil-pressure", "3.6 bar (0)"),
        ("40 %, 1440 rpm", "exhaust-smoke", "not seen: dark & wet"),
        (
            "Under way, by steps, speed not told",
            "charging-voltage",
            "14.12 V (0)",
        ),
        ("40 %, 1440 rpm", "charging-voltage", "not read"),
        (
            "full, 3580 rpm",
            "coolant-temperature",
            "84 C (0), 88 C (0), 91 C (0)",
        ),
        ("full, 3580 rpm", "prefilter-vacuum", "not asked"),
    ] {
        assert_eq!(words(cell(trial, row, item)), said, "{row} {item}");
    }
    // As the readings of the same report tell them, one for one.
    let mut held: BTreeMap<String, (Value, Value, Value)> = BTreeMap::new();
    for row in list(trial, "rows") {
        for (column, cell) in list(trial, "columns").iter().zip(list(row, "cells")) {
            for look in list(cell, "looks")
                .iter()
                .filter(|l| !l["reading"].is_null())
            {
                let id = look["look"].as_str().expect("an id").to_owned();
                let told = (
                    column["item"].clone(),
                    look["reading"].clone(),
                    row["rpm"].clone(),
                );
                assert!(held.insert(id, told).is_none(), "{look} stands twice");
            }
        }
    }
    let mut held: Vec<String> = held.values().map(|told| format!("{told:?}")).collect();
    let told = list(&report, "readings").iter().map(|r| {
        format!(
            "{:?}",
            (r["item"].clone(), r["value"].clone(), r["at_rpm"].clone())
        )
    });
    let mut told: Vec<String> = told.collect();
    held.sort();
    told.sort();
    assert_eq!(held, told);
}

#[test]
fn what_still_climbs_is_told_and_what_stands_is_not() {
    let trial = &report(&place())["trial"];
    assert_eq!(
        trial["climbing"],
        json!([
            "Coolant temperature, full, 3580 rpm: still climbing: 88 to 91 C in 2 min, not stabilised."
        ])
    );
}

/// US Army TM 55-1905-223-10: 45 to 70 psi at full speed, at most 195 F; in bar and C by ISO 80000-4
/// (1 psi = 6.894757 kPa) and the definition of the degree Fahrenheit.
#[test]
fn pass_lines_have_their_source() {
    let trial = &report(&place())["trial"];
    for column in list(trial, "columns") {
        assert!(!list(column, "pass").is_empty(), "{column}");
        for line in list(column, "pass") {
            assert!(!line["source"].as_str().expect("a source").is_empty());
        }
    }
    let says = |item: &str| {
        let mut columns = list(trial, "columns").iter();
        let column = columns.find(|c| c["item"] == item).expect("a column");
        let lines = list(column, "pass").iter();
        let said: Vec<_> = lines.map(|l| l["says"].as_str().expect("words")).collect();
        said.join("; ")
    };
    assert!(says("oil-pressure").contains("full: 3.1 to 4.83 bar"));
    assert!((45.0 * 0.068_947_57_f64 - 3.1).abs() < 0.005);
    assert!((70.0 * 0.068_947_57_f64 - 4.83).abs() < 0.005);
    assert!(says("coolant-temperature").contains("full: at most 90.6 C"));
    assert!(((195.0_f64 - 32.0) / 1.8 - 90.6).abs() < 0.05);
    assert!(says("charging-voltage").contains("sound 13.6 to 14.7"));
}

/// What is put right or taken back counts as what it is now.
#[test]
fn a_reading_put_right_or_taken_back_stands_so() {
    let place = place();
    let trial = &report(&place)["trial"];
    let id = |row: &str, item: &str| {
        let look = &cell(trial, row, item)["looks"][0]["look"];
        look.as_str().expect("an id").to_owned()
    };
    let (oil, volts) = (
        id("69 %, 2500 rpm", "oil-pressure"),
        id("Under way, by steps, speed not told", "charging-voltage"),
    );
    let why = ["--why", "misread"];
    let mut right = vec!["entries", "put-right", &oil, "reading=3.4 bar"];
    right.extend(why);
    done(&place, &right);
    let mut back = vec!["entries", "take-back", &volts];
    back.extend(why);
    done(&place, &back);
    let trial = &report(&place)["trial"];
    assert_eq!(
        words(cell(trial, "69 %, 2500 rpm", "oil-pressure")),
        "3.4 bar (0)"
    );
    let rows = list(trial, "rows").iter();
    let rows: Vec<_> = rows
        .map(|r| r["title"].as_str().expect("a title"))
        .collect();
    assert!(
        !rows.contains(&"Under way, by steps, speed not told"),
        "{rows:?}"
    );
}

fn all<'a>(of: ElementRef<'a>, selector: &str) -> Vec<ElementRef<'a>> {
    of.select(&Selector::parse(selector).expect("a selector"))
        .collect()
}

fn text(of: &ElementRef<'_>) -> String {
    of.text().collect::<String>().trim().to_owned()
}

/// WCAG 2.2 with its techniques H39 (caption) and H63 (scope), and what scrolls reached by keyboard
/// (2.1.1).
#[test]
fn the_page_has_the_grid_as_a_table_with_caption_and_row_headers() {
    let place = place();
    let trial = &report(&place)["trial"];
    let page = Html::parse_document(&written(&place, "s1", "s1.html"));
    let tables = all(page.root_element(), "table");
    let grids: Vec<_> = tables
        .into_iter()
        .filter(|t| {
            all(*t, "caption")
                .iter()
                .any(|c| text(c).starts_with("Sea trial by engine speed"))
        })
        .collect();
    assert_eq!(grids.len(), 3, "in three parts, as wide as paper is");
    let columns = list(trial, "columns");
    let mut first = 0;
    for grid in grids {
        let heads = all(grid, "thead th[scope=col]");
        let names: Vec<_> = heads.iter().skip(1).map(text).collect();
        let here = &columns[first..first + names.len()];
        let titles: Vec<_> = here
            .iter()
            .map(|c| c["title"].as_str().expect("a title"))
            .collect();
        assert_eq!(names, titles);
        let rows = all(grid, "tbody tr");
        assert_eq!(rows.len(), list(trial, "rows").len());
        for (row, own) in rows.iter().zip(list(trial, "rows")) {
            let head: Vec<_> = all(*row, "th[scope=row]").iter().map(text).collect();
            assert_eq!(head, [own["title"].as_str().expect("a title")]);
            let cells: Vec<_> = all(*row, "td").iter().map(text).collect();
            let told: Vec<_> = list(own, "cells")[first..first + names.len()]
                .iter()
                .map(words)
                .collect();
            assert_eq!(cells, told);
        }
        let frame = grid.parent().and_then(ElementRef::wrap).expect("a frame");
        assert_eq!(frame.attr("tabindex"), Some("0"));
        assert!(
            frame
                .attr("aria-label")
                .is_some_and(|l| l.starts_with("Table: Sea trial"))
        );
        first += names.len();
    }
    assert_eq!(first, columns.len());
    let said = text(&page.root_element());
    assert!(said.contains("still climbing: 88 to 91 C"));
    assert!(said.contains("US Army TM 55-1905-223-10"));
}

#[test]
fn markdown_has_the_same_grid() {
    let place = place();
    let page = written(&place, "s1", "s1.md");
    let line = page.lines().find(|l| l.starts_with("| 40 %, 1440 rpm |"));
    let line = line.expect("a row");
    assert!(line.contains(r"| 45 psi \(0\) |"), "{line}");
    assert!(
        page.contains("Sea trial by engine speed, columns 1 to 6"),
        "{page}"
    );
    assert!(page.contains(r"still climbing\: 88 to 91 C"));
}
