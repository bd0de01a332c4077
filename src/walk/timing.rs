//! How long the phases of a walk took, against the times its checklist gives them (common practice).

use chrono::{DateTime, FixedOffset, TimeDelta};

use super::plan::{Plan, PlanPhase};
use super::round::Walk;

/// Times are read off a clock that shows whole seconds.
const SLACK: TimeDelta = TimeDelta::seconds(1);

/// Whole time of so many minutes; the longest there is where they are too many to count.
pub fn minutes(minutes: f64) -> TimeDelta {
    let ms = (minutes * 60_000.0).round();
    TimeDelta::try_milliseconds(ms as i64).unwrap_or(TimeDelta::MAX)
}

/// A stretch of time as said: `40 s`, `4 min`, `2 h 05 min`.
pub fn said(time: TimeDelta) -> String {
    let seconds = time.num_seconds();
    match seconds.abs() {
        s @ 0..60 => format!("{s} s"),
        s @ 60..7200 => format!("{} min", s / 60),
        s => format!("{} h {:02} min", s / 3600, s / 60 % 60),
    }
}

impl PlanPhase {
    /// Id of the phase from whose beginning the time of this one counts.
    pub fn clock(&self) -> &str {
        self.timing.since.as_deref().unwrap_or(&self.id)
    }

    /// True where anything is timed here.
    pub fn is_timed(&self) -> bool {
        self.timing.minutes.is_some() || self.timing.within.is_some()
    }
}

impl Plan {
    /// What is to be said of times not kept: phases left before their least time was up, looks
    /// made before it was, or after the time meant for them. Nothing is said of a walk that was
    /// typed in afterwards, nor of a phase whose beginning nobody noted.
    pub fn times_not_kept(&self, walk: &Walk) -> Vec<String> {
        if walk.entered_after {
            return Vec::new();
        }
        let phases = self.phases.iter().enumerate();
        phases
            .filter_map(|(n, phase)| self.time_not_kept(walk, n, phase))
            .collect()
    }

    fn time_not_kept(&self, walk: &Walk, n: usize, phase: &PlanPhase) -> Option<String> {
        let began = walk.begun(phase.clock())?;
        let in_phase = |t: &&super::TimedLook| t.look.phase.as_deref() == Some(&phase.id);
        let looks = || walk.looks.iter().filter(in_phase).map(|t| t.at);
        let (first, last) = (looks().min()?, looks().max()?);
        let title = &phase.title;
        if first < began - SLACK {
            return Some(format!(
                "{title}: how long is not known; the clock was set meanwhile, or its time begun anew"
            ));
        }
        if let Some(least) = phase.timing.minutes.map(minutes) {
            let counted_from = phase.timing.since.is_some();
            let until = if counted_from {
                first
            } else {
                self.left_at(walk, n).unwrap_or(last)
            };
            let spent = until - began;
            if spent + SLACK < least {
                let words = if counted_from { "looked at after " } else { "" };
                return Some(format!(
                    "{title}: {words}{} of {}",
                    said(spent),
                    said(least)
                ));
            }
        }
        let within = phase.timing.within.map(minutes)?;
        let late = last - began;
        (late > within + SLACK).then(|| {
            format!(
                "{title}: looked at until {} after it began, meant within {}",
                said(late),
                said(within)
            )
        })
    }

    /// When a phase was left: the next beginning noted of a later one.
    fn left_at(&self, walk: &Walk, phase: usize) -> Option<DateTime<FixedOffset>> {
        let later = self.phases.get(phase + 1..)?.iter();
        later.filter_map(|p| walk.begun(&p.id)).min()
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::boat::Role;
    use crate::checklist::{Grade, Library};
    use crate::walk::{Look, PhaseBegun, TimedLook, Touched};

    fn at(minutes: f64) -> DateTime<FixedOffset> {
        let noon = DateTime::parse_from_rfc3339("2026-05-03T12:00:00+02:00").expect("a time");
        noon + super::minutes(minutes)
    }

    /// A leak run with beginnings and looks at the oil filter, by phase and minute.
    fn told(begun: &[(&str, f64)], looks: &[(&str, f64)]) -> Vec<String> {
        let list = Library::built_in().checklist("leak-run").expect("built in");
        let plan = Plan::compose(
            list,
            Role::Propulsion,
            &[],
            &[],
            &Touched::unknown(),
            |_| None,
            |_| true,
        );
        let looks = looks.iter().map(|(phase, minute)| TimedLook {
            id: format!("{phase}{minute}").into(),
            at: at(*minute),
            place: 0,
            verified: true,
            look: Arc::new(Look::graded("oil-filter-seat", Some(phase), Grade::Sound)),
        });
        let walk = Walk {
            id: "w".into(),
            checklist: "leak-run".into(),
            asked: None,
            machine: "main".into(),
            at: at(0.0),
            by: None,
            hours: None,
            hours_by: None,
            entered_after: false,
            blind: false,
            unblinded: false,
            agreed: None,
            front: Default::default(),
            started_anyway: None,
            started_at: Vec::new(),
            told: Vec::new(),
            left_out: Vec::new(),
            joins: Vec::new(),
            disturbed: Vec::new(),
            guest: false,
            begun: begun
                .iter()
                .map(|(p, m)| PhaseBegun {
                    phase: (*p).to_owned(),
                    at: at(*m),
                    by_clock: at(*m),
                })
                .collect(),
            looks: looks.collect(),
            finished: None,
            place: 0,
            finished_place: None,
            fuel: Vec::new(),
            is_stub: false,
        };
        let after = Walk {
            entered_after: true,
            ..walk.clone()
        };
        assert!(plan.times_not_kept(&after).is_empty());
        plan.times_not_kept(&walk)
    }

    #[test]
    fn a_phase_lasts_until_the_next_one_begins() {
        assert_eq!(told(&[], &[("idle", 1.0)]), [""; 0], "nobody noted it");
        let begun = [("idle", 0.0), ("fast", 5.0)];
        assert_eq!(told(&begun, &[("idle", 1.0), ("fast", 8.5)]), [""; 0]);
        let begun = [("idle", 0.0), ("fast", 2.0)];
        let short = told(&begun, &[("idle", 1.0), ("fast", 5.5)]);
        assert_eq!(short, ["Idling: 2 min of 5 min"]);
        let left = told(&[("idle", 0.0)], &[("idle", 0.5)]);
        assert_eq!(left, ["Idling: 30 s of 5 min"]);
    }

    #[test]
    fn settled_counts_from_the_stop_and_is_looked_at_once_it_is_up() {
        let stopped = [("just-stopped", 0.0), ("settled", 4.0)];
        let looks = [("just-stopped", 1.0), ("settled", 4.0), ("settled", 30.0)];
        assert_eq!(
            told(&stopped, &looks),
            ["Settled: looked at after 4 min of 10 min"]
        );
        let looks = [("just-stopped", 12.0), ("settled", 12.0)];
        assert_eq!(
            told(&stopped, &looks),
            ["Just stopped: looked at until 12 min after it began, meant within 5 min"]
        );
    }

    #[test]
    fn a_look_before_its_beginning_gives_no_time_below_nothing() {
        let told = told(&[("idle", 90.0)], &[("idle", 1.0)]);
        assert_eq!(told.len(), 1);
        assert!(
            told[0].starts_with("Idling: how long is not known"),
            "{told:?}"
        );
    }
}
