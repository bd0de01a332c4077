//! Numbers of reports. A number once given is never given again: not after what was issued under it was
//! taken back, nor where only its content is left.

use std::collections::BTreeSet;

use chrono::{DateTime, Datelike, FixedOffset};

use super::kept::Content;
use crate::logbook::book::Book;
use crate::logbook::issued::all_issued;
use crate::text::safe_line;

/// The longest number.
const LONGEST: usize = 24;

/// The numbers that were given.
pub struct Taken(BTreeSet<String>);

impl Taken {
    /// By all records, whatever became of them, and by content that no record names.
    pub fn of(book: &Book) -> Taken {
        let mut named = BTreeSet::new();
        let mut taken = BTreeSet::new();
        for (_, issued) in all_issued(book.written()) {
            named.insert(issued.content.as_str());
            taken.insert(plain(&issued.number));
        }
        let left = book.issued_contents().unwrap_or_default();
        let left = left
            .iter()
            .filter(|digest| !named.contains(digest.as_str()));
        let left = left.filter_map(|digest| Content::named(book, digest).ok());
        taken.extend(left.map(|content| plain(&content.number)));
        Taken(taken)
    }

    /// Whether a number was given.
    pub fn has(&self, number: &str) -> bool {
        self.0.contains(&plain(number))
    }

    /// The next of a year.
    pub fn next(&self, now: DateTime<FixedOffset>) -> String {
        let year = format!("{}-", now.year());
        let counts = self.0.iter().filter_map(|n| n.strip_prefix(&year));
        let highest = counts.filter_map(|n| n.parse::<u32>().ok()).max();
        // A number of somebody's own may be as high as there are any.
        let next = highest.and_then(|n| n.checked_add(1)).unwrap_or(1);
        let mut free = (next..).chain(1..next).map(|n| format!("{year}{n:02}"));
        free.find(|n| !self.has(n)).unwrap_or(year)
    }
}

/// Whether two are one number: in capitals alone none differs.
pub fn same(one: &str, other: &str) -> bool {
    plain(one) == plain(other)
}

fn plain(number: &str) -> String {
    number.trim().to_lowercase()
}

/// What is wrong with a number of somebody's own.
pub fn fault(number: &str) -> Option<String> {
    let known = |c: char| c.is_ascii_alphanumeric() || "-/._".contains(c);
    let ends = |c: Option<char>| c.is_some_and(|c| c.is_ascii_alphanumeric());
    let fits = number.len() <= LONGEST
        && number.chars().all(known)
        && ends(number.chars().next())
        && ends(number.chars().last())
        && !number.contains("--");
    (!fits).then(|| {
        format!(
            "'{}' is no number of a report: at most {LONGEST} letters and digits, with - / . _ between them",
            safe_line(number)
        )
    })
}

/// The letters of a revision: A, B and on to Z, then AA.
pub fn letter(mut count: usize) -> String {
    let mut letters = Vec::new();
    loop {
        letters.push(char::from(b'A' + (count % 26) as u8));
        match (count / 26).checked_sub(1) {
            Some(next) => count = next,
            None => break,
        }
    }
    letters.iter().rev().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn letters_go_on_behind_z() {
        let all: Vec<String> = [0, 1, 25, 26, 27, 701, 702].map(letter).into();
        assert_eq!(all, ["A", "B", "Z", "AA", "AB", "ZZ", "AAA"]);
    }

    #[test]
    fn a_number_holds_no_mark_of_a_page_and_is_one_in_either_case() {
        for number in ["2026-01", "R.7/26", "a"] {
            assert_eq!(fault(number), None, "{number}");
        }
        for number in ["", "-1", "a--b", "a->", "a b", "é", "a\n", &"1".repeat(25)] {
            assert!(fault(number).is_some(), "{number}");
        }
        assert!(same("R7", "r7 "));
    }

    #[test]
    fn the_next_number_is_behind_the_highest_of_its_year() {
        let now = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").unwrap_or_default();
        let next =
            |taken: &[&str]| Taken(taken.iter().map(|t| (*t).to_owned()).collect()).next(now);
        assert_eq!(next(&[]), "2026-01");
        assert_eq!(next(&["2026-01", "2026-07", "2025-40", "x"]), "2026-08");
        assert_eq!(next(&["2026-4294967295"]), "2026-01");
    }
}
