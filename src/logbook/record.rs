//! What a line of the log can say. Payloads live in the rooms whose words they are; this file names
//! their events and turns them into text and back.

use std::sync::Arc;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::stamp::Stamp;
use crate::boat::{Hours, MeterChange, ProfileSet, Retired};
use crate::defects::said::{Said, as_far_as_known};
use crate::defects::{
    Cost, Deferral, Fitted, GoneOn, LearningSet, NamedPlan, Override, Recheck, Removed, Repair,
    Service, ServiceDraft, ServiceInterval, Withdrawal,
};
use crate::walk::pace::Pace;
use crate::walk::{Agreed, Details, Join, LeftOut, Look, Told};

/// A walk began.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WalkStarted {
    /// Walk id, which every other record of the walk names.
    pub walk: String,
    /// Checklist id.
    pub checklist: String,
    /// Content hash of what was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub asked: Option<String>,
    /// Machine id.
    pub machine: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// Who.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
    /// Meter as read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Typed in after walking.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub entered_after: bool,
    /// Earlier grades out of sight until the look is made.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub blind: bool,
    /// Rows not due.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// Items that joined.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub joins: Vec<Join>,
    /// Joints a service disturbed before it, by item id; empty where that is not known.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub disturbed: Vec<String>,
}

/// A look in a walk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct LookMade {
    /// Walk id.
    pub walk: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// What was seen.
    pub look: Arc<Look>,
}

/// The meter was read, a switch was turned, or the time of a phase began, while a walk went on.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct WalkNoted {
    /// Walk id.
    pub walk: String,
    /// Meter as read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Hours>,
    /// Typed in after walking.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub entered_after: Option<bool>,
    /// Id of the phase whose time began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub phase: Option<String>,
    /// When it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub begun_at: Option<DateTime<FixedOffset>>,
    /// Earlier grades out of sight from here on, or in sight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub blind: Option<bool>,
}

/// What was agreed before a walk; agreeing again replaces it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Agreement {
    /// Walk id.
    pub walk: String,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
    /// What.
    pub agreed: Agreed,
}

/// Somebody was told of unsafe findings of a walk.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ToldOf {
    /// Walk id.
    pub walk: String,
    /// Of what, whom, when.
    pub told: Told,
}

/// A walk ended.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct WalkFinished {
    /// Walk id.
    pub walk: String,
    /// When.
    pub at: DateTime<FixedOffset>,
    /// How fast it went.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pace: Option<Pace>,
    /// What the screen said then; an end told otherwise has none.
    #[serde(
        default,
        skip_serializing_if = "Option::is_none",
        deserialize_with = "as_far_as_known"
    )]
    pub said: Option<Said>,
}

/// What was typed of an item not yet graded, or half typed; empty details clear it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct DraftKept {
    /// Walk id.
    pub walk: String,
    /// Phase id.
    pub phase: String,
    /// Item id.
    pub item: String,
    /// As far as typed.
    pub details: Details,
}

/// An earlier record is taken back; of an undo, the record it took back stands again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Undo {
    /// Id of the record.
    pub of: String,
}

/// What was found of a session whose clock stood wrong, so that its records keep their place in the
/// order when that date comes.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ClockFound {
    /// The session.
    pub session: String,
    /// Its time marks later than this, in milliseconds since 1970, are not believed.
    pub beyond: u64,
    /// The newest of its marks that whoever found it had read, and therefore comes after.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub read: Option<Stamp>,
}

/// Somebody knows of a loss in the record: it stays named and forbids no clear verdict any more.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Accepted {
    /// What was lost or in doubt.
    pub losses: Vec<Loss>,
    /// Why it can be lived with.
    pub why: String,
    /// Who says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub by: Option<String>,
}

/// One loss, as it was shown.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Loss {
    /// The file, relative to the logbook's folder.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub file: Option<String>,
    /// The line, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
    /// SHA-256 of the damaged bytes, or of what was said where there are none.
    pub digest: String,
}

/// Things of one's own were put into the boat.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct OwnItems {
    /// Content hash of the text that holds them.
    pub text: String,
    /// Taken over from the settings folder, not given by hand.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub settings: bool,
    /// When.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<DateTime<FixedOffset>>,
}

macro_rules! records {
    ($($(#[$doc:meta])* $variant:ident($ty:ty) = $ev:literal),+ $(,)?) => {
        /// One record.
        #[derive(Clone, Debug, PartialEq)]
        pub enum Record { $($(#[$doc])* $variant($ty)),+ }

        impl Record {
            /// The name of every event, in the order declared.
            pub const EVENTS: &'static [&'static str] = &[$($ev),+];

            /// The event's name in the log.
            pub const fn event(&self) -> &'static str {
                match self { $(Record::$variant(_) => $ev),+ }
            }

            /// The payload as JSON.
            ///
            /// # Errors
            /// None in practice: payloads hold no map with other than text keys and no number that
            /// is not finite.
            pub fn payload(&self) -> Result<String, serde_json::Error> {
                match self { $(Record::$variant(payload) => serde_json::to_string(payload)),+ }
            }

            /// Reads a payload; `None` where the event is not known to this version.
            pub fn read(event: &str, payload: &str) -> Option<Result<Record, serde_json::Error>> {
                match event {
                    $($ev => Some(serde_json::from_str(payload).map(Record::$variant)),)+
                    _ => None,
                }
            }
        }
    };
}

records! {
    /// See [`WalkStarted`].
    WalkStarted(WalkStarted) = "walk",
    /// See [`LookMade`].
    Look(LookMade) = "look",
    /// See [`WalkNoted`].
    WalkNoted(WalkNoted) = "walk-noted",
    /// See [`WalkFinished`].
    WalkFinished(WalkFinished) = "walk-finished",
    /// See [`Agreement`].
    Agreement(Agreement) = "agreement",
    /// See [`ToldOf`].
    Told(ToldOf) = "told",
    /// See [`DraftKept`].
    Draft(DraftKept) = "draft",
    /// See [`Undo`].
    Undo(Undo) = "undo",
    /// See [`ProfileSet`].
    Profile(Box<ProfileSet>) = "boat",
    /// See [`Retired`].
    Retired(Box<Retired>) = "retired",
    /// See [`Repair`].
    Repair(Repair) = "repair",
    /// See [`Deferral`].
    Deferral(Deferral) = "deferral",
    /// See [`Override`].
    Override(Override) = "override",
    /// See [`Withdrawal`].
    Withdrawal(Withdrawal) = "withdrawal",
    /// See [`Recheck`].
    Recheck(Recheck) = "recheck",
    /// See [`Cost`].
    Cost(Cost) = "cost",
    /// See [`Fitted`].
    Fitted(Fitted) = "fitted",
    /// See [`Removed`].
    Removed(Removed) = "removed",
    /// See [`LearningSet`].
    Learning(LearningSet) = "learning",
    /// See [`MeterChange`].
    Meter(MeterChange) = "meter",
    /// See [`Service`].
    Service(Box<Service>) = "service",
    /// See [`ServiceInterval`].
    Interval(ServiceInterval) = "service-interval",
    /// See [`ServiceDraft`].
    ServiceDraft(ServiceDraft) = "service-draft",
    /// See [`NamedPlan`].
    Plan(NamedPlan) = "plan",
    /// See [`ClockFound`].
    Clock(ClockFound) = "clock",
    /// See [`Accepted`].
    Accepted(Accepted) = "accepted",
    /// See [`OwnItems`].
    OwnItems(OwnItems) = "own-items",
    /// See [`GoneOn`].
    GoneOn(GoneOn) = "go-on",
}
