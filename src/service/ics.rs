//! The list of what is due as a calendar file: one to-do for each row with a date, by RFC 5545, and an
//! event as well where that is asked for.

use std::fmt::Write;

use chrono::{DateTime, FixedOffset, NaiveDate, Utc};
use sha2::{Digest, Sha256};

use super::due::{DueRow, What};
use crate::boat::Boat;
use crate::defects::NotCounted;
use crate::text::safe_text;

type Time = DateTime<FixedOffset>;

/// Octets of a line, its break not counted (RFC 5545, 3.1).
const LINE: usize = 75;

/// Whose calendar, and how it is wanted.
#[derive(Clone, Copy, Debug)]
pub struct Of<'a> {
    /// Id of the boat, by which things stay hers under another name.
    pub boat_id: &'a str,
    /// Her profile.
    pub boat: &'a Boat,
    /// What on record no answer counts.
    pub not_counted: &'a [NotCounted],
    /// An event for each to-do as well, for programs that show no to-dos.
    pub events: bool,
}

/// The calendar of a boat's rows as of a time. Rows without a date are left out. The same thing has
/// the same UID every time, so that a later file moves it and does not double it; the later file
/// has the later DTSTAMP and the higher SEQUENCE, whatever changed, since no file is remembered.
pub fn calendar(of: Of<'_>, rows: &[DueRow], now: Time) -> String {
    let boat = of.boat;
    let mut text = String::new();
    let mut line = |content: &str| {
        text.push_str(&folded(content));
        text.push_str("\r\n");
    };
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//handlamp//due//EN");
    line("CALSCALE:GREGORIAN");
    let told: Vec<String> = of.not_counted.iter().map(NotCounted::sentence).collect();
    let told = (!told.is_empty()).then(|| format!("Not counted here: {}", told.join("; ")));
    if let Some(told) = &told {
        line(&format!("DESCRIPTION:{}", escaped(told)));
    }
    let warned = told.map(|told| Thing {
        uid: uid_of(of.boat_id, &["not counted"]),
        date: now.date_naive(),
        summary: format!("{}: not everything on record is counted here", boat.name),
        description: told,
        alarm: None,
    });
    let dated = rows.iter().filter_map(|row| Thing::of(of, row));
    for thing in warned.into_iter().chain(dated) {
        for part in ["VTODO", "VEVENT"] {
            let is_event = part == "VEVENT";
            if is_event && !of.events {
                continue;
            }
            line(&format!("BEGIN:{part}"));
            thing.lines(is_event, (of, now), &mut line);
            line(&format!("END:{part}"));
        }
    }
    line("END:VCALENDAR");
    text
}

/// What stands on a day.
struct Thing {
    uid: String,
    date: NaiveDate,
    summary: String,
    description: String,
    alarm: Option<&'static str>,
}

impl Thing {
    fn of(of: Of<'_>, row: &DueRow) -> Option<Thing> {
        let summary = match machine_name(of.boat, row) {
            Some(name) => format!("{}: {} ({name})", of.boat.name, heading(row)),
            None => format!("{}: {}", of.boat.name, heading(row)),
        };
        let alarm = match row.what {
            What::Task | What::Life => "-P7D",
            // Seven in the morning of that day.
            What::Recheck | What::Look | What::Standing => "PT7H",
        };
        Some(Thing {
            uid: uid(of.boat_id, row),
            date: row.due_date?,
            summary,
            description: description(row),
            // What a yard or a mechanic does is ordered, and rings on no morning.
            alarm: row.is_hers().then_some(alarm),
        })
    }

