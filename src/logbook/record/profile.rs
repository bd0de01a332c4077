//! The profile is set, or a machine leaves. What holds of it is asked of all these records together.

use super::event::{Event, Grounds, Time, at_a_time, in_no_table, naming_nothing, on_no_item};
use crate::boat::fold::ProfileStep;
use crate::boat::{ProfileSet, Retired};
use crate::defects::aboard::OpenStop;
use crate::defects::admit::Fault;
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};

impl Event for ProfileSet {
    const NAME: &'static str = "boat";
    const OUTSIDE: Outside =
        Outside::Elsewhere("a boat profile is set with: handlamp boat set FILE");
    const RESTS_ON_OWN: bool = false;

    fn at(&self) -> Option<Time> {
        None
    }

    on_no_item!();

    // It is looked at as it comes, as a whole.
    fn texts(&self) -> Vec<(&'static str, &str)> {
        Vec::new()
    }

    naming_nothing!();

    fn check(&mut self, _: &Grounds<'_>) -> Vec<Fault> {
        Vec::new()
    }

    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn profile_step(&self) -> Option<ProfileStep<'_>> {
        Some(ProfileStep::Set(self))
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let misread = match self.misread.is_empty() {
            true => "",
            false => {
                "; what the meter was said to show before was typed wrong and leaves every sum"
            }
        };
        Some(format!("changed the boat's profile{misread}"))
    }

    in_no_table!();
}

impl Event for Retired {
    const NAME: &'static str = "retired";
    const OUTSIDE: Outside = Outside::act::<Self>();

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        self.why.iter().map(|why| ("why", why.as_str())).collect()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let condition = grounds.condition;
        let machines = &condition.boat.machines;
        let mut faults: Vec<Fault> = Vec::new();
        let mut fault = |field: &str, message: String| faults.push((field.to_owned(), message));
        if self.item.is_some() {
            fault(
                "item",
                "name the machine that left; an item that is not there is told as removed".into(),
            );
        }
        let in_profile = |id: &str| grounds.profile.machines.iter().any(|m| m.id == id);
        let others = |id: &str| grounds.profile.machines.iter().any(|m| m.id != id);
        match self.machine.as_deref() {
            None if self.item.is_none() => fault("machine", "say which machine left".into()),
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
        let silent = self.why.as_ref().is_none_or(|why| why.trim().is_empty());
        let mut stops = condition.open_stops();
        stops.extend(condition.stops_elsewhere(grounds.history));
        stops.retain(|stop| stop.subject.machine == self.machine && self.machine.is_some());
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
        self.stops = stops.iter().map(OpenStop::passed).collect();
        self.base.clone_from(&grounds.history.profiles.heads);
        faults
    }

    fn apply(&self, _: &Placed<'_>, _: &mut Folding<'_>) -> Applied {
        Applied::Done
    }

    fn profile_step(&self) -> Option<ProfileStep<'_>> {
        Some(ProfileStep::Retired(self))
    }

    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
        let item = self.item.as_deref().map(title);
        let what = item.or_else(|| self.machine.clone());
        Some(format!("took {} off the boat", what.unwrap_or_default()))
    }

    in_no_table!();
}
