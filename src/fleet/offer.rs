//! What several boats taught as a file, and what another boat may begin from by it.
//!
//! The file holds what was seen, boat by boat, and no figure drawn from it: what is offered is reckoned
//! where it is taken in, from the other boats alone, so that no look counts twice. It names boats by the
//! ids of their logbooks.

use std::collections::{BTreeMap, HashSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::rates::Rates;
use crate::assess::dwell::Dwells;
use crate::assess::learning::PRIOR_SHAPE;
use crate::assess::pooled::{Exposed, Fit};
use crate::boat::Role;
use crate::checklist::complaint::{Complaint, Shape, checked, other_type, shape, type_of};
use crate::checklist::faults::Faults;
use crate::checklist::{Grade, Kind};
use crate::defects::PooledRate;
use crate::text::words;

/// Fewer boats say too little of how much boats differ (judgement).
pub const LEAST_BOATS: usize = 3;
/// Fewer moves say too little of the rate itself (judgement).
pub const LEAST_MOVES: u32 = 5;
/// More were mistyped: a thousand years of running.
const MOST_HOURS: f64 = 1e7;
/// More moves were mistyped.
const MOST_MOVES: u32 = 100_000;
/// More boats than anybody keeps.
const MOST_BOATS: usize = 1_000;

/// What several boats taught, to begin from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RatesFile {
    /// Always `fleet-rates`.
    #[serde(rename = "type")]
    pub tag: RatesTag,
    /// Each family, kind and rung.
    pub rows: Vec<Watched>,
}

words! {
    /// The word `fleet-rates`, so that a file says what it is.
    RatesTag, "file of rates" {
        /// The only value.
        FleetRates = "fleet-rates",
    }
}

/// What was seen of one kind on one rung, on boats of one family.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Watched {
    /// What the first machine of these boats is for.
    pub family: Role,
    /// The kind of thing.
    pub kind: Kind,
    /// The rung things move away from, 0 (sound) to 3 (failing).
    pub rung: usize,
    /// Wear hours that a day of lying still counted as.
    pub standing: f64,
    /// Each boat on which something of the kind was on that rung.
    pub boats: Vec<WatchedOn>,
}

/// What was seen on one boat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WatchedOn {
    /// Id of her logbook.
    pub boat: String,
    /// Moves past the rung.
    pub moves: u32,
    /// Wear hours on it, above zero.
    pub hours: f64,
}

static BOAT: Shape = shape::<WatchedOn>(&[]);
static ROW: Shape = shape::<Watched>(&[("boats", &BOAT)]);
static FILE: Shape = shape::<RatesFile>(&[("rows", &ROW)]);

/// What another boat may begin from by what these taught.
///
/// # Errors
/// Why nothing is offered, one sentence.
pub fn offered(
    (family, kind, rung): (Role, Kind, usize),
    seen: &[Exposed],
) -> Result<PooledRate, String> {
    let moves: u32 = seen
        .iter()
        .fold(0, |sum, boat| sum.saturating_add(boat.moves));
    let hours: f64 = seen.iter().map(|boat| boat.time).sum();
    let judged = "the judgement stays";
    if seen.len() < LEAST_BOATS {
        let n = seen.len();
        return Err(format!(
            "watched on {n}, fewer than {LEAST_BOATS} boats: {judged}"
        ));
    }
    let fit = Fit::of(seen).filter(|_| moves >= LEAST_MOVES);
    let Some(fit) = fit else {
        return Err(match moves {
            0 => format!("no move seen: {judged}"),
            n => format!("{n} seen, fewer than {LEAST_MOVES} moves: {judged}"),
        });
    };
    // It weighs no more than the moves it rests on, and no less than the judgement does: what other
    // boats taught is not to be outweighed by fewer looks than a guess is.
    let most = f64::from(moves);
    let shape = fit
        .shape
        .map_or(most, |shape| shape.clamp(PRIOR_SHAPE, most));
    Ok(PooledRate {
        kind,
        rung,
        family,
        boats: u32::try_from(seen.len()).unwrap_or(u32::MAX),
        moves,
        hours,
        shape,
        dwell: 1.0 / fit.mean,
    })
}

