//! `checklist`: what can be looked at, and a user's own files.

mod add;
mod check;
mod list;
mod own;
mod schema;
mod sheet;
mod show;

use std::path::PathBuf;

use clap::Subcommand;

pub use add::AddBody;
pub use check::CheckBody;
pub use list::ListBody;
pub use show::{ItemBody, ShowBody, write_item};

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use crate::checklist::{Checklist, Library, nearest};

/// What to do with checklists.
#[derive(Subcommand, Debug)]
pub enum ChecklistCommand {
    /// List the checklists, what is your own, and where each comes from
    List,
    /// Put catalogue files, checklists and service tasks of your own into the boat's logbook
    ///
    /// They go with every copy of it, and count above what the settings folder says of the same
    /// ids. What the settings folder has is taken over by itself as soon as something is recorded
    /// that may rest on it.
    Add {
        /// Files to put in together
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Make a checklist of your own, which asks one item to begin with
    ///
    /// It closes as the short check does. `item ask` puts more items into it, or takes them out.
    New(own::NewArgs),
    /// Ask with the engine in another state, in a checklist of your own
    Phase(own::PhaseArgs),
    /// Say whether a checklist of your own is offered among what can be walked
    ///
    /// What was walked by it stays.
    Offered(own::OfferedArgs),
    /// Show a checklist with everything that is known of its items
    Show {
        /// Id of the checklist
        id: String,
    },
    /// Check catalogue files, checklists and service tasks of your own
    ///
    /// Files for the program lie in the folder `checklists` beside `config.json`. The exit code is
    /// 1 where something is wrong.
    Check {
        /// Files to check together
        #[arg(required = true, value_name = "FILE")]
        files: Vec<PathBuf>,
    },
    /// Print the JSON Schema of a file or of an output; without NAME, the names
    Schema {
        /// Such as checklist, catalogue, boat, defects
        name: Option<String>,
    },
    /// Print a checklist to fill in on paper, 80 columns wide
    Sheet {
        /// Id of the checklist
        id: String,
        /// Write it as a page that a browser prints on A4 or Letter instead
        #[arg(long, value_name = "FILE")]
        html: Option<PathBuf>,
    },
}

/// Runs the command.
///
/// # Errors
/// A name nobody knows, or a file that cannot be read.
pub fn run(command: &ChecklistCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        ChecklistCommand::List => list::run(cx),
        ChecklistCommand::Add { files } => add::run(files, cx),
        ChecklistCommand::New(args) => own::new(args, cx),
        ChecklistCommand::Phase(args) => own::phase(args, cx),
        ChecklistCommand::Offered(args) => own::offered(args, cx),
        ChecklistCommand::Show { id } => show::run(id, cx),
        ChecklistCommand::Check { files } => check::run(files, cx),
        ChecklistCommand::Schema { name } => schema::run(name.as_deref(), cx),
        ChecklistCommand::Sheet { id, html } => sheet::run(id, html.as_deref(), cx),
    }
}

/// The checklist of that id.
pub(super) fn find<'a>(library: &'a Library, id: &str) -> Result<&'a Checklist, Failure> {
    library.checklist(id).ok_or_else(|| {
        let ids = || library.checklists().iter().map(|c| c.id.as_str());
        Failure::usage(format!(
            "there is no checklist '{id}'{}; there are {}",
            nearest(id, ids()).unwrap_or_default(),
            ids().collect::<Vec<_>>().join(", ")
        ))
    })
}
