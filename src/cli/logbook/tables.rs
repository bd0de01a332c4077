//! The tables of an export. Each table and column carries the words that explain it in the
//! README beside the files: one place, so that none can be forgotten.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::assess::words::{Level, Risk, Severity, Verdict};
use crate::boat::{Hours, Unit, Waters};
use crate::checklist::{Grade, Leak, WearMark};
use crate::defects::State;
use crate::walk::Better;

/// A time with its offset.
pub type Time = DateTime<FixedOffset>;

/// A table: its name, what a row is, its columns with what they hold.
#[derive(Debug, Clone, Copy)]
pub struct Table {
    /// The file is called this with `.ndjson`.
    pub name: &'static str,
    /// What one row is.
    pub row: &'static str,
    /// Name and meaning of each column.
    pub columns: &'static [(&'static str, &'static str)],
}

macro_rules! tables {
    ($(#[doc = $row:literal] $name:ident = $file:literal { $(#[doc = $doc:literal] $column:ident: $ty:ty),+ $(,)? })+) => {
        $(
            #[doc = $row]
            #[derive(Debug, Clone, Serialize)]
            pub struct $name { $(#[doc = $doc] pub $column: $ty),+ }

            impl $name {
                /// The table of these rows.
                pub const TABLE: Table = Table {
                    name: $file,
                    row: $row,
                    columns: &[$((stringify!($column), $doc)),+],
                };
            }
        )+
    };
}

tables! {
    /// A machine of the boat, from her profile.
    MachineRow = "machines" {
        /// Machine id.
        machine: String,
        /// Its name.
        name: String,
        /// What its meter shows now, or would at the rate of use.
        hours_now: f64,
        /// True where no meter said so.
        hours_estimated: bool,
        /// Running hours a day.
        hours_per_day: f64,
    }
    /// A walk.
    WalkRow = "walks" {
        /// Walk id.
        walk: String,
        /// Checklist id.
        checklist: String,
        /// Machine id.
        machine: String,
        /// When it began.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
        /// Who walked.
        by: Option<String>,
        /// When it was finished; null where it was broken off.
        finished: Option<Time>,
        /// Walked first and typed in afterwards.
        entered_after: bool,
        /// Earlier grades were out of sight until each look was made.
        blind: bool,
        /// Who runs the engine, as agreed beforehand.
        runs: Option<String>,
        /// What may be opened, as agreed.
        may_open: Option<String>,
        /// Which samples may be taken, as agreed.
        samples: Option<String>,
        /// Full throttle, as agreed.
        full_throttle: Option<String>,
        /// Verdict as at the walk, over the day ahead of it.
        verdict: Option<Verdict>,
    }
    /// A look at an item in a walk.
    LookRow = "looks" {
        /// Look id.
        look: String,
        /// Walk id.
        walk: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// Phase of the checklist.
        phase: Option<String>,
        /// When it was made.
        at: Time,
        /// The rung seen; null where it was not seen.
        grade: Option<Grade>,
        /// Why it was not seen.
        not_seen: Option<String>,
        /// What would have to be done to see it.
        close_by: Option<String>,
        /// Leak class.
        leak: Option<Leak>,
        /// What the seller or owner said of it.
        said: Option<String>,
        /// Note.
        note: Option<String>,
        /// Why the grade differs from what the reading or the leak class proposes.
        grade_reason: Option<String>,
        /// Why it is better than last time.
        better: Option<Better>,
        /// Engine speed while looking, rpm.
        at_rpm: Option<u32>,
        /// Topped up, litres.
        added_litres: Option<f64>,
    }
    /// An unsafe finding of a walk that somebody was told of.
    ToldRow = "told" {
        /// Walk id.
        walk: String,
        /// Catalogue id of the item.
        item: String,
        /// Who was told.
        whom: String,
        /// When.
        at: Time,
    }
    /// A value measured at a look.
    ReadingRow = "readings" {
        /// Look id.
        look: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// When it was taken.
        at: Time,
        /// The value, in its unit.
        value: f64,
        /// The unit, as entered.
        unit: Unit,
        /// The value in the base unit of its quantity (L, kPa, C, V, rpm, mm, s, drops/min, L/h, %).
        base_value: f64,
    }
    /// A mark of wear seen at a look.
    WearRow = "wear" {
        /// Look id.
        look: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine walked.
        machine: String,
        /// When it was seen.
        at: Time,
        /// Sort of mark.
        mark: WearMark,
        /// Where on the item.
        place: Option<String>,
        /// What it touches.
        against: Option<String>,
    }
    /// A picture named at a look.
    PhotoRow = "photos" {
        /// Look id.
        look: String,
        /// Path as entered, or the name it had.
        path: String,
        /// What it shows.
        caption: Option<String>,
        /// Name of the content under photos/; null where only the path is known.
        kept: Option<String>,
        /// Size of the content, bytes.
        bytes: Option<u64>,
    }
    /// A defect, living or over.
    DefectRow = "defects" {
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// 1 for the first defect of the item, and so on.
        number: usize,
        /// Where it stands now.
        state: State,
        /// First finding.
        opened: Time,
        /// Looks at the item since.
        looks: u32,
        /// When it last became worse.
        worse_since: Option<Time>,
        /// How often it came back after a repair.
        reopened: u32,
        /// The last repair.
        repaired: Option<Time>,
        /// The sound look after it.
        confirmed: Option<Time>,
        /// Why it was withdrawn.
        withdrawn_why: Option<String>,
        /// Place in the list now, over the exposure named above; null where it is over.
        rank: Option<usize>,
        /// Chance of failure over the exposure.
        chance: Option<f64>,
        /// Severity, 1 to 4.
        severity: Option<Severity>,
        /// Probability level.
        level: Option<Level>,
        /// Risk.
        risk: Option<Risk>,
        /// A stop rule is in force.
        stop: Option<bool>,
    }
    /// A repair.
    RepairRow = "repairs" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
        /// What was done.
        done: String,
        /// By whom.
        by: Option<String>,
    }
    /// A deferral.
    DeferralRow = "deferrals" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was decided.
        at: Time,
        /// Why it may wait.
        why: String,
        /// Until the end of this day.
        until_date: Option<NaiveDate>,
        /// Until the meter shows this.
        until_hours: Option<Hours>,
    }
    /// A severity or level set by hand.
    OverrideRow = "overrides" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was set.
        at: Time,
        /// Severity, 1 to 4.
        severity: Option<Severity>,
        /// Probability level.
        level: Option<Level>,
        /// Why.
        why: String,
    }
    /// A withdrawal.
    WithdrawalRow = "withdrawals" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Why it was none.
        why: String,
    }
    /// A look owed.
    RecheckRow = "rechecks" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was written down.
        at: Time,
        /// Due at this time.
        due_at: Option<Time>,
        /// Due at this meter reading.
        due_hours: Option<Hours>,
        /// Why it is owed.
        why: String,
        /// Not yet settled by a look.
        open: bool,
    }
    /// A part that went into service.
    FittedRow = "fitted" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
    }
    /// An item taken out of the boat for good.
    RemovedRow = "removed" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Why.
        why: Option<String>,
    }
    /// An hour meter that was replaced.
    MeterRow = "meters" {
        /// Machine id.
        machine: String,
        /// When.
        at: Time,
        /// Last reading of the old meter.
        old: Hours,
        /// First reading of the new one.
        new: Hours,
    }
    /// A named exposure.
    PlanRow = "plans" {
        /// Its name.
        plan: String,
        /// Running hours as set; null where they follow from the days.
        hours: Option<f64>,
        /// Days as set; null where they follow from the hours.
        days: Option<f64>,
        /// Waters as set; null for the boat's own.
        waters: Option<Waters>,
    }
}
