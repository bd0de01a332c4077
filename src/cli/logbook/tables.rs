//! The tables of an export that no record writes by itself: the boat, and what follows.

use chrono::NaiveDate;

use crate::assess::words::{Level, Risk, Severity};
use crate::boat::{Hours, Role, UnitHabit, Waters};
use crate::checklist::Kind;
use crate::defects::State;
use crate::logbook::table::{Time, tables};
use crate::service::What;

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
