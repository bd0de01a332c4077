//! `opened`, `closed`: what was left so that she must not be started, and what was put back.

use clap::Args;

use super::act;
use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::record::RecordedBody;
use super::verdict::title_of;
use crate::checklist::Forbids;
use crate::defects::{Closed, Opened};
use crate::logbook::import::prepare_act;
use crate::logbook::record::Record;
use crate::text::safe_line;

/// Options of `opened`.
#[derive(Args, Debug)]
pub struct OpenedArgs {
    /// Catalogue id of the item
    pub item: String,
    /// What was left how, such as "seacock shut"
    pub what: String,
    /// Why
    #[arg(long, value_name = "TEXT")]
    pub why: Option<String>,
    /// What it forbids: float, start or leave [default: start, with care beside a verdict]
    #[arg(long, value_name = "WHAT")]
    pub forbids: Option<Forbids>,
}

/// Options of `closed`.
#[derive(Args, Debug)]
pub struct ClosedArgs {
    /// Catalogue id of the item
    pub item: String,
    /// Id of the record that says it was left open, where not all of the item is put back
    #[arg(long, value_name = "ID")]
    pub of: Option<String>,
    /// Who told that it is put back, where you have not seen it: it stays open, as told
    #[arg(long, value_name = "NAME")]
    pub told: Option<String>,
}

/// Runs `opened`.
///
/// # Errors
/// The item is not known, or nothing is said of it.
pub fn opened(args: &OpenedArgs, cx: &Context) -> Result<Answer, Failure> {
    let opened = Opened {
        item: args.item.clone(),
        machine: cx.global.machine.clone(),
        at: None,
        what: args.what.clone(),
        why: args.why.clone(),
        forbids: args.forbids,
    };
    let holds = match args.forbids {
        Some(Forbids::Float) => "It forbids to float, and so to start and to leave",
        Some(Forbids::Leave) => "It forbids to leave",
        Some(Forbids::Start) | None => "Before each start it stands first",
    };
    let options = [("what", "WHAT"), ("why", "--why")];
    act::record(Record::from(opened), &options, cx, |item| {
        let what = safe_line(&args.what);
        format!("{item}: left open ({what}). {holds}, until it is put back.")
    })
}

/// Runs `closed`.
///
/// # Errors
/// The item is not known, or nothing of it is left open.
pub fn closed(args: &ClosedArgs, cx: &Context) -> Result<Answer, Failure> {
    let mut book = cx.book_for(&format!("{args:?} {:?}", cx.global.machine))?;
    cx.known_asked(&book)?;
    let options = [
        ("item", "ITEM"),
        ("machine", "--machine"),
        ("of", "--of"),
        ("told", "--told"),
        ("at", "--now"),
    ];
    let subject = book
        .condition()
        .subject_of(&args.item, cx.global.machine.as_deref())
        .map_err(|fault| Failure::of_act(vec![fault], &options))?;
    let history = book.history();
    let named = |id: &String| args.of.as_ref().is_none_or(|of| of == id);
    let open = history.opened(&subject).into_iter();
    let open = open.filter(|(opened, put_back)| put_back.is_none() && named(&opened.id));
    let open: Vec<_> = open.map(|(opened, _)| opened.clone()).collect();
    let title = title_of(book.library(), &subject.item);
    if open.is_empty() {
        return Err(Failure::usage(format!(
            "{title}: nothing of it is left open"
        )));
    }
    let mut batch = Vec::new();
    for opened in &open {
        let closed = Closed {
            of: opened.id.clone(),
            at: None,
            told: args.told.clone(),
        };
        let record = prepare_act(&book, history, Record::from(closed))
            .map_err(|faults| Failure::of_act(faults, &options))?;
        batch.push((None, record));
    }
    let ids = act::batch(&mut book, batch)?;
    let body = RecordedBody::of(ids);
    Ok(cx.form.answer("recorded", &body, |page| {
        for opened in &open {
            page.paragraph(match &args.told {
                Some(by) => format!(
                    "{title}: put back as told by {}, and not seen: it stays open until you have seen it. It was {}.",
                    safe_line(by),
                    opened.rec.words(opened.at)
                ),
                None => format!("{title}: put back. It was {}.", opened.rec.words(opened.at)),
            });
        }
    }))
}
