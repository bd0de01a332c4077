//! Sections that HTML and Markdown write alike: sentences, lists, tables and drawings under a
//! heading.

use super::content::Report;
use super::lines;
use super::parts::{BehindLine, CostPart, CoveragePart, Recommendation, TrendPart, UnsafePart};
use super::trial;
use crate::assess::chance::UNSEEN;
use crate::assess::coverage::Hidden;
use crate::causes::say::JUDGEMENT;
use crate::defects::NotCounted;
use crate::defects::costs::{CostTotal, money};
use crate::defects::list::percent;
use crate::service::due::DueRow;
use crate::text::{capital, figure};
use crate::walk::Agreed;

/// A section with its heading.
pub struct Section<'a> {
    /// The heading above it.
    pub title: &'static str,
    /// What stands under it.
    pub blocks: Vec<Block<'a>>,
}

/// A part of a section.
pub enum Block<'a> {
    /// A sentence or more.
    Said(String),
    /// Something to copy letter by letter.
    Code(String),
    /// Sentences, each with its bullet.
    Points(Vec<String>),
    /// A heading within the section.
    Under(String),
    /// Columns with a heading each.
    Table(Table),
    /// Readings in time; a page draws them, Markdown tells them.
    Chart(&'a TrendPart),
}

/// A table: a head, and rows of as many cells.
pub struct Table {
    /// Names of the columns.
    pub head: Vec<String>,
    /// The cells, row by row, as many as there are headings.
    pub rows: Vec<Vec<String>>,
    /// What it is; where it has one, the first cell of each row says what the row is.
    pub caption: Option<String>,
}

impl Table {
    fn new(head: &[&str], rows: Vec<Vec<String>>) -> Table {
        Table {
            head: head.iter().map(|h| (*h).to_owned()).collect(),
            rows,
            caption: None,
        }
    }
}

fn block<'a>(head: &[&str], rows: Vec<Vec<String>>) -> Block<'a> {
    Block::Table(Table::new(head, rows))
}

fn or_said<'a>(head: &[&str], rows: Vec<Vec<String>>, none: &str) -> Block<'a> {
    if rows.is_empty() {
        Block::Said(none.to_owned())
    } else {
        block(head, rows)
    }
}

/// What stands before the defects.
pub fn before_defects(report: &Report) -> Vec<Section<'_>> {
    let unseen = report.not_seen.iter().map(lines::not_seen).collect();
    let not_seen = Section {
        title: "Not seen",
        blocks: vec![or_said(
            &lines::NOT_SEEN_HEAD,
            unseen,
            "Everything asked was seen.",
        )],
    };
    let list = |title, sentences: &[String]| Section {
        title,
        blocks: vec![Block::Points(sentences.to_vec())],
    };
    let mut sections: Vec<Section<'_>> = not_counted(report).into_iter().collect();
    sections.push(list("Scope", &report.scope));
    sections.push(list("Limitations", &report.limitations));
    sections.extend(report.agreed.as_ref().map(agreed));
    sections.extend(told(report));
    sections.push(not_seen);
    sections.extend(report.coverage.as_ref().map(|c| coverage(report, c)));
    sections
}

/// What is on record and not counted.
pub(super) fn not_counted(report: &Report) -> Option<Section<'_>> {
    let told = report.not_counted.iter().map(NotCounted::sentence);
    let told: Vec<String> = told.collect();
    (!told.is_empty()).then(|| Section {
        title: "Not counted",
        blocks: vec![
            Block::Said(
                "These things are on record and count in nothing below, which may be better than it should be.".to_owned(),
            ),
            Block::Points(told),
        ],
    })
}

/// What stands after the defects, but for the cautions and the close.
pub fn after_defects(report: &Report) -> Vec<Section<'_>> {
    let mut sections = Vec::new();
    sections.extend(behind(report));
    sections.extend(recommendations(&report.recommendations));
    sections.extend(costs(report));
    sections.extend(readings(report));
    sections.extend(report.trial.as_ref().map(trial::section));
    sections.extend(work(report));
    sections.extend(appendix(report));
    sections
}

/// Every look, the method, the cautions, the seal.
pub(super) fn appendix(report: &Report) -> Vec<Section<'_>> {
    let mut sections = Vec::new();
    let rows = report.looks.iter().map(lines::look).collect();
    sections.push(Section {
        title: if report.walk.is_some() {
            "Appendix: every look of the walk"
        } else {
            "Appendix: the last look at each item"
        },
        blocks: vec![or_said(&lines::LOOK_HEAD, rows, "None was made.")],
    });
    sections.push(Section {
        title: "How the numbers come about",
        blocks: vec![Block::Points(report.method.clone())],
    });
    sections.push(Section {
        title: "Cautions",
        blocks: vec![Block::Points(report.cautions.clone())],
    });
    sections.extend(report.seal.as_ref().map(|seal| {
        let last = seal
            .last
            .map_or_else(String::new, |at| format!(", the last of {}", lines::moment(at)));
        Section {
            title: "Seal of the records",
            blocks: vec![
                Block::Code(seal.code.clone()),
                Block::Said(format!(
                    "It stands for {} records{last}. To check it: handlamp logbook verify-seal, with the code.",
                    seal.records
                )),
                Block::Said(seal.proves.clone()),
            ],
        }
    }));
    sections
}

