//! A language of nobody: the English table with every letter of a message replaced by a wide one, and
//! what is filled in left as it is. What a report written by it has in plain letters does not come from
//! the table.

use std::cell::Cell;
use std::sync::LazyLock;

use super::{Language, Table, table};

thread_local! {
    static IN_PLACE: Cell<bool> = const { Cell::new(false) };
}

static PSEUDO: LazyLock<Table> =
    LazyLock::new(|| table(&widened(Language::English.source()), "de"));

/// The table that stands in the place of every other, in a test that asks for it.
pub(super) fn in_its_place() -> Option<&'static Table> {
    IN_PLACE.get().then(|| &*PSEUDO)
}

/// Does some work with that table in the place of every other.
pub(crate) fn instead<T>(work: impl FnOnce() -> T) -> T {
    IN_PLACE.set(true);
    let done = work();
    IN_PLACE.set(false);
    done
}

/// A letter of ASCII as the wide one of the same name (U+FF21 and on).
pub(crate) fn wide(letter: char) -> char {
    let by = u32::from('Ａ') - u32::from('A');
    let other = char::from_u32(u32::from(letter) + by);
    other
        .filter(|_| letter.is_ascii_alphabetic())
        .unwrap_or(letter)
}

/// A table with the text of its messages in wide letters.
fn widened(source: &str) -> String {
    source.lines().map(widened_line).collect()
}

fn widened_line(line: &str) -> String {
    let begins = |at: Option<usize>| at.map(|at| at + 1);
    let text = match line.trim_start().chars().next() {
        None | Some('#') => return format!("{line}\n"),
        Some('[' | '*') => begins(line.find(']')),
        Some('}') => begins(line.find('}')),
        _ => begins(line.find('=')),
    };
    let (name, text) = line.split_at(text.unwrap_or(0));
    let mut deep = 0;
    let letters = text.chars().map(|letter| {
        deep += match letter {
            '{' => 1,
            '}' => -1,
            _ => 0,
        };
        if deep == 0 { wide(letter) } else { letter }
    });
    let letters: String = letters.collect();
    format!("{name}{letters}\n")
}

#[test]
fn what_is_filled_in_keeps_its_name() {
    assert_eq!(
        widened("a-b = At { $n ->\n    [one] { $n } look\n   *[other] { $n } looks\n} a\n# A\n"),
        "a-b = Ａｔ { $n ->\n    [one] { $n } ｌｏｏｋ\n   *[other] { $n } ｌｏｏｋｓ\n} ａ\n# A\n"
    );
}
