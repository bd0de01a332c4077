//! What is behind the findings of a machine in two or three lines: what belongs together, what it comes
//! to, what is dangerous, which look is next. Said unasked, and only where it is worth it.

use crate::causes::say::{self, Said};
use crate::causes::{Danger, Headline, Judged, Standing};
use crate::defects::condition::Condition;
use crate::defects::history::History;
use crate::defects::subject::Subject;
use crate::text::capital;

/// So many dangerous causes are named, the likeliest; more are counted.
const DANGERS: usize = 2;

/// What is behind findings, in short.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Short {
    /// What answers order by themselves, in sentences.
    pub orders: Vec<String>,
    /// What was looked at and found, as it is called, of the findings that one cause explains.
    pub together: Vec<String>,
    /// What it comes to, in sentences.
    pub headline: String,
    /// What is dangerous and not ruled out, a sentence; what a stop in force speaks of is left to that.
    pub danger: Option<String>,
    /// The look to make next, as it is called, and its seconds.
    pub next: Option<(String, u32)>,
    /// The items whose findings belong together.
    pub group: Vec<Subject>,
    /// The findings are worth saying unasked; else only what is dangerous is.
    pub speaks: bool,
    /// The danger is what the headline names.
    same: bool,
}

impl Short {
    /// Of what was judged; `subject` tells whose an item is.
    pub fn of(judged: &Judged<'_>, subject: impl Fn(&str) -> Subject) -> Short {
        let looks = &judged.reckoned.looks;
        let together = judged.together();
        let named = together.iter().map(|n| say::called(&looks[*n]));
        let items = together.iter().filter_map(|n| looks[*n].by.as_deref());
        let mut group: Vec<Subject> = items.map(subject).collect();
        group.sort_unstable();
        group.dedup();
        let offers = &judged.offers;
        let next = offers.best.first().or(offers.surest.as_ref());
        let next = next.map(|offer| offer.question);
        let rules_out = unsaid(judged).find_map(|danger| danger.look);
        let next = match judged.speaks {
            true => next,
            false => rules_out,
        };
        let orders = judged.orders.iter().map(|order| (*order).to_owned());
        let first = judged.candidates.first();
        let first = first.filter(|_| judged.headline == Headline::First);
        let mut dangers = unsaid(judged);
        Short {
            orders: orders.collect(),
            together: named.collect(),
            headline: headline(judged),
            danger: danger(judged),
            next: next.map(|question| (question.title.clone(), question.seconds)),
            group,
            speaks: judged.speaks,
            same: unsaid(judged).count() == 1
                && dangers.any(|danger| first.is_some_and(|c| c.cause.id == danger.cause.id)),
        }
    }

    /// True where something of it is said unasked.
    pub const fn is_said(&self) -> bool {
        self.speaks || self.danger.is_some() || !self.orders.is_empty()
    }

    /// The items of which it is said that their findings may belong together; none where it is not.
    pub fn marked(&self) -> &[Subject] {
        match self.speaks && self.group.len() > 1 {
            true => &self.group,
            false => &[],
        }
    }

    /// The findings that may belong together, in a sentence.
    pub fn belonging(&self) -> Option<String> {
        let names: Vec<String> = self.together.iter().map(|name| small(name)).collect();
        let (last, before) = names.split_last().filter(|(_, rest)| !rest.is_empty())?;
        let before = before.join(", ");
        Some(format!("These may belong together: {before} and {last}."))
    }

    /// What is ordered and what is dangerous, as it is said unasked.
    pub fn grave(&self) -> Vec<String> {
        let orders = self.orders.iter().map(|order| format!("STOP: {order}"));
        orders.chain(self.danger.clone()).collect()
    }

    /// The rest of what is said unasked: what can be left out stands last; nothing where there is nothing
    /// worth saying.
    pub fn rest(&self) -> Vec<String> {
        let next = self.next.as_ref();
        if !self.speaks {
            let rules_out = next.filter(|_| self.danger.is_some());
            let told =
                rules_out.map(|(title, s)| format!("What can rule it out: {title} ({s} s)."));
            return told.into_iter().collect();
        }
        // What the danger has named already is not said again.
        let headline = (!(self.same && self.danger.is_some())).then(|| self.headline.clone());
        let next = next.map(|(title, seconds)| format!("Look next: {title} ({seconds} s)."));
        let all = headline.into_iter().chain(next);
        all.chain(self.belonging()).collect()
    }
}

/// A name inside a sentence; what is written in capitals stays so.
fn small(name: &str) -> String {
    let mut chars = name.chars();
    let first = chars.next();
    match chars.clone().next().is_some_and(char::is_uppercase) {
        true => name.to_owned(),
        false => first
            .into_iter()
            .flat_map(char::to_lowercase)
            .chain(chars)
            .collect(),
    }
}

fn headline(judged: &Judged<'_>) -> String {
    if let Headline::Among(near) = judged.headline {
        let near = judged.candidates.iter().take(near);
        let near: Vec<&str> = near.map(|near| near.cause.title.as_str()).collect();
        return format!("One of these: {}.", near.join("; or "));
    }
    let told = Said::of(judged).headline;
    let told = told
        .iter()
        .map(|line| format!("{}{}", line.lead, line.text));
    told.collect::<Vec<_>>().join(" ")
}

