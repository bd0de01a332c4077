//! What was read of a level and filled in, in the order in which it was done.

use chrono::{DateTime, FixedOffset};

use crate::boat::Hours;
use crate::checklist::PhaseState;

/// The low mark and the high one, in per cent of the span between them.
pub const LOW_MARK: f64 = 0.0;
/// See [`LOW_MARK`].
pub const HIGH_MARK: f64 = 100.0;
/// What was read and filled of a level since something was last put right or begun anew.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Course {
    pub(super) dips: Vec<Dipped>,
    pub(super) fillings: Vec<Filling>,
    /// What guests filled since the last dip. It explains a rise and counts as often as any, and lifts
    /// nothing before somebody else has read the level.
    pub(super) by_guests: Vec<Filling>,
}

/// A reading of a level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Dipped {
    pub(super) at: DateTime<FixedOffset>,
    /// What the meter showed in that walk, where it was read, and when the walk began.
    pub(super) meter: Option<(Hours, DateTime<FixedOffset>)>,
    pub(super) state: Option<PhaseState>,
    pub(super) value: f64,
    /// Fillings before it.
    pub(super) filled: usize,
}

/// Something was filled in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Filling {
    pub(super) at: DateTime<FixedOffset>,
    pub(super) litres: f64,
}

/// When and in which walk something was read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moment {
    pub at: DateTime<FixedOffset>,
    pub meter: Option<(Hours, DateTime<FixedOffset>)>,
    pub state: Option<PhaseState>,
}

impl Course {
    pub(super) fn read(&mut self, moment: Moment, value: f64) {
        let Moment { at, meter, state } = moment;
        self.fillings.append(&mut self.by_guests);
        self.dips.push(Dipped {
            at,
            meter,
            state,
            value,
            filled: self.fillings.len(),
        });
    }

    pub(super) fn fill(&mut self, at: DateTime<FixedOffset>, litres: f64) {
        self.fillings.push(Filling { at, litres });
    }

    pub(super) fn fill_by_guest(&mut self, at: DateTime<FixedOffset>, litres: f64) {
        self.by_guests.push(Filling { at, litres });
    }

    /// True where something was filled in since it began.
    pub(super) fn is_filled(&self) -> bool {
        !self.fillings.is_empty()
    }

    /// How far a reading stands above what there was before it in a state of the engine, less what was
    /// filled in; none without an earlier one, and where something was filled in that raises it by
    /// nobody knows how much. `litres` come with the reading itself.
    pub(super) fn rise_to(
        &self,
        value: f64,
        state: Option<PhaseState>,
        litres: f64,
        between_marks: Option<f64>,
    ) -> Option<f64> {
        let mut before = self.dips.iter().rev().filter(|d| d.state == state);
        let last = before.next()?;
        let same = before.take_while(|d| d.filled == last.filled);
        let lowest = same.map(|d| d.value).fold(last.value, f64::min);
        let since = self.fillings.iter().skip(last.filled);
        let fillings = since.chain(&self.by_guests).map(|f| f.litres);
        let filled = fillings.sum::<f64>() + litres;
        if filled == 0.0 {
            return Some(value - lowest);
        }
        Some(value - last.value - HIGH_MARK * filled / between_marks?)
    }

    /// The last reading, where something was filled in and nobody read the level since.
    pub(super) fn filled_on(&self) -> Option<f64> {
        let last = self.dips.last()?;
        (self.fillings.len() > last.filled).then_some(last.value)
    }
}

/// True where a reading that stands with a filling was taken after it: whichever of the two leaves
/// it nearer to the last reading. `raises` is what the filling can raise it by, where that is known,
/// `error` what a reading can be wrong by.
pub(super) fn filled_first(last: Option<f64>, value: f64, raises: Option<f64>, error: f64) -> bool {
    let Some(last) = last else { return false };
    match raises {
        Some(raises) => (value - last - raises).abs() < (value - last).abs(),
        None => value - last > error,
    }
}
