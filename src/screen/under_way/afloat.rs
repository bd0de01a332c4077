//! What the screen shows, gathered once from the rules.

use std::rc::Rc;

use chrono::{DateTime, Duration, FixedOffset};

use crate::boat::{Measure, Unit};
use crate::checklist::Figure;
use crate::defects::condition::Condition;
use crate::defects::plan_words::short;
use crate::defects::round_ahead::{WayLeft, WorstAhead};
use crate::defects::round_due::RoundDue;
use crate::defects::round_said::RoundAnswer;
use crate::defects::round_shaft::ShaftTurning;
use crate::defects::under_way::{Line, Passage};
use crate::defects::under_way_line::Leg;
use crate::defects::{History, UnderWay};
use crate::logbook::book::Book;

/// The figure whose day is drawn at first: the coolant temperature.
pub const FIRST: usize = 2;
/// What can be drawn.
const FIGURES: [Figure; 8] = [
    Figure::Rpm,
    Figure::Oil,
    Figure::Temperature,
    Figure::Volts,
    Figure::Vacuum,
    Figure::Bilge,
    Figure::Drops,
    Figure::Speed,
];
/// Hours that are drawn.
const DAY: i64 = 24;

/// All that is shown.
pub struct Afloat {
    /// The boat now.
    pub condition: Rc<Condition>,
    /// When it was gathered.
    pub at: DateTime<FixedOffset>,
    /// She is under way; none where she lies.
    pub running: Option<Running>,
    /// The lines of this time under way, else of the last, the oldest first.
    pub rows: Vec<RoundRow>,
    /// When rounds were missed in them, the oldest first.
    pub missed: Vec<DateTime<FixedOffset>>,
    /// When the last line was written down for.
    pub last_at: Option<DateTime<FixedOffset>>,
    /// The last line is a round.
    pub last_is_round: bool,
    /// What its figures say.
    pub said: RoundAnswer,
    /// The figures, with their day.
    pub figures: Vec<FigureDay>,
}

/// What holds while she is under way.
pub struct Running {
    /// The plan she left with.
    pub plan: Option<String>,
    /// When the next round is due.
    pub next: Option<DateTime<FixedOffset>>,
    /// What is left.
    pub left: WayLeft,
    /// The worst of what is known over what is left.
    pub worst: Option<WorstAhead>,
    /// What is due at this round.
    pub due: RoundDue,
    /// She sails, or is towed, with the engine off.
    pub engine_off: bool,
    /// The shaft turns meanwhile.
    pub shaft: Option<ShaftTurning>,
}

/// A line of the list.
pub struct RoundRow {
    /// In words, with its time.
    pub words: String,
    /// A round, or rounds, that nobody made or wrote down.
    pub missed: bool,
}

/// A figure with its day.
pub struct FigureDay {
    /// What was read last and what is usual, in words.
    pub words: String,
    /// Hours before now, and the value in the unit shown.
    pub points: Vec<(f64, f64)>,
    /// The edges of what is usual, in the unit shown.
    pub usual: [Option<f64>; 2],
}

/// The machine that is under way, else the first.
pub fn machine_under_way(book: &Book) -> String {
    let machines = &book.boat().machines;
    let under_way =
        |id: &str| Passage::running(book.history(), id, book.now()).is_some_and(|p| !p.ended);
    let running = machines.iter().find(|m| under_way(&m.id));
    let machine = running.or(machines.first());
    machine.map(|m| m.id.clone()).unwrap_or_default()
}

impl Afloat {
    /// Of a machine.
    pub fn of(book: &Book, machine: &str) -> Afloat {
        let (condition, history, at) = (book.condition(), book.history(), book.now());
        let passage = Passage::all(history, machine).pop();
        let log = passage.as_ref().map(|p| p.log(at)).unwrap_or_default();
        let last = passage.as_ref().and_then(|p| p.lines.last().copied());
        let said = last.map(|line| condition.round_said(history, machine, line));
        let running = passage.as_ref().filter(|p| !p.ended);
        let running =
            running.map(|passage| Running::of(&condition, history, passage, (machine, at)));
        let figures = FIGURES.iter().map(|figure| {
            FigureDay::of(
                &condition,
                history,
                machine,
                (*figure, at, passage.as_ref()),
            )
        });
        Afloat {
            at,
            running,
            rows: log.iter().map(row).collect(),
            missed: missed(&log, passage.as_ref()),
            last_at: last.map(|line| line.at),
            last_is_round: last.is_some_and(|line| line.rec.kind == Leg::Round),
            said: said.unwrap_or_default(),
            figures: figures.collect(),
            condition,
        }
    }

    /// Minutes since a round was written down; none where the last line is none.
    pub fn minutes_since_round(&self) -> Option<i64> {
        let last = self.last_at.filter(|_| self.last_is_round)?;
        Some((self.at - last).num_minutes().max(0))
    }
}

