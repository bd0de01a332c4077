//! Sentences and cells that the HTML and the Markdown form share.

use chrono::{DateTime, FixedOffset};

use super::content::{
    DefectPart, LookPart, NotSeenPart, PlacePart, ReadingPart, Report, StationPart,
};
use super::sections::Table;
use crate::assess::words::Verdict;
use crate::checklist::Grade;
use crate::defects::State;
use crate::defects::grounds::in_words;
use crate::defects::list::Row;
use crate::defects::verdict::lead;
use crate::defects::wait::Wait;
use crate::text::capital;

/// Columns of the readings.
pub const READING_HEAD: [&str; 6] = ["Item", "Value", "Rung", "Phase", "Engine speed", "When"];

/// Columns of the looks.
pub const LOOK_HEAD: [&str; 6] = ["When", "Item", "Where", "Phase", "Rung", "What was seen"];

/// What the report is of.
pub fn title(report: &Report) -> String {
    match &report.walk {
        Some(walk) => format!("{}: {}", report.boat, walk.title),
        None => format!(
            "{}: the engine room as of {}",
            report.boat,
            report.as_of.format("%Y-%m-%d")
        ),
    }
}

/// Facts of the front page.
pub fn front(report: &Report) -> Vec<(&'static str, String)> {
    let mut facts = vec![
        ("Boat", report.boat.clone()),
        ("Usual waters", report.waters.to_string()),
    ];
    for machine in &report.machines {
        let about = if machine.estimated { "about " } else { "" };
        facts.push((
            "Machine",
            format!(
                "{} ({}), {about}{:.1} h",
                machine.name, machine.id, machine.hours
            ),
        ));
    }
    if let Some(walk) = &report.walk {
        if !walk.purpose.is_empty() {
            facts.push(("Purpose", walk.purpose.clone()));
        }
        facts.push(("Begun", moment(walk.at)));
        facts.push((
            "Finished",
            walk.finished.map_or_else(|| "not finished".into(), moment),
        ));
        facts.push(("By", walk.by.clone().unwrap_or_else(|| "not stated".into())));
        facts.push((
            "Hour meter",
            walk.hours
                .map_or_else(|| "not read".into(), |h| format!("{h:.1} h")),
        ));
        facts.push(("Walk", walk.id.clone()));
        let spite = walk.run_in_spite_of.as_ref();
        facts.extend(spite.map(|spite| ("Over a stop", capital(&spite.sentence()))));
    }
    facts.push(("Report made", moment(report.made_at)));
    facts
}

/// The verdict in one line, with what made it.
pub fn verdict(report: &Report) -> Option<String> {
    let part = report.verdict.as_ref()?;
    let spoken = Verdict::spoken;
    let mut line = match (part.at_walk.map(spoken), part.now.map(spoken)) {
        (Some(then), None) => format!(
            "Verdict at the walk: {then}; none as of now: {}.",
            part.gone
        ),
        (Some(then), Some(now)) if then != now => {
            format!("Verdict at the walk: {then}; as of now: {now}.")
        }
        (_, now) => format!("Verdict: {}.", now?),
    };
    for told in in_words(part.said.as_ref(), part.said_differs.as_ref()) {
        line = format!("{line} {told}.");
    }
    for reason in &part.reasons {
        line = format!("{line} {}{}.", lead(&reason.title), reason.ground.rule);
    }
    Some(line)
}

/// The short of it, without names.
pub fn summary(report: &Report) -> Vec<String> {
    let s = &report.summary;
    let by_risk: Vec<String> = s
        .by_risk
        .iter()
        .filter(|r| r.count > 0)
        .map(|r| format!("{} {}", r.count, r.risk))
        .collect();
    let repaired = report.defects.iter();
    let repaired = repaired.filter(|d| d.row.state == State::Repaired).count();
    let of_them = match repaired {
        0 => String::new(),
        n => format!("; {n} of them repaired and to be looked at"),
    };
    let found = match by_risk.as_slice() {
        [] => "No defect is open.".to_owned(),
        some => format!("Open defects by risk: {}{of_them}.", some.join(", ")),
    };
    vec![format!(
        "{} of {} items were seen. {found}",
        s.seen, s.asked
    )]
}

