//! Readings: which items have any, and those of the chosen one.

use chrono::{DateTime, FixedOffset};

use super::app::{App, Screen};
use super::keys::Action;
use super::layer::{Layer, Page};
use super::readings_trend::Shown;
use crate::boat::{Measure, Unit};
use crate::checklist::{Band, Closing, Grade, Item, PhaseState};
use crate::defects::Subject;
use crate::defects::condition::Condition;
use crate::defects::history::History;
use crate::logbook::book::Book;
use crate::walk::Better;

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

/// The readings of one item in one phase of its walks.
pub struct Track {
    /// Which item of which machine.
    pub subject: Subject,
    /// Id of the phase.
    pub phase: Option<String>,
    /// As shown.
    pub title: String,
    /// The unit this person thinks in.
    pub unit: Unit,
    /// By time.
    pub taken: Vec<Taken>,
    /// When the item was put right.
    pub repairs: Vec<DateTime<FixedOffset>>,
    /// Which value means which rung now, in [`Track::unit`].
    pub bands: Vec<Band>,
}

/// One reading.
#[derive(Clone, Debug, PartialEq)]
pub struct Taken {
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Running hours of the machine by then.
    pub hours: f64,
    /// As entered.
    pub measure: Measure,
    /// In [`Track::unit`].
    pub value: f64,
    /// The rung given with it.
    pub grade: Grade,
    /// Litres topped up with it.
    pub added: f64,
}

impl ReadingsScreen {
    /// All readings of the book, over the screen it was opened from; the arrow stands on the first
    /// reading of `item`, where there is one.
    pub fn new(book: &Book, under: Screen, item: Option<&Subject>) -> ReadingsScreen {
        let condition = book.condition();
        let tracks = tracks(&condition, book.history());
        let cursor = item.and_then(|item| tracks.iter().position(|t| t.subject == *item));
        let mut screen = ReadingsScreen {
            condition,
            tracks,
            cursor: 0,
            under: Box::new(under),
            shown: None,
        };
        screen.choose(cursor.unwrap_or(0));
        screen
    }

    /// Moves the arrow and reckons what is under it.
    fn choose(&mut self, cursor: usize) {
        self.cursor = cursor.min(self.tracks.len().saturating_sub(1));
        let track = self.tracks.get(self.cursor);
        self.shown = track.map(|t| Shown::of(&self.condition, t));
    }

    /// The chosen one.
    pub fn track(&self) -> Option<&Track> {
        self.tracks.get(self.cursor)
    }
}

fn tracks(condition: &Condition, history: &History) -> Vec<Track> {
    let mut tracks: Vec<Track> = Vec::new();
    let items = condition.library.catalogue.items();
    for item in items.iter().filter(|i| i.reading.is_some()) {
        let mut own: Vec<Track> = Vec::new();
        for walk in &history.walks {
            let subject = condition.subject(&item.id, &walk.machine);
            for timed in walk.looks_at(&item.id) {
                let look = &timed.look;
                let (Some(measure), Some(grade)) = (look.reading, look.grade()) else {
                    continue;
                };
                let at = own
                    .iter()
                    .position(|t| t.subject == subject && t.phase == look.phase);
                let at = at.unwrap_or_else(|| {
                    let state = state_of(condition, &walk.checklist, look.phase.as_deref());
                    own.push(empty(
                        condition,
                        history,
                        item,
                        &subject,
                        &look.phase,
                        state,
                    ));
                    own.len() - 1
                });
                let Some(value) = measure.value_in(own[at].unit) else {
                    continue;
                };
                own[at].taken.push(Taken {
                    at: timed.at,
                    hours: condition.usage(&subject).at(timed.at).hours,
                    measure,
                    value,
                    grade,
                    added: look.added.map_or(0.0, |v| v.litres()),
                });
                if look.better == Some(Better::Repaired) {
                    own[at].repairs.push(timed.at);
                }
            }
        }
        for track in &mut own {
            track.taken.sort_by_key(|t| t.at);
            track.repairs.sort_unstable();
        }
        own.retain(|t| !t.taken.is_empty());
        name(condition, item, &mut own);
        tracks.append(&mut own);
    }
    // An item is read in one engine state mostly; what was read in others now and then comes last.
    let rare: Vec<bool> = tracks.iter().map(|t| is_rare(t, &tracks)).collect();
    let mut ordered: Vec<_> = rare.into_iter().zip(tracks).collect();
    ordered.sort_by_key(|(rare, _)| *rare);
    ordered.into_iter().map(|(_, track)| track).collect()
}