impl RatesFile {
    /// What boats taught, to be written.
    pub fn of(rates: &Rates) -> RatesFile {
        let rows = rates.rows.iter().map(|row| Watched {
            family: row.family,
            kind: row.kind,
            rung: row.rung,
            standing: row.standing,
            boats: {
                let boats = row.boats.iter();
                let boats = boats.map(|boat| WatchedOn {
                    boat: boat.boat_id.clone(),
                    moves: boat.moves,
                    hours: boat.hours,
                });
                boats.collect()
            },
        });
        RatesFile {
            tag: RatesTag::FleetRates,
            rows: rows.collect(),
        }
    }

    /// Reads a file.
    ///
    /// # Errors
    /// Everything that is wrong, by line, column and field.
    pub fn read(name: &str, text: &str) -> Result<RatesFile, Vec<Complaint>> {
        match type_of(name, text)?.as_deref() {
            Some("fleet-rates") => checked(name, text, &FILE, rules),
            other => Err(other_type(name, text, other, &["fleet-rates"])),
        }
    }

    /// What a boat of a family may begin from by the looks at other boats, and of each kind and rung of
    /// her family that is in the file and not offered why.
    pub fn offer(&self, boat: &str, family: Role) -> (Vec<PooledRate>, Vec<NotOffered>) {
        let (mut offers, mut not) = (Vec::new(), Vec::new());
        for row in self.rows.iter().filter(|row| row.family == family) {
            let others = row.boats.iter().filter(|other| other.boat != boat);
            let seen: Vec<Exposed> = others
                .map(|other| Exposed {
                    moves: other.moves,
                    time: other.hours,
                })
                .collect();
            match offered((family, row.kind, row.rung), &seen) {
                Ok(offer) => offers.push(offer),
                Err(why) => not.push(NotOffered {
                    kind: row.kind,
                    rung: row.rung,
                    why,
                }),
            }
        }
        (offers, not)
    }
}

/// A kind and rung of which nothing is offered. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NotOffered {
    /// The kind of thing.
    pub kind: Kind,
    /// The rung, 0 to 3.
    pub rung: usize,
    /// Why, one sentence.
    pub why: String,
}

impl NotOffered {
    /// Of what, and why, in one sentence.
    pub fn sentence(&self) -> String {
        let word = Grade::ALL.get(self.rung).map_or("", |grade| grade.as_str());
        format!("{} {word}: {}", self.kind, self.why)
    }
}

fn rules(file: &RatesFile, faults: &mut Faults) {
    faults.refuse(file.rows.is_empty(), "rows", "nothing was watched");
    let judgement = Dwells::judgement();
    let mut rows: BTreeMap<(Role, Kind, usize), usize> = BTreeMap::new();
    for (n, row) in file.rows.iter().enumerate() {
        let at = |field: &str| format!("rows[{n}].{field}");
        let key = (row.family, row.kind, row.rung);
        if let Some(first) = rows.insert(key, n) {
            faults.add(&at("rung"), || {
                format!("the same family, kind and rung stand in rows[{first}] already")
            });
        }
        match judgement.of(row.kind) {
            None => faults.add(&at("kind"), || {
                format!("a {} comes and goes, and stays on no rung", row.kind)
            }),
            Some(dwell) if (dwell.standing() - row.standing).abs() > 1e-9 => {
                faults.add(&at("standing"), || {
                    format!(
                        "a day of lying still counts as {} wear hours here, so hours counted otherwise cannot be taken in",
                        dwell.standing()
                    )
                });
            }
            Some(_) => {}
        }
        faults.refuse(row.rung > 3, &at("rung"), "expected 0 to 3");
        let many = row.boats.len() > MOST_BOATS;
        faults.refuse(many, &at("boats"), "more boats than 1000");
        let mut ids = HashSet::new();
        for (b, boat) in row.boats.iter().enumerate() {
            let at = |field: &str| format!("rows[{n}].boats[{b}].{field}");
            let twice = !ids.insert(boat.boat.as_str());
            faults.refuse(twice, &at("boat"), "this boat stands here already");
            let blank = boat.boat.trim().is_empty() || boat.boat.len() > 100;
            faults.refuse(blank, &at("boat"), "expected the id of a logbook");
            let hours = boat.hours > 0.0 && boat.hours <= MOST_HOURS;
            faults.refuse(!hours, &at("hours"), "expected above 0 to 10000000");
            let moves = boat.moves > MOST_MOVES;
            faults.refuse(moves, &at("moves"), "expected 0 to 100000");
        }
    }
}
