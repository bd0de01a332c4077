//! `cost`: what putting defects right may cost.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::{Page, Set};
use crate::assess::cost::DRAWS;
use crate::defects::costs::{CostRow, CostTotal, Estimate, money};
use crate::defects::list::Scenario;
use crate::defects::{Cost, Labour};
use crate::logbook::record::Record;

/// Options of `cost`.
#[derive(Args, Debug)]
pub struct CostArgs {
    /// Catalogue id of the item; without one the estimates and their total are listed
    #[arg(requires_all = ["low", "likely", "high"])]
    pub item: Option<String>,
    /// What it costs if it goes well, labour given apart left out
    #[arg(long, value_name = "X", requires = "item")]
    pub low: Option<f64>,
    /// What it most likely costs
    #[arg(long, value_name = "X", requires = "item")]
    pub likely: Option<f64>,
    /// What it costs if it goes badly
    #[arg(long, value_name = "X", requires = "item")]
    pub high: Option<f64>,
    /// Hours of work, low, likely and high, added at --rate
    #[arg(
        long,
        value_name = "L,M,H",
        value_delimiter = ',',
        num_args = 1,
        requires = "rate"
    )]
    pub labour: Vec<f64>,
    /// What an hour of work costs
    #[arg(long, value_name = "X", requires = "labour")]
    pub rate: Option<f64>,
    /// Currency [default: that of the last estimate]
    #[arg(long, value_name = "NAME", requires = "item")]
    pub currency: Option<String>,
    /// What the figures rest on
    #[arg(long, value_name = "TEXT", requires = "item")]
    pub note: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct CostBody {
    /// Totals simulated for an independent range.
    draws: usize,
    /// One for each currency.
    totals: Vec<CostTotal>,
    /// Rows without an estimate, which no total contains.
    without_estimate: usize,
    /// In the order of the defects, worst first.
    rows: Vec<CostRow>,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with an estimate, or the logbook cannot be read or written.
pub fn run(args: &CostArgs, cx: &Context) -> Result<Answer, Failure> {
    match (&args.item, args.low, args.likely, args.high) {
        (Some(item), Some(low), Some(likely), Some(high)) => {
            let cost = Cost {
                item: item.clone(),
                machine: cx.global.machine.clone(),
                at: None,
                low,
                likely,
                high,
                labour: labour(args)?,
                currency: args.currency.clone(),
                note: args.note.clone(),
            };
            record(cost, cx)
        }
        _ => list(cx),
    }
}

fn labour(args: &CostArgs) -> Result<Option<Labour>, Failure> {
    let Some(rate) = args.rate else {
        return Ok(None);
    };
    let hours = <[f64; 3]>::try_from(args.labour.as_slice()).map_err(|_| {
        Failure::usage("--labour: expected three figures, low, likely and high, such as 2,3,6")
    })?;
    Ok(Some(Labour { hours, rate }))
}

fn record(cost: Cost, cx: &Context) -> Result<Answer, Failure> {
    act::record(
        Record::from(cost),
        &[
            ("low", "--low"),
            ("likely", "--likely"),
            ("high", "--high"),
            ("labour.hours", "--labour"),
            ("labour.rate", "--rate"),
            ("currency", "--currency"),
            ("note", "--note"),
        ],
        cx,
        |item| format!("{item}: estimate recorded; the total is shown by: handlamp cost"),
    )
}

fn list(cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let (exposure, waters) = condition.usual_plan();
    let mut list = condition.list(Scenario::new(exposure, waters), false);
    cx.known_asked(&book)?;
    list.rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    let costs = condition.costs(&history, &list);
    let body = CostBody {
        draws: DRAWS,
        totals: costs.totals,
        without_estimate: costs.rows.iter().filter(|r| r.estimate.is_none()).count(),
        rows: costs.rows,
    };
    Ok(cx.form.answer("cost", &body, |page| {
        page.line(format!(
            "What putting right the defects of {} may cost",
            book.boat().name
        ));
        if body.rows.is_empty() {
            page.line("Nothing to put right is on record.");
            return;
        }
        write_rows(page, &body.rows);
        if body.without_estimate > 0 {
            page.blank();
            page.line(format!(
                "Without an estimate, and in no total: {} of {}",
                body.without_estimate,
                body.rows.len()
            ));
        }
        for total in &body.totals {
            write_total(page, total);
        }
        if !body.totals.is_empty() {
            page.blank();
            page.paragraph("Estimates are those of whoever made them. What nobody has seen is in none of them (see: handlamp coverage), nor is what comes to light when things are opened.");
        }
    }))
}

fn write_rows(page: &mut Page, rows: &[CostRow]) {
    let columns = [
        ("#", Set::Right),
        ("item", Set::Left),
        ("grade", Set::Left),
        ("risk", Set::Left),
        ("low", Set::Right),
        ("likely", Set::Right),
        ("high", Set::Right),
        ("mean", Set::Right),
        ("", Set::Left),
    ];
    let cells = |row: &CostRow| {
        let risk = if row.stop { "STOP" } else { row.risk.as_str() };
        let figure = |of: fn(&Estimate) -> f64| {
            let estimate = row.estimate.as_ref();
            estimate.map_or_else(|| "-".to_owned(), |e| money(of(e)))
        };
        let currency = row.estimate.as_ref().and_then(|e| e.currency.clone());
        vec![
            row.rank.to_string(),
            row.item.clone(),
            row.grade.to_string(),
            format!("{risk} {}", row.code),
            figure(|e| e.low),
            figure(|e| e.likely),
            figure(|e| e.high),
            figure(|e| e.mean),
            currency.unwrap_or_default(),
        ]
    };
    let note = |row: &CostRow| row.estimate.as_ref().and_then(|e| e.note.clone());
    let written: Vec<_> = rows
        .iter()
        .map(|row| (cells(row), note(row).into_iter().collect()))
        .collect();
    page.table_with_notes(&columns, &written, "    ");
}

fn write_total(page: &mut Page, total: &CostTotal) {
    page.blank();
    for sentence in total.sentences() {
        page.paragraph(sentence);
    }
}
