//! `man`: manual pages.

use clap::{Args, CommandFactory};
use clap_mangen::Man;

use super::Cli;
use super::answer::Answer;
use super::failure::Failure;
use crate::checklist::nearest;

/// Options of `man`.
#[derive(Args, Debug)]
pub struct ManArgs {
    /// The command whose page is meant, such as `boat new`; without it, the page of the program
    #[arg(value_name = "COMMAND")]
    pub command: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// There is no such command.
pub fn run(args: &ManArgs) -> Result<Answer, Failure> {
    let mut root = Cli::command();
    root.build();
    let mut command = root;
    for word in &args.command {
        let known: Vec<String> = command
            .get_subcommands()
            .map(|c| c.get_name().to_owned())
            .collect();
        let Some(found) = command.find_subcommand(word).cloned() else {
            let near = nearest(word, known.iter().map(String::as_str)).unwrap_or_default();
            return Err(Failure::usage(format!(
                "there is no command '{word}'{near}"
            )));
        };
        command = found;
    }
    let mut bytes = Vec::new();
    Man::new(command)
        .render(&mut bytes)
        .map_err(Failure::logbook)?;
    Ok(Answer::text(String::from_utf8_lossy(&bytes)))
}
