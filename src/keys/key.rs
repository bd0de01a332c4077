//! One key as the key table knows it: a code and the modifiers that matter, with one spelling.

use std::fmt;
use std::str::FromStr;

use ratatui_textarea::{Input, Key as EditorKey};

/// What was pressed, without modifiers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Code {
    /// A character, in the case it was typed.
    Char(char),
    /// A function key, 1 to 24.
    F(u8),
    /// Enter or Return.
    Enter,
    /// Escape.
    Esc,
    /// Tab; with shift, back tab.
    Tab,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Insert.
    Insert,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Home.
    Home,
    /// End.
    End,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
}

/// The spelling of every key that is not a character or a function key.
const NAMES: [(Code, &str); 14] = [
    (Code::Enter, "enter"),
    (Code::Esc, "esc"),
    (Code::Tab, "tab"),
    (Code::Backspace, "backspace"),
    (Code::Delete, "delete"),
    (Code::Insert, "insert"),
    (Code::Left, "left"),
    (Code::Right, "right"),
    (Code::Up, "up"),
    (Code::Down, "down"),
    (Code::Home, "home"),
    (Code::End, "end"),
    (Code::PageUp, "pgup"),
    (Code::PageDown, "pgdn"),
];

/// Modifiers held with a key.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Mods {
    /// Control.
    pub ctrl: bool,
    /// Alt or Meta.
    pub alt: bool,
    /// Shift; never set on a character, whose case already says it.
    pub shift: bool,
}

/// A key with its modifiers, normalised by [`Key::new`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Key {
    code: Code,
    mods: Mods,
}

impl Key {
    /// A key in its one normal form. Terminals and layouts disagree about shift on characters, so
    /// the character alone counts; some report AltGr as Ctrl+Alt, so both together are the plain
    /// character; Ctrl with a letter knows no case.
    pub fn new(code: Code, mods: Mods) -> Key {
        let Code::Char(typed) = code else {
            return Key { code, mods };
        };
        let alt_gr = mods.ctrl && mods.alt;
        let mods = Mods {
            ctrl: mods.ctrl && !alt_gr,
            alt: mods.alt && !alt_gr,
            shift: false,
        };
        let typed = if mods.ctrl {
            typed.to_ascii_lowercase()
        } else {
            typed
        };
        Key {
            code: Code::Char(typed),
            mods,
        }
    }

    /// A key without modifiers.
    pub fn plain(code: Code) -> Key {
        Key::new(code, Mods::default())
    }

    /// What was pressed.
    pub fn code(self) -> Code {
        self.code
    }

    /// What was held.
    pub fn mods(self) -> Mods {
        self.mods
    }

    /// The character this key types in a text field, if it types one.
    pub fn typed(self) -> Option<char> {
        match self.code {
            Code::Char(c) if !self.mods.ctrl && !self.mods.alt => Some(c),
            _ => None,
        }
    }

    /// Whether pasted text may hold this key.
    pub fn is_text(self) -> bool {
        self.typed().is_some() || matches!(self.code, Code::Enter | Code::Tab)
    }

    /// The same key as the note editor takes it.
    pub fn to_editor(self) -> Input {
        let key = match self.code {
            Code::Char(c) => EditorKey::Char(c),
            Code::F(n) => EditorKey::F(n),
            Code::Enter => EditorKey::Enter,
            Code::Esc => EditorKey::Esc,
            Code::Tab => EditorKey::Tab,
            Code::Backspace => EditorKey::Backspace,
            Code::Delete => EditorKey::Delete,
            Code::Insert => EditorKey::Null,
            Code::Left => EditorKey::Left,
            Code::Right => EditorKey::Right,
            Code::Up => EditorKey::Up,
            Code::Down => EditorKey::Down,
            Code::Home => EditorKey::Home,
            Code::End => EditorKey::End,
            Code::PageUp => EditorKey::PageUp,
            Code::PageDown => EditorKey::PageDown,
        };
        Input {
            key,
            ctrl: self.mods.ctrl,
            alt: self.mods.alt,
            shift: self.mods.shift,
        }
    }
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = String::new();
        for (held, word) in [
            (self.mods.ctrl, "ctrl-"),
            (self.mods.alt, "alt-"),
            (self.mods.shift, "shift-"),
        ] {
            if held {
                text.push_str(word);
            }
        }
        match self.code {
            Code::Char(' ') => text.push_str("space"),
            Code::Char(c) => text.push(c),
            Code::F(n) => text.push_str(&format!("f{n}")),
            other => text.extend(NAMES.iter().filter(|(c, _)| *c == other).map(|(_, n)| *n)),
        }
        f.pad(&text)
    }
}

