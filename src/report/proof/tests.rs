use super::*;

/// A page as a template writes it, with parts in parts and a code on it twice.
fn page() -> String {
    let part = |name: &str, inside: &str| format!("{}{inside} [{DIGEST}]{ENDS}\n", begins(name));
    let photographs =
        part("photograph 1", "<img src=\"data:aaaa\">") + &part("photograph 2", "bbbb");
    let findings = part("finding 1", "belt frayed") + &part("finding 2", &photographs);
    format!(
        "<html><style>@page{{content:\"{CODE}\"}}</style>{}{}<p>{CODE}</p></html>\n",
        part("front page", "Plover"),
        part("findings", &findings)
    )
}

fn issued() -> Proved {
    fill(&page(), ("2026-01", "A")).expect("it fills")
}

fn told(bytes: &[u8], code: &Code) -> (State, Vec<(String, Fate)>) {
    let proof = proved(bytes, code, None);
    let parts = proof.parts.into_iter().map(|p| (p.part, p.fate));
    (proof.state, parts.collect())
}

#[test]
fn a_page_as_issued_is_whole_and_says_its_number() {
    let Proved { page, code } = issued();
    assert!(!page.contains('\u{1}'));
    assert_eq!(page.matches(&code.to_string()).count(), 3);
    let proof = proved(page.as_bytes(), &code, None);
    assert_eq!((proof.state, proof.own), (State::Whole, Some(code)));
    assert_eq!(proof.number.as_deref(), Some("2026-01"));
    assert_eq!(proof.revision.as_deref(), Some("A"));
    let all = proved(page.as_bytes(), &code, Some(page.as_bytes())).parts;
    assert_eq!(all.len(), 6);
    assert!(all.iter().all(|part| part.fate == Fate::Same), "{all:?}");
}

#[test]
fn every_changed_byte_is_noticed() {
    let Proved { page, code } = issued();
    for at in 0..page.len() {
        for with in [1, b'0', b'x', b'<', b'-', 0xFF] {
            let mut bytes = page.clone().into_bytes();
            if bytes[at] == with {
                continue;
            }
            bytes[at] = with;
            assert_ne!(told(&bytes, &code).0, State::Whole, "byte {at}");
        }
        let mut bytes = page.clone().into_bytes();
        bytes.remove(at);
        assert_ne!(told(&bytes, &code).0, State::Whole, "byte {at} out");
        bytes.insert(at, b'7');
        bytes.insert(at, page.as_bytes()[at]);
        assert_ne!(told(&bytes, &code).0, State::Whole, "one more at {at}");
        assert_ne!(
            told(&page.as_bytes()[..at], &code).0,
            State::Whole,
            "cut at {at}"
        );
    }
    // What holds a place while a page is made holds none in a page given out.
    let marks = page.replace(&code.to_string(), CODE);
    assert_ne!(told(marks.as_bytes(), &code).0, State::Whole);
}

#[test]
fn the_innermost_part_that_changed_is_named() {
    let Proved { page, code } = issued();
    let changed = |from: &str, to: &str| told(page.replace(from, to).as_bytes(), &code);
    let one = |name: &str, fate| (State::Changed, vec![(name.to_owned(), fate)]);
    assert_eq!(changed("frayed", "sound"), one("finding 1", Fate::Changed));
    assert_eq!(changed("bbbb", "bbbc"), one("photograph 2", Fate::Changed));
    assert_eq!(
        changed("Plover", "Curlew"),
        one("front page", Fate::Changed)
    );
    assert_eq!(changed("<p>", "<b>"), (State::Changed, Vec::new()));
}

