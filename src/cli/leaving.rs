//! `leaving`: what to mend before a passage, in the time and for the money there is.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, ExposureArgs, named as plan_named, words};
use super::failure::Failure;
use super::page::Page;
use crate::boat::Waters;
use crate::checklist::Who;
use crate::defects::leaving::{Asked, Leaving, Must};
use crate::defects::leaving_said::{FIRST, Group, SaidGroup};
use crate::defects::list::Scenario;
use crate::defects::plan_words::{read_hand, read_minutes, read_sum};
use crate::defects::{History, NamedPlan};
use crate::service::leaving::coming;

/// Options of `leaving`.
#[derive(Args, Debug)]
pub struct LeavingArgs {
    /// Time there is to work, such as 6h, 90min or 2h30, one job after another
    #[arg(long, value_name = "TIME", value_parser = read_minutes)]
    pub work: Option<u32>,
    /// Money there is, in the currency of the estimates on record
    #[arg(long, value_name = "SUM", value_parser = read_sum)]
    pub spend: Option<u64>,
    /// Who can lend a hand: owner, mechanic, electrician, yard; with a time where it is limited, such as
    /// owner,mechanic=3h [default: owner]
    #[arg(long, value_name = "WHO", value_delimiter = ',', value_parser = read_hand)]
    pub hands: Vec<(Who, Option<u32>)>,
    /// Mend this whatever it gains
    #[arg(long, value_name = "ITEM")]
    pub with: Vec<String>,
    /// Leave this as it is; what must be done cannot be left
    #[arg(long, value_name = "ITEM")]
    pub without: Vec<String>,
    // Last, because its heading would go on over the options after it.
    /// What lies ahead.
    #[command(flatten)]
    pub ahead: ExposureArgs,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct LeavingBody {
    /// The passage.
    exposure: Ahead,
    /// The waters it goes through.
    waters: Waters,
    /// Who can lend a hand.
    hands: Vec<Who>,
    /// What is to be done, and what it comes to.
    #[serde(flatten)]
    list: Leaving,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the options, or the logbook cannot be read.
pub fn run(args: &LeavingArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = args.ahead.scenario(cx, &condition, &history)?;
    cx.known_asked(&book)?;
    let asked = args.asked(cx, &history, scenario)?;
    let coming = coming(&condition, &history, asked.machine.as_deref());
    let outlook = condition.outlook(&history, (scenario, asked.machine.as_deref()), coming);
    let leaving = condition.leaving(&history, &asked, &outlook);
    let leaving = leaving.map_err(Failure::usage)?;
    let said = leaving.said(&asked, book.boat().machines.len() > 1);
    let body = LeavingBody::of(leaving, &asked);
    let holds = body.list.must.iter().any(|row| row.because == Must::Stop);
    let answer = cx.form.answer("leaving", &body, |page| {
        page.line(format!(
            "Before leaving: {}, {}",
            book.boat().name,
            words(scenario)
        ));
        page.notes(&condition.notes());
        page.paragraph(FIRST);
        LeavingBody::write(&said, &body.list.not_here, page);
    });
    Ok(answer.or_no(!holds))
}

impl LeavingArgs {
    /// The question: as the plan has it where one is named, what is said beside it counting first.
    fn asked(&self, cx: &Context, history: &History, scenario: Scenario) -> Result<Asked, Failure> {
        let plan = match &self.ahead.plan {
            Some(name) => plan_named(history, name)?.clone(),
            None => NamedPlan::default(),
        };
        let mut asked = plan.asked(scenario, cx.global.machine.as_deref());
        asked.work = self.work.or(asked.work);
        asked.spend = self.spend.or(asked.spend);
        if !self.hands.is_empty() {
            asked.hands.clone_from(&self.hands);
        }
        asked.take_in(&self.with, &self.without);
        Ok(asked)
    }
}

impl LeavingBody {
    fn of(leaving: Leaving, asked: &Asked) -> LeavingBody {
        LeavingBody {
            exposure: asked.scenario.exposure.into(),
            waters: asked.scenario.waters,
            hands: asked.hands.iter().map(|(who, _)| *who).collect(),
            list: leaving,
        }
    }

    fn write(said: &[SaidGroup], not_here: &[String], page: &mut Page) {
        for of in said {
            page.blank();
            page.line(of.group.title().to_uppercase());
            if let Some(nothing) = of.nothing {
                page.hang("  ", nothing);
            }
            for row in &of.rows {
                page.hang("  - ", row.head.to_string());
                for caution in row.cautions.iter().filter(|_| row.more.is_empty()) {
                    page.hang("    ! ", caution);
                }
                for told in &row.lines {
                    page.hang("    ", told.to_string());
                }
            }
            match of.group {
                Group::WorthDoing => {
                    page.blank();
                    of.after.iter().for_each(|told| page.paragraph(told));
                }
                _ => of.after.iter().for_each(|told| page.hang("  ", told)),
            }
        }
        page.blank();
        page.line("Not in this");
        for told in not_here {
            page.hang("  - ", told);
        }
    }
}
