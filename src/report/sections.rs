//! Sections that HTML and Markdown write alike: sentences, lists, tables and drawings under a
//! heading.

use super::before_leaving;
use super::blocks::{Block, Column, Section, Table};
use super::content::Report;
use super::lines;
use super::parts::{BehindLine, CostPart, CoveragePart, Recommendation, UnsafePart};
use super::trial;
use super::words::{Said, Words, told};
use crate::assess::chance::UNSEEN;
use crate::assess::coverage::Hidden;
use crate::causes::say::JUDGEMENT;
use crate::defects::NotCounted;
use crate::defects::costs::CostTotal;
use crate::service::due::DueRow;
use crate::walk::Agreed;
use crate::walk::agreed::NOT_NOTED;

fn block<'a>(w: Words, head: &[Column], rows: Vec<Vec<Said>>) -> Block<'a> {
    Block::Table(Table::new(w, head, rows))
}

fn said<'a>(w: Words, name: &str) -> Block<'a> {
    Block::Said(w.say(name).into())
}

fn or_said<'a>(w: Words, head: &[Column], rows: Vec<Vec<Said>>, none: &str) -> Block<'a> {
    if rows.is_empty() {
        said(w, none)
    } else {
        block(w, head, rows)
    }
}

/// What stands before the defects.
pub fn before_defects(report: &Report) -> Vec<Section<'_>> {
    let w = report.language.words();
    let unseen = report.not_seen.iter().map(|n| lines::not_seen(w, n));
    let unseen = or_said(w, &lines::NOT_SEEN_HEAD, unseen.collect(), "not-seen-none");
    let list =
        |name, sentences: &[Said]| Section::new(w, name, vec![Block::Points(sentences.to_vec())]);
    let mut sections: Vec<Section<'_>> = not_counted(report).into_iter().collect();
    sections.extend(before_leaving::section(report));
    sections.push(list("section-scope", &report.scope));
    sections.push(list("section-limitations", &report.limitations));
    sections.extend(report.agreed.as_ref().map(|part| agreed(w, part)));
    sections.extend(told_whom(report));
    sections.push(Section::new(w, "section-not-seen", vec![unseen]));
    sections.extend(report.coverage.as_ref().map(|c| coverage(report, c)));
    sections
}

/// What is on record and not counted.
pub(super) fn not_counted(report: &Report) -> Option<Section<'_>> {
    let w = report.language.words();
    let sentence = |told: &NotCounted| w.english(told.sentence());
    let told: Vec<Said> = report.not_counted.iter().map(sentence).collect();
    (!told.is_empty()).then(|| {
        let blocks = vec![said(w, "not-counted-about"), Block::Points(told)];
        Section::new(w, "section-not-counted", blocks)
    })
}

/// What stands after the defects, but for the close.
pub fn after_defects(report: &Report) -> Vec<Section<'_>> {
    let w = report.language.words();
    let mut sections = Vec::new();
    sections.extend(behind(report));
    sections.extend(recommendations(w, &report.recommendations));
    sections.extend(costs(report));
    sections.extend(readings(report));
    sections.extend(report.trial.as_ref().map(|part| trial::section(w, part)));
    sections.extend(work(report));
    sections.extend(appendix(report));
    sections
}

/// Every look, the method, the cautions, the seal.
pub(super) fn appendix(report: &Report) -> Vec<Section<'_>> {
    let w = report.language.words();
    let mut sections = Vec::new();
    let rows = report.looks.iter().map(|l| lines::look(w, l)).collect();
    sections.push(Section::new(
        w,
        match report.walk {
            Some(_) => "looks-of-walk",
            None => "looks-last",
        },
        vec![or_said(w, &lines::LOOK_HEAD, rows, "looks-none")],
    ));
    let list =
        |name, sentences: &[Said]| Section::new(w, name, vec![Block::Points(sentences.to_vec())]);
    sections.push(list("section-method", &report.method));
    sections.push(list("section-cautions", &report.cautions));
    sections.extend(report.seal.as_ref().map(|seal| {
        let stands = match seal.last {
            Some(at) => told!(w, "seal-stands-last", n = seal.records, at = w.moment(at)),
            None => told!(w, "seal-stands", n = seal.records),
        };
        let blocks = vec![
            Block::Code(seal.code.clone()),
            Block::Said(stands),
            Block::Said(seal.proves.clone()),
        ];
        Section::new(w, "section-seal", blocks)
    }));
    sections
}

