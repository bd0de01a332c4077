//! `verdict`: what a finished walk says.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, short};
use super::failure::Failure;
use super::page::Page;
use crate::assess::words::Verdict;
use crate::checklist::{Closing, FINDING, Library, nearest};
use crate::defects::History;
use crate::defects::before_start::BeforeStart;
use crate::defects::gate::RunInSpite;
use crate::defects::grounds::SaidDiffers;
use crate::defects::judged::judge;
use crate::defects::said::Said;
use crate::defects::said::VerdictReason;
use crate::defects::verdict::{gone, nothing_against};
use crate::defects::view::NotSeen;
use crate::logbook::book::Book;
use crate::walk::Walk;

/// Options of `verdict`.
#[derive(Args, Debug)]
pub struct VerdictArgs {
    /// Id of the walk [default: the last one finished that has a verdict]
    #[arg(long, value_name = "ID")]
    pub walk: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct VerdictBody {
    /// Id of the walk.
    pub walk: String,
    /// The checklist walked, by its id.
    pub checklist: String,
    /// What was said when it ended; null for old walks and where nothing was said. History, never
    /// an answer.
    pub said: Option<Said>,
    /// Why that is not what is reckoned of its end today; missing where it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub said_differs: Option<SaidDiffers>,
    /// As at the walk's end, reckoned from all on record now; null while it is unfinished and for a checklist without one.
    pub at_walk: Option<Verdict>,
    /// The verdict as of now, with what is on record since; null of a machine that the boat has no more.
    pub now: Option<Verdict>,
    /// What takes minutes and comes before starting, as of now; apart from the defects.
    pub before_you_start: Vec<BeforeStart>,
    /// The rows that made the verdict as of now.
    pub reasons: Vec<VerdictReason>,
    /// What is dangerous and may be behind the findings, a paragraph each, as of now; it changes no word of
    /// the verdict. Missing where nothing is.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_ruled_out: Vec<String>,
    /// The stops over which the engine was run in the walk; missing where it was not.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub run_in_spite_of: Option<RunInSpite>,
    /// Items of the walk that nobody graded.
    pub not_seen: Vec<NotSeen>,
    /// The day ahead, over which it was judged.
    pub exposure: Ahead,
    /// Where items were asked otherwise than today and the stricter counts; missing where none was.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, or none at all.
pub fn run(args: &VerdictArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let history = cx.history(&book);
    let walk = choose(args.walk.as_deref(), cx, &book, &history, is_judged)?;
    let condition = cx.condition(&book, &history);
    let judged = judge(book.boat(), book.library(), &history, &condition, walk);
    let said_in_words = judged.said_in_words();
    let body = VerdictBody {
        walk: walk.id.clone(),
        checklist: walk.checklist.clone(),
        said: judged.said,
        said_differs: judged.said_differs,
        at_walk: judged.at_walk,
        now: judged.now,
        before_you_start: condition.before_start(Some(&walk.machine)),
        reasons: judged.reasons,
        not_ruled_out: match condition.has_machine(&walk.machine) {
            true => condition.not_ruled_out(&history, &walk.machine),
            false => Vec::new(),
        },
        run_in_spite_of: judged.run_in_spite_of,
        not_seen: judged.not_seen,
        exposure: condition.day_ahead().into(),
        notes: walk
            .of_a_guest()
            .into_iter()
            .chain(condition.notes())
            .collect(),
    };
    let no = is_no(
        (body.at_walk, body.now),
        condition.has_machine(&walk.machine),
    );
    let library = book.library();
    let then = |page: &mut Page| {
        if let Some(then) = body.at_walk {
            page.line(format!("As at the walk: {}", then.spoken()));
        }
        for told in &said_in_words {
            page.hang("  ", told.clone());
        }
    };
    let answer = cx.form.answer("verdict", &body, |page| {
        let list = condition.list_of(walk);
        let title = list.as_deref().map(|c| c.title.as_str());
        page.line(format!(
            "{}: {} ({}), {}",
            book.boat().name,
            title.unwrap_or(&walk.checklist),
            walk.machine,
            walk.at.format("%Y-%m-%d %H:%M %:z")
        ));
        if !body.before_you_start.is_empty() {
            page.line("Before you start:");
            for chore in &body.before_you_start {
                page.hang("  - ", chore.words());
            }
        }
        match (walk.finished, body.now) {
            (None, _) => page.line("No verdict: the walk is not finished"),
            (_, None) if body.at_walk.is_some() => {
                then(page);
                page.line(format!("Now: no verdict, for {}", gone(&condition, walk)));
            }
            (_, None) => match nothing_against(&condition, walk) {
                Some(told) => page.line(format!("No verdict: {told}")),
                None => page.line(format!(
                    "No verdict: this checklist gives none; see: handlamp coverage --walk {}",
                    walk.id
                )),
            },
            (_, Some(now)) => {
                then(page);
                page.line(format!("Now: {}", now.spoken()));
            }
        }
        if let Some(next) = condition.after_season(&history, walk) {
            page.paragraph(&next);
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
        for danger in &body.not_ruled_out {
            page.hang("  ? ", danger.clone());
        }
        if let Some(spite) = &body.run_in_spite_of {
            page.hang("  ! ", format!("In this walk {}", spite.sentence()));
        }
        write_unseen(page, &body.not_seen, library);
        page.notes(&body.notes);
        page.line(format!(
            "Judged over the day ahead: {} h and {} d",
            short(body.exposure.hours),
            short(body.exposure.days)
        ));
        page.paragraph("This records what was seen. It certifies nothing.");
    });
    Ok(answer.or_no(!no))
}

/// Whether walks that close so have a verdict.
pub fn is_judged(closing: Closing) -> bool {
    !matches!(
        closing,
        Closing::Survey | Closing::Finding | Closing::Season
    )
}

/// Whether a verdict, as at the walk and as of now, says no: do not run, do not leave, not signed off;
/// or there is none any more, since the boat has the machine no more.
pub fn is_no((at_walk, now): (Option<Verdict>, Option<Verdict>), has_machine: bool) -> bool {
    match now {
        Some(now) => matches!(
            now,
            Verdict::DoNotRun | Verdict::DoNotLeave | Verdict::NotSignedOff
        ),
        None => at_walk.is_some() && !has_machine,
    }
}

/// Items with a reason one by one, the others in one paragraph.
pub fn write_unseen(page: &mut Page, not_seen: &[NotSeen], library: &Library) {
    if not_seen.is_empty() {
        return;
    }
    page.line(format!("Not seen: {}", not_seen.len()));
    let mut silent = Vec::new();
    for unseen in not_seen {
        let item = title_of(library, &unseen.item);
        match &unseen.reason {
            Some(reason) => page.hang("  - ", format!("{item}: {reason}")),
            None => silent.push(item),
        }
    }
    if !silent.is_empty() {
        page.hang("  - ", format!("No reason given: {}", silent.join("; ")));
    }
}

/// The walk named, or the last one that is wanted, or the last one at all; a finding only where there
/// is no walk.
///
/// # Errors
/// There is none of that name, with the nearest, or none at all.
pub fn choose<'a>(
    id: Option<&str>,
    cx: &Context,
    book: &Book,
    history: &'a History,
    wanted: impl Fn(Closing) -> bool,
) -> Result<&'a Walk, Failure> {
    if let Some(id) = id {
        return named(id, history);
    }
    let machine = cx.machine(book)?;
    last_walk(book.library(), history, &machine, wanted)
        .ok_or_else(|| Failure::usage("there is no walk yet; begin one with: handlamp walk daily"))
}

/// The last walk of a machine that is wanted, or the last one at all; a finding only where there is no
/// walk.
pub fn last_walk<'a>(
    library: &Library,
    history: &'a History,
    machine: &str,
    wanted: impl Fn(Closing) -> bool,
) -> Option<&'a Walk> {
    let walks = || history.walks.iter().rev().filter(|w| w.machine == machine);
    let fits = |walk: &&Walk| {
        let list = library.checklist_of(&walk.checklist, walk.asked.as_deref());
        walk.finished.is_some() && list.is_some_and(|l| wanted(l.closes_with))
    };
    let walked = |walk: &&Walk| walk.checklist != FINDING;
    let chosen = walks().find(fits).or_else(|| walks().find(walked));
    chosen.or_else(|| walks().next())
}

/// The walk of an id.
///
/// # Errors
/// There is none, with the nearest.
pub fn named<'a>(id: &str, history: &'a History) -> Result<&'a Walk, Failure> {
    history.walk(id).ok_or_else(|| {
        let near = nearest(id, history.walks.iter().map(|w| w.id.as_str()));
        let hint = near.unwrap_or_else(|| "; see: handlamp walks".to_owned());
        Failure::usage(format!("there is no walk '{id}'{hint}"))
    })
}

/// An item's title, or its id where the catalogue has none.
pub fn title_of(library: &Library, item: &str) -> String {
    let known = library.catalogue.item(item);
    known.map_or_else(|| item.to_owned(), |i| i.title.clone())
}
