//! What fuel a guest left in the tanks. It is told, and no answer but what the owner reads of guests rests
//! on it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::boat::kinds::Holds;
use crate::boat::profile::{Tank, UnitHabit};
use crate::boat::units::{Quantity, Volume};
use crate::boat::{Boat, Measure, Unit};
use crate::text::safe_line;

/// A tank is never filled to the drop, and its capacity is a round figure: so much of it may be left
/// (judgement).
const FULL: f64 = 1.05;

/// What was left in a tank.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct FuelLeft {
    /// Id of the tank.
    pub tank: String,
    /// How much: a volume, or per cent of the tank.
    pub left: Measure,
}

/// Her tanks for fuel.
pub fn fuel_tanks(boat: &Boat) -> impl Iterator<Item = &Tank> {
    let tanks = boat.tanks.iter();
    tanks.filter(|tank| tank.holds == Some(Holds::Fuel))
}

/// The unit of a figure typed without one: that of the tank's capacity, else the one a person thinks in.
pub fn fuel_unit(tank: &Tank, habit: UnitHabit) -> Unit {
    let own = tank.capacity.map(|capacity| capacity.measure().unit());
    own.unwrap_or(match habit {
        UnitHabit::Metric => Unit::Litre,
        UnitHabit::Us => Unit::UsGallon,
        UnitHabit::Imperial => Unit::ImpGallon,
    })
}

impl FuelLeft {
    /// As a person types it of a tank: `40`, `40 L`, `1/2` or `60 %`.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn typed(tank: &Tank, text: &str, habit: UnitHabit) -> Result<FuelLeft, String> {
        let is_share = text.contains(['/', '%']);
        let unit = match is_share {
            true => Unit::Percent,
            false => fuel_unit(tank, habit),
        };
        let left = FuelLeft {
            tank: tank.id.clone(),
            left: Measure::parse(text, unit)?,
        };
        left.fault_in(tank).map_or(Ok(left), Err)
    }

    /// What is wrong with it on this boat, in a sentence.
    pub fn fault(&self, boat: &Boat) -> Option<String> {
        match fuel_tanks(boat).find(|tank| tank.id == self.tank) {
            Some(tank) => self.fault_in(tank),
            None => {
                let known: Vec<&str> = fuel_tanks(boat).map(|tank| tank.id.as_str()).collect();
                let known = match known.is_empty() {
                    true => "she has none".to_owned(),
                    false => format!("there is {}", known.join(", ")),
                };
                let named = safe_line(&self.tank);
                Some(format!("'{named}' is no tank for fuel; {known}"))
            }
        }
    }

    fn fault_in(&self, tank: &Tank) -> Option<String> {
        let most = tank.capacity.map(Volume::litres);
        let (value, most, of) = match self.left.unit().quantity() {
            Quantity::Volume => (
                self.left.unit().to_base(self.left.value()),
                most.map(|most| FULL * most),
                tank.capacity.map(|capacity| format!(" of {capacity}")),
            ),
            Quantity::Share => (self.left.value(), Some(100.0), None),
            _ => return Some(format!("{} is no volume and no part of a tank", self.left)),
        };
        let inside = value >= 0.0 && most.is_none_or(|most| value <= most);
        let over = match of {
            Some(_) => "; up to a twentieth over is taken (judgement)",
            None => "",
        };
        let of = of.unwrap_or_default();
        (!inside).then(|| format!("{} cannot be left in a tank{of}{over}", self.left))
    }

    /// How much, in words; of a part what the whole is, where that is known.
    pub fn words(&self, tank: Option<&Tank>) -> String {
        let whole = tank.and_then(|tank| tank.capacity);
        match whole.filter(|_| self.left.unit() == Unit::Percent) {
            Some(whole) => format!("{} of {whole}", percent(self.left)),
            None if self.left.unit() == Unit::Percent => percent(self.left),
            None => self.left.to_string(),
        }
    }
}

/// A third of a tank has no more figures than a gauge.
fn percent(left: Measure) -> String {
    format!("{:.0} %", left.value())
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn tank(capacity: Option<&str>) -> Tank {
        Tank {
            id: "port".to_owned(),
            name: "Port tank".to_owned(),
            holds: Some(Holds::Fuel),
            capacity: capacity.map(|text| text.parse().expect("a volume")),
        }
    }

    fn typed(capacity: Option<&str>, text: &str) -> Result<String, String> {
        let tank = tank(capacity);
        let left = FuelLeft::typed(&tank, text, UnitHabit::Us)?;
        Ok(left.words(Some(&tank)))
    }

    #[test]
    fn it_is_typed_in_the_unit_of_the_tank_or_as_a_part_of_it() {
        let of_120 = |text| typed(Some("120 L"), text);
        assert_eq!(of_120("40").as_deref(), Ok("40 L"));
        assert_eq!(of_120("10 gal").as_deref(), Ok("10 gal"));
        assert_eq!(of_120("1/3").as_deref(), Ok("33 % of 120 L"));
        assert_eq!(of_120("60 %").as_deref(), Ok("60 % of 120 L"));
        assert_eq!(typed(None, "12,5").as_deref(), Ok("12.5 gal"));
        assert_eq!(typed(None, "1/2").as_deref(), Ok("50 %"));
        assert_eq!(of_120("0").as_deref(), Ok("0 L"));
    }

    #[test]
    fn what_cannot_be_left_is_refused() {
        for text in ["400", "-1", "3/2", "101 %", "40 bar", "half", "NaN", "1/0"] {
            assert!(typed(Some("120 L"), text).is_err(), "{text}");
        }
        // No capacity, no bound but the one of all figures.
        assert!(typed(None, "400").is_ok());
    }
}
