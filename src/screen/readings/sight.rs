//! What of a chart is in sight, and which reading is read out. Neither changes what is said.

/// Closer than this share of the whole nothing is shown.
const CLOSEST: f64 = 1.0 / 1024.0;
/// A reading that comes into sight stands this share of the window away from its edge.
const EDGE: f64 = 0.1;

/// A window on the readings of a chart. Its readings are told by their x along the axis, ascending.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sight {
    /// The reading that is read out, by its place along the axis.
    pub at: Option<usize>,
    /// First and last x in sight; none where all is.
    window: Option<(f64, f64)>,
}

/// Where the cursor goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// To the reading before.
    Back,
    /// To the reading after.
    On,
    /// To the first.
    First,
    /// To the last.
    Last,
}

impl Sight {
    /// First and last x in sight, of the whole.
    pub fn span(&self, whole: (f64, f64)) -> (f64, f64) {
        self.window.unwrap_or(whole)
    }

    /// True where a part is in sight.
    pub fn is_part(&self) -> bool {
        self.window.is_some()
    }

    /// All again; what is read out stays.
    pub fn show_all(&mut self) {
        self.window = None;
    }

    /// Moves the cursor, and the window with it. Without a cursor it comes to the last reading, or to
    /// the one asked for.
    pub fn go(&mut self, way: Way, xs: &[f64], whole: (f64, f64)) {
        let Some(last) = xs.len().checked_sub(1) else {
            return;
        };
        let at = match (way, self.at) {
            (Way::First, _) => 0,
            (Way::Last, _) | (_, None) => last,
            (Way::Back, Some(at)) => at.min(last).saturating_sub(1),
            (Way::On, Some(at)) => (at + 1).min(last),
        };
        self.put(at, xs, whole);
    }

    /// Puts the cursor on a reading, and the window where it is seen.
    pub fn put(&mut self, at: usize, xs: &[f64], whole: (f64, f64)) {
        let Some(x) = xs.get(at) else { return };
        self.at = Some(at);
        if let Some((from, to)) = self.window {
            let wide = (to - from).min(whole.1 - whole.0);
            let from = match x {
                x if *x < from => x - EDGE * wide,
                x if *x > to => x + EDGE * wide - wide,
                _ => from,
            };
            self.show(from, wide, whole);
        }
    }

    /// Half as much about the cursor.
    pub fn closer(&mut self, xs: &[f64], whole: (f64, f64)) {
        self.zoom(0.5, xs, whole);
    }

    /// Twice as much about the cursor.
    pub fn wider(&mut self, xs: &[f64], whole: (f64, f64)) {
        self.zoom(2.0, xs, whole);
    }

    fn zoom(&mut self, by: f64, xs: &[f64], whole: (f64, f64)) {
        if self.at.is_none() {
            self.go(Way::Last, xs, whole);
        }
        let Some(x) = self.at.and_then(|at| xs.get(at)) else {
            return;
        };
        let (from, to) = self.span(whole);
        let (now, all) = ((to - from) * by, whole.1 - whole.0);
        if now >= all {
            self.window = None;
        } else if now >= CLOSEST * all {
            self.show(x - now / 2.0, now, whole);
        }
    }

    /// A window so wide from an x on, as far as there is anything.
    fn show(&mut self, from: f64, wide: f64, whole: (f64, f64)) {
        let from = from.min(whole.1 - wide).max(whole.0);
        self.window = Some((from, (from + wide).min(whole.1)));
    }

    /// How many readings lie before the window, in it and after it.
    pub fn count(&self, xs: &[f64], whole: (f64, f64)) -> [usize; 3] {
        let (from, to) = self.span(whole);
        let before = xs.iter().filter(|x| **x < from).count();
        let after = xs.iter().filter(|x| **x > to).count();
        [before, xs.len() - before - after, after]
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn whole(xs: &[f64]) -> (f64, f64) {
        // As a chart has it: on to where the trend meets a limit.
        let ends = xs.first().zip(xs.last());
        ends.map_or((0.0, 1.0), |(from, to)| (*from, to + 0.3 * (to - from)))
    }

    fn readings() -> impl Strategy<Value = Vec<f64>> {
        prop::collection::vec(0.0..5_000.0f64, 1..80).prop_map(|mut xs| {
            xs.sort_by(f64::total_cmp);
            xs
        })
    }

    proptest! {
        #[test]
        fn the_cursor_visits_every_reading_once_in_order(xs in readings(), closer in 0..12usize) {
            let all = whole(&xs);
            let mut sight = Sight::default();
            sight.go(Way::First, &xs, all);
            (0..closer).for_each(|_| sight.closer(&xs, all));
            let mut visited = Vec::new();
            for _ in 0..xs.len() {
                visited.push(sight.at);
                sight.go(Way::On, &xs, all);
            }
            let every: Vec<_> = (0..xs.len()).map(Some).collect();
            prop_assert_eq!(&visited, &every);
            let mut back = Vec::new();
            for _ in 0..xs.len() {
                back.push(sight.at);
                sight.go(Way::Back, &xs, all);
            }
            back.reverse();
            prop_assert_eq!(back, every);
        }

        #[test]
        fn whatever_is_pressed_all_readings_are_counted_and_the_cursor_is_in_sight(
            xs in readings(),
            keys in prop::collection::vec(0..7u8, 0..60),
        ) {
            let all = whole(&xs);
            let mut sight = Sight::default();
            for key in keys {
                match key {
                    0 => sight.go(Way::Back, &xs, all),
                    1 => sight.go(Way::On, &xs, all),
                    2 => sight.go(Way::First, &xs, all),
                    3 => sight.go(Way::Last, &xs, all),
                    4 => sight.closer(&xs, all),
                    5 => sight.wider(&xs, all),
                    _ => sight.show_all(),
                }
                let [before, inside, after] = sight.count(&xs, all);
                prop_assert_eq!(before + inside + after, xs.len());
                let (from, to) = sight.span(all);
                let each = xs.iter().filter(|x| (from..=to).contains(*x)).count();
                prop_assert_eq!(each, inside);
                prop_assert!(all.0 <= from && from <= to && to <= all.1, "{from} {to} of {all:?}");
                if let Some(at) = sight.at {
                    prop_assert!((from..=to).contains(&xs[at]), "{} in {from} {to}", xs[at]);
                }
                if !sight.is_part() {
                    prop_assert_eq!([before, after], [0, 0]);
                }
            }
        }
    }

    #[test]
    fn zoom_goes_in_about_the_cursor_and_out_to_all() {
        let xs: Vec<f64> = (0..=100).map(f64::from).collect();
        let all = (0.0, 100.0);
        let mut sight = Sight::default();
        sight.put(40, &xs, all);
        sight.closer(&xs, all);
        assert_eq!(sight.span(all), (15.0, 65.0));
        assert_eq!(sight.count(&xs, all), [15, 51, 35]);
        sight.wider(&xs, all);
        assert!(!sight.is_part());
        assert_eq!(sight.at, Some(40));
        // At the end there is nothing to show beyond it.
        sight.go(Way::Last, &xs, all);
        sight.closer(&xs, all);
        assert_eq!(sight.span(all), (50.0, 100.0));
        // One reading, or all at one time, has nothing to come closer to.
        let mut one = Sight::default();
        one.closer(&[5.0], (5.0, 5.0));
        assert_eq!((one.at, one.is_part()), (Some(0), false));
    }
}
