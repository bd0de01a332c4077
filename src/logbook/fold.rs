//! Records become state: the one place where they do.

mod walks;

use std::collections::HashSet;
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::course::Course;
use super::profile_fold::take_profile;
use super::record::{LookMade, Record, WalkFinished, WalkNoted, WalkStarted};
use crate::defects::{Draft, History, Stamped};
use crate::walk::{PhaseBegun, TimedLook, Walk, When};

use walks::Walks;

/// A record with its id and the time it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Id of its line.
    pub id: String,
    /// When it was written; stands in where the record does not say when it happened.
    pub at: DateTime<FixedOffset>,
    /// What it says.
    pub record: Record,
    /// How far its line is to be trusted.
    pub trust: Trust,
}

/// How far a line is to be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Trust {
    /// It is as it was written. What was changed outside counts only where that makes an answer
    /// worse.
    pub sound: bool,
    /// The clock that wrote it can have been right.
    pub believed: bool,
    /// No other record with another content carries its id, so that an undo can name it.
    pub alone: bool,
}

impl Trust {
    /// A line as this program writes it.
    pub const FULL: Trust = Trust {
        sound: true,
        believed: true,
        alone: true,
    };
}

impl Written {
    /// A record as this program writes it.
    pub fn new(id: String, at: DateTime<FixedOffset>, record: Record) -> Written {
        Written {
            id,
            at,
            record,
            trust: Trust::FULL,
        }
    }
}

/// Folds records, in the order of the log, into the state they describe. Looks that name a walk of
/// which no beginning was read stand under a stub.
pub fn fold(written: &[Written]) -> History {
    let undone = undone(written);
    let mut history = History::default();
    let mut walks = Walks::default();
    let mut of_profile: Vec<(When, &Written)> = Vec::new();
    let counted = |w: &Written| stands(w, &undone);
    // A merge may place a look before the beginning of its walk.
    let mut course = Course::of(written);
    for (place, w) in written.iter().enumerate() {
        let when = course.next(w, place);
        if let Record::WalkStarted(started) = &w.record {
            walks.begun.insert(&started.walk);
            if counted(w) {
                walks.put(begun(started, when, w.trust.sound));
            }
        }
    }
    let mut course = Course::of(written);
    for (place, w) in written.iter().enumerate() {
        let when = course.next(w, place);
        if !counted(w) {
            continue;
        }
        match &w.record {
            Record::WalkStarted(_) => {}
            Record::Profile(_) | Record::Retired(_) => of_profile.push((when, w)),
            Record::Look(look) => {
                if let Some(walk) = walks.get_mut(&look.walk) {
                    walk.looks.push(timed(w, when, look));
                    let phase = look.look.phase.as_deref();
                    forget_draft(&mut history.drafts, &look.walk, phase, &look.look.item);
                } else {
                    walks
                        .orphans
                        .push((look.walk.clone(), timed(w, when, look)));
                }
            }
            Record::WalkNoted(noted) => {
                if let Some(walk) = walks.get_mut(&noted.walk) {
                    note(walk, noted, |at| course.beside(w, at));
                }
            }
            Record::WalkFinished(finished) => {
                if let Some(walk) = walks.get_mut(&finished.walk) {
                    walk.finished = Some(when.at);
                    walk.finished_place = Some(place);
                    take_said(&mut history, w, finished);
                }
            }
            Record::Agreement(agreement) => {
                if let Some(walk) = walks.get_mut(&agreement.walk) {
                    walk.agreed = Some(agreement.agreed.clone());
                }
            }
            Record::Told(told) => {
                if let Some(walk) = walks.get_mut(&told.walk) {
                    walk.told.push(told.told.clone());
                }
            }
            _ => act(&mut history, w, when),
        }
    }
    take_profile(&mut history, &of_profile);
    history.latest = course.latest();
    history.length = written.len();
    history.walks = walks.end(written);
    history.walks.sort_by_key(Walk::when);
    for walk in &mut history.walks {
        // Two devices may have added to one walk: order by when looks were made.
        walk.looks.sort_by_key(TimedLook::when);
        walk.told.sort_by_key(|told| told.at);
    }
    sort(&mut history);
    history
}

/// True where a record counts: nobody took it back, and its line is as it was written. An undo of an
/// id that several records carry takes none of them back. Of a line that was changed outside counts
/// only what can make an answer worse, and what no answer rests on.
pub(super) fn stands(w: &Written, undone: &HashSet<&str>) -> bool {
    if w.trust.alone && undone.contains(w.id.as_str()) {
        return false;
    }
    let safe = matches!(
        &w.record,
        Record::WalkStarted(_)
            | Record::Look(_)
            | Record::WalkFinished(_)
            | Record::Recheck(_)
            | Record::Draft(_)
            | Record::ServiceDraft(_)
    );
    w.trust.sound || safe
}

/// A walk as its beginning tells it; where that was changed outside, without what might make an
/// answer better.
fn begun(started: &WalkStarted, when: When, sound: bool) -> Walk {
    let mut walk = begin(started, when);
    if !sound {
        walk.hours = None;
        walk.left_out.clear();
    }
    walk
}

