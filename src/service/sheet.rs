//! A service as it is told from outside, and the record it becomes: every rule is asked here.

use std::collections::HashSet;

use chrono::{DateTime, Days, Duration, FixedOffset, NaiveTime};
use schemars::JsonSchema;
use serde::Deserialize;

use crate::boat::Hours;
use crate::boat::units::Volume;
use crate::checklist::{After, Scope, Task, nearest};
use crate::defects::admit::{Fault, LONGEST_NOTE, hours_fault, time_fault, too_long};
use crate::defects::condition::Condition;
use crate::defects::job_minutes::minutes_fault;
use crate::defects::{FollowUpLook, History, Paid, Service, ServiceInterval};
use crate::text::safe_line;
use crate::walk::Photo;

/// More than so many times the capacity was mistyped (judgement).
const MOST_FILLINGS: f64 = 3.0;
/// More parts, joints or pictures than this belong to several services.
const MOST_ENTRIES: usize = 100;
/// The hour of the day from which a look owed the next morning is due: before anybody starts her.
const MORNING: u32 = 6;
/// Where no meter says when the engine has run enough, a look is owed within so many days at the
/// latest (judgement).
const LATEST_DAYS: i64 = 30;
/// Most running hours of an interval: an engine's whole life; more was mistyped.
const MOST_HOURS: u32 = 20_000;
/// Most months of an interval, fifty years; more was mistyped.
const MOST_MONTHS: u32 = 600;

/// A service as it is told. What is left out of `disturbed` and `renewed` is what the task says;
/// an empty list says none.
#[derive(Clone, Debug, Default, Deserialize, JsonSchema)]
pub struct ServiceSheet {
    /// Id of the task.
    pub task: String,
    /// Machine id; may be left out where one machine has the task.
    #[serde(default)]
    pub machine: Option<String>,
    /// When it was done; the time of recording where it is left out.
    #[serde(default)]
    pub at: Option<DateTime<FixedOffset>>,
    /// Meter as read; left out where it was not.
    #[serde(default)]
    pub hours: Option<Hours>,
    /// What came out, before anything new went in.
    #[serde(default)]
    pub out: Option<Volume>,
    /// What went in; more than three times the capacity is refused.
    #[serde(default, rename = "in")]
    pub filled: Option<Volume>,
    /// Parts used, as their boxes name them.
    #[serde(default)]
    pub parts: Vec<String>,
    /// How far a filter was turned past hand-tight contact, as printed on it.
    #[serde(default)]
    pub turn: Option<String>,
    /// What it cost, in the boat's own money.
    #[serde(default)]
    pub cost: Option<Paid>,
    /// Minutes that it really took in all, at least 1.
    #[serde(default)]
    pub minutes: Option<u32>,
    /// In the words of who did it.
    #[serde(default)]
    pub note: Option<String>,
    /// Who did it, a person or a yard.
    #[serde(default)]
    pub by: Option<String>,
    /// Joints it opened or moved.
    #[serde(default)]
    pub disturbed: Option<Vec<String>>,
    /// Items that are new since.
    #[serde(default)]
    pub renewed: Option<Vec<String>>,
    /// Items left with a part out (a guard off, a filter not fitted, a drain plug loose, a seacock
    /// shut): she must not be started before each is put back.
    #[serde(default)]
    pub open: Vec<String>,
    /// Pictures, by path.
    #[serde(default)]
    pub photos: Vec<Photo>,
    /// Id of the record of an earlier service that this one takes the place of.
    #[serde(default)]
    pub corrects: Option<String>,
}

impl ServiceSheet {
    /// A service on record, to be told anew.
    pub fn of(service: Service) -> ServiceSheet {
        ServiceSheet {
            task: service.task,
            machine: service.machine,
            at: service.at,
            hours: service.hours,
            out: service.out,
            filled: service.filled,
            parts: service.parts,
            turn: service.turn,
            cost: service.cost,
            minutes: service.minutes,
            note: service.note,
            by: service.by,
            disturbed: Some(service.disturbed),
            renewed: Some(service.renewed),
            open: service.open,
            photos: service.photos,
            corrects: None,
        }
    }
}

