//! What stands over a screen: a list to pick from, one line of text, a note, the help. The topmost
//! takes every key; nothing typed is lost when it goes.

pub mod draw;
pub mod keys;

use ratatui_textarea::{CursorMove, TextArea};
use unicode_segmentation::UnicodeSegmentation;

use crate::checklist::Grade;
use crate::keys::Context;
use crate::keys::key::{Code, Key};
use crate::screen::kind::Asks;

/// One of the layers over a screen, with what its answer is for.
pub enum Layer<A: Asks> {
    /// A list to pick from.
    Choice(Choice, A::Pick),
    /// One line of text.
    Line(LineInput, A::Line),
    /// A note of several lines.
    Note(Box<NoteInput>, A::Line),
    /// The keys of the context beneath.
    Help(HelpView),
    /// Text to read, such as the arithmetic behind a row.
    Page(Page),
}

/// A list to pick from.
#[derive(Default)]
pub struct Choice {
    /// The question.
    pub title: String,
    /// What can be picked.
    pub options: Vec<String>,
    /// Under the arrow.
    pub cursor: usize,
    /// Said above the lines.
    pub lead: Vec<String>,
    /// It is said loudly.
    pub loud: bool,
    /// Where lines are ticked: which are; the first line goes on with them.
    pub ticks: Option<Vec<bool>>,
    /// Rungs can be given meanwhile: `0` to `4` mean a rung and leave the question, `5` takes this line.
    pub beside_rungs: Option<usize>,
    /// Said beneath each line, in the same order.
    pub words: Vec<String>,
    /// Said at the foot while a line is under the arrow, in the same order.
    pub foot: Vec<String>,
}

/// One line of text.
#[derive(Default)]
pub struct LineInput {
    /// The question.
    pub title: String,
    /// Said under it: what may be typed, what an empty line means.
    pub hint: String,
    /// As far as typed.
    pub text: String,
    /// Byte position of the cursor.
    pub cursor: usize,
    /// What is wrong with it, until the next key.
    pub error: Option<String>,
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

/// The keys of a context.
pub struct HelpView {
    /// Whose keys.
    pub context: Context,
    /// First line shown.
    pub scroll: usize,
}

/// Text to read.
pub struct Page {
    /// Heading.
    pub title: String,
    /// Lines, wrapped when drawn.
    pub lines: Vec<String>,
    /// First line shown.
    pub scroll: usize,
}

impl<A: Asks> Layer<A> {
    /// The context whose keys work.
    pub fn context(&self) -> Context {
        match self {
            Layer::Choice(choice, _) if choice.beside_rungs.is_some() => Context::Rungs,
            Layer::Choice(..) => Context::Choice,
            Layer::Line(..) => Context::Line,
            Layer::Note(..) => Context::Note,
            Layer::Help(_) | Layer::Page(_) => Context::Help,
        }
    }

    /// A list to pick from, the first under the arrow.
    pub fn choice(title: impl Into<String>, options: Vec<String>, ask: A::Pick) -> Layer<A> {
        Layer::told(title, Vec::new(), options, ask)
    }

    /// A list to pick from while rungs are given; `5` takes the line of this place.
    pub fn beside_rungs(
        title: impl Into<String>,
        options: Vec<String>,
        five: usize,
        ask: A::Pick,
    ) -> Layer<A> {
        let choice = Choice {
            title: title.into(),
            options,
            beside_rungs: Some(five),
            ..Choice::default()
        };
        Layer::Choice(choice, ask)
    }

    /// Lines to tick; the first is no line to tick but goes on.
    pub fn ticked(
        title: impl Into<String>,
        options: Vec<String>,
        on: Vec<bool>,
        ask: A::Pick,
    ) -> Layer<A> {
        let choice = Choice {
            title: title.into(),
            options,
            ticks: Some(on),
            ..Choice::default()
        };
        Layer::Choice(choice, ask)
    }

    /// Something that has to be read before anything else: the lines, and the ways on.
    pub fn alarm(
        title: impl Into<String>,
        lead: Vec<String>,
        options: Vec<String>,
        ask: A::Pick,
    ) -> Layer<A> {
        let choice = Choice {
            title: title.into(),
            options,
            lead,
            loud: true,
            ..Choice::default()
        };
        Layer::Choice(choice, ask)
    }

    /// A list to pick from with something to read above it.
    pub fn told(
        title: impl Into<String>,
        lead: Vec<String>,
        options: Vec<String>,
        ask: A::Pick,
    ) -> Layer<A> {
        let choice = Choice {
            title: title.into(),
            options,
            lead,
            ..Choice::default()
        };
        Layer::Choice(choice, ask)
    }

    /// An empty line to type.
    pub fn line(title: impl Into<String>, hint: impl Into<String>, ask: A::Line) -> Layer<A> {
        Layer::typed(title, hint, "", ask)
    }

    /// A line to type with a text in it already.
    pub fn typed(
        title: impl Into<String>,
        hint: impl Into<String>,
        text: &str,
        ask: A::Line,
    ) -> Layer<A> {
        let mut line = LineInput {
            title: title.into(),
            hint: hint.into(),
            ..LineInput::default()
        };
        line.insert(text);
        Layer::Line(line, ask)
    }

    /// The same line with what is wrong with it.
    pub fn with_error(mut self, wrong: Option<String>) -> Layer<A> {
        if let Layer::Line(line, _) = &mut self {
            line.error = wrong;
        }
        self
    }

