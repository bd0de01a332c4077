//! The looks of a sheet, each judged against the state after the looks before it.

use std::sync::Arc;

use super::super::input::{Document, WalkSheet};
use crate::checklist::{Checklist, Grade, Phase};
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::walk::TimedLook;
use crate::walk::round::counted;

/// The looks of a sheet with the phases they belong to, and what the rules say of them.
pub(super) struct Judged {
    /// In the order of the sheet.
    pub(super) looks: Vec<TimedLook>,
    /// What stands against them.
    pub(super) faults: Vec<Fault>,
    /// What is taken and has to be said.
    pub(super) notes: Vec<String>,
}

/// Judges the looks of a sheet about a machine; `condition` is the state before the sheet. What is
/// better than a look before it in the same sheet and does not say why is no fault: within a walk
/// the worse counts, and that is said.
pub(super) fn judge(
    condition: &Condition,
    document: &Document,
    sheet: &WalkSheet,
    machine: &str,
    checklist: &Checklist,
) -> Judged {
    let mut judged = Judged {
        looks: Vec::with_capacity(sheet.looks.len()),
        faults: Vec::new(),
        notes: Vec::new(),
    };
    for (n, look) in sheet.looks.iter().enumerate() {
        let mut look = look.clone();
        look.phase = look.phase.or_else(|| phase_of(checklist, &look.item));
        let mut found = condition.look_faults(&look, machine, checklist);
        let before = so_far(&judged.looks, &look.item);
        // Who did not see the earlier grade cannot say why this one is better; what was seen before
        // the sheet is past for all but the first look at an item.
        found.retain(|(field, _)| field != "better" || !(sheet.blind || before.is_some()));
        let named = |(field, message)| (format!("looks[{n}].{field}"), message);
        judged.faults.extend(found.into_iter().map(named));
        let look = Arc::new(look);
        judged.looks.push(TimedLook {
            id: String::new(),
            at: sheet.at,
            place: n,
            verified: true,
            look: Arc::clone(&look),
        });
        let after = so_far(&judged.looks, &look.item);
        if let (Some(grade), Some(worse)) = (look.grade(), after.filter(|_| before.is_some()))
            && worse > grade
        {
            let message = format!(
                "{} is {grade} after {worse} in the same walk, and nothing says why it is better; the worse counts",
                look.item
            );
            let note = document.complaint(&format!("looks[{n}].grade"), message);
            judged.notes.push(note.to_string());
        }
    }
    judged
}

/// The rung that counts after these looks at an item; none where it was not graded.
fn so_far(looks: &[TimedLook], item: &str) -> Option<Grade> {
    let here = looks.iter().filter(|t| t.look.item == item);
    counted(here, &[]).map(|(grade, _)| grade)
}

/// The phase of a look that names none: the first that asks its item, else the first.
fn phase_of(checklist: &Checklist, item: &str) -> Option<String> {
    let asks = |phase: &&Phase| {
        let mut items = phase.rows.iter().flat_map(|r| &r.items);
        items.any(|i| i == item)
    };
    let phases = &checklist.phases;
    let phase = phases.iter().find(asks).or(phases.first());
    phase.map(|p| p.id.clone())
}
