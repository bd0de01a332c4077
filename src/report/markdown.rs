//! A report as Markdown.

use std::fmt::Write as _;

use super::content::Report;
use super::lines;
use super::wording::CLOSING;
use crate::text::markdown_text as t;

/// The report as Markdown (CommonMark with tables).
pub fn markdown(report: &Report) -> String {
    let mut out = String::new();
    let _ = writeln!(out, "# {}\n", t(&lines::title(report)));
    facts(&mut out, &lines::front(report));
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
    list(&mut out, "Scope", &report.scope);
    list(&mut out, "Limitations", &report.limitations);
    out.push_str("## Not seen\n\n");
    let unseen: Vec<Vec<String>> = report.not_seen.iter().map(lines::not_seen).collect();
    table(
        &mut out,
        &lines::NOT_SEEN_HEAD,
        &unseen,
        "Everything asked was seen.",
    );
    out.push_str("## Stations\n\n");
    let rows: Vec<Vec<String>> = report.stations.iter().map(lines::station).collect();
    table(&mut out, &lines::STATION_HEAD, &rows, "None was asked.");
    defects(&mut out, report);
    out.push_str("## Readings\n\n");
    let rows: Vec<Vec<String>> = report.readings.iter().map(lines::reading).collect();
    table(&mut out, &lines::READING_HEAD, &rows, "None was taken.");
    out.push_str("## Every look\n\n");
    let rows: Vec<Vec<String>> = report.looks.iter().map(lines::look).collect();
    table(&mut out, &lines::LOOK_HEAD, &rows, "None was made.");
    list(&mut out, "How the numbers come about", &report.method);
    list(&mut out, "Cautions", &report.cautions);
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
    }
}

fn facts(out: &mut String, facts: &[(&str, String)]) {
    for (name, value) in facts {
        let _ = writeln!(out, "- {}: {}", t(name), t(value));
    }
    out.push('\n');
}

fn list(out: &mut String, title: &str, sentences: &[String]) {
    let _ = writeln!(out, "## {title}\n");
    for sentence in sentences {
        let _ = writeln!(out, "- {}", t(sentence));
    }
    out.push('\n');
}

fn table(out: &mut String, head: &[&str], rows: &[Vec<String>], empty: &str) {
    if rows.is_empty() {
        let _ = writeln!(out, "{empty}\n");
        return;
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