/// A defect in one line.
pub fn one_line(defect: &DefectPart) -> String {
    let row = &defect.row;
    format!(
        "{} ({}), {}, {} risk ({}): {}",
        defect.title,
        defect.station_title,
        grade(row.grade),
        row.risk,
        row.code,
        row.remedy.action
    )
}

/// Over what the defects are ranked.
pub fn ranked_over(report: &Report) -> String {
    format!(
        "Ranked over {:.0} running hours and {:.0} days ahead in {} waters. Dates follow from the usual rate of use.",
        report.exposure.hours, report.exposure.days, report.waters
    )
}

/// Rung, risk, place and state of a defect.
pub fn standing(defect: &DefectPart) -> String {
    let row = &defect.row;
    let machine = row.machine.as_deref().unwrap_or("the boat");
    format!(
        "{}; risk {} ({}); {}, {machine}; {} since {}.",
        grade(row.grade),
        row.risk,
        row.code,
        defect.station_title,
        row.state,
        row.opened.format("%Y-%m-%d")
    )
}

/// What was observed, as pairs of a word and what it says; nothing that is thought of it.
pub fn observation(look: &LookPart) -> Vec<(&'static str, String)> {
    let mut facts = vec![("When", moment(look.at))];
    facts.extend(look.phase.clone().map(|p| ("Phase", p)));
    facts.extend(look.joined.clone().map(|why| ("Came in", why)));
    if let Some(g) = look.grade {
        let rung = look
            .rung
            .as_deref()
            .map_or_else(String::new, |r| format!(": {r}"));
        facts.push(("Rung", format!("{}{rung}", grade(g))));
    }
    facts.extend(look.leak.map(|l| ("Leak class", leak(l))));
    facts.extend(look.reading.clone().map(|r| ("Measured", r)));
    facts.extend(
        look.at_rpm
            .map(|rpm| ("Engine speed", format!("{rpm} rpm"))),
    );
    facts.extend(look.added.clone().map(|a| ("Added", a)));
    if !look.wear.is_empty() {
        facts.push(("Marks", look.wear.join("; ")));
    }
    if !look.signs.is_empty() {
        facts.push(("Kind", look.signs.join("; ")));
    }
    facts.extend(look.note.clone().map(|n| ("Note", n)));
    facts.extend(
        look.said
            .clone()
            .map(|s| ("Owner or seller said, not graded", s)),
    );
    facts.extend(look.grade_reason.clone().map(|r| ("Why this rung", r)));
    let again = look.as_last_time.map(|n| format!("{n} x as last time"));
    facts.extend(again.map(|told| ("Seen", told)));
    for photo in &look.photos {
        let caption = photo.caption.as_deref().unwrap_or("no caption");
        facts.push(("Photograph", format!("{caption} ({})", photo.path)));
    }
    facts
}

/// What is thought of it and what to do.
pub fn advice(defect: &DefectPart) -> Vec<(&'static str, String)> {
    let row = &defect.row;
    let mut facts = vec![
        ("Why here", row.why.clone()),
        ("May follow", spaced(row.effect.as_str())),
        ("Put right by", row.remedy.action.clone()),
        (
            "Who, where",
            format!("{}, {}", row.remedy.who, spaced(row.remedy.place.as_str())),
        ),
    ];
    if !row.parts.is_empty() {
        facts.push(("Parts", row.parts.join(", ")));
    }
    facts.push(("Fix within", fix_within(row)));
    if let Some(again) = &row.look_again_within {
        facts.push(("Look again within", wait(again)));
    }
    if let Some(deferred) = &row.deferred {
        facts.push(("Deferred", deferred.why.clone()));
    }
    facts
}

/// By when a defect is to be put right.
pub fn fix_within(row: &Row) -> String {
    if row.stop {
        return "before the engine runs again".to_owned();
    }
    if row.state == State::Repaired {
        return "repaired; to be looked at".to_owned();
    }
    let within = row.fix_within.as_ref();
    within.map_or_else(|| "when convenient".to_owned(), wait)
}

/// How long something may wait.
pub fn wait(wait: &Wait) -> String {
    let hours = |hours: f64| {
        let hours = hours.round();
        let unit = if hours == 1.0 { "hour" } else { "hours" };
        format!("{hours} running {unit}")
    };
    wait.words(hours, |date| format!("by {date}"))
}

/// Words of a hyphenated spelling.
pub fn spaced(word: &str) -> String {
    word.replace('-', " ")
}

