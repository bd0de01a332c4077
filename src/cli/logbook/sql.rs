//! Tables as SQL that SQLite, DuckDB and PostgreSQL all take.

use crate::logbook::table::{BOAT, KEY, Rows, Table, quoted};
use crate::text::safe_line;

/// How a script begins; a file that begins otherwise is left alone.
pub const FIRST_LINE: &str = "-- A boat's logbook as SQL, written by the program handlamp.";
/// A statement takes so many rows at most, which every engine reads with ease.
const ROWS: usize = 500;

/// The statement that makes a table where there is none.
pub fn create(table: &Table) -> String {
    let column = |c: &crate::logbook::table::Column| {
        let must = matches!(c.name, n if n == BOAT.name || n == KEY.name);
        let must = if must { " not null" } else { "" };
        format!("  \"{}\" {}{must},\n", c.name, c.sql)
    };
    let columns: String = table.all_columns().map(column).collect();
    let key = primary(table);
    format!(
        "create table if not exists \"{}\" (\n{columns}  primary key ({key})\n);\n",
        table.name
    )
}

/// The columns that name a row among those of all boats.
fn primary(table: &Table) -> String {
    match table.key {
        [] => format!("\"{}\"", BOAT.name),
        _ => format!("\"{}\", \"{}\"", BOAT.name, KEY.name),
    }
}

/// One transaction that puts a boat's rows in the place of those she had. Her row in `boats` is
/// written first and kept where it is, so that two who load her at once wait for each other.
pub fn script(boat: &str, said: &[String], tables: &[Rows]) -> String {
    let mut text = format!("{FIRST_LINE}\n");
    for line in said {
        text.push_str(&format!("-- {}\n", safe_line(line)));
    }
    text.push_str("\nbegin;\n\n");
    for rows in tables {
        text.push_str(&create(&rows.table));
    }
    let (own, others): (Vec<_>, Vec<_>) = tables.iter().partition(|t| t.table.key.is_empty());
    text.push('\n');
    for rows in own {
        let set = rows.table.columns.iter();
        let set = set.map(|c| format!("\"{0}\" = excluded.\"{0}\"", c.name));
        let set = set.collect::<Vec<_>>().join(", ");
        let key = primary(&rows.table);
        insert(
            rows,
            &format!("\non conflict ({key}) do update set {set}"),
            &mut text,
        );
    }
    for rows in &others {
        let (table, column, boat) = (rows.table.name, BOAT.name, quoted(boat));
        text.push_str(&format!(
            "delete from \"{table}\" where \"{column}\" = {boat};\n"
        ));
    }
    for rows in others {
        insert(rows, "", &mut text);
    }
    text.push_str("\ncommit;\n");
    text
}

fn insert(rows: &Rows, then: &str, text: &mut String) {
    let columns = rows.table.all_columns();
    let columns = columns.map(|c| format!("\"{}\"", c.name));
    let columns = columns.collect::<Vec<_>>().join(", ");
    for some in rows.each.chunks(ROWS) {
        let name = rows.table.name;
        let some = some.join(",\n");
        text.push_str(&format!(
            "insert into \"{name}\" ({columns}) values\n{some}{then};\n"
        ));
    }
}

/// What names what, for PostgreSQL: SQLite has to be told when a table is made, and DuckDB lets no
/// row go in the transaction in which the last row went that named it.
pub fn references(tables: &[Table]) -> String {
    let mut text = String::from(
        "-- For PostgreSQL, once, after the first boat was loaded: what names what.\n-- A row that names nothing is refused from then on, at the end of a transaction.\n",
    );
    for table in tables {
        let boats = (!table.key.is_empty()).then_some((BOAT.name, "boats"));
        let named = table.columns.iter();
        let named = named.filter_map(|c| Some((c.name, table.named_by(c.name)?)));
        for (column, other) in boats.into_iter().chain(named) {
            let (from, to) = match other {
                "boats" => (format!("\"{column}\""), format!("\"{}\"", BOAT.name)),
                _ => (
                    format!("\"{}\", \"{column}\"", BOAT.name),
                    format!("\"{}\", \"{}\"", BOAT.name, KEY.name),
                ),
            };
            text.push_str(&format!(
                "alter table \"{}\" add foreign key ({from}) references \"{other}\" ({to}) deferrable initially deferred;\n",
                table.name
            ));
        }
    }
    text
}
