//! `checklist schema`.

use crate::checklist::nearest;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::schema::{Names, all};

/// Runs the command.
///
/// # Errors
/// There is no such schema.
pub fn run(name: Option<&str>, cx: &Context) -> Result<Answer, Failure> {
    let schemas = all();
    let Some(name) = name else {
        let body = Names {
            rows: schemas.into_iter().map(|(name, _)| name.into()).collect(),
        };
        return Ok(cx.form.answer("schemas", &body, |page| {
            body.rows.iter().for_each(|row| page.line(&row.name));
        }));
    };
    let names = || schemas.iter().map(|(known, _)| *known);
    let found = schemas.iter().find(|(known, _)| *known == name);
    found.map(|(_, text)| Answer::text(text)).ok_or_else(|| {
        Failure::usage(format!(
            "there is no schema '{name}'{}; see: handlamp checklist schema",
            nearest(name, names()).unwrap_or_default()
        ))
    })
}
