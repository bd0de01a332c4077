//! Before leaving: what must be done, what is worth doing in the time and for the money there is, and what
//! can wait, with what it leaves.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::costs::CostRow;
use super::history::History;
use super::leaving_due::{Coming, dues};
use super::leaving_jobs::{Chances, Weighed, weighed};
use super::leaving_must::musts;
pub use super::leaving_rows::{AgeRow, Asked, JobRow, Kept, Must, MustRow, Waits};
use super::leaving_words::{NOT_HERE, share_in_words, takes_away};
use super::list::{DefectList, Row, Scenario};
use super::yard::{NOT_LISTED, YardRow};
use crate::passage::plan::{AS_SAID, LONGER, taken_away};
use crate::passage::{Means, Plan, plan};

/// Time and money. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Budget {
    /// What there is; null where nobody said.
    pub given: Option<f64>,
    /// What must be done takes so much by itself.
    pub must: f64,
    /// What is worth doing takes so much.
    pub chosen: f64,
    /// What must be done alone goes beyond what there is by so much.
    pub short: f64,
}

/// How much of the trouble left beside what must be done the chosen jobs take away. Part of the outside
/// surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TakesAway {
    /// The share, 0 to 1.
    pub share: f64,
    /// The least where things wear twice or half as fast as judged.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// Going by gain for minutes alone would take away so much.
    pub by_order: f64,
    /// No choice takes away more than this.
    pub at_most: f64,
    /// The choice is the best there is; else only the best found.
    pub proved: bool,
    /// In a sentence.
    pub words: String,
}

/// All of it. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Leaving {
    /// Minutes of work.
    pub minutes: Budget,
    /// Money; null where no estimate is on record and no sum was named.
    pub money: Option<Budget>,
    /// Currency of the estimates; null where none was named.
    pub currency: Option<String>,
    /// How much of the trouble left beside what must be done is taken away; null where nothing is
    /// chosen.
    pub takes_away: Option<TakesAway>,
    /// What must be done, stops first.
    pub must: Vec<MustRow>,
    /// What is worth doing, what gains most for its minutes first.
    pub worth_doing: Vec<JobRow>,
    /// What can wait, the worst first.
    pub can_wait: Vec<JobRow>,
    /// What needs her out of the water, where the plan has her ashore; missing where it has not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ashore: Vec<YardRow>,
    /// Of an age nobody knows, and can wait.
    #[serde(rename = "unknown_age")]
    pub ages: Vec<AgeRow>,
    /// What this answer does not know.
    pub not_here: Vec<String>,
}

/// What the question rests on, gathered once: whatever is taken in or left out of it, and however much
/// time and money there is, it stays.
#[derive(Clone)]
pub struct Outlook {
    scenario: Scenario,
    machine: Option<String>,
    list: DefectList,
    costs: Vec<CostRow>,
    chances: Vec<Chances>,
    coming: Vec<Coming>,
}

impl Condition {
    /// What the question before leaving rests on, over a scenario, for a machine or for all. `coming` is
    /// what comes due, whenever that is.
    pub fn outlook(
        &self,
        history: &History,
        (scenario, machine): (Scenario, Option<&str>),
        coming: Vec<Coming>,
    ) -> Outlook {
        let mut list = self.list(scenario, false);
        let here = |own: Option<&str>| machine.is_none_or(|m| own.is_none_or(|own| own == m));
        list.rows.retain(|row| here(row.machine.as_deref()));
        list.unseen.retain(|unseen| here(unseen.machine.as_deref()));
        let chances = list.rows.iter().map(|row| self.chances(row, scenario));
        Outlook {
            scenario,
            machine: machine.map(str::to_owned),
            chances: chances.collect(),
            costs: self.costs(history, &list).rows,
            list,
            coming,
        }
    }

    /// What to do before leaving, for a scenario and a machine as the outlook has them.
    ///
    /// # Errors
    /// One sentence: an item asked for or left out that is not on the list, a stop left out, estimates in
    /// several currencies where a sum is named.
    pub fn leaving(
        &self,
        history: &History,
        asked: &Asked,
        outlook: &Outlook,
    ) -> Result<Leaving, String> {
        let asked = &Asked {
            scenario: outlook.scenario,
            machine: outlook.machine.clone(),
            ..asked.clone()
        };
        let rows = &outlook.list.rows;
        let due = dues(self, asked, &outlook.coming);
        let mut must = musts(self, asked, rows, &due)?;
        let known = (rows.as_slice(), outlook.costs.as_slice());
        let work = weighed(self, history, asked, (known, &outlook.chances), &mut must)?;
        let plans = work.plans(asked);
        let unseen = outlook.list.unseen.len();
        let mut answer = Leaving {
            minutes: minutes(asked, &plans.as_judged),
            money: work.money(asked, &plans.as_judged),
            currency: work.currency.clone(),
            takes_away: plans.takes_away(&work),
            must: must.into_iter().map(|m| m.row).collect(),
            worth_doing: Vec::new(),
            can_wait: Vec::new(),
            ashore: match asked.ashore_days {
                Some(_) => self.yard(history, outlook.scenario, &outlook.coming),
                None => Vec::new(),
            },
            ages: due.can_wait,
            not_here: self.not_here(asked, rows, unseen, due.looks, &work),
        };
        let Weighed { rows, .. } = &work;
        for (row, at) in rows {
            let told = plans.row(row, *at);
            match told.waits {
                None => answer.worth_doing.push(told),
                Some(_) => answer.can_wait.push(told),
            }
        }
        answer.worth_doing.sort_by(|a, b| {
            let rate = |row: &JobRow| row.gain / f64::from(row.minutes.unwrap_or(0).max(1));
            rate(b)
                .total_cmp(&rate(a))
                .then_with(|| a.item.cmp(&b.item))
        });
        self.tell_spares(history, &mut answer);
        Ok(answer)
    }

