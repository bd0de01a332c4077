//! What every kind of record answers for itself. Whatever reads, takes in, folds, cuts or names
//! records asks here, so that a kind cannot be forgotten: what has no careful answer by default has
//! to be written.

use chrono::{DateTime, FixedOffset};
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::Record;
use crate::boat::fold::ProfileStep;
use crate::boat::{Boat, Hours};
use crate::defects::admit::{Fault, hours_fault};
use crate::defects::condition::Condition;
use crate::defects::{History, Life, Subject};
use crate::logbook::input::Outside;
use crate::logbook::lenient::InPart;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows};
use crate::walk::Photo;

/// A time with its offset.
pub type Time = DateTime<FixedOffset>;

/// A kind of record.
pub trait Event: Serialize + DeserializeOwned {
    /// Its name in the log (`ev`).
    const NAME: &'static str;
    /// How it comes from outside.
    const OUTSIDE: Outside;
    /// What a damaged line of it takes from the answers.
    const LOST: Weight = Weight::UntilAccepted;
    /// What its line takes from the answers where it was changed outside or makes no sense.
    const CHANGED: Weight = Weight::UntilAccepted;
    /// It counts even where its line was changed outside: it can make an answer worse and none
    /// better, or no answer rests on it.
    const COUNTS_CHANGED: bool = false;
    /// It can speak of what people added to the catalogue, which has to be in the logbook before it.
    const RESTS_ON_OWN: bool = true;
    /// After it answers may speak of another boat: of a machine beside her profile, or of one less.
    const CONCERNS_BOAT: bool = true;

    /// The time it speaks of, where it names one.
    fn at(&self) -> Option<Time>;

    /// Where the time goes that was not said; none where it has no time or has to have one. Not said
    /// and not filled in, it is the time of its line.
    fn at_slot(&mut self) -> Option<&mut Option<Time>> {
        None
    }

    /// The item it acts on, and where its machine goes; none for what acts on no item.
    fn subject_slot(&mut self) -> Option<(&str, &mut Option<String>)>;

    /// The people's words in it, by field: none is longer than a text may be.
    fn texts(&self) -> Vec<(&'static str, &str)>;

    /// What it names that lies elsewhere.
    fn names(&self) -> Names<'_>;

    /// The pictures it names, to be taken in where it comes from outside.
    fn photos_slot(&mut self) -> &mut [Photo] {
        &mut []
    }

    /// What is wrong with one made by hand or come from outside. Its time and subject are known and
    /// filled in, its texts are looked at afterwards. Here it is filled up with what it may leave out.
    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault>;

    /// Puts it into a state that all records before it are in.
    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied;

    /// What it does to the profile, which all records that do something to it say together.
    fn profile_step(&self) -> Option<ProfileStep<'_>> {
        None
    }

    /// What somebody did who recorded it elsewhere, after "another window"; none for what is half
    /// typed. `title` gives an item its title.
    fn deed(&self, title: &dyn Fn(&str) -> String) -> Option<String>;

    /// The tables of an export that say what is on record of it.
    fn tables(of: &Export<'_>) -> Vec<Rows>;

    /// As far as a payload can be understood that is not understood whole.
    fn in_part(_payload: &str) -> Option<InPart> {
        None
    }
}

/// What the loss of a record takes from the answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weight {
    /// Nothing: no answer rests on it.
    Nothing,
    /// It is said, and can have made no answer worse.
    Said,
    /// Nothing is clear until its item was looked at again.
    UntilSeen,
    /// Nothing is clear until somebody has said that the loss is known.
    UntilAccepted,
}

/// What a record names that lies elsewhere.
#[derive(Clone, Copy, Debug, Default)]
pub struct Names<'a> {
    /// A walk, and what the record is to it.
    pub walk: Option<(&'a str, Part)>,
    /// A text kept in the logbook.
    pub text: Option<KeptText<'a>>,
    /// Pictures.
    pub photos: &'a [Photo],
}

impl<'a> Names<'a> {
    /// It names nothing.
    pub const NOTHING: Names<'static> = Names {
        walk: None,
        text: None,
        photos: &[],
    };

    /// It names a walk.
    pub fn walk(id: &'a str, part: Part) -> Names<'a> {
        Names {
            walk: Some((id, part)),
            ..Names::NOTHING
        }
    }
}

/// What a record is to the walk it names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// It begins it.
    Begins,
    /// It was made in it.
    Within,
    /// It says something of it, before or after.
    Beside,
}

/// A text kept in the logbook by its content, by name.
#[derive(Clone, Copy, Debug)]
pub enum KeptText<'a> {
    /// What a walk was asked with.
    Asked(&'a str),
    /// What the boat has of her own.
    Own(&'a str),
}

/// The state a record made by hand is held against.
pub struct Grounds<'a> {
    /// All records before it.
    pub history: &'a History,
    /// The condition of the boat at the later of both times.
    pub condition: &'a Condition,
    /// Her profile, as it can be changed.
    pub profile: &'a Boat,
    /// The time the record speaks of.
    pub at: Time,
    /// The time of recording.
    pub now: Time,
    /// What it acts on.
    pub subject: Option<&'a Subject>,
}