/// The record a service becomes, with what it does to the items. `history` is without the record it
/// corrects.
///
/// # Errors
/// What is wrong with which field.
pub fn service_of(
    condition: &Condition,
    history: &History,
    sheet: &ServiceSheet,
    now: DateTime<FixedOffset>,
) -> Result<Service, Vec<Fault>> {
    let at = sheet.at.unwrap_or(now);
    let task = known_task(condition, &sheet.task).map_err(|fault| vec![fault])?;
    let mut faults: Vec<Fault> = time_fault(at, now).into_iter().collect();
    let machine = match tasked_machine(condition, task, sheet.machine.as_deref()) {
        Ok(machine) => machine,
        Err(fault) => {
            faults.push(fault);
            return Err(faults);
        }
    };
    let here = machine.as_deref();
    match (sheet.hours, here) {
        (Some(hours), Some(machine)) => {
            faults.extend(hours_fault(history, machine, hours, at));
        }
        (Some(_), None) => faults.push((
            "hours".into(),
            "the task is the boat's, and no meter belongs to it".into(),
        )),
        (None, _) => {}
    }
    faults.extend(volume_faults(condition, task, here, sheet));
    faults.extend(text_faults(sheet));
    let took = sheet.minutes.and_then(minutes_fault);
    faults.extend(took.map(|why| ("minutes".to_owned(), why)));
    let own = |given: &Option<Vec<String>>, usual: &[String]| match given {
        Some(given) => given.clone(),
        // What the machine does not have was not opened.
        None => usual
            .iter()
            .filter(|item| condition.has(item, here))
            .cloned()
            .collect(),
    };
    let disturbed = own(&sheet.disturbed, &task.disturbs);
    let renewed = own(&sheet.renewed, &task.renews);
    let lists = [
        ("disturbed", &disturbed),
        ("renewed", &renewed),
        ("open", &sheet.open),
    ];
    for (field, items) in lists {
        faults.extend(item_faults(condition, here, field, items));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    let restarted = task.restarts.iter().filter(|i| condition.has(i, here));
    let owed = task.owes.iter().filter(|o| condition.has(&o.item, here));
    let owed = owed.map(|owed| {
        let (due_at, due_hours) = owed_when(condition, here, at, sheet.hours, owed.after);
        FollowUpLook {
            machine: condition
                .subject(&owed.item, here.unwrap_or_default())
                .machine,
            item: owed.item.clone(),
            due_at,
            due_hours,
            why: owed.why.clone(),
        }
    });
    Ok(Service {
        task: task.id.clone(),
        at: Some(at),
        hours: sheet.hours,
        out: sheet.out,
        filled: sheet.filled,
        parts: sheet.parts.clone(),
        turn: sheet.turn.clone(),
        cost: sheet.cost,
        minutes: sheet.minutes,
        note: sheet.note.clone(),
        by: sheet.by.clone(),
        restarted: restarted.cloned().collect(),
        owed: owed.collect(),
        open: sheet.open.clone(),
        photos: sheet.photos.clone(),
        disturbed,
        renewed,
        machine,
    })
}

/// The record of how often a task is due, with its machine filled in.
///
/// # Errors
/// What is wrong with which field.
pub fn interval_of(
    condition: &Condition,
    mut interval: ServiceInterval,
    now: DateTime<FixedOffset>,
) -> Result<ServiceInterval, Vec<Fault>> {
    let task = known_task(condition, &interval.task).map_err(|fault| vec![fault])?;
    let at = *interval.at.get_or_insert(now);
    let mut faults: Vec<Fault> = time_fault(at, now).into_iter().collect();
    match tasked_machine(condition, task, interval.machine.as_deref()) {
        Ok(machine) => interval.machine = machine,
        Err(fault) => faults.push(fault),
    }
    for (field, value, most) in [
        ("hours", interval.hours, MOST_HOURS),
        ("months", interval.months, MOST_MONTHS),
    ] {
        if value.is_some_and(|v| v > most) {
            faults.push((field.into(), format!("expected 0 (no bound) to {most}")));
        }
    }
    faults.extend(
        interval
            .source
            .as_deref()
            .and_then(|t| too_long("source", t)),
    );
    if faults.is_empty() {
        Ok(interval)
    } else {
        Err(faults)
    }
}

/// The task of that id.
///
/// # Errors
/// The nearest one is named where there is none.
pub fn known_task<'a>(condition: &'a Condition, id: &str) -> Result<&'a Task, Fault> {
    condition.library.task(id).ok_or_else(|| {
        let ids = condition.library.tasks().iter().map(|t| t.id.as_str());
        let near = nearest(id, ids).unwrap_or_default();
        let message = format!(
            "'{}' is no service task known here{near}; see: handlamp service tasks",
            safe_line(id)
        );
        ("task".to_owned(), message)
    })
}

/// The machine a task is done on: named, or the only one that has its item; none for a task of the
/// boat.
///
/// # Errors
/// Several have it and none is named, or the one named has not.
pub fn tasked_machine(
    condition: &Condition,
    task: &Task,
    named: Option<&str>,
) -> Result<Option<String>, Fault> {
    let subject = condition.subject_of(&task.item, named);
    subject.map(|s| s.machine).map_err(|(field, message)| {
        let field = if field == "item" { "task" } else { &field };
        (field.to_owned(), message)
    })
}

