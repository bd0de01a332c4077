//! Files that are part of the program.

use serde::de::DeserializeOwned;

/// Reads a file that was compiled in. It is part of the program: a fault in it is a fault of the
/// build, and the tests read every one.
pub(super) fn compiled_in<T: DeserializeOwned>(text: &str) -> T {
    #[expect(
        clippy::expect_used,
        reason = "the text is part of the program; tests read all of it"
    )]
    serde_json::from_str(text).expect("a file compiled into the program is whole")
}
