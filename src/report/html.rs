//! A report as one HTML file: no script, nothing from elsewhere, for screen, phone and paper (A4
//! and Letter).

use std::fmt::Write as _;

use super::chart::{Chart, svg_text};
use super::content::{DefectPart, Report};
use super::parts::TrendPart;
use super::sections::{self, Block, Section, Table};
use super::wording::CLOSING;
use super::{lines, plan};
use crate::text::html_text as t;
use crate::walk::Photo;

const STYLE: &str = include_str!("style.css");

/// Allows the style above and pictures within the file, and nothing else.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// Columns whose cells are never broken.
const SHORT: [&str; 5] = ["When", "Rung", "Value", "No.", "Date"];

/// The report as HTML.
pub fn html(report: &Report) -> String {
    let mut out = String::with_capacity(64 * 1024);
    let title = lines::title(report);
    out.push_str(&head(&title, STYLE));
    front(&mut out, report, &title);
    summary(&mut out, report);
    for part in sections::before_defects(report) {
        section(&mut out, &part, report);
    }
    stations(&mut out, report);
    defects(&mut out, report);
    for part in sections::after_defects(report) {
        if part.title.starts_with("Appendix") {
            other_photographs(&mut out, report);
        }
        section(&mut out, &part, report);
    }
    let _ = write!(
        out,
        "<p><strong>{}</strong></p>\n</body>\n</html>\n",
        t(CLOSING)
    );
    out
}

/// The beginning of a page up to its body: its title, its style, and a policy that allows neither
/// script nor anything from elsewhere.
pub(super) fn head(title: &str, style: &str) -> String {
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" content=\"no-referrer\">\n<title>{}</title>\n<style>\n{style}</style>\n</head>\n<body>\n",
        t(title)
    )
}

fn heading(out: &mut String, text: &str) {
    let _ = writeln!(out, "<h2>{}</h2>", t(text));
}

fn section(out: &mut String, section: &Section<'_>, report: &Report) {
    heading(out, section.title);
    for block in &section.blocks {
        match block {
            Block::Said(text) => {
                let _ = writeln!(out, "<p><bdi>{}</bdi></p>", t(text));
            }
            Block::Code(text) => {
                let _ = writeln!(out, "<p><code>{}</code></p>", t(text));
            }
            Block::Points(sentences) => list(out, sentences),
            Block::Under(title) => {
                let _ = writeln!(out, "<h3>{}</h3>", t(title));
            }
            Block::Table(rows) => table(out, rows),
            Block::Chart(part) => chart(out, part, report),
        }
    }
}

fn list(out: &mut String, sentences: &[String]) {
    out.push_str("<ul>\n");
    for sentence in sentences {
        let _ = writeln!(out, "<li><bdi>{}</bdi></li>", t(sentence));
    }
    out.push_str("</ul>\n");
}

fn chart(out: &mut String, part: &TrendPart, report: &Report) {
    let Some(chart) = Chart::of(part, report.units) else {
        return;
    };
    let title = lines::place(&part.title, part.answer.machine.as_deref());
    let _ = writeln!(
        out,
        "<figure>\n<h3><bdi>{}</bdi></h3>\n<div class=\"wide\">{}</div>\n<figcaption><bdi>{}</bdi></figcaption>\n</figure>",
        t(&title),
        chart.svg(&title),
        t(&chart.caption().join(" "))
    );
}

/// Names and values side by side. Text of people stands in `<bdi>`, so that its direction stays its
/// own.
fn facts(out: &mut String, facts: &[(&str, String)]) {
    out.push_str("<dl>\n");
    for (name, value) in facts {
        let _ = writeln!(out, "<dt>{}</dt><dd><bdi>{}</bdi></dd>", t(name), t(value));
    }
    out.push_str("</dl>\n");
}

