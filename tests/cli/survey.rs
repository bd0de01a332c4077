//! What a survey needs: `cost`, `coverage`, `walks compare`.

use super::harness::{Place, TWINS, full_walk, session, without_counts};
use serde_json::json;

fn priced() -> Place {
    let place = Place::with_findings();
    for args in [
        &[
            "cost",
            "drive-belt",
            "--low",
            "40",
            "--likely",
            "60",
            "--high",
            "200",
            "--currency",
            "EUR",
            "--labour",
            "0.5,1,3",
            "--rate",
            "60",
            "--note",
            "quote of the yard",
        ][..],
        &[
            "cost",
            "raw-water-pump-seal",
            "--low",
            "100",
            "--likely",
            "150",
            "--high",
            "350",
        ],
    ] {
        let run = place.run(args);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
    place
}

#[test]
fn estimates_are_listed_and_added_up() {
    let place = priced();
    insta::assert_snapshot!(place.run(&["cost"]));
    let answer = place.json("cost", &["cost"]);
    let rows = answer["rows"].as_array().expect("rows");
    let belt = &rows[0]["estimate"];
    // 40, 60, 200 and 30, 60, 180 for labour.
    assert_eq!(
        [&belt["low"], &belt["likely"], &belt["high"]],
        [70.0, 120.0, 380.0]
    );
    assert_eq!(belt["mean"], 155.0);
    let total = &answer["totals"][0];
    assert_eq!(answer["totals"].as_array().map(Vec::len), Some(1));
    assert_eq!(total["currency"], "EUR", "the currency is kept");
    assert_eq!(total["mean"], 155.0 + 175.0);
    let span = |range: &str| {
        let end = |p: &str| total[range][p].as_f64().expect("a figure");
        end("p90") - end("p10")
    };
    assert!(span("independent") < span("dependent"));
    assert_eq!(place.json("cost", &["cost"]), answer, "the same each time");
}

#[test]
fn another_currency_has_its_own_total_and_a_later_estimate_replaces() {
    let place = priced();
    let again = [
        "cost",
        "drive-belt",
        "--low",
        "10",
        "--likely",
        "10",
        "--high",
        "10",
        "--currency",
        "SEK",
    ];
    assert_eq!(
        place.run_at("2026-05-03T09:10:00+02:00", &again).code,
        Some(0)
    );
    let answer = place
        .run_at("2026-05-03T09:20:00+02:00", &["cost", "--json"])
        .stdout;
    let answer: serde_json::Value = serde_json::from_str(&answer).expect("JSON");
    let totals = answer["totals"].as_array().expect("totals");
    let figures: Vec<_> = totals
        .iter()
        .map(|t| (&t["currency"], &t["mean"]))
        .collect();
    assert_eq!(
        figures,
        [
            (&json!("SEK"), &json!(10.0)),
            (&json!("EUR"), &json!(175.0))
        ]
    );
}

#[test]
fn what_is_repaired_costs_no_more_and_an_old_estimate_does_not_come_back() {
    let mut place = priced();
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0));
    place.at("2026-05-04T09:00:00+02:00");
    let left = place.json("cost", &["cost"]);
    assert_eq!(left["rows"].as_array().map(Vec::len), Some(1));
    let worse = full_walk(
        "w2",
        "2026-05-05T08:00:00+02:00",
        1206.0,
        &[
            json!({"item":"drive-belt","grade":"worn"}),
            json!({"item":"raw-water-pump-seal","grade":"early"}),
        ],
    );
    place.at("2026-05-05T09:00:00+02:00");
    assert_eq!(
        place.run(&["record", &place.file("w2.json", &worse)]).code,
        Some(0)
    );
    let back = place.json("cost", &["cost"]);
    assert_eq!(back["rows"][0]["item"], "drive-belt");
    assert_eq!(
        back["rows"][0]["estimate"],
        json!(null),
        "that money is spent"
    );
    assert_eq!(back["without_estimate"], 1);
}

