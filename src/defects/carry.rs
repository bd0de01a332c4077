//! What to carry: which few spares make being stopped for want of one least likely on a passage, within litres,
//! kilograms and money; what is aboard and counts, what is aboard and does not yet, what is customary and
//! missing.

use schemars::JsonSchema;
use serde::Serialize;

use super::carry_demand::{Want, Wants};
use super::condition::Condition;
use super::history::History;
use super::leaving_words::{NOT_HERE, range, share_in_words};
use super::list::Scenario;
use super::locker::LockerRow;
use crate::passage::poisson::protection;
use crate::passage::spares::{Locker, Spare, best_few, marginal, trouble};
use crate::passage::trouble::quiet;
use crate::passage::under_way::{DRIFT, minutes_at_sea, room_needed, split};
use crate::passage::{Costs, LIMITS};

/// Litres and kilograms are weighed in tenths, money in hundredths.
const FINE: [f64; 3] = [10.0, 10.0, 100.0];
/// More of one spare that gains less than this share of all there is to gain stays ashore (judgement).
const WORTH: f64 = 0.01;
/// How fast things wear beside what is judged: as judged, twice as fast, half as fast.
const PACES: [f64; 3] = [1.0, 0.5, 2.0];

/// What is asked.
#[derive(Clone, Debug)]
pub struct CarryAsked {
    /// What lies ahead.
    pub scenario: Scenario,
    /// The machine meant; none for all.
    pub machine: Option<String>,
    /// Litres, kilograms and money there are for it; none where nobody said.
    pub limits: [Option<f64>; 3],
    /// Miles to leeward; none where nobody said.
    pub room: Option<f64>,
    /// By night or in a seaway.
    pub hard: bool,
}

/// A spare that is weighed. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CarryRow {
    /// Its id.
    pub spare: String,
    /// The machine it is for; null where it fits any.
    pub machine: Option<String>,
    /// What it is.
    pub title: String,
    /// So many count already.
    pub counts: f64,
    /// So many are aboard by the record, whether they count or not.
    pub aboard: f64,
    /// So many more are worth taking.
    pub take: usize,
    /// Items whose failing calls for it.
    pub items: Vec<String>,
    /// What can hurt someone there.
    pub cautions: Vec<String>,
    /// How many the passage is expected to call for (judgement where the boat has taught nothing).
    pub demand: f64,
    /// Chance that no more are called for than there are then, 0 to 1.
    pub protection: f64,
    /// Chance of a stop that lasts, with those taken, 0 to 1: none is to hand, or it takes too long.
    pub long_stop: f64,
    /// Chance of a stop that is mended under way, 0 to 1; it still happens.
    pub short_stop: f64,
    /// Minutes to fit one at sea, cooling counted; null where nobody has said.
    pub minutes: Option<u32>,
    /// Miles to leeward that takes, at the least and at the most drift (judgement); null with the minutes.
    pub room: Option<[f64; 2]>,
    /// There is not the room to fit it that was named, or nobody knows.
    pub too_long: bool,
    /// What has to be done before it counts, a few words each.
    pub only_once: Vec<String>,
    /// What one takes and costs: litres, kilograms, money; null where nobody has said.
    pub takes: [Option<f64>; 3],
    /// The choice changes where things wear twice or half as fast as judged: either will do.
    pub either: bool,
}

/// How much the choice takes away. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct CarryGain {
    /// The share, 0 to 1.
    pub share: f64,
    /// The least where things wear twice or half as fast as judged.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// The choice is the best there is; else only the best found.
    pub proved: bool,
    /// In a sentence.
    pub words: String,
}

/// All of it.
#[derive(Clone, Debug)]
pub struct Carry {
    /// Worth taking, what gains most first.
    pub take: Vec<CarryRow>,
    /// Weighed, and not taken.
    pub rest: Vec<CarryRow>,
    /// The locker as it stands, with what is customary in those waters.
    pub locker: Vec<LockerRow>,
    /// How much it takes away; none where nothing is taken.
    pub takes_away: Option<CarryGain>,
    /// The best next one again and again, by ids, each the best for the room so far; none where more than
    /// one thing limits it or nothing proves it.
    pub order: Option<Vec<String>>,
    /// What this answer does not know, a sentence each.
    pub not_here: Vec<String>,
}

