//! `defects`: what to put right, worst first.

mod cells;
mod parts;

use clap::{Args, ValueEnum};
use schemars::JsonSchema;
use serde::Serialize;

pub use parts::{PartsBody, needed};

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, ExposureArgs, short, words};
use super::failure::Failure;
use super::page::{Page, Set};
use crate::boat::Waters;
use crate::checklist::Library;
use crate::defects::State;
use crate::defects::list::{Row, Unseen};
use crate::defects::next_look::NextLook;
use crate::defects::wait::Wait;
use crate::service::parts::parts as known_parts;
use crate::service::shop::shop;

/// Options of `defects`.
#[derive(Args, Debug)]
pub struct DefectsArgs {
    /// Show confirmed and withdrawn defects too
    #[arg(long)]
    pub all: bool,
    /// Group by place, or by the person who can put it right
    #[arg(long, value_enum)]
    pub by: Option<By>,
    /// Show the parts that the remedies need, and the list for the shop: with due work and the locker, what is
    /// aboard taken off
    #[arg(long, conflicts_with_all = ["csv", "by"])]
    pub parts: bool,
    /// Write comma-separated values for a spreadsheet
    #[arg(long, conflicts_with = "json")]
    pub csv: bool,
    /// Begin the values with a byte-order mark, by which some spreadsheets know UTF-8
    #[arg(long, requires = "csv")]
    pub bom: bool,
    // Last, because its heading would go on over the options after it.
    /// What lies ahead.
    #[command(flatten)]
    pub ahead: ExposureArgs,
}

/// How rows are grouped.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum By {
    /// By station, in walking order
    Place,
    /// By who can put it right
    Person,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct DefectsBody {
    /// Over what the list is ranked.
    pub exposure: Ahead,
    /// Where items were asked otherwise than today and the stricter counts; missing where none was.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// The waters the severities are taken for.
    pub waters: Waters,
    /// Items nobody has graded yet, by what they could hide.
    pub not_yet_looked_at: Vec<Unseen>,
    /// When each graded item is to be looked at again, sound ones too, the first to come first.
    pub next_looks: Vec<NextLook>,
    /// The rows of the list, worst first.
    pub rows: Vec<Row>,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the options or the logbook.
pub fn run(args: &DefectsArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = args.ahead.scenario(cx, &condition, &history)?;
    let mut list = condition.list(scenario, args.all);
    cx.known_asked(&book)?;
    list.rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    list.unseen
        .retain(|unseen| cx.is_asked(unseen.machine.as_deref()));
    let library = book.library();
    match args.by {
        // Sorting is stable: within a group the rank decides.
        Some(By::Place) => list
            .rows
            .sort_by_key(|row| library.catalogue.station_rank(&row.station)),
        Some(By::Person) => list.rows.sort_by_key(|row| row.remedy.who),
        None => {}
    }
    if args.parts {
        let known = known_parts(&condition, &history);
        let shop = shop(&condition, &history, &list, scenario);
        return Ok(parts::answer(&list, scenario, (library, &known), shop, cx));
    }
    if args.csv {
        return cells::answer(&list.rows, scenario, &condition, args.bom);
    }
    let mut next_looks = condition.next_looks(scenario.waters);
    next_looks.retain(|look| cx.is_asked(look.machine.as_deref()));
    let body = DefectsBody {
        exposure: scenario.exposure.into(),
        notes: condition.notes(),
        waters: scenario.waters,
        not_yet_looked_at: list.unseen,
        next_looks,
        rows: list.rows,
    };
    let several = book.boat().machines.len() > 1;
    Ok(cx.form.answer("defects", &body, |page| {
        page.line(format!("Defects of {}", book.boat().name));
        page.line(format!("Ranked over {}", words(scenario)));
        page.notes(&body.notes);
        if body.rows.is_empty() {
            page.line("Nothing to put right is on record.");
        }
        write_groups(page, &body.rows, args.by, library, several);
        let unseen = body.not_yet_looked_at.len();
        if unseen > 0 {
            page.blank();
            page.line(format!("Not yet looked at: {unseen} item(s)"));
        }
    }))
}

fn write_groups(page: &mut Page, rows: &[Row], by: Option<By>, library: &Library, several: bool) {
    let group = |row: &Row| match by {
        None => String::new(),
        Some(By::Place) => {
            let station = library.catalogue.station(&row.station);
            station.map_or_else(|| row.station.clone(), |s| s.title.clone())
        }
        Some(By::Person) => row.remedy.who.to_string(),
    };
    let mut rest = rows;
    while let Some(first) = rest.first() {
        let name = group(first);
        let count = rest.iter().take_while(|row| group(row) == name).count();
        let (these, others) = rest.split_at(count);
        page.blank();
        if !name.is_empty() {
            page.line(format!("{name}:"));
        }
        write_rows(page, these, several);
        rest = others;
    }
}

fn write_rows(page: &mut Page, rows: &[Row], several: bool) {
    let columns = [
        ("#", Set::Right),
        ("risk", Set::Left),
        ("item", Set::Left),
        ("grade", Set::Left),
        ("state", Set::Left),
        ("fix within", Set::Left),
    ];
    let written: Vec<(Vec<String>, Vec<String>)> = rows
        .iter()
        .map(|row| {
            let machine = row.machine.as_deref().filter(|_| several);
            let item = machine.map_or_else(
                || row.item.clone(),
                |machine| format!("{} ({machine})", row.item),
            );
            let risk = if row.stop {
                format!("STOP {}", row.code)
            } else {
                format!("{} {}", row.risk, row.code)
            };
            let cells = vec![
                row.rank.to_string(),
                risk,
                item,
                match row.state {
                    State::Repaired => "-".to_owned(),
                    _ => row.grade.to_string(),
                },
                row.state.to_string(),
                within(row),
            ];
            let mut notes = vec![format!("{}. {}", row.title, row.why)];
            if let Some(deferred) = &row.deferred {
                notes.push(format!(
                    "Deferred until {}: {}",
                    deferred.until, deferred.why
                ));
            }
            notes.push(format!(
                "Remedy: {} ({}, {})",
                row.remedy.action, row.remedy.who, row.remedy.place
            ));
            (cells, notes)
        })
        .collect();
    page.table_with_notes(&columns, &written, "    ");
}

/// By when it is to be put right; by when it is to be looked at where it is repaired.
fn within(row: &Row) -> String {
    let told = |within: Option<Wait>| within.map_or_else(|| "no limit".to_owned(), |w| wait(&w));
    match row.state {
        State::Repaired => format!("look {}", told(row.look_again_within)),
        _ => told(row.fix_within),
    }
}

/// A span in words.
pub fn wait(wait: &Wait) -> String {
    wait.words(
        |hours| format!("{} h", short(hours)),
        |date| format!("by {date}"),
    )
}