impl Grounds<'_> {
    /// The life of its item.
    pub fn life(&self) -> Option<&Life> {
        self.condition.lives.get(self.subject?)
    }

    /// The stop rule in force on its item.
    pub fn stop(&self) -> Option<String> {
        let (subject, life) = (self.subject?, self.life()?);
        let item = self.condition.item(subject)?;
        let waters = self.condition.boat.waters;
        self.condition.stop_rule(subject, item, life, waters)
    }

    /// A fault where a stop is in force on its item, which no words lift.
    pub fn no_stop(&self) -> Option<Fault> {
        let rule = self.stop()?;
        let message =
            format!("a stop rule is in force and lifts only when it is looked at again: {rule}");
        Some(fault("item", message))
    }

    /// A fault where the meter of a machine cannot have shown this.
    pub fn meter_fault(&self, machine: Option<&str>, hours: Option<Hours>) -> Option<Fault> {
        hours_fault(self.history, machine?, hours?, self.at)
    }
}

/// A kind of record without one at hand: what is known of it by its name alone.
#[derive(Clone, Copy)]
pub struct EventKind {
    /// See [`Event::NAME`].
    pub name: &'static str,
    /// See [`Event::OUTSIDE`].
    pub outside: Outside,
    /// See [`Event::LOST`].
    pub lost: Weight,
    /// See [`Event::CHANGED`].
    pub changed: Weight,
    /// See [`Event::in_part`].
    pub in_part: fn(&str) -> Option<InPart>,
    /// See [`Event::tables`].
    pub tables: fn(&Export<'_>) -> Vec<Rows>,
}

impl EventKind {
    pub(super) const fn of<T: Event>() -> EventKind {
        EventKind {
            name: T::NAME,
            outside: T::OUTSIDE,
            lost: T::LOST,
            changed: T::CHANGED,
            in_part: T::in_part,
            tables: T::tables,
        }
    }

    /// The kind of a name, where this version knows it.
    pub fn named(event: &str) -> Option<&'static EventKind> {
        Record::KINDS.iter().find(|kind| kind.name == event)
    }
}

/// A fault of a field.
pub(super) fn fault(field: &str, message: impl Into<String>) -> Fault {
    (field.to_owned(), message.into())
}

/// A fault where a field holds no words; `say` is what to write there.
pub(super) fn unsaid(field: &str, text: &str, say: &str) -> Option<Fault> {
    text.trim().is_empty().then(|| fault(field, say))
}

/// Fills in the machine where there is one, and says what is wrong with one that is named.
pub(super) fn machine_fault(machine: &mut Option<String>, grounds: &Grounds<'_>) -> Option<Fault> {
    let machines = &grounds.condition.boat.machines;
    match (machine.as_deref(), machines.as_slice()) {
        (None, [only]) => {
            *machine = Some(only.id.clone());
            None
        }
        (None, _) => {
            let ids: Vec<&str> = machines.iter().map(|m| m.id.as_str()).collect();
            let message = format!("several machines; name one of {}", ids.join(", "));
            Some(fault("machine", message))
        }
        (Some(id), _) => {
            let known = machines.iter().any(|m| m.id == id);
            (!known).then(|| fault("machine", grounds.condition.unknown_machine(id)))
        }
    }
}

/// For kinds that the program alone writes: nothing of them comes from outside or is made by hand.
macro_rules! by_the_program {
    () => {
        const OUTSIDE: $crate::logbook::input::Outside = $crate::logbook::input::Outside::No;

        fn texts(&self) -> Vec<(&'static str, &str)> {
            Vec::new()
        }

        fn check(
            &mut self,
            _: &$crate::logbook::record::Grounds<'_>,
        ) -> Vec<$crate::defects::admit::Fault> {
            Vec::new()
        }

        $crate::logbook::record::event::on_no_item!();
    };
}

/// For kinds that no table of an export tells of by itself.
macro_rules! in_no_table {
    () => {
        fn tables(_: &$crate::logbook::table::Export<'_>) -> Vec<$crate::logbook::table::Rows> {
            Vec::new()
        }
    };
}

/// For kinds that name nothing that lies elsewhere.
macro_rules! naming_nothing {
    () => {
        fn names(&self) -> $crate::logbook::record::Names<'_> {
            $crate::logbook::record::Names::NOTHING
        }
    };
}

/// For kinds that act on no item.
macro_rules! on_no_item {
    () => {
        fn subject_slot(&mut self) -> Option<(&str, &mut Option<String>)> {
            None
        }
    };
}

/// For kinds that happen at a time that may be left out.
macro_rules! at_a_time {
    () => {
        fn at(&self) -> Option<$crate::logbook::record::Time> {
            self.at
        }

        fn at_slot(&mut self) -> Option<&mut Option<$crate::logbook::record::Time>> {
            Some(&mut self.at)
        }
    };
}

/// For kinds that act on an item, at a time that may be left out.
macro_rules! on_an_item {
    () => {
        const OUTSIDE: $crate::logbook::input::Outside =
            $crate::logbook::input::Outside::act::<Self>();

        $crate::logbook::record::event::at_a_time!();

        fn subject_slot(&mut self) -> Option<(&str, &mut Option<String>)> {
            Some((&self.item, &mut self.machine))
        }

        $crate::logbook::record::event::naming_nothing!();
    };
}

pub(super) use {at_a_time, by_the_program, in_no_table, naming_nothing, on_an_item, on_no_item};
