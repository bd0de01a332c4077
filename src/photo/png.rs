//! The chunks of a PNG (ISO/IEC 15948, clause 11): which are needed to see it, and which tell more.

use super::PhotoError;

/// How every PNG begins.
pub const SIGNATURE: [u8; 8] = *b"\x89PNG\r\n\x1a\n";

/// Header, palette, pixels, end; transparency and colour. Text, time, Exif and all else go.
const NEEDED: [&[u8; 4]; 9] = [
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"gAMA", b"cHRM", b"sRGB", b"iCCP",
];
const BREAKS_OFF: PhotoError = PhotoError::Damaged("it breaks off before its end");

/// The picture with the chunks needed to see it, its width and its height.
///
/// # Errors
/// [`PhotoError::Damaged`].
pub fn stripped(bytes: &[u8]) -> Result<(Vec<u8>, u32, u32), PhotoError> {
    let mut out = Vec::with_capacity(bytes.len());
    out.extend_from_slice(&SIGNATURE);
    let mut size = None;
    let mut pixels = false;
    let mut at = SIGNATURE.len();
    loop {
        let length = usize::try_from(number(bytes, at)?).unwrap_or(usize::MAX);
        let body_end = at.checked_add(8).and_then(|b| b.checked_add(length));
        let body_end = body_end.ok_or(BREAKS_OFF)?;
        let named = bytes.get(at + 4..body_end).ok_or(BREAKS_OFF)?;
        if crc32fast::hash(named) != number(bytes, body_end)? {
            return Err(PhotoError::Damaged("a part of it fails its own check"));
        }
        let (name, body) = named.split_at(4);
        if size.is_none() {
            if name != b"IHDR" {
                return Err(PhotoError::Damaged("its header is not where it should be"));
            }
            size = Some((number(body, 0)?, number(body, 4)?));
        }
        pixels |= name == b"IDAT";
        if NEEDED.iter().any(|needed| name == needed.as_slice()) {
            out.extend_from_slice(&bytes[at..body_end + 4]);
        }
        if name == b"IEND" {
            break;
        }
        at = body_end + 4;
    }
    match size {
        Some((width, height)) if pixels => Ok((out, width, height)),
        _ => Err(PhotoError::Damaged("it has no pixels")),
    }
}

fn number(bytes: &[u8], at: usize) -> Result<u32, PhotoError> {
    let four = at.checked_add(4).and_then(|end| bytes.get(at..end));
    let four: [u8; 4] = four.ok_or(BREAKS_OFF)?.try_into().map_err(|_| BREAKS_OFF)?;
    Ok(u32::from_be_bytes(four))
}
