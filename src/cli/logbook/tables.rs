//! The tables of an export that no record writes by itself: the boat, and what follows.

use chrono::NaiveDate;

use crate::assess::words::{Level, Risk, Severity};
use crate::boat::{Hours, Role, UnitHabit, Waters};
use crate::checklist::{EffectKind, Grade, Kind, Scope, UnknownAge, Where, Who};
use crate::defects::State;
use crate::logbook::table::{Time, tables};
use crate::service::What;

tables! {
    /// The boat, as her profile has her now, and the moment of the export.
    BoatRow = "boats" key() {
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
        /// The day on which it was written, by her own clock.
        day: NaiveDate,
        /// How many rows `not_counted` has of her: where it is not 0, no answer about her is whole.
        not_counted: usize,
    }
    /// A machine of the boat, from her profile, or one that she has no more.
    MachineRow = "machines" key(machine) {
        /// Machine id.
        machine: String,
        /// Its name; its id where she has it no more.
        name: String,
        /// What it is for; null where she has it no more, as in the three columns that follow.
        role: Option<Role>,
        /// What its meter shows now, or would at the rate of use.
        hours_now: Option<f64>,
        /// True where no meter said so.
        hours_estimated: Option<bool>,
        /// Running hours a day.
        hours_per_day: Option<f64>,
        /// She has it; false where only records tell of it.
        aboard: bool,
    }
    /// An item that another table names.
    ItemRow = "items" key(item) {
        /// Catalogue id of the item.
        item: String,
        /// In words; null, as what follows, where the catalogue has it no more.
        title: Option<String>,
        /// Kind of item.
        kind: Option<Kind>,
        /// Whether each machine has it or the boat once.
        scope: Option<Scope>,
        /// Station id.
        station: Option<String>,
        /// The station in words.
        station_title: Option<String>,
        /// Place of the station on the way round, from 0.
        station_rank: Option<usize>,
    }
    /// A defect, living or over; and what the list has beside defects, such as a part past its life.
    DefectRow = "defects" key(item, machine, number) {
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
        /// 1 for the first defect of the item, and so on; 0 for what stands in the list without one.
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
        /// Running hours until then at the rate of use; null where the date alone limits it, or nothing.
        fix_hours: Option<f64>,
        /// The rung that counts now.
        grade: Option<Grade>,
        /// When that was seen.
        last_look: Option<Time>,
        /// Severity digit and level letter.
        code: Option<String>,
        /// The effect that decides.
        effect: Option<EffectKind>,
        /// Why it stands where it stands, one sentence.
        why: Option<String>,
        /// What forbids running or leaving, in words; null where nothing does.
        stop_rule: Option<String>,
        /// What puts it right.
        remedy: Option<String>,
        /// Who can do it.
        who: Option<Who>,
        /// Where it can be done.
        remedy_where: Option<Where>,
        /// The parts it takes, in plain words, with `; ` between them.
        parts: Option<String>,
        /// The day by which to look again; null where nothing limits it.
        look_by: Option<NaiveDate>,
        /// Running hours until then.
        look_hours: Option<f64>,
        /// Until which day or meter reading it may wait; null where nobody let it.
        deferred_until: Option<String>,
        /// Why it may wait.
        deferred_why: Option<String>,
    }
    /// What is due now and later.
    DueRow = "due" key(what, id, machine, item) {
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
        /// As shown.
        title: String,
        /// Due now, or overdue. This and no date says so: what nobody knows the age of is due and has
        /// no date.
        due: bool,
        /// The date rests on the rate of use.
        about: bool,
        /// What it counts from is on record.
        on_record: bool,
        /// What comes first where nobody knows how old it is; null where something says so.
        unknown_age: Option<UnknownAge>,
        /// Who can do it; null for a look, which anybody aboard can make.
        who: Option<Who>,
        /// Where it can be done; null for a look.
        due_where: Option<Where>,
    }
    /// Something on record that no answer counts, and so none of these tables.
    NotCountedRow = "not_counted" key(file, line, item, why) {
        /// The file, in the logbook's folder.
        file: Option<String>,
        /// The line, from 1.
        line: Option<u32>,
        /// The item it speaks of, where that can be told.
        item: Option<String>,
        /// Why.
        why: String,
        /// All of that in one line.
        sentence: String,
    }
}
