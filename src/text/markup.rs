//! Untrusted text for pages: HTML and Markdown.

use std::fmt::{Result, Write};

use askama::filters::Escaper;

use super::safe::{safe_line, safe_text};

/// What every value in a template of a page goes through, as text or in an attribute: what acts or
/// hides shows as a visible mark, the five characters with a meaning in HTML are written as
/// references, and line breaks become `<br>`.
#[derive(Clone, Copy, Debug)]
pub struct Page;

/// The same in a drawing: one line, since a line break in HTML would end the drawing.
#[derive(Clone, Copy, Debug)]
pub struct Drawing;

impl Escaper for Page {
    fn write_escaped_str<W: Write>(&self, mut dest: W, text: &str) -> Result {
        dest.write_str(&html_text(text))
    }
}

impl Escaper for Drawing {
    fn write_escaped_str<W: Write>(&self, mut dest: W, text: &str) -> Result {
        dest.write_str(&html_text(&safe_line(text)))
    }
}

fn html_text(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    for c in safe_text(text).trim_end_matches('\n').chars() {
        match (entity(c), c) {
            (Some(entity), _) => out.push_str(entity),
            (None, '\n') => out.push_str("<br>"),
            (None, c) => out.push(c),
        }
    }
    out
}

/// What stands in HTML and XML for a sign they reserve.
pub fn entity(sign: char) -> Option<&'static str> {
    Some(match sign {
        '&' => "&amp;",
        '<' => "&lt;",
        '>' => "&gt;",
        '"' => "&quot;",
        '\'' => "&#39;",
        _ => return None,
    })
}

/// Text as one line of Markdown text: every sign that could begin a heading, list, link, image,
/// table cell, fence, emphasis, footnote or tag is escaped, and runs of space are one space.
pub fn markdown_text(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 16);
    for word in safe_line(text).split_whitespace() {
        if !out.is_empty() {
            out.push(' ');
        }
        for c in word.chars() {
            if c.is_ascii_punctuation() && !matches!(c, ',' | ';' | '/' | '%' | '?') {
                out.push('\\');
            }
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn html_holds_nothing_that_is_markup() {
        let hostile = "<script>alert(1)</script>\" onmouseover='x' &amp;\u{202e}\u{1b}[2J\nb";
        assert_eq!(
            html_text(hostile),
            "&lt;script&gt;alert(1)&lt;/script&gt;&quot; onmouseover=&#39;x&#39; &amp;amp;⟪202E⟫⟪ESC⟫[2J<br>b"
        );
    }

    #[test]
    fn markdown_escapes_every_sign_with_a_meaning() {
        assert_eq!(markdown_text("# a"), "\\# a");
        assert_eq!(
            markdown_text("[x](javascript:1)\n```\n| a |"),
            "\\[x\\]\\(javascript\\:1\\) \\`\\`\\` \\| a \\|"
        );
        assert_eq!(markdown_text("  3.5 bar, 40 %"), "3\\.5 bar, 40 %");
    }
}
