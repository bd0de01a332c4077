//! A profile field by field. Machines are told apart by their ids, their handbook figures and what
//! they are without by item, so that two changes to one profile can stand side by side.
//!
//! It works on the profile's JSON, so a field that a profile gains is taken along by itself.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Value};

use super::profile::Boat;

const MACHINES: &str = "machines";
/// Fields of the boat that have fields of their own.
const NESTED: &str = "day_ahead";
/// Lists of the boat told apart by ids as machines are; what is in them leaves with its fields.
const CARRIED: [&str; 2] = ["tanks", "banks"];

/// Where a field stands: `waters`, or `machines`, a machine's id and `sump`. A machine's id alone
/// says that it is there.
pub type Path = Vec<String>;

/// A profile as its fields.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Fields {
    values: BTreeMap<Path, Value>,
    /// Ids of the machines in their order.
    order: Vec<String>,
}

/// A change to one field of a profile.
#[derive(Clone, Debug, PartialEq)]
pub enum Change {
    /// It has this value now, or none any more.
    Field(Path, Option<Value>),
    /// The machines stand in another order.
    Order(Vec<String>),
}

/// A field in which two profiles differ, with what each has there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Such as `waters` or `machines.main.sump`.
    pub field: String,
    /// In the first; none where it has none.
    pub first: Option<String>,
    /// Its value in the second profile, as text; none where that has no such field.
    pub second: Option<String>,
}

impl Fields {
    /// The fields of a profile.
    pub fn of(boat: &Boat) -> Fields {
        let mut fields = Fields::default();
        // A profile has no map keyed by other than text, the one thing serde_json refuses.
        let Ok(Value::Object(all)) = serde_json::to_value(boat) else {
            return fields;
        };
        for (name, value) in all {
            match (name.as_str(), value) {
                ("type", _) => {}
                (MACHINES, Value::Array(machines)) => {
                    let machines = machines.into_iter().filter_map(object);
                    machines.for_each(|machine| fields.put_machine(machine));
                }
                (NESTED, Value::Object(parts)) => {
                    for (part, value) in parts {
                        fields.values.insert(vec![name.clone(), part], value);
                    }
                }
                (list, Value::Array(things)) if CARRIED.contains(&list) => {
                    for mut thing in things.into_iter().filter_map(object) {
                        let Some(Value::String(id)) = thing.remove("id") else {
                            continue;
                        };
                        for (part, value) in thing {
                            let path = vec![name.clone(), id.clone(), part];
                            fields.values.insert(path, value);
                        }
                    }
                }
                (_, value) => {
                    fields.values.insert(vec![name], value);
                }
            }
        }
        fields
    }

    fn put_machine(&mut self, mut machine: Map<String, Value>) {
        let Some(Value::String(id)) = machine.remove("id") else {
            return;
        };
        let at = |rest: &[&str]| -> Path {
            let rest = rest.iter().copied();
            let path = [MACHINES, id.as_str()].into_iter().chain(rest);
            path.map(str::to_owned).collect()
        };
        self.values.insert(at(&[]), Value::Bool(true));
        if !self.order.contains(&id) {
            self.order.push(id.clone());
        }
        for (name, value) in machine {
            match (name.as_str(), value) {
                ("without", Value::Array(items)) => {
                    for item in items.iter().filter_map(Value::as_str) {
                        self.values.insert(at(&[&name, item]), Value::Bool(true));
                    }
                }
                ("handbook", Value::Array(limits)) => {
                    for limit in limits {
                        let item = limit.get("item").and_then(Value::as_str).unwrap_or("");
                        let path = at(&[&name, item]);
                        let of_item = self.values.entry(path).or_insert(Value::Array(Vec::new()));
                        if let Value::Array(known) = of_item {
                            known.push(limit);
                        }
                    }
                }
                (_, value) => {
                    self.values.insert(at(&[&name]), value);
                }
            }
        }
    }

    /// The profile of these fields; none while they lack what every profile has.
    pub fn boat(&self) -> Option<Boat> {
        let mut all = Map::new();
        all.insert("type".into(), "boat".into());
        let mut machines: BTreeMap<&str, Map<String, Value>> = BTreeMap::new();
        let mut carried: BTreeMap<(&str, &str), Map<String, Value>> = BTreeMap::new();
        for (path, value) in &self.values {
            let parts: Vec<&str> = path.iter().map(String::as_str).collect();
            match parts.as_slice() {
                [MACHINES, id] => {
                    let machine = machines.entry(id).or_default();
                    machine.insert("id".into(), (*id).into());
                }
                [MACHINES, id, list @ ("without" | "handbook"), item] => {
                    let machine = machines.entry(id).or_default();
                    let list = machine.entry(*list).or_insert(Value::Array(Vec::new()));
                    if let Value::Array(list) = list {
                        match value {
                            Value::Array(limits) => list.extend(limits.iter().cloned()),
                            _ => list.push((*item).into()),
                        }
                    }
                }
                [MACHINES, id, name] => {
                    let machine = machines.entry(id).or_default();
                    machine.insert((*name).into(), value.clone());
                }
                [list, id, part] if CARRIED.contains(list) => {
                    let thing = carried.entry((list, id)).or_default();
                    thing.insert((*part).into(), value.clone());
                }
                [NESTED, part] => {
                    let nested = all.entry(NESTED).or_insert(Value::Object(Map::new()));
                    if let Value::Object(nested) = nested {
                        nested.insert((*part).into(), value.clone());
                    }
                }
                [name] => {
                    all.insert((*name).into(), value.clone());
                }
                _ => {}
            }
        }
        for ((list, id), mut thing) in carried {
            // One that somebody took out while another changed a field of it has no name left.
            if thing.contains_key("name") {
                thing.insert("id".into(), id.into());
                let list = all.entry(list).or_insert(Value::Array(Vec::new()));
                if let Value::Array(list) = list {
                    list.push(Value::Object(thing));
                }
            }
        }
        let in_order = self.order.iter();
        let in_order = in_order.filter_map(|id| machines.remove(id.as_str()));
        let in_order: Vec<Value> = in_order.map(Value::Object).collect();
        all.insert(MACHINES.into(), Value::Array(in_order));
        serde_json::from_value(Value::Object(all)).ok()
    }

