//! What people say of a part of a machine: numbers, measures, where it was bought. It is told, and no
//! verdict rests on it.
//!
//! A record says only what it names, and of each field the newest word stands: so two devices that
//! measured different things of one part add up, and an entry taken back gives back what it had
//! replaced. Of each equivalent by itself the newest word stands too, whether it has fitted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::acts::At;
use super::newest_word::newest_word;
use crate::boat::kinds::Coolant;
use crate::walk::Photo;

newest_word! {
    /// What is said of a part of a machine, or of the boat. What is left out stays as it was said
    /// before.
    PartSaid of {
        /// Id of the part, as the tasks name it.
        part,
        /// Machine id; none for what the boat has once.
        machine,
    } says {
        /// The maker's number, by the handbook or the parts book.
        makers_number: String,
        /// The number on the part that is fitted now.
        fitted_number: String,
        /// What differs on the one that is fitted, where it is other than specified.
        differs: String,
        /// Specification of an oil or a coolant, as the handbook has it.
        specification: String,
        /// Kind of the coolant that is bought.
        coolant: Coolant,
        /// Section of a belt.
        section: String,
        /// Outside length of a belt, millimetres.
        outside_length_mm: f64,
        /// Diameter of an impeller, millimetres.
        diameter_mm: f64,
        /// Width of an impeller, millimetres.
        width_mm: f64,
        /// Bore: of an impeller for its shaft, of a hose inside; millimetres.
        bore_mm: f64,
        /// How many vanes an impeller has.
        vanes: u32,
        /// How the shaft turns an impeller: key, pin, spline, flat.
        drive: String,
        /// Thread of a filter or an anode.
        thread: String,
        /// Outside diameter of the seal of a filter, millimetres.
        seal_outside_mm: f64,
        /// Inside diameter of the seal of a filter, millimetres.
        seal_inside_mm: f64,
        /// Height of a filter, millimetres.
        height_mm: f64,
        /// The filter specified has a by-pass.
        bypass: bool,
        /// The filter that is fitted has a by-pass.
        fitted_bypass: bool,
        /// The filter specified keeps the oil from draining back.
        drain_back: bool,
        /// The filter that is fitted keeps the oil from draining back.
        fitted_drain_back: bool,
        /// Length of a hose or an anode, millimetres.
        length_mm: f64,
        /// Other measures, in words: of a fuse, a bulb, a seal.
        measures: String,
        /// Where it was bought.
        bought: String,
        /// In the words of who says it.
        note: String,
        /// A photograph of it.
        photo: Photo,
    } lists {
        /// Numbers of equivalents that have fitted.
        fits,
        /// Numbers that were tried, or looked up, and do not fit.
        fits_not,
    }
}

impl PartSaid {
    /// The equivalents that have fitted, by name of the field.
    pub const FITS: &'static str = "fits";
    /// What does not fit, by name of the field.
    pub const FITS_NOT: &'static str = "fits_not";
    /// The photograph, by name of the field.
    pub const PHOTO: &'static str = "photo";

    /// True where it says nothing of the part.
    pub fn is_empty(&self) -> bool {
        let bare = PartSaid {
            at: self.at,
            ..PartSaid::of(&self.part, self.machine.as_deref())
        };
        *self == bare
    }

    fn take_lists(&mut self, later: &PartSaid) {
        if later.leaves_open(PartSaid::FITS) {
            self.fits.clear();
        }
        if later.leaves_open(PartSaid::FITS_NOT) {
            self.fits_not.clear();
        }
        for (says, number) in later.numbers() {
            let is_other = |known: &String| !same_number(known, number);
            self.fits.retain(is_other);
            self.fits_not.retain(is_other);
            match says {
                true => self.fits.push(number.clone()),
                false => self.fits_not.push(number.clone()),
            }
        }
    }

    /// Every equivalent it speaks of, and whether it has fitted. What one record says both of does not
    /// fit.
    fn numbers(&self) -> impl Iterator<Item = (bool, &String)> {
        let fits = self.fits.iter().map(|number| (true, number));
        fits.chain(self.fits_not.iter().map(|number| (false, number)))
    }
}

/// True where two numbers mean one part: people write them with and without spaces, hyphens, points
/// and capitals (judgement).
pub fn same_number(one: &str, other: &str) -> bool {
    bare(one) == bare(other)
}

