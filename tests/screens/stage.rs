//! The application on a stage: a temporary logbook, a clock that stands still, keys by name.

use std::rc::Rc;
use std::sync::Arc;
use std::time::{Duration, Instant};

use chrono::{DateTime, FixedOffset};
use handlamp::checklist::Library;
use handlamp::demo;
use handlamp::keys::KeyTable;
use handlamp::keys::key::Key;
use handlamp::logbook::book::Book;
use handlamp::logbook::import::import;
use handlamp::logbook::input::read_documents;
use handlamp::logbook::{Clock, FixedClock};
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use handlamp::screen::app::App;
use handlamp::screen::shared::Setup;
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;
use handlamp::walk::Walk;
use ratatui::buffer::Buffer;
use tempfile::TempDir;

use crate::ages;
use crate::counts::without_counts;

/// A Sunday morning.
pub const NOW: &str = "2026-05-03T07:40:00+02:00";

pub struct Stage {
    pub app: App,
    pub clock: Rc<FixedClock>,
    pub dir: Rc<TempDir>,
    library: Arc<Library>,
    theme: Theme,
}

impl Stage {
    /// On an empty folder.
    pub fn empty() -> Stage {
        Stage::on(tempfile::tempdir().expect("a folder"), plain())
    }

    /// On the demo boat.
    pub fn demo() -> Stage {
        Stage::demo_in(plain())
    }

    /// On the demo boat, in a theme.
    pub fn demo_in(theme: Theme) -> Stage {
        let dir = tempfile::tempdir().expect("a folder");
        let library = Arc::new(Library::built_in().clone());
        let clock: Rc<dyn Clock> = Rc::new(FixedClock::new(now()));
        demo::write_to(dir.path(), clock, &library).expect("the demo boat");
        Stage::on(dir, theme)
    }

    pub fn on(dir: TempDir, theme: Theme) -> Stage {
        let clock = Rc::new(FixedClock::new(now()));
        let library = Arc::new(Library::built_in().clone());
        let app = open(&dir, &clock, &library, theme, 7);
        Stage {
            app,
            clock,
            dir: Rc::new(dir),
            library,
            theme,
        }
    }

    /// What is due while nobody knows its age, told in another window as done a month ago.
    pub fn of_known_age(&mut self) -> &mut Stage {
        self.take(&ages::told(&["main"], "2026-04-01T00:00:00+02:00", NOW))
    }

    /// Documents recorded in another window.
    pub fn take(&mut self, text: &str) -> &mut Stage {
        let documents = read_documents("in.jsonl", text).expect("read");
        let mut book = self.book();
        import(&mut book, &documents).expect("taken");
        book.finish();
        self.noticed()
    }

    /// The same with the bell of a late round asked for.
    pub fn with_bell(self) -> Stage {
        let mut stage = self.killed();
        let setup = setup(&stage.dir, &stage.clock, &stage.library, stage.theme, 7);
        let setup = Setup {
            late_bell: true,
            ..setup
        };
        stage.app = App::open(setup).expect("the logbook opens");
        let _ = stage.app.on(Incoming::Changed);
        stage
    }

    /// Another window on the same logbook, by the same clock.
    pub fn beside(&self) -> Stage {
        Stage {
            app: open(&self.dir, &self.clock, &self.library, self.theme, 8),
            clock: Rc::clone(&self.clock),
            dir: Rc::clone(&self.dir),
            library: Arc::clone(&self.library),
            theme: self.theme,
        }
    }

    /// The system gives notice that somebody wrote.
    pub fn noticed(&mut self) -> &mut Stage {
        let _ = self.app.on(Incoming::Changed);
        self
    }

    /// The program is gone at once and started anew.
    pub fn killed(self) -> Stage {
        let Stage {
            app,
            clock,
            dir,
            library,
            theme,
        } = self;
        drop(app);
        let app = open(&dir, &clock, &library, theme, 7);
        Stage {
            app,
            clock,
            dir,
            library,
            theme,
        }
    }

    /// The logbook, read as another program would read it now.
    pub fn book(&self) -> Book {
        let clock = Rc::clone(&self.clock);
        Book::open(self.dir.path(), clock, Arc::clone(&self.library), None).expect("it opens")
    }

