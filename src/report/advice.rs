//! What to do: a numbered row for each defect in its order, then one for each gap that somebody
//! said how to close.

use super::content::{DefectPart, NotSeenPart};
use super::lines;
use super::parts::Recommendation;
use super::words::{Said, Words};
use crate::defects::State;

/// What to do, in the order of the list of defects, then for what was not seen.
pub(super) fn recommendations(
    w: Words,
    defects: &[DefectPart],
    not_seen: &[NotSeenPart],
) -> Vec<Recommendation> {
    let rows = defects.iter().map(|defect| of_defect(w, defect));
    let gaps = not_seen.iter().filter_map(|gap| of_gap(w, gap));
    rows.chain(gaps)
        .enumerate()
        .map(|(n, row)| Recommendation {
            number: n + 1,
            ..row
        })
        .collect()
}

fn of_defect(w: Words, defect: &DefectPart) -> Recommendation {
    let row = &defect.row;
    let repaired = row.state == State::Repaired;
    let (what, by_when) = if repaired {
        let again = row.look_again_within.as_ref();
        (
            w.say("advise-look-again").into(),
            again.map_or_else(|| w.say("advise-next-walk").into(), |a| lines::wait(w, a)),
        )
    } else {
        (defect.remedy.clone(), lines::fix_within(w, row))
    };
    Recommendation {
        number: 0,
        rank: Some(row.rank),
        title: lines::place(&defect.title, row.machine.as_deref()),
        what,
        who: if repaired {
            w.say("advise-next-walker").into()
        } else {
            lines::who_where(w, &row.remedy)
        },
        by_when,
        proof: if repaired {
            w.say("advise-proof-look").into()
        } else {
            w.say("advise-proof-repair").into()
        },
    }
}

fn of_gap(w: Words, gap: &NotSeenPart) -> Option<Recommendation> {
    Some(Recommendation {
        number: 0,
        rank: None,
        title: lines::place(&gap.title, gap.machine.as_deref()),
        what: Said::people(gap.close_by.as_ref()?),
        who: w.say("advise-access").into(),
        by_when: w.say("advise-before-relying").into(),
        proof: w.say("advise-proof-grade").into(),
    })
}
