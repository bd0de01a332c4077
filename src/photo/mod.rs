//! Pictures as bytes. Nothing here knows files.
//!
//! - [`fn@clean`]: a picture without what it tells of place, time and camera; not one pixel changes
//! - [`jpeg`], [`png`]: the parts of the two forms
//! - [`mod@scale`]: a smaller copy for a report

pub mod jpeg;
pub mod png;
pub mod scale;

pub use scale::scaled;

/// The largest picture taken, bytes.
pub const MAX_BYTES: u64 = 64 << 20;
/// The most pixels a picture may have.
pub const MAX_PIXELS: u64 = 100_000_000;

/// The forms a picture may have.
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
    /// Neither JPEG nor PNG.
    #[error("is no picture in JPEG or PNG form")]
    NotAPicture,
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
/// which way up it is held and its colours stay.
///
/// # Errors
/// [`PhotoError`]: no picture, damaged, or too many pixels.
pub fn clean(bytes: &[u8]) -> Result<Clean, PhotoError> {
    let form = Form::of(bytes).ok_or(PhotoError::NotAPicture)?;
    let (bytes, width, height) = match form {
        Form::Jpeg => jpeg::stripped(bytes)?,
        Form::Png => png::stripped(bytes)?,
    };
    within(width, height)?;
    Ok(Clean {
        form,
        bytes,
        width,
        height,
    })
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
mod tests;
