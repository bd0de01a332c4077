//! Bytes from the terminal to keys and pastes.
//!
//! Reading is done here rather than with crossterm's event source, because that one blocks for
//! ever on a half-read sequence (Ctrl-C with it), spins on a dead terminal, and keeps a paste of
//! any size in memory. The sequences are those of ECMA-48, the VT220 and xterm.

use std::time::{Duration, Instant};

use crate::keys::key::{Code, Key, Mods};

/// How long a lone ESC waits for the rest of a sequence before it is the Esc key.
pub const ESC_WAIT: Duration = Duration::from_millis(50);
/// How long a begun sequence or character waits for its rest before it is dropped.
const SEQUENCE_WAIT: Duration = Duration::from_millis(500);
/// How long a begun paste may stay silent before what has come is taken as the whole of it.
const PASTE_WAIT: Duration = Duration::from_millis(1000);
/// Bytes of one paste that are kept; the rest is read and dropped.
pub(crate) const PASTE_LIMIT: usize = 64 * 1024;
/// Longest control sequence looked for; nothing real comes near it.
const SEQUENCE_LIMIT: usize = 64;
const PASTE_END: &[u8] = b"\x1b[201~";

/// What the bytes meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decoded {
    /// A key.
    Key(Key),
    /// Pasted text, invalid UTF-8 replaced; nothing else filtered.
    Paste(String),
}

/// A decoder that holds what has been read of an unfinished sequence.
#[derive(Debug, Default)]
pub struct Decoder {
    pending: Vec<u8>,
    paste: Option<Vec<u8>>,
    last_byte: Option<Instant>,
}

enum Parsed {
    Took(usize, Option<Key>),
    PasteBegins(usize),
    NeedsMore,
}

impl Decoder {
    /// Takes bytes read at `now` and returns what they complete.
    pub fn feed(&mut self, bytes: &[u8], now: Instant) -> Vec<Decoded> {
        let mut out = Vec::new();
        self.pending.extend_from_slice(bytes);
        self.last_byte = Some(now);
        let mut at = 0;
        loop {
            if self.paste.is_some() {
                let (taken, ended) = self.take_paste(at);
                at += taken;
                if !ended {
                    break;
                }
                out.extend(self.end_paste());
            }
            match step(&self.pending[at..]) {
                Parsed::Took(n, key) => {
                    at += n;
                    out.extend(key.map(Decoded::Key));
                }
                Parsed::PasteBegins(n) => {
                    at += n;
                    self.paste = Some(Vec::new());
                }
                Parsed::NeedsMore => break,
            }
        }
        self.pending.drain(..at);
        out
    }

    /// When [`Decoder::expire`] has something to do, unless bytes come first.
    pub fn deadline(&self) -> Option<Instant> {
        let wait = if self.paste.is_some() {
            PASTE_WAIT
        } else {
            match self.pending.as_slice() {
                [] => return None,
                [0x1b] => ESC_WAIT,
                _ => SEQUENCE_WAIT,
            }
        };
        self.last_byte.map(|at| at + wait)
    }

    /// Gives up waiting if the deadline has passed at `now`: a lone ESC is the Esc key, a silent
    /// paste ends, half a sequence is dropped.
    pub fn expire(&mut self, now: Instant) -> Option<Decoded> {
        if self.deadline().is_none_or(|deadline| now < deadline) {
            return None;
        }
        let pending = std::mem::take(&mut self.pending);
        if self.paste.is_some() {
            return self.end_paste();
        }
        (pending == [0x1b]).then(|| Decoded::Key(Key::plain(Code::Esc)))
    }

    /// Moves paste text from `pending[at..]`; true when its end was found. Bytes that may be the
    /// beginning of the end mark stay pending.
    fn take_paste(&mut self, at: usize) -> (usize, bool) {
        let rest = &self.pending[at..];
        let end = rest.windows(PASTE_END.len()).position(|w| w == PASTE_END);
        let text = end.unwrap_or_else(|| {
            let held = (1..PASTE_END.len())
                .rev()
                .find(|n| rest.ends_with(&PASTE_END[..*n]));
            rest.len() - held.unwrap_or(0)
        });
        if let Some(paste) = &mut self.paste {
            let room = PASTE_LIMIT.saturating_sub(paste.len());
            paste.extend_from_slice(&rest[..text.min(room)]);
        }
        match end {
            Some(_) => (text + PASTE_END.len(), true),
            None => (text, false),
        }
    }

    fn end_paste(&mut self) -> Option<Decoded> {
        let bytes = self.paste.take()?;
        Some(Decoded::Paste(String::from_utf8_lossy(&bytes).into_owned()))
    }
}

