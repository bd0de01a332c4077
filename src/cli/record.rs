//! `record`: walks and other records from JSON.

use std::path::{Path, PathBuf};

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::source;
use crate::logbook::import::{Imported, import_from};
use crate::logbook::input::read_documents;

/// Options of `record`.
#[derive(Args, Debug)]
pub struct RecordArgs {
    /// JSON (one record or a list) or JSON Lines; `-` reads the standard input
    pub file: PathBuf,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct RecordedBody {
    /// How many records were written; those known already are not among them.
    pub records: usize,
    /// Their ids, in the order given. A walk and each of its looks are records of their own.
    pub ids: Vec<String>,
    /// Ids of the walks among them.
    pub walks: Vec<String>,
    /// Records of the input that were in the logbook already, by their id, and were left out.
    pub known: usize,
    /// What was taken and has to be said: which of two looks counts, and where they stand.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

impl RecordedBody {
    /// Records written that are no walks, and none left out.
    pub fn of(ids: Vec<String>) -> RecordedBody {
        RecordedBody {
            records: ids.len(),
            ids,
            walks: Vec::new(),
            known: 0,
            notes: Vec::new(),
        }
    }
}

/// Runs the command.
///
/// # Errors
/// Everything wrong with the input, by line, column and field; nothing of it is recorded then.
pub fn run(args: &RecordArgs, cx: &Context) -> Result<Answer, Failure> {
    let (name, text) = source::read(&args.file)?;
    let mut book = cx.book_for(&text)?;
    let documents = read_documents(&name, &text)?;
    let behind = Context::clock_told(&book);
    // Pictures are named as seen from the file that names them.
    let beside = args
        .file
        .parent()
        .filter(|_| !source::is_standard_input(&args.file));
    let pictures = beside.unwrap_or(Path::new(""));
    let Imported {
        ids,
        walks,
        known,
        notes,
        ..
    } = import_from(&mut book, &documents, Some(pictures))?;
    book.finish();
    notes.iter().for_each(|note| cx.note(note));
    if let Some(told) = behind.filter(|_| !walks.is_empty()) {
        cx.note(told);
    }
    let body = RecordedBody {
        walks,
        known,
        notes,
        ..RecordedBody::of(ids)
    };
    Ok(cx.form.answer("recorded", &body, |page| {
        page.line(match body.records {
            1 => "1 record written.".to_owned(),
            n => format!("{n} records written."),
        });
        for walk in &body.walks {
            page.line(format!("Walk {walk}"));
        }
        if known > 0 {
            page.line(format!("{known} recorded before and left as they are."));
        }
    }))
}
