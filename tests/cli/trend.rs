//! `trend`.

use scraper::{ElementRef, Html, Selector};
use serde_json::{Value, json};

use super::harness::{Place, TWINS, session};

/// Looks at one item, one walk each: `(date, meter, look)`.
fn walks(place: &Place, item: &str, looks: &[(&str, Option<f64>, Value)]) {
    for (n, (date, hours, look)) in looks.iter().enumerate() {
        let mut look = look.clone();
        look["item"] = json!(item);
        let mut walk = json!({"type":"walk","id":format!("{item}-{n}"),"checklist":"daily","machine":"main",
            "at":format!("{date}T08:00:00+02:00"),"looks":[look]});
        if let Some(hours) = hours {
            walk["hours"] = json!(hours);
        }
        place.record(&walk);
    }
}

/// A boat in autumn whose sump falls and is topped up, week by week.
fn thirsty() -> Place {
    let mut place = Place::with_boat();
    place.at("2026-07-13T09:00:00+02:00");
    let level = |percent: f64, added: Option<&str>| {
        let grade = if percent < 25.0 { "early" } else { "sound" };
        let mut look = json!({"phase":"cold","grade":grade,"reading":{"value":percent,"unit":"%"}});
        if let Some(added) = added {
            look["added"] = json!(added);
        }
        look
    };
    walks(
        &place,
        "engine-oil-level",
        &[
            ("2026-06-01", Some(1210.0), level(90.0, None)),
            ("2026-06-08", Some(1220.0), level(71.0, None)),
            ("2026-06-15", Some(1230.0), level(49.0, None)),
            ("2026-06-22", Some(1240.0), level(30.0, Some("0.9 L"))),
            ("2026-06-29", Some(1250.0), level(69.0, None)),
            ("2026-07-06", Some(1260.0), level(51.0, None)),
            ("2026-07-13", Some(1270.0), level(30.0, None)),
        ],
    );
    place
}

#[test]
fn a_level_topped_up_is_a_steady_fall() {
    let place = thirsty();
    let answer = place.json("trend", &["trend", "engine-oil-level"]);
    assert_eq!(
        (
            answer["n"].as_u64(),
            answer["over"].as_str(),
            answer["trend"].as_str()
        ),
        (Some(7), Some("hours"), Some("falling"))
    );
    // 90 - 2 a running hour: -30 % after 60 h with 0.9 L in, 60 % of the span between the marks.
    let slope = answer["slope"].as_f64().expect("a slope");
    assert!((slope + 2.0).abs() < 0.05, "{slope}");
    assert_eq!(answer["points"][4]["levelled"], 9.0);
    assert_eq!(answer["use"]["litres"], 0.9);
    assert_eq!(answer["use"]["per_100_h"], 1.5);
    assert_eq!(answer["rate_of_use"]["found"], "recent");
    assert_eq!(answer["crossing"]["rung"], "early");
    // Weeks without a look: the line has gone on.
    let later = place.run_at("2026-09-01T09:00:00+02:00", &["trend", "engine-oil-level"]);
    insta::assert_snapshot!(session(&[place.run(&["trend", "engine-oil-level"]), later]));
}

#[test]
fn a_level_whose_volume_is_not_known_has_no_line_once_topped_up() {
    let mut place = Place::with_boat();
    place.at("2026-09-01T09:00:00+02:00");
    let level = |percent: f64| json!({"phase":"cold","grade":"sound","reading":{"value":percent,"unit":"%"}});
    let mut added = level(60.0);
    added["added"] = json!("0.5 L");
    walks(
        &place,
        "coolant-level",
        &[
            ("2026-06-01", Some(1210.0), level(90.0)),
            ("2026-06-08", Some(1220.0), added),
            ("2026-06-15", Some(1230.0), level(85.0)),
        ],
    );
    let answer = place.json("trend", &["trend", "coolant-level"]);
    assert_eq!((&answer["slope"], &answer["n"]), (&Value::Null, &json!(0)));
    assert_eq!(answer["points"].as_array().map(Vec::len), Some(3));
    insta::assert_snapshot!(session(&[place.run(&["trend", "coolant-level"])]));
}

