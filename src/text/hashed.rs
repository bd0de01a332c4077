//! Maps by name that are asked very often.

use std::collections::HashMap;

use foldhash::fast::RandomState;

/// A map whose hash costs a third of the usual one; seeded anew in each process, so that nobody can
/// write names that all fall together.
pub(crate) type Hashed<K, V> = HashMap<K, V, RandomState>;
