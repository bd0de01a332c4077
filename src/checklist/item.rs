//! One thing worth looking at, written once in the catalogue.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::first_look::FirstLook;
use super::words::{
    Chore, EffectKind, Fluid, Grade, Kind, Order, PhaseState, Place, Scope, UnknownAge, WearMark,
    Where, Who,
};
use crate::boat::units::{Measure, Quantity, Unit, Volume};
use crate::boat::{Packing, Role};

/// A catalogue item. The id is the same in every checklist, so all walks add up.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// Lower-case words joined by hyphens; never changes once records name it.
    pub id: String,
    /// As it stands in the list, short.
    pub title: String,
    /// Id of the item it was part of: until it is looked at by itself, looks at both as one speak
    /// for it too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub split_from: Option<String>,
    /// One per machine or one per boat.
    pub scope: Scope,
    /// Roles of the machines it is asked of; left out, those of an inboard engine: propulsion and
    /// generator. What the boat has once is asked where she has such a machine; left out, always.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub roles: Option<Vec<Role>>,
    /// True where it is looked at only when findings call for it: no checklist has to ask it, and
    /// without a finding nothing counts it, waits for it or calls it never looked at.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub called_for: bool,
    /// True where it stands under water or within what she floats by: seen whole ashore alone, so that a
    /// list for the yard asks for it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub hidden_afloat: bool,
    /// Decides the dwell times.
    pub kind: Kind,
    /// Id of the station where one stands to see it.
    pub station: String,
    /// How to look, one or two short sentences.
    pub look: String,
    /// How to look while the engine turns or runs; left out, as otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look_running: Option<String>,
    /// How to look just after it stopped, when all is hot; left out, as otherwise.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look_after: Option<String>,
    /// How each rung looks on this item, sound first.
    pub ladder: [String; 5],
    /// Other words for a first look, as in a survey, where the usual ones presuppose an earlier one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub first_look: Option<FirstLook>,
    /// What can be measured here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reading: Option<Reading>,
    /// What can leak here.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fluid: Option<Fluid>,
    /// Where it leaks from; needed where a fluid is given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub place: Option<Place>,
    /// True where what leaks can reach something hot: one rung worse for oil.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub near_heat: bool,
    /// What follows its failure, with the chance that it does.
    pub effects: Vec<Effect>,
    /// The rung at which this item alone forbids running; null where the default of the method holds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stop_at: Option<Grade>,
    /// What a stop of it orders where the usual does not hold: `stop-now` while the engine runs,
    /// `do-not-leave` where the engine itself may run. Else it is `when-safe`, or `do-not-start`
    /// before the engine runs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub order: Option<Order>,
    /// A stop of it holds before key on: a spark or a lead can do the harm.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub before_key: bool,
    /// What takes minutes and is to be done before starting, from a rung on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub before_start: Option<BeforeStarting>,
    /// How a level between a low and a high mark is filled and followed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub marks: Option<Marks>,
    /// Shown before the instruction.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<String>,
    /// What puts it right.
    pub remedy: Remedy,
    /// Parts the remedy needs, by plain description.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub parts: Vec<String>,
    /// How long it may serve, where a figure is published.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub life: Option<ServiceLife>,
    /// Days after which a look is old, for items without a chain (level, reading, sign).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub look_every_days: Option<u32>,
    /// Honest looking time of a practised person, seconds.
    pub seconds: u32,
    /// Where a limit comes from, or "common practice".
    pub source: String,
}

/// What is to be done before starting.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BeforeStarting {
    /// The rung from which it is to be done.
    pub from: Grade,
    /// What: `drain`, `charge` or `open`. That a level is topped up or read again its reading says.
    #[serde(rename = "do")]
    pub chore: Chore,
    /// How, in a sentence without a full stop.
    pub how: String,
}

