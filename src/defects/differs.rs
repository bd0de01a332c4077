//! What becomes different when a record is taken back or put right, in words: stops first, then the
//! list, what goes along, hours, verdicts.

use std::collections::BTreeSet;

use super::acts::Recheck;
use super::condition::Condition;
use super::doubt::Doubt;
use super::history::{History, Stamped};
use super::meter_reads::MeterRead;
use super::owed::subject_of;
use super::subject::Subject;
use super::verdict::verdict;
use crate::assess::words::Verdict;
use crate::boat::Hours;
use crate::checklist::Grade;
use crate::text::safe_line;
use crate::walk::When;

/// So much is told; the rest is counted.
const TOLD: usize = 12;

/// One state of the record.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// What the records say.
    pub history: &'a History,
    /// What follows from it.
    pub condition: &'a Condition,
}

/// What differs from one state to another, each in a sentence without a full stop.
pub fn differences(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let lives = before
        .condition
        .lives
        .keys()
        .chain(after.condition.lives.keys());
    let subjects: BTreeSet<&Subject> = lives.collect();
    let stops = subjects.iter().filter_map(|s| stop(before, after, s));
    let owed = new_blocks(before.condition, after.condition);
    let owed = owed
        .into_iter()
        .map(|told| format!("no verdict is clear: {told}"));
    let rows = subjects.iter().filter_map(|s| row(before, after, s));
    let all = stops.chain(owed).chain(reckoned(before, after));
    let all = all
        .chain(rows)
        .chain(along(before, after))
        .chain(hours(before, after))
        .chain(verdicts(before, after));
    let mut told: Vec<String> = all.collect();
    let more = told.len().saturating_sub(TOLD);
    if more > 0 {
        told.truncate(TOLD);
        told.push(format!("and {more} more"));
    }
    told
}

/// What becomes of figures that were reckoned from a meter, where a reading is put right or goes: those
/// that follow it, those that stay since nothing stands in its place, and those whose record does not
/// say what they were reckoned from, which somebody has to answer for.
pub fn reckoned(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let mut told = shifted(before, after);
    for machine in &before.condition.boat.machines {
        let reads = before.history.meter_reads(&machine.id);
        let after_reads = after.history.meter_reads(&machine.id);
        for (n, read) in reads.iter().enumerate() {
            let place = read.when.place;
            let now = after_reads.iter().find(|now| now.when.place == place);
            if read.id.is_none() || now.is_some_and(|now| now.hours == read.hours) {
                continue;
            }
            let until = reads.get(n + 1).map(|next| next.when);
            let stays = Stays {
                before,
                machine: &machine.id,
                read: *read,
                until,
                gone: now.is_none(),
            };
            told.extend(stays.looks());
            told.extend(stays.meters());
        }
    }
    told
}

fn shifted(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let owed = |side: Side<'_>| -> Vec<String> {
        let owed = side.condition.owed(side.history);
        owed.map(|owed| owed.recheck.id.clone()).collect()
    };
    let open: BTreeSet<String> = owed(before).into_iter().chain(owed(after)).collect();
    let looks = before.history.rechecks.iter().filter_map(|was| {
        let mut all = after.history.rechecks.iter();
        let is = all.find(|is| is.id == was.id && open.contains(&is.id))?;
        let (then, now) = (was.rec.due_hours?, is.rec.due_hours?);
        let title = after.condition.title_of(&subject_of(is));
        (then != now)
            .then(|| format!("the look owed at {title} is due at {now} h in place of {then} h"))
    });
    let meters = before.history.meters.iter().filter_map(|was| {
        let mut all = after.history.meters.iter();
        let is = all.find(|is| is.id == was.id && is.rec.old != was.rec.old)?;
        let day = is.at.format("%-d %b %Y");
        Some(format!(
            "the meter taken out on {day} showed {} h in place of {} h",
            is.rec.old, was.rec.old
        ))
    });
    looks.chain(meters).collect()
}

