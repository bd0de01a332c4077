//! `plan`: named exposures.

use clap::Subcommand;
use schemars::JsonSchema;
use serde::Serialize;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::exposure::{self, Ahead, short, words};
use super::failure::Failure;
use super::page::Set;
use super::record::RecordedBody;
use crate::assess::words::Risk;
use crate::boat::Waters;
use crate::checklist::Who;
use crate::defects::NamedPlan;
use crate::defects::compare::{Place, Shift};
use crate::defects::list::Scenario;
use crate::defects::plan::Hand;
use crate::defects::plan_words::{read_hand, read_minutes, read_sum};
use crate::logbook::record::Record;

/// What to do with plans.
#[derive(Subcommand, Debug)]
pub enum PlanCommand {
    /// Set a plan: hours, days or both; the one left out follows from the hours a day, else from the rate
    /// of use. What is not said of a plan that there is stays as it was
    Set {
        /// Its name
        name: String,
        /// Running hours
        #[arg(long, value_name = "H", value_parser = exposure::hours)]
        hours: Option<f64>,
        /// Days
        #[arg(long, value_name = "D", value_parser = exposure::days)]
        days: Option<f64>,
        /// Where she goes: sheltered, inshore, offshore or ocean [default: her own waters]
        #[arg(long)]
        waters: Option<Waters>,
        /// Running hours a day on it, such as 20 [default: hours by days, else the rate of use]
        #[arg(long, value_name = "H", value_parser = exposure::hours_per_day)]
        hours_per_day: Option<f64>,
        /// Time there is to work before it, such as 6h, 90min or 2h30
        #[arg(long, value_name = "TIME", value_parser = read_minutes)]
        work: Option<u32>,
        /// Money there is before it, in the currency of the estimates on record
        #[arg(long, value_name = "SUM", value_parser = read_sum)]
        spend: Option<u64>,
        /// Who can lend a hand before it, such as owner,mechanic=3h [default: owner]
        #[arg(long, value_name = "WHO", value_delimiter = ',', value_parser = read_hand)]
        hands: Vec<(Who, Option<u32>)>,
        /// Days she stands ashore before it: what needs her out of the water is listed too
        #[arg(long, value_name = "D", value_parser = exposure::days)]
        ashore_days: Option<f64>,
    },
    /// List the plans
    List,
    /// Show how the list differs between two plans
    Compare {
        /// One plan
        a: String,
        /// The other
        b: String,
    },
}

/// The body of `plan list`.
#[derive(Serialize, JsonSchema)]
pub struct PlansBody {
    /// The plans, ordered by name.
    rows: Vec<PlanRow>,
}

/// One plan with the exposure it stands for.
#[derive(Serialize, JsonSchema)]
pub struct PlanRow {
    /// The name it is asked for by.
    name: String,
    /// What it means at the rate of use now.
    exposure: Ahead,
    /// The waters the severities are taken for.
    waters: Waters,
    /// Running hours a day under it; null for the rate of use.
    hours_per_day: Option<f64>,
    /// Minutes of work there are before it; null where nobody said.
    work: Option<u32>,
    /// Money there is before it, in the currency of the estimates; null where nobody said.
    spend: Option<f64>,
    /// Who can lend a hand before it; empty for the owner alone.
    hands: Vec<Hand>,
    /// Days she stands ashore before it; null where she stays afloat.
    ashore_days: Option<f64>,
    /// Items mended before it whatever they gain.
    with: Vec<String>,
    /// Items not mended before it.
    without: Vec<String>,
}

/// The body of `plan compare`.
#[derive(Serialize, JsonSchema)]
pub struct CompareBody {
    /// One plan with the exposure it stands for.
    a: PlanRow,
    /// The second plan named.
    b: PlanRow,
    /// Every defect, by its place under the first plan.
    rows: Vec<CompareRow>,
}

/// One defect under both plans.
#[derive(Serialize, JsonSchema)]
pub struct CompareRow {
    /// The item, by its id in the catalogue.
    item: String,
    /// Machine id; null for items the boat has once.
    machine: Option<String>,
    /// Where it stands under the first.
    a: PlaceInList,
    /// Where it stands under the second.
    b: PlaceInList,
    /// What becomes of it from the one to the other.
    shift: Shift,
}

/// Where a defect stands in a list.
#[derive(Serialize, JsonSchema)]
pub struct PlaceInList {
    /// Place in the list, from 1, the worst.
    rank: usize,
    /// A stop rule is in force.
    stop: bool,
    /// Chance that it fails within the exposure, 0 to 1, before beta.
    chance: f64,
    /// Digit of the severity and letter of the level, such as `2B`.
    code: String,
    /// Risk of the deciding effect: the cell of MIL-STD-882E Table III at that severity and level.
    risk: Risk,
}

/// Runs the command.
///
/// # Errors
/// A plan that says nothing, a name nobody knows, or the logbook.
pub fn run(command: &PlanCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        PlanCommand::Set {
            name,
            hours,
            days,
            waters,
            hours_per_day,
            work,
            spend,
            hands,
            ashore_days,
        } => set(
            NamedPlan {
                name: name.clone(),
                hours: *hours,
                days: *days,
                hours_per_day: *hours_per_day,
                waters: *waters,
                work: *work,
                spend: spend.map(|hundredths| hundredths as f64 / 100.0),
                hands: hands
                    .iter()
                    .map(|(who, minutes)| Hand {
                        who: *who,
                        minutes: *minutes,
                    })
                    .collect(),
                ashore_days: *ashore_days,
                ..NamedPlan::default()
            },
            cx,
        ),
        PlanCommand::List => list(cx),
        PlanCommand::Compare { a, b } => compare(a, b, cx),
    }
}

