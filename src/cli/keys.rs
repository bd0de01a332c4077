//! `keys`: the key table of the screens as text.

use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::page::Set;

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
    /// The keys.
    keys: String,
    /// What they do.
    help: String,
}

/// The answer from rows of section, keys and help.
pub fn answer<S, K, H>(rows: impl IntoIterator<Item = (S, K, H)>, cx: &Context) -> Answer
where
    S: Into<String>,
    K: Into<String>,
    H: Into<String>,
{
    let rows = rows.into_iter().map(|(section, keys, help)| KeyRow {
        section: section.into(),
        keys: keys.into(),
        help: help.into(),
    });
    let body = KeysBody {
        rows: rows.collect(),
    };
    cx.form.answer("keys", &body, |page| {
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
            ("does", Set::Cut),
        ];
        page.table(&columns, &cells);
    })
}
