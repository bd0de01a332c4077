//! What holds for any bytes at all. The fuzz targets try it on bytes they make up, a plain test on
//! the seeds.

use std::borrow::Cow;
use std::path::{Path, PathBuf};
use std::rc::Rc;
use std::sync::Arc;

use chrono::DateTime;
use handlamp::checklist::{Catalogue, Library, check_file};
use handlamp::defects::list::Scenario;
use handlamp::logbook::book::Book;
use handlamp::logbook::import::import;
use handlamp::logbook::input::read_documents;
use handlamp::logbook::line::{decode, encode};
use handlamp::logbook::{Checked, Clock, FixedClock, Log, Reader};
use handlamp::photo::{Form, clean, is_picture, scale, taken};
use handlamp::text::{csv_guard, fit, json_guard, pad, safe, safe_line, safe_text, width, wrap};
use serde_json::Value;

const NOW: &str = "2026-05-03T09:00:00+02:00";
const NOW_MS: u64 = 1_777_791_600_000;
const BOAT: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15,
    "machines":[{"id":"main","name":"Main engine","hours":1200.0}]}"#;

/// A line is a record or refused. A record written again reads as it was, under a checksum of its
/// own, in characters no display obeys.
pub fn record_line(bytes: &[u8]) {
    let Ok(entry) = decode(bytes) else { return };
    let rec = entry.rec.get();
    let Ok(line) = encode(&entry.id, entry.stamp, entry.at, &entry.ev, &rec) else {
        return;
    };
    let body = line.strip_suffix('\n').expect("one line");
    assert!(!body.contains(acts), "{body:?}");
    let again = decode(body.as_bytes()).expect("a line that was written is read");
    assert_eq!(
        (&again.id, again.stamp, &again.ev),
        (&entry.id, entry.stamp, &entry.ev)
    );
    assert_eq!(again.checked, Checked::Good);
    let value = |rec: &str| serde_json::from_str::<Value>(rec).ok();
    assert_eq!(value(&again.rec.get()), value(&rec));
    // A blank makes no difference, though the line then is not of the form that is written.
    let text = std::str::from_utf8(bytes).expect("a record is text");
    if let Ok(spaced) = decode(text.replacen('{', "{ ", 1).as_bytes()) {
        assert_eq!(
            (spaced.id, spaced.stamp, spaced.at, spaced.ev),
            (entry.id, entry.stamp, entry.at, entry.ev)
        );
        assert_eq!((spaced.rec.get(), spaced.newer), (rec, entry.newer));
    } else {
        assert!(bytes.len() + 1 >= handlamp::logbook::line::MAX_LINE);
    }
}

/// Any file is read; reading it again, or a copy of it beside it, changes nothing; every record has
/// a place in the file.
pub fn whole_file(bytes: &[u8]) {
    let read = |copies: usize| -> Log {
        let mut reader = Reader::new(NOW_MS);
        for n in 0..copies {
            reader.file(PathBuf::from(format!("log/{n}.jsonl")), bytes, || false);
        }
        reader.finish()
    };
    let (once, again, twice) = (read(1), read(1), read(2));
    let records = |log: &Log| -> Vec<(String, String, Checked)> {
        let of =
            |e: &handlamp::logbook::Entry| (e.id.to_string(), e.rec.get().into_owned(), e.checked);
        log.entries.iter().map(of).collect()
    };
    assert_eq!(records(&once), records(&again));
    assert_eq!(once.problems, again.problems);
    assert_eq!(records(&once), records(&twice));
    assert_eq!(once.newest, twice.newest);
    let lines = bytes.split(|b| *b == b'\n').count();
    for entry in &once.entries {
        assert!(entry.line >= 1 && entry.line as usize <= lines);
        assert_eq!(once.path_of(entry), Path::new("log/0.jsonl"));
    }
    for problem in &once.problems {
        let end = problem.bytes.as_ref().map_or(0, |range| range.end);
        assert!(end <= bytes.len() as u64);
    }
}

