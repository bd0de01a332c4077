//! Where the logbook and the settings are.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use super::failure::Failure;
use crate::platform::{own_dirs, state_folder};

/// Names the logbook's folder where `--logbook` does not.
pub const LOGBOOK_VARIABLE: &str = "HANDLAMP_LOGBOOK";
/// Names the folder of the settings in place of the platform's own.
pub const CONFIG_VARIABLE: &str = "HANDLAMP_CONFIG_DIR";

/// The logbook's folder: as named, else as the variable names it, else under the platform's data
/// directory.
///
/// # Errors
/// A sentence that names `--logbook` where the system knows no such directory: a guess could
/// hide a logbook or begin a second one.
pub fn logbook(named: Option<&Path>) -> Result<PathBuf, Failure> {
    if let Some(named) = named {
        if named.as_os_str().is_empty() {
            return Err(Failure::usage("--logbook needs the name of a folder"));
        }
        return absolute(named);
    }
    if let Some(named) = variable(LOGBOOK_VARIABLE) {
        return absolute(Path::new(&named));
    }
    own_dirs()
        .map(|dirs| dirs.data_dir().join("logbook"))
        .filter(|dir| dir.is_absolute())
        .ok_or_else(|| {
            Failure::usage(format!(
                "there is no home folder to keep a logbook in; name one with --logbook DIR or in {LOGBOOK_VARIABLE}"
            ))
        })
}

/// The folder of `config.json` and `checklists/`; none where the system knows none.
pub fn config() -> Option<PathBuf> {
    variable(CONFIG_VARIABLE).map_or_else(
        || own_dirs().map(|dirs| dirs.config_dir().to_owned()),
        |named| absolute(Path::new(&named)).ok(),
    )
}

/// The folder in which the newest record seen of each logbook is kept; none where the system knows
/// none. What a sealed environment does goes into its own folder.
pub fn marks() -> Option<PathBuf> {
    let place = match variable(CONFIG_VARIABLE) {
        Some(named) => absolute(Path::new(&named)).ok(),
        None => state_folder(),
    };
    place.map(|dir| dir.join("seen"))
}

fn variable(name: &str) -> Option<OsString> {
    std::env::var_os(name).filter(|value| !value.is_empty())
}

fn absolute(path: &Path) -> Result<PathBuf, Failure> {
    std::path::absolute(path).map_err(|e| {
        Failure::usage(format!(
            "{} is no place for a logbook ({e})",
            path.display()
        ))
    })
}
