//! Tables of what the records say, for an export. Each table and column carries the words that
//! explain it in the README beside the files and in `src/cli/logbook/TABLES.md`: one place, so that
//! none can be forgotten.

use std::collections::BTreeSet;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;
use serde_json::Value;

use crate::assess::words::{Level, Risk, Severity, Verdict};
use crate::boat::{Hours, Role, ThingKind, Unit, UnitHabit, Waters};
use crate::checklist::{EffectKind, Grade, Kind, Leak, Scope, UnknownAge, WearMark, Where, Who};
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::defects::under_way_line::Leg;
use crate::defects::{History, LearningState, Paid, State, StockMove};
use crate::service::What;
use crate::text::{json_guard, safe_text};
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
    /// The columns whose values name a row among those of its boat; none where there is one row a
    /// boat.
    pub key: &'static [&'static str],
    /// Its columns, after [`BOAT`] and [`KEY`].
    pub columns: &'static [Column],
}

/// A column of such a name means a row of that table of the same boat, by its key. In one word: what
/// is called alike is the same thing in every table.
const NAMED: [(&str, &str); 5] = [
    ("item", "items"),
    ("machine", "machines"),
    ("walk", "walks"),
    ("look", "looks"),
    ("service", "services"),
];

/// Tells of what counts no more, whose rows are in no other table.
const OF_THE_PAST: &str = "changed_entries";

impl Table {
    /// Every column, with those before its own.
    pub fn all_columns(&self) -> impl Iterator<Item = &Column> {
        let key = (!self.key.is_empty()).then_some(&KEY);
        std::iter::once(&BOAT).chain(key).chain(self.columns)
    }

    /// The table in which a column names a row.
    pub fn named_by(&self, column: &str) -> Option<&'static str> {
        let (_, table) = NAMED.iter().find(|(name, _)| *name == column)?;
        let past = self.name == OF_THE_PAST && !matches!(column, "item" | "machine");
        (*table != self.name && !past).then_some(*table)
    }
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
    /// It may be null.
    pub null: bool,
}

/// A type and what it is in SQL, as it stands in JSON.
pub trait Sql {
    /// In SQL.
    const TYPE: &'static str;
    /// It may be null.
    const NULL: bool = false;
}

