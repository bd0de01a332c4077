//! How much of what was asked was seen, and what the rest could hide.

use schemars::JsonSchema;
use serde::Serialize;

use super::chance::UNSEEN;
use super::words::Severity;

/// What an item counts in the weighted share, by its worst severity (judgement).
pub const WEIGHTS: [u32; 4] = [8, 4, 2, 1];

/// An item that was asked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AskedItem {
    /// Worst severity over its effects.
    pub worst: Severity,
    /// The walk has a grade for it.
    pub seen: bool,
    /// It was graded at some other time.
    pub known: bool,
    /// Chance that it has failed or fails over the exposure, from what is known of it.
    pub chance: f64,
}

/// How much was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Coverage {
    /// Different items that the walk asked.
    pub asked: usize,
    /// How many of the items asked have a grade; a look not made is none.
    pub seen: usize,
    /// Seen over asked, 0 to 1; none where nothing was asked.
    pub plain: Option<f64>,
    /// The same with each item counted by [`WEIGHTS`].
    pub weighted: Option<f64>,
    /// What was not seen, worst severity first; severities with nothing unseen are left out.
    pub hidden: Vec<Hidden>,
}

/// Items of one severity that were not seen. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
#[schemars(rename = "HiddenRow")]
pub struct Hidden {
    /// The worst severity over the effects of each, the same for all of them.
    pub severity: Severity,
    /// How many items the walk asked and did not grade.
    pub items: usize,
    /// How many of them nobody has graded in any walk.
    pub never_seen: usize,
    // From the shares `UNSEEN` over the rungs (judgement). No knowledge of this boat is in it.
    /// How many of those are worn or worse, if shares over the rungs are the usual ones.
    pub expected_worn: f64,
    /// How many of all of them fail over the exposure, in the mean.
    pub expected_failures: f64,
    /// Chance that at least one does, taking them as independent.
    pub any_fails: f64,
}

/// The weight of an item.
pub fn weight(worst: Severity) -> u32 {
    WEIGHTS[usize::from(worst.digit()) - 1]
}

/// The coverage of a walk from the items it asked.
pub fn coverage(items: &[AskedItem]) -> Coverage {
    let seen = items.iter().filter(|i| i.seen).count();
    let weight_of = |only_seen: bool| -> u32 {
        let counted = items.iter().filter(|i| i.seen || !only_seen);
        counted.map(|i| weight(i.worst)).sum()
    };
    let share = |part: f64, whole: f64| (whole > 0.0).then(|| part / whole);
    let hidden = Severity::ALL.iter().filter_map(|severity| {
        let unseen = items.iter().filter(|i| !i.seen && i.worst == *severity);
        Hidden::of(*severity, &unseen.copied().collect::<Vec<_>>())
    });
    Coverage {
        asked: items.len(),
        seen,
        plain: share(seen as f64, items.len() as f64),
        weighted: share(f64::from(weight_of(true)), f64::from(weight_of(false))),
        hidden: hidden.collect(),
    }
}

impl Hidden {
    fn of(severity: Severity, unseen: &[AskedItem]) -> Option<Hidden> {
        let never_seen = unseen.iter().filter(|i| !i.known).count();
        let worn: f64 = UNSEEN[2..].iter().sum();
        // Of small chances 1 − ∏(1 − c) would keep few digits.
        let none_fails: f64 = unseen.iter().map(|i| (-i.chance).ln_1p()).sum();
        (!unseen.is_empty()).then_some(Hidden {
            severity,
            items: unseen.len(),
            never_seen,
            expected_worn: never_seen as f64 * worn,
            expected_failures: unseen.iter().map(|i| i.chance).sum(),
            any_fails: -none_fails.exp_m1(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(digit: usize, seen: bool, chance: f64) -> AskedItem {
        AskedItem {
            worst: Severity::ALL[digit - 1],
            seen,
            known: false,
            chance,
        }
    }

    #[test]
    fn severe_items_weigh_more() {
        // Seen: 8 + 1 of 8 + 4 + 2 + 1.
        let items = [
            asked(1, true, 0.0),
            asked(2, false, 0.1),
            asked(3, false, 0.2),
            asked(4, true, 0.0),
        ];
        let found = coverage(&items);
        assert_eq!((found.asked, found.seen), (4, 2));
        assert_eq!(found.plain, Some(0.5));
        assert_eq!(found.weighted, Some(9.0 / 15.0));
        let severities: Vec<u8> = found.hidden.iter().map(|h| h.severity.digit()).collect();
        assert_eq!(severities, [2, 3]);
    }

    #[test]
    fn nothing_asked_has_no_share() {
        let none = coverage(&[]);
        assert_eq!(
            (none.plain, none.weighted, none.hidden.len()),
            (None, None, 0)
        );
    }

    #[test]
    fn what_is_hidden_adds_up() {
        let mut items = vec![asked(1, false, 0.5), asked(1, false, 0.5)];
        items[1].known = true;
        let hidden = coverage(&items).hidden[0];
        assert_eq!((hidden.items, hidden.never_seen), (2, 1));
        assert!((hidden.expected_worn - 0.08).abs() < 1e-15);
        assert_eq!(hidden.expected_failures, 1.0);
        assert!((hidden.any_fails - 0.75).abs() < 1e-15);
        let certain = coverage(&[asked(2, false, 1.0)]).hidden[0];
        assert_eq!(certain.any_fails, 1.0);
    }
}
