//! Waiting for a report at the screen: how far it is, and giving it up. It is made on a thread of its
//! own, so keys, sizes and deadlines are answered meanwhile.

use std::time::{Duration, Instant};

use ratatui::Frame;
use ratatui::text::{Line, Span};

use crate::keys::Action;
use crate::paint::widgets::{self, text};
use crate::report::making::{Making, Stage};
use crate::report::write::{WriteError, Written};
use crate::screen::app::App;
use crate::screen::layers::Layer;

/// How often it is looked at.
const LOOK: Duration = Duration::from_millis(50);
/// Columns of the box and of the bar in it.
const WIDTH: u16 = 60;
const BAR: usize = 24;

/// A report under way.
pub struct Waiting {
    making: Making,
    /// Id of the walk.
    walk: String,
    /// Name that was offered for the file.
    offered: String,
    /// Name of the file.
    name: String,
    look_at: Instant,
}

impl Waiting {
    /// For the report of a walk, to be written to a file.
    pub fn new(making: Making, walk: String, offered: String, name: String) -> Waiting {
        Waiting {
            making,
            walk,
            offered,
            name,
            look_at: Instant::now() + LOOK,
        }
    }

    /// Asks for it to be given up; the answer says what came of that.
    pub fn stop(&self) {
        self.making.stop();
    }
}

impl App {
    /// When a report under way is to be looked at.
    pub(crate) fn report_look(&self) -> Option<Instant> {
        self.layers.iter().find_map(|layer| match layer {
            Layer::Report(waiting) => Some(waiting.look_at),
            _ => None,
        })
    }

    /// Looks at a report under way, and tells what came of it.
    pub(crate) fn look_at_report(&mut self) {
        let mut layers = self.layers.iter_mut().enumerate();
        let found = layers.find_map(|(at, layer)| match layer {
            Layer::Report(waiting) => Some((at, waiting)),
            _ => None,
        });
        let Some((at, waiting)) = found else { return };
        waiting.look_at = Instant::now() + LOOK;
        let Some(answer) = waiting.making.answer(Duration::ZERO) else {
            return;
        };
        let Layer::Report(waiting) = self.layers.remove(at) else {
            return;
        };
        match answer {
            Ok(written) => self.report_made(&waiting.name, written),
            Err(error @ WriteError::Stopped) => self.tell(error.to_string()),
            // The question is open again with what was typed, as for a name that cannot be.
            Err(error) => {
                let mut layer = App::report_question(waiting.walk, waiting.offered);
                if let Layer::Line(line) = &mut layer {
                    line.insert(&waiting.name);
                    line.error = Some(error.to_string());
                }
                self.layers.insert(at, layer);
            }
        }
    }

    fn report_made(&mut self, name: &str, written: Written) {
        let path = self.setup.pictures.join(name);
        let told = format!("report written: {}", path.display());
        match written.left_out {
            0 => self.tell(told),
            n => self.warn(format!(
                "{n} photograph(s) cannot be read and are left out; see: handlamp logbook check; {told}"
            )),
        }
    }

    /// Gives up a report under way before the program ends.
    pub(crate) fn give_up_report(&mut self) {
        self.layers
            .retain(|layer| !matches!(layer, Layer::Report(_)));
    }
}

/// Draws how far it is in a box low on the screen.
pub fn draw(app: &App, waiting: &Waiting, frame: &mut Frame<'_>) {
    let theme = app.setup.theme;
    let beneath = crate::screen::draw::footer_rows(app, frame.area());
    let title = format!("Report to {}", waiting.name);
    let inside = widgets::panel_above(frame, &theme, &title, (WIDTH, 5), beneath);
    let room = usize::from(inside.width);
    let bar = |done, total, told: String| {
        let bar = theme.glyphs.bar(done, total, BAR.min(room));
        let told = text(&told, room.saturating_sub(BAR), theme.text());
        Line::from(vec![Span::styled(bar, theme.progress()), told])
    };
    let far = match waiting.making.stage() {
        Stage::Gathering => bar(0, 1, "  putting it together".to_owned()),
        Stage::Photographs { done, total } => {
            bar(done, total, format!("  {done} of {total} photographs"))
        }
        Stage::Writing => bar(1, 1, "  writing the file".to_owned()),
    };
    let keys = app.setup.keys.keys_of(Action::Back);
    let key = keys.first().map(ToString::to_string).unwrap_or_default();
    let leave = if waiting.making.is_stopped() {
        "stopping".to_owned()
    } else {
        format!("{key} stops it; a file that was there before stays")
    };
    let lines = vec![
        far,
        Line::default(),
        Line::from(text(&leave, room, theme.quiet())),
    ];
    widgets::lines(frame, inside, lines);
}
