//! The chances of everything that can hold, after what was seen.

use std::borrow::Cow;

use super::belief::Belief;
use super::file::Question;
use super::looks::{Counted, Seen, counted};
use super::model::{Held, Outcome, Table};
use super::table::Causes;
use crate::checklist::Grade;

/// What was seen, weighed.
#[derive(Clone, Debug)]
pub struct Reckoned<'c> {
    /// The table it was weighed by.
    pub causes: &'c Causes,
    /// The looks that count, in the order of the questions, parts after them.
    pub looks: Vec<Counted>,
    tables: Vec<Cow<'c, Table>>,
    pub(super) belief: Belief,
    /// Chance of each cause, by its place.
    pub chances: Vec<f64>,
    /// Chance that none of the causes holds, and each finding stands alone.
    pub alone: f64,
    /// Chance that it is not on the list.
    pub unlisted: f64,
}

/// One thing that can hold, and how its chance comes about.
#[derive(Clone, Debug, PartialEq)]
pub struct Arithmetic {
    /// What holds.
    pub held: Held,
    /// Its weight before anything was seen.
    pub prior: f64,
    /// The chance of each look that counts, in their order, if it holds.
    pub factors: Vec<f64>,
    /// Its chance: prior times factors, set against all others.
    pub chance: f64,
}

impl<'c> Reckoned<'c> {
    /// Weighs what was seen.
    pub fn of(causes: &'c Causes, seen: &Seen) -> Reckoned<'c> {
        let model = &causes.model;
        let answers = counted(seen, causes);
        let tables = answers.iter().filter_map(|look| look.question);
        let tables: Vec<_> = tables.map(|n| Cow::Borrowed(&model.tables[n])).collect();
        let (parts, own): (Vec<_>, Vec<_>) = parts(causes, seen, &answers).into_iter().unzip();
        let looks: Vec<Counted> = answers.into_iter().chain(parts).collect();
        let own = own
            .into_iter()
            .map(|of: Vec<usize>| Cow::Owned(model.part(of.into_iter())));
        let tables: Vec<_> = tables.into_iter().chain(own).collect();
        let mut belief = Belief::of(model.priors.clone());
        for (table, look) in tables.iter().zip(&looks) {
            belief.saw(|n| table.given(model.held[n], look.said));
        }
        let mut chances = vec![0.0; model.chances.len()];
        let (mut alone, mut unlisted) = (0.0, 0.0);
        for (held, chance) in model.held.iter().zip(belief.chances()) {
            match *held {
                Held::Nothing => alone = *chance,
                Held::Unlisted => unlisted = *chance,
                Held::One(one) => chances[one] += chance,
                Held::Two(one, two) => {
                    chances[one] += chance;
                    chances[two] += chance;
                }
            }
        }
        Reckoned {
            causes,
            looks,
            tables,
            belief,
            chances,
            alone,
            unlisted,
        }
    }

    /// Everything that can hold with its arithmetic, likeliest first.
    pub fn arithmetic(&self) -> Vec<Arithmetic> {
        let model = &self.causes.model;
        let each = model
            .held
            .iter()
            .zip(&model.priors)
            .zip(self.belief.chances());
        let mut all: Vec<_> = each
            .map(|((held, prior), chance)| Arithmetic {
                held: *held,
                prior: *prior,
                factors: (0..self.looks.len())
                    .map(|n| self.factor(n, *held))
                    .collect(),
                chance: *chance,
            })
            .collect();
        all.sort_by(|a, b| b.chance.total_cmp(&a.chance));
        all
    }

    /// The chance that just this holds.
    pub fn chance_of(&self, held: Held) -> f64 {
        let all = &self.causes.model.held;
        self.belief.of_those(|n| all[n] == held)
    }

    /// The chance of a look that counts, if this holds.
    pub fn factor(&self, look: usize, held: Held) -> f64 {
        self.tables[look].given(held, self.looks[look].said)
    }

    /// Chance that just these two hold, the likeliest pair; none with fewer than two causes.
    pub fn best_pair(&self) -> Option<(usize, usize, f64)> {
        let held = self.causes.model.held.iter().zip(self.belief.chances());
        let pairs = held.filter_map(|(held, chance)| match *held {
            Held::Two(one, two) => Some((one, two, *chance)),
            _ => None,
        });
        pairs.max_by(|a, b| a.2.total_cmp(&b.2))
    }

    /// The looks that speak for a cause, and those that speak against it: likelier or unlikelier with it
    /// alone than with none.
    pub fn speaking(&self, cause: usize) -> (Vec<usize>, Vec<usize>) {
        let here = (0..self.looks.len()).filter(|n| self.tables[*n].has_sign_of(cause));
        here.filter(|n| self.factor(*n, Held::One(cause)) != self.factor(*n, Held::Nothing))
            .partition(|n| self.factor(*n, Held::One(cause)) > self.factor(*n, Held::Nothing))
    }
}

/// Parts that were looked at themselves and count, each with the causes it counts for. Failing or failed
/// speaks for every cause whose part it is; sound speaks against one only when all its parts are seen
/// sound. What an item has said by a question it does not say again.
fn parts(causes: &Causes, seen: &Seen, answers: &[Counted]) -> Vec<(Counted, Vec<usize>)> {
    let grade = |item: &str| {
        let looks = seen.parts.iter().filter(|look| look.item == item);
        looks.map(|look| look.grade).max()
    };
    let said = |item: &str, cause: usize| {
        answers.iter().any(|look| {
            let Some((n, by)) = look.question.zip(look.by.as_deref()) else {
                return false;
            };
            // What is normal was said by all that had to be sound for it.
            let sound = |question: &Question| question.by_item(item).is_some_and(|own| own.sound);
            let among = || {
                let of = sound(&causes.questions()[n]);
                !look.is_finding && of && grade(item) == Some(Grade::Sound)
            };
            (by == item || among()) && causes.model.tables[n].has_sign_of(cause)
        })
    };
    let bad = |grade: Option<Grade>| grade >= Some(Grade::Failing);
    let mut items: Vec<&str> = seen.parts.iter().map(|look| look.item.as_str()).collect();
    items.sort_unstable();
    items.dedup();
    let mut counted = Vec::new();
    for item in items {
        let grade_here = grade(item);
        let of = causes.causes().iter().enumerate().filter(|(n, cause)| {
            if !cause.parts.iter().any(|part| part == item) || said(item, *n) {
                return false;
            }
            let all_sound = cause
                .parts
                .iter()
                .all(|part| grade(part) == Some(Grade::Sound));
            let is_last = cause.parts.last().is_some_and(|part| part == item);
            bad(grade_here) || (all_sound && is_last)
        });
        let of: Vec<usize> = of.map(|(n, _)| n).collect();
        let Some(grade) = grade_here.filter(|_| !of.is_empty()) else {
            continue;
        };
        let on = seen
            .parts
            .iter()
            .filter(|look| look.item == item)
            .map(|look| look.on)
            .max();
        let look = Counted {
            question: None,
            what: item.to_owned(),
            words: format!("It is {grade}."),
            said: Outcome::Answer(usize::from(!bad(Some(grade)))),
            is_finding: bad(Some(grade)),
            on: on.flatten(),
            by: Some(item.to_owned()),
        };
        counted.push((look, of));
    }
    counted
}