    /// A note, beginning with what was typed before.
    pub fn note(title: impl Into<String>, text: &str, ask: A::Line) -> Layer<A> {
        let mut area = TextArea::new(text.lines().map(str::to_owned).collect());
        area.move_cursor(CursorMove::Bottom);
        area.move_cursor(CursorMove::End);
        let note = NoteInput {
            title: title.into(),
            area,
            dirty: false,
        };
        Layer::Note(Box::new(note), ask)
    }

    /// A text to read.
    pub fn page(title: impl Into<String>, lines: Vec<String>) -> Layer<A> {
        Layer::Page(Page {
            title: title.into(),
            lines,
            scroll: 0,
        })
    }
}

impl Choice {
    /// The first digit that picks.
    const FIRST_PICK: usize = Grade::ALL.len();

    /// The line that a digit takes, if it takes one.
    fn line_of(&self, digit: usize) -> Option<usize> {
        match self.beside_rungs {
            Some(five) => Some(digit.checked_sub(Self::FIRST_PICK)? + five),
            None => digit.checked_sub(1),
        }
    }

    /// The digit that takes a line, if one does.
    pub fn digit_of(&self, line: usize) -> Option<usize> {
        (0..=9).find(|digit| self.line_of(*digit) == Some(line))
    }
}

impl LineInput {
    /// Longest line taken, bytes.
    const LONGEST: usize = 1000;

    /// Puts text at the cursor; what does not fit is left out. Line breaks become spaces.
    pub fn insert(&mut self, text: &str) {
        for c in crate::text::safe_line(text).chars() {
            if self.text.len() + c.len_utf8() > Self::LONGEST {
                break;
            }
            self.text.insert(self.cursor, c);
            self.cursor += c.len_utf8();
        }
        self.error = None;
    }

    /// A key that is no command: moves by whole character clusters, takes away, or types.
    pub fn key(&mut self, key: &Key) {
        let (here, end) = (self.cursor, self.text.len());
        match (key.code(), key.mods().ctrl) {
            (Code::Left, _) => self.cursor = self.before(),
            (Code::Right, _) => self.cursor = self.after(),
            (Code::Home, _) => self.cursor = 0,
            (Code::End, _) => self.cursor = end,
            (Code::Backspace, _) => self.take_away(self.before(), here),
            (Code::Delete, _) => self.take_away(here, self.after()),
            (Code::Char('w'), true) => self.take_away(self.word(), here),
            (Code::Char('u'), true) => self.take_away(0, here),
            _ => {
                if let Some(c) = key.typed() {
                    self.insert(c.encode_utf8(&mut [0; 4]));
                }
            }
        }
    }

    /// Where the cluster before the cursor begins.
    fn before(&self) -> usize {
        let mut before = self.text[..self.cursor].grapheme_indices(true);
        before.next_back().map_or(0, |(start, _)| start)
    }

    /// Where the cluster after the cursor ends.
    fn after(&self) -> usize {
        let next = self.text[self.cursor..].graphemes(true).next();
        self.cursor + next.map_or(0, str::len)
    }

    /// Where the word before the cursor begins.
    fn word(&self) -> usize {
        let before = self.text[..self.cursor].trim_end();
        let gap = before.char_indices().rfind(|(_, c)| c.is_whitespace());
        gap.map_or(0, |(at, c)| at + c.len_utf8())
    }

    fn take_away(&mut self, from: usize, to: usize) {
        self.text.replace_range(from..to, "");
        self.cursor = from;
        self.error = None;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keys::key::Mods;

    fn press(line: &mut LineInput, codes: &[Code]) {
        for code in codes {
            line.key(&Key::plain(*code));
        }
    }

    fn press_ctrl(line: &mut LineInput, c: char) {
        let mods = Mods {
            ctrl: true,
            ..Mods::default()
        };
        line.key(&Key::new(Code::Char(c), mods));
    }

    #[test]
    fn a_line_is_edited_by_whole_clusters_and_never_overflows() {
        let mut line = LineInput::default();
        line.insert("ax\u{301}b\nc");
        assert_eq!(line.text, "ax\u{301}b c");
        press(
            &mut line,
            &[Code::Home, Code::Right, Code::Right, Code::Backspace],
        );
        assert_eq!(line.text, "ab c");
        press(
            &mut line,
            &[Code::Delete, Code::Delete, Code::End, Code::Delete],
        );
        assert_eq!(line.text, "ac");
        line.insert(&"x".repeat(5000));
        assert!(line.text.len() <= 1000);
        press(
            &mut line,
            &[Code::Home, Code::Right, Code::Right, Code::Backspace],
        );
        assert!(line.text.starts_with("ax"));
    }

    #[test]
    fn a_word_or_all_before_the_cursor_is_taken_away() {
        let mut line = LineInput::default();
        line.insert("lift the aft board  ");
        press_ctrl(&mut line, 'w');
        assert_eq!(line.text, "lift the aft ");
        press(&mut line, &[Code::Left]);
        press_ctrl(&mut line, 'w');
        assert_eq!((line.text.as_str(), line.cursor), ("lift the  ", 9));
        press_ctrl(&mut line, 'u');
        assert_eq!((line.text.as_str(), line.cursor), (" ", 0));
        press_ctrl(&mut line, 'w');
        assert_eq!(line.text, " ");
    }
}
