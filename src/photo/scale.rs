//! A smaller copy of a picture: for a report that has to stay small enough to be handed on, or for a screen.

use std::io::Cursor;

use image::codecs::jpeg::JpegEncoder;
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};

use super::{Form, Other, PhotoError, other, within};

/// The most memory a picture may take while it is opened, bytes: 100 million pixels of four bytes.
const MAX_MEMORY: u64 = 400_000_000;
/// Quality of the copy, 1 to 100.
const QUALITY: u8 = 82;

/// A picture as few pixels: red, green and blue, row after row.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels in a row, at least one.
    pub width: usize,
    /// Rows, at least one.
    pub height: usize,
    /// As many as both make.
    pub rgb: Vec<[u8; 3]>,
}

/// The width and height the picture says it has, as it is kept; no pixel is looked at.
///
/// # Errors
/// [`PhotoError`]: no picture, or its beginning makes no sense.
fn dimensions(bytes: &[u8]) -> Result<(u32, u32), PhotoError> {
    match Other::of(bytes) {
        Some(Other::Heic) => other::size_of_heic(bytes),
        _ => reader(bytes)?.into_dimensions().map_err(undrawable),
    }
}

/// How many pixels the picture says it has; none of them is looked at.
///
/// # Errors
/// As [`dimensions`].
pub fn pixels(bytes: &[u8]) -> Result<u64, PhotoError> {
    let (width, height) = dimensions(bytes)?;
    Ok(u64::from(width) * u64::from(height))
}

/// A JPEG of the picture, turned the right way up, with a long side of at most `longest` pixels. It
/// has no metadata. A picture that is small enough keeps its size.
///
/// # Errors
/// [`PhotoError`]: no picture, too many pixels, or its pixels make no sense.
pub fn scaled(bytes: &[u8], longest: u32) -> Result<Vec<u8>, PhotoError> {
    let picture = opened(bytes, longest)?;
    let mut out = Vec::new();
    let mut encoder = JpegEncoder::new_with_quality(&mut out, QUALITY);
    encoder
        .encode_image(&picture.into_rgb8())
        .map_err(undrawable)?;
    Ok(out)
}

/// The picture turned the right way up, with a long side of at most `longest` pixels.
///
/// # Errors
/// As [`scaled`].
pub fn drawn(bytes: &[u8], longest: u32) -> Result<Pixels, PhotoError> {
    let picture = opened(bytes, longest)?.into_rgb8();
    Ok(Pixels {
        width: picture.width() as usize,
        height: picture.height() as usize,
        rgb: picture.pixels().map(|pixel| pixel.0).collect(),
    })
}

/// The picture in any form that is read, turned the right way up.
pub(super) fn opened(bytes: &[u8], longest: u32) -> Result<DynamicImage, PhotoError> {
    if Other::of(bytes) == Some(Other::Heic) {
        return Ok(shrunk(other::heic(bytes)?, longest));
    }
    let mut decoder = reader(bytes)?.into_decoder().map_err(undrawable)?;
    let (width, height) = decoder.dimensions();
    within(width, height)?;
    let upright = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let picture = DynamicImage::from_decoder(decoder).map_err(undrawable)?;
    let mut picture = shrunk(picture, longest);
    picture.apply_orientation(upright);
    Ok(picture)
}

fn shrunk(picture: DynamicImage, longest: u32) -> DynamicImage {
    let longest = longest.max(1);
    match picture.width().max(picture.height()) > longest {
        true => picture.thumbnail(longest, longest),
        false => picture,
    }
}

fn reader(bytes: &[u8]) -> Result<ImageReader<Cursor<&[u8]>>, PhotoError> {
    let format = match (Form::of(bytes), Other::of(bytes)) {
        (Some(Form::Jpeg), _) => ImageFormat::Jpeg,
        (Some(Form::Png), _) => ImageFormat::Png,
        (None, Some(Other::Webp)) => ImageFormat::WebP,
        (None, Some(other)) => return Err(PhotoError::NotRead(other)),
        (None, None) => return Err(PhotoError::NotAPicture),
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_alloc = Some(MAX_MEMORY);
    reader.limits(limits);
    Ok(reader)
}

fn undrawable(error: image::ImageError) -> PhotoError {
    PhotoError::Undrawable(error.to_string())
}
