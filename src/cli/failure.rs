//! Why a command could not do its work, and with which exit code the program ends.

use std::fmt::Display;

use crate::checklist::Complaint;
use crate::defects::admit::Fault;
use crate::logbook::LogbookError;
use crate::logbook::book::{NotKept, OpenError};
use crate::logbook::give_on::NotGiven;
use crate::logbook::import::Refused;

/// The command did its work.
pub const DONE: u8 = 0;
/// The command did its work and the answer is no.
pub const NO: u8 = 1;
/// Bad input or usage.
pub const USAGE: u8 = 2;
/// The logbook cannot be read or written.
pub const LOGBOOK: u8 = 3;

/// At most so many sentences are printed; what is wrong a hundred times is wrong in one way.
pub const MOST_SENTENCES: usize = 40;

/// A failure: its exit code and what is wrong, one sentence each without a full stop. The
/// sentences quote what came from outside: they are filtered where they are printed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// The exit code: [`NO`], [`USAGE`] or [`LOGBOOK`].
    pub code: u8,
    /// What is wrong, one sentence each.
    pub sentences: Vec<String>,
}

impl Failure {
    /// Bad input or usage.
    pub fn usage(sentence: impl Display) -> Failure {
        Failure {
            code: USAGE,
            sentences: vec![sentence.to_string()],
        }
    }

    /// The logbook, or another file of the user's, cannot be read or written.
    pub fn logbook(sentence: impl Display) -> Failure {
        Failure {
            code: LOGBOOK,
            sentences: vec![sentence.to_string()],
        }
    }

    /// What is wrong with the fields of an act, under the names of the options that set them.
    pub fn of_act(faults: Vec<Fault>, options: &[(&str, &str)]) -> Failure {
        let name = |field: &str| {
            let option = options.iter().find(|(known, _)| *known == field);
            option.map_or_else(|| field.to_owned(), |(_, option)| (*option).to_owned())
        };
        Failure {
            code: USAGE,
            sentences: faults
                .into_iter()
                .map(|(field, message)| format!("{}: {message}", name(&field)))
                .collect(),
        }
    }
}

impl From<Vec<Complaint>> for Failure {
    fn from(complaints: Vec<Complaint>) -> Failure {
        Failure {
            code: USAGE,
            sentences: complaints.iter().map(Complaint::to_string).collect(),
        }
    }
}

impl From<NotKept> for Failure {
    fn from(error: NotKept) -> Failure {
        match error {
            NotKept::Picture(why) => Failure::usage(why),
            NotKept::Log(error) => error.into(),
        }
    }
}

impl From<LogbookError> for Failure {
    fn from(error: LogbookError) -> Failure {
        let code = match &error {
            LogbookError::BadRecord { .. }
            | LogbookError::TooLong { .. }
            | LogbookError::BatchTooLarge { .. }
            | LogbookError::SameFolder { .. }
            | LogbookError::OtherBoat { .. } => USAGE,
            _ => LOGBOOK,
        };
        Failure {
            code,
            sentences: vec![error.to_string()],
        }
    }
}

impl From<OpenError> for Failure {
    fn from(error: OpenError) -> Failure {
        match error {
            OpenError::Log(error) => error.into(),
            other => Failure::logbook(other),
        }
    }
}

impl From<NotGiven> for Failure {
    fn from(refused: NotGiven) -> Failure {
        match refused {
            NotGiven::Log(error) => error.into(),
            NotGiven::Open(error) => error.into(),
            NotGiven::Unsaved(_) | NotGiven::NotCounted(_) => Failure::logbook(refused),
            NotGiven::Taken(_) | NotGiven::Record { .. } | NotGiven::SaysLess(_) => {
                Failure::usage(refused)
            }
        }
    }
}

impl From<Refused> for Failure {
    fn from(refused: Refused) -> Failure {
        match refused {
            Refused::Faults(complaints) => complaints.into(),
            Refused::Log(error) => error.into(),
        }
    }
}
