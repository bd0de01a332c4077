//! Which values of a reading mean which rung, as figures of the gauge itself.

use super::condition::Condition;
use crate::boat::Unit;
use crate::checklist::{Band, Grade, Item, PhaseState, Versus};

impl Condition {
    /// The bands of an item's reading in a unit: the machine's handbook figures where there are
    /// any, else the catalogue's, those against the boat's usual value laid over that value. Empty
    /// where there is no reading, or no usual value yet.
    pub fn limits(
        &self,
        item: &Item,
        machine: &str,
        phase: Option<&str>,
        state: Option<PhaseState>,
        unit: Unit,
    ) -> Vec<Band> {
        let Some(reading) = &item.reading else {
            return Vec::new();
        };
        let machines = &self.boat.machines;
        let handbook = machines.iter().find(|m| m.id == machine);
        if let Some(h) = handbook.and_then(|m| m.handbook.iter().find(|h| h.item == item.id)) {
            let shown = |end: Option<f64>| end.and_then(|v| h.unit.convert(v, unit));
            return around(shown(h.from), shown(h.to));
        }
        let usual = self.usual(item, machine, phase);
        let value = |end: f64| {
            let own = match (reading.versus, usual) {
                (Versus::Absolute, _) => end,
                (Versus::BaselineDifference, Some(usual)) => usual + end,
                (Versus::BaselineRatio, Some(usual)) => usual * end,
                _ => return None,
            };
            reading.unit.convert(own, unit)
        };
        if reading.versus != Versus::Absolute && usual.is_none() {
            return Vec::new();
        }
        let bands = reading.bands_in(state).iter();
        bands
            .map(|b| Band {
                grade: b.grade,
                from: b.from.and_then(value),
                to: b.to.and_then(value),
            })
            .collect()
    }
}

/// The next limit a value meets on its way up or down, and the worse rung behind it; none where no
/// worse one lies that way.
pub fn next_limit(bands: &[Band], value: f64, rising: bool) -> Option<(f64, Grade)> {
    let here = bands.iter().find(|b| b.holds(value)).map(|b| b.grade);
    let worse = bands.iter().filter(|b| here.is_none_or(|g| b.grade > g));
    let ahead = worse.filter_map(|b| {
        let edge = if rising { b.from } else { b.to }?;
        let ahead = if rising { edge > value } else { edge <= value };
        ahead.then_some((edge, b.grade))
    });
    ahead.min_by(|a, b| (a.0 - value).abs().total_cmp(&(b.0 - value).abs()))
}

/// Sound between two ends, failing beyond them.
fn around(from: Option<f64>, to: Option<f64>) -> Vec<Band> {
    let failing = |from, to| Band {
        grade: Grade::Failing,
        from,
        to,
    };
    let mut bands = vec![Band {
        grade: Grade::Sound,
        from,
        to,
    }];
    if from.is_some() {
        bands.insert(0, failing(None, from));
    }
    if to.is_some() {
        bands.push(failing(to, None));
    }
    bands
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use chrono::DateTime;

    use super::*;
    use crate::boat::{Boat, Waters};
    use crate::checklist::Library;
    use crate::defects::history::History;

    fn condition(handbook: &str) -> Condition {
        let mut boat = Boat::simple("Grey Plover", Waters::Inshore, None);
        boat.machines[0].handbook = serde_json::from_str(handbook).expect("limits");
        let library = std::sync::Arc::new(Library::built_in().clone());
        let now = DateTime::parse_from_rfc3339("2026-05-03T08:00:00Z").expect("a time");
        Condition::of(&boat, library, &History::default(), now)
    }

    fn limits(condition: &Condition, id: &str, unit: Unit) -> Vec<Band> {
        let item = condition.library.catalogue.item(id).expect(id).clone();
        condition.limits(&item, "main", None, None, unit)
    }

    #[test]
    fn they_are_given_in_the_unit_asked_for() {
        let condition = condition("[]");
        let sound = limits(&condition, "charging-voltage", Unit::Volt);
        let sound = sound
            .iter()
            .find(|b| b.grade == Grade::Sound)
            .expect("sound");
        assert_eq!((sound.from, sound.to), (Some(13.8), Some(14.4)));
        let sound = limits(&condition, "shaft-alignment", Unit::Inch)[0].clone();
        let to = sound.to.expect("an end");
        assert!((to - 0.08 / 25.4).abs() < 1e-12, "{to}");
    }

    #[test]
    fn without_a_usual_value_there_are_none_against_it() {
        let condition = condition("[]");
        assert!(limits(&condition, "oil-pressure", Unit::Bar).is_empty());
        assert!(limits(&condition, "drip-tray", Unit::Percent).is_empty());
    }

    #[test]
    fn the_next_limit_lies_on_the_way() {
        let condition = condition("[]");
        let volts = limits(&condition, "start-battery", Unit::Volt);
        assert_eq!(next_limit(&volts, 12.7, false), Some((12.6, Grade::Early)));
        assert_eq!(next_limit(&volts, 12.5, false), Some((12.4, Grade::Worn)));
        assert_eq!(next_limit(&volts, 12.5, true), None, "it gets better");
        let level = limits(&condition, "engine-oil-level", Unit::Percent);
        assert_eq!(
            next_limit(&level, 60.0, true),
            Some((101.0, Grade::Failing))
        );
        assert_eq!(next_limit(&level, 60.0, false), Some((25.0, Grade::Early)));
    }

    #[test]
    fn the_handbook_outranks_them() {
        let handbook =
            r#"[{"item":"oil-pressure","unit":"bar","from":1,"to":6,"source":"page 12"}]"#;
        let bands = limits(&condition(handbook), "oil-pressure", Unit::Kilopascal);
        let grades: Vec<_> = bands.iter().map(|b| (b.grade, b.from, b.to)).collect();
        assert_eq!(
            grades,
            [
                (Grade::Failing, None, Some(100.0)),
                (Grade::Sound, Some(100.0), Some(600.0)),
                (Grade::Failing, Some(600.0), None),
            ]
        );
    }
}
