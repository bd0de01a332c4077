//! Readings: which items have any, and those of the chosen one.

pub mod draw;
pub mod plot;
pub mod sight;
mod told;
pub mod trend;

use std::convert::Infallible;
use std::rc::Rc;

use crate::boat::Unit;
use crate::checklist::{Band, Item, PhaseState};
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::history::History;
use crate::defects::series::{Series, Taken};
use crate::keys::Action;
use crate::logbook::book::Book;
use crate::paint::scale;
use crate::screen::kind::{Asks, Cx, Go, Screen, To, moved};
use crate::screen::layers::Layer;
use crate::screen::readings::plot::{Axis, Plot};
use crate::screen::readings::sight::{Sight, Way};
use crate::screen::readings::trend::Reckoned;

/// The readings screen.
pub struct ReadingsScreen {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// Every item with readings, in the order of the catalogue, each engine state by itself.
    pub tracks: Vec<Track>,
    /// Under the arrow.
    pub cursor: usize,
    /// The chosen one; none where nothing was read.
    pub chosen: Option<Chosen>,
}

/// What the chosen readings say, and what of them is in sight. Reckoned when they are chosen, not when
/// they are drawn.
pub struct Chosen {
    /// The trend and its words, of all readings whatever is in sight.
    pub reckoned: Reckoned,
    /// All of it in words.
    pub said: Vec<String>,
    /// As they are drawn.
    pub plot: Plot,
    /// Over what they can be drawn.
    pub axes: Vec<Axis>,
    /// What is in sight.
    pub sight: Sight,
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
    /// Decimals of its figures.
    digits: usize,
    /// Lowest and highest value, in [`Track::unit`].
    pub reach: (f64, f64),
}

impl Track {
    /// A value in the unit shown.
    pub fn value(&self, value: f64) -> f64 {
        self.series.unit.convert(value, self.unit).unwrap_or(value)
    }

    /// A value in the unit shown with its unit, as many digits as the readings have.
    pub fn figure(&self, value: f64) -> String {
        format!("{value:.*} {}", self.digits, self.unit)
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
            chosen: None,
        };
        screen.choose(cursor.unwrap_or(0));
        screen
    }

    /// Moves the arrow and reckons what is under it.
    fn choose(&mut self, cursor: usize) {
        self.cursor = cursor.min(self.tracks.len().saturating_sub(1));
        self.chosen = self.track().and_then(|track| self.reckon(track, None));
    }

    /// The readings over an axis; by rule where none is named.
    fn reckon(&self, track: &Track, axis: Option<Axis>) -> Option<Chosen> {
        let own = &track.series;
        let of = |over| {
            let others = self.tracks.iter().map(|t| &t.series);
            let others = others.filter(|s| s.subject == own.subject && s.state != own.state);
            let others = others.filter_map(|s| s.state).collect();
            Reckoned::of(&self.condition, others, track, over)
        };
        // Over engine speed what is said stays that over time.
        let reckoned = match axis {
            Some(Axis::Time(over)) => of(Some(over)),
            Some(Axis::Speed) | None => of(None),
        }?;
        let axes = match self.chosen.as_ref().filter(|_| axis.is_some()) {
            Some(chosen) => chosen.axes.clone(),
            None => Axis::all(track, reckoned.answer.over),
        };
        let axis = axis.or(axes.first().copied())?;
        let plot = Plot::of(track, &reckoned, axis);
        Some(Chosen {
            said: told::sentences(&self.condition, track, &reckoned, &plot),
            plot,
            reckoned,
            axes,
            sight: Sight::default(),
        })
    }

    /// Draws the same readings over the axis; the cursor stays on its reading where that is there too.
    fn lay(&mut self, axis: Axis) {
        let at = self.chosen.as_ref().and_then(Chosen::reading);
        let Some(mut chosen) = self.track().and_then(|t| self.reckon(t, Some(axis))) else {
            return;
        };
        if let Some(at) = at {
            let place = chosen
                .plot
                .readings
                .iter()
                .position(|reading| *reading == at);
            chosen.sight.at = place;
        }
        self.chosen = Some(chosen);
    }

    /// Shows the same readings the same way as another did, as far as they are there.
    fn look_as(&mut self, other: &ReadingsScreen) {
        let of = |screen: &ReadingsScreen| {
            let series = &screen.track()?.series;
            Some((series.subject.clone(), series.state))
        };
        let Some(was) = other.chosen.as_ref().filter(|_| of(self) == of(other)) else {
            return;
        };
        let axis = was.plot.axis;
        let is_there = |chosen: &Chosen| chosen.axes.contains(&axis);
        if self.chosen.as_ref().is_some_and(is_there) {
            self.lay(axis);
        }
        let read_out = other
            .track()
            .zip(was.reading())
            .map(|(track, at)| &track.series.points[at]);
        let same = read_out.zip(self.track()).and_then(|(then, track)| {
            let same = |t: &Taken| (t.at, &t.walk, &t.phase) == (then.at, &then.walk, &then.phase);
            track.series.points.iter().position(same)
        });
        if let Some(chosen) = &mut self.chosen {
            let place = chosen
                .plot
                .readings
                .iter()
                .position(|reading| Some(*reading) == same);
            if let Some(place) = place {
                chosen.sight = was.sight;
                chosen.sight.put(place, &chosen.plot.xs, chosen.plot.whole);
            }
        }
    }

    /// Over the next axis there is.
    fn next_axis(&mut self) {
        let Some(chosen) = &self.chosen else { return };
        let now = chosen
            .axes
            .iter()
            .position(|axis| *axis == chosen.plot.axis);
        let next = now.map_or(0, |now| (now + 1) % chosen.axes.len());
        if let Some(axis) = chosen
            .axes
            .get(next)
            .copied()
            .filter(|_| chosen.axes.len() > 1)
        {
            self.lay(axis);
        }
    }

    /// The chosen one.
    pub fn track(&self) -> Option<&Track> {
        self.tracks.get(self.cursor)
    }
}

