//! Fuel for so many hours: what it needs, by two rules, and how long what is aboard lasts.

/// Point to point: what the hours ask for, and a tenth more. Common at sea for a crossing; some
/// authorities ask for it of yachts that leave.
pub const POINT_TO_POINT: f64 = 1.1;
/// A third out, a third back, a third kept: half as much again as the way there and back asks for.
/// Boating courses of the Canadian and the American auxiliaries teach it.
pub const THIRDS: f64 = 1.5;
/// The share of a tank that is not counted on: dirt and water lie there, and she sucks air when she
/// rolls (judgement).
pub const UNUSABLE: f64 = 0.1;
/// How much more she may burn against wind and sea (judgement).
pub const AGAINST: [f64; 2] = [1.25, 1.5];
/// Grams of diesel for a kilowatt-hour: a club's table of naturally aspirated engines has 231 to 243,
/// the handbook of a small engine 268.
pub const GRAMS: [f64; 2] = [231.0, 268.0];
/// Kilograms in a litre of diesel.
pub const DENSITY: f64 = 0.84;

/// Hours ahead and the fuel for them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ahead {
    /// Running hours, the way back included where there is one; 0 or more.
    pub hours: f64,
    /// Litres an hour, above 0.
    pub rate: f64,
    /// Litres aboard, 0 or more.
    pub aboard: f64,
    /// Litres of those that are not counted on.
    pub unusable: f64,
    /// How many times the rate she burns against wind and sea; 1 in calm, never less.
    pub against: f64,
}

/// What a rule asks for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Asked {
    /// Litres, with what is not counted on.
    pub litres: f64,
    /// Litres aboard beyond that; below 0 where they do not reach.
    pub over: f64,
    /// Hours that have to be left at the end.
    pub kept_hours: f64,
}

/// How far the fuel goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// The hours and a tenth more.
    pub point_to_point: Asked,
    /// The hours and half as much again.
    pub thirds: Asked,
    /// Hours that what can be counted on lasts.
    pub lasts: f64,
    /// Hours left when those ahead are over; below 0 where the fuel ends before.
    pub reserve: f64,
}

impl Ahead {
    /// How far the fuel goes; none where a figure cannot be.
    pub fn reach(self) -> Option<Reach> {
        let burnt = self.rate * self.against.max(1.0);
        let figures = [self.hours, self.aboard, self.unusable, burnt];
        let can_be = figures.iter().all(|f| f.is_finite() && *f >= 0.0);
        if !can_be || burnt <= 0.0 {
            return None;
        }
        let asked = |factor: f64| {
            let litres = self.hours * burnt * factor + self.unusable;
            Asked {
                litres,
                over: self.aboard - litres,
                kept_hours: self.hours * (factor - 1.0),
            }
        };
        let lasts = (self.aboard - self.unusable).max(0.0) / burnt;
        Some(Reach {
            point_to_point: asked(POINT_TO_POINT),
            thirds: asked(THIRDS),
            lasts,
            reserve: lasts - self.hours,
        })
    }
}

impl Reach {
    /// The stricter of both.
    pub fn larger(&self) -> Asked {
        if self.thirds.litres >= self.point_to_point.litres {
            self.thirds
        } else {
            self.point_to_point
        }
    }
}

/// Litres an hour at a power, the least and the most; `share` of the rated speed is 0 to 1, and the
/// power a propeller takes goes with its cube.
pub fn of_power(rated_kw: f64, share: f64) -> [f64; 2] {
    let power = rated_kw * share.clamp(0.0, 1.0).powi(3);
    GRAMS.map(|grams| power * grams / (1000.0 * DENSITY))
}

/// Fuel used over hours, added up: each stretch lies between two readings of tank and meter.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Burnt {
    /// Litres.
    pub litres: f64,
    /// Hours by the meter.
    pub hours: f64,
    /// Stretches they rest on.
    pub stretches: usize,
    /// Stretches left out: less than nothing was used in them, or the meter stood or went back.
    pub left_out: usize,
}

impl Burnt {
    /// Adds a stretch up.
    pub fn add(&mut self, litres: f64, hours: f64) {
        if litres.is_finite() && hours.is_finite() && litres >= 0.0 && hours > 0.0 {
            self.litres += litres;
            self.hours += hours;
            self.stretches += 1;
        } else {
            self.left_out += 1;
        }
    }

    /// Litres an hour; none where there is no stretch in which anything was used.
    pub fn rate(&self) -> Option<f64> {
        (self.litres > 0.0 && self.hours > 0.0).then(|| self.litres / self.hours)
    }
}
