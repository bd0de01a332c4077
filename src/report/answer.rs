//! What a survey comes to, in plain sentences: what has to be put right before use, how many findings
//! may wait how long, what was not seen, and what may still change all of it.

use std::borrow::Cow;
use std::collections::BTreeSet;

use super::class::Class;
use super::content::Report;
use super::front;
use super::words::{Words, say};
use crate::assess::words::Severity;
use crate::defects::State;

/// The answer of a survey.
pub(super) struct Answer {
    /// What has to be put right before use; no more than what was looked at tells.
    pub first: Cow<'static, str>,
    /// True where something has.
    pub forbids: bool,
    /// Each class with the numbers of its findings.
    pub classes: Vec<(Cow<'static, str>, Vec<usize>)>,
    /// What was not seen, and all else that may change the answer.
    pub then: Vec<Cow<'static, str>>,
    /// An oil result is still to come.
    pub oil: Option<Cow<'static, str>>,
}

impl Answer {
    /// Of a report.
    pub fn of(report: &Report) -> Answer {
        let w = report.language.words();
        let ranks = |class: Class| -> Vec<usize> {
            let rows = report.recommendations.iter();
            let rows = rows.filter(|r| r.class == Some(class));
            rows.filter_map(|r| r.rank).collect()
        };
        let before = ranks(Class::BeforeUse);
        let first = match before.is_empty() {
            true => w.say("doc-before-use-none"),
            false => say!(
                w,
                "doc-before-use",
                n = before.len() as i64,
                items = numbers(w, &before)
            ),
        };
        let classes = Class::ALL.iter();
        Answer {
            first,
            forbids: !before.is_empty(),
            classes: classes.map(|c| (class(w, *c), ranks(*c))).collect(),
            then: then(report, w),
            oil: front::oil_is_outstanding(report).then(|| w.say("doc-oil-outstanding")),
        }
    }
}

/// A class in words, its letter before it.
pub(super) fn class(w: Words, class: Class) -> Cow<'static, str> {
    let word = w.say(&format!("class-{}", class.as_str()));
    say!(
        w,
        "doc-word-class",
        letter = class.letter().to_string(),
        word = word.into_owned()
    )
}

fn then(report: &Report, w: Words) -> Vec<Cow<'static, str>> {
    let s = &report.summary;
    let count = |n: usize, name: &str| (n > 0).then(|| w.with(name, &[("n", (n as i64).into())]));
    let unseen = report.not_seen.iter().map(|n| (&n.item, &n.machine));
    let unseen = unseen.collect::<BTreeSet<_>>().len();
    let seen = say!(
        w,
        "doc-not-seen",
        n = unseen.max(s.asked.saturating_sub(s.seen)) as i64,
        asked = s.asked as i64
    );
    let grave = report.coverage.iter().flat_map(|c| &c.hidden);
    let grave = grave.filter(|h| h.severity <= Severity::Critical);
    let repaired = report.defects.iter();
    let repaired = repaired.filter(|d| d.row.state == State::Repaired);
    let withdrawn = report.issued.as_ref().map_or(0, |i| i.withdrawn.len());
    let mut told = vec![seen];
    told.extend(count(grave.map(|h| h.items).sum(), "doc-hidden"));
    told.extend(count(repaired.count(), "doc-repaired"));
    // What is on record of others can forbid running, and is in no class above.
    let others = report.issued.as_ref().map_or(0, |i| i.not_in_it.len());
    told.extend(count(others, "doc-others"));
    told.extend(count(report.not_counted.len(), "doc-not-counted"));
    told.extend(count(withdrawn, "doc-withdrawn"));
    told
}

/// Numbers as they are read: "1 to 3, 5 and 8".
pub(super) fn numbers(w: Words, numbers: &[usize]) -> String {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for n in numbers.iter().copied().collect::<BTreeSet<_>>() {
        match runs.last_mut() {
            Some((_, last)) if *last + 1 == n => *last = n,
            _ => runs.push((n, n)),
        }
    }
    let said = runs
        .into_iter()
        .flat_map(|(first, last)| match last - first {
            0 => vec![first.to_string()],
            1 => vec![first.to_string(), last.to_string()],
            _ => vec![
                say!(
                    w,
                    "doc-to",
                    first = first.to_string(),
                    last = last.to_string()
                )
                .into_owned(),
            ],
        });
    let mut said: Vec<String> = said.collect();
    match (said.pop(), said.is_empty()) {
        (Some(last), false) => {
            say!(w, "doc-and", first = said.join(", "), last = last).into_owned()
        }
        (last, _) => last.unwrap_or_default(),
    }
}

#[cfg(test)]
mod tests {
    use super::numbers;
    use crate::report::words::Language;

    #[test]
    fn numbers_are_read_as_people_say_them() {
        let said = |of: &[usize]| numbers(Language::English.words(), of);
        assert_eq!(said(&[]), "");
        assert_eq!(said(&[4]), "4");
        assert_eq!(said(&[2, 1]), "1 and 2");
        assert_eq!(said(&[1, 2, 3]), "1 to 3");
        assert_eq!(
            said(&[1, 2, 3, 5, 8, 9, 10, 12]),
            "1 to 3, 5, 8 to 10 and 12"
        );
        let german = numbers(Language::German.words(), &[1, 2, 3, 5]);
        assert_eq!(german, "1 bis 3 und 5");
    }
}