/// A clause as a sentence: a capital first, a full stop last.
pub fn sentence(clause: &str) -> String {
    format!("{}.", capital(clause))
}

/// A moment, to the minute, with its offset.
pub fn moment(at: DateTime<FixedOffset>) -> String {
    at.format("%Y-%m-%d %H:%M %:z").to_string()
}

/// A rung by digit and word.
pub fn grade(grade: Grade) -> String {
    format!("{} {grade}", grade.rung())
}

fn leak(leak: crate::checklist::Leak) -> String {
    match leak.as_str() {
        class @ ("i" | "ii" | "iii") => class.to_uppercase(),
        word => word.to_owned(),
    }
}

/// A place, with the machine where the report has several.
pub fn place(station: &str, machine: Option<&str>) -> String {
    machine.map_or_else(|| station.to_owned(), |m| format!("{station}, {m}"))
}

/// The stations as a table.
pub fn stations(stations: &[StationPart]) -> Table {
    let cells = |station: &StationPart| {
        vec![
            station.title.clone(),
            station.worst.map_or_else(|| "not seen".into(), grade),
            format!("{} of {}", station.seen, station.asked),
        ]
    };
    Table {
        head: ["Station", "Worst rung", "Seen"].map(str::to_owned).into(),
        rows: stations.iter().map(cells).collect(),
        caption: None,
    }
}

/// Where every finding is, as a table.
pub fn places(report: &Report) -> Table {
    let mut found: Vec<(usize, &PlacePart)> = report
        .places
        .iter()
        .filter_map(|place| Some((place.rank?, place)))
        .collect();
    found.sort_by_key(|(rank, _)| *rank);
    let cells = |(rank, place): &(usize, &PlacePart)| {
        vec![
            rank.to_string(),
            place.title.clone(),
            place.grade.map_or_else(|| "not seen".into(), grade),
            place.words(),
        ]
    };
    Table {
        head: ["No.", "Finding", "Rung", "Where"]
            .map(str::to_owned)
            .into(),
        rows: found.iter().map(cells).collect(),
        caption: None,
    }
}

/// Said above the drawings and the table.
pub const PLACES: &str = "Drawn for no boat in particular, but for what the owner put where it is. A ring: seen, and no finding; hatched: not seen; a number leads to its finding.";

/// Columns of what was not seen.
pub const NOT_SEEN_HEAD: [&str; 4] = ["Item", "Where", "Why", "What would close the gap"];

/// Cells of an item not seen, in the order of [`NOT_SEEN_HEAD`].
pub fn not_seen(unseen: &NotSeenPart) -> Vec<String> {
    let or = |text: &Option<String>, other: &str| text.clone().unwrap_or_else(|| other.to_owned());
    vec![
        unseen.title.clone(),
        place(&unseen.station, unseen.machine.as_deref()),
        or(&unseen.reason, "no reason given"),
        or(&unseen.close_by, "-"),
    ]
}

/// Cells of a reading, in the order of [`READING_HEAD`].
pub fn reading(reading: &ReadingPart) -> Vec<String> {
    vec![
        place(&reading.title, reading.machine.as_deref()),
        reading.value.clone(),
        reading.grade.map_or_else(|| "-".into(), grade),
        reading.phase.clone().unwrap_or_else(|| "-".into()),
        reading
            .at_rpm
            .map_or_else(|| "-".into(), |rpm| format!("{rpm} rpm")),
        reading.at.format("%Y-%m-%d %H:%M").to_string(),
    ]
}

/// Cells of a look, in the order of [`LOOK_HEAD`].
pub fn look(look: &LookPart) -> Vec<String> {
    let seen: Vec<String> = observation(look)
        .into_iter()
        .filter(|(name, _)| !matches!(*name, "When" | "Phase" | "Rung"))
        .map(|(name, value)| format!("{name}: {value}"))
        .collect();
    let seen = match (&look.not_seen, seen.is_empty()) {
        (Some(why), _) => format!("not seen: {why}"),
        (None, true) => look.rung.clone().unwrap_or_else(|| "-".into()),
        (None, false) => seen.join("; "),
    };
    vec![
        look.at.format("%Y-%m-%d %H:%M").to_string(),
        look.title.clone(),
        place(&look.station, look.machine.as_deref()),
        look.phase.clone().unwrap_or_else(|| "-".into()),
        look.grade.map_or_else(|| "not seen".into(), grade),
        seen,
    ]
}
