//! Whose a defect, a look or a record is.

use std::borrow::Borrow;
use std::cmp::Ordering;

use serde::{Deserialize, Serialize};

/// An item on a machine, or on the boat where the boat has one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Subject {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; none for items the boat has once.
    pub machine: Option<String>,
}

/// What a subject is known by, where its names are only lent: an ordered map is asked by it.
pub(super) trait Named {
    /// Item id and machine id.
    fn names(&self) -> (&str, Option<&str>);
}

impl Named for Subject {
    fn names(&self) -> (&str, Option<&str>) {
        (&self.item, self.machine.as_deref())
    }
}

impl Named for (&str, Option<&str>) {
    fn names(&self) -> (&str, Option<&str>) {
        *self
    }
}

impl<'a> Borrow<dyn Named + 'a> for Subject {
    fn borrow(&self) -> &(dyn Named + 'a) {
        self
    }
}

impl PartialEq for dyn Named + '_ {
    fn eq(&self, other: &Self) -> bool {
        self.names() == other.names()
    }
}

impl Eq for dyn Named + '_ {}

impl PartialOrd for dyn Named + '_ {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for dyn Named + '_ {
    fn cmp(&self, other: &Self) -> Ordering {
        self.names().cmp(&other.names())
    }
}
