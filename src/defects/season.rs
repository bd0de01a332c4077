//! The season a machine is in: she stands from the end of a lay-up until she is launched, or used
//! without that. It follows from the walks alone.

use chrono::{DateTime, Duration, FixedOffset};

use super::condition::Condition;
use super::history::History;
use super::stopped::first_run;
use super::under_way_line::Leg;
use crate::checklist::{Checklist, Closing, Forbids};
use crate::text::capital;
use crate::walk::{Cause, Join, LeftOut, Walk};

/// Laying up.
pub const LAY_UP: &str = "lay-up";
/// The look made while she stands.
pub const STANDING: &str = "standing";
/// Fitting out.
pub const RECOMMISSION: &str = "recommission";
/// Launching, and the first start after standing.
pub const LAUNCH: &str = "launch";
/// Days from one look to the next while she stands: a month (common practice, no single source).
pub const LOOK_EVERY_DAYS: i64 = 30;

/// Hours that laying up runs her itself once her meter was read: warm, flushed, antifreeze drawn through
/// (judgement). A meter that shows more since says that she was used.
pub const RUN_LAYING_UP: f64 = 2.0;

/// A machine that is laid up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LaidUp {
    /// When the lay-up was finished.
    pub since: DateTime<FixedOffset>,
    /// When she was last looked at: then, or by the last look while she stands.
    pub looked: DateTime<FixedOffset>,
    /// When fitting out was finished.
    pub fitted_out: Option<DateTime<FixedOffset>>,
}

impl LaidUp {
    /// When she is to be looked at next.
    pub fn next_look(&self) -> DateTime<FixedOffset> {
        self.looked + Duration::days(LOOK_EVERY_DAYS)
    }

    /// That she is, in words without a full stop.
    pub fn words(&self) -> String {
        format!("laid up since {}", self.since.format("%-d %b %Y"))
    }

    /// That she is, and what comes before she runs again.
    pub fn before_running(&self) -> String {
        format!("{}: {}", self.words(), self.comes_first())
    }

    fn comes_first(&self) -> &'static str {
        match self.fitted_out {
            Some(_) => "before she runs launch her by its walk",
            None => "before she runs fit her out and launch her by their walks",
        }
    }
}

impl Condition {
    /// How a machine is laid up now; none where she is not.
    pub fn laid_up(&self, history: &History, machine: &str) -> Option<LaidUp> {
        let last = |checklist: &str| self.last_finished(history, machine, checklist);
        let (lay_up, since) = last(LAY_UP)?;
        let later = |checklist: &str| Some(last(checklist)?.1).filter(|at| *at > since);
        let launched = later(LAUNCH).is_some();
        if launched || self.used_since(history, machine, since) || self.has_run_since(lay_up, since)
        {
            return None;
        }
        Some(LaidUp {
            since,
            looked: later(STANDING).unwrap_or(since),
            fitted_out: later(RECOMMISSION),
        })
    }

    /// What comes after a finished walk of the seasons, in words; none after any other.
    pub fn after_season(&self, history: &History, walk: &Walk) -> Option<String> {
        walk.finished?;
        if self.list_of(walk)?.closes_with != Closing::Season {
            return None;
        }
        if let Some(laid_up) = self.laid_up(history, &walk.machine) {
            let next = laid_up.next_look().format("%-d %b %Y");
            return Some(format!(
                "{}; next look by {next}. {}.",
                laid_up.words(),
                capital(laid_up.comes_first())
            ));
        }
        let launched = walk.checklist == LAUNCH;
        launched.then(|| {
            "Next the leak run at every joint that was opened, then a morning check, which says whether she is clear.".to_owned()
        })
    }

