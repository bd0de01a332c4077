//! The calendar file, read by a reader that is not this program's.

use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::harness::Place;
use super::{answered, python};

fn read(place: &Place, file: &str) -> Option<Vec<Value>> {
    let mut command = python("read_calendar.py");
    command.arg(place.path().join(file));
    let found = answered("icalendar", command)?;
    Some(found.as_array().expect("parts").clone())
}

#[test]
fn a_calendar_is_read_by_another_program() {
    let mut place = Place::with_findings();
    place.record(&json!({"type":"recheck","item":"drive-belt","due_at":"2026-05-10T09:00:00+02:00","why":"see it, once more; \\"}));
    place.at("2026-05-04T09:00:00+02:00");
    let due = place.json("due", &["due", "--ics", "due.ics", "--events"]);
    let Some(parts) = read(&place, "due.ics") else {
        return;
    };
    let rows: Vec<&Value> = due["rows"].as_array().expect("rows").iter().collect();
    let dated: Vec<&&Value> = rows.iter().filter(|r| !r["due_date"].is_null()).collect();
    for part in ["VTODO", "VEVENT"] {
        let of: Vec<&Value> = parts.iter().filter(|p| p["part"] == part).collect();
        assert_eq!(of.len(), dated.len());
        for (read, row) in of.iter().zip(&dated) {
            assert_eq!(read["day"], row["due_date"]);
            let summary = read["summary"].as_str().expect("a summary");
            assert!(summary.starts_with("Grey Plover: "), "{summary}");
            assert!(summary.ends_with(row["title"].as_str().expect("a title")));
            let why = row["why"].as_str().expect("why");
            assert!(read["description"].as_str().expect("text").starts_with(why));
            // Only what is done aboard rings, and once.
            let hers = row["who"].is_null() || row["who"] == "owner";
            let rings = usize::from(hers && part == "VEVENT");
            assert_eq!(
                read["alarms"].as_array().expect("alarms").len(),
                rings,
                "{row}"
            );
        }
    }
    assert!(dated.iter().any(|row| row["what"] == "recheck"));
    let uids = |parts: &[Value]| -> BTreeSet<String> {
        parts.iter().map(|p| p["uid"].to_string()).collect()
    };
    assert_eq!(uids(&parts).len(), parts.len());
    // Written again a day later, the same things under the same names, and newer.
    place.at("2026-05-05T09:00:00+02:00");
    place.json("due", &["due", "--ics", "due.ics", "--events"]);
    let again = read(&place, "due.ics").expect("read before");
    let stays = uids(&again).intersection(&uids(&parts)).count();
    assert_eq!(stays, parts.len());
    assert!(again[0]["sequence"].as_i64() > parts[0]["sequence"].as_i64());
    assert!(again[0]["stamp"].as_str() > parts[0]["stamp"].as_str());
}
