//! Key scripts: plain characters are typed, names stand in angle brackets: `3jn<Esc>`.

/// Names and the bytes an xterm sends for them.
const NAMED: [(&str, &str); 26] = [
    ("Enter", "\r"),
    ("Esc", "\x1b"),
    ("Tab", "\t"),
    ("S-Tab", "\x1b[Z"),
    ("Space", " "),
    ("BS", "\x7f"),
    ("Del", "\x1b[3~"),
    ("Up", "\x1b[A"),
    ("Down", "\x1b[B"),
    ("Right", "\x1b[C"),
    ("Left", "\x1b[D"),
    ("Home", "\x1b[H"),
    ("End", "\x1b[F"),
    ("PgUp", "\x1b[5~"),
    ("PgDn", "\x1b[6~"),
    ("F1", "\x1bOP"),
    ("F2", "\x1bOQ"),
    ("F3", "\x1bOR"),
    ("F4", "\x1bOS"),
    ("F5", "\x1b[15~"),
    ("F6", "\x1b[17~"),
    ("F7", "\x1b[18~"),
    ("F10", "\x1b[21~"),
    ("F11", "\x1b[23~"),
    ("F12", "\x1b[24~"),
    ("lt", "<"),
];

/// The bytes of each key of a script.
pub fn keys(script: &str) -> Vec<Vec<u8>> {
    let mut out = Vec::new();
    let mut rest = script;
    while let Some(c) = rest.chars().next() {
        let (key, used) = match rest.strip_prefix('<') {
            Some(after) => {
                let end = after.find('>').expect("a key name ends in >");
                (named(&after[..end]), end + 2)
            }
            None => (rest.as_bytes()[..c.len_utf8()].to_vec(), c.len_utf8()),
        };
        out.push(key);
        rest = &rest[used..];
    }
    out
}

fn named(name: &str) -> Vec<u8> {
    if let Some(letter) = name.strip_prefix("C-") {
        return vec![letter.as_bytes()[0] & 0x1f];
    }
    let found = NAMED.iter().find(|(known, _)| *known == name);
    let (_, bytes) = found.unwrap_or_else(|| panic!("no key <{name}>"));
    bytes.as_bytes().to_vec()
}

#[test]
fn scripts_are_cut_into_keys() {
    let expected: [&[u8]; 6] = [b"3", b"j", b"\x1b", b"\x03", b"<", "é".as_bytes()];
    assert_eq!(keys("3j<Esc><C-c><lt>é"), expected);
}