    /// The walk of a checklist on a machine that was finished last, and when.
    fn last_finished<'h>(
        &self,
        history: &'h History,
        machine: &str,
        checklist: &str,
    ) -> Option<(&'h Walk, DateTime<FixedOffset>)> {
        let of = |w: &&Walk| w.checklist == checklist && w.machine == machine;
        let stands = |w: &&Walk| !history.is_taken_back(w);
        let walks = history.walks.iter().filter(of).filter(stands);
        let ended = walks.filter_map(|w| Some((w, w.finished?)));
        ended
            .filter(|(_, at)| *at <= self.now)
            .max_by_key(|(_, at)| *at)
    }

    /// True where she was under way since, or ran in a walk: that of her launch, or one that is none of
    /// the seasons.
    fn used_since(&self, history: &History, machine: &str, since: DateTime<FixedOffset>) -> bool {
        let after = |at: DateTime<FixedOffset>| at > since && at <= self.now;
        let of = |named: Option<&str>| named.is_none_or(|m| m == machine);
        let mut lines = history.under_way.iter();
        let left = lines.any(|line| {
            line.rec.kind == Leg::Begins && of(line.rec.machine.as_deref()) && after(line.at)
        });
        let walks = history.walks.iter().rev();
        let walks = walks.filter(|w| w.machine == machine && w.finished.is_none_or(|f| f > since));
        let mut walks = walks.filter(|w| !history.is_taken_back(w));
        left || walks.any(|walk| {
            let list = self.list_of(walk);
            let season = list.is_some_and(|list| list.closes_with == Closing::Season);
            let lies = season && walk.checklist != LAUNCH;
            !lies && first_run(self, walk).is_some_and(|when| after(when.at))
        })
    }

    /// True where the meter shows more than laying up asks for since it was read at that or, where nobody
    /// did, first after it: an older reading says nothing of when she ran.
    fn has_run_since(&self, lay_up: &Walk, since: DateTime<FixedOffset>) -> bool {
        let readings = self.machine_usage(Some(&lay_up.machine)).readings();
        let of_lay_up = readings.partition_point(|(at, _)| *at < lay_up.at);
        let later = readings.partition_point(|(at, _)| *at <= since);
        let first = later.saturating_sub(1).max(of_lay_up);
        let known = readings.iter().skip(first);
        let known = known.take_while(|(at, _)| *at <= self.now);
        let mut known = known.map(|(_, read)| *read);
        let then = known.next();
        then.is_some_and(|then| known.any(|read| read.since(then) > RUN_LAYING_UP))
    }

    /// True where a checklist is for the season a machine is in: laying up while she is not laid up,
    /// all else of the seasons while she is; launching also where anything forbids to float.
    pub fn in_season(&self, history: &History, checklist: &Checklist, machine: &str) -> bool {
        if checklist.closes_with != Closing::Season {
            return true;
        }
        let laid_up = || self.laid_up(history, machine).is_some();
        match checklist.id.as_str() {
            LAY_UP => !laid_up(),
            STANDING | RECOMMISSION => laid_up(),
            LAUNCH => laid_up() || self.forbids(machine, Forbids::Float),
            _ => true,
        }
    }

    /// True where anything left open on a machine or the boat forbids just this.
    fn forbids(&self, machine: &str, deed: Forbids) -> bool {
        let mut open = self.left_open(Some(machine));
        open.any(|(_, left)| left.forbids() == deed)
    }

    /// What of a machine is left open, the last first, as it joins a walk of the seasons.
    pub(super) fn open_backwards(&self, machine: &str) -> Vec<Join> {
        let mut open: Vec<_> = self.left_open(Some(machine)).collect();
        open.sort_by(|(a, at), (b, then)| {
            let time = then.opened.at.cmp(&at.opened.at);
            time.then_with(|| (b, &then.opened.id).cmp(&(a, &at.opened.id)))
        });
        let mut joins: Vec<Join> = Vec::new();
        for (subject, left) in open {
            // Several of one item are told in one row.
            match joins.iter_mut().find(|join| join.item == subject.item) {
                Some(join) => join.why = format!("{}; {}", join.why, left.words()),
                None => joins.push(Join {
                    item: subject.item.clone(),
                    why: left.words(),
                    cause: Some(Cause::LeftOpen),
                    recheck: None,
                }),
            }
        }
        joins
    }

    /// Rows of a checklist that are for engines cooled otherwise, or for boats that lie elsewhere.
    pub(super) fn rows_for_others(&self, checklist: &Checklist, machine: &str) -> Vec<LeftOut> {
        let of = self.boat.machines.iter().find(|m| m.id == machine);
        let cooling = of.and_then(|m| m.cooling);
        // Lifted in the season, she lies where she does not in winter.
        let lies = self
            .boat
            .lies_up
            .filter(|_| !self.forbids(machine, Forbids::Float));
        let mut others = Vec::new();
        for (phase, of) in checklist.phases.iter().enumerate() {
            let rows = of.rows.iter().enumerate();
            let foreign = rows.filter(|(_, row)| !row.suits(cooling, lies));
            others.extend(foreign.map(|(row, _)| LeftOut { phase, row }));
        }
        others
    }
}