pub(super) fn agreed<'a>(part: &Agreed) -> Section<'a> {
    let answer = |(question, answer): (&str, Option<&str>)| {
        format!("{}: {}", capital(question), answer.unwrap_or("not agreed"))
    };
    Section {
        title: "Agreed beforehand",
        blocks: vec![Block::Points(part.answers().map(answer).into())],
    }
}

pub(super) fn told<'a>(report: &Report) -> Option<Section<'a>> {
    let cells = |part: &UnsafePart| {
        let told = part.told.as_ref();
        vec![
            part.title.clone(),
            part.rule.clone(),
            lines::moment(part.found),
            told.map_or_else(|| "nobody on record".into(), |t| t.whom.clone()),
            match told {
                Some(t) if part.same_day => lines::moment(t.at),
                Some(t) => format!("{}, after the day it was found", lines::moment(t.at)),
                None => "-".into(),
            },
        ]
    };
    (!report.told.is_empty()).then(|| Section {
        title: "Unsafe findings, and who was told",
        blocks: vec![block(
            &["Item", "Rule", "Found", "Told", "Told at"],
            report.told.iter().map(cells).collect(),
        )],
    })
}

pub(super) fn coverage<'a>(report: &Report, part: &CoveragePart) -> Section<'a> {
    let share = |share: Option<f64>| share.map_or_else(|| "-".to_owned(), percent);
    let mut blocks = vec![Block::Said(format!(
        "Seen: {} of {} items, {}. With each item counted 8, 4, 2 or 1 by the worst its failure can do: {}.",
        report.summary.seen,
        report.summary.asked,
        share(part.plain),
        share(part.weighted)
    ))];
    if !part.hidden.is_empty() {
        let [_, _, worn, failing, failed] = UNSEEN.map(percent);
        blocks.push(Block::Under("What the items not seen could hide".into()));
        blocks.push(block(
            &[
                "Worst severity",
                "Items",
                "Never seen",
                "Worn or worse, in the mean",
                "Fail, in the mean",
                "At least one fails",
            ],
            part.hidden.iter().map(hidden).collect(),
        ));
        blocks.push(Block::Said(format!(
            "Over {:.0} running hours and {:.0} days ahead. What nobody has ever looked at is taken to be {worn} worn, {failing} failing and {failed} failed. These shares are judgement. They know nothing of this boat, and no figure stands in for looking.",
            report.exposure.hours, report.exposure.days
        )));
    }
    Section {
        title: "Coverage",
        blocks,
    }
}

fn hidden(part: &Hidden) -> Vec<String> {
    vec![
        format!("{} {}", part.severity.digit(), part.severity.name()),
        part.items.to_string(),
        part.never_seen.to_string(),
        figure(part.expected_worn),
        format!("{:.2}", part.expected_failures),
        percent(part.any_fails),
    ]
}

/// The section of it; none where nothing is said.
pub(super) fn behind(report: &Report) -> Option<Section<'_>> {
    let several = report.behind.len() > 1;
    let mut blocks = vec![Block::Said(format!(
        "An opinion on what was seen, and no finding: it changes no grade, no rank and no verdict. {JUDGEMENT}"
    ))];
    for part in &report.behind {
        blocks.extend(several.then(|| Block::Under(part.name.clone())));
        blocks.extend(grouped(&part.lines));
    }
    (!report.behind.is_empty()).then_some(Section {
        title: "What may be behind it",
        blocks,
    })
}

/// Lines that begin with a dash as one list, the others as sentences.
fn grouped<'a>(lines: &[BehindLine]) -> Vec<Block<'a>> {
    let mut blocks: Vec<Block<'a>> = Vec::new();
    for line in lines {
        let said = format!("{}{}", line.lead.trim_start(), line.text);
        match (line.lead.trim(), blocks.last_mut()) {
            ("-", Some(Block::Points(points))) => points.push(line.text.clone()),
            ("-", _) => blocks.push(Block::Points(vec![line.text.clone()])),
            _ => blocks.push(Block::Said(said.trim().to_owned())),
        }
    }
    blocks
}

