//! Mornings of an invented boat for the benches: one walk a day, a look at forty items in turn.

use chrono::{DateTime, Duration, FixedOffset};
use handlamp::boat::{Hours, Measure};
use handlamp::checklist::{Grade, Item};
use handlamp::logbook::record::{LookMade, Record, WalkFinished, WalkStarted};
use handlamp::walk::Look;

/// Ten years of days.
pub const WALKS: i64 = 3650;
/// Looks of a morning.
pub const LOOKS: usize = 40;

/// The morning of a day, counted from the first.
pub fn day(n: i64) -> DateTime<FixedOffset> {
    let first = DateTime::parse_from_rfc3339("2026-05-01T07:40:00+02:00").expect("a time");
    first + Duration::days(n)
}

/// The items looked at on a day.
pub fn asked(items: &[Item], n: i64) -> impl Iterator<Item = &Item> {
    let start = n as usize * 7;
    (0..LOOKS).map(move |k| &items[(start + k) % items.len()])
}

/// The rung of a look, by its place in the morning and the day.
pub fn rung(k: usize) -> Grade {
    if k % 13 == 5 {
        Grade::Early
    } else {
        Grade::Sound
    }
}

/// The records of a walk on a day, by the owner or a guest.
pub fn walk<'a>(
    n: i64,
    machine: &str,
    guest: bool,
    items: impl Iterator<Item = &'a Item>,
    grade: impl Fn(usize) -> Grade,
) -> Vec<Record> {
    let (walk, at) = (format!("w{n}"), day(n));
    let mut records = vec![Record::from(WalkStarted {
        walk: walk.clone(),
        checklist: "daily".into(),
        asked: None,
        machine: machine.to_owned(),
        at,
        by: None,
        hours: Hours::new(1000.0 + n as f64 / 2.0).ok(),
        entered_after: false,
        blind: false,
        left_out: Vec::new(),
        joins: Vec::new(),
        disturbed: Vec::new(),
        guest,
    })];
    for (k, item) in items.enumerate() {
        let mut look = Look::graded(&item.id, Some("cold"), grade(k + n as usize));
        let value = 40.0 + ((n * 7) % 17) as f64 / 10.0;
        let reading = item.reading.as_ref();
        look.reading = reading.and_then(|r| Measure::new(value, r.unit).ok());
        look.guest = guest;
        records.push(Record::Look(LookMade {
            walk: walk.as_str().into(),
            at: at + Duration::seconds(k as i64),
            look: look.into(),
        }));
    }
    records.push(Record::from(WalkFinished {
        walk,
        at: at + Duration::minutes(5),
        pace: None,
        said: None,
    }));
    records
}
