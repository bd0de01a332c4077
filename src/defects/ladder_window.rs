//! What of a ladder in time is drawn, and where in the drawing each moment stands.

use chrono::{DateTime, Duration, FixedOffset};

use super::ladder_in_time::{LadderInTime, RungAhead};
use super::wait::Wait;

/// The least that is drawn of what is behind, days.
const LEAST_BEHIND: f64 = 1.0;
/// So much of what is behind is drawn for each day ahead, where there is more (judgement).
const BEHIND_FOR_AHEAD: f64 = 3.0;
/// So much is drawn ahead for each day behind, at the least (judgement).
const AHEAD_FOR_BEHIND: f64 = 0.3;
/// And at the most so many days, or as many as behind (judgement).
const MOST_AHEAD: f64 = 180.0;

/// From one moment to another, in proportion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// The first moment drawn.
    pub from: DateTime<FixedOffset>,
    /// The last one, after the first.
    pub to: DateTime<FixedOffset>,
}

impl Window {
    /// How far along a moment stands, 0 at the first and 1 at the last; none outside.
    pub fn share(&self, at: DateTime<FixedOffset>) -> Option<f64> {
        let inside = (self.from..=self.to).contains(&at);
        inside.then(|| days(self.from, at) / days(self.from, self.to))
    }

    /// As [`Window::share`], what is outside at the end it is nearest to.
    pub fn share_within(&self, at: DateTime<FixedOffset>) -> f64 {
        (days(self.from, at) / days(self.from, self.to)).clamp(0.0, 1.0)
    }
}

/// Something to be done by a moment that is ahead and drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// By when.
    pub at: DateTime<FixedOffset>,
    /// The letter that stands for it.
    pub letter: &'static str,
    /// What it is.
    pub what: &'static str,
}

impl LadderInTime {
    /// The next look and the repair, where they are ahead and in the window.
    pub fn limits(&self, window: &Window) -> Vec<Limit> {
        let all = [
            (&self.look_again_within, "L", "look again"),
            (&self.fix_within, "F", "fix"),
        ];
        let limits = all.into_iter().filter_map(|(wait, letter, what)| {
            let at = wait.as_ref()?.at?;
            Some(Limit { at, letter, what })
        });
        let ahead = self.now..=window.to;
        limits.filter(|limit| ahead.contains(&limit.at)).collect()
    }

    /// What is drawn: one scale for what is behind and what is ahead. The open finding is always in
    /// it; of what is before that, as much as what is ahead leaves room for.
    pub fn window(&self) -> Window {
        let first = self.marks.first().map_or(0.0, |m| days(m.at, self.now));
        let wanted = self.wanted_ahead();
        let opened = self.opened.map_or(0.0, |at| 1.1 * days(at, self.now));
        let most = (BEHIND_FOR_AHEAD * wanted).max(opened).max(30.0);
        let behind = first.min(most).max(LEAST_BEHIND);
        let ahead = wanted
            .min(behind.max(MOST_AHEAD))
            .max(AHEAD_FOR_BEHIND * behind);
        Window {
            from: shifted(self.now, -behind * 1.02),
            to: shifted(self.now, ahead),
        }
    }

    /// Days until the last of what one asks the picture for: both limits, when the next rung is all
    /// but sure, and when it is as likely to have failed as not.
    fn wanted_ahead(&self) -> f64 {
        let met = |rung: Option<&RungAhead>, n: usize| rung.and_then(|r| r.met[n].at);
        let limits = [&self.fix_within, &self.look_again_within];
        let limits = limits.map(|wait| wait.and_then(|wait: Wait| wait.at));
        let passages = [met(self.ahead.first(), 2), met(self.ahead.last(), 1)];
        let all = limits.into_iter().chain(passages).flatten();
        all.map(|at| days(self.now, at) * 1.1).fold(0.0, f64::max)
    }
}

fn days(from: DateTime<FixedOffset>, to: DateTime<FixedOffset>) -> f64 {
    super::usage::days(from, to)
}

fn shifted(at: DateTime<FixedOffset>, days: f64) -> DateTime<FixedOffset> {
    let by = Duration::try_milliseconds((days * 86_400_000.0) as i64);
    by.and_then(|by| at.checked_add_signed(by)).unwrap_or(at)
}