/// Battery volts falling slowly, one of them mistyped.
fn volts(place: &Place) {
    let volts: [f64; 9] = [
        12.95, 12.91, 12.88, 12.86, 12.30, 12.78, 12.75, 12.71, 12.68,
    ];
    let looks: Vec<_> = volts
        .iter()
        .enumerate()
        .map(|(week, v)| {
            let date = chrono::NaiveDate::from_ymd_opt(2026, 6, 1).expect("a date")
                + chrono::Days::new(7 * week as u64);
            let grade = if *v < 12.4 { "worn" } else { "sound" };
            let mut look = json!({"phase":"cold","grade":grade,"reading":{"value":v,"unit":"V"}});
            if week == 5 {
                look["better"] = json!("misjudged");
            }
            (date.to_string(), Some(1210.0 + 4.0 * week as f64), look)
        })
        .collect();
    let looks: Vec<_> = looks
        .iter()
        .map(|(d, h, l)| (d.as_str(), *h, l.clone()))
        .collect();
    walks(place, "start-battery", &looks);
}

#[test]
fn a_fall_is_called_and_its_crossing_dated_in_spite_of_a_wild_reading() {
    let mut place = Place::with_boat();
    place.at("2026-07-28T09:00:00+02:00");
    volts(&place);
    let answer = place.json("trend", &["trend", "start-battery"]);
    assert_eq!(
        (&answer["trend"], &answer["named"]),
        (&json!("falling"), &json!(true))
    );
    assert_eq!(answer["points"][4]["outlier"], true);
    let crossing = &answer["crossing"];
    assert_eq!(
        (&crossing["rung"], &crossing["limit"]),
        (&json!("early"), &json!(12.6))
    );
    let date = |when: &str| crossing[when]["date"].as_str().expect("a date").to_owned();
    assert!(date("not_before") <= date("about") && date("about") <= date("not_after"));
    assert!(date("not_before").as_str() >= "2026-07-28", "{crossing}");
    let days = place.json(
        "trend",
        &["trend", "start-battery", "--over", "days", "--level", "0.5"],
    );
    assert_eq!(
        (&days["over"], &days["interval"]),
        (&json!("days"), &json!(0.5))
    );
    assert_eq!(days["crossing"]["about"]["hours"], Value::Null);
    insta::assert_snapshot!(session(&[
        place.run(&["trend", "start-battery"]),
        place.run(&["trend", "start-battery", "--over", "days"]),
    ]));
}

#[test]
fn a_series_begins_anew_at_a_repair() {
    let mut place = Place::with_boat();
    place.at("2026-07-28T09:00:00+02:00");
    volts(&place);
    place.record(&json!({"type":"repair","item":"start-battery","at":"2026-07-20T12:00:00+02:00","done":"new battery"}));
    let answer = place.json("trend", &["trend", "start-battery"]);
    assert_eq!((&answer["n"], &answer["earlier"]), (&json!(1), &json!(8)));
    assert_eq!(answer["restarted"]["by"], "repair");
    assert_eq!(
        (&answer["slope"], &answer["trend"]),
        (&Value::Null, &json!("none"))
    );
}

#[test]
fn units_may_be_mixed_and_phases_are_kept_apart() {
    let mut place = Place::with_boat();
    place.at("2026-09-01T09:00:00+02:00");
    let read = |phase: &str, value: f64, unit: &str| json!({"phase":phase,"grade":"sound","reading":{"value":value,"unit":unit}});
    walks(
        &place,
        "oil-pressure",
        &[
            ("2026-06-01", Some(1210.0), read("idle", 58.015_095, "psi")),
            ("2026-06-08", Some(1220.0), read("idle", 4.0, "bar")),
            ("2026-06-15", Some(1230.0), read("idle", 400.0, "kPa")),
            ("2026-06-22", Some(1240.0), read("in-gear", 5.0, "bar")),
        ],
    );
    let answer = place.json("trend", &["trend", "oil-pressure"]);
    assert_eq!(
        (&answer["phase"], &answer["unit"]),
        (&json!("idle"), &json!("bar"))
    );
    for point in answer["points"].as_array().expect("points") {
        let value = point["value"].as_f64().expect("a value");
        assert!((value - 4.0).abs() < 1e-5, "{point}");
    }
    assert_eq!(answer["other_phases"], json!(["in-gear"]));
    let usual = answer["limits"]["usual"]
        .as_f64()
        .expect("three sound readings");
    assert!((usual - 4.0).abs() < 1e-5);
    let geared = place.json("trend", &["trend", "oil-pressure", "--phase", "in-gear"]);
    assert_eq!((&geared["n"], &geared["slope"]), (&json!(1), &Value::Null));
    insta::assert_snapshot!(session(&[
        place.run(&["trend", "oil-pressure", "--phase", "in-gear"]),
        place.run(&["trend", "oil-pressure", "--phase", "fast"]),
    ]));
}

