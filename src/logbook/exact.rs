//! Text of exactly the form in which this program writes it, taken apart without a parser: years of
//! mornings are read at every start, and nearly every line of them is written that way.
//!
//! Whatever departs from the form by a single byte is none of this reader's business: it says `None`,
//! and the general one reads it. What it does read it reads as the general one would
//! (`line/both_readers`).

use chrono::{DateTime, FixedOffset, NaiveDate, TimeZone};

/// By byte: whether a string of JSON ends there, or holds what has to be read otherwise.
const SPECIAL: [bool; 256] = {
    let mut special = [false; 256];
    special[b'"' as usize] = true;
    special[b'\\' as usize] = true;
    let mut control = 0;
    while control < b' ' as usize {
        special[control] = true;
        control += 1;
    }
    special
};

/// What is left of a text.
#[derive(Clone, Copy)]
pub(super) struct Exact<'a> {
    rest: &'a str,
}

impl<'a> Exact<'a> {
    pub(super) fn new(text: &'a str) -> Exact<'a> {
        Exact { rest: text }
    }

    /// Goes past what must stand here.
    pub(super) fn past(&mut self, text: &str) -> Option<()> {
        self.rest = self.rest.strip_prefix(text)?;
        Some(())
    }

    /// A string of JSON without escapes, whose opening quote is past; goes past its end.
    pub(super) fn string(&mut self) -> Option<&'a str> {
        let special = |b: &u8| SPECIAL[usize::from(*b)];
        let end = self.rest.as_bytes().iter().position(special)?;
        let (text, rest) = self.rest.split_at_checked(end)?;
        self.rest = rest.strip_prefix('"')?;
        Some(text)
    }

    /// A whole number as JSON writes it.
    pub(super) fn number<T: TryFrom<u64>>(&mut self) -> Option<T> {
        let mut value: u64 = 0;
        let mut end = 0;
        for digit in self.rest.bytes().map_while(|b| char::from(b).to_digit(10)) {
            value = value.checked_mul(10)?.checked_add(digit.into())?;
            end += 1;
        }
        let (digits, rest) = self.rest.split_at_checked(end)?;
        let leads = digits.len() > 1 && digits.starts_with('0');
        let ends = !leads && !digits.is_empty() && !rest.is_empty();
        self.rest = rest;
        T::try_from(value).ok().filter(|_| ends)
    }

    /// All that follows.
    pub(super) fn rest(&self) -> &'a str {
        self.rest
    }
}

/// A time such as `2026-11-25T07:21:27+01:00`, to the second.
pub(super) fn time(text: &str) -> Option<DateTime<FixedOffset>> {
    let (local, zone) = text.split_at_checked(19)?;
    let two = |text: &[u8], at: usize| match text.get(at..at + 2)? {
        [tens @ b'0'..=b'9', ones @ b'0'..=b'9'] => {
            Some(u32::from(tens - b'0') * 10 + u32::from(ones - b'0'))
        }
        _ => None,
    };
    let bytes = local.as_bytes();
    let signs = [(4, b'-'), (7, b'-'), (10, b'T'), (13, b':'), (16, b':')];
    let stands = |(at, sign): (usize, u8)| bytes.get(at) == Some(&sign);
    signs.into_iter().all(stands).then_some(())?;
    let year = two(bytes, 0)? * 100 + two(bytes, 2)?;
    let day = NaiveDate::from_ymd_opt(year.cast_signed(), two(bytes, 5)?, two(bytes, 8)?)?;
    let local = day.and_hms_opt(two(bytes, 11)?, two(bytes, 14)?, two(bytes, 17)?)?;
    let zone = zone.as_bytes();
    let east = match zone {
        [b'Z'] => 0,
        [sign @ (b'+' | b'-'), _, _, b':', _, _] => {
            let (hours, minutes) = (two(zone, 1)?, two(zone, 4)?);
            let seconds = (hours * 3600 + minutes * 60).cast_signed();
            (minutes < 60).then_some(if *sign == b'-' { -seconds } else { seconds })?
        }
        _ => return None,
    };
    FixedOffset::east_opt(east)?
        .from_local_datetime(&local)
        .single()
}