#[test]
fn estimates_that_make_no_sense_are_refused() {
    let place = Place::with_findings();
    let cost = |item: &str, figures: [&str; 3], more: &[&str]| {
        let [low, likely, high] = figures;
        let mut args = vec![
            "cost", item, "--low", low, "--likely", likely, "--high", high,
        ];
        args.extend(more);
        place.run(&args)
    };
    let runs = [
        cost("drive-belt", ["5", "4", "6"], &[]),
        cost("drive-belt", ["1", "4", "3"], &[]),
        cost("drive-belt", ["nan", "4", "6"], &[]),
        cost("drive-belt", ["1", "4", "inf"], &[]),
        cost(
            "drive-belt",
            ["1", "2", "3"],
            &["--labour", "1,2", "--rate", "50"],
        ),
        cost(
            "drive-belt",
            ["1", "2", "3"],
            &["--labour", "3,2,4", "--rate", "50"],
        ),
        cost("drive-belt", ["1", "2", "3"], &["--labour", "1,2,4"]),
        cost("drive-belt", ["1", "2", "3"], &["--currency", " "]),
        cost("oil-hoses", ["1", "2", "3"], &[]),
        cost("drive-blet", ["1", "2", "3"], &[]),
        place.run(&["cost", "drive-belt"]),
        place.run(&["cost", "--low", "3"]),
    ];
    assert!(
        runs.iter()
            .all(|r| r.code == Some(2) && r.stdout.is_empty())
    );
    insta::assert_snapshot!(session(&runs));
    let hand = r#"{"type":"cost","item":"drive-belt","low":-1,"likely":2,"high":3,"colour":"red"}"#;
    let run = place.run_with_input(&["record", "-"], hand);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("colour"), "{}", run.stderr);
    place.record(&json!({"type":"cost","item":"drive-belt","low":1,"likely":2,"high":3,"labour":{"hours":[1,2,3],"rate":50}}));
    let answer = place.json("cost", &["cost"]);
    assert_eq!(answer["rows"][0]["estimate"]["high"], 153.0);
}

#[test]
fn a_survey_has_no_verdict_but_coverage() {
    let place = Place::with_boat();
    let looks = json!([
        {"item":"drive-belt","grade":"worn"},
        {"item":"engine-oil-level","grade":"sound"},
        {"item":"bilge-alarm","not_seen":"no access","close_by":"lift the aft board"},
    ]);
    place.record(&json!({"type":"walk","id":"s1","checklist":"survey","at":"2026-05-03T07:40:00+02:00","looks":looks}));
    let verdict = place.run(&["verdict", "--walk", "s1"]);
    assert!(
        verdict.stdout.contains("see: handlamp coverage --walk s1"),
        "{}",
        verdict.stdout
    );
    let text = place.run(&["coverage"]);
    assert_eq!(text.code, Some(0));
    // The rows of the table are figures of the whole catalogue; the laws of them are below.
    let told = without_counts(&text.stdout);
    let told = told
        .lines()
        .filter(|l| !l.starts_with(['1', '2', '3', '4']));
    insta::assert_snapshot!(told.collect::<Vec<_>>().join("\n"));
    let answer = place.json("coverage", &["coverage", "--walk", "s1"]);
    assert_eq!(answer["seen"], 2);
    let count = |row: &str, of: &str| {
        let rows = answer[row].as_array().expect("rows");
        rows.iter()
            .map(|r| r[of].as_u64().unwrap_or(1))
            .sum::<u64>()
    };
    assert_eq!(count("hidden", "items"), count("not_seen", "none"));
    assert_eq!(answer["asked"], 2 + count("hidden", "items"));
    let share = |name: &str| answer[name].as_f64().expect("a share");
    assert!(share("weighted") > 0.0 && share("plain") < 0.1);
}

#[test]
fn a_survey_with_everything_seen_hides_nothing() {
    let place = Place::with_findings();
    let answer = place.json("coverage", &["coverage"]);
    assert_eq!(
        (&answer["plain"], &answer["weighted"]),
        (&json!(1.0), &json!(1.0))
    );
    assert_eq!(answer["hidden"], json!([]));
    assert_eq!(answer["walk"], "w1", "no survey: the last walk");
}

