//! The signs drawn. Each takes one column, is no emoji, and has a twin in ASCII.

use crate::assess::words::Risk;
use crate::checklist::words::Grade;

/// Which set of signs the terminal can show.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Glyphs {
    /// Box drawing, blocks and triangles.
    #[default]
    Unicode,
    /// ASCII only.
    Ascii,
}

impl Glyphs {
    /// The set for a locale, from the values of `LC_ALL`, `LC_CTYPE` and `LANG`: the first that is
    /// set and not empty decides, and needs a UTF-8 character set. Where none is set, a Unix
    /// system is in the plain C locale; Windows has no such variables and shows Unicode.
    pub fn choose(locale: [Option<&str>; 3], windows: bool) -> Glyphs {
        let decides = locale.into_iter().flatten().find(|value| !value.is_empty());
        let utf8 = match decides {
            Some(value) => {
                let value = value.to_ascii_lowercase();
                value.contains("utf-8") || value.contains("utf8")
            }
            None => windows,
        };
        if utf8 { Glyphs::Unicode } else { Glyphs::Ascii }
    }

    /// One of two twins.
    pub(crate) const fn pick(self, unicode: &'static str, ascii: &'static str) -> &'static str {
        match self {
            Glyphs::Unicode => unicode,
            Glyphs::Ascii => ascii,
        }
    }

    /// The mark of a grade: a rung at its height, sound at the top, failed on the floor. It goes
    /// beside the digit and does not replace it.
    pub const fn grade_mark(self, grade: Grade) -> &'static str {
        match grade {
            Grade::Sound => self.pick("▔", "^"),
            Grade::Early => self.pick("▀", "'"),
            Grade::Worn => self.pick("━", "-"),
            Grade::Failing => self.pick("▄", ","),
            Grade::Failed => self.pick("▁", "_"),
        }
    }

    /// The mark of a risk: the sharper and fuller, the higher. None of them fills its cell, so they
    /// can be read reversed too.
    pub const fn risk_mark(self, risk: Risk) -> &'static str {
        match risk {
            Risk::High => self.pick("▲", "#"),
            Risk::Serious => self.pick("◆", "*"),
            Risk::Medium => self.pick("■", "+"),
            Risk::Low => self.pick("□", "-"),
            Risk::Eliminated => self.pick("○", "o"),
        }
    }

    /// The mark of an item not looked at.
    pub const fn unseen(self) -> &'static str {
        self.pick("·", ".")
    }

    /// On a drawing, a place that nobody has seen.
    pub const fn hatched(self) -> &'static str {
        self.pick("░", "%")
    }

    /// Between how it stands and how many do.
    pub const fn times(self) -> &'static str {
        self.pick("×", "x")
    }

    /// Stands before the selected row of a list.
    pub const fn pointer(self) -> &'static str {
        self.pick("▸", ">")
    }

    /// Stands before what is asked together with what is selected.
    pub const fn beside(self) -> &'static str {
        self.pick("▹", "=")
    }

    /// Stands behind the rung of the last look.
    pub const fn last(self) -> &'static str {
        self.pick("◂", "<")
    }

    /// Stands behind a rung that a reading or a leak class proposes.
    pub const fn proposed(self) -> &'static str {
        self.pick("◃", "?")
    }

    /// Stands for a repair: a step back up.
    pub const fn repair(self) -> &'static str {
        self.pick("╱", "/")
    }

    /// How sure it is that a rung is met: 1 it may be, 2 it is likelier than not, 3 it is all but
    /// sure; 0 and anything else is blank.
    pub const fn sure(self, how: usize) -> &'static str {
        match how {
            1 => self.pick("░", "~"),
            2 => self.pick("▒", "="),
            3 => self.pick("▓", "#"),
            _ => " ",
        }
    }

    /// Stands before a caution.
    pub const fn caution(self) -> &'static str {
        "!"
    }

    /// A bar `columns` wide, filled by `done` parts of `total`. It is full only when all is done
    /// and not empty once something is, if there is room to tell.
    pub fn bar(self, done: usize, total: usize, columns: usize) -> String {
        let full = match (done, total) {
            (_, 0) | (0, _) => 0,
            _ if done >= total => columns,
            _ => (done * columns / total)
                .clamp(1, columns.saturating_sub(1).max(1))
                .min(columns),
        };
        self.pick("▬", "=").repeat(full) + &self.pick("▭", "-").repeat(columns - full)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::text::width;

    #[test]
    fn the_first_locale_that_is_set_decides() {
        for (locale, expected) in [
            ([Some("de_DE.UTF-8"), None, None], Glyphs::Unicode),
            ([Some(""), None, Some("en_GB.utf8")], Glyphs::Unicode),
            ([Some("C"), None, Some("en_GB.UTF-8")], Glyphs::Ascii),
            ([None, Some("C.UTF-8"), Some("C")], Glyphs::Unicode),
            ([None, None, Some("en_GB.ISO-8859-1")], Glyphs::Ascii),
            ([None, None, None], Glyphs::Ascii),
        ] {
            assert_eq!(Glyphs::choose(locale, false), expected, "{locale:?}");
        }
        assert_eq!(Glyphs::choose([None; 3], true), Glyphs::Unicode);
    }

    #[test]
    fn marks_differ_and_take_one_column() {
        for glyphs in [Glyphs::Unicode, Glyphs::Ascii] {
            let grades: Vec<_> = Grade::ALL.iter().map(|g| glyphs.grade_mark(*g)).collect();
            let risks: Vec<_> = Risk::ALL.iter().map(|r| glyphs.risk_mark(*r)).collect();
            let other = [
                glyphs.unseen(),
                glyphs.hatched(),
                glyphs.beside(),
                glyphs.pointer(),
                glyphs.last(),
                glyphs.proposed(),
                glyphs.repair(),
                glyphs.caution(),
            ];
            for set in [&grades[..], &risks[..], &other[..]] {
                assert_eq!(set.iter().collect::<BTreeSet<_>>().len(), set.len());
                for mark in set {
                    assert_eq!(width(mark), 1, "{mark}");
                    assert!(glyphs == Glyphs::Unicode || mark.is_ascii());
                }
            }
        }
    }

    #[test]
    fn a_bar_tells_the_ends_from_the_middle() {
        let bar = |done, total, columns| Glyphs::Ascii.bar(done, total, columns);
        assert_eq!(bar(0, 9, 4), "----");
        assert_eq!(bar(1, 900, 4), "=---");
        assert_eq!(bar(899, 900, 4), "===-");
        assert_eq!(bar(9, 9, 4), "====");
        assert_eq!(bar(1, 2, 1), "=");
        assert_eq!(bar(1, 2, 0), "");
        assert_eq!(bar(0, 0, 3), "---");
    }
}
