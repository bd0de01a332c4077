//! Three answers: whether anything on record speaks against her floating, starting, leaving. None of
//! them says that she is fit: *nothing on record* is the best there is.

use schemars::JsonSchema;
use serde::Serialize;

use super::condition::Condition;
use super::gate::order;
use super::life::Life;
use super::still_open::LeftOpen;
use super::subject::Subject;
use crate::checklist::{EffectKind, Forbids, Item, Order};
use crate::text::words;

words! {
    /// An answer.
    Ready, "answer" {
        /// Nothing on record speaks against it.
        NothingOnRecord = "nothing-on-record",
        /// Something is told and not seen, or not counted: see it first.
        SeeFirst = "see-first",
        /// No.
        No = "no",
    }
}

/// What speaks against it. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Against {
    /// The item, by its id in the catalogue; empty where it cannot be told.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// As it is called.
    pub title: String,
    /// Why, in words.
    pub why: String,
    /// Id of the record by which it was left open; null where it was not.
    pub of: Option<String>,
    /// It forbids it; else it is to be seen first.
    pub forbids: bool,
}

/// One of the three answers. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct ReadyTo {
    /// To what.
    pub to: Forbids,
    /// The answer.
    pub answer: Ready,
    /// What speaks against it, what forbids it first.
    pub against: Vec<Against>,
}

impl ReadyTo {
    /// The answer, in a sentence without a full stop.
    pub fn words(&self) -> String {
        let to = self.to.words();
        let forbid = self.against.iter().filter(|a| a.forbids).count();
        let see = self.against.len() - forbid;
        match self.answer {
            Ready::NothingOnRecord => {
                format!("ready {to}: nothing on record forbids it; look all the same")
            }
            Ready::SeeFirst => format!("ready {to}: see {see} first, told or not counted"),
            Ready::No if see == 0 => format!("ready {to}: no, {forbid} on record forbid it"),
            Ready::No => format!("ready {to}: no, {forbid} on record forbid it; {see} to see"),
        }
    }
}

impl Condition {
    /// The three answers of a machine (of every one where none is named) and the boat.
    pub fn ready(&self, machine: Option<&str>) -> Vec<ReadyTo> {
        let deeds = Forbids::ALL.iter();
        deeds.map(|deed| self.ready_to(*deed, machine)).collect()
    }

    fn ready_to(&self, deed: Forbids, machine: Option<&str>) -> ReadyTo {
        let here = |own: Option<&str>| own.is_none_or(|own| machine.is_none_or(|at| own == at));
        let lives = self.lives.iter();
        let lives = lives.filter(|(subject, _)| here(subject.machine.as_deref()));
        let found = lives.flat_map(|(subject, life)| self.against(deed, subject, life));
        let not_counted = self.blocking().into_iter().map(|(item, why)| Against {
            title: self.library.catalogue.item(&item).map_or_else(
                || "something on record".to_owned(),
                |item| item.title.clone(),
            ),
            item,
            machine: None,
            why: format!("not counted: {why}"),
            of: None,
            forbids: false,
        });
        let mut against: Vec<Against> = found.chain(not_counted).collect();
        against.sort_by_key(|a| !a.forbids);
        let answer = match against.first() {
            None => Ready::NothingOnRecord,
            Some(first) if first.forbids => Ready::No,
            Some(_) => Ready::SeeFirst,
        };
        ReadyTo {
            to: deed,
            answer,
            against,
        }
    }

    fn against(&self, deed: Forbids, subject: &Subject, life: &Life) -> Vec<Against> {
        let Some(item) = self.item(subject) else {
            return Vec::new();
        };
        let told = |why: String, left: Option<&LeftOpen>| Against {
            item: subject.item.clone(),
            machine: subject.machine.clone(),
            title: item.title.clone(),
            why,
            of: left.map(|left| left.opened.id.clone()),
            forbids: left.is_none_or(|left| left.told.is_none()),
        };
        let open = life.status.left_open.iter();
        let open = open.filter(|left| left.forbids().forbids(deed));
        let open = open.map(|left| told(left.words(), Some(left)));
        let stop = self.stop_rule(subject, item, life, self.boat.waters);
        let stop = stop.filter(|_| stop_forbids(item, life).forbids(deed));
        let level = self.outside_marks(subject, item, life);
        let level = level.filter(|_| Forbids::Start.forbids(deed));
        let rest = stop.into_iter().chain(level).map(|why| told(why, None));
        open.chain(rest).collect()
    }
}

/// What a stop of an item forbids: to float where the sea could come in, else by its order.
fn stop_forbids(item: &Item, life: &Life) -> Forbids {
    let floods = item
        .effects
        .iter()
        .any(|e| e.effect == EffectKind::Flooding);
    match order(item, life.status.leak, false) {
        _ if floods => Forbids::Float,
        Order::DoNotLeave => Forbids::Leave,
        _ => Forbids::Start,
    }
}
