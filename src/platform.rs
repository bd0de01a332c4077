//! The platform's folders for this program. The password file is not asked: where the environment
//! names no home, none is meant.

use std::path::{Path, PathBuf};

use directories::ProjectDirs;

/// All of them; none where the system knows none.
pub(crate) fn own_dirs() -> Option<ProjectDirs> {
    let home = std::env::var_os("HOME").is_some_and(|home| Path::new(&home).is_absolute());
    (home || !cfg!(unix)).then(|| ProjectDirs::from("", "", "handlamp"))?
}

/// That of the state of programs.
pub(crate) fn state_folder() -> Option<PathBuf> {
    let dirs = own_dirs()?;
    let state = dirs.state_dir().unwrap_or_else(|| dirs.data_local_dir());
    Some(state.to_owned())
}
