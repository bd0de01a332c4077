//! Oil used since it was last changed, in litres per running hour and against the fuel burnt.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::dips::HIGH_MARK;
use super::history::History;
use super::series::{Series, Taken};
use super::subject::Subject;
use crate::text::digits;

/// Hours below which a stick shows nothing of it (judgement): a hundredth of a usual filling is less
/// than a stick can show.
const FEWEST_HOURS: f64 = 50.0;
/// The usual share of the fuel, from and to (trade figure), and that of a worn engine.
const USUAL: (f64, f64) = (0.0025, 0.005);
const WORN: f64 = 0.01;

/// Oil used, from the first and the last reading since it was last changed and what was added between.
/// No rung follows from it. Part of the outside surface.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OilUseRow {
    /// Litres per running hour; below 0 where there is more than there was.
    pub litres_per_hour: f64,
    /// What that can be wrong by, a standard deviation.
    pub error: f64,
    /// Running hours between the two readings, at least 50.
    pub hours: f64,
    /// Fuel burnt in an hour of usual running, litres, as the profile has it; null where it has none.
    pub fuel_per_hour: Option<f64>,
    /// The oil as a share of that fuel, 0 to 1; null where the fuel is not known.
    pub share_of_fuel: Option<f64>,
}

impl OilUseRow {
    /// How much, in words.
    pub fn amount(&self) -> String {
        let millilitres = |litres: f64| digits(litres * 1000.0, 2);
        format!(
            "{} mL an hour over {:.0} h, give or take {}",
            millilitres(self.litres_per_hour),
            self.hours,
            millilitres(self.error)
        )
    }

    /// In words, with what is usual.
    pub fn words(&self) -> String {
        let used = format!("Oil: {}", self.amount());
        let Some((share, fuel)) = self.share_of_fuel.zip(self.fuel_per_hour) else {
            return format!(
                "{used}; set fuel_per_hour of the machine in the boat's profile to hold it against the fuel"
            );
        };
        let unsure = self.error / fuel;
        let judged = match share {
            s if s + unsure < USUAL.0 => "less than usual: fuel or water coming in may hide it",
            s if s - unsure > WORN => "as a worn engine does, unless it leaks",
            s if s - unsure > USUAL.1 => "more than usual: it leaks, or begins to wear",
            _ => "not to be told from usual",
        };
        format!(
            "{used}; {} % of the fuel, {judged} (0.25 to 0.5 % is usual, about 1 % worn: trade figures); no grade follows from it",
            digits(share * 100.0, 2)
        )
    }
}

impl Condition {
    /// The same of the fullest series of an item; none of one that is no engine's dipstick.
    pub(super) fn oil_used(&self, history: &History, subject: &Subject) -> Option<OilUseRow> {
        self.item(subject)?.marks.as_ref().filter(|m| m.dipstick)?;
        let series = self.series(history, subject);
        self.oil_use(series.first()?)
    }

    /// Oil used by the readings of an engine's dipstick since the series began; none before fifty
    /// hours and two readings, and where the litres between the marks are not known.
    pub(super) fn oil_use(&self, series: &Series) -> Option<OilUseRow> {
        let item = self.item(&series.subject)?;
        item.marks.as_ref().filter(|m| m.dipstick)?;
        let marks = series.between_marks?;
        let machine = series.subject.machine.as_ref()?;
        let machine = self.boat.machines.iter().find(|m| m.id == *machine)?;
        let (first, last) = (series.current().next()?, series.current().next_back()?);
        let hours = Some(last.hours - first.hours).filter(|h| *h >= FEWEST_HOURS)?;
        let litres = |p: &Taken| Some(p.levelled? * marks / HIGH_MARK);
        let litres_per_hour = (litres(first)? - litres(last)?) / hours;
        let of_one = self.reading_error(&series.subject)?.of_one;
        let fuel_per_hour = machine.fuel_per_hour.map(|v| v.litres());
        Some(OilUseRow {
            litres_per_hour,
            error: 2_f64.sqrt() * of_one * marks / HIGH_MARK / hours,
            hours,
            fuel_per_hour,
            share_of_fuel: fuel_per_hour.map(|fuel| litres_per_hour / fuel),
        })
    }
}
