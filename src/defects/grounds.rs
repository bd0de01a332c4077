//! What a verdict rests on, and why what was said of a walk is not what is reckoned of it today.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::history::{History, Stamped};
use super::said::{BUILD, Said, VerdictReason};
use super::subject::Subject;
use super::verdict::verdict;
use crate::assess::METHOD;
use crate::assess::verdict::Reason;
use crate::walk::Walk;

/// Why what was said is not what is reckoned today. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SaidDiffers {
    /// Ids of records that count for it now and that it did not rest on.
    pub counts_now: Vec<String>,
    /// Ids of records that it rested on and that count for it no longer.
    pub counts_no_longer: Vec<String>,
    /// Another profile was in force than was known then.
    pub profile: bool,
    /// The method or the build is another.
    pub program: bool,
}

impl Said {
    /// What a condition says of a finished walk; none where its checklist gives no verdict.
    pub fn of(condition: &Condition, history: &History, walk: &Walk) -> Option<Said> {
        let (verdict, reasons) = verdict(condition, history, walk)?;
        let grounds = reasons.into_iter();
        let grounds = grounds.map(|reason| VerdictReason::of(reason, condition, history, walk));
        let last = history.profiles.steps.last();
        Some(Said {
            verdict,
            reasons: grounds.collect(),
            profile: last.map(|step| step.id.clone()),
            method: METHOD,
            build: BUILD.to_owned(),
        })
    }

    /// Why this is not what is reckoned now of the end of the same walk, on the condition and history
    /// of then; none where both say the same.
    pub(super) fn differs(
        &self,
        reckoned: Option<&Said>,
        condition: &Condition,
        history: &History,
        machine: &str,
    ) -> Option<SaidDiffers> {
        let rows = |said: &Said| -> BTreeSet<_> {
            let rows = said.reasons.iter();
            rows.map(|r| (r.item.clone(), r.grade)).collect()
        };
        let now = reckoned.map_or_else(BTreeSet::new, rows);
        if reckoned.is_some_and(|now| now.verdict == self.verdict) && now == rows(self) {
            return None;
        }
        let ids = |said: &Said| -> BTreeSet<String> {
            said.reasons
                .iter()
                .flat_map(|r| r.records.clone())
                .collect()
        };
        let (then, mut now) = (ids(self), reckoned.map_or_else(BTreeSet::new, ids));
        for ground in &self.reasons {
            now.extend(behind(
                condition,
                history,
                &condition.subject(&ground.item, machine),
            ));
        }
        let without =
            |a: &BTreeSet<String>, b: &BTreeSet<String>| a.difference(b).cloned().collect();
        Some(SaidDiffers {
            counts_now: without(&now, &then),
            counts_no_longer: without(&then, &now),
            profile: reckoned.is_some_and(|now| now.profile != self.profile),
            program: self.method != METHOD || self.build != BUILD,
        })
    }
}

/// Why what was said is not what is reckoned today, in words; empty where it is.
pub fn in_words(said: Option<&Said>, differs: Option<&SaidDiffers>) -> Vec<String> {
    let both = differs.zip(said);
    both.map_or_else(Vec::new, |(differs, said)| differs.sentences(said))
}

impl SaidDiffers {
    /// In words, one sentence for each cause.
    fn sentences(&self, said: &Said) -> Vec<String> {
        let spoken = said.verdict.spoken();
        let mut told = vec![format!("Said when it ended: {spoken}, by {}", said.build)];
        let mut records = |words: &str, ids: &[String]| {
            if !ids.is_empty() {
                told.push(format!("{words}: {}", ids.join(", ")));
            }
        };
        records("Counts now and did not then, record", &self.counts_now);
        records(
            "Counted then and does not now, record",
            &self.counts_no_longer,
        );
        if self.profile {
            told.push("Another profile was in force than was known then".to_owned());
        }
        if self.program {
            told.push("Another build of the program reckons it".to_owned());
        }
        if told.len() == 1 {
            told.push("Why that is not what is reckoned today, no record tells".to_owned());
        }
        told
    }
}

/// Ids of the records that the standing of an item rests on: its last look that counts, what was done
/// since, what is left open of it, and the deferral of its open defect.
pub(super) fn behind(condition: &Condition, history: &History, subject: &Subject) -> Vec<String> {
    let Some(life) = condition.life_of(subject) else {
        return Vec::new();
    };
    let look = life.status.look.as_ref();
    let since = look.map(|look| look.when());
    macro_rules! acts {
        ($($list:ident),+) => {
            [$(history.$list.iter().filter(|s| {
                s.rec.item == subject.item && s.rec.machine == subject.machine && Some(s.when()) > since
            }).map(|s| s.id.clone()).collect::<Vec<_>>()),+]
        };
    }
    let acts = acts!(repairs, fitted, overrides, withdrawals, removed);
    let worked = |s: &&Stamped<super::Service>| {
        let own =
            s.rec.touches(&s.rec.renewed, subject) || s.rec.touches(&s.rec.restarted, subject);
        own && Some(s.when()) > since
    };
    let services = history.services.iter().filter(worked).map(|s| s.id.clone());
    let deferral = life.current().and_then(|d| d.deferral.as_ref());
    let open = life
        .status
        .left_open
        .iter()
        .map(|left| left.opened.id.clone());
    let looked = look.map(|look| look.id.to_string()).into_iter();
    looked
        .chain(open)
        .chain(acts.into_iter().flatten())
        .chain(services)
        .chain(deferral.map(|d| d.id.clone()))
        .collect()
}

impl VerdictReason {
    pub(super) fn of(
        reason: Reason,
        condition: &Condition,
        history: &History,
        walk: &Walk,
    ) -> VerdictReason {
        let subject = condition.subject(&reason.item, &walk.machine);
        VerdictReason {
            records: behind(condition, history, &subject),
            item: reason.item,
            grade: reason.grade,
            rule: reason.rule,
        }
    }
}
