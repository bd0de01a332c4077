//! What a report tells besides the looks: coverage, costs, readings in time, engine speeds, work.

use super::content::LookPart;
use super::gather::Source;
use super::lines;
use super::parts::{
    CostPart, CostsPart, CoveragePart, SealPart, ServicePart, SpeedGrid, SpeedRow, TrendPart,
    UnsafePart,
};
use super::scribe::Scribe;
use super::words::Words;
use crate::assess::coverage::Coverage;
use crate::defects::Subject;
use crate::defects::ages::Basis;
use crate::defects::list::DefectList;
use crate::defects::survey::{UnsafeFinding, unsafe_findings};
use crate::defects::trends::TrendQuery;
use crate::logbook::Log;
use crate::logbook::seal::{SealError, sealed};
use crate::service::due::{DueRow, Group, due};
use crate::service::status::standings;
use crate::walk::Walk;

/// Fewer readings than this are told in the table alone.
const READINGS: usize = 3;

impl From<Coverage> for CoveragePart {
    fn from(found: Coverage) -> CoveragePart {
        CoveragePart {
            plain: found.plain,
            weighted: found.weighted,
            hidden: found.hidden,
        }
    }
}

impl Scribe<'_> {
    /// What the walk found that forbids running.
    pub(super) fn told(&self, source: &Source<'_>, walk: &Walk) -> Vec<UnsafePart> {
        let found = unsafe_findings(source.boat, source.library, source.history, walk);
        let part = |f: UnsafeFinding| UnsafePart {
            title: self.title(&f.item),
            same_day: f.told_the_same_day(),
            item: f.item,
            rule: self.w.english(f.rule),
            found: f.found,
            told: f.told,
        };
        found.into_iter().map(part).collect()
    }

    /// What putting the rows of a list right may cost, by the estimates on record now; none where
    /// there is no estimate.
    pub(super) fn costs(&self, list: &DefectList) -> Option<CostsPart> {
        let found = self.condition.costs(self.later, list);
        if found.totals.is_empty() {
            return None;
        }
        let rows = found.rows.into_iter().map(|row| CostPart {
            title: self.title(&row.item),
            row,
        });
        let rows: Vec<CostPart> = rows.collect();
        Some(CostsPart {
            without_estimate: rows.iter().filter(|r| r.row.estimate.is_none()).count(),
            rows,
            totals: found.totals,
        })
    }

    /// Readings in time of those subjects that were read often enough, one series each: the
    /// fullest.
    pub(super) fn trends(&self, subjects: impl Iterator<Item = Subject>) -> Vec<TrendPart> {
        let answers = subjects.filter_map(|subject| {
            let reads = self.condition.item(&subject)?.reading.is_some();
            let answer = reads.then(|| {
                self.condition
                    .trend(self.history, &subject, TrendQuery::default())
            })?;
            answer.ok().filter(|a| a.points.len() >= READINGS)
        });
        answers
            .map(|answer| TrendPart {
                title: self.title(&answer.item),
                answer,
            })
            .collect()
    }

    /// Recurring work as it was last done, newest first.
    pub(super) fn services(&self, machine: Option<&str>) -> Vec<ServicePart> {
        let standings = standings(self.condition, self.history);
        let done = standings.iter().filter(|s| concerns(machine, s.machine));
        let done = done.filter_map(|s| match s.basis {
            Basis::Done(service) => Some((s, service)),
            _ => None,
        });
        let mut parts: Vec<ServicePart> = done
            .map(|(standing, service)| ServicePart {
                task: standing.task.id.clone(),
                title: self.w.english(&*standing.task.title),
                machine: standing.machine.map(str::to_owned),
                at: service.at,
                hours: service.rec.hours,
                by: service.rec.by.clone(),
                parts: service.rec.parts.clone(),
                note: service.rec.note.clone(),
            })
            .collect();
        parts.sort_by(|a, b| b.at.cmp(&a.at).then_with(|| a.task.cmp(&b.task)));
        parts
    }

    /// What has come due on the machine and on what the boat has once; on every machine where none
    /// is named.
    pub(super) fn due(&self, machine: Option<&str>) -> Vec<DueRow> {
        let mut rows = due(self.condition, self.history);
        rows.retain(|row| {
            matches!(row.group(), Group::Now | Group::AtLaunch)
                && concerns(machine, row.machine.as_deref())
        });
        rows
    }
}

/// True for what the boat has once, and for the machine reported on.
fn concerns(machine: Option<&str>, own: Option<&str>) -> bool {
    machine.is_none() || own.is_none() || machine == own
}

/// Looks that name an engine speed, item by item: the last at each speed counts.
pub(super) fn speeds(w: Words, looks: &[LookPart]) -> Option<SpeedGrid> {
    let mut speeds: Vec<u32> = looks.iter().filter_map(|l| l.at_rpm).collect();
    speeds.sort_unstable();
    speeds.dedup();
    let mut rows: Vec<SpeedRow> = Vec::new();
    for look in looks {
        let Some(column) = look.at_rpm.and_then(|rpm| speeds.binary_search(&rpm).ok()) else {
            continue;
        };
        let same = |row: &SpeedRow| row.item == look.item && row.machine == look.machine;
        let place = rows.iter().position(same).unwrap_or_else(|| {
            rows.push(SpeedRow {
                item: look.item.clone(),
                title: look.title.clone(),
                machine: look.machine.clone(),
                cells: vec![None; speeds.len()],
            });
            rows.len() - 1
        });
        rows[place].cells[column] = Some(lines::at_speed(w, look.reading.as_deref(), look.grade));
    }
    (!rows.is_empty()).then_some(SpeedGrid { speeds, rows })
}

/// The seal of the records behind a report: up to the end of its walk, or all of them.
///
/// # Errors
/// The walk is not finished, or a record is dated so that no seal has room for it.
pub fn seal(log: &Log, walk: Option<&str>, w: Words) -> Result<SealPart, SealError> {
    let sealed = sealed(log, walk)?;
    Ok(SealPart {
        code: sealed.code.to_string(),
        records: sealed.listing.len(),
        last: sealed.last,
        proves: w.say("seal-proves").into(),
    })
}
