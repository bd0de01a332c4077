use std::collections::HashSet;

use crate::defects::NotCounted;

use super::*;
use crate::service::ics::{Of, calendar, escaped, folded, uid};

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

fn of(story: &Story) -> Of<'_> {
    Of {
        boat_id: "b1",
        boat: &story.boat,
        not_counted: &[],
        events: false,
    }
}

fn full() -> Story {
    let mut story = Story::new();
    story.boat.name =
        "Grey Plover; \"two, too\" \\ Straße mit sehr vielen Umlauten äöü äöü äöü äöü äöü".into();
    story.done("2026-05-03", "oil-and-filter", Some(1203.6));
    story.done("2026-05-03", "shaft-alignment", Some(1203.6));
    story.look("2026-05-03", graded("fuel-hoses", Grade::Early));
    story.fitted("2016-05-02", "fuel-hoses", Some("main"));
    story
}

#[test]
fn another_program_reads_what_was_written() {
    use icalendar::{Calendar, CalendarDateTime, Component, DatePerhapsTime};
    let story = full();
    let rows = story.due("2026-05-03");
    let text = calendar(of(&story), &rows, at("2026-05-03"));
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
        assert_eq!(todo.get_uid(), Some(uid("b1", row).as_str()));
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
    // Hers alone ring; what a yard or a mechanic does names them.
    let hers = |row: &&&DueRow| row.is_hers();
    let dated = rows.iter().filter(|r| r.due_date.is_some());
    let dated: Vec<&DueRow> = dated.collect();
    let ringing = dated.iter().filter(hers).count();
    assert_eq!(text.matches("BEGIN:VALARM").count(), ringing);
    assert!(0 < ringing && ringing < dated.len(), "{ringing}");
    for (todo, row) in todos.iter().zip(dated) {
        let summary = todo.get_summary().expect("a summary");
        assert!(summary.starts_with("Grey Plover; "), "{summary}");
        let told = todo.get_description().expect("why").contains("\nFor a ");
        assert_eq!(told, !row.is_hers(), "{}", row.title);
    }
}

#[test]
fn events_come_beside_the_to_dos_and_ring_in_their_place() {
    use icalendar::{Calendar, Component, DatePerhapsTime};
    let story = full();
    let rows = story.due("2026-05-03");
    let both = Of {
        events: true,
        ..of(&story)
    };
    let text = calendar(both, &rows, at("2026-05-03"));
    let read: Calendar = text.parse().expect("a calendar");
    let events: Vec<_> = read
        .components
        .iter()
        .filter_map(|c| c.as_event())
        .collect();
    let todos: Vec<_> = read.components.iter().filter_map(|c| c.as_todo()).collect();
    assert_eq!(events.len(), todos.len());
    let mut names = HashSet::new();
    for (event, todo) in events.iter().zip(&todos) {
        assert_eq!(event.get_start(), todo.get_due());
        assert!(matches!(event.get_start(), Some(DatePerhapsTime::Date(_))));
        assert_eq!(event.get_summary(), todo.get_summary());
        names.extend([event.get_uid(), todo.get_uid()]);
    }
    assert_eq!(names.len(), 2 * todos.len(), "no two of one UID");
    let alone = calendar(of(&story), &rows, at("2026-05-03"));
    let rings = |text: &str| text.matches("BEGIN:VALARM").count();
    assert_eq!(rings(&text), rings(&alone));
    assert!(!text.contains("RELATED=END"));
}

/// A later file is the newer by DTSTAMP and SEQUENCE; another name leaves the UIDs, another boat of
/// the same name has others; what is not counted stands on today.
#[test]
fn a_later_file_is_newer_and_a_name_is_no_boat() {
    let mut story = full();
    let rows = story.due("2026-05-03");
    let field = |text: &str, name: &str| -> Vec<String> {
        let text = unfolded(text);
        let lines = text.lines().filter_map(|l| l.strip_prefix(name));
        lines.map(str::to_owned).collect()
    };
    let first = calendar(of(&story), &rows, at("2026-05-03"));
    let later = calendar(of(&story), &rows, at("2026-05-04"));
    let number = |text: &str| {
        field(text, "SEQUENCE:")[0]
            .parse::<i32>()
            .expect("a number")
    };
    assert!(number(&first) < number(&later));
    assert!(field(&first, "DTSTAMP:") < field(&later, "DTSTAMP:"));
    let namesake = Of {
        boat_id: "b2",
        ..of(&story)
    };
    let namesake = calendar(namesake, &rows, at("2026-05-03"));
    let own: HashSet<String> = field(&first, "UID:").into_iter().collect();
    assert!(
        field(&namesake, "UID:")
            .iter()
            .all(|uid| !own.contains(uid))
    );
    story.boat.name = "Other".to_owned();
    let renamed = calendar(of(&story), &rows, at("2026-05-03"));
    assert_eq!(field(&first, "UID:"), field(&renamed, "UID:"));
    let lost = [NotCounted::because("a line is damaged")];
    let lacking = Of {
        not_counted: &lost,
        ..of(&story)
    };
    let lacking = unfolded(&calendar(lacking, &rows, at("2026-05-03")));
    assert!(lacking.contains("SUMMARY:Other: not everything on record is counted here"));
    assert!(lacking.contains("a line is damaged"));
}

#[test]
fn a_uid_is_the_things_own_and_stays() {
    let mut story = full();
    let rows = story.due("2026-05-03");
    let uids: HashSet<_> = rows.iter().map(|r| uid("b1", r)).collect();
    assert_eq!(uids.len(), rows.len());
    let again = calendar(of(&story), &rows, at("2026-05-03"));
    assert_eq!(
        calendar(of(&story), &story.due("2026-05-03"), at("2026-05-03")),
        again
    );
    // Done again, the task keeps its UID and moves.
    let before = story.task("2026-05-03", "oil-and-filter");
    story.done("2026-06-03", "oil-and-filter", Some(1230.0));
    let after = story.task("2026-06-03", "oil-and-filter");
    assert_ne!(before.due_date, after.due_date);
    assert_eq!(uid("b1", &before), uid("b1", &after));
    let form = uid("b1", &after);
    assert_eq!((form.len(), &form[14..15]), (36, "8"));
}
