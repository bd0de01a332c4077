//! The safeties of the record and of the terminal, each by name, so that a test build can leave one
//! out and prove that a test notices.
//!
//! In every other build all of them stand, and the questions below compile to nothing. The feature
//! `sabotage` takes out the one that `HANDLAMP_WITHOUT` names; `.ci/sabotage` goes through them all.

/// What can be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Safety {
    /// `sync`: content goes to stable storage.
    Sync,
    /// `folder-sync`: so do the names in folders.
    FolderSync,
    /// `acknowledge-last`: a record counts as saved only after the sync; without it the sync comes
    /// with the next write.
    AcknowledgeLast,
    /// `fresh-file`: after a failed sync the file is given up, and not synced again.
    FreshFile,
    /// `checksum`: a line that does not match its checksum is not taken at its word.
    Checksum,
    /// `read-only`: reading changes nothing, not even the torn end of a file. The product has no
    /// code to write there, so there is nothing to ask outside a test build.
    #[cfg(feature = "sabotage")]
    ReadOnly,
    /// `place`: a record counts at its place in the log, whatever its clock shows.
    Place,
    /// `doubts`: what no answer counts is named in every answer.
    Doubts,
    /// `refresh`: an open program takes in what others wrote.
    Refresh,
    /// `texts`: what was seen is judged by the text it was asked with.
    Texts,
    /// `filter`: what a terminal would obey, or what hides, is shown as a mark.
    Filter,
}

/// Whether this safety is in place.
#[cfg(not(feature = "sabotage"))]
pub(crate) const fn stands(_: Safety) -> bool {
    true
}

#[cfg(feature = "sabotage")]
pub(crate) use sabotage::{cut_torn_end, stands};

#[cfg(feature = "sabotage")]
mod sabotage {
    use super::Safety;
    use std::fs::OpenOptions;
    use std::path::Path;
    use std::sync::OnceLock;

    #[cfg(not(debug_assertions))]
    compile_error!("the feature sabotage takes safeties out; it is for tests and never released");

    pub(crate) fn stands(safety: Safety) -> bool {
        static WITHOUT: OnceLock<Option<Safety>> = OnceLock::new();
        *WITHOUT.get_or_init(named) != Some(safety)
    }

    fn named() -> Option<Safety> {
        Some(match std::env::var("HANDLAMP_WITHOUT").ok()?.as_str() {
            "sync" => Safety::Sync,
            "folder-sync" => Safety::FolderSync,
            "acknowledge-last" => Safety::AcknowledgeLast,
            "fresh-file" => Safety::FreshFile,
            "checksum" => Safety::Checksum,
            "read-only" => Safety::ReadOnly,
            "place" => Safety::Place,
            "doubts" => Safety::Doubts,
            "refresh" => Safety::Refresh,
            "texts" => Safety::Texts,
            "filter" => Safety::Filter,
            _ => return None,
        })
    }

    /// What a reader that repairs would do: cut off a last line without its newline.
    pub(crate) fn cut_torn_end(path: &Path, bytes: &[u8]) {
        let whole = bytes
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |at| at + 1);
        if !stands(Safety::ReadOnly)
            && whole < bytes.len()
            && let Ok(file) = OpenOptions::new().write(true).open(path)
        {
            let _ = file.set_len(whole as u64);
        }
    }
}
