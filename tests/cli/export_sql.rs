//! `logbook export`: a script of SQL is written whole or not at all, lines keep to their schema. What
//! engines make of both is asked in `tests/fleet`.

use std::fs;
use std::os::unix::fs::symlink;
use std::process::Command;

use serde_json::{Value, json};

use super::harness::{Place, TWINS};

const FIRST: &str = "-- A boat's logbook as SQL, written by the program handlamp.\n";

#[test]
fn a_script_is_written_for_its_user_and_over_its_like() {
    let place = Place::with_findings();
    let path = place.path().join("plover.sql");
    let answer = place.json(
        "logbook-export",
        &["logbook", "export", "--into", "plover.sql"],
    );
    assert_eq!(
        (&answer["folder"], &answer["script"]),
        (&Value::Null, &json!("plover.sql"))
    );
    let rows = answer["rows"].as_array().expect("rows");
    let names: Vec<String> = handlamp::cli::schema::tables()
        .iter()
        .map(|t| t.name.to_owned())
        .collect();
    let told: Vec<&str> = rows.iter().filter_map(|r| r["table"].as_str()).collect();
    assert_eq!(told, names, "every table there is, and each documented");
    let text = fs::read_to_string(&path).expect("written");
    assert!(text.starts_with(FIRST) && text.ends_with("\ncommit;\n"));
    assert_eq!(text.matches("\nbegin;\n").count(), 1);
    for row in rows {
        let name = row["table"].as_str().expect("a name");
        assert!(
            text.contains(&format!("create table if not exists \"{name}\" (")),
            "{name}"
        );
        let filled = text.contains(&format!("insert into \"{name}\" ("));
        assert_eq!(filled, row["rows"] != 0, "{name}");
    }
    // The same state at the same time gives the same script, over the one that is there.
    let again = place.run(&["logbook", "export", "--into", "plover.sql"]);
    assert_eq!(again.code, Some(0), "{}", again.stderr);
    assert_eq!(fs::read_to_string(&path).expect("there"), text);
}

#[test]
fn what_is_not_counted_stands_at_its_head_and_in_its_table() {
    let place = Place::with_findings();
    for file in super::harness::record_files(&place.logbook()) {
        let text = fs::read_to_string(&file).expect("a log");
        fs::write(
            &file,
            text.replace("damp below the hole", "damp below the hoof"),
        )
        .expect("changed");
    }
    let answer = place.run(&["logbook", "export", "--into", "plover.sql", "--json"]);
    let answer: Value = serde_json::from_str(&answer.stdout).expect("JSON");
    let told = answer["not_counted"].as_array().expect("told");
    assert!(!told.is_empty());
    let text = fs::read_to_string(place.path().join("plover.sql")).expect("written");
    assert_eq!(text.matches("\n-- Not counted: ").count(), told.len());
    let rows = answer["rows"].as_array().expect("rows").iter();
    let row = rows.clone().find(|row| row["table"] == "not_counted");
    assert_eq!(row.map(|row| &row["rows"]), Some(&json!(told.len())));
}

#[test]
fn a_place_that_cannot_be_meant_is_refused_and_left_alone() {
    let place = Place::with_findings();
    let at = |name: &str| place.path().join(name);
    fs::create_dir(at("folder")).expect("made");
    fs::write(at("photo.jpg"), "no script").expect("written");
    fs::write(at("mine.sql"), format!("{FIRST}-- older\n")).expect("written");
    symlink(at("mine.sql"), at("link.sql")).expect("linked");
    for (name, code, why) in [
        ("folder", 2, "is a folder; name a plain file"),
        ("photo.jpg", 2, "holds something else; name a new file"),
        (
            "link.sql",
            2,
            "is a link to somewhere else; name a plain file",
        ),
        (
            "logbook/boat.sql",
            2,
            "lies in the logbook; name a place outside it",
        ),
        (
            "logbook/log/2026/boat.sql",
            2,
            "lies in the logbook; name a place outside it",
        ),
        ("/dev/full", 2, "is a device or pipe; name a plain file"),
        ("photo.jpg/boat.sql", 3, "Not a directory"),
    ] {
        let run = place.run(&["logbook", "export", "--into", name]);
        assert_eq!(run.code, Some(code), "{name}: {}", run.stderr);
        assert!(run.stderr.contains(why), "{name}: {}", run.stderr);
    }
    assert_eq!(
        fs::read_to_string(at("photo.jpg")).expect("there"),
        "no script"
    );
    assert_eq!(
        fs::read_to_string(at("mine.sql")).expect("there"),
        format!("{FIRST}-- older\n")
    );
    for args in [
        &["logbook", "export"][..],
        &["logbook", "export", "tables", "--into", "a.sql"],
    ] {
        assert_eq!(place.run(args).code, Some(2), "{args:?}");
    }
}