impl Chosen {
    /// The reading that is read out, by its place in the series.
    pub fn reading(&self) -> Option<usize> {
        self.plot.readings.get(self.sight.at?).copied()
    }

    /// First and last x in sight.
    pub fn span(&self) -> (f64, f64) {
        self.sight.span(self.plot.whole)
    }

    /// Moves what is in sight, or the cursor; false for other actions.
    fn act(&mut self, action: Action) -> bool {
        let (sight, xs, whole) = (&mut self.sight, &self.plot.xs, self.plot.whole);
        match action {
            Action::EarlierReading => sight.go(Way::Back, xs, whole),
            Action::LaterReading => sight.go(Way::On, xs, whole),
            Action::First if sight.at.is_some() => sight.go(Way::First, xs, whole),
            Action::Last if sight.at.is_some() => sight.go(Way::Last, xs, whole),
            Action::Closer => sight.closer(xs, whole),
            Action::Wider => sight.wider(xs, whole),
            Action::ClearFilters => sight.show_all(),
            Action::Back if sight.at.is_some() => *sight = Sight::default(),
            _ => return false,
        }
        true
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
    let values = || {
        let points = series.points.iter();
        points.map(|t| series.unit.convert(t.value, unit).unwrap_or(t.value))
    };
    let digits = values().map(scale::decimals_of).max().unwrap_or(0);
    let low = values().fold(f64::INFINITY, f64::min);
    let high = values().fold(f64::NEG_INFINITY, f64::max);
    Track {
        digits: digits.min(2),
        reach: (low, high),
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
        if self
            .chosen
            .as_mut()
            .is_some_and(|chosen| chosen.act(action))
        {
            return;
        }
        match action {
            Action::Axis => self.next_axis(),
            Action::Explain => {
                if let Some((track, chosen)) = self.track().zip(self.chosen.as_ref()) {
                    let title = format!("{}: the arithmetic", track.title);
                    let page = chosen.reckoned.page(cx.book.boat().units);
                    cx.ask(Layer::page(title, page));
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
