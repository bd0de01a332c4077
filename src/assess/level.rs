//! Probability levels from chances.

use super::words::Level;

/// Lower edges of levels A to D, inclusive: the example bands of MIL-STD-882E (with Change 1)
/// Table A-II. The exposure assessed plays the part of the standard's "life of an item".
pub const EDGES: [(f64, Level); 4] = [
    (1e-1, Level::A),
    (1e-2, Level::B),
    (1e-3, Level::C),
    (1e-6, Level::D),
];

impl Level {
    /// The level of a chance over an exposure, A to E. Never F: a small chance eliminates nothing,
    /// only removing the item for good does (MIL-STD-882E, 4.3.3.b).
    pub fn of_chance(chance: f64) -> Level {
        let band = EDGES.iter().find(|(edge, _)| chance >= *edge);
        band.map_or(Level::E, |(_, level)| *level)
    }
}
