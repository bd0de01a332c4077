//! `completions`: command-line completion for a shell.

use clap::{Args, CommandFactory};
use clap_complete::Shell;

use super::Cli;
use super::answer::Answer;

/// Options of `completions`.
#[derive(Args, Debug)]
pub struct CompletionsArgs {
    /// The shell
    pub shell: Shell,
}

/// Runs the command.
pub fn run(args: &CompletionsArgs) -> Answer {
    let mut bytes = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "handlamp", &mut bytes);
    Answer::text(String::from_utf8_lossy(&bytes))
}
