//! Which jobs before leaving have their part aboard: one spare goes into one job.

use std::collections::BTreeMap;

use super::condition::Condition;
use super::history::History;
use super::job_spare::{JobSpare, ToHand};
use super::leaving::Leaving;
use super::locker::LockerRow;

/// The locker while jobs are gone through.
struct Stock {
    rows: Vec<LockerRow>,
    /// So many go into jobs before this one, by place.
    spoken_for: BTreeMap<usize, f64>,
    today: chrono::NaiveDate,
}

impl Condition {
    /// Says of every job whether its spare is aboard, in the order they are told of.
    pub(super) fn tell_spares(&self, history: &History, leaving: &mut Leaving) {
        let rows = self.locker(history, self.boat.waters);
        let mut stock = Stock {
            rows: rows.into_iter().filter(LockerRow::is_on_record).collect(),
            spoken_for: BTreeMap::new(),
            today: self.now.date_naive(),
        };
        for row in &mut leaving.must {
            row.spare = stock.next(&row.item, row.machine.as_deref());
        }
        let jobs = leaving.worth_doing.iter_mut().chain(&mut leaving.can_wait);
        for row in jobs {
            row.spare = stock.next(&row.item, row.machine.as_deref());
        }
    }
}

impl Stock {
    /// The spare of the next job; none where nothing on record serves it.
    fn next(&mut self, item: &str, machine: Option<&str>) -> Option<JobSpare> {
        let serves = |row: &&LockerRow| row.fits(machine) && row.items.iter().any(|i| i == item);
        let all: Vec<usize> = (0..self.rows.len())
            .filter(|at| self.rows.get(*at).is_some_and(|row| serves(&row)))
            .collect();
        let free = |at: &&usize| {
            let taken = self.spoken_for.get(*at).copied().unwrap_or(0.0);
            self.rows[**at].is_here(self.today) && self.rows[**at].count - taken >= 1.0
        };
        if let Some(at) = all.iter().find(free).copied() {
            *self.spoken_for.entry(at).or_insert(0.0) += 1.0;
            return Some(self.told(at, ToHand::Aboard));
        }
        let here = |at: &&usize| self.rows[**at].is_here(self.today);
        let spoken = all
            .iter()
            .find(here)
            .map(|at| self.told(*at, ToHand::SpokenFor));
        spoken.or_else(|| all.first().map(|at| self.told(*at, ToHand::Missing)))
    }

    fn told(&self, at: usize, to_hand: ToHand) -> JobSpare {
        let row = &self.rows[at];
        let title = &row.title;
        let words = match to_hand {
            ToHand::Aboard => {
                let lies = row.lies.as_ref().map(|lies| format!(", {lies}"));
                let seen = match row.counted {
                    Some(at) => format!(", counted {}", at.date_naive()),
                    None => ", never counted".to_owned(),
                };
                let many = row.how_many();
                format!("Aboard: {title}, {many}{}{seen}", lies.unwrap_or_default())
            }
            ToHand::Missing => format!("Not aboard: {title}, none to be used by the record"),
            ToHand::SpokenFor => {
                format!("Not aboard for this: {title}, what there is goes into a job above")
            }
        };
        JobSpare {
            spare: row.spare.clone(),
            to_hand,
            words,
        }
    }
}
