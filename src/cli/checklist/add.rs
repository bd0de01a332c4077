//! `checklist add`.

use std::path::PathBuf;

use schemars::JsonSchema;
use serde::Serialize;

use super::list::OwnRow;
use crate::checklist::{Own, Source};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::{Failure, USAGE};
use crate::cli::source;
use crate::logbook::book::Book;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct AddBody {
    /// True where anything was put in; false where the boat had all of it already.
    added: bool,
    /// What the files hold.
    rows: Vec<OwnRow>,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the files, of which then none is put in; or the logbook cannot be written.
pub fn run(files: &[PathBuf], cx: &Context) -> Result<Answer, Failure> {
    let mut given = Vec::with_capacity(files.len());
    for file in files {
        given.push(source::read(file)?);
    }
    let texts: String = given.iter().map(|(_, text)| text.as_str()).collect();
    let mut book = cx.book_for(&texts)?;
    let (_, own) = book.library().with_files(&given)?;
    if own.is_empty() {
        return Err(Failure {
            code: USAGE,
            sentences: vec!["the files hold nothing to put in".to_owned()],
        });
    }
    let added = book.put_own(own.clone())?;
    book.finish();
    Ok(told(&book, &own, added, cx))
}

/// What was put into the boat, or was there already.
pub(super) fn told(book: &Book, own: &Own, added: bool, cx: &Context) -> Answer {
    let things = own.things();
    let rows = things.map(|(sort, id, title)| OwnRow::of(sort, id, title, Source::Boat));
    let rows = rows.collect();
    let body = AddBody { added, rows };
    cx.form.answer("checklist-add", &body, |page| {
        for row in &body.rows {
            page.hang("- ", row.sentence());
        }
        page.line(if body.added {
            format!("Put into the logbook of {}.", book.boat().name)
        } else {
            format!("{} has all of it already.", book.boat().name)
        });
    })
}