impl FromStr for Key {
    type Err = String;

    /// Reads `0`, `enter`, `ctrl-c`, `shift-tab`, `f1`, `space`: modifiers in any order, then the
    /// key. Errors are a sentence that quotes the text.
    fn from_str(text: &str) -> Result<Key, String> {
        let mut mods = Mods::default();
        let mut rest = text;
        loop {
            let (held, after) = if let Some(after) = rest.strip_prefix("ctrl-") {
                (&mut mods.ctrl, after)
            } else if let Some(after) = rest.strip_prefix("alt-") {
                (&mut mods.alt, after)
            } else if let Some(after) = rest.strip_prefix("shift-") {
                (&mut mods.shift, after)
            } else {
                break;
            };
            *held = true;
            rest = after;
        }
        let unknown = || {
            format!(
                "'{}' is no key; write one character, or a name such as enter, space, pgdn, f1 or ctrl-s",
                text.escape_default()
            )
        };
        let mut letters = rest.chars();
        let code = match (letters.next(), letters.next()) {
            (None, _) => return Err(unknown()),
            (Some(c), None) if c.is_control() || c == ' ' => return Err(unknown()),
            (Some(c), None) => Code::Char(c),
            _ if rest == "space" => Code::Char(' '),
            _ => match NAMES.iter().find(|(_, name)| *name == rest) {
                Some((code, _)) => *code,
                None => match rest.strip_prefix('f').and_then(|n| n.parse().ok()) {
                    Some(n @ 1..=24) => Code::F(n),
                    _ => return Err(unknown()),
                },
            },
        };
        Ok(Key::new(code, mods))
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn key(text: &str) -> Key {
        text.parse().expect(text)
    }

    #[test]
    fn the_spellings_print_as_they_are_read() {
        for text in [
            "0",
            "enter",
            "esc",
            "tab",
            "shift-tab",
            "ctrl-c",
            "f1",
            "f12",
            "left",
            "pgdn",
            "space",
            "?",
            "O",
            "-",
            "ctrl-alt-left",
            "alt-x",
            "é",
        ] {
            assert_eq!(key(text).to_string(), text);
        }
    }

    #[test]
    fn shift_case_and_altgr_do_not_make_another_key() {
        let shift = Mods {
            shift: true,
            ..Mods::default()
        };
        let alt_gr = Mods {
            ctrl: true,
            alt: true,
            shift: false,
        };
        assert_eq!(Key::new(Code::Char('O'), shift), key("O"));
        assert_ne!(key("o"), key("O"));
        assert_eq!(Key::new(Code::Char('{'), alt_gr), key("{"));
        assert_eq!(key("ctrl-C"), key("ctrl-c"));
        assert_ne!(key("shift-tab"), key("tab"));
    }

    #[test]
    fn what_is_no_key_is_quoted_back() {
        for text in ["", " ", "ctrl-", "f0", "f25", "entr", "ab", "\u{1b}"] {
            let error = text.parse::<Key>().expect_err("no key");
            assert!(error.contains("is no key"), "{error}");
            assert!(!error.contains('\u{1b}'), "{error:?}");
        }
    }

    #[test]
    fn only_plain_characters_are_typed_text() {
        assert_eq!(key("a").typed(), Some('a'));
        assert_eq!(key("space").typed(), Some(' '));
        assert_eq!(key("ctrl-a").typed(), None);
        assert_eq!(key("enter").typed(), None);
        assert!(key("ctrl-a").to_editor().ctrl);
    }

    proptest! {
        #[test]
        fn any_key_survives_printing(
            name in 0..NAMES.len(), c in any::<char>(), n in 1u8..=24, which in 0..3,
            ctrl: bool, alt: bool, shift: bool,
        ) {
            prop_assume!(!c.is_control());
            let code = match which { 0 => NAMES[name].0, 1 => Code::Char(c), _ => Code::F(n) };
            let made = Key::new(code, Mods { ctrl, alt, shift });
            prop_assert_eq!(made.to_string().parse(), Ok(made));
        }
    }
}
