//! Files named on the command line that a command writes: over one of the same kind, or where there
//! is none.

use std::path::Path;

use super::failure::Failure;
use crate::logbook::RealDisk;
use crate::logbook::replace::replace_file;

/// How a page to print begins.
pub const PAGE: &str = "<!DOCTYPE html>";

/// Writes a file whole. One that is there and begins otherwise than with `begins` is left alone.
///
/// # Errors
/// Something else bears the name, or the disk refuses.
pub fn write(path: &Path, begins: &str, text: &str) -> Result<(), Failure> {
    let refuse = |why: String| Failure::usage(format!("{} {why}", path.display()));
    match std::fs::metadata(path) {
        Ok(found) if !found.is_file() => {
            return Err(refuse("is no plain file; name a new one".into()));
        }
        Ok(_) => {
            let known = std::fs::read(path).map_err(|e| {
                Failure::logbook(format!("{} cannot be read ({e})", path.display()))
            })?;
            if !known.is_empty() && !known.starts_with(begins.as_bytes()) {
                return Err(refuse("holds something else; name a new file".into()));
            }
        }
        Err(_) => {}
    }
    let full = std::path::absolute(path).map_err(|e| refuse(format!("is no file name ({e})")))?;
    replace_file(&RealDisk, &full, text.as_bytes(), &mut fastrand::Rng::new())?;
    Ok(())
}
