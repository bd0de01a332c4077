//! A photograph of where something is, beside the words of the profile that say so.
//!
//! It is a record of its own and no field of the profile, since that is replaced whole and put right in
//! itself alone: so two devices add up place by place, and an entry taken back gives back the picture
//! before it. No verdict rests on it.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::acts::At;
use crate::walk::Photo;

/// A photograph of where something is, or that there is none any more.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlacePhoto {
    /// The fact that says in words where it is, by its name in the profile.
    pub fact: String,
    /// Machine id; none for a fact of the boat.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: At,
    /// The photograph, instead of the one before; left out where none is to stand there.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub photo: Option<Photo>,
}

impl PlacePhoto {
    /// True where it speaks of this place.
    pub fn is_of(&self, fact: &str, machine: Option<&str>) -> bool {
        self.fact == fact && self.machine.as_deref() == machine
    }
}
