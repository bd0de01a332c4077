//! The list for a spreadsheet (RFC 4180). Every cell is quoted, and free text that a spreadsheet
//! would take for a formula is guarded.

use crate::cli::answer::Answer;
use crate::cli::failure::Failure;
use crate::defects::Until;
use crate::defects::condition::Condition;
use crate::defects::list::{Row, Scenario};
use crate::defects::wait::Wait;
use crate::text::csv_guard;

/// A column: its heading, and what stands in it.
type Column = (&'static str, fn(&Row) -> String);

const COLUMNS: [Column; 30] = [
    ("rank", |row| row.rank.to_string()),
    ("stop", |row| row.stop.to_string()),
    (STATE, |row| row.state.to_string()),
    ("deferred_until", |row| {
        of(row.deferred.as_ref(), |d| d.until.to_string())
    }),
    ("deferred_why", |row| {
        of(row.deferred.as_ref(), |d| free(&d.why))
    }),
    (ITEM, |row| free(&row.item)),
    ("machine", |row| of(row.machine.as_deref(), free)),
    ("station", |row| free(&row.station)),
    ("kind", |row| row.kind.to_string()),
    ("grade", |row| row.grade.to_string()),
    ("last_look", |row| of(row.last_look, |at| at.to_rfc3339())),
    ("elapsed_hours", |row| row.elapsed.hours.to_string()),
    ("elapsed_days", |row| row.elapsed.days.to_string()),
    ("chance", |row| row.chance.to_string()),
    ("effect", |row| row.effect.to_string()),
    ("beta", |row| row.beta.to_string()),
    ("severity", |row| row.severity.to_string()),
    ("level", |row| row.level.to_string()),
    ("code", |row| row.code.clone()),
    ("risk", |row| row.risk.to_string()),
    ("opened", |row| row.opened.to_rfc3339()),
    ("looks", |row| row.looks.to_string()),
    ("worse_since", |row| {
        of(row.worse_since, |at| at.to_rfc3339())
    }),
    ("fix_within_hours", |row| hours(row.fix_within)),
    ("fix_within_date", |row| date(row.fix_within)),
    ("look_again_within_hours", |row| {
        hours(row.look_again_within)
    }),
    ("look_again_within_date", |row| date(row.look_again_within)),
    ("remedy", |row| free(&row.remedy.action)),
    ("parts", |row| free(&row.parts.join("; "))),
    (WHY, |row| free(&row.why)),
];

/// The columns that say something of what is not counted.
const STATE: &str = "state";
const ITEM: &str = "item";
const WHY: &str = "why";

/// What was asked, the same in every row.
const ASKED: [&str; 3] = ["exposure_hours", "exposure_days", "waters"];

/// A column of names and figures taken apart, and what stands in it.
type Beside = (&'static str, fn(&Row, &Condition) -> String);

/// In words and apart what the columns before say by id or together; those keep their places.
const BESIDE: [Beside; 7] = [
    ("title", |row, _| free(&row.title)),
    ("machine_name", |row, condition| {
        let mut machines = condition.boat.machines.iter();
        let machine = machines.find(|m| row.machine.as_deref() == Some(m.id.as_str()));
        of(machine, |machine| free(&machine.name))
    }),
    ("station_title", |row, condition| {
        let station = condition.library.catalogue.station(&row.station);
        of(station, |station| free(&station.title))
    }),
    ("who", |row, _| row.remedy.who.to_string()),
    ("where", |row, _| row.remedy.place.to_string()),
    ("deferred_until_date", |row, _| match until(row) {
        Some(Until::Date(date)) => date.to_string(),
        _ => String::new(),
    }),
    ("deferred_until_hours", |row, _| match until(row) {
        Some(Until::Hours(hours)) => hours.to_string(),
        _ => String::new(),
    }),
];

fn until(row: &Row) -> Option<&Until> {
    row.deferred.as_ref().map(|deferred| &deferred.until)
}

/// By which some spreadsheets know UTF-8.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// The answer.
///
/// # Errors
/// None in practice: the text is written to memory.
pub fn answer(
    rows: &[Row],
    scenario: Scenario,
    condition: &Condition,
    marked: bool,
) -> Result<Answer, Failure> {
    let mut writer = csv::WriterBuilder::new()
        .quote_style(csv::QuoteStyle::Always)
        .from_writer(Vec::new());
    let refuse = |e: &dyn std::fmt::Display| Failure::logbook(e);
    writer
        .write_record(
            COLUMNS
                .iter()
                .map(|(heading, _)| heading)
                .chain(&ASKED)
                .chain(BESIDE.iter().map(|(heading, _)| heading)),
        )
        .map_err(|e| refuse(&e))?;
    let asked = [
        scenario.exposure.hours.to_string(),
        scenario.exposure.days.to_string(),
        scenario.waters.to_string(),
    ];
    for told in &condition.not_counted() {
        let cells = COLUMNS.map(|(heading, _)| match heading {
            STATE => "not counted".to_owned(),
            ITEM => of(told.item.as_deref(), free),
            WHY => free(&told.sentence()),
            _ => String::new(),
        });
        writer
            .write_record(
                cells
                    .iter()
                    .chain(&asked)
                    .chain(&BESIDE.map(|_| String::new())),
            )
            .map_err(|e| refuse(&e))?;
    }
    for row in rows {
        writer
            .write_record(
                COLUMNS
                    .map(|(_, cell)| cell(row))
                    .iter()
                    .chain(&asked)
                    .chain(&BESIDE.map(|(_, cell)| cell(row, condition))),
            )
            .map_err(|e| refuse(&e))?;
    }
    let bytes = writer.into_inner().map_err(|e| refuse(&e))?;
    let text = String::from_utf8(bytes).map_err(|e| refuse(&e))?;
    let text = crate::text::safe_text(&text);
    let mark = marked.then_some(BYTE_ORDER_MARK).into_iter();
    Ok(Answer::text(mark.chain(text.chars()).collect::<String>()))
}

fn free(text: &str) -> String {
    csv_guard(&crate::text::safe_line(text)).into_owned()
}

/// Nothing where there is nothing.
fn of<T>(value: Option<T>, told: impl FnOnce(T) -> String) -> String {
    value.map_or_else(String::new, told)
}

fn hours(wait: Option<Wait>) -> String {
    of(wait.and_then(|wait| wait.hours), |hours| hours.to_string())
}

fn date(wait: Option<Wait>) -> String {
    of(wait.and_then(|wait| wait.date), |date| date.to_string())
}
