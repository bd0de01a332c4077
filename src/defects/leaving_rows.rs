//! What is asked before leaving, and the rows of the answer.

use schemars::JsonSchema;
use serde::Serialize;

use super::job_spare::JobSpare;
use super::list::Scenario;
use super::subject::Subject;
use crate::assess::words::{Risk, Severity};
use crate::checklist::{EffectKind, Grade, Item, Where, Who};
use crate::text::words;

/// What is asked before leaving.
#[derive(Clone, Debug)]
pub struct Asked {
    /// What lies ahead.
    pub scenario: Scenario,
    /// The machine meant; none for all.
    pub machine: Option<String>,
    /// Minutes of work there are; none where nobody said.
    pub work: Option<u32>,
    /// Money there is, hundredths; none where nobody said.
    pub spend: Option<u64>,
    /// Who can lend a hand, and minutes of each where they are limited.
    pub hands: Vec<(Who, Option<u32>)>,
    /// Days she stands ashore before it; none where she stays afloat.
    pub ashore_days: Option<f64>,
    /// Items to be mended whatever they gain.
    pub with: Vec<String>,
    /// Items not to be mended now.
    pub without: Vec<String>,
    /// The same as they were kept with a plan: one that is no longer on the list, or that must be done now,
    /// is no fault.
    pub kept: Kept,
}

/// Items that were taken in and left out, as they are kept with a plan.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Kept {
    /// To be mended whatever they gain.
    pub with: Vec<String>,
    /// Not to be mended now.
    pub without: Vec<String>,
}

impl Kept {
    /// One step towards being done: what was left out is weighed again, what was weighed is taken in.
    pub fn take_in(&mut self, item: &str) {
        match self.without.iter().position(|own| own == item) {
            Some(at) => drop(self.without.remove(at)),
            None if !self.with.iter().any(|own| own == item) => self.with.push(item.to_owned()),
            None => {}
        }
    }

    /// One step towards being left: what was taken in is weighed again, what was weighed is left out.
    pub fn leave_out(&mut self, item: &str) {
        match self.with.iter().position(|own| own == item) {
            Some(at) => drop(self.with.remove(at)),
            None if !self.without.iter().any(|own| own == item) => {
                self.without.push(item.to_owned());
            }
            None => {}
        }
    }
}

words! {
    /// Why something must be done before leaving.
    Must, "why it must be done" {
        /// A stop is in force.
        Stop = "stop",
        /// It takes minutes and comes before the engine runs.
        BeforeStart = "before-start",
        /// A repair is not for good, and its time comes on the way.
        Temporary = "temporary-repair",
        /// Work or a look comes due on the way.
        Due = "due-on-the-way",
        /// Nobody knows its age, and it can burn, gas or flood, or cannot be mended at sea.
        UnknownAge = "unknown-age",
        /// It was repaired, and nobody has looked since.
        NotLookedAt = "not-looked-at",
        /// It was asked for.
        Asked = "asked-for",
    }
}

words! {
    /// Why something is not done now.
    Waits, "why it waits" {
        /// Other work is worth more in the time and for the money.
        WorthLess = "worth-less",
        /// None of the hands there are can do it.
        Hands = "other-hands",
        /// Nobody has said how long it takes.
        NoMinutes = "minutes-not-known",
        /// It was left out by whoever asked.
        LeftOut = "left-out",
        /// Mending it takes nothing away of what counts as trouble in these waters.
        GainsNothing = "gains-nothing",
    }
}

/// Something that must be done first. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MustRow {
    /// Why.
    pub because: Must,
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// Id of the task, where recurring work comes due; null otherwise.
    pub task: Option<String>,
    /// As it is called.
    pub title: String,
    /// What can hurt someone there.
    pub cautions: Vec<String>,
    /// What to do.
    #[serde(rename = "do")]
    pub action: String,
    /// Why, a sentence without a full stop.
    pub why: String,
    /// Who can do it; null where anybody can.
    pub who: Option<Who>,
    /// Where it can be done; null where it is anywhere.
    #[serde(rename = "where")]
    pub place: Option<Where>,
    /// Minutes of work, opening not counted; null where nobody has said, 0 where it is done with
    /// something that stands before it.
    pub minutes: Option<u32>,
    /// The minutes are the owner's own; else learned, or judgement.
    pub minutes_told: bool,
    /// The minutes are the middle of what so many such jobs really took on this boat; null where they are
    /// not.
    pub minutes_learned: Option<usize>,
    /// What is opened for it; null for nothing.
    pub opens: Option<String>,
    /// It is for none of the hands there are.
    pub other_hands: bool,
    /// Parts it takes, in plain words.
    pub parts: Vec<String>,
    /// Whether the spare for it is aboard, as the locker's record has it; null where nothing on record
    /// serves it.
    pub spare: Option<JobSpare>,
}

