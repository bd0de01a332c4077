//! The user's settings: `config.json`, every field optional.

use std::collections::BTreeMap;
use std::fmt;
use std::io;
use std::path::Path;

use serde::Deserialize;
use serde::de::{Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;

use crate::keys::KeyTable;
use crate::logbook::disk::read_settings;
use crate::logbook::folder::MAX_SMALL;
use crate::report::words::Language;
use crate::text::nearest;

/// Settings as checked; [`Config::default`] is what holds without a file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Config {
    /// Theme to start with, one of the known names.
    pub theme: Option<String>,
    /// Keys, overrides applied.
    pub keys: KeyTable,
    /// Draw with ASCII marks only.
    pub ascii: bool,
    /// Who walks, written into records.
    pub by: Option<String>,
    /// The bell of the terminal sounds once when a round under way becomes late.
    pub late_bell: bool,
    /// The language reports are written in where nothing else is said.
    pub report_language: Language,
}

impl Default for Config {
    fn default() -> Config {
        Config {
            theme: None,
            keys: KeyTable::built_in(),
            ascii: false,
            by: None,
            late_bell: false,
            report_language: Language::English,
        }
    }
}

const FIELDS: [&str; 6] = [
    "theme",
    "keys",
    "ascii",
    "by",
    "late_bell",
    "report_language",
];

/// Reads the settings file; a file that does not exist holds nothing.
///
/// # Errors
/// As [`parse`], or one sentence that the file cannot be read.
pub fn read(path: &Path, themes: &[&str]) -> Result<Config, Vec<String>> {
    let name = path.display().to_string();
    match read_settings(path, MAX_SMALL) {
        Ok(text) => parse(&text, &name, themes),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Config::default()),
        Err(error) => Err(vec![format!("{name} cannot be read: {error}")]),
    }
}

/// Checks the text of a settings file called `file` in messages; `themes` are the known names.
///
/// # Errors
/// One sentence for each thing wrong, with file, line, column and field.
pub fn parse(text: &str, file: &str, themes: &[&str]) -> Result<Config, Vec<String>> {
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let fields: Fields<'_> = serde_json::from_str(text).map_err(|e| {
        vec![format!(
            "{file}, line {}, column {}: {}",
            e.line(),
            e.column(),
            plain(&e)
        )]
    })?;
    let mut config = Config::default();
    let mut errors = Vec::new();
    for (at, (name, raw)) in fields.0.iter().enumerate() {
        let place = Place {
            text,
            file,
            name,
            raw,
        };
        if fields.0[..at].iter().any(|(earlier, _)| earlier == name) {
            errors.push(place.error("is written twice"));
            continue;
        }
        let result = match name.as_str() {
            "theme" => place.value().and_then(|theme: String| {
                known_theme(&theme, themes)
                    .map(|()| config.theme = Some(theme))
                    .map_err(|why| vec![place.error(&why)])
            }),
            "keys" => place
                .value()
                .and_then(|overrides: BTreeMap<String, Vec<String>>| {
                    KeyTable::with_overrides(&overrides)
                        .map(|keys| config.keys = keys)
                        .map_err(|all| all.iter().map(|why| place.error(why)).collect())
                }),
            "ascii" => place.value().map(|ascii| config.ascii = ascii),
            "late_bell" => place.value().map(|bell| config.late_bell = bell),
            "by" => place.value().and_then(|by: String| {
                if by.trim().is_empty() || by.chars().any(char::is_control) {
                    return Err(vec![place.error("must be a name of visible characters")]);
                }
                config.by = Some(by);
                Ok(())
            }),
            "report_language" => place.value().and_then(|language: String| {
                let known: Result<Language, String> = language.escape_default().to_string().parse();
                known
                    .map(|language| config.report_language = language)
                    .map_err(|why| vec![place.error(&why)])
            }),
            unknown => Err(vec![place.error(&unknown_field(unknown))]),
        };
        errors.extend(result.err().unwrap_or_default());
    }
    if errors.is_empty() {
        Ok(config)
    } else {
        Err(errors)
    }
}

fn known_theme(theme: &str, themes: &[&str]) -> Result<(), String> {
    if themes.contains(&theme) {
        return Ok(());
    }
    Err(format!(
        "there is no theme '{}'; the themes are {}",
        theme.escape_default(),
        themes.join(", ")
    ))
}

fn unknown_field(name: &str) -> String {
    match nearest(name, FIELDS) {
        Some(near) => format!("is no setting; did you mean '{near}'?"),
        None => format!("is no setting; the settings are {}", FIELDS.join(", ")),
    }
}

/// A field's name and where its value stands.
struct Place<'a> {
    text: &'a str,
    file: &'a str,
    name: &'a str,
    raw: &'a RawValue,
}

