//! `trend`: where the readings of an item are going.

use clap::Args;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::page::{Page, Set};
use super::verdict::title_of;
use crate::boat::UnitHabit;
use crate::checklist::PhaseState;
use crate::defects::trend_answer::{Over, PointRow, TrendAnswer};
use crate::defects::trends::TrendQuery;

/// The last readings that are printed; JSON has them all.
const SHOWN: usize = 12;

/// Options of `trend`.
#[derive(Args, Debug)]
pub struct TrendArgs {
    /// Catalogue id of the item
    pub item: String,
    /// State of the engine in which they were read, such as idle [default: the one with most]
    #[arg(long, value_name = "STATE")]
    pub phase: Option<PhaseState>,
    /// Over running hours or days [default: hours where a meter is read, else days]
    #[arg(long)]
    pub over: Option<Over>,
    /// Level of the slope's interval, above 0 and below 1
    #[arg(long, value_name = "SHARE", default_value = "0.9", value_parser = level)]
    pub level: f64,
}

fn level(text: &str) -> Result<f64, String> {
    let level: f64 = text
        .parse()
        .map_err(|_| "expected a share such as 0.9".to_owned())?;
    if level > 0.0 && level < 1.0 {
        Ok(level)
    } else {
        Err("expected a share above 0 and below 1".to_owned())
    }
}

/// Runs the command.
///
/// # Errors
/// The item, its machine or the phase is not known, or the item has no reading.
pub fn run(args: &TrendArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let options = [
        ("item", "ITEM"),
        ("machine", "--machine"),
        ("phase", "--phase"),
    ];
    let refused = |fault| Failure::of_act(vec![fault], &options);
    let machine = cx.global.machine.as_deref();
    let subject = condition.subject_of(&args.item, machine).map_err(refused)?;
    let asked = TrendQuery {
        state: args.phase,
        over: args.over,
        level: args.level,
    };
    let answer = condition
        .trend(&history, &subject, asked)
        .map_err(refused)?;
    let title = title_of(book.library(), &args.item);
    let habit = book.boat().units;
    Ok(cx.form.answer("trend", &answer, |page| {
        write(page, &answer, &title, habit);
    }))
}

fn write(page: &mut Page, answer: &TrendAnswer, title: &str, habit: UnitHabit) {
    let unit = answer.shown_unit(habit);
    let machine = answer.machine.as_deref();
    let machine = machine.map(|m| format!(", {m}")).unwrap_or_default();
    let phase = answer.phase.map(|p| format!(", {p}")).unwrap_or_default();
    page.line(format!("{title} ({}{machine}{phase}), {unit}", answer.item));
    for sentence in answer.sentences(habit) {
        page.hang("  ", sentence);
    }
    for note in &answer.notes {
        page.hang("  Note: ", note);
    }
    if !answer.other_phases.is_empty() {
        let others: Vec<_> = answer.other_phases.iter().map(|p| p.as_str()).collect();
        page.hang(
            "  Note: ",
            format!("more with --phase {}", others.join(", --phase ")),
        );
    }
    readings(page, answer, habit);
}

fn readings(page: &mut Page, answer: &TrendAnswer, habit: UnitHabit) {
    if answer.points.is_empty() {
        return;
    }
    page.blank();
    let left_out = answer.points.len().saturating_sub(SHOWN);
    if left_out > 0 {
        page.line(format!(
            "The last {SHOWN} of {} readings:",
            answer.points.len()
        ));
    }
    let added = answer.points.iter().any(|p| p.added > 0.0);
    let mut columns = vec![
        ("read", Set::Left),
        ("hours", Set::Right),
        ("value", Set::Right),
    ];
    columns.extend(added.then_some(("less added", Set::Right)));
    columns.extend([
        ("proposed", Set::Left),
        ("given", Set::Left),
        ("", Set::Left),
    ]);
    let cells = |p: &PointRow| {
        let about = if p.hours_estimated { "~" } else { "" };
        let mut cells = vec![
            p.at.format("%Y-%m-%d %H:%M").to_string(),
            format!("{about}{:.1}", p.hours),
            answer.shown(p.value, habit),
        ];
        if added {
            let levelled = p.levelled.map(|v| answer.shown(v, habit));
            cells.push(levelled.unwrap_or_else(|| "?".into()));
        }
        cells.extend([
            p.proposed.map_or("-", |g| g.as_str()).to_owned(),
            p.grade.to_string(),
            if p.outlier { "stands apart" } else { "" }.to_owned(),
        ]);
        cells
    };
    let rows: Vec<Vec<String>> = answer.points[left_out..].iter().map(cells).collect();
    page.table(&columns, &rows);
}
