//! `boat`: the profile.

mod change;
mod new;
mod show;

use std::path::PathBuf;

use clap::{Args, Subcommand};

use super::answer::Answer;
use super::context::Context;
use super::failure::{Failure, USAGE};
use super::source;
use crate::boat::Boat;
use crate::logbook::book::Book;
use crate::logbook::profile::read_profile;
use crate::logbook::profile_change::{Refused, Said, only_a_meter_is_asked, set_profile};

pub use show::BoatBody;

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
    Show {
        /// Say of everything why it is asked and what changes when it is known
        #[arg(long)]
        why: bool,
    },
    /// Replace the profile
    ///
    /// The record stays as it is. A meter reading that differs from the profile before counts as
    /// read now; --typed-wrong says that an earlier one speaks against it by mistake. A profile that
    /// would take an open stop out of sight is refused: one that lacks
    /// the machine, says it is without the item, or lowers the waters in which it is a stop.
    Set {
        /// The profile as JSON; `-` reads it from the standard input
        file: PathBuf,
        /// What goes out of sight all the same
        #[command(flatten)]
        sight: Sight,
        /// What was typed wrong before
        #[command(flatten)]
        meter: Meter,
    },
    /// Say one thing of her, or that it is not known
    ///
    /// `boat show --why` lists what can be said. Of a machine where the boat has several,
    /// --machine says which.
    Put(change::PutArgs),
    /// Add a machine, a tank or a battery bank
    Add(change::AddArgs),
    /// A machine, a tank or a battery bank has left her
    ///
    /// Records of a machine stay in the log.
    Retire(change::RetireArgs),
    /// A machine does not have these items: they are asked no more
    Lacks(change::ItemsArgs),
    /// A machine has these items after all
    Has(change::ItemsArgs),
    /// What the maker's handbook gives for an item, which outranks the built-in bands
    Limit(change::LimitArgs),
}

/// What goes out of sight all the same.
#[derive(Args, Debug)]
pub struct Sight {
    /// Take stops out of sight all the same, for this reason, which every answer then gives
    #[arg(long, value_name = "WHY")]
    even_so: Option<String>,
}

impl Sight {
    fn said(&self) -> Said<'_> {
        Said {
            even_so: self.even_so.as_deref(),
            ..Said::default()
        }
    }
}

/// What was typed wrong before.
#[derive(Args, Debug)]
pub struct Meter {
    /// What the profile said of an hour meter before, and what cannot be right beside what is said
    /// now, was typed wrong: it stays on record and leaves every sum
    #[arg(long)]
    typed_wrong: bool,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the profile, or with the logbook.
pub fn run(command: &BoatCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        BoatCommand::New { file } => new::run(file.as_deref(), cx),
        BoatCommand::Show { why } => {
            let book = cx.book()?;
            Ok(show::answer(&book, cx, *why, ""))
        }
        BoatCommand::Set { file, sight, meter } => {
            let (name, text) = source::read(file)?;
            let mut book = cx.book_for(&text)?;
            let record = (book.profile(), book.history(), book.now());
            let read = |record| read_profile(&name, &text, &book.library().catalogue, record);
            // Where the profile itself speaks against it, that is asked.
            let boat = read(Some(record)).or_else(|faults| {
                let boat = read(None).ok();
                let boat = boat.filter(|boat| only_a_meter_is_asked(&book, boat));
                boat.ok_or(faults)
            })?;
            let said = Said {
                typed_wrong: meter.typed_wrong,
                ..sight.said()
            };
            set(&mut book, boat, said, cx)?;
            Ok(show::answer(&book, cx, false, "The profile is replaced."))
        }
        BoatCommand::Put(args) => change::put(args, cx),
        BoatCommand::Add(args) => change::add(args, cx),
        BoatCommand::Retire(args) => change::retire(args, cx),
        BoatCommand::Lacks(args) => change::items(args, true, cx),
        BoatCommand::Has(args) => change::items(args, false, cx),
        BoatCommand::Limit(args) => change::limit(args, cx),
    }
}

/// Changes the profile, and tells what left with it.
fn set(book: &mut Book, boat: Boat, said: Said<'_>, cx: &Context) -> Result<(), Failure> {
    let change = set_profile(book, boat, said).map_err(refused)?;
    for gone in &change.left {
        let id = gone.machine.as_deref().unwrap_or_default();
        cx.note(format!(
            "the machine '{id}' is no longer in the profile and recorded as retired; its records stay in the log"
        ));
    }
    if said.even_so.is_some() && change.stops == 0 {
        cx.note("no stop goes out of sight with this profile; the reason given is not recorded");
    }
    saved(book)
}

fn refused(refused: Refused) -> Failure {
    let sentences = match refused {
        Refused::Wrong(faults) => {
            let told = faults.into_iter();
            told.map(|(field, why)| format!("{field}: {why}")).collect()
        }
        Refused::Meter { hours, before } => {
            let told = Refused::meter(hours, before);
            vec![format!(
                "hours: {told}; where it is the one before: --typed-wrong"
            )]
        }
        Refused::Stops(stops) => {
            let told = stops.into_iter();
            let told = told.map(|stop| {
                format!("{stop}; look at it again first, or give the reason with --even-so WHY")
            });
            told.collect()
        }
        Refused::Why(why) => vec![format!("--even-so: {why}")],
        Refused::Disk(error) => return error.into(),
    };
    Failure {
        code: USAGE,
        sentences,
    }
}

/// The profile is in its file, but the log may have refused it.
fn saved(book: &mut Book) -> Result<(), Failure> {
    if let Some(trouble) = book.trouble() {
        return Err(Failure::logbook(trouble));
    }
    book.finish();
    Ok(())
}