pub(super) fn agreed<'a>(w: Words, part: &Agreed) -> Section<'a> {
    let names = [
        "agreed-runs",
        "agreed-open",
        "agreed-samples",
        "agreed-throttle",
        "agreed-arrival",
        "agreed-started",
    ];
    let answer = |(name, (_, answer)): (&str, (&str, Option<&str>))| {
        let answer = match answer {
            Some(NOT_NOTED) => w.say("agreed-not-noted").into(),
            Some(answer) => Said::people(answer),
            None => w.say("agreed-not").into(),
        };
        told!(w, "of-item", item = w.say(name), said = answer)
    };
    let answers = names.into_iter().zip(part.answers()).map(answer);
    Section::new(w, "section-agreed", vec![Block::Points(answers.collect())])
}

pub(super) fn told_whom<'a>(report: &Report) -> Option<Section<'a>> {
    let w = report.language.words();
    let cells = |part: &UnsafePart| {
        let told = part.told.as_ref();
        let whom = told.map(|told| Said::people(&told.whom));
        vec![
            part.title.clone(),
            part.rule.clone(),
            w.moment(part.found).into(),
            whom.unwrap_or_else(|| w.say("told-nobody").into()),
            match told {
                Some(told) if part.same_day => w.moment(told.at).into(),
                Some(told) => told!(w, "told-late", at = w.moment(told.at)),
                None => "-".into(),
            },
        ]
    };
    (!report.told.is_empty()).then(|| {
        let head = [
            "col-item",
            "col-rule",
            "col-found",
            "col-told",
            "col-told-at",
        ];
        let rows = report.told.iter().map(cells).collect();
        let table = block(w, &head.map(Column::kept), rows);
        Section::new(w, "section-told", vec![table])
    })
}

pub(super) fn coverage<'a>(report: &Report, part: &CoveragePart) -> Section<'a> {
    let w = report.language.words();
    let share = |share: Option<f64>| share.map_or_else(|| "-".to_owned(), |s| w.percent(s));
    let mut blocks = vec![Block::Said(told!(
        w,
        "coverage",
        seen = report.summary.seen,
        asked = report.summary.asked,
        plain = share(part.plain),
        weighted = share(part.weighted)
    ))];
    if !part.hidden.is_empty() {
        let [_, _, worn, failing, failed] = UNSEEN.map(|share| w.percent(share));
        let head = [
            "col-severity",
            "col-items",
            "col-never",
            "col-mean-worn",
            "col-mean-fail",
            "col-any-fail",
        ];
        let rows = part.hidden.iter().map(|part| hidden(w, part));
        blocks.push(Block::Under(w.say("hidden").into()));
        blocks.push(block(w, &head.map(Column::kept), rows.collect()));
        blocks.push(Block::Said(told!(
            w,
            "hidden-about",
            hours = w.number(report.exposure.hours, 0),
            days = w.number(report.exposure.days, 0),
            worn = worn,
            failing = failing,
            failed = failed
        )));
    }
    Section::new(w, "section-coverage", blocks)
}

fn hidden(w: Words, part: &Hidden) -> Vec<Said> {
    let cells = [
        format!("{} {}", part.severity.digit(), w.word(part.severity)),
        part.items.to_string(),
        part.never_seen.to_string(),
        w.figure(part.expected_worn),
        w.number(part.expected_failures, 2),
        w.percent(part.any_fails),
    ];
    cells.map(Said::from).into()
}

