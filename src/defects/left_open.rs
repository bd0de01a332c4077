//! What was shut, taken out or left so that she must not float, start or leave before it is put back:
//! it is no defect, teaches nothing, and is put back by a word of its own alone. Told put back is not
//! seen put back.

use super::acts::Opened;
use super::condition::Condition;
use super::history::Stamped;
use super::life::{ItemStatus, Life};
use super::still_open::LeftOpen;
use super::subject::Subject;
use crate::assess::verdict::Reason;
use crate::assess::words::Verdict;
use crate::checklist::Forbids;

impl ItemStatus {
    /// Something of it is left open.
    pub(super) fn leave_open(&mut self, opened: Stamped<Opened>) {
        let told = None;
        self.left_open.push(LeftOpen { opened, told });
    }

    /// What has this id was told put back.
    pub(super) fn told_back(&mut self, of: &str, by: &str) {
        let mut open = self.left_open.iter_mut();
        if let Some(left) = open.find(|left| left.opened.id == of) {
            left.told = Some(by.to_owned());
        }
    }
}

impl Condition {
    /// What is left open on a machine (on every one where none is named) and on the boat.
    pub fn left_open<'a>(
        &'a self,
        machine: Option<&'a str>,
    ) -> impl Iterator<Item = (&'a Subject, &'a LeftOpen)> {
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
        open.map(|(subject, left)| (subject.item.clone(), left.words()))
            .collect()
    }

    /// A verdict beside what is left open and says itself what it forbids: *do not run* where that is
    /// to float or to start, *do not leave* where it is to leave, and never better than it was. What
    /// was told put back leaves *with care* alone, and what does not say what it forbids too.
    pub(super) fn forbidden(
        &self,
        machine: &str,
        said: (Verdict, Vec<Reason>),
        in_sight: impl Fn(&str) -> bool,
    ) -> (Verdict, Vec<Reason>) {
        let (verdict, mut reasons) = said;
        let open = self.left_open(Some(machine));
        let open = open.filter(|(subject, left)| left.told.is_none() && in_sight(&subject.item));
        let says = open.filter_map(|(subject, left)| {
            Some((left.opened.rec.forbids?, &subject.item, left.words()))
        });
        let mut says: Vec<_> = says.collect();
        says.sort();
        let Some((worst, ..)) = says.first() else {
            return (verdict, reasons);
        };
        let then = match (verdict, worst) {
            (Verdict::DoNotRun, _) | (_, Forbids::Float | Forbids::Start) => Verdict::DoNotRun,
            (_, Forbids::Leave) => Verdict::DoNotLeave,
        };
        let first = says.into_iter().map(|(_, item, rule)| Reason {
            item: item.clone(),
            grade: None,
            rule,
        });
        let first: Vec<Reason> = first.collect();
        reasons.retain(|reason| !first.contains(reason));
        let stops_first = matches!(verdict, Verdict::DoNotRun | Verdict::DoNotLeave);
        let reasons = match stops_first {
            true => reasons.into_iter().chain(first).collect(),
            false => first.into_iter().chain(reasons).collect(),
        };
        (then, reasons)
    }
}