/// A reading that is put right or goes, and what stays as it is.
struct Stays<'a> {
    before: Side<'a>,
    machine: &'a str,
    read: MeterRead<'a>,
    /// When the next reading was taken.
    until: Option<When>,
    /// No reading stands in its place.
    gone: bool,
}

impl Stays<'_> {
    fn looks(&self) -> Vec<String> {
        let owed = self.before.condition.owed(self.before.history);
        let looks = owed.filter_map(|owed| {
            let look = owed.recheck;
            let due = look.rec.due_hours?;
            let title = self.before.condition.title_of(&subject_of(look));
            let by = safe_line(&look.id);
            match look.rec.from.as_deref() {
                None if self.may_rest(look) => Some(format!(
                    "the look owed at {title} stays due at {due} h, and its record does not say from which reading that was reckoned: if it was from {} h, put it right too, entry {by}",
                    self.read.hours
                )),
                from @ Some(_) if self.gone && from == self.read.id && !self.is_its_own(look) => Some(format!(
                    "the look owed at {title} stays due at {due} h, reckoned from {} h: if that is wrong, put it right too, entry {by}",
                    self.read.hours
                )),
                _ => None,
            }
        });
        looks.collect()
    }

    /// True where a look that does not name its reading was told while this one was the last.
    fn may_rest(&self, look: &Stamped<Recheck>) -> bool {
        let mut machines = self.before.condition.boat.machines.iter();
        let first = || machines.next().map(|m| m.id.as_str());
        let here = look.rec.machine.as_deref().or_else(first) == Some(self.machine);
        let then = look.when();
        here && then >= self.read.when && self.until.is_none_or(|until| then < until)
    }

    /// True where a look goes with the very service that says the reading.
    fn is_its_own(&self, look: &Stamped<Recheck>) -> bool {
        let mut services = self.before.history.services.iter();
        services.any(|service| service.place == look.place)
    }

    fn meters(&self) -> Vec<String> {
        let hours = self.read.hours;
        let meters = self.before.history.meters.iter().filter(|m| {
            let own = self.read.id == Some(m.id.as_str());
            m.rec.machine == self.machine && !own
        });
        let told = meters.filter_map(|meter| {
            let change = &meter.rec;
            let out = change.old == hours && meter.at == self.read.when.at;
            let out = out && (change.from.is_none() || self.gone);
            let first = change.new == hours && self.read.when.at >= meter.at;
            let end = match (out, first) {
                (true, _) => "last of the meter taken out",
                (_, true) => "first of the meter put in",
                _ => return None,
            };
            let day = meter.at.format("%-d %b %Y");
            let by = safe_line(&meter.id);
            Some(format!(
                "{hours} h stays the {end} on {day}: if it was this reading, put it right too, entry {by}"
            ))
        });
        told.collect()
    }
}

/// What forbids a clear verdict after, and did not before.
pub fn new_blocks(before: &Condition, after: &Condition) -> Vec<String> {
    let known: Vec<&Doubt> = before.doubts.iter().filter(|d| d.blocks()).collect();
    let new = after
        .doubts
        .iter()
        .filter(|d| d.blocks() && !known.contains(d));
    new.map(|doubt| after.sentence_of(doubt)).collect()
}

impl Condition {
    /// A doubt in words, its item by title.
    fn sentence_of(&self, doubt: &Doubt) -> String {
        let item = doubt.told.item.as_deref();
        let title = item.and_then(|id| self.library.catalogue.item(id));
        match title {
            Some(item) => format!("{}: {}", item.title, doubt.told.why),
            None => doubt.told.sentence(),
        }
    }

    fn title_of(&self, subject: &Subject) -> String {
        let item = self.library.catalogue.item(&subject.item);
        let title = item.map_or(subject.item.as_str(), |item| item.title.as_str());
        let machine = subject
            .machine
            .as_ref()
            .filter(|_| self.boat.machines.len() > 1);
        let machine = machine.and_then(|id| self.boat.machines.iter().find(|m| m.id == *id));
        machine.map_or(title.to_owned(), |m| format!("{title} ({})", m.name))
    }

