//! `leaving`: what to mend before a passage, in the time and for the money there is.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use super::answer::Answer;
use super::context::Context;
use super::exposure::{Ahead, ExposureArgs, words};
use super::failure::Failure;
use super::page::Page;
use crate::boat::Waters;
use crate::checklist::Who;
use crate::defects::costs::money;
use crate::defects::leaving::{
    AgeRow, Asked, Budget, JobRow, Leaving, Must, MustRow, TakesAway, Waits,
};
use crate::defects::leaving_due::{Coming, Sort};
use crate::defects::leaving_words::time_in_words;
use crate::defects::locker_jobs::JobSpare;
use crate::service::{DueRow, What, due};

/// No longer time to work is taken: a season of days.
const LONGEST_WORK: f64 = 2_000.0;
/// No larger sum is taken.
const LARGEST_SUM: f64 = 1e9;

/// Options of `leaving`.
#[derive(Args, Debug)]
pub struct LeavingArgs {
    /// Time there is to work, such as 6h, 90min or 2h30, one job after another
    #[arg(long, value_name = "TIME", value_parser = minutes)]
    pub work: Option<u32>,
    /// Money there is, in the currency of the estimates on record
    #[arg(long, value_name = "SUM", value_parser = sum)]
    pub spend: Option<u64>,
    /// Who can lend a hand: owner, mechanic, electrician, yard; with a time where it is limited, such as
    /// owner,mechanic=3h [default: owner]
    #[arg(long, value_name = "WHO", value_delimiter = ',', value_parser = hand)]
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
    /// Minutes of work.
    minutes: Budget,
    /// Money; null where no estimate is on record and no sum was named.
    money: Option<Budget>,
    /// Currency of the estimates; null where none was named.
    currency: Option<String>,
    /// How much of the trouble left beside what must be done is taken away; null where nothing is
    /// chosen.
    takes_away: Option<TakesAway>,
    /// What must be done, stops first.
    must: Vec<MustRow>,
    /// What is worth doing, what gains most for its minutes first.
    worth_doing: Vec<JobRow>,
    /// What can wait, the worst first.
    can_wait: Vec<JobRow>,
    /// Of an age nobody knows, and can wait.
    unknown_age: Vec<AgeRow>,
    /// What this answer does not know.
    not_here: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// What is wrong with the options, or the logbook cannot be read.
pub fn run(args: &LeavingArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = args.ahead.scenario(cx, &condition, &history)?;
    cx.known_asked(&book)?;
    let hands = match args.hands.as_slice() {
        [] => vec![(Who::Owner, None)],
        hands => hands.to_vec(),
    };
    let asked = Asked {
        scenario,
        machine: cx.global.machine.clone(),
        work: args.work,
        spend: args.spend,
        hands,
        with: args.with.clone(),
        without: args.without.clone(),
    };
    let mut rows = due(&condition, &history);
    rows.retain(|row| cx.is_asked(row.machine.as_deref()));
    let coming: Vec<Coming> = rows.into_iter().map(Coming::from).collect();
    let leaving = condition.leaving(&history, &asked, &coming);
    let leaving = leaving.map_err(Failure::usage)?;
    let body = LeavingBody::of(leaving, &asked);
    let several = book.boat().machines.len() > 1;
    let holds = body.must.iter().any(|row| row.because == Must::Stop);
    let answer = cx.form.answer("leaving", &body, |page| {
        page.line(format!(
            "Before leaving: {}, {}",
            book.boat().name,
            words(scenario)
        ));
        page.notes(&condition.notes());
        page.paragraph(
            "Key out, engine still and cold, each seacock known, before hands go in. The maker's handbook outranks all of this.",
        );
        body.write(page, &asked, several);
    });
    Ok(answer.or_no(!holds))
}

impl From<DueRow> for Coming {
    fn from(row: DueRow) -> Coming {
        Coming {
            sort: match row.what {
                What::Task => Sort::Task,
                What::Recheck => Sort::Recheck,
                What::Look => Sort::Look,
                What::Life => Sort::Life,
            },
            id: row.id,
            title: row.title,
            item: row.item,
            machine: row.machine,
            hours_left: row.hours_left,
            days_left: row.days_left,
            due: row.due,
            unknown_age: row.unknown_age,
            why: row.why,
        }
    }
}

impl LeavingBody {
    fn of(leaving: Leaving, asked: &Asked) -> LeavingBody {
        LeavingBody {
            exposure: asked.scenario.exposure.into(),
            waters: asked.scenario.waters,
            hands: asked.hands.iter().map(|(who, _)| *who).collect(),
            minutes: leaving.minutes,
            money: leaving.money,
            currency: leaving.currency,
            takes_away: leaving.takes_away,
            must: leaving.must,
            worth_doing: leaving.worth_doing,
            can_wait: leaving.can_wait,
            unknown_age: leaving.ages,
            not_here: leaving.not_here,
        }
    }

