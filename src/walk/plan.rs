//! Which rows a walk asks: those of the checklist that are due, and items that join with a reason.

use std::collections::HashSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::look::Outcome;
use super::round::{LeftOut, Walk};
use super::touched::{Role, Touched};
use crate::boat;
use crate::checklist::{Checklist, Phase, PhaseState, SeasonStep, Step};
use crate::text::words;

words! {
    /// Why an item joins a walk.
    Cause, "cause of joining" {
        /// Something of it is left open.
        LeftOpen = "left-open",
        /// A look at it is owed.
        Owed = "owed",
        /// It was put right and nobody has looked.
        Mended = "mended",
        /// A defect of it is open.
        Open = "open",
        /// It is past its life.
        PastLife = "past-life",
        /// It has not been looked at for long.
        LookDue = "look-due",
    }
}

/// An item that joins a walk though its row is not due or not in the checklist.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(from = "WrittenJoin")]
pub struct Join {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// What is said beside it.
    pub why: String,
    /// Why, in one word; missing where an early record does not tell.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub cause: Option<Cause>,
    /// Id of the recheck that is owed; missing in early records, which tell it by its words alone.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub recheck: Option<String>,
}

impl Join {
    /// True where it joined for this recheck at its item, of that id and for that reason.
    pub fn is_for(&self, id: &str, reason: &str) -> bool {
        match &self.recheck {
            Some(recheck) => recheck == id,
            None => self.why.strip_prefix(OWED) == Some(reason),
        }
    }

    /// For a look that is owed.
    pub fn owed(item: &str, recheck: &str, reason: &str) -> Join {
        Join {
            item: item.to_owned(),
            why: format!("{OWED}{reason}"),
            cause: Some(Cause::Owed),
            recheck: Some(recheck.to_owned()),
        }
    }
}

/// What is said before the reason for which a look is owed.
const OWED: &str = "owed: ";

/// As records have it. Those of the first versions have the words alone, which tell the cause.
#[derive(Deserialize, JsonSchema)]
struct WrittenJoin {
    item: String,
    why: String,
    #[serde(default)]
    cause: Option<Cause>,
    #[serde(default)]
    recheck: Option<String>,
}

impl From<WrittenJoin> for Join {
    fn from(written: WrittenJoin) -> Join {
        let begins = [
            (OWED, Cause::Owed),
            ("repaired, ", Cause::Mended),
            ("open defect, ", Cause::Open),
            ("past its life ", Cause::PastLife),
            ("look again, ", Cause::LookDue),
        ];
        let mut by_words = begins
            .iter()
            .filter(|(words, _)| written.why.starts_with(words));
        Join {
            cause: written
                .cause
                .or_else(|| by_words.next().map(|(_, cause)| *cause)),
            item: written.item,
            why: written.why,
            recheck: written.recheck,
        }
    }
}

/// The rows of one walk, in walking order.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// In the order of the checklist.
    pub phases: Vec<PlanPhase>,
}

/// A part of the walk with one engine state.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanPhase {
    /// Id in the checklist.
    pub id: String,
    /// Its title in the checklist.
    pub title: String,
    /// State of the engine while this phase is walked; bands and cautions follow it.
    pub state: PhaseState,
    /// What to do first.
    pub before: Option<String>,
    /// How long the state lasts at least, and what is meant within that time of it.
    pub timing: Timing,
    /// Steps of a trial that are run in it, in their order.
    pub steps: Vec<Step>,
    /// Rows due today, those that joined among them, in walking order.
    pub rows: Vec<PlanRow>,
}

/// The times of a phase, as its checklist gives them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Timing {
    /// Least time, minutes.
    pub minutes: Option<f64>,
    /// Time in which the looks are meant to be made, minutes.
    pub within: Option<f64>,
    /// Phase from whose beginning the time counts, where it is not this one's own.
    pub since: Option<String>,
}

