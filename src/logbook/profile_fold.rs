//! Records of the profile become the profile in force, with what follows for meters, waters and
//! stops. How they add up is settled in [`boat::fold`](crate::boat::fold).

use std::collections::HashSet;

use chrono::{DateTime, FixedOffset};

use super::course::Course;
use super::fold::Written;
use super::record::Record;
use crate::boat::fold::{Node, Step, fold};
use crate::boat::{Hours, PassedStop, Waters};
use crate::defects::profiles::{Passed, Profiles};
use crate::defects::{History, Stamped};
use crate::walk::When;

/// The records that change the profile.
pub(super) fn profile_records(written: &[Written]) -> impl Iterator<Item = &Written> {
    written.iter().filter(|w| is_of_profile(w))
}

fn is_of_profile(w: &Written) -> bool {
    matches!(w.record, Record::Profile(_) | Record::Retired(_))
}

/// Takes the profile in force into a state, from all its records but those `undone`. Only records
/// that count may be among them: one that was changed outside the program is left out by whoever
/// reads it.
pub(super) fn take_profile(history: &mut History, written: &[Written], undone: &HashSet<&str>) {
    let mut course = Course::of(written);
    let placed = written.iter().enumerate();
    let placed = placed.map(|(place, w)| (course.next(w, place), w));
    let counted = |w: &Written| w.trust.sound && !undone.contains(w.id.as_str());
    let records = placed.filter(|(_, w)| is_of_profile(w) && counted(w));
    let records: Vec<(When, &Written)> = records.collect();
    let nodes: Vec<Node<'_>> = records
        .iter()
        .filter_map(|(_, w)| Some((w.id.as_str(), step(&w.record)?)))
        .collect();
    let folded = fold(&nodes);
    let mut profiles = Profiles {
        heads: folded.heads,
        doubts: std::mem::take(&mut history.profiles.doubts),
        ..Profiles::default()
    };
    history.began = None;
    history.profile_hours.clear();
    for ((when, w), changes) in records.iter().zip(&folded.changes) {
        if matches!(w.record, Record::Profile(_)) {
            history.began = Some(history.began.map_or(when.at, |began| began.min(when.at)));
        }
        // A figure carried over from the profile before is no new reading of the meter.
        for (machine, hours) in changes.iter().filter_map(|c| c.of_machine("hours")) {
            if let Some(hours) = hours.as_f64().and_then(|h| Hours::new(h).ok()) {
                history.profile_hours.push(Stamped {
                    id: w.id.clone(),
                    at: when.at,
                    place: when.place,
                    rec: (machine.to_owned(), hours),
                });
            }
        }
        let waters = changes.iter().find_map(|c| c.of_boat("waters"));
        let waters = waters.and_then(|text| text.as_str()?.parse::<Waters>().ok());
        profiles
            .waters
            .extend(waters.map(|waters| (when.at, waters)));
        profiles.passed.extend(passed(w, when.at));
    }
    history.profile_hours.sort_by_key(Stamped::when);
    let left = folded.left.into_iter();
    let left = left.filter_map(|(n, machine)| Some((records.get(n)?.0.at, machine)));
    profiles.left = left.collect();
    profiles.boat = folded.boat;
    history.profiles = profiles;
}

fn step(record: &Record) -> Option<Step<'_>> {
    match record {
        Record::Profile(set) => Some(Step::Set(set)),
        Record::Retired(retired) => Some(Step::Retired(retired)),
        _ => None,
    }
}

fn passed(w: &Written, at: DateTime<FixedOffset>) -> Option<Passed> {
    let of = |why: &str, stops: &[PassedStop]| Passed {
        at,
        why: why.to_owned(),
        stops: stops.to_owned(),
    };
    match &w.record {
        Record::Profile(set) => {
            let even_so = set.even_so.as_ref()?;
            Some(of(&even_so.why, &even_so.stops))
        }
        // Without a reason it sets no stop aside.
        Record::Retired(retired) => {
            let why = retired
                .why
                .as_deref()
                .filter(|why| !why.trim().is_empty())?;
            Some(of(why, &retired.stops))
        }
        _ => None,
    }
}
