//! Who else may change the record. The program makes everything for its user alone; a copy from a
//! stick or an archive may be open to others.

use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::path::Path;

use super::folder::Folder;
use super::problem::{Problem, ProblemKind};
use super::read::Log;

/// More than this many of a kind are told as a number: some file systems open everything.
const NAMED: usize = 8;

/// The folders and files of a logbook that its group or anybody may write to.
#[must_use]
pub fn open_to_others(folder: &Folder, log: &Log) -> Vec<Problem> {
    let root = folder.root();
    let (boat, records) = (folder.boat(), folder.log());
    let mut paths = vec![root, &boat, &records];
    let files: Vec<_> = log.files.iter().map(|f| root.join(&f.path)).collect();
    for file in &files {
        paths.extend(file.parent());
        paths.push(file);
    }
    paths.sort_unstable();
    paths.dedup();
    paths.retain(|path| {
        fs::symlink_metadata(path).is_ok_and(|there| {
            !there.file_type().is_symlink() && there.permissions().mode() & 0o022 != 0
        })
    });
    let told = |path: &Path, message: String| {
        let path = path.strip_prefix(root).unwrap_or(path);
        Problem::with_file(path, ProblemKind::OpenToOthers, message)
    };
    if paths.len() > NAMED {
        let why = format!(
            "{} of its files and folders are such that others may change them",
            paths.len()
        );
        return vec![told(root, why)];
    }
    let why = "others may change this; take the right to write from group and others";
    paths.iter().map(|path| told(path, why.into())).collect()
}
