//! The schemas of the outputs.

use super::harness::Place;

#[test]
fn the_committed_schemas_are_the_generated_ones() {
    let folder = format!("{}/assets/schema", env!("CARGO_MANIFEST_DIR"));
    let mut names: Vec<String> = Vec::new();
    for (name, text) in handlamp::cli::schema::outputs() {
        let path = format!("{folder}/{name}.json");
        if std::env::var_os("HANDLAMP_BLESS").is_some() {
            std::fs::create_dir_all(&folder).expect("made");
            std::fs::write(&path, &text).expect("written");
        }
        let committed = std::fs::read_to_string(&path).expect("the schema is committed");
        assert_eq!(
            committed.replace('\r', ""),
            text,
            "HANDLAMP_BLESS=1 rewrites {name}"
        );
        names.push(format!("{name}.json"));
    }
    for entry in std::fs::read_dir(&folder).expect("a folder") {
        let name = entry
            .expect("a file")
            .file_name()
            .to_string_lossy()
            .into_owned();
        assert!(names.contains(&name), "{name} is the schema of nothing");
    }
}

#[test]
fn a_schema_refuses_a_field_nobody_documented() {
    for (name, text) in handlamp::cli::schema::outputs() {
        let schema = serde_json::from_str(&text).expect("JSON");
        let validator = jsonschema::validator_for(&schema).expect("a schema");
        let answer = serde_json::json!({"schema": format!("handlamp/{name}/1"), "surprise": 1});
        let faults: Vec<_> = validator
            .iter_errors(&answer)
            .map(|e| e.to_string())
            .collect();
        assert!(
            faults.iter().any(|f| f.contains("surprise")),
            "{name}: {faults:?}"
        );
    }
}

#[test]
fn every_schema_is_printed_by_name() {
    let place = Place::empty();
    let names = place.json("schemas", &["checklist", "schema"]);
    for row in names["rows"].as_array().expect("names") {
        let name = row["name"].as_str().expect("a name");
        let run = place.run(&["checklist", "schema", name]);
        let schema: serde_json::Value = serde_json::from_str(&run.stdout).expect("JSON");
        assert!(jsonschema::validator_for(&schema).is_ok(), "{name}");
    }
    let near = place.run(&["checklist", "schema", "defect"]);
    assert_eq!(near.code, Some(2));
    assert!(
        near.stderr.contains("nearest is 'defects'"),
        "{}",
        near.stderr
    );
}
