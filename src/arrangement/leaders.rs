//! Labels at the left and the right edge of a drawing, each led to its place by a straight line. No line
//! crosses another and no label stands on another.
//!
//! Half of the places, the left ones, have their labels on the left: lines of the two sides keep to their
//! own side of the middle place. On one side two lines that cross change their labels until none does; by
//! the triangle inequality both together grow shorter each time, so that it comes to an end.

/// A label and where its line ends, in the unit of the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leader {
    /// It stands at the left edge.
    pub left: bool,
    /// Height of the middle of the label, from the top.
    pub label: f64,
}

/// One for each place `(x, y)`, in the same order, for labels so high at the edges `left` and `right` of a
/// drawing `height` high. Where the labels of a side do not all fit they go on below it.
pub fn leaders(
    places: &[(f64, f64)],
    (left, right): (f64, f64),
    height: f64,
    label: f64,
) -> Vec<Leader> {
    let mut by_x: Vec<usize> = (0..places.len()).collect();
    by_x.sort_by(|a, b| places[*a].0.total_cmp(&places[*b].0).then(a.cmp(b)));
    let (to_left, to_right) = by_x.split_at(places.len().div_ceil(2));
    let mut found = vec![
        Leader {
            left: true,
            label: 0.0
        };
        places.len()
    ];
    for (side, edge, is_left) in [(to_left, left, true), (to_right, right, false)] {
        let mut side = side.to_vec();
        side.sort_by(|a, b| places[*a].1.total_cmp(&places[*b].1).then(a.cmp(b)));
        let wanted: Vec<f64> = side.iter().map(|n| places[*n].1).collect();
        let slots = spread(&wanted, height, label);
        uncross(&mut side, &slots, places, edge);
        for (n, slot) in side.iter().zip(slots) {
            found[*n] = Leader {
                left: is_left,
                label: slot,
            };
        }
    }
    found
}

/// Heights near those wanted, ascending, each so far from the last that labels do not touch.
fn spread(wanted: &[f64], height: f64, label: f64) -> Vec<f64> {
    let mut slots: Vec<f64> = Vec::with_capacity(wanted.len());
    for want in wanted {
        let least = slots.last().map_or(label / 2.0, |last| last + label);
        slots.push(want.max(least));
    }
    // From the foot up again, as far as there is room.
    let mut most = height - label / 2.0;
    let lowest = label * (wanted.len() as f64 - 0.5);
    most = most.max(lowest);
    for slot in slots.iter_mut().rev() {
        *slot = slot.min(most);
        most = *slot - label;
    }
    slots
}

/// Changes labels of one side until no two lines cross: `side` says which place has which slot.
fn uncross(side: &mut [usize], slots: &[f64], places: &[(f64, f64)], edge: f64) {
    let mut again = true;
    while again {
        again = false;
        for a in 0..side.len() {
            for b in a + 1..side.len() {
                let (p, q) = (places[side[a]], places[side[b]]);
                let (from_p, from_q) = ((edge, slots[a]), (edge, slots[b]));
                let now = distance(from_p, p) + distance(from_q, q);
                let changed = distance(from_q, p) + distance(from_p, q);
                if cross((from_p, p), (from_q, q)) && changed < now {
                    side.swap(a, b);
                    again = true;
                }
            }
        }
    }
}

fn distance(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// True where two lines meet at a point that is inside both.
pub fn cross((a, b): ((f64, f64), (f64, f64)), (c, d): ((f64, f64), (f64, f64))) -> bool {
    let turn = |p: (f64, f64), q: (f64, f64), r: (f64, f64)| {
        (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0)
    };
    turn(a, b, c) * turn(a, b, d) < 0.0 && turn(c, d, a) * turn(c, d, b) < 0.0
}
