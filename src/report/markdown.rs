//! A report as Markdown.

use std::fmt::Write as _;

use super::blocks::{Block, Section, Table};
use super::chart::Chart;
use super::content::Report;
use super::ladder::Ladder;
use super::lines::{self, Facts};
use super::sections;
use super::wording::CLOSING;
use super::words::Words;
use crate::text::markdown_text as t;

/// The report as Markdown (CommonMark with tables).
pub fn markdown(report: &Report) -> String {
    let w = report.language.words();
    let mut out = String::new();
    let _ = writeln!(out, "# {}\n", t(&lines::title(report)));
    facts(&mut out, &lines::front(report));
    if !report.before_you_start.is_empty() {
        heading(&mut out, w, "before-you-start");
        for chore in &report.before_you_start {
            let _ = writeln!(out, "- {}", t(&lines::chore(w, chore)));
        }
        out.push('\n');
    }
    if let Some(line) = lines::verdict(report) {
        let _ = writeln!(out, "**{}**\n", t(&line));
    }
    heading(&mut out, w, "summary-title");
    for sentence in lines::summary(report) {
        let _ = writeln!(out, "{}\n", t(&sentence));
    }
    for (title, ranks) in [
        ("tell-today", &report.summary.tell_today),
        ("first-to-put-right", &report.summary.top),
    ] {
        if ranks.is_empty() {
            continue;
        }
        let _ = writeln!(out, "### {}\n", t(&w.say(title)));
        for d in report
            .defects
            .iter()
            .filter(|d| ranks.contains(&d.row.rank))
        {
            let _ = writeln!(out, "{}. {}", d.row.rank, t(&lines::one_line(w, d)));
        }
        out.push('\n');
    }
    for part in sections::before_defects(report) {
        section(&mut out, &part, report);
    }
    heading(&mut out, w, "stations");
    table(&mut out, &lines::stations(w, &report.stations));
    let places = lines::places(report);
    if !places.rows.is_empty() {
        heading(&mut out, w, "where-findings");
        table(&mut out, &places);
    }
    defects(&mut out, report);
    for part in sections::after_defects(report) {
        section(&mut out, &part, report);
    }
    let _ = writeln!(out, "**{}**", t(&w.say(CLOSING)));
    out
}

fn heading(out: &mut String, w: Words, name: &str) {
    let _ = writeln!(out, "## {}\n", t(&w.say(name)));
}

fn defects(out: &mut String, report: &Report) {
    let w = report.language.words();
    heading(out, w, "defects-title");
    if report.defects.is_empty() {
        let _ = writeln!(out, "{}\n", t(&w.say("defects-none")));
        return;
    }
    let _ = writeln!(out, "{}\n", t(&lines::ranked_over(report)));
    for d in &report.defects {
        let _ = writeln!(out, "### {}\\. {}\n", d.row.rank, t(&d.title));
        if d.row.stop {
            let _ = writeln!(out, "**{}**\n", t(&w.say("forbids-running")));
        }
        let standing = lines::standing(w, d);
        let _ = writeln!(out, "{}\n\n{}:\n", t(&standing), t(&w.say("observed")));
        match &d.observed {
            Some(look) => facts(out, &lines::observation(w, look)),
            None => {
                let _ = writeln!(out, "{}\n", t(&w.say("observed-nothing")));
            }
        }
        let _ = writeln!(out, "{}:\n", t(&w.say("opinion")));
        for caution in &d.cautions {
            let _ = writeln!(out, "**{}**\n", t(&lines::caution(w, caution)));
        }
        facts(out, &lines::advice(w, d));
        if let Some(ladder) = Ladder::of(d, w) {
            let _ = writeln!(out, "{}\n", t(&ladder.words()));
        }
    }
}

fn facts(out: &mut String, facts: &Facts) {
    for (name, value) in facts {
        let _ = writeln!(out, "- {}: {}", t(name), t(value));
    }
    out.push('\n');
}

fn section(out: &mut String, section: &Section<'_>, report: &Report) {
    let w = report.language.words();
    let _ = writeln!(out, "## {}\n", section.title);
    for block in &section.blocks {
        match block {
            Block::Said(text) => {
                let _ = writeln!(out, "{}\n", t(text));
            }
            Block::Code(text) => {
                let _ = writeln!(out, "{}\n", t(text));
            }
            Block::Points(sentences) => {
                for sentence in sentences {
                    let _ = writeln!(out, "- {}", t(sentence));
                }
                out.push('\n');
            }
            Block::Under(title) => {
                let _ = writeln!(out, "### {}\n", t(title));
            }
            Block::Table(rows) => table(out, rows),
            // A drawing has no place here; what it tells in words has.
            Block::Chart(part) => {
                if let Some(chart) = Chart::of(part, report.units, w) {
                    let (title, told) = (t(&chart.title), t(&chart.words()));
                    let _ = writeln!(out, "### {title}\n\n{told}\n");
                }
            }
        }
    }
}

fn table(out: &mut String, table: &Table) {
    let Table {
        head,
        rows,
        caption,
    } = table;
    if let Some(caption) = caption {
        let _ = writeln!(out, "{}:\n", t(caption));
    }
    let names: Vec<String> = head.iter().map(|head| t(&head.said)).collect();
    let _ = writeln!(
        out,
        "| {} |\n|{}",
        names.join(" | "),
        "---|".repeat(head.len())
    );
    for row in rows {
        let cells: Vec<String> = row.iter().map(|c| t(c)).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
    out.push('\n');
}
