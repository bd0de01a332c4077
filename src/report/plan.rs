//! The stations as a drawing: a box for each, roughly where it lies round the engine seen from
//! above, bow to the left. A box says its worst rung by digit and word; the pattern of its edge
//! says the same without colour.

use askama::Template;
use askama::filters::Safe;

use super::content::StationPart;
use super::lines;

/// Column and row of each known station.
const PLACES: [(&str, usize, usize); 15] = [
    ("hatch", 0, 0),
    ("space", 1, 0),
    ("helm", 2, 0),
    ("over-side", 3, 0),
    ("sea-inlet", 0, 1),
    ("service-side", 1, 1),
    ("controls", 2, 1),
    ("exhaust", 3, 1),
    ("front", 0, 2),
    ("top", 1, 2),
    ("back", 2, 2),
    ("stern", 3, 2),
    ("bilge", 0, 3),
    ("fuel-side", 1, 3),
    ("electrical", 2, 3),
];
const COLUMNS: usize = 4;
const BOX: (usize, usize) = (180, 66);
const GAP: usize = 10;
/// Letters of a title that fit a box.
const LETTERS: usize = 22;

/// A station in its box.
struct Placed<'a> {
    station: &'a StationPart,
    x: usize,
    y: usize,
    /// The worse the rung, the heavier the edge.
    edge: usize,
    worst: String,
}

/// The drawing; `pages/stations.svg`.
#[derive(Template)]
#[template(path = "stations.svg")]
pub(super) struct Stations<'a> {
    width: usize,
    height: usize,
    boxes: Vec<Placed<'a>>,
}

/// The drawing as inline SVG. Stations without a place of their own follow below.
pub(super) fn drawing(stations: &[StationPart]) -> Safe<Stations<'_>> {
    let known = |s: &StationPart| PLACES.iter().find(|(id, ..)| *id == s.station);
    let mut next = PLACES.iter().map(|p| p.2 + 1).max().unwrap_or(0) * COLUMNS;
    let mut rows = 0;
    let place = |station| {
        let (column, row) = match known(station) {
            Some((_, column, row)) => (*column, *row),
            None => {
                next += 1;
                ((next - 1) % COLUMNS, (next - 1) / COLUMNS)
            }
        };
        rows = rows.max(row + 1);
        let unseen = || "not seen".to_owned();
        Placed {
            station,
            x: GAP + column * (BOX.0 + GAP),
            y: GAP + row * (BOX.1 + GAP),
            edge: 1 + station.worst.map_or(0, |grade| grade.rung()),
            worst: station.worst.map_or_else(unseen, lines::grade),
        }
    };
    let boxes = stations.iter().map(place).collect();
    Safe(Stations {
        width: COLUMNS * (BOX.0 + GAP) + GAP,
        height: rows * (BOX.1 + GAP) + GAP,
        boxes,
    })
}
