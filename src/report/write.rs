//! A report as a file: the form by its ending, and nothing but a plain file replaced.

use std::io;
use std::path::{Path, PathBuf};

use serde::Serialize;

use super::content::Report;
use super::gather::{Source, of_now, of_walk};
use super::html::html;
use super::making::{Progress, Stage};
use super::markdown::markdown;
use super::pictures::{PhotoSize, put_pictures};
use super::table::csv;
use super::words::Language;
use crate::logbook::named::{NotWritten, Over, is_there, write_named_unless};
use crate::logbook::{Folder, Log, LogbookError};
use crate::text::{json_guard, plain_name};
use crate::walk::Walk;

/// What the JSON form says it is.
pub const SCHEMA: &str = "handlamp/report/1";

/// Why no report was written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// The ending says no form.
    #[error("{} says no form; end it in .html, .md, .csv or .json", .0.display())]
    Form(PathBuf),
    /// Something else bears the name, or the disk said no; what was there before is as it was.
    #[error(transparent)]
    File(#[from] NotWritten),
    /// The logbook cannot be read.
    #[error(transparent)]
    Log(#[from] LogbookError),
    /// The table could not be written.
    #[error(transparent)]
    Table(#[from] csv::Error),
    /// It cannot be what was asked.
    #[error("{0}")]
    Refused(String),
    /// It was given up.
    #[error("stopped: no report was written, and what was there before is as it was")]
    Stopped,
    /// There is no thread to make it on.
    #[error("the system cannot begin it ({0}); close other programs and try again")]
    Thread(io::Error),
    /// The thread that made it is gone without an answer.
    #[error("it broke off by an error of the program; what was there before is as it was")]
    Broken,
}

/// A report that was written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Written {
    /// Length of the file.
    pub bytes: usize,
    /// How many living defects it lists.
    pub defects: usize,
    /// Items in it that nobody saw.
    pub not_seen: usize,
    /// Photographs that could not be read and are not in it.
    pub left_out: usize,
}

/// What a file is written as.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// One page without anything from elsewhere.
    Html,
    /// CommonMark with tables.
    Markdown,
    /// The looks, one a row.
    Csv,
    /// Everything, as data.
    Json,
}

impl Form {
    /// By the ending of a file's name, in letters of either case.
    ///
    /// # Errors
    /// [`WriteError::Form`].
    pub fn of(path: &Path) -> Result<Form, WriteError> {
        let ending = path.extension().unwrap_or_default().to_string_lossy();
        match ending.to_ascii_lowercase().as_str() {
            "html" | "htm" => Ok(Form::Html),
            "md" => Ok(Form::Markdown),
            "csv" => Ok(Form::Csv),
            "json" => Ok(Form::Json),
            _ => Err(WriteError::Form(path.to_owned())),
        }
    }

    /// The report in this form.
    ///
    /// # Errors
    /// [`WriteError::Table`], in practice never.
    pub fn text(self, report: &Report) -> Result<String, WriteError> {
        Ok(match self {
            Form::Html => html(report),
            Form::Markdown => markdown(report),
            Form::Csv => csv(report)?,
            Form::Json => json(report),
        })
    }
}

/// The language that a file's name says before its ending, as `boat.de.html` does.
pub fn language_of(path: &Path) -> Option<Language> {
    let stem = Path::new(path.file_stem()?);
    stem.extension()?
        .to_str()?
        .to_ascii_lowercase()
        .parse()
        .ok()
}

/// The report of a walk, or of the logbook, with its seal where the records give one.
pub fn report(source: &Source<'_>, walk: Option<&Walk>, log: &Log, language: Language) -> Report {
    let report = match walk {
        Some(walk) => of_walk(source, walk, language),
        None => of_now(source, language),
    };
    let seal = super::extras::seal(log, walk.map(|w| w.id.as_str()), language.words());
    Report {
        seal: seal.ok(),
        ..report
    }
}

/// Writes the report, a page with the photographs of the logbook in `root`. A file of that name is
/// replaced as a whole or left as it was.
///
/// # Errors
/// [`WriteError`].
pub fn write(
    mut report: Report,
    path: &Path,
    root: &Path,
    progress: &Progress,
) -> Result<Written, WriteError> {
    let form = Form::of(path)?;
    is_there(path)?;
    let mut left_out = 0;
    if form == Form::Html {
        left_out = put_pictures(&mut report, PhotoSize::Usual, &Folder::new(root), progress);
    }
    if progress.is_stopped() {
        return Err(WriteError::Stopped);
    }
    progress.reached(Stage::Writing);
    let text = form.text(&report)?;
    let written = progress.unwhole(|| {
        let stopped = || progress.is_stopped();
        write_named_unless(path, text.as_bytes(), Over::Any, &stopped)
    })?;
    if !written {
        return Err(WriteError::Stopped);
    }
    Ok(Written {
        bytes: text.len(),
        defects: report.defects.len(),
        not_seen: report.not_seen.len(),
        left_out,
    })
}

/// A name for the report: letters, digits and hyphens of the boat and the walk, at most forty of
/// them, as a page.
pub fn file_name(report_of: &[&str]) -> String {
    let named = plain_name(&report_of.join(" "), 33);
    let joint = if named.is_empty() { "" } else { "-" };
    format!("report{joint}{named}.html")
}

fn json(report: &Report) -> String {
    #[derive(Serialize)]
    struct Whole<'a> {
        schema: &'static str,
        #[serde(flatten)]
        report: &'a Report,
    }
    let whole = Whole {
        schema: SCHEMA,
        report,
    };
    // A report holds no map keyed by other than text, the one thing serde_json refuses.
    let json = serde_json::to_string_pretty(&whole).unwrap_or_default();
    format!("{}\n", json_guard(&json))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_letters_digits_and_hyphens() {
        assert_eq!(
            file_name(&["Grey Plover", "2026-05-03", "daily"]),
            "report-grey-plover-2026-05-03-daily.html"
        );
        assert_eq!(file_name(&["../../etc/passwd"]), "report-etc-passwd.html");
        assert_eq!(file_name(&["\u{202e}Æ|nul", "con"]), "report-nul-con.html");
        assert_eq!(file_name(&["日本"]), "report.html");
        let long = file_name(&["a very long name for a boat of the inland waterways", "now"]);
        assert!(long.len() <= 45, "{long}");
    }

    #[test]
    fn an_ending_says_the_form_in_either_case() {
        let form = |name: &str| Form::of(Path::new(name)).ok();
        assert_eq!(form("a.HTML"), Some(Form::Html));
        assert_eq!(form("a.b.csv"), Some(Form::Csv));
        assert_eq!(form("html"), None);
        assert_eq!(form("a.pdf"), None);
    }

    #[test]
    fn a_name_can_say_its_language_before_its_ending() {
        let language = |name: &str| language_of(Path::new(name));
        assert_eq!(language("plover.de.html"), Some(Language::German));
        assert_eq!(language("plover.EN.md"), Some(Language::English));
        assert_eq!(language("plover.html"), None);
        assert_eq!(language("plover.fr.html"), None);
        assert_eq!(language("de.html"), None);
    }
}
