//! What can stand before the findings of a walk's document by what is known already: offered, and entered
//! only when somebody takes it.

use std::collections::BTreeMap;

use crate::boat::Boat;
use crate::text::figure;
use crate::walk::front::FrontGroup;
use crate::walk::{FrontFact, Walk};

use super::History;

/// What profile and walk know of each entry, and of whoever surveys what their last document said. The
/// names of engine and boat are theirs as the profile has them, which may not be as on the plate.
pub fn offered(boat: &Boat, history: &History, walk: &Walk) -> BTreeMap<FrontFact, String> {
    let machine = boat.machines.iter().find(|m| m.id == walk.machine);
    let mut offers = BTreeMap::new();
    let mut offer = |fact: FrontFact, text: Option<String>| {
        let text = text.filter(|text| !text.trim().is_empty());
        if let (Some(text), None) = (text, walk.front.get(fact)) {
            offers.entry(fact).or_insert(text);
        }
    };
    // Of whoever walked alone: another's papers are not theirs.
    let mut earlier = history.walks.iter().rev();
    let theirs = |w: &&Walk| w.id != walk.id && w.by == walk.by && !w.front.is_empty();
    if let Some(before) = earlier.find(|w| walk.by.is_some() && theirs(w)) {
        for fact in FrontGroup::Surveyor.facts() {
            offer(fact, before.front.get(fact).map(str::to_owned));
        }
    }
    offer(FrontFact::Builder, boat.builder.clone());
    offer(FrontFact::Built, boat.year.map(|year| year.to_string()));
    offer(FrontFact::HullNumber, boat.hull_number.clone());
    offer(
        FrontFact::HourMeter,
        walk.hours.map(|hours| format!("{hours} h, as read")),
    );
    if let Some(machine) = machine {
        let named = [&machine.maker, &machine.model].into_iter().flatten();
        let named: Vec<&str> = named.map(String::as_str).collect();
        offer(FrontFact::Engine, Some(named.join(" ")));
        offer(FrontFact::EngineSerial, machine.serial.clone());
        let power = machine.rated_kw.map(|kw| format!("{} kW", figure(kw)));
        offer(FrontFact::RatedPower, power);
        let speed = machine.rated_rpm.map(|rpm| format!("{} rpm", figure(rpm)));
        offer(FrontFact::RatedSpeed, speed);
    }
    offer(FrontFact::Surveyor, walk.by.clone());
    offers
}
