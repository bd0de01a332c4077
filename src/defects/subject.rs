//! Whose a defect, a look or a record is.

use serde::{Deserialize, Serialize};

/// An item on a machine, or on the boat where the boat has one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Subject {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; none for items the boat has once.
    pub machine: Option<String>,
}