fn table(out: &mut String, Table { head, rows }: &Table) {
    out.push_str("<div class=\"wide\"><table>\n<thead><tr>");
    for name in head {
        let _ = write!(out, "<th scope=\"col\">{}</th>", t(name));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for (name, cell) in head.iter().zip(row) {
            let short = if SHORT.contains(&name.as_str()) {
                " class=\"s\""
            } else {
                ""
            };
            let _ = write!(out, "<td{short}><bdi>{}</bdi></td>", t(cell));
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
}

fn front(out: &mut String, report: &Report, title: &str) {
    let _ = writeln!(out, "<h1>{}</h1>", t(title));
    facts(out, &lines::front(report));
    if let Some(line) = lines::verdict(report) {
        let _ = writeln!(out, "<p class=\"bad\">{}</p>", t(&line));
    }
    let _ = writeln!(out, "<p class=\"quiet\">{}</p>", t(CLOSING));
}

fn summary(out: &mut String, report: &Report) {
    heading(out, "Summary");
    for sentence in lines::summary(report) {
        let _ = writeln!(out, "<p>{}</p>", t(&sentence));
    }
    let named = |ranks: &[usize]| -> Vec<&DefectPart> {
        ranks
            .iter()
            .filter_map(|rank| report.defects.iter().find(|d| d.row.rank == *rank))
            .collect()
    };
    let today = named(&report.summary.tell_today);
    if !today.is_empty() {
        out.push_str("<p><span class=\"stop\">Forbids running: tell the owner the same day</span></p>\n<ul>\n");
        for d in today {
            let _ = writeln!(out, "<li><bdi>{}</bdi></li>", t(&lines::one_line(d)));
        }
        out.push_str("</ul>\n");
    }
    let top = named(&report.summary.top);
    if !top.is_empty() {
        out.push_str("<h3>First to put right</h3>\n<ol>\n");
        for d in top {
            let _ = writeln!(out, "<li><bdi>{}</bdi></li>", t(&lines::one_line(d)));
        }
        out.push_str("</ol>\n");
    }
}

/// A photograph with its caption; nothing where its content is not at hand.
fn photograph(out: &mut String, photo: &Photo, report: &Report) {
    let kept = photo.kept.as_ref();
    let Some(address) = kept.and_then(|name| report.pictures.get(name)) else {
        return;
    };
    let caption = photo.caption.as_deref().unwrap_or("No caption");
    let _ = writeln!(
        out,
        "<figure><img src=\"{address}\" alt=\"{}\"><figcaption><bdi>{}</bdi></figcaption></figure>",
        svg_text(caption),
        t(caption)
    );
}

/// Photographs of looks that belong to no open defect.
fn other_photographs(out: &mut String, report: &Report) {
    let observed = report.defects.iter().filter_map(|d| d.observed.as_ref());
    let shown: Vec<&Photo> = observed.flat_map(|look| &look.photos).collect();
    let others = report.looks.iter().flat_map(|look| {
        let own = look.photos.iter();
        own.filter(|p| {
            p.kept
                .as_ref()
                .is_some_and(|k| report.pictures.contains_key(k))
        })
        .filter(|p| !shown.contains(p))
        .map(move |photo| (look, photo))
    });
    for (n, (look, photo)) in others.enumerate() {
        if n == 0 {
            heading(out, "Other photographs");
        }
        let _ = writeln!(out, "<h3><bdi>{}</bdi></h3>", t(&look.title));
        photograph(out, photo, report);
    }
}

fn stations(out: &mut String, report: &Report) {
    heading(out, "Stations");
    let _ = writeln!(
        out,
        "<div class=\"wide\">{}</div>",
        plan::svg(&report.stations)
    );
}

fn defects(out: &mut String, report: &Report) {
    heading(out, "Defects, worst first");
    if report.defects.is_empty() {
        out.push_str("<p>None is open.</p>\n");
        return;
    }
    let _ = writeln!(
        out,
        "<p class=\"quiet\">{}</p>",
        t(&lines::ranked_over(report))
    );
    for d in &report.defects {
        let _ = writeln!(
            out,
            "<article>\n<h3>{}. <bdi>{}</bdi></h3>",
            d.row.rank,
            t(&d.title)
        );
        if d.row.stop {
            out.push_str("<p><span class=\"stop\">Forbids running</span></p>\n");
        }
        let _ = writeln!(
            out,
            "<p>{}</p>\n<div class=\"two\">\n<div><h4>Observed</h4>",
            t(&lines::standing(d))
        );
        match &d.observed {
            Some(look) => facts(out, &lines::observation(look)),
            None => out.push_str("<p>Nothing new: its age or a rule speaks.</p>\n"),
        }
        out.push_str("</div>\n<div><h4>Opinion and advice</h4>\n");
        // A caution stands before what is to be done.
        for caution in &d.cautions {
            let _ = writeln!(out, "<p class=\"bad\">Caution: {}</p>", t(caution));
        }
        facts(out, &lines::advice(d));
        out.push_str("</div>\n</div>\n");
        for photo in d.observed.iter().flat_map(|look| &look.photos) {
            photograph(out, photo, report);
        }
        out.push_str("</article>\n");
    }
}
