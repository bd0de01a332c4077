//! What is known of a boat's fuel: what a machine burns in an hour, what of the tanks is not counted on,
//! how far what is aboard goes over what is left of a plan.

use chrono::{DateTime, FixedOffset};

use super::history::History;
use super::plan_words::short;
use super::under_way::{FuelStretch, Passage, burnt};
use crate::boat::kinds::Holds;
use crate::boat::units::{Unit, Volume};
use crate::boat::{Boat, Machine, Measure};
use crate::passage::fuel::{Ahead, Burnt, UNUSABLE, of_power};

/// What a machine burns, as it is known best.
#[derive(Clone, Debug, PartialEq)]
pub struct Rate {
    /// Litres an hour, above 0.
    pub litres_per_hour: f64,
    /// Where it is from, in words that follow the figure.
    pub from: String,
    /// What stands beside it.
    pub notes: Vec<String>,
}

/// The rate that is known best: of the own log, of the profile, from the power; none where nothing
/// tells it.
pub fn rate_known(boat: &Boat, history: &History, machine: &str) -> Option<Rate> {
    let burnt = burnt(history, machine);
    let left_out = (burnt.left_out > 0).then(|| {
        format!(
            "Left out of the own log: {} stretches in which less than nothing was used or the meter stood.",
            burnt.left_out
        )
    });
    let mut notes: Vec<String> = left_out.into_iter().collect();
    if let Some(rate) = burnt.rate() {
        let (hours, stretches) = (short(burnt.hours), burnt.stretches);
        return Some(Rate {
            litres_per_hour: rate,
            from: format!("by the own log, over {hours} h in {stretches} stretches"),
            notes,
        });
    }
    let machine = boat.machines.iter().find(|m| m.id == machine)?;
    if let Some(rate) = machine.fuel_per_hour {
        return Some(Rate {
            litres_per_hour: rate.litres(),
            from: "by the profile".to_owned(),
            notes,
        });
    }
    let kw = kilowatts(machine)?;
    let [_, most] = of_power(kw, 1.0);
    notes.push(
        "At 80 % of the speed about half of that is burnt: power goes with its cube.".to_owned(),
    );
    Some(Rate {
        litres_per_hour: most,
        from: format!(
            "reckoned from {} kW at full power and 268 g/kWh, as a small engine's handbook has it (231 to 243 in a club's table)",
            short(kw)
        ),
        notes,
    })
}

fn kilowatts(machine: &Machine) -> Option<f64> {
    let power = Measure::new(machine.rated_kw?, Unit::Kilowatt).ok()?;
    Some(power.value()).filter(|kw| *kw > 0.0)
}

/// Litres that are not counted on: a tenth of the fuel tanks, never less than a tenth of what is aboard.
pub fn not_counted_on(boat: &Boat, aboard: f64) -> f64 {
    let tanks = boat.tanks.iter().filter(|t| t.holds == Some(Holds::Fuel));
    let hold: f64 = tanks.filter_map(|t| t.capacity).map(Volume::litres).sum();
    hold.max(aboard) * UNUSABLE
}

/// How far the fuel aboard goes over hours ahead, while she is under way.
#[derive(Clone, Debug, PartialEq)]
pub struct Reserve {
    /// Hours it lasts beyond what the larger of the two rules asks for; below 0 where it is less.
    pub beyond_hours: f64,
    /// Hours what can be counted on lasts.
    pub lasts_hours: f64,
    /// Litres aboard: as told last, less what the hours since then have burnt.
    pub aboard: f64,
    /// When it was told.
    pub told: DateTime<FixedOffset>,
    /// What she burns, as it is known best.
    pub rate: Rate,
}

/// How far the fuel goes that a machine under way has; none where nobody told what is aboard, or nothing
/// tells what she burns.
pub fn reserve(
    boat: &Boat,
    history: &History,
    passage: &Passage<'_>,
    (machine, hours): (&str, f64),
) -> Option<Reserve> {
    let rate = rate_known(boat, history, machine)?;
    let (fuel, told) = passage.fuel()?;
    let aboard = (fuel.litres() - passage.run_since(told) * rate.litres_per_hour).max(0.0);
    let ahead = Ahead {
        hours,
        rate: rate.litres_per_hour,
        aboard,
        unusable: not_counted_on(boat, fuel.litres()),
        against: 1.0,
    };
    let reach = ahead.reach()?;
    Some(Reserve {
        beyond_hours: reach.larger().over / rate.litres_per_hour,
        lasts_hours: reach.lasts,
        aboard,
        told,
        rate,
    })
}

/// What a machine burns in an hour, litres, as the stretches before a time tell that ended at an engine
/// speed like this one, else the profile; none where neither does.
pub fn rate_like(
    boat: &Boat,
    stretches: &[FuelStretch],
    machine: &str,
    like: impl Fn(&FuelStretch) -> bool,
) -> Option<f64> {
    let burnt = Burnt::over(stretches.iter().filter(|stretch| like(stretch)));
    let profile = || {
        let machine = boat.machines.iter().find(|m| m.id == machine)?;
        Some(machine.fuel_per_hour?.litres())
    };
    burnt.rate().or_else(profile).filter(|rate| *rate > 0.0)
}
