//! `service`: the ledger of recurring work.

mod done;
mod last;
mod list;
mod set;
mod show;
mod tasks;

use clap::Subcommand;

pub use done::DoneArgs;
pub use last::LastArgs;
pub use list::{ServiceRow, ServicesBody};
pub use set::SetArgs;
pub use show::ServiceShowBody;
pub use tasks::TasksBody;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;

/// What to do with services.
#[derive(Subcommand, Debug)]
pub enum ServiceCommand {
    /// Record work that was done: tasks by their id, or services from JSON files
    ///
    /// What a task opens, renews and leaves owed is recorded with it. Several tasks may be named
    /// together; all are recorded or none.
    Done(Box<DoneArgs>),
    /// List what was done, newest first
    List,
    /// List the tasks with how often, the last time and when they are due
    Tasks,
    /// Show a task with its steps, or one service
    Show {
        /// Id of a task, or of the record of a service
        #[arg(value_name = "TASK|ID")]
        id: String,
    },
    /// Set how often a task is due on this machine, as its handbook has it
    ///
    /// With neither bound, the task's own figures hold again.
    Set(SetArgs),
    /// Say when a task was last done or an item fitted, as you remember it, or that nobody knows
    ///
    /// It is told, not a service on record: nothing is owed after it, and the last word counts.
    /// What nobody knows the age of is due now, or due to be looked at.
    Last(LastArgs),
    /// Take back a service that was recorded by mistake, with all it did
    Undo {
        /// Id of its record
        id: String,
    },
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the service, or the logbook.
pub fn run(command: &ServiceCommand, cx: &Context) -> Result<Answer, Failure> {
    match command {
        ServiceCommand::Done(args) => done::run(args, cx),
        ServiceCommand::List => list::run(cx),
        ServiceCommand::Tasks => tasks::run(cx),
        ServiceCommand::Show { id } => show::run(id, cx),
        ServiceCommand::Set(args) => set::run(args, cx),
        ServiceCommand::Last(args) => last::run(args, cx),
        ServiceCommand::Undo { id } => set::undo(id, cx),
    }
}
