//! `boat`: the profile.

use std::io::{BufRead, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::rc::Rc;

use chrono::{DateTime, FixedOffset};
use clap::Subcommand;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::{Failure, USAGE};
use super::page::Page;
use super::source;
use crate::boat::{Boat, Hours, Machine, Waters};
use crate::defects::trend_answer::RateRow;
use crate::logbook::book::{Book, Differs};
use crate::logbook::profile::read_profile;
use crate::logbook::profile_change::prepare_profile;
use crate::logbook::{Folder, read_log};

/// What to do with the profile.
#[derive(Subcommand, Debug)]
pub enum BoatCommand {
    /// Begin a logbook for a boat
    ///
    /// Without FILE, on a terminal, three questions are asked: her name, her waters, and what the
    /// hour meter shows.
    New {
        /// The profile as JSON; `-` reads it from the standard input
        file: Option<PathBuf>,
    },
    /// Show the profile
    Show,
    /// Replace the profile
    ///
    /// The record stays as it is. A meter reading that differs from the profile before counts as
    /// read now. A profile that would take an open stop out of sight is refused: one that lacks
    /// the machine, says it is without the item, or lowers the waters in which it is a stop.
    Set {
        /// The profile as JSON; `-` reads it from the standard input
        file: PathBuf,
        /// Take stops out of sight all the same, for this reason, which every answer then gives
        #[arg(long, value_name = "WHY")]
        even_so: Option<String>,
    },
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct BoatBody {
    /// Folder of the logbook, as the system names it.
    logbook: String,
    /// The profile that the records give.
    boat: Boat,
    /// The rate of use of each machine, by which hours become dates everywhere.
    rates: Vec<MachineRate>,
    /// Machines that records name and the profile does not; missing where there is none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    beside: Vec<String>,
    /// Where the file of the profile and the records differ; missing where they agree.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    differs: Vec<FieldRow>,
}

/// A field in which the file of the profile and the records differ. The records hold.
#[derive(Serialize, JsonSchema)]
pub struct FieldRow {
    /// Such as `waters` or `machines.main.sump`.
    field: String,
    /// Its value by the records; null where they have none.
    record: Option<String>,
    /// When a record last set it.
    set_at: Option<DateTime<FixedOffset>>,
    /// Its value in boat.json; null where that has none.
    file: Option<String>,
}

impl From<Differs> for FieldRow {
    fn from(differs: Differs) -> FieldRow {
        FieldRow {
            field: differs.field.field,
            record: differs.field.first,
            set_at: differs.set_at,
            file: differs.field.second,
        }
    }
}

/// The rate of use of a machine.
#[derive(Serialize, JsonSchema)]
pub struct MachineRate {
    /// The machine, by its id in the profile.
    machine: String,
    /// Running hours per day, with the interval where meter readings give one.
    #[serde(flatten)]
    rate: RateRow,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the profile, or with the logbook.
pub fn run(command: &BoatCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        BoatCommand::New { file } => new(file.as_deref(), cx),
        BoatCommand::Show => {
            let book = cx.book()?;
            Ok(shown(&book, cx, ""))
        }
        BoatCommand::Set { file, even_so } => set(file, even_so.as_deref(), cx),
    }
}

fn new(file: Option<&Path>, cx: &Context) -> Result<Answer, Failure> {
    let root = cx.root()?;
    let folder = Folder::new(&root);
    let on_record = || {
        read_log(&root, &*cx.clock).is_ok_and(|log| log.entries.iter().any(|e| &*e.ev == "boat"))
    };
    if folder.boat().exists() || on_record() {
        return Err(Failure::usage(format!(
            "{} holds a logbook already; change its profile with: handlamp boat set FILE",
            root.display()
        )));
    }
    let library = cx.library()?;
    let boat = match file {
        Some(file) => {
            let (name, text) = source::read(file)?;
            read_profile(&name, &text, &library.catalogue, None)?
        }
        None => ask()?,
    };
    // Two boats set up at one time have two ids.
    let profile = serde_json::to_string(&boat).map_err(Failure::usage)?;
    let seed = cx.seed(&profile);
    let mut book = Book::create(&root, boat, Rc::clone(&cx.clock), library, seed)?;
    book.mind(super::place::marks().as_deref());
    saved(&mut book)?;
    Ok(shown(&book, cx, "The logbook is begun."))
}

fn set(file: &Path, even_so: Option<&str>, cx: &Context) -> Result<Answer, Failure> {
    let (name, text) = source::read(file)?;
    let mut book = cx.book_for(&text)?;
    let record = (book.profile(), book.history(), book.now());
    let boat = read_profile(&name, &text, &book.library().catalogue, Some(record))?;
    let change = prepare_profile(&book, &boat, even_so).map_err(|sentences| Failure {
        code: USAGE,
        sentences,
    })?;
    for gone in &change.left {
        let id = gone.machine.as_deref().unwrap_or_default();
        cx.note(format!(
            "the machine '{id}' is no longer in the profile and recorded as retired; its records stay in the log"
        ));
    }
    if even_so.is_some() && change.stops == 0 {
        cx.note("no stop goes out of sight with this profile; the reason given is not recorded");
    }
    book.change_profile(boat, change.left, change.even_so)?;
    saved(&mut book)?;
    Ok(shown(&book, cx, "The profile is replaced."))
}

/// The profile is in its file, but the log may have refused it.
fn saved(book: &mut Book) -> Result<(), Failure> {
    if let Some(trouble) = book.trouble() {
        return Err(Failure::logbook(trouble));
    }
    book.finish();
    Ok(())
}

fn shown(book: &Book, cx: &Context, done: &str) -> Answer {
    let condition = cx.condition(book, &cx.history(book));
    let rates = book.boat().machines.iter().map(|m| MachineRate {
        machine: m.id.clone(),
        rate: condition.rate(Some(&m.id)).into(),
    });
    let body = BoatBody {
        logbook: book.root().display().to_string(),
        boat: book.profile().clone(),
        rates: rates.collect(),
        beside: book.beside_profile().to_vec(),
        differs: book
            .file_differs()
            .into_iter()
            .map(FieldRow::from)
            .collect(),
    };
    cx.form.answer("boat", &body, |page| {
        if !done.is_empty() {
            page.line(done);
        }
        write(page, &body);
    })
}

fn write(page: &mut Page, body: &BoatBody) {
    let boat = &body.boat;
    page.line(format!("Name: {}", boat.name));
    page.line(format!("Waters: {}", boat.waters));
    page.line(format!("Units: {}", boat.units));
    page.line(format!(
        "Usual use: {} h a month",
        boat.usual_hours_per_month
    ));
    page.line(format!(
        "Day ahead: {} h, {} d",
        boat.day_ahead.hours, boat.day_ahead.days
    ));
    for (machine, rate) in boat.machines.iter().zip(&body.rates) {
        write_machine(page, machine);
        page.line(format!("  Rate of use: {}", rate.rate.in_words()));
    }
    for id in &body.beside {
        page.line(format!(
            "Beside the profile: machine '{id}', which records name"
        ));
    }
    for row in &body.differs {
        let value = |value: &Option<String>| value.clone().unwrap_or_else(|| "none".to_owned());
        let since = row
            .set_at
            .map(|at| format!(", set {}", at.format("%Y-%m-%d")));
        page.hang(
            "Differs: ",
            format!(
                "{}: {} in the records{}, {} in boat.json",
                row.field,
                value(&row.record),
                since.unwrap_or_default(),
                value(&row.file)
            ),
        );
    }
    page.line(format!("Logbook: {}", body.logbook));
}

fn write_machine(page: &mut Page, machine: &Machine) {
    page.line(format!("Machine {}: {}", machine.id, machine.name));
    let hours = machine.hours.map(|h| format!("{h} h"));
    let facts = [
        ("Meter when the profile was made", hours),
        ("Sump", machine.sump.map(|v| v.to_string())),
        (
            "Between the marks",
            machine.between_marks.map(|v| v.to_string()),
        ),
        (
            "Marks apart",
            machine.mm_between_marks.map(|mm| format!("{mm} mm")),
        ),
        (
            "Fuel in an hour of usual running",
            machine.fuel_per_hour.map(|v| v.to_string()),
        ),
        ("Gearbox", machine.gearbox.map(|v| v.to_string())),
    ];
    for (name, value) in facts {
        if let Some(value) = value {
            page.line(format!("  {name}: {value}"));
        }
    }
    if !machine.without.is_empty() {
        page.hang("  Without: ", machine.without.join(", "));
    }
    for limit in &machine.handbook {
        let end = |v: Option<f64>, open: &str| v.map_or_else(|| open.to_owned(), |v| v.to_string());
        page.hang(
            "  Handbook: ",
            format!(
                "{} {} to {} {} ({})",
                limit.item,
                end(limit.from, "any"),
                end(limit.to, "any"),
                limit.unit,
                limit.source
            ),
        );
    }
}

/// Asks the three questions on the terminal.
fn ask() -> Result<Boat, Failure> {
    if !std::io::stdin().is_terminal() || !std::io::stderr().is_terminal() {
        return Err(Failure::usage(
            "boat new asks its questions on a terminal; here give it a FILE, or - for the standard input",
        ));
    }
    let name = question("Name of the boat: ", |text| {
        if text.is_empty() {
            return Err("she needs a name".to_owned());
        }
        Ok(text.to_owned())
    })?;
    let waters = question(
        "Her waters (sheltered, inshore, offshore, ocean) [inshore]: ",
        |text| {
            if text.is_empty() {
                Ok(Waters::Inshore)
            } else {
                text.to_lowercase().parse::<Waters>()
            }
        },
    )?;
    let hours = question(
        "The hour meter shows (empty where there is none): ",
        |text| {
            if text.is_empty() {
                return Ok(None);
            }
            let number = text.trim_end_matches('h').trim().replace(',', ".");
            let hours: f64 = number
                .parse()
                .map_err(|_| "a number of hours such as 1243.6".to_owned())?;
            Hours::new(hours).map(Some)
        },
    )?;
    Ok(Boat::simple(&name, waters, hours))
}

/// Asks until the answer can be used. The question goes to the standard error: the standard
/// output is for the answer of the command.
fn question<T>(ask: &str, read: impl Fn(&str) -> Result<T, String>) -> Result<T, Failure> {
    loop {
        let mut stderr = std::io::stderr().lock();
        let _ = write!(stderr, "{ask}").and_then(|()| stderr.flush());
        let mut line = String::new();
        let got = std::io::stdin().lock().read_line(&mut line);
        if got.map_err(|e| Failure::usage(format!("the answer cannot be read ({e})")))? == 0 {
            return Err(Failure::usage("no answer; nothing was written"));
        }
        match read(line.trim()) {
            Ok(value) => return Ok(value),
            Err(why) => {
                let _ = writeln!(stderr, "{}", crate::text::safe_line(&why));
            }
        }
    }
}
