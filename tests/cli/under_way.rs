//! `underway`.

use serde_json::json;

use super::harness::{Place, flat, record_files};

/// A boat under way since 07:00 with a plan, a round at 08:00, none until 11:10.
fn under_way() -> Place {
    let mut place = Place::with_boat();
    place.at("2026-05-03T07:00:00+02:00");
    let put = |place: &Place, args: &[&str]| {
        let run = place.run(args);
        assert_eq!(run.code, Some(0), "{args:?}: {}", run.stderr);
    };
    put(
        &place,
        &[
            "plan", "set", "crossing", "--hours", "30", "--days", "2", "--waters", "offshore",
        ],
    );
    put(
        &place,
        &[
            "underway", "begin", "--plan", "crossing", "--meter", "1250", "--fuel", "100",
        ],
    );
    place.at("2026-05-03T08:00:00+02:00");
    put(
        &place,
        &[
            "underway",
            "round",
            "--meter",
            "1251",
            "--fuel",
            "97",
            "--rpm",
            "2200",
            "--speed",
            "5.5",
            "--oil",
            "4",
            "--temperature",
            "176 F",
            "--volts",
            "14.1",
            "--vacuum",
            "2",
            "--bilge",
            "10",
            "--drops",
            "12",
            "--remark",
            "=all | quiet",
        ],
    );
    place.at("2026-05-03T11:10:00+02:00");
    place
}

#[test]
fn missed_rounds_are_shown_as_missed_and_never_filled_in() {
    let place = under_way();
    let log = place.json("underway-log", &["underway", "log"]);
    assert_eq!(log["running"], true);
    assert_eq!(log["missed"], 2);
    assert_eq!(log["late_minutes"], 130);
    let rows = log["rows"].as_array().expect("rows");
    let missed: Vec<_> = rows.iter().map(|row| row["missed"].as_u64()).collect();
    assert_eq!(missed, [Some(0), Some(0), Some(1), Some(1)]);
    let due: Vec<_> = rows
        .iter()
        .map(|row| row["at"].as_str().expect("a time"))
        .collect();
    assert!(
        due[2].contains("T09:00") && due[3].contains("T10:00"),
        "{due:?}"
    );
    assert!(rows[2]["line"].is_null());

    let written = place.run(&["underway", "round", "--remark", "all usual"]);
    assert!(
        written.stdout.contains("2026-05-03 12:10"),
        "{}",
        written.stdout
    );
    assert!(
        flat(&written.stdout).contains("No hand passes the hatch"),
        "{}",
        written.stdout
    );
    let log = place.json("underway-log", &["underway", "log"]);
    assert_eq!(
        (&log["missed"], &log["late_minutes"]),
        (&json!(2), &json!(0))
    );
    assert_eq!(log["rows"].as_array().expect("rows").len(), 5);
}

#[test]
fn a_round_is_in_every_form_of_the_log() {
    let place = under_way();
    let text = place.run(&["underway", "log"]).stdout;
    for said in [
        "MISSED",
        "1251",
        "2200",
        "176 F",
        "14.1 V",
        "130 min late",
        "Rounds missed: 2",
    ] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let csv = place.run(&["underway", "log", "--csv"]).stdout;
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let records: Vec<_> = reader.records().map(|r| r.expect("a record")).collect();
    assert_eq!(records.len(), 4);
    assert_eq!(&records[1][3], "5.5 kn");
    assert!(!records[1][11].starts_with('='), "{:?}", &records[1][11]);
    assert_eq!(&records[2][11], "MISSED");
    let markdown = place.run(&["underway", "log", "--markdown"]).stdout;
    assert_eq!(markdown.lines().count(), 6);
    assert!(markdown.contains(r"=all \| quiet"), "{markdown}");
    let other = place.json("underway-log", &["underway", "log", "--day", "2026-05-04"]);
    assert_eq!(other["rows"], json!([]));
}

