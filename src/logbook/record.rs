//! What a line of the log can say: the table of all kinds of records. Each kind is one file under
//! `record/`, where it answers for itself what reading, taking in, folding and naming ask
//! ([`Event`]). The payload of a kind that the state holds lives in the room whose word it is; the
//! others live here.

mod accepted;
mod agreement;
mod arranged;
mod clock;
mod correction;
mod cost;
mod deferral;
mod draft;
pub mod event;
mod fitted;
mod front_matter;
mod given_on;
mod gone_on;
mod issued;
mod job_minutes;
mod learning;
mod learning_start;
mod look;
mod meter;
mod opened;
mod override_;
mod own_causes;
mod own_items;
mod part;
mod place_photo;
mod plan;
mod profile;
mod recheck;
mod repair;
mod service;
mod spare;
mod started;
mod told;
mod under_way;
mod undo;
mod walk;
mod when_last;
mod withdrawal;

pub use accepted::{Accepted, Loss};
pub use agreement::Agreement;
pub(super) use agreement::agreed_faults;
pub use clock::ClockFound;
pub use correction::{Correction, SetAside};
pub use draft::DraftKept;
pub use event::{Event, EventKind, Grounds, Names, Time, Weight};
pub(super) use front_matter::front_faults;
pub use front_matter::{FrontSaid, entry_fault};
pub use look::LookMade;
pub use own_items::OwnItems;
pub use started::StartedAnyway;
pub use told::ToldOf;
pub(super) use told::being_told;
pub use undo::Undo;
pub use walk::{WalkFinished, WalkNoted, WalkStarted};

use super::placed::{Applied, Folding, Placed};
use crate::boat::fold::ProfileStep;
use crate::boat::{Arranged, MeterChange, ProfileSet, Retired};
use crate::defects::admit::Fault;
use crate::defects::{
    Closed, Cost, Deferral, Fitted, GivenOn, GoneOn, Issued, JobMinutes, LearningSet,
    LearningStart, NamedPlan, Opened, Override, OwnCauses, PartSaid, PlacePhoto, Recheck, Removed,
    Repair, RoundDraft, Service, ServiceDraft, ServiceInterval, SpareSaid, StockChange, UnderWay,
    WhenLast, Withdrawal,
};
use crate::walk::Photo;

macro_rules! records {
    ($($variant:ident($held:ty): $kind:ty),+ $(,)?) => {
        /// One record.
        #[derive(Clone, Debug, PartialEq)]
        #[allow(missing_docs, reason = "each is told of at its payload")]
        pub enum Record { $($variant($held)),+ }

        $(impl From<$kind> for Record {
            fn from(payload: $kind) -> Record {
                Record::$variant(payload.into())
            }
        })+

        impl Record {
            /// All kinds, in the order they are told of.
            pub const KINDS: &[EventKind] = &[$(EventKind::of::<$kind>()),+];

            /// The event's name in the log.
            pub const fn event(&self) -> &'static str {
                match self { $(Record::$variant(_) => <$kind>::NAME),+ }
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
                    $(<$kind>::NAME => Some(serde_json::from_str(payload).map(Record::$variant)),)+
                    _ => None,
                }
            }

            /// See [`Event::COUNTS_CHANGED`].
            pub const fn counts_changed(&self) -> bool {
                match self { $(Record::$variant(_) => <$kind>::COUNTS_CHANGED),+ }
            }

            /// See [`Event::RESTS_ON_OWN`].
            pub const fn rests_on_own(&self) -> bool {
                match self { $(Record::$variant(_) => <$kind>::RESTS_ON_OWN),+ }
            }

            /// See [`Event::CONCERNS_BOAT`].
            pub const fn concerns_boat(&self) -> bool {
                match self { $(Record::$variant(_) => <$kind>::CONCERNS_BOAT),+ }
            }

            /// See [`Event::at`].
            pub fn at(&self) -> Option<Time> {
                match self { $(Record::$variant(payload) => payload.at()),+ }
            }

            /// See [`Event::at_slot`].
            pub fn at_slot(&mut self) -> Option<&mut Option<Time>> {
                match self { $(Record::$variant(payload) => payload.at_slot()),+ }
            }

            /// See [`Event::subject_slot`].
            pub fn subject_slot(&mut self) -> Option<(&str, &mut Option<String>)> {
                match self { $(Record::$variant(payload) => payload.subject_slot()),+ }
            }

            /// See [`Event::texts`].
            pub fn texts(&self) -> Vec<(&'static str, &str)> {
                match self { $(Record::$variant(payload) => payload.texts()),+ }
            }

            /// See [`Event::names`].
            pub fn names(&self) -> Names<'_> {
                match self { $(Record::$variant(payload) => payload.names()),+ }
            }

            /// See [`Event::photos_slot`].
            pub fn photos_slot(&mut self) -> &mut [Photo] {
                match self { $(Record::$variant(payload) => payload.photos_slot()),+ }
            }

            /// See [`Event::check`].
            pub fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
                match self { $(Record::$variant(payload) => payload.check(grounds)),+ }
            }

            /// See [`Event::apply`].
            pub(super) fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
                match self { $(Record::$variant(payload) => payload.apply(placed, state)),+ }
            }

            /// See [`Event::profile_step`].
            pub fn profile_step(&self) -> Option<ProfileStep<'_>> {
                match self { $(Record::$variant(payload) => payload.profile_step()),+ }
            }

            /// See [`Event::deed`].
            pub fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String> {
                match self { $(Record::$variant(payload) => payload.deed(title)),+ }
            }
        }
    };
}

