//! What the trade warns of in what is known of a part. None of it changes a verdict; the maker's
//! handbook outranks all of it.

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

use crate::boat::Machine;
use crate::defects::PartSaid;
use crate::defects::part_said::same_number;
use crate::text::words;

type Time = DateTime<FixedOffset>;

/// Where a caution of the trade comes from.
const COMMON: &str = "common practice, no single source";
/// Where it is this project's own.
const JUDGED: &str = "judgement: spaces, hyphens, points and capitals are not told apart";

words! {
    /// What sort of caution it is.
    CautionSort, "sort of caution" {
        /// The one fitted is not to be used.
        Refused = "refused",
        /// Two kinds of coolant would be mixed.
        NotMixed = "not-mixed",
        /// The one fitted is not the one the maker names.
        OtherThanSpecified = "other-than-specified",
        /// What would have to be known to tell is not.
        CannotBeTold = "cannot-be-told",
    }
}

/// A caution, with where it comes from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Caution {
    /// What sort it is.
    pub sort: CautionSort,
    /// In a sentence or two.
    pub text: String,
    /// Where it comes from: common practice, or judgement.
    pub source: &'static str,
}

fn caution(sort: CautionSort, source: &'static str, text: impl Into<String>) -> Caution {
    let text = text.into();
    Caution { sort, text, source }
}

impl Caution {
    /// A number on the one fitted that was said before work that may have renewed it.
    pub(super) fn of_old_number(number: &str, told: Time, task: &str, done: Time) -> Caution {
        let text = format!(
            "{number} was read on the one fitted on {}, and since then, on {}, this was done: {task}. Read the number again",
            told.date_naive(),
            done.date_naive()
        );
        caution(CautionSort::CannotBeTold, COMMON, text)
    }

    /// As it is read: the sort first where it is loud, the source at the end.
    pub fn sentence(&self) -> String {
        let head = match self.sort {
            CautionSort::Refused => "Refused: ",
            CautionSort::NotMixed => "Not to be mixed: ",
            CautionSort::OtherThanSpecified => "Other than specified: ",
            CautionSort::CannotBeTold => "",
        };
        format!(
            "{head}{} ({}; the maker's handbook outranks)",
            self.text, self.source
        )
    }
}

/// Everything to be warned of in what is known of a part, the loudest first. `machine` is the one it
/// belongs to.
pub fn cautions(known: &PartSaid, machine: Option<&Machine>) -> Vec<Caution> {
    let lacks = lacking(known).map(|lack| caution(CautionSort::Refused, COMMON, lack));
    lacks
        .into_iter()
        .chain(mixed(known, machine))
        .chain(other_than_specified(known))
        .collect()
}

/// What the filter that is fitted is known to lack; none where it lacks nothing that is known. A
/// by-pass is taken to be specified unless it is said that none is.
pub fn lacking(known: &PartSaid) -> Option<String> {
    let bypass = known.fitted_bypass == Some(false) && known.bypass != Some(false);
    let drains = known.fitted_drain_back == Some(false) && known.drain_back == Some(true);
    let lacks = match (bypass, drains) {
        (false, false) => return None,
        (true, false) => "no by-pass",
        (false, true) => "nothing that keeps the oil from draining back",
        (true, true) => "no by-pass, and nothing that keeps the oil from draining back",
    };
    let mut text = format!("{} has {lacks}", fitted(known));
    if bypass {
        text.push_str(
            ": with cold oil or a choked element nothing gets past it, and the engine runs without",
        );
    }
    if drains {
        text.push_str(if bypass { "; and " } else { ": " });
        text.push_str("every start begins without pressure until it has filled again");
    }
    text.push_str(". Do not run on it; fit the one specified");
    Some(text)
}

/// Why the number fitted, known to lack what the filter has to have, is no equivalent; none where it
/// stands among none.
pub fn no_equivalent(known: &PartSaid) -> Option<String> {
    let number = known.fitted_number.as_ref()?;
    let stands = known.fits.iter().any(|fits| same_number(fits, number));
    let lack = lacking(known).filter(|_| stands)?;
    Some(format!(
        "refused as an equivalent: {lack}; say that it does not fit: {}={number}",
        PartSaid::FITS_NOT
    ))
}

fn fitted(known: &PartSaid) -> String {
    match &known.fitted_number {
        Some(number) => format!("the one fitted, {number},"),
        None => "the one fitted".to_owned(),
    }
}

