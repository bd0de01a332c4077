//! The whole arithmetic behind what is said, as it is read: every figure is judgement.

use super::judge::Judged;
use super::model::Held;
use super::reckon::Arithmetic;
use super::say::{Line, called, line};
use crate::text::{capital, figure};

/// So much of what can hold is shown: what is likeliest.
const SHOWN: usize = 8;
/// Said above it.
const LEAD: &str = "The likeliest of everything that can hold: how often beforehand, times how often each look comes out so if it holds, set against all the rest. All judgement.";

/// The likeliest of what can hold, each with its arithmetic.
pub fn likeliest(judged: &Judged<'_>) -> Vec<Arithmetic> {
    let mut all = judged.reckoned.arithmetic();
    all.truncate(SHOWN);
    all
}

/// The arithmetic in words and figures: what it is first, then a line for each thing that can hold.
pub fn why(judged: &Judged<'_>) -> Vec<Line> {
    let rows = likeliest(judged);
    let rows = rows.iter().map(|row| line("- ", of(judged, row)));
    [line("", LEAD)].into_iter().chain(rows).collect()
}

fn of(judged: &Judged<'_>, row: &Arithmetic) -> String {
    let id = |n: usize| judged.reckoned.causes.causes()[n].id.as_str();
    let held = match row.held {
        Held::Unlisted => "not on the list".to_owned(),
        Held::Nothing => "each stands alone".to_owned(),
        Held::One(one) => id(one).to_owned(),
        Held::Two(one, two) => format!("{} and {}", id(one), id(two)),
    };
    let looks = judged.reckoned.looks.iter().zip(&row.factors);
    let factors: String = looks
        .map(|(look, chance)| format!(" x {} {}", figure(*chance), called(look)))
        .collect();
    let (prior, of_all) = (figure(row.prior), figure(row.chance));
    format!("{}: {prior}{factors}; {of_all} of all", capital(&held))
}
