//! A point seen from above or from the side, forward to the left.

use super::places::Arrangement;
use crate::boat::Point;

/// Left free around all that is drawn, hundredths of the engine's length.
const MARGIN: f64 = 4.0;

/// From where one looks. Seen from above starboard is up; the side is seen from port.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum View {
    /// From above.
    #[default]
    Above,
    /// From the side.
    Side,
}

impl View {
    /// Both.
    pub const ALL: [View; 2] = [View::Above, View::Side];

    /// To the right and down, in hundredths of the engine's length.
    pub fn project(self, point: Point) -> (f64, f64) {
        let down = match self {
            View::Above => point.y,
            View::Side => point.z,
        };
        (f64::from(point.x), -f64::from(down))
    }

    /// The point so much farther to the right and down.
    pub fn moved(self, point: Point, (right, down): (i16, i16)) -> Point {
        point
            + match self {
                View::Above => Point {
                    x: right,
                    y: -down,
                    z: 0,
                },
                View::Side => Point {
                    x: right,
                    y: 0,
                    z: -down,
                },
            }
    }

    /// In words, with which way up it is.
    pub const fn words(self) -> &'static str {
        match self {
            View::Above => "from above, starboard up",
            View::Side => "from the side, seen from port",
        }
    }
}

/// The part of a view that is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Window {
    /// From where one looks.
    pub view: View,
    left: f64,
    top: f64,
    width: f64,
    height: f64,
}

impl Window {
    /// All of an arrangement.
    pub fn on(arrangement: &Arrangement, view: View) -> Window {
        let places = arrangement.places.iter().map(|place| place.point);
        let boxes = arrangement.boxes.iter().flat_map(|b| [b.from, b.to]);
        let all: Vec<(f64, f64)> = places.chain(boxes).map(|p| view.project(p)).collect();
        let reach = |of: fn(&(f64, f64)) -> f64| {
            let least = all.iter().map(of).fold(f64::INFINITY, f64::min);
            let most = all.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
            match least <= most {
                true => (least - MARGIN, most - least + 2.0 * MARGIN),
                false => (0.0, 1.0),
            }
        };
        let ((left, width), (top, height)) = (reach(|p| p.0), reach(|p| p.1));
        Window {
            view,
            left,
            top,
            width,
            height,
        }
    }

    /// Where a point stands in the window, each from 0 to 1.
    pub fn share(&self, point: Point) -> (f64, f64) {
        let (right, down) = self.view.project(point);
        let of = |at: f64, from: f64, all: f64| ((at - from) / all).clamp(0.0, 1.0);
        (
            of(right, self.left, self.width),
            of(down, self.top, self.height),
        )
    }
}
