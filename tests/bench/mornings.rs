//! Mornings of an invented boat for the benches: one walk a day, a look at forty items in turn; and
//! whole books of them, as many years as wanted.
#![allow(dead_code, reason = "each bench takes some of it")]

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};
use handlamp::boat::{Boat, Hours, Measure, Waters};
use handlamp::checklist::{Grade, Item, Library};
use handlamp::logbook::book::Book;
use handlamp::logbook::record::{LookMade, Record, Undo, WalkFinished, WalkStarted};
use handlamp::logbook::{FixedClock, Folder, RealDisk, Session, Stamp};
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

/// Mornings to be put on record, one session a day.
#[derive(Clone, Copy)]
pub struct Years {
    /// How many mornings.
    pub days: i64,
    /// Items looked at each morning, in turn.
    pub items: usize,
    /// An item is found worn once in so many days, and its repair told the day after.
    pub fault_every: Option<i64>,
    /// The last look of a morning is taken back once in so many days.
    pub taken_back_every: Option<i64>,
}

impl Years {
    /// Begins a book in an empty folder, with all the mornings.
    pub fn write(&self, dir: &Path, library: &Arc<Library>) {
        let boat = Boat::simple("Grey Plover", Waters::Inshore, None);
        let machine = boat.machines.first().expect("a machine").id.clone();
        let clock = Rc::new(FixedClock::new(day(-1)));
        Book::create(dir, boat, clock, Arc::clone(library), None).expect("begun");
        for n in 0..self.days {
            self.morning(dir, library, &machine, n);
        }
    }

    fn morning(&self, dir: &Path, library: &Library, machine: &str, n: i64) {
        let on = |every: Option<i64>, n: i64| every.is_some_and(|every| n % every == every - 1);
        let middle = n as usize + self.items / 2;
        let worn = |place: usize| match place == middle && on(self.fault_every, n) {
            true => Grade::Worn,
            false => rung(place),
        };
        let items = library.catalogue.items();
        let asked: Vec<&Item> = (0..self.items)
            .map(|k| &items[(n as usize * 7 + k) % items.len()])
            .collect();
        let mut records = walk(n, machine, false, asked.into_iter(), worn);
        if n > 0 && on(self.fault_every, n - 1) {
            let item = &items[((n - 1) as usize * 7 + self.items / 2) % items.len()];
            let repair = format!(
                r#"{{"item":"{}","machine":"{machine}","done":"renewed"}}"#,
                item.id
            );
            let repair = Record::read("repair", &repair).expect("known");
            records.push(repair.expect("a repair"));
        }
        let mut session = session(dir, n);
        append(&mut session, &records, n);
        if on(self.taken_back_every, n) {
            let look = &session.latest()[self.items];
            assert_eq!(look.ev, "look");
            let undo = Record::from(Undo::of(look.id.as_str()));
            append(&mut session, &[undo], n);
        }
        session.finish(&clock(n)).expect("ended");
    }
}

/// The clock when a morning is put on record.
fn clock(n: i64) -> FixedClock {
    FixedClock::new(day(n) + Duration::hours(1))
}

/// The session of a day.
pub fn session(dir: &Path, n: i64) -> Session {
    let rng = fastrand::Rng::with_seed(n as u64);
    let disk = Box::new(RealDisk);
    Session::new(disk, Folder::new(dir), "bench", Stamp(0, 0), rng)
}

/// Puts records on record on a day.
pub fn append(session: &mut Session, records: &[Record], n: i64) {
    let lines = records.iter();
    let lines = lines.map(|r| (r.event(), r.payload().expect("JSON")));
    session
        .append(&lines.collect::<Vec<_>>(), &clock(n))
        .expect("recorded");
}
