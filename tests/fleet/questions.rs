//! What somebody asks who looks after many boats: each question in SQL on each engine, against what the
//! commands of each boat say. Scripts of several days are loaded, each again and cut off midway.

use std::collections::BTreeMap;
use std::path::PathBuf;

use chrono::{DateTime, Datelike, NaiveDate};
use handlamp::text::safe_text;
use serde_json::{Value, json};

use super::harness::{PROFILE, Place, TWINS, full_walk};
use super::{NOW, ask};

/// A note that would end a text, hide a line, act on a terminal or be refused by an engine.
const HOSTILE: &str = "'; drop table boats; --\n\\' \\. \\x27 \"\"'' $$ ${x} :name ?1 %s\u{0}\u{1b}[2J\u{202e}\u{200f}e\u{301}\r\n/* ;\ncommit;\n.quit\n\\q\n";

struct Boats {
    /// Plover, namesake, terns, hostile, new.
    places: Vec<Place>,
    /// Scripts in the order they are loaded: of an earlier day, then of today.
    scripts: Vec<PathBuf>,
    /// Ids, in the order of the places.
    ids: Vec<String>,
}

fn png() -> Vec<u8> {
    let picture = image::RgbImage::from_pixel(4, 3, image::Rgb([90, 120, 60]));
    let mut out = std::io::Cursor::new(Vec::new());
    picture
        .write_to(&mut out, image::ImageFormat::Png)
        .expect("encoded");
    out.into_inner()
}

fn plover() -> Place {
    let place = Place::with_findings();
    std::fs::write(place.path().join("belt.png"), png()).expect("written");
    for record in [
        json!({"type":"recheck","item":"drive-belt","due_at":"2026-05-10T09:00:00+02:00","why":"see it once more"}),
        json!({"type":"cost","item":"drive-belt","low":40,"likely":60,"high":200,"currency":"EUR","labour":{"hours":[1,2,3],"rate":50}}),
        json!({"type":"cost","item":"raw-water-pump-seal","low":10,"likely":20,"high":30,"currency":"EUR"}),
        json!({"type":"part","part":"drive-belt","machine":"main","makers_number":"K 100"}),
    ] {
        place.record(&record);
    }
    place
}

