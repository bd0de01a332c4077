//! What stands over a screen: a list to pick from, one line of text, a note, the help. The topmost
//! takes every key; nothing typed is lost when it goes.

pub mod answer;
pub mod ask;
pub mod keys;

use ratatui_textarea::TextArea;

use crate::keys::Context;
use crate::screen::layers::ask::Ask;
use crate::screen::measure::Measuring;
use crate::screen::report::wait::Waiting;

/// One of the layers over a screen.
pub enum Layer {
    /// A list to pick from.
    Choice(Choice),
    /// One line of text.
    Line(LineInput),
    /// A note of several lines.
    Note(Box<NoteInput>),
    /// The keys of the context beneath.
    Help(HelpView),
    /// Text to read, such as the arithmetic behind a row.
    Page(Page),
    /// Drops being counted, or a clock running.
    Measure(Box<Measuring>),
    /// A report being made.
    Report(Box<Waiting>),
}

/// A list to pick from.
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
    /// What the answer is for.
    pub ask: Ask,
}

/// One line of text.
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
    /// What the answer is for.
    pub ask: Ask,
}

/// A note of several lines.
pub struct NoteInput {
    /// The question.
    pub title: String,
    /// The editor.
    pub area: TextArea<'static>,
    /// Not yet kept as a draft.
    pub dirty: bool,
    /// What the answer is for.
    pub ask: Ask,
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

impl Layer {
    /// The context whose keys work.
    pub fn context(&self) -> Context {
        match self {
            Layer::Choice(_) => Context::Choice,
            Layer::Line(_) => Context::Line,
            Layer::Note(_) => Context::Note,
            Layer::Measure(_) => Context::Measure,
            Layer::Report(_) => Context::Wait,
            Layer::Help(_) | Layer::Page(_) => Context::Help,
        }
    }

    /// A list to pick from, the first under the arrow.
    pub fn choice(title: impl Into<String>, options: Vec<String>, ask: Ask) -> Layer {
        Layer::Choice(Choice {
            title: title.into(),
            options,
            cursor: 0,
            lead: Vec::new(),
            loud: false,
            ticks: None,
            ask,
        })
    }

    /// Lines to tick; the first is no line to tick but goes on.
    pub fn ticked(
        title: impl Into<String>,
        options: Vec<String>,
        on: Vec<bool>,
        ask: Ask,
    ) -> Layer {
        Layer::Choice(Choice {
            title: title.into(),
            options,
            cursor: 0,
            lead: Vec::new(),
            loud: false,
            ticks: Some(on),
            ask,
        })
    }

    /// Something that has to be read before anything else: the lines, and one line to take.
    pub fn alarm(title: impl Into<String>, lead: Vec<String>, taken: &str, ask: Ask) -> Layer {
        Layer::Choice(Choice {
            title: title.into(),
            options: vec![taken.to_owned()],
            cursor: 0,
            lead,
            loud: true,
            ticks: None,
            ask,
        })
    }

    /// A list to pick from with something to read above it.
    pub fn told(
        title: impl Into<String>,
        lead: Vec<String>,
        options: Vec<String>,
        ask: Ask,
    ) -> Layer {
        Layer::Choice(Choice {
            title: title.into(),
            options,
            cursor: 0,
            lead,
            loud: false,
            ticks: None,
            ask,
        })
    }

    /// An empty line to type.
    pub fn line(title: impl Into<String>, hint: impl Into<String>, ask: Ask) -> Layer {
        Layer::Line(LineInput {
            title: title.into(),
            hint: hint.into(),
            text: String::new(),
            cursor: 0,
            error: None,
            ask,
        })
    }

    /// A note, beginning with what was typed before.
    pub fn note(title: impl Into<String>, text: &str, ask: Ask) -> Layer {
        let mut area = TextArea::new(text.lines().map(str::to_owned).collect());
        area.move_cursor(ratatui_textarea::CursorMove::Bottom);
        area.move_cursor(ratatui_textarea::CursorMove::End);
        Layer::Note(Box::new(NoteInput {
            title: title.into(),
            area,
            dirty: false,
            ask,
        }))
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

    /// Takes the character cluster before the cursor away.
    pub fn backspace(&mut self) {
        use unicode_segmentation::UnicodeSegmentation;
        let before = &self.text[..self.cursor];
        if let Some((start, _)) = before.grapheme_indices(true).next_back() {
            self.text.replace_range(start..self.cursor, "");
            self.cursor = start;
        }
        self.error = None;
    }

    /// Moves the cursor by one cluster, or to an end.
    pub fn step(&mut self, step: Step) {
        use unicode_segmentation::UnicodeSegmentation;
        self.cursor = match step {
            Step::Left => {
                let before = self.text[..self.cursor].grapheme_indices(true).next_back();
                before.map_or(0, |(start, _)| start)
            }
            Step::Right => {
                let after = self.text[self.cursor..].graphemes(true).next();
                self.cursor + after.map_or(0, str::len)
            }
            Step::Start => 0,
            Step::End => self.text.len(),
        };
    }
}

/// A movement in a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// One cluster left.
    Left,
    /// One cluster right.
    Right,
    /// To the beginning.
    Start,
    /// To the end.
    End,
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_edited_by_whole_clusters_and_never_overflows() {
        let mut line = LineInput {
            title: String::new(),
            hint: String::new(),
            text: String::new(),
            cursor: 0,
            error: None,
            ask: Ask::Find,
        };
        line.insert("ae\u{301}b\nc");
        assert_eq!(line.text, "aéb c");
        line.step(Step::Start);
        line.step(Step::Right);
        line.step(Step::Right);
        line.backspace();
        assert_eq!(line.text, "ab c");
        line.insert(&"x".repeat(5000));
        assert!(line.text.len() <= 1000);
        line.step(Step::End);
        line.step(Step::Left);
        line.backspace();
        assert!(line.text.ends_with(" c") || line.text.ends_with('c'));
    }
}