/// True where a record speaks of a walk that is begun elsewhere.
fn is_of(record: &Record, id: &str) -> bool {
    match record {
        Record::Look(r) => r.walk == id,
        Record::WalkNoted(r) => r.walk == id,
        Record::WalkFinished(r) => r.walk == id,
        Record::Agreement(r) => r.walk == id,
        Record::Told(r) => r.walk == id,
        _ => false,
    }
}

/// Applies one more record to a state already folded, as [`fold`] would; `before` are the records
/// behind that state. False where only folding everything anew gives the right answer: an undo that
/// may bring back what came before, or a walk that stands or may stand for a lost one.
pub fn apply(history: &mut History, before: &[Written], w: &Written) -> bool {
    let mut course = Course::after(history.latest);
    let when = course.next(w, history.length);
    history.latest = course.latest();
    history.length += 1;
    match &w.record {
        Record::WalkStarted(started) => {
            let stub = history.walks.iter().any(|w| w.is_stub);
            if stub || before.iter().any(|w| is_of(&w.record, &started.walk)) {
                return false;
            }
            if history.walk(&started.walk).is_none() {
                let spot = history.walks.partition_point(|x| x.when() < when);
                history.walks.insert(spot, begin(started, when));
            }
        }
        Record::Look(look) => {
            let Some(walk) = named(history, &look.walk) else {
                return false;
            };
            let spot = walk.looks.partition_point(|x| x.when() < when);
            walk.looks.insert(spot, timed(w, when, look));
            let phase = look.look.phase.as_deref();
            forget_draft(&mut history.drafts, &look.walk, phase, &look.look.item);
        }
        Record::WalkNoted(noted) => {
            if let Some(walk) = named(history, &noted.walk) {
                note(walk, noted, |at| course.beside(w, at));
            }
        }
        Record::WalkFinished(finished) => {
            if let Some(walk) = named(history, &finished.walk) {
                walk.finished = Some(when.at);
                walk.finished_place = Some(when.place);
                take_said(history, w, finished);
            }
        }
        Record::Agreement(agreement) => {
            if let Some(walk) = named(history, &agreement.walk) {
                walk.agreed = Some(agreement.agreed.clone());
            }
        }
        Record::Told(told) => {
            if let Some(walk) = named(history, &told.walk) {
                let spot = walk.told.partition_point(|x| x.at <= told.told.at);
                walk.told.insert(spot, told.told.clone());
            }
        }
        // Every field is asked anew who set it last.
        Record::Profile(_) | Record::Retired(_) => return false,
        Record::Undo(undo) => {
            return history.take_out_service(&undo.of) || take_back_look(history, before, &undo.of);
        }
        _ => {
            act(history, w, when);
            sort(history);
        }
    }
    true
}

/// A walk whose beginning is on file.
fn named<'a>(history: &'a mut History, id: &str) -> Option<&'a mut Walk> {
    let mut walks = history.walks.iter_mut();
    walks.find(|x| x.id == id && !x.is_stub)
}

/// Takes one look back out of a state already folded, as [`fold`] would with an undo of it. False,
/// and nothing changed, where only folding everything anew gives the right answer: what is undone is
/// no look that stands, or a draft typed ahead of it may come back to light.
fn take_back_look(history: &mut History, written: &[Written], id: &str) -> bool {
    let mut walks = history.walks.iter_mut();
    let found = walks.find_map(|walk| {
        let spot = walk.looks.iter().position(|l| l.id == id)?;
        Some((walk, spot))
    });
    let Some((walk, spot)) = found.filter(|(walk, _)| !walk.is_stub) else {
        return false;
    };
    let look = &walk.looks[spot].look;
    let ahead = written.iter().rev().any(|w| match &w.record {
        Record::Draft(d) => {
            d.walk == walk.id && d.item == look.item && Some(&d.phase) == look.phase.as_ref()
        }
        _ => false,
    });
    if !ahead {
        walk.looks.remove(spot);
    }
    !ahead
}

pub(super) fn undone(written: &[Written]) -> HashSet<&str> {
    let mut undone = HashSet::new();
    for w in written.iter().rev() {
        if let Record::Undo(undo) = &w.record
            && w.trust.sound
            && !undone.contains(w.id.as_str())
        {
            undone.insert(undo.of.as_str());
        }
    }
    undone
}

/// A walk as it begins.
pub(crate) fn begin(started: &WalkStarted, when: When) -> Walk {
    Walk {
        id: started.walk.clone(),
        checklist: started.checklist.clone(),
        asked: started.asked.clone(),
        machine: started.machine.clone(),
        at: when.at,
        by: started.by.clone(),
        hours: started.hours,
        entered_after: started.entered_after,
        blind: started.blind,
        unblinded: false,
        agreed: None,
        told: Vec::new(),
        left_out: started.left_out.clone(),
        joins: started.joins.clone(),
        disturbed: started.disturbed.clone(),
        begun: Vec::new(),
        looks: Vec::new(),
        finished: None,
        place: when.place,
        finished_place: None,
        is_stub: false,
    }
}

