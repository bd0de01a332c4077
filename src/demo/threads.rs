//! How each item looks at a time of the story, and what is done about it.

use std::collections::HashMap;

use super::story::{Seen, Story, What};
use crate::checklist::Grade;
use crate::walk::{Details, Look};

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
    /// Steps come on this walk (by its number), so their notes are said.
    fresh_in: Option<usize>,
}

impl<'s> Threads<'s> {
    pub fn new(story: &'s Story) -> Threads<'s> {
        let key = |(n, t): (usize, &'s super::story::Thread)| {
            ((t.item.as_str(), t.machine.as_deref()), n)
        };
        let state = |_| State {
            now: Now::Sound,
            next: 0,
            fresh_in: None,
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
            What::Seen(seen) if state.fresh_in == Some(walk) => seen.not_started.as_deref(),
            _ => None,
        }
    }

    /// Something was done in a thread: the item is sound where that made it so, and what was to be
    /// seen before is past.
    pub fn done(&mut self, thread: usize, step: usize) {
        let what = &self.story.threads[thread].steps[step].what;
        let state = &mut self.states[thread];
        if matches!(what, What::Repair { .. } | What::Withdrawal { .. }) {
            state.now = Now::Sound;
            state.next = state.next.max(step + 1);
        }
    }

    /// A look at an item in a phase of a walk (by its number) on a day before today.
    pub fn look(&mut self, item: &str, machine: &str, phase: &str, walk: usize, day: u32) -> Look {
        let Some(thread) = self.find(item, machine) else {
            return Look::graded(item, Some(phase), Grade::Sound);
        };
        let steps = &self.story.threads[thread].steps;
        let state = &mut self.states[thread];
        while let Some(step) = steps.get(state.next).filter(|s| s.day >= day) {
            match &step.what {
                What::Seen(seen) => state.now = Now::Seen(seen.clone()),
                What::NotSeen { why, close_by } => {
                    state.now = Now::NotSeen {
                        why: why.clone(),
                        close_by: close_by.clone(),
                    };
                }
                _ => {}
            }
            state.next += 1;
            state.fresh_in = Some(walk);
        }
        let fresh = state.fresh_in == Some(walk);
        match &state.now {
            Now::Sound => Look::graded(item, Some(phase), Grade::Sound),
            Now::NotSeen { why, close_by } => {
                Look::not_seen(item, Some(phase), why, close_by.clone())
            }
            Now::Seen(seen) => seen.look(item, phase, fresh),
        }
    }
}

impl Seen {
    /// The look: grade, leak and marks each time, words when it is fresh.
    fn look(&self, item: &str, phase: &str, fresh: bool) -> Look {
        let mut look = Look::graded(item, Some(phase), self.grade).with(Details {
            note: self.note.clone().filter(|_| fresh),
            leak: self.leak,
            wear: self.wear.clone(),
            reading: self.reading.filter(|_| fresh),
            added: None,
        });
        look.better = self.better.filter(|_| fresh);
        look
    }
}
