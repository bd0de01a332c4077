//! A part that a remedy means, by its number.

use schemars::JsonSchema;
use serde::Serialize;

use crate::checklist::KnownPart;
use crate::service::parts::{Caution, PartRow};

/// A part by its number. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PartNumbers {
    /// Id of the part on the parts page.
    pub part: String,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// The maker's number.
    pub makers_number: Option<String>,
    /// The number on the part that is fitted now.
    pub fitted_number: Option<String>,
    /// Numbers of equivalents that have fitted.
    pub fits: Vec<String>,
    /// All of it in one line, with what is to be warned of.
    pub words: String,
}

impl PartNumbers {
    /// What is known by number of what the remedy of an item means by its words.
    pub fn in_remedy(
        known: &[PartRow],
        (item, words): (&str, &str),
        machine: Option<&str>,
    ) -> Option<PartNumbers> {
        let part = KnownPart::in_remedy(item, words)?;
        PartNumbers::of(known.iter().find(|row| row.is_of(&part.id, machine))?)
    }

    /// What is known by number of a part; none where nothing is.
    pub fn of(row: &PartRow) -> Option<PartNumbers> {
        let said = row.known.as_ref()?;
        let cautions = row.cautions.iter().map(Caution::sentence);
        let words: Vec<String> = row.numbers().into_iter().chain(cautions).collect();
        (!words.is_empty()).then(|| PartNumbers {
            part: row.part.clone(),
            machine: row.machine.clone(),
            makers_number: said.makers_number.clone(),
            fitted_number: said.fitted_number.clone(),
            fits: said.fits.clone(),
            words: words.join(". "),
        })
    }
}