/// Worked by hand: 3 L in one hour of the meter are 3 L/h; 29 h are left of 30 and ask for
/// 29 * 3 * 1.1 = 95.7 L, or 29 * 3 * 1.5 = 130.5 L, and 9.7 L not counted on; 87.3 L last 29.1 h.
#[test]
fn fuel_is_reckoned_from_the_own_log_over_what_is_left_of_the_plan() {
    let place = under_way();
    let asked = ["underway", "fuel", "--under-way"];
    let run = place.run(&asked);
    assert_eq!(run.code, Some(1), "{}", run.stdout);
    let run = place.run(&[&asked[..], &["--unusable", "9.7", "--json"]].concat());
    let fuel: serde_json::Value = serde_json::from_str(&run.stdout).expect("JSON");
    let near = |field: &str, value: f64| {
        let found = fuel[field].as_f64().expect(field);
        assert!((found - value).abs() < 1e-6, "{field}: {found}");
    };
    near("hours", 29.0);
    near("rate", 3.0);
    near("point_to_point", 105.4);
    near("thirds", 140.2);
    near("needed", 140.2);
    near("lasts_hours", 29.1);
    near("reserve_hours", 0.1);
    assert_eq!(fuel["enough"], false);
    assert!(
        fuel["rate_from"]
            .as_str()
            .expect("words")
            .contains("own log")
    );
    let more = ["--aboard", "200"];
    assert_eq!(place.run(&[&asked[..], &more].concat()).code, Some(0));
    assert_eq!(
        place
            .run(&[&asked[..], &more, &["--against"]].concat())
            .code,
        Some(1)
    );
}

#[test]
fn the_list_is_ranked_over_what_is_left_and_a_plan_used_up_is_no_answer() {
    let mut place = under_way();
    let left = place.json("defects", &["defects", "--under-way"]);
    assert_eq!(left["exposure"]["hours"], 29.0);
    place.at("2026-05-06T07:00:00+02:00");
    let over = place.run(&["defects", "--under-way"]);
    assert_eq!(over.code, Some(2));
    assert!(over.stderr.contains("used up"), "{}", over.stderr);
    assert_eq!(place.run(&["underway", "end"]).code, Some(0));
    assert!(
        place
            .run(&["defects", "--under-way"])
            .stderr
            .contains("not under way")
    );
}

#[test]
fn a_reading_of_a_round_counts_as_one_of_the_meter() {
    let place = under_way();
    let back = place.run(&["underway", "round", "--meter", "1240"]);
    assert_eq!(back.code, Some(2));
    assert!(back.stderr.contains("--meter"), "{}", back.stderr);
}

#[test]
fn what_cannot_be_is_refused_by_its_option_and_nothing_is_written() {
    let place = under_way();
    let before = record_files(&place.logbook()).len();
    for (args, named) in [
        (vec!["begin"], "end that first"),
        (vec!["round"], "--remark"),
        (vec!["round", "--oil", "4 V"], "--oil"),
        (vec!["round", "--oil=-1 bar"], "less than nothing"),
        (vec!["round", "--rpm", "1e9"], "--rpm"),
        (vec!["round", "--rpm", "NaN"], "--rpm"),
        (vec!["round", "--fuel=-3"], "less than nothing"),
        (vec!["round", "--fuel", "999999"], "--fuel"),
        (vec!["round", "--drops", "inf"], "--drops"),
        (
            vec!["round", "--at", "tomorrow noon", "--rpm", "900"],
            "--at",
        ),
        (vec!["fuel", "--rate", "0", "--hours", "3"], "--rate"),
    ] {
        let run = place.run(&[&["underway"][..], &args].concat());
        assert_eq!(run.code, Some(2), "{args:?}: {}", run.stdout);
        assert!(run.stderr.contains(named), "{args:?}: {}", run.stderr);
    }
    assert_eq!(place.run(&["underway", "end"]).code, Some(0));
    let run = place.run(&["underway", "round", "--rpm", "900"]);
    assert!(
        run.code == Some(2) && run.stderr.contains("not under way"),
        "{}",
        run.stderr
    );
    let run = place.run(&["underway", "begin", "--plan", "nowhere"]);
    assert!(
        run.code == Some(2) && run.stderr.contains("--plan"),
        "{}",
        run.stderr
    );
    let run = place.run(&["underway", "begin", "--every", "5"]);
    assert!(
        run.code == Some(2) && run.stderr.contains("--every"),
        "{}",
        run.stderr
    );
    assert_eq!(record_files(&place.logbook()).len(), before + 1);
}

