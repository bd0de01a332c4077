//! The segments of a JPEG (ITU-T T.81, Annex B): which are needed to see it, and which tell more.

use super::PhotoError;
use super::tiff::Tiff;

/// How every JPEG begins: start of image, then a marker.
pub const START: [u8; 3] = [0xFF, 0xD8, 0xFF];

/// How the segment begins in which a camera tells what it knows.
pub(super) const EXIF: &[u8] = b"Exif\0\0";

const BREAKS_OFF: PhotoError = PhotoError::Damaged("it breaks off before its end");
const NO_SEGMENT: PhotoError = PhotoError::Damaged("a part of it does not begin where it should");

/// The picture with the segments needed to see it, its width and its height.
///
/// # Errors
/// [`PhotoError::Damaged`].
pub fn stripped(bytes: &[u8]) -> Result<(Vec<u8>, u32, u32), PhotoError> {
    let mut out = Vec::with_capacity(bytes.len());
    out.extend_from_slice(&START[..2]);
    // Where which way up it is held goes: after the segment that has to come first.
    let mut upright_at = out.len();
    let mut upright = None;
    let mut size = None;
    let mut scanned = false;
    let mut at = 2;
    loop {
        let (marker, after) = marker(bytes, at)?;
        if marker == 0xD9 {
            break;
        }
        let length = bytes.get(after..after + 2).ok_or(BREAKS_OFF)?;
        let length = usize::from(u16::from_be_bytes([length[0], length[1]]));
        let body = bytes.get(after..after + length).ok_or(BREAKS_OFF)?;
        let body = body.get(2..).ok_or(NO_SEGMENT)?;
        at = after + length;
        match marker {
            0xE0 if body.starts_with(b"JFIF\0") => {
                // Twelve bytes and no thumbnail.
                let mut plain = body.get(..12).ok_or(NO_SEGMENT)?.to_vec();
                plain.extend_from_slice(&[0, 0]);
                put(&mut out, marker, &plain);
                if upright_at == 2 {
                    upright_at = out.len();
                }
            }
            0xE1 if body.starts_with(EXIF) => {
                let told = Tiff::of(&body[EXIF.len()..]).and_then(|tiff| tiff.orientation());
                upright = upright.or(told);
            }
            0xE2 if body.starts_with(b"ICC_PROFILE\0") => put(&mut out, marker, body),
            // Which colours the numbers mean (ITU-T T.872, 6.5.3): twelve bytes and no text.
            0xEE if body.len() == 12 => put(&mut out, marker, body),
            0xE0..=0xEF | 0xFE => {}
            0x01 | 0xD0..=0xD8 => return Err(NO_SEGMENT),
            0xDA => {
                scanned = true;
                put(&mut out, marker, body);
                let end = scan_end(bytes, at)?;
                out.extend_from_slice(&bytes[at..end]);
                at = end;
            }
            _ => {
                if matches!(marker, 0xC0..=0xCF) && !matches!(marker, 0xC4 | 0xC8 | 0xCC) {
                    let number = |at: usize| {
                        let two = body.get(at..at + 2).ok_or(NO_SEGMENT)?;
                        Ok(u32::from(u16::from_be_bytes([two[0], two[1]])))
                    };
                    size = Some((number(3)?, number(1)?));
                }
                put(&mut out, marker, body);
            }
        }
    }
    let (width, height) = size.ok_or(PhotoError::Damaged("it has no size"))?;
    if !scanned {
        return Err(PhotoError::Damaged("it has no pixels"));
    }
    out.extend_from_slice(&[0xFF, 0xD9]);
    if let Some(value) = upright.filter(|v| *v != 1) {
        let mut segment = Vec::new();
        put(&mut segment, 0xE1, &exif_of(value));
        out.splice(upright_at..upright_at, segment);
    }
    Ok((out, width, height))
}

/// What a camera tells, of a picture or of its beginning, as far as that goes.
pub(super) fn exif(head: &[u8]) -> Option<&[u8]> {
    let mut at = 2;
    loop {
        let (marker, after) = marker(head, at).ok()?;
        let length: [u8; 2] = head.get(after..after + 2)?.try_into().ok()?;
        let end = after + usize::from(u16::from_be_bytes(length));
        let body = head.get(after + 2..end.min(head.len()))?;
        match marker {
            0xE1 if body.starts_with(EXIF) => return Some(&body[EXIF.len()..]),
            // From here on come the pixels.
            0xD8..=0xDA => return None,
            _ => at = end,
        }
    }
}

/// The marker at a place, which may have fill bytes before it, and where what belongs to it begins.
fn marker(bytes: &[u8], at: usize) -> Result<(u8, usize), PhotoError> {
    if *bytes.get(at).ok_or(BREAKS_OFF)? != 0xFF {
        return Err(NO_SEGMENT);
    }
    let rest = &bytes[at..];
    let fill = rest.iter().take_while(|b| **b == 0xFF).count();
    let marker = *rest.get(fill).ok_or(BREAKS_OFF)?;
    Ok((marker, at + fill + 1))
}

/// Where the compressed pixels that begin at `from` end: at a marker that is no restart.
fn scan_end(bytes: &[u8], from: usize) -> Result<usize, PhotoError> {
    let mut at = from;
    loop {
        let found = bytes.get(at..).ok_or(BREAKS_OFF)?;
        at += found.iter().position(|b| *b == 0xFF).ok_or(BREAKS_OFF)?;
        match bytes.get(at + 1).ok_or(BREAKS_OFF)? {
            0x00 | 0xD0..=0xD7 => at += 2,
            0xFF => at += 1,
            _ => return Ok(at),
        }
    }
}

fn put(out: &mut Vec<u8>, marker: u8, body: &[u8]) {
    // A body came out of a segment or is one of ours, so its length fits.
    let length = u16::try_from(body.len() + 2).unwrap_or(u16::MAX);
    out.extend_from_slice(&[0xFF, marker]);
    out.extend_from_slice(&length.to_be_bytes());
    out.extend_from_slice(body);
}

/// An Exif body that says which way up the picture is held and nothing else.
fn exif_of(orientation: u8) -> Vec<u8> {
    let mut body = b"Exif\0\0MM\0*\0\0\0\x08\0\x01".to_vec();
    body.extend_from_slice(&[0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
    body.extend_from_slice(&[0, 0, 0, 0]);
    body
}