/// How a level between marks is filled and followed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Marks {
    /// What it is filled with, as it ends "top up with 0.5 L of": "the same engine oil".
    pub filled_with: String,
    /// True where it is read off the dipstick whose `between_marks` the machine's profile gives.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub dipstick: bool,
    /// From the low mark to the high one, where the profile does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub between_marks: Option<Volume>,
    /// True where warmth moves it, so that only readings of a stone-cold engine tell of a fall.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub cold_only: bool,
    /// So many fillings within 50 h are a concern by themselves, since it goes nowhere but out; any
    /// level filled three times is named to watch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lost_after: Option<usize>,
}

/// What follows an item's failure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Effect {
    /// What follows when the item fails.
    pub effect: EffectKind,
    /// Chance that it follows the failure, or the state named in `from`, above 0 and at most 1
    /// (MIL-STD-1629A, 3.2.1.2).
    pub beta: f64,
    /// The rung from which it can follow. Where one is named, the effect says nothing of better
    /// rungs: neither stop nor verdict asks it there. Without one it follows the failure and speaks
    /// for the item at every rung.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<Grade>,
    /// Follows only while this comes out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fluid: Option<Fluid>,
    /// Follows only while the last look has such a mark.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub mark: Option<WearMark>,
}

/// What the last look at an item shows beside its rung, as far as effects hang on it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Signs {
    /// What comes out; none where it is dry.
    pub fluid: Option<Fluid>,
    /// The marks of wear.
    pub marks: Vec<WearMark>,
}

impl Item {
    /// True where it is asked of a machine of this role, or of the boat because of one.
    pub fn is_for(&self, role: Role) -> bool {
        match &self.roles {
            Some(roles) => roles.contains(&role),
            None => self.scope == Scope::Boat || role.is_inboard(),
        }
    }

    /// True for a level between a low and a high mark, read in per cent of the span between them.
    pub fn is_between_marks(&self) -> bool {
        let reading = self.reading.as_ref().filter(|_| self.kind == Kind::Level);
        reading.is_some_and(|r| r.quantity == Quantity::Level && r.unit == Unit::Percent)
    }

    /// How to look in a state of the engine.
    pub fn look_in(&self, state: Option<PhaseState>) -> &str {
        let own = match state {
            Some(PhaseState::JustStopped) => &self.look_after,
            Some(state) if state.turns() => &self.look_running,
            _ => &None,
        };
        own.as_deref().unwrap_or(&self.look)
    }
}

impl Effect {
    /// What follows the failure, whatever else is seen.
    pub const fn new(effect: EffectKind, beta: f64) -> Effect {
        Effect {
            effect,
            beta,
            from: None,
            fluid: None,
            mark: None,
        }
    }

    /// The rung that has to be reached, or passed, before it can follow.
    pub fn rung(&self) -> Grade {
        self.from.unwrap_or(Grade::Failed)
    }

    /// True where it speaks for an item that stands at a rung.
    pub fn speaks_at(&self, grade: Grade) -> bool {
        self.from.is_none_or(|from| grade >= from)
    }

    /// True while what it hangs on was seen.
    pub fn counts(&self, signs: &Signs) -> bool {
        self.fluid.is_none_or(|fluid| signs.fluid == Some(fluid))
            && self.mark.is_none_or(|mark| signs.marks.contains(&mark))
    }
}

/// What puts an item right.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Remedy {
    /// What to do, in a few words.
    #[serde(rename = "do")]
    pub action: String,
    /// Who can do it.
    pub who: Who,
    /// Where it can be done.
    #[serde(rename = "where")]
    pub place: Where,
}

/// How long an item may serve from the date it was fitted.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceLife {
    /// Running hours, where the life is counted in hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<u32>,
    /// Calendar months, where the life is counted by the calendar.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    /// What is to be done where nobody knows how old it is; left out, it is due now.
    #[serde(
        default = "UnknownAge::unsaid",
        skip_serializing_if = "UnknownAge::is_due"
    )]
    pub unknown_age: UnknownAge,
    /// Where the figure is published.
    pub source: String,
}

