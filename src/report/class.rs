//! The classes of a recommendation: how long it may wait. A page says them in words, the letter only
//! beside them.

use crate::text::words;

words! {
    /// How long what is recommended may wait.
    Class, "class" {
        /// Before the engine is run or the boat moves.
        BeforeUse = "before-use",
        /// Within the hours or by the day stated.
        ByDate = "by-date",
        /// With other work, at the next lay-up.
        NextLayUp = "next-lay-up",
        /// Look again at hours or a day.
        Watch = "watch",
        /// Nothing need be done.
        Information = "information",
    }
}

impl Class {
    /// Its letter, A to E.
    pub const fn letter(self) -> char {
        match self {
            Class::BeforeUse => 'A',
            Class::ByDate => 'B',
            Class::NextLayUp => 'C',
            Class::Watch => 'D',
            Class::Information => 'E',
        }
    }
}
