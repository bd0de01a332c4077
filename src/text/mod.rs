//! Text: words with one spelling, and untrusted text made safe for each place it is shown.

mod words;

pub(crate) use words::words;