/// What can be measured on an item and which rung a value means.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reading {
    /// What is measured; the unit has to be one of it.
    pub quantity: Quantity,
    /// The unit of the bands.
    pub unit: Unit,
    /// True for a share short of the rated engine speed: an engine speed may be read in its place, and is
    /// held against the rated one of the machine's profile.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub of_rated: bool,
    /// What the bands compare.
    #[serde(default)]
    pub versus: Versus,
    /// Which rung a value means. Bands do not overlap; a value in no band proposes nothing.
    pub bands: Vec<Band>,
    /// What one reading can be wrong by, a standard deviation in the unit of the bands (judgement);
    /// null for a tenth of the span between the marks of a level.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub error: Option<f64>,
    /// Where a phase has limits of its own, they replace the bands above in that phase.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub by_phase: Vec<PhaseBands>,
}

/// No engine falls short of its rated speed by more, per cent.
const WHOLE: f64 = 100.0;

/// In per cent of the span between the marks of a level (judgement).
const TENTH_OF_THE_MARKS: f64 = 10.0;

/// What the bands of a reading compare.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Versus {
    /// The value itself.
    #[default]
    Absolute,
    /// The value less the boat's own usual value.
    BaselineDifference,
    /// The value divided by the boat's own usual value.
    BaselineRatio,
}

/// A range of values that means one rung: `from <= value < to`; a missing end is open.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Band {
    /// The rung that a value in the band means.
    pub grade: Grade,
    /// Lower end, included; open where it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<f64>,
    /// Upper end, not included.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub to: Option<f64>,
}

/// Bands that hold in one phase only, or there with one kind of packing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PhaseBands {
    /// The engine's state in which they hold.
    pub state: PhaseState,
    /// The packing of the machine with which they hold; left out, with any that has none of its own.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub packing: Option<Packing>,
    /// The bands, in place of those for every phase.
    pub bands: Vec<Band>,
}

impl Reading {
    /// True where a reading may be given in a unit.
    pub fn takes(&self, unit: Unit) -> bool {
        unit.measures(self.quantity) || (self.of_rated && unit.measures(Quantity::RotationalSpeed))
    }

    /// Reads what a person types, with `assumed` where no unit stands there. What may be an engine speed
    /// is one with its unit, and without where it is more than a whole.
    ///
    /// # Errors
    /// See [`Measure::parse`].
    pub fn parse(&self, text: &str, assumed: Unit) -> Result<Measure, String> {
        let typed = Measure::parse(text, assumed);
        if !self.of_rated {
            return typed;
        }
        match typed {
            Ok(typed) if typed.value() <= WHOLE => Ok(typed),
            typed => Measure::parse(text, Unit::Rpm).or(typed),
        }
    }

    /// The rung that `value` (in [`Reading::unit`], already less or over the baseline where
    /// [`Reading::versus`] says so) means in a phase on a machine of that packing, or `None` outside
    /// all bands.
    pub fn grade_of(
        &self,
        value: f64,
        state: Option<PhaseState>,
        packing: Option<Packing>,
    ) -> Option<Grade> {
        let bands = self.bands_in(state, packing);
        bands.iter().find(|b| b.holds(value)).map(|b| b.grade)
    }

    /// What one reading can be wrong by, in the unit of the bands.
    pub fn error(&self) -> f64 {
        self.error.unwrap_or(TENTH_OF_THE_MARKS)
    }

    /// The bands that hold in a phase on a machine of that packing.
    pub fn bands_in(&self, state: Option<PhaseState>, packing: Option<Packing>) -> &[Band] {
        let with = |packing| {
            let mut own = self.by_phase.iter().filter(|p| Some(p.state) == state);
            own.find(|p| p.packing == packing)
        };
        let own = with(packing).or_else(|| with(None));
        own.map_or(&self.bands, |p| &p.bands)
    }
}

impl Band {
    /// True where `from <= value < to`.
    pub fn holds(&self, value: f64) -> bool {
        self.from.is_none_or(|from| value >= from) && self.to.is_none_or(|to| value < to)
    }
}
