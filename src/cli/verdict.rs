//! `verdict`: what a finished walk says.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, short};
use super::failure::Failure;
use crate::assess::words::Verdict;
use crate::checklist::{Library, nearest};
use crate::defects::History;
use crate::defects::judged::{Ground, NotSeen, judge};
use crate::walk::Walk;

/// Options of `verdict`.
#[derive(Args, Debug)]
pub struct VerdictArgs {
    /// Id of the walk [default: the last one finished]
    #[arg(long, value_name = "ID")]
    pub walk: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct VerdictBody {
    /// Id of the walk.
    pub walk: String,
    /// Its checklist.
    pub checklist: String,
    /// As at the walk's end; null while it is unfinished and for a checklist without one.
    pub at_walk: Option<Verdict>,
    /// As of now.
    pub now: Option<Verdict>,
    /// The rows that made the verdict as of now.
    pub reasons: Vec<Ground>,
    /// Items of the walk that nobody graded.
    pub not_seen: Vec<NotSeen>,
    /// The day ahead, over which it was judged.
    pub exposure: Ahead,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, or none at all.
pub fn run(args: &VerdictArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let history = cx.history(&book);
    let walk = choose(args.walk.as_deref(), cx, &book, &history)?;
    let condition = cx.condition(&book, &history);
    let judged = judge(book.boat(), book.library(), &history, &condition, walk);
    let body = VerdictBody {
        walk: walk.id.clone(),
        checklist: walk.checklist.clone(),
        at_walk: judged.at_walk,
        now: judged.now,
        reasons: judged.reasons,
        not_seen: judged.not_seen,
        exposure: condition.day_ahead().into(),
    };
    let no = matches!(body.now, Some(Verdict::DoNotRun | Verdict::NotSignedOff));
    let library = book.library();
    let answer = cx.form.answer("verdict", &body, |page| {
        let title = library.checklist(&walk.checklist).map(|c| c.title.as_str());
        page.line(format!(
            "{}: {} ({}), {}",
            book.boat().name,
            title.unwrap_or(&walk.checklist),
            walk.machine,
            walk.at.format("%Y-%m-%d %H:%M %:z")
        ));
        match (walk.finished, body.now) {
            (None, _) => page.line("No verdict: the walk is not finished"),
            (_, None) => page.line("No verdict: this checklist gives none"),
            (_, Some(now)) => {
                page.line(format!("Now: {}", spoken(now)));
                if let Some(then) = body.at_walk {
                    page.line(format!("As at the walk: {}", spoken(then)));
                }
            }
        }
        for reason in &body.reasons {
            let item = title_of(library, &reason.item);
            let grade = reason.grade.map(|g| format!(" ({g})")).unwrap_or_default();
            let rule = &reason.rule;
            page.hang(
                "  - ",
                if item.is_empty() {
                    rule.clone()
                } else {
                    format!("{item}{grade}: {rule}")
                },
            );
        }
        if !body.not_seen.is_empty() {
            page.line(format!("Not seen: {}", body.not_seen.len()));
            for unseen in &body.not_seen {
                let why = unseen.reason.as_deref().unwrap_or("no reason given");
                let item = title_of(library, &unseen.item);
                page.hang("  - ", format!("{item}: {why}"));
            }
        }
        page.line(format!(
            "Judged over the day ahead: {} h and {} d",
            short(body.exposure.hours),
            short(body.exposure.days)
        ));
        page.paragraph("This records what was seen. It certifies nothing.");
    });
    Ok(answer.or_no(!no))
}

fn choose<'a>(
    id: Option<&str>,
    cx: &Context,
    book: &crate::logbook::book::Book,
    history: &'a History,
) -> Result<&'a Walk, Failure> {
    if let Some(id) = id {
        return history.walk(id).ok_or_else(|| {
            let near = nearest(id, history.walks.iter().map(|w| w.id.as_str()));
            let hint = near.unwrap_or_else(|| "; see: handlamp walks".to_owned());
            Failure::usage(format!("there is no walk '{id}'{hint}"))
        });
    }
    let machine = cx.machine(book)?;
    let mut walks = history.walks.iter().rev().filter(|w| w.machine == machine);
    let last = walks.clone().next();
    walks
        .find(|w| w.finished.is_some())
        .or(last)
        .ok_or_else(|| Failure::usage("there is no walk yet; begin one with: handlamp walk daily"))
}

/// An item's title, or its id where the catalogue has none.
pub fn title_of(library: &Library, item: &str) -> String {
    let known = library.catalogue.item(item);
    known.map_or_else(|| item.to_owned(), |i| i.title.clone())
}

/// A verdict as a sentence has it.
pub fn spoken(verdict: Verdict) -> String {
    verdict.as_str().replace('-', " ")
}
