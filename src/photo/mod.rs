//! Pictures as bytes. Nothing here knows files.
//!
//! - [`fn@clean`]: a picture without what it tells of place, time and camera; not one pixel changes
//! - [`jpeg`], [`png`]: the parts of the two forms that are kept; [`other`]: forms that are drawn anew
//! - [`tiff`]: what a camera tells in a picture; [`fn@taken`]: when it says it was taken, for putting in order alone
//! - [`mod@scale`]: a smaller copy for a report

pub mod jpeg;
pub mod other;
pub mod png;
pub mod scale;
pub mod tiff;

use chrono::NaiveDateTime;
use memchr::memmem;

pub use other::Other;
pub use scale::scaled;
use tiff::Tiff;

/// The largest picture taken, bytes.
pub const MAX_BYTES: u64 = 64 << 20;
/// The most pixels a picture may have.
pub const MAX_PIXELS: u64 = 100_000_000;

/// The forms in which a picture is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// JPEG (ITU-T T.81).
    Jpeg,
    /// PNG (ISO/IEC 15948).
    Png,
}

impl Form {
    /// By the first bytes, whatever the name says.
    pub fn of(bytes: &[u8]) -> Option<Form> {
        if bytes.starts_with(&jpeg::START) {
            Some(Form::Jpeg)
        } else if bytes.starts_with(&png::SIGNATURE) {
            Some(Form::Png)
        } else {
            None
        }
    }

    /// The ending of a file's name.
    pub const fn ending(self) -> &'static str {
        match self {
            Form::Jpeg => "jpg",
            Form::Png => "png",
        }
    }
}

/// Why bytes are not taken as a picture: the rest of a sentence that begins with the file's name.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PhotoError {
    /// No form that is known.
    #[error("is no picture in a form that is read here: JPEG, PNG, HEIC or WebP")]
    NotAPicture,
    /// A picture that is not read here.
    #[error("is a picture in {} form, which is not read here; share or export it as JPEG, or set the camera to its most compatible form", .0.words())]
    NotRead(Other),
    /// A part of it is missing or wrong.
    #[error("is damaged: {0}")]
    Damaged(&'static str),
    /// More than [`MAX_PIXELS`].
    #[error("has {width} × {height} pixels and the limit is {} million; save it smaller", MAX_PIXELS / 1_000_000)]
    TooManyPixels {
        /// Pixels across, as the file says.
        width: u32,
        /// Pixels down, as the file says.
        height: u32,
    },
    /// It cannot be drawn.
    #[error("cannot be drawn ({0})")]
    Undrawable(String),
}

/// A picture ready to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Clean {
    /// JPEG or PNG, by its first bytes.
    pub form: Form,
    /// The picture, without what it told of place, time and camera.
    pub bytes: Vec<u8>,
    /// Pixels across, as stored.
    pub width: u32,
    /// Pixels down, as stored.
    pub height: u32,
}

/// Takes out of a picture what is not needed to see it: position, time, camera, serial numbers,
/// comments, thumbnails and whatever follows its end. The compressed pixels are copied as they are;
/// which way up it is held and its colours stay. A form that is not kept is drawn anew as a JPEG.
///
/// # Errors
/// [`PhotoError`]: no picture, damaged, or too many pixels.
pub fn clean(bytes: &[u8]) -> Result<Clean, PhotoError> {
    let (form, (bytes, width, height)) = match Form::of(bytes) {
        Some(form @ Form::Jpeg) => (form, jpeg::stripped(bytes)?),
        Some(form @ Form::Png) => (form, png::stripped(bytes)?),
        None => return other::drawn_anew(bytes),
    };
    within(width, height)?;
    Ok(Clean {
        form,
        bytes,
        width,
        height,
    })
}

/// When a picture was taken, by the clock of its camera: of its beginning, as far as that goes. None
/// where it does not say. Nothing of it is kept.
pub fn taken(head: &[u8]) -> Option<NaiveDateTime> {
    let told = |bytes: &[u8]| Tiff::of(bytes)?.taken();
    if Form::of(head) == Some(Form::Jpeg) {
        return told(jpeg::exif(head)?);
    }
    // Where it lies in other forms their own directories say, which may not be in the beginning.
    Other::of(head)?;
    let begins = tiff::BEGINS.iter();
    let begins = begins.flat_map(|sign| memmem::find_iter(head, sign));
    begins.filter_map(|at| told(&head[at..])).next()
}

/// True for the beginning of a picture in any form that is known, read here or not.
pub fn is_picture(head: &[u8]) -> bool {
    Form::of(head).is_some() || Other::of(head).is_some()
}

fn within(width: u32, height: u32) -> Result<(), PhotoError> {
    if width == 0 || height == 0 {
        return Err(PhotoError::Damaged("it has no size"));
    }
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(PhotoError::TooManyPixels { width, height });
    }
    Ok(())
}

#[cfg(test)]
#[allow(clippy::expect_used)]
pub(crate) mod tests;
