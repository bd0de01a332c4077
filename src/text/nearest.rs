//! The known name that a mistyped one most resembles.

/// Names longer than this are compared by their beginning.
const LONGEST: usize = 64;

/// The known name with the fewest changes from the typed one, if those are at most a third of its
/// letters (and at least two are allowed).
pub fn nearest<'k>(typed: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let typed: Vec<char> = typed.chars().take(LONGEST).collect();
    let allowed = (typed.len() / 3).max(2);
    let best = known
        .into_iter()
        .map(|k| (distance(&typed, k), k))
        .min_by_key(|(d, _)| *d)?;
    (best.0 <= allowed && best.0 < typed.len()).then_some(best.1)
}

/// Letters to add, drop, change, or swap with a neighbour to turn one name into the other
/// (optimal string alignment).
fn distance(from: &[char], to: &str) -> usize {
    let to: Vec<char> = to.chars().collect();
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=to.len()).collect();
    for i in 1..=from.len() {
        let mut row = vec![i];
        for j in 1..=to.len() {
            let change = last[j - 1] + usize::from(from[i - 1] != to[j - 1]);
            let mut cost = change.min(last[j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && from[i - 1] == to[j - 2] && from[i - 2] == to[j - 1] {
                cost = cost.min(before_last[j - 2] + 1);
            }
            row.push(cost);
        }
        before_last = std::mem::replace(&mut last, row);
    }
    last[to.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_nearest_name_is_found_and_a_far_one_is_not() {
        let known = ["note", "next-phase", "not-seen"];
        assert_eq!(nearest("nots", known), Some("note"));
        assert_eq!(nearest("next-fase", known), Some("next-phase"));
        assert_eq!(
            nearest("not-sene", known),
            Some("not-seen"),
            "a swap is one change"
        );
        assert_eq!(nearest("completely", known), None);
        assert_eq!(nearest("", known), None);
    }

    #[test]
    fn distances_count_single_slips() {
        for (from, to, expected) in [
            ("", "abc", 3),
            ("abc", "", 3),
            ("seal", "seal", 0),
            ("sael", "seal", 1),
            ("sea", "seal", 1),
            ("kitten", "sitting", 3),
            ("ca", "abc", 3),
        ] {
            let typed: Vec<char> = from.chars().collect();
            assert_eq!(distance(&typed, to), expected, "{from} to {to}");
        }
    }
}
