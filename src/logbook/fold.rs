//! Records become state: the one place where they do.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use chrono::{DateTime, FixedOffset};

use super::record::{LookMade, Record, WalkNoted, WalkStarted};
use crate::defects::{Draft, History, Stamped};
use crate::walk::{TimedLook, Walk};

/// A record with its id and the time it was written.
#[derive(Clone, Debug, PartialEq)]
pub struct Written {
    /// Id of its line.
    pub id: String,
    /// When it was written; stands in where the record does not say when it happened.
    pub at: DateTime<FixedOffset>,
    /// What it says.
    pub record: Record,
}

/// Folds records, in the order of the log, into the state they describe. Records that name an
/// unknown walk are left aside: their walk may come with the next merge.
pub fn fold(written: &[Written]) -> History {
    let undone = undone(written);
    let mut history = History::default();
    let mut walks: HashMap<String, Walk> = HashMap::new();
    for w in written.iter().filter(|w| !undone.contains(w.id.as_str())) {
        match &w.record {
            Record::WalkStarted(started) => {
                let walk = begin(started);
                walks.entry(walk.id.clone()).or_insert(walk);
            }
            Record::Look(look) => {
                if let Some(walk) = walks.get_mut(&look.walk) {
                    walk.looks.push(timed(w, look));
                    forget_draft(
                        &mut history.drafts,
                        &look.walk,
                        look.look.phase.as_deref(),
                        &look.look.item,
                    );
                }
            }
            Record::WalkNoted(noted) => {
                if let Some(walk) = walks.get_mut(&noted.walk) {
                    note(walk, noted);
                }
            }
            Record::WalkFinished(finished) => {
                if let Some(walk) = walks.get_mut(&finished.walk) {
                    walk.finished = Some(finished.at);
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
            _ => act(&mut history, w),
        }
    }
    history.walks = walks.into_values().collect();
    history
        .walks
        .sort_by(|a, b| (a.at, &a.id).cmp(&(b.at, &b.id)));
    for walk in &mut history.walks {
        // Two devices may have added to one walk: order by when looks were made.
        walk.looks.sort_by_key(|look| look.at);
        walk.told.sort_by_key(|told| told.at);
    }
    sort(&mut history);
    history
}

/// Applies one more record to a state already folded, as [`fold`] would; `before` are the records
/// behind that state. False where only folding everything anew gives the right answer: an undo that
/// may bring back what came before.
pub fn apply(history: &mut History, before: &[Written], w: &Written) -> bool {
    match &w.record {
        Record::WalkStarted(started) => {
            let walk = begin(started);
            if history.walk(&walk.id).is_none() {
                let before = |x: &Walk| (x.at, &x.id) < (walk.at, &walk.id);
                let spot = history.walks.partition_point(before);
                history.walks.insert(spot, walk);
            }
        }
        Record::Look(look) => {
            if let Some(walk) = history.walks.iter_mut().find(|x| x.id == look.walk) {
                let spot = walk.looks.partition_point(|x| x.at <= look.at);
                walk.looks.insert(spot, timed(w, look));
                forget_draft(
                    &mut history.drafts,
                    &look.walk,
                    look.look.phase.as_deref(),
                    &look.look.item,
                );
            }
        }
        Record::WalkNoted(noted) => {
            if let Some(walk) = history.walks.iter_mut().find(|x| x.id == noted.walk) {
                note(walk, noted);
            }
        }
        Record::WalkFinished(finished) => {
            if let Some(walk) = history.walks.iter_mut().find(|x| x.id == finished.walk) {
                walk.finished = Some(finished.at);
            }
        }
        Record::Agreement(agreement) => {
            if let Some(walk) = history.walks.iter_mut().find(|x| x.id == agreement.walk) {
                walk.agreed = Some(agreement.agreed.clone());
            }
        }
        Record::Told(told) => {
            if let Some(walk) = history.walks.iter_mut().find(|x| x.id == told.walk) {
                let spot = walk.told.partition_point(|x| x.at <= told.told.at);
                walk.told.insert(spot, told.told.clone());
            }
        }
        Record::Undo(undo) => {
            return history.take_out_service(&undo.of) || take_back_look(history, before, &undo.of);
        }
        _ => {
            act(history, w);
            sort(history);
        }
    }
    true
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
    let Some((walk, spot)) = found else {
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

fn undone(written: &[Written]) -> HashSet<&str> {
    let mut undone = HashSet::new();
    for w in written.iter().rev() {
        if let Record::Undo(undo) = &w.record
            && !undone.contains(w.id.as_str())
        {
            undone.insert(undo.of.as_str());
        }
    }
    undone
}

/// A walk as it begins.
pub(crate) fn begin(started: &WalkStarted) -> Walk {
    Walk {
        id: started.walk.clone(),
        checklist: started.checklist.clone(),
        asked: started.asked.clone(),
        machine: started.machine.clone(),
        at: started.at,
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
    }
}

fn timed(w: &Written, look: &LookMade) -> TimedLook {
    TimedLook {
        id: w.id.clone(),
        at: look.at,
        look: Arc::clone(&look.look),
    }
}

fn note(walk: &mut Walk, noted: &WalkNoted) {
    walk.hours = noted.hours.or(walk.hours);
    walk.entered_after = noted.entered_after.unwrap_or(walk.entered_after);
    if let (Some(phase), Some(at)) = (&noted.phase, noted.begun_at) {
        walk.begin_phase(phase, at);
    }
    walk.unblinded |= walk.blind && noted.blind == Some(false);
    walk.blind = noted.blind.unwrap_or(walk.blind);
}

fn forget_draft(drafts: &mut Vec<Draft>, walk: &str, phase: Option<&str>, item: &str) {
    drafts.retain(|d| !(d.walk == walk && d.item == item && Some(d.phase.as_str()) == phase));
}

fn act(history: &mut History, w: &Written) {
    fn stamp<T>(w: &Written, at: Option<DateTime<FixedOffset>>, rec: T) -> Stamped<T> {
        Stamped {
            id: w.id.clone(),
            at: at.unwrap_or(w.at),
            rec,
        }
    }
    match &w.record {
        Record::Repair(r) => history.repairs.push(stamp(w, r.at, r.clone())),
        Record::Deferral(r) => history.deferrals.push(stamp(w, r.at, r.clone())),
        Record::Override(r) => history.overrides.push(stamp(w, r.at, r.clone())),
        Record::Withdrawal(r) => history.withdrawals.push(stamp(w, r.at, r.clone())),
        Record::Recheck(r) => history.rechecks.push(stamp(w, r.at, r.clone())),
        Record::Fitted(r) => history.fitted.push(stamp(w, r.at, r.clone())),
        Record::Removed(r) => history.removed.push(stamp(w, r.at, r.clone())),
        Record::Learning(r) => history.learning.push(stamp(w, r.at, r.clone())),
        Record::Service(r) => history.put_service(stamp(w, r.at, (**r).clone())),
        Record::Interval(r) => history.intervals.push(stamp(w, r.at, r.clone())),
        Record::Cost(r) => history.costs.push(stamp(w, r.at, r.clone())),
        Record::Meter(r) => history.meters.push(r.clone()),
        Record::GoneOn(r) => history.gone_on.push(stamp(w, None, r.clone())),
        Record::Plan(r) => {
            history.plans.insert(r.name.clone(), r.clone());
        }
        Record::Profile(boat) => {
            history.began = Some(history.began.map_or(w.at, |began| began.min(w.at)));
            // A figure carried over from the profile before is no new reading of the meter.
            for (machine, hours) in boat.machines.iter().filter_map(|m| Some((m, m.hours?))) {
                let known = &mut history.profile_hours;
                let last = known.iter().rev().find(|(_, id, _)| *id == machine.id);
                if last.is_none_or(|(_, _, before)| *before != hours) {
                    known.push((w.at, machine.id.clone(), hours));
                }
            }
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
        Record::WalkStarted(_)
        | Record::Look(_)
        | Record::WalkNoted(_)
        | Record::WalkFinished(_)
        | Record::Agreement(_)
        | Record::Told(_)
        | Record::Undo(_) => {}
    }
}

fn sort(history: &mut History) {
    history.repairs.sort_by_key(|s| s.at);
    history.deferrals.sort_by_key(|s| s.at);
    history.overrides.sort_by_key(|s| s.at);
    history.withdrawals.sort_by_key(|s| s.at);
    history.rechecks.sort_by_key(|s| s.at);
    history.fitted.sort_by_key(|s| s.at);
    history.removed.sort_by_key(|s| s.at);
    history.learning.sort_by_key(|s| s.at);
    history
        .services
        .sort_by(|a, b| (a.at, &a.id).cmp(&(b.at, &b.id)));
    history.intervals.sort_by_key(|s| s.at);
    history.costs.sort_by_key(|s| s.at);
    history.meters.sort_by_key(|m| m.at);
    history.profile_hours.sort_by_key(|p| p.0);
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
