//! Laws, limits and acceptance sets of the causes.

mod built_in;
mod complaints;
mod everyday;
mod laws;
mod practice;
mod tables;

use super::{Causes, Judged, Look, Now, Seen};

/// What was seen, from pairs of question and answer.
fn seen(looks: &[(&str, &str)]) -> Seen {
    let looks = looks
        .iter()
        .map(|(question, answer)| Look::of(question, answer));
    Seen {
        looks: looks.collect(),
        ..Seen::default()
    }
}

fn judged(looks: &[(&str, &str)]) -> Judged<'static> {
    judged_when(looks, None)
}

fn judged_when(looks: &[(&str, &str)], now: Option<Now>) -> Judged<'static> {
    let seen = Seen { now, ..seen(looks) };
    let judged = Causes::built_in().judge(&seen);
    assert_eq!(
        judged.reckoned.looks.len(),
        looks.len(),
        "every look counts: {looks:?}"
    );
    judged
}

fn order<'j>(judged: &'j Judged<'_>) -> Vec<&'j str> {
    judged
        .candidates
        .iter()
        .map(|candidate| candidate.cause.id.as_str())
        .collect()
}

fn offered<'j>(judged: &'j Judged<'_>) -> Vec<&'j str> {
    judged
        .offers
        .best
        .iter()
        .map(|offer| offer.question.id.as_str())
        .collect()
}

fn said(judged: &Judged<'_>) -> String {
    let lines = super::say::block(judged);
    let lines = lines
        .iter()
        .map(|line| format!("{}{}", line.lead, line.text));
    lines.collect::<Vec<_>>().join("\n")
}
