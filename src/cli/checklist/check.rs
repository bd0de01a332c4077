//! `checklist check`.

use std::path::PathBuf;

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::Library;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::source;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct CheckBody {
    /// How many files were checked.
    files: usize,
    /// What is wrong, in the order it stands in the files.
    rows: Vec<CheckRow>,
}

/// One thing wrong with a file.
#[derive(Serialize, JsonSchema)]
pub struct CheckRow {
    /// The file, as it was named.
    file: String,
    /// Line in that file, counted from 1.
    line: usize,
    /// Column in that line, counted from 1.
    column: usize,
    /// Field, such as `phases[2].rows[0].items[1]`; empty for the whole file.
    field: String,
    /// What is wrong and what is expected there.
    message: String,
}

/// Runs the command: the files are checked as if they lay with the user's own.
///
/// # Errors
/// A file that cannot be read.
pub fn run(files: &[PathBuf], cx: &Context) -> Result<Answer, Failure> {
    let mut given = Vec::with_capacity(files.len());
    for file in files {
        given.push(source::read(file)?);
    }
    let same = |name: &str| {
        let path = std::fs::canonicalize(name).ok();
        path.is_some() && files.iter().any(|f| std::fs::canonicalize(f).ok() == path)
    };
    let mut all: Vec<_> = cx
        .user_files()?
        .into_iter()
        .filter(|(name, _)| !same(name))
        .collect();
    all.extend(given);
    let complaints = Library::with_user_files(&all).err().unwrap_or_default();
    let sentences: Vec<String> = complaints.iter().map(|c| c.to_string()).collect();
    let rows = complaints.into_iter().map(|c| CheckRow {
        file: c.file,
        line: c.line,
        column: c.column,
        field: c.field,
        message: c.message,
    });
    let body = CheckBody {
        files: files.len(),
        rows: rows.collect(),
    };
    let answer = cx.form.answer("checklist-check", &body, |page| {
        sentences.iter().for_each(|sentence| page.line(sentence));
        page.line(match body.rows.len() {
            0 => format!("{} file(s) checked; nothing is wrong.", body.files),
            n => format!("{n} thing(s) to mend."),
        });
    });
    Ok(answer.or_no(body.rows.is_empty()))
}
