//! Files named on the command line that a command writes: over one of the same kind, or where there
//! is none.

use std::path::Path;

use super::failure::Failure;
use crate::logbook::named::{NotWritten, Over, write_named};

/// How a page to print begins.
pub const PAGE: &str = "<!DOCTYPE html>";

/// Writes a file whole. One that is there and begins otherwise than with `begins` is left alone.
///
/// # Errors
/// Something else bears the name, or the disk refuses.
pub fn write(path: &Path, begins: &str, text: &str) -> Result<(), Failure> {
    Ok(write_named(path, text.as_bytes(), Over::Begins(begins))?)
}

/// Writes a file whole where nothing bears its name.
///
/// # Errors
/// Something bears the name, or the disk refuses.
pub fn write_new(path: &Path, text: &str) -> Result<(), Failure> {
    Ok(write_named(path, text.as_bytes(), Over::Nothing)?)
}

impl From<NotWritten> for Failure {
    fn from(error: NotWritten) -> Failure {
        match error {
            NotWritten::Disk(error) => error.into(),
            other => Failure::usage(other),
        }
    }
}
