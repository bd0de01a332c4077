//! What may be behind the findings: those that belong together, causes in words, the look that tells.

use super::content::Report;
use super::gather::Scribe;
use super::parts::{BehindLine, BehindPart};
use super::sections::{Block, Section};
use crate::causes::say::{JUDGEMENT, block};

impl Scribe<'_> {
    /// Of a machine, or of all: where the findings point to something, or something dangerous is not
    /// ruled out.
    pub(super) fn behind(&self, machine: Option<&str>) -> Vec<BehindPart> {
        let machines = self.condition.boat.machines.iter();
        let machines = machines.filter(|m| machine.is_none_or(|id| id == m.id));
        let parts = machines.filter_map(|machine| {
            let mut behind = self.condition.behind(self.history, &machine.id);
            if !behind.has_findings() {
                return None;
            }
            // Whoever reads it is not standing beside her, so that no look waits for her to cool.
            behind.seen.now = None;
            let judged = behind.judge();
            let speaks = judged.speaks || !judged.dangers.is_empty();
            let lines = block(&judged).into_iter().map(|line| BehindLine {
                lead: line.lead.to_owned(),
                text: line.text,
            });
            speaks.then(|| BehindPart {
                machine: machine.id.clone(),
                name: machine.name.clone(),
                lines: lines.collect(),
            })
        });
        parts.collect()
    }
}

/// The section of it; none where nothing is said.
pub(super) fn section(report: &Report) -> Option<Section<'_>> {
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
