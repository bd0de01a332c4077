//! A line is read the same whichever of the two readers takes it.
#![allow(clippy::expect_used)]

use std::sync::Arc;

use proptest::prelude::*;

use super::*;
use crate::boat::{Measure, Unit};
use crate::checklist::Grade;
use crate::logbook::record::Record;
use crate::walk::Look;

/// What both readers say of a line; what the exact one makes of it.
fn held_equal(text: &str, alike: &mut Alike) -> Option<Said> {
    let quick = exact(text, alike)?;
    let slow = general(text, true).expect("what is exact can be parsed");
    let told = |e: &Said| {
        let named = (e.id.clone(), e.stamp, e.ev.clone(), e.newer);
        (named, e.at.to_rfc3339(), e.rec.get().into_owned())
    };
    assert_eq!(told(&quick), told(&slow), "{text}");
    if let Rec::Look(look) = &quick.rec {
        let parsed = Record::read(LookMade::NAME, &slow.rec.get()).expect("a look");
        let parsed = parsed.expect("a look that is exact can be parsed");
        assert_eq!(Record::Look(look.clone()), parsed, "{text}");
        let zone = parsed.at().map(|at| at.to_rfc3339());
        assert_eq!(Some(look.at.to_rfc3339()), zone, "{text}");
    }
    Some(quick)
}

/// True where a line is taken for a look without being parsed.
fn is_look(text: &str) -> bool {
    let read = held_equal(text, &mut Alike::default());
    read.is_some_and(|said| matches!(said.rec, Rec::Look(_)))
}

fn written(look: &LookMade) -> String {
    let id = EntryId::new("k7f3q2-9xw4h0m2-17").expect("an id");
    let stamp = Stamp(look.at.timestamp().unsigned_abs(), 7);
    let payload = Record::Look(look.clone()).payload().expect("JSON");
    let line = encode(&id, stamp, look.at, LookMade::NAME, &payload);
    line.expect("a line").trim_end().to_owned()
}

fn made(at: &str, look: Look) -> LookMade {
    LookMade {
        walk: "w1".into(),
        at: DateTime::parse_from_rfc3339(at).expect("a time"),
        look: Arc::new(look),
    }
}

fn belt(phase: Option<&str>) -> Look {
    Look::graded("drive-belt", phase, Grade::Early)
}

fn looks() -> impl Strategy<Value = LookMade> {
    let name = || "[a-z][a-z0-9-]{0,20}";
    let reading = (-1e7..1e7_f64, prop::sample::select(Unit::ALL));
    let words = prop::option::of(prop_oneof![".{0,30}", "[ -~é°]{0,30}"]);
    let time = (0_i64..4_000_000_000, -14 * 60..=14 * 60_i32);
    let grade = prop::sample::select(Grade::ALL);
    let named = (name(), name(), prop::option::of(name()));
    let marks = any::<[bool; 2]>();
    let all = (named, time, grade, words, prop::option::of(reading), marks);
    all.prop_map(
        |((walk, item, phase), (at, east), grade, note, reading, marks)| {
            let mut look = Look::graded(&item, phase.as_deref(), grade);
            look.note = note;
            look.reading = reading.map(|(value, unit)| {
                // Most readings are typed with a digit or two.
                let few = (value / 100.0).round() / 10.0;
                let value = if marks[0] { few } else { value };
                Measure::new(value, unit).expect("a size that can be meant")
            });
            [look.as_last_time, look.guest] = marks;
            let zone = FixedOffset::east_opt(east * 60).expect("a zone");
            let at = DateTime::from_timestamp(at, 0).expect("a time");
            LookMade {
                walk: walk.into(),
                at: at.with_timezone(&zone),
                look: Arc::new(look),
            }
        },
    )
}

#[test]
fn a_look_as_written_needs_no_parser() {
    assert!(is_look(&written(&made(
        "2026-11-25T07:21:27+01:00",
        belt(Some("cold"))
    ))));
    assert!(is_look(&written(&made(
        "2026-11-25T07:21:27-03:30",
        belt(None)
    ))));
    assert!(is_look(&written(&made(
        "2026-11-25T07:21:27+00:00",
        belt(None)
    ))));
    let mut full = belt(Some("cold"));
    full.reading = Measure::new(40.25, Unit::Percent).ok();
    full.note = Some("low \"again\"\n".into());
    assert!(is_look(&written(&made("2026-11-25T07:21:27+01:00", full))));
}

