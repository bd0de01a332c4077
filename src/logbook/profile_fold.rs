//! Records of the profile become the profile in force, with what follows for meters, waters and
//! stops. How they add up is settled in [`boat::fold`](crate::boat::fold).

use std::collections::HashSet;

use chrono::{DateTime, FixedOffset};

use super::placed::Written;
use super::standing::{stands, undone};
use crate::boat::fold::{Node, ProfileStep, fold};
use crate::boat::{Hours, PassedStop, Waters};
use crate::defects::profiles::{Passed, Profiles};
use crate::defects::{History, Stamped};
use crate::walk::When;

/// The records of the profile that count.
pub(super) fn profile_records(written: &[Written]) -> Vec<(&Written, ProfileStep<'_>)> {
    let undone = undone(written);
    let of_profile = written.iter();
    let of_profile = of_profile.filter_map(|w| Some((w, w.record.profile_step()?)));
    of_profile.filter(|(w, _)| stands(w, &undone)).collect()
}

/// Takes the profile in force into a state, from all its records that count.
pub(super) fn take_profile(history: &mut History, records: &[(When, Node<'_>)]) {
    let nodes: Vec<Node<'_>> = records.iter().map(|(_, node)| *node).collect();
    let folded = fold(&nodes);
    let mut profiles = Profiles {
        heads: folded.heads,
        ..Profiles::default()
    };
    let misread = misread(records);
    for ((when, (id, step)), changed) in records.iter().zip(folded.changes) {
        let changes = changed.fields();
        if matches!(step, ProfileStep::Set(_)) {
            history.began = Some(history.began.map_or(when.at, |began| began.min(when.at)));
        }
        // A figure carried over from the profile before is no new reading of the meter.
        let read = changes.iter().filter_map(|c| c.of_machine("hours"));
        for (machine, hours) in read.filter(|(machine, _)| !misread.contains(&(*machine, *id))) {
            if let Some(hours) = hours.as_f64().and_then(|h| Hours::new(h).ok()) {
                let read = Stamped {
                    id: (*id).to_owned(),
                    at: when.at,
                    place: when.place,
                    rec: (machine.to_owned(), hours),
                };
                read.put_among(&mut history.profile_hours);
            }
        }
        let waters = changes.iter().find_map(|c| c.of_boat("waters"));
        let waters = waters.and_then(|text| text.as_str()?.parse::<Waters>().ok());
        profiles
            .waters
            .extend(waters.map(|waters| (when.at, waters)));
        profiles.passed.extend(passed(*step, when.at));
        profiles.steps.push(Stamped {
            id: (*id).to_owned(),
            at: when.at,
            place: when.place,
            rec: changed,
        });
    }
    let left = folded.left.into_iter();
    let left = left.filter_map(|(n, machine)| Some((records.get(n)?.0.at, machine)));
    profiles.left = left.collect();
    profiles.boat = folded.boat;
    history.profiles = profiles;
}

/// Figures of profiles that were typed wrong: machine, and the record that gave them.
fn misread<'a>(records: &[(When, Node<'a>)]) -> HashSet<(&'a str, &'a str)> {
    let sets = records.iter().filter_map(|(_, (_, step))| match step {
        ProfileStep::Set(set) => Some(&set.misread),
        ProfileStep::Retired(_) => None,
    });
    let figures = sets.flatten();
    figures
        .map(|figure| (&*figure.machine, &*figure.of))
        .collect()
}

fn passed(step: ProfileStep<'_>, at: DateTime<FixedOffset>) -> Option<Passed> {
    let of = |why: &str, stops: &[PassedStop]| Passed {
        at,
        why: why.to_owned(),
        stops: stops.to_owned(),
    };
    match step {
        ProfileStep::Set(set) => {
            let even_so = set.even_so.as_ref()?;
            Some(of(&even_so.why, &even_so.stops))
        }
        // Without a reason it sets no stop aside.
        ProfileStep::Retired(retired) => {
            let why = retired
                .why
                .as_deref()
                .filter(|why| !why.trim().is_empty())?;
            Some(of(why, &retired.stops))
        }
    }
}
