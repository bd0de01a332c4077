//! A walk begins, what is noted while it goes on, and its end.

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use super::event::{
    Event, Grounds, KeptText, Names, Part, Time, Weight, by_the_program, in_no_table, on_no_item,
};
use crate::assess::words::Verdict;
use crate::boat::{Hours, Unit};
use crate::defects::History;
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::defects::said::{Said, as_far_as_known};
use crate::defects::verdicts::verdicts;
use crate::logbook::input::{Outside, WalkSheet};
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::walk::pace::Pace;
use crate::walk::{Agreed, FuelLeft, Join, LeftOut, PhaseBegun, Walk, When};

/// A walk began.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WalkStarted {
    /// Walk id, which every other record of the walk names.
    pub walk: String,
    /// Checklist id.
    pub checklist: String,
    /// Content hash of what was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub asked: Option<String>,
    /// Machine id.
    pub machine: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Who.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Meter as read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Typed in after walking.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub entered_after: bool,
    /// Earlier grades out of sight until the look is made.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub blind: bool,
    /// Rows not due.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// Items that joined.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joins: Vec<Join>,
    /// Joints a service disturbed before it, by item id; empty where that is not known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disturbed: Vec<String>,
    /// Walked by a guest; each of its looks says so too.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub guest: bool,
}

impl WalkStarted {
    /// The walk as it begins.
    pub fn begin(&self, when: When) -> Walk {
        Walk {
            id: self.walk.clone(),
            checklist: self.checklist.clone(),
            asked: self.asked.clone(),
            machine: self.machine.clone(),
            at: when.at,
            by: self.by.clone(),
            hours: self.hours,
            hours_by: None,
            entered_after: self.entered_after,
            blind: self.blind,
            unblinded: false,
            agreed: None,
            front: Default::default(),
            started_anyway: None,
            started_at: Vec::new(),
            told: Vec::new(),
            left_out: self.left_out.clone(),
            joins: self.joins.clone(),
            disturbed: self.disturbed.clone(),
            guest: self.guest,
            begun: Vec::new(),
            looks: Vec::new(),
            finished: None,
            place: when.place,
            finished_place: None,
            fuel: Vec::new(),
            is_stub: false,
        }
    }
}

impl Event for WalkStarted {
    const NAME: &'static str = "walk";
    const OUTSIDE: Outside = Outside::sheet::<WalkSheet>();
    const COUNTS_CHANGED: bool = true;

    fn at(&self) -> Option<Time> {
        Some(self.at)
    }

    on_no_item!();

    // The sheet has no words but those of its looks, and whose name it is.
    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    fn names(&self) -> Names<'_> {
        Names {
            text: self.asked.as_deref().map(KeptText::Asked),
            ..Names::walk(&self.walk, Part::Begins)
        }
    }

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        Vec::new()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let mut walk = self.begin(placed.when);
        walk.hours_by = walk.hours.map(|_| placed.id().to_owned());
        if !placed.is_sound() {
            // What might make an answer better does not count.
            walk.hours = None;
            walk.hours_by = None;
            walk.left_out.clear();
        }
        let walks = &mut state.history.walks;
        let spot = walks.partition_point(|known| known.when() < placed.when);
        walks.insert(spot, walk);
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let who = if self.guest { ", as a guest" } else { "" };
        Some(format!("began a walk{who}"))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        vec![of.lines(walks(of.condition, of.history))]
    }
}

/// The meter was read, a switch was turned, the time of a phase began, or a guest said what fuel is left,
/// while a walk went on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct WalkNoted {
    /// Walk id.
    pub walk: String,
    /// Meter as read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Typed in after walking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered_after: Option<bool>,
    /// Id of the phase whose time began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<String>,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub begun_at: Option<DateTime<FixedOffset>>,
    /// Earlier grades out of sight from here on, or in sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blind: Option<bool>,
    /// What fuel a guest left, tank by tank; of each the last word counts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fuel: Vec<FuelLeft>,
}

impl Event for WalkNoted {
    const NAME: &'static str = "walk-noted";
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;
    const CONCERNS_BOAT: bool = false;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        None
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Within)
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let Some(walk) = state.walk(&self.walk) else {
            return Applied::Done;
        };
        if self.hours.is_some() {
            walk.hours = self.hours;
            walk.hours_by = Some(placed.id().to_owned());
        }
        walk.entered_after = self.entered_after.unwrap_or(walk.entered_after);
        if let (Some(phase), Some(at)) = (&self.phase, self.begun_at) {
            walk.begin_phase(PhaseBegun {
                phase: phase.clone(),
                at: placed.beside(at),
                by_clock: at,
            });
        }
        for left in &self.fuel {
            walk.put_fuel(left.clone());
        }
        walk.unblinded |= walk.blind && self.blind == Some(false);
        walk.blind = self.blind.unwrap_or(walk.blind);
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let read = self
            .hours
            .map(|hours| format!("read the hour meter: {hours} h"));
        let fuel = self.fuel.iter();
        let fuel = fuel.map(|left| format!("{} {}", left.tank, left.words(None)));
        let fuel: Vec<String> = fuel.collect();
        let fuel =
            (!fuel.is_empty()).then(|| format!("said what fuel is left: {}", fuel.join("; ")));
        let said: Vec<String> = read.into_iter().chain(fuel).collect();
        (!said.is_empty()).then(|| said.join("; "))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.walks.iter().flat_map(|walk| {
            walk.fuel.iter().map(|said| FuelRow {
                walk: walk.id.clone(),
                tank: said.tank.clone(),
                value: said.left.value(),
                unit: said.left.unit(),
            })
        });
        vec![of.lines(rows)]
    }
}

