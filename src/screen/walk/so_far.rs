//! What is known of a walk while it goes on.

use crate::assess::verdict::Reason;
use crate::assess::words::Verdict;
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::gate::{Gate, InForce};
use crate::defects::verdict::{lead, so_far};
use crate::text::safe_line;
use crate::walk::Walk;

/// What is known of a walk while it goes on.
pub struct SoFar {
    /// The boat with all that is on record, this walk's looks among it.
    pub condition: Condition,
    /// What a verdict would say, and the lines behind it.
    pub verdict: Verdict,
    /// Each row behind it, in words.
    pub lines: Vec<String>,
    /// Of this walk's looks alone: what was found before is out of sight.
    pub is_blind: bool,
    /// What one went on over: at which gate, whose, and the rule.
    pub over: Vec<(Gate, Subject, String)>,
    /// Why she was started over a stop was asked.
    pub asked_why: bool,
    /// Who started her in a survey was asked.
    pub asked_who_started: bool,
    /// Tanks of which it was asked what fuel is left, by their ids.
    pub asked_fuel: Vec<String>,
}

impl SoFar {
    /// Of a condition that counts everything.
    pub fn of(condition: Condition, walk: &Walk) -> SoFar {
        let mut so_far = SoFar {
            condition,
            verdict: Verdict::ClearToRun,
            lines: Vec::new(),
            is_blind: walk.blind,
            over: Vec::new(),
            asked_why: false,
            asked_who_started: false,
            asked_fuel: Vec::new(),
        };
        so_far.reckon(walk);
        so_far
    }

    /// Notes that one goes on over these.
    pub fn go_over(&mut self, gate: Gate, stops: Vec<InForce>) {
        let noted = stops.into_iter().map(|s| (gate, s.subject, s.rule));
        self.over.extend(noted);
    }

    /// True where one went on over it, at this gate or a later one.
    pub fn is_over(&self, gate: Gate, stop: &InForce) -> bool {
        let mut over = self.over.iter();
        over.any(|(at, subject, rule)| {
            *at >= gate && *subject == stop.subject && *rule == stop.rule
        })
    }

    /// Takes what a condition says now.
    pub fn reckon(&mut self, walk: &Walk) {
        let (verdict, reasons) = so_far(&self.condition, walk);
        let catalogue = &self.condition.library.catalogue;
        let line = |r: Reason| {
            let title = catalogue.item(&r.item).map_or("", |item| &item.title);
            format!("{}{}", lead(&safe_line(title)), r.rule)
        };
        self.is_blind = walk.blind;
        self.verdict = verdict;
        self.lines = reasons.into_iter().map(line).collect();
    }

    /// What it comes to so far, in few words.
    pub fn words(&self) -> String {
        let more = self.lines.len();
        // What was found before is out of sight there, and may be worse.
        let so_far = match self.is_blind {
            true => "so far in this walk alone",
            false => "so far",
        };
        match self.verdict {
            Verdict::ClearToRun if more == 0 => format!("{so_far}: no stop"),
            Verdict::ClearToRun => format!("{so_far}: no stop, {more} to watch"),
            Verdict::RunWithCare => format!("{so_far}: with care, {more} named"),
            stop => {
                let first = self.lines.first().map_or("", |l| l.as_str());
                let rest = more.saturating_sub(1);
                let rest = match rest {
                    0 => String::new(),
                    rest => format!(" (+{rest})"),
                };
                format!("{}{rest}: {first}", stop.spoken().to_uppercase())
            }
        }
    }
}
