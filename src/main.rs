//! Arguments to command or screens; exit codes.

use std::process::ExitCode;

use handlamp::cli::{self, Next};

fn main() -> ExitCode {
    ExitCode::from(match cli::run(std::env::args_os()) {
        Next::Exit(code) => code,
        Next::Screens(opening) => screens(opening),
    })
}

/// Opens the screens; the exit code.
fn screens(_opening: cli::screens::Opening) -> u8 {
    cli::report(&cli::failure::Failure::usage(
        "this build has the commands alone; see: handlamp --help",
    ))
}
