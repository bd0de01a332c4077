//! How each item looks at a time of the story, and what is done about it.

use std::collections::HashMap;

use super::story::{Seen, Step, Story, What};
use handlamp::checklist::Grade;
use handlamp::walk::{Details, Look};

/// What the walk now asking an item finds.
#[derive(Clone, Debug)]
enum Now {
    Sound,
    Seen(Seen),
    NotSeen {
        why: String,
        close_by: Option<String>,
    },
}

/// Items with a story, each as it stands.
pub(super) struct Threads<'s> {
    story: &'s Story,
    /// Place in the story by item and machine; none for items the boat has once.
    by_item: HashMap<(&'s str, Option<&'s str>), usize>,
    states: Vec<State>,
}

struct State {
    now: Now,
    /// The step that comes next.
    next: usize,
    /// What is new has not been written down yet.
    unsaid: bool,
    /// The walk (by its number) and the phase in which it was.
    said_in: Option<(usize, String)>,
}

impl<'s> Threads<'s> {
    pub fn new(story: &'s Story) -> Threads<'s> {
        let key = |(n, t): (usize, &'s super::story::Thread)| {
            ((t.item.as_str(), t.machine.as_deref()), n)
        };
        let state = |_| State {
            now: Now::Sound,
            next: 0,
            unsaid: false,
            said_in: None,
        };
        Threads {
            story,
            by_item: story.threads.iter().enumerate().map(key).collect(),
            states: story.threads.iter().map(state).collect(),
        }
    }

    fn find(&self, item: &str, machine: &str) -> Option<usize> {
        let whole = self.by_item.get(&(item, None));
        whole
            .or_else(|| self.by_item.get(&(item, Some(machine))))
            .copied()
    }

    /// Why the engine was not started after what an item showed in a walk, where it was not.
    pub fn not_started(&self, item: &str, machine: &str, walk: usize) -> Option<&'s str> {
        let thread = self.find(item, machine)?;
        let state = &self.states[thread];
        let step = &self.story.threads[thread].steps[state.next.checked_sub(1)?];
        match &step.what {
            What::Seen(seen) if state.is_new_in(walk) => seen.not_started.as_deref(),
            _ => None,
        }
    }

    /// Something was done in a thread: the item is sound where that made it so.
    pub fn done(&mut self, thread: usize, step: usize) {
        let steps = &self.story.threads[thread].steps;
        let state = &mut self.states[thread];
        for earlier in steps.iter().take(step).skip(state.next) {
            state.take(&earlier.what);
        }
        state.next = step + 1;
        if matches!(
            steps[step].what,
            What::Repair { .. } | What::Service(_) | What::Withdrawal { .. }
        ) {
            state.now = Now::Sound;
            state.unsaid = false;
        }
    }

    /// A look at an item in a phase of a walk, by its number, day and hour.
    pub fn look(
        &mut self,
        item: &str,
        machine: &str,
        phase: &str,
        walk: usize,
        (day, hour): (u32, f64),
    ) -> Look {
        let Some(thread) = self.find(item, machine) else {
            return Look::graded(item, Some(phase), Grade::Sound);
        };
        let steps = &self.story.threads[thread].steps;
        let state = &mut self.states[thread];
        let come = |s: &&Step| s.day > day || (s.day == day && s.hour.unwrap_or(0.0) <= hour);
        while let Some(step) = steps.get(state.next).filter(come) {
            if !state.take(&step.what) {
                break;
            }
            state.next += 1;
        }
        if std::mem::take(&mut state.unsaid) {
            state.said_in = Some((walk, phase.to_owned()));
        }
        let first = state
            .said_in
            .as_ref()
            .is_some_and(|(w, p)| *w == walk && p == phase);
        let fresh = state.is_new_in(walk);
        match &state.now {
            Now::Sound => Look::graded(item, Some(phase), Grade::Sound),
            Now::NotSeen { why, close_by } => {
                Look::not_seen(item, Some(phase), why, close_by.clone())
            }
            Now::Seen(seen) => seen.look(item, phase, fresh, first),
        }
    }
}

impl State {
    /// Goes on to what a step shows; false for what is done, which waits for its own time.
    fn take(&mut self, what: &What) -> bool {
        self.now = match what {
            What::Seen(seen) => Now::Seen(seen.clone()),
            What::NotSeen { why, close_by } => Now::NotSeen {
                why: why.clone(),
                close_by: close_by.clone(),
            },
            _ => return false,
        };
        self.unsaid = true;
        true
    }

    fn is_new_in(&self, walk: usize) -> bool {
        self.said_in.as_ref().is_some_and(|(w, _)| *w == walk)
    }
}

impl Seen {
    /// The look: grade, leak and marks each time; why it is better in the walk that finds it so;
    /// words and values at the first look.
    fn look(&self, item: &str, phase: &str, fresh: bool, first: bool) -> Look {
        let mut look = Look::graded(item, Some(phase), self.grade).with(Details {
            note: self.note.clone().filter(|_| first),
            leak: self.leak,
            wear: self.wear.clone(),
            reading: self.reading.filter(|_| first),
            ..Details::default()
        });
        look.better = self.better.filter(|_| fresh);
        look
    }
}