    /// The digit that takes a line of what is offered.
    #[track_caller]
    pub fn digit_of(&self, text: &str) -> String {
        let shown = self.text(80, 24);
        let line = shown.lines().find(|line| line.contains(text));
        let line = line.unwrap_or_else(|| panic!("'{text}' is not offered:\n{shown}"));
        let is_digit =
            |word: &&str| word.len() == 1 && word.starts_with(|c: char| c.is_ascii_digit());
        let digit = line.split_whitespace().find(is_digit);
        digit.expect("a digit").to_owned()
    }

    pub fn last_walk(&self) -> Walk {
        self.book().history().walks.last().expect("a walk").clone()
    }

    /// Presses keys, separated by spaces; `'text'` in quotes is typed letter by letter. Half a
    /// second passes with each.
    pub fn keys(&mut self, script: &str) -> &mut Stage {
        let mut rest = script.trim_start();
        while !rest.is_empty() {
            if let Some(quoted) = rest.strip_prefix('\'') {
                let (text, after) = quoted.split_once('\'').expect("a closing quote");
                for c in text.chars() {
                    self.press(&if c == ' ' {
                        "space".to_owned()
                    } else {
                        c.to_string()
                    });
                }
                rest = after.trim_start();
            } else {
                let (key, after) = rest.split_once(' ').unwrap_or((rest, ""));
                self.press(key);
                rest = after.trim_start();
            }
        }
        self
    }

    /// Lets the deadlines pass until the screen shows the text, which work beside it brings.
    #[track_caller]
    pub fn wait_for(&mut self, text: &str) -> &mut Stage {
        let until = Instant::now() + Duration::from_secs(60);
        while !self.text(110, 30).contains(text) {
            assert!(Instant::now() < until, "{}", self.text(110, 30));
            if self.app.deadline().is_some_and(|at| at <= Instant::now()) {
                self.app.on_deadline();
            }
            std::thread::sleep(Duration::from_millis(1));
        }
        self
    }

    /// Pastes a text.
    pub fn paste(&mut self, text: &str) -> &mut Stage {
        let _ = self.app.on(Incoming::Paste(text.to_owned()));
        self
    }

    fn press(&mut self, key: &str) {
        self.clock.advance(Duration::from_millis(500));
        let key: Key = key.parse().unwrap_or_else(|e| panic!("{key}: {e}"));
        let _ = self.app.on(Incoming::Key(key));
    }

    pub fn buffer(&self, columns: u16, rows: u16) -> Buffer {
        self.app.buffer(columns, rows)
    }

    /// The screen as a golden file keeps it: without what the catalogue counts.
    pub fn shot(&self, columns: u16, rows: u16) -> String {
        without_counts(&self.text(columns, rows))
    }

    /// The screen as text, trailing blanks cut.
    pub fn text(&self, columns: u16, rows: u16) -> String {
        text_of(&self.buffer(columns, rows))
    }
}

fn open(
    dir: &TempDir,
    clock: &Rc<FixedClock>,
    library: &Arc<Library>,
    theme: Theme,
    seed: u64,
) -> App {
    App::open(setup(dir, clock, library, theme, seed)).expect("the logbook opens")
}

fn setup(
    dir: &TempDir,
    clock: &Rc<FixedClock>,
    library: &Arc<Library>,
    theme: Theme,
    seed: u64,
) -> Setup {
    Setup {
        root: dir.path().to_owned(),
        clock: Rc::clone(clock) as Rc<dyn Clock>,
        library: Arc::clone(library),
        keys: KeyTable::built_in(),
        theme,
        by: Some("R. Quay".into()),
        report_language: handlamp::report::words::Language::English,
        seed: Some(seed),
        late_bell: false,
        pictures: dir.path().to_owned(),
        marks: None,
    }
}

pub fn now() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339(NOW).expect("a time")
}

pub fn plain() -> Theme {
    Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Unicode,
    }
}

/// What stands there in one line, without the gaps.
pub fn words(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The cells of a buffer as lines of text; the second half of a wide character is left out.
pub fn text_of(buffer: &Buffer) -> String {
    let area = buffer.area;
    let mut text = String::new();
    for y in area.top()..area.bottom() {
        let mut line = String::new();
        let mut skip = 0;
        for x in area.left()..area.right() {
            if skip > 0 {
                skip -= 1;
                continue;
            }
            let symbol = buffer[(x, y)].symbol();
            skip = handlamp::text::width(symbol).saturating_sub(1);
            line.push_str(symbol);
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text
}
