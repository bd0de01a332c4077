//! `boat new`: a logbook begins, with a profile or with three answers.

use std::io::{BufRead, IsTerminal, Write};
use std::path::Path;
use std::rc::Rc;

use super::{saved, show};
use crate::boat::{Boat, Hours, Waters};
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::{place, source};
use crate::logbook::book::Book;
use crate::logbook::profile::read_profile;
use crate::logbook::{Folder, read_log};

/// Begins a logbook.
///
/// # Errors
/// There is one already, or what is wrong with the profile.
pub fn run(file: Option<&Path>, cx: &Context) -> Result<Answer, Failure> {
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
    book.mind(place::marks().as_deref());
    saved(&mut book)?;
    Ok(show::answer(&book, cx, false, "The logbook is begun."))
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
