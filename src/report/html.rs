//! A report as one HTML file: no script, nothing from elsewhere, for screen, phone and paper (A4
//! and Letter). The page is `pages/page.html`.

use askama::Template;

use super::blocks::{Block, Table};
use super::chart::Chart;
use super::content::{DefectPart, LookPart, Report};
use super::ladder::Ladder;
use super::sections;
use super::wording::CLOSING;
use super::words::{Said, Words};
use super::{lines, places};
use crate::walk::Photo;

/// The report as HTML.
pub fn html(report: &Report) -> String {
    let title = lines::title(report);
    let w = report.language.words();
    Page { report, title, w }.to_string()
}

#[derive(Template)]
#[template(path = "page.html")]
struct Page<'a> {
    report: &'a Report,
    title: Said,
    w: Words,
}

/// A photograph whose content is at hand.
struct Shown<'a> {
    address: &'a str,
    caption: Said,
}

impl Page<'_> {
    fn named(&self, ranks: &[usize]) -> Vec<&DefectPart> {
        let named = |rank: &usize| self.report.defects.iter().find(|d| d.row.rank == *rank);
        ranks.iter().filter_map(named).collect()
    }

    fn shown<'a>(&'a self, photo: &'a Photo) -> Option<Shown<'a>> {
        Some(Shown {
            address: self.report.pictures.get(photo.kept.as_ref()?)?,
            caption: match &photo.caption {
                Some(caption) => Said::people(caption),
                None => self.w.say("photo-none").into(),
            },
        })
    }

    fn photos<'a>(&'a self, look: &'a Option<LookPart>) -> Vec<Shown<'a>> {
        let photos = look.iter().flat_map(|look| &look.photos);
        photos.filter_map(|photo| self.shown(photo)).collect()
    }

    /// Photographs of looks that belong to no open defect, under what they show.
    fn other_photographs(&self) -> Vec<(&Said, Shown<'_>)> {
        let observed = self
            .report
            .defects
            .iter()
            .filter_map(|d| d.observed.as_ref());
        let above: Vec<&Photo> = observed.flat_map(|look| &look.photos).collect();
        let looks = self.report.looks.iter();
        let all = looks.flat_map(|look| look.photos.iter().map(move |photo| (look, photo)));
        let others = all.filter(|(_, photo)| !above.contains(photo));
        let shown = others.filter_map(|(look, photo)| Some((&look.title, self.shown(photo)?)));
        shown.collect()
    }

    fn ladder<'a>(&self, defect: &'a DefectPart) -> Option<Ladder<'a>> {
        Ladder::of(defect, self.w)
    }

    fn chart<'a>(&self, part: &'a super::parts::TrendPart) -> Option<Chart<'a>> {
        Chart::of(part, self.report.units, self.w)
    }
}

impl Table {
    /// The cells of a row, each with whether it is never broken.
    fn cells<'a>(&'a self, row: &'a [Said]) -> impl Iterator<Item = (bool, &'a Said)> {
        let short = self.head.iter().map(|head| head.unbroken);
        short.zip(row)
    }
}
