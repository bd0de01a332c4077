//! The list for a spreadsheet (RFC 4180). Every cell is quoted, and free text that a spreadsheet
//! would take for a formula is guarded.

use crate::cli::answer::Answer;
use crate::cli::failure::Failure;
use crate::defects::NotCounted;
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

/// The item in words; the columns before it keep their places.
const TITLE: &str = "title";

/// The answer.
///
/// # Errors
/// None in practice: the text is written to memory.
pub fn answer(
    rows: &[Row],
    scenario: Scenario,
    not_counted: &[NotCounted],
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
                .chain([&TITLE]),
        )
        .map_err(|e| refuse(&e))?;
    let asked = [
        scenario.exposure.hours.to_string(),
        scenario.exposure.days.to_string(),
        scenario.waters.to_string(),
    ];
    for told in not_counted {
        let cells = COLUMNS.map(|(heading, _)| match heading {
            STATE => "not counted".to_owned(),
            ITEM => of(told.item.as_deref(), free),
            WHY => free(&told.sentence()),
            _ => String::new(),
        });
        writer
            .write_record(cells.iter().chain(&asked).chain([&String::new()]))
            .map_err(|e| refuse(&e))?;
    }
    for row in rows {
        writer
            .write_record(
                COLUMNS
                    .map(|(_, cell)| cell(row))
                    .iter()
                    .chain(&asked)
                    .chain([&free(&row.title)]),
            )
            .map_err(|e| refuse(&e))?;
    }
    let bytes = writer.into_inner().map_err(|e| refuse(&e))?;
    let text = String::from_utf8(bytes).map_err(|e| refuse(&e))?;
    Ok(Answer::text(crate::text::safe_text(&text)))
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
