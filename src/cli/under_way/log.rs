//! `underway log`: one line a round.

use chrono::{DateTime, FixedOffset, NaiveDate};
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::clock;
use crate::boat::Measure;
use crate::boat::units::Volume;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{Ahead, short, words};
use crate::cli::failure::Failure;
use crate::cli::page::Set;
use crate::defects::Stamped;
use crate::defects::under_way::{Line, Passage};
use crate::defects::under_way_line::{Leg, UnderWay};
use crate::text::{csv_guard, markdown_text, safe_line};

/// Heads of the columns.
const HEADS: [&str; 12] = [
    "time", "hours", "rpm", "speed", "oil", "temp", "volts", "vacuum", "bilge", "drops", "fuel",
    "remark",
];

/// Options of `underway log`.
#[derive(Args, Debug)]
pub struct LogArgs {
    /// All lines of this day [default: of the last time under way]
    #[arg(long, value_name = "DATE")]
    day: Option<NaiveDate>,
    /// As CSV
    #[arg(long, conflicts_with = "markdown")]
    csv: bool,
    /// As a table in Markdown
    #[arg(long)]
    markdown: bool,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct UnderWayLogBody {
    /// Machine id.
    machine: String,
    /// She is under way now.
    running: bool,
    /// The plan she left with.
    plan: Option<String>,
    /// What is left of it; null where she is not under way, left without one, or it is used up.
    left: Option<Ahead>,
    /// When the next round is due; null where she is not under way.
    next_due: Option<DateTime<FixedOffset>>,
    /// Minutes that round is late; 0 where it is not.
    late_minutes: i64,
    /// Where she sails with the engine off and her shaft may turn: when the engine is to be run in neutral;
    /// else null.
    shaft_run_due: Option<DateTime<FixedOffset>>,
    /// Rounds missed in these lines.
    missed: u32,
    /// By time.
    rows: Vec<LogRow>,
}

/// One line.
#[derive(Serialize, JsonSchema)]
pub struct LogRow {
    /// When it was written down, or was due.
    at: DateTime<FixedOffset>,
    /// Rounds that were missed, which have no figures; 0 for a line on record.
    missed: u32,
    /// What is on record; null for what was missed.
    line: Option<UnderWay>,
}

impl From<Line<'_>> for LogRow {
    fn from(line: Line<'_>) -> LogRow {
        match line {
            Line::Told(Stamped { at, rec, .. }) => LogRow {
                at: *at,
                missed: 0,
                line: Some(rec.clone()),
            },
            Line::Missed { due, rounds } => LogRow {
                at: due,
                missed: rounds,
                line: None,
            },
        }
    }
}