#[test]
fn looks_that_say_the_same_are_one() {
    let mut alike = Alike::default();
    let mut read = |look: LookMade| match held_equal(&written(&look), &mut alike).map(|e| e.rec) {
        Some(Rec::Look(look)) => look,
        other => unreachable!("{other:?} is no look"),
    };
    let first = read(made("2026-11-25T07:21:27+01:00", belt(Some("cold"))));
    let again = read(made("2026-11-26T07:21:27+01:00", belt(Some("cold"))));
    let other = read(made("2026-11-26T07:21:27+01:00", belt(None)));
    assert!(Arc::ptr_eq(&first.look, &again.look) && Arc::ptr_eq(&first.walk, &again.walk));
    assert!(!Arc::ptr_eq(&first.look, &other.look));
}

#[test]
fn what_departs_from_the_form_is_parsed() {
    let good = written(&made("2026-11-25T07:21:27+01:00", belt(None)));
    assert!(is_look(&good));
    for (of, by) in [
        ("{\"v\":1", "{ \"v\":1"),
        ("{\"v\":1", "{\"v\":2"),
        ("\"t\":[", "\"t\":[0"),
        ("17\",", "1\\u0037\","),
        ("T07", "t07"),
        ("07:21:27+", "07:21:60+"),
        ("07:21:27+", "07:21:27.5+"),
        ("-11-25", "-11-31"),
        ("+01:00\",\"ev", "+01:60\",\"ev"),
        ("+01:00\",\"ev", "+24:00\",\"ev"),
        ("+01:00\",\"look", "+00:00\",\"look"),
        ("+01:00\",\"look", "-00:00\",\"look"),
        ("\"early\"}}", "\"early\"}} "),
        ("\"early\"}}", "\"early\" }}"),
        ("\"early\"", "\"Early\""),
        ("\"early\"", "\"early\",\"note\":null"),
        ("\"early\"", "\"early\",\"grade\":\"sound\""),
        (
            "\"early\"",
            "\"early\",\"reading\":{\"value\":40.00,\"unit\":\"%\"}",
        ),
        ("\"item\":\"", "\"item\":\"\u{1}"),
        ("\"walk\":\"w1\"", "\"w\":1,\"walk\":\"w1\""),
        (",\"sum\"", ",\"sum\":\"00000000\",\"sum\""),
        ("\"sum\":\"", "\"sum\":\"0"),
        ("\"rec\":{", "\"rec\":[{"),
    ] {
        let other = good.replacen(of, by, 1);
        assert_ne!(other, good, "{of}");
        assert!(!is_look(&other), "{other}");
    }
}

proptest! {
    #[test]
    fn both_readers_say_the_same_of_looks(looks in prop::collection::vec(looks(), 1..6)) {
        let mut alike = Alike::default();
        for look in &looks {
            let line = written(look);
            let read = held_equal(&line, &mut alike);
            let plain = matches!(read.map(|said| said.rec), Some(Rec::Look(_)));
            // What a display would obey is written otherwise than the record itself says it.
            prop_assert!(plain || line.contains("\\u"), "{line}");
        }
    }

    #[test]
    fn and_of_looks_with_a_part_damaged(
        look in looks(),
        at in any::<prop::sample::Index>(),
        by in "[\"{}:,.0-9a-zA-Z+ \\\\-]{0,3}",
        len in 0..4_usize,
    ) {
        let mut line = written(&look);
        let from = at.index(line.len());
        let to = (from + len).min(line.len());
        if line.is_char_boundary(from) && line.is_char_boundary(to) {
            let mut alike = Alike::default();
            // What was read before must not speak for what is damaged.
            let _: Option<Said> = held_equal(&line, &mut alike);
            line.replace_range(from..to, &by);
            let _: Option<Said> = held_equal(&line, &mut alike);
        }
    }

    #[test]
    fn and_of_any_record(rec in r#"\{"[a-z]{1,5}":("[ -~é]{0,9}"|-?[0-9.eE+]{1,5}|\[[0-9,]{0,4}\]|true|null)\}"#) {
        let id = EntryId::new("a.b:c-0").expect("an id");
        let at = DateTime::parse_from_rfc3339("2026-11-25T07:21:27-03:30").expect("a time");
        if let Ok(line) = encode(&id, Stamp(0, u32::MAX), at, "note-of", &rec) {
            let read = held_equal(line.trim_end(), &mut Alike::default());
            prop_assert!(read.is_some(), "{line}");
        }
    }
}
