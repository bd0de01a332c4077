//! What the acts on a defect have in common: recording one, and saying where the item stands then.

use chrono::{DateTime, FixedOffset};

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::record::RecordedBody;
use super::verdict::title_of;
use crate::defects::finding::happened_at;
use crate::logbook::EntryId;
use crate::logbook::book::Book;
use crate::logbook::import::prepare_act;
use crate::logbook::record::Record;

/// Records one act made by hand, now. `options` names the option behind each field for messages;
/// `done` says in words what was done.
///
/// # Errors
/// What is wrong with the act, or the logbook cannot be written.
pub fn record(
    record: Record,
    options: &[(&str, &str)],
    cx: &Context,
    done: impl FnOnce(&str) -> String,
) -> Result<Answer, Failure> {
    let mut book = open(&record, cx)?;
    cx.known_asked(&book)?;
    let known = [("item", "ITEM"), ("machine", "--machine"), ("at", "--now")];
    let options: Vec<_> = options.iter().chain(&known).copied().collect();
    let (mut record, ids) = put(&mut book, record, &options)?;
    let item = record.subject_slot().map_or("", |(item, _)| item);
    let done = done(&title_of(book.library(), item));
    let body = RecordedBody::of(ids);
    Ok(cx
        .form
        .answer("recorded", &body, |page| page.paragraph(&done)))
}

/// Records one act, held against all on record first: as it stands in the log, and the ids.
///
/// # Errors
/// What is wrong with it, by its option; nothing of it is in the logbook.
pub fn put(
    book: &mut Book,
    record: Record,
    options: &[(&str, &str)],
) -> Result<(Record, Vec<String>), Failure> {
    let record = prepare_act(book, book.history(), record)
        .map_err(|faults| Failure::of_act(faults, options))?;
    let ids = batch(book, vec![(None, record.clone())])?;
    Ok((record, ids))
}

/// When something happened, as told with `--at`; now where it is left out.
///
/// # Errors
/// It is no time.
pub fn happened(
    at: Option<&str>,
    now: DateTime<FixedOffset>,
) -> Result<DateTime<FixedOffset>, Failure> {
    at.map_or(Ok(now), |text| {
        happened_at(text, now).map_err(|why| Failure::usage(format!("--at: {why}")))
    })
}

/// Records a batch and marks a clean end; the ids.
///
/// # Errors
/// Nothing of it is in the logbook.
pub fn batch(
    book: &mut Book,
    records: Vec<(Option<EntryId>, Record)>,
) -> Result<Vec<String>, Failure> {
    let ids = book.record_batch(records)?;
    book.finish();
    Ok(ids)
}

/// The logbook, to record this in it.
///
/// # Errors
/// It is not there, or cannot be read.
pub fn open(record: &Record, cx: &Context) -> Result<Book, Failure> {
    cx.book_for(&record.payload().map_err(Failure::usage)?)
}
