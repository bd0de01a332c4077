//! `entries take-back`, `put-right`, `put-back`, `set-aside`, `close`.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::super::act;
use super::super::answer::Answer;
use super::super::context::Context;
use super::super::failure::Failure;
use crate::defects::admit::Fault;
use crate::logbook::book::Book;
use crate::logbook::mend::{self, Reason, foresee};
use crate::logbook::record::Record;
use crate::text::safe_line;

/// Why, who, and whether to do it.
#[derive(Args, Debug)]
pub struct How {
    /// Why it was wrong
    #[arg(long, value_name = "TEXT", default_value = "")]
    pub why: String,
    /// Who says so
    #[arg(long, value_name = "NAME")]
    pub by: Option<String>,
    /// Only tell what would follow
    #[arg(long)]
    pub only_tell: bool,
}

/// Options of `entries take-back`.
#[derive(Args, Debug)]
pub struct TakeBackArgs {
    /// Id of the entry
    pub id: String,
    #[command(flatten)]
    how: How,
}

/// Options of `entries put-right`.
#[derive(Args, Debug)]
pub struct PutRightArgs {
    /// Id of the entry
    pub id: String,
    /// What a field is to say, such as grade=worn, item=fuel-hoses or hours=1268.5; nothing after the
    /// sign takes it out
    #[arg(required = true, value_name = "FIELD=TEXT", value_parser = assigned)]
    pub fields: Vec<(String, String)>,
    #[command(flatten)]
    how: How,
}

/// Options of `entries put-back`.
#[derive(Args, Debug)]
pub struct PutBackArgs {
    /// Id of the entry
    pub id: String,
    /// Only tell what would follow
    #[arg(long)]
    pub only_tell: bool,
}

/// Options of `entries set-aside`.
#[derive(Args, Debug)]
pub struct SetAsideArgs {
    /// Walk id
    pub walk: String,
    #[command(flatten)]
    how: How,
}

/// Options of `entries close`.
#[derive(Args, Debug)]
pub struct CloseArgs {
    /// Walk id
    pub walk: String,
    /// Only tell what would follow
    #[arg(long)]
    pub only_tell: bool,
}

/// What was done, or would be.
#[derive(Serialize, JsonSchema)]
pub struct ChangeBody {
    /// It is recorded; false where it was only told.
    recorded: bool,
    /// Ids of the records that do it.
    ids: Vec<String>,
    /// What follows from it, each in a sentence.
    follows: Vec<String>,
}

pub(in crate::cli) fn assigned(text: &str) -> Result<(String, String), String> {
    let (field, value) = text
        .split_once('=')
        .ok_or_else(|| "expected FIELD=TEXT, such as grade=worn".to_owned())?;
    Ok((field.trim().to_owned(), value.to_owned()))
}

impl How {
    fn reason(&self, cx: &Context) -> Reason {
        let own = || cx.settings().ok().and_then(|settings| settings.by);
        Reason {
            why: self.why.clone(),
            by: self.by.clone().or_else(own),
        }
    }
}

/// Runs `entries take-back`.
///
/// # Errors
/// There is no such entry, or a stop goes with it and nothing says why.
pub fn take_back(args: &TakeBackArgs, cx: &Context) -> Result<Answer, Failure> {
    let reason = args.how.reason(cx);
    change(
        cx,
        (&args.id, args.how.only_tell),
        "It is taken back.",
        |book| mend::take_back(book, &args.id, &reason),
    )
}

/// Runs `entries put-right`.
///
/// # Errors
/// There is no such entry, or it cannot say that.
pub fn put_right(args: &PutRightArgs, cx: &Context) -> Result<Answer, Failure> {
    let reason = args.how.reason(cx);
    let seed = format!("{} {:?}", args.id, args.fields);
    change(
        cx,
        (&seed, args.how.only_tell),
        "It is put right.",
        |book| mend::put_right(book, &args.id, &args.fields, &reason),
    )
}

/// Runs `entries put-back`.
///
/// # Errors
/// There is no such entry, or nothing was done to it.
pub fn put_back(args: &PutBackArgs, cx: &Context) -> Result<Answer, Failure> {
    change(
        cx,
        (&args.id, args.only_tell),
        "It counts again, as it did before.",
        |book| mend::put_back(book, &args.id),
    )
}

/// Runs `entries set-aside`.
///
/// # Errors
/// There is no such walk, or nothing says why.
pub fn set_aside(args: &SetAsideArgs, cx: &Context) -> Result<Answer, Failure> {
    let reason = args.how.reason(cx);
    change(
        cx,
        (&args.walk, args.how.only_tell),
        "The walk is set aside.",
        |book| mend::set_aside(book, &args.walk, &reason),
    )
}

/// Runs `entries close`.
///
/// # Errors
/// There is no such walk, or it has ended.
pub fn close(args: &CloseArgs, cx: &Context) -> Result<Answer, Failure> {
    change(
        cx,
        (&args.walk, args.only_tell),
        "The walk is closed as it stands.",
        |book| mend::close(book, &args.walk),
    )
}

fn change(
    cx: &Context,
    (seed, only_tell): (&str, bool),
    done: &str,
    records: impl FnOnce(&Book) -> Result<Vec<Record>, Vec<Fault>>,
) -> Result<Answer, Failure> {
    let mut book = cx.book_for(seed)?;
    let options = [
        ("id", "ID"),
        ("walk", "WALK"),
        ("why", "--why"),
        ("by", "--by"),
    ];
    let records = records(&book).map_err(|faults| Failure::of_act(faults, &options))?;
    let follows = foresee(&book, &records);
    let ids = match only_tell {
        true => Vec::new(),
        false => act::batch(&mut book, records.into_iter().map(|r| (None, r)).collect())?,
    };
    let body = ChangeBody {
        recorded: !only_tell,
        ids,
        follows,
    };
    Ok(cx.form.answer("entry-changed", &body, |page| {
        page.paragraph(match body.recorded {
            true => format!("{done} What was first written stays on record."),
            false => "Nothing is recorded. This would follow:".to_owned(),
        });
        if body.follows.is_empty() {
            page.line("No stop, list or verdict becomes another by it.");
        }
        body.follows
            .iter()
            .for_each(|told| page.hang("- ", safe_line(told)));
    }))
}