/// True where words have a number in them, by the same reading.
pub fn names_number(words: &str, number: &str) -> bool {
    bare(words).contains(&bare(number))
}

fn bare(number: &str) -> String {
    let kept = number.chars().filter(|c| !matches!(c, ' ' | '-' | '.'));
    kept.flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::defects::{History, Stamped};
    use proptest::prelude::*;

    fn said(fields: Value) -> PartSaid {
        let mut all = serde_json::json!({ "part": "oil-filter", "machine": "main" });
        let all_fields = all.as_object_mut().expect("an object");
        all_fields.extend(fields.as_object().expect("an object").clone());
        serde_json::from_value(all).expect("a part")
    }

    fn known(records: &[PartSaid]) -> PartSaid {
        let none = PartSaid::of("oil-filter", Some("main"));
        records.iter().fold(none, PartSaid::with)
    }

    #[test]
    fn what_a_later_record_leaves_out_stays() {
        let first = said(serde_json::json!({"makers_number": "A 1", "height_mm": 79.0}));
        let second = said(serde_json::json!({"makers_number": "A 2", "bypass": false}));
        let third = said(serde_json::json!({"not_known": ["height_mm"]}));
        let two = known(&[first.clone(), second.clone()]);
        assert_eq!(two.makers_number.as_deref(), Some("A 2"));
        assert_eq!((two.height_mm, two.bypass), (Some(79.0), Some(false)));
        let three = known(&[first.clone(), second, third]);
        assert_eq!((three.height_mm, three.bypass), (None, Some(false)));
        assert_eq!(known(&[first]).makers_number.as_deref(), Some("A 1"));
    }

    #[test]
    fn of_every_equivalent_the_newest_word_stands() {
        let tried = said(serde_json::json!({"fits": ["B-7", "C 9"]}));
        let not = said(serde_json::json!({"fits_not": ["b7"]}));
        let both = known(&[tried.clone(), not.clone()]);
        assert_eq!((both.fits.len(), both.fits_not.len()), (1, 1));
        let again = known(&[not, tried]);
        assert_eq!((again.fits.len(), again.fits_not.len()), (2, 0));
        let none = said(serde_json::json!({"not_known": ["fits"]}));
        assert!(known(&[again, none]).fits.is_empty());
    }

    #[test]
    fn numbers_are_told_apart_by_letters_and_digits() {
        assert!(same_number("AB 12-3.4", "ab1234"));
        assert!(!same_number("AB 1234", "AB 1235"));
        assert!(!same_number("AB/1", "AB1"));
    }

    fn records() -> impl Strategy<Value = Vec<PartSaid>> {
        let one = (0_usize..6, 0_u32..3).prop_map(|(field, n)| {
            let value = format!("N{n}");
            said(match field {
                0 => serde_json::json!({"makers_number": value}),
                1 => serde_json::json!({"fitted_number": value}),
                2 => serde_json::json!({"vanes": n}),
                3 => serde_json::json!({"fits": [value]}),
                4 => serde_json::json!({"fits_not": [value]}),
                _ => serde_json::json!({"not_known": ["makers_number", "fits"]}),
            })
        });
        proptest::collection::vec(one, 0..8)
    }

    /// The records in this order, each with the place it has in the log.
    fn history(placed: &[(usize, PartSaid)]) -> History {
        let at = chrono::DateTime::parse_from_rfc3339("2026-05-03T08:00:00+02:00").expect("a time");
        let mut history = History::default();
        for (place, rec) in placed {
            let stamped = Stamped {
                id: place.to_string(),
                at,
                place: *place,
                rec: rec.clone(),
            };
            stamped.put_among(&mut history.parts);
        }
        history
    }

    proptest! {
        /// In whatever order the records arrive, their places in the log alone decide what stands.
        #[test]
        fn what_stands_does_not_depend_on_the_order_of_arrival(
            (there, here) in records().prop_flat_map(|records| {
                let placed: Vec<_> = records.into_iter().enumerate().collect();
                (Just(placed.clone()), Just(placed).prop_shuffle())
            })
        ) {
            let of = |placed: &[_]| history(placed).part("oil-filter", Some("main"));
            prop_assert_eq!(of(&there), of(&here));
        }
    }
}