/// One question, asked over one item or several.
#[derive(Clone, Debug, PartialEq)]
pub struct PlanRow {
    /// As shown; for a joined row the item's title.
    pub title: String,
    /// Where it is, by the id of the station in the catalogue.
    pub station: String,
    /// A clear verdict needs it.
    pub must_see: bool,
    /// Asked again at each engine speed.
    pub each_speed: bool,
    /// What is done before its items are looked at.
    pub step: Option<SeasonStep>,
    /// The items asked, by their ids in the catalogue.
    pub items: Vec<String>,
    /// Why it joined, where it did.
    pub why: Option<String>,
    /// Why the first item of it joined.
    pub cause: Option<Cause>,
    /// Why a leak run asks it, where it is known what was touched.
    pub role: Option<Role>,
    /// No row asks its item: it was seen beside what is asked, see [`super::beside`].
    pub beside: bool,
}

impl PlanRow {
    /// A row of one item that no checklist asks.
    pub(super) fn alone(item: &str, title: &str, station: &str) -> PlanRow {
        PlanRow {
            title: title.to_owned(),
            station: station.to_owned(),
            must_see: false,
            each_speed: false,
            step: None,
            items: vec![item.to_owned()],
            why: None,
            cause: None,
            role: None,
            beside: false,
        }
    }
}

/// A place in a plan: one item of one row of one phase.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Index of the phase.
    pub phase: usize,
    /// Index of the row in it.
    pub row: usize,
    /// Index of the item in the row.
    pub item: usize,
}

/// What the composition needs to know of an item.
#[derive(Clone, Debug)]
pub struct ItemPlace {
    /// Its title in the catalogue.
    pub title: String,
    /// Where it is, by the id of the station in the catalogue.
    pub station: String,
    /// Position of the station in the walk round the engine.
    pub station_rank: usize,
}

/// Rows of a checklist not asked today: rows asked weekly or monthly all of whose items were seen
/// more recently than that. `days_since` gives whole days since the last graded look at an item.
pub fn rows_left_out(
    checklist: &Checklist,
    days_since: impl Fn(&str) -> Option<i64>,
) -> Vec<LeftOut> {
    let mut left_out = Vec::new();
    for (p, phase) in checklist.phases.iter().enumerate() {
        for (r, row) in phase.rows.iter().enumerate() {
            let every = row.cadence.days();
            let fresh = |item: &String| days_since(item).is_some_and(|days| days < every);
            if every > 0 && row.items.iter().all(fresh) {
                left_out.push(LeftOut { phase: p, row: r });
            }
        }
    }
    left_out
}

impl PlanPhase {
    /// A phase of a checklist that asks nothing yet.
    pub(super) fn empty(phase: &Phase, machine: boat::Role) -> PlanPhase {
        PlanPhase {
            id: phase.id.clone(),
            title: phase.title.clone(),
            state: phase.state,
            before: phase.before(machine).map(str::to_owned),
            timing: Timing {
                minutes: phase.minutes,
                within: phase.within,
                since: phase.since.clone(),
            },
            steps: phase.steps.clone(),
            rows: Vec::new(),
        }
    }
}

impl Plan {
    /// Composes the walk: rows of the checklist less those left out, items the machine does not
    /// have taken away, what comes first in the role of the `machine` put there, what was touched
    /// brought into its order, and each joining item placed at its station (or marked where its row is
    /// already asked).
    pub fn compose(
        checklist: &Checklist,
        machine: boat::Role,
        left_out: &[LeftOut],
        joins: &[Join],
        touched: &Touched<'_>,
        place: impl Fn(&str) -> Option<ItemPlace>,
        fitted: impl Fn(&str) -> bool,
    ) -> Plan {
        let mut phases = Vec::with_capacity(checklist.phases.len());
        for (p, phase) in checklist.phases.iter().enumerate() {
            let mut rows = Vec::with_capacity(phase.rows.len());
            let mut in_order: Vec<_> = phase.rows.iter().enumerate().collect();
            in_order.sort_by_key(|(_, row)| !row.first_for.contains(&machine));
            for (r, row) in in_order {
                let items: Vec<_> = row.items.iter().filter(|i| fitted(i)).cloned().collect();
                if items.is_empty() || left_out.contains(&LeftOut { phase: p, row: r }) {
                    continue;
                }
                rows.push(PlanRow {
                    title: row.title.clone(),
                    station: row.station.clone(),
                    must_see: row.must_see,
                    each_speed: row.each_speed,
                    step: row.step.clone(),
                    items,
                    why: None,
                    cause: None,
                    role: None,
                    beside: false,
                });
            }
            phases.push(PlanPhase {
                rows,
                ..PlanPhase::empty(phase, machine)
            });
        }
        touched.arrange(&mut phases, &fitted);
        let mut plan = Plan { phases };
        for join in joins {
            if let Some(at) = place(&join.item).filter(|_| fitted(&join.item)) {
                plan.join(join, &at, &place);
            }
        }
        plan.phases.retain(|phase| !phase.rows.is_empty());
        plan
    }

