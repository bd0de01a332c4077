//! Paths of pictures as a person types them, completed and read; and whether what was kept of them can
//! still be read.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use crate::logbook::book::Book;
use crate::logbook::pictures::is_named_so;
use crate::text::safe_line;
use crate::walk::Photo;

/// Of a folder with more entries than this the rest is not looked at.
const MOST: usize = 10_000;
/// So many choices are named.
const NAMED: usize = 40;

/// A path, as far as it is certain.
#[derive(Debug, PartialEq, Eq)]
pub struct Completed {
    /// What the line says now.
    pub text: String,
    /// Names it could go on with, where there are several.
    pub choices: Vec<String>,
}

/// Completes a path to folders and pictures as far as there is no choice. Hidden names are left out
/// unless their dot is typed; so are names that cannot be shown as they are.
///
/// # Errors
/// One sentence: the folder cannot be read, or nothing in it begins so.
pub fn complete(typed: &str) -> Result<Completed, String> {
    let (folder, stem) = typed.split_at(typed.rfind('/').map_or(0, |at| at + 1));
    let place = if folder.is_empty() {
        PathBuf::from(".")
    } else {
        home(folder)
    };
    let listed = std::fs::read_dir(&place)
        .map_err(|e| format!("{} cannot be read ({e})", safe_line(folder)))?;
    let mut names: Vec<String> = listed
        .take(MOST)
        .filter_map(|entry| {
            let entry = entry.ok()?;
            let name = entry.file_name().into_string().ok()?;
            let wanted =
                name.starts_with(stem) && (!name.starts_with('.') || stem.starts_with('.'));
            if !wanted || safe_line(&name) != name {
                return None;
            }
            if entry.path().is_dir() {
                return Some(format!("{name}/"));
            }
            is_named_so(&name).then_some(name)
        })
        .collect();
    names.sort_unstable();
    let Some(first) = names.first() else {
        return Err(format!(
            "no folder and no picture there begins with '{stem}'"
        ));
    };
    let same = |a: &str, b: &str| -> usize {
        let pairs = a.chars().zip(b.chars());
        pairs
            .take_while(|(a, b)| a == b)
            .map(|(a, _)| a.len_utf8())
            .sum()
    };
    let certain = names
        .iter()
        .map(|name| same(first, name))
        .min()
        .unwrap_or(0);
    let text = format!("{folder}{}", &first[..certain]);
    names.truncate(NAMED);
    let choices = if names.len() > 1 { names } else { Vec::new() };
    Ok(Completed { text, choices })
}

/// The path a person means: without the quotes and backslashes that a terminal puts round one that
/// was dropped into it, and with `~` for the home folder.
pub fn path_of(typed: &str) -> PathBuf {
    let typed = meant(typed);
    for quote in ['"', '\''] {
        let inside = typed
            .strip_prefix(quote)
            .and_then(|t| t.strip_suffix(quote));
        if let Some(inside) = inside {
            return home(inside);
        }
    }
    let path = home(typed);
    if !path.exists() && typed.contains('\\') {
        return home(&typed.replace('\\', ""));
    }
    path
}

/// The part of a line that is meant: a path that was dropped or typed behind the folder that stood there
/// begins anew, at the root, at home or with a quote.
fn meant(typed: &str) -> &str {
    let typed = typed.trim();
    if home(typed).exists() {
        return typed;
    }
    let begins = ["//", "/~/", "/'", "/\""];
    let begins = begins.iter().filter_map(|sign| typed.find(sign)).min();
    begins.map_or(typed, |at| &typed[at + 1..])
}

/// Photographs that can be read or not, by the names they are kept under. Each is asked for once: a
/// picture is some megabytes.
#[derive(Default)]
pub struct Readable(BTreeMap<String, bool>);

impl Readable {
    /// Asks for those that were not asked for yet.
    pub fn ask<'a>(&mut self, book: &Book, photos: impl Iterator<Item = &'a Photo>) {
        for kept in photos.filter_map(|photo| photo.kept.as_ref()) {
            if !self.0.contains_key(kept) {
                self.0.insert(kept.clone(), book.photo(kept).is_ok());
            }
        }
    }

    /// True for one whose file is missing or was changed.
    pub fn is_lost(&self, photo: &Photo) -> bool {
        let kept = photo.kept.as_ref();
        kept.is_some_and(|kept| self.0.get(kept) == Some(&false))
    }
}

/// The folder of a path as it was typed, for the next one to start from.
pub fn folder_of(typed: &str) -> String {
    let typed = meant(typed);
    let folder = typed.rfind('/').map_or("", |at| &typed[..=at]);
    folder.trim_start_matches(['"', '\'']).to_owned()
}

fn home(path: &str) -> PathBuf {
    let folder = directories::BaseDirs::new();
    match path.strip_prefix("~/").zip(folder) {
        Some((rest, folder)) => folder.home_dir().join(rest),
        None => Path::new(path).to_owned(),
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_path_is_completed_as_far_as_there_is_no_choice() {
        let dir = tempfile::tempdir().expect("a folder");
        for name in [
            "seal one.jpg",
            "seal two.PNG",
            "notes.txt",
            ".hidden.jpg",
            "bad\u{202e}.jpg",
        ] {
            std::fs::write(dir.path().join(name), b"").expect("written");
        }
        std::fs::create_dir(dir.path().join("trial")).expect("made");
        let at = |rest: &str| format!("{}/{rest}", dir.path().display());
        let completed = |rest: &str| complete(&at(rest)).expect("completed");
        assert_eq!(completed("s").text, at("seal "));
        assert_eq!(completed("s").choices, ["seal one.jpg", "seal two.PNG"]);
        assert_eq!(completed("seal t").text, at("seal two.PNG"));
        assert_eq!(completed("tr").text, at("trial/"));
        assert_eq!(completed(".h").text, at(".hidden.jpg"));
        assert!(complete(&at("n")).is_err() && complete(&at("b")).is_err());
        assert!(complete(&at("none/x")).is_err());
    }

    #[test]
    fn a_path_dropped_into_the_terminal_loses_its_quotes() {
        assert_eq!(path_of("'/tmp/a b.jpg'"), Path::new("/tmp/a b.jpg"));
        assert_eq!(path_of("/none/a\\ b.jpg"), Path::new("/none/a b.jpg"));
        assert_eq!(path_of(" a.jpg "), Path::new("a.jpg"));
    }

    #[test]
    fn a_path_dropped_behind_the_folder_that_stood_there_begins_anew() {
        for dropped in ["/none/b.jpg", "'/none/b.jpg'"] {
            let typed = format!("/pictures/{dropped}");
            assert_eq!(path_of(&typed), Path::new("/none/b.jpg"), "{typed}");
            assert_eq!(folder_of(&typed), "/none/", "{typed}");
        }
        assert_eq!(folder_of("/pictures/b.jpg"), "/pictures/");
    }
}
