//! `logbook`: the folder of records as such.

mod check;
mod export;
mod merge;
mod tables;

use std::path::PathBuf;

use clap::Subcommand;

pub use check::LogCheckBody;
pub use export::ExportBody;
pub use merge::MergeBody;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;

/// What to do with the folder.
#[derive(Subcommand, Debug)]
pub enum LogbookCommand {
    /// Read every record and tell what is wrong; nothing of it is changed
    ///
    /// The exit code is 1 where a record or a picture is lost or in doubt.
    Check {
        /// Copy damaged and unfinished lines to the folder aside/ of the logbook, to look at
        #[arg(long)]
        aside: bool,
    },
    /// Bring in what another copy of this logbook has and this one has not
    Merge {
        /// The other copy's folder; it is only read
        dir: PathBuf,
    },
    /// Write the records as tables, one JSON object a line, for any database
    Export {
        /// The folder to write to: a new one, an empty one, or an earlier export
        dir: PathBuf,
    },
}

/// Runs the command.
///
/// # Errors
/// What cannot be read or written.
pub fn run(command: &LogbookCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        LogbookCommand::Check { aside } => check::run(*aside, cx),
        LogbookCommand::Merge { dir } => merge::run(dir, cx),
        LogbookCommand::Export { dir } => export::run(dir, cx),
    }
}

/// A problem as answers show it.
#[derive(serde::Serialize, schemars::JsonSchema)]
pub struct ProblemRow {
    /// File, relative to the logbook's folder; empty where it concerns no single file.
    file: String,
    /// Line, from 1.
    line: Option<u32>,
    /// True where a record or a picture is lost or in doubt; false for what is merely worth knowing.
    damage: bool,
    /// What is wrong.
    message: String,
}

impl From<&crate::logbook::Problem> for ProblemRow {
    fn from(problem: &crate::logbook::Problem) -> ProblemRow {
        ProblemRow {
            file: problem.file.display().to_string(),
            line: problem.line,
            damage: problem.severity() == crate::logbook::Severity::Damage,
            message: problem.message.clone(),
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