    /// What changed from another profile to this one. A machine that this one merely lacks has not
    /// changed: machines leave by a record of their own.
    pub fn changes_from(&self, base: &Fields) -> Vec<Change> {
        let mut changes = Vec::new();
        for path in self.paths_with(base) {
            let (now, before) = (self.values.get(path), base.values.get(path));
            if self.has_machine_of(path) && now != before {
                changes.push(Change::Field(path.clone(), now.cloned()));
            }
        }
        let stayed = base.order.iter().filter(|id| self.order.contains(id));
        let came = self.order.iter().filter(|id| !base.order.contains(id));
        let several = came.clone().count() > 1;
        if several || !stayed.chain(came).eq(&self.order) {
            changes.push(Change::Order(self.order.clone()));
        }
        changes
    }

    /// Takes a change in. What is said of a machine that is not here is passed over.
    pub fn apply(&mut self, change: &Change) {
        match change {
            Change::Field(path, value) => {
                if let [of, id] = path.as_slice()
                    && of == MACHINES
                    && value.is_some()
                    && !self.order.contains(id)
                {
                    self.order.push(id.clone());
                }
                match value {
                    Some(value) if path.len() == 2 || self.has_machine_of(path) => {
                        self.values.insert(path.clone(), value.clone());
                    }
                    Some(_) => {}
                    None => {
                        self.values.remove(path);
                    }
                }
            }
            Change::Order(order) => {
                let here = order.iter().filter(|id| self.order.contains(id));
                let rest = self.order.iter().filter(|id| !order.contains(id));
                self.order = here.chain(rest).cloned().collect();
            }
        }
    }

    /// Takes a machine out, with all that is said of it. The last one stays, since a boat has at
    /// least one. True where it went.
    pub fn retire(&mut self, machine: &str) -> bool {
        let here = self.order.iter().any(|id| id == machine) && self.order.len() > 1;
        if here {
            self.order.retain(|id| id != machine);
            let of = |path: &Path| path.first().is_some_and(|p| p == MACHINES);
            let mine = |path: &Path| of(path) && path.get(1).is_some_and(|id| id == machine);
            self.values.retain(|path, _| !mine(path));
        }
        here
    }

    /// The fields in which two profiles differ, by name.
    pub fn differences(&self, other: &Fields) -> Vec<Difference> {
        let mut found = Vec::new();
        for path in self.paths_with(other) {
            let (first, second) = (self.values.get(path), other.values.get(path));
            let inside = |fields: &Fields| path.len() == 2 || fields.has_machine_of(path);
            // A machine that one of them lacks is one difference, not one in each of its fields.
            if first != second && inside(self) && inside(other) {
                found.push(Difference {
                    field: path.join("."),
                    first: first.map(in_words),
                    second: second.map(in_words),
                });
            }
        }
        let common = |a: &Fields, b: &Fields| -> Vec<String> {
            let both = a.order.iter().filter(|id| b.order.contains(id));
            both.cloned().collect()
        };
        let (first, second) = (common(self, other), common(other, self));
        if first != second {
            found.push(Difference {
                field: MACHINES.to_owned(),
                first: Some(first.join(", ")),
                second: Some(second.join(", ")),
            });
        }
        found
    }

    /// The paths of both, in order.
    fn paths_with<'a>(&'a self, other: &'a Fields) -> BTreeSet<&'a Path> {
        self.values.keys().chain(other.values.keys()).collect()
    }

    /// True for a field of the boat, and for one of a machine that is here.
    fn has_machine_of(&self, path: &Path) -> bool {
        match path.as_slice() {
            [of, id, ..] if of == MACHINES => self
                .values
                .contains_key([of.clone(), id.clone()].as_slice()),
            _ => true,
        }
    }
}

fn object(value: Value) -> Option<Map<String, Value>> {
    match value {
        Value::Object(object) => Some(object),
        _ => None,
    }
}

fn in_words(value: &Value) -> String {
    match value {
        Value::String(text) => text.clone(),
        Value::Bool(true) => "yes".to_owned(),
        other => other.to_string(),
    }
}