#[test]
fn a_part_taken_out_moved_or_put_in_is_named() {
    let Proved { page, code } = issued();
    let begin = page.find("<!--part photograph 1").expect("it is there");
    let end = page[begin..].find(ENDS).expect("it ends") + begin + ENDS.len();
    let part = page[begin..end].to_owned();
    let without = page.replace(&part, "");
    let (state, parts) = told(without.as_bytes(), &code);
    assert_eq!(state, State::Changed);
    assert!(
        parts.contains(&("photograph 1".to_owned(), Fate::Missing)),
        "{parts:?}"
    );
    let second = page.find("<!--part photograph 2").expect("it is there");
    let behind = page[second..].find(ENDS).expect("it ends") + second + ENDS.len();
    let mut swapped = page.clone();
    swapped.replace_range(begin..behind, &format!("{}{part}", &page[second..behind]));
    let (_, parts) = told(swapped.as_bytes(), &code);
    assert!(
        parts.iter().any(|(_, fate)| *fate == Fate::Moved),
        "{parts:?}"
    );
    let twice = page.replace(&part, &format!("{part}{part}"));
    let (_, parts) = told(twice.as_bytes(), &code);
    assert!(
        parts.contains(&("photograph 1".to_owned(), Fate::Added)),
        "{parts:?}"
    );
}

#[test]
fn another_report_is_told_from_a_changed_one() {
    let code = issued().code;
    let other = fill(&page().replace("frayed", "new"), ("2026-02", "B")).expect("it fills");
    assert_eq!(told(other.page.as_bytes(), &code).0, State::Other);
    assert_eq!(
        told(b"<html>a page of somebody</html>", &code).0,
        State::NoReport
    );
    assert_eq!(told(b"", &code).0, State::NoReport);
}

#[test]
fn hostile_files_are_never_whole_and_never_stop_it() {
    let Proved { page, code } = issued();
    let nested = "<!--part a 00000000-->".repeat(50_000);
    let ended = ENDS.repeat(50_000);
    let many = "<!--part a 00000000--><!--end-->".repeat(10_000);
    let long = format!("<!--part {}-->", "x".repeat(3_000_000));
    for odd in [
        nested,
        ended,
        many,
        long,
        "\0".repeat(1000),
        format!("{page}<!--part "),
    ] {
        assert_ne!(told(odd.as_bytes(), &code).0, State::Whole);
        let both = format!("{odd}{page}");
        assert_ne!(told(both.as_bytes(), &code).0, State::Whole);
    }
    let mut bytes = page.into_bytes();
    bytes.extend([0xC3, 0x28, 0xFF]);
    assert_eq!(told(&bytes, &code).0, State::Changed);
    let mut rng = fastrand::Rng::with_seed(3);
    let pieces = [
        "<!--part ",
        "-->",
        ENDS,
        LAST,
        "code ",
        "part 0 a\n",
        "\u{1}",
        "é",
        " ",
    ];
    for _ in 0..500 {
        let odd: String = (0..40).map(|_| pieces[rng.usize(..pieces.len())]).collect();
        assert_ne!(told(odd.as_bytes(), &code).0, State::Whole);
    }
}

#[test]
fn a_code_is_read_as_it_is_typed_and_a_slip_is_caught() {
    let code = issued().code;
    let typed = code
        .to_string()
        .to_lowercase()
        .replace('-', " ")
        .replace('0', "o")
        .replace('1', "i");
    assert_eq!(typed.parse(), Ok(code));
    let written = code.to_string();
    let first = written.chars().next().expect("a character");
    let slip = written.replacen(first, if first == 'A' { "B" } else { "A" }, 1);
    assert_eq!(slip.parse::<Code>(), Err(NoCode::Mistyped));
    assert_eq!("ABC".parse::<Code>(), Err(NoCode::Length(3)));
    assert_eq!("U".parse::<Code>(), Err(NoCode::Character('U')));
}

#[test]
fn marks_that_do_not_fit_are_refused_while_it_is_made() {
    let fill = |text: &str| fill(text, ("1", "A")).map(drop);
    assert!(matches!(fill(&begins("a")), Err(NotFilled::Parts(_))));
    assert!(matches!(fill(ENDS), Err(NotFilled::Parts(_))));
    assert_eq!(fill(DIGEST), Err(NotFilled::Digest));
    assert!(matches!(
        fill(&(begins("a\nb") + ENDS)),
        Err(NotFilled::Name(_))
    ));
}
