//! `logbook`: the folder of records as such.

mod answer_rows;
mod answer_tables;
mod check;
mod export;
mod list;
mod merge;
mod rows;
mod seal;
mod sql;
mod tables;
mod verify;

use std::path::PathBuf;

use clap::Subcommand;

pub use check::LogCheckBody;
pub use export::{ExportBody, all_tables};
pub use list::ListBody;
pub use merge::MergeBody;
pub use seal::SealBody;
pub use sql::references;
pub use verify::VerifyBody;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;

/// What to do with the folder.
#[derive(Subcommand, Debug)]
pub enum LogbookCommand {
    /// Read every record and tell what is wrong; nothing of it is changed
    ///
    /// The exit code is 1 where a record, a picture or a text is lost or in doubt.
    Check {
        /// Copy damaged and unfinished lines to the folder aside/ of the logbook, to look at
        #[arg(long)]
        aside: bool,
        /// Say that the losses told are known: they stay named, and forbid no clear verdict any more
        #[arg(long, requires = "why")]
        accept: bool,
        /// Go on with this copy, though records this computer had seen are missing in it; first
        /// think of a copy that has them, and of: handlamp logbook merge
        #[arg(long, requires = "why")]
        go_on: bool,
        /// Why they can be lived with, or why one goes on without them
        #[arg(long, value_name = "TEXT")]
        why: Option<String>,
        /// Who says so [default: who walks, by the settings]
        #[arg(long, value_name = "NAME", requires = "why")]
        by: Option<String>,
    },
    /// Bring in what another copy of this logbook has and this one has not
    Merge {
        /// The other copy's folder; it is only read
        dir: PathBuf,
    },
    /// Print a code that tells later whether the records are still the same
    ///
    /// It proves that to whoever kept the code. It proves neither who made the records, nor when,
    /// nor that they are true.
    Seal {
        /// Seal the records up to the end of this walk [default: all]
        #[arg(long, value_name = "ID")]
        walk: Option<String>,
        /// Write the listing behind the code to a new file, which can name later what changed
        #[arg(long, value_name = "FILE")]
        to: Option<PathBuf>,
    },
    /// Tell whether the records are still those of a seal
    ///
    /// The exit code is 1 where they are not, and 2 for a code that was never printed so.
    VerifySeal {
        /// The code, as it was printed
        code: String,
        /// The listing written when it was sealed
        #[arg(long, value_name = "FILE")]
        list: Option<PathBuf>,
    },
    /// List the logbooks in a folder of logbooks, one for each boat
    List {
        /// The folder that holds their folders
        dir: PathBuf,
    },
    /// Write the records as tables, one JSON object a line, for any database; or as a script of SQL
    ///
    /// The tables say what the other commands say, and what is not counted in a table of its own. Loading
    /// a script again changes nothing; a newer one of the same boat takes the place of the older.
    Export {
        /// The folder to write to: a new one, an empty one, or an earlier export
        #[arg(conflicts_with = "into")]
        dir: Option<PathBuf>,
        /// Write one script of SQL instead, which SQLite, DuckDB and PostgreSQL take
        #[arg(long, value_name = "FILE.sql")]
        into: Option<PathBuf>,
    },
}

/// Runs the command.
///
/// # Errors
/// What cannot be read or written.
pub fn run(command: &LogbookCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        LogbookCommand::Check {
            aside,
            accept,
            go_on,
            why,
            by,
        } => {
            let asked = check::CheckOptions {
                aside: *aside,
                accept: *accept,
                go_on: *go_on,
                why: why.as_deref(),
                by: by.as_deref(),
            };
            check::run(&asked, cx)
        }
        LogbookCommand::Merge { dir } => merge::run(dir, cx),
        LogbookCommand::Seal { walk, to } => seal::run(walk.as_deref(), to.as_deref(), cx),
        LogbookCommand::VerifySeal { code, list } => verify::run(code, list.as_deref(), cx),
        LogbookCommand::List { dir } => list::run(dir, cx),
        LogbookCommand::Export { dir, into } => {
            let to = match (dir, into) {
                (_, Some(file)) => export::To::Script(file),
                (Some(dir), None) => export::To::Folder(dir),
                (None, None) => {
                    let say = "name a folder to write to, or a file: --into FILE.sql";
                    return Err(Failure::usage(say));
                }
            };
            export::run(to, cx)
        }
    }
}

/// A problem as answers show it.
#[derive(serde::Serialize, schemars::JsonSchema)]
pub struct ProblemRow {
    /// File, relative to the logbook's folder; empty where it concerns no single file.
    file: String,
    /// Line in that file, counted from 1.
    line: Option<u32>,
    /// True where a record, a picture or a text is lost or in doubt; false for what is merely worth knowing.
    damage: bool,
    /// What is wrong there, one sentence.
    message: String,
}

impl From<&crate::logbook::Problem> for ProblemRow {
    fn from(problem: &crate::logbook::Problem) -> ProblemRow {
        ProblemRow {
            file: problem.file.display().to_string(),
            line: problem.line,
            damage: problem.gravity() == crate::logbook::Gravity::Damage,
            message: problem.message.clone(),
        }
    }
}

impl From<&crate::logbook::rescued::Untaken> for ProblemRow {
    fn from(left: &crate::logbook::rescued::Untaken) -> ProblemRow {
        ProblemRow {
            file: left.file.display().to_string(),
            line: None,
            damage: left.ours,
            message: left.why.clone(),
        }
    }
}

impl ProblemRow {
    fn sentence(&self) -> String {
        let word = if self.damage { "damage" } else { "notice" };
        let line = self.line.map(|n| format!(", line {n}"));
        let place = if self.file.is_empty() {
            String::new()
        } else {
            format!("{}{}: ", self.file, line.unwrap_or_default())
        };
        format!("{word}: {place}{}", self.message)
    }
}
