//! The letter to the yard: what is to be done while she is out of the water, where, with which part and by when;
//! as text, as a page, as Markdown. No code of a risk stands in it, and no price that was not asked for.

use std::fmt::Write as _;

use askama::Template;

use crate::defects::costs::money;
use crate::defects::plan_words::short;
use crate::defects::yard::{For, YardRow};
use crate::text::markdown_text as t;

/// The letter.
#[derive(Clone, Debug)]
pub struct Letter {
    /// The boat's name.
    pub boat: String,
    /// The day it is written, in words.
    pub day: String,
    /// Days she stands ashore, where a plan says so.
    pub ashore_days: Option<f64>,
    /// What is on record and not counted, a sentence each.
    pub notes: Vec<String>,
    /// What is on the list.
    pub rows: Vec<YardRow>,
    /// What it may cost stands in it too.
    pub prices: bool,
    /// The machine stands at each row.
    pub several: bool,
}

/// A part of the letter.
pub struct Part {
    /// Its heading.
    pub title: &'static str,
    /// What is asked, each with its lines.
    pub rows: Vec<(String, Vec<String>)>,
}

/// What is to be left open.
const LEAVE_OPEN: &str = "Leave open for me to see before it is closed or painted over.";
/// Said of all of it.
const CLOSING: &str = "What is found besides, tell me before it is closed. The maker's handbook and local rules outrank this list.";

impl Letter {
    /// What stands above it.
    pub fn title(&self) -> String {
        format!("To the yard: {}, {}", self.boat, self.day)
    }

    /// What is said first.
    pub fn head(&self) -> Vec<String> {
        let stands = self
            .ashore_days
            .map(|days| format!("She stands ashore for {} d.", short(days)));
        let about = "What needs her out of the water is listed here, with where it is.".to_owned();
        let none = self.rows.is_empty();
        let none = none.then(|| "Nothing on record needs her out of the water.".to_owned());
        let notes = self.notes.iter().cloned();
        notes.chain(stands).chain(none.or(Some(about))).collect()
    }

    /// What is said last.
    pub const fn closing(&self) -> &'static str {
        CLOSING
    }

    /// What is asked of the yard, then what the owner looks at.
    pub fn parts(&self) -> Vec<Part> {
        let of = |title, sorts: &[For]| {
            let rows = self.rows.iter().filter(|row| sorts.contains(&row.sort));
            let rows: Vec<_> = rows.map(|row| self.row(row)).collect();
            (!rows.is_empty()).then_some(Part { title, rows })
        };
        let parts = [
            of("To put right", &[For::Mend]),
            of("Recurring work", &[For::Task]),
            of(
                "I look at these myself: keep them in reach",
                &[For::Confirm, For::Look],
            ),
        ];
        parts.into_iter().flatten().collect()
    }

    fn row(&self, row: &YardRow) -> (String, Vec<String>) {
        let machine = row.machine.as_deref().filter(|_| self.several);
        let machine = machine
            .map(|machine| format!(" ({machine})"))
            .unwrap_or_default();
        let mut lines = Vec::new();
        let looks = matches!(row.sort, For::Confirm | For::Look);
        if !row.why.is_empty() {
            let lead = match row.sort {
                For::Mend => "Found",
                For::Task | For::Confirm | For::Look => "Why",
            };
            lines.push(format!("{lead}: {}.", row.why.trim_end_matches('.')));
        }
        let lead = if looks { "Look" } else { "Do" };
        lines.push(format!("{lead}: {}.", row.action.trim_end_matches('.')));
        if !row.parts.is_empty() {
            lines.push(format!("Part: {}.", row.parts.join("; ")));
        }
        lines.push(format!("By when: {}.", row.by_when));
        if let Some(likely) = row.likely.filter(|_| self.prices) {
            let currency = row.currency.as_ref().map(|c| format!(" {c}"));
            let currency = currency.unwrap_or_default();
            lines.push(format!(
                "My own estimate: about {}{currency}.",
                money(likely)
            ));
        }
        if row.leave_open {
            lines.push(LEAVE_OPEN.to_owned());
        }
        (format!("{}{machine}: {}", row.title, row.station), lines)
    }

    /// As a page.
    pub fn html(&self) -> String {
        let page = Page {
            letter: self,
            title: self.title(),
        };
        page.to_string()
    }

    /// As Markdown.
    pub fn markdown(&self) -> String {
        let mut out = String::new();
        let _ = writeln!(out, "# {}\n", t(&self.title()));
        for said in self.head() {
            let _ = writeln!(out, "{}\n", t(&said));
        }
        for part in self.parts() {
            let _ = writeln!(out, "## {}\n", t(part.title));
            for (head, lines) in part.rows {
                let _ = writeln!(out, "- **{}**", t(&head));
                for line in lines {
                    let _ = writeln!(out, "  - {}", t(&line));
                }
            }
            out.push('\n');
        }
        let _ = writeln!(out, "{}", t(CLOSING));
        out
    }
}

#[derive(Template)]
#[template(path = "yard.html")]
struct Page<'a> {
    letter: &'a Letter,
    title: String,
}