fn volume_faults(
    condition: &Condition,
    task: &Task,
    machine: Option<&str>,
    sheet: &ServiceSheet,
) -> Vec<Fault> {
    let machines = &condition.boat.machines;
    let machine = machines.iter().find(|m| Some(m.id.as_str()) == machine);
    let capacity = task
        .capacity
        .zip(machine)
        .and_then(|(which, m)| Some((which, which.of(m)?)));
    let Some((which, holds)) = capacity else {
        return Vec::new();
    };
    let given = [("out", sheet.out), ("in", sheet.filled)];
    let too_much = given.into_iter().filter_map(|(field, volume)| {
        let volume = volume.filter(|v| v.litres() > MOST_FILLINGS * holds.litres())?;
        let message = format!(
            "{volume} is more than three times what the {which} holds ({holds}); mend the figure, or the profile"
        );
        Some((field.to_owned(), message))
    });
    too_much.collect()
}

fn item_faults(
    condition: &Condition,
    machine: Option<&str>,
    field: &str,
    items: &[String],
) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut seen = HashSet::new();
    if items.len() > MOST_ENTRIES {
        let message = format!("there are more than {MOST_ENTRIES}");
        return vec![(field.to_owned(), message)];
    }
    for (n, item) in items.iter().enumerate() {
        let message = match condition.library.catalogue.item(item).map(|i| i.scope) {
            None => condition.unknown_item(item),
            Some(Scope::Machine) if machine.is_none() => {
                format!("{item} belongs to a machine, and the task to the boat")
            }
            Some(_) if condition.life(item, machine.unwrap_or_default()).is_none() => {
                format!("machine '{}' has no {item}", machine.unwrap_or_default())
            }
            Some(_) if !seen.insert(item) => format!("{item} stands here twice"),
            Some(_) => continue,
        };
        faults.push((format!("{field}[{n}]"), message));
    }
    faults
}

fn text_faults(sheet: &ServiceSheet) -> Vec<Fault> {
    let mut faults = Vec::new();
    for (field, text) in [("turn", &sheet.turn), ("by", &sheet.by)] {
        faults.extend(text.as_deref().and_then(|t| too_long(field, t)));
    }
    if sheet.note.as_ref().is_some_and(|n| n.len() > LONGEST_NOTE) {
        let message = format!("the text is longer than {LONGEST_NOTE} bytes");
        faults.push(("note".into(), message));
    }
    for (field, entries) in [("parts", sheet.parts.len()), ("photos", sheet.photos.len())] {
        if entries > MOST_ENTRIES {
            faults.push((field.into(), format!("there are more than {MOST_ENTRIES}")));
        }
    }
    for (n, part) in sheet.parts.iter().enumerate() {
        let field = format!("parts[{n}]");
        faults.extend(too_long(&field, part));
        if part.trim().is_empty() {
            faults.push((field, "the text is empty".into()));
        }
    }
    for (n, photo) in sheet.photos.iter().enumerate() {
        faults.extend(too_long(&format!("photos[{n}].path"), &photo.path));
        let caption = photo.caption.as_deref();
        faults.extend(caption.and_then(|c| too_long(&format!("photos[{n}].caption"), c)));
    }
    faults
}

/// When a look is owed: the next morning, or after some hours of running. Where the meter was not
/// read those become days at the rate of use, the next morning at the earliest and thirty days on
/// at the latest.
fn owed_when(
    condition: &Condition,
    machine: Option<&str>,
    at: DateTime<FixedOffset>,
    read: Option<Hours>,
    after: After,
) -> (Option<DateTime<FixedOffset>>, Option<Hours>) {
    let morning = next_morning(at);
    let Some(run) = after.running_hours() else {
        return (Some(morning), None);
    };
    if let Some(read) = read {
        let more = Hours::from_thousandths((run * 1000.0) as i64);
        return (None, Some(read + more));
    }
    let per_day = condition.rate(machine).per_day;
    let latest = at + Duration::days(LATEST_DAYS);
    let seconds = run / per_day.max(f64::MIN_POSITIVE) * 86_400.0;
    let reached = at + Duration::seconds(seconds.min(LATEST_DAYS as f64 * 86_400.0) as i64);
    (Some(reached.clamp(morning, latest)), None)
}

fn next_morning(at: DateTime<FixedOffset>) -> DateTime<FixedOffset> {
    let morning = NaiveTime::from_hms_opt(MORNING, 0, 0).unwrap_or_default();
    let day = at.date_naive().checked_add_days(Days::new(1));
    let local = day.map(|day| day.and_time(morning));
    // An offset is fixed: every local time is there once.
    local
        .and_then(|local| local.and_local_timezone(*at.offset()).single())
        .unwrap_or(at)
}