impl Condition {
    /// What to carry.
    pub fn carry(&self, history: &History, asked: &CarryAsked) -> Carry {
        let locker = self.locker(history, asked.scenario.waters);
        let wants = self.wants(&locker, asked, PACES);
        let worlds = [0, 1, 2].map(|world| {
            let spare = |want: &Want| weighed(want, world, asked);
            wants.all.iter().map(spare).collect::<Vec<Spare>>()
        });
        let limits = limits(asked);
        let chosen = worlds.each_ref().map(|spares| {
            let none = quiet(trouble(spares, &vec![0; spares.len()]));
            best_few(spares, &limits, -none * WORTH)
        });
        let mut rows: Vec<(f64, CarryRow)> = Vec::new();
        for (at, want) in wants.all.iter().enumerate() {
            let counts = chosen.each_ref().map(|locker| locker.counts[at]);
            let gain = worlds[0][at].gain(counts[0]);
            rows.push((gain, self.carry_row(want, counts, asked)));
        }
        rows.sort_by(|(a, one), (b, other)| {
            b.total_cmp(a).then_with(|| one.spare.cmp(&other.spare))
        });
        let rows = rows.into_iter().map(|(_, row)| row);
        let (take, rest) = rows.partition(|row: &CarryRow| row.take > 0);
        Carry {
            takes_away: takes_away(&worlds, &chosen),
            order: order(&wants.all, &worlds[0], &limits),
            not_here: not_here(&wants, asked),
            take,
            rest,
            locker,
        }
    }

    fn carry_row(&self, want: &Want, counts: [usize; 3], asked: &CarryAsked) -> CarryRow {
        let [take, others @ ..] = counts;
        let spare = weighed(want, 0, asked);
        let minutes = want.minutes_at_sea(asked.hard);
        let there = spare.aboard.saturating_add(take);
        let protection = protection(there, want.demand[0]);
        // What there is not the room to fit makes no stop shorter.
        let mended = if want.is_too_long(asked) {
            0.0
        } else {
            protection
        };
        let stops = split(want.stops(), mended, false);
        let cautions = want.subjects.iter().filter_map(|s| self.item(s));
        let mut said: Vec<String> = Vec::new();
        for caution in cautions.flat_map(|item| &item.cautions) {
            if !said.contains(caution) {
                said.push(caution.clone());
            }
        }
        CarryRow {
            spare: want.spare.clone(),
            machine: want.machine.clone(),
            title: want.title.clone(),
            counts: want.counts,
            aboard: want.aboard,
            take,
            items: want.items(),
            cautions: said,
            demand: want.demand[0],
            protection,
            long_stop: stops.long,
            short_stop: stops.short,
            minutes,
            room: minutes.map(|m| DRIFT.map(|drift| room_needed(m, drift))),
            too_long: want.is_too_long(asked),
            only_once: want.only_once.clone(),
            takes: want.takes,
            either: others.iter().any(|other| (*other == 0) != (take == 0)),
        }
    }
}

impl Want {
    fn minutes_at_sea(&self, hard: bool) -> Option<u32> {
        self.minutes
            .map(|fitting| minutes_at_sea(fitting, self.cooling, hard))
    }

    /// There is not the room to fit it, at the most drift; or nobody knows how long it takes.
    fn is_too_long(&self, asked: &CarryAsked) -> bool {
        asked.room.is_some_and(|room| {
            let minutes = self.minutes_at_sea(asked.hard);
            minutes.is_none_or(|minutes| room_needed(minutes, DRIFT[1]) > room)
        })
    }
}

