//! The hand-over page as one HTML file for A4 and Letter: no script, nothing from elsewhere, black on
//! white. The page is `pages/hand-over.html`.

use std::collections::BTreeSet;
use std::path::Path;

use askama::Template;

use super::HandOver;
use super::words::{CLOSING, Line, NOT_TOLD};
use crate::logbook::{Folder, RealDisk};
use crate::report::making::Progress;
use crate::report::pictures::pictures;
use crate::text::plain_name;

/// Long side of a photograph on the page, pixels: some 40 mm of paper.
const LONGEST: u32 = 360;

impl HandOver {
    /// Puts the photographs in, from the logbook in `root`; how many cannot be read and are left out.
    pub fn put_pictures(&mut self, root: &Path) -> usize {
        let kept = self.photographs.iter();
        let kept = kept.filter_map(|shown| shown.photo.kept.clone());
        let kept: BTreeSet<String> = kept.collect();
        let kept: Vec<String> = kept.into_iter().collect();
        let folder = Folder::new(root);
        let progress = Progress::default();
        self.pictures = pictures(&kept, LONGEST, (&RealDisk, &folder), &progress);
        kept.len() - self.pictures.len()
    }
}

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
