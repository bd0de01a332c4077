//! The watch of a day on paper: one line a round, the boat's own usual figures in the heads, cautions on
//! top, one side of A4 across. The page is `pages/watch-sheet.html`; it decides nothing.

use askama::Template;
use chrono::{DateTime, Duration, FixedOffset};

use crate::boat::Unit;
use crate::checklist::watch_round::cautions;
use crate::checklist::{Figure, LookFrom, RoundLook};
use crate::defects::History;
use crate::defects::condition::Condition;
use crate::defects::plan_words::short;
use crate::defects::under_way::Passage;
use crate::defects::under_way_line::USUAL_EVERY;

/// Millimetres that the lines have on the page.
const LINES_MM: u32 = 122;
/// A line lower than this, millimetres, cannot be written into aboard (judgement).
const LEAST_MM: u32 = 5;

/// What the sheet has columns for, in the order in which a line is typed up.
const COLUMNS: [(&str, Option<Figure>); 10] = [
    ("hours", None),
    ("rpm", Some(Figure::Rpm)),
    ("speed", Some(Figure::Speed)),
    ("oil", Some(Figure::Oil)),
    ("temp", Some(Figure::Temperature)),
    ("volts", Some(Figure::Volts)),
    ("vacuum", Some(Figure::Vacuum)),
    ("bilge", Some(Figure::Bilge)),
    ("drops", Some(Figure::Drops)),
    ("fuel", Some(Figure::Fuel)),
];

/// The head of a column.
struct Head {
    name: &'static str,
    unit: String,
    usual: Option<String>,
}

#[derive(Template)]
#[template(path = "watch-sheet.html")]
struct Sheet {
    title: String,
    boat: String,
    machine: String,
    every: u32,
    cautions: &'static [String],
    heads: Vec<Head>,
    times: Vec<String>,
    row_mm: String,
    told: Vec<String>,
}

/// The sheet of a machine, at `every` minutes where it is told, else as she goes by now.
pub fn html(condition: &Condition, history: &History, machine: &str, every: Option<u32>) -> String {
    let now = condition.now;
    let running = Passage::running(history, machine, now);
    let goes_by = running.as_ref().map(Passage::every);
    let every = every.or(goes_by).unwrap_or(USUAL_EVERY);
    let lines = (24 * 60 / every.max(1)).min(LINES_MM / LEAST_MM);
    let next = running.and_then(|passage| passage.next());
    let known = condition.boat.machines.iter().find(|m| m.id == machine);
    let mut told: Vec<String> = Vec::new();
    if lines * every < 24 * 60 {
        told.push(format!(
            "{lines} rounds are {} h: print another sheet for the rest of the day.",
            short(f64::from(lines * every) / 60.0)
        ));
    }
    told.extend(acts());
    told.push("Rounds that are missed stay empty. Typed up: F10, then e; or handlamp underway round --at TIME. The maker's handbook outranks this sheet.".to_owned());
    told.extend(condition.notes());
    let sheet = Sheet {
        title: format!("Watch sheet: {}", condition.boat.name),
        boat: condition.boat.name.clone(),
        machine: known.map_or_else(|| machine.to_owned(), |m| m.name.clone()),
        every,
        cautions: cautions(),
        heads: heads(condition, history, machine),
        times: times(next, every, lines),
        row_mm: short(f64::from(LINES_MM) / f64::from(lines.max(1))),
        told,
    };
    sheet.to_string()
}

/// When to stop or act, for what is looked at while she runs.
fn acts() -> Vec<String> {
    let looks = RoundLook::all().iter();
    let looks = looks.filter(|look| look.from != LookFrom::Standing);
    let each = looks.map(|look| format!("{}, {}: {}", look.look, look.every.words(), look.act));
    vec![each.collect::<Vec<_>>().join(" | ")]
}

/// Times from the next round on; room to write them where she lies.
fn times(next: Option<DateTime<FixedOffset>>, every: u32, lines: u32) -> Vec<String> {
    let at = |n: u32| {
        let due = next? + Duration::minutes(i64::from(every) * i64::from(n));
        Some(due.format("%H:%M").to_string())
    };
    (0..lines).map(|n| at(n).unwrap_or_default()).collect()
}

/// The heads, with what is usual at the engine speed that is usual.
fn heads(condition: &Condition, history: &History, machine: &str) -> Vec<Head> {
    // What was read this very moment is of the day as well.
    let by_now = condition.now + Duration::seconds(1);
    let usual = |figure, rpm| {
        let usual = condition.usual_under_way(history, machine, figure, (by_now, rpm));
        usual.map(|usual| usual.value)
    };
    let rpm = usual(Figure::Rpm, None);
    let habit = condition.boat.units;
    let head = |(name, figure): &(&'static str, Option<Figure>)| {
        let kept = figure.map(Figure::unit);
        let shown = kept.map(|kept| match kept {
            Unit::Litre => Unit::of_fuel(habit),
            kept => kept.preferred(habit),
        });
        let value = figure.filter(|figure| *figure != Figure::Fuel);
        let value = value.and_then(|figure| figure.unit().convert(usual(figure, rpm)?, shown?));
        let unit = match (figure, shown) {
            (Some(Figure::Rpm), _) => String::new(),
            (Some(Figure::Drops), _) => "a minute".to_owned(),
            (_, Some(unit)) => unit.to_string(),
            (_, None) => "h".to_owned(),
        };
        Head {
            name,
            unit,
            usual: value.map(short),
        }
    };
    COLUMNS.iter().map(head).collect()
}