/// Three hourly rounds at one speed with the figures given, then one more, whose answer comes back.
fn a_fourth_round(usual: &[&str], now: &[&str]) -> serde_json::Value {
    let mut place = Place::with_boat();
    place.at("2026-05-03T07:00:00+02:00");
    let begun = place.run(&["underway", "begin", "--meter", "1250"]);
    assert_eq!(begun.code, Some(0), "{}", begun.stderr);
    for hour in 8..=10 {
        place.at(&format!("2026-05-03T{hour:02}:00:00+02:00"));
        let run = place.run(&[&["underway", "round", "--rpm", "2200"], usual].concat());
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
    place.at("2026-05-03T11:00:00+02:00");
    place.json(
        "underway-round",
        &[&["underway", "round", "--rpm", "2200"], now].concat(),
    )
}

fn said_of<'a>(round: &'a serde_json::Value, figure: &str) -> Option<&'a serde_json::Value> {
    let said = round["said"].as_array().expect("said");
    said.iter().find(|said| said["figure"] == figure)
}

/// The sources: 3 C over the usual: look; 8 C over: slow, then stop; +3 inHg over new: change over; low oil
/// pressure against the usual alone stops nothing, next to none does (catalogue, AEL01-67).
#[test]
fn figures_outside_their_usual_are_said_with_the_order_first() {
    let usual = [
        "--oil",
        "4",
        "--temperature",
        "80",
        "--vacuum",
        "2",
        "--bilge",
        "10",
        "--volts",
        "14.1",
        "--drops",
        "4",
    ];
    let quiet = a_fourth_round(&usual, &usual);
    assert_eq!(quiet["said"], json!([]), "{quiet}");
    assert_eq!(quiet["no_usual_yet"], json!([]));
    for (now, figure, order, word) in [
        (["--temperature", "82.9"], "temperature", None, ""),
        (
            ["--temperature", "83"],
            "temperature",
            Some(json!(null)),
            "Look",
        ),
        (
            ["--temperature", "88"],
            "temperature",
            Some(json!("when-safe")),
            "Slow down",
        ),
        (["--oil", "3.7"], "oil", None, ""),
        (
            ["--oil", "3.1"],
            "oil",
            Some(json!(null)),
            "Lamp or alarm: engine off at once",
        ),
        (
            ["--oil", "0.4"],
            "oil",
            Some(json!("stop-now")),
            "no oil pressure",
        ),
        (["--vacuum", "2.9"], "vacuum", None, ""),
        (
            ["--vacuum", "5"],
            "vacuum",
            Some(json!(null)),
            "change over",
        ),
        (["--volts", "13.1"], "volts", Some(json!(null)), "belt"),
        (
            ["--bilge", "60"],
            "bilge",
            Some(json!(null)),
            "not stopped for water",
        ),
        (["--drops", "61"], "drops", Some(json!(null)), "pump"),
    ] {
        let round = a_fourth_round(&usual, &now);
        let said = said_of(&round, figure);
        let Some(order) = order else {
            assert!(said.is_none(), "{now:?}: {round}");
            continue;
        };
        let said = said.unwrap_or_else(|| panic!("{now:?}: {round}"));
        assert_eq!(said["order"], order, "{now:?}");
        let words = said["words"].as_array().expect("words");
        let all: Vec<&str> = words.iter().filter_map(|w| w.as_str()).collect();
        assert!(all.join(" ").contains(word), "{now:?}: {all:?}");
        if !order.is_null() {
            assert!(
                all[0].contains("stop the engine")
                    && all[0].to_lowercase().contains("sail or anchor ready"),
                "the order first, and the boat: {all:?}"
            );
        }
    }
}

