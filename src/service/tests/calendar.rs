use chrono::NaiveDate;

use super::*;
use crate::service::calendar::{MONTH_WIDTH, months, side_by_side};

fn row(date: Option<&str>, due: bool) -> DueRow {
    let mut row = Story::new().task("2026-05-03", "coolant");
    row.due_date = date.map(|d| d.parse().expect("a date"));
    row.due = due;
    row
}

fn day(text: &str) -> NaiveDate {
    text.parse().expect("a date")
}

#[test]
fn days_are_marked_and_what_is_over_stands_on_today() {
    let rows = [
        row(Some("2028-02-29"), false),
        row(Some("2028-01-03"), true),
        row(None, false),
        row(Some("2028-03-31"), false),
    ];
    let shown = months(day("2028-02-14"), 2, &rows);
    assert_eq!(
        side_by_side(&shown, 80).join("\n"),
        "February 2028          March 2028\n\
         Mo Tu We Th Fr Sa Su   Mo Tu We Th Fr Sa Su\n    \
             1  2  3  4  5  6          1  2  3  4  5\n \
          7  8  9 10 11 12 13    6  7  8  9 10 11 12\n\
         14!15 16 17 18 19 20   13 14 15 16 17 18 19\n\
         21 22 23 24 25 26 27   20 21 22 23 24 25 26\n\
         28 29*                 27 28 29 30 31*"
    );
    assert_eq!((&shown[0].rows, &shown[1].rows), (&vec![0, 1], &vec![3]));
    let quiet = months(day("2028-02-14"), 1, &[]);
    assert!(quiet[0].lines.iter().any(|l| l.starts_with("14<15 ")));
}

#[test]
fn months_fit_the_width_and_one_always_stands() {
    let shown = months(day("2026-12-31"), 6, &[]);
    let names: Vec<_> = shown.iter().map(|m| m.lines[0].trim_end()).collect();
    assert_eq!(
        names,
        [
            "December 2026",
            "January 2027",
            "February 2027",
            "March 2027",
            "April 2027",
            "May 2027"
        ]
    );
    for month in &shown {
        assert_eq!(month.lines.len(), 8);
        assert!(month.lines.iter().all(|l| l.chars().count() == MONTH_WIDTH));
    }
    for width in [20, 45, 60, 80, 140] {
        let widest = side_by_side(&shown, width)
            .iter()
            .map(|l| l.chars().count())
            .max();
        assert!(
            widest <= Some(width.max(MONTH_WIDTH)),
            "{width}: {widest:?}"
        );
    }
}
