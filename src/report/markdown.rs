//! A report as Markdown.

use std::fmt::Write as _;

use super::chart::Chart;
use super::content::Report;
use super::ladder::Ladder;
use super::lines;
use super::sections::{self, Block, Section, Table};
use super::wording::CLOSING;
use crate::text::markdown_text as t;

/// The report as Markdown (CommonMark with tables).
pub fn markdown(report: &Report) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "# {}\n", t(&lines::title(report)));
    facts(&mut out, &lines::front(report));
    if !report.before_you_start.is_empty() {
        out.push_str("## Before you start\n\n");
        for chore in &report.before_you_start {
            let _ = writeln!(out, "- {}", t(&chore.words()));
        }
        out.push('\n');
    }
    if let Some(line) = lines::verdict(report) {
        let _ = writeln!(out, "**{}**\n", t(&line));
    }
    out.push_str("## Summary\n\n");
    for sentence in lines::summary(report) {
        let _ = writeln!(out, "{}\n", t(&sentence));
    }
    for (title, ranks) in [
        (
            "Forbids running: tell the owner the same day",
            &report.summary.tell_today,
        ),
        ("First to put right", &report.summary.top),
    ] {
        if ranks.is_empty() {
            continue;
        }
        let _ = writeln!(out, "### {title}\n");
        for d in report
            .defects
            .iter()
            .filter(|d| ranks.contains(&d.row.rank))
        {
            let _ = writeln!(out, "{}. {}", d.row.rank, t(&lines::one_line(d)));
        }
        out.push('\n');
    }
    for part in sections::before_defects(report) {
        section(&mut out, &part, report);
    }
    out.push_str("## Stations\n\n");
    table(&mut out, &lines::stations(&report.stations));
    let places = lines::places(report);
    if !places.rows.is_empty() {
        out.push_str("## Where the findings are\n\n");
        table(&mut out, &places);
    }
    defects(&mut out, report);
    for part in sections::after_defects(report) {
        section(&mut out, &part, report);
    }
    let _ = writeln!(out, "**{}**", t(CLOSING));
    out
}

fn defects(out: &mut String, report: &Report) {
    out.push_str("## Defects, worst first\n\n");
    if report.defects.is_empty() {
        out.push_str("None is open.\n\n");
        return;
    }
    let _ = writeln!(out, "{}\n", t(&lines::ranked_over(report)));
    for d in &report.defects {
        let _ = writeln!(out, "### {}\\. {}\n", d.row.rank, t(&d.title));
        if d.row.stop {
            out.push_str("**Forbids running**\n\n");
        }
        let _ = writeln!(out, "{}\n\nObserved:\n", t(&lines::standing(d)));
        match &d.observed {
            Some(look) => facts(out, &lines::observation(look)),
            None => out.push_str("Nothing new: its age or a rule speaks.\n\n"),
        }
        out.push_str("Opinion and advice:\n\n");
        for caution in &d.cautions {
            let _ = writeln!(out, "**Caution: {}**\n", t(caution));
        }
        facts(out, &lines::advice(d));
        if let Some(ladder) = Ladder::of(d) {
            let _ = writeln!(out, "{}\n", t(&ladder.words().join(" ")));
        }
    }
}

fn facts(out: &mut String, facts: &[(&str, String)]) {
    for (name, value) in facts {
        let _ = writeln!(out, "- {}: {}", t(name), t(value));
    }
    out.push('\n');
}

fn section(out: &mut String, section: &Section<'_>, report: &Report) {
    let _ = writeln!(out, "## {}\n", section.title);
    for block in &section.blocks {
        match block {
            Block::Said(text) | Block::Code(text) => {
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
                if let Some(chart) = Chart::of(part, report.units) {
                    let title = lines::place(&part.title, part.answer.machine.as_deref());
                    let told = chart.words().join(" ");
                    let _ = writeln!(out, "### {}\n\n{}\n", t(&title), t(&told));
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
    let _ = writeln!(
        out,
        "| {} |\n|{}",
        head.join(" | "),
        "---|".repeat(head.len())
    );
    for row in rows {
        let cells: Vec<String> = row.iter().map(|c| t(c)).collect();
        let _ = writeln!(out, "| {} |", cells.join(" | "));
    }
    out.push('\n');
}
