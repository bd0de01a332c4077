//! What to do: a numbered row for each defect in its order, then one for each gap that somebody
//! said how to close.

use super::content::{DefectPart, NotSeenPart};
use super::lines;
use super::parts::Recommendation;
use crate::defects::State;

/// What to do, in the order of the list of defects, then for what was not seen.
pub(super) fn recommendations(
    defects: &[DefectPart],
    not_seen: &[NotSeenPart],
) -> Vec<Recommendation> {
    let rows = defects.iter().map(of_defect);
    let gaps = not_seen.iter().filter_map(of_gap);
    rows.chain(gaps)
        .enumerate()
        .map(|(n, row)| Recommendation {
            number: n + 1,
            ..row
        })
        .collect()
}

fn of_defect(defect: &DefectPart) -> Recommendation {
    let row = &defect.row;
    let repaired = row.state == State::Repaired;
    let (what, by_when) = if repaired {
        let again = row.look_again_within.as_ref();
        (
            "repaired; look at it again".to_owned(),
            again.map_or_else(|| "at the next walk".to_owned(), lines::wait),
        )
    } else {
        (row.remedy.action.clone(), lines::fix_within(row))
    };
    Recommendation {
        number: 0,
        rank: Some(row.rank),
        title: lines::place(&defect.title, row.machine.as_deref()),
        what,
        who: if repaired {
            "whoever walks next".to_owned()
        } else {
            format!(
                "{}, {}",
                row.remedy.who,
                row.remedy.place.as_str().replace('-', " ")
            )
        },
        by_when,
        proof: if repaired {
            "a look that finds it sound".to_owned()
        } else {
            "the repair on record, and a look afterwards that finds it sound".to_owned()
        },
    }
}

fn of_gap(gap: &NotSeenPart) -> Option<Recommendation> {
    Some(Recommendation {
        number: 0,
        rank: None,
        title: lines::place(&gap.title, gap.machine.as_deref()),
        what: gap.close_by.clone()?,
        who: "whoever can give access".to_owned(),
        by_when: "before anyone relies on it".to_owned(),
        proof: "a look with a grade".to_owned(),
    })
}