/// The section of it; none where nothing is said.
pub(super) fn behind(report: &Report) -> Option<Section<'_>> {
    let w = report.language.words();
    let several = report.behind.len() > 1;
    let judgement = w.english(JUDGEMENT);
    let mut blocks = vec![Block::Said(told!(w, "behind-about", judgement = judgement))];
    for part in &report.behind {
        blocks.extend(several.then(|| Block::Under(Said::people(&part.name))));
        blocks.extend(grouped(w, &part.lines));
    }
    (!report.behind.is_empty()).then(|| Section::new(w, "section-behind", blocks))
}

/// Lines that begin with a dash as one list, the others as sentences.
fn grouped<'a>(w: Words, lines: &[BehindLine]) -> Vec<Block<'a>> {
    let mut blocks: Vec<Block<'a>> = Vec::new();
    for line in lines {
        let said = format!("{}{}", line.lead.trim_start(), line.text);
        let point = || w.english(&*line.text);
        match (line.lead.trim(), blocks.last_mut()) {
            ("-", Some(Block::Points(points))) => points.push(point()),
            ("-", _) => blocks.push(Block::Points(vec![point()])),
            _ => blocks.push(Block::Said(w.english(said.trim()))),
        }
    }
    blocks
}

fn recommendations<'a>(w: Words, rows: &[Recommendation]) -> Option<Section<'a>> {
    let cells = |r: &Recommendation| {
        vec![
            r.number.to_string().into(),
            r.title.clone(),
            r.what.clone(),
            r.who.clone(),
            r.by_when.clone(),
        ]
    };
    (!rows.is_empty()).then(|| {
        let head = [
            Column::unbroken("col-no"),
            Column::kept("col-item"),
            Column::kept("col-what"),
            Column::kept("col-who"),
            Column::kept("col-by-when"),
        ];
        let rows = rows.iter().map(cells).collect();
        let blocks = vec![said(w, "recommendations-about"), block(w, &head, rows)];
        Section::new(w, "section-recommendations", blocks)
    })
}

pub(super) fn costs<'a>(report: &Report) -> Option<Section<'a>> {
    let (w, part) = (report.language.words(), report.costs.as_ref()?);
    let head = [
        "col-rank",
        "col-item",
        "col-risk",
        "col-low",
        "col-likely",
        "col-high",
        "col-mean",
        "col-rests",
    ];
    let rows = part.rows.iter().map(|part| cost(w, part)).collect();
    let mut blocks = vec![block(w, &head.map(Column::kept), rows)];
    if part.without_estimate > 0 {
        blocks.push(Block::Said(told!(
            w,
            "costs-without",
            n = part.without_estimate,
            all = part.rows.len()
        )));
    }
    blocks.extend(
        part.totals
            .iter()
            .map(|total| Block::Points(sums(w, total))),
    );
    blocks.push(said(w, "costs-about"));
    Some(Section::new(w, "section-costs", blocks))
}

/// What estimates in one currency come to, a sentence each.
fn sums(w: Words, total: &CostTotal) -> Vec<Said> {
    let amount = |v: f64| amount(w, v, total.currency.as_deref());
    let range = |name: &str, range: &crate::assess::cost::Range| {
        let ends = [
            ("low", w.money(range.p10).into()),
            ("high", amount(range.p90).into()),
        ];
        w.told(name, &ends)
    };
    vec![
        told!(
            w,
            "costs-mean",
            n = total.estimates,
            mean = amount(total.mean)
        ),
        range("costs-independent", &total.independent),
        range("costs-dependent", &total.dependent),
        told!(
            w,
            "costs-ends",
            low = w.money(total.low),
            high = amount(total.high)
        ),
    ]
}

/// An amount in the currency of its estimate, where one was named.
fn amount(w: Words, amount: f64, currency: Option<&str>) -> Said {
    let mut said = Said::from(w.money(amount));
    if let Some(currency) = currency {
        said.push(" ");
        said.push(Said::people(currency));
    }
    said
}

