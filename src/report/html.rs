//! A report as one HTML file: no script, nothing from elsewhere, for screen, phone and paper (A4
//! and Letter). The page is `pages/page.html`.

use askama::Template;

use super::chart::Chart;
use super::content::{DefectPart, LookPart, Report};
use super::ladder::{self, Ladder};
use super::sections::{self, Block, Table};
use super::wording::CLOSING;
use super::{lines, places};
use crate::walk::Photo;

/// Columns whose cells are never broken.
const SHORT: [&str; 5] = ["When", "Rung", "Value", "No.", "Date"];

/// The report as HTML.
pub fn html(report: &Report) -> String {
    let title = lines::title(report);
    Page { report, title }.to_string()
}

#[derive(Template)]
#[template(path = "page.html")]
struct Page<'a> {
    report: &'a Report,
    title: String,
}

/// A photograph whose content is at hand.
struct Shown<'a> {
    address: &'a str,
    caption: &'a str,
}

impl Page<'_> {
    fn named(&self, ranks: &[usize]) -> Vec<&DefectPart> {
        let named = |rank: &usize| self.report.defects.iter().find(|d| d.row.rank == *rank);
        ranks.iter().filter_map(named).collect()
    }

    fn shown<'a>(&'a self, photo: &'a Photo) -> Option<Shown<'a>> {
        Some(Shown {
            address: self.report.pictures.get(photo.kept.as_ref()?)?,
            caption: photo.caption.as_deref().unwrap_or("No caption"),
        })
    }

    fn photos<'a>(&'a self, look: &'a Option<LookPart>) -> Vec<Shown<'a>> {
        let photos = look.iter().flat_map(|look| &look.photos);
        photos.filter_map(|photo| self.shown(photo)).collect()
    }

    /// Photographs of looks that belong to no open defect, under what they show.
    fn other_photographs(&self) -> Vec<(&str, Shown<'_>)> {
        let observed = self
            .report
            .defects
            .iter()
            .filter_map(|d| d.observed.as_ref());
        let above: Vec<&Photo> = observed.flat_map(|look| &look.photos).collect();
        let looks = self.report.looks.iter();
        let all = looks.flat_map(|look| look.photos.iter().map(move |photo| (look, photo)));
        let others = all.filter(|(_, photo)| !above.contains(photo));
        let shown = others.filter_map(|(look, photo)| Some((&*look.title, self.shown(photo)?)));
        shown.collect()
    }

    fn ladder<'a>(&self, defect: &'a DefectPart) -> Option<Ladder<'a>> {
        Ladder::of(defect)
    }

    fn chart<'a>(&self, part: &'a super::parts::TrendPart) -> Option<Chart<'a>> {
        Chart::of(part, self.report.units)
    }
}

impl Table {
    /// The cells of a row, each with whether it is never broken.
    fn cells<'a>(&'a self, row: &'a [String]) -> impl Iterator<Item = (bool, &'a String)> {
        let short = self.head.iter().map(|name| SHORT.contains(&name.as_str()));
        short.zip(row)
    }
}