macro_rules! sql {
    ($($sql:literal: $($ty:ty),+;)+) => {
        $($(impl Sql for $ty { const TYPE: &'static str = $sql; })+)+
    };
}

sql! {
    "text": String, &'static str, Better, EffectKind, Grade, Scope, UnknownAge, Where, Who, Kind, Leak, LearningState, Leg, StockMove, Level, Risk, Role, State, Unit, ThingKind, UnitHabit, Verdict, Waters, WearMark, What;
    "boolean": bool;
    "bigint": i16, i64, u32, u64, usize, Severity;
    "double precision": f64, Hours, Paid;
    "timestamp with time zone": Time;
    "date": NaiveDate;
}

impl<T: Sql> Sql for Option<T> {
    const TYPE: &'static str = T::TYPE;
    const NULL: bool = true;
}

macro_rules! tables {
    ($($(#[doc = $row:literal])+ $name:ident = $file:literal key($($key:ident),*) { $($(#[doc = $doc:literal])+ $column:ident: $ty:ty),+ $(,)? })+) => {
        $(
            $(#[doc = $row])+
            #[derive(Debug, Clone, serde::Serialize)]
            pub struct $name { $($(#[doc = $doc])+ pub $column: $ty),+ }

            impl $crate::logbook::table::Tabled for $name {
                const TABLE: $crate::logbook::table::Table = $crate::logbook::table::Table {
                    name: $file,
                    row: concat!($($row),+),
                    key: &[$(stringify!($key)),*],
                    columns: &[$($crate::logbook::table::Column {
                        name: stringify!($column),
                        meaning: concat!($($doc),+),
                        sql: <$ty as $crate::logbook::table::Sql>::TYPE,
                        null: <$ty as $crate::logbook::table::Sql>::NULL,
                    }),+],
                };

                fn cell(&self, column: &str) -> serde_json::Value {
                    let cell = match column {
                        $(stringify!($column) => serde_json::to_value(&self.$column),)+
                        _ => Ok(serde_json::Value::Null),
                    };
                    // No cell is a map keyed by other than text, the one thing serde_json refuses.
                    cell.unwrap_or_default()
                }
            }
        )+
    };
}

/// A row of a table.
pub trait Tabled: Serialize {
    /// The table of these rows.
    const TABLE: Table;

    /// What stands in a column of its own.
    fn cell(&self, column: &str) -> Value;
}

/// The column every table begins with: which boat.
pub const BOAT: Column = Column {
    name: "boat",
    meaning: "Boat id.",
    sql: <String as Sql>::TYPE,
    null: false,
};

/// The column after it: which row of hers.
pub const KEY: Column = Column {
    name: "key",
    meaning: "Name of the row among those of the boat; the same at the next export.",
    sql: <String as Sql>::TYPE,
    null: false,
};

/// How rows are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Written {
    /// JSON, one object a line.
    Lines,
    /// The values of an SQL `INSERT`, one row a line.
    Values,
}

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
    /// How rows are written.
    pub written: Written,
}

/// A table as lines.
pub struct Rows {
    /// The table.
    pub table: Table,
    /// Each row as it is written.
    pub each: Vec<String>,
    /// The items its rows name.
    pub items: BTreeSet<String>,
    /// The machines its rows name.
    pub machines: BTreeSet<String>,
}

/// A row with the boat it is of and its key.
#[derive(Serialize)]
struct OfBoat<'a, T> {
    boat: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    key: Option<&'a str>,
    #[serde(flatten)]
    row: &'a T,
}

impl Export<'_> {
    /// Rows as lines.
    pub fn lines<T: Tabled>(&self, rows: impl IntoIterator<Item = T>) -> Rows {
        let table = T::TABLE;
        let mut written = Rows {
            table,
            each: Vec::new(),
            items: BTreeSet::new(),
            machines: BTreeSet::new(),
        };
        let has = |name: &str| table.columns.iter().any(|column| column.name == name);
        let (of_item, of_machine) = (has("item"), has("machine"));
        let mut keys = BTreeSet::new();
        for row in rows {
            let key = (!table.key.is_empty()).then(|| key(&row, &mut keys));
            let named = [
                (of_item, "item", &mut written.items),
                (of_machine, "machine", &mut written.machines),
            ];
            for (here, column, into) in named {
                if let Some(name) = row.cell(column).as_str().filter(|_| here)
                    && !into.contains(name)
                {
                    into.insert(name.to_owned());
                }
            }
            written.each.push(match self.written {
                Written::Lines => self.line(&row, key.as_deref()),
                Written::Values => self.values(&row, key),
            });
        }
        written
    }

    fn line<T: Tabled>(&self, row: &T, key: Option<&str>) -> String {
        let boat = self.boat;
        // Rows hold no map keyed by other than text, the one thing serde_json refuses.
        let json = serde_json::to_string(&OfBoat { boat, key, row }).unwrap_or_default();
        json_guard(&json).into_owned()
    }

    fn values<T: Tabled>(&self, row: &T, key: Option<String>) -> String {
        let before = [Some(self.boat.to_owned()), key];
        let before = before
            .into_iter()
            .flatten()
            .map(|text| (Value::String(text), BOAT.sql));
        let columns = T::TABLE.columns.iter();
        let own = columns.map(|column| (row.cell(column.name), column.sql));
        let cells = before.chain(own).map(|(cell, sql)| literal(&cell, sql));
        format!("({})", cells.collect::<Vec<_>>().join(", "))
    }
}

/// The key of a row: the value where one column gives it, else the values between strokes, those in
/// them written `~1` and `~` as `~0` (as RFC 6901 has it). Where rows say the very same the second
/// has `#2` behind it.
fn key<T: Tabled>(row: &T, keys: &mut BTreeSet<String>) -> String {
    let part = |column: &&str| match row.cell(column) {
        Value::Null => String::new(),
        Value::String(text) => safe_text(&text).into_owned(),
        other => other.to_string(),
    };
    let key = match T::TABLE.key {
        [one] => part(one),
        several => {
            let parts = several.iter().map(part);
            let parts = parts.map(|part| part.replace('~', "~0").replace('/', "~1"));
            parts.collect::<Vec<_>>().join("/")
        }
    };
    let more = (2..).map(|n| format!("{key}#{n}"));
    let mut free = std::iter::once(key.clone()).chain(more);
    let found = free.find(|key| !keys.contains(key)).unwrap_or(key);
    keys.insert(found.clone());
    found
}

/// A value as standard SQL has it. Text is as the program shows it, with marks in the place of what
/// would act or hide, so that none of it ends the quotes, hides a line, or is refused for a NUL. Times
/// are those of UTC, so that they are in order as text too.
fn literal(cell: &Value, sql: &str) -> String {
    match cell {
        Value::Null => "NULL".to_owned(),
        Value::Bool(true) => "TRUE".to_owned(),
        Value::Bool(false) => "FALSE".to_owned(),
        Value::Number(number) => number.to_string(),
        Value::String(text) if sql == <Time as Sql>::TYPE => quoted(&in_utc(text)),
        Value::String(text) => quoted(&safe_text(text)),
        other => quoted(&safe_text(&other.to_string())),
    }
}

/// A text between quotes. Backslashes stand for themselves in standard SQL.
pub fn quoted(text: &str) -> String {
    format!("'{}'", text.replace('\'', "''"))
}

fn in_utc(text: &str) -> String {
    let at = DateTime::parse_from_rfc3339(text);
    at.map_or_else(
        |_| text.to_owned(),
        |at| at.to_utc().format("%Y-%m-%d %H:%M:%S%.f+00:00").to_string(),
    )
}

pub(crate) use tables;