    /// What this answer does not know.
    fn not_here(
        &self,
        asked: &Asked,
        rows: &[Row],
        unseen: usize,
        looks: usize,
        work: &Weighed,
    ) -> Vec<String> {
        let mut not_here = vec![NOT_HERE.to_owned()];
        if unseen > 0 {
            not_here.push(format!(
                "{unseen} item(s) that nobody has looked at yet are not weighed: what they hide comes on top"
            ));
        }
        if looks > 0 {
            not_here.push(format!(
                "{looks} look(s) at what is found come due before the passage is over: handlamp due"
            ));
        }
        if asked.ashore_days.is_some() {
            not_here.push(NOT_LISTED.to_owned());
        }
        let former = self.is_given_on() && !rows.is_empty();
        if former {
            not_here.push("findings of a former owner are weighed as told".to_owned());
        }
        if work.without_estimate > 0 {
            not_here.push(format!(
                "{} job(s) have no estimate on record and are not in the money: handlamp cost ITEM",
                work.without_estimate
            ));
        }
        not_here.push(
            "minutes are judgement where you have said none of your own and no such job was timed; what is aboard is as the locker has it on record: see each before you count on it"
                .to_owned(),
        );
        not_here
    }
}

fn minutes(asked: &Asked, plan: &Plan) -> Budget {
    Budget {
        given: asked.work.map(f64::from),
        must: plan.must_minutes as f64,
        chosen: plan.minutes as f64,
        short: plan.short_of_minutes as f64,
    }
}

/// The same choice asked of four worlds.
pub(super) struct Plans {
    /// As judged.
    as_judged: Plan,
    /// All work takes half as long again.
    longer: Plan,
    /// Things wear twice as fast, and half as fast.
    others: [Plan; 2],
}

impl Weighed {
    fn plans(&self, asked: &Asked) -> Plans {
        let means: Means = self.means(asked);
        let weigh = |jobs, stretch| plan(jobs, &self.accesses, &means, stretch);
        Plans {
            as_judged: weigh(&self.jobs, AS_SAID),
            longer: weigh(&self.jobs, LONGER),
            others: [weigh(&self.faster, AS_SAID), weigh(&self.slower, AS_SAID)],
        }
    }

    fn money(&self, asked: &Asked, plan: &Plan) -> Option<Budget> {
        let known = asked.spend.is_some() || self.currency.is_some();
        let of = |hundredths: u64| hundredths as f64 / 100.0;
        known.then(|| Budget {
            given: asked.spend.map(of),
            must: of(plan.must_money),
            chosen: of(plan.money),
            short: of(plan.short_of_money),
        })
    }
}

impl Plans {
    /// A row with what became of its job.
    fn row(&self, row: &JobRow, at: usize) -> JobRow {
        let chosen = self.as_judged.chosen.contains(&at);
        let otherwise = self.others.iter().any(|p| p.chosen.contains(&at) != chosen);
        let out = row.waits;
        JobRow {
            still_if_longer: self.longer.chosen.contains(&at),
            either: out.is_none() && otherwise,
            waits: out.or_else(|| (!chosen).then_some(Waits::WorthLess)),
            ..row.clone()
        }
    }

    fn takes_away(&self, work: &Weighed) -> Option<TakesAway> {
        let plan = &self.as_judged;
        if plan.chosen.is_empty() || plan.before <= 0.0 {
            return None;
        }
        let of = |jobs| taken_away(jobs, &plan.chosen);
        let share = of(&work.jobs);
        let others = [of(&work.faster), of(&work.slower)];
        let [low, high] = [
            others.into_iter().fold(share, f64::min),
            others.into_iter().fold(share, f64::max),
        ];
        let minutes = u32::try_from(plan.minutes).unwrap_or(u32::MAX);
        let rest = |after: f64| ((plan.before - after) / plan.before).clamp(0.0, 1.0);
        Some(TakesAway {
            words: takes_away(minutes, [share, low, high].map(share_in_words)),
            by_order: rest(plan.by_order),
            at_most: rest(plan.at_least),
            proved: plan.proved,
            share,
            low,
            high,
        })
    }
}
