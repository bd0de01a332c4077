//! A program of a few lines on the real terminal layer, for what the real screens must never do:
//! panic, hang, spin. It is this test binary itself, started again inside a pseudo-terminal.

use std::time::{Duration, Instant};

use handlamp::logbook::rescue;
use handlamp::terminal::app_loop::{self, App, Flow};
use handlamp::terminal::guard::Guard;
use handlamp::terminal::input::Incoming;
use handlamp::terminal::signals::Signal;
use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::{Color, Style};
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

use crate::harness::Setup;

const MARK: &str = "HANDLAMP_TEST_TOY";

/// The toy, ready to start.
pub fn setup() -> Setup {
    let this = std::env::current_exe().expect("this test binary");
    Setup::new(this, &["--exact", "toy::run_when_asked", "--nocapture"]).env(MARK, "1")
}

#[test]
fn run_when_asked() {
    if std::env::var_os(MARK).is_none() {
        return;
    }
    let guard = match Guard::enter() {
        Ok(guard) => guard,
        Err(error) => {
            eprintln!("handlamp: {error}");
            std::process::exit(2);
        }
    };
    let exit = app_loop::run(&mut Toy::default(), guard).expect("the loop ends well");
    std::fs::write("ended", "").expect("saved");
    exit.finish();
}

#[derive(Default)]
struct Toy {
    typed: String,
    said: String,
    text: bool,
    panic_in_draw: bool,
    dropped: usize,
    ticks: u32,
    next_tick: Option<Instant>,
}

impl App for Toy {
    fn draw(&self, frame: &mut Frame<'_>) {
        assert!(!self.panic_in_draw, "drawing \u{1b}[2J failed");
        let area = frame.area();
        let lines = vec![
            // The change of colour before the selection is what once took its inverse away.
            Line::from("toy ready").style(Style::new().fg(Color::Green)),
            Line::from("selected").style(Style::new().reversed()),
            Line::from(format!("pid {}.", std::process::id())),
            Line::from(format!("size {}x{}.", area.width, area.height)),
            Line::from(format!("ticks {}.", self.ticks)),
            Line::from(format!("typed [{}]", self.typed)),
            Line::from(format!("said [{}]", self.said)),
        ];
        frame.render_widget(Paragraph::new(lines), area);
        let corner = Rect::new(
            area.right().saturating_sub(1),
            area.bottom().saturating_sub(1),
            1,
            1,
        );
        frame.render_widget("+", corner.intersection(area));
    }

    fn on(&mut self, incoming: Incoming) -> Flow {
        match incoming {
            Incoming::Key(key) => return self.key(&key.to_string()),
            Incoming::Paste(text) => self.said = format!("paste {text:?}"),
            Incoming::Burst(n) => {
                // On a busy machine one paste may come in pieces.
                self.dropped += n;
                self.said = format!("dropped {}", self.dropped);
            }
            Incoming::CannotSuspend => self.said = "cannot suspend".into(),
            Incoming::Signal(Signal::Continued) => self.said = "continued".into(),
            Incoming::Resize => {}
            ending => std::fs::write("saved", format!("{ending:?}")).expect("saved"),
        }
        Flow::Stay
    }

    fn deadline(&self) -> Option<Instant> {
        self.next_tick
    }

    fn on_deadline(&mut self) {
        self.ticks += 1;
        self.tick_later();
    }

    fn takes_text(&self) -> bool {
        self.text
    }
}

impl Toy {
    fn tick_later(&mut self) {
        self.next_tick = Some(Instant::now() + Duration::from_millis(20));
    }

    fn key(&mut self, key: &str) -> Flow {
        match key {
            "ctrl-c" => return Flow::Quit,
            "ctrl-z" => return Flow::Suspend,
            "f1" => panic!("main \u{1b}]0;x\u{7} panicked"),
            "f2" => self.panic_in_draw = true,
            "f3" => drop(std::thread::spawn(|| panic!("helper panicked"))),
            "f4" => {
                std::fs::write("stuck", "").expect("saved");
                std::thread::sleep(Duration::from_secs(600));
            }
            "f5" => self.tick_later(),
            "f6" => {
                std::fs::create_dir("book").expect("made");
                rescue::hold(rescue::Rescue {
                    root: "book".into(),
                    boat: "Grey Plover".into(),
                    boat_id: "k7f3q2-9xw4h0m2-1".into(),
                    lines: "{}\n".into(),
                    records: 1,
                });
            }
            "f10" => {
                self.text = true;
                self.said = "text".into();
            }
            other => self.typed.push_str(other),
        }
        Flow::Stay
    }
}
