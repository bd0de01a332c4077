use proptest::prelude::*;

use super::*;
use crate::logbook::line::{EntryId, decode, encode};
use crate::logbook::read::Reader;
use chrono::DateTime;

fn line(id: &str, ms: u64, rec: &str) -> String {
    let at = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
    let id = EntryId::new(id).expect("an id");
    encode(&id, Stamp(ms, 0), at, "repair", rec).expect("a line")
}

fn log(files: &[&[String]]) -> Log {
    let mut reader = Reader::new(2_000_000);
    for (n, lines) in files.iter().enumerate() {
        reader.file(
            format!("log/{n}.jsonl").into(),
            lines.concat().as_bytes(),
            || false,
        );
    }
    reader.finish()
}

fn three() -> [String; 3] {
    [
        line("a", 1000, r#"{"done":"one"}"#),
        line("b", 2000, r#"{"done":"two"}"#),
        line("c", 3000, r#"{"done":"three"}"#),
    ]
}

const ALL: Stamp = Stamp(3000, 0);

#[test]
fn neither_the_order_of_files_and_lines_nor_a_second_copy_changes_a_seal() {
    let [a, b, c] = three();
    let seal = |files: &[&[String]]| Listing::of(&log(files), ALL).seal().expect("a seal");
    let one = seal(&[&[a.clone(), b.clone(), c.clone()]]);
    assert_eq!(
        one,
        seal(&[std::slice::from_ref(&c), &[b.clone(), a.clone()]])
    );
    assert_eq!(one, seal(&[&[a.clone(), b.clone()], &[b, c, a]]));
}

/// Looks are kept once where they say the same, and still each line is sealed as it stands.
#[test]
fn a_look_is_sealed_as_it_stands_in_its_line() {
    let recs = ["07:40:00Z", "09:40:05+02:00", "09:40:06+02:00"].map(|time| {
        format!(
            r#"{{"walk":"w-1","at":"2026-05-03T{time}","look":{{"item":"drive-belt","grade":"worn","note":"dry, \"glazed\""}}}}"#
        )
    });
    let id = EntryId::new("a").expect("an id");
    let at = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
    let entry = |rec: &String| {
        let line = encode(&id, ALL, at, "look", rec).expect("a line");
        decode(line.trim_end().as_bytes()).expect("a record")
    };
    let entries: Vec<Entry> = recs.iter().map(entry).collect();
    let mut written = Written::default();
    for (entry, rec) in entries.iter().zip(&recs) {
        assert!(matches!(entry.rec, Rec::Look(_)));
        assert_eq!(written.again(&entry.rec), *rec);
        assert_eq!(entry.rec.get(), *rec);
    }
}

#[test]
fn what_is_recorded_later_does_not_touch_a_seal() {
    let [a, b, c] = three();
    let before = Listing::of(&log(&[&[a.clone(), b.clone()]]), Stamp(2000, 0));
    let after = Listing::of(&log(&[&[a, b, c]]), Stamp(2000, 0));
    assert_eq!(before.seal(), after.seal());
    assert_eq!((before.len(), after.len()), (2, 2));
}

#[test]
fn changed_missing_and_added_records_are_named() {
    let [a, b, c] = three();
    let sealed = Listing::of(&log(&[&[a.clone(), b.clone()]]), ALL);
    let spoilt = b.replace("two", "too");
    let cases = [
        (vec![a.clone(), spoilt], vec![("b", Change::Changed)]),
        (vec![a.clone()], vec![("b", Change::Missing)]),
        (
            vec![a.clone(), b.clone(), c.clone()],
            vec![("c", Change::Added)],
        ),
        (
            vec![a, b, line("b", 2000, r#"{"done":"other"}"#)],
            vec![("b", Change::Changed)],
        ),
    ];
    for (lines, expected) in cases {
        let now = Listing::of(&log(&[&lines]), ALL);
        assert_ne!(sealed.seal(), now.seal());
        let found = sealed.changes_to(&now);
        let found: Vec<_> = found
            .iter()
            .map(|(id, change)| (id.as_str(), *change))
            .collect();
        assert_eq!(found, expected);
    }
    assert_eq!(sealed.changes_to(&sealed), []);
}

#[test]
fn a_record_moved_behind_the_mark_is_missing() {
    let [a, b, _] = three();
    let sealed = Listing::of(&log(&[&[a.clone(), b]]), Stamp(2000, 0));
    let moved = line("b", 2001, r#"{"done":"two"}"#);
    let now = Listing::of(&log(&[&[a, moved]]), Stamp(2000, 0));
    assert_eq!(sealed.changes_to(&now), [("b".to_owned(), Change::Missing)]);
}

#[test]
fn a_listing_reads_back_and_any_other_text_does_not() {
    let listing = Listing::of(&log(&[&three()]), ALL);
    assert_eq!(Listing::read(&listing.to_string()), Ok(listing.clone()));
    assert_eq!(Listing::read(""), Err(SealError::NoListing(1)));
    assert_eq!(Listing::read("notes\n"), Err(SealError::NoListing(1)));
    let spoilt = listing.to_string() + "nonsense\n";
    assert_eq!(Listing::read(&spoilt), Err(SealError::NoListing(5)));
}

#[test]
fn marks_beyond_a_code_are_refused() {
    let seal = |upto| Listing::of(&Log::default(), upto).seal();
    assert_eq!(seal(Stamp(1 << 50, 0)), Err(SealError::OutOfRange));
    for (upto, length) in [
        (Stamp((1 << 45) - 1, (1 << 15) - 1), 35),
        (Stamp(1 << 45, 0), 41),
        (Stamp(0, 1 << 15), 41),
        (Stamp((1 << 50) - 1, u32::MAX), 41),
    ] {
        let code = seal(upto).expect("has room").to_string();
        assert_eq!(code.len(), length, "{code}");
    }
}

/// Books recorded from one file by builds that counted on: forty thousand records of one millisecond.
#[test]
fn a_book_that_counts_past_fifteen_bits_is_sealed_whole_and_walk_by_walk() {
    let at = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
    let mut lines = Vec::new();
    for n in 0..40_000_u32 {
        let id = EntryId::new(&format!("r-{n}")).expect("an id");
        let (ev, rec) = match n {
            35_000 => (
                "walk-finished",
                r#"{"walk":"w","at":"2026-05-03T07:40:00+02:00"}"#,
            ),
            _ => ("repair", r#"{"item":"drive-belt","done":"new belt"}"#),
        };
        lines.push(encode(&id, Stamp(1000, n), at, ev, rec).expect("a line"));
    }
    let before = log(&[&lines]);
    assert!(before.problems.is_empty(), "{:?}", before.problems);
    assert_eq!(before.newest, Stamp(1000, 39_999));
    let (whole, walk) = (sealed(&before, None), sealed(&before, Some("w")));
    let (whole, walk) = (whole.expect("sealed"), walk.expect("sealed"));
    assert_eq!((whole.listing.len(), whole.left_out), (40_000, 0));
    assert_eq!((walk.listing.len(), walk.left_out), (35_001, 4_999));
    for seal in [&whole, &walk] {
        assert_eq!(seal.code.to_string().parse(), Ok(seal.code));
        let read = Listing::read(&seal.listing.to_string()).expect("a listing");
        assert_eq!(read.seal(), Ok(seal.code));
    }
    // What is recorded next stands after all of them, and touches neither.
    let next = before.newest.next();
    let id = EntryId::new("later").expect("an id");
    lines.push(
        encode(
            &id,
            next,
            at,
            "repair",
            r#"{"item":"drive-belt","done":"again"}"#,
        )
        .expect("a line"),
    );
    let after = log(&[&lines]);
    assert_eq!(after.entries.last().map(|e| e.id.as_str()), Some("later"));
    for seal in [whole, walk] {
        assert_eq!(Listing::of(&after, seal.code.upto).seal(), Ok(seal.code));
    }
}

#[test]
fn every_slip_of_one_character_and_every_swap_is_caught() {
    let log = log(&[&three()]);
    for upto in [ALL, Stamp(3000, 1 << 15)] {
        let seal = Listing::of(&log, upto).seal().expect("a seal");
        every_slip_is_caught(seal);
    }
}

fn every_slip_is_caught(seal: Seal) {
    let code: Vec<char> = seal.to_string().chars().filter(|c| *c != '-').collect();
    let read = |code: &[char]| code.iter().collect::<String>().parse::<Seal>();
    assert_eq!(read(&code), Ok(seal));
    for n in 0..code.len() {
        for other in "0123456789ABCDEFGHJKMNPQRSTVWXYZ".chars() {
            let mut slip = code.clone();
            slip[n] = other;
            let expected = if other == code[n] {
                Ok(seal)
            } else {
                Err(SealError::Mistyped)
            };
            assert_eq!(read(&slip), expected, "{n} {other}");
        }
        for m in 0..n {
            let mut swap = code.clone();
            swap.swap(n, m);
            assert_eq!(read(&swap).is_ok(), code[n] == code[m], "{n} {m}");
        }
    }
}

#[test]
fn a_code_is_read_as_people_type_it() {
    let seal = Listing::of(&log(&[&three()]), ALL).seal().expect("a seal");
    let code = seal.to_string();
    for typed in [
        code.to_lowercase(),
        code.replace('-', " "),
        code.replace('0', "o").replace('1', "L"),
    ] {
        assert_eq!(typed.parse(), Ok(seal), "{typed}");
    }
    assert_eq!("".parse::<Seal>(), Err(SealError::Length(0)));
    assert_eq!(
        (code.clone() + "0").parse::<Seal>(),
        Err(SealError::Length(31))
    );
    assert_eq!(
        code.replacen('0', "U", 1).parse::<Seal>(),
        Err(SealError::Character('U'))
    );
}

proptest! {
    #[test]
    fn a_code_reads_back(ms in 0_u64..1 << 45, counter in 0_u32..1 << 15, hash: [u8; 10]) {
        let seal = Seal { upto: Stamp(ms, counter), hash };
        let code = seal.to_string();
        prop_assert_eq!(code.len(), 35);
        prop_assert_eq!(code.parse(), Ok(seal));
    }

    #[test]
    fn a_long_code_reads_back(ms in 0_u64..1 << 50, counter in 1_u32 << 15.., hash: [u8; 10]) {
        let seal = Seal { upto: Stamp(ms, counter), hash };
        let code = seal.to_string();
        prop_assert_eq!(code.len(), 41);
        prop_assert_eq!(code.parse(), Ok(seal));
    }
}
