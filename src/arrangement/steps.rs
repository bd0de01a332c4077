//! Which place comes next in a direction.

use super::view::View;
use crate::boat::Point;

/// So much more a step aside counts than a step on: what lies straight ahead comes first, as in a text. By
/// this figure no place of a built-in checklist is passed by from everywhere (by trial).
const ASIDE: f64 = 4.0;

/// Where an arrow points.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// Up.
    Up,
    /// Down.
    Down,
    /// To the left.
    Left,
    /// To the right.
    Right,
}

impl Direction {
    /// All of them.
    pub const ALL: [Direction; 4] = [
        Direction::Up,
        Direction::Down,
        Direction::Left,
        Direction::Right,
    ];

    /// One step to the right and down.
    pub const fn step(self) -> (i16, i16) {
        match self {
            Direction::Up => (0, -1),
            Direction::Down => (0, 1),
            Direction::Left => (-1, 0),
            Direction::Right => (1, 0),
        }
    }
}

/// The nearest of the places ahead, none where none lies there. Of those at one spot, which differ in no
/// direction, one goes through them in their order, to the right and back to the left.
pub fn next(points: &[Point], from: usize, direction: Direction, view: View) -> Option<usize> {
    let (right, down) = direction.step();
    let (right, down) = (f64::from(right), f64::from(down));
    let here = view.project(*points.get(from)?);
    let aims = points
        .iter()
        .enumerate()
        .filter(|(n, _)| *n != from)
        .filter_map(|(n, point)| {
            let there = view.project(*point);
            let (dx, dy) = (there.0 - here.0, there.1 - here.1);
            let (on, aside) = (
                dx * right + dy * down,
                (dx * down).abs() + (dy * right).abs(),
            );
            let one_spot = dx == 0.0 && dy == 0.0;
            let in_order = match direction {
                Direction::Right => n > from,
                Direction::Left => n < from,
                Direction::Up | Direction::Down => false,
            };
            let ahead = if one_spot { in_order } else { on > 0.0 };
            let order = if direction == Direction::Left {
                usize::MAX - n
            } else {
                n
            };
            ahead.then_some((on + ASIDE * aside, order, n))
        });
    aims.min_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)))
        .map(|(_, _, n)| n)
}