/// True where the same item has a track of far more readings (judgement: four times as many).
fn is_rare(track: &Track, all: &[Track]) -> bool {
    let same = all.iter().filter(|t| t.subject == track.subject);
    let most = same.map(|t| t.taken.len()).max().unwrap_or(0);
    track.taken.len() * 4 < most
}

fn empty(
    condition: &Condition,
    history: &History,
    item: &Item,
    subject: &Subject,
    phase: &Option<String>,
    state: Option<PhaseState>,
) -> Track {
    let repairs = history.repairs.iter();
    let own = repairs.filter(|r| r.rec.item == subject.item && r.rec.machine == subject.machine);
    let unit = item.reading.as_ref().map_or(Unit::Percent, |r| r.unit);
    let unit = unit.preferred(condition.boat.units);
    let machine = subject.machine.as_deref().unwrap_or("");
    Track {
        subject: subject.clone(),
        phase: phase.clone(),
        title: String::new(),
        unit,
        taken: Vec::new(),
        repairs: own.map(|r| r.at).collect(),
        bands: condition.limits(item, machine, phase.as_deref(), state, unit),
    }
}

fn state_of(condition: &Condition, checklist: &str, phase: Option<&str>) -> Option<PhaseState> {
    let list = condition.library.checklist(checklist)?;
    let phase = list.phases.iter().find(|p| Some(p.id.as_str()) == phase)?;
    Some(phase.state)
}

/// The item's name, with the machine where the boat has several, and the phase where the item is
/// read in several.
fn name(condition: &Condition, item: &Item, tracks: &mut [Track]) {
    let several = condition.boat.machines.len() > 1;
    let phases: Vec<_> = tracks.iter().map(|t| t.phase.clone()).collect();
    for track in tracks {
        let mut title = item.title.clone();
        if let (Some(phase), true) = (&track.phase, phases.iter().any(|p| *p != track.phase)) {
            title = format!("{title}, {}", phase.replace('-', " "));
        }
        if let (Some(machine), true) = (&track.subject.machine, several) {
            title = format!("{title} [{machine}]");
        }
        track.title = title;
    }
}

impl App {
    /// Opens the readings over the screen in front.
    pub(super) fn open_readings(&mut self) {
        let item = match &self.screen {
            Screen::Walk(walk) => {
                let list = walk.before.library.checklist(&walk.started.checklist);
                if list.is_some_and(|l| l.closes_with == Closing::Survey) {
                    return self.warn("earlier readings are hidden in a survey");
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
        let under = std::mem::replace(&mut self.screen, Screen::Start);
        if let Some(book) = &self.book {
            let screen = ReadingsScreen::new(book, under, item.as_ref());
            self.screen = Screen::Readings(Box::new(screen));
        }
    }

    pub(super) fn readings_act(&mut self, action: Action) {
        let Screen::Readings(screen) = &mut self.screen else {
            return;
        };
        let here = screen.cursor;
        match action {
            Action::MoveUp => screen.choose(here.saturating_sub(1)),
            Action::MoveDown => screen.choose(here + 1),
            Action::PageUp => screen.choose(here.saturating_sub(5)),
            Action::PageDown => screen.choose(here + 5),
            Action::First => screen.choose(0),
            Action::Last => screen.choose(usize::MAX),
            Action::Explain => {
                let page = screen.track().zip(screen.shown.as_ref());
                let page = page.map(|(track, shown)| Page {
                    title: format!("{}: the arithmetic", track.title),
                    lines: shown.page(track),
                    scroll: 0,
                });
                self.layers.extend(page.map(Layer::Page));
            }
            Action::Back => {
                self.screen = match std::mem::replace(&mut self.screen, Screen::Start) {
                    Screen::Readings(readings) => *readings.under,
                    other => other,
                };
            }
            _ => {}
        }
    }
}
