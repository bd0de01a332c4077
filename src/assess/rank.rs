//! The order of the defect list.

use std::cmp::Ordering;

use chrono::{DateTime, FixedOffset};

use super::appraise::Rating;

/// What decides an item's place in the list. The smallest key comes first; the order is total and
/// the same on every run. Ordinal scores are compared one after another, never multiplied: products
/// of ranks lie on no ratio scale and tie unlike things.
#[derive(Clone, Copy, Debug)]
pub struct RankKey<'a> {
    /// A stop rule is in force.
    pub stop: bool,
    /// The rating that counts.
    pub rating: Rating,
    /// Since when the defect is open; `None` where there is none yet, which comes last.
    pub opened: Option<DateTime<FixedOffset>>,
    /// Id of the item.
    pub item: &'a str,
    /// Id of the machine; empty where the boat as a whole has the item.
    pub machine: &'a str,
}

impl Ord for RankKey<'_> {
    /// Stop first, then risk, severity and chance of the deciding effect, longest open, item id,
    /// machine id.
    fn cmp(&self, other: &Self) -> Ordering {
        let age = |key: &Self| (key.opened.is_none(), key.opened);
        (other.stop.cmp(&self.stop))
            .then_with(|| self.rating.worst_first(&other.rating))
            .then_with(|| age(self).cmp(&age(other)))
            .then_with(|| self.item.cmp(other.item))
            .then_with(|| self.machine.cmp(other.machine))
    }
}

impl PartialOrd for RankKey<'_> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for RankKey<'_> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for RankKey<'_> {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assess::words::{Level, Risk, Severity};

    fn key(severity: Severity, level: Level) -> RankKey<'static> {
        RankKey {
            stop: false,
            rating: Rating {
                deciding: 0,
                severity,
                level,
                risk: Risk::of(severity, level),
                chance: 0.05,
            },
            opened: DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").ok(),
            item: "belt",
            machine: "main",
        }
    }

    #[test]
    fn each_part_decides_where_those_before_it_tie() {
        let base = key(Severity::Critical, Level::B);
        let mut unlikelier = base;
        unlikelier.rating.chance = 0.04;
        let mut younger = base;
        younger.opened = DateTime::parse_from_rfc3339("2026-05-03T06:40:00+00:00").ok();
        let fresh = RankKey {
            opened: None,
            ..base
        };
        let later_item = RankKey {
            item: "clip",
            ..base
        };
        let later_machine = RankKey {
            machine: "port",
            ..base
        };
        let stopped = RankKey {
            stop: true,
            ..key(Severity::Negligible, Level::E)
        };
        let worse_severity = key(Severity::Catastrophic, Level::C);
        let order = [
            stopped,
            worse_severity,
            base,
            later_machine,
            later_item,
            younger,
            fresh,
            unlikelier,
            key(Severity::Catastrophic, Level::D),
        ];
        assert!(order.windows(2).all(|pair| pair[0] < pair[1]));
    }
}