    fn write(&self, page: &mut Page, asked: &Asked, several: bool) {
        self.write_must(page, several);
        self.write_worth(page, several);
        self.write_rest(page, asked, several);
        page.blank();
        page.line("Not in this");
        for told in &self.not_here {
            page.hang("  - ", told);
        }
    }

    fn write_must(&self, page: &mut Page, several: bool) {
        page.blank();
        page.line("MUST BE DONE BEFORE SHE LEAVES");
        if self.must.is_empty() {
            page.hang("  ", "Nothing on record must be done first.");
        }
        for row in &self.must {
            let hands = match row.other_hands {
                true => ", not by the hands there are",
                false => "",
            };
            let who = row.who.map(|who| format!(", {who}{hands}"));
            let took = took(row.minutes, row.opens.as_deref());
            let title = named(&row.title, row.machine.as_deref(), several);
            page.hang("  - ", format!("{title}: {}", row.why));
            cautions(page, &row.cautions);
            page.hang("    ", format!("Do: {}", row.action));
            page.hang("    ", format!("{took}{}", who.unwrap_or_default()));
            parts(page, &row.parts, row.spare.as_ref());
        }
        let short = self.minutes.short;
        if short > 0.0 {
            page.hang(
                "  ",
                format!(
                    "This alone takes {} more than there is: she does not leave before it is done.",
                    time_in_words(short as u32)
                ),
            );
        }
        if let Some(short) = self.money.map(|m| m.short).filter(|s| *s > 0.0) {
            page.hang(
                "  ",
                format!(
                    "This alone costs {}{} more than there is.",
                    money(short),
                    self.in_currency()
                ),
            );
        }
    }

    fn write_worth(&self, page: &mut Page, several: bool) {
        page.blank();
        page.line("WORTH DOING");
        if self.worth_doing.is_empty() {
            page.hang("  ", "Nothing more fits, or gains anything.");
        }
        for row in &self.worth_doing {
            let title = named(&row.title, row.machine.as_deref(), several);
            page.hang(
                "  - ",
                format!("{title}, {}: {}", row.grade, takes_off(row)),
            );
            cautions(page, &row.cautions);
            page.hang("    ", format!("Do: {}", row.action));
            let took = took(row.minutes, row.opens.as_deref());
            let told = match row.minutes_told {
                true => " by your own figure",
                false => "",
            };
            let cost = row
                .money
                .map(|m| format!(", {}{}", money(m), self.in_currency()));
            page.hang(
                "    ",
                format!("{took}{told}, {}{}", row.who, cost.unwrap_or_default()),
            );
            parts(page, &row.parts, row.spare.as_ref());
            if row.either {
                page.hang("    ", EITHER);
            }
            if !row.still_if_longer {
                page.hang("    ", "Drops out where work takes half as long again.");
            }
        }
        self.write_totals(page);
        let Some(takes) = &self.takes_away else {
            return;
        };
        if !self.must.is_empty() {
            page.paragraph("Once what must be done is done:");
        }
        page.paragraph(&takes.words);
        page.paragraph(
            "Trouble here is what would be grave in these waters, or would leave her without drive; how fast things wear is judgement where she has taught nothing.",
        );
        if !takes.proved {
            page.paragraph(
                "It is the best choice found; that there is no better one is not proved.",
            );
        }
    }

