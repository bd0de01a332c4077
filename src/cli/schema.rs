//! JSON Schema of every output, and of the files a user may write.

use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::{Value, json};

use super::answer::schema_id;
use super::{boat, checklist, defects, demo, keys, logbook, plan, record, report, verdict, walks};
use crate::boat::Boat;
use crate::checklist::schemas;
use crate::defects::explain::Explanation;
use crate::report::Report;

/// The names of the schemas, as `checklist schema` lists them.
#[derive(Serialize, JsonSchema)]
pub struct Names {
    /// In the order of their names.
    pub rows: Vec<Name>,
}

/// One name.
#[derive(Serialize, JsonSchema)]
pub struct Name {
    /// To give to `checklist schema`.
    pub name: String,
}

impl From<&str> for Name {
    fn from(name: &str) -> Name {
        Name {
            name: name.to_owned(),
        }
    }
}

/// Name and text of the schema of every output, as committed under `assets/schema/`.
pub fn outputs() -> Vec<(&'static str, String)> {
    vec![
        ("boat", output::<boat::BoatBody>("boat")),
        (
            "checklist-check",
            output::<checklist::CheckBody>("checklist-check"),
        ),
        (
            "checklist-list",
            output::<checklist::ListBody>("checklist-list"),
        ),
        (
            "checklist-show",
            output::<checklist::ShowBody>("checklist-show"),
        ),
        ("defects", output::<defects::DefectsBody>("defects")),
        ("demo", output::<demo::DemoBody>("demo")),
        ("explain", output::<Explanation>("explain")),
        ("keys", output::<keys::KeysBody>("keys")),
        (
            "logbook-check",
            output::<logbook::LogCheckBody>("logbook-check"),
        ),
        (
            "logbook-export",
            output::<logbook::ExportBody>("logbook-export"),
        ),
        (
            "logbook-merge",
            output::<logbook::MergeBody>("logbook-merge"),
        ),
        ("parts", output::<defects::PartsBody>("parts")),
        ("plan-compare", output::<plan::CompareBody>("plan-compare")),
        ("plans", output::<plan::PlansBody>("plans")),
        ("recorded", output::<record::RecordedBody>("recorded")),
        ("report", output::<Report>("report")),
        (
            "report-written",
            output::<report::ReportBody>("report-written"),
        ),
        ("schemas", output::<Names>("schemas")),
        ("verdict", output::<verdict::VerdictBody>("verdict")),
        ("walks", output::<walks::WalksBody>("walks")),
    ]
}

/// Every schema by name: the user's files (`catalogue`, `checklist`, `boat-profile`) and the
/// outputs.
pub fn all() -> Vec<(&'static str, String)> {
    let mut all: Vec<_> = schemas().into_iter().collect();
    let profile = schemars::schema_for!(Boat);
    all.push(("boat-profile", format!("{:#}\n", profile.as_value())));
    all.extend(outputs());
    all.sort_by_key(|(name, _)| *name);
    all
}

/// The schema of a body under its envelope. Objects are closed, so that a field nobody
/// documented cannot slip into an output.
fn output<T: JsonSchema>(name: &str) -> String {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    RecursiveTransform(close).transform(&mut schema);
    if let Some(Value::Object(properties)) = schema.get_mut("properties") {
        properties.insert("schema".to_owned(), json!({"const": schema_id(name)}));
    }
    if let Some(Value::Array(required)) = schema.get_mut("required") {
        required.insert(0, json!("schema"));
    }
    format!("{:#}\n", schema.as_value())
}

fn close(schema: &mut Schema) {
    if schema.get("properties").is_some() {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}