#[test]
fn odd_series_have_a_clear_answer() {
    let mut place = Place::with_boat();
    place.at("2026-09-01T09:00:00+02:00");
    let read = |mm: f64| json!({"phase":"cold","grade":"sound","reading":{"value":mm,"unit":"mm"}});
    // Two looks in one walk, at one instant and one meter reading.
    place.record(&json!({"type":"walk","id":"twice","checklist":"daily","machine":"main","hours":1210.0,
        "at":"2026-06-01T08:00:00+02:00","looks":[
        {"item":"fuel-prefilter-bowl","phase":"cold","grade":"sound","reading":{"value":0.5,"unit":"mm"}},
        {"item":"fuel-prefilter-bowl","phase":"cold","grade":"sound","reading":{"value":0.7,"unit":"mm"}}]}));
    let at_once = place.run(&["trend", "fuel-prefilter-bowl"]);
    // Told out of order, all alike.
    walks(
        &place,
        "shaft-alignment",
        &[
            (
                "2026-06-22",
                Some(1230.0),
                json!({"grade":"sound","reading":{"value":0.05,"unit":"mm"}}),
            ),
            (
                "2026-06-15",
                Some(1220.0),
                json!({"grade":"sound","reading":{"value":0.05,"unit":"mm"}}),
            ),
            (
                "2026-06-29",
                None,
                json!({"grade":"sound","reading":{"value":0.05,"unit":"mm"}}),
            ),
        ],
    );
    let alike = place.json("trend", &["trend", "shaft-alignment"]);
    assert_eq!(
        (&alike["slope"], &alike["tau"], &alike["s"]),
        (&json!(0.0), &Value::Null, &json!(0))
    );
    let times: Vec<&str> = alike["points"]
        .as_array()
        .expect("points")
        .iter()
        .map(|p| p["at"].as_str().expect("a time"))
        .collect();
    assert!(times.is_sorted(), "{times:?}");
    walks(&place, "bilge-water", &[("2026-06-30", None, read(5.0))]);
    let boat_wide = place.json("trend", &["trend", "bilge-water"]);
    assert_eq!(
        (&boat_wide["machine"], &boat_wide["over"]),
        (&Value::Null, &json!("days"))
    );
    insta::assert_snapshot!(session(&[
        at_once,
        place.run(&["trend", "shaft-alignment"])
    ]));
}

#[test]
fn nothing_read_yet_is_an_answer_and_nothing_to_read_is_a_mistake() {
    let place = Place::with_boat();
    let answer = place.json("trend", &["trend", "oil-pressure", "--phase", "idle"]);
    assert_eq!(
        (&answer["n"], &answer["phase"]),
        (&json!(0), &json!("idle"))
    );
    let runs = [
        place.run(&["trend", "oil-pressure"]),
        place.run(&["trend", "raw-water-pump-seal"]),
        place.run(&["trend", "oil-presure"]),
        place.run(&["trend", "oil-pressure", "--phase", "asleep"]),
        place.run(&["trend", "oil-pressure", "--level", "1"]),
        place.run(&["trend", "oil-pressure", "--over", "miles"]),
    ];
    let codes: Vec<_> = runs.iter().map(|r| r.code).collect();
    assert_eq!(
        codes,
        [Some(0), Some(2), Some(2), Some(2), Some(2), Some(2)]
    );
    insta::assert_snapshot!(session(&runs));
    let twins = Place::with(TWINS);
    let unsure = twins.run(&["trend", "oil-pressure"]);
    assert_eq!(unsure.code, Some(2));
    assert!(
        unsure.stderr.contains("port, starboard"),
        "{}",
        unsure.stderr
    );
    let port = twins.json("trend", &["trend", "oil-pressure", "--machine", "port"]);
    assert_eq!(port["over"], "days", "no meter was read");
}

#[test]
fn readings_that_cannot_be_meant_are_refused() {
    let place = Place::with_boat();
    let sheet = |item: &str, value: &str, unit: &str, hours: f64| {
        format!(
            r#"{{"type":"walk","checklist":"daily","machine":"main","at":"2026-05-03T07:40:00+02:00","hours":{hours},"looks":[{{"item":"{item}","grade":"sound","grade_reason":"gauge","reading":{{"value":{value},"unit":"{unit}"}}}}]}}"#
        )
    };
    let give = |text: String| place.run_with_input(&["record", "-"], &text);
    let runs = [
        give(sheet("oil-pressure", "1e300", "bar", 1201.0)),
        give(sheet("oil-pressure", "1e999", "bar", 1201.0)),
        give(sheet("oil-pressure", "-3", "bar", 1201.0)),
        give(sheet("oil-pressure", "4", "V", 1201.0)),
        give(sheet("coolant-temperature", "-300", "C", 1201.0)),
        give(sheet("coolant-temperature", "-500", "F", 1201.0)),
        give(sheet("cold-start", "-2", "s", 1201.0)),
        give(sheet("cold-start", "2", "s", 1100.0)),
    ];
    insta::assert_snapshot!(session(&runs));
    assert!(
        runs.iter()
            .all(|r| r.code == Some(2) && r.stdout.is_empty())
    );
    assert!(runs[7].stderr.contains("record a replaced meter"));
}

