//! The words of a report in the language of its reader: one table a language, in Fluent's form.
//!
//! What the program says of itself comes from the table. What people wrote stays as they wrote it, and
//! text of the catalogue carries its language where it has none in the reader's.
//!
//! - [`Words`]: what stands in the table; [`Said`]: that with whose words each part is
//! - `habit`: dates, numbers and units as the reader writes them; `spelled`: enums in words;
//!   `composed`: sentences put together elsewhere, by the message that fits them

use std::borrow::Cow;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

use crate::checklist::Translation;
use crate::text::words;

mod composed;
mod habit;
mod said;
mod spelled;

pub use said::Said;

words! {
    /// The language of a report.
    Language, "language" {
        /// English.
        English = "en",
        /// German.
        German = "de",
    }
}

type Table = FluentBundle<FluentResource>;

/// Each language with its table.
static TABLES: LazyLock<Vec<Table>> = LazyLock::new(|| {
    Language::ALL
        .iter()
        .map(|l| table(l.source(), l.as_str()))
        .collect()
});

impl Language {
    const fn source(self) -> &'static str {
        match self {
            Language::English => include_str!("en.ftl"),
            Language::German => include_str!("de.ftl"),
        }
    }

    /// Its words.
    pub const fn words(self) -> Words {
        Words(self)
    }
}

fn table(source: &str, language: &str) -> Table {
    let known: Vec<LanguageIdentifier> = language.parse().into_iter().collect();
    let mut bundle = FluentBundle::new_concurrent(known);
    // A page marks what is of people by itself; a file of Markdown is to hold no marks.
    bundle.set_use_isolating(false);
    // What has faults is kept as far as it has none; a test finds that it has none.
    let resource = FluentResource::try_new(source.to_owned()).unwrap_or_else(|(part, _)| part);
    let _ = bundle.add_resource(resource);
    bundle
}

/// The words of a language.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Words(Language);

/// Stands before and behind the number of what is filled in, while a message is put together; no text
/// that is filled in is there yet.
const HOLDS: char = '\u{2}';

impl Words {
    /// Whose they are.
    pub const fn language(self) -> Language {
        self.0
    }

    fn table(self) -> Option<&'static Table> {
        #[cfg(test)]
        if let Some(other) = pseudo::in_its_place() {
            return Some(other);
        }
        TABLES.get(self.0 as usize)
    }

    /// What stands in the table under a name; the name itself where nothing does, which a test
    /// finds.
    pub fn say(self, name: &str) -> Cow<'static, str> {
        self.with(name, &[])
    }

    /// The same with what is to be filled in.
    pub fn with(self, name: &str, fill: &[(&str, FluentValue<'_>)]) -> Cow<'static, str> {
        let found = self.table().and_then(|table| {
            let pattern = table.get_message(name)?.value()?;
            let args: FluentArgs<'_> = fill.iter().map(|(k, v)| (*k, v.clone())).collect();
            let said = table.format_pattern(pattern, Some(&args), &mut Vec::new());
            Some(said.into_owned())
        });
        Cow::Owned(found.unwrap_or_else(|| name.to_owned()))
    }

    /// The same, where what is filled in keeps whose words it is.
    pub fn told(self, name: &str, fill: &[(&str, Fill)]) -> Said {
        let held = |(n, (_, fill)): (usize, &(&str, Fill))| match fill {
            Fill::Said(_) => FluentValue::from(format!("{HOLDS}{n}{HOLDS}")),
            Fill::Count(count) => FluentValue::from(*count),
        };
        let held = fill.iter().enumerate().map(held);
        let held: Vec<_> = fill.iter().map(|(key, _)| *key).zip(held).collect();
        let text = self.with(name, &held);
        let mut said = Said::default();
        for (n, part) in text.split(HOLDS).enumerate() {
            // Every second one is the number of what is filled in.
            let filled = (n % 2 == 1).then(|| part.parse().ok()).flatten();
            match filled.and_then(|at: usize| fill.get(at)) {
                Some((_, Fill::Said(filled))) => said.push(filled.clone()),
                _ => said.push(part),
            }
        }
        said
    }

    /// What catalogue and program say in English, in the reader's language where they have it; else
    /// marked as English.
    pub fn english(self, text: impl Into<String>) -> Said {
        let text = text.into();
        match self.0 {
            Language::English => text.into(),
            Language::German => match Self::german(&text) {
                Some(german) => german.into(),
                None => self.put_together(text),
            },
        }
    }

    /// A piece of a sentence: a word of the table where it is one, else as [`Words::english`] has it.
    pub fn phrase(self, text: &str) -> Said {
        match self.0 {
            Language::English => text.into(),
            Language::German => composed::part_of(self, text),
        }
    }

    fn put_together(self, text: String) -> Said {
        #[cfg(test)]
        if pseudo::in_its_place().is_some() {
            return Said::foreign(Language::English, text);
        }
        let said = composed::composed(self, &text);
        said.unwrap_or_else(|| Said::foreign(Language::English, text))
    }

    /// What the catalogue has of it in German.
    fn german(text: &str) -> Option<&'static str> {
        // A language of nobody has a table and no catalogue.
        #[cfg(test)]
        if pseudo::in_its_place().is_some() {
            return None;
        }
        Translation::german().of(text)
    }
}

/// What is filled into a message.
pub enum Fill {
    /// Words.
    Said(Said),
    /// How many, by which a message can choose its form.
    Count(usize),
}

impl From<usize> for Fill {
    fn from(count: usize) -> Fill {
        Fill::Count(count)
    }
}

macro_rules! fills {
    ($($words:ty),+) => {
        $(impl From<$words> for Fill {
            fn from(words: $words) -> Fill { Fill::Said(words.into()) }
        })+
    };
}
fills!(Said, &Said, String, &str, Cow<'static, str>);

/// Words by the name of their message, with what is filled in: `say!(w, "found-open", n = 3)`.
macro_rules! say {
    ($words:expr, $name:literal $(, $key:ident = $value:expr)* $(,)?) => {
        $words.with($name, &[$((stringify!($key), fluent_bundle::FluentValue::from($value))),*])
    };
}
pub(crate) use say;

/// The same as [`Said`], which keeps whose words are filled in: `told!(w, "found-by", who = said)`.
macro_rules! told {
    ($words:expr, $name:literal $(, $key:ident = $value:expr)* $(,)?) => {
        $words.told($name, &[$((stringify!($key), $crate::report::words::Fill::from($value))),*])
    };
}
pub(crate) use told;

#[cfg(test)]
#[allow(clippy::expect_used)]
pub(crate) mod pseudo;
#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
