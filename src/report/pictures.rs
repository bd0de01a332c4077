//! Photographs in a page: smaller copies, written into the file itself.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use super::content::Report;
use super::making::{Progress, Stage, lock};
use super::words::{Said, told};
use crate::logbook::photos::kept_photo;
use crate::logbook::{Disk, Folder, RealDisk};
use crate::photo::scale::{pixels, scaled};
use crate::text::words;
use crate::walk::Photo;

words! {
    /// How large the copies of photographs in a page are.
    PhotoSize, "size of photographs" {
        /// To be sent over a thin line.
        Small = "small",
        /// Enough for half a page of paper.
        Usual = "usual",
        /// To look at closely on a screen.
        Full = "full",
    }
}

impl PhotoSize {
    /// Long side of a copy, pixels.
    pub const fn longest(self) -> u32 {
        match self {
            PhotoSize::Small => 480,
            PhotoSize::Usual => 1000,
            PhotoSize::Full => 2000,
        }
    }
}

/// Said behind the number of photographs that a page had to leave out.
pub const LEFT_OUT: &str =
    "photograph(s) cannot be read and are left out; see: handlamp logbook check";
/// Pictures opened at a time, each with three or four bytes for a pixel.
const AT_ONCE: usize = 2;
/// Of pictures with more pixels than this, one at a time.
const VAST: u64 = 25_000_000;
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// The photographs of a report of which a copy is kept, once each, with its name, in the order of the
/// report.
fn kept(report: &Report) -> impl Iterator<Item = (&String, &Photo)> {
    let observed = report.defects.iter().filter_map(|d| d.observed.as_ref());
    let photos = report.looks.iter().chain(observed).flat_map(|l| &l.photos);
    let mut known = BTreeSet::new();
    photos
        .filter_map(|photo| Some((photo.kept.as_ref()?, photo)))
        .filter(move |(name, _)| known.insert(*name))
}

/// Puts its photographs into a report, as [`pictures`] makes them, and says among its limits which of
/// them cannot be read. How many those are.
pub fn put_pictures(
    report: &mut Report,
    size: PhotoSize,
    folder: &Folder,
    progress: &Progress,
) -> usize {
    let wanted: Vec<String> = kept(report).map(|(name, _)| name.clone()).collect();
    let found = pictures(&wanted, size.longest(), (&RealDisk, folder), progress);
    let missing = kept(report).filter(|(name, _)| !found.contains_key(*name));
    let missing =
        missing.map(|(_, photo)| Said::people(photo.caption.as_ref().unwrap_or(&photo.path)));
    let missing: Vec<Said> = missing.collect();
    let left_out = missing.len();
    if left_out > 0 && !progress.is_stopped() {
        let w = report.language.words();
        let names = Said::join(missing, ", ");
        let told = told!(w, "photographs-left-out", n = left_out, names = names);
        report.limitations.push(told);
    }
    report.pictures = found;
    left_out
}

/// The pictures of these names, as addresses that hold the picture, its long side at most so many
/// pixels; those that cannot be read, or no longer match their name, are left out. Once stopped it begins
/// no further one.
pub fn pictures(
    names: &[String],
    longest: u32,
    (disk, folder): (&(dyn Disk + Sync), &Folder),
    progress: &Progress,
) -> BTreeMap<String, String> {
    progress.reached(Stage::Photographs {
        done: 0,
        total: names.len(),
    });
    let found = Mutex::new(BTreeMap::new());
    let vast = Mutex::new(());
    let next = AtomicUsize::new(0);
    let work = || {
        while !progress.is_stopped()
            && let Some(name) = names.get(next.fetch_add(1, Ordering::Relaxed))
        {
            if let Some(address) = address(name, longest, (disk, folder), &vast) {
                lock(&found).insert(name.clone(), address);
            }
            progress.one_more();
        }
    };
    thread::scope(|scope| {
        // Where the system gives no further thread this one does it all.
        for _ in 1..AT_ONCE.min(names.len()) {
            let _ = thread::Builder::new().spawn_scoped(scope, work);
        }
        work();
    });
    found.into_inner().unwrap_or_default()
}

fn address(
    name: &str,
    longest: u32,
    (disk, folder): (&(dyn Disk + Sync), &Folder),
    vast: &Mutex<()>,
) -> Option<String> {
    let bytes = kept_photo(disk, folder, name).ok()?;
    let _alone = (pixels(&bytes).ok()? > VAST).then(|| lock(vast));
    let jpeg = scaled(&bytes, longest).ok()?;
    Some(format!("data:image/jpeg;base64,{}", base64(&jpeg)))
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for part in bytes.chunks(3) {
        let at = |n: usize| u32::from(part.get(n).copied().unwrap_or(0));
        let bits = at(0) << 16 | at(1) << 8 | at(2);
        for n in 0..4 {
            if n <= part.len() {
                out.push(char::from(LETTERS[(bits >> (18 - 6 * n)) as usize & 63]));
            } else {
                out.push('=');
            }
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 4648, section 10.
    #[test]
    fn base64_is_that_of_the_standard() {
        let vectors = [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ];
        for (text, written) in vectors {
            assert_eq!(base64(text.as_bytes()), written);
        }
    }
}
