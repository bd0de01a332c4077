//! `fleet`: every boat of a folder, and what adds up over all of them.

mod boats;
mod pages;

use std::path::PathBuf;

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use self::boats::{BoatRow, not_counted};
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::own_file::write;
use super::place;
use crate::fleet::failing::{Failing, fared};
use crate::fleet::offer::RatesFile;
use crate::fleet::parts::{Parts, to_buy};
use crate::fleet::rates::{Rates, pooled};
use crate::fleet::stays::{Staying, staying};
use crate::fleet::weeks::{Weeks, by_week};
use crate::fleet::work::{Work, to_do};
use crate::fleet::{Fleet, Over};
use crate::logbook::shelf::Beside;
use crate::text::words;

/// How a file of rates begins; a file of that name that begins otherwise is left alone.
const FIRST_LINE: &str = "{\n  \"type\": \"fleet-rates\"";

words! {
    /// What is told of several boats.
    Sum, "sum over boats" {
        /// How each boat stands.
        Boats = "boats",
        /// Who may not go out.
        Stays = "stays",
        /// Parts to order.
        Parts = "parts",
        /// Work by person and place.
        Work = "work",
        /// What is due, a week a row.
        Due = "due",
        /// Which item fails most.
        Failing = "failing",
        /// How long things last, pooled.
        Rates = "rates",
    }
}

/// Options of `fleet`.
#[derive(Args, Debug)]
pub struct FleetArgs {
    /// The folder in which a logbook lies for each boat [default: that of --logbook]
    #[arg(value_name = "FOLDER")]
    pub folder: Option<PathBuf>,
    /// Only this, or these joined by commas: boats, stays, parts, work, due, failing, rates
    #[arg(long, value_name = "WORD", value_delimiter = ',')]
    pub what: Vec<Sum>,
    /// Write what the looks at all boats taught to a file, for `learning start` aboard another
    ///
    /// Moves and hours of each boat, by the id of her logbook; no name of a boat or a person.
    #[arg(long, value_name = "FILE")]
    pub rates: Option<PathBuf>,
}

/// The body of the answer. Sums that were not asked for are missing.
#[derive(Serialize, JsonSchema)]
pub struct FleetBody {
    /// The folder.
    folder: String,
    /// Which logbooks could be read; the same stands in each sum.
    over: Over,
    /// Names borne twice, copies of one logbook.
    notes: Vec<String>,
    /// What lies in the folder beside the logbooks.
    beside: Vec<Beside>,
    /// Each boat, by the name of her folder.
    #[serde(skip_serializing_if = "Option::is_none")]
    boats: Option<Vec<BoatRow>>,
    /// Who may not go out, and why.
    #[serde(skip_serializing_if = "Option::is_none")]
    stays: Option<Staying>,
    /// Parts to order.
    #[serde(skip_serializing_if = "Option::is_none")]
    parts: Option<Parts>,
    /// Work by person and place.
    #[serde(skip_serializing_if = "Option::is_none")]
    work: Option<Work>,
    /// What is due, a week a row.
    #[serde(skip_serializing_if = "Option::is_none")]
    due: Option<Weeks>,
    /// Which item fails most.
    #[serde(skip_serializing_if = "Option::is_none")]
    failing: Option<Failing>,
    /// How long things last, pooled over boats.
    #[serde(skip_serializing_if = "Option::is_none")]
    rates: Option<Rates>,
    /// The file of rates written; missing where none was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    rates_file: Option<String>,
}

/// Runs the command.
///
/// # Errors
/// The folder cannot be listed or holds no logbook, or the file of rates cannot be written.
pub fn run(args: &FleetArgs, cx: &Context) -> Result<Answer, Failure> {
    let dir = match &args.folder {
        Some(folder) => folder.clone(),
        None => cx.root()?,
    };
    let (library, marks) = (cx.library()?, place::marks());
    let fleet = Fleet::read(&dir, (&cx.clock, cx.global.now), &library, marks.as_deref())?;
    if fleet.boats.is_empty() {
        let why = match dir.join("boat.json").exists() || dir.join("log").exists() {
            true => "is one boat's logbook; name the folder it lies in",
            false => "holds no logbook of a boat in a folder of its own",
        };
        return Err(Failure::logbook(format!("{} {why}", dir.display())));
    }
    cx.form.tell(not_counted(&fleet));
    let unread = |boat: &crate::fleet::Member| boat.stand().is_none_or(|s| s.is_part_unread);
    if fleet.boats.iter().any(unread) {
        cx.tell_part_unread();
    }
    let asks = |sum: Sum| args.what.is_empty() || args.what.contains(&sum);
    let rates = (asks(Sum::Rates) || args.rates.is_some()).then(|| pooled(&fleet));
    if let (Some(path), Some(rates)) = (&args.rates, &rates) {
        let file = serde_json::to_string_pretty(&RatesFile::of(rates)).map_err(Failure::usage)?;
        write(path, FIRST_LINE, &format!("{file}\n"))?;
    }
    let today = cx.now().date_naive();
    let body = FleetBody {
        folder: dir.display().to_string(),
        over: Over::all(&fleet),
        notes: fleet.notes(),
        beside: fleet.beside.clone(),
        boats: asks(Sum::Boats).then(|| fleet.boats.iter().map(BoatRow::of).collect()),
        stays: asks(Sum::Stays).then(|| staying(&fleet)),
        parts: asks(Sum::Parts).then(|| to_buy(&fleet)),
        work: asks(Sum::Work).then(|| to_do(&fleet)),
        due: asks(Sum::Due).then(|| by_week(&fleet, today)),
        failing: asks(Sum::Failing).then(|| fared(&fleet)),
        rates: rates.filter(|_| asks(Sum::Rates)),
        rates_file: args.rates.as_ref().map(|path| path.display().to_string()),
    };
    Ok(cx
        .form
        .answer("fleet", &body, |page| pages::write(page, &body)))
}
