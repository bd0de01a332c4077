//! `record`: walks and other records from JSON.

use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::source;
use crate::logbook::input::read_documents;
use crate::logbook::take::{Taken, take};

/// Options of `record`.
#[derive(Args, Debug)]
pub struct RecordArgs {
    /// JSON (one record or a list) or JSON Lines; `-` reads the standard input
    pub file: PathBuf,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct RecordedBody {
    /// Records written.
    pub records: usize,
    /// Their ids, in the order given. A walk and each of its looks are records of their own.
    pub ids: Vec<String>,
    /// Ids of the walks among them.
    pub walks: Vec<String>,
    /// Records of the input that were in the logbook already, by their id, and were left out.
    pub known: usize,
}

/// Runs the command.
///
/// # Errors
/// Everything wrong with the input, by line, column and field; nothing of it is recorded then.
pub fn run(args: &RecordArgs, cx: &Context) -> Result<Answer, Failure> {
    let (name, text) = source::read(&args.file)?;
    let mut book = cx.book_for(&text)?;
    let documents = read_documents(&name, &text)?;
    let Taken {
        ids, walks, known, ..
    } = take(&mut book, &documents)?;
    let body = RecordedBody {
        records: ids.len(),
        ids,
        walks,
        known,
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
