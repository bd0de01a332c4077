//! A report as one HTML file: no script, nothing from elsewhere, for screen, phone and paper (A4
//! and Letter).

use std::fmt::Write as _;

use super::content::{DefectPart, LookPart, Report};
use super::wording::CLOSING;
use super::{lines, plan};
use crate::text::html_text as t;

const STYLE: &str = include_str!("style.css");

/// Allows the style above and pictures within the file, and nothing else.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'";

/// Columns whose cells are never broken.
const SHORT: [&str; 3] = ["When", "Rung", "Value"];

/// The report as HTML.
pub fn html(report: &Report) -> String {
    let mut out = String::with_capacity(64 * 1024);
    let title = lines::title(report);
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" content=\"no-referrer\">\n<title>{}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n",
        t(&title)
    );
    front(&mut out, report, &title);
    summary(&mut out, report);
    list(&mut out, "Scope", &report.scope);
    list(&mut out, "Limitations", &report.limitations);
    not_seen(&mut out, report);
    stations(&mut out, report);
    defects(&mut out, report);
    readings(&mut out, report);
    looks(&mut out, report);
    list(&mut out, "How the numbers come about", &report.method);
    list(&mut out, "Cautions", &report.cautions);
    let _ = write!(
        out,
        "<p><strong>{}</strong></p>\n</body>\n</html>\n",
        t(CLOSING)
    );
    out
}

fn heading(out: &mut String, text: &str) {
    let _ = writeln!(out, "<h2>{}</h2>", t(text));
}

fn list(out: &mut String, title: &str, sentences: &[String]) {
    heading(out, title);
    out.push_str("<ul>\n");
    for sentence in sentences {
        let _ = writeln!(out, "<li>{}</li>", t(sentence));
    }
    out.push_str("</ul>\n");
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

fn table(out: &mut String, head: &[&str], rows: &[Vec<String>]) {
    out.push_str("<div class=\"wide\"><table>\n<thead><tr>");
    for name in head {
        let _ = write!(out, "<th scope=\"col\">{}</th>", t(name));
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in rows {
        out.push_str("<tr>");
        for (name, cell) in head.iter().zip(row) {
            let short = if SHORT.contains(name) {
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

fn not_seen(out: &mut String, report: &Report) {
    heading(out, "Not seen");
    if report.not_seen.is_empty() {
        out.push_str("<p>Everything asked was seen.</p>\n");
        return;
    }
    let rows: Vec<Vec<String>> = report.not_seen.iter().map(lines::not_seen).collect();
    table(out, &lines::NOT_SEEN_HEAD, &rows);
}

fn stations(out: &mut String, report: &Report) {
    heading(out, "Stations");
    out.push_str(&plan::svg(&report.stations));
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
        out.push_str("</article>\n");
    }
}

fn readings(out: &mut String, report: &Report) {
    if report.readings.is_empty() {
        return;
    }
    heading(out, "Readings");
    let rows: Vec<Vec<String>> = report.readings.iter().map(lines::reading).collect();
    table(out, &lines::READING_HEAD, &rows);
}

fn looks(out: &mut String, report: &Report) {
    heading(out, "Every look");
    let rows: Vec<Vec<String>> = report
        .looks
        .iter()
        .map(|l: &LookPart| lines::look(l))
        .collect();
    table(out, &lines::LOOK_HEAD, &rows);
}
