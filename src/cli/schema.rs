//! JSON Schema of every output, and of the files a user may write.

use schemars::generate::SchemaSettings;
use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema};
use serde::Serialize;
use serde_json::{Value, json};

use super::answer::schema_id;
use super::{
    boat, carry, causes, checklist, cost, coverage, defects, demo, due, entries, find,
    first_minute, fleet, front, give_on, hand_over, issue, item, keys, learning, leaving, locker,
    logbook, parts, places, plan, ready, record, report, service, started, symptoms, under_way,
    verdict, verify, walks, yard,
};
use crate::boat::Boat;
use crate::causes::CausesFile;
use crate::checklist::schemas;
use crate::defects::NotCounted;
use crate::defects::explain::Explanation;
use crate::defects::trend_answer::TrendAnswer;
use crate::fleet::offer::RatesFile;
use crate::logbook::input::schema as record_input;
use crate::logbook::table::Table;
use crate::report::Report;
use crate::service::label::Label;

/// The names of the schemas, as `checklist schema` lists them.
#[derive(Serialize, JsonSchema)]
pub struct Names {
    /// In the order of their names.
    pub rows: Vec<Name>,
}

/// One schema, by its name.
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
        ("carry", output::<carry::CarryBody>("carry")),
        ("causes", output::<causes::CausesBody>("causes")),
        ("causes-add", output::<causes::CausesAddBody>("causes-add")),
        (
            "causes-list",
            output::<causes::CausesListBody>("causes-list"),
        ),
        (
            "checklist-add",
            output::<checklist::AddBody>("checklist-add"),
        ),
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
        ("cost", output::<cost::CostBody>("cost")),
        ("coverage", output::<coverage::CoverageBody>("coverage")),
        ("defects", output::<defects::DefectsBody>("defects")),
        ("demo", output::<demo::DemoBody>("demo")),
        ("due", output::<due::DueBody>("due")),
        ("ready", output::<ready::ReadyBody>("ready")),
        ("places", output::<places::PlacesBody>("places")),
        ("entries", output::<entries::EntriesBody>("entries")),
        ("entry", output::<entries::EntryBody>("entry")),
        (
            "entry-changed",
            output::<entries::ChangeBody>("entry-changed"),
        ),
        ("explain", output::<Explanation>("explain")),
        ("finding", output::<find::FindBody>("finding")),
        (
            "first-minute",
            output::<first_minute::FirstMinuteBody>("first-minute"),
        ),
        ("fleet", output::<fleet::FleetBody>("fleet")),
        ("front", output::<front::FrontBody>("front")),
        ("issue", output::<issue::IssueBody>("issue")),
        ("issued", output::<issue::IssuedBody>("issued")),
        ("item", output::<item::ItemAnswer>("item")),
        ("give-on", output::<give_on::GiveOnBody>("give-on")),
        ("hand-over", output::<hand_over::HandOverBody>("hand-over")),
        ("keys", output::<keys::KeysBody>("keys")),
        ("learning", output::<learning::LearningBody>("learning")),
        ("yard", output::<yard::YardBody>("yard")),
        ("yard-back", output::<yard::YardBackBody>("yard-back")),
        ("leaving", output::<leaving::LeavingBody>("leaving")),
        (
            "learning-start",
            output::<learning::StartBody>("learning-start"),
        ),
        ("label", output::<Label>("label")),
        ("locker", output::<locker::LockerBody>("locker")),
        (
            "locker-changed",
            output::<locker::LockerChangedBody>("locker-changed"),
        ),
        (
            "logbook-check",
            output::<logbook::LogCheckBody>("logbook-check"),
        ),
        (
            "logbook-export",
            output::<logbook::ExportBody>("logbook-export"),
        ),
        ("logbook-list", output::<logbook::ListBody>("logbook-list")),
        (
            "logbook-merge",
            output::<logbook::MergeBody>("logbook-merge"),
        ),
        ("logbook-seal", output::<logbook::SealBody>("logbook-seal")),
        (
            "logbook-verify-seal",
            output::<logbook::VerifyBody>("logbook-verify-seal"),
        ),
        ("part", output::<parts::PartBody>("part")),
        ("parts", output::<defects::PartsBody>("parts")),
        ("parts-page", output::<parts::PartsPageBody>("parts-page")),
        ("plan-compare", output::<plan::CompareBody>("plan-compare")),
        ("plans", output::<plan::PlansBody>("plans")),
        ("recorded", output::<record::RecordedBody>("recorded")),
        ("report", output::<Report>("report")),
        (
            "report-written",
            output::<report::ReportBody>("report-written"),
        ),
        ("schemas", output::<Names>("schemas")),
        (
            "service-show",
            output::<service::ServiceShowBody>("service-show"),
        ),
        ("services", output::<service::ServicesBody>("services")),
        ("started", output::<started::StartedBody>("started")),
        ("symptoms", output::<symptoms::SymptomsBody>("symptoms")),
        ("tasks", output::<service::TasksBody>("tasks")),
        ("trend", output::<TrendAnswer>("trend")),
        (
            "underway-fuel",
            output::<under_way::fuel::FuelBody>("underway-fuel"),
        ),
        (
            "underway-log",
            output::<under_way::log::UnderWayLogBody>("underway-log"),
        ),
        (
            "underway-round",
            output::<under_way::round::UnderWayRoundBody>("underway-round"),
        ),
        ("verify", output::<verify::VerifyPageBody>("verify")),
        ("verdict", output::<verdict::VerdictBody>("verdict")),
        (
            "walks-compare",
            output::<walks::CompareBody>("walks-compare"),
        ),
        ("walks", output::<walks::WalksBody>("walks")),
    ]
}

