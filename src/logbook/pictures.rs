//! The pictures in a folder of a person's own, the newest first. Only their beginnings are read, and what is
//! there is trusted in nothing: neither its number nor its names nor that it is still there.

use std::cmp::Reverse;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver};
use std::thread;

use chrono::{DateTime, FixedOffset, NaiveDateTime, Utc};

use super::disk::{Disk, RealDisk, open_regular, read_regular};
use super::folder::MAX_SMALL;
use super::replace::replace_file;
use crate::photo::scale::{Pixels, drawn, pixels};
use crate::photo::{PhotoError, is_picture, taken};
use crate::text::safe_line;

/// Of a folder with more entries than this the rest is not looked at.
const MOST: usize = 10_000;
/// So many pictures are listed, those whose files are newest.
const LISTED: usize = 60;
/// So much of a picture is read for its time, bytes: what a camera tells stands in the first segments,
/// and none is longer than 64 KiB.
const HEAD: u64 = 80 << 10;
/// A larger file, or one with more pixels, is not shown before it is taken in.
const MOST_SHOWN: u64 = 24 << 20;
const MOST_PIXELS: u64 = 26_000_000;
/// Names of pictures end so, in capitals too.
const ENDINGS: [&str; 7] = ["jpg", "jpeg", "png", "heic", "heif", "avif", "webp"];

/// A picture in a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Where it is.
    pub path: PathBuf,
    /// Its name, made safe to show.
    pub name: String,
    /// Its file's size, bytes.
    pub bytes: u64,
    /// When it was taken: by the clock of its camera, or when its file was written, here.
    pub at: NaiveDateTime,
    /// The picture itself says when it was taken.
    pub tells: bool,
}

/// What a folder holds.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Listed {
    /// The newest first; of one time by their names, the last first.
    pub pictures: Vec<Found>,
    /// So many more are there, older by their files.
    pub older: usize,
    /// The folder holds more than is looked at.
    pub is_cut: bool,
}

/// True for a name that ends as the names of pictures do.
pub fn is_named_so(name: &str) -> bool {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending);
    ending.is_some_and(|e| ENDINGS.iter().any(|known| e.eq_ignore_ascii_case(known)))
}

/// The pictures in a folder: plain files that are named as pictures and begin as such. Hidden ones and links
/// are left out. `zone` is where one is, for the times of files.
///
/// # Errors
/// The folder cannot be read.
pub fn pictures_in(folder: &Path, zone: FixedOffset) -> io::Result<Listed> {
    let mut files = Vec::new();
    let mut entries = fs::read_dir(folder)?;
    for entry in entries.by_ref().take(MOST) {
        let Ok(entry) = entry else { continue };
        let name = entry.file_name();
        let name = name.to_string_lossy();
        if name.starts_with('.') || !is_named_so(&name) {
            continue;
        }
        // Of a link this tells the link itself, which is no file.
        let Ok(meta) = entry.metadata() else { continue };
        if let Some(written) = meta.modified().ok().filter(|_| meta.is_file()) {
            files.push((Reverse(written), Reverse(entry.path()), meta.len()));
        }
    }
    let is_cut = entries.next().is_some();
    files.sort_unstable();
    let older = files.len().saturating_sub(LISTED);
    files.truncate(LISTED);
    let pictures = files.into_iter().filter_map(|(written, path, bytes)| {
        let head = head_of(&path.0).ok().filter(|head| is_picture(head))?;
        let told = taken(&head);
        let written: DateTime<Utc> = written.0.into();
        let name = path.0.file_name().unwrap_or_default().to_string_lossy();
        Some(Found {
            name: safe_line(&name).into_owned(),
            at: told.unwrap_or_else(|| written.with_timezone(&zone).naive_local()),
            tells: told.is_some(),
            path: path.0,
            bytes,
        })
    });
    let mut pictures: Vec<Found> = pictures.collect();
    pictures.sort_by(|a, b| (b.at, &b.path).cmp(&(a.at, &a.path)));
    Ok(Listed {
        pictures,
        older,
        is_cut,
    })
}

fn head_of(path: &Path) -> io::Result<Vec<u8>> {
    let mut head = Vec::new();
    let (file, _) = open_regular(path)?;
    file.take(HEAD).read_to_end(&mut head)?;
    Ok(head)
}

/// A picture in a folder, small enough for a screen: its long side has at most so many pixels.
///
/// # Errors
/// Why it is not shown, as the rest of a sentence; whether it can be taken in is another matter.
pub fn small(path: &Path, longest: u32) -> Result<Pixels, String> {
    let (_, bytes) = read_regular(path, MOST_SHOWN).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => "it is not there any more".to_owned(),
        io::ErrorKind::FileTooLarge => {
            "it is too large to be shown before it is taken in".to_owned()
        }
        _ => format!("it cannot be read ({e})"),
    })?;
    let told = |error: PhotoError| format!("it {error}");
    if pixels(&bytes).map_err(told)? > MOST_PIXELS {
        return Err("it has too many pixels to be shown before it is taken in".to_owned());
    }
    drawn(&bytes, longest).map_err(told)
}

/// A picture is being opened.
static OPENING: AtomicBool = AtomicBool::new(false);

/// The same on a thread of its own, since it takes its time; one picture at a time, since it takes memory.
/// None while another is being opened.
pub fn opening(path: PathBuf, longest: u32) -> Option<Receiver<Result<Pixels, String>>> {
    if OPENING.swap(true, Ordering::AcqRel) {
        return None;
    }
    let (told, shown) = mpsc::channel();
    let work = move || {
        let pixels = small(&path, longest);
        OPENING.store(false, Ordering::Release);
        // Who asked may have gone on to another one.
        let _ = told.send(pixels);
    };
    let begun = thread::Builder::new().name("picture".into()).spawn(work);
    if begun.is_err() {
        OPENING.store(false, Ordering::Release);
    }
    Some(shown)
}

/// The name under which the folder last used is kept, beside the newest records seen.
const LAST: &str = "pictures-from";

/// The folder from which a picture was taken in last, with `/` at its end.
pub fn last_folder(place: &Path) -> Option<String> {
    let told = RealDisk.read(&place.join(LAST), MAX_SMALL).ok()?;
    let told = String::from_utf8(told).ok()?;
    let plain = told.starts_with('/') && told.ends_with('/') && safe_line(&told) == told;
    plain.then_some(told)
}

/// Keeps the folder of a picture. Where that cannot be done the one before stays.
pub fn keep_folder(place: &Path, picture: &Path) {
    let full = std::path::absolute(picture).ok();
    if let Some(folder) = full
        .as_deref()
        .and_then(Path::parent)
        .and_then(Path::to_str)
    {
        let told = format!("{}/", folder.trim_end_matches('/'));
        let mut rng = fastrand::Rng::new();
        let _ = replace_file(&RealDisk, &place.join(LAST), told.as_bytes(), &mut rng);
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