#[test]
fn a_temperature_that_climbs_is_said_before_it_is_eight_over() {
    let mut place = Place::with_boat();
    place.at("2026-05-03T07:00:00+02:00");
    assert_eq!(place.run(&["underway", "begin"]).code, Some(0));
    let mut last = json!(null);
    for (hour, degrees) in [
        (8, "80"),
        (9, "80"),
        (10, "80"),
        (11, "81"),
        (12, "82.5"),
        (13, "84"),
    ] {
        place.at(&format!("2026-05-03T{hour:02}:00:00+02:00"));
        last = place.json(
            "underway-round",
            &["underway", "round", "--temperature", degrees],
        );
        if hour < 13 {
            assert_eq!(last["said"], json!([]), "{hour}: {last}");
        }
    }
    let said = said_of(&last, "temperature").expect("said");
    assert_eq!(said["order"], "when-safe");
    assert!(
        said["words"][1]
            .as_str()
            .expect("words")
            .contains("climbing")
    );
}

#[test]
fn nothing_is_said_of_a_figure_without_a_usual_but_that_there_is_none() {
    let mut place = Place::with_boat();
    place.at("2026-05-03T07:00:00+02:00");
    assert_eq!(place.run(&["underway", "begin"]).code, Some(0));
    place.at("2026-05-03T08:00:00+02:00");
    let round = place.json(
        "underway-round",
        &[
            "underway",
            "round",
            "--rpm",
            "2200",
            "--oil",
            "1",
            "--temperature",
            "110",
        ],
    );
    assert_eq!(round["said"], json!([]));
    assert_eq!(round["no_usual_yet"], json!(["oil", "temperature"]));
}

/// Worked by hand: 3 L an hour, then 3.7 L in an hour, which is more than a fifth over; 3.5 L is not.
#[test]
fn fuel_off_by_a_fifth_is_said() {
    for (left, said) in [("87.5", false), ("87.3", true), ("88.7", true)] {
        let mut place = Place::with_boat();
        place.at("2026-05-03T07:00:00+02:00");
        let put = |place: &Place, args: &[&str]| {
            assert_eq!(place.run(args).code, Some(0), "{args:?}");
        };
        put(
            &place,
            &["underway", "begin", "--meter", "1250", "--fuel", "100"],
        );
        for (hour, meter, fuel) in [(8, "1251", "97"), (9, "1252", "94"), (10, "1253", "91")] {
            place.at(&format!("2026-05-03T{hour:02}:00:00+02:00"));
            put(
                &place,
                &["underway", "round", "--meter", meter, "--fuel", fuel],
            );
        }
        place.at("2026-05-03T11:00:00+02:00");
        let round = place.json(
            "underway-round",
            &["underway", "round", "--meter", "1254", "--fuel", left],
        );
        assert_eq!(said_of(&round, "fuel").is_some(), said, "{left}: {round}");
    }
}

#[test]
fn an_all_usual_round_records_the_words_of_what_was_due_and_no_figure() {
    let mut place = under_way();
    let round = place.json("underway-round", &["underway", "round", "--all-usual"]);
    let usual: Vec<&str> = round["usual"]
        .as_array()
        .expect("usual")
        .iter()
        .filter_map(|u| u.as_str())
        .collect();
    assert!(
        usual.iter().any(|u| u.contains("from the helm")),
        "{usual:?}"
    );
    // She left at 07:00: by 11:10 what is looked at every four hours has come round.
    assert!(usual.iter().any(|u| u.contains("alternator")), "{usual:?}");
    assert!(
        !usual.iter().any(|u| u.contains("at their marks")),
        "{usual:?}"
    );
    let log = place.json("underway-log", &["underway", "log"]);
    let last = log["rows"]
        .as_array()
        .expect("rows")
        .last()
        .expect("a row")
        .clone();
    assert_eq!(last["line"]["usual"], round["usual"]);
    for figure in ["rpm", "oil", "temperature", "hours", "fuel"] {
        assert!(last["line"][figure].is_null(), "{figure}");
    }
    // An hour later what has four hours is not due again, and what was found is not claimed.
    place.at("2026-05-03T12:10:00+02:00");
    assert_eq!(place.run(&["find", "drive-belt", "3"]).code, Some(0));
    let round = place.json("underway-round", &["underway", "round", "--all-usual"]);
    let usual = round["usual"].to_string();
    assert!(
        !usual.contains("alternator") && !usual.contains("belt dust"),
        "{usual}"
    );
    assert!(usual.contains("gland"), "{usual}");
    // With the engine off nothing of a running engine is claimed.
    place.at("2026-05-03T13:10:00+02:00");
    let round = place.json(
        "underway-round",
        &["underway", "round", "--all-usual", "--engine-off"],
    );
    let usual = round["usual"].to_string();
    assert!(!usual.contains("oil") && usual.contains("bilge"), "{usual}");
}

