//! The demo boat as she was told: her story, and the records that follow from it, composed as the
//! program composes them. What the program ships is `assets/demo/logbook.z`, told once and then
//! kept; `HANDLAMP_BLESS=1` tells it anew, with what the catalogue has meanwhile.
//!
//! - [`story`]: what the file says: how she is used, what happened to which item
//! - [`calendar`]: when she was walked and run, and what her meters showed
//! - [`gauges`]: readings, and levels that fall and are topped up
//! - [`threads`]: how each item looks at a time of the story
//! - [`sheets`]: the records of it all
//! - [`pack`]: days counted back, and all of it packed

#![allow(clippy::expect_used)]

mod calendar;
mod gauges;
mod pack;
mod sheets;
mod story;
mod threads;

use std::path::Path;
use std::sync::Arc;

use chrono::DateTime;
use handlamp::checklist::Library;
use handlamp::demo;
use handlamp::logbook::record::Record;
use handlamp::walk::{Look, Outcome};

use story::{Story, What};

const MORNING: &str = "2026-11-25T06:30:00+01:00";

/// Every look obeys the rules and every walk is whole, or telling it fails; here, that nothing of
/// the story is lost, and that what is packed comes back.
#[test]
fn the_story_is_told_whole_and_comes_back_as_it_was_packed() {
    let now = DateTime::parse_from_rfc3339(MORNING).expect("a time");
    let library = Arc::new(Library::built_in().clone());
    let story = Story::written();
    let (boat, records) = sheets::tell(story, now, &library);
    nothing_is_lost(story, &records);

    let packed = pack::pack(&boat, &records, now);
    let (boat_again, again) = demo::unpack(&packed, now).expect("what was packed");
    assert_eq!(boat_again, boat);
    assert_eq!(lines(&again), lines(&records));

    if std::env::var_os("HANDLAMP_BLESS").is_some() {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/demo/logbook.z");
        std::fs::write(path, packed).expect("written");
    }
}

/// Each record as text, sorted.
fn lines(records: &[Record]) -> Vec<String> {
    let line = |r: &Record| format!("{} {}", r.event(), r.payload().expect("JSON"));
    let mut lines: Vec<String> = records.iter().map(line).collect();
    lines.sort_unstable();
    lines
}

fn nothing_is_lost(story: &Story, records: &[Record]) {
    let looks = || {
        records.iter().filter_map(|record| match record {
            Record::Look(made) => Some(made.look.as_ref()),
            _ => None,
        })
    };
    for thread in &story.threads {
        let told = |is: &dyn Fn(&Look) -> bool| looks().any(|l| l.item == thread.item && is(l));
        for step in &thread.steps {
            let told = match &step.what {
                What::Seen(seen) => told(&|l| {
                    l.grade() == Some(seen.grade) && l.note == seen.note && l.better == seen.better
                }),
                What::NotSeen { why, .. } => {
                    told(&|l| matches!(&l.outcome, Outcome::NotSeen { why: w, .. } if w == why))
                }
                _ => true,
            };
            assert!(told, "{} on day {}", thread.item, step.day);
        }
    }
}
