//! What a command answers: text for people or JSON for programs, and whether the answer is no.

use std::cell::RefCell;

use serde::Serialize;

use super::failure::{DONE, NO};
use super::page::Page;
use crate::defects::NotCounted;
use crate::text::json_guard;

/// The answer of a command, ready to be printed on the standard output alone.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// Everything to print on the standard output.
    pub text: String,
    /// Exit code: done, or no.
    pub code: u8,
}

/// How answers are to look.
#[derive(Debug, Default)]
pub struct Form {
    /// JSON in place of text.
    pub json: bool,
    /// Columns of the terminal.
    pub width: usize,
    /// What is on record and no answer counts: every answer says it.
    not_counted: RefCell<Vec<NotCounted>>,
}

/// A body under the name of its schema.
#[derive(Serialize)]
struct Envelope<'a, T> {
    schema: String,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    not_counted: &'a [NotCounted],
    #[serde(flatten)]
    body: &'a T,
}

impl Form {
    /// As answers look in text of so many columns, or in JSON.
    pub fn new(json: bool, width: usize) -> Form {
        Form {
            json,
            width,
            not_counted: RefCell::default(),
        }
    }

    /// What every answer from here on says that it does not count.
    pub fn tell(&self, not_counted: Vec<NotCounted>) {
        self.not_counted.replace(not_counted);
    }

    /// The answer from its body: as JSON under `handlamp/<name>/1`, or as `write` puts it on a
    /// page.
    pub fn answer<T: Serialize>(
        &self,
        name: &str,
        body: &T,
        write: impl FnOnce(&mut Page),
    ) -> Answer {
        if !self.json {
            let mut page = Page::new(self.width);
            page.not_counted(&self.not_counted.borrow());
            write(&mut page);
            return Answer::text(page.into_text());
        }
        let envelope = Envelope {
            schema: schema_id(name),
            not_counted: &self.not_counted.borrow(),
            body,
        };
        // Bodies hold no map keyed by other than text, the one thing serde_json refuses.
        let json = serde_json::to_string_pretty(&envelope).unwrap_or_default();
        Answer::text(format!("{}\n", json_guard(&json)))
    }
}

/// The name a body carries in its field `schema`.
pub fn schema_id(name: &str) -> String {
    format!("handlamp/{name}/1")
}

impl Answer {
    /// A text as it stands, with the exit code for done.
    pub fn text(text: impl Into<String>) -> Answer {
        Answer {
            text: text.into(),
            code: DONE,
        }
    }

    /// The same answer; where `yes` is false it is a no.
    pub fn or_no(self, yes: bool) -> Answer {
        Answer {
            code: if yes { self.code } else { NO },
            ..self
        }
    }
}