/// Any text is a checklist or a catalogue, or is told what it is not, in sentences of one line.
pub fn checklist(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let Err(complaints) = check_file("own.json", text, Catalogue::built_in()) else {
        return;
    };
    assert!(!complaints.is_empty());
    for complaint in complaints {
        assert!(complaint.line >= 1 && complaint.column >= 1);
        let said = complaint.to_string();
        assert!(!said.contains(char::is_control), "{said:?}");
    }
}

/// Any text is records or told what it is not. Records are taken whole or not at all; what was
/// taken can be judged, and is there when the logbook is opened again.
pub fn walk_sheet(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else {
        return;
    };
    let documents = match read_documents("sheet.json", text) {
        Ok(documents) => documents,
        Err(complaints) => {
            assert!(!complaints.is_empty());
            assert!(complaints.iter().all(|c| c.line >= 1 && c.column >= 1));
            return;
        }
    };
    assert!(!documents.is_empty());
    let dir = tempfile::tempdir().expect("a folder");
    let clock: Rc<dyn Clock> = Rc::new(FixedClock::new(
        DateTime::parse_from_rfc3339(NOW).expect("a time"),
    ));
    let library = Arc::new(Library::built_in().clone());
    let boat = serde_json::from_str(BOAT).expect("a boat");
    let mut book = Book::create(
        dir.path(),
        boat,
        Rc::clone(&clock),
        Arc::clone(&library),
        Some(7),
    )
    .expect("a logbook");
    let before = book.written().len();
    let taken = import(&mut book, &documents);
    let condition = book.condition();
    let (exposure, waters) = condition.usual_plan();
    for row in condition.list(Scenario::new(exposure, waters), true).rows {
        assert!((0.0..=1.0).contains(&row.chance), "{}", row.chance);
    }
    book.finish();
    let reopened = Book::open(dir.path(), clock, library, Some(8)).expect("it opens");
    assert_eq!(reopened.problems(), &[]);
    let added = taken.map_or(0, |taken| taken.ids.len());
    assert_eq!(reopened.written().len(), before + added);
    assert_eq!(reopened.history(), book.history());
}

/// Text made safe holds nothing that acts or hides, stays so, and fits where it is fitted.
pub fn text(bytes: &[u8]) {
    let raw = String::from_utf8_lossy(bytes);
    for (filter, kept) in [
        (safe as fn(&str) -> Cow<'_, str>, None),
        (safe_line, None),
        (safe_text, Some('\n')),
    ] {
        let once = filter(&raw).into_owned();
        assert!(!once.contains(|c| acts(c) && Some(c) != kept), "{once:?}");
        assert!(unicode_normalization::is_nfc(&once), "{once:?}");
        assert_eq!(filter(&once), once);
        for columns in [0, 1, 2, 7, 40] {
            assert!(width(&fit(&once, columns)) <= columns);
            assert_eq!(width(&pad(&once, columns)), columns);
            assert!(
                wrap(&once, columns)
                    .iter()
                    .all(|line| width(line) <= columns)
            );
        }
    }
    let cell = csv_guard(&raw);
    assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']));
    assert!(cell.strip_prefix('\'').unwrap_or(&cell) == raw.strip_prefix('\'').unwrap_or(&raw));
    let json = serde_json::to_string(&*raw).expect("a string");
    let guarded = json_guard(&json);
    assert!(!guarded.contains(acts), "{guarded:?}");
    assert_eq!(serde_json::from_str::<String>(&guarded).expect("JSON"), raw);
}

/// Any bytes are a picture or are none. What is kept of one passes again unchanged, is known by its
/// beginning, and tells no time. Forms that are drawn anew are only looked at: how much their own readers
/// take is theirs.
pub fn picture(bytes: &[u8]) {
    let (_, size) = (taken(bytes), scale::pixels(bytes));
    if Form::of(bytes).is_none() || size.is_ok_and(|pixels| pixels > 1 << 20) {
        return;
    }
    let Ok(kept) = clean(bytes) else { return };
    assert!(is_picture(&kept.bytes));
    assert_eq!(taken(&kept.bytes), None);
    assert_eq!(clean(&kept.bytes), Ok(kept.clone()));
}

/// What a terminal may obey or what turns the direction of writing.
pub fn acts(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}' | '\u{e0000}'..='\u{e007f}')
}
