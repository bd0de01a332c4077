//! How each item stands, as a mark on the drawing says it: the rung that counts by its digit, its number in
//! the list, a stop, a look owed, and what nobody has seen.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use super::places::Arrangement;
use crate::boat::Point;
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
    pub fn weight(&self) -> impl Ord + use<> {
        (
            self.stop,
            self.number.map(Reverse),
            self.owed,
            self.rung.is_none(),
            self.rung,
        )
    }
}

/// How a station stands, as one mark: that of its items which matters most.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AtStation {
    /// Where that item is; where nobody told that, another of the station.
    pub point: Point,
    /// How it stands.
    pub standing: Standing,
}

impl AtStation {
    /// Every station of every machine, what matters most first.
    pub fn all(
        arrangement: &Arrangement,
        standings: &[Standing],
        condition: &Condition,
    ) -> Vec<AtStation> {
        let mut worst: BTreeMap<(&str, Option<&str>), (AtStation, bool)> = BTreeMap::new();
        for (place, standing) in arrangement.places.iter().zip(standings) {
            let item = condition.item(&place.subject);
            let station = item.map_or("", |item| item.station.as_str());
            let here = AtStation {
                point: place.point,
                standing: *standing,
            };
            let machine = place.subject.machine.as_deref();
            let (kept, is_asked) = worst
                .entry((station, machine))
                .or_insert((here, place.is_asked));
            let is_worse = kept.standing.weight() < standing.weight();
            if is_worse {
                kept.standing = *standing;
            }
            // What nobody has told the place of stands where its station is known to be.
            if !place.is_asked && (is_worse || *is_asked) {
                (kept.point, *is_asked) = (place.point, false);
            }
        }
        let mut all: Vec<AtStation> = worst.into_values().map(|(at, _)| at).collect();
        all.sort_by_key(|at| Reverse(at.standing.weight()));
        all
    }
}
