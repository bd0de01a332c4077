//! `coverage`: how much of a walk was seen.

use chrono::{DateTime, FixedOffset};
use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, short, words};
use super::failure::Failure;
use super::page::{Page, Set};
use super::verdict::{choose, write_unseen};
use crate::assess::chance::UNSEEN;
use crate::assess::coverage::{Coverage, Hidden};
use crate::boat::Waters;
use crate::checklist::Closing;
use crate::defects::list::{Scenario, percent};
use crate::defects::view::NotSeen;
use crate::defects::view::WalkView;

/// Options of `coverage`.
#[derive(Args, Debug)]
pub struct CoverageArgs {
    /// Id of the walk [default: the last survey, else the last walk]
    #[arg(long, value_name = "ID")]
    pub walk: Option<String>,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct CoverageBody {
    /// Id of the walk.
    walk: String,
    /// The checklist walked, by its id.
    checklist: String,
    /// It was walked to its end.
    finished: bool,
    /// Different items that the walk asked.
    asked: usize,
    /// How many of the items asked have a grade; a look not made is none.
    seen: usize,
    /// Seen over asked, 0 to 1; null where nothing was asked.
    plain: Option<f64>,
    /// The same with each item counted 8, 4, 2 or 1 by its worst severity.
    weighted: Option<f64>,
    /// Over what the chances are taken.
    exposure: Ahead,
    /// Where she goes, which decides severities.
    waters: Waters,
    /// What the items not seen could hide, worst severity first.
    hidden: Vec<Hidden>,
    /// Items nobody graded in this walk.
    not_seen: Vec<NotSeen>,
    /// The end of the walk, of which all of this is told; now where it is not finished.
    as_of: DateTime<FixedOffset>,
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, or its checklist is not known.
pub fn run(args: &CoverageArgs, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let history = cx.history(&book);
    let survey = |closing| closing == Closing::Survey;
    let walk = choose(args.walk.as_deref(), cx, &book, &history, survey)?;
    let view = WalkView::of(book.boat(), book.library(), &history, walk, book.now());
    let today = history.doubts.iter().map(|d| d.told.clone());
    cx.form.tell(view.not_counted(today));
    let Scenario {
        exposure, waters, ..
    } = view.scenario();
    let unknown = || Failure::usage(format!("there is no checklist '{}'", walk.checklist));
    let found: Coverage = view.coverage().ok_or_else(unknown)?;
    let body = CoverageBody {
        walk: walk.id.clone(),
        checklist: walk.checklist.clone(),
        finished: walk.finished.is_some(),
        asked: found.asked,
        seen: found.seen,
        plain: found.plain,
        weighted: found.weighted,
        exposure: exposure.into(),
        waters,
        hidden: found.hidden,
        not_seen: view.not_seen(),
        as_of: view.condition.now,
    };
    Ok(cx.form.answer("coverage", &body, |page| {
        page.line(format!("Coverage of {} on {}", body.walk, book.boat().name));
        if body.finished {
            let end = body.as_of.format("%Y-%m-%d %H:%M %:z");
            page.line(format!("As at its end, {end}."));
        } else {
            page.line("The walk is not finished.");
        }
        let share = |share: Option<f64>| share.map_or_else(|| "-".to_owned(), percent);
        page.line(format!(
            "Seen: {} of {} items, {}",
            body.seen,
            body.asked,
            share(body.plain)
        ));
        page.line(format!(
            "Weighted by what their failure can do: {}",
            share(body.weighted)
        ));
        write_unseen(page, &body.not_seen, book.library());
        if !body.hidden.is_empty() {
            write_hidden(page, &body.hidden);
            page.line(format!("Over {}", words(Scenario::new(exposure, waters))));
            let [_, _, worn, failing, failed] = UNSEEN.map(percent);
            page.paragraph(format!("Worn or worse, if what nobody has looked at is as things usually are: {worn} worn, {failing} failing, {failed} failed. These shares are judgement. They know nothing of this boat, and no figure stands in for looking."));
        }
    }))
}

fn write_hidden(page: &mut Page, hidden: &[Hidden]) {
    page.blank();
    page.line("What the items not seen could hide:");
    let columns = [
        ("worst severity", Set::Left),
        ("items", Set::Right),
        ("never seen", Set::Right),
        ("worn or worse", Set::Right),
        ("fail", Set::Right),
        ("any fails", Set::Right),
    ];
    let cells: Vec<Vec<String>> = hidden
        .iter()
        .map(|row| {
            vec![
                format!("{} {}", row.severity.digit(), row.severity.name()),
                row.items.to_string(),
                row.never_seen.to_string(),
                short(row.expected_worn),
                format!("{:.2}", row.expected_failures),
                percent(row.any_fails),
            ]
        })
        .collect();
    page.table(&columns, &cells);
}
