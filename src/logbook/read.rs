//! Reading the whole log. Nothing is modified, every file and line is looked at, and whatever does
//! not count is reported with its place.
//!
//! A line stands alone: a bad one is skipped and the next newline starts afresh. Only a last line
//! without its newline can be the trace of an interrupted write, of a record that was never
//! acknowledged; where its end was cut off later the bytes are the same, so neither is claimed.
//! Anything else that is wrong is damage and is called so.

mod one_file;

use std::ffi::OsStr;
use std::fs::File;
use std::io;
use std::num::NonZero;
use std::ops::Range;
use std::path::{Path, PathBuf};
use std::thread;

use memchr::memchr;
use rustix::fs::{FlockOperation, flock};
use rustix::io::Errno;

use super::alike::Alike;
use super::clock::{Clock, horizon_ms};
use super::disk::{Disk, Kind, RealDisk, read_regular};
use super::error::LogbookError;
use super::folder::{Folder, MAX_FILE, numbered};
use super::line::Entry;
use super::order::{Begun, Numbers, arrange, report_not_here};
use super::problem::{Gravity, Problem, ProblemKind};
use super::record::ClockFound;
use super::stamp::Stamp;
use one_file::OneFile;

/// How deep folders are followed below `log/`.
pub(crate) const MAX_DEPTH: usize = 16;

/// One file of the log.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LogFile {
    /// Where it is, relative to the logbook's folder.
    pub path: PathBuf,
    /// Its size in bytes.
    pub bytes: u64,
    /// Records read from it, copies included.
    pub entries: u32,
    /// Its last record is the mark of a clean end.
    pub ended: bool,
    /// A session is writing to it right now.
    pub live: bool,
}

/// Everything a logbook says, and everything wrong with it.
#[derive(Debug, Default)]
pub struct Log {
    /// All records in order, each once.
    pub entries: Vec<Entry>,
    /// What is wrong, in the order of files and lines, then what concerns several.
    pub problems: Vec<Problem>,
    /// The files, in the order of their paths.
    pub files: Vec<LogFile>,
    /// The newest time mark to be believed; give it to the next session.
    pub newest: Stamp,
    /// The last marks of other files that no session line names, the newest first: the next session
    /// names them, so that a file of another device which is missing later is told.
    pub beside: Vec<Stamp>,
    /// Sessions whose clock was found wrong; the next session records it.
    pub clocks: Vec<ClockFound>,
}

impl Log {
    /// Whether any record is lost or in doubt.
    #[must_use]
    pub fn is_damaged(&self) -> bool {
        self.problems.iter().any(|p| p.gravity() == Gravity::Damage)
    }

    /// The file a record was read from, relative to the logbook's folder.
    #[must_use]
    pub fn path_of(&self, entry: &Entry) -> &Path {
        self.files
            .get(entry.file as usize)
            .map_or(Path::new(""), |file| &file.path)
    }
}

/// Read the logbook at `root`. A folder with no log yet gives an empty one.
///
/// # Errors
/// [`LogbookError::CannotRead`] when the log's own folder cannot be listed. Anything wrong further
/// down is a [`Problem`].
pub fn read_log(root: &Path, clock: &dyn Clock) -> Result<Log, LogbookError> {
    read_log_with(root, clock, &[])
}

/// The same, with lines of a session that are in no file for certain.
pub(crate) fn read_log_with(
    root: &Path,
    clock: &dyn Clock,
    in_memory: &[u8],
) -> Result<Log, LogbookError> {
    let mut reader = Reader::new(horizon_ms(clock));
    let found = find_files(&RealDisk, root, &mut reader.problems)?;
    for part in read_files(root, &found) {
        reader.take(part);
    }
    if !in_memory.is_empty() {
        reader.file(IN_MEMORY.into(), in_memory, || true);
    }
    Ok(reader.finish())
}

/// What some files say, in their order, with the records of all of them in one list.
#[derive(Default)]
struct Part {
    files: Vec<Result<OneFile, Box<Problem>>>,
    entries: Vec<Entry>,
}

/// So many files are worth a thread of their own.
const WORTH_A_THREAD: usize = 100;