fn recommendations<'a>(rows: &[Recommendation]) -> Option<Section<'a>> {
    let cells = |r: &Recommendation| {
        vec![
            r.number.to_string(),
            r.title.clone(),
            r.what.clone(),
            r.who.clone(),
            r.by_when.clone(),
        ]
    };
    (!rows.is_empty()).then(|| Section {
        title: "Recommendations",
        blocks: vec![
            Block::Said("In the order of the defects, what forbids running first; then what would close the gaps. A repair is done when it is on record and a later look finds the item sound. All this is advice: what the law or the handbook asks for stands above it.".into()),
            block(
                &["No.", "Item", "What to do", "Who, where", "By when"],
                rows.iter().map(cells).collect(),
            ),
        ],
    })
}

pub(super) fn costs<'a>(report: &Report) -> Option<Section<'a>> {
    let part = report.costs.as_ref()?;
    let mut blocks = vec![block(
        &[
            "Rank", "Item", "Risk", "Low", "Likely", "High", "Mean", "Rests on",
        ],
        part.rows.iter().map(cost).collect(),
    )];
    if part.without_estimate > 0 {
        blocks.push(Block::Said(format!(
            "Without an estimate, and in no total: {} of {}.",
            part.without_estimate,
            part.rows.len()
        )));
    }
    blocks.extend(
        part.totals
            .iter()
            .map(|t| Block::Points(CostTotal::sentences(t))),
    );
    blocks.push(Block::Said("Estimates are those of whoever made them. What nobody has seen is in none of them, nor is what comes to light when things are opened.".into()));
    Some(Section {
        title: "Costs",
        blocks,
    })
}

fn cost(part: &CostPart) -> Vec<String> {
    let row = &part.row;
    let mut cells = vec![
        row.rank.to_string(),
        lines::place(&part.title, row.machine.as_deref()),
        if row.stop {
            format!("STOP {}", row.code)
        } else {
            format!("{} {}", row.risk, row.code)
        },
    ];
    match &row.estimate {
        Some(e) => {
            let currency = e.currency.as_deref().unwrap_or_default();
            let amount = |v: f64| format!("{} {currency}", money(v)).trim_end().to_owned();
            cells.extend([e.low, e.likely, e.high, e.mean].map(amount));
            let rests = e.note.clone().unwrap_or_else(|| "not stated".into());
            cells.push(format!("{rests} ({})", e.at.format("%Y-%m-%d")));
        }
        None => {
            cells.extend(std::iter::repeat_n("-".to_owned(), 4));
            cells.push("no estimate".into());
        }
    }
    cells
}

pub(super) fn readings(report: &Report) -> Option<Section<'_>> {
    if report.readings.is_empty() {
        return None;
    }
    let rows = report.readings.iter().map(lines::reading).collect();
    let mut blocks = vec![block(&lines::READING_HEAD, rows)];
    blocks.extend(report.trends.iter().map(Block::Chart));
    Some(Section {
        title: "Readings",
        blocks,
    })
}

pub(super) fn work<'a>(report: &Report) -> Option<Section<'a>> {
    let mut blocks = Vec::new();
    if !report.due.is_empty() {
        blocks.push(Block::Under("Due".into()));
        blocks.push(block(
            &["What", "Machine", "Over by", "Why"],
            report.due.iter().map(due).collect(),
        ));
    }
    if !report.services.is_empty() {
        blocks.push(Block::Under("Last done".into()));
        let rows = report.services.iter().map(|s| {
            let or = |text: Option<&str>| text.unwrap_or("-").to_owned();
            let mut remarks = s.parts.clone();
            remarks.extend(s.note.clone());
            vec![
                s.title.clone(),
                or(s.machine.as_deref()),
                s.at.format("%Y-%m-%d").to_string(),
                s.hours
                    .map_or_else(|| "not read".into(), |h| format!("{h} h")),
                or(s.by.as_deref()),
                or(Some(remarks.join("; ").as_str()).filter(|r| !r.is_empty())),
            ]
        });
        blocks.push(block(
            &["Work", "Machine", "Date", "Meter", "By", "Parts and note"],
            rows.collect(),
        ));
    }
    (!blocks.is_empty()).then_some(Section {
        title: "Recurring work",
        blocks,
    })
}

fn due(row: &DueRow) -> Vec<String> {
    let over = |left: Option<f64>, unit: &str| {
        left.filter(|l| *l < 0.0)
            .map(|l| format!("{} {unit}", figure(-l)))
    };
    let over: Vec<String> = [over(row.hours_left, "h"), over(row.days_left, "days")]
        .into_iter()
        .flatten()
        .collect();
    vec![
        row.title.clone(),
        row.machine.clone().unwrap_or_else(|| "-".into()),
        if over.is_empty() {
            "due now".to_owned()
        } else {
            over.join(", ")
        },
        lines::sentence(&row.why),
    ]
}
