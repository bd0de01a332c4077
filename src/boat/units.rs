//! Quantities and units, with the exact factors of the defining constants (checked against
//! NIST SP 811 (2008) Appendix B.8 in `tests/reference`).

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::profile::UnitHabit;

/// Every quantity the catalogue measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Quantity {
    /// A level between two marks: 0 % at the low mark, 100 % at the high one.
    Level,
    /// Litres and the like.
    Volume,
    /// Pressure, and vacuum as a positive number.
    Pressure,
    /// Temperature on a scale (differences are [`Quantity::TemperatureRise`]).
    Temperature,
    /// A difference of temperatures.
    TemperatureRise,
    /// Kilowatts.
    Power,
    /// Volts.
    Voltage,
    /// Engine or shaft speed.
    RotationalSpeed,
    /// Depth, deflection, wear.
    Length,
    /// Seconds to fire, to pressure, to water.
    Time,
    /// Drops counted per minute.
    DropRate,
    /// Volume per time.
    Flow,
    /// Speed of the boat.
    Speed,
    /// A share of something: how full, how worn, how far short.
    Share,
}

impl Quantity {
    /// The least there can be, in the base unit; none where values may lie below zero: a level
    /// below its low mark, a share short of or past its whole, a voltage the wrong way round.
    pub const fn least(self) -> Option<f64> {
        match self {
            Quantity::Temperature => Some(-273.15),
            Quantity::Level | Quantity::Share | Quantity::Voltage | Quantity::TemperatureRise => {
                None
            }
            Quantity::Volume
            | Quantity::Pressure
            | Quantity::Power
            | Quantity::RotationalSpeed
            | Quantity::Length
            | Quantity::Time
            | Quantity::DropRate
            | Quantity::Speed
            | Quantity::Flow => Some(0.0),
        }
    }
}