/// A file may grow to eight kilobytes, and the script does not fit: the system says so as a full disk
/// does.
#[test]
fn a_disk_that_takes_no_more_leaves_the_script_that_was_there() {
    let (place, script, before) = with_one_before();
    let sealed = place.command();
    let mut command = Command::new("sh");
    command.env_clear().current_dir(place.path());
    command.envs(sealed.get_envs().filter_map(|(k, v)| Some((k, v?))));
    let line = "trap '' XFSZ; ulimit -f 16; exec \"$0\" logbook export --into out/plover.sql";
    command.args(["-c", line, env!("CARGO_BIN_EXE_handlamp")]);
    let out = command.output().expect("sh");
    let said = String::from_utf8_lossy(&out.stderr).into_owned();
    assert_eq!(out.status.code(), Some(3), "{said}");
    assert!(said.contains("out/plover.sql cannot be written"), "{said}");
    let left = fs::read_dir(place.path().join("out")).expect("a folder");
    assert_eq!(left.count(), 1, "nothing beside it");
    assert_eq!(fs::read_to_string(&script).expect("there"), before);
    // Done again with room enough it is whole.
    let run = place.run(&["logbook", "export", "--into", "out/plover.sql"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(
        fs::read_to_string(&script)
            .expect("there")
            .ends_with("\ncommit;\n")
    );
}

/// Killed at any moment, there is the script that was there before or the new one, whole.
#[test]
fn killed_at_any_moment_the_script_is_the_old_one_or_the_new() {
    let (place, script, before) = with_one_before();
    let mut killed = 0;
    for n in 0..24 {
        fs::write(&script, &before).expect("written");
        let mut command = place.command();
        command.args(["logbook", "export", "--into", "out/plover.sql"]);
        let mut child = command
            .stdout(std::process::Stdio::null())
            .spawn()
            .expect("it starts");
        std::thread::sleep(std::time::Duration::from_millis(4 * n * n / 3));
        // It may have ended already.
        let _ = child.kill();
        let ended = child.wait().expect("it ends");
        killed += usize::from(ended.code().is_none());
        let text = fs::read_to_string(&script).expect("there");
        let whole = text.starts_with(FIRST) && text.ends_with("\ncommit;\n");
        assert!(text == before || whole, "after {n}: {} bytes", text.len());
    }
    assert!(killed > 0, "none was killed in time");
}

fn with_one_before() -> (Place, std::path::PathBuf, String) {
    let place = Place::with_findings();
    fs::create_dir(place.path().join("out")).expect("made");
    let script = place.path().join("out/plover.sql");
    let before = format!("{FIRST}-- the one before\n");
    fs::write(&script, &before).expect("written");
    (place, script, before)
}

#[test]
fn every_line_keeps_to_the_schema_of_its_table() {
    let schema = handlamp::cli::schema::export_tables();
    let schema: Value = serde_json::from_str(&schema).expect("JSON");
    let mut lines = 0;
    let twins = Place::with(TWINS);
    twins.record(&json!({"type":"walk","checklist":"daily","machine":"port","hours":500,"at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"drive-belt","grade":"failing"},{"item":"bilge-water","grade":"early","note":"= \"a\"\tb\u{1}"}]}));
    twins.record(&json!({"type":"service","task":"oil-and-filter","machine":"port","hours":500.5,"in":"7 L"}));
    for place in [Place::with_findings(), twins] {
        place.json("logbook-export", &["logbook", "export", "tables"]);
        for table in handlamp::cli::schema::tables() {
            let own = json!({"$ref": format!("#/$defs/{}", table.name), "$defs": schema["$defs"]});
            let validator = jsonschema::validator_for(&own).expect("a schema");
            let file = place
                .path()
                .join("tables")
                .join(format!("{}.ndjson", table.name));
            for line in fs::read_to_string(file).expect("a table").lines() {
                let row: Value = serde_json::from_str(line).expect("JSON");
                let faults: Vec<String> =
                    validator.iter_errors(&row).map(|e| e.to_string()).collect();
                assert!(faults.is_empty(), "{}: {line}: {faults:?}", table.name);
                lines += 1;
            }
        }
    }
    assert!(lines > 300, "{lines}");
}

#[test]
fn a_spreadsheet_gets_a_mark_where_it_is_asked_for() {
    let place = Place::with(TWINS);
    place.record(&json!({"type":"walk","checklist":"daily","machine":"port","hours":500,"at":"2026-05-03T07:40:00+02:00",
        "looks":[{"item":"drive-belt","grade":"worn"},{"item":"bilge-water","grade":"early"}]}));
    place.record(&json!({"type":"deferral","item":"drive-belt","machine":"port","why":"no part","until":540}));
    let plain = place.run(&["defects", "--csv"]);
    let marked = place.run(&["defects", "--csv", "--bom"]);
    assert_eq!(marked.stdout, format!("\u{feff}{}", plain.stdout));
    assert_eq!(place.run(&["defects", "--bom"]).code, Some(2));
    let mut reader = csv::Reader::from_reader(plain.stdout.as_bytes());
    let head = reader.headers().expect("a head").clone();
    let rows: Vec<csv::StringRecord> = reader.records().map(|r| r.expect("a row")).collect();
    let belt = rows
        .iter()
        .find(|row| row.iter().any(|cell| cell == "drive-belt"))
        .expect("the belt");
    let cell = |column: &str| {
        head.iter()
            .position(|c| c == column)
            .map(|at| belt[at].to_owned())
    };
    for (column, says) in [
        ("machine", "port"),
        ("machine_name", "Port engine"),
        ("title", "Drive belt"),
        ("who", "owner"),
        ("deferred_until_hours", "540.0"),
        ("deferred_until_date", ""),
    ] {
        assert_eq!(cell(column).as_deref(), Some(says), "{column}");
    }
    assert!(cell("station_title").is_some_and(|title| !title.is_empty()));
}
