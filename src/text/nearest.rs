//! The known name that a mistyped one most resembles.

use strsim::osa_distance;

/// Names longer than this are compared by their beginning.
const LONGEST: usize = 64;

/// The known name with the fewest letters to add, drop, change, or swap with a neighbour, if those
/// are at most a third of the typed one's letters (and at least two are allowed).
pub fn nearest<'k>(typed: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let typed: String = typed.chars().take(LONGEST).collect();
    let letters = typed.chars().count();
    let (changes, best) = known
        .into_iter()
        .map(|k| (osa_distance(&typed, k), k))
        .min_by_key(|(changes, _)| *changes)?;
    (changes <= (letters / 3).max(2) && changes < letters).then_some(best)
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
        assert_eq!(
            nearest("ça", ["abc", "ça va"]),
            None,
            "letters, and not bytes, are counted"
        );
    }
}
