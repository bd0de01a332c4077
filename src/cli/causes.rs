//! `causes`: what findings point to together, and which look tells the causes apart.

mod own;

pub use own::{CausesAddBody, CausesCommand, CausesListBody};

use std::path::{Path, PathBuf};

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::failure::Failure;
use super::source;
use crate::causes::say::{JUDGEMENT, block, words};
use crate::causes::why::{likeliest, why};
use crate::causes::{Candidate, Causes, Held, Judged, Now, Seen, check_file, read_looks};

/// Options of `causes`.
#[derive(Args, Debug)]
#[command(args_conflicts_with_subcommands = true)]
pub struct CausesArgs {
    /// What is pointed to where nothing is named.
    #[command(subcommand)]
    pub command: Option<CausesCommand>,
    /// What was looked at, in place of the logbook: one JSON object of questions and answers, `ok` for
    /// what is as it should be; `-` reads the standard input
    #[arg(long, value_name = "FILE")]
    pub looks: Option<PathBuf>,
    /// How she lies now, so that no look is named that is not for now: cold, warm, running or under-way
    #[arg(long, value_name = "STATE")]
    pub now_she_is: Option<Now>,
    /// Beside `--looks`: questions and causes of your own, a file of type `causes`
    #[arg(long, value_name = "FILE", requires = "looks")]
    pub with: Option<PathBuf>,
    /// Show the arithmetic
    #[arg(long)]
    pub why: bool,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct CausesBody {
    /// All causes on the list, likeliest first.
    candidates: Vec<CandidateRow>,
    /// Probability that none of them holds, and each finding stands alone.
    alone: f64,
    /// Probability that it is something that is not on the list.
    unlisted: f64,
    /// What to look at next, best for its time first, with the looks that rule out what is dangerous.
    next: Vec<NextRow>,
    /// Looks that would be among them and may not be made now.
    withheld: Vec<WithheldRow>,
    /// Dangerous causes that are not ruled out.
    dangers: Vec<DangerRow>,
    /// What answers order by themselves, whatever is behind them.
    orders: Vec<String>,
    /// Whether it is worth saying unasked.
    speaks: bool,
    /// Where the numbers come from.
    judgement: &'static str,
    /// The arithmetic of what is likeliest, where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    why: Option<Vec<WhyRow>>,
}

/// A cause and how it stands.
#[derive(Serialize, JsonSchema)]
pub struct CandidateRow {
    /// Its id.
    cause: String,
    /// Its probability, 0 to 1, alone or with another.
    probability: f64,
    /// How it stands, in words.
    words: String,
    /// What is to be done if it is so; null for what does not matter for going on.
    stop: Option<String>,
    /// What was looked at and speaks for it.
    speaks_for: Vec<String>,
    /// What was looked at and speaks against it.
    speaks_against: Vec<String>,
}

/// A look that would tell something.
#[derive(Serialize, JsonSchema)]
pub struct NextRow {
    /// Id of the question.
    question: String,
    /// What is asked.
    ask: String,
    /// What can hurt someone or the boat there; null where nothing can.
    caution: Option<String>,
    /// How much it tells on average, bits.
    bits: f64,
    /// Seconds it takes.
    seconds: u32,
}

/// A look that may not be made now.
#[derive(Serialize, JsonSchema)]
pub struct WithheldRow {
    /// Id of the question.
    question: String,
    /// Why not, one sentence without a full stop.
    why: String,
}

/// A dangerous cause that is not ruled out.
#[derive(Serialize, JsonSchema)]
pub struct DangerRow {
    /// Its id.
    cause: String,
    /// Id of the question that can rule it out; null where there is none that may be asked now.
    look: Option<String>,
    /// Whether its stop words are said: a sign of it that stops by itself was seen.
    in_force: bool,
}

/// One thing that can hold, and how its probability comes about.
#[derive(Serialize, JsonSchema)]
pub struct WhyRow {
    /// Ids of the causes that hold: one or two; none where each finding stands alone.
    causes: Vec<String>,
    /// True for something that is not on the list.
    unlisted: bool,
    /// Its weight before anything was seen.
    prior: f64,
    /// The chance of each look if it holds.
    factors: Vec<FactorRow>,
    /// Its probability: prior times factors, set against all else.
    probability: f64,
}

/// What one look says.
#[derive(Serialize, JsonSchema)]
pub struct FactorRow {
    /// What was looked at.
    look: String,
    /// The chance of what was seen.
    chance: f64,
}

/// Runs the command.
///
/// # Errors
/// Everything wrong with the answers or the file, by line, column and field; the logbook cannot be read,
/// or has several machines and none is named.
pub fn run(args: &CausesArgs, cx: &Context) -> Result<Answer, Failure> {
    match (&args.command, &args.looks) {
        (Some(command), _) => own::run(command, cx),
        (None, Some(looks)) => of_looks(looks, args, cx),
        (None, None) => of_logbook(args, cx),
    }
}

/// Of a machine of the logbook, by all that is on record.
fn of_logbook(args: &CausesArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let machine = cx.machine(&book)?;
    let mut behind = condition.behind(&history, &machine);
    behind.seen.now = args.now_she_is.or(behind.seen.now);
    Ok(told(&behind.judge(), args.why, cx))
}

/// Of answers alone, without a logbook.
fn of_looks(looks: &Path, args: &CausesArgs, cx: &Context) -> Result<Answer, Failure> {
    let own = args
        .with
        .as_ref()
        .map(|path| with_own(path, cx))
        .transpose()?;
    let causes = own.as_ref().unwrap_or_else(|| Causes::built_in());
    let (name, text) = source::read(looks)?;
    let seen = Seen {
        looks: read_looks(&name, &text, causes)?,
        now: args.now_she_is,
        ..Seen::default()
    };
    Ok(told(&causes.judge(&seen), args.why, cx))
}

fn told(judged: &Judged<'_>, arithmetic: bool, cx: &Context) -> Answer {
    let body = body(judged, arithmetic);
    cx.form.answer("causes", &body, |page| {
        block(judged)
            .iter()
            .for_each(|line| page.hang(line.lead, &line.text));
        page.paragraph(JUDGEMENT);
        if arithmetic {
            page.blank();
            let lines = why(judged);
            lines
                .iter()
                .for_each(|line| page.hang(line.lead, &line.text));
        }
    })
}

fn with_own(path: &Path, cx: &Context) -> Result<Causes, Failure> {
    let (name, text) = source::read(path)?;
    let known = Causes::built_in();
    let file = check_file(&name, &text, known, &cx.library()?.catalogue)?;
    Ok(known.with(&file))
}

fn body(judged: &Judged<'_>, why: bool) -> CausesBody {
    let reckoned = &judged.reckoned;
    let next = judged.offers.best.iter().map(|offer| NextRow {
        question: offer.question.id.clone(),
        ask: offer.question.ask.clone(),
        caution: offer.question.caution.clone(),
        bits: offer.bits,
        seconds: offer.question.seconds,
    });
    let withheld = judged.offers.withheld.iter().map(|held| WithheldRow {
        question: held.question.id.clone(),
        why: held.why.clone(),
    });
    let dangers = judged.dangers.iter().map(|danger| DangerRow {
        cause: danger.cause.id.clone(),
        look: danger.look.map(|look| look.id.clone()),
        in_force: danger.in_force,
    });
    CausesBody {
        candidates: judged
            .candidates
            .iter()
            .map(|c| candidate(judged, c))
            .collect(),
        alone: reckoned.alone,
        unlisted: reckoned.unlisted,
        next: next.collect(),
        withheld: withheld.collect(),
        dangers: dangers.collect(),
        orders: judged
            .orders
            .iter()
            .map(|order| (*order).to_owned())
            .collect(),
        speaks: judged.speaks,
        judgement: JUDGEMENT,
        why: why.then(|| why_rows(judged)),
    }
}

fn candidate(judged: &Judged<'_>, candidate: &Candidate<'_>) -> CandidateRow {
    let looks = &judged.reckoned.looks;
    let named = |at: &[usize]| at.iter().map(|n| looks[*n].what.clone()).collect();
    CandidateRow {
        cause: candidate.cause.id.clone(),
        probability: candidate.chance,
        words: words(candidate),
        stop: candidate.cause.stop.clone(),
        speaks_for: named(&candidate.speaks_for),
        speaks_against: named(&candidate.speaks_against),
    }
}

fn why_rows(judged: &Judged<'_>) -> Vec<WhyRow> {
    let reckoned = &judged.reckoned;
    let id = |n: usize| reckoned.causes.causes()[n].id.clone();
    let rows = likeliest(judged).into_iter().map(|row| WhyRow {
        causes: match row.held {
            Held::Nothing | Held::Unlisted => Vec::new(),
            Held::One(one) => vec![id(one)],
            Held::Two(one, two) => vec![id(one), id(two)],
        },
        unlisted: row.held == Held::Unlisted,
        prior: row.prior,
        factors: reckoned
            .looks
            .iter()
            .zip(row.factors)
            .map(|(look, chance)| FactorRow {
                look: look.what.clone(),
                chance,
            })
            .collect(),
        probability: row.chance,
    });
    rows.collect()
}