    fn stop_on(&self, subject: &Subject) -> Option<String> {
        let life = self.lives.get(subject)?;
        self.stop_rule(subject, self.item(subject)?, life, self.boat.waters)
    }

    /// The rung with which an item stands on the list; none where it does not.
    fn listed(&self, subject: &Subject) -> Option<Grade> {
        let life = self.lives.get(subject)?;
        life.current()?;
        self.counted_grade(subject, self.item(subject)?, life)
    }
}

fn stop(before: Side<'_>, after: Side<'_>, subject: &Subject) -> Option<String> {
    let title = after.condition.title_of(subject);
    let (was, is) = (
        before.condition.stop_on(subject),
        after.condition.stop_on(subject),
    );
    match (was, is) {
        (Some(_), None) => Some(format!("the stop on {title} goes")),
        (None, Some(rule)) => Some(format!("a stop on {title} comes: {rule}")),
        _ => None,
    }
}

fn row(before: Side<'_>, after: Side<'_>, subject: &Subject) -> Option<String> {
    let title = after.condition.title_of(subject);
    match (
        before.condition.listed(subject),
        after.condition.listed(subject),
    ) {
        (Some(was), None) => Some(format!("{title} ({was}) leaves the list")),
        (None, Some(is)) => Some(format!("{title} comes on the list: {is}")),
        (Some(was), Some(is)) if was != is => Some(format!("{title}: {is} in place of {was}")),
        _ => None,
    }
}

/// What goes along: walks, looks and acts.
fn along(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let counts = |history: &History| {
        [
            ("look", history.walks.iter().map(|w| w.looks.len()).sum()),
            ("walk", history.walks.len()),
            ("repair", history.repairs.len()),
            ("service", history.services.len()),
            ("owed look", history.rechecks.len()),
            ("left-open thing", history.still_open().count()),
        ]
    };
    let several = |what: &str, n: usize| match n {
        1 => format!("one {what}"),
        n => format!("{n} {what}s"),
    };
    let both = counts(before.history)
        .into_iter()
        .zip(counts(after.history));
    let told = both.filter_map(|((what, was), (_, is))| match is.checked_sub(was) {
        Some(0) => None,
        Some(more) => Some(format!("{} more", several(what, more))),
        None => Some(format!("{} less", several(what, was.abs_diff(is)))),
    });
    told.collect()
}

fn hours(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let machines = after.condition.boat.machines.iter();
    let told = machines.filter_map(|machine| {
        let last = |side: Side<'_>| side.condition.machine_usage(Some(&machine.id)).last();
        let total = |side| last(side).map(|(_, total)| total);
        let in_words = |hours: Option<Hours>| {
            hours.map_or("no reading".to_owned(), |hours| format!("{hours} h"))
        };
        let (was, is) = (total(before), total(after));
        let name = &machine.name;
        (was != is).then(|| {
            format!(
                "{name}: last read {} in place of {}",
                in_words(is),
                in_words(was)
            )
        })
    });
    told.collect()
}

/// The last verdict of each machine, as of now.
fn verdicts(before: Side<'_>, after: Side<'_>) -> Vec<String> {
    let machines = after.condition.boat.machines.iter();
    let told = machines.filter_map(|machine| {
        let last = |side: Side<'_>| {
            let judged = last_verdict(side, &machine.id);
            judged.map_or("none".to_owned(), Verdict::spoken)
        };
        let (was, is) = (last(before), last(after));
        let name = &machine.name;
        (was != is).then(|| format!("{name}: the last verdict is {is} in place of {was}"))
    });
    told.collect()
}

/// What the last walk of a machine that has a verdict says, as of the time of that state.
pub fn last_verdict(side: Side<'_>, machine: &str) -> Option<Verdict> {
    let mut walks = side.history.walks.iter().rev();
    let judged = walks.find_map(|walk| {
        let here = walk.machine == machine;
        here.then(|| verdict(side.condition, side.history, walk))
            .flatten()
    });
    judged.map(|(word, _)| word)
}
