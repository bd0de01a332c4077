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
    for upto in [Stamp(1 << 45, 0), Stamp(0, 1 << 15)] {
        let seal = Listing::of(&Log::default(), upto).seal();
        assert_eq!(seal, Err(SealError::OutOfRange));
    }
    assert!(
        Listing::of(&Log::default(), Stamp((1 << 45) - 1, (1 << 15) - 1))
            .seal()
            .is_ok()
    );
}

#[test]
fn every_slip_of_one_character_and_every_swap_is_caught() {
    let seal = Listing::of(&log(&[&three()]), ALL).seal().expect("a seal");
    let code: Vec<char> = seal.to_string().chars().filter(|c| *c != '-').collect();
    let read = |code: &[char]| code.iter().collect::<String>().parse::<Seal>();
    assert_eq!(read(&code), Ok(seal));
    for n in 0..code.len() {
        for other in ALPHABET.iter().map(|c| char::from(*c)) {
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
}