/// Reads files on all processors. What they say is in the order of the files.
fn read_files(root: &Path, files: &[PathBuf]) -> Vec<Part> {
    let read = |paths: &[PathBuf]| -> Part {
        let mut alike = Alike::default();
        let mut entries = Vec::new();
        let one = |path: &PathBuf| read_one(root, path, &mut alike, &mut entries);
        Part {
            files: paths.iter().map(one).collect(),
            entries,
        }
    };
    let threads = thread::available_parallelism().map_or(1, NonZero::get);
    let each = files.len().div_ceil(threads).max(WORTH_A_THREAD);
    let (own, others) = files.split_at(each.min(files.len()));
    thread::scope(|scope| {
        let begin = |part| {
            let begun = thread::Builder::new().spawn_scoped(scope, move || read(part));
            (part, begun)
        };
        let others: Vec<_> = others.chunks(each).map(begin).collect();
        let mut all = vec![read(own)];
        for (part, begun) in others {
            all.push(match begun.map(thread::ScopedJoinHandle::join) {
                Ok(Ok(theirs)) => theirs,
                Ok(Err(panic)) => std::panic::resume_unwind(panic),
                // The system gives no more threads.
                Err(_) => read(part),
            });
        }
        all
    })
}

fn read_one(
    root: &Path,
    path: &Path,
    alike: &mut Alike,
    entries: &mut Vec<Entry>,
) -> Result<OneFile, Box<Problem>> {
    let whole = root.join(path);
    let (file, bytes) =
        read_regular(&whole, MAX_FILE).map_err(|e| Box::new(Problem::refused_file(path, &e)))?;
    #[cfg(feature = "sabotage")]
    crate::safety::cut_torn_end(&whole, &bytes);
    Ok(OneFile::of(path.to_owned(), &bytes, alike, entries, || {
        is_live(&file)
    }))
}

/// Stands for the file of lines that are in none.
const IN_MEMORY: &str = "(in memory)";

/// Hidden and temporary names are not for reading.
pub(crate) fn is_passed_over(name: &OsStr) -> bool {
    let text = name.to_string_lossy();
    text.starts_with(['.', '~']) || text.ends_with(".tmp")
}

/// A session holds a lock on its file until it ends, however it ends.
fn is_live(file: &File) -> bool {
    flock(file, FlockOperation::NonBlockingLockShared) == Err(Errno::WOULDBLOCK)
}

/// All `*.jsonl` under `log/` at any depth, whatever else is in their names: a copy under another
/// name is just one more file. Hidden and temporary files are not for reading.
pub(crate) fn find_files(
    disk: &dyn Disk,
    root: &Path,
    problems: &mut Vec<Problem>,
) -> Result<Vec<PathBuf>, LogbookError> {
    let mut found = Vec::new();
    let log = Folder::new(root).log();
    match list(disk, root, Path::new("log"), 0, &mut found, problems) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => Ok(found),
        Err(e) => Err(LogbookError::cannot_read(log, e)),
        Ok(()) => {
            found.sort();
            Ok(found)
        }
    }
}

fn list(
    disk: &dyn Disk,
    root: &Path,
    dir: &Path,
    depth: usize,
    found: &mut Vec<PathBuf>,
    problems: &mut Vec<Problem>,
) -> io::Result<()> {
    for (name, kind) in disk.list(&root.join(dir))? {
        let text = name.to_string_lossy();
        let hidden = is_passed_over(&name);
        let record = text.to_ascii_lowercase().ends_with(".jsonl");
        let path = dir.join(&name);
        if hidden {
            continue;
        } else if kind == Kind::Folder && !record && depth < MAX_DEPTH {
            if let Err(e) = list(disk, root, &path, depth + 1, found, problems) {
                problems.push(Problem::refused_file(&path, &e));
            }
        } else if kind == Kind::File {
            found.extend(record.then_some(path));
        } else if record || kind != Kind::Other {
            problems.push(Problem::refused_file(
                &path,
                &io::ErrorKind::InvalidInput.into(),
            ));
        }
    }
    Ok(())
}

pub(super) use one_file::problem;

/// Takes in the bytes of files; knows no disk.
pub struct Reader {
    now_ms: u64,
    alike: Alike,
    entries: Vec<Entry>,
    problems: Vec<Problem>,
    files: Vec<LogFile>,
    /// For each file what its first line says.
    begun: Vec<Begun>,
    numbers: Numbers,
}

impl Reader {
    /// A reader at this wall time.
    #[must_use]
    pub fn new(now_ms: u64) -> Self {
        Self {
            now_ms,
            alike: Alike::default(),
            entries: Vec::new(),
            problems: Vec::new(),
            files: Vec::new(),
            begun: Vec::new(),
            numbers: Numbers::default(),
        }
    }