fn set(plan: NamedPlan, cx: &Context) -> Result<Answer, Failure> {
    let name = plan.name.clone();
    let mut book = act::open(&Record::from(plan.clone()), cx)?;
    let before = book.history().plans.get(&name);
    let record = Record::from(before.map_or_else(|| plan.clone(), |b| plan.clone().over(b)));
    let options = [
        ("name", "NAME"),
        ("hours", "--hours"),
        ("days", "--days"),
        ("hours_per_day", "--hours-per-day"),
        ("work", "--work"),
        ("spend", "--spend"),
        ("hands", "--hands"),
        ("ashore_days", "--ashore-days"),
    ];
    let (_, ids) = act::put(&mut book, record, &options)?;
    let body = RecordedBody::of(ids);
    let condition = book.condition();
    let plan = exposure::named(book.history(), &name)?;
    let scenario = condition.under(plan, cx.global.machine.as_deref());
    let means = plan.means_in_words();
    let means = means.map(|means| format!("; {means}"));
    Ok(cx.form.answer("recorded", &body, |page| {
        page.line(format!(
            "Plan {name}: {}{}.",
            words(scenario),
            means.unwrap_or_default()
        ));
    }))
}

fn row(plan: &NamedPlan, scenario: Scenario) -> PlanRow {
    PlanRow {
        name: plan.name.clone(),
        exposure: scenario.exposure.into(),
        waters: scenario.waters,
        hours_per_day: scenario.hours_per_day,
        work: plan.work,
        spend: plan.spend,
        hands: plan.hands.clone(),
        ashore_days: plan.ashore_days,
        with: plan.with.clone(),
        without: plan.without.clone(),
    }
}

impl PlanRow {
    /// What there is before it, in words.
    fn before_it(&self) -> String {
        let plan = NamedPlan {
            work: self.work,
            spend: self.spend,
            hands: self.hands.clone(),
            ashore_days: self.ashore_days,
            ..NamedPlan::default()
        };
        plan.means_in_words().unwrap_or_default()
    }
}

fn list(cx: &Context) -> Result<Answer, Failure> {
    let (_, history, condition) = cx.boat()?;
    let machine = cx.global.machine.as_deref();
    let plans = history.plans.values();
    let body = PlansBody {
        rows: plans.map(|p| row(p, condition.under(p, machine))).collect(),
    };
    Ok(cx.form.answer("plans", &body, |page| {
        if body.rows.is_empty() {
            page.line("There is no plan yet; set one with: handlamp plan set NAME --hours H");
            return;
        }
        let columns = [
            ("plan", Set::Wrap),
            ("hours", Set::Right),
            ("days", Set::Right),
            ("h a day", Set::Right),
            ("waters", Set::Left),
            ("before it", Set::Wrap),
        ];
        let cells: Vec<Vec<String>> = body
            .rows
            .iter()
            .map(|row| {
                vec![
                    row.name.clone(),
                    short(row.exposure.hours),
                    short(row.exposure.days),
                    row.hours_per_day.map(short).unwrap_or_default(),
                    row.waters.to_string(),
                    row.before_it(),
                ]
            })
            .collect();
        page.table(&columns, &cells);
    }))
}

fn compare(a: &str, b: &str, cx: &Context) -> Result<Answer, Failure> {
    let (_, history, condition) = cx.boat()?;
    let machine = cx.global.machine.as_deref();
    let (a, b) = (exposure::named(&history, a)?, exposure::named(&history, b)?);
    let outsets = [a, b].map(|plan| condition.under(plan, machine));
    let rows = condition.compare(outsets[0], outsets[1]);
    let rows = rows.into_iter().map(|row| CompareRow {
        a: standing(&row.a),
        b: standing(&row.b),
        shift: row.shift(),
        item: row.item,
        machine: row.machine,
    });
    let body = CompareBody {
        a: row(a, outsets[0]),
        b: row(b, outsets[1]),
        rows: rows.collect(),
    };
    Ok(cx.form.answer("plan-compare", &body, |page| {
        for (letter, row, outset) in [("A", &body.a, outsets[0]), ("B", &body.b, outsets[1])] {
            let means = Some(row.before_it()).filter(|means| !means.is_empty());
            let means = means.map(|means| format!("; {means}")).unwrap_or_default();
            page.line(format!(
                "{letter} is {}: {}{means}",
                row.name,
                words(outset)
            ));
        }
        if body.rows.is_empty() {
            page.line("Nothing to put right is on record.");
            return;
        }
        page.blank();
        let columns = [
            ("A", Set::Right),
            ("B", Set::Right),
            ("item", Set::Left),
            ("machine", Set::Left),
            ("risk in A", Set::Left),
            ("risk in B", Set::Left),
            ("", Set::Left),
        ];
        let risk = |s: &PlaceInList| {
            let word = if s.stop { "STOP" } else { s.risk.as_str() };
            format!("{word} {}", s.code)
        };
        let cells: Vec<Vec<String>> = body
            .rows
            .iter()
            .map(|row| {
                vec![
                    row.a.rank.to_string(),
                    row.b.rank.to_string(),
                    row.item.clone(),
                    row.machine.clone().unwrap_or_default(),
                    risk(&row.a),
                    risk(&row.b),
                    match row.shift {
                        Shift::Stays => String::new(),
                        shift => shift.to_string(),
                    },
                ]
            })
            .collect();
        page.table(&columns, &cells);
    }))
}

fn standing(place: &Place) -> PlaceInList {
    PlaceInList {
        rank: place.rank,
        stop: place.stop,
        chance: place.chance,
        code: place.code.clone(),
        risk: place.risk,
    }
}