impl Running {
    fn of(
        condition: &Condition,
        history: &History,
        passage: &Passage<'_>,
        (machine, at): (&str, DateTime<FixedOffset>),
    ) -> Running {
        let left = condition.way_left(history, passage, (machine, at));
        let (exposure, waters) = condition.usual_plan();
        let usual = crate::defects::list::Scenario::new(exposure, waters);
        let scenario = left.left.as_ref().map_or(usual, |scenario| *scenario);
        let engine_off = passage.lines.last().is_some_and(|line| line.rec.engine_off);
        let begins = passage.begins.map(|line| &line.rec);
        Running {
            plan: begins.and_then(|line| line.plan.clone()),
            next: passage.next(),
            worst: condition.worst_ahead(scenario, machine),
            due: condition.round_due(passage, (machine, at), engine_off),
            shaft: condition.shaft_turning(passage, machine, at),
            left,
            engine_off,
        }
    }

    /// Minutes that the next round is late; 0 where it is not.
    pub fn late(&self, now: DateTime<FixedOffset>) -> i64 {
        self.next.map_or(0, |due| (now - due).num_minutes().max(0))
    }
}

/// Each round that was missed by itself.
fn missed(log: &[Line<'_>], passage: Option<&Passage<'_>>) -> Vec<DateTime<FixedOffset>> {
    let every = Duration::minutes(passage.map_or(60, |p| i64::from(p.every())));
    let each = log.iter().filter_map(|line| match line {
        Line::Missed { due, rounds } => Some((*due, *rounds)),
        Line::Told(_) => None,
    });
    let each = each.flat_map(|(due, rounds)| (0..rounds as i32).map(move |n| due + every * n));
    each.take(MOST_MISSED).collect()
}

/// No more of them are drawn or offered to be typed up.
const MOST_MISSED: usize = 200;

fn row(line: &Line<'_>) -> RoundRow {
    match line {
        Line::Missed { due, rounds } => RoundRow {
            words: match rounds {
                1 => format!("{}  MISSED", due.format("%H:%M")),
                rounds => format!(
                    "{}  MISSED: {rounds} rounds from here on",
                    due.format("%H:%M")
                ),
            },
            missed: true,
        },
        Line::Told(told) => RoundRow {
            words: format!("{}  {}", told.at.format("%H:%M"), in_words(&told.rec)),
            missed: false,
        },
    }
}

/// What a line says, in one line.
fn in_words(line: &UnderWay) -> String {
    let mut words: Vec<String> = Vec::new();
    match line.kind {
        Leg::Begins => words.push("under way".to_owned()),
        Leg::Round => {}
        Leg::Ends => words.push("in".to_owned()),
    }
    if line.engine_off {
        words.push("engine off".to_owned());
    }
    match line.usual.len() {
        0 => {}
        1 => words.extend(line.usual.first().cloned()),
        claims => words.push(format!("as usual: {claims} looks said")),
    }
    words.extend(line.hours.map(|hours| format!("{hours} h")));
    let read = Figure::ALL.iter().filter_map(|f| line.measured(*f));
    words.extend(read.map(|read| read.to_string()));
    words.extend(line.fuel_added.map(|added| format!("taken in {added}")));
    words.extend(line.remark.clone());
    words.join("  ")
}

impl FigureDay {
    fn of(
        condition: &Condition,
        history: &History,
        machine: &str,
        (figure, now, passage): (Figure, DateTime<FixedOffset>, Option<&Passage<'_>>),
    ) -> FigureDay {
        let unit = figure.unit().preferred(condition.boat.units);
        let shown = |value: f64| figure.unit().convert(value, unit).unwrap_or(value);
        let lines = passage.map(|p| p.lines.clone()).unwrap_or_default();
        let day = lines
            .iter()
            .filter(|line| now - line.at <= Duration::hours(DAY));
        let read = day.filter_map(|line| Some((line, line.rec.figure(figure)?)));
        let read: Vec<_> = read.collect();
        let last = read.last();
        let rpm = lines.iter().rev().find_map(|line| line.rec.rpm);
        let usual = condition.usual_under_way(history, machine, figure, (now, rpm));
        let at_last = last.map(|(line, _)| (line.at, line.rec.rpm.or(rpm)));
        let edges = condition.usual_edges(machine, figure, usual);
        let told = |value: f64| {
            let measure = Measure::new(shown(value), unit).ok();
            measure.map(|m| match unit {
                Unit::DropsPerMinute => format!("{} a minute", short(m.value())),
                unit => format!("{} {unit}", short(m.value())),
            })
        };
        let read_last = at_last.zip(last).and_then(|((at, _), (_, value))| {
            Some(format!("{} at {}", told(*value)?, at.format("%H:%M")))
        });
        let usually = usual.and_then(|usual| told(usual.value));
        let words = format!(
            "{}: {}{}",
            crate::text::capital(figure.words()),
            read_last.unwrap_or_else(|| "not read".to_owned()),
            usually.map_or_else(
                || ", no usual known yet".to_owned(),
                |usual| format!(", usually {usual}")
            )
        );
        let hours = |at: DateTime<FixedOffset>| (at - now).num_seconds() as f64 / 3600.0;
        FigureDay {
            words,
            points: read
                .iter()
                .map(|(line, value)| (hours(line.at), shown(*value)))
                .collect(),
            usual: edges.map(|edge| edge.map(shown)),
        }
    }
}
