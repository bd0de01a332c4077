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
        flat(&written.stdout).contains("no hand passes the hatch"),
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