/// Every schema by name: the user's files (`catalogue`, `checklist`, `service-tasks`, `causes-file`, `boat-profile`), what
/// `record` takes (`record`), the lines of an export (`export-tables`), and the outputs.
pub fn all() -> Vec<(&'static str, String)> {
    let mut all: Vec<_> = schemas().into_iter().collect();
    let own_causes = schemars::schema_for!(CausesFile);
    let rates = schemars::schema_for!(RatesFile);
    all.push(("rates-file", format!("{:#}\n", rates.as_value())));
    all.push(("causes-file", format!("{:#}\n", own_causes.as_value())));
    let profile = schemars::schema_for!(Boat);
    all.push(("boat-profile", format!("{:#}\n", profile.as_value())));
    all.push(("export-tables", export_tables()));
    all.push(("record", format!("{:#}\n", record_input().as_value())));
    all.extend(outputs());
    all.sort_by_key(|(name, _)| *name);
    all
}

/// Every table of an export, in its order: what `logbook export` writes, and `src/cli/logbook/TABLES.md`
/// documents.
pub fn tables() -> Vec<Table> {
    logbook::all_tables()
}

/// What names what in those tables, as statements for PostgreSQL.
pub fn references() -> String {
    logbook::references(&tables())
}

/// The schema of a line of any file of an export; what a file's lines are is under `$defs`, by its name.
pub fn export_tables() -> String {
    let each = tables().into_iter().map(|table| {
        let columns = table.all_columns().map(|column| {
            let (sort, form) = match column.sql {
                "boolean" => ("boolean", None),
                "bigint" => ("integer", None),
                "double precision" => ("number", None),
                "date" => ("string", Some("date")),
                "timestamp with time zone" => ("string", Some("date-time")),
                _ => ("string", None),
            };
            let sort = if column.null {
                json!([sort, "null"])
            } else {
                json!(sort)
            };
            let mut said = json!({"type": sort, "description": column.meaning.trim()});
            if let Some(form) = form {
                said["format"] = json!(form);
            }
            (column.name.to_owned(), said)
        });
        let columns: serde_json::Map<String, Value> = columns.collect();
        let required: Vec<&str> = table.all_columns().map(|column| column.name).collect();
        let said = json!({"type": "object", "description": table.row.trim(),
            "properties": columns, "required": required, "additionalProperties": false});
        (table.name.to_owned(), said)
    });
    let each: serde_json::Map<String, Value> = each.collect();
    let any: Vec<Value> = each
        .keys()
        .map(|name| json!({"$ref": format!("#/$defs/{name}")}))
        .collect();
    let schema = json!({"$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A line of an export", "anyOf": any, "$defs": each});
    format!("{schema:#}\n")
}

/// The schema of a body under its envelope. Objects are closed, so that a field nobody
/// documented cannot slip into an output.
fn output<T: JsonSchema>(name: &str) -> String {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<T>();
    RecursiveTransform(close).transform(&mut schema);
    if let Some(Value::Object(properties)) = schema.get_mut("properties") {
        // Any answer may say what it does not count.
        properties.entry("not_counted").or_insert_with(not_counted);
        properties.insert("schema".to_owned(), json!({"const": schema_id(name)}));
    }
    if let Some(Value::Array(required)) = schema.get_mut("required") {
        required.insert(0, json!("schema"));
    }
    format!("{:#}\n", schema.as_value())
}

/// The schema of what an answer does not count.
fn not_counted() -> Value {
    let settings = SchemaSettings::draft2020_12().for_serialize();
    let inline = settings.with(|s| s.inline_subschemas = true);
    let mut schema = inline
        .into_generator()
        .into_root_schema_for::<Vec<NotCounted>>();
    RecursiveTransform(close).transform(&mut schema);
    schema.remove("$schema");
    schema.remove("title");
    schema.to_value()
}

fn close(schema: &mut Schema) {
    if schema.get("properties").is_some() {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}
