//! tmp
use handlamp::screen::{
    app::{App, Setup},
    app_loop,
    glyphs::Glyphs,
    keys::KeyTable,
    terminal::Guard,
    theme::{Theme, ThemeName},
};
use std::process::ExitCode;
use std::rc::Rc;
use std::sync::Arc;
fn main() -> ExitCode {
    let setup = Setup {
        root: std::env::var("HANDLAMP_LOGBOOK")
            .unwrap_or("/tmp/hl".into())
            .into(),
        clock: Rc::new(handlamp::logbook::SystemClock::new()),
        library: Arc::new(handlamp::checklist::Library::built_in().clone()),
        keys: KeyTable::built_in(),
        theme: Theme {
            name: ThemeName::Plain,
            glyphs: Glyphs::Unicode,
        },
        by: Some("R. Quay".into()),
        seed: None,
        pictures: "/tmp/pics".into(),
    };
    let mut app = match App::open(setup) {
        Ok(a) => a,
        Err(e) => {
            eprintln!("{e}");
            return ExitCode::from(3);
        }
    };
    let guard = match Guard::enter() {
        Ok(g) => g,
        Err(e) => {
            eprintln!("{e}");
            return ExitCode::from(2);
        }
    };
    match app_loop::run(&mut app, guard) {
        Ok(exit) => {
            for l in app.unsaved_lines() {
                println!("{l}");
            }
            exit.finish()
        }
        Err(e) => {
            eprintln!("{e}");
            ExitCode::from(3)
        }
    }
}
