//! Plain words for what serde says of a file, and names that are nearly right.

use serde_json::Error;

/// Characters of a quoted text shown in a complaint.
const LONGEST_QUOTE: usize = 60;

/// True for what must not reach a terminal or hide in a text: control characters and those
/// that turn the direction of writing.
pub(crate) fn is_hidden_control(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// A text from a file fit to be quoted: hidden characters spelt out, cut where it is long.
pub(crate) fn visible(text: &str) -> String {
    let mut shown = String::new();
    for (n, c) in text.chars().enumerate() {
        if n == LONGEST_QUOTE {
            shown.push('…');
            break;
        }
        if is_hidden_control(c) {
            shown.extend(c.escape_unicode());
        } else {
            shown.push(c);
        }
    }
    shown
}

/// What serde says, without its jargon. The place is told elsewhere.
pub(crate) fn plain(error: &Error) -> String {
    let full = error.to_string();
    let said = full
        .rsplit_once(" at line ")
        .map_or(full.as_str(), |(said, _)| said);
    let quoted = said.split('`').nth(1).unwrap_or_default();
    let known = || {
        said.split_once(", expected ")
            .map_or("", |(_, known)| known)
    };
    let names = || known().split('`').skip(1).step_by(2);
    let starts = |with: &str| said.starts_with(with);
    if starts("missing field") {
        format!("the field '{}' is missing", visible(quoted))
    } else if starts("duplicate field") {
        format!("the field '{}' stands here twice", visible(quoted))
    } else if starts("unknown field") {
        let near = nearest(quoted, names()).unwrap_or_default();
        format!("'{}' is no field known here{near}", visible(quoted))
    } else if starts("unknown variant") {
        let near = nearest(quoted, names()).unwrap_or_default();
        let all: Vec<_> = names().collect();
        format!(
            "'{}' is no word known here{near}; known are {}",
            visible(quoted),
            all.join(", ")
        )
    } else if let Some(found) = said.strip_prefix("invalid type: ") {
        let found = found
            .split_once(", expected ")
            .map_or(found, |(found, _)| found);
        format!("{} stands where {} belongs", kind(found), kind(known()))
    } else if let Some(found) = said.strip_prefix("invalid length ") {
        let found = found.split_once(',').map_or(found, |(found, _)| found);
        let wanted = known().rsplit_once(' ').map_or("more", |(_, n)| n);
        format!("{found} values stand where {wanted} belong")
    } else if let Some(found) = said.strip_prefix("invalid value: ") {
        let found = found
            .split_once(", expected ")
            .map_or(found, |(found, _)| found);
        format!(
            "{} does not fit; {} belongs here",
            visible(found),
            kind(known())
        )
    } else if error.is_eof() {
        "the file ends too early: a bracket, brace or quote is not closed".into()
    } else if starts("trailing characters") {
        "more stands here than belongs".into()
    } else if starts("trailing comma") || starts("key must be a string") {
        "a field name in quotes belongs here; the comma before may be one too many".into()
    } else if starts("expected value") {
        "a value belongs here; the comma before may be one too many".into()
    } else if starts("expected ident") {
        "true, false or null belongs here".into()
    } else if starts("control character") {
        "a line break or another control character stands inside a text".into()
    } else if starts("recursion limit") {
        "too many brackets inside one another".into()
    } else {
        visible(said)
    }
}

/// serde's name for a sort of value, in plain words.
fn kind(said: &str) -> String {
    let sorts = [
        ("string", "a text"),
        ("a string", "a text"),
        ("integer", "a number"),
        ("floating point", "a number"),
        ("u32", "a whole number"),
        ("f64", "a number"),
        ("boolean", "true or false"),
        ("a boolean", "true or false"),
        ("sequence", "a list"),
        ("a sequence", "a list"),
        ("an array", "a list"),
        ("map", "an object in braces"),
        ("struct", "an object in braces"),
        ("null", "null"),
        ("enum", "one of the known words"),
    ];
    let sort = sorts.iter().find(|(serde, _)| said.starts_with(serde));
    sort.map_or_else(|| visible(said), |(_, plain)| (*plain).to_owned())
}

/// "; nearest is 'x'" for the known name a mistyped one most resembles, if any does.
pub(crate) fn nearest<'k>(typed: &str, known: impl IntoIterator<Item = &'k str>) -> Option<String> {
    crate::text::nearest(typed, known).map(|name| format!("; nearest is '{name}'"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_likely_name_is_proposed() {
        let known = ["drive-belt", "bilge-water"];
        assert_eq!(
            nearest("drive-blet", known).as_deref(),
            Some("; nearest is 'drive-belt'")
        );
        assert_eq!(nearest("sausages", known), None);
        assert_eq!(nearest("x", ["a", "y"]), None);
        assert_eq!(nearest("x", []), None);
    }

    #[test]
    fn hidden_characters_are_spelt_out_and_long_texts_cut() {
        assert_eq!(visible("a\u{1b}[2J\u{202e}b"), "a\\u{1b}[2J\\u{202e}b");
        assert_eq!(visible(&"x".repeat(100)).chars().count(), LONGEST_QUOTE + 1);
    }
}
