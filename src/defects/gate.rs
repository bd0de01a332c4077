//! What a stop orders, and where it holds a walk: before the key is turned, before the engine starts.

use schemars::JsonSchema;
use serde::Serialize;

use super::subject::Subject;
use crate::checklist::{Grade, Item, Leak, Order, PhaseState, fuel_leak};
use crate::text::safe_line;

/// Where a walk is held while a stop is in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Gate {
    /// Before current is on: a spark can set off what is in the air.
    Key,
    /// Before the engine turns.
    Start,
}

/// A stop in force, for a person who stands at the engine.
#[derive(Clone, Debug, PartialEq)]
pub struct InForce {
    /// Whose it is.
    pub subject: Subject,
    /// The item, as it is called.
    pub title: String,
    /// The rung that counts; none where an earlier grade is kept out of sight.
    pub grade: Option<Grade>,
    /// The rule, in words.
    pub rule: String,
    /// What it orders while the engine is still.
    pub order: Order,
    /// What can hurt someone there.
    pub cautions: Vec<String>,
    /// What puts it right.
    pub remedy: String,
    /// Id of the record by which it was left open, where it holds for that.
    pub left_open: Option<String>,
    /// It holds before key on.
    pub(super) before_key: bool,
}

/// That the engine was run in a walk while stops were in force. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct RunInSpite {
    /// The stops in force when she was first turned or run.
    pub rows: Vec<SpiteRow>,
    /// Why, as told; null where no reason was given.
    pub why: Option<String>,
}

/// One of those stops. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct SpiteRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// As it is called.
    pub title: String,
    /// The rung that counted; null where it was out of sight.
    pub grade: Option<Grade>,
    /// The rule, in words.
    pub rule: String,
}

impl RunInSpite {
    pub(super) fn of(stops: Vec<InForce>, why: Option<String>) -> RunInSpite {
        let row = |stop: InForce| SpiteRow {
            item: stop.subject.item,
            title: stop.title,
            grade: stop.grade,
            rule: stop.rule,
        };
        RunInSpite {
            rows: stops.into_iter().map(row).collect(),
            why,
        }
    }

    /// In a sentence without a full stop.
    pub fn sentence(&self) -> String {
        let rows = self.rows.iter();
        let rows: Vec<String> = rows.map(|r| format!("{} ({})", r.title, r.rule)).collect();
        let why = self.why.as_deref();
        let why = why.map_or_else(
            || "no reason given".to_owned(),
            |why| format!("reason given: {}", safe_line(why)),
        );
        format!("the engine was run in spite of {}; {why}", rows.join("; "))
    }
}

impl Gate {
    /// The gate before a state of the engine.
    pub const fn before(state: PhaseState) -> Option<Gate> {
        match state {
            PhaseState::KeyOn => Some(Gate::Key),
            PhaseState::Crank => Some(Gate::Start),
            running if running.is_running() => Some(Gate::Start),
            _ => None,
        }
    }
}

impl InForce {
    /// It holds a walk at this gate.
    pub fn holds(&self, gate: Gate) -> bool {
        match gate {
            Gate::Key => self.before_key,
            Gate::Start => self.order != Order::DoNotLeave,
        }
    }
}

/// What comes before an order under way; empty where nothing does.
pub const fn first(order: Order) -> &'static str {
    match order {
        Order::WhenSafe => "the boat first, sea room, sail or anchor ready: then ",
        Order::StopNow => "sail or anchor ready, and ",
        Order::DoNotStart | Order::DoNotLeave => "",
    }
}

/// What a stop of an item orders: by what it is, by what comes out, and by whether the engine runs.
pub fn order(item: &Item, leak: Option<Leak>, is_running: bool) -> Order {
    let fuel = leak.is_some_and(|leak| fuel_leak(item, leak));
    match (item.order, is_running) {
        (Some(Order::DoNotLeave), _) if !fuel => Order::DoNotLeave,
        (_, false) => Order::DoNotStart,
        (Some(Order::StopNow), true) => Order::StopNow,
        (_, true) if fuel => Order::StopNow,
        (_, true) => Order::WhenSafe,
    }
}