/// A job that is weighed against the others. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct JobRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// As it is called.
    pub title: String,
    /// The rung that counts.
    pub grade: Grade,
    /// What can hurt someone there.
    pub cautions: Vec<String>,
    /// What to do.
    #[serde(rename = "do")]
    pub action: String,
    /// Who can do it.
    pub who: Who,
    /// Where it can be done.
    #[serde(rename = "where")]
    pub place: Where,
    /// Minutes of work, opening not counted; null where nobody has said.
    pub minutes: Option<u32>,
    /// The minutes are the owner's own; else learned, or judgement.
    pub minutes_told: bool,
    /// The minutes are the middle of what so many such jobs really took on this boat; null where they are
    /// not.
    pub minutes_learned: Option<usize>,
    /// What is opened for it, once for all that share it; null for nothing.
    pub opens: Option<String>,
    /// What it costs, from an estimate on record; null where there is none.
    pub money: Option<f64>,
    /// Parts it takes, in plain words.
    pub parts: Vec<String>,
    /// Whether the spare for it is aboard, as the locker's record has it; null where nothing on record
    /// serves it.
    pub spare: Option<JobSpare>,
    /// Chance that it brings trouble over the passage as it is, 0 to 1 (judgement where the boat has
    /// taught nothing).
    pub trouble: f64,
    /// The same once mended.
    pub mended: f64,
    /// The logarithm by which mending it raises the chance of no trouble; these add up.
    pub gain: f64,
    /// The effect that decides its row in the list.
    pub effect: EffectKind,
    /// Its risk.
    pub risk: Risk,
    /// Severity digit and level letter.
    pub code: String,
    /// It ought to be mended before the passage is over.
    pub ends_on_the_way: bool,
    /// Until when its owner said that it may wait; null where nobody did.
    pub deferred: Option<String>,
    /// It is chosen too where all work takes half as long again.
    pub still_if_longer: bool,
    /// The choice changes where things wear twice or half as fast as judged: either will do.
    pub either: bool,
    /// Why it is not done now; null where it is.
    pub waits: Option<Waits>,
}

/// What nobody knows the age of and can wait. Part of the outside surface.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct AgeRow {
    /// The item, by its id in the catalogue.
    pub item: String,
    /// Machine id; null for items the boat has once.
    pub machine: Option<String>,
    /// As it is called.
    pub title: String,
}

/// Something that must be done, with what it mends.
#[derive(Clone)]
pub(super) struct MustDo {
    /// As it is told.
    pub(super) row: MustRow,
    /// Whose rows it mends.
    pub(super) mends: Vec<Subject>,
    /// What is opened for it, by its word.
    pub(super) access: Option<String>,
    /// What it costs, hundredths; 0 where nobody has said.
    pub(super) money: u64,
}

impl MustDo {
    /// Whose it is.
    pub(super) fn subject(&self) -> Subject {
        Subject {
            item: self.row.item.clone(),
            machine: self.row.machine.clone(),
        }
    }

    /// It is a look, which anybody makes where it is.
    pub(super) fn is_look(&self) -> bool {
        self.row.who.is_none()
    }
}

impl Asked {
    /// Takes items in and leaves items out, whatever was kept of them.
    pub fn take_in(&mut self, with: &[String], without: &[String]) {
        let named = |item: &String| with.contains(item) || without.contains(item);
        self.kept.with.retain(|item| !named(item));
        self.kept.without.retain(|item| !named(item));
        self.with.extend_from_slice(with);
        self.without.extend_from_slice(without);
    }

    /// It was left out.
    pub(super) fn leaves_out(&self, item: &str) -> bool {
        let all = self.without.iter().chain(&self.kept.without);
        all.into_iter().any(|own| own == item)
    }

    /// Some hands can do what is for these.
    pub(super) fn has(&self, who: Who) -> bool {
        self.hands.iter().any(|(hand, _)| *hand == who)
    }
}

/// Minutes to look at an item, whole ones.
pub(super) fn look_minutes(item: &Item) -> u32 {
    item.seconds.div_ceil(60).max(1)
}

/// What counts as trouble on a passage: what is catastrophic or critical in its waters, and loss of drive
/// in any.
pub(super) fn is_trouble(effect: EffectKind, scenario: &Scenario) -> bool {
    effect == EffectKind::LossOfPropulsion
        || Severity::of(effect, scenario.waters) <= Severity::Critical
}
