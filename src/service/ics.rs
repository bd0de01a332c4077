//! The list of what is due as a calendar file: one to-do for each row with a date, by RFC 5545.

use std::fmt::Write;

use chrono::{DateTime, FixedOffset, Utc};
use sha2::{Digest, Sha256};

use super::due::{DueRow, What};
use crate::boat::Boat;
use crate::defects::NotCounted;
use crate::text::safe_text;

/// Octets of a line, its break not counted (RFC 5545, 3.1).
const LINE: usize = 75;

/// The calendar of a boat's rows as of a time. Rows without a date are left out. The same thing has
/// the same UID every time, so that a later file moves it and does not double it.
pub fn calendar(
    boat: &Boat,
    rows: &[DueRow],
    not_counted: &[NotCounted],
    now: DateTime<FixedOffset>,
) -> String {
    let mut text = String::new();
    let mut line = |content: &str| {
        text.push_str(&folded(content));
        text.push_str("\r\n");
    };
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//handlamp//due//EN");
    line("CALSCALE:GREGORIAN");
    if !not_counted.is_empty() {
        let told: Vec<String> = not_counted.iter().map(NotCounted::sentence).collect();
        let told = format!("Not counted here: {}", told.join("; "));
        line(&format!("DESCRIPTION:{}", escaped(&told)));
    }
    let stamp = now.with_timezone(&Utc).format("%Y%m%dT%H%M%SZ");
    for row in rows {
        let Some(date) = row.due_date else { continue };
        let name = machine_name(boat, row);
        line("BEGIN:VTODO");
        line(&format!("UID:{}", uid(boat, row)));
        line(&format!("DTSTAMP:{stamp}"));
        line(&format!("DUE;VALUE=DATE:{}", date.format("%Y%m%d")));
        let summary = match name {
            Some(name) => format!("{} ({name})", heading(row)),
            None => heading(row),
        };
        line(&format!("SUMMARY:{}", escaped(&summary)));
        line(&format!("DESCRIPTION:{}", escaped(&description(row))));
        line(&format!("CATEGORIES:{}", escaped(&boat.name)));
        line("STATUS:NEEDS-ACTION");
        line("BEGIN:VALARM");
        line("ACTION:DISPLAY");
        line(&format!("DESCRIPTION:{}", escaped(&summary)));
        // A to-do without a start can only be told by its end (RFC 5545, 3.8.6.3).
        let alarm = match row.what {
            What::Task | What::Life => "-P7D",
            // Seven in the morning of that day.
            What::Recheck | What::Look => "PT7H",
        };
        line(&format!("TRIGGER;RELATED=END:{alarm}"));
        line("END:VALARM");
        line("END:VTODO");
    }
    line("END:VCALENDAR");
    text
}

fn heading(row: &DueRow) -> String {
    match row.what {
        What::Task => row.title.clone(),
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
    text
}

/// A name that this thing on this boat has for ever: the text form of a UUID, as RFC 7986 would
/// have it, from a hash of what it is.
pub fn uid(boat: &Boat, row: &DueRow) -> String {
    let machine = row.machine.as_deref().unwrap_or_default();
    let parts = [&boat.name, row.what.as_str(), &row.id, machine, &row.item];
    let mut hash = Sha256::new();
    for part in parts {
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