fn weighed(want: &Want, world: usize, asked: &CarryAsked) -> Spare {
    let mut costs: Costs = [0; LIMITS];
    for (cost, (takes, fine)) in costs.iter_mut().zip(want.takes.into_iter().zip(FINE)) {
        // Rounded up: what does not fit is never taken.
        *cost = takes.map_or(0, |takes| {
            (takes * fine - 1e-9).ceil().clamp(0.0, 1e12) as u64
        });
    }
    let late = want.is_too_long(asked);
    Spare {
        demand: want.demand[world],
        beta: if late { 0.0 } else { want.beta[world] },
        aboard: want.counts.floor().clamp(0.0, 999.0) as usize,
        costs,
    }
}

fn limits(asked: &CarryAsked) -> [Option<u64>; LIMITS] {
    let mut limits = [None; LIMITS];
    for (limit, (given, fine)) in limits.iter_mut().zip(asked.limits.into_iter().zip(FINE)) {
        *limit = given.map(|given| (given * fine + 1e-9).floor().clamp(0.0, 1e15) as u64);
    }
    limits
}

fn takes_away(worlds: &[Vec<Spare>; 3], chosen: &[Locker; 3]) -> Option<CarryGain> {
    let taken = &chosen[0];
    if taken.counts.iter().all(|count| *count == 0) {
        return None;
    }
    let of = |spares: &[Spare]| {
        let before = trouble(spares, &vec![0; spares.len()]);
        let after = trouble(spares, &taken.counts);
        match before > 0.0 {
            true => ((before - after) / before).clamp(0.0, 1.0),
            false => 0.0,
        }
    };
    let shares = worlds.each_ref().map(|spares| of(spares));
    let low = shares.into_iter().fold(1.0, f64::min);
    let high = shares.into_iter().fold(0.0, f64::max);
    let [share, least, most] = [shares[0], low, high].map(share_in_words);
    let share = match share.starts_with('n') {
        true => share.to_owned(),
        false => format!("about {share}"),
    };
    let range = range(least, most);
    Some(CarryGain {
        share: shares[0],
        low,
        high,
        proved: taken.proved,
        words: format!(
            "Of the long stops for want of a spare that this list can see, these take away {share}, {range}."
        ),
    })
}

/// The best next one again and again, where one thing alone limits it and that is proved to be best.
fn order(wants: &[Want], spares: &[Spare], limits: &[Option<u64>; LIMITS]) -> Option<Vec<String>> {
    let mut given = (0..LIMITS).filter_map(|at| Some((at, limits[at]?)));
    let (at, limit) = given.next()?;
    if given.next().is_some() {
        return None;
    }
    let path = marginal(spares, at, limit)?;
    let steps = path.windows(2);
    let next = |two: &[Vec<usize>]| (0..spares.len()).find(|i| two[1][*i] > two[0][*i]);
    Some(
        steps
            .filter_map(|two| Some(wants[next(two)?].spare.clone()))
            .collect(),
    )
}

fn not_here(wants: &Wants, asked: &CarryAsked) -> Vec<String> {
    let mut told = vec![NOT_HERE.to_owned()];
    if wants.unseen > 0 {
        told.push(format!(
            "{} item(s) that a spare would serve nobody has looked at yet: they are not weighed",
            wants.unseen
        ));
    }
    if wants.failed > 0 {
        told.push(format!(
            "{} item(s) that stand failed are weighed as mended before she leaves: handlamp leaving",
            wants.failed
        ));
    }
    let names = ["litres", "kilograms", "money"];
    for (at, name) in names.into_iter().enumerate() {
        let open = wants.all.iter().filter(|w| w.takes[at].is_none()).count();
        if asked.limits[at].is_some() && open > 0 {
            told.push(format!(
                "of {open} spare(s) nobody has said what one takes of the {name}: they count as nothing there"
            ));
        }
    }
    told.push(
        "what would take away less than a hundredth of it is left ashore (judgement)".to_owned(),
    );
    told.push("no spare makes fire, exhaust gas, flooding, injury or loss of control less: those happen at once; plugs and a shut seacock are safeguards, and carried whatever this says".to_owned());
    told.push("oil and coolant are not weighed: carry what is customary, and what she uses over those hours (handlamp due, handlamp trend)".to_owned());
    told.push("where two spares serve one item, each is called for half the time; litres, kilograms, minutes, cooling and drift are judgement where you have not told your own".to_owned());
    told
}