/// The dangerous causes said unasked that no stop in force speaks of: what orders by itself is said where that is.
fn unsaid<'j, 'c>(judged: &'j Judged<'c>) -> impl Iterator<Item = &'j Danger<'c>> {
    judged.unasked().filter(|danger| !danger.in_force)
}

/// The dangerous causes in one sentence; what follows from it where it is but one, and likely.
fn danger(judged: &Judged<'_>) -> Option<String> {
    let dangers: Vec<&Danger<'_>> = unsaid(judged).collect();
    let (first, more) = dangers.split_first()?;
    if more.is_empty() && first.standing <= Standing::MostLikely {
        let title = capital(&first.cause.title);
        return Some(format!(
            "Dangerous if it is so: {title}. {}",
            first.cause.ignored
        ));
    }
    let named = dangers.iter().take(DANGERS);
    let mut named: Vec<String> = named.map(|danger| danger.cause.title.clone()).collect();
    let rest = dangers.len() - named.len();
    named.extend((rest > 0).then(|| format!("{rest} more")));
    Some(format!(
        "Not ruled out, and dangerous: {}.",
        named.join("; or ")
    ))
}

impl Condition {
    /// What is behind the findings of a machine, in short; none where nothing was found on her.
    pub fn short_behind(&self, history: &History, machine: &str) -> Option<Short> {
        let behind = self.behind_findings(history, machine)?;
        let subject = |item: &str| self.subject(item, machine);
        Some(Short::of(&behind.judge(), subject))
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::causes::{Causes, Look, Seen};

    fn short(looks: &[(&str, &str)]) -> Short {
        let looks = looks.iter().map(|(question, answer)| Look {
            by: Some(format!("item-of-{question}")),
            ..Look::of(question, answer)
        });
        let seen = Seen {
            looks: looks.collect(),
            ..Seen::default()
        };
        let subject = |item: &str| Subject {
            item: item.to_owned(),
            machine: Some("main".to_owned()),
        };
        Short::of(&Causes::built_in().judge(&seen), subject)
    }

    fn all(short: &Short) -> String {
        let told = short.grave().into_iter().chain(short.rest());
        told.collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn findings_of_one_cause_are_named_together_with_the_look_that_tells() {
        let short = short(&[("plume", "sweet"), ("clevel", "falls"), ("olook", "milky")]);
        assert!(short.speaks && short.is_said());
        let told = all(&short);
        assert!(told.starts_with("Not ruled out, and dangerous: "), "{told}");
        let look = short.next.as_ref().expect("a look");
        assert!(
            told.contains(&format!("Look next: {} ({} s).", look.0, look.1)),
            "{told}"
        );
        assert!(
            told.ends_with("exhaust plume, coolant level and look of the engine oil."),
            "{told}"
        );
        assert_eq!(short.marked().len(), 3);
        for figure in ["%", "0.", "the cause is"] {
            assert!(!told.contains(figure), "{told}");
        }
    }

    #[test]
    fn a_finding_that_may_stand_alone_says_no_more_than_what_is_dangerous() {
        let everyday = short(&[("clevel", "falls")]);
        assert!(!everyday.is_said(), "one everyday sign is no warning");
        let short = short(&[("plume", "sweet")]);
        assert!(!short.speaks);
        assert!(short.marked().is_empty());
        let danger = short.danger.clone().expect("a danger");
        assert!(danger.contains("head gasket"), "{danger}");
        assert_eq!(short.grave(), [danger]);
        let rest = short.rest();
        assert_eq!(rest.len(), 1, "{rest:?}");
        assert!(rest[0].starts_with("What can rule it out: "), "{rest:?}");
    }

    #[test]
    fn what_is_ordered_stands_first() {
        let short = short(&[("olevel", "risen"), ("olook", "milky")]);
        assert!(
            short.grave()[0].starts_with("STOP: "),
            "{:?}",
            short.grave()
        );
    }

    #[test]
    fn nothing_found_says_nothing() {
        let short = short(&[("clevel", "ok"), ("plume", "ok")]);
        assert!(!short.is_said());
        assert_eq!(all(&short), "");
    }

    #[test]
    fn the_same_is_not_said_twice() {
        let causes = Causes::built_in();
        for question in causes.questions() {
            for reply in &question.answers {
                let short = short(&[(&question.id, &reply.id)]);
                let told = all(&short).to_lowercase();
                let several = short.headline.starts_with("One of") || told.contains("; or ");
                let named = causes
                    .causes()
                    .iter()
                    .map(|cause| cause.title.to_lowercase());
                for title in named.filter(|_| !several) {
                    assert!(told.matches(&title).count() < 2, "{told}");
                }
            }
        }
    }

    #[test]
    fn a_name_keeps_what_is_written_in_capitals() {
        assert_eq!(small("Coolant level"), "coolant level");
        assert_eq!(small("CO alarm"), "CO alarm");
        assert_eq!(small(""), "");
    }
}
