//! The form of a line, and what is told from what.
#![allow(clippy::expect_used, clippy::unwrap_used)]

use super::*;
use proptest::prelude::*;
use serde_json::{Value, json};

fn at() -> DateTime<FixedOffset> {
    DateTime::parse_from_rfc3339("2026-11-25T07:21:27+01:00").unwrap()
}

fn line(rec: &str) -> String {
    let id = EntryId::new("k7f3q2-9xw4h0m2-17").unwrap();
    encode(&id, Stamp(1795587687123, 0), at(), "look", rec).unwrap()
}

#[test]
fn the_form_is_fixed_to_the_byte() {
    assert_eq!(
        line(r#"{"item":"belt"}"#),
        "{\"v\":1,\"id\":\"k7f3q2-9xw4h0m2-17\",\"t\":[1795587687123,0],\"at\":\"2026-11-25T07:21:27+01:00\",\"ev\":\"look\",\"rec\":{\"item\":\"belt\"},\"sum\":\"198807df\"}\n"
    );
}

#[test]
fn what_a_display_would_obey_is_escaped() {
    let rec = json!({"note": "a\u{7f}\u{9b}2J\u{202e}\u{2028}\u{feff}\u{e0041}é"});
    let line = line(&rec.to_string());
    assert!(line.contains(r#""a\u007f\u009b2J\u202e\u2028\ufeff\udb40\udc41é""#));
    let back: Value = decode(line.trim_end().as_bytes())
        .unwrap()
        .rec
        .parse()
        .unwrap();
    assert_eq!(back, rec);
}

#[test]
fn pretty_text_becomes_one_line() {
    let line = line("{\n\t\"a\": 1\r\n}");
    assert_eq!(line.matches('\n').count(), 1);
    assert!(decode(line.trim_end().as_bytes()).is_ok());
}

#[test]
fn records_that_cannot_be_written_are_refused() {
    let id = EntryId::new("a").unwrap();
    let try_to = |ev: &str, rec: &str| encode(&id, Stamp(1, 0), at(), ev, rec);
    for rec in [
        "",
        "[]",
        "1",
        "{",
        "{} {}",
        "{\"a\":NaN}",
        "{\"a\":\"\u{1}\"}",
    ] {
        assert!(
            matches!(try_to("look", rec), Err(LogbookError::BadRecord { .. })),
            "{rec}"
        );
    }
    for ev in ["", "Look", "a b", "lo\u{1b}ok"] {
        assert!(
            matches!(try_to(ev, "{}"), Err(LogbookError::BadRecord { .. })),
            "{ev}"
        );
    }
    let long = json!({"note": "x".repeat(MAX_LINE)}).to_string();
    assert!(matches!(
        try_to("look", &long),
        Err(LogbookError::TooLong { .. })
    ));
}

#[test]
fn a_time_outside_the_calendar_is_still_written_and_read() {
    for year in [-200_000, -1, 0, 9999, 10_000, 200_000] {
        let at = NaiveDate::from_ymd_opt(year, 1, 1).unwrap();
        let at = at.and_hms_opt(0, 0, 0).unwrap().and_utc().fixed_offset();
        let id = EntryId::new("a").unwrap();
        let line = encode(&id, Stamp(1, 0), at, "look", "{}").unwrap();
        assert!(decode(line.trim_end().as_bytes()).is_ok(), "{line}");
    }
}

#[test]
fn changed_lines_are_told_from_bad_ones() {
    let good = line(r#"{"grade":"worn"}"#);
    let good = good.trim_end();
    let edited = good.replace("worn", "sound");
    let bare = good.split(",\"sum\"").next().unwrap().to_owned() + "}";
    let shouting = good.replace(
        |c: char| c.is_ascii_hexdigit() && c.is_ascii_alphabetic(),
        "F",
    );
    for changed in [&edited, &bare] {
        assert_eq!(
            decode(changed.as_bytes()).unwrap().checked,
            Checked::ChangedOutside
        );
    }
    assert!(!decode(shouting.as_bytes()).is_ok_and(|e| e.checked == Checked::Good));
    let twice = good.replace("\"v\":1", "\"v\":1,\"v\":1");
    let two_sums = good.replace(",\"sum\"", ",\"sum\":\"0\",\"sum\"");
    let junk = format!("{good}x");
    for bad in [&twice, &two_sums, &junk, &good[..good.len() - 1].to_owned()] {
        assert!(decode(bad.as_bytes()).is_err(), "{bad}");
    }
}

#[test]
fn a_later_version_is_told_apart_from_damage() {
    let sealed = |body: &str| {
        format!(
            "{body},\"sum\":\"{:08x}\"}}",
            crc32fast::hash(body.as_bytes())
        )
    };
    let known_shape = line("{}").replace("{\"v\":1", "{\"v\":2");
    let body = known_shape.split(",\"sum\"").next().unwrap();
    assert!(decode(sealed(body).as_bytes()).unwrap().newer);
    assert_eq!(
        decode(sealed("{\"v\":2,\"x\":1").as_bytes()).unwrap_err(),
        Refused::Newer
    );
    assert!(matches!(
        decode(sealed("{\"v\":1,\"x\":1").as_bytes()).unwrap_err(),
        Refused::Bad(_)
    ));
}

proptest! {
    #[test]
    fn any_text_comes_back_as_it_was(key in any::<String>(), text in any::<String>(), n in any::<i64>()) {
        let rec = json!({"n": n, "list": [text.clone(), null_or(&text)], key: text});
        let line = line(&rec.to_string());
        prop_assert!(line.ends_with('\n'));
        prop_assert!(!line.trim_end_matches('\n').chars().any(is_hidden));
        let entry = decode(line.trim_end_matches('\n').as_bytes()).unwrap();
        prop_assert_eq!(entry.checked, Checked::Good);
        prop_assert_eq!(entry.stamp, Stamp(1795587687123, 0));
        prop_assert_eq!(entry.rec.parse::<Value>().unwrap(), rec);
    }

    #[test]
    fn any_bytes_are_read_or_refused(raw in prop::collection::vec(any::<u8>(), 0..300)) {
        prop_assert!(!decode(&raw).is_ok_and(|e| e.checked == Checked::Good));
    }
}

fn null_or(text: &str) -> Value {
    if text.len().is_multiple_of(2) {
        Value::Null
    } else {
        json!(text)
    }
}
