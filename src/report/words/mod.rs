//! The words of a report in the language of its reader: one table a language, in Fluent's form.
//!
//! What the program says of itself comes from the table. What people wrote stays as they wrote it, and
//! text of the catalogue carries its language where it has none in the reader's.

use std::borrow::Cow;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource, FluentValue};
use unic_langid::LanguageIdentifier;

use crate::text::words;

words! {
    /// The language of a report.
    Language, "language" {
        /// English.
        English = "en",
        /// German.
        German = "de",
    }
}

/// Each language with its table.
static TABLES: LazyLock<Vec<FluentBundle<FluentResource>>> = LazyLock::new(|| {
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

fn table(source: &str, language: &str) -> FluentBundle<FluentResource> {
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

impl Words {
    /// Whose they are.
    pub const fn language(self) -> Language {
        self.0
    }

    /// What stands in the table under a name; the name itself where nothing does, which a test
    /// finds.
    pub fn say(self, name: &str) -> Cow<'static, str> {
        self.with(name, &[])
    }

    /// The same with what is to be filled in.
    pub fn with(self, name: &str, fill: &[(&str, FluentValue<'_>)]) -> Cow<'static, str> {
        let found = TABLES.get(self.0 as usize).and_then(|table| {
            let pattern = table.get_message(name)?.value()?;
            let args: FluentArgs<'_> = fill.iter().map(|(k, v)| (*k, v.clone())).collect();
            let said = table.format_pattern(pattern, Some(&args), &mut Vec::new());
            Some(said.into_owned())
        });
        Cow::Owned(found.unwrap_or_else(|| name.to_owned()))
    }
}

/// Words by the name of their message, with what is filled in: `say!(w, "found-open", n = 3)`.
macro_rules! say {
    ($words:expr, $name:literal $(, $key:ident = $value:expr)* $(,)?) => {
        $words.with($name, &[$((stringify!($key), fluent_bundle::FluentValue::from($value))),*])
    };
}
pub(crate) use say;

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests;
