//! `logbook seal`.

use std::path::Path;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::own_file::write_new;
use crate::logbook::seal::{PROVES, sealed};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct SealBody {
    /// The seal: six groups of five characters, seldom seven.
    code: String,
    /// Records it stands for.
    records: usize,
    /// Records it does not stand for: later than the walk, or dated ahead of the clock.
    not_sealed: usize,
    /// When the last of the records was written; null where there is none.
    last: Option<DateTime<FixedOffset>>,
    /// The walk up to whose end it goes; null for all records.
    walk: Option<String>,
    /// The file with the listing; null where none was asked for.
    listing: Option<String>,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, the listing cannot be written, or the logbook cannot be read.
pub fn run(walk: Option<&str>, to: Option<&Path>, cx: &Context) -> Result<Answer, Failure> {
    let (book, sealed) = cx.book_and(|log| sealed(log, walk))?;
    let sealed = sealed.map_err(Failure::usage)?;
    if let Some(path) = to {
        write_new(path, &sealed.listing.to_string())?;
    }
    let body = SealBody {
        code: sealed.code.to_string(),
        records: sealed.listing.len(),
        not_sealed: sealed.left_out,
        last: sealed.last,
        walk: walk.map(str::to_owned),
        listing: to.map(|path| path.display().to_string()),
    };
    Ok(cx.form.answer("logbook-seal", &body, |page| {
        page.line(format!("Seal of the logbook of {}", book.boat().name));
        page.line(&body.code);
        let last = body
            .last
            .map(|at| format!(", the last of {}", at.to_rfc3339()));
        page.line(format!(
            "{} record(s){}",
            body.records,
            last.unwrap_or_default()
        ));
        if body.not_sealed > 0 {
            let why = match &body.walk {
                Some(_) => "later than the walk",
                None => "dated ahead of this computer's clock",
            };
            page.line(format!("{} record(s) {why} are not in it", body.not_sealed));
        }
        if let Some(listing) = &body.listing {
            page.line(format!("Listing written to {listing}"));
        }
        page.paragraph(PROVES);
    }))
}
