//! Where a point is, in words: for those who do not see the drawing.

use crate::boat::Point;

/// Said of what is in another place in every boat, and nobody has said where.
pub const NOT_TOLD: &str = "place not told";
/// Nearer to the middle line than this is amidships, hundredths of the engine's length (judgement).
const AMIDSHIPS: i16 = 8;
/// Below this is low in the boat, above the other high (judgement).
const HEIGHTS: (i16, i16) = (22, 72);

/// Where a point is: along, across and up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Whereabouts {
    /// Along: `forward`, `forward-end`, `beside`, `aft-end` or `aft` of the engine.
    pub along: &'static str,
    /// Across: `amidships`, `starboard` or `port`.
    pub across: &'static str,
    /// Up: `low` or `high`; none for what is neither.
    pub height: Option<&'static str>,
}

/// Where a point is, by names that a table of words can be asked for.
pub fn whereabouts(point: Point) -> Whereabouts {
    Whereabouts {
        along: match point.x {
            ..-8 => "forward",
            -8..18 => "forward-end",
            18..60 => "beside",
            60..=104 => "aft-end",
            _ => "aft",
        },
        across: match point.y {
            y if y.abs() < AMIDSHIPS => "amidships",
            1.. => "starboard",
            _ => "port",
        },
        height: match point.z {
            z if z < HEIGHTS.0 => Some("low"),
            z if z > HEIGHTS.1 => Some("high"),
            _ => None,
        },
    }
}

/// Along, across and up, such as `at the engine's forward end, to port, low`.
pub fn in_words(point: Point) -> String {
    let found = whereabouts(point);
    let along = match found.along {
        "forward" => "forward of the engine",
        "forward-end" => "at the engine's forward end",
        "beside" => "beside the engine",
        "aft-end" => "at the engine's aft end",
        _ => "aft of the engine",
    };
    let across = match found.across {
        "starboard" => "to starboard",
        "port" => "to port",
        other => other,
    };
    let height = found.height.map(|height| format!(", {height}"));
    format!("{along}, {across}{}", height.unwrap_or_default())
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
