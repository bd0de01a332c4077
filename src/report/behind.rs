//! What may be behind the findings: those that belong together, causes in words, the look that tells.

use super::parts::{BehindLine, BehindPart};
use super::scribe::Scribe;
use crate::causes::say::block;

impl Scribe<'_> {
    /// Of a machine, or of all: where the findings point to something, or something dangerous is not
    /// ruled out.
    pub(super) fn behind(&self, machine: Option<&str>) -> Vec<BehindPart> {
        let machines = self.condition.boat.machines.iter();
        let machines = machines.filter(|m| machine.is_none_or(|id| id == m.id));
        let parts = machines.filter_map(|machine| {
            let behind = self.condition.behind_findings(self.history, &machine.id);
            let mut behind = behind?;
            // Whoever reads it is not standing beside her, so that no look waits for her to cool.
            behind.seen.now = None;
            let judged = behind.judge();
            let speaks = judged.speaks || judged.unasked().next().is_some();
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
