//! The nearest known word to a misspelt one.

/// The candidate with the fewest single-character changes from `word`, if those are at most a
/// third of its length (and at least two).
pub(crate) fn nearest<'a>(
    word: &str,
    candidates: impl IntoIterator<Item = &'a str>,
) -> Option<&'a str> {
    let limit = (word.chars().count() / 3).max(2);
    candidates
        .into_iter()
        .map(|candidate| (distance(word, candidate), candidate))
        .filter(|(changes, _)| *changes <= limit)
        .min_by_key(|(changes, _)| *changes)
        .map(|(_, candidate)| candidate)
}

/// Levenshtein distance in characters.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, from) in a.chars().enumerate() {
        let mut diagonal = i;
        row[0] = i + 1;
        for (j, to) in b.iter().enumerate() {
            let change = diagonal + usize::from(from != *to);
            diagonal = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn distances() {
        for (a, b, d) in [
            ("", "", 0),
            ("", "abc", 3),
            ("kitten", "sitting", 3),
            ("note", "noté", 1),
        ] {
            assert_eq!(distance(a, b), d);
            assert_eq!(distance(b, a), d);
        }
    }

    #[test]
    fn near_words_are_offered_and_far_ones_are_not() {
        let known = ["note", "wear", "next-phase", "next-unseen"];
        assert_eq!(nearest("nots", known), Some("note"));
        assert_eq!(nearest("next-fase", known), Some("next-phase"));
        assert_eq!(nearest("completely", known), None);
    }
}