macro_rules! units {
    ($($(#[$doc:meta])* $variant:ident = $text:literal, $quantity:ident, $factor:expr, $offset:expr, [$($alias:literal),*];)+) => {
        /// A unit of measure. `si = value * factor + offset` in the quantity's base unit
        /// (L, kPa, degC, K, kW, V, rpm, mm, s, drops/min, L/h, kn, %).
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
        pub enum Unit { $($(#[$doc])* #[serde(rename = $text)] $variant),+ }

        impl Unit {
            /// Every unit.
            pub const ALL: &'static [Unit] = &[$(Unit::$variant),+];
            /// The spelling in files and on screen.
            pub const fn as_str(self) -> &'static str { match self { $(Unit::$variant => $text),+ } }
            /// What it measures (a bare `%` is a share; a level says so itself).
            pub const fn quantity(self) -> Quantity { match self { $(Unit::$variant => Quantity::$quantity),+ } }
            /// Factor to the base unit.
            pub const fn factor(self) -> f64 { match self { $(Unit::$variant => $factor),+ } }
            const fn offset(self) -> f64 { match self { $(Unit::$variant => $offset),+ } }
            const fn aliases(self) -> &'static [&'static str] { match self { $(Unit::$variant => &[$($alias),*]),+ } }
        }
    };
}

units! {
    /// Per cent.
    Percent = "%", Share, 1.0, 0.0, ["percent", "pct"];
    /// Litre.
    Litre = "L", Volume, 1.0, 0.0, ["l", "litre", "litres", "liter", "liters"];
    /// Millilitre.
    Millilitre = "mL", Volume, 0.001, 0.0, ["ml"];
    /// US gallon, 231 cubic inches.
    UsGallon = "gal", Volume, 3.785411784, 0.0, ["usgal", "us-gal"];
    /// US liquid quart.
    UsQuart = "qt", Volume, 0.946352946, 0.0, ["usqt", "us-qt"];
    /// Imperial gallon.
    ImpGallon = "imp-gal", Volume, 4.54609, 0.0, ["impgal"];
    /// Imperial quart.
    ImpQuart = "imp-qt", Volume, 1.1365225, 0.0, ["impqt"];
    /// Imperial pint.
    ImpPint = "imp-pt", Volume, 0.56826125, 0.0, ["imppt"];
    /// Kilopascal.
    Kilopascal = "kPa", Pressure, 1.0, 0.0, ["kpa"];
    /// Bar.
    Bar = "bar", Pressure, 100.0, 0.0, [];
    /// Pound-force per square inch.
    Psi = "psi", Pressure, 6.894757293168361, 0.0, [];
    /// Inch of mercury, conventional.
    InchMercury = "inHg", Pressure, 3.386388640341, 0.0, ["inhg", "\"hg"];
    /// Degree Celsius.
    Celsius = "C", Temperature, 1.0, 0.0, ["c", "degc", "°c"];
    /// Degree Fahrenheit.
    Fahrenheit = "F", Temperature, 5.0 / 9.0, -160.0 / 9.0, ["f", "degf", "°f"];
    /// Difference in degrees Celsius.
    CelsiusRise = "dC", TemperatureRise, 1.0, 0.0, ["dc", "k"];
    /// Difference in degrees Fahrenheit.
    FahrenheitRise = "dF", TemperatureRise, 5.0 / 9.0, 0.0, ["df"];
    /// Kilowatt.
    Kilowatt = "kW", Power, 1.0, 0.0, ["kw"];
    /// Horsepower of 550 foot-pounds a second.
    Horsepower = "hp", Power, 0.745_699_871_582_270_2, 0.0, ["bhp"];
    /// Metric horsepower of 75 kilogram-force metres a second.
    MetricHorsepower = "PS", Power, 0.73549875, 0.0, ["ps", "cv", "pk"];
    /// Volt.
    Volt = "V", Voltage, 1.0, 0.0, ["v", "volt", "volts"];
    /// Revolutions per minute.
    Rpm = "rpm", RotationalSpeed, 1.0, 0.0, [];
    /// Millimetre.
    Millimetre = "mm", Length, 1.0, 0.0, [];
    /// Centimetre.
    Centimetre = "cm", Length, 10.0, 0.0, [];
    /// Metre.
    Metre = "m", Length, 1000.0, 0.0, ["metre", "metres", "meter", "meters"];
    /// Foot.
    Foot = "ft", Length, 304.8, 0.0, ["foot", "feet", "'"];
    /// Inch.
    Inch = "in", Length, 25.4, 0.0, ["inch", "\""];
    /// Second.
    Second = "s", Time, 1.0, 0.0, ["sec", "second", "seconds"];
    /// Minute.
    Minute = "min", Time, 60.0, 0.0, ["minute", "minutes"];
    /// Drops per minute.
    DropsPerMinute = "drops/min", DropRate, 1.0, 0.0, ["dpm", "/min"];
    /// Litres per hour.
    LitrePerHour = "L/h", Flow, 1.0, 0.0, ["l/h"];
    /// Litres per minute.
    LitrePerMinute = "L/min", Flow, 60.0, 0.0, ["l/min"];
    /// US gallons per minute.
    GallonPerMinute = "gal/min", Flow, 227.12470704, 0.0, ["gpm"];
    /// Knot, 1852 m an hour.
    Knot = "kn", Speed, 1.0, 0.0, ["kt", "kts", "knot", "knots"];
    /// Kilometre per hour.
    KilometrePerHour = "km/h", Speed, 1.0 / 1.852, 0.0, ["kmh", "kph"];
    /// Statute mile per hour, 1609.344 m an hour.
    MilePerHour = "mph", Speed, 1.609_344 / 1.852, 0.0, ["mi/h"];
}

impl Unit {
    /// True where the unit can express the quantity (`%` serves levels and shares).
    pub fn measures(self, quantity: Quantity) -> bool {
        self.quantity() == quantity || (self == Unit::Percent && quantity == Quantity::Level)
    }

    /// The value in the base unit of the quantity.
    pub fn to_base(self, value: f64) -> f64 {
        value * self.factor() + self.offset()
    }

    /// The value of a base-unit figure in this unit.
    pub fn from_base(self, base: f64) -> f64 {
        (base - self.offset()) / self.factor()
    }

    /// Converts a value to another unit of the same quantity; `None` between quantities.
    pub fn convert(self, value: f64, to: Unit) -> Option<f64> {
        if self == to {
            return Some(value);
        }
        (self.quantity() == to.quantity()).then(|| to.from_base(self.to_base(value)))
    }

    /// The unit in which this habit thinks of fuel: gallons, where oil is quarts or pints.
    pub const fn of_fuel(habit: UnitHabit) -> Unit {
        match habit {
            UnitHabit::Metric => Unit::Litre,
            UnitHabit::Us => Unit::UsGallon,
            UnitHabit::Imperial => Unit::ImpGallon,
        }
    }

    /// The unit this habit expects for a quantity, given the catalogue's own unit.
    pub fn preferred(self, habit: UnitHabit) -> Unit {
        match (habit, self.quantity()) {
            (UnitHabit::Metric, _) => self,
            (UnitHabit::Us, Quantity::Volume) => Unit::UsQuart,
            (UnitHabit::Imperial, Quantity::Volume) => Unit::ImpPint,
            (_, Quantity::Pressure) if self != Unit::InchMercury => Unit::Psi,
            (_, Quantity::Temperature) if habit == UnitHabit::Us => Unit::Fahrenheit,
            (_, Quantity::TemperatureRise) if habit == UnitHabit::Us => Unit::FahrenheitRise,
            (_, Quantity::Length) if habit == UnitHabit::Us => Unit::Inch,
            (UnitHabit::Us, Quantity::Flow) => Unit::GallonPerMinute,
            _ => self,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.as_str())
    }
}

impl FromStr for Unit {
    type Err = String;
    fn from_str(text: &str) -> Result<Unit, String> {
        let exact = Unit::ALL.iter().find(|u| u.as_str() == text);
        let loose = || {
            let lower = text.to_lowercase();
            let same = |u: &&Unit| {
                u.as_str().eq_ignore_ascii_case(&lower) || u.aliases().contains(&lower.as_str())
            };
            Unit::ALL.iter().find(same)
        };
        exact.or_else(loose).copied().ok_or_else(|| {
            let known: Vec<_> = Unit::ALL.iter().map(|u| u.as_str()).collect();
            format!(
                "'{text}' is no unit known here; expected one of {}",
                known.join(", ")
            )
        })
    }
}

/// Largest magnitude accepted for any measured value: beyond it something was mistyped.
pub const LARGEST: f64 = 1e7;

/// A finite value with its unit. In JSON input a measure is either an object
/// `{"value": 40, "unit": "%"}` or text such as `"0.6 L"`; see [`Measure::text`].
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "RawMeasure")]
#[schemars(!try_from, deny_unknown_fields)]
pub struct Measure {
    value: f64,
    unit: Unit,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawMeasure {
    value: f64,
    unit: Unit,
}

impl TryFrom<RawMeasure> for Measure {
    type Error = String;
    fn try_from(raw: RawMeasure) -> Result<Measure, String> {
        Measure::new(raw.value, raw.unit)
    }
}

impl Measure {
    /// A measure, if the value is finite and of a size that can be meant.
    pub fn new(value: f64, unit: Unit) -> Result<Measure, String> {
        if !value.is_finite() {
            return Err(format!("{value} is not a number that can be measured"));
        }
        if value.abs() > LARGEST {
            return Err(format!(
                "{value:e} {unit} is beyond anything measured on a boat"
            ));
        }
        // A typed "-0" is zero, and prints as such.
        Ok(Measure {
            value: value + 0.0,
            unit,
        })
    }

    /// The value in [`Measure::unit`].
    pub fn value(self) -> f64 {
        self.value
    }

    /// The unit it was measured in.
    pub fn unit(self) -> Unit {
        self.unit
    }

    /// The value in another unit of the same quantity.
    pub fn value_in(self, unit: Unit) -> Option<f64> {
        self.unit.convert(self.value, unit)
    }

    /// An engine speed as the share that it falls short of a rated one: below zero where it is past it.
    /// None for what is no engine speed.
    pub fn short_of(self, rated: f64) -> Option<Measure> {
        let rpm = self.value_in(Unit::Rpm).filter(|_| rated > 0.0)?;
        Measure::new((rated - rpm) / rated * 100.0, Unit::Percent).ok()
    }

    /// Reads what a person types: a number and a unit, or a bare number in `assumed`.
    /// A decimal comma is read as a point; where per cent are assumed, `1/2` and `3/4` are parts of the
    /// whole.
    ///
    /// # Errors
    /// One plain sentence: no number, unknown unit, a unit of another quantity, out of range.
    pub fn parse(text: &str, assumed: Unit) -> Result<Measure, String> {
        let text = text.trim().replace(',', ".");
        if let Some(share) = part_of(&text).filter(|_| assumed == Unit::Percent) {
            return Measure::new(share, assumed);
        }
        let end = text
            .char_indices()
            .find(|(i, c)| {
                !(c.is_ascii_digit() || *c == '.' || (*i == 0 && (*c == '-' || *c == '+')))
            })
            .map_or(text.len(), |(i, _)| i);
        let (number, unit) = text.split_at(end);
        let value: f64 = number.parse().map_err(|_| {
            format!("'{text}' has no number at its start; type a value such as 7 {assumed}")
        })?;
        let unit = match unit.trim() {
            "" => assumed,
            unit => unit.parse::<Unit>()?,
        };
        if unit.quantity() != assumed.quantity() {
            return Err(format!(
                "{unit} does not fit here; expected {assumed} or the like"
            ));
        }
        Measure::new(value, unit)
    }

    /// The measure as text: shortest number that reads back the same, and the unit.
    pub fn text(self) -> String {
        format!("{} {}", self.value, self.unit)
    }
}

impl fmt::Display for Measure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text())
    }
}

