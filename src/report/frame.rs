//! What stands around the words of a report on a page: sections that can be found by a link, tables that
//! have a name, photographs with their number, what runs at the foot of each sheet of paper, and the
//! marks between which a part proves itself.

use std::borrow::Cow;
use std::fmt::Display;

use askama::filters::Safe;

use super::blocks::{Block, Section, Table};
use super::chart::Chart;
use super::content::{DefectPart, LookPart, Report};
use super::parts::TrendPart;
use super::proof;
use super::words::{Said, say, told};
use crate::text::safe_line;
use crate::walk::Photo;

/// A section with the name by which a link finds it.
pub(super) struct Framed<'a> {
    pub id: String,
    pub title: Cow<'static, str>,
    /// Each block, a table with what it is called where it has no caption.
    pub blocks: Vec<(Block<'a>, Said)>,
}

/// A section as it stands on a page: a table without a caption is called by what stands above it.
pub(super) fn framed<'a>(id: impl Into<String>, part: Section<'a>) -> Framed<'a> {
    let title = part.title;
    let mut above = Said::from(title.clone());
    let blocks = part.blocks.into_iter().map(|block| {
        if let Block::Under(under) = &block {
            above.clone_from(under);
        }
        (block, above.clone())
    });
    let blocks = blocks.collect();
    Framed {
        id: id.into(),
        title,
        blocks,
    }
}

/// A photograph whose content is at hand.
pub(super) struct Shown<'a> {
    /// Its number, such as 2a; none where it belongs to no finding.
    pub number: Option<String>,
    pub address: &'a str,
    pub caption: Said,
    /// What it is, for whoever does not see it.
    pub told: String,
}

/// The photographs of a look that a page can show. Those of a finding are numbered with it.
pub(super) fn shown<'a>(
    report: &'a Report,
    look: &'a LookPart,
    finding: Option<&usize>,
) -> Vec<Shown<'a>> {
    let photos = look.photos.iter();
    photographs(report, (&look.title, finding), photos)
}

fn photographs<'a>(
    report: &'a Report,
    (title, finding): (&Said, Option<&usize>),
    photos: impl Iterator<Item = &'a Photo>,
) -> Vec<Shown<'a>> {
    let photos = photos.filter_map(|photo| {
        let address = report.pictures.get(photo.kept.as_ref()?)?;
        Some((photo, address))
    });
    let shown = photos.enumerate().map(|(n, (photo, address))| {
        let w = report.language.words();
        let caption = photo.caption.as_ref().map(Said::people);
        let caption = caption.unwrap_or_else(|| w.say("photo-none").into());
        let number = finding.map(|finding| format!("{finding}{}", letter(n)));
        let told = match &number {
            Some(number) => told!(
                w,
                "page-photograph-of",
                number = number.as_str(),
                title = title,
                caption = &caption
            ),
            None => told!(
                w,
                "page-photograph-plain",
                title = title,
                caption = &caption
            ),
        };
        Shown {
            told: safe_line(&told).into_owned(),
            number,
            address,
            caption,
        }
    });
    shown.collect()
}

/// a, b and so on; behind z come aa and ab.
fn letter(n: usize) -> String {
    let last = char::from(b'a' + (n % 26) as u8);
    match n / 26 {
        0 => last.to_string(),
        more => format!("{}{last}", letter(more - 1)),
    }
}

/// Photographs of looks that belong to no open defect.
pub(super) fn other_photographs(report: &Report) -> Vec<Shown<'_>> {
    let observed = report.defects.iter().filter_map(|d| d.observed.as_ref());
    let above: Vec<&Photo> = observed.flat_map(|look| &look.photos).collect();
    let looks = report.looks.iter().flat_map(|look| {
        let others = look.photos.iter().filter(|photo| !above.contains(photo));
        photographs(report, (&look.title, None), others)
    });
    looks.collect()
}

/// What a table that may be wider than the window is called as a place to scroll.
pub(super) fn scroller(report: &Report, name: &str) -> Cow<'static, str> {
    say!(report.language.words(), "page-table", name = name)
}

