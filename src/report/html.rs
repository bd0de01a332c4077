//! A report as one HTML file: no script, nothing from elsewhere, for screen, phone and paper (A4
//! and Letter). A survey is a document of its own (`document`); what else is walked, and the logbook,
//! is `pages/page.html`.

use std::borrow::Cow;

use askama::Template;
use askama::filters::Safe;

use super::blocks::{Block, Section};
use super::content::Report;
use super::document;
use super::frame::{self, Framed, framed};
use super::ladder::Ladder;
use super::sections;
use super::wording::CLOSING;
use super::words::{Said, Words};
use super::{lines, places};

/// The report as HTML.
pub fn html(report: &Report) -> String {
    if document::is_one(report) {
        return document::html(report);
    }
    let title = lines::title(report);
    let before = numbered(sections::before_defects(report), 0);
    let after = sections::after_defects(report);
    let looks = after.iter().position(|s| s.name.starts_with("looks-"));
    let page = Page {
        appendix: looks.unwrap_or(after.len()),
        after: numbered(after, before.len()),
        running: frame::running(report, &title),
        lang: report.language.as_str(),
        w: report.language.words(),
        before,
        report,
        title,
    };
    page.to_string()
}

/// Sections with ids by their order.
fn numbered(sections: Vec<Section<'_>>, first: usize) -> Vec<Framed<'_>> {
    let parts = sections.into_iter().enumerate();
    let framed = parts.map(|(n, part)| framed(format!("part-{}", first + n), part));
    framed.collect()
}

#[derive(Template)]
#[template(path = "page.html")]
struct Page<'a> {
    report: &'a Report,
    title: Said,
    lang: &'static str,
    running: Safe<String>,
    w: Words,
    before: Vec<Framed<'a>>,
    after: Vec<Framed<'a>>,
    /// Which of those behind the defects begins the appendix.
    appendix: usize,
}

impl Page<'_> {
    fn begins_appendix(&self, section: &usize) -> bool {
        *section == self.appendix
    }

    /// Id and heading of each section, in the order of the page.
    fn contents(&self) -> Vec<(&str, Cow<'static, str>)> {
        let own = [
            ("plan", "places-title"),
            ("stations", "stations"),
            ("findings", "defects-title"),
        ];
        let before = self.before.iter();
        let before = before.map(|p| (p.id.as_str(), p.title.clone()));
        let own = own.map(|(id, name)| (id, self.w.say(name)));
        let after = self.after.iter();
        let after = after.map(|p| (p.id.as_str(), p.title.clone()));
        before.chain(own).chain(after).collect()
    }
}
