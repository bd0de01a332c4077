//! The records as they are shipped: text, deflated, with every day counted back from today.
//!
//! The first line is her profile. Each other is one record, `{"ev": …, "rec": …}`, oldest first. The
//! line of a walk holds its `looks` and its `pace` too, and in `after` the seconds from its beginning
//! to the first look, from each to the next, and from the last to its end.
//!
//! `@12` is the day twelve days before today as in 2026-11-25; `@12c` is the same as 20261125, `@12d`
//! as 25 Nov, `@12y` as 25 Nov 2026. `~` is the zone.

use std::sync::Arc;

use chrono::{DateTime, Datelike, Duration, FixedOffset};
use serde::Deserialize;
use serde::de::Error;
use serde_json::value::RawValue;

use crate::boat::Boat;
use crate::logbook::record::{LookMade, Record, WalkFinished};
use crate::walk::Look;
use crate::walk::pace::Pace;

/// One line.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Line<'a> {
    ev: &'a str,
    #[serde(borrow)]
    rec: &'a RawValue,
    #[serde(default)]
    looks: Vec<Arc<Look>>,
    #[serde(default)]
    after: Vec<i64>,
    #[serde(default)]
    pace: Option<Pace>,
}

/// The demo boat and her records, oldest first. Depends on the date and zone of `now` alone;
/// everything happened before today.
///
/// # Errors
/// A year with which her days cannot be written.
pub fn records(now: DateTime<FixedOffset>) -> Result<(Boat, Vec<Record>), serde_json::Error> {
    unpack(include_bytes!("../../assets/demo/logbook.z"), now)
}

/// A boat and her records, oldest first, from what is packed as told above.
///
/// # Errors
/// What does not unpack, or is no line of that form.
pub fn unpack(
    packed: &[u8],
    now: DateTime<FixedOffset>,
) -> Result<(Boat, Vec<Record>), serde_json::Error> {
    let text = miniz_oxide::inflate::decompress_to_vec(packed).map_err(Error::custom)?;
    let text = String::from_utf8(text).map_err(Error::custom)?;
    let text = dated(&text, now).ok_or_else(|| Error::custom("a day of hers has no date"))?;
    let (boat, lines) = text.split_once('\n').unwrap_or_default();
    let mut records = Vec::new();
    for line in lines.lines() {
        records.extend(serde_json::from_str::<Line>(line)?.records()?);
    }
    // A leak run goes on the next morning: stable, so that each walk's own order stays.
    records.sort_by_key(Record::at);
    Ok((serde_json::from_str(boat)?, records))
}

impl Line<'_> {
    fn records(self) -> Result<Vec<Record>, serde_json::Error> {
        let known = Record::read(self.ev, self.rec.get());
        let first = known.unwrap_or_else(|| Err(Error::custom(self.ev)))?;
        let Record::WalkStarted(started) = &first else {
            return Ok(vec![first]);
        };
        let (walk, mut at) = (started.walk.clone(), started.at);
        let mut times = self.after.into_iter().map(|seconds| {
            at += Duration::seconds(seconds);
            at
        });
        let mut all = vec![first];
        all.extend(self.looks.into_iter().zip(&mut times).map(|(look, at)| {
            let walk = walk.as_str().into();
            Record::Look(LookMade { walk, at, look })
        }));
        let pace = self.pace;
        let said = None;
        let end = |at| {
            Record::from(WalkFinished {
                walk,
                at,
                pace,
                said,
            })
        };
        all.extend(times.next().map(end));
        Ok(all)
    }
}

/// A text with every day and zone as of now; none where a day is none of the years 0 to 9999, in which
/// dates are written.
fn dated(told: &str, now: DateTime<FixedOffset>) -> Option<String> {
    let today = now.date_naive();
    let mut pieces = told.split('@');
    let mut text = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let number = |c: char| c == '-' || c.is_ascii_digit();
        let (days, rest) = piece.split_at(piece.find(|c| !number(c)).unwrap_or(piece.len()));
        let day = days.parse().ok().and_then(Duration::try_days);
        let day = day.and_then(|days| today.checked_sub_signed(days));
        let day = day.filter(|day| (0..=9999).contains(&day.year()))?;
        let forms = [('c', "%Y%m%d"), ('d', "%-d %b"), ('y', "%-d %b %Y")];
        let form = forms
            .iter()
            .find_map(|(mark, form)| Some((*form, rest.strip_prefix(*mark)?)));
        let (form, rest) = form.unwrap_or(("%F", rest));
        text.push_str(&day.format(form).to_string());
        text.push_str(rest);
    }
    Some(text.replace('~', &now.format("%:z").to_string()))
}
