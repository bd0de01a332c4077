//! Forms in which many telephones and messages hand pictures on, and which no page and no printer is sure to
//! show: known by their bytes, and drawn anew as a JPEG where they can be read.
//!
//! What was tried in November 2026, each in plain Rust, under a permissive licence and without a C library:
//! - heifer 0.3.22 reads HEIC. Against libheif 1.23 its pixels differ by 1 to 2 of 255 in the middle, tiles
//!   and turns included; 12 megapixels take 2 s of a busy processor; 6000 spoilt files made no panic. It
//!   costs 22 s of the build, since it brings its encoder, and some 350 kB. It is taken.
//! - heic-rs 0.1.4 builds in 6 s, but does not read which range the colours have from the stream, where
//!   telephones say it: such a photograph came out wrong by 10 of 255. heic is under the AGPL.
//! - WebP is read by what reads JPEG and PNG, for one more package of the same hands.
//! - AVIF is not read: what decodes AV1 is a C library, or that library in unsafe Rust (from memory; none was
//!   built), and hardly a camera makes it.

use heifer::heifer_isobmff::{self, HeifFile};
use image::codecs::jpeg::JpegEncoder;
use image::{DynamicImage, RgbImage};

use super::{Clean, Form, MAX_PIXELS, PhotoError};

/// Quality of what is drawn anew, 1 to 100: no difference is seen (*judgement*).
const QUALITY: u8 = 92;

/// A form that is not kept as it comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Other {
    /// HEIF with HEVC in it (ISO/IEC 23008-12).
    Heic,
    /// HEIF with AV1 in it.
    Avif,
    /// WebP (RFC 9649).
    Webp,
}

impl Other {
    /// By the first bytes, whatever the name says: the brands of the `ftyp` box (ISO/IEC 14496-12, 4.3),
    /// or the head of a RIFF file. A brand that leaves open what is in it is taken for HEVC, unless another
    /// of the box says AV1.
    pub fn of(bytes: &[u8]) -> Option<Other> {
        if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            return Some(Other::Webp);
        }
        if bytes.get(4..8) != Some(b"ftyp") {
            return None;
        }
        let size: [u8; 4] = bytes.get(..4)?.try_into().ok()?;
        let size = usize::try_from(u32::from_be_bytes(size)).ok()?;
        let told = bytes.get(8..size.min(bytes.len()))?;
        // The first brand, four bytes of version, then the brands it agrees with.
        let (brands, _) = told.as_chunks::<4>();
        let brands = || brands.iter().enumerate().filter(|(n, _)| *n != 1);
        let any = |of: &[&[u8; 4]]| brands().any(|(_, brand)| of.contains(&brand));
        if any(&[b"avif", b"avis"]) {
            Some(Other::Avif)
        } else if any(&[
            b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"mif1", b"mif2", b"msf1",
        ]) {
            Some(Other::Heic)
        } else {
            None
        }
    }

    /// As it is called.
    pub const fn words(self) -> &'static str {
        match self {
            Other::Heic => "HEIC",
            Other::Avif => "AVIF",
            Other::Webp => "WebP",
        }
    }
}

/// The picture drawn anew as a JPEG, the right way up, with nothing in it but its pixels.
///
/// # Errors
/// [`PhotoError`]: it cannot be read here, or has too many pixels.
pub fn drawn_anew(bytes: &[u8]) -> Result<Clean, PhotoError> {
    let picture = super::scale::opened(bytes, u32::MAX)?.into_rgb8();
    super::within(picture.width(), picture.height())?;
    let mut out = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    let encoded = encoder.encode_image(&picture);
    encoded.map_err(|e| PhotoError::Undrawable(e.to_string()))?;
    Ok(Clean {
        form: Form::Jpeg,
        bytes: out,
        width: picture.width(),
        height: picture.height(),
    })
}

/// The pixels of a HEIC, the right way up and in the colours of a screen.
pub(super) fn heic(bytes: &[u8]) -> Result<DynamicImage, PhotoError> {
    let options = heifer::Options {
        max_pixels: MAX_PIXELS,
        ..heifer::Options::default()
    };
    let read = heifer::decode_srgb_rgba8(bytes, &options).map_err(undrawable)?;
    image(read.width, read.height, read.into_rgb8())
}

/// How many pixels a HEIC says it has, across and down.
pub(super) fn size_of_heic(bytes: &[u8]) -> Result<(u32, u32), PhotoError> {
    let unread = |error: heifer_isobmff::Error| PhotoError::Undrawable(error.to_string());
    let file = HeifFile::parse(bytes).map_err(unread)?;
    let first = file.primary_item().map_err(unread)?.id;
    let size = file.image_size(first).map_err(unread)?;
    size.ok_or(PhotoError::Damaged("it has no size"))
}

fn image(width: u32, height: u32, rgb: Vec<u8>) -> Result<DynamicImage, PhotoError> {
    let pixels = RgbImage::from_raw(width, height, rgb);
    let pixels = pixels.ok_or(PhotoError::Damaged("it has another number of pixels"))?;
    Ok(pixels.into())
}

fn undrawable(error: heifer::Error) -> PhotoError {
    PhotoError::Undrawable(error.to_string())
}
