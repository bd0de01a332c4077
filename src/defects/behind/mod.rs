//! What is behind the findings of a machine: her looks as answers to the questions of the causes, and what
//! they point to together. It groups and proposes a look; no grade, risk, stop or verdict asks it.
//!
//! - [`seen`]: which looks count; `says`: what each says; [`signs`]: what a look may say beside its rung
//! - [`lately`]: what happened lately
//! - [`short`]: what is said of it unasked, in two or three lines
//! - [`own`]: questions and causes of the boat's own; [`confirmed`]: what repairs say of the causes they
//!   named

pub mod confirmed;
pub mod lately;
pub mod own;
mod says;
pub mod seen;
pub mod short;
pub mod signs;

use self::confirmed::Proof;
use self::own::KnownCauses;
use super::condition::Condition;
use super::doubt::NotCounted;
use super::history::History;
use super::life::ItemStatus;
use super::subject::Subject;
use crate::causes::say::unasked;
use crate::causes::{Cause, Causes, Headline, Judged, OK, Question, Seen};
use crate::checklist::Grade;

/// What is known of a machine, ready to be judged.
#[derive(Clone, Debug)]
pub struct Behind {
    causes: Causes,
    /// What was seen.
    pub seen: Seen,
    /// What repairs say of the causes they named.
    pub proofs: Vec<Proof>,
}

impl Behind {
    /// Judges it: exact, about two thousand things that can hold.
    pub fn judge(&self) -> Judged<'_> {
        self.causes.judge(&self.seen)
    }

    /// The causes that what was found names first and that have to do with an item: it is a part of them,
    /// or its looks answer a question in which they have a sign.
    pub fn named_for(&self, item: &str) -> Vec<&Cause> {
        if !self.has_findings() {
            return Vec::new();
        }
        let judged = self.judge();
        let named = match judged.headline {
            Headline::First => 1,
            Headline::Among(named) => named,
            Headline::Alone | Headline::Unlisted => 0,
        };
        let answers = |question: &str| {
            let asked = self.causes.question(question);
            asked.is_some_and(|(_, question)| question.by_item(item).is_some())
        };
        let of_item = |cause: &&Cause| {
            cause.parts.iter().any(|part| part == item)
                || cause.signs.iter().any(|sign| answers(&sign.question))
        };
        let candidates = judged.candidates.into_iter().take(named);
        let causes = candidates.map(|candidate| candidate.cause);
        causes.filter(of_item).collect()
    }

    /// True where a look found something, so that there is a cause to ask for.
    pub fn has_findings(&self) -> bool {
        let mut looks = self.seen.looks.iter();
        let mut parts = self.seen.parts.iter();
        let is_event = |id: &str| {
            self.causes
                .question(id)
                .is_some_and(|(_, asked)| asked.event)
        };
        looks.any(|look| look.answer != OK && !is_event(&look.question))
            || parts.any(|part| part.grade >= Grade::Failing)
    }
}

impl Condition {
    /// What is dangerous and not ruled out on a machine, a paragraph each; it stands beside a verdict and
    /// changes none.
    pub fn not_ruled_out(&self, history: &History, machine: &str) -> Vec<String> {
        let behind = self.behind_findings(history, machine);
        behind.map_or_else(Vec::new, |behind| unasked(&behind.judge()))
    }

    /// What is known of a machine where something was found on her; none where nothing was, which costs
    /// nothing: the causes are not even read for her.
    pub fn behind_findings(&self, history: &History, machine: &str) -> Option<Behind> {
        let here = |subject: &Subject| subject.machine.as_deref().is_none_or(|own| own == machine);
        let mut lives = self.lives.iter();
        if !lives.any(|(subject, life)| here(subject) && can_be_found(&life.status)) {
            return None;
        }
        Some(self.behind(history, machine)).filter(Behind::has_findings)
    }

    /// Takes in what the records say of questions and causes, unread as yet.
    pub(in crate::defects) fn take_causes(&mut self, history: &History) {
        self.own_causes.clone_from(&history.own_causes);
        self.own_causes.sort_by_key(|given| given.place);
    }

    fn known_causes(&self) -> &KnownCauses {
        let known = || KnownCauses::of(&self.own_causes, &self.library.catalogue);
        self.causes.get_or_init(known)
    }

    /// What of the boat's own questions and causes does not count.
    pub(in crate::defects) fn refused_causes(&self) -> &[NotCounted] {
        match self.own_causes.is_empty() {
            true => &[],
            false => &self.known_causes().refused,
        }
    }

    /// The record that gave a question; none of a built-in one.
    pub fn question_given_by(&self, id: &str) -> Option<&str> {
        self.known_causes().questions.get(id).map(String::as_str)
    }

    /// The record that gave a cause; none of a built-in one.
    pub fn cause_given_by(&self, id: &str) -> Option<&str> {
        self.known_causes().own.get(id).map(String::as_str)
    }

    /// Questions and causes: the built-in ones with those of the boat on top, read when first asked for.
    pub fn causes(&self) -> &Causes {
        &self.known_causes().causes
    }

    /// The items of a machine and of the boat around it at which a question is looked at: those that are
    /// looked at for nothing else, where there are any.
    pub fn items_of<'q>(&self, question: &'q Question, machine: &str) -> Vec<&'q str> {
        let items = question.from.iter().map(|by| by.item.as_str());
        let fitted = |item: &&str| self.has(item, Some(machine));
        let items: Vec<&str> = items.filter(fitted).collect();
        let called_for = |id: &&str| {
            self.library
                .catalogue
                .item(id)
                .is_some_and(|i| i.called_for)
        };
        let own: Vec<&str> = items.iter().copied().filter(called_for).collect();
        if own.is_empty() { items } else { own }
    }

    /// What is known of a machine and of the boat around it.
    pub fn behind(&self, history: &History, machine: &str) -> Behind {
        let proofs = self.proofs(history, machine);
        let confirmed = confirmed::confirmed(&proofs);
        let causes = match confirmed.is_empty() {
            true => self.causes().clone(),
            false => self.causes().learned(&confirmed),
        };
        Behind {
            causes,
            seen: self.seen(history, machine),
            proofs,
        }
    }
}

/// Not sound, told beside its rung, filled or over its mark: nothing else can say that something is not
/// normal.
fn can_be_found(status: &ItemStatus) -> bool {
    let look = status.look.as_ref().map(|timed| &timed.look);
    let told = look
        .is_some_and(|look| !look.signs.is_empty() || look.added.is_some() || says::is_over(look));
    told || status.judged() > Some(Grade::Sound)
}
