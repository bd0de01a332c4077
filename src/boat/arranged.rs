//! Where things are aboard, in the boat's own frame: x aft from the free end of the engine (0) to the
//! flange of its gearbox (100), y to starboard, z up from the bilge, in hundredths of the engine's length.

use std::ops::Add;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::text::words;

/// No point is farther from the free end of the engine than four of its lengths.
pub const FARTHEST: i16 = 400;

/// A point in the frame of the boat; as JSON `[x, y, z]`.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(from = "[i16; 3]", into = "[i16; 3]")]
#[schemars(with = "[i16; 3]")]
pub struct Point {
    /// Aft.
    pub x: i16,
    /// To starboard.
    pub y: i16,
    /// Up.
    pub z: i16,
}

impl From<[i16; 3]> for Point {
    fn from([x, y, z]: [i16; 3]) -> Point {
        Point { x, y, z }
    }
}

impl From<Point> for [i16; 3] {
    fn from(Point { x, y, z }: Point) -> [i16; 3] {
        [x, y, z]
    }
}

impl Add for Point {
    type Output = Point;

    fn add(self, other: Point) -> Point {
        let sum = |a: i16, b: i16| a.saturating_add(b).clamp(-FARTHEST, FARTHEST);
        Point {
            x: sum(self.x, other.x),
            y: sum(self.y, other.y),
            z: sum(self.z, other.z),
        }
    }
}

impl Point {
    /// The middle of points; none where there are none.
    pub fn middle(points: &[Point]) -> Option<Point> {
        let count = i32::try_from(points.len())
            .ok()
            .filter(|count| *count > 0)?;
        let mean = |of: fn(&Point) -> i16| {
            let sum: i32 = points.iter().map(|point| i32::from(of(point))).sum();
            i16::try_from(sum / count).ok()
        };
        Some(Point {
            x: mean(|p| p.x)?,
            y: mean(|p| p.y)?,
            z: mean(|p| p.z)?,
        })
    }

    /// True within the farthest a thing can be.
    pub fn is_aboard(self) -> bool {
        [self.x, self.y, self.z].iter().all(|v| v.abs() <= FARTHEST)
    }
}

words! {
    /// What stands aboard and is no item.
    ThingKind, "thing aboard" {
        /// A wall across the boat.
        Bulkhead = "bulkhead",
        /// A tank of any kind.
        Tank = "tank",
    }
}

/// Something aboard that is no item, by a name of its own.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Thing {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// What it is.
    pub kind: ThingKind,
}

/// How an engine stands in the boat.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct EngineStands {
    /// Its flywheel end is forward.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub turned: bool,
    /// Its service side is to port.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub mirrored: bool,
}

/// That something stands where it is said, or as at first: an item, an engine, or a thing that is no item.
/// Of each the newest word holds.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Arranged {
    /// The item that is spoken of, by its id in the catalogue.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub item: Option<String>,
    /// Machine id; none for what the boat has once.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub machine: Option<String>,
    /// When it was told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// The engine of the machine is spoken of, and how it stands.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub engine: Option<EngineStands>,
    /// What is no item and is spoken of.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thing: Option<Thing>,
    /// Where it is: an item, the foot of an engine's free end, the middle of a thing. Left out: as at
    /// first; a thing is taken off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub point: Option<Point>,
}

impl Arranged {
    /// True where both speak of the same item, engine or thing.
    pub fn is_of(&self, other: &Arranged) -> bool {
        let thing = |of: &Arranged| of.thing.as_ref().map(|thing| thing.id.clone());
        (&self.item, &self.machine, thing(self)) == (&other.item, &other.machine, thing(other))
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_point_is_three_numbers() {
        let point: Point = serde_json::from_str("[-3, 4, 34]").expect("a point");
        assert_eq!(point, Point { x: -3, y: 4, z: 34 });
        assert_eq!(serde_json::to_string(&point).expect("JSON"), "[-3,4,34]");
        assert!(serde_json::from_str::<Point>("[1, 2]").is_err());
    }

    #[test]
    fn no_sum_leaves_the_boat() {
        let far = Point {
            x: 390,
            y: -390,
            z: 0,
        };
        assert!((far + far).is_aboard());
    }
}
