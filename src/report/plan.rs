//! The stations as a drawing: a box for each, roughly where it lies round the engine seen from
//! above, bow to the left. A box says its worst rung by digit and word; the pattern of its edge
//! says the same without colour.

use std::fmt::Write as _;

use super::chart::svg_text as t;
use super::content::StationPart;
use super::lines;
use crate::text::fit;

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

/// The drawing as inline SVG. Stations without a place of their own follow below.
pub fn svg(stations: &[StationPart]) -> String {
    let known = |s: &StationPart| PLACES.iter().find(|(id, ..)| *id == s.station);
    let mut next = PLACES.iter().map(|p| p.2 + 1).max().unwrap_or(0) * COLUMNS;
    let mut boxes = String::new();
    let mut rows = 0;
    for station in stations {
        let (column, row) = match known(station) {
            Some((_, column, row)) => (*column, *row),
            None => {
                next += 1;
                ((next - 1) % COLUMNS, (next - 1) / COLUMNS)
            }
        };
        rows = rows.max(row + 1);
        draw(&mut boxes, station, column, row);
    }
    let width = COLUMNS * (BOX.0 + GAP) + GAP;
    let height = rows * (BOX.1 + GAP) + GAP;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"Stations with their worst rung\" font-family=\"system-ui,sans-serif\" font-size=\"14\" fill=\"currentColor\">\n{boxes}</svg>\n"
    )
}

fn draw(out: &mut String, station: &StationPart, column: usize, row: usize) {
    let (x, y) = (GAP + column * (BOX.0 + GAP), GAP + row * (BOX.1 + GAP));
    let rung = station.worst.map(|g| g.rung());
    let dash = if rung.is_none() {
        " stroke-dasharray=\"4 4\""
    } else {
        ""
    };
    // The worse the rung, the heavier the edge.
    let stroke = 1 + rung.unwrap_or(0);
    let worst = station
        .worst
        .map_or_else(|| "not seen".to_owned(), lines::grade);
    let _ = writeln!(
        out,
        "<rect x=\"{x}\" y=\"{y}\" width=\"{}\" height=\"{}\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"{stroke}\"{dash}/>\n<text x=\"{}\" y=\"{}\">{}</text>\n<text x=\"{}\" y=\"{}\" font-weight=\"bold\">{}</text>\n<text x=\"{}\" y=\"{}\" font-size=\"12\">{} of {} seen</text>",
        BOX.0,
        BOX.1,
        x + 10,
        y + 20,
        t(&fit(&station.title, LETTERS)),
        x + 10,
        y + 39,
        t(&worst),
        x + 10,
        y + 57,
        station.seen,
        station.asked
    );
}
