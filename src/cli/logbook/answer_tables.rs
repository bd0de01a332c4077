//! The tables of an export that hold what commands answer: verdicts, tasks, what to look at and to
//! order, sums of costs, hours run, and what was taken back.

use chrono::NaiveDate;

use crate::assess::words::{Risk, Severity, Verdict};
use crate::boat::Hours;
use crate::checklist::{Grade, Where, Who};
use crate::logbook::table::{Time, tables};

tables! {
    /// The verdict of a machine as `handlamp verdict` gives it, on her last walk that has one; a machine
    /// without a walk has no row, and may not be called clear.
    VerdictRow = "verdicts" key(machine) {
        /// Machine id.
        machine: String,
        /// The walk it is given on.
        walk: String,
        /// Checklist id of that walk.
        checklist: String,
        /// As at the end of the walk, reckoned from all on record now; null where it has none.
        at_walk: Option<Verdict>,
        /// As of the export, over the day ahead; null where nothing is to be said.
        verdict_now: Option<Verdict>,
        /// She may not go out now: do not run, do not leave, or not signed off.
        is_no: bool,
    }
    /// A row that made a verdict of `verdicts` as of now.
    ReasonRow = "verdict_reasons" key(machine, number) {
        /// Machine id.
        machine: String,
        /// Its place among the reasons, from 1.
        number: usize,
        /// Catalogue id of the item; null where a whole phase, or the record itself, is meant.
        item: Option<String>,
        /// The rung that counts, where there is one.
        grade: Option<Grade>,
        /// The rule, in words.
        rule: String,
    }
    /// The next look at a graded item, sound ones too.
    NextLookRow = "next_looks" key(item, machine) {
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// The rung that counts.
        grade: Grade,
        /// When it was seen, or made by a repair.
        seen: Time,
        /// The look has come due.
        due: bool,
        /// The day by which to look; null where no use and no ageing give one.
        look_by: Option<NaiveDate>,
        /// Running hours from that look until then; null where the date alone limits it.
        look_hours: Option<f64>,
    }
    /// An item that nobody has graded yet, by what it could hide.
    UnseenRow = "not_yet_looked_at" key(item, machine) {
        /// Catalogue id of the item.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// Chance over the exposure, from the mixture over the rungs.
        chance: f64,
        /// Worst severity of its effects, 1 to 4.
        severity: Severity,
        /// What it could hide.
        risk: Risk,
    }
    /// A task on a machine, or on the boat, with how often and the last time.
    TaskRow = "tasks" key(task, machine) {
        /// Id of the task.
        task: String,
        /// Machine id; null for work on what the boat has once.
        machine: Option<String>,
        /// The task in words.
        title: String,
        /// The item it is about.
        item: String,
        /// Running hours between two times; null without such a bound.
        every_hours: Option<Hours>,
        /// Months between two times; null without such a bound.
        every_months: Option<u32>,
        /// When it was last done, on record or as remembered; null where nothing says so.
        last_date: Option<NaiveDate>,
        /// The meter as read then.
        last_hours: Option<Hours>,
        /// How often and since when, one sentence.
        why: String,
        /// Who can do it.
        who: Who,
        /// Where it can be done.
        task_where: Where,
    }
    /// A part that the remedy of an open or deferred defect needs.
    NeededRow = "parts_to_order" key(part, item, machine) {
        /// The part in plain words.
        part: String,
        /// Item whose remedy needs it.
        item: String,
        /// Machine id; null for items the boat has once.
        machine: Option<String>,
        /// Id of the part on the parts page; null where nothing is known by number.
        part_id: Option<String>,
        /// The maker's number.
        makers_number: Option<String>,
        /// The number on the part that is fitted now.
        fitted_number: Option<String>,
        /// What is known of it in one line, with what is to be warned of.
        words: Option<String>,
    }
    /// What the estimates in one currency come to, as `handlamp cost` adds them up. Sums and means of
    /// several boats may be added; the ranges may not.
    CostTotalRow = "cost_totals" key(currency) {
        /// Currency; null where none was named.
        currency: Option<String>,
        /// How many estimates are in it.
        estimates: usize,
        /// Sum of the lows, labour included as in all that follows.
        low: f64,
        /// Sum of the likely figures.
        likely: f64,
        /// Sum of the highs.
        high: f64,
        /// Sum of the means.
        mean: f64,
        /// Eight times in ten from this, where one job says nothing of another.
        independent_p10: f64,
        /// To this.
        independent_p90: f64,
        /// Eight times in ten from this, where all turn out dear or cheap together.
        dependent_p10: f64,
        /// To this.
        dependent_p90: f64,
    }
    /// A reading of an hour meter, wherever it was told.
    HourReadingRow = "hour_readings" key(machine, at) {
        /// Machine id.
        machine: String,
        /// When it was read.
        at: Time,
        /// Running hours in all, added up across replaced meters.
        total_hours: Hours,
    }
    /// Hours run in a month of the calendar, from the first meter reading to the export; between
    /// readings in proportion, after the last one at the rate of use.
    MonthRow = "hours_by_month" key(machine, month) {
        /// Machine id.
        machine: String,
        /// The first of the month.
        month: NaiveDate,
        /// Hours run in it, up to the export.
        hours: f64,
        /// Part of them follows from the rate of use alone, after the last reading.
        carried_on: bool,
    }
    /// An entry that was taken back, put right, or set aside with its walk: history, which no other
    /// table counts.
    ChangedRow = "changed_entries" key(id) {
        /// Id of its record.
        id: String,
        /// The kind of record, as in the files.
        kind: String,
        /// When it happened.
        at: Time,
        /// When it was written.
        written: Time,
        /// Walk id; null for what belongs to none. That walk may itself be set aside.
        walk: Option<String>,
        /// Catalogue id of the item; null where it is of none.
        item: Option<String>,
        /// Machine id; null where none is named.
        machine: Option<String>,
        /// Who did it, as recorded.
        by: Option<String>,
        /// In plain words, as it stands.
        words: String,
        /// put-right, taken-back or set-aside.
        state: &'static str,
        /// As it was first written, where it was put right.
        was: Option<String>,
        /// Id of the record that did that.
        changed_id: String,
        /// When that was written.
        changed_at: Time,
        /// Why; null where nobody said.
        changed_why: Option<String>,
        /// Who; null where nobody is named.
        changed_by: Option<String>,
    }
}
