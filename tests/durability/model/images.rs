//! What a disk can look like after the power went: any of the unsynced names, any part of the
//! unsynced bytes, zeros or rubbish in place of the rest, the end before the beginning.

use std::path::{Path, PathBuf};

use super::disk::{Data, Inode, Names, Node, ROOT, State, put};

/// Subsets of unsynced names that are tried one by one; beyond that some at random.
const SYSTEMATIC: usize = 6;
const AT_RANDOM: usize = 48;
/// What a disk writes at once.
const SECTOR: usize = 512;

/// The files of a disk after a crash.
pub struct Image {
    pub files: Vec<(PathBuf, Vec<u8>)>,
    /// Bytes came to the disk that nobody wrote, or late ones before early ones, so that lines
    /// never acknowledged may look damaged.
    pub rubbish: bool,
}

/// How closely to look.
#[derive(Clone, Copy, PartialEq)]
pub enum Effort {
    /// What only synced data leaves, what all data leaves, and half of it.
    Least,
    /// Some places in the unsynced bytes.
    Some,
    /// Every byte of the unsynced.
    Every,
}

/// Shows `look` the images of a crash in this state.
pub fn each(state: &State, effort: Effort, rng: &mut fastrand::Rng, look: &mut dyn FnMut(&Image)) {
    for applied in subsets(state.pending.len(), effort, rng) {
        let tree = tree(state, &applied);
        for all in [false, true] {
            let files = tree.iter().map(|(path, node)| {
                let data = file(state, *node);
                (
                    path.clone(),
                    if all {
                        data.seen.clone()
                    } else {
                        data.kept.clone()
                    },
                )
            });
            look(&Image {
                files: files.collect(),
                rubbish: false,
            });
        }
    }
    let tree = tree(state, &vec![true; state.pending.len()]);
    for (at, (_, node)) in tree.iter().enumerate() {
        for (bytes, rubbish) in variants(file(state, *node), effort, rng) {
            let mut files: Vec<_> = tree
                .iter()
                .map(|(path, node)| (path.clone(), file(state, *node).kept.clone()))
                .collect();
            files[at].1 = bytes;
            look(&Image { files, rubbish });
        }
    }
}

/// Which of the pending changes of names reached the disk.
fn subsets(pending: usize, effort: Effort, rng: &mut fastrand::Rng) -> Vec<Vec<bool>> {
    let bits = |mask: usize| (0..pending).map(|i| mask >> i & 1 == 1).collect();
    match effort {
        Effort::Least => vec![vec![false; pending], vec![true; pending]],
        _ if pending <= SYSTEMATIC => (0..1 << pending).map(bits).collect(),
        _ => {
            let mut all = vec![vec![false; pending], vec![true; pending]];
            for missing in 0..pending {
                all.push((0..pending).map(|i| i != missing).collect());
            }
            all.extend((0..AT_RANDOM).map(|_| (0..pending).map(|_| rng.bool()).collect()));
            all
        }
    }
}

fn tree(state: &State, applied: &[bool]) -> Vec<(PathBuf, Node)> {
    let mut folders: Vec<Option<Names>> = state
        .nodes
        .iter()
        .map(|node| match node {
            Inode::Folder(names) => Some(names.clone()),
            Inode::File(_) => None,
        })
        .collect();
    for (change, _) in state.pending.iter().zip(applied).filter(|(_, on)| **on) {
        if let Some(names) = &mut folders[change.folder] {
            put(&mut names.kept, &change.names);
        }
    }
    let mut found = Vec::new();
    walk(&folders, ROOT, Path::new("/"), &mut found);
    found
}

fn walk(folders: &[Option<Names>], node: Node, path: &Path, found: &mut Vec<(PathBuf, Node)>) {
    match &folders[node] {
        None => found.push((path.to_owned(), node)),
        Some(names) => {
            for (name, node) in &names.kept {
                walk(folders, *node, &path.join(name), found);
            }
        }
    }
}

fn file(state: &State, node: Node) -> &Data {
    match &state.nodes[node] {
        Inode::File(data) => data,
        Inode::Folder(_) => unreachable!("only files are in a tree"),
    }
}

/// What a file with unsynced bytes can hold, and whether that is rubbish.
fn variants(data: &Data, effort: Effort, rng: &mut fastrand::Rng) -> Vec<(Vec<u8>, bool)> {
    let mut found = Vec::new();
    for part in [data.cut.len() / 2, data.cut.len()] {
        if part > 0 {
            found.push(([&data.kept[..], &data.cut[..part]].concat(), false));
        }
    }
    let Some(start) = data.dirty.first().map(|run| run.start) else {
        return found;
    };
    let full = data.flushed();
    let count = full.len() - start;
    let places: Vec<usize> = match effort {
        Effort::Least => vec![count / 2, count - 1],
        Effort::Every => (0..=count).collect(),
        Effort::Some => {
            let mut places = vec![1, 2, count / 2, count - 2, count - 1, count];
            places.extend((0..6).map(|_| rng.usize(..=count)));
            places
        }
    };
    for place in places {
        let at = start + place.min(count);
        let rest = full.len() - at;
        found.push((full[..at].to_vec(), false));
        if effort == Effort::Least {
            continue;
        }
        found.push(([&full[..at], &vec![0; rest][..]].concat(), false));
        let mut rubbish = full[..at].to_vec();
        rubbish.extend((0..rest).map(|_| rng.u8(..)));
        found.push((rubbish, true));
        let late = [&full[..start], &vec![0; at - start][..], &full[at..]].concat();
        found.push((late, true));
    }
    for sector in (start / SECTOR..full.len() / SECTOR).filter(|_| effort != Effort::Least) {
        let mut holed = full.clone();
        let hole = start.max(sector * SECTOR)..(sector + 1) * SECTOR;
        holed[hole].fill(0);
        found.push((holed, true));
    }
    found
}
