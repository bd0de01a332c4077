//! Readings: which items have any, and those of the chosen one.

pub mod draw;
pub mod trend;

use crate::boat::Unit;
use crate::checklist::{Band, Item, PhaseState};
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::history::History;
use crate::defects::series::Series;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::scale;
use crate::screen::app::{App, Screen};
use crate::screen::layers::{Layer, Page};
use crate::screen::readings::trend::Shown;

/// The readings screen.
pub struct ReadingsScreen {
    /// The boat now.
    pub condition: Condition,
    /// Every item with readings, in the order of the catalogue, each engine state by itself.
    pub tracks: Vec<Track>,
    /// Under the arrow.
    pub cursor: usize,
    /// What it was opened over, to go back to.
    pub under: Box<Screen>,
    /// What the chosen one says.
    pub shown: Option<Shown>,
}

/// One series with its name, in the units of the person.
pub struct Track {
    /// As shown.
    pub title: String,
    /// The unit this person thinks in.
    pub unit: Unit,
    /// Values in the catalogue's unit.
    pub series: Series,
    /// Which value means which rung now, in [`Track::unit`].
    pub bands: Vec<Band>,
}

impl Track {
    /// A value in the unit shown.
    pub fn value(&self, value: f64) -> f64 {
        self.series.unit.convert(value, self.unit).unwrap_or(value)
    }

    /// A difference of values in the unit shown.
    pub fn step(&self, step: f64) -> f64 {
        step * self.series.unit.factor() / self.unit.factor()
    }
}

impl ReadingsScreen {
    /// All readings of the book, over the screen it was opened from; the arrow stands on the first
    /// reading of `item`, if possible in the state of the engine in front, where there is one.
    pub fn new(
        book: &Book,
        under: Screen,
        item: Option<&Subject>,
        state: Option<PhaseState>,
    ) -> ReadingsScreen {
        let condition = book.condition();
        let tracks = tracks(&condition, book.history());
        let of = |t: &Track| Some(&t.series.subject) == item;
        let here = tracks
            .iter()
            .position(|t| of(t) && state.is_some() && t.series.state == state);
        let cursor = here.or_else(|| tracks.iter().position(of));
        let mut screen = ReadingsScreen {
            condition,
            tracks,
            cursor: 0,
            under: Box::new(under),
            shown: None,
        };
        screen.choose(cursor.unwrap_or(0), book.history());
        screen
    }

    /// The same with what the book says now, the screen beneath as `beneath` makes it anew; the arrow
    /// stays on its item.
    pub(crate) fn renewed(
        self,
        book: &Book,
        beneath: impl Fn(&Book, Screen) -> Screen,
    ) -> ReadingsScreen {
        let track = self
            .track()
            .map(|t| (t.series.subject.clone(), t.series.state));
        let (item, state) = track.unzip();
        let under = beneath(book, *self.under);
        ReadingsScreen::new(book, under, item.as_ref(), state.flatten())
    }

    /// Moves the arrow and reckons what is under it.
    fn choose(&mut self, cursor: usize, history: &History) {
        self.cursor = cursor.min(self.tracks.len().saturating_sub(1));
        let track = self.tracks.get(self.cursor);
        self.shown = track.and_then(|t| Shown::of(&self.condition, history, t));
    }

    /// The chosen one.
    pub fn track(&self) -> Option<&Track> {
        self.tracks.get(self.cursor)
    }
}

