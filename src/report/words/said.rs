//! Words on their way to a page: what is said, and whose words each part is.
//!
//! What the table says is in the reader's language. What the program has in another one says in which,
//! so that a page can mark it. What people wrote has no known language and stands apart by itself.

use std::fmt;
use std::ops::Deref;

use askama::filters::{Escaper, Safe};
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde::{Serialize, Serializer};

use super::Language;
use crate::text::{Drawing, ELLIPSIS, Page, capital, fit};

/// Whose words a part is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Whose {
    /// Of the table, in the language of the report.
    Reader,
    /// Of people, in whatever language they wrote.
    People,
    /// Of the program, in a language that is not the reader's.
    In(Language),
}

/// Something said. It reads as its text; [`Said::html`] and [`Said::svg`] mark what is not in the
/// reader's language.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    text: String,
    /// Where each part ends, and whose it is.
    parts: Vec<(usize, Whose)>,
}

impl Said {
    fn part(text: impl Into<String>, whose: Whose) -> Said {
        let text = text.into();
        Said {
            parts: vec![(text.len(), whose)],
            text,
        }
    }

    /// What somebody wrote.
    pub fn people(text: impl Into<String>) -> Said {
        Said::part(text, Whose::People)
    }

    /// In a language that is not the reader's.
    pub(super) fn foreign(language: Language, text: impl Into<String>) -> Said {
        Said::part(text, Whose::In(language))
    }

    /// Puts something behind it.
    pub fn push(&mut self, more: impl Into<Said>) {
        let (before, more) = (self.text.len(), more.into());
        self.text.push_str(&more.text);
        let parts = more.parts.into_iter();
        self.parts
            .extend(parts.map(|(end, whose)| (before + end, whose)));
    }

    /// All of them, with signs in between.
    pub fn join(all: impl IntoIterator<Item = Said>, between: &str) -> Said {
        let mut said = Said::default();
        for (n, one) in all.into_iter().enumerate() {
            if n > 0 {
                said.push(between);
            }
            said.push(one);
        }
        said
    }

    /// With a capital first.
    pub fn capital(self) -> Said {
        let text = capital(&self.text);
        let (longer, before) = (text.len(), self.text.len());
        let parts = self.parts.into_iter();
        Said {
            parts: parts
                .map(|(end, whose)| (end + longer - before, whose))
                .collect(),
            text,
        }
    }

    /// A clause as a sentence: a capital first, a full stop last.
    pub fn sentence(self) -> Said {
        let mut said = self.capital();
        said.push(".");
        said
    }

    /// Cut to so many columns.
    pub fn fit(&self, columns: usize) -> Said {
        let text = fit(&self.text, columns);
        if text == self.text {
            return self.clone();
        }
        let (mut parts, kept) = (Vec::new(), text.trim_end_matches(ELLIPSIS).len());
        for (end, whose) in &self.parts {
            if *end >= kept {
                parts.push((text.len(), *whose));
                break;
            }
            parts.push((*end, *whose));
        }
        Said { text, parts }
    }

    /// The parts, each with whose it is.
    fn parts(&self) -> impl Iterator<Item = (&str, Whose)> {
        let mut from = 0;
        self.parts.iter().map(move |(end, whose)| {
            let text = self.text.get(from..*end).unwrap_or_default();
            from = *end;
            (text, *whose)
        })
    }

    /// As markup of a page: a part in another language in a `span` with its `lang`, words of people in
    /// a `bdi`. All text is escaped.
    pub fn html(&self) -> Safe<Marked<'_>> {
        Safe(Marked(self, false))
    }

    /// The same within a `text` of a drawing.
    pub fn svg(&self) -> Safe<Marked<'_>> {
        Safe(Marked(self, true))
    }
}

/// Something said, as markup.
pub struct Marked<'a>(&'a Said, bool);

impl fmt::Display for Marked<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Marked(said, drawn) = self;
        for (text, whose) in said.parts() {
            let tag = match (whose, drawn) {
                (Whose::In(language), true) => {
                    write!(f, "<tspan lang=\"{language}\">")?;
                    "</tspan>"
                }
                (Whose::In(language), false) => {
                    write!(f, "<span lang=\"{language}\">")?;
                    "</span>"
                }
                (Whose::People, false) => {
                    f.write_str("<bdi>")?;
                    "</bdi>"
                }
                _ => "",
            };
            match drawn {
                true => Drawing.write_escaped_str(&mut *f, text)?,
                false => Page.write_escaped_str(&mut *f, text)?,
            }
            f.write_str(tag)?;
        }
        Ok(())
    }
}

impl fmt::Display for Said {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.text)
    }
}

impl Deref for Said {
    type Target = str;
    fn deref(&self) -> &str {
        &self.text
    }
}

/// What the table says, or signs and figures.
macro_rules! of_the_table {
    ($($text:ty),+) => {
        $(impl From<$text> for Said {
            fn from(text: $text) -> Said { Said::part(text, Whose::Reader) }
        })+
    };
}
of_the_table!(String, &str, std::borrow::Cow<'static, str>);

impl From<&Said> for Said {
    fn from(said: &Said) -> Said {
        said.clone()
    }
}

impl Serialize for Said {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.serialize_str(&self.text)
    }
}

impl JsonSchema for Said {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        String::schema_name()
    }
    fn json_schema(of: &mut SchemaGenerator) -> Schema {
        String::json_schema(of)
    }
}
