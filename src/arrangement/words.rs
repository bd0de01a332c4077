//! Where a point is, in words: for those who do not see the drawing.

use crate::boat::Point;

/// Said of what is in another place in every boat, and nobody has said where.
pub const NOT_TOLD: &str = "place not told";
/// Nearer to the middle line than this is amidships, hundredths of the engine's length (judgement).
const AMIDSHIPS: i16 = 8;
/// Below this is low in the boat, above the other high (judgement).
const HEIGHTS: (i16, i16) = (22, 72);

/// Along, across and up, such as `at the engine's forward end, to port, low`.
pub fn in_words(point: Point) -> String {
    let along = match point.x {
        ..-8 => "forward of the engine",
        -8..18 => "at the engine's forward end",
        18..60 => "beside the engine",
        60..=104 => "at the engine's aft end",
        _ => "aft of the engine",
    };
    let across = match point.y {
        y if y.abs() < AMIDSHIPS => "amidships",
        1.. => "to starboard",
        _ => "to port",
    };
    let height = match point.z {
        z if z < HEIGHTS.0 => ", low",
        z if z > HEIGHTS.1 => ", high",
        _ => "",
    };
    format!("{along}, {across}{height}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_is_said_along_across_and_up() {
        let at = |x, y, z| in_words(Point { x, y, z });
        assert_eq!(at(-26, 30, 6), "forward of the engine, to starboard, low");
        assert_eq!(at(74, -18, 74), "at the engine's aft end, to port, high");
        assert_eq!(at(40, 0, 40), "beside the engine, amidships");
    }
}
