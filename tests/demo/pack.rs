//! The records with their days counted back from today, packed.

use chrono::{DateTime, FixedOffset, NaiveDate};
use handlamp::boat::Boat;
use handlamp::logbook::record::Record;
use serde_json::{Value, json};

type Time = DateTime<FixedOffset>;

/// The profile, then a line for each record, a walk with its looks and end being one; deflated.
/// [`handlamp::demo::unpack`] says how a line is read.
pub(super) fn pack(boat: &Boat, records: &[Record], now: Time) -> Vec<u8> {
    let value = |record: &Record| -> Value {
        let payload = record.payload().expect("JSON");
        serde_json::from_str(&payload).expect("JSON")
    };
    let mut lines = vec![serde_json::to_value(boat).expect("JSON")];
    let mut last = now;
    for record in records {
        let line = lines.last_mut().expect("the profile at least");
        let mut after = |at: Time| {
            let seconds = (at - std::mem::replace(&mut last, at)).num_seconds();
            line["after"]
                .as_array_mut()
                .expect("a walk")
                .push(seconds.into());
        };
        match record {
            Record::Look(made) => {
                after(made.at);
                let look = value(record)["look"].take();
                line["looks"].as_array_mut().expect("a walk").push(look);
            }
            Record::WalkFinished(end) => {
                after(end.at);
                line["pace"] = value(record)["pace"].take();
            }
            Record::WalkStarted(walk) => {
                last = walk.at;
                let (ev, rec) = (record.event(), value(record));
                lines.push(json!({"ev": ev, "rec": rec, "looks": [], "after": []}));
            }
            _ => lines.push(json!({"ev": record.event(), "rec": value(record)})),
        }
    }
    let mut text = String::new();
    for mut line in lines {
        count_back(&mut line, now);
        text.push_str(&line.to_string());
        text.push('\n');
    }
    miniz_oxide::deflate::compress_to_vec(text.as_bytes(), 10)
}

/// Every day in a text as so many days before today.
fn count_back(value: &mut Value, now: Time) {
    match value {
        Value::String(text) => *text = counted_back(text, now),
        Value::Array(all) => all.iter_mut().for_each(|v| count_back(v, now)),
        Value::Object(all) => all.values_mut().for_each(|v| count_back(v, now)),
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

fn counted_back(text: &str, now: Time) -> String {
    assert!(!text.contains(['@', '~']), "{text} has a mark in it");
    let back = |date: NaiveDate| (now.date_naive() - date).num_days();
    if let Ok(time) = DateTime::parse_from_rfc3339(text) {
        let time = time.with_timezone(now.offset());
        return format!("@{}T{}~", back(time.date_naive()), time.format("%H:%M:%S"));
    }
    if let Ok(date) = text.parse() {
        return format!("@{}", back(date));
    }
    if let Some((day, rest)) = text.split_once('-')
        && let Ok(date) = NaiveDate::parse_from_str(day, "%Y%m%d")
    {
        return format!("@{}c-{rest}", back(date));
    }
    let Some((before, since)) = text.rsplit_once("since ") else {
        return text.to_owned();
    };
    if let Ok(date) = NaiveDate::parse_from_str(since, "%d %b %Y") {
        return format!("{before}since @{}y", back(date));
    }
    // The last day of that name.
    let today = now.date_naive();
    let day = today.iter_days().rev().take(366);
    let mut day = day.filter(|day| day.format("%-d %b").to_string() == since);
    match day.next() {
        Some(date) => format!("{before}since @{}d", back(date)),
        None => text.to_owned(),
    }
}
