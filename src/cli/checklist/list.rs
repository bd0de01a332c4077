//! `checklist list`.

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::Checklist;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Set;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ListBody {
    /// Built-in ones first.
    rows: Vec<ListRow>,
}

/// One checklist.
#[derive(Serialize, JsonSchema)]
pub struct ListRow {
    /// Its id.
    id: String,
    /// Its title.
    title: String,
    /// What it is for.
    purpose: String,
    /// Rows.
    rows: usize,
    /// Different items.
    items: usize,
}

impl From<&Checklist> for ListRow {
    fn from(list: &Checklist) -> ListRow {
        let rows = || list.phases.iter().flat_map(|p| &p.rows);
        let mut items: Vec<&String> = rows().flat_map(|r| &r.items).collect();
        items.sort_unstable();
        items.dedup();
        ListRow {
            id: list.id.clone(),
            title: list.title.clone(),
            purpose: list.purpose.clone(),
            rows: rows().count(),
            items: items.len(),
        }
    }
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the user's files.
pub fn run(cx: &Context) -> Result<Answer, Failure> {
    let library = cx.library()?;
    let body = ListBody {
        rows: library.checklists().iter().map(ListRow::from).collect(),
    };
    Ok(cx.form.answer("checklist-list", &body, |page| {
        let columns = [
            ("id", Set::Left),
            ("rows", Set::Right),
            ("items", Set::Right),
            ("title", Set::Cut),
        ];
        let rows: Vec<_> = body
            .rows
            .iter()
            .map(|row| {
                let cells = vec![
                    row.id.clone(),
                    row.rows.to_string(),
                    row.items.to_string(),
                    row.title.clone(),
                ];
                (cells, vec![row.purpose.clone()])
            })
            .collect();
        page.table_with_notes(&columns, &rows, "    ");
    }))
}
