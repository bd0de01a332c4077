//! Tables of what the records say, for an export. Each table and column carries the words that
//! explain it in the README beside the files: one place, so that none can be forgotten.

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::assess::words::{Level, Risk, Severity, Verdict};
use crate::boat::{Hours, Role, ThingKind, Unit, UnitHabit, Waters};
use crate::checklist::{Grade, Kind, Leak, WearMark};
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::defects::{History, LearningState, Paid, State};
use crate::service::What;
use crate::text::json_guard;
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
pub trait Sql {
    /// In SQL.
    const TYPE: &'static str;
}

macro_rules! sql {
    ($($sql:literal: $($ty:ty),+;)+) => {
        $($(impl Sql for $ty { const TYPE: &'static str = $sql; })+)+
    };
}

sql! {
    "text": String, Better, Grade, Kind, Leak, LearningState, Level, Risk, Role, State, Unit, ThingKind, UnitHabit, Verdict, Waters, WearMark, What;
    "boolean": bool;
    "bigint": i16, u32, u64, usize, Severity;
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
            #[derive(Debug, Clone, serde::Serialize)]
            pub struct $name { $(#[doc = $doc] pub $column: $ty),+ }

            impl $name {
                /// The table of these rows.
                pub const TABLE: $crate::logbook::table::Table = $crate::logbook::table::Table {
                    name: $file,
                    row: $row,
                    columns: &[$($crate::logbook::table::Column {
                        name: stringify!($column),
                        meaning: $doc,
                        sql: <$ty as $crate::logbook::table::Sql>::TYPE,
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

/// What tables are made of.
#[derive(Clone, Copy)]
pub struct Export<'a> {
    /// Id of the boat.
    pub boat: &'a str,
    /// All that is on record.
    pub history: &'a History,
    /// What it means for her.
    pub condition: &'a Condition,
    /// Over what defects are ranked.
    pub scenario: Scenario,
}

/// A table as lines.
pub struct Rows {
    /// The table.
    pub table: Table,
    /// One line of JSON a row.
    pub lines: String,
    /// How many.
    pub count: usize,
}

/// A row with the boat it is of.
#[derive(Serialize)]
struct OfBoat<'a, T> {
    boat: &'a str,
    #[serde(flatten)]
    row: T,
}

impl Export<'_> {
    /// Rows as lines.
    pub fn lines<T: Serialize>(&self, table: Table, rows: impl IntoIterator<Item = T>) -> Rows {
        let boat = self.boat;
        let mut written = Rows {
            table,
            lines: String::new(),
            count: 0,
        };
        for row in rows {
            // Rows hold no map keyed by other than text, the one thing serde_json refuses.
            let json = serde_json::to_string(&OfBoat { boat, row }).unwrap_or_default();
            written.lines.push_str(&json_guard(&json));
            written.lines.push('\n');
            written.count += 1;
        }
        written
    }
}

pub(crate) use tables;