fn cost(w: Words, part: &CostPart) -> Vec<Said> {
    let row = &part.row;
    let risk = match row.stop {
        true => w.say("cost-stop"),
        false => w.word(row.risk),
    };
    let mut cells = vec![
        row.rank.to_string().into(),
        lines::place(&part.title, row.machine.as_deref()),
        format!("{risk} {}", row.code).into(),
    ];
    match &row.estimate {
        Some(e) => {
            let amount = |v: f64| amount(w, v, e.currency.as_deref());
            cells.extend([e.low, e.likely, e.high, e.mean].map(amount));
            let rests = e.note.as_ref().map(Said::people);
            let mut rests = rests.unwrap_or_else(|| w.say("not-stated").into());
            rests.push(format!(" ({})", lines::short_day(e.at)));
            cells.push(rests);
        }
        None => {
            cells.extend(std::iter::repeat_n(Said::from("-"), 4));
            cells.push(w.say("no-estimate").into());
        }
    }
    cells
}

pub(super) fn readings(report: &Report) -> Option<Section<'_>> {
    if report.readings.is_empty() {
        return None;
    }
    let w = report.language.words();
    let rows = report.readings.iter().map(|r| lines::reading(w, r));
    let mut blocks = vec![block(w, &lines::READING_HEAD, rows.collect())];
    blocks.extend(report.trends.iter().map(Block::Chart));
    Some(Section::new(w, "section-readings", blocks))
}

pub(super) fn work<'a>(report: &Report) -> Option<Section<'a>> {
    let w = report.language.words();
    let mut blocks = Vec::new();
    if !report.due.is_empty() {
        let head = ["col-due", "col-machine", "col-over", "col-why"].map(Column::kept);
        let rows = report.due.iter().map(|row| due(w, row));
        blocks.push(Block::Under(w.say("work-due").into()));
        blocks.push(block(w, &head, rows.collect()));
    }
    if !report.services.is_empty() {
        let rows = report.services.iter().map(|s| {
            let or = |text: Option<&str>| text.map_or_else(|| Said::from("-"), Said::people);
            let mut remarks = s.parts.clone();
            remarks.extend(s.note.clone());
            vec![
                s.title.clone(),
                or(s.machine.as_deref()),
                lines::short_day(s.at).into(),
                s.hours.map_or_else(
                    || w.say("not-read").into(),
                    |h| format!("{} h", w.figures(h.to_string())).into(),
                ),
                or(s.by.as_deref()),
                or(Some(remarks.join("; ").as_str()).filter(|r| !r.is_empty())),
            ]
        });
        let head = [
            Column::kept("col-work"),
            Column::kept("col-machine"),
            Column::unbroken("col-date"),
            Column::kept("col-meter"),
            Column::kept("col-by"),
            Column::kept("col-parts"),
        ];
        blocks.push(Block::Under(w.say("work-done").into()));
        blocks.push(block(w, &head, rows.collect()));
    }
    (!blocks.is_empty()).then(|| Section::new(w, "section-work", blocks))
}

fn due(w: Words, row: &DueRow) -> Vec<Said> {
    let over = |left: Option<f64>, name: &str| {
        let left = left.filter(|left| *left < 0.0)?;
        Some(w.told(name, &[("n", w.figure(-left).into())]))
    };
    let over = [
        over(row.hours_left, "over-hours"),
        over(row.days_left, "over-days"),
    ];
    let over: Vec<Said> = over.into_iter().flatten().collect();
    vec![
        w.english(&*row.title),
        row.machine
            .as_ref()
            .map_or_else(|| "-".into(), Said::people),
        match over.is_empty() {
            true => w.say("due-now").into(),
            false => Said::join(over, ", "),
        },
        w.english(&*row.why).sentence(),
    ]
}
