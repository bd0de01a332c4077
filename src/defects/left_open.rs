//! What was shut, taken out or left so that she must not be started before it is put back: it is no
//! defect, teaches nothing, and is put back by a word of its own alone.

use super::acts::Opened;
use super::condition::Condition;
use super::history::Stamped;
use super::life::Life;
use super::subject::Subject;

impl Stamped<Opened> {
    /// What was left how and since when, in a sentence without a full stop.
    pub fn words(&self) -> String {
        self.rec.words(self.at)
    }
}

impl Condition {
    /// What is left open on a machine (on every one where none is named) and on the boat.
    pub fn left_open<'a>(
        &'a self,
        machine: Option<&'a str>,
    ) -> impl Iterator<Item = (&'a Subject, &'a Stamped<Opened>)> {
        let here = move |(subject, _): &(&Subject, &Life)| {
            let own = subject.machine.as_deref();
            own.is_none_or(|own| machine.is_none_or(|at| own == at))
        };
        let lives = self.lives.iter().filter(here);
        lives.flat_map(|(subject, life)| life.status.left_open.iter().map(move |o| (subject, o)))
    }

    /// The same as what no verdict is clear beside: item and words.
    pub(super) fn still_open(&self, machine: &str) -> Vec<(String, String)> {
        let open = self.left_open(Some(machine));
        open.map(|(subject, opened)| (subject.item.clone(), opened.words()))
            .collect()
    }
}
