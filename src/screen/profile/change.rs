//! One change of the profile, made from whatever the profile is when it is taken.

use serde_json::Value;

use crate::boat::Boat;
use crate::boat::facts::{Fact, Of, Place, id_for, lacking, limited, unlimited, with_new, without};
use crate::boat::profile::HandbookLimit;

/// One change of the profile.
#[derive(Clone, Debug)]
pub enum Change {
    /// A fact is this, or not known.
    Fact(Place, &'static Fact, Option<Value>),
    /// One more of a name.
    New(Of, String),
    /// It has left.
    Out(Place),
    /// The items a machine lacks, and those it has.
    Lacks(String, Vec<String>, Vec<String>),
    /// What the handbook of a machine gives.
    Limit(String, HandbookLimit),
    /// The handbook of a machine gives nothing for an item.
    NoLimit(String, String),
}

impl Change {
    /// The profile after it.
    ///
    /// # Errors
    /// What it speaks of is not aboard.
    pub fn of(&self, boat: &Boat) -> Result<Boat, String> {
        match self {
            Change::Fact(place, fact, value) => fact.put(boat, place, value.clone()),
            Change::New(of, name) => {
                let id = id_for(boat, *of, name);
                with_new(boat, &Place::new(*of, &id), name)
            }
            Change::Out(place) => without(boat, place),
            Change::Lacks(machine, lacks, has) => lacking(boat, machine, lacks, has),
            Change::Limit(machine, limit) => limited(boat, machine, limit.clone()),
            Change::NoLimit(machine, item) => unlimited(boat, machine, item),
        }
    }
}
