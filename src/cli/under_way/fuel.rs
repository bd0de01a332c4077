//! `underway fuel`: how far the fuel goes.

use clap::Args;
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::units::Volume;
use crate::cli::answer::Answer;
use crate::cli::context::Context;
use crate::cli::exposure::{ExposureArgs, short, words};
use crate::cli::failure::Failure;
use crate::cli::page::Page;
use crate::defects::fuel::{not_counted_on, rate_known};
use crate::defects::under_way::Passage;
use crate::passage::fuel::{self, AGAINST};

/// Options of `underway fuel`.
#[derive(Args, Debug)]
pub struct FuelArgs {
    /// Fuel aboard, in litres where no unit is named [default: as last told under way]
    #[arg(long, value_name = "L")]
    aboard: Option<Volume>,
    /// Fuel used in an hour [default: of the own log, else of the profile, else from the power]
    #[arg(long, value_name = "L")]
    rate: Option<Volume>,
    /// Not counted on [default: a tenth of the fuel tanks, or of what is aboard where that is more]
    #[arg(long, value_name = "L")]
    unusable: Option<Volume>,
    /// Against wind and sea: half as much again is burnt
    #[arg(long)]
    against: bool,
    /// What lies ahead.
    #[command(flatten)]
    ahead: ExposureArgs,
}

/// The body of the answer.
#[derive(Serialize, JsonSchema)]
pub struct FuelBody {
    /// Running hours ahead.
    hours: f64,
    /// Litres an hour, with what wind and sea add.
    rate: f64,
    /// Where the rate is from, in words.
    rate_from: String,
    /// Litres aboard.
    aboard: f64,
    /// Litres of those that are not counted on.
    unusable: f64,
    /// The stricter of the two rules.
    needed: f64,
    /// It is aboard.
    enough: bool,
    /// Litres for the hours and a tenth more.
    point_to_point: f64,
    /// Litres for the hours and half as much again: a third out, a third back, a third kept.
    thirds: f64,
    /// Hours that it lasts.
    lasts_hours: f64,
    /// Hours left at the end; below 0 where it ends before.
    reserve_hours: f64,
    /// Hours that point to point keeps.
    point_to_point_keeps_hours: f64,
    /// Hours that thirds keep.
    thirds_keep_hours: f64,
    /// What stands beside the figures.
    notes: Vec<String>,
}

/// Runs the command.
///
/// # Errors
/// Nothing says what is aboard or what she burns; a figure that cannot be; the logbook.
pub fn run(args: &FuelArgs, cx: &Context) -> Result<Answer, Failure> {
    let (book, history, condition) = cx.boat()?;
    let scenario = args.ahead.scenario(cx, &condition, &history)?;
    let id = cx.machine(&book)?;
    let mut notes = Vec::new();
    let (rate, rate_from) = match args.rate {
        Some(rate) => (rate.litres(), "as said here".to_owned()),
        None => {
            let known = rate_known(book.boat(), &history, &id).ok_or_else(|| {
                Failure::usage("nothing says what she burns; give --rate LITRES, or set it with: handlamp boat put fuel_per_hour")
            })?;
            notes.extend(known.notes);
            (known.litres_per_hour, known.from)
        }
    };
    let aboard = match args.aboard {
        Some(aboard) => aboard.litres(),
        None => {
            let passages = Passage::all(&history, &id);
            let told = passages.iter().rev().find_map(Passage::fuel);
            let (fuel, at) = told.ok_or_else(|| {
                Failure::usage("nothing says how much fuel is aboard; give --aboard LITRES")
            })?;
            notes.push(format!(
                "Aboard as told {}; what was used or taken in since then is not counted.",
                super::clock(at)
            ));
            fuel.litres()
        }
    };
    let unusable = args
        .unusable
        .map_or_else(|| not_counted_on(book.boat(), aboard), Volume::litres);
    let against = if args.against { AGAINST[1] } else { 1.0 };
    let ahead = fuel::Ahead {
        hours: scenario.exposure.hours,
        rate,
        aboard,
        unusable,
        against,
    };
    let reach = ahead
        .reach()
        .ok_or_else(|| Failure::usage("--rate: expected more than nothing"))?;
    let needed = reach.larger();
    if !args.against {
        notes.push(
            "Against wind and sea she burns 25 to 50 % more (judgement): --against reckons with the half."
                .to_owned(),
        );
    }
    if args.unusable.is_none() {
        notes
            .push("The last tenth is not counted on: dirt and water lie there (judgement).".into());
    }
    let body = FuelBody {
        hours: ahead.hours,
        rate: rate * against,
        rate_from,
        aboard,
        unusable,
        needed: needed.litres,
        enough: needed.over >= 0.0,
        point_to_point: reach.point_to_point.litres,
        thirds: reach.thirds.litres,
        lasts_hours: reach.lasts,
        reserve_hours: reach.reserve,
        point_to_point_keeps_hours: reach.point_to_point.kept_hours,
        thirds_keep_hours: reach.thirds.kept_hours,
        notes,
    };
    let answer = cx.form.answer("underway-fuel", &body, |page| {
        page.line(format!("Fuel for {}", words(scenario)));
        body.write(page);
    });
    Ok(answer.or_no(body.enough))
}

impl FuelBody {
    fn write(&self, page: &mut Page) {
        let plain = if self.reserve_hours < 0.0 {
            "It does not last the hours ahead.".to_owned()
        } else if self.enough {
            format!(
                "It is enough: {} h are left at the end.",
                short(self.reserve_hours)
            )
        } else {
            format!(
                "It lasts the hours ahead with {} h left, and is less than the stricter rule asks for.",
                short(self.reserve_hours)
            )
        };
        page.paragraph(plain);
        let (aboard, rate) = (short(self.aboard), short(self.rate));
        page.line(format!(
            "Aboard {aboard} L, at {rate} L/h {}.",
            self.rate_from
        ));
        page.line(format!(
            "Thirds ask for {} L: a third out, a third back, a third kept ({} h).",
            short(self.thirds),
            short(self.thirds_keep_hours)
        ));
        page.line(format!(
            "Point to point asks for {} L: the hours and a tenth more ({} h).",
            short(self.point_to_point),
            short(self.point_to_point_keeps_hours)
        ));
        page.line(format!(
            "Both with {} L not counted on. It lasts {} h.",
            short(self.unusable),
            short(self.lasts_hours)
        ));
        for note in &self.notes {
            page.paragraph(note);
        }
    }
}
