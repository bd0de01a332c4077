//! `entries`: everything on record, entry by entry; taken back, put right and moved.

mod change;

pub use change::ChangeBody;
pub(super) use change::assigned;

use chrono::{DateTime, FixedOffset, NaiveDate};
use clap::{Args, Subcommand};
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::{Page, Set};
use super::verdict::title_of;
use crate::assess::words::Verdict;
use crate::logbook::book::Book;
use crate::logbook::entries::{Deed, Entry, Fate, entries};
use crate::logbook::mend::{self, fields, foresee};
use crate::logbook::read_then::{ReadThen, read_then};
use crate::text::safe_line;

/// So many are listed where no number is given.
const LISTED: usize = 40;

/// Options of `entries`.
#[derive(Args, Debug)]
pub struct EntriesArgs {
    /// The list where nothing is named.
    #[command(subcommand)]
    pub command: Option<EntriesCommand>,
    /// Only what has this in its words, item, walk or id
    #[arg(long, value_name = "TEXT")]
    pub find: Option<String>,
    /// Only entries of this item
    #[arg(long, value_name = "ITEM")]
    pub item: Option<String>,
    /// Only entries of this walk
    #[arg(long, value_name = "ID")]
    pub walk: Option<String>,
    /// Only entries of this kind, such as look or repair
    #[arg(long, value_name = "KIND")]
    pub kind: Option<String>,
    /// Only entries of this day
    #[arg(long, value_name = "DATE")]
    pub day: Option<NaiveDate>,
    /// So many, the newest first
    #[arg(long, value_name = "N", default_value_t = LISTED)]
    pub most: usize,
}

