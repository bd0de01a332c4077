//! The directories of a TIFF, as Exif has them (Exif 2.3, 4.6.2): a field is found by its tag, and nothing is
//! trusted to lie where it says.

use chrono::{NaiveDate, NaiveDateTime};

/// How it begins: the small end of a number first, or the great one.
pub(super) const BEGINS: [&[u8; 4]; 2] = [b"II*\0", b"MM\0*"];
/// Which way up the picture is held (4.6.4).
const ORIENTATION: u16 = 0x0112;
/// Where the directory of Exif's own fields begins (4.6.3).
const OWN: u16 = 0x8769;
/// When it was taken (4.6.5, DateTimeOriginal): as `2026:05:03 07:40:12`, by the camera's own clock.
const TAKEN: u16 = 0x9003;
/// Bytes of such a time, without its last one, which is empty.
const TIME: usize = 19;

/// A TIFF, or what pretends to be one.
pub struct Tiff<'a> {
    bytes: &'a [u8],
    little: bool,
}

impl<'a> Tiff<'a> {
    /// By its first four bytes.
    pub fn of(bytes: &'a [u8]) -> Option<Tiff<'a>> {
        let of = BEGINS.iter().position(|sign| bytes.starts_with(*sign))?;
        Some(Tiff {
            bytes,
            little: of == 0,
        })
    }

    /// Which way up the picture is held, 1 to 8.
    pub fn orientation(&self) -> Option<u8> {
        let value = self.two(self.field(self.four(4)?, ORIENTATION)?.checked_add(8)?)?;
        u8::try_from(value).ok().filter(|v| (1..=8).contains(v))
    }

    /// When the picture was taken, by the camera's own clock, whose zone is not told.
    pub fn taken(&self) -> Option<NaiveDateTime> {
        let own = self.four(self.field(self.four(4)?, OWN)?.checked_add(8)?)?;
        let at = self.four(self.field(own, TAKEN)?.checked_add(8)?)?;
        time(self.bytes.get(at..at.checked_add(TIME)?)?)
    }

    /// Where the field of a tag begins, in the directory at a place.
    fn field(&self, directory: usize, tag: u16) -> Option<usize> {
        let count = usize::from(self.two(directory)?);
        let fields = (0..count).map_while(|n| directory.checked_add(2 + 12 * n));
        fields
            .map_while(|at| Some((at, self.two(at)?)))
            .find_map(|(at, own)| (own == tag).then_some(at))
    }

    fn two(&self, at: usize) -> Option<u16> {
        let two: [u8; 2] = self.bytes.get(at..at.checked_add(2)?)?.try_into().ok()?;
        Some(match self.little {
            true => u16::from_le_bytes(two),
            false => u16::from_be_bytes(two),
        })
    }

    fn four(&self, at: usize) -> Option<usize> {
        let four: [u8; 4] = self.bytes.get(at..at.checked_add(4)?)?.try_into().ok()?;
        let four = match self.little {
            true => u32::from_le_bytes(four),
            false => u32::from_be_bytes(four),
        };
        usize::try_from(four).ok()
    }
}

/// A time as Exif writes it; none where it is blank, as it is when the clock was never set, or no time.
fn time(text: &[u8]) -> Option<NaiveDateTime> {
    let marks = [(4, b':'), (7, b':'), (10, b' '), (13, b':'), (16, b':')];
    if marks.iter().any(|(at, mark)| text.get(*at) != Some(mark)) {
        return None;
    }
    let number = |from: usize, to: usize| {
        let digits = text.get(from..to)?;
        digits.iter().try_fold(0u32, |sum, digit| {
            let digit = char::from(*digit).to_digit(10)?;
            Some(10 * sum + digit)
        })
    };
    let year = i32::try_from(number(0, 4)?).ok()?;
    let day = NaiveDate::from_ymd_opt(year, number(5, 7)?, number(8, 10)?)?;
    day.and_hms_opt(number(11, 13)?, number(14, 16)?, number(17, 19)?)
}