records! {
    WalkStarted(Box<WalkStarted>): WalkStarted,
    Look(LookMade): LookMade,
    WalkNoted(Box<WalkNoted>): WalkNoted,
    WalkFinished(Box<WalkFinished>): WalkFinished,
    Repair(Box<Repair>): Repair,
    Meter(Box<MeterChange>): MeterChange,
    Fitted(Box<Fitted>): Fitted,
    Deferral(Box<Deferral>): Deferral,
    Override(Box<Override>): Override,
    Withdrawal(Box<Withdrawal>): Withdrawal,
    Recheck(Box<Recheck>): Recheck,
    Removed(Box<Removed>): Removed,
    Opened(Box<Opened>): Opened,
    Closed(Box<Closed>): Closed,
    Retired(Box<Retired>): Retired,
    Learning(Box<LearningSet>): LearningSet,
    LearningStart(Box<LearningStart>): LearningStart,
    Plan(Box<NamedPlan>): NamedPlan,
    UnderWay(Box<UnderWay>): UnderWay,
    Service(Box<Service>): Service,
    Interval(Box<ServiceInterval>): ServiceInterval,
    WhenLast(Box<WhenLast>): WhenLast,
    JobMinutes(Box<JobMinutes>): JobMinutes,
    Part(Box<PartSaid>): PartSaid,
    Spare(Box<SpareSaid>): SpareSaid,
    Stock(Box<StockChange>): StockChange,
    PlacePhoto(Box<PlacePhoto>): PlacePhoto,
    Arranged(Box<Arranged>): Arranged,
    Cost(Box<Cost>): Cost,
    Agreement(Box<Agreement>): Agreement,
    FrontMatter(Box<FrontSaid>): FrontSaid,
    Told(Box<ToldOf>): ToldOf,
    StartedAnyway(Box<StartedAnyway>): StartedAnyway,
    Draft(Box<DraftKept>): DraftKept,
    ServiceDraft(Box<ServiceDraft>): ServiceDraft,
    RoundDraft(Box<RoundDraft>): RoundDraft,
    Undo(Box<Undo>): Undo,
    Correction(Box<Correction>): Correction,
    SetAside(Box<SetAside>): SetAside,
    Profile(Box<ProfileSet>): ProfileSet,
    Clock(Box<ClockFound>): ClockFound,
    Accepted(Box<Accepted>): Accepted,
    OwnItems(Box<OwnItems>): OwnItems,
    OwnCauses(Box<OwnCauses>): OwnCauses,
    GoneOn(Box<GoneOn>): GoneOn,
    GivenOn(Box<GivenOn>): GivenOn,
    Issued(Box<Issued>): Issued,
}
