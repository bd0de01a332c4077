//! `fleet`: every boat of a folder and what adds up over all, and what one may begin from by the others.

use std::collections::BTreeMap;
use std::fs;
use std::path::PathBuf;

use serde_json::{Value, json};

use super::harness::{Place, Run, flat, record_files, session};

const NOW: &str = "2026-05-03T09:00:00+02:00";
const SEAL: &str = "raw-water-pump-seal";

/// A home whose boats lie in one folder.
fn home() -> Place {
    let mut place = Place::empty();
    place.at(NOW);
    place
}

/// Where the logbook of a boat lies.
fn root(place: &Place, folder: &str) -> PathBuf {
    place.path().join("boats").join(folder)
}

fn aboard(place: &Place, folder: &str, args: &[&str]) -> Run {
    let root = root(place, folder);
    let mut all = args.to_vec();
    all.extend(["--logbook", root.to_str().expect("UTF-8")]);
    place.run(&all)
}

fn done(run: &Run) {
    assert_eq!(run.code, Some(0), "{}: {}", run.line, run.stderr);
}

/// Begins the logbook of a boat of this name; her meter makes her another than her namesakes.
fn begin(place: &Place, folder: &str, name: &str, hours: f64) {
    let profile = json!({"type":"boat","name":name,"waters":"inshore","units":"metric",
        "usual_hours_per_month":15,
        "machines":[{"id":"main","name":"Main engine","hours":hours,"without":["stuffing-box"]}]});
    let file = place.file(&format!("{folder}.json"), &profile.to_string());
    let root = root(place, folder);
    let args = [
        "boat",
        "new",
        &file,
        "--logbook",
        root.to_str().expect("UTF-8"),
    ];
    done(&place.run_at("2023-12-01T09:00:00+01:00", &args));
}

/// Records a finished walk with looks.
fn walk(place: &Place, folder: &str, at: &str, hours: f64, looks: &[(&str, &str)]) {
    let looks: Vec<Value> = looks
        .iter()
        .map(|(item, grade)| json!({"item":item,"grade":grade}))
        .collect();
    let sheet = json!({"type":"walk","checklist":"daily","machine":"main","at":at,
        "hours":hours,"looks":looks});
    let file = place.file("walk.json", &sheet.to_string());
    done(&aboard(place, folder, &["record", &file]));
}

/// Twelve boats, each with a finding of her own; two bear one name.
fn twelve() -> Place {
    let place = home();
    let found = ["drive-belt", SEAL, "engine-mounts"];
    for n in 0..12_u32 {
        let folder = format!("boat-{n:02}");
        let name = if n < 2 {
            "Grey Plover".to_owned()
        } else {
            format!("Boat {n}")
        };
        begin(&place, &folder, &name, 1000.0 + f64::from(n));
        let item = found[n as usize % 3];
        let grade = if n % 4 == 0 { "failing" } else { "worn" };
        let hours = 1010.0 + f64::from(n);
        walk(
            &place,
            &folder,
            "2026-05-02T08:00:00+02:00",
            hours,
            &[(item, grade)],
        );
    }
    place
}