/// What happens to her after the first export: more looks, one taken back, one put right.
fn plover_later(place: &mut Place) {
    for (n, (at, hours, value)) in [
        ("2026-05-05T08:00:00+02:00", 1206.0, 300.0),
        ("2026-05-09T08:00:00+02:00", 1214.0, 290.0),
        ("2026-05-14T08:00:00+02:00", 1215.5, 280.5),
    ]
    .into_iter()
    .enumerate()
    {
        let looks = [
            json!({"item":"drive-belt","grade":"worn","photos":[{"path":"belt.png","caption":"the frayed edge"}]}),
            json!({"item":"raw-water-pump-seal","phase":"cold","grade":"early"}),
            json!({"item":"coolant-level","phase":"cold","grade":"sound","photos":[{"path":"belt.png"}]}),
            json!({"item":"oil-pressure","phase":"idle","grade":"sound","reading":{"value":value,"unit":"kPa"}}),
        ];
        place.at(at);
        let sheet = full_walk(&format!("m{n}"), at, hours, &looks);
        let file = place.file("walk.json", &sheet);
        let run = place.run(&["record", &file]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
    place.at("2026-05-15T09:00:00+02:00");
    place.record(
        &json!({"type":"withdrawal","id":"w-1","item":"raw-water-pump-seal","why":"it was salt"}),
    );
    place.record(&json!({"type":"recheck","id":"r-1","item":"raw-water-pump-seal","due_hours":1500,"why":"not before long"}));
    for args in [
        &[
            "entries",
            "take-back",
            "w-1",
            "--why",
            "it drips again",
            "--by",
            "R. Quay",
        ][..],
        &[
            "entries",
            "put-right",
            "r-1",
            "due_hours=1300",
            "--why",
            "a slip",
        ],
    ] {
        let run = place.run(args);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
}

/// Another boat of that name, with a record that was changed outside and so is not counted.
fn namesake() -> Place {
    let place = Place::with(&PROFILE.replace("1200.0", "88.0"));
    place.record(&json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":[{"item":"drive-belt","grade":"worn"}]}));
    place.record(&json!({"type":"cost","item":"drive-belt","low":400,"likely":600,"high":900,"currency":"NOK"}));
    place.record(&json!({"type":"repair","item":"drive-belt","at":"2026-05-03T08:00:00+02:00","done":"new belt"}));
    for file in super::harness::record_files(&place.logbook()) {
        let text = std::fs::read_to_string(&file).expect("a log");
        if text.contains("new belt") {
            std::fs::write(&file, text.replace("new belt", "new bolt")).expect("changed");
        }
    }
    place
}

/// Two engines, one stopped, and one that she has no more.
fn terns() -> Place {
    let place = Place::with(TWINS);
    for (machine, hours, grade) in [("port", 500, "failing"), ("starboard", 40, "worn")] {
        place.record(&json!({"type":"walk","checklist":"daily","machine":machine,"hours":hours,"at":"2026-05-03T07:40:00+02:00",
            "looks":[{"item":"drive-belt","grade":grade},{"item":"bilge-water","grade":"early"}]}));
    }
    place.record(&json!({"type":"retired","machine":"starboard","why":"sold"}));
    place
}

/// A boat of a name, with notes and ids, that would do harm where they were not only text.
fn hostile() -> Place {
    let place = Place::with(&PROFILE.replace("Grey Plover", "Robert'); drop table boats;--"));
    let long = "x' ; ".repeat(1500);
    place.record(&json!({"type":"walk","checklist":"daily","id":"w.1:a_-","at":"2026-05-03T07:40:00+02:00","hours":1201,
        "by":"O'Quay -- \u{202e}","looks":[{"item":"drive-belt","grade":"worn","note":HOSTILE},
        {"item":"bilge-water","grade":"early","note":long}]}));
    place
}

impl Boats {
    fn exported() -> Boats {
        let mut places = vec![
            plover(),
            namesake(),
            terns(),
            hostile(),
            Place::with(&PROFILE.replace("1200.0", "7.0")),
        ];
        let mut scripts = Vec::new();
        let mut write = |place: &Place, name: &str| {
            let answer = place.json("logbook-export", &["logbook", "export", "--into", name]);
            assert_eq!(answer["rows"][0]["table"], "boats");
            scripts.push(place.path().join(name));
        };
        write(&places[0], "before.sql");
        plover_later(&mut places[0]);
        for place in &mut places {
            place.at(NOW);
            write(place, "now.sql");
        }
        let id = |place: &Place| {
            place.json("logbook-export", &["logbook", "export", "tables"]);
            let boats = std::fs::read_to_string(place.path().join("tables/boats.ndjson"));
            let boat: Value = serde_json::from_str(&boats.expect("a table")).expect("JSON");
            boat["boat"].as_str().expect("an id").to_owned()
        };
        let ids = places.iter().map(id).collect();
        Boats {
            places,
            scripts,
            ids,
        }
    }

    /// What a command says of each boat, as rows with the boat's id.
    fn own(&self, rows: impl Fn(&Place) -> Vec<Value>) -> Vec<Value> {
        let each = self.places.iter().zip(&self.ids);
        each.flat_map(|(place, id)| {
            rows(place).into_iter().map(move |mut row| {
                row["boat"] = json!(id);
                row
            })
        })
        .collect()
    }
}

fn rows_of(answer: &Value, name: &str) -> Vec<Value> {
    answer[name].as_array().expect("rows").clone()
}

/// Some fields of a row, under other names where two are given.
fn some(row: &Value, fields: &[(&str, &str)]) -> Value {
    let cells = fields.iter().map(|(from, to)| {
        let cell = from.split('.').fold(row, |value, field| &value[field]);
        let cell = match cell {
            Value::Bool(truth) => json!(f64::from(u8::from(*truth))),
            Value::String(text) => json!(safe_text(text)),
            Value::Number(n) => json!((n.as_f64().expect("a figure") * 1e6).round() / 1e6),
            other => other.clone(),
        };
        ((*to).to_owned(), cell)
    });
    Value::Object(cells.collect())
}

/// Two sets of rows are the same.
fn same(asked: &Value, question: &str, fields: &[&str], own: &[Value]) {
    let fields: Vec<(&str, &str)> = fields.iter().map(|f| (*f, *f)).collect();
    let order = |mut rows: Vec<String>| {
        rows.sort();
        rows
    };
    let asked = rows_of(asked, question);
    let asked = order(asked.iter().map(|r| some(r, &fields).to_string()).collect());
    let own = order(own.iter().map(|r| some(r, &fields).to_string()).collect());
    let lacks = |of: &[String], other: &[String]| -> Vec<String> {
        of.iter()
            .filter(|row| !other.contains(row))
            .cloned()
            .collect()
    };
    let beside = (lacks(&asked, &own), lacks(&own, &asked));
    assert_eq!(asked.len(), own.len(), "{question}: {beside:#?}");
    assert!(asked == own && !own.is_empty(), "{question}: {beside:#?}");
}

fn machines(place: &Place) -> Vec<String> {
    let boat = place.json("boat", &["boat", "show"]);
    let machines = rows_of(&boat["boat"], "machines").into_iter();
    machines
        .map(|m| m["id"].as_str().expect("an id").to_owned())
        .collect()
}

fn may_not_go_out(place: &Place) -> Vec<Value> {
    let mut rows = Vec::new();
    for machine in machines(place) {
        let run = place.run(&["verdict", "--machine", &machine, "--json"]);
        match run.code {
            Some(0) => {}
            Some(2) => rows.push(json!({"machine": machine})),
            _ => {
                let verdict: Value = serde_json::from_str(&run.stdout).expect("JSON");
                for (n, reason) in rows_of(&verdict, "reasons").iter().enumerate() {
                    let item = reason["item"].as_str().filter(|item| !item.is_empty());
                    rows.push(
                        json!({"machine": machine, "verdict_now": verdict["now"], "number": n + 1,
                        "item": item, "rule": reason["rule"]}),
                    );
                }
            }
        }
    }
    rows
}

fn due(place: &Place) -> Vec<Value> {
    rows_of(&place.json("due", &["due"]), "rows")
}

fn defects(place: &Place) -> Vec<Value> {
    rows_of(&place.json("defects", &["defects"]), "rows")
}

fn waiting(place: &Place) -> Vec<Value> {
    let rows = defects(place).into_iter();
    rows.filter(|row| matches!(row["state"].as_str(), Some("open" | "deferred")))
        .collect()
}

fn overdue(place: &Place) -> Vec<Value> {
    let late = |row: &Value| {
        let by = row["fix_within"]["date"]
            .as_str()
            .is_some_and(|by| by <= &NOW[..10]);
        row["state"] == "open" && (row["stop"] == true || by)
    };
    let defects = defects(place).into_iter().filter(late);
    let defects = defects.map(|row| json!({"what": "defect", "id": row["item"], "item": row["item"], "machine": row["machine"], "due_date": row["fix_within"]["date"]}));
    due(place)
        .into_iter()
        .filter(|row| row["due"] == true)
        .chain(defects)
        .collect()
}

/// Sums of what each boat says, under a name.
fn added(rows: &[Value], by: &str, fields: &[&str]) -> Vec<Value> {
    let mut sums: BTreeMap<String, BTreeMap<&str, f64>> = BTreeMap::new();
    for row in rows {
        let sum = sums
            .entry(row[by].as_str().unwrap_or_default().to_owned())
            .or_default();
        for field in fields {
            *sum.entry(field).or_default() += row[field].as_f64().unwrap_or_default();
        }
    }
    let row = |(name, sum): (String, BTreeMap<&str, f64>)| {
        let mut row = json!({ by: name });
        for (field, sum) in sum {
            row[field] = json!(sum);
        }
        row
    };
    sums.into_iter().map(row).collect()
}

fn when(value: &Value) -> DateTime<chrono::FixedOffset> {
    DateTime::parse_from_rfc3339(value.as_str().expect("a time")).expect("a time")
}

fn in_utc(value: &Value) -> Value {
    match value {
        Value::Null => Value::Null,
        at => json!(
            when(at)
                .to_utc()
                .format("%Y-%m-%d %H:%M:%S%.f+00:00")
                .to_string()
        ),
    }
}

/// Hours of each month from what walks read, in proportion between them: reckoned here alone.
fn months(place: &Place) -> Vec<Value> {
    let mut rows = Vec::new();
    for machine in machines(place) {
        let walks = rows_of(
            &place.json("walks", &["walks", "--machine", &machine]),
            "rows",
        );
        let mut read: Vec<(f64, f64)> = walks
            .iter()
            .filter_map(|w| Some((when(&w["at"]).timestamp() as f64, w["hours"].as_f64()?)))
            .collect();
        read.sort_by(|a, b| a.0.total_cmp(&b.0));
        let (Some(first), Some(last)) = (read.first().copied(), read.last().copied()) else {
            continue;
        };
        rows.push(
            json!({"machine": machine, "first": first.0, "last": last.0, "run": last.1 - first.1}),
        );
    }
    rows
}

fn asked_of(boats: &Boats, answer: &Value) {
    assert_eq!(answer["counts"]["boats"], boats.places.len());
    assert_eq!(answer["orphans"], json!([]));

    let fields = ["boat", "machine", "verdict_now", "number", "item", "rule"];
    let stopped = boats.own(may_not_go_out);
    assert!(
        stopped
            .iter()
            .any(|r| r["verdict_now"] == "do-not-run" && r["machine"] == "port"),
        "{stopped:?}"
    );
    same(answer, "may-not-go-out", &fields, &stopped);

    let own = boats.own(overdue);
    let tasks = own.iter().filter(|row| row["what"] == "task").count();
    assert!(tasks > 20, "{tasks} tasks of unknown age");
    same(
        answer,
        "overdue",
        &["boat", "what", "id", "item", "machine", "due_date"],
        &own,
    );

    let own = boats.own(|place| {
        let parts = rows_of(&place.json("parts", &["defects", "--parts"]), "rows").into_iter();
        parts
            .flat_map(|part| {
                let number = part["numbers"][0]["makers_number"].clone();
                let items = rows_of(&part, "items").into_iter();
                items.map(move |item| json!({"part": part["part"], "item": item, "makers_number": number}))
            })
            .collect()
    });
    assert!(
        own.iter().any(|row| row["makers_number"] == "K 100"),
        "{own:?}"
    );
    same(
        answer,
        "parts-to-order",
        &["boat", "part", "item", "makers_number"],
        &own,
    );

    let listed = boats.own(defects);
    let of = |row: &Value| {
        some(
            row,
            &[
                ("boat", "boat"),
                ("stop", "stop"),
                ("risk", "risk"),
                ("code", "code"),
                ("rank", "rank"),
                ("item", "item"),
                ("machine", "machine"),
                ("grade", "grade"),
                ("state", "state"),
                ("remedy.who", "who"),
                ("remedy.do", "remedy"),
                ("fix_within.date", "fix_by"),
            ],
        )
    };
    let own: Vec<Value> = listed.iter().map(of).collect();
    let fields = [
        "boat", "stop", "risk", "code", "rank", "item", "machine", "grade", "state", "who",
        "remedy", "fix_by",
    ];
    same(answer, "open-defects-by-risk", &fields, &own);

    let totals = boats.own(|place| rows_of(&place.json("cost", &["cost"]), "totals"));
    let sums = added(
        &totals,
        "currency",
        &["estimates", "low", "likely", "high", "mean"],
    );
    assert_eq!(sums.len(), 2, "{sums:?}");
    same(
        answer,
        "cost-totals",
        &["currency", "estimates", "low", "likely", "high", "mean"],
        &sums,
    );
    let without: f64 = boats
        .places
        .iter()
        .filter_map(|place| place.json("cost", &["cost"])["without_estimate"].as_f64())
        .sum();
    assert_eq!(
        answer["cost-totals"][0]["without_estimate"].as_f64(),
        Some(without)
    );

    let counted: Vec<Value> = listed
        .iter()
        .map(|row| {
            let risk = row["risk"].as_str().expect("a risk");
            json!({"item": row["item"], "stops": u8::from(row["stop"] == true), risk: 1})
        })
        .collect();
    let own = added(
        &counted,
        "item",
        &["stops", "high", "serious", "medium", "low"],
    );
    same(
        answer,
        "worst-item",
        &["item", "stops", "high", "serious", "medium", "low"],
        &own,
    );
    assert_eq!(answer["worst-item"][0]["item"], "drive-belt");

    let own = boats.own(|place| {
        let last = |machine: String| {
            let walks = place.json("walks", &["walks", "--machine", &machine]);
            let walk = rows_of(&walks, "rows").pop().unwrap_or_default();
            // Walks told from a file end with their last look, in the minute they began.
            let days = (!walk.is_null()).then(|| (when(&json!(NOW)) - when(&walk["at"])).num_days());
            json!({"machine": machine, "walk": walk["id"], "at": in_utc(&walk["at"]), "days_ago": days})
        };
        machines(place).into_iter().map(last).collect()
    });
    assert!(
        own.iter().any(|row| row["walk"].is_null()) && own.iter().any(|row| row["days_ago"] == 6),
        "{own:?}"
    );
    same(
        answer,
        "last-walks",
        &["boat", "machine", "walk", "at", "days_ago"],
        &own,
    );

    // The trend is in the unit of the item; a bar is a hundred kilopascals (SI brochure, 9th edition).
    let own = boats.own(
        |place| match place.run(&["trend", "oil-pressure", "--json"]) {
            run if run.code == Some(0) => {
                let trend: Value = serde_json::from_str(&run.stdout).expect("JSON");
                let points = rows_of(&trend, "points").into_iter();
                points
                    .map(|p| json!({"at": in_utc(&p["at"]), "base_value": p["value"].as_f64().map(|bar| bar * 100.0)}))
                    .collect()
            }
            _ => Vec::new(),
        },
    );
    assert_eq!(own.len(), 3);
    same(
        answer,
        "readings-of-an-item",
        &["boat", "at", "base_value"],
        &own,
    );

    let own = boats.own(|place| {
        let defect = |row: Value| json!({"what": "defect", "who": row["remedy"]["who"], "place": row["remedy"]["where"], "id": row["item"], "machine": row["machine"]});
        let task = |row: Value| json!({"what": "task", "who": row["who"], "place": row["where"], "id": row["id"], "machine": row["machine"]});
        let tasks = due(place).into_iter().filter(|row| row["due"] == true && row["what"] == "task");
        waiting(place).into_iter().map(defect).chain(tasks.map(task)).collect()
    });
    same(
        answer,
        "work-by-person-and-place",
        &["boat", "what", "who", "place", "id", "machine"],
        &own,
    );

    let soon = |row: &Value| {
        row["due"] == true || row["days_left"].as_f64().is_some_and(|days| days <= 30.0)
    };
    let own = boats.own(|place| due(place).into_iter().filter(soon).collect());
    same(
        answer,
        "due-in-30-days",
        &[
            "boat",
            "what",
            "id",
            "item",
            "machine",
            "due_date",
            "days_left",
            "due",
        ],
        &own,
    );

    // Every hour that meters told stands in the months up to the last reading.
    for row in boats.own(months) {
        let of = |r: &&Value| r["boat"] == row["boat"] && r["machine"] == row["machine"];
        let asked = rows_of(answer, "hours-by-month");
        let asked: Vec<&Value> = asked.iter().filter(of).collect();
        let first = DateTime::from_timestamp(row["first"].as_f64().expect("a time") as i64, 0)
            .expect("a time");
        let month = NaiveDate::from_ymd_opt(first.year(), first.month(), 1);
        assert!(asked[0]["month"].as_str() <= month.map(|m| m.to_string()).as_deref());
        let all: f64 = asked.iter().filter_map(|r| r["hours"].as_f64()).sum();
        let run = row["run"].as_f64().expect("hours");
        // The profile's own reading comes before the walks', the rate of use after them.
        assert!(
            all >= run - 1e-6 && all <= run + 20.0,
            "{all} of {run}: {asked:?}"
        );
    }

    // By hand: her meter read 1200.0 on 26 April at nine and 1203.6 on 3 May at 7.40; of those 10 000
    // minutes 6 660 are of April.
    let april = rows_of(answer, "hours-by-month");
    let april = april
        .iter()
        .find(|r| r["boat"] == boats.ids[0].as_str() && r["month"] == "2026-04-01");
    let hours = april.and_then(|r| r["hours"].as_f64()).expect("April");
    assert!((hours - 3.6 * 6660.0 / 10_000.0).abs() < 1e-9, "{hours}");

    // The belt's three pictures are of an open finding; those of the sound coolant are not.
    let pictures = rows_of(answer, "photographs-of-open-findings");
    assert_eq!(pictures.len(), 3, "{pictures:?}");
    for picture in &pictures {
        assert_eq!(
            (&picture["item"], &picture["caption"]),
            (&json!("drive-belt"), &json!("the frayed edge"))
        );
        let kept = picture["kept"].as_str().expect("taken in");
        assert!(
            boats.places[0]
                .logbook()
                .join("photos")
                .join(kept)
                .is_file()
        );
    }

    let own = boats.own(|place| {
        let entries = rows_of(
            &place.json("entries", &["entries", "--most", "9999"]),
            "rows",
        );
        entries
            .into_iter()
            .filter(|row| row["state"] != "stands")
            .collect()
    });
    assert_eq!(own.len(), 2, "{own:?}");
    same(
        answer,
        "taken-back",
        &["boat", "state", "id", "kind", "words", "was"],
        &own,
    );

    let own = boats.own(
        |place| match place.json("due", &["due"])["not_counted"].clone() {
            Value::Array(rows) => rows,
            _ => Vec::new(),
        },
    );
    let said = rows_of(answer, "not-counted");
    assert!(
        !own.is_empty() && said.len() == own.len(),
        "{own:?} {said:?}"
    );
    let why = |row: &Value| row["why"].as_str().expect("why").to_owned();
    assert!(own.iter().all(|o| {
        said.iter().any(|s| {
            s["boat"] == o["boat"] && s["sentence"].as_str().is_some_and(|t| t.ends_with(&why(o)))
        })
    }));
}

fn on(engine: &str) {
    let boats = Boats::exported();
    if let Some(answer) = ask(engine, boats.scripts.clone()) {
        asked_of(&boats, &answer);
    }
}

#[test]
fn all_is_asked_in_duckdb() {
    on("duckdb");
}

#[test]
fn all_is_asked_in_postgresql() {
    on("postgres");
}

#[test]
fn all_is_asked_in_sqlite() {
    on("sqlite");
}

/// Four boats of a few weeks, two of them made by the program and two by copying: the sweep of
/// `tests/fleet/many.py` in small.
#[test]
fn many_boats_are_asked() {
    let mut command = super::python("many.py");
    let queries = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/fleet");
    command
        .arg(env!("CARGO_BIN_EXE_handlamp"))
        .arg(queries)
        .args(["2", "4", "0.2"]);
    let Some(told) = super::answered("duckdb", command) else {
        return;
    };
    assert_eq!((&told["boats"], &told["made"]), (&json!(4), &json!(2)));
    // Ten weeks of forty looks on each.
    assert_eq!(told["looks"], 4 * 10 * 40);
}
