//! Files named on the command line, `-` for the standard input.

use std::fs::File;
use std::io::Read;
use std::path::Path;

use super::failure::Failure;

/// The largest input read.
const LARGEST: u64 = 16 << 20;

/// The text of a file, and its name for messages.
///
/// # Errors
/// One sentence: it cannot be read, is too large, or is no UTF-8.
pub fn read(path: &Path) -> Result<(String, String), Failure> {
    let name = if is_standard_input(path) {
        "standard input".to_owned()
    } else {
        path.display().to_string()
    };
    let refuse = |why: String| Failure::usage(format!("{name} {why}"));
    let mut bytes = Vec::new();
    let read = if is_standard_input(path) {
        std::io::stdin()
            .lock()
            .take(LARGEST + 1)
            .read_to_end(&mut bytes)
    } else {
        File::open(path).and_then(|file| file.take(LARGEST + 1).read_to_end(&mut bytes))
    };
    read.map_err(|e| refuse(format!("cannot be read ({e})")))?;
    if bytes.len() as u64 > LARGEST {
        return Err(refuse(format!("is larger than {} MiB", LARGEST >> 20)));
    }
    match String::from_utf8(bytes) {
        Ok(text) => Ok((name, text)),
        Err(e) => {
            let valid = &e.as_bytes()[..e.utf8_error().valid_up_to()];
            let line = 1 + valid.iter().filter(|b| **b == b'\n').count();
            Err(refuse(format!("line {line} is not text in UTF-8")))
        }
    }
}

/// True for `-`, which stands for the standard input.
pub fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}