    fn lines(&self, is_event: bool, (of, now): (Of<'_>, Time), line: &mut impl FnMut(&str)) {
        let stamp = now.with_timezone(&Utc).format("%Y%m%dT%H%M%SZ");
        let date = self.date.format("%Y%m%d");
        // Two things of one calendar have two names (RFC 5545, 3.8.4.7).
        let uid = match is_event {
            true => uid_of(of.boat_id, &["event", &self.uid]),
            false => self.uid.clone(),
        };
        line(&format!("UID:{uid}"));
        line(&format!("DTSTAMP:{stamp}"));
        line(&format!("LAST-MODIFIED:{stamp}"));
        // Minutes, so that it rises with every later file and fits an INTEGER (RFC 5545, 3.3.8).
        line(&format!("SEQUENCE:{}", now.timestamp().max(0) / 60));
        match is_event {
            true => line(&format!("DTSTART;VALUE=DATE:{date}")),
            false => line(&format!("DUE;VALUE=DATE:{date}")),
        }
        let summary = escaped(&self.summary);
        line(&format!("SUMMARY:{summary}"));
        line(&format!("DESCRIPTION:{}", escaped(&self.description)));
        line(&format!("CATEGORIES:{}", escaped(&of.boat.name)));
        match is_event {
            // It takes nobody's time.
            true => line("TRANSP:TRANSPARENT"),
            false => line("STATUS:NEEDS-ACTION"),
        }
        // It rings once: at the event where there is one.
        if let Some(alarm) = self.alarm.filter(|_| is_event == of.events) {
            line("BEGIN:VALARM");
            line("ACTION:DISPLAY");
            line(&format!("DESCRIPTION:{summary}"));
            // A to-do without a start can only be told by its end (RFC 5545, 3.8.6.3).
            match is_event {
                true => line(&format!("TRIGGER:{alarm}")),
                false => line(&format!("TRIGGER;RELATED=END:{alarm}")),
            }
            line("END:VALARM");
        }
    }
}

fn heading(row: &DueRow) -> String {
    match row.what {
        What::Task | What::Standing => row.title.clone(),
        What::Recheck | What::Look => format!("Look at: {}", row.title),
        What::Life => format!("Life runs out: {}", row.title),
    }
}

fn machine_name<'a>(boat: &'a Boat, row: &DueRow) -> Option<&'a str> {
    let machine = row.machine.as_ref().filter(|_| boat.machines.len() > 1)?;
    let machine = boat.machines.iter().find(|m| m.id == *machine)?;
    Some(&machine.name)
}

fn description(row: &DueRow) -> String {
    let mut text = row.why.clone();
    if let Some(hours) = row.due_hours {
        let _ = write!(text, "\nDue at {hours} h");
    }
    if row.about {
        text.push_str("\nThe date follows from the rate of use.");
    }
    if let Some((who, place)) = row.who.zip(row.place).filter(|_| !row.is_hers()) {
        let _ = write!(text, "\nFor a {who}, {}", place.as_str().replace('-', " "));
    }
    text
}

/// A name that this thing on this boat has for ever.
pub fn uid(boat_id: &str, row: &DueRow) -> String {
    let machine = row.machine.as_deref().unwrap_or_default();
    uid_of(boat_id, &[row.what.as_str(), &row.id, machine, &row.item])
}

/// The text form of a UUID, as RFC 7986 would have it, from a hash of what a thing is.
fn uid_of(boat_id: &str, of: &[&str]) -> String {
    let mut hash = Sha256::new();
    for part in std::iter::once(&boat_id).chain(of) {
        // With its length before it, no two lists of parts read alike.
        hash.update((part.len() as u64).to_be_bytes());
        hash.update(part);
    }
    let mut bytes = [0u8; 16];
    bytes.copy_from_slice(&hash.finalize()[..16]);
    // Version 8 (of one's own making) and the variant of RFC 9562.
    bytes[6] = (bytes[6] & 0x0f) | 0x80;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    let hex: String = bytes.iter().map(|b| format!("{b:02x}")).collect();
    let (a, rest) = hex.split_at(8);
    let (b, rest) = rest.split_at(4);
    let (c, rest) = rest.split_at(4);
    let (d, e) = rest.split_at(4);
    format!("{a}-{b}-{c}-{d}-{e}")
}

/// A value of type TEXT (RFC 5545, 3.3.11): backslash, semicolon, comma and line break are escaped,
/// a colon is not. What could act on a terminal is made visible first.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let text = text.replace("\r\n", "\n");
    for c in safe_text(&text).chars() {
        match c {
            '\\' => out.push_str("\\\\"),
            ';' => out.push_str("\\;"),
            ',' => out.push_str("\\,"),
            '\n' => out.push_str("\\n"),
            c => out.push(c),
        }
    }
    out
}

/// A content line folded to at most 75 octets each (RFC 5545, 3.1), never within a character.
pub fn folded(content: &str) -> String {
    let mut out = String::with_capacity(content.len() + content.len() / LINE * 3);
    let mut used = 0;
    for c in content.chars() {
        if used + c.len_utf8() > LINE {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(c);
        used += c.len_utf8();
    }
    out
}
