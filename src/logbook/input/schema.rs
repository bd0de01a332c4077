//! JSON Schema of what `record` takes, made from the types that read it: one for every document.

use schemars::transform::{RecursiveTransform, Transform};
use schemars::{Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::{Taken, types};

/// The schema: one document, or a list of them. Of JSON Lines each line is one document.
pub fn schema() -> Schema {
    let mut generator = SchemaGenerator::default();
    let each: Vec<(&str, Schema)> = types()
        .map(|(tag, taken)| (tag, document(tag, taken, &mut generator)))
        .collect();
    let documents: Vec<Value> = each.iter().map(|(tag, _)| reference(tag)).collect();
    let mut definitions = Map::new();
    for (name, definition) in generator.take_definitions(true) {
        definitions.insert(name, definition);
    }
    for (tag, schema) in each {
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
fn document(tag: &str, taken: Taken, generator: &mut SchemaGenerator) -> Schema {
    let mut schema = (taken.schema)(generator);
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