    fn join(&mut self, join: &Join, at: &ItemPlace, place: &impl Fn(&str) -> Option<ItemPlace>) {
        let asked = self
            .phases
            .iter_mut()
            .flat_map(|p| &mut p.rows)
            .find(|r| r.items.contains(&join.item));
        if let Some(row) = asked {
            row.cause = row.cause.or(join.cause);
            match &mut row.why {
                Some(why) if !why.contains(&join.why) => *why = format!("{why}; {}", join.why),
                Some(_) => {}
                None => row.why = Some(join.why.clone()),
            }
            return;
        }
        if join.cause == Some(Cause::LeftOpen) {
            return self.put_first(join, at);
        }
        // Running signs are seen from the helm and over the side; all else with the engine still.
        let running = matches!(at.station.as_str(), "helm" | "over-side");
        let fits = |p: &PlanPhase| match p.state {
            PhaseState::Cold | PhaseState::Dead | PhaseState::NextMorning => !running,
            state => running && state.is_running(),
        };
        let Some(index) = self
            .phases
            .iter()
            .position(fits)
            .or((!self.phases.is_empty()).then_some(0))
        else {
            return;
        };
        let rows = &mut self.phases[index].rows;
        let rank = |row: &PlanRow| {
            row.items
                .first()
                .and_then(|i| place(i))
                .map_or(usize::MAX, |p| p.station_rank)
        };
        // After the last row of its own station, else before the first row further on.
        let own = rows
            .iter()
            .rposition(|r| r.station == at.station)
            .map(|i| i + 1);
        let further = rows.iter().position(|r| rank(r) > at.station_rank);
        let spot = own.or(further).unwrap_or(rows.len());
        rows.insert(
            spot,
            PlanRow {
                why: Some(join.why.clone()),
                cause: join.cause,
                ..PlanRow::alone(&join.item, &at.title, &at.station)
            },
        );
    }

    /// What is left open stands before all else, in the order told.
    fn put_first(&mut self, join: &Join, at: &ItemPlace) {
        let Some(first) = self.phases.first_mut() else {
            return;
        };
        let open = |row: &PlanRow| row.cause == Some(Cause::LeftOpen);
        let behind = first.rows.iter().position(|row| !open(row));
        let row = PlanRow {
            why: Some(join.why.clone()),
            cause: join.cause,
            ..PlanRow::alone(&join.item, &at.title, &at.station)
        };
        first.rows.insert(behind.unwrap_or(first.rows.len()), row);
    }

