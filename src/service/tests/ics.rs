use std::collections::HashSet;

use super::*;
use crate::service::ics::{calendar, escaped, folded, uid};

/// RFC 5545, 3.1: unfolding takes out CRLF followed by one space or tab.
fn unfolded(text: &str) -> String {
    text.replace("\r\n ", "").replace("\r\n\t", "")
}

#[test]
fn the_examples_of_the_standard() {
    // 3.3.11: the text value of the example.
    assert_eq!(
        escaped("Project XYZ Final Review\nConference Room - 3B\nCome Prepared."),
        "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared."
    );
    assert_eq!(escaped("a\\b;c,d:e\r\nf"), "a\\\\b\\;c\\,d:e\\nf");
    // 3.1: a long line and its parts are the same once unfolded.
    let long = "DESCRIPTION:This is a long description that exists on a long line.";
    assert_eq!(folded(long), long, "66 octets are not too many");
    assert_eq!(
        unfolded("DESCRIPTION:This is a lo\r\n ng description\r\n  that exists on a long line."),
        long
    );
}

#[test]
fn lines_are_folded_by_octets_and_never_within_a_character() {
    for (text, first) in [
        ("x".repeat(75), 75),
        ("x".repeat(76), 75),
        (format!("{}é", "x".repeat(74)), 74),
        (format!("{}é", "x".repeat(73)), 75),
        (format!("{}漢字漢字", "x".repeat(70)), 73),
        (format!("{}😀😀", "x".repeat(72)), 72),
        ("漢".repeat(200), 75),
    ] {
        let lines = folded(&text);
        assert_eq!(
            lines.split("\r\n").next().map(str::len),
            Some(first),
            "{text}"
        );
        assert!(lines.split("\r\n").all(|l| l.len() <= 75), "{lines}");
        assert_eq!(unfolded(&lines), text);
    }
}

fn full() -> Story {
    let mut story = Story::new();
    story.boat.name =
        "Grey Plover; \"two, too\" \\ Straße mit sehr vielen Umlauten äöü äöü äöü äöü äöü".into();
    story.done("2026-05-03", "oil-and-filter", Some(1203.6));
    story.look("2026-05-03", graded("fuel-hoses", Grade::Early));
    story.fitted("2016-05-02", "fuel-hoses", Some("main"));
    story
}

#[test]
fn another_program_reads_what_was_written() {
    use icalendar::{Calendar, CalendarDateTime, Component, DatePerhapsTime};
    let story = full();
    let rows = story.due("2026-05-03");
    let text = calendar(&story.boat, &rows, &[], at("2026-05-03"));
    assert!(
        text.split("\r\n")
            .all(|line| line.len() <= 75 && !line.contains('\n'))
    );
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    let read: Calendar = text.parse().expect("a calendar");
    assert_eq!(read.property_value("VERSION"), Some("2.0"));
    assert!(read.property_value("PRODID").is_some());
    let todos: Vec<_> = read.components.iter().filter_map(|c| c.as_todo()).collect();
    let dated: Vec<_> = rows.iter().filter(|r| r.due_date.is_some()).collect();
    assert_eq!(todos.len(), dated.len());
    assert!(dated.len() < rows.len(), "some have no date");
    for (todo, row) in todos.iter().zip(dated) {
        assert_eq!(todo.get_due(), row.due_date.map(DatePerhapsTime::Date));
        assert_eq!(todo.get_uid(), Some(uid(&story.boat, row).as_str()));
        assert_eq!(
            todo.get_timestamp(),
            Some(at("2026-05-03").to_utc()),
            "{:?}",
            CalendarDateTime::Utc(at("2026-05-03").to_utc())
        );
        let said = todo.get_description().expect("why");
        assert!(said.starts_with(&row.why), "{said} / {}", row.why);
        let summary = todo.get_summary().expect("a summary");
        assert!(summary.ends_with(&row.title), "{summary}");
    }
    assert_eq!(text.matches("BEGIN:VALARM").count(), todos.len());
}

#[test]
fn a_uid_is_the_things_own_and_stays() {
    let mut story = full();
    let rows = story.due("2026-05-03");
    let uids: HashSet<_> = rows.iter().map(|r| uid(&story.boat, r)).collect();
    assert_eq!(uids.len(), rows.len());
    let again = calendar(&story.boat, &rows, &[], at("2026-05-03"));
    assert_eq!(
        calendar(&story.boat, &story.due("2026-05-03"), &[], at("2026-05-03")),
        again
    );
    // Done again, the task keeps its UID and moves.
    let before = story.task("2026-05-03", "oil-and-filter");
    story.done("2026-06-03", "oil-and-filter", Some(1230.0));
    let after = story.task("2026-06-03", "oil-and-filter");
    assert_ne!(before.due_date, after.due_date);
    assert_eq!(uid(&story.boat, &before), uid(&story.boat, &after));
    let form = uid(&story.boat, &after);
    assert_eq!((form.len(), &form[14..15]), (36, "8"));
}