/// The answer as JSON, whatever the exit code, held against its schema.
fn answer(place: &Place, args: &[&str]) -> (Option<i32>, Value) {
    let mut all = vec!["fleet", "boats", "--json"];
    all.extend(args);
    let run = place.run(&all);
    let answer: Value = serde_json::from_str(&run.stdout).expect("JSON alone on stdout");
    let path = format!("{}/assets/schema/fleet.json", env!("CARGO_MANIFEST_DIR"));
    let schema = fs::read_to_string(path).expect("the schema is committed");
    let schema = serde_json::from_str(&schema).expect("JSON");
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let faults: Vec<String> = validator
        .iter_errors(&answer)
        .map(|e| e.to_string())
        .collect();
    assert!(faults.is_empty(), "{faults:?}");
    (run.code, answer)
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

const SUMS: [&str; 6] = ["stays", "parts", "work", "due", "failing", "rates"];

#[test]
fn every_sum_is_that_of_the_boats_by_themselves() {
    let place = twelve();
    let (code, all) = answer(&place, &[]);
    assert_eq!(code, Some(0));
    assert_eq!(all["over"], json!({"boats":12,"missing":[],"in_part":[]}));
    assert!(all.get("not_counted").is_none(), "nothing is missing");
    let (mut jobs, mut due, mut stops) = (BTreeMap::new(), 0, 0);
    let mut parts: BTreeMap<String, usize> = BTreeMap::new();
    for boat in list(&all["boats"]) {
        let folder = boat["logbook"].as_str().expect("a folder");
        let alone = |args: &[&str]| -> Value {
            let run = aboard(&place, folder, &[args, &["--json"]].concat());
            serde_json::from_str(&run.stdout).expect("JSON")
        };
        let defects = alone(&["defects"]);
        let rows = list(&defects["rows"]);
        let stopped = rows.iter().filter(|row| row["stop"] == true).count();
        assert_eq!(boat["stops"], stopped, "{folder}");
        assert_eq!(boat["listed"], rows.len(), "{folder}");
        let worst: Vec<_> = rows.iter().take(5).map(|row| row["item"].clone()).collect();
        let told: Vec<_> = list(&boat["worst"])
            .iter()
            .map(|w| w["item"].clone())
            .collect();
        assert_eq!(told, worst, "{folder}");
        let verdict = alone(&["verdict", "--machine", "main"]);
        assert_eq!(boat["verdict"], verdict["now"], "{folder}");
        let stays = list(&all["stays"]["rows"])
            .iter()
            .any(|row| row["logbook"] == folder);
        assert_eq!(stays, boat["may_go_out"] == false, "{folder}");
        assert!(stays || stopped == 0, "{folder}");
        stops += stopped;
        for row in rows.iter().filter(|row| row["state"] == "open") {
            let remedy = &row["remedy"];
            let key = (remedy["who"].to_string(), remedy["where"].to_string());
            *jobs.entry(key).or_insert(0) += 1;
        }
        for part in list(&alone(&["defects", "--parts"])["rows"]) {
            let part = part["part"].as_str().expect("words").to_owned();
            *parts.entry(part).or_default() += 1;
        }
        due += list(&alone(&["due"])["rows"]).len();
    }
    assert!(
        stops > 0 && due > 0 && parts.len() > 2,
        "there is something to sum"
    );
    let told: BTreeMap<_, _> = list(&all["work"]["rows"])
        .iter()
        .map(|row| {
            let key = (row["who"].to_string(), row["where"].to_string());
            (key, list(&row["jobs"]).len())
        })
        .collect();
    assert_eq!(told, jobs);
    let weeks = &all["due"];
    let count = |field: &str| weeks[field].as_u64().expect("a count") as usize;
    let dated: usize = list(&weeks["rows"])
        .iter()
        .map(|w| list(&w["rows"]).len())
        .sum();
    assert_eq!(
        dated + count("later") + count("unknown_age") + count("undated"),
        due
    );
    // Each thing needed has a finding or a task it is for, on a boat that is named.
    for part in list(&all["parts"]["rows"]) {
        let at = list(&part["boats"]);
        let pieces: u64 = at.iter().filter_map(|at| at["pieces"].as_u64()).sum();
        assert_eq!(part["pieces"], pieces, "{part}");
        assert!(at.iter().all(|at| !list(&at["for"]).is_empty()), "{part}");
    }
    let belts = list(&all["parts"]["rows"])
        .iter()
        .find(|row| row["part"] == "Drive belt");
    let belts = belts.expect("belts are needed");
    assert_eq!(belts["pieces"], 4, "boats 0, 3, 6 and 9: {belts}");
    let failing = list(&all["failing"]["rows"]);
    let found: u64 = failing
        .iter()
        .filter_map(|row| row["findings"].as_u64())
        .sum();
    assert_eq!(found, 3, "boats 0, 4 and 8 found one failing each");
    for row in failing {
        assert!(
            row["looks"].as_u64() > Some(0) && row["watched_on"] == 4,
            "{row}"
        );
    }
}

#[test]
fn a_damaged_logbook_takes_nothing_from_the_others_and_is_missing_in_every_sum() {
    let place = twelve();
    let (_, whole) = answer(&place, &[]);
    // One whose profile and records are gone, one of which a line is spoilt.
    fs::write(root(&place, "boat-05/boat.json"), "{").expect("spoilt");
    fs::remove_dir_all(root(&place, "boat-05/log")).expect("lost");
    let files = record_files(&root(&place, "boat-07"));
    let file = files.last().expect("a file of the log");
    let text = fs::read_to_string(file).expect("read");
    fs::write(file, text.replace("\"worn\"", "\"early\"")).expect("changed outside");
    fs::create_dir(root(&place, "no-logbook")).expect("made");
    place.file("boats/notes.txt", "buy paint");
    let (code, hurt) = answer(&place, &[]);
    assert_eq!(code, Some(3), "a part cannot be read");
    for sum in SUMS {
        let over = &hurt[sum]["over"];
        assert_eq!(over["boats"], 11, "{sum}");
        assert_eq!(over["missing"][0]["logbook"], "boat-05", "{sum}");
        let why = over["missing"][0]["why"].as_str().expect("why");
        assert!(
            why.contains("boat.json cannot be understood"),
            "{sum}: {why}"
        );
        assert_eq!(over["in_part"][0]["logbook"], "boat-07", "{sum}");
    }
    for (before, after) in list(&whole["boats"]).iter().zip(list(&hurt["boats"])) {
        let folder = after["logbook"].as_str().expect("a folder");
        match folder {
            "boat-05" => assert!(after["may_go_out"] == false && !after["problem"].is_null()),
            "boat-07" => assert!(!list(&after["not_counted"]).is_empty()),
            _ => assert_eq!(before, after, "{folder}"),
        }
    }
    let why = |folder: &str| {
        let rows = list(&hurt["stays"]["rows"]).iter();
        let row = rows
            .clone()
            .find(|row| row["logbook"] == folder)
            .expect(folder);
        row["why"].to_string()
    };
    assert!(why("boat-05").contains("cannot be read"));
    assert!(why("boat-07").contains("not counted"), "{}", why("boat-07"));
    let told = hurt["not_counted"].to_string();
    assert!(
        told.contains("boat-05: the whole logbook") && told.contains("boat-07/log"),
        "{told}"
    );
    let beside: Vec<_> = list(&hurt["beside"])
        .iter()
        .map(|b| b["name"].clone())
        .collect();
    assert_eq!(beside, ["no-logbook", "notes.txt"]);
    // The same on the page, whatever is asked for.
    for sum in SUMS {
        let run = place.run(&["fleet", "boats", "--what", sum]);
        let page = flat(&run.stdout);
        assert_eq!(run.code, Some(3), "{sum}");
        let missing = "over 11 of 12 boats; MISSING in it: boat-05, whose logbook cannot be read";
        assert_eq!(page.matches(missing).count(), 2, "{sum}: {page}");
        assert!(
            page.contains("NOT COUNTED") && page.contains("Boat 7 (1)"),
            "{sum}: {page}"
        );
        assert!(page.contains("left aside: notes.txt"), "{sum}: {page}");
    }
}

#[test]
fn two_boats_of_one_name_are_told_apart_and_copies_counted_once() {
    let place = home();
    begin(&place, "bay", "Grey Plover", 900.0);
    begin(&place, "creek", "Grey Plover", 100.0);
    for folder in ["bay", "creek"] {
        let at = "2026-05-02T08:00:00+02:00";
        walk(&place, folder, at, 950.0, &[("drive-belt", "failing")]);
    }
    let (_, told) = answer(&place, &[]);
    let names: Vec<_> = list(&told["boats"])
        .iter()
        .map(|b| b["boat"].clone())
        .collect();
    assert_eq!(names, ["Grey Plover (bay)", "Grey Plover (creek)"]);
    assert!(
        told["notes"][0]
            .as_str()
            .expect("said")
            .contains("told apart by their folders")
    );
    assert_eq!(told["failing"]["rows"][0]["findings"], 2);
    super::harness::copy(&root(&place, "bay"), &root(&place, "bay-copy"));
    let at = "2026-05-03T08:00:00+02:00";
    walk(&place, "bay-copy", at, 952.0, &[(SEAL, "failed")]);
    let (_, told) = answer(&place, &[]);
    assert_eq!(
        (list(&told["boats"]).len(), &told["over"]["boats"]),
        (3, &json!(2))
    );
    let notes = told["notes"].to_string();
    assert!(notes.contains("bay, bay-copy are copies of one"), "{notes}");
    let findings: Vec<_> = list(&told["failing"]["rows"])
        .iter()
        .map(|r| &r["findings"])
        .collect();
    assert_eq!(
        findings.len(),
        2,
        "the copy with the most records counts: {told}"
    );
}

#[test]
fn a_folder_without_boats_is_refused() {
    let place = home();
    begin(&place, "bay", "Grey Plover", 900.0);
    place.file("empty/notes.txt", "nothing");
    // Records of which none says whose they are: a logbook that cannot be read, and not none.
    super::harness::copy(&root(&place, "bay"), &place.path().join("lost/bay"));
    fs::remove_file(place.path().join("lost/bay/boat.json")).expect("lost");
    for file in record_files(&place.path().join("lost/bay")) {
        let text = fs::read_to_string(&file).expect("read");
        fs::write(&file, text.replace("\"ev\":\"boat\"", "\"ev\":\"boot\"")).expect("spoilt");
    }
    let runs = [
        place.run(&["fleet", "empty"]),
        place.run(&["fleet", "boats/bay"]),
        place.run(&["fleet", "nowhere"]),
        place.run(&["fleet", "lost", "--what", "stays"]),
        place.run(&["fleet", "boats", "--what", "gossip"]),
    ];
    let codes: Vec<_> = runs.iter().map(|run| run.code).collect();
    assert_eq!(codes, [Some(3), Some(3), Some(3), Some(3), Some(2)]);
    assert!(runs[3].stdout.contains("MAY NOT GO OUT"), "{}", runs[3]);
    insta::assert_snapshot!(session(&runs));
}

/// The seal of a boat goes from sound to early twice, after so many hours each time.
fn seal_twice(place: &Place, folder: &str, name: &str, first: f64, stays: f64) {
    begin(place, folder, name, first);
    let look = |at: &str, hours: f64, grade: &str, better: Option<&str>| {
        let sheet = json!({"type":"walk","checklist":"daily","machine":"main","at":at,"hours":hours,
            "looks":[{"item":SEAL,"grade":grade,"better":better}]});
        let file = place.file("walk.json", &sheet.to_string());
        done(&aboard(place, folder, &["record", &file]));
    };
    look("2024-01-02T08:00:00+01:00", first + 1.0, "sound", None);
    look("2025-01-02T08:00:00+01:00", first + stays, "sound", None);
    look(
        "2025-01-09T08:00:00+01:00",
        first + stays + 10.0,
        "early",
        None,
    );
    look(
        "2025-01-10T08:00:00+01:00",
        first + stays + 11.0,
        "sound",
        Some("repaired"),
    );
    look(
        "2026-01-09T08:00:00+01:00",
        first + 2.0 * stays,
        "sound",
        None,
    );
    look(
        "2026-01-16T08:00:00+01:00",
        first + 2.0 * stays + 10.0,
        "early",
        None,
    );
}

/// Four boats whose seals stay sound for long, and one whose own is worn.
fn fleet_of_seals() -> (Place, String) {
    let place = home();
    for (n, stays) in [4000.0, 3000.0, 5000.0, 3500.0].into_iter().enumerate() {
        seal_twice(
            &place,
            &format!("old-{n}"),
            &format!("Old {n}"),
            100.0 + n as f64,
            stays,
        );
    }
    begin(&place, "new", "New", 50.0);
    let at = "2026-05-01T08:00:00+02:00";
    walk(
        &place,
        "new",
        at,
        55.0,
        &[(SEAL, "sound"), ("drive-belt", "worn")],
    );
    let file = place.path().join("pooled.json");
    let file = file.to_str().expect("UTF-8").to_owned();
    done(&place.run(&["fleet", "boats", "--what", "rates", "--rates", &file]));
    (place, file)
}

fn of(place: &Place, folder: &str, args: &[&str]) -> Value {
    let run = aboard(place, folder, &[args, &["--json"]].concat());
    assert!(matches!(run.code, Some(0 | 1)), "{run}");
    serde_json::from_str(&run.stdout).expect("JSON")
}

#[test]
fn what_others_taught_counts_only_where_it_was_taken_in_and_every_answer_says_so() {
    let (place, file) = fleet_of_seals();
    let (_, fleet) = answer(&place, &["--what", "rates"]);
    let rows = list(&fleet["rates"]["rows"]);
    let seal = rows
        .iter()
        .find(|row| row["kind"] == "seal" && row["rung"] == 0)
        .expect("seals");
    assert_eq!(
        (seal["moves"].clone(), list(&seal["boats"]).len()),
        (json!(8), 4)
    );
    let asked: [&[&str]; 4] = [
        &["explain", SEAL],
        &["defects", "--all"],
        &["verdict", "--machine", "main"],
        &["due"],
    ];
    let before: Vec<Value> = asked.iter().map(|args| of(&place, "new", args)).collect();
    assert!(
        before
            .iter()
            .all(|answer| answer.get("not_counted").is_none())
    );
    assert_eq!(before[0]["dwell_means"][0], 1500.0, "the judgement");
    // Telling records nothing.
    let told = of(&place, "new", &["learning", "start", &file, "--only-tell"]);
    assert_eq!(told["entry"], Value::Null);
    assert_eq!(of(&place, "new", asked[0]), before[0]);
    let run = aboard(
        &place,
        "new",
        &["learning", "start", &file, "--why", "her sisters"],
    );
    done(&run);
    insta::assert_snapshot!(
        session(&[
            place.run(&["fleet", "boats", "--what", "rates"]),
            run,
            aboard(&place, "new", &["learning"]),
        ])
        .lines()
        .map(|line| match line.find("take-back ") {
            Some(at) => format!("{}[ID]", &line[..at + "take-back ".len()]),
            None => line.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("\n")
    );
    let after: Vec<Value> = asked.iter().map(|args| of(&place, "new", args)).collect();
    let start = &after[0]["starts"][0];
    assert_eq!(
        (&start["kind"], &start["boats"], &start["moves"]),
        (&json!("seal"), &json!(4), &json!(8))
    );
    let dwell = after[0]["dwell_means"][0].as_f64().expect("a dwell");
    assert!(dwell > 3000.0, "hers is a boat like the others: {dwell}");
    assert_eq!(
        after[0]["dwell_means"][1], 600.0,
        "rungs not watched stay with the judgement"
    );
    let chance = |answer: &Value| answer["chance"].as_f64().expect("a chance");
    assert!(chance(&after[0]) < chance(&before[0]), "it reads better");
    let steps = after[0]["steps"].to_string();
    assert!(
        steps.contains("pooled over 4 other boats, 8 moves in"),
        "{steps}"
    );
    for (args, answer) in asked.iter().zip(&after) {
        let said = answer["not_counted"][0]["why"].as_str().unwrap_or_default();
        assert!(
            said.contains("judgement") && said.contains("is longer"),
            "{args:?}: {said}"
        );
    }
    let learned = of(&place, "new", &["learning"]);
    let entry = learned["started"]["entry"]
        .as_str()
        .expect("an entry")
        .to_owned();
    assert_eq!(learned["started"]["why"], "her sisters");
    // Learning switched off goes by the judgement alone.
    done(&aboard(&place, "new", &["learning", "off"]));
    assert_eq!(of(&place, "new", asked[0])["dwell_means"][0], 1500.0);
    done(&aboard(&place, "new", &["learning", "resume"]));
    // It is taken back like any other entry, and put back.
    let why = ["--why", "her seal is another"];
    done(&aboard(
        &place,
        "new",
        &[&["entries", "take-back", &entry][..], &why].concat(),
    ));
    let again: Vec<Value> = asked.iter().map(|args| of(&place, "new", args)).collect();
    assert_eq!(again, before);
}

#[test]
fn a_boat_among_those_pooled_is_not_counted_twice_and_too_few_offer_nothing() {
    let (place, file) = fleet_of_seals();
    let run = aboard(
        &place,
        "old-0",
        &["learning", "start", &file, "--only-tell", "--json"],
    );
    let told: Value = serde_json::from_str(&run.stdout).expect("JSON");
    let rates = list(&told["rates"]);
    assert_eq!(
        (&rates[0]["boats"], &rates[0]["moves"]),
        (&json!(3), &json!(6))
    );
    let hours = rates[0]["hours"].as_f64().expect("hours");
    assert!(
        rates[0]["shape"].as_f64() <= Some(6.0) && hours < 27_000.0,
        "{told}"
    );
    let text = fs::read_to_string(&file).expect("the file");
    assert!(
        !text.contains("Old") && !text.contains("New"),
        "no names go along"
    );
    let mut few: Value = serde_json::from_str(&text).expect("JSON");
    for row in few["rows"].as_array_mut().expect("rows") {
        row["boats"].as_array_mut().expect("boats").truncate(2);
    }
    let few = place.file("few.json", &few.to_string());
    let run = aboard(&place, "new", &["learning", "start", &few]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(
        run.stderr
            .contains("fewer than 3 boats: the judgement stays"),
        "{run}"
    );
    assert!(of(&place, "new", &["learning"]).get("started").is_none());
}

#[test]
fn a_file_of_rates_from_outside_is_refused_by_line_and_field() {
    let (place, file) = fleet_of_seals();
    let text = fs::read_to_string(&file).expect("the file");
    let good: Value = serde_json::from_str(&text).expect("JSON");
    let mut runs = Vec::new();
    let mut with = |name: &str, change: &dyn Fn(&mut Value)| {
        let mut bad = good.clone();
        change(&mut bad);
        let bad = place.file(name, &format!("{bad:#}"));
        runs.push(aboard(&place, "new", &["learning", "start", &bad]));
    };
    with("type.json", &|v| v["type"] = json!("rates"));
    with("hours.json", &|v| {
        v["rows"][0]["boats"][0]["hours"] = json!(-1.0)
    });
    with("great.json", &|v| {
        v["rows"][0]["boats"][1]["hours"] = json!(1e300)
    });
    with("moves.json", &|v| {
        v["rows"][0]["boats"][0]["moves"] = json!(-3)
    });
    with("standing.json", &|v| v["rows"][0]["standing"] = json!(9.0));
    with("rung.json", &|v| v["rows"][0]["rung"] = json!(4));
    with("field.json", &|v| v["rows"][0]["weight"] = json!(1));
    with("twice.json", &|v| {
        let boat = v["rows"][0]["boats"][0].clone();
        v["rows"][0]["boats"][1] = boat;
    });
    with("rows.json", &|v| v["rows"][1] = v["rows"][0].clone());
    with("hidden.json", &|v| {
        v["rows"][0]["boats"][0]["boat"] = json!("a\u{1b}[2J")
    });
    let broken = place.file("broken.json", &text[..text.len() / 2]);
    runs.push(aboard(&place, "new", &["learning", "start", &broken]));
    for run in &runs {
        assert_eq!(run.code, Some(2), "{run}");
        assert!(
            run.stderr.contains(" line ") && run.stdout.is_empty(),
            "{run}"
        );
        assert!(!run.stderr.contains('\u{1b}'), "{run:?}", run = run.stderr);
    }
    insta::assert_snapshot!(session(&runs));
    assert!(
        of(&place, "new", &["learning"]).get("started").is_none(),
        "nothing was recorded"
    );
    // Another file is not written over.
    place.file("mine.json", "my own notes");
    let run = place.run(&["fleet", "boats", "--rates", "mine.json"]);
    assert_eq!(run.code, Some(2), "{run}");
    let mine = fs::read_to_string(place.path().join("mine.json")).expect("still there");
    assert_eq!(mine, "my own notes");
}
