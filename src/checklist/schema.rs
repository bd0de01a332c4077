//! JSON Schema of the files a user may write, made from the types that read them.

use schemars::{Schema, schema_for};

use super::catalogue::CatalogueFile;
use super::list::ChecklistFile;
use super::task::TasksFile;

/// Name and text of each schema, as committed under `checklists/schema/`.
pub fn schemas() -> [(&'static str, String); 3] {
    let text = |schema: Schema| format!("{:#}\n", schema.as_value());
    [
        ("catalogue", text(schema_for!(CatalogueFile))),
        ("checklist", text(schema_for!(ChecklistFile))),
        ("service-tasks", text(schema_for!(TasksFile))),
    ]
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::checklist::library::{CATALOGUE, CHECKLISTS, TASKS};

    #[test]
    fn the_committed_schemas_are_the_generated_ones() {
        for (name, text) in schemas() {
            let path = format!(
                "{}/checklists/schema/{name}.json",
                env!("CARGO_MANIFEST_DIR")
            );
            if std::env::var_os("HANDLAMP_BLESS").is_some() {
                std::fs::write(&path, &text).expect("schema folder can be written");
            }
            let committed = std::fs::read_to_string(&path).expect("schema is committed");
            assert_eq!(
                committed.replace('\r', ""),
                text,
                "HANDLAMP_BLESS=1 rewrites {name}"
            );
        }
    }

    #[test]
    fn the_built_in_files_keep_to_the_schemas() {
        for ((_, schema), files) in schemas().into_iter().zip([CATALOGUE, CHECKLISTS, TASKS]) {
            let schema = serde_json::from_str(&schema).expect("schema is JSON");
            let validator = jsonschema::validator_for(&schema).expect("schema is a schema");
            for (name, text) in files {
                let mut file: serde_json::Value = serde_json::from_str(text).expect("JSON");
                assert!(
                    validator.is_valid(&file),
                    "{name}: {:?}",
                    validator.validate(&file)
                );
                file["extra"] = true.into();
                assert!(
                    !validator.is_valid(&file),
                    "{name}: an unknown field passes"
                );
            }
        }
    }
}
