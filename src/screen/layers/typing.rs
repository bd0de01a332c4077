//! What is typed in: one line, or a note of several. The editing is that of the libraries, by whole
//! grapheme clusters; here stand the limits.

use ratatui_textarea::{CursorMove, TextArea};
use tui_input::{Input, InputRequest};
use unicode_segmentation::UnicodeSegmentation;

use crate::defects::admit::LONGEST_NOTE;
use crate::keys::Action;
use crate::keys::key::{Code, Key};
use crate::screen::layers::files::{Files, Look};
use crate::text::{safe_line, safe_text};

/// Said where a line takes no more.
const LINE_FULL: &str = "a line holds no more; the rest is left out";
/// Said where a note takes no more.
const FULL: &str = "the note is full";
/// Said where only a part of a paste fitted.
const PASTE_CUT: &str = "the note is full; the rest of the paste is left out";

/// One line of text.
#[derive(Default)]
pub struct LineInput {
    /// The question.
    pub title: String,
    /// Said under it: what may be typed, what an empty line means.
    pub hint: String,
    /// What is wrong with it, until the next key.
    pub error: Option<String>,
    /// Pictures to choose from, where the path of one is asked for.
    pub files: Option<Box<Files>>,
    /// A picture shown small beside it.
    pub look: Option<Look>,
    /// What can be taken in besides, by a key of its own.
    pub another: Option<String>,
    typed: Input,
}

/// A note of several lines.
pub struct NoteInput {
    /// The question.
    pub title: String,
    /// The editor.
    pub area: TextArea<'static>,
    /// Not yet kept as a draft.
    pub dirty: bool,
}

impl LineInput {
    /// Longest line taken, bytes.
    const LONGEST: usize = 1000;

    /// A line with a text in it already, the cursor at its end.
    pub fn new(title: String, hint: String, text: &str) -> LineInput {
        let mut line = LineInput {
            title,
            hint,
            ..LineInput::default()
        };
        line.insert(text);
        line
    }

    /// As far as typed.
    pub fn text(&self) -> &str {
        self.typed.value()
    }

    /// What stands before the cursor, and what behind it.
    pub fn parts(&self) -> (&str, &str) {
        let text = self.text();
        let at = text.char_indices().nth(self.typed.cursor());
        text.split_at(at.map_or(text.len(), |(at, _)| at))
    }

    /// Takes all out.
    pub fn clear(&mut self) {
        self.typed.reset();
    }

    /// Puts text at the cursor. What does not fit is left out, and that is said. Line breaks become
    /// spaces.
    pub fn insert(&mut self, text: &str) {
        self.error = None;
        for c in safe_line(text).chars() {
            if self.text().len() + c.len_utf8() > Self::LONGEST {
                self.error = Some(LINE_FULL.to_owned());
                break;
            }
            self.typed.handle(InputRequest::InsertChar(c));
        }
    }

    /// A key that is no command: moves, takes out, or types.
    pub fn key(&mut self, key: &Key) {
        match key.code() {
            Code::Left => self.request(InputRequest::GoToPrevChar),
            Code::Right => self.request(InputRequest::GoToNextChar),
            Code::Backspace => self.request(InputRequest::DeletePrevChar),
            Code::Delete => self.request(InputRequest::DeleteNextChar),
            _ => {
                if let Some(c) = key.typed() {
                    self.insert(c.encode_utf8(&mut [0; 4]));
                }
            }
        }
    }

    /// An action on what is typed; false where it is none.
    pub fn edit(&mut self, action: Action) -> bool {
        self.request(match action {
            Action::WordBack => InputRequest::GoToPrevWord,
            Action::WordOn => InputRequest::GoToNextWord,
            Action::LineStart => InputRequest::GoToStart,
            Action::LineEnd => InputRequest::GoToEnd,
            Action::CutWord => InputRequest::DeletePrevWord,
            Action::CutBefore => InputRequest::DeleteFromStart,
            Action::CutAfter => InputRequest::DeleteTillEnd,
            Action::PutIn => InputRequest::Yank,
            _ => return false,
        });
        true
    }

    fn request(&mut self, request: InputRequest) {
        let before = self.typed.clone();
        let changed = self.typed.handle(request);
        if changed.is_some_and(|changed| changed.value) {
            self.error = None;
        }
        if self.text().len() > Self::LONGEST {
            self.typed = before;
            self.error = Some(LINE_FULL.to_owned());
        }
    }
}

