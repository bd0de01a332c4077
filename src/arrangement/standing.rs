//! How each item stands, as a mark on the drawing says it: the rung that counts by its digit, its number in
//! the list, a stop, a look owed, and what nobody has seen.

use std::collections::{BTreeMap, BTreeSet};

use super::places::Arrangement;
use crate::checklist::Grade;
use crate::defects::condition::Condition;
use crate::defects::list::{DefectList, Row};
use crate::defects::owed::subject_of;
use crate::defects::{History, Subject};

/// How an item stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Standing {
    /// The rung that counts; none where nobody has seen it.
    pub rung: Option<Grade>,
    /// Its number in the list of defects.
    pub number: Option<usize>,
    /// It forbids running.
    pub stop: bool,
    /// A look at it is owed now, or something on record of it is not counted.
    pub owed: bool,
    /// Repaired, and not looked at since.
    pub mended: bool,
}

impl Standing {
    /// How all places of an arrangement stand, in their order.
    pub fn all(
        arrangement: &Arrangement,
        condition: &Condition,
        history: &History,
        list: &DefectList,
    ) -> Vec<Standing> {
        let rows: BTreeMap<Subject, &Row> =
            list.rows.iter().map(|row| (row.subject(), row)).collect();
        let owed = condition.owed(history).filter(|owed| owed.due);
        let owed: BTreeSet<Subject> = owed.map(|owed| subject_of(owed.recheck)).collect();
        let unseen: BTreeSet<(&str, Option<&str>)> = list
            .unseen
            .iter()
            .map(|u| (u.item.as_str(), u.machine.as_deref()))
            .collect();
        let standing = |subject: &Subject| {
            let row = rows.get(subject);
            let life = condition.lives.get(subject);
            let rung = row
                .map(|row| row.grade)
                .or(life.and_then(|life| life.status.counted()));
            let is_unseen = unseen.contains(&(subject.item.as_str(), subject.machine.as_deref()));
            Standing {
                rung: rung.filter(|_| !is_unseen),
                number: row.map(|row| row.rank),
                stop: row.is_some_and(|row| row.stop),
                owed: owed.contains(subject) || condition.is_in_doubt(&subject.item),
                mended: row.is_some_and(|row| row.unconfirmed),
            }
        };
        arrangement
            .places
            .iter()
            .map(|place| standing(&place.subject))
            .collect()
    }

    /// Sound as far as anybody knows, and nothing else is to be said of it.
    pub fn is_plain(&self) -> bool {
        self.rung == Some(Grade::Sound) && self.number.is_none() && !self.stop && !self.owed
    }

    /// What is shown first where there is little room: stops, what is worst, what nobody has seen.
    pub fn weight(&self) -> (bool, Option<std::cmp::Reverse<usize>>, bool, Option<Grade>) {
        (
            self.stop,
            self.number.map(std::cmp::Reverse),
            self.owed,
            self.rung,
        )
    }
}
