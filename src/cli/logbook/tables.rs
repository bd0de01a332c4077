//! The tables of an export. Each table and column carries the words that explain it in the
//! README beside the files: one place, so that none can be forgotten.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::assess::words::{Level, Risk, Severity, Verdict};
use crate::boat::{Hours, Role, Unit, UnitHabit, Waters};
use crate::checklist::{Grade, Kind, Leak, WearMark};
use crate::defects::{LearningState, Paid, State};
use crate::service::What;
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
    /// Its columns, after [`BOAT`].
    pub columns: &'static [Column],
}

/// A column of a table.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its name.
    pub name: &'static str,
    /// What it holds.
    pub meaning: &'static str,
    /// Its type in SQL.
    pub sql: &'static str,
}

/// A type and what it is in SQL, as it stands in JSON.
trait Sql {
    const TYPE: &'static str;
}

macro_rules! sql {
    ($($sql:literal: $($ty:ty),+;)+) => {
        $($(impl Sql for $ty { const TYPE: &'static str = $sql; })+)+
    };
}

sql! {
    "text": String, Better, Grade, Kind, Leak, LearningState, Level, Risk, Role, State, Unit, UnitHabit, Verdict, Waters, WearMark, What;
    "boolean": bool;
    "bigint": u32, u64, usize, Severity;
    "double precision": f64, Hours, Paid;
    "timestamp with time zone": Time;
    "date": NaiveDate;
}

impl<T: Sql> Sql for Option<T> {
    const TYPE: &'static str = T::TYPE;
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
                    columns: &[$(Column {
                        name: stringify!($column),
                        meaning: $doc,
                        sql: <$ty as Sql>::TYPE,
                    }),+],
                };
            }
        )+
    };
}

/// The column every table begins with: which boat.
pub const BOAT: Column = Column {
    name: "boat",
    meaning: "Boat id.",
    sql: <String as Sql>::TYPE,
};

tables! {
    /// The boat, as her profile has her now, and the moment of the export.
    BoatRow = "boats" {
        /// Her name.
        name: String,
        /// Her usual waters.
        waters: Waters,
        /// Units as typed and shown.
        units: UnitHabit,
        /// Running hours of a usual month.
        hours_per_month: f64,
        /// Her first machine, whose hours count for items she has once; null where she has none.
        machine: Option<String>,
        /// When this was written; what is said to be so now was so then.
        written: Time,
        /// Running hours over which defects are ranked.
        plan_hours: f64,
        /// Days over which defects are ranked.
        plan_days: f64,
    }
    /// A machine of the boat, from her profile.
    MachineRow = "machines" {
        /// Machine id.
        machine: String,
        /// Its name.
        name: String,
        /// What it is for.
        role: Role,
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
        /// The item in words.
        title: Option<String>,
        /// Kind of item.
        kind: Option<Kind>,
        /// Station id.
        station: Option<String>,
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
        /// The day by which it is to be put right, at the rate of use; null where nothing limits it.
        fix_by: Option<NaiveDate>,
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
    /// Recurring work that was done.
    ServiceRow = "services" {
        /// Record id.
        id: String,
        /// Id of the task.
        task: String,
        /// Machine id; null for work on what the boat has once.
        machine: Option<String>,
        /// When.
        at: Time,
        /// Meter as read.
        hours: Option<Hours>,
        /// What came out, litres.
        out_litres: Option<f64>,
        /// What went in, litres.
        in_litres: Option<f64>,
        /// Parts used.
        parts: Option<String>,
        /// How far a filter was turned past contact.
        turn: Option<String>,
        /// What it cost, in the boat's own money.
        cost: Option<Paid>,
        /// Note.
        note: Option<String>,
        /// By whom.
        by: Option<String>,
    }
    /// What a service did to an item.
    ServiceItemRow = "service_items" {
        /// Record id of the service.
        service: String,
        /// Catalogue id of the item.
        item: String,
        /// The joint was opened or moved.
        disturbed: bool,
        /// The item is new since.
        renewed: bool,
        /// Its readings begin a new series.
        restarted: bool,
    }
    /// How often a task is due on a machine, as it was set.
    IntervalRow = "service_intervals" {
        /// Record id.
        id: String,
        /// Id of the task.
        task: String,
        /// Machine id; null for work on what the boat has once.
        machine: Option<String>,
        /// When it was set.
        at: Time,
        /// Running hours; 0 for no bound, null for the task's own.
        hours: Option<u32>,
        /// Months; 0 for no bound, null for the task's own.
        months: Option<u32>,
        /// Which page says so.
        source: Option<String>,
    }
    /// What is due now and later.
    DueRow = "due" {
        /// Sort of thing: task, recheck, look, life.
        what: What,
        /// Id of the task, of the recheck's record, or of the item.
        id: String,
        /// Machine id; null for what the boat has once.
        machine: Option<String>,
        /// Catalogue id of the item.
        item: String,
        /// Due when the meter shows this.
        due_hours: Option<Hours>,
        /// The date of it.
        due_date: Option<NaiveDate>,
        /// Running hours left, negative when over.
        hours_left: Option<f64>,
        /// Days left, negative when over.
        days_left: Option<f64>,
        /// Why.
        why: String,
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
    /// Learning from the looks frozen, resumed, reset or switched off.
    LearningRow = "learning" {
        /// Record id.
        id: String,
        /// From when on.
        at: Time,
        /// What it was set to.
        state: LearningState,
        /// Why.
        why: Option<String>,
    }
    /// An estimate of what putting a defect right may cost.
    CostRow = "costs" {
        /// Record id.
        id: String,
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// When it was made.
        at: Time,
        /// Low figure for everything but the labour given apart.
        low: f64,
        /// Likely figure.
        likely: f64,
        /// High figure.
        high: f64,
        /// Hours of work, low.
        labour_low: Option<f64>,
        /// Hours of work, likely.
        labour_likely: Option<f64>,
        /// Hours of work, high.
        labour_high: Option<f64>,
        /// Cost of an hour of work.
        labour_rate: Option<f64>,
        /// Currency.
        currency: Option<String>,
        /// What it rests on.
        note: Option<String>,
        /// It counts now: the defect is open and no later estimate replaces it.
        counts: bool,
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
    /// Something on record that no answer counts, and so none of these tables.
    NotCountedRow = "not_counted" {
        /// The file, in the logbook's folder.
        file: Option<String>,
        /// The line, from 1.
        line: Option<u32>,
        /// The item it speaks of, where that can be told.
        item: Option<String>,
        /// Why.
        why: String,
    }
}
