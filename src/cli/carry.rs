//! `carry`: which spares to take on a passage, in the room and for the money there is.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, ExposureArgs, short, words};
use super::failure::Failure;
use super::locker::{CUSTOM, missing_words, named};
use super::page::Page;
use crate::boat::Waters;
use crate::defects::carry::{Carry, CarryAsked, CarryGain, CarryRow};
use crate::defects::leaving_said;
use crate::defects::locker::LockerRow;

/// Where no room is named: a crate (judgement).
const CRATE: f64 = 20.0;
/// So many steps of an order are shown; all of it is in the JSON.
const SHOWN: usize = 8;
/// No more is taken of a limit.
const LARGEST: f64 = 1e6;

/// Options of `carry`.
#[derive(Args, Debug)]
pub struct CarryArgs {
    /// Litres of room for spares [default: a crate of 20, where nothing else limits it]
    #[arg(long, value_name = "L", value_parser = limit)]
    pub litres: Option<f64>,
    /// Kilograms there may be of them
    #[arg(long, value_name = "KG", value_parser = limit)]
    pub kilos: Option<f64>,
    /// Money there is, in the currency of the estimates on record
    #[arg(long, value_name = "SUM", value_parser = limit)]
    pub spend: Option<f64>,
    /// Miles of room to leeward there will be: what takes longer to fit than she drifts counts for nothing
    #[arg(long, value_name = "NM", value_parser = limit)]
    pub room: Option<f64>,
    /// By night or in a seaway: hands take twice as long
    #[arg(long)]
    pub hard: bool,
    // Last, because its heading would go on over the options after it.
    /// What lies ahead.
    #[command(flatten)]
    pub ahead: ExposureArgs,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct CarryBody {
    /// The passage.
    exposure: Ahead,
    /// The waters it goes through.
    waters: Waters,
    /// Litres, kilograms and money there are for it; null where nobody said.
    limits: [Option<f64>; 3],
    /// Worth taking, what gains most first.
    take: Vec<CarryRow>,
    /// Weighed, and not taken.
    rest: Vec<CarryRow>,
    /// Aboard, and counts for nothing at sea yet.
    not_yet: Vec<LockerRow>,
    /// Customary in those waters, and missing.
    missing: Vec<LockerRow>,
    /// How much the choice takes away; null where nothing is taken.
    takes_away: Option<CarryGain>,
    /// The best next one again and again, by ids: each step is the best for the room so far. Null where
    /// more than one thing limits it, or where nothing proves it.
    order: Option<Vec<String>>,
    /// What this answer does not know.
    not_here: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the options, or the logbook.
pub fn run(args: &CarryArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = args.ahead.scenario(cx, &condition, &history)?;
    cx.known_asked(&book)?;
    let unlimited = args.litres.is_none() && args.kilos.is_none() && args.spend.is_none();
    let litres = args.litres.or(unlimited.then_some(CRATE));
    let asked = CarryAsked {
        scenario,
        machine: cx.global.machine.clone(),
        limits: [litres, args.kilos, args.spend],
        room: args.room,
        hard: args.hard,
    };
    let body = CarryBody::of(condition.carry(&history, &asked), &asked);
    let several = book.boat().machines.len() > 1;
    Ok(cx.form.answer("carry", &body, |page| {
        page.line(format!(
            "What to carry: {}, {}",
            book.boat().name,
            words(scenario)
        ));
        page.notes(&condition.notes());
        page.paragraph(
            "The boat first: sea room, sail or anchor ready. Engine stopped, key out, cooled, before hands go in. The maker's handbook outranks all of this.",
        );
        body.write(page, several, unlimited);
    }))
}

impl CarryBody {
    fn of(carry: Carry, asked: &CarryAsked) -> CarryBody {
        let not_yet = |row: &&LockerRow| row.count > 0.0 && !row.not_because.is_empty();
        let missing = |row: &&LockerRow| row.missing > 0.0;
        CarryBody {
            exposure: asked.scenario.exposure.into(),
            waters: asked.scenario.waters,
            limits: asked.limits,
            not_yet: carry.locker.iter().filter(not_yet).cloned().collect(),
            missing: carry.locker.iter().filter(missing).cloned().collect(),
            take: carry.take,
            rest: carry.rest,
            takes_away: carry.takes_away,
            order: carry.order,
            not_here: carry.not_here,
        }
    }

    fn write(&self, page: &mut Page, several: bool, unlimited: bool) {
        page.blank();
        page.line(format!("WORTH TAKING, {}", self.room(unlimited)));
        if self.take.is_empty() {
            page.hang("  ", "Nothing more fits, or gains anything.");
        }
        for row in &self.take {
            write_row(page, row, several);
        }
        if let Some(takes) = &self.takes_away {
            page.blank();
            page.paragraph(&takes.words);
            if !takes.proved {
                page.paragraph(
                    "It is the best choice found; that there is no better one is not proved.",
                );
            }
        }
        if let Some(order) = self.order.as_ref().filter(|order| order.len() > 1) {
            let first: Vec<&str> = order.iter().take(SHOWN).map(String::as_str).collect();
            page.paragraph(format!(
                "One after another, each step the best for the room so far: {}.",
                first.join(", ")
            ));
        }
        if !self.not_yet.is_empty() {
            page.blank();
            page.line("ABOARD, AND COUNTS FOR NOTHING AT SEA YET");
        }
        for row in &self.not_yet {
            let why = row.not_because.join("; ");
            page.hang("  - ", format!("{}: {why}", named(row, several)));
        }
        page.blank();
        page.line(format!(
            "CUSTOMARY IN {} WATERS, AND MISSING",
            self.waters.as_str().to_uppercase()
        ));
        if self.missing.is_empty() {
            page.hang("  ", "Nothing.");
        }
        for row in &self.missing {
            page.hang("  - ", missing_words(row, several));
        }
        page.hang("  ", CUSTOM);
        page.blank();
        page.line("Not in this");
        for told in &self.not_here {
            page.hang("  - ", told);
        }
    }

    fn room(&self, unlimited: bool) -> String {
        let [litres, kilos, money] = self.limits;
        let all = [
            litres.map(|l| format!("{} L", short(l))),
            kilos.map(|kg| format!("{} kg", short(kg))),
            money.map(|m| format!("{} of money", short(m))),
        ];
        let all: Vec<String> = all.into_iter().flatten().collect();
        let usual = if unlimited {
            " (a crate; judgement)"
        } else {
            ""
        };
        format!("in {}{usual}", all.join(", "))
    }
}

fn write_row(page: &mut Page, row: &CarryRow, several: bool) {
    let title = leaving_said::named(&row.title, row.machine.as_deref(), several);
    let there = match row.counts > 0.0 {
        true => format!(", beside {} that count already", short(row.counts)),
        false => String::new(),
    };
    page.hang(
        "  - ",
        format!("{title} [{}]: {}{there}", row.spare, row.take),
    );
    for caution in &row.cautions {
        page.hang("    ! ", caution);
    }
    page.hang("    ", room_words(row));
    if !row.only_once.is_empty() {
        page.hang(
            "    ",
            format!(
                "Counts only once this is otherwise: {}.",
                row.only_once.join("; ")
            ),
        );
    }
    if row.either {
        page.hang(
            "    ",
            "Either will do: the choice changes where things wear twice or half as fast as judged.",
        );
    }
}

fn room_words(row: &CarryRow) -> String {
    match row.minutes.zip(row.room) {
        Some((minutes, [least, most])) => format!(
            "To fit one at sea takes about {minutes} min, cooling counted: you need {} to {} miles of room for this.",
            short(least),
            short(most)
        ),
        None => {
            "How long fitting one takes nobody has said: handlamp locker tell --minutes".to_owned()
        }
    }
}

fn limit(text: &str) -> Result<f64, String> {
    let value = text.trim().parse::<f64>().ok();
    let value = value.filter(|v| (0.0..=LARGEST).contains(v));
    value.ok_or_else(|| format!("expected a number, 0 to {LARGEST:.0}"))
}
