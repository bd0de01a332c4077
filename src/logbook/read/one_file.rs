//! What the bytes of one file say. It hangs on nothing but them: what was read before them only spares work.

use std::path::{Path, PathBuf};

use super::{Line, LogFile, known_by, lines};
use crate::logbook::alike::Alike;
use crate::logbook::doubts::Remains;
use crate::logbook::folder::numbered;
use crate::logbook::line::{Checked, Entry, decode_beside};
use crate::logbook::order::Begun;
use crate::logbook::problem::{Problem, ProblemKind};
use crate::logbook::runs::Run;

/// What one file says, and what is wrong with it. The number of the file is not known here.
pub(super) struct OneFile {
    /// What is wrong, in the order of the lines.
    pub(super) problems: Vec<Problem>,
    /// What its first line says.
    pub(super) begun: Begun,
    /// The numbers of its lines, by session, in runs.
    pub(super) numbers: Vec<(String, Vec<u32>)>,
    /// The file itself.
    pub(super) file: LogFile,
}

impl OneFile {
    /// Reads the lines of a file, after those of others, and puts its records behind theirs. `live` is
    /// asked only when it has no clean end.
    pub(super) fn of(
        path: PathBuf,
        bytes: &[u8],
        alike: &mut Alike,
        entries: &mut Vec<Entry>,
        live: impl FnOnce() -> bool,
    ) -> OneFile {
        let before = entries.len();
        let mut problems = Vec::new();
        let mut numbers: Vec<(String, Vec<u32>)> = Vec::new();
        let mut torn = None;
        let mut damaged = 0;
        let mut run = Run::default();
        for line in lines(bytes) {
            let mut entry = match decode_beside(line.text, alike) {
                Ok(entry) => entry,
                Err(_) if !line.whole => {
                    torn = Some(line);
                    continue;
                }
                Err(refused) => {
                    damaged += 1;
                    let told = run.add(&path, &line, refused, &mut problems);
                    // It is damaged, and not missing besides.
                    let id = told.and_then(|r| r.id.as_deref());
                    note_number(&mut numbers, id);
                    continue;
                }
            };
            run.end(&mut problems);
            entry.line = line.number;
            if entry.checked == Checked::ChangedOutside {
                problems.push(changed(&path, &line, &entry));
            }
            note_number(&mut numbers, Some(entry.id.as_str()));
            entries.push(entry);
        }
        run.end(&mut problems);
        let entries = entries.get(before..).unwrap_or_default();
        let ended = entries.last().is_some_and(|e| &*e.ev == "end");
        let live = !ended && live();
        if let Some(line) = torn.filter(|_| !live) {
            problems.push(unfinished(&path, &line));
        }
        problems.extend(short_of_count(&path, entries, damaged));
        OneFile {
            begun: begun(entries),
            numbers,
            file: LogFile {
                path,
                bytes: bytes.len() as u64,
                entries: u32::try_from(entries.len()).unwrap_or(u32::MAX),
                ended,
                live,
            },
            problems,
        }
    }
}

/// Notes the number that an id carries, where it carries one.
fn note_number(numbers: &mut Vec<(String, Vec<u32>)>, id: Option<&str>) {
    let Some((session, n)) = id.and_then(numbered) else {
        return;
    };
    match numbers.last_mut() {
        Some((last, run)) if last == session => run.push(n),
        _ => numbers.push((session.to_owned(), vec![n])),
    }
}

/// Something wrong with one line, and what the line still tells.
pub(in crate::logbook) fn problem(
    path: &Path,
    line: &Line<'_>,
    kind: ProblemKind,
    message: String,
) -> Problem {
    Problem {
        file: path.to_owned(),
        line: Some(line.number),
        kind,
        message,
        bytes: Some(line.span.clone()),
        remains: Some(Remains::of(line.text)),
    }
}

fn changed(path: &Path, line: &Line<'_>, entry: &Entry) -> Problem {
    let why = format!("record {} was changed outside the program", entry.id);
    problem(path, line, ProblemKind::ChangedOutside, why)
}

fn unfinished(path: &Path, line: &Line<'_>) -> Problem {
    let why = format!(
        "1 unfinished entry ({} bytes): its writing was interrupted, or its end was cut off, which cannot be told apart",
        line.span.end - line.span.start
    );
    problem(path, line, ProblemKind::Torn, why)
}

/// The session that wrote a file and the newest mark its writer knew, from the session line.
fn begun(entries: &[Entry]) -> Begun {
    let first = entries.first().filter(|e| &*e.ev == "session");
    let session = first.and_then(|e| numbered(e.id.as_str()));
    Begun {
        session: session.map(|(session, _)| session.into()),
        after: first.and_then(known_by).unwrap_or_default().after,
    }
}

/// Lines with ids given from outside have no numbers to miss, but the last line counts them all.
fn short_of_count(path: &Path, entries: &[Entry], damaged: usize) -> Option<Problem> {
    #[derive(serde::Deserialize)]
    struct End {
        n: usize,
    }
    let end = entries.last().filter(|e| &*e.ev == "end")?;
    let End { n } = end.rec.parse().ok()?;
    let (_, own_number) = numbered(end.id.as_str())?;
    let all_numbered = own_number as usize == n + 1;
    let has = entries
        .iter()
        .filter(|e| !matches!(&*e.ev, "session" | "end"))
        .count();
    // A damaged line is told as such.
    let has = has + damaged;
    (!all_numbered && has < n).then(|| {
        let why = format!("{} of its {n} records are missing", n - has);
        Problem::with_file(path, ProblemKind::Missing, why)
    })
}
