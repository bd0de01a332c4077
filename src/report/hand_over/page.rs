//! The hand-over page as one HTML file for A4 and Letter: no script, nothing from elsewhere, black on
//! white. The page is `pages/hand-over.html`.

use askama::Template;

use super::HandOver;
use super::words::{CLOSING, Line, NOT_TOLD};
use crate::text::plain_name;

/// The page as HTML.
pub fn html(page: &HandOver) -> String {
    let title = page.title();
    Page { page, title }.to_string()
}

/// A name for the page of a boat: letters, digits and hyphens, forty at the most.
pub fn file_name(boat: &str) -> String {
    match plain_name(boat, 30).as_str() {
        "" => "hand-over.html".to_owned(),
        named => format!("hand-over-{named}.html"),
    }
}

#[derive(Template)]
#[template(path = "hand-over.html")]
struct Page<'a> {
    page: &'a HandOver,
    title: String,
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn a_name_is_letters_digits_and_hyphens() {
        assert_eq!(file_name("Grey Plover"), "hand-over-grey-plover.html");
        assert_eq!(file_name("../../etc"), "hand-over-etc.html");
        assert_eq!(file_name("日本"), "hand-over.html");
    }
}
