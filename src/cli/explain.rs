//! `explain`: the whole arithmetic behind one row.

use clap::Args;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{ExposureArgs, words};
use super::failure::Failure;
use super::page::Page;
use super::verdict::title_of;
use crate::defects::explain::Explanation;

/// Options of `explain`.
#[derive(Args, Debug)]
pub struct ExplainArgs {
    /// Catalogue id of the item
    pub item: String,
    /// What lies ahead.
    #[command(flatten)]
    pub ahead: ExposureArgs,
}

/// Runs the command.
///
/// # Errors
/// The item or its machine is not known.
pub fn run(args: &ExplainArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = args.ahead.scenario(cx, &condition, &history)?;
    let machine = cx.global.machine.as_deref();
    let subject = condition.subject_of(&args.item, machine).map_err(|fault| {
        Failure::of_act(vec![fault], &[("item", "ITEM"), ("machine", "--machine")])
    })?;
    let explanation = condition
        .explain(&history, &subject, scenario)
        .ok_or_else(|| Failure::usage(format!("{} has no {}", book.boat().name, args.item)))?;
    let title = title_of(book.library(), &args.item);
    Ok(cx.form.answer("explain", &explanation, |page| {
        write(page, &explanation, &title, &words(scenario));
    }))
}

fn write(page: &mut Page, explanation: &Explanation, title: &str, ahead: &str) {
    let machine = explanation.machine.as_deref();
    let machine = machine.map(|m| format!(", {m}")).unwrap_or_default();
    page.line(format!(
        "{title} ({}{machine}; {})",
        explanation.item, explanation.kind
    ));
    page.line(format!("Asked over {ahead}"));
    for words in explanation.in_time.words() {
        page.hang("", &words);
    }
    for (n, step) in explanation.steps.iter().enumerate() {
        page.hang(&format!("{:>3}. ", n + 1), step);
    }
}
