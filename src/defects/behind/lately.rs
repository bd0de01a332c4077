//! What happened lately, as answers to the questions of what happened: services of the machine, and that
//! she stood long.

use chrono::{DateTime, Duration, FixedOffset};

use crate::causes::Look;
use crate::defects::condition::Condition;
use crate::defects::history::History;
use crate::walk::Walk;

/// What happened is recent for so many days (*judgement*),
const LATELY: Duration = Duration::days(14);
/// or for so many running hours (*judgement*), whichever lasts longer.
const LATELY_HOURS: f64 = 10.0;
/// She stood long where nothing says that she ran for so long (*judgement*).
const STOOD: Duration = Duration::days(30);

/// From a time to a time in which she ran.
type Ran = (DateTime<FixedOffset>, DateTime<FixedOffset>);

impl Condition {
    /// What happened lately to a machine, and to what the boat has once.
    pub(super) fn lately(&self, history: &History, machine: &str) -> Vec<Look> {
        let told = |question: &str, answer: &str, at: DateTime<FixedOffset>| Look {
            question: question.to_owned(),
            answer: answer.to_owned(),
            on: Some(at.date_naive()),
            by: None,
        };
        let events = self.causes().questions().iter().filter(|q| q.event);
        let mut looks = Vec::new();
        for question in events {
            let done = history.services.iter().filter(|service| {
                let own = service.rec.machine.as_deref();
                own.is_none_or(|own| own == machine) && self.is_lately(machine, service.at)
            });
            looks.extend(done.filter_map(|service| {
                let mut said = question.services.iter();
                let said = said.find(|said| said.task == service.rec.task)?;
                Some(told(&question.id, &said.answer, service.at))
            }));
            if let Some(answer) = &question.stood
                && let Some(until) = self.stood_until(history, machine)
            {
                looks.push(told(&question.id, answer, until));
            }
        }
        looks
    }

    /// True for a time not more than two weeks or ten running hours ago.
    fn is_lately(&self, machine: &str, at: DateTime<FixedOffset>) -> bool {
        let ran = || self.machine_usage(Some(machine)).between(at, self.now);
        at <= self.now && (self.now - at <= LATELY || ran().hours <= LATELY_HOURS)
    }

    /// Until when she stood long, where that is now or lately; none also where nothing says that she ever
    /// ran.
    fn stood_until(&self, history: &History, machine: &str) -> Option<DateTime<FixedOffset>> {
        let mut ran = self.ran(history, machine);
        ran.sort_unstable();
        let mut ran = ran.into_iter().chain([(self.now, self.now)]);
        let (_, mut last) = ran.next().filter(|(from, _)| *from < self.now)?;
        let mut until = None;
        for (from, to) in ran {
            if from - last >= STOOD {
                until = Some(from);
            }
            last = last.max(to);
        }
        until.filter(|until| self.is_lately(machine, *until))
    }

    /// When she ran, as far as the record tells: between two readings of her meter of which the later is
    /// higher, and at a look at her running.
    fn ran(&self, history: &History, machine: &str) -> Vec<Ran> {
        let read = self.machine_usage(Some(machine)).readings().windows(2);
        let read = read.filter_map(|pair| match pair {
            [(from, before), (to, after)] if after > before => Some((*from, *to)),
            _ => None,
        });
        let walks = history.walks.iter().filter(|walk| walk.machine == machine);
        let seen = walks.filter_map(|walk| {
            let at = self.seen_running(walk)?;
            Some((at, at))
        });
        read.chain(seen).filter(|(_, to)| *to <= self.now).collect()
    }

    /// When a walk last saw the engine run.
    pub(super) fn seen_running(&self, walk: &Walk) -> Option<DateTime<FixedOffset>> {
        let mut looks = walk.looks.iter().rev();
        let running = looks.find(|timed| {
            let phase = timed.look.phase.as_deref();
            let state = phase.and_then(|phase| self.state_in(walk, phase));
            timed.at <= self.now && state.is_some_and(|state| state.is_running())
        });
        running.map(|timed| timed.at)
    }
}