impl LogRow {
    fn cells(&self) -> Vec<String> {
        let Some(line) = &self.line else {
            let mut cells = vec![String::new(); HEADS.len()];
            cells[0] = clock(self.at);
            cells[HEADS.len() - 1] = match self.missed {
                1 => "MISSED".to_owned(),
                rounds => format!("MISSED: {rounds} rounds from here on"),
            };
            return cells;
        };
        let measure = |m: Option<Measure>| m.map_or_else(String::new, |m| m.to_string());
        let figure = |f: Option<f64>| f.map_or_else(String::new, short);
        let volume = |v: Option<Volume>| v.map_or_else(String::new, |v| v.to_string());
        let leg = match line.kind {
            Leg::Begins => "under way",
            Leg::Round => "",
            Leg::Ends => "in",
        };
        let added = line.fuel_added.map(|v| format!("taken in {v}"));
        let off = line.engine_off.then(|| "engine off".to_owned());
        let usual =
            (!line.usual.is_empty()).then(|| format!("as usual: {}", line.usual.join(", ")));
        let said = [Some(leg.to_owned()), off, usual, added, line.remark.clone()];
        let said: Vec<String> = said
            .into_iter()
            .flatten()
            .filter(|s| !s.is_empty())
            .collect();
        vec![
            clock(self.at),
            line.hours.map_or_else(String::new, |h| h.to_string()),
            figure(line.rpm),
            measure(line.speed),
            measure(line.oil),
            measure(line.temperature),
            measure(line.volts),
            measure(line.vacuum),
            measure(line.bilge),
            figure(line.drops),
            volume(line.fuel),
            safe_line(&said.join("; ")).into_owned(),
        ]
    }
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read.
pub fn run(args: &LogArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let machine = cx.machine(&book)?;
    let now = cx.clock.now();
    let mut passages = Passage::all(&history, &machine);
    let last = passages.last().cloned();
    if args.day.is_none() {
        passages.drain(..passages.len().saturating_sub(1));
    }
    let rows = passages.iter().flat_map(|p| p.log(now)).map(LogRow::from);
    let rows: Vec<LogRow> = rows
        .filter(|row| args.day.is_none_or(|day| row.at.date_naive() == day))
        .collect();
    let running = last.filter(|p| !p.ended);
    let next_due = running.as_ref().and_then(Passage::next);
    let left = condition.left_of_plan(&history, &machine, now).ok();
    let begins = running.as_ref().and_then(|p| p.begins);
    let shaft = running.as_ref();
    let shaft = shaft.and_then(|p| condition.shaft_turning(p, &machine, now));
    let body = UnderWayLogBody {
        machine,
        running: running.is_some(),
        plan: begins.and_then(|line| line.rec.plan.clone()),
        left: left.map(|scenario| scenario.exposure.into()),
        next_due,
        late_minutes: next_due.map_or(0, |due| (now - due).num_minutes().max(0)),
        shaft_run_due: shaft.as_ref().map(|shaft| shaft.due),
        missed: rows.iter().map(|row| row.missed).sum(),
        rows,
    };
    if args.csv && !cx.form.json {
        return Ok(Answer::text(csv(&body.rows).map_err(Failure::logbook)?));
    }
    if args.markdown && !cx.form.json {
        return Ok(Answer::text(markdown(&body.rows)));
    }
    Ok(cx.form.answer("underway-log", &body, |page| {
        if body.rows.is_empty() {
            page.line("Nothing is on record of being under way.");
        } else {
            let columns = HEADS.map(|head| {
                let set = if head == "remark" {
                    Set::Wrap
                } else {
                    Set::Left
                };
                (head, set)
            });
            let cells: Vec<Vec<String>> = body.rows.iter().map(LogRow::cells).collect();
            // A column in which nothing was read is left out.
            let used: Vec<usize> = (0..HEADS.len())
                .filter(|at| cells.iter().any(|row| !row[*at].is_empty()))
                .collect();
            let columns: Vec<_> = used.iter().map(|at| columns[*at]).collect();
            let pick = |row: &Vec<String>| used.iter().map(|at| row[*at].clone()).collect();
            let cells: Vec<Vec<String>> = cells.iter().map(pick).collect();
            page.table(&columns, &cells);
        }
        page.blank();
        if body.missed > 0 {
            page.line(format!(
                "Rounds missed: {}; they are never filled in.",
                body.missed
            ));
        }
        if let Some(due) = body.next_due {
            let late = match body.late_minutes {
                0 => String::new(),
                minutes => format!(": {minutes} min late"),
            };
            page.line(format!("The next round is due {}{late}.", clock(due)));
        }
        if let Some(scenario) = left {
            page.line(format!("Left of the plan: {}.", words(scenario)));
        }
        if let Some(shaft) = &shaft {
            page.paragraph(shaft.words());
        }
    }))
}

fn csv(rows: &[LogRow]) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .quote_style(csv::QuoteStyle::Always)
        .from_writer(Vec::new());
    writer.write_record(HEADS)?;
    for row in rows {
        let cells = row.cells();
        writer.write_record(cells.iter().map(|cell| csv_guard(cell).into_owned()))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|e| csv::Error::from(e.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn markdown(rows: &[LogRow]) -> String {
    let line = |cells: &[String]| format!("| {} |\n", cells.join(" | "));
    let mut text = line(&HEADS.map(str::to_owned));
    text.push_str(&line(&HEADS.map(|_| "---".to_owned())));
    for row in rows {
        let cells: Vec<String> = row.cells().iter().map(|c| markdown_text(c)).collect();
        text.push_str(&line(&cells));
    }
    text
}
