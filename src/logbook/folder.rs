//! Where things are in a logbook's folder, and the words that explain it to whoever finds it.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::disk::Disk;
use super::line::within_calendar;
use super::replace::replace_file;

/// Letters and digits for ids: no `i`, `l`, `o` or `u`, and one case only, because some file
/// systems do not tell the cases apart.
const ALPHABET: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
const DEVICE_CHARS: usize = 6;
/// Long enough (40 bits) that thousands of sessions of one device do not meet by chance.
const SESSION_CHARS: usize = 8;
/// The largest file that is read: 64 MiB.
pub const MAX_FILE: u64 = 64 * 1024 * 1024;
/// The most that is read of any small file of the folder.
pub const MAX_SMALL: u64 = 1024 * 1024;
/// The most that is read of a kept text: a hundred times what the program's own catalogue needs.
pub const MAX_TEXT: u64 = 16 * 1024 * 1024;

const README: &str = "\
This folder is the logbook of one boat, written by the program handlamp.
Everything in it is plain text and can be read without the program.

log/        What happened, one record a line, each line one JSON object, in files ending in
            .jsonl. Every session of the program writes a new file and never touches an old one.
              id   the record's name, the same in every copy
              t    its place in time: milliseconds since 1970 (UTC) and a counter
              at   the time on the wall when it was written
              ev   what kind of record it is
              rec  the record itself
              sum  CRC-32 of the line up to the comma before \"sum\"
            To read the whole story, take the lines of all files and sort them by t, then id.
            The names of the files mean nothing.
boat.json   The boat and its machines.
texts/      The checklists as they were when they were used, and what the boat has of her own.
            Each file is named after the SHA-256 of its content.
photos/     Pictures, as files that any viewer shows. Each is named after the SHA-256 of its
            content; the looks in log/ say what they show. Where and when they were taken has
            been taken out.
issued/     Reports that were issued: what each says as data (.json) and the page that was given out
            (.html), named after the SHA-256 of their content. Nothing recorded later changes them.
device.json A random name for the computer that wrote here. Not needed for reading.
aside/      Copies of damaged pieces, if there were any, with a note of where they came from.
rescue-...  Records that could not be saved when the program ended, in the form of those in log/.
            The next start that may write here takes them in.

To keep a copy, copy the folder. To join two copies of the same logbook, let the program merge
them, or put all the files of both log/ folders into one. A record that is there twice counts once.
";

/// The paths of one logbook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Folder {
    root: PathBuf,
}

impl Folder {
    /// The logbook at `root`, which need not exist yet.
    #[must_use]
    pub fn new(root: impl Into<PathBuf>) -> Self {
        Self { root: root.into() }
    }

    /// The folder itself.
    #[must_use]
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Where the records are.
    #[must_use]
    pub fn log(&self) -> PathBuf {
        self.root.join("log")
    }

    /// Where records first written in this year (UTC) are. Something else under the year's name,
    /// such as a link out of the folder, is not read and so must not be written to: they are then
    /// beside it.
    pub(crate) fn year(&self, now: DateTime<FixedOffset>) -> PathBuf {
        let log = self.log();
        let year = log.join(within_calendar(now).to_utc().format("%Y").to_string());
        match year.symlink_metadata() {
            Ok(there) if !there.is_dir() => log,
            _ => year,
        }
    }

    /// The boat's profile.
    #[must_use]
    pub fn boat(&self) -> PathBuf {
        self.root.join("boat.json")
    }

    /// Checklists by content.
    #[must_use]
    pub fn texts(&self) -> PathBuf {
        self.root.join("texts")
    }

    /// Pictures by content.
    #[must_use]
    pub fn photos(&self) -> PathBuf {
        self.root.join("photos")
    }

    /// Reports issued, by content.
    #[must_use]
    pub fn issued(&self) -> PathBuf {
        self.root.join("issued")
    }

    /// Copies of damaged bytes.
    #[must_use]
    pub fn aside(&self) -> PathBuf {
        self.root.join("aside")
    }

    fn device(&self) -> PathBuf {
        self.root.join("device.json")
    }

    /// This device's id as kept in the folder, if there is one.
    pub(crate) fn kept_device(&self, disk: &dyn Disk) -> Option<String> {
        let bytes = disk.read(&self.device(), MAX_SMALL).ok()?;
        let Device { device } = serde_json::from_slice(&bytes).ok()?;
        let plain = device.len() == DEVICE_CHARS && device.bytes().all(|b| ALPHABET.contains(&b));
        plain.then_some(device)
    }

    /// This device's id, or a fresh one that [`furnish`](Self::furnish) will keep.
    pub(crate) fn device_id(&self, disk: &dyn Disk, rng: &mut fastrand::Rng) -> String {
        self.kept_device(disk)
            .unwrap_or_else(|| random_chars(rng, DEVICE_CHARS))
    }

    /// Put the explanation and the device's id beside the records. Failing to is no failure:
    /// records are complete without them, and the next session tries again.
    pub(crate) fn furnish(&self, disk: &dyn Disk, device: &str, rng: &mut fastrand::Rng) {
        if self.kept_device(disk).is_none() {
            let json = serde_json::json!(Device {
                device: device.to_owned()
            });
            let _ = replace_file(disk, &self.device(), json.to_string().as_bytes(), rng);
        }
        let readme = self.root.join("README.txt");
        if disk.read(&readme, MAX_SMALL).is_err() {
            let _ = replace_file(disk, &readme, README.as_bytes(), rng);
        }
    }
}

#[derive(Serialize, Deserialize)]
struct Device {
    device: String,
}

/// A fresh session's part of its ids.
pub(crate) fn session_id(rng: &mut fastrand::Rng) -> String {
    random_chars(rng, SESSION_CHARS)
}

/// `20261125T062127Z-k7f3q2-9xw4.jsonl`: a label for people. Nothing is ever read from it.
pub(crate) fn file_name(
    now: DateTime<FixedOffset>,
    device: &str,
    rng: &mut fastrand::Rng,
) -> String {
    let time = within_calendar(now).to_utc().format("%Y%m%dT%H%M%SZ");
    format!("{time}-{device}-{}.jsonl", random_chars(rng, 6))
}

/// The session and number in an id made here; `None` for ids given from outside.
pub(crate) fn numbered(id: &str) -> Option<(&str, u32)> {
    let (session, n) = id.rsplit_once('-')?;
    let plain = n == "0" || !n.starts_with('0');
    let ours = session.len() == DEVICE_CHARS + 1 + SESSION_CHARS
        && session.as_bytes().get(DEVICE_CHARS) == Some(&b'-');
    (ours && plain).then(|| n.parse().ok().map(|n| (session, n)))?
}

/// Letters and digits from [`ALPHABET`].
pub(crate) fn random_chars(rng: &mut fastrand::Rng, count: usize) -> String {
    (0..count)
        .map(|_| char::from(ALPHABET[rng.usize(..ALPHABET.len())]))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_ids_made_here_have_numbers() {
        assert_eq!(
            numbered("k7f3q2-9xw4h0m2-17"),
            Some(("k7f3q2-9xw4h0m2", 17))
        );
        assert_eq!(numbered("k7f3q2-9xw4h0m2-0"), Some(("k7f3q2-9xw4h0m2", 0)));
        for given in [
            "walk-2026-05-03",
            "a",
            "k7f3q2-9xw4h0m2-",
            "k7f3q2-9xw4h0m2-07",
            "k7f3q2-9xw4h0m2-x",
        ] {
            assert_eq!(numbered(given), None, "{given}");
        }
    }
}