/// A part as a person types it, `3/4`, in per cent.
fn part_of(text: &str) -> Option<f64> {
    let (part, whole) = text.split_once('/')?;
    let number = |text: &str| text.trim().parse::<u8>().ok().map(f64::from);
    let whole = number(whole).filter(|whole| *whole > 0.0)?;
    Some(100.0 * number(part)? / whole)
}

/// A volume written as text, such as `"0.6 L"` or `"1.8 gal"`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Volume(Measure);

impl Volume {
    /// A volume from a measure of volume.
    pub fn new(measure: Measure) -> Result<Volume, String> {
        if measure.unit.quantity() != Quantity::Volume {
            return Err(format!(
                "{} is no volume; expected L, gal, qt or the like",
                measure
            ));
        }
        if measure.value < 0.0 {
            return Err(format!("{measure} is less than nothing"));
        }
        Ok(Volume(measure))
    }

    /// Litres.
    pub fn litres(self) -> f64 {
        self.0.unit.to_base(self.0.value)
    }

    /// The measure as entered.
    pub fn measure(self) -> Measure {
        self.0
    }
}

impl fmt::Display for Volume {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Volume {
    type Err = String;
    fn from_str(text: &str) -> Result<Volume, String> {
        Volume::new(Measure::parse(text, Unit::Litre)?)
    }
}

impl Serialize for Volume {
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&self.0.text())
    }
}