/// Readings in time as they are drawn.
pub(super) fn chart<'a>(part: &'a TrendPart, report: &Report) -> Option<Chart<'a>> {
    Chart::of(part, report.units, report.language.words())
}

/// A defect of the report by its number.
pub(super) fn defects<'a>(report: &'a Report, ranks: &[usize]) -> Vec<&'a DefectPart> {
    let named = |rank: &usize| report.defects.iter().find(|d| d.row.rank == *rank);
    ranks.iter().filter_map(named).collect()
}

/// What runs at the foot of each sheet where the browser has room for it in the margin: what the page is,
/// the code of an issued one, and the number of the sheet. No text of people leaves its string.
pub(super) fn running(report: &Report, foot: &str) -> Safe<String> {
    let w = report.language.words();
    let number = say!(w, "page-number-of", page = "\u{2}", pages = "\u{3}");
    let number: Vec<String> = number
        .split_inclusive(['\u{2}', '\u{3}'])
        .flat_map(|part| {
            let counter = match part.chars().last() {
                Some('\u{2}') => Some("counter(page)"),
                Some('\u{3}') => Some("counter(pages)"),
                _ => None,
            };
            let words = quoted(part.trim_end_matches(['\u{2}', '\u{3}']));
            [Some(words), counter.map(str::to_owned)]
        })
        .flatten()
        .collect();
    let code = match &report.issued {
        Some(_) => format!("@bottom-center{{content:\"{}\"}}", proof::CODE),
        None => String::new(),
    };
    Safe(format!(
        "@page{{@bottom-left{{content:{}}}{code}@bottom-right{{content:{}}}}}",
        quoted(foot),
        number.join(" ")
    ))
}

/// A string of CSS: what is no plain letter, digit or space stands as its number.
fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in safe_line(text).chars() {
        match c {
            'a'..='z' | 'A'..='Z' | '0'..='9' | ' ' => out.push(c),
            other => out += &format!("\\{:x} ", u32::from(other)),
        }
    }
    out + "\""
}

/// Where a part of an issued page begins; nothing in a draft.
pub(super) fn begins(report: &Report, of: &str, name: impl Display) -> Safe<String> {
    let issued = report.issued.as_ref();
    Safe(issued.map_or_else(String::new, |_| proof::begins(&format!("{of} {name}"))))
}

/// Where the part that began last ends.
pub(super) fn ends(report: &Report) -> Safe<&'static str> {
    Safe(match report.issued {
        Some(_) => proof::ENDS,
        None => "",
    })
}

/// The digest of the part it stands in.
pub(super) fn digest(report: &Report) -> Safe<String> {
    let words = report.language.words().say("page-digest");
    let issued = report.issued.as_ref();
    Safe(issued.map_or_else(String::new, |_| {
        format!(
            "<p class=\"digest\">{words} <code>{}</code></p>",
            proof::DIGEST
        )
    }))
}

impl Table {
    /// The cells of a row, each with whether it is never broken.
    pub(super) fn cells<'a>(&'a self, row: &'a [Said]) -> impl Iterator<Item = (bool, &'a Said)> {
        let short = self.head.iter().map(|head| head.unbroken);
        short.zip(row)
    }
}

#[cfg(test)]
mod tests {
    use super::{letter, quoted};

    #[test]
    fn photographs_go_on_behind_z() {
        let named = [0, 1, 25, 26, 27, 51, 52].map(letter);
        assert_eq!(named, ["a", "b", "z", "aa", "ab", "az", "ba"]);
    }

    /// CSS Syntax Level 3, 4.3.7: an escape is up to six hexadecimal digits and one space.
    #[test]
    fn no_text_leaves_its_string() {
        assert_eq!(quoted("Tern 2"), "\"Tern 2\"");
        assert_eq!(quoted("\"}</style>"), "\"\\22 \\7d \\3c \\2f style\\3e \"");
        assert_eq!(quoted("Ä"), "\"\\c4 \"");
        let hostile = quoted("\u{1}code\u{1}\n\u{202e}\\");
        assert!(!hostile.contains(['\u{1}', '\n', '\u{202e}']), "{hostile}");
    }
}
