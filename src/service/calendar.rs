//! Months at a glance, in plain text: which days have something due.

use chrono::{Datelike, Days, Months, NaiveDate, Weekday};

use super::due::DueRow;

/// Columns of one month: seven days of two digits with a mark behind each.
pub const MONTH_WIDTH: usize = 7 * 3;

/// One month as lines of [`MONTH_WIDTH`] columns: its name, the days of the week, then its weeks,
/// Monday first. A day with something due has `*` behind it, today `<`, and both `!`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Month {
    /// The first of the month.
    pub first: NaiveDate,
    /// Its lines, always eight.
    pub lines: Vec<String>,
    /// Rows of the list due in it, by their place.
    pub rows: Vec<usize>,
}

/// `count` months from the one that holds `today`. What is overdue stands on today, since that is
/// when it is to be done.
pub fn months(today: NaiveDate, count: u32, rows: &[DueRow]) -> Vec<Month> {
    let dates: Vec<Option<NaiveDate>> = rows.iter().map(|row| row.calendar_day(today)).collect();
    months_from(today, today, count, &dates)
}

/// `count` months from the one that holds `start`, with the days on which things stand.
pub fn months_from(
    start: NaiveDate,
    today: NaiveDate,
    count: u32,
    dates: &[Option<NaiveDate>],
) -> Vec<Month> {
    let first = first_of(start);
    let firsts = (0..count).filter_map(|n| first.checked_add_months(Months::new(n)));
    firsts.map(|first| month(first, today, dates)).collect()
}

/// The first of a month.
pub fn first_of(date: NaiveDate) -> NaiveDate {
    date.with_day(1).unwrap_or(date)
}

fn month(first: NaiveDate, today: NaiveDate, dates: &[Option<NaiveDate>]) -> Month {
    let pad = |line: &str| format!("{line:<MONTH_WIDTH$}");
    let mut lines = vec![
        pad(&first.format("%B %Y").to_string()),
        pad("Mo Tu We Th Fr Sa Su"),
    ];
    let monday = first.week(Weekday::Mon).first_day();
    for week in 0..6 {
        let mut line = String::new();
        for day in 0..7 {
            let date = monday.checked_add_days(Days::new(week * 7 + day));
            match date.filter(|d| first_of(*d) == first) {
                Some(date) => {
                    let due = dates.contains(&Some(date));
                    let mark = match (date == today, due) {
                        (true, true) => '!',
                        (true, false) => '<',
                        (false, true) => '*',
                        (false, false) => ' ',
                    };
                    line.push_str(&format!("{:>2}{mark}", date.day()));
                }
                None => line.push_str("   "),
            }
        }
        lines.push(pad(&line));
    }
    let in_it = |date: &Option<NaiveDate>| date.is_some_and(|d| first_of(d) == first);
    let rows = dates
        .iter()
        .enumerate()
        .filter(|(_, date)| in_it(date))
        .map(|(n, _)| n);
    Month {
        first,
        lines,
        rows: rows.collect(),
    }
}

/// Months side by side as far as they fit into a width, one at the least, with empty lines between
/// the ranks.
pub fn side_by_side(months: &[Month], width: usize) -> Vec<String> {
    let gap = "  ";
    let abreast = ((width + gap.len()) / (MONTH_WIDTH + gap.len())).max(1);
    let mut lines: Vec<String> = Vec::new();
    for rank in months.chunks(abreast) {
        if !lines.is_empty() {
            lines.push(String::new());
        }
        let deepest = rank.iter().map(|m| m.lines.len()).max().unwrap_or_default();
        for n in 0..deepest {
            let cells: Vec<&str> = rank
                .iter()
                .map(|m| m.lines.get(n).map_or("", String::as_str))
                .collect();
            lines.push(cells.join(gap).trim_end().to_owned());
        }
        // A month of five weeks or fewer leaves empty lines at its end.
        while lines.last().is_some_and(String::is_empty) {
            lines.pop();
        }
    }
    lines
}