fn tracks(condition: &Condition, history: &History) -> Vec<Track> {
    let items = condition.library.catalogue.items();
    let machines = &condition.boat.machines;
    let mut tracks: Vec<Track> = Vec::new();
    for item in items.iter().filter(|i| i.reading.is_some()) {
        let mut subjects: Vec<Subject> = machines
            .iter()
            .map(|m| condition.subject(&item.id, &m.id))
            .filter(|s| condition.lives.contains_key(s))
            .collect();
        subjects.dedup();
        for subject in subjects {
            let series = condition.series(history, &subject);
            let several = series.len() > 1;
            tracks.extend(
                series
                    .into_iter()
                    .map(|s| track(condition, item, s, several)),
            );
        }
    }
    // An item is read in one engine state mostly; what was read in others now and then comes last.
    let rare: Vec<bool> = tracks.iter().map(|t| is_rare(t, &tracks)).collect();
    let mut ordered: Vec<_> = rare.into_iter().zip(tracks).collect();
    ordered.sort_by_key(|(rare, _)| *rare);
    ordered.into_iter().map(|(_, track)| track).collect()
}

/// True where the same item has a series of far more readings (judgement: four times as many).
fn is_rare(track: &Track, all: &[Track]) -> bool {
    let same = all
        .iter()
        .filter(|t| t.series.subject == track.series.subject);
    let most = same.map(|t| t.series.points.len()).max().unwrap_or(0);
    track.series.points.len() * 4 < most
}

/// Named after the item, with the engine state where there are several, and the machine where the
/// boat has several.
fn track(condition: &Condition, item: &Item, series: Series, several: bool) -> Track {
    let mut title = item.title.clone();
    if let (Some(state), true) = (series.state, several) {
        title = format!("{title}, {}", state.as_str().replace('-', " "));
    }
    if let (Some(machine), true) = (&series.subject.machine, condition.boat.machines.len() > 1) {
        title = format!("{title} [{machine}]");
    }
    let unit = series.unit.preferred(condition.boat.units);
    Track {
        title,
        unit,
        bands: scale::bands_in(&series.limits, series.unit, unit),
        series,
    }
}

impl App {
    /// Opens the readings over the screen in front.
    pub(crate) fn open_readings(&mut self) {
        let item = match &self.screen {
            Screen::Walk(walk) => {
                let blind = self.book.as_ref().is_some_and(|b| walk.walk(b).blind);
                if blind {
                    return self.warn("earlier readings are hidden in a blind walk");
                }
                let item = walk.item(walk.at);
                item.map(|i| walk.before.subject(&i.id, &walk.started.machine))
            }
            Screen::Defects(defects) => defects.row().map(|row| Subject {
                item: row.item.clone(),
                machine: row.machine.clone(),
            }),
            _ => None,
        };
        if self.book.is_none() {
            return;
        }
        let state = self.walking().and_then(|(walk, _)| walk.state(walk.at));
        let under = std::mem::replace(&mut self.screen, Screen::Start);
        if let Some(book) = &self.book {
            let screen = ReadingsScreen::new(book, under, item.as_ref(), state);
            self.screen = Screen::Readings(Box::new(screen));
        }
    }

    pub(crate) fn readings_act(&mut self, action: Action) {
        let (Screen::Readings(screen), Some(book)) = (&mut self.screen, &self.book) else {
            return;
        };
        let (here, history) = (screen.cursor, book.history());
        match action {
            Action::MoveUp => screen.choose(here.saturating_sub(1), history),
            Action::MoveDown => screen.choose(here + 1, history),
            Action::PageUp => screen.choose(here.saturating_sub(5), history),
            Action::PageDown => screen.choose(here + 5, history),
            Action::First => screen.choose(0, history),
            Action::Last => screen.choose(usize::MAX, history),
            Action::Explain => {
                let page = screen.track().zip(screen.shown.as_ref());
                let page = page.map(|(track, shown)| Page {
                    title: format!("{}: the arithmetic", track.title),
                    lines: shown.page(book.boat().units),
                    scroll: 0,
                });
                self.layers.extend(page.map(Layer::Page));
            }
            Action::Back => {
                self.screen = match std::mem::replace(&mut self.screen, Screen::Start) {
                    Screen::Readings(readings) => *readings.under,
                    other => other,
                };
                // What it was opened over may be gone meanwhile.
                if matches!(self.screen, Screen::Start) {
                    self.go_home();
                }
            }
            _ => {}
        }
    }
}