/// The drawing in a report against the answer in JSON, by a parser that is not this program's: places
/// on the axis are read off the figures of the axis itself.
#[test]
fn the_drawing_has_crossing_interval_and_additions_where_the_answer_has_them() {
    let place = thirsty();
    let answer = place.json("trend", &["trend", "engine-oil-level"]);
    let run = place.run(&["report", "now", "--to", "now.html"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let page = std::fs::read_to_string(place.path().join("now.html")).expect("written");
    let page = Html::parse_document(&page);
    let of = |selector: &str| Selector::parse(selector).expect("a selector");
    let chart = page
        .select(&of("svg[aria-label^='Readings of Engine oil level']"))
        .next()
        .expect("the drawing");
    let number = |e: ElementRef, name| e.attr(name).and_then(|v| v.parse::<f64>().ok());
    let texts: Vec<(f64, String)> = chart
        .select(&of("text"))
        .filter_map(|t| Some((number(t, "x")?, t.text().collect())))
        .collect();
    let titles: Vec<&str> = texts.iter().map(|(_, text)| text.as_str()).collect();
    assert!(
        titles.contains(&"%") && titles.contains(&"running hours"),
        "{titles:?}"
    );
    // Two figures of the axis beneath make its scale.
    let ticks: Vec<(f64, f64)> = texts
        .iter()
        .filter_map(|(x, text)| Some((*x, text.parse::<f64>().ok()?)))
        .filter(|(_, hours)| (1200.0..1400.0).contains(hours))
        .collect();
    let [(x0, h0), .., (x1, h1)] = ticks[..] else {
        panic!("{texts:?}");
    };
    let hours = |x: f64| h0 + (x - x0) * (h1 - h0) / (x1 - x0);
    let near = |x: f64, expected: &Value, what: &str| {
        let expected = expected.as_f64().expect("a figure");
        assert!(
            (hours(x) - expected).abs() < 0.3,
            "{what}: {} for {expected}",
            hours(x)
        );
    };
    let met = chart
        .select(&of("circle"))
        .next()
        .expect("where it meets the limit");
    near(
        number(met, "cx").expect("a place"),
        &answer["crossing"]["about"]["meter"],
        "about",
    );
    let paths = of("path");
    let path = |broken: &str| -> Vec<String> {
        let all = chart.select(&paths);
        let all = all.filter(|p| p.attr("stroke-dasharray") == Some(broken));
        all.filter_map(|p| p.attr("d").map(str::to_owned)).collect()
    };
    let fan = path("1 3");
    assert_eq!(fan.len(), 2, "{fan:?}");
    let end = |d: &String| -> f64 {
        let (_, to) = d.split_once('L').expect("a line");
        to.split(' ')
            .next()
            .and_then(|x| x.parse().ok())
            .expect("a place")
    };
    near(
        end(&fan[0]),
        &answer["crossing"]["not_before"]["meter"],
        "not before",
    );
    near(
        end(&fan[1]),
        &answer["crossing"]["not_after"]["meter"],
        "not after",
    );
    // What was topped up, and how far it raises the level.
    let added = &answer["additions"][0];
    assert_eq!(
        (added["litres"].as_f64(), added["raises"].as_f64()),
        (Some(0.9), Some(60.0))
    );
    let (x, _) = texts.iter().find(|(_, text)| text == "+").expect("a mark");
    near(*x, &added["hours"], "added");
    assert_eq!(path("3 2").len(), 1, "{:?}", path("3 2"));
    // The region below the low rungs is dotted, that of sound readings is not.
    assert_eq!(path("1.5 12.5").len(), 1, "early");
    let caption: String = chart
        .parent()
        .and_then(|p| p.parent())
        .and_then(ElementRef::wrap)
        .map(|figure| figure.text().collect())
        .expect("a figure");
    assert!(caption.contains("topped up"), "{caption}");
    assert!(caption.contains("The denser the dots"), "{caption}");
}
