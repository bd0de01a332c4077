//! Readings: which items have any, and those of the chosen one.

pub mod draw;
pub mod trend;

use std::convert::Infallible;
use std::rc::Rc;

use crate::boat::Unit;
use crate::checklist::{Band, Item, PhaseState};
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::history::History;
use crate::defects::series::Series;
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::scale;
use crate::screen::kind::{Asks, Cx, Go, Screen, To, moved};
use crate::screen::layers::Layer;

/// The readings screen.
pub struct ReadingsScreen {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// Every item with readings, in the order of the catalogue, each engine state by itself.
    pub tracks: Vec<Track>,
    /// Under the arrow.
    pub cursor: usize,
    /// What the chosen one says.
    pub shown: Option<trend::Reckoned>,
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
    /// All readings of the book; the arrow stands on the first reading of `item`, if possible in the
    /// state of the engine in front, where there is one.
    pub fn new(book: &Book, item: Option<&Subject>, state: Option<PhaseState>) -> ReadingsScreen {
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
            shown: None,
        };
        screen.choose(cursor.unwrap_or(0));
        screen
    }

    /// Moves the arrow and reckons what is under it.
    fn choose(&mut self, cursor: usize) {
        self.cursor = cursor.min(self.tracks.len().saturating_sub(1));
        let Some(track) = self.tracks.get(self.cursor) else {
            return;
        };
        let own = &track.series;
        let others = self.tracks.iter().map(|t| &t.series);
        let others = others.filter(|s| s.subject == own.subject && s.state != own.state);
        let others = others.filter_map(|s| s.state).collect();
        self.shown = trend::Reckoned::of(&self.condition, others, track);
    }

    /// The chosen one.
    pub fn track(&self) -> Option<&Track> {
        self.tracks.get(self.cursor)
    }
}

fn tracks(condition: &Condition, history: &History) -> Vec<Track> {
    let items = condition.library.catalogue.items();
    let machines = &condition.boat.machines;
    let mut read: Vec<(&Item, Subject)> = Vec::new();
    for item in items.iter().filter(|i| i.reading.is_some()) {
        let own = machines.iter().map(|m| condition.subject(&item.id, &m.id));
        let mut own: Vec<Subject> = own.filter(|s| condition.lives.contains_key(s)).collect();
        own.dedup();
        read.extend(own.into_iter().map(|subject| (item, subject)));
    }
    let mut tracks: Vec<Track> = Vec::new();
    let all = condition.series_of(history, read.iter().map(|(_, subject)| subject));
    for ((item, _), series) in read.iter().zip(all) {
        let several = series.len() > 1;
        let named = series.into_iter();
        tracks.extend(named.map(|s| track(condition, item, s, several)));
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

impl Asks for ReadingsScreen {
    type Pick = Infallible;
    type Line = Infallible;
}

impl Screen for ReadingsScreen {
    fn act(&mut self, action: Action, cx: &mut Cx<'_, Self>) {
        match action {
            Action::Explain => {
                if let Some((track, shown)) = self.track().zip(self.shown.as_ref()) {
                    let title = format!("{}: the arithmetic", track.title);
                    cx.ask(Layer::page(title, shown.page(cx.book.boat().units)));
                }
            }
            Action::Undo => {
                let item = self.track().map(|track| track.series.subject.item.clone());
                cx.go = item.map(|item| Go::Over(To::TakeBack(item)));
            }
            Action::Back => cx.go(Go::Back),
            _ => {
                if let Some(cursor) = moved(action, self.cursor, self.tracks.len(), 5) {
                    self.choose(cursor);
                }
            }
        }
    }
}
