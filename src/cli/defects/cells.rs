//! The list for a spreadsheet (RFC 4180). Every cell is quoted, and free text that a spreadsheet
//! would take for a formula is guarded.

use crate::cli::answer::Answer;
use crate::cli::failure::Failure;
use crate::defects::NotCounted;
use crate::defects::list::{Row, Scenario, Wait};
use crate::text::csv_guard;

const HEAD: [&str; 30] = [
    "rank",
    "stop",
    "state",
    "deferred_until",
    "deferred_why",
    "item",
    "machine",
    "station",
    "kind",
    "grade",
    "last_look",
    "elapsed_hours",
    "elapsed_days",
    "chance",
    "effect",
    "beta",
    "severity",
    "level",
    "code",
    "risk",
    "opened",
    "looks",
    "worse_since",
    "fix_within_hours",
    "fix_within_date",
    "look_again_within_hours",
    "look_again_within_date",
    "remedy",
    "parts",
    "why",
];

/// What was asked, the same in every row.
const ASKED: [&str; 3] = ["exposure_hours", "exposure_days", "waters"];

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
        .write_record(HEAD.iter().chain(&ASKED))
        .map_err(|e| refuse(&e))?;
    let asked = [
        scenario.exposure.hours.to_string(),
        scenario.exposure.days.to_string(),
        scenario.waters.to_string(),
    ];
    for told in not_counted {
        let mut cells: [String; HEAD.len()] = Default::default();
        cells[2] = "not counted".to_owned();
        cells[5] = free(told.item.as_deref().unwrap_or_default());
        cells[HEAD.len() - 1] = free(&told.sentence());
        writer
            .write_record(cells.iter().chain(&asked))
            .map_err(|e| refuse(&e))?;
    }
    for row in rows {
        writer
            .write_record(cells(row).iter().chain(&asked))
            .map_err(|e| refuse(&e))?;
    }
    let bytes = writer.into_inner().map_err(|e| refuse(&e))?;
    let text = String::from_utf8(bytes).map_err(|e| refuse(&e))?;
    Ok(Answer::text(crate::text::safe_text(&text)))
}

fn free(text: &str) -> String {
    csv_guard(&crate::text::safe_line(text)).into_owned()
}

fn cells(row: &Row) -> [String; HEAD.len()] {
    let time = |at: Option<chrono::DateTime<chrono::FixedOffset>>| {
        at.map_or_else(String::new, |at| at.to_rfc3339())
    };
    let hours = |w: Option<Wait>| {
        w.and_then(|w| w.hours)
            .map_or_else(String::new, |h| h.to_string())
    };
    let date = |w: Option<Wait>| {
        w.and_then(|w| w.date)
            .map_or_else(String::new, |d| d.to_string())
    };
    let deferred = row.deferred.as_ref();
    [
        row.rank.to_string(),
        row.stop.to_string(),
        row.state.to_string(),
        deferred.map_or_else(String::new, |d| d.until.to_string()),
        deferred.map_or_else(String::new, |d| free(&d.why)),
        free(&row.item),
        free(row.machine.as_deref().unwrap_or("")),
        free(&row.station),
        row.kind.to_string(),
        row.grade.to_string(),
        time(row.last_look),
        row.elapsed.hours.to_string(),
        row.elapsed.days.to_string(),
        row.chance.to_string(),
        row.effect.to_string(),
        row.beta.to_string(),
        row.severity.to_string(),
        row.level.to_string(),
        row.code.clone(),
        row.risk.to_string(),
        time(Some(row.opened)),
        row.looks.to_string(),
        time(row.worse_since),
        hours(row.fix_within),
        date(row.fix_within),
        hours(row.look_again_within),
        date(row.look_again_within),
        free(&row.remedy.action),
        free(&row.parts.join("; ")),
        free(&row.why),
    ]
}