impl NoteInput {
    /// With a text in it already, the cursor at its end.
    pub fn new(title: String, text: &str) -> NoteInput {
        let mut area = TextArea::new(text.lines().map(str::to_owned).collect());
        area.move_cursor(CursorMove::Bottom);
        area.move_cursor(CursorMove::End);
        NoteInput {
            title,
            area,
            dirty: false,
        }
    }

    /// A key that is no command: moves, takes out, or types.
    ///
    /// # Errors
    /// Why it was not taken.
    pub fn key(&mut self, key: &Key) -> Result<(), &'static str> {
        let grows = key.typed().is_some() || matches!(key.code(), Code::Enter | Code::Tab);
        if grows && self.length() >= LONGEST_NOTE {
            return Err(FULL);
        }
        // The editor goes by characters, and what is read as one may be several.
        let times = match key.code() {
            Code::Left | Code::Backspace => self.cluster_before(),
            Code::Right | Code::Delete => self.cluster_after(),
            _ => 1,
        };
        for _ in 0..times {
            self.dirty |= self.area.input(key.to_editor());
        }
        Ok(())
    }

    /// An action on what is typed; false where it is none.
    ///
    /// # Errors
    /// Why it was not taken.
    pub fn edit(&mut self, action: Action) -> Result<bool, &'static str> {
        let area = &mut self.area;
        match action {
            Action::WordBack => area.move_cursor(CursorMove::WordBack),
            Action::WordOn => area.move_cursor(CursorMove::WordForward),
            Action::LineStart => area.move_cursor(CursorMove::Head),
            Action::LineEnd => area.move_cursor(CursorMove::End),
            Action::CutWord => self.dirty |= area.delete_word(),
            Action::CutBefore => self.dirty |= area.delete_line_by_head(),
            Action::CutAfter => self.dirty |= area.delete_line_by_end(),
            Action::PutIn => {
                if self.length() + self.area.yank_text().len() > LONGEST_NOTE {
                    return Err(FULL);
                }
                self.dirty |= self.area.paste();
            }
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// Pasted text.
    ///
    /// # Errors
    /// What of it was not taken, and why.
    pub fn insert(&mut self, text: &str) -> Result<(), &'static str> {
        let clean = safe_text(text);
        let mut end = clean.len().min(LONGEST_NOTE.saturating_sub(self.length()));
        while !clean.is_char_boundary(end) {
            end -= 1;
        }
        self.area.insert_str(&clean[..end]);
        self.dirty = true;
        match end < clean.len() {
            true => Err(PASTE_CUT),
            false => Ok(()),
        }
    }

    fn length(&self) -> usize {
        self.area.lines().iter().map(|l| l.len() + 1).sum()
    }

    /// The line of the cursor, as it stands before it and behind it.
    fn parts(&self) -> (&str, &str) {
        let at = self.area.cursor();
        let line = self.area.lines().get(at.0).map_or("", String::as_str);
        let byte = line.char_indices().nth(at.1).map_or(line.len(), |(b, _)| b);
        line.split_at(byte)
    }

    /// Characters of the cluster before the cursor; one at the beginning of a line.
    fn cluster_before(&self) -> usize {
        let cluster = self.parts().0.graphemes(true).next_back();
        cluster.map_or(1, |cluster| cluster.chars().count())
    }

    /// Characters of the cluster behind the cursor; one at the end of a line.
    fn cluster_after(&self) -> usize {
        let cluster = self.parts().1.graphemes(true).next();
        cluster.map_or(1, |cluster| cluster.chars().count())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn press(line: &mut LineInput, codes: &[Code]) {
        for code in codes {
            line.key(&Key::plain(*code));
        }
    }

    fn line_of(text: &str) -> LineInput {
        let mut line = LineInput::default();
        line.insert(text);
        line
    }

    #[test]
    fn a_line_is_edited_by_whole_clusters_and_never_overflows() {
        let mut line = line_of("ax\u{301}b\nc");
        assert_eq!(line.text(), "ax\u{301}b c");
        press(&mut line, &[Code::Left, Code::Left, Code::Left]);
        assert_eq!(line.parts(), ("ax\u{301}", "b c"));
        press(&mut line, &[Code::Backspace]);
        assert_eq!(line.text(), "ab c");
        press(&mut line, &[Code::Delete, Code::Delete]);
        line.edit(Action::LineEnd);
        press(&mut line, &[Code::Delete]);
        assert_eq!((line.text(), &line.error), ("ac", &None));
        line.insert(&"x".repeat(5000));
        assert_eq!(line.text().len(), LineInput::LONGEST);
        assert_eq!(line.error.as_deref(), Some(LINE_FULL));
        press(&mut line, &[Code::Backspace]);
        assert_eq!(line.error, None);
        line.edit(Action::LineStart);
        press(&mut line, &[Code::Right, Code::Right, Code::Backspace]);
        assert!(line.text().starts_with("ax"));
    }

    #[test]
    fn words_and_ends_of_a_line_are_reached_and_taken_out() {
        let mut line = line_of("lift the aft board  ");
        line.edit(Action::CutWord);
        assert_eq!(line.text(), "lift the aft ");
        line.edit(Action::WordBack);
        assert_eq!(line.parts(), ("lift the ", "aft "));
        line.edit(Action::WordBack);
        line.edit(Action::CutBefore);
        assert_eq!(line.parts(), ("", "the aft "));
        line.edit(Action::WordOn);
        assert_eq!(line.parts(), ("the ", "aft "));
        line.edit(Action::CutAfter);
        assert_eq!(line.text(), "the ");
        line.edit(Action::PutIn);
        assert_eq!(line.text(), "the aft ");
        assert!(!line.edit(Action::Accept));
    }

    #[test]
    fn what_was_taken_out_is_put_in_again_only_while_it_fits() {
        let mut line = line_of(&"word ".repeat(LineInput::LONGEST / 5));
        line.edit(Action::CutBefore);
        line.edit(Action::PutIn);
        let full = line.text().to_owned();
        assert_eq!((full.len(), &line.error), (LineInput::LONGEST, &None));
        line.edit(Action::PutIn);
        assert_eq!(line.text(), full);
        assert_eq!(line.error.as_deref(), Some(LINE_FULL));
    }

    #[test]
    fn a_note_is_edited_by_whole_clusters_and_never_overflows() {
        let mut note = NoteInput::new("note".to_owned(), "wet\nax\u{301}b");
        let text = |note: &NoteInput| note.area.lines().join("\n");
        let press = |note: &mut NoteInput, codes: &[Code]| {
            for code in codes {
                assert_eq!(note.key(&Key::plain(*code)), Ok(()));
            }
        };
        press(&mut note, &[Code::Left, Code::Backspace]);
        assert_eq!((text(&note).as_str(), note.dirty), ("wet\nab", true));
        press(&mut note, &[Code::Left, Code::Backspace]);
        assert_eq!(text(&note), "wetab");
        assert_eq!(note.edit(Action::CutBefore), Ok(true));
        assert_eq!(text(&note), "ab");
        assert_eq!(note.insert(&"x".repeat(997)), Ok(()));
        assert_eq!(note.edit(Action::CutBefore), Ok(true));
        for _ in 0..LONGEST_NOTE {
            if let Err(full) = note.edit(Action::PutIn) {
                assert_eq!(full, FULL);
                break;
            }
        }
        assert!(note.length() <= LONGEST_NOTE && note.length() + 1000 > LONGEST_NOTE);
        let full = text(&note);
        assert_eq!(note.insert(&"x".repeat(999)), Err(PASTE_CUT));
        assert!(text(&note).len() <= LONGEST_NOTE && text(&note).len() >= full.len());
    }

    #[test]
    fn words_of_a_note_are_reached_and_taken_out() {
        let mut note = NoteInput::new("note".to_owned(), "lift the aft board");
        for action in [Action::WordBack, Action::CutWord, Action::LineStart] {
            assert_eq!(note.edit(action), Ok(true));
        }
        assert_eq!(note.area.lines(), ["lift the board"]);
        assert_eq!(note.edit(Action::WordOn), Ok(true));
        assert_eq!(note.edit(Action::CutAfter), Ok(true));
        assert_eq!(note.area.lines(), ["lift "]);
        assert_eq!(note.edit(Action::LineStart), Ok(true));
        assert_eq!(note.edit(Action::PutIn), Ok(true));
        assert_eq!(note.area.lines(), ["the boardlift "]);
        assert_eq!(note.edit(Action::Accept), Ok(false));
    }
}
