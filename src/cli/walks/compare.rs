//! `walks compare`.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::Hours;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::short;
use crate::cli::failure::Failure;
use crate::cli::page::{Page, Set};
use crate::cli::verdict::named;
use crate::defects::compared::{Agreement, ComparedRow, Said};
use crate::defects::list::percent;
use crate::walk::Walk;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct CompareBody {
    /// The walk named first.
    a: Side,
    /// The walk named second.
    b: Side,
    /// How far the grades agree.
    agreement: Agreement,
    /// Every item of either, in the order of the catalogue.
    rows: Vec<ComparedRow>,
}

/// One of the walks.
#[derive(Serialize, JsonSchema)]
pub struct Side {
    /// The id of the walk.
    walk: String,
    /// What was asked, by the id of the checklist.
    checklist: String,
    /// The machine, by its id in the profile.
    machine: String,
    /// When it began, with the offset it was walked in.
    at: DateTime<FixedOffset>,
    /// The meter as read.
    hours: Option<Hours>,
    /// Who walked, as recorded; none where nobody was named.
    by: Option<String>,
    /// It was walked to its end.
    finished: bool,
}

impl From<&Walk> for Side {
    fn from(walk: &Walk) -> Side {
        Side {
            walk: walk.id.clone(),
            checklist: walk.checklist.clone(),
            machine: walk.machine.clone(),
            at: walk.at,
            hours: walk.hours,
            by: walk.by.clone(),
            finished: walk.finished.is_some(),
        }
    }
}

impl Side {
    fn sentence(&self) -> String {
        let hours = self.hours.map(|h| format!(", {h} h"));
        let by = self.by.as_ref().map(|by| format!(", by {by}"));
        let open = if self.finished { "" } else { ", not finished" };
        format!(
            "{} ({} on {}), {}{}{}{open}",
            self.walk,
            self.checklist,
            self.machine,
            self.at.format("%Y-%m-%d %H:%M %:z"),
            hours.unwrap_or_default(),
            by.unwrap_or_default(),
        )
    }
}

/// Runs the command.
///
/// # Errors
/// There is no such walk, or the two cannot be compared.
pub fn run(a: &str, b: &str, cx: &Context) -> Result<Answer, Failure> {
    let book = cx.book()?;
    let history = cx.history(&book);
    let (a, b) = (named(a, &history)?, named(b, &history)?);
    if a.id == b.id {
        return Err(Failure::usage(
            "a walk says the same as itself; name two walks",
        ));
    }
    if a.machine != b.machine {
        return Err(Failure::usage(format!(
            "{} was on {} and {} on {}; two walks of one machine can be compared",
            a.id, a.machine, b.id, b.machine
        )));
    }
    let condition = cx.condition(&book, &history);
    let compared = condition.compared(&history, a, b);
    let body = CompareBody {
        a: a.into(),
        b: b.into(),
        agreement: compared.agreement,
        rows: compared.rows,
    };
    Ok(cx.form.answer("walks-compare", &body, |page| {
        page.hang("A: ", body.a.sentence());
        page.hang("B: ", body.b.sentence());
        page.blank();
        write_changes(page, &body.rows);
        page.blank();
        write_agreement(page, &body.agreement);
    }))
}

fn write_changes(page: &mut Page, rows: &[ComparedRow]) {
    let differing: Vec<&ComparedRow> = rows.iter().filter(|row| row.differs()).collect();
    if differing.is_empty() {
        page.line(format!("The same in both: all {} item(s).", rows.len()));
        return;
    }
    let count = |of: fn(i8) -> bool| rows.iter().filter(|r| r.rungs.is_some_and(of)).count();
    let one_only = rows.iter().filter(|r| r.rungs.is_none()).count();
    page.paragraph(format!(
        "Of {} item(s): {} worse in B, {} better, {} the same, {one_only} graded in one alone or in neither",
        rows.len(),
        count(|r| r > 0),
        count(|r| r < 0),
        count(|r| r == 0),
    ));
    let columns = [
        ("item", Set::Left),
        ("A", Set::Left),
        ("B", Set::Left),
        ("reading A", Set::Right),
        ("reading B", Set::Right),
        ("", Set::Left),
    ];
    let cells: Vec<Vec<String>> = differing.into_iter().map(cells).collect();
    page.table(&columns, &cells);
}

fn cells(row: &ComparedRow) -> Vec<String> {
    let grade = |said: &Option<Said>| match said {
        None => "-".to_owned(),
        Some(said) => said.grade.map_or("not seen", |g| g.as_str()).to_owned(),
    };
    let reading = |said: &Option<Said>| {
        let measure = said.as_ref().and_then(|said| said.reading);
        measure.map_or_else(String::new, |m| {
            format!("{} {}", short(m.value()), m.unit())
        })
    };
    vec![
        row.item.clone(),
        grade(&row.a),
        grade(&row.b),
        reading(&row.a),
        reading(&row.b),
        if row.put_right {
            "put right between"
        } else {
            ""
        }
        .to_owned(),
    ]
}

fn write_agreement(page: &mut Page, agreement: &Agreement) {
    page.line(format!(
        "Agreement, over {} item(s) graded in both and not put right between:",
        agreement.items
    ));
    if let (Some(share), Some([low, high])) = (agreement.share, agreement.interval) {
        page.hang(
            "  - ",
            format!(
                "the same grade: {} of {}, {} (95 % interval {} to {})",
                agreement.same,
                agreement.items,
                percent(share),
                percent(low),
                percent(high)
            ),
        );
    }
    match (agreement.kappa, &agreement.no_kappa) {
        (Some(kappa), _) => page.hang(
            "  - ",
            format!("kappa {kappa:.2}, each rung apart counting one: 1 is full agreement, 0 is what chance alone would give"),
        ),
        (None, Some(why)) => page.hang("  - ", format!("no kappa: {why}")),
        (None, None) => {}
    }
    page.paragraph("Walks some time apart differ by what happened between them too. Only two walks of the same state tell how far two people, or one on two days, grade alike.");
}
