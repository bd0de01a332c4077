//! `keys`: the key table of the screens as text.

use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::Set;
use crate::keys::{ROWS, Section};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct KeysBody {
    /// In the order of the help screen.
    rows: Vec<KeyRow>,
}

/// One row of the key table.
#[derive(Serialize, JsonSchema)]
pub struct KeyRow {
    /// What the keys are for.
    section: String,
    /// The keys that do it, spelt as the settings spell them.
    keys: String,
    /// What they do, one line.
    help: String,
}

/// Prints the key table, the user's own keys in it.
///
/// # Errors
/// The settings cannot be read.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let keys = cx.settings()?.keys;
    let mut rows = Vec::new();
    for section in Section::ALL {
        for row in ROWS.iter().filter(|row| row.section == *section) {
            let own = keys.keys_of(row.action).iter().map(ToString::to_string);
            rows.push(KeyRow {
                section: section.to_string(),
                keys: own.collect::<Vec<_>>().join(" "),
                help: row.help.to_owned(),
            });
        }
    }
    let body = KeysBody { rows };
    Ok(cx.form.answer("keys", &body, |page| {
        let mut cells = Vec::with_capacity(body.rows.len());
        for row in &body.rows {
            cells.push(vec![
                row.section.clone(),
                row.keys.clone(),
                row.help.clone(),
            ]);
        }
        let columns = [
            ("section", Set::Left),
            ("keys", Set::Left),
            ("does", Set::Wrap),
        ];
        page.table(&columns, &cells);
    }))
}
