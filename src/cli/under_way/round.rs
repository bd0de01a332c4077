//! `underway round`: a round written down, and what is to be said of its figures.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use super::{GRADES_NOTHING, OPTIONS, clock};
use crate::checklist::watch_round::cautions;
use crate::cli::act;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::failure::Failure;
use crate::cli::record::RecordedBody;
use crate::defects::list::Scenario;
use crate::defects::round_said::RoundAnswer;
use crate::defects::under_way::Passage;
use crate::defects::under_way_line::UnderWay;
use crate::logbook::record::Record;

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct UnderWayRoundBody {
    /// What was recorded.
    #[serde(flatten)]
    recorded: RecordedBody,
    /// What was claimed to be as usual, in the words recorded; no figure follows from it.
    usual: Vec<String>,
    /// What is to be said of its figures; nothing is graded by it.
    #[serde(flatten)]
    answer: RoundAnswer,
    /// When the next round is due.
    next_due: Option<DateTime<FixedOffset>>,
    /// Stop rules in force.
    stops: usize,
}

/// Writes a round down.
///
/// # Errors
/// What is wrong with it; the logbook cannot be read or written.
pub fn run(mut line: UnderWay, all_usual: bool, cx: &Context) -> Result<Answer, Failure> {
    let mut book = act::open(&Record::from(line.clone()), cx)?;
    if all_usual {
        let machine = cx.machine(&book)?;
        let at = line.at.unwrap_or_else(|| cx.clock.now());
        let running = Passage::running(book.history(), &machine, at);
        let condition = book.condition();
        let due = running.map(|p| condition.round_due(&p, (&machine, at), line.engine_off));
        line.usual = due.map(|due| due.claims()).unwrap_or_default();
    }
    let usual = line.usual.clone();
    let (_, ids) = act::put(&mut book, Record::from(line), OPTIONS)?;
    let machine = cx.machine(&book)?;
    let (history, condition) = (book.history(), book.condition());
    cx.form.tell(condition.not_counted());
    let mut lines = history.under_way.iter();
    let on_record = lines.find(|line| Some(&line.id) == ids.first());
    let answer = on_record.map(|line| condition.round_said(history, &machine, line));
    let running = Passage::running(history, &machine, cx.clock.now());
    let (exposure, waters) = condition.usual_plan();
    let rows = condition.list(Scenario::new(exposure, waters), false).rows;
    let body = UnderWayRoundBody {
        recorded: RecordedBody::of(ids),
        usual,
        answer: answer.unwrap_or_default(),
        next_due: running.and_then(|p| p.next()),
        stops: rows.iter().filter(|row| row.stop).count(),
    };
    Ok(cx.form.answer("underway-round", &body, |page| {
        for said in &body.answer.said {
            page.paragraph(said.words.join(" "));
            if let Some(item) = &said.item {
                page.line(format!("Tell what you see: handlamp find {item} RUNG"));
            }
        }
        match body.next_due {
            Some(next) => page.line(format!(
                "Written down. The next round is due {}.",
                clock(next)
            )),
            None => page.line("Written down."),
        }
        if !body.usual.is_empty() {
            page.paragraph(format!("Claimed as usual: {}.", body.usual.join("; ")));
        }
        if let Some(unjudged) = body.answer.unjudged_words() {
            page.paragraph(unjudged);
        }
        if body.stops > 0 {
            page.line(format!(
                "Stops in force: {}; see: handlamp defects",
                body.stops
            ));
        }
        cautions()
            .iter()
            .for_each(|caution| page.paragraph(caution));
        page.line(GRADES_NOTHING);
    }))
}
