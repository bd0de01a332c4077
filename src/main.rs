//! Arguments to command or screens; exit codes.

use std::io::Write;
use std::process::ExitCode;

use handlamp::cli::failure::{self, Failure};
use handlamp::cli::screens::Opening;
use handlamp::cli::{self, Next};
use handlamp::logbook::rescue;
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::Theme;
use handlamp::screen::app::App;
use handlamp::screen::shared::Setup;
use handlamp::terminal::guard::Guard;
use handlamp::terminal::{app_loop, signals};

fn main() -> ExitCode {
    // A full quota is an error to be told, not a death.
    let _ = signals::ignore_file_size_signal();
    match cli::run(std::env::args_os()) {
        Next::Exit(code) => ExitCode::from(code),
        Next::Screens(opening) => match screens(*opening) {
            Ok(code) => code,
            Err(failure) => ExitCode::from(cli::report(&failure)),
        },
    }
}

/// What stands there until the first screen does.
const READING: &str = "Reading her logbook.";

/// Opens the screens and stays in them.
fn screens(opening: Opening) -> Result<ExitCode, Failure> {
    let walk = opening.walk.clone();
    let setup = setup(opening);
    let guard = Guard::enter().map_err(|error| Failure::usage(error.to_string()))?;
    // What is on record may be of many years.
    guard.say(READING);
    let mut app = App::open(setup).map_err(Failure::from)?;
    if let Some(walk) = walk {
        app.open_walk(&walk.checklist, Some(&walk.machine), walk.guest)
            .map_err(Failure::usage)?;
    }
    let exit = app_loop::run(&mut app, guard);
    // The terminal is back. It may be gone for good: nothing here may panic over that.
    let unsaved = app.unsaved_lines();
    let rescued = rescue::write_all_held();
    for sentence in rescue::told(&rescued) {
        let _ = writeln!(std::io::stderr(), "{}", handlamp::text::safe(&sentence));
    }
    let kept = !rescued.is_empty() && rescued.iter().all(Result::is_ok);
    if !unsaved.is_empty() && !kept {
        let place = app.root().join("log");
        let _ = writeln!(
            std::io::stderr(),
            "NOT SAVED: keep the lines below as a file ending in .jsonl in {}",
            handlamp::text::safe(&place.to_string_lossy())
        );
        let _ = writeln!(std::io::stdout(), "{}", unsaved.join("\n"));
    }
    let finish = |exit| match exit {
        // The user chose to leave, and the logbook still lacks what was recorded.
        app_loop::Exit::Quit if !unsaved.is_empty() => ExitCode::from(failure::LOGBOOK),
        exit => exit.finish(),
    };
    exit.map(finish)
        .map_err(|error| Failure::usage(format!("the terminal cannot be used any more: {error}")))
}

/// What the screens are opened with.
fn setup(opening: Opening) -> Setup {
    let settings = opening.settings;
    let variable = |name: &str| std::env::var(name).ok();
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].map(variable);
    let glyphs = if settings.ascii {
        Glyphs::Ascii
    } else {
        Glyphs::choose(locale.each_ref().map(Option::as_deref), cfg!(windows))
    };
    let own = settings.theme.as_deref().and_then(|name| name.parse().ok());
    let (no_color, term) = (variable("NO_COLOR"), variable("TERM"));
    let theme = Theme::choose(
        opening.theme,
        own,
        no_color.as_deref(),
        term.as_deref(),
        glyphs,
    );
    Setup {
        root: opening.root,
        clock: opening.clock,
        library: opening.library,
        keys: settings.keys,
        theme,
        by: settings.by,
        report_language: settings.report_language,
        seed: opening.seed,
        late_bell: settings.late_bell,
        pictures: std::env::current_dir().unwrap_or_default(),
        marks: cli::place::marks(),
    }
}
