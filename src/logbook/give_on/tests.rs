use std::collections::BTreeSet;

use serde_json::{Value, json};

use super::*;
use crate::demo;

fn fields(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(fields) => fields,
        other => Map::from_iter([("value".to_owned(), other)]),
    }
}

fn all() -> BTreeSet<Private> {
    Private::ALL.iter().copied().collect()
}

#[test]
fn every_record_of_the_demo_boat_makes_sense_without_what_is_kept_back() {
    let now = chrono::DateTime::parse_from_rfc3339("2026-06-01T08:00:00+02:00").expect("a time");
    let (_, records) = demo::records(now).expect("the demo");
    let (kept_back, ids) = (all(), Ids::new());
    let redaction = Redaction {
        kept_back: &kept_back,
        ids: &ids,
    };
    let mut kinds = BTreeSet::new();
    for record in &records {
        let mut told = payload(record).expect("a payload");
        redaction.payload(&mut told);
        let text = Value::Object(told).to_string();
        let read = Record::read(record.event(), &text).expect("known");
        assert!(read.is_ok(), "{}: {read:?}: {text}", record.event());
        kinds.insert(record.event());
    }
    assert!(kinds.len() > 12, "{kinds:?}");
}

#[test]
fn what_is_kept_back_is_left_out_and_what_the_method_rests_on_stays() {
    let (kept_back, ids) = (all(), Ids::from([("old-1", "old-1.g".to_owned())]));
    let redaction = Redaction {
        kept_back: &kept_back,
        ids: &ids,
    };
    let mut repair = fields(json!({
        "item": "drive-belt", "machine": "main", "done": "by R. Quay", "by": "R. Quay",
        "temporary": "next harbour", "of": "old-1.owed.2", "hours": 12.0, "new_words": "of R. Quay"
    }));
    assert!(redaction.payload(&mut repair));
    let expected = json!({
        "item": "drive-belt", "machine": "main", "done": "(left out)",
        "temporary": "next harbour", "of": "old-1.g.owed.2", "hours": 12.0,
        "new_words": "(left out)"
    });
    assert_eq!(Value::Object(repair), expected);
}

#[test]
fn nothing_kept_back_changes_nothing() {
    let (kept_back, ids) = (BTreeSet::new(), Ids::new());
    let redaction = Redaction {
        kept_back: &kept_back,
        ids: &ids,
    };
    let told =
        fields(json!({"by": "R. Quay", "note": "a", "cost": 3.0, "photos": [{"path": "a"}]}));
    let mut left = told.clone();
    assert!(!redaction.payload(&mut left));
    assert_eq!(left, told);
}

#[test]
fn an_id_too_long_for_a_mark_goes_by_another() {
    let long = "a".repeat(64);
    let id = id_of(&long);
    assert!(EntryId::new(&id).is_some() && id != long, "{id}");
    assert_ne!(id, id_of(&"b".repeat(64)));
}

#[test]
fn what_the_program_said_and_what_was_agreed_stay_behind_with_the_words_they_quote() {
    let ids = Ids::new();
    let told = fields(json!({
        "walk": "w1", "at": "2026-05-01T08:00:00+02:00",
        "said": {"verdict": "do-not-run", "method": 9, "build": "x",
                 "reasons": [{"item": "drive-belt", "why": "started by R. Quay: the tide"}]}
    }));
    let agreed = fields(json!({"walk": "w1", "agreed": {"runs": "R. Quay"}}));
    for what in [Private::Names, Private::Notes] {
        let kept_back = BTreeSet::from([what]);
        let redaction = Redaction {
            kept_back: &kept_back,
            ids: &ids,
        };
        let mut payload = told.clone();
        assert!(redaction.payload(&mut payload));
        assert!(
            !Value::Object(payload).to_string().contains("Quay"),
            "{what:?}"
        );
        if what == Private::Notes {
            let mut payload = agreed.clone();
            assert!(redaction.payload(&mut payload));
            assert!(!Value::Object(payload).to_string().contains("Quay"));
        }
    }
}
