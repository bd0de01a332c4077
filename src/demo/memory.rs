//! What is known at each moment of the story, so that walks are composed as the program would.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use chrono::{DateTime, Duration, FixedOffset};

use crate::boat::Boat;
use crate::checklist::{Checklist, Closing, Grade, Library};
use crate::defects::condition::Condition;
use crate::defects::{History, Service};
use crate::logbook::fold::{Written, apply};
use crate::logbook::record::Record;
use crate::service::{ServiceSheet, service_of};
use crate::walk::{Join, LeftOut, Plan};

/// The records so far, as far as they matter: enough to know what joins a walk. Of the looks
/// it keeps those that change something; all others repeat what is known.
pub(super) struct Memory {
    boat: Boat,
    library: Arc<Library>,
    history: History,
    condition: Condition,
    /// Something changed since the condition was folded.
    stale: bool,
    /// Grade and finding last kept, by item and machine of the walk.
    last: HashMap<(String, String), (Grade, bool)>,
    /// Items with a recheck not yet settled: any look at them may settle it.
    owed: HashSet<String>,
    /// The condition rests on every record.
    whole: bool,
    /// Machine of the walk now recorded.
    machine: String,
    /// Records kept.
    count: usize,
    /// Records told.
    told: usize,
    /// Every record: any look may teach how fast things go, and so when the next one is due.
    all: History,
    /// By machine: no look is due there before this.
    none_due_before: HashMap<String, DateTime<FixedOffset>>,
}

/// After so many days it is asked anew when a look comes due: what the looks teach meanwhile moves
/// it, and new things may have been looked at.
const ASKED_EVERY: i64 = 14;

/// Of meter readings few are kept: enough for the hours at which a look falls due, and the rate of
/// use follows from every pair of them.
const ONE_READING_IN: usize = 8;

impl Memory {
    pub fn new(boat: Boat, library: &Arc<Library>) -> Memory {
        let history = History::default();
        let epoch = DateTime::UNIX_EPOCH.fixed_offset();
        let condition = Condition::of(&boat, Arc::clone(library), &history, epoch);
        Memory {
            boat,
            library: Arc::clone(library),
            history,
            condition,
            stale: true,
            last: HashMap::new(),
            owed: HashSet::new(),
            whole: false,
            machine: String::new(),
            count: 0,
            told: 0,
            all: History::default(),
            none_due_before: HashMap::new(),
        }
    }

    /// Takes in a record.
    pub fn keep(&mut self, at: DateTime<FixedOffset>, record: &Record) {
        // Typed up afterwards, whatever machine's story is told first: each stands at its own time.
        let line = record.at().map_or(at, |own| own + Duration::days(1));
        let written = Written::new(self.told.to_string(), line, record.clone());
        self.told += 1;
        apply(&mut self.all, &[], &written);
        match record {
            Record::WalkStarted(started) => self.machine.clone_from(&started.machine),
            Record::WalkFinished(_) => {}
            Record::Look(made) => {
                let Some(grade) = made.look.grade() else {
                    return;
                };
                let key = (made.look.item.clone(), self.machine.clone());
                let state = (grade, made.look.is_finding());
                let same = self
                    .last
                    .get(&key)
                    .map_or(state == (Grade::Sound, false), |l| *l == state);
                if same && !self.owed.contains(&made.look.item) {
                    return;
                }
                self.last.insert(key, state);
                self.stale = true;
            }
            other => {
                self.stale = true;
                for item in acted_on(other) {
                    self.last.retain(|(i, _), _| i != item);
                    // Whatever is seen next says whether it held.
                    self.last.extend(
                        self.boat
                            .machines
                            .iter()
                            .map(|m| ((item.to_owned(), m.id.clone()), (Grade::Failed, false))),
                    );
                }
                match other {
                    Record::Recheck(recheck) => {
                        self.owed.insert(recheck.item.clone());
                    }
                    Record::Service(service) => {
                        let owed = service.owed.iter().map(|o| o.item.clone());
                        self.owed.extend(owed);
                    }
                    _ => {}
                }
            }
        }
        let mut record = record.clone();
        if let Record::WalkStarted(started) = &mut record {
            started.hours = started
                .hours
                .filter(|_| self.count.is_multiple_of(ONE_READING_IN));
        }
        let written = Written::new(self.count.to_string(), line, record);
        self.count += 1;
        apply(&mut self.history, &[], &written);
    }

    /// Brings the condition up to a time, where anything changed that it rests on.
    pub fn recall(&mut self, at: DateTime<FixedOffset>) {
        if self.stale || !self.owed.is_empty() {
            let library = Arc::clone(&self.library);
            self.whole = !self.owed.is_empty();
            let condition = Condition::of(&self.boat, library, self.needed(), at);
            self.condition = condition;
            self.stale = false;
            let owed = self.condition.owed(self.needed());
            self.owed = owed.map(|o| o.recheck.rec.item.clone()).collect();
            if self.owed.is_empty() {
                // By fewer meter readings what is settled could seem to be owed again.
                self.history.rechecks.clear();
            }
        }
        // A life can end between two changes.
        self.condition.now = at;
    }

    /// As much of the records as is needed: a look owed at a meter reading needs every reading.
    fn needed(&self) -> &History {
        if self.whole { &self.all } else { &self.history }
    }

    /// What joins a walk of a machine now.
    pub fn joins(&mut self, list: &Checklist, machine: &str) -> Vec<Join> {
        let mut joins = self.condition.joins_any(self.needed(), machine);
        let now = self.condition.now;
        let asked = self.none_due_before.get(machine);
        if list.closes_with != Closing::Daily || asked.is_some_and(|time| now < *time) {
            return joins;
        }
        let all = Condition::of(&self.boat, Arc::clone(&self.library), &self.all, now);
        all.add_looks_due(list, machine, &mut joins);
        let next = all.next_looks_beside_the_daily_walk(machine);
        let others = next
            .iter()
            .filter(|look| joins.iter().all(|join| join.item != look.item));
        let days = others
            .filter_map(|look| Some((look.within.date? - now.date_naive()).num_days()))
            .min();
        // Half the way at most, since what is learned meanwhile may bring it nearer.
        let wait = Duration::days(days.map_or(ASKED_EVERY, |days| (days / 2).min(ASKED_EVERY)));
        self.none_due_before.insert(machine.to_owned(), now + wait);
        joins
    }

    /// The rows of a walk.
    pub fn compose(
        &self,
        list: &Checklist,
        left_out: &[LeftOut],
        joins: &[Join],
        machine: &str,
    ) -> Plan {
        self.condition.compose(list, left_out, joins, machine)
    }

    /// The record of a service told at a time; none where the rules refuse it.
    pub fn service(&self, sheet: &ServiceSheet, at: DateTime<FixedOffset>) -> Option<Service> {
        let library = Arc::clone(&self.library);
        let condition = Condition::of(&self.boat, library, &self.all, at);
        service_of(&condition, &self.all, sheet, at).ok()
    }

    /// True where the machine or the boat has the item.
    pub fn has(&self, item: &str, machine: &str) -> bool {
        let life = self.condition.life(item, machine);
        life.is_some_and(|life| !life.standing.removed)
    }
}

fn acted_on(record: &Record) -> Vec<&str> {
    match record {
        Record::Repair(r) => vec![&r.item],
        Record::Withdrawal(r) => vec![&r.item],
        Record::Recheck(r) => vec![&r.item],
        Record::Service(s) => {
            let items = s.renewed.iter().chain(&s.restarted);
            items.map(String::as_str).collect()
        }
        _ => Vec::new(),
    }
}