    /// Every place in walking order.
    pub fn spots(&self) -> impl Iterator<Item = Spot> + '_ {
        self.phases.iter().enumerate().flat_map(|(phase, p)| {
            p.rows.iter().enumerate().flat_map(move |(row, r)| {
                (0..r.items.len()).map(move |item| Spot { phase, row, item })
            })
        })
    }

    /// Every row in walking order, as (phase, row).
    pub fn rows(&self) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.phases
            .iter()
            .enumerate()
            .flat_map(|(p, phase)| (0..phase.rows.len()).map(move |r| (p, r)))
    }

    /// The row at a place.
    pub fn row(&self, phase: usize, row: usize) -> Option<&PlanRow> {
        self.phases.get(phase).and_then(|p| p.rows.get(row))
    }

    /// The item id at a place.
    pub fn item(&self, spot: Spot) -> Option<&str> {
        self.row(spot.phase, spot.row)
            .and_then(|r| r.items.get(spot.item))
            .map(String::as_str)
    }

    /// How many rows the walk asks.
    pub fn row_count(&self) -> usize {
        self.phases.iter().map(|p| p.rows.len()).sum()
    }

    /// True where every item of the row has a look (graded or not seen) in that phase of the walk.
    pub fn row_done(&self, walk: &Walk, phase: usize, row: usize) -> bool {
        let Some(p) = self.phases.get(phase) else {
            return false;
        };
        p.rows
            .get(row)
            .is_some_and(|r| r.items.iter().all(|i| walk.look_in(&p.id, i).is_some()))
    }

    /// Rows of which every item has its look.
    pub fn rows_done(&self, walk: &Walk) -> usize {
        self.rows()
            .filter(|&(p, r)| self.row_done(walk, p, r))
            .count()
    }

    /// Rows of which every item was seen: a look that says why not is none.
    pub fn rows_seen(&self, walk: &Walk) -> usize {
        let seen = |p: &PlanPhase, item: &String| {
            let look = walk.look_in(&p.id, item);
            look.is_some_and(|timed| timed.look.grade().is_some())
        };
        let rows = self
            .phases
            .iter()
            .flat_map(|p| p.rows.iter().map(move |r| (p, r)));
        rows.filter(|(p, r)| r.items.iter().all(|i| seen(p, i)))
            .count()
    }

    /// The first place without a look at or after `from`, going round to the start once.
    pub fn next_unseen(&self, walk: &Walk, from: Option<Spot>) -> Option<Spot> {
        let unseen = |s: &Spot| {
            let phase = &self.phases[s.phase].id;
            self.item(*s)
                .is_some_and(|item| walk.look_in(phase, item).is_none())
        };
        let after = self
            .spots()
            .filter(|s| from.is_none_or(|f| *s >= f))
            .find(unseen);
        after.or_else(|| self.spots().find(unseen))
    }

    /// Items asked that were not graded in any phase, with the reason where one was given.
    pub fn not_seen(&self, walk: &Walk) -> Vec<(String, Option<String>)> {
        let mut seen = HashSet::new();
        let mut missing = Vec::new();
        for item in self.spots().filter_map(|s| self.item(s)) {
            if !seen.insert(item) || walk.saw(item) {
                continue;
            }
            let why = walk
                .looks_at(item)
                .last()
                .and_then(|t| match &t.look.outcome {
                    Outcome::NotSeen { why, .. } => Some(why.clone()),
                    Outcome::Graded(_) => None,
                });
            missing.push((item.to_owned(), why));
        }
        missing
    }

    /// Must-see items that were not graded in any phase.
    pub fn must_see_missing(&self, walk: &Walk) -> Vec<String> {
        let mut missing: Vec<String> = Vec::new();
        for row in self
            .phases
            .iter()
            .flat_map(|p| &p.rows)
            .filter(|r| r.must_see)
        {
            for item in row.items.iter().filter(|i| !walk.saw(i)) {
                if !missing.contains(item) {
                    missing.push(item.clone());
                }
            }
        }
        missing
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::checklist::Library;

    #[test]
    fn a_joining_sign_is_asked_while_the_engine_runs_and_all_else_while_it_is_still() {
        let library = Library::built_in();
        let joins = ["vibration-and-noise", "exhaust-outlet", "propeller-shaft"].map(|item| Join {
            item: item.to_owned(),
            why: "open defect".to_owned(),
            cause: Some(Cause::Open),
            recheck: None,
        });
        let place = |id: &str| {
            let item = library.catalogue.item(id)?;
            Some(ItemPlace {
                title: item.title.clone(),
                station: item.station.clone(),
                station_rank: library.catalogue.station_rank(&item.station)?,
            })
        };
        let list = library.checklist("daily").expect("built in");
        let plan = Plan::compose(
            list,
            boat::Role::Propulsion,
            &[],
            &joins,
            &Touched::unknown(),
            place,
            |_| true,
        );
        let state = |item: &str| {
            let asks = |p: &&PlanPhase| p.rows.iter().any(|r| r.items.iter().any(|i| i == item));
            plan.phases.iter().find(asks).map(|p| p.state)
        };
        assert_eq!(state("vibration-and-noise"), Some(PhaseState::Idle));
        assert_eq!(state("exhaust-outlet"), Some(PhaseState::Cold));
        assert_eq!(state("propeller-shaft"), Some(PhaseState::Cold));
    }
}
