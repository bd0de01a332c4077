//! An earlier record is put right, and a walk is set aside.

use std::cmp::Ordering;

use serde::{Deserialize, Serialize};
use serde_json::value::RawValue;

use super::Record;
use super::event::{Event, Grounds, Names, Time, in_no_table, naming_nothing, on_no_item};
use crate::checklist::Grade;
use crate::defects::Aside;
use crate::defects::admit::Fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::walk::Outcome;

/// How what is on record is put right from outside.
const BY_COMMAND: Outside =
    Outside::Elsewhere("what is on record is put right with: handlamp entries");

/// An earlier record says something else, or was never made. It stands at the place of the record it
/// replaces, under its id.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "RawCorrection", into = "RawCorrection")]
pub struct Correction {
    /// Id of the record as it was first written.
    pub of: String,
    /// Ids of the corrections of it that were known and that this one replaces.
    pub replaces: Vec<String>,
    /// What it says instead; none where it is taken back.
    pub to: Option<Box<Record>>,
    /// Why.
    pub why: String,
    /// Who says so.
    pub by: Option<String>,
}

/// The form in the log.
#[derive(Serialize, Deserialize)]
struct RawCorrection {
    of: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    replaces: Vec<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ev: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    rec: Option<Box<RawValue>>,
    why: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    by: Option<String>,
}

impl TryFrom<RawCorrection> for Correction {
    type Error = String;
    fn try_from(raw: RawCorrection) -> Result<Correction, String> {
        let to = match (&raw.ev, &raw.rec) {
            (Some(ev), Some(rec)) => match Record::read(ev, rec.get()) {
                Some(Ok(record)) => Some(Box::new(record)),
                Some(Err(error)) => return Err(error.to_string()),
                None => return Err(format!("this version knows no record '{ev}'")),
            },
            (None, None) => None,
            _ => return Err("ev and rec belong together".to_owned()),
        };
        Ok(Correction {
            of: raw.of,
            replaces: raw.replaces,
            to,
            why: raw.why,
            by: raw.by,
        })
    }
}

impl From<Correction> for RawCorrection {
    fn from(correction: Correction) -> RawCorrection {
        let to = correction.to.as_deref();
        let rec = to.and_then(|to| RawValue::from_string(to.payload().ok()?).ok());
        RawCorrection {
            of: correction.of,
            replaces: correction.replaces,
            ev: to.map(|to| to.event().to_owned()),
            rec,
            why: correction.why,
            by: correction.by,
        }
    }
}

impl Correction {
    /// Which of two corrections made without knowing of each other holds, the greater one: of looks the
    /// worse, and one that says something before one that takes it back.
    pub(in crate::logbook) fn against(&self, other: &Correction) -> Ordering {
        self.weight().cmp(&other.weight())
    }

    fn weight(&self) -> (bool, u8) {
        let Some(to) = self.to.as_deref() else {
            return (false, 0);
        };
        let rung = match to {
            Record::Look(made) => match &made.look.outcome {
                Outcome::Graded(Grade::Sound) => 0,
                // What was not seen may hide the first sign, and no more is said of it.
                Outcome::NotSeen { .. } => 1,
                Outcome::Graded(grade) => u8::try_from(grade.rung() + 1).unwrap_or(u8::MAX),
            },
            _ => 0,
        };
        (true, rung)
    }
}

impl Record {
    /// Id of the record that this one takes back.
    pub fn takes_back(&self) -> Option<&str> {
        match self {
            Record::Undo(undo) => Some(&undo.of),
            Record::Correction(of) if of.to.is_none() => Some(&of.of),
            _ => None,
        }
    }

    /// Why and by whom something was taken back, put right or set aside.
    pub fn reason(&self) -> (Option<&str>, Option<&str>) {
        match self {
            Record::Undo(undo) => (undo.why.as_deref(), undo.by.as_deref()),
            Record::Correction(of) => (Some(&of.why), of.by.as_deref()),
            Record::SetAside(aside) => (Some(&aside.why), aside.by.as_deref()),
            _ => (None, None),
        }
    }
}

/// A reason as people's words.
fn reason_texts<'a>(why: &'a str, by: Option<&'a str>) -> Vec<(&'static str, &'a str)> {
    let by = by.map(|by| ("by", by));
    [("why", why)].into_iter().chain(by).collect()
}

impl Event for Correction {
    const NAME: &'static str = "correction";
    const OUTSIDE: Outside = BY_COMMAND;

    on_no_item!();

    fn at(&self) -> Option<Time> {
        None
    }

    fn texts(&self) -> Vec<(&'static str, &str)> {
        reason_texts(&self.why, self.by.as_deref())
    }

    // What it says instead may name a text or pictures kept.
    fn names(&self) -> Names<'_> {
        match self.to.as_deref() {
            Some(to) => Names {
                walk: None,
                ..to.names()
            },
            None => Names::NOTHING,
        }
    }

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        Vec::new()
    }

    // It is in the place of what it puts right before anything is put in.
    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(match self.to {
            Some(_) => "put a record right".to_owned(),
            None => "took a record back".to_owned(),
        })
    }

    in_no_table!();
}

/// A walk was never meant, or is of no use: it is left out with the looks named here. A look of it
/// that is not named, made elsewhere and come later, goes on counting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct SetAside {
    /// Walk id.
    pub walk: String,
    /// Ids of its looks that go with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub looks: Vec<String>,
    /// Why.
    pub why: String,
    /// Who says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
}

impl Event for SetAside {
    const NAME: &'static str = "set-aside";
    const OUTSIDE: Outside = BY_COMMAND;

    on_no_item!();

    fn at(&self) -> Option<Time> {
        None
    }

    fn texts(&self) -> Vec<(&'static str, &str)> {
        reason_texts(&self.why, self.by.as_deref())
    }

    naming_nothing!();

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        Vec::new()
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        let aside = Aside {
            walk: self.walk.clone(),
            why: self.why.clone(),
            by: self.by.clone(),
        };
        placed.put(&mut state.history.aside, &aside)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some("set a walk aside".to_owned())
    }

    in_no_table!();
}
