//! What to do: a numbered row for each defect in its order, then one for each gap that somebody
//! said how to close. How long each may wait is its class.

use chrono::{DateTime, Duration, FixedOffset};

use super::class::Class;
use super::content::{DefectPart, NotSeenPart};
use super::lines;
use super::parts::Recommendation;
use super::words::{Said, Words};
use crate::assess::exposure::Exposure;
use crate::assess::words::Risk;
use crate::checklist::Grade;
use crate::defects::State;
use crate::defects::list::Row;
use crate::defects::wait::Wait;

/// What lies ahead of whoever reads it.
#[derive(Clone, Copy)]
pub(super) struct Ahead {
    /// Hours and days the defects are ranked over.
    pub exposure: Exposure,
    /// From when.
    pub from: DateTime<FixedOffset>,
}

impl Ahead {
    /// Whether a wait ends within it; one without hours and day does not.
    fn holds(&self, wait: &Wait) -> bool {
        let end = self.from.date_naive() + Duration::days(self.exposure.days.ceil() as i64);
        let hours = wait.hours.is_some_and(|hours| hours <= self.exposure.hours);
        wait.over || hours || wait.date.is_some_and(|day| day <= end)
    }

    /// How long a defect may wait. Of two that would fit the stricter is taken.
    pub(super) fn class(&self, row: &Row) -> Class {
        let ends = |wait: &Option<Wait>| wait.as_ref().is_some_and(|wait| self.holds(wait));
        if row.stop {
            Class::BeforeUse
        } else if row.state == State::Repaired {
            // The work is done; what is left is the look that proves it.
            Class::Watch
        } else if row.risk <= Risk::Serious || ends(&row.fix_within) {
            Class::ByDate
        } else if row.risk == Risk::Medium || row.grade >= Grade::Worn {
            Class::NextLayUp
        } else if ends(&row.look_again_within) {
            Class::Watch
        } else {
            Class::Information
        }
    }
}

/// What to do, in the order of the list of defects, then for what was not seen.
pub(super) fn recommendations(
    w: Words,
    defects: &[DefectPart],
    not_seen: &[NotSeenPart],
    ahead: Ahead,
) -> Vec<Recommendation> {
    let rows = defects.iter().map(|defect| of_defect(w, defect, ahead));
    let gaps = not_seen.iter().filter_map(|gap| of_gap(w, gap));
    rows.chain(gaps)
        .enumerate()
        .map(|(n, row)| Recommendation {
            number: n + 1,
            ..row
        })
        .collect()
}

fn of_defect(w: Words, defect: &DefectPart, ahead: Ahead) -> Recommendation {
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
        class: Some(ahead.class(row)),
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
        class: None,
        title: lines::place(&gap.title, gap.machine.as_deref()),
        what: Said::people(gap.close_by.as_ref()?),
        who: w.say("advise-access").into(),
        by_when: w.say("advise-before-relying").into(),
        proof: w.say("advise-proof-grade").into(),
    })
}
