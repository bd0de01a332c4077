//! `logbook list`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::Waters;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::page::Set;
use crate::logbook::shelf::logbooks_in;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct ListBody {
    /// By the names of their folders.
    rows: Vec<ListRow>,
}

/// One logbook of the folder.
#[derive(Serialize, JsonSchema)]
pub struct ListRow {
    /// Its folder, to give to --logbook.
    logbook: String,
    /// The boat's name; null where her profile cannot be read.
    name: Option<String>,
    /// The waters of the profile.
    waters: Option<Waters>,
    /// Her machines, by their ids in the profile.
    machines: Vec<String>,
    /// Why her profile cannot be read.
    problem: Option<String>,
}

/// Runs the command.
///
/// # Errors
/// The folder cannot be listed.
pub fn run(dir: &Path, cx: &Context) -> Result<Answer, Failure> {
    let found = logbooks_in(dir)?.into_iter();
    let rows = found.map(|(path, boat)| {
        let problem = boat.as_ref().err().map(ToString::to_string);
        let boat = boat.ok();
        let machines = boat.iter().flat_map(|b| &b.machines);
        ListRow {
            logbook: path.display().to_string(),
            waters: boat.as_ref().map(|b| b.waters),
            machines: machines.map(|m| m.id.clone()).collect(),
            name: boat.map(|b| b.name),
            problem,
        }
    });
    let body = ListBody {
        rows: rows.collect(),
    };
    Ok(cx.form.answer("logbook-list", &body, |page| {
        if body.rows.is_empty() {
            page.line(format!("There is no logbook in {}", dir.display()));
            return;
        }
        let cells: Vec<Vec<String>> = body
            .rows
            .iter()
            .map(|row| {
                let name = row.name.clone();
                vec![
                    name.unwrap_or_else(|| "(cannot be read)".to_owned()),
                    row.machines.join(", "),
                    row.logbook.clone(),
                ]
            })
            .collect();
        let columns = [
            ("boat", Set::Left),
            ("machines", Set::Wrap),
            ("logbook", Set::Left),
        ];
        page.table(&columns, &cells);
    }))
}
