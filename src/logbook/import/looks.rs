//! The looks of a sheet, each judged against the state after the looks before it.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::super::input::{Document, WalkSheet};
use crate::boat::Hours;
use crate::checklist::{Checklist, Grade, Phase, PhaseState};
use crate::defects::admit::{Fault, time_fault};
use crate::defects::condition::Condition;
use crate::defects::leak_run::{night, ran_between};
use crate::walk::TimedLook;
use crate::walk::round::counted;

/// The looks of a sheet with the phases they belong to, and what the rules say of them.
pub(super) struct Judged {
    /// In the order of the sheet.
    pub(super) looks: Vec<TimedLook>,
    /// What stands against them.
    pub(super) faults: Vec<Fault>,
    /// What is taken and has to be said.
    pub(super) notes: Vec<String>,
}

/// Judges the looks of a sheet about a machine; `condition` is the state before the sheet. What is
/// better than a look before it in the same sheet and does not say why is no fault: within a walk
/// the worse counts, and that is said.
pub(super) fn judge(
    condition: &Condition,
    document: &Document,
    sheet: &WalkSheet,
    (machine, checklist): (&str, &Checklist),
    meanwhile: &Meanwhile<'_>,
) -> Judged {
    let ended = ended(sheet, checklist);
    let mut last = sheet.at;
    let mut judged = Judged {
        looks: Vec::with_capacity(sheet.looks.len()),
        faults: Vec::new(),
        notes: Vec::new(),
    };
    for (n, look) in sheet.looks.iter().enumerate() {
        let mut look = look.clone();
        look.phase = look.phase.or_else(|| phase_of(checklist, &look.item));
        look.too_soon = false;
        // A mark that lifts less is never dropped.
        look.guest |= sheet.guest;
        let mut found: Vec<Fault> = condition
            .level_in_per_cent(&mut look, machine)
            .err()
            .into_iter()
            .collect();
        if found.is_empty() {
            found = condition.look_faults(&look, machine, checklist);
        }
        let told = look.at.take();
        let at = told.unwrap_or(last);
        found.extend(told.and_then(|at| out_of_time(at, last, meanwhile.now)));
        last = last.max(at);
        if let Some(morning) = morning(checklist, look.phase.as_deref()) {
            let by_clock = told.unwrap_or(meanwhile.now) < ended + night(morning.minutes);
            let by_meter = ran_between(
                &(meanwhile.readings)(),
                ended,
                told.unwrap_or(meanwhile.now),
            );
            look.too_soon = by_clock || by_meter;
            if look.too_soon && look.grade().is_some() {
                let why = match by_clock {
                    true => "before she had stood for a night",
                    false => "and she ran meanwhile by the meter",
                };
                let message = format!(
                    "{} is typed for the next morning {why}; it is taken as a look and does not count as the next morning's",
                    look.item
                );
                let note = document.complaint(&format!("looks[{n}].phase"), message);
                judged.notes.push(note.to_string());
            }
        }
        let before = so_far(&judged.looks, &look.item);
        // Who did not see the earlier grade cannot say why this one is better, and what a guest saw
        // makes nothing better; what was seen before the sheet is past for all but the first look at
        // an item.
        let unasked = sheet.blind || sheet.guest || before.is_some();
        found.retain(|(field, _)| field != "better" || !unasked);
        let named = |(field, message)| (format!("looks[{n}].{field}"), message);
        judged.faults.extend(found.into_iter().map(named));
        let look = Arc::new(look);
        judged.looks.push(TimedLook {
            id: "".into(),
            at,
            place: n,
            verified: true,
            look: Arc::clone(&look),
        });
        let after = so_far(&judged.looks, &look.item);
        if let (Some(grade), Some(worse)) = (look.grade(), after.filter(|_| before.is_some()))
            && worse > grade
        {
            let message = format!(
                "{} is {grade} after {worse} in the same walk, and nothing says why it is better; the worse counts",
                look.item
            );
            let note = document.complaint(&format!("looks[{n}].grade"), message);
            judged.notes.push(note.to_string());
        }
    }
    judged
}

/// What is known of the time after a walk began.
pub(super) struct Meanwhile<'a> {
    /// The time of recording.
    pub(super) now: DateTime<FixedOffset>,
    /// The meter of its machine, as read since ever: few looks ask for it.
    pub(super) readings: &'a dyn Fn() -> Vec<(DateTime<FixedOffset>, Hours)>,
}

/// When a walk ended: with its last look that is none of the next morning.
pub(super) fn ended(sheet: &WalkSheet, checklist: &Checklist) -> DateTime<FixedOffset> {
    let own = sheet.looks.iter().filter(|look| {
        let phase = look
            .phase
            .clone()
            .or_else(|| phase_of(checklist, &look.item));
        morning(checklist, phase.as_deref()).is_none()
    });
    own.filter_map(|look| look.at).fold(sheet.at, DateTime::max)
}

/// The phase of this id, where it is one of the next morning.
fn morning<'a>(checklist: &'a Checklist, phase: Option<&str>) -> Option<&'a Phase> {
    let mut phases = checklist.phases.iter();
    phases.find(|p| Some(p.id.as_str()) == phase && p.state == PhaseState::NextMorning)
}

/// What is wrong with the time a look was told to be made at, after one of another time.
fn out_of_time(
    at: DateTime<FixedOffset>,
    last: DateTime<FixedOffset>,
    now: DateTime<FixedOffset>,
) -> Option<Fault> {
    let message = "looks stand in the order made, none before its walk began".to_owned();
    let before = (at < last).then(|| ("at".to_owned(), message));
    before.or_else(|| time_fault(at, now))
}

/// The rung that counts after these looks at an item; none where it was not graded.
fn so_far(looks: &[TimedLook], item: &str) -> Option<Grade> {
    let here = looks.iter().filter(|t| t.look.item == item);
    counted(here, &[]).map(|(grade, _)| grade)
}

/// The phase of a look that names none: the first that asks its item, else the first.
fn phase_of(checklist: &Checklist, item: &str) -> Option<String> {
    let asks = |phase: &&Phase| {
        let mut items = phase.rows.iter().flat_map(|r| &r.items);
        items.any(|i| i == item)
    };
    let phases = &checklist.phases;
    let phase = phases.iter().find(asks).or(phases.first());
    phase.map(|p| p.id.clone())
}