fn two_walks(looks: &[serde_json::Value]) -> Place {
    let mut place = Place::with_findings();
    place.at("2026-05-10T09:00:00+02:00");
    let sheet = full_walk("w2", "2026-05-10T08:00:00+02:00", 1210.0, looks);
    let run = place.run(&["record", &place.file("w2.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place
}

#[test]
fn two_walks_are_compared_item_by_item() {
    let place = two_walks(&[
        json!({"item":"drive-belt","grade":"failing"}),
        json!({"item":"raw-water-pump-seal","phase":"cold","grade":"sound","better":"cleaned"}),
        json!({"item":"engine-oil-level","phase":"cold","grade":"sound","reading":{"value":70,"unit":"%"}}),
        json!({"item":"bilge-alarm","not_seen":"no access"}),
    ]);
    insta::assert_snapshot!(place.run(&["walks", "compare", "w1", "w2"]));
    let answer = place.json("walks-compare", &["walks", "compare", "w1", "w2"]);
    let rows = answer["rows"].as_array().expect("rows");
    let row = |item: &str| rows.iter().find(|r| r["item"] == item).expect("a row");
    assert_eq!(row("drive-belt")["rungs"], 1);
    assert_eq!(row("raw-water-pump-seal")["rungs"], -1);
    assert_eq!(row("bilge-alarm")["rungs"], json!(null));
    let found = &answer["agreement"];
    let (items, same) = (found["items"].as_u64(), found["same"].as_u64());
    assert_eq!(items.zip(same).map(|(n, k)| n - k), Some(2));
    let back = place.json("walks-compare", &["walks", "compare", "w2", "w1"]);
    assert_eq!(
        &back["agreement"], found,
        "it does not matter which comes first"
    );
}

#[test]
fn what_was_put_right_between_says_nothing_of_agreement() {
    let mut place = Place::with_findings();
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0));
    place.at("2026-05-10T09:00:00+02:00");
    let seal = json!({"item":"raw-water-pump-seal","phase":"cold","grade":"early"});
    let sheet = full_walk("w2", "2026-05-10T08:00:00+02:00", 1210.0, &[seal]);
    assert_eq!(
        place.run(&["record", &place.file("w2.json", &sheet)]).code,
        Some(0)
    );
    let answer = place.json("walks-compare", &["walks", "compare", "w1", "w2"]);
    assert_eq!(answer["agreement"]["put_right"], 1);
    assert_eq!(answer["agreement"]["share"], 1.0);
    assert_eq!(answer["agreement"]["kappa"], 1.0);
}

#[test]
fn no_kappa_where_it_says_nothing() {
    let mut place = Place::with_boat();
    let walk = |id: &str, item: &str| json!({"type":"walk","id":id,"checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":[{"item":item,"grade":"sound"}]});
    for (id, item) in [
        ("a", "drive-belt"),
        ("b", "drive-belt"),
        ("c", "bilge-alarm"),
    ] {
        place.record(&walk(id, item));
    }
    place.at("2026-05-03T10:00:00+02:00");
    let runs = [
        place.run(&["walks", "compare", "a", "b"]),
        place.run(&["walks", "compare", "a", "c"]),
        place.run(&["walks", "compare", "a", "a"]),
        place.run(&["walks", "compare", "a", "d"]),
    ];
    insta::assert_snapshot!(session(&runs));
    for other in ["b", "c"] {
        let answer = place.json("walks-compare", &["walks", "compare", "a", other]);
        assert_eq!(answer["agreement"]["kappa"], json!(null));
    }
    let twins = Place::with(TWINS);
    for (id, machine) in [("p", "port"), ("s", "starboard")] {
        twins.record(&json!({"type":"walk","id":id,"checklist":"daily","machine":machine,"at":"2026-05-03T07:40:00+02:00","looks":[]}));
    }
    let run = twins.run(&["walks", "compare", "p", "s"]);
    assert_eq!(run.code, Some(2));
    assert!(
        run.stderr.contains("two walks of one machine"),
        "{}",
        run.stderr
    );
}
