//! Several logbooks in one folder, as somebody keeps them who looks after many boats.

use std::path::{Path, PathBuf};

use schemars::JsonSchema;
use serde::Serialize;

use super::book::{OpenError, profile_in};
use super::clock::SystemClock;
use super::error::LogbookError;
use super::folder::Folder;
use crate::boat::Boat;
use crate::text::plain_name;

/// Longest name of a folder made from a boat's name.
const LONGEST: usize = 40;

/// A folder for another boat among the logbooks in `dir`, named after her, which is not there yet.
pub fn place_for(dir: &Path, name: &str) -> PathBuf {
    let named = plain_name(name, LONGEST);
    let first = if named.is_empty() { "boat" } else { &named };
    let next = (2u32..).map(|n| format!("{first}-{n}"));
    let names = std::iter::once(first.to_owned()).chain(next);
    let mut places = names.map(|name| dir.join(name));
    let free = places.find(|place| std::fs::symlink_metadata(place).is_err());
    free.unwrap_or_else(|| dir.join(first))
}

/// A logbook's folder, and its boat or why her profile cannot be read.
pub type OnShelf = (PathBuf, Result<Boat, OpenError>);

/// The logbooks directly in a folder, by the names of their folders. The records are read only where the
/// file of the profile is no help.
///
/// # Errors
/// The folder itself cannot be listed.
pub fn logbooks_in(dir: &Path) -> Result<Vec<OnShelf>, LogbookError> {
    let cannot = |e| LogbookError::cannot_read(dir, e);
    let mut found = Vec::new();
    for entry in std::fs::read_dir(dir).map_err(cannot)? {
        let path = entry.map_err(cannot)?.path();
        let hidden = path
            .file_name()
            .is_none_or(|name| name.to_string_lossy().starts_with('.'));
        let folder = Folder::new(&path);
        if hidden || !path.is_dir() {
            continue;
        }
        let boat = profile_in(&folder, &SystemClock::new());
        // A folder with neither a profile nor records is no logbook; one with records of which none
        // says whose they are is one that cannot be read.
        if !matches!(boat, Err(OpenError::NoBoat(_))) || folder.boat().exists() {
            found.push((path, boat));
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0));
    Ok(found)
}

/// Something in a folder of logbooks that is none. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Beside {
    /// Its name.
    pub name: String,
    /// What it is, in words.
    pub what: String,
}

/// What lies in a folder beside the logbooks `found` there, by its name; what is hidden is left out.
///
/// # Errors
/// The folder itself cannot be listed.
pub fn beside_logbooks(dir: &Path, found: &[OnShelf]) -> Result<Vec<Beside>, LogbookError> {
    let cannot = |e| LogbookError::cannot_read(dir, e);
    let mut beside = Vec::new();
    for entry in std::fs::read_dir(dir).map_err(cannot)? {
        let entry = entry.map_err(cannot)?;
        let (path, name) = (entry.path(), entry.file_name());
        let name = name.to_string_lossy().into_owned();
        if name.starts_with('.') || found.iter().any(|(root, _)| *root == path) {
            continue;
        }
        let what = match std::fs::metadata(&path) {
            Ok(there) if there.is_dir() => "a folder that holds no logbook",
            Ok(_) => "a file; a logbook is a folder",
            Err(_) => "a name behind which nothing can be read",
        };
        let what = what.to_owned();
        beside.push(Beside { name, what });
    }
    beside.sort_by(|a, b| a.name.cmp(&b.name));
    Ok(beside)
}