/// Reads one key, or the mark that begins a paste, from the front of `bytes`.
fn step(bytes: &[u8]) -> Parsed {
    match bytes {
        [] | [0x1b] | [0x1b, b'O'] => Parsed::NeedsMore,
        [0x1b, 0x1b, ..] => Parsed::Took(1, Some(Key::plain(Code::Esc))),
        [0x1b, b'[', rest @ ..] => control_sequence(rest),
        [0x1b, b'O', b'M', ..] => Parsed::Took(3, Some(Key::plain(Code::Enter))),
        [0x1b, b'O', last, ..] => Parsed::Took(3, letter(*last, Mods::default())),
        [0x1b, rest @ ..] => match step(rest) {
            Parsed::Took(n, key) => Parsed::Took(n + 1, key.map(with_alt)),
            other => other,
        },
        [b'\r', ..] => Parsed::Took(1, Some(Key::plain(Code::Enter))),
        [b'\t', ..] => Parsed::Took(1, Some(Key::plain(Code::Tab))),
        [0x7f | 0x08, ..] => Parsed::Took(1, Some(Key::plain(Code::Backspace))),
        [0, ..] => Parsed::Took(1, Some(ctrl(' '))),
        [c @ 1..=26, ..] => Parsed::Took(1, Some(ctrl(char::from(c + b'a' - 1)))),
        [c @ 28..=31, ..] => Parsed::Took(1, Some(ctrl(char::from(c - 28 + b'4')))),
        _ => character(bytes),
    }
}

fn with_alt(key: Key) -> Key {
    let mods = Mods {
        alt: true,
        ..key.mods()
    };
    Key::new(key.code(), mods)
}

fn ctrl(c: char) -> Key {
    let mods = Mods {
        ctrl: true,
        ..Mods::default()
    };
    Key::new(Code::Char(c), mods)
}

/// One UTF-8 character; a byte that cannot be one is dropped alone.
fn character(bytes: &[u8]) -> Parsed {
    let length = match bytes.first() {
        Some(0xc2..=0xdf) => 2,
        Some(0xe0..=0xef) => 3,
        Some(0xf0..=0xf4) => 4,
        _ => 1,
    };
    let have = &bytes[..length.min(bytes.len())];
    match std::str::from_utf8(have) {
        Ok(text) => {
            let typed = text.chars().next().filter(|c| !c.is_control());
            Parsed::Took(length, typed.map(|c| Key::plain(Code::Char(c))))
        }
        // No error length means: right so far, but cut short.
        Err(error) if error.error_len().is_none() => Parsed::NeedsMore,
        Err(_) => Parsed::Took(1, None),
    }
}

/// What follows `ESC [`: parameters, then one final byte.
fn control_sequence(rest: &[u8]) -> Parsed {
    // The Linux console sends F1 to F5 as ESC [ [ A to E.
    if rest.first() == Some(&b'[') {
        return match rest.get(1) {
            None => Parsed::NeedsMore,
            Some(c @ b'A'..=b'E') => Parsed::Took(4, Some(Key::plain(Code::F(c - b'A' + 1)))),
            Some(_) => Parsed::Took(3, None),
        };
    }
    let Some(end) = rest.iter().position(|b| !(0x20..=0x3f).contains(b)) else {
        return if rest.len() < SEQUENCE_LIMIT {
            Parsed::NeedsMore
        } else {
            Parsed::Took(rest.len() + 2, None)
        };
    };
    if !(0x40..=0x7e).contains(&rest[end]) {
        // Broken off by another control or by text: drop the start, keep what broke it.
        return Parsed::Took(end + 2, None);
    }
    let mut numbers = rest[..end].split(|b| *b == b';').map(|n| {
        std::str::from_utf8(n)
            .ok()
            .and_then(|n| n.parse::<u16>().ok())
    });
    let first = numbers.next().flatten().unwrap_or(1);
    let held = numbers.next().flatten().unwrap_or(1).saturating_sub(1);
    let mods = Mods {
        shift: held & 1 != 0,
        alt: held & 2 != 0,
        ctrl: held & 4 != 0,
    };
    match (rest[end], first) {
        (b'~', 200) => Parsed::PasteBegins(end + 3),
        (b'~', n) => Parsed::Took(end + 3, numbered(n).map(|code| Key::new(code, mods))),
        (b'Z', _) => {
            let mods = Mods {
                shift: true,
                ..mods
            };
            Parsed::Took(end + 3, Some(Key::new(Code::Tab, mods)))
        }
        // With another number these are reports, such as the cursor's position.
        (b'P'..=b'S', n) if n != 1 => Parsed::Took(end + 3, None),
        (last, _) => Parsed::Took(end + 3, letter(last, mods)),
    }
}

/// The code of `ESC [ n ~`.
fn numbered(n: u16) -> Option<Code> {
    Some(match n {
        1 | 7 => Code::Home,
        2 => Code::Insert,
        3 => Code::Delete,
        4 | 8 => Code::End,
        5 => Code::PageUp,
        6 => Code::PageDown,
        11..=15 => Code::F(n as u8 - 10),
        17..=21 => Code::F(n as u8 - 11),
        23 | 24 => Code::F(n as u8 - 12),
        _ => return None,
    })
}