#[test]
fn a_paper_sheet_is_typed_up_after_she_is_in() {
    let mut place = under_way();
    assert_eq!(place.run(&["underway", "end"]).code, Some(0));
    place.at("2026-05-03T15:00:00+02:00");
    let typed = place.run(&["underway", "round", "--at", "09:05", "--temperature", "80"]);
    assert_eq!(typed.code, Some(0), "{}", typed.stderr);
    let log = place.json("underway-log", &["underway", "log"]);
    assert_eq!(
        (&log["missed"], &log["running"]),
        (&json!(1), &json!(false))
    );
    let again = place.run(&["underway", "end", "--at", "09:30"]);
    assert!(
        again.code == Some(2) && again.stderr.contains("is in since"),
        "{}",
        again.stderr
    );
    let late = place.run(&["underway", "round", "--at", "14:00", "--temperature", "80"]);
    assert!(
        late.code == Some(2) && late.stderr.contains("not under way"),
        "{}",
        late.stderr
    );
}

#[test]
fn claims_come_with_a_round_alone() {
    let place = under_way();
    for rec in [
        json!({"type": "under-way", "kind": "ends", "usual": ["all"]}),
        json!({"type": "under-way", "kind": "ends", "engine_off": true}),
        json!({"type": "under-way", "kind": "round", "usual": [" "]}),
    ] {
        let run = place.run_with_input(&["record", "-"], &rec.to_string());
        assert_eq!(run.code, Some(2), "{rec}: {}", run.stdout);
    }
}

#[test]
fn the_sheet_has_a_line_a_round_her_usual_figures_and_the_cautions_on_top() {
    let mut place = under_way();
    for hour in [12, 13] {
        place.at(&format!("2026-05-03T{hour}:10:00+02:00"));
        let run = place.run(&[
            "underway",
            "round",
            "--rpm",
            "2200",
            "--oil",
            "4",
            "--temperature",
            "80",
        ]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
    let written = place.run(&["underway", "sheet", "--to", "watch.html"]);
    assert_eq!(written.code, Some(0), "{}", written.stderr);
    let page = std::fs::read_to_string(place.path().join("watch.html")).expect("a page");
    assert_eq!(page.matches("<tr><td>").count(), 24);
    assert!(page.contains("A4 landscape"));
    assert!(
        page.contains("<tr><td>14:10</td>"),
        "from the next round on"
    );
    // Three rounds told 80 (once as 176 F) and 4 bar at one speed: these are usual.
    assert!(
        page.contains("usual <bdi>80</bdi>") && page.contains("usual <bdi>4</bdi>"),
        "{page}"
    );
    let body = page.split("<body>").nth(1).expect("a body");
    let caution = body
        .find("Nobody goes into the engine space alone")
        .expect("said");
    assert!(caution < body.find("<table>").expect("a table"));
    for absent in ["<script", "http:", "https:", "src="] {
        assert!(!body.contains(absent), "{absent}");
    }
    // Rounds closer together than a line can be high: as many as go on one side, and that is said.
    let often = place.run(&["underway", "sheet", "--to", "watch.html", "--every", "15"]);
    assert_eq!(often.code, Some(0), "{}", often.stderr);
    let page = std::fs::read_to_string(place.path().join("watch.html")).expect("a page");
    assert_eq!(page.matches("<tr><td>").count(), 24);
    assert!(page.contains("24 rounds are 6 h"));
    let run = place.run(&["underway", "sheet", "--to", "watch.html", "--every", "5"]);
    assert!(
        run.code == Some(2) && run.stderr.contains("--every"),
        "{}",
        run.stderr
    );
}
