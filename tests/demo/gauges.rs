//! Readings: values that wander, and levels that fall with use and are topped up.

use super::story::{Gauge, Tank};
use handlamp::boat::units::Volume;
use handlamp::boat::{Measure, Unit};

impl Gauge {
    /// True where this gauge is read in a phase.
    pub fn is_read(&self, item: &str, machine: &str, phase: &str) -> bool {
        self.item == item
            && self.machine.as_deref().is_none_or(|m| m == machine)
            && (self.phases.is_empty() || self.phases.iter().any(|p| p == phase))
    }

    /// What it shows on a day before today; `stray` is -1 to 1.
    pub fn shows(&self, day: u32, stray: f64) -> Option<Measure> {
        let day = f64::from(day);
        let before = self.points.iter().rev().find(|p| p[0] >= day);
        let after = self.points.iter().find(|p| p[0] <= day);
        let value = match (before, after) {
            (Some([d0, v0]), Some([d1, v1])) if d0 > d1 => v0 + (v1 - v0) * (d0 - day) / (d0 - d1),
            (Some(p), _) | (None, Some(p)) => p[1],
            (None, None) => return None,
        };
        measure(value + self.noise * stray, self.scale, self.unit)
    }
}

/// A value as read off a scale: the nearest mark, without the dust of binary fractions.
fn measure(value: f64, scale: f64, unit: Unit) -> Option<Measure> {
    let marks = (value / scale).round();
    let per_unit = 1.0 / scale;
    let read = if per_unit > 1.0 {
        marks / per_unit.round()
    } else {
        marks * scale
    };
    Measure::new(read, unit).ok()
}

/// A level as it stands, per cent of the span between its marks.
#[derive(Debug)]
pub(super) struct Dipstick<'s> {
    pub tank: &'s Tank,
    /// What was in at the last filling and since, less nothing.
    filled: f64,
    /// Hours run at the last filling.
    from: f64,
}

impl<'s> Dipstick<'s> {
    pub fn new(tank: &'s Tank) -> Dipstick<'s> {
        Dipstick {
            tank,
            filled: tank.full,
            from: 0.0,
        }
    }

    /// Filled to its mark after so many hours run.
    pub fn fill(&mut self, run: f64) {
        (self.filled, self.from) = (self.tank.full, run);
    }

    /// What is read after so many hours run, and what is then added where it is low.
    pub fn read(&mut self, run: f64) -> Option<(Measure, Option<Volume>)> {
        let level = self.filled - self.tank.falls * (run - self.from);
        let read = measure(level, self.tank.scale, Unit::Percent)?;
        let low = read.value() < self.tank.add_below;
        if low {
            self.filled += self.tank.add_is;
        }
        Some((read, low.then_some(self.tank.add)))
    }
}