    fn write_totals(&self, page: &mut Page) {
        page.blank();
        let (of, time) = (&self.minutes, |minutes: f64| time_in_words(minutes as u32));
        let given = of.given.map(|given| format!(", of {}", time(given)));
        page.paragraph(format!(
            "What must be done takes about {}, what is worth doing {}{}.",
            time(of.must),
            time(of.chosen),
            given.unwrap_or_default()
        ));
        if let Some(of) = &self.money {
            let currency = self.in_currency();
            let given = of
                .given
                .map(|given| format!(", of {}{currency}", money(given)));
            page.paragraph(format!(
                "As far as estimates go that costs {}{currency} and {}{currency}{}.",
                money(of.must),
                money(of.chosen),
                given.unwrap_or_default()
            ));
        }
    }

    fn write_rest(&self, page: &mut Page, asked: &Asked, several: bool) {
        let (left, waits): (Vec<&JobRow>, Vec<&JobRow>) =
            self.can_wait.iter().partition(|row| row.ends_on_the_way);
        if !left.is_empty() {
            page.blank();
            page.line("LEFT, THOUGH IT OUGHT TO BE MENDED BEFORE THIS PASSAGE IS OVER");
            for row in left {
                write_left(page, row, asked, several);
            }
        }
        page.blank();
        page.line("CAN WAIT, AND WHAT THAT LEAVES");
        if waits.is_empty() && self.unknown_age.is_empty() {
            page.hang("  ", "Nothing on record.");
        }
        for row in waits {
            write_left(page, row, asked, several);
        }
        if !self.unknown_age.is_empty() {
            let titles: Vec<String> = self
                .unknown_age
                .iter()
                .map(|row| named(&row.title, row.machine.as_deref(), several))
                .collect();
            page.hang(
                "  - ",
                format!(
                    "Age not known, and can be mended at sea: {}",
                    titles.join("; ")
                ),
            );
        }
    }