impl<'de> Deserialize<'de> for Volume {
    fn deserialize<D: serde::Deserializer<'de>>(d: D) -> Result<Volume, D::Error> {
        let text = String::deserialize(d)?;
        text.parse().map_err(serde::de::Error::custom)
    }
}

impl JsonSchema for Volume {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Volume".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": "string", "description": "a number and a unit of volume, such as \"0.6 L\""})
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    /// NIST SP 811 (2008), Appendix B.8: a nautical mile is 1852 m, a statute mile 1609.344 m.
    #[test]
    fn boat_speeds_are_of_nautical_miles() {
        let knots = |value, unit: Unit| unit.convert(value, Unit::Knot).expect("a speed");
        assert!((knots(18.52, Unit::KilometrePerHour) - 10.0).abs() < 1e-12);
        assert!((knots(1852.0 / 1609.344, Unit::MilePerHour) - 1.0).abs() < 1e-12);
        let typed = Measure::parse("6,5 kts", Unit::Knot).expect("a speed");
        assert_eq!(typed.text(), "6.5 kn");
        assert!(Measure::parse("6 rpm", Unit::Knot).is_err());
    }

    #[test]
    fn an_engine_speed_is_a_share_of_the_rated_one() {
        let rpm = |value| Measure::new(value, Unit::Rpm).expect("a speed");
        let short = |value, rated| rpm(value).short_of(rated).map(Measure::value);
        assert_eq!(short(2700.0, 3000.0), Some(10.0));
        assert_eq!(short(3150.0, 3000.0), Some(-5.0));
        assert_eq!(short(3150.0, 0.0), None);
        let volts = Measure::new(12.0, Unit::Volt).expect("volts");
        assert_eq!(volts.short_of(3000.0), None);
    }

    #[test]
    fn a_stick_is_read_in_parts() {
        let part = |text: &str| Measure::parse(text, Unit::Percent).map(Measure::value);
        for (text, percent) in [
            ("1/2", 50.0),
            ("3/4", 75.0),
            (" 1 / 3 ", 100.0 / 3.0),
            ("40", 40.0),
        ] {
            assert_eq!(part(text), Ok(percent), "{text}");
        }
        for text in ["1/0", "a/b", "1/2/3", "/"] {
            assert!(part(text).is_err(), "{text}");
        }
        assert!(Measure::parse("1/2", Unit::Litre).is_err());
    }
}
