//! JSON Schema of what `record` takes, made from the types that read it: one for every document.

use schemars::transform::{RecursiveTransform, Transform};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::{TYPES, WalkSheet};
use crate::boat::{MeterChange, Retired};
use crate::defects::{
    Cost, Deferral, Fitted, LearningSet, NamedPlan, Override, Recheck, Removed, Repair,
    ServiceInterval, Withdrawal,
};
use crate::logbook::record::{Agreement, ToldOf};
use crate::service::ServiceSheet;

/// The schema: one document, or a list of them. Of JSON Lines each line is one document.
pub fn schema() -> Schema {
    let mut generator = SchemaGenerator::default();
    let each = TYPES.map(|tag| document(tag, &mut generator));
    let documents: Vec<Value> = TYPES.iter().map(|tag| reference(tag)).collect();
    let mut definitions = Map::new();
    for (name, definition) in generator.take_definitions(true) {
        definitions.insert(name, definition);
    }
    for (tag, schema) in TYPES.iter().zip(each) {
        definitions.insert(format!("a-{tag}"), schema.to_value());
    }
    definitions.insert("document".to_owned(), json!({ "oneOf": documents }));
    let one = json!({ "$ref": "#/$defs/document" });
    let mut schema = schemars::json_schema!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "What record takes",
        "description": "One record or a list of them; of JSON Lines each line is one record.",
        "anyOf": [one, {"type": "array", "minItems": 1, "items": one}],
        "$defs": definitions,
    });
    RecursiveTransform(close).transform(&mut schema);
    schema
}

fn reference(tag: &str) -> Value {
    json!({ "$ref": format!("#/$defs/a-{tag}") })
}

/// The schema of the documents of one type: the fields of what reads it, its type, and an id that it
/// may bring.
fn document(tag: &str, generator: &mut SchemaGenerator) -> Schema {
    let mut schema = match tag {
        "walk" => WalkSheet::json_schema(generator),
        "repair" => Repair::json_schema(generator),
        "meter" => MeterChange::json_schema(generator),
        "fitted" => Fitted::json_schema(generator),
        "deferral" => Deferral::json_schema(generator),
        "override" => Override::json_schema(generator),
        "withdrawal" => Withdrawal::json_schema(generator),
        "recheck" => Recheck::json_schema(generator),
        "removed" => Removed::json_schema(generator),
        "retired" => Retired::json_schema(generator),
        "learning" => LearningSet::json_schema(generator),
        "plan" => NamedPlan::json_schema(generator),
        "service" => ServiceSheet::json_schema(generator),
        "service-interval" => ServiceInterval::json_schema(generator),
        "cost" => Cost::json_schema(generator),
        "agreement" => Agreement::json_schema(generator),
        "told" => ToldOf::json_schema(generator),
        // A type that is taken and not written here lets nothing through, and a test says so.
        _ => false.into(),
    };
    if let Some(Value::Object(properties)) = schema.get_mut("properties") {
        properties.insert("type".to_owned(), json!({ "const": tag }));
        let id = json!({
            "type": ["string", "null"],
            "pattern": "^[A-Za-z0-9._:-]{1,64}$",
            "description": "Given twice it is recorded once."
        });
        properties.insert("id".to_owned(), id);
    }
    match schema.get_mut("required") {
        Some(Value::Array(required)) => required.insert(0, json!("type")),
        _ => {
            schema.insert("required".to_owned(), json!(["type"]));
        }
    }
    schema
}

/// No field is taken that is not named.
fn close(schema: &mut Schema) {
    if schema.get("properties").is_some() {
        schema.insert("additionalProperties".to_owned(), false.into());
    }
}