    fn in_currency(&self) -> String {
        self.currency
            .as_ref()
            .map(|c| format!(" {c}"))
            .unwrap_or_default()
    }
}

/// A job that is not done now, and what that leaves.
fn write_left(page: &mut Page, row: &JobRow, asked: &Asked, several: bool) {
    let title = named(&row.title, row.machine.as_deref(), several);
    page.hang(
        "  - ",
        format!(
            "{title}, {}: leaves {}, {} {}; {}",
            row.grade,
            row.effect.as_str().replace('-', " "),
            row.risk,
            row.code,
            why_it_waits(row, asked)
        ),
    );
    if let Some(until) = &row.deferred {
        page.hang("    ", format!("You let it wait until {until}."));
    }
    if row.either {
        page.hang("    ", EITHER);
    }
}

/// What stands at a job that the pace of wear decides on.
const EITHER: &str =
    "Either will do: the choice changes where things wear twice or half as fast as judged.";

fn named(title: &str, machine: Option<&str>, several: bool) -> String {
    match machine.filter(|_| several) {
        Some(machine) => format!("{title} ({machine})"),
        None => title.to_owned(),
    }
}

fn took(minutes: Option<u32>, opens: Option<&str>) -> String {
    let minutes = match minutes {
        None => "How long it takes nobody has said".to_owned(),
        Some(0) => return "Done with what stands above".to_owned(),
        Some(minutes) => format!("About {}", time_in_words(minutes)),
    };
    match opens {
        Some(opens) => format!("{minutes}, and once for all behind it: {opens}"),
        None => minutes,
    }
}

fn cautions(page: &mut Page, cautions: &[String]) {
    for caution in cautions {
        page.hang("    ! ", caution);
    }
}

fn parts(page: &mut Page, parts: &[String], spare: Option<&JobSpare>) {
    if !parts.is_empty() {
        page.hang("    ", format!("Parts: {}", parts.join("; ")));
    }
    if let Some(spare) = spare {
        page.hang("    ", format!("{}.", spare.words));
    }
}

/// Why a job is worth its minutes.
fn takes_off(row: &JobRow) -> String {
    let effect = row.effect.as_str().replace('-', " ");
    let ends = match row.ends_on_the_way {
        true => "; it ought to be mended before this passage is over",
        false => "",
    };
    format!("{effect}, {} {}{ends}", row.risk, row.code)
}

fn why_it_waits(row: &JobRow, asked: &Asked) -> String {
    let limited = asked.work.is_some() || asked.spend.is_some();
    match row.waits {
        Some(Waits::Hands) => format!("it is for the {}", row.who),
        Some(Waits::NoMinutes) => {
            "nobody has said how long it takes: handlamp cost ITEM --labour".to_owned()
        }
        Some(Waits::LeftOut) => "you left it out".to_owned(),
        Some(Waits::GainsNothing) => {
            "mending it takes nothing away of what counts as trouble here".to_owned()
        }
        _ if limited => "other work is worth more in what there is".to_owned(),
        _ => "other work is worth more in the hours of those hands".to_owned(),
    }
}

/// A time to work from the command line: `6h`, `90min`, `2h30`, `2.5h`; a bare figure is hours.
fn minutes(text: &str) -> Result<u32, String> {
    let wrong =
        || format!("expected a time to work such as 6h, 90min or 2h30, up to {LONGEST_WORK} h");
    let text = text.trim();
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|n| *n >= 0.0);
    let hours = if let Some(minutes) = text.strip_suffix("min") {
        number(minutes).map(|m| m / 60.0)
    } else if let Some((hours, minutes)) = text.split_once('h') {
        let minutes = match minutes.trim() {
            "" => Some(0.0),
            minutes => number(minutes).filter(|m| *m < 60.0),
        };
        number(hours).zip(minutes).map(|(h, m)| h + m / 60.0)
    } else {
        number(text)
    };
    let hours = hours.filter(|h| *h <= LONGEST_WORK).ok_or_else(wrong)?;
    Ok((hours * 60.0).round() as u32)
}

/// A sum of money from the command line, in hundredths.
fn sum(text: &str) -> Result<u64, String> {
    let sum = text.trim().parse::<f64>().ok();
    let sum = sum.filter(|s| (0.0..=LARGEST_SUM).contains(s));
    let sum = sum.ok_or_else(|| format!("expected a sum of money, 0 to {LARGEST_SUM:.0}"))?;
    Ok((sum * 100.0).round() as u64)
}

/// Somebody who can lend a hand, with a time where it is limited.
fn hand(text: &str) -> Result<(Who, Option<u32>), String> {
    let (who, time) = match text.split_once('=') {
        Some((who, time)) => (who, Some(minutes(time)?)),
        None => (text, None),
    };
    let who = who.trim().parse::<Who>().map_err(|e| e.to_string())?;
    Ok((who, time))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_people_write_them() {
        for (text, known) in [
            ("6h", 360),
            ("6", 360),
            ("2.5h", 150),
            ("2h30", 150),
            ("90min", 90),
            (" 1 h 05 ", 65),
            ("0", 0),
        ] {
            assert_eq!(minutes(text), Ok(known), "{text}");
        }
        for text in [
            "", "h", "-1h", "2h75", "NaN", "inf", "6 days", "99999h", "min",
        ] {
            assert!(minutes(text).is_err(), "{text}");
        }
    }

    #[test]
    fn hands_may_have_hours_of_their_own() {
        assert_eq!(hand("owner"), Ok((Who::Owner, None)));
        assert_eq!(hand("mechanic=3h"), Ok((Who::Mechanic, Some(180))));
        assert!(hand("cousin").is_err() && hand("owner=long").is_err());
        assert_eq!(sum("300"), Ok(30_000));
        assert!(sum("-1").is_err() && sum("NaN").is_err());
    }
}
