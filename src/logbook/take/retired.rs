//! Machines that leave.

use chrono::{DateTime, FixedOffset};

use super::Book;
use crate::boat::Retired;
use crate::defects::History;
use crate::defects::aboard::OpenStop;
use crate::defects::admit::{Fault, time_fault, too_long};
use crate::defects::condition::Condition;

/// Checks that a machine may leave, and names the stops that go out of sight with it.
pub(super) fn prepare(
    book: &Book,
    (condition, history): (&Condition, &History),
    mut left: Retired,
    now: DateTime<FixedOffset>,
) -> Result<Retired, Vec<Fault>> {
    let machines = &condition.boat.machines;
    let mut faults: Vec<Fault> = Vec::new();
    let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
    if left.item.is_some() {
        fault(
            "item",
            "name the machine that left; an item that is not there is told as removed".into(),
        );
    }
    let in_profile = |id: &str| book.profile().machines.iter().any(|m| m.id == id);
    let others = |id: &str| book.profile().machines.iter().any(|m| m.id != id);
    match left.machine.as_deref() {
        None if left.item.is_none() => fault("machine", "say which machine left".into()),
        None => {}
        Some(id) if !machines.iter().any(|m| m.id == id) => {
            fault("machine", condition.unknown_machine(id));
        }
        Some(id) if in_profile(id) && !others(id) => {
            let message = format!(
                "'{id}' is her only machine, and a boat has at least one; set a profile with another: handlamp boat set FILE"
            );
            fault("machine", message);
        }
        Some(_) => {}
    }
    let silent = left.why.as_ref().is_none_or(|why| why.trim().is_empty());
    let mut stops = condition.open_stops();
    stops.extend(condition.stops_elsewhere(history));
    stops.retain(|stop| stop.subject.machine == left.machine && left.machine.is_some());
    if silent && !stops.is_empty() {
        let all: Vec<_> = stops
            .iter()
            .map(|s| format!("{} ({})", s.place(), s.rule))
            .collect();
        let message = format!(
            "say why, since a stop goes out of sight with it: {}",
            all.join("; ")
        );
        fault("why", message);
    }
    faults.extend(left.why.as_ref().and_then(|why| too_long("why", why)));
    let at = left.at.unwrap_or(now);
    faults.extend(time_fault(at, now));
    if !faults.is_empty() {
        return Err(faults);
    }
    left.at = Some(at);
    left.stops = stops.iter().map(OpenStop::passed).collect();
    left.base = book.history().profiles.heads.clone();
    Ok(left)
}