/// Coolant of another kind than the profile has in the machine.
fn mixed(known: &PartSaid, machine: Option<&Machine>) -> Option<Caution> {
    let (bought, machine) = (known.coolant?, machine?);
    let Some(aboard) = machine.coolant else {
        let text = format!(
            "What kind of coolant is in {} is not known, so that the {bought} kind bought cannot be held against it. Kinds are not mixed: read it on the last can, or say it in the profile",
            machine.name
        );
        return Some(caution(CautionSort::CannotBeTold, COMMON, text));
    };
    (aboard != bought).then(|| {
        let text = format!(
            "in {} is coolant of the {aboard} kind, and what is bought is {bought}. Do not top up with it: mixed they lose their protection and can fall out as sludge. Another kind goes in only after all of the old is drained and flushed out, and where the handbook allows it",
            machine.name
        );
        caution(CautionSort::NotMixed, COMMON, text)
    })
}

fn other_than_specified(known: &PartSaid) -> Option<Caution> {
    let number = known.fitted_number.as_ref()?;
    let among = |numbers: &[String]| numbers.iter().any(|n| same_number(n, number));
    let not = among(&known.fits_not);
    let Some(makers) = &known.makers_number else {
        if not {
            let text = format!("{number} is fitted, and it is on record that it does not fit");
            return Some(caution(CautionSort::OtherThanSpecified, JUDGED, text));
        }
        let text = format!(
            "{number} is fitted, and the maker's number is not known: nobody can tell here whether it is the one specified"
        );
        return Some(caution(CautionSort::CannotBeTold, COMMON, text));
    };
    if same_number(makers, number) || among(&known.fits) {
        return None;
    }
    let differs = match &known.differs {
        Some(differs) => format!("what differs: {differs}"),
        None => "what differs is not written down".to_owned(),
    };
    let stands = match not {
        true => "it is on record that it does not fit",
        false => "it is not among the equivalents that have fitted",
    };
    let text =
        format!("fitted is {number}, the maker's number is {makers}, and {stands}; {differs}");
    Some(caution(CautionSort::OtherThanSpecified, JUDGED, text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::boat::kinds::Coolant;

    fn sorts(known: &PartSaid) -> Vec<CautionSort> {
        cautions(known, None).iter().map(|c| c.sort).collect()
    }

    fn filter() -> PartSaid {
        PartSaid {
            makers_number: Some("K 100".to_owned()),
            fitted_number: Some("k-100".to_owned()),
            ..PartSaid::of("oil-filter", Some("main"))
        }
    }

    #[test]
    fn a_filter_known_to_lack_its_by_pass_is_refused() {
        let mut known = filter();
        assert!(sorts(&known).is_empty());
        known.fitted_bypass = Some(false);
        assert_eq!(sorts(&known), [CautionSort::Refused]);
        known.bypass = Some(false);
        assert!(sorts(&known).is_empty(), "none is specified");
        known.fitted_drain_back = Some(false);
        assert!(sorts(&known).is_empty(), "not where none is specified");
        known.drain_back = Some(true);
        assert_eq!(sorts(&known), [CautionSort::Refused]);
    }

    #[test]
    fn a_number_that_is_neither_the_makers_nor_among_the_equivalents_is_said() {
        let mut known = filter();
        known.fitted_number = Some("R 7".to_owned());
        assert_eq!(sorts(&known), [CautionSort::OtherThanSpecified]);
        known.differs = Some("5 mm shorter".to_owned());
        let told = cautions(&known, None).pop().map(|c| c.sentence());
        let told = told.unwrap_or_default();
        assert!(
            told.contains("R 7") && told.contains("5 mm shorter"),
            "{told}"
        );
        known.fits = vec!["R7".to_owned()];
        assert!(sorts(&known).is_empty());
        known.fits.clear();
        known.makers_number = None;
        assert_eq!(sorts(&known), [CautionSort::CannotBeTold]);
        known.fits_not = vec!["r7".to_owned()];
        assert_eq!(sorts(&known), [CautionSort::OtherThanSpecified]);
    }

    #[test]
    fn what_lacks_its_by_pass_is_no_equivalent() {
        let mut known = filter();
        known.fitted_bypass = Some(false);
        assert_eq!(no_equivalent(&known), None);
        known.fits = vec!["K100".to_owned()];
        assert!(no_equivalent(&known).is_some());
    }

    #[test]
    fn kinds_of_coolant_are_held_against_what_is_aboard() {
        let known = PartSaid {
            coolant: Some(Coolant::Organic),
            ..PartSaid::of("coolant", Some("main"))
        };
        let told = |aboard| {
            let mut machine = Machine::bare("main", "Main engine");
            machine.coolant = aboard;
            let told = cautions(&known, Some(&machine)).into_iter();
            told.map(|c| c.sort).collect::<Vec<_>>()
        };
        assert_eq!(told(Some(Coolant::Organic)), []);
        assert_eq!(told(Some(Coolant::Hybrid)), [CautionSort::NotMixed]);
        assert_eq!(told(None), [CautionSort::CannotBeTold]);
    }
}
