//! The looks of a report as CSV (RFC 4180), one row a look, for a spreadsheet.

use super::content::Report;
use super::words::Said;
use crate::text::{csv_guard, safe_text};
use crate::walk::Photo;

const HEAD: [&str; 20] = [
    "at",
    "item",
    "title",
    "station",
    "machine",
    "phase",
    "grade",
    "rung",
    "not_seen",
    "leak",
    "reading",
    "at_rpm",
    "added",
    "wear",
    "note",
    "said",
    "grade_reason",
    "photos",
    "joined",
    "signs",
];

/// In the place of a title, where a row is no look but a job before leaving; its heading stands in the place of the
/// station.
const BEFORE_LEAVING: &str = "BEFORE LEAVING";

/// The looks as CSV with CR LF, free text guarded against being taken for a formula.
///
/// # Errors
/// None in practice: writing to memory does not fail.
pub fn csv(report: &Report) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    writer.write_record(HEAD)?;
    let w = report.language.words();
    for told in &report.not_counted {
        let mut row: [String; HEAD.len()] = Default::default();
        row[1] = csv_guard(told.item.as_deref().unwrap_or_default()).into_owned();
        row[2] = "NOT COUNTED".to_owned();
        row[14] = csv_guard(&safe_text(&told.sentence())).into_owned();
        writer.write_record(row)?;
    }
    let leaving = report.before_leaving.as_ref();
    for [item, machine, group, told] in leaving.map_or_else(Vec::new, |l| l.rows(w)) {
        let mut row: [String; HEAD.len()] = Default::default();
        let free = |text: &str| csv_guard(&safe_text(text)).into_owned();
        row[1] = free(&item);
        row[2] = BEFORE_LEAVING.to_owned();
        row[3] = free(&group);
        row[4] = free(&machine);
        row[14] = free(&told);
        writer.write_record(row)?;
    }
    for look in &report.looks {
        let free =
            |text: Option<&str>| csv_guard(&safe_text(text.unwrap_or_default())).into_owned();
        let named = |photo: &Photo| match &photo.caption {
            Some(caption) => format!("{caption} ({})", photo.path),
            None => photo.path.clone(),
        };
        let photos: Vec<String> = look.photos.iter().map(named).collect();
        writer.write_record([
            look.at.to_rfc3339(),
            free(Some(&look.item)),
            free(Some(&*look.title)),
            free(Some(&*look.station)),
            free(look.machine.as_deref()),
            free(look.phase.as_deref()),
            look.grade.map(|g| g.rung().to_string()).unwrap_or_default(),
            free(look.rung.as_deref()),
            free(look.not_seen.as_deref()),
            look.leak.map(|l| l.to_string()).unwrap_or_default(),
            free(look.reading.as_deref()),
            look.at_rpm.map(|rpm| rpm.to_string()).unwrap_or_default(),
            free(look.added.as_deref()),
            free(Some(&*Said::join(look.wear.clone(), "; "))),
            free(look.note.as_deref()),
            free(look.said.as_deref()),
            free(look.grade_reason.as_deref()),
            free(Some(&photos.join("; "))),
            free(look.joined.as_deref()),
            free(Some(&*Said::join(look.signs.clone(), "; "))),
        ])?;
    }
    let bytes = writer.into_inner().map_err(|e| e.into_error())?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}
