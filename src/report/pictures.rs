//! Photographs in a page: smaller copies, written into the file itself.

use std::collections::BTreeMap;

use super::content::Report;
use crate::logbook::photos::kept_photo;
use crate::logbook::{Disk, Folder};
use crate::photo::scale::scaled;

/// Long side of a copy, pixels: enough for half a page of paper.
const LONGEST: u32 = 1000;
const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// The pictures of a report by the name they are kept under, as addresses that hold the picture;
/// those that cannot be read, or no longer match their name, are left out.
pub fn pictures(report: &Report, disk: &dyn Disk, folder: &Folder) -> BTreeMap<String, String> {
    let observed = report.defects.iter().filter_map(|d| d.observed.as_ref());
    let photos = report.looks.iter().chain(observed).flat_map(|l| &l.photos);
    let mut found = BTreeMap::new();
    for name in photos.filter_map(|p| p.kept.as_ref()) {
        if found.contains_key(name) {
            continue;
        }
        let read = kept_photo(disk, folder, name).ok();
        if let Some(jpeg) = read.and_then(|bytes| scaled(&bytes, LONGEST).ok()) {
            found.insert(
                name.clone(),
                format!("data:image/jpeg;base64,{}", base64(&jpeg)),
            );
        }
    }
    found
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