/// What to do with an entry.
#[derive(Subcommand, Debug)]
pub enum EntriesCommand {
    /// Show one in full, with what would follow from taking it back
    Show {
        /// Id of the entry
        id: String,
    },
    /// Take one back; it stays on record, struck out
    TakeBack(change::TakeBackArgs),
    /// Put one right, or move it: name each field with what it is to say
    PutRight(change::PutRightArgs),
    /// Let one count again that was taken back, put right or set aside
    PutBack(change::PutBackArgs),
    /// Set a walk aside, with all its looks
    SetAside(change::SetAsideArgs),
    /// Close a walk left open, as it stands
    Close(change::CloseArgs),
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct EntriesBody {
    /// The newest first.
    rows: Vec<EntryRow>,
    /// How many more there are.
    more: usize,
}

/// One entry.
#[derive(Serialize, JsonSchema)]
pub struct EntryRow {
    /// Id of its record.
    id: String,
    /// The kind of record, as in the files.
    kind: String,
    /// When it happened.
    at: DateTime<FixedOffset>,
    /// When it was written.
    written: DateTime<FixedOffset>,
    /// Walk id; null for what belongs to none.
    walk: Option<String>,
    /// Catalogue id of the item; null where it is of none.
    item: Option<String>,
    /// Machine id; null where none is named.
    machine: Option<String>,
    /// Who did it, as recorded.
    by: Option<String>,
    /// In plain words, as it stands.
    words: String,
    /// stands, put-right, taken-back or set-aside.
    state: &'static str,
    /// As it was first written; null where it stands as it was.
    was: Option<String>,
    /// What did that; null where it stands as it was.
    changed: Option<DeedRow>,
}

/// What took an entry back or put it right.
#[derive(Serialize, JsonSchema)]
pub struct DeedRow {
    /// Id of the record.
    id: String,
    /// When it was written.
    at: DateTime<FixedOffset>,
    /// Why; null where nobody said.
    why: Option<String>,
    /// Who; null where nobody is named.
    by: Option<String>,
}

/// One entry in full.
#[derive(Serialize, JsonSchema)]
pub struct EntryBody {
    /// What is known of it.
    entry: EntryRow,
    /// What it says, field by field, and what it leaves out and may say.
    fields: Vec<FieldRow>,
    /// What would follow if it did not count; if it counted again where it does not.
    follows: Vec<String>,
    /// The verdicts that it changed when it was written: history, never an answer; missing where it
    /// changed none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    read_then: Vec<ReadThenRow>,
}

/// What the last verdict of a machine read around an entry, by the order of the record.
#[derive(Serialize, JsonSchema)]
pub struct ReadThenRow {
    /// Machine id.
    machine: String,
    /// Just before; null where there was none.
    before: Option<Verdict>,
    /// Just after; null where there was none.
    after: Option<Verdict>,
    /// Now, with all that is on record; null where there is none.
    now: Option<Verdict>,
}

impl From<&ReadThen> for ReadThenRow {
    fn from(read: &ReadThen) -> ReadThenRow {
        ReadThenRow {
            machine: read.machine.clone(),
            before: read.before,
            after: read.after,
            now: read.now,
        }
    }
}

/// A field of an entry.
#[derive(Serialize, JsonSchema)]
pub struct FieldRow {
    /// Its name.
    field: String,
    /// What it says; empty where it says nothing.
    value: String,
    /// It is not put right by itself.
    fixed: bool,
}

impl From<&Deed> for DeedRow {
    fn from(deed: &Deed) -> DeedRow {
        DeedRow {
            id: deed.id.clone(),
            at: deed.at,
            why: deed.why.clone(),
            by: deed.who.clone(),
        }
    }
}

impl From<&Entry> for EntryRow {
    fn from(entry: &Entry) -> EntryRow {
        let (was, changed) = match &entry.fate {
            Fate::Stands => (None, None),
            Fate::PutRight { was, by } => (Some(was.clone()), Some(by)),
            Fate::TakenBack(by) | Fate::SetAside(by) => (None, Some(by)),
        };
        EntryRow {
            id: entry.id.clone(),
            kind: entry.kind.to_owned(),
            at: entry.at,
            written: entry.written,
            walk: entry.walk.clone(),
            item: entry.item.clone(),
            machine: entry.machine.clone(),
            by: entry.by.clone(),
            words: entry.words.clone(),
            state: entry.fate.name(),
            was,
            changed: changed.map(DeedRow::from),
        }
    }
}

/// Runs the command.
///
/// # Errors
/// The logbook cannot be read or written, or what is asked cannot be done.
pub fn run(args: &EntriesArgs, cx: &Context) -> Result<Answer, Failure> {
    match &args.command {
        None => list(args, cx),
        Some(EntriesCommand::Show { id }) => show(id, cx),
        Some(EntriesCommand::TakeBack(args)) => change::take_back(args, cx),
        Some(EntriesCommand::PutRight(args)) => change::put_right(args, cx),
        Some(EntriesCommand::PutBack(args)) => change::put_back(args, cx),
        Some(EntriesCommand::SetAside(args)) => change::set_aside(args, cx),
        Some(EntriesCommand::Close(args)) => change::close(args, cx),
    }
}

fn all(book: &Book) -> Vec<Entry> {
    entries(book.written(), &|item| title_of(book.library(), item))
}

fn list(args: &EntriesArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let is = |asked: &Option<String>, own: Option<&str>| {
        asked.as_deref().is_none_or(|asked| own == Some(asked))
    };
    let needle = args.find.as_ref().map(|text| text.to_lowercase());
    let words = |entry: &Entry| {
        let item = entry.item.as_deref().unwrap_or_default();
        let walk = entry.walk.as_deref().unwrap_or_default();
        format!("{} {item} {walk} {}", entry.words, entry.id).to_lowercase()
    };
    let has = |entry: &Entry| {
        let needle = needle.as_ref();
        needle.is_none_or(|needle| words(entry).contains(needle))
    };
    let mut found = all(&book);
    found.retain(|entry| {
        cx.is_asked(entry.machine.as_deref())
            && is(&args.item, entry.item.as_deref())
            && is(&args.walk, entry.walk.as_deref())
            && is(&args.kind, Some(entry.kind))
            && args.day.is_none_or(|day| entry.at.date_naive() == day)
            && has(entry)
    });
    let more = found.len().saturating_sub(args.most);
    found.truncate(args.most);
    let body = EntriesBody {
        rows: found.iter().map(EntryRow::from).collect(),
        more,
    };
    Ok(cx.form.answer("entries", &body, |page| {
        if body.rows.is_empty() {
            page.line("Nothing such is on record.");
            return;
        }
        let columns = [("when", Set::Left), ("id", Set::Left), ("what", Set::Left)];
        let cells = body.rows.iter().map(|row| {
            let what = match &row.changed {
                None => row.words.clone(),
                Some(_) => format!("[{}] {}", row.state.replace('-', " "), row.words),
            };
            let when = row.at.format("%Y-%m-%d %H:%M").to_string();
            vec![when, row.id.clone(), safe_line(&what).into_owned()]
        });
        page.table(&columns, &cells.collect::<Vec<_>>());
        if body.more > 0 {
            page.line(format!(
                "{} more; --most N shows more, --find TEXT fewer.",
                body.more
            ));
        }
    }))
}

fn show(id: &str, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let found = all(&book).into_iter().find(|entry| entry.id == id);
    let Some(entry) = found else {
        let id = safe_line(id);
        return Err(Failure::usage(format!(
            "there is no entry '{id}'; see: handlamp entries"
        )));
    };
    let reason = mend::Reason {
        why: "shown".to_owned(),
        by: None,
    };
    let turned = match (&entry.walk, entry.kind, entry.counts()) {
        (Some(walk), "walk", true) => mend::set_aside(&book, walk, &reason),
        (_, _, true) => mend::take_back(&book, id, &reason),
        (_, _, false) => mend::put_back(&book, id),
    };
    let said = book
        .written()
        .get(entry.place)
        .map(|w| mend::as_it_says(&book, w));
    let rows = said.map(|record| fields(&record)).unwrap_or_default();
    let then = read_then(&book, entry.place);
    let sentences: Vec<String> = then
        .iter()
        .flat_map(|read| read.sentences(book.boat().name_among(&read.machine)))
        .collect();
    let body = EntryBody {
        entry: EntryRow::from(&entry),
        fields: rows
            .into_iter()
            .map(|field| FieldRow {
                field: field.name,
                value: field.value,
                fixed: field.is_fixed,
            })
            .collect(),
        follows: turned.map_or(Vec::new(), |records| foresee(&book, &records)),
        read_then: then.iter().map(ReadThenRow::from).collect(),
    };
    Ok(cx.form.answer("entry", &body, |page| {
        page_of(&body, &sentences, page);
    }))
}

fn page_of(body: &EntryBody, read_then: &[String], page: &mut Page) {
    let entry = &body.entry;
    page.paragraph(format!("{}.", safe_line(&entry.words)));
    if let Some(changed) = &entry.changed {
        let by = changed
            .by
            .as_ref()
            .map_or(String::new(), |by| format!(" by {by}"));
        let why = changed
            .why
            .as_ref()
            .map_or(String::new(), |why| format!(": {why}"));
        let state = entry.state.replace('-', " ");
        let day = changed.at.format("%Y-%m-%d %H:%M");
        page.paragraph(safe_line(&format!("It was {state} on {day}{by}{why}.")));
    }
    if let Some(was) = &entry.was {
        page.paragraph(safe_line(&format!("It said first: {was}.")));
    }
    page.blank();
    let columns = [("field", Set::Left), ("says", Set::Left)];
    let cells: Vec<Vec<String>> = body
        .fields
        .iter()
        .map(|f| match f.value.as_str() {
            "" => vec![f.field.clone(), "-".to_owned()],
            value => vec![f.field.clone(), safe_line(value).into_owned()],
        })
        .collect();
    page.table(&columns, &cells);
    if !read_then.is_empty() {
        page.blank();
        read_then
            .iter()
            .for_each(|told| page.paragraph(safe_line(&format!("{told}."))));
    }
    if !body.follows.is_empty() {
        page.blank();
        page.line(match entry.state {
            "stands" | "put-right" => "If it did not count:",
            _ => "If it counted again:",
        });
        body.follows
            .iter()
            .for_each(|told| page.hang("- ", safe_line(told)));
    }
}