/// The key of a sequence that ends in a letter.
fn letter(last: u8, mods: Mods) -> Option<Key> {
    let code = match last {
        b'A' => Code::Up,
        b'B' => Code::Down,
        b'C' => Code::Right,
        b'D' => Code::Left,
        b'H' => Code::Home,
        b'F' => Code::End,
        b'P'..=b'S' => Code::F(last - b'P' + 1),
        _ => return None,
    };
    Some(Key::new(code, mods))
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn names(bytes: &[u8]) -> Vec<String> {
        let mut decoder = Decoder::default();
        let now = Instant::now();
        let mut all = decoder.feed(bytes, now);
        all.extend(decoder.expire(now + PASTE_WAIT));
        all.iter().map(show).collect()
    }

    fn show(decoded: &Decoded) -> String {
        match decoded {
            Decoded::Key(key) => key.to_string(),
            Decoded::Paste(text) => format!("paste {text:?}"),
        }
    }

    #[test]
    fn the_keys_of_common_terminals() {
        for (bytes, expected) in [
            (&b"0j?"[..], vec!["0", "j", "?"]),
            (
                b"\r\t\x1b[Z\x7f\x08",
                vec!["enter", "tab", "shift-tab", "backspace", "backspace"],
            ),
            (
                b"\x03\x1a\x13\x00",
                vec!["ctrl-c", "ctrl-z", "ctrl-s", "ctrl-space"],
            ),
            (
                b"\x1b[A\x1bOB\x1b[1;5C\x1b[1;2D",
                vec!["up", "down", "ctrl-right", "shift-left"],
            ),
            (
                b"\x1b[H\x1b[4~\x1b[5~\x1b[6~\x1b[3~",
                vec!["home", "end", "pgup", "pgdn", "delete"],
            ),
            (
                b"\x1bOP\x1b[11~\x1b[[A\x1b[24~\x1b[20~",
                vec!["f1", "f1", "f1", "f12", "f9"],
            ),
            (b"\x1b", vec!["esc"]),
            (b"\x1b\x1b[A", vec!["esc", "up"]),
            (b"\x1bx", vec!["alt-x"]),
            ("é漢🛥".as_bytes(), vec!["é", "漢", "🛥"]),
            (b"\xff\xc3(a", vec!["(", "a"]),
            (b"\x1b[I\x1b[?62;1c\x1b[12;40R\x1bOMq", vec!["enter", "q"]),
            (b"\x1b[1\x1b[B", vec!["down"]),
        ] {
            assert_eq!(names(bytes), expected, "{bytes:?}");
        }
    }

    #[test]
    fn pastes_are_text_whatever_is_in_them() {
        assert_eq!(
            names(b"a\x1b[200~q\r4\x1b[2J\x1b[201~b"),
            ["a", "paste \"q\\r4\\u{1b}[2J\"", "b"]
        );
        let mut big = b"\x1b[200~".to_vec();
        big.extend(std::iter::repeat_n(b'x', 3 * PASTE_LIMIT));
        big.extend_from_slice(PASTE_END);
        assert_eq!(names(&big)[0].len(), PASTE_LIMIT + "paste \"\"".len());
    }

    #[test]
    fn an_unfinished_paste_ends_by_itself_and_keys_work_again() {
        let mut decoder = Decoder::default();
        let start = Instant::now();
        assert!(decoder.feed(b"\x1b[200~ab", start).is_empty());
        assert_eq!(decoder.expire(start + PASTE_WAIT / 2), None);
        let late = start + PASTE_WAIT;
        assert_eq!(decoder.expire(late), Some(Decoded::Paste("ab".into())));
        assert_eq!(decoder.deadline(), None);
        assert_eq!(decoder.feed(b"\x03", late), [Decoded::Key(ctrl('c'))]);
    }

    #[test]
    fn half_a_sequence_waits_and_never_turns_into_digits() {
        let mut decoder = Decoder::default();
        let start = Instant::now();
        assert!(decoder.feed(b"\x1b[3", start).is_empty());
        assert_eq!(decoder.expire(start + ESC_WAIT), None);
        assert_eq!(
            decoder.feed(b"~", start + ESC_WAIT),
            [Decoded::Key(Key::plain(Code::Delete))]
        );
    }

    proptest! {
        #[test]
        fn how_the_bytes_are_cut_does_not_matter(
            bytes in prop::collection::vec(
                prop_oneof![Just(0x1b), Just(b'['), Just(b'O'), Just(b'~'), b'0'..=b'9', any::<u8>()], 0..80),
            cut in 1usize..7,
        ) {
            let now = Instant::now();
            let whole = Decoder::default().feed(&bytes, now);
            let mut pieces = Decoder::default();
            let cut: Vec<_> = bytes.chunks(cut).flat_map(|part| pieces.feed(part, now)).collect();
            prop_assert_eq!(cut, whole);
        }

        #[test]
        fn pasted_text_comes_out_whole(text in "[^\u{1b}]{0,200}", cut in 1usize..9) {
            let now = Instant::now();
            let mut decoder = Decoder::default();
            let bytes = [b"\x1b[200~", text.as_bytes(), PASTE_END].concat();
            let all: Vec<_> = bytes.chunks(cut).flat_map(|part| decoder.feed(part, now)).collect();
            prop_assert_eq!(all, [Decoded::Paste(text)]);
        }
    }
}
