//! The schema of what `record` takes: what it takes keeps to it, what it refuses for its form does
//! not. Besides, every file the other tests record is held against it, see `harness`.

use std::path::Path;

use serde_json::{Value, json};

use super::harness::{Place, record_faults};

#[test]
fn the_committed_schema_is_the_generated_one() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("checklists/schema/record.json");
    let text = format!("{:#}\n", handlamp::logbook::input::schema().as_value());
    if std::env::var_os("HANDLAMP_BLESS").is_some() {
        std::fs::write(&path, &text).expect("written");
    }
    let committed = std::fs::read_to_string(&path).expect("the schema is committed");
    assert_eq!(
        committed.replace('\r', ""),
        text,
        "HANDLAMP_BLESS=1 rewrites it"
    );
    let printed = Place::empty().run(&["checklist", "schema", "record"]);
    assert_eq!(printed.stdout, text);
}

/// The documents of `record` that a text for people shows.
fn shown(file: &str) -> Vec<Value> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let text = std::fs::read_to_string(path).expect("the text");
    let blocks = text.split("```json\n").skip(1);
    let blocks = blocks.filter_map(|rest| rest.split("```").next());
    let values = blocks.filter_map(|block| serde_json::from_str::<Value>(block).ok());
    let records = |v: &Value| {
        handlamp::logbook::input::type_names()
            .iter()
            .any(|t| v["type"] == *t)
    };
    values.filter(records).collect()
}

#[test]
fn the_examples_keep_to_it() {
    let examples: Vec<Value> = ["README.md", "src/logbook/FORMAT.md"]
        .into_iter()
        .flat_map(shown)
        .collect();
    assert!(!examples.is_empty());
    for example in &examples {
        assert_eq!(
            record_faults(&example.to_string()),
            Vec::<String>::new(),
            "{example}"
        );
        assert_eq!(
            record_faults(&json!([example]).to_string()),
            Vec::<String>::new()
        );
    }
}

/// One document of every type, with every field that is asked for.
fn documents() -> Vec<Value> {
    let item = |mut of: Value| {
        of["item"] = "drive-belt".into();
        of["machine"] = "main".into();
        of
    };
    vec![
        json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","blind":true,
               "looks":[{"item":"drive-belt","grade":"worn"}]}),
        item(json!({"type":"repair","done":"fitted a new belt"})),
        json!({"type":"meter","machine":"main","at":"2026-05-01T08:00:00Z","old":1203.0,"new":0}),
        item(json!({"type":"fitted"})),
        item(json!({"type":"deferral","why":"no part","until":"2026-06-01"})),
        item(json!({"type":"deferral","why":"no part","until":1260})),
        item(json!({"type":"override","severity":3,"why":"seen closer"})),
        item(json!({"type":"withdrawal","why":"it was salt"})),
        item(json!({"type":"recheck","why":"nip the clip","due_hours":1250})),
        item(json!({"type":"removed"})),
        item(json!({"type":"opened","what":"belt off"})),
        json!({"type":"closed","of":"r1"}),
        json!({"type":"retired","machine":"main","why":"sold"}),
        json!({"type":"learning","state":"frozen"}),
        json!({"type":"plan","name":"to the yard","hours":3}),
        json!({"type":"under-way","kind":"round","machine":"main","oil":{"value":4,"unit":"bar"},"fuel":"97 L"}),
        json!({"type":"service","task":"engine-oil-and-filter","machine":"main","in":"7 L"}),
        json!({"type":"when-last","task":"gearbox-oil","machine":"main","last":"2025-05-01T00:00:00+02:00","hours":900}),
        json!({"type":"job-minutes","item":"drive-belt","machine":"main","minutes":45}),
        json!({"type":"part","part":"oil-filter","machine":"main","makers_number":"K 100","fits":["R 7"],"height_mm":79,
               "bypass":true,"not_known":["thread"]}),
        json!({"type":"spare","spare":"drive-belts","machine":"main","lies":"under the chart table","fitted_once":"2026-04-02",
               "tools":true,"instruction":true,"serves":["drive-belt"],"not_known":["use_by"]}),
        json!({"type":"stock","spare":"drive-belts","machine":"main","moved":"bought","count":2}),
        json!({"type":"place-photo","fact":"seacocks_at","photo":{"path":"hull.jpg","caption":"from the stern"}}),
        json!({"type":"arranged","item":"engine-seacock","machine":"main","point":[-30,34,6]}),
        json!({"type":"service-interval","task":"engine-oil-and-filter","machine":"main","hours":150}),
        item(json!({"type":"cost","low":1,"likely":2,"high":3})),
        json!({"type":"agreement","walk":"w1","agreed":{"runs":"the owner"}}),
        json!({"type":"front-matter","walk":"w1","entries":{"client":"A. Finch","flag":null}}),
        json!({"type":"told","walk":"w1","told":{"items":["fuel-hoses"],"whom":"R. Quay",
               "at":"2026-05-03T12:00:00Z"}}),
        json!({"type":"started-anyway","walk":"w1","at":"2026-05-03T12:00:00Z","why":"a lee shore",
               "started":"2026-05-03T12:00:00Z"}),
    ]
}

/// Schema and reader agree on the form of every type, and on what is wrong with it.
#[test]
fn what_is_wrong_in_form_is_refused_by_schema_and_reader() {
    let reads =
        |of: &Value| handlamp::logbook::input::read_documents("in.json", &of.to_string()).is_ok();
    let good = |of: &Value| record_faults(&of.to_string()).is_empty();
    let mut seen = std::collections::BTreeSet::new();
    for document in documents() {
        let tag = document["type"].as_str().expect("a type").to_owned();
        assert!(reads(&document) && good(&document), "{document}");
        let changed = |change: &dyn Fn(&mut Value)| {
            let mut changed = document.clone();
            change(&mut changed);
            assert!(!reads(&changed), "read: {changed}");
            assert!(!good(&changed), "in the schema: {changed}");
        };
        changed(&|d| d["colour"] = "grey".into());
        changed(&|d| d["type"] = "repairs".into());
        changed(&|d| {
            d.as_object_mut().expect("an object").remove("type");
        });
        seen.insert(tag);
    }
    assert_eq!(
        seen.len(),
        handlamp::logbook::input::type_names().len(),
        "{seen:?}"
    );
    let walk = |look: Value| json!({"type":"walk","checklist":"daily","at":"2026-05-03T07:40:00+02:00","looks":[look]});
    for wrong in [
        walk(json!({"item":"drive-belt"})),
        walk(json!({"item":"drive-belt","grade":"worn","not_seen":"no access"})),
        walk(json!({"item":"drive-belt","grade":"bad"})),
        walk(json!({"item":"drive-belt","grade":"worn","colour":"grey"})),
        walk(json!({"item":"drive-belt","grade":"worn","reading":{"value":40}})),
        walk(json!({"item":"drive-belt","grade":"worn","wear":[{"mark":"rust"}]})),
        json!({"type":"walk","checklist":"daily","looks":[]}),
        json!({"type":"repair","item":"drive-belt"}),
        json!({"type":"repair","item":"drive-belt","done":"x","hours":-1}),
        json!({"type":"override","item":"drive-belt","why":"x","severity":9}),
        json!({"type":"deferral","item":"drive-belt","why":"x","until":true}),
        json!({"type":"told","walk":"w1","told":{"items":["x"],"whom":"y"}}),
    ] {
        assert!(!reads(&wrong) && !good(&wrong), "{wrong}");
    }
}