impl Place<'_> {
    fn value<T: for<'de> Deserialize<'de>>(&self) -> Result<T, Vec<String>> {
        serde_json::from_str(self.raw.get()).map_err(|error| {
            // The error counts from the start of the value.
            let before: usize = self
                .raw
                .get()
                .split_inclusive('\n')
                .take(error.line().saturating_sub(1))
                .map(str::len)
                .sum();
            vec![self.error_at(before + error.column().saturating_sub(1), &plain(&error))]
        })
    }

    fn error(&self, why: &str) -> String {
        self.error_at(0, why)
    }

    /// `offset` counts bytes into the value.
    fn error_at(&self, offset: usize, why: &str) -> String {
        let start = self.raw.get().as_ptr().addr() - self.text.as_ptr().addr();
        let end = (start + offset).min(self.text.len());
        let before = &self.text.as_bytes()[..end];
        let line = before.iter().filter(|b| **b == b'\n').count() + 1;
        let line_start = before
            .iter()
            .rposition(|b| *b == b'\n')
            .map_or(0, |n| n + 1);
        let column = String::from_utf8_lossy(&before[line_start..])
            .chars()
            .count()
            + 1;
        format!(
            "{}, line {line}, column {column}, '{}': {why}",
            self.file,
            self.name.escape_default()
        )
    }
}

/// The parser's words without the position, which is told apart.
fn plain(error: &serde_json::Error) -> String {
    let text = error.to_string();
    match text.rfind(" at line ") {
        Some(end) => text[..end].to_string(),
        None => text,
    }
}

/// The fields in the order written, twice-written ones kept.
struct Fields<'a>(Vec<(String, &'a RawValue)>);

impl<'de> Deserialize<'de> for Fields<'de> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Collect;
        impl<'de> Visitor<'de> for Collect {
            type Value = Fields<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object of settings")
            }
            fn visit_map<M: MapAccess<'de>>(self, mut map: M) -> Result<Fields<'de>, M::Error> {
                let mut fields = Vec::new();
                while let Some(field) = map.next_entry()? {
                    fields.push(field);
                }
                Ok(Fields(fields))
            }
        }
        deserializer.deserialize_map(Collect)
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::keys::{Action, Context};

    fn check(text: &str) -> Result<Config, Vec<String>> {
        parse(text, "config.json", &["plain", "night"])
    }

    fn only_error(text: &str) -> String {
        let errors = check(text).expect_err("must be refused");
        assert_eq!(errors.len(), 1, "{errors:?}");
        errors.concat()
    }

    #[test]
    fn every_field_is_optional_and_read() {
        assert_eq!(check("{}"), Ok(Config::default()));
        let text = "\u{feff}{\"theme\": \"night\", \"keys\": {\"note\": [\"N\"]}, \"ascii\": true, \"by\": \"R. Quay\", \"report_language\": \"de\"}";
        let config = check(text).expect("valid");
        assert_eq!(config.theme.as_deref(), Some("night"));
        assert!(config.ascii);
        assert_eq!(config.by.as_deref(), Some("R. Quay"));
        assert_eq!(config.report_language, Language::German);
        let key = "N".parse().expect("a key");
        assert_eq!(config.keys.lookup(Context::Walk, &key), Some(Action::Note));
    }

    #[test]
    fn errors_name_file_line_column_and_field() {
        assert_eq!(
            only_error("{\n  \"themes\": \"night\"\n}"),
            "config.json, line 2, column 13, 'themes': is no setting; did you mean 'theme'?"
        );
        assert_eq!(
            only_error("{\n\"theme\": \"dark\"}"),
            "config.json, line 2, column 10, 'theme': there is no theme 'dark'; the themes are plain, night"
        );
        assert_eq!(
            only_error("{\"keys\": {\n  \"note\": 7}}"),
            "config.json, line 2, column 11, 'keys': invalid type: integer `7`, expected a sequence"
        );
        let text = only_error("{\"ascii\": \"yes\"}");
        assert!(text.starts_with("config.json, line 1, column "), "{text}");
        assert!(
            text.ends_with("'ascii': invalid type: string \"yes\", expected a boolean"),
            "{text}"
        );
        assert_eq!(
            only_error("{\"by\": \"a\\u001b[2J\"}"),
            "config.json, line 1, column 8, 'by': must be a name of visible characters"
        );
        assert!(
            only_error("{\"by\": \"a\",\n \"by\": \"b\"}")
                .contains("line 2, column 8, 'by': is written twice")
        );
        assert!(only_error("{\"by\": \"a\"").starts_with("config.json, line 1, column 10: EOF"));
        assert_eq!(
            only_error("{\"report_language\": \"\\u001bd\"}"),
            "config.json, line 1, column 21, 'report_language': '\\u{1b}d' is no language; expected one of en, de"
        );
        assert!(only_error("[]").contains("expected an object of settings"));
        assert!(only_error("{} {}").contains("trailing characters"));
    }

    #[test]
    fn every_wrong_field_is_told_at_once() {
        let errors = check("{\"colour\": 1, \"keys\": {\"note\": [\"w\"]}}").expect_err("two");
        assert_eq!(errors.len(), 2, "{errors:?}");
        assert!(errors[1].contains("both note and wear"), "{errors:?}");
    }

    #[test]
    fn a_missing_file_is_no_error_and_an_unreadable_one_is() {
        let dir = tempfile::tempdir().expect("a folder");
        assert_eq!(
            read(&dir.path().join("none.json"), &[]),
            Ok(Config::default())
        );
        let errors = read(dir.path(), &[]).expect_err("a folder is no file");
        assert!(errors.concat().contains("cannot be read"));
    }
}