    /// Take in one file. `live` is asked only when the file has no clean end.
    pub fn file(&mut self, path: PathBuf, bytes: &[u8], live: impl FnOnce() -> bool) {
        let mut part = Part::default();
        let read = OneFile::of(path, bytes, &mut self.alike, &mut part.entries, live);
        part.files.push(Ok(read));
        self.take(part);
    }

    /// Takes in what files say.
    fn take(&mut self, mut part: Part) {
        let mut entries = part.entries.iter_mut();
        for read in part.files {
            let mut read = match read {
                Ok(read) => read,
                Err(problem) => {
                    self.problems.push(*problem);
                    continue;
                }
            };
            let index = u32::try_from(self.files.len()).unwrap_or(u32::MAX);
            let own = entries.by_ref().take(read.file.entries as usize);
            own.for_each(|entry| entry.file = index);
            for (session, mut numbers) in read.numbers {
                self.numbers.add(&session, index, &mut numbers);
            }
            self.begun.push(read.begun);
            self.files.push(read.file);
            self.problems.append(&mut read.problems);
        }
        match self.entries.is_empty() {
            true => self.entries = part.entries,
            false => self.entries.append(&mut part.entries),
        }
    }

    /// Everything taken in, in one order.
    #[must_use]
    pub fn finish(mut self) -> Log {
        let newer = self.entries.iter().filter(|e| e.newer).count();
        if newer > 0 {
            self.problems.push(Problem::with_file(
                Path::new(""),
                ProblemKind::Newer,
                format!("{newer} record(s) were written by a later version of the program; they are kept"),
            ));
        }
        let mut once = self.numbers.report(&self.files, &mut self.problems);
        // What brings an id of its own has no number that would tell it apart.
        let is_numbered = |e: &Entry| numbered(e.id.as_str()).is_some();
        once = once && self.entries.iter().all(is_numbered);
        let mut beside = report_not_here(&self.entries, &self.files, &mut self.problems);
        let (newest, clocks) = arrange(
            &mut self.entries,
            &self.files,
            &self.begun,
            self.now_ms,
            once,
            &mut self.problems,
        );
        beside.retain(|mark| *mark != newest);
        Log {
            entries: self.entries,
            problems: self.problems,
            files: self.files,
            newest,
            beside,
            clocks,
        }
    }
}

/// One line of a file that is not blank.
pub(crate) struct Line<'a> {
    /// From 1.
    pub(crate) number: u32,
    /// Without its end, and without spaces or a carriage return before it.
    pub(crate) text: &'a [u8],
    /// Where it lies in the file.
    pub(crate) span: Range<u64>,
    /// It has its newline.
    pub(crate) whole: bool,
}

/// The lines of a file. A byte-order mark, carriage returns, trailing spaces and blank lines come
/// from editors and are passed over.
pub(crate) fn lines(bytes: &[u8]) -> impl Iterator<Item = Line<'_>> {
    let mut at = 0;
    let raw = std::iter::from_fn(move || {
        let rest = bytes.get(at..).filter(|rest| !rest.is_empty())?;
        let end = memchr(b'\n', rest).map_or(bytes.len(), |end| at + end + 1);
        let start = std::mem::replace(&mut at, end);
        Some((start as u64..end as u64, bytes.get(start..end)?))
    });
    (1_u32..).zip(raw).filter_map(move |(number, (span, raw))| {
        let mut text = raw;
        if number == 1 {
            text = text.strip_prefix(b"\xef\xbb\xbf").unwrap_or(text);
        }
        while let [rest @ .., b'\n' | b'\r' | b' ' | b'\t'] = text {
            text = rest;
        }
        (!text.is_empty()).then_some(Line {
            number,
            text,
            span,
            whole: raw.ends_with(b"\n"),
        })
    })
}

/// What a session had read when it began, by marks.
#[derive(Default, serde::Deserialize)]
pub(crate) struct KnownMarks {
    /// The newest.
    pub(crate) after: Stamp,
    /// The last of each other file that no session line it had read names.
    #[serde(default)]
    pub(crate) beside: Vec<Stamp>,
}

/// The marks known when a session began, if this is the line that says so.
pub(crate) fn known_by(entry: &Entry) -> Option<KnownMarks> {
    (&*entry.ev == "session")
        .then(|| entry.rec.parse().ok())
        .flatten()
}

#[cfg(test)]
mod tests;