fn timed(w: &Written, when: When, look: &LookMade) -> TimedLook {
    TimedLook {
        id: w.id.clone(),
        at: when.at,
        place: when.place,
        verified: w.trust.sound,
        look: Arc::clone(&look.look),
    }
}

fn note(
    walk: &mut Walk,
    noted: &WalkNoted,
    when: impl Fn(DateTime<FixedOffset>) -> DateTime<FixedOffset>,
) {
    walk.hours = noted.hours.or(walk.hours);
    walk.entered_after = noted.entered_after.unwrap_or(walk.entered_after);
    if let (Some(phase), Some(at)) = (&noted.phase, noted.begun_at) {
        walk.begin_phase(PhaseBegun {
            phase: phase.clone(),
            at: when(at),
            by_clock: at,
        });
    }
    walk.unblinded |= walk.blind && noted.blind == Some(false);
    walk.blind = noted.blind.unwrap_or(walk.blind);
}

/// What the last end of a walk says was said, where its line is as it was written.
fn take_said(history: &mut History, w: &Written, finished: &WalkFinished) {
    match finished.said.clone().filter(|_| w.trust.sound) {
        Some(said) => history.said.insert(finished.walk.clone(), said),
        None => history.said.remove(&finished.walk),
    };
}

fn forget_draft(drafts: &mut Vec<Draft>, walk: &str, phase: Option<&str>, item: &str) {
    drafts.retain(|d| !(d.walk == walk && d.item == item && Some(d.phase.as_str()) == phase));
}

fn act(history: &mut History, w: &Written, when: When) {
    let id = || w.id.clone();
    fn stamp<T: Clone>(id: String, when: When, rec: &T) -> Stamped<T> {
        Stamped {
            id,
            at: when.at,
            place: when.place,
            rec: rec.clone(),
        }
    }
    match &w.record {
        Record::Repair(r) => history.repairs.push(stamp(id(), when, r)),
        Record::Deferral(r) => history.deferrals.push(stamp(id(), when, r)),
        Record::Override(r) => history.overrides.push(stamp(id(), when, r)),
        Record::Withdrawal(r) => history.withdrawals.push(stamp(id(), when, r)),
        Record::Recheck(r) => history.rechecks.push(stamp(id(), when, r)),
        Record::Fitted(r) => history.fitted.push(stamp(id(), when, r)),
        Record::Removed(r) => history.removed.push(stamp(id(), when, r)),
        Record::Learning(r) => history.learning.push(stamp(id(), when, r)),
        Record::Service(r) => history.put_service(stamp(id(), when, &**r)),
        Record::Interval(r) => history.intervals.push(stamp(id(), when, r)),
        Record::Cost(r) => history.costs.push(stamp(id(), when, r)),
        Record::Meter(r) => {
            let mut change = stamp(id(), when, r);
            change.rec.at = when.at;
            history.meters.push(change);
        }
        Record::GoneOn(r) => history.gone_on.push(stamp(id(), when, r)),
        Record::Plan(r) => {
            history.plans.insert(r.name.clone(), r.clone());
        }
        Record::Draft(d) => {
            forget_draft(&mut history.drafts, &d.walk, Some(&d.phase), &d.item);
            if !d.details.is_empty() {
                history.drafts.push(Draft {
                    walk: d.walk.clone(),
                    phase: d.phase.clone(),
                    item: d.item.clone(),
                    details: d.details.clone(),
                });
            }
        }
        Record::ServiceDraft(d) => {
            history.service_drafts.retain(|known| !known.is_of(d));
            if !d.typed.is_empty() {
                history.service_drafts.push(d.clone());
            }
        }
        Record::Profile(_)
        | Record::Retired(_)
        | Record::WalkStarted(_)
        | Record::Look(_)
        | Record::WalkNoted(_)
        | Record::WalkFinished(_)
        | Record::Agreement(_)
        | Record::Told(_)
        | Record::OwnItems(_)
        | Record::Undo(_)
        | Record::Clock(_)
        | Record::Accepted(_) => {}
    }
}

fn sort(history: &mut History) {
    history.repairs.sort_by_key(Stamped::when);
    history.deferrals.sort_by_key(Stamped::when);
    history.overrides.sort_by_key(Stamped::when);
    history.withdrawals.sort_by_key(Stamped::when);
    history.rechecks.sort_by_key(Stamped::when);
    history.fitted.sort_by_key(Stamped::when);
    history.removed.sort_by_key(Stamped::when);
    history.learning.sort_by_key(Stamped::when);
    history.services.sort_by_key(Stamped::when);
    history.intervals.sort_by_key(Stamped::when);
    history.costs.sort_by_key(Stamped::when);
    history.meters.sort_by_key(Stamped::when);
    history.profile_hours.sort_by_key(Stamped::when);
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
