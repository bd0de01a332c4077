//! What is known of a boat's fuel: what a machine burns in an hour, what of the tanks is not counted on.

use super::history::History;
use super::plan_words::short;
use super::under_way::burnt;
use crate::boat::kinds::Holds;
use crate::boat::units::{Unit, Volume};
use crate::boat::{Boat, Machine, Measure};
use crate::passage::fuel::{UNUSABLE, of_power};

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
