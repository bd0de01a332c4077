//! `logbook merge`.

use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;

use super::ProblemRow;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::logbook::book::{OpenError, boat_of, read_boat};
use crate::logbook::{Folder, LogbookError, RealDisk, merge};

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct MergeBody {
    /// How many record files were copied.
    files: usize,
    /// Records that were not here before.
    records: usize,
    /// How many kept texts were copied.
    texts: usize,
    /// How many pictures were copied.
    photos: usize,
    /// Files of reports issued brought in: content and pages.
    issued: usize,
    /// The profile was copied, because there was none here.
    boat: bool,
    /// That they are of one boat was told by the names in their profiles alone.
    by_name: bool,
    /// What could not be read in the other copy.
    rows: Vec<ProblemRow>,
}

/// Runs the command.
///
/// # Errors
/// The other folder holds no logbook, another boat's, or something cannot be read or written.
pub fn run(dir: &Path, cx: &Context) -> Result<Answer, Failure> {
    let (into, from) = (Folder::new(cx.root()?), Folder::new(dir));
    if !from.boat().exists() && !from.log().exists() {
        return Err(Failure::usage(format!(
            "{} holds no logbook",
            dir.display()
        )));
    }
    let mut rng = cx
        .seed("")
        .map_or_else(fastrand::Rng::new, fastrand::Rng::with_seed);
    let merged = merge(&RealDisk, &into, &from, &same_boat, &mut rng).map_err(|error| {
        // Nothing of the other copy says whose it is, and its profile is spoilt.
        let spoilt = read_boat(&from)
            .err()
            .filter(|e| matches!(e, OpenError::BadBoat { .. }));
        match (error, spoilt) {
            (LogbookError::OtherBoat { .. }, Some(spoilt)) => Failure::from(spoilt),
            (error, _) => Failure::from(error),
        }
    })?;
    if merged.by_name {
        cx.note(
            "one of the two holds no record of a profile, so nothing but her name in boat.json says that they are of one boat",
        );
    }
    let body = MergeBody {
        files: merged.files,
        records: merged.records,
        texts: merged.texts,
        photos: merged.photos,
        issued: merged.issued,
        boat: merged.boat,
        by_name: merged.by_name,
        rows: merged.problems.iter().map(ProblemRow::from).collect(),
    };
    Ok(cx.form.answer("logbook-merge", &body, |page| {
        page.line(format!(
            "{} new record(s) in {} file(s) brought in from {}",
            body.records,
            body.files,
            dir.display()
        ));
        if body.photos > 0 {
            page.line(format!("{} picture(s) brought in", body.photos));
        }
        if body.issued > 0 {
            page.line(format!(
                "{} file(s) of reports issued brought in",
                body.issued
            ));
        }
        for row in &body.rows {
            page.hang("- ", row.sentence());
        }
    }))
}

/// Copies of one logbook carry one name. Where either has no profile nothing speaks against it; one
/// that cannot be understood could be any boat's.
fn same_boat(own: Option<&[u8]>, other: Option<&[u8]>) -> bool {
    let name = |bytes: &[u8]| Some(boat_of(bytes).ok()?.name.trim().to_lowercase());
    match (own, other) {
        (Some(own), Some(other)) => {
            let names = (name(own), name(other));
            names.0.is_none() || names.0 == names.1
        }
        (None, Some(other)) => name(other).is_some(),
        (_, None) => true,
    }
}