/// A walk ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WalkFinished {
    /// Walk id.
    pub walk: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// How fast it went.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pace: Option<Pace>,
    /// What the screen said then; an end told otherwise has none.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        deserialize_with = "as_far_as_known"
    )]
    pub said: Option<Said>,
}

impl Event for WalkFinished {
    const NAME: &'static str = "walk-finished";
    const CHANGED: Weight = Weight::Said;
    const COUNTS_CHANGED: bool = true;
    const CONCERNS_BOAT: bool = false;

    by_the_program!();

    fn at(&self) -> Option<Time> {
        Some(self.at)
    }

    fn names(&self) -> Names<'_> {
        Names::walk(&self.walk, Part::Within)
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        if let Some(walk) = state.walk(&self.walk) {
            walk.finished = Some(placed.when.at);
            walk.finished_place = Some(placed.when.place);
            // Few looks come to a walk once it ended.
            walk.looks.shrink_to_fit();
            let its = state
                .history
                .taken_back
                .iter_mut()
                .filter(|t| t.walk == self.walk);
            its.for_each(|taken| taken.early = taken.deed < placed.when.place);
            // A line that is not as it was written is not believed in this, whatever it says.
            if placed.is_sound() {
                match self.said.clone() {
                    Some(said) => state.history.said.insert(self.walk.clone(), said),
                    None => state.history.said.remove(&self.walk),
                };
            }
        }
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("finished a walk".to_owned())
    }

    in_no_table!();
}

tables! {
    /// A walk.
    WalkRow = "walks" key(walk) {
        /// Walk id.
        walk: String,
        /// Checklist id.
        checklist: String,
        /// Machine id.
        machine: String,
        /// When it began.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
        /// Who walked.
        by: Option<String>,
        /// When it was finished; null where it was broken off.
        finished: Option<Time>,
        /// Walked first and typed in afterwards.
        entered_after: bool,
        /// Earlier grades were out of sight until each look was made.
        blind: bool,
        /// Walked by a guest.
        guest: bool,
        /// Who runs the engine, as agreed beforehand.
        runs: Option<String>,
        /// What may be opened, as agreed.
        may_open: Option<String>,
        /// Which samples may be taken, as agreed.
        samples: Option<String>,
        /// Full throttle, as agreed.
        full_throttle: Option<String>,
        /// Why the engine was started over a stop, where somebody said.
        started_anyway: Option<String>,
        /// Verdict as at the walk, over the day ahead of it.
        verdict: Option<Verdict>,
        /// Whole days from its end, or from its beginning where it has none, to the export.
        days_ago: i64,
    }
}

tables! {
    /// What fuel was left in a tank after a guest's walk.
    FuelRow = "fuel_left" key(walk, tank) {
        /// Walk id.
        walk: String,
        /// Tank id.
        tank: String,
        /// How much.
        value: f64,
        /// Unit of the value; per cent of the tank.
        unit: Unit,
    }
}

/// Her walks, each judged as at its end.
fn walks<'a>(condition: &Condition, history: &'a History) -> impl Iterator<Item = WalkRow> + 'a {
    let now = condition.now;
    let verdicts = verdicts(&condition.boat, &condition.library, history);
    history
        .walks
        .iter()
        .zip(verdicts)
        .map(move |(walk, verdict)| WalkRow {
            walk: walk.id.clone(),
            checklist: walk.checklist.clone(),
            machine: walk.machine.clone(),
            at: walk.at,
            hours: walk.hours,
            by: walk.by.clone(),
            finished: walk.finished,
            entered_after: walk.entered_after,
            blind: walk.was_blind(),
            guest: walk.guest,
            runs: agreed(walk, |a| &a.runs),
            may_open: agreed(walk, |a| &a.may_open),
            samples: agreed(walk, |a| &a.samples),
            full_throttle: agreed(walk, |a| &a.full_throttle),
            started_anyway: walk.started_anyway.clone(),
            verdict,
            days_ago: (now - walk.finished.unwrap_or(walk.at)).num_days(),
        })
}

fn agreed(walk: &Walk, answer: impl Fn(&Agreed) -> &Option<String>) -> Option<String> {
    walk.agreed.as_ref().and_then(|a| answer(a).clone())
}
