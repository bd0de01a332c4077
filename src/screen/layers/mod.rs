//! What stands over a screen: a list to pick from, one line of text, a note, the help. The topmost
//! takes every key; nothing typed is lost when it goes.
//!
//! - [`typing`]: a line and a note; [`files`]: the pictures beneath a line that asks for one
//! - [`keys`]: what the keys do; [`mod@draw`]: how it is drawn

pub mod draw;
mod draw_files;
pub mod files;
pub mod keys;
pub mod typing;

use crate::checklist::Grade;
use crate::defects::ladder_in_time::LadderInTime;
use crate::keys::Context;
use crate::photo::scale::Pixels;
use crate::screen::kind::Asks;

pub use typing::{LineInput, NoteInput};

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

/// The keys of a context.
pub struct HelpView {
    /// Whose keys.
    pub context: Context,
    /// First line shown.
    pub scroll: usize,
}

/// What is drawn in a text to read.
pub enum Drawn {
    /// The ladder in time of an item.
    Ladder(Box<LadderInTime>),
    /// A photograph.
    Picture(Box<Pixels>),
}

/// Text to read.
pub struct Page {
    /// Heading.
    pub title: String,
    /// Lines, wrapped when drawn.
    pub lines: Vec<String>,
    /// Drawn behind the first of them.
    pub drawn: Option<Drawn>,
    /// First line shown.
    pub scroll: usize,
}

impl<A: Asks> Layer<A> {
    /// The context whose keys work.
    pub fn context(&self) -> Context {
        match self {
            Layer::Choice(choice, _) if choice.beside_rungs.is_some() => Context::Rungs,
            Layer::Choice(..) => Context::Choice,
            Layer::Line(line, _) if line.files.is_some() => Context::Files,
            Layer::Line(..) => Context::Line,
            Layer::Note(..) => Context::Note,
            Layer::Help(_) | Layer::Page(_) => Context::Help,
        }
    }

    /// What it asks; none where it asks nothing.
    fn question(&self) -> Option<&str> {
        match self {
            Layer::Choice(choice, _) => Some(&choice.title),
            Layer::Line(line, _) => Some(&line.title),
            Layer::Note(note, _) => Some(&note.title),
            Layer::Help(_) | Layer::Page(_) => None,
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
        Layer::Line(LineInput::new(title.into(), hint.into(), text), ask)
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
        Layer::Note(Box::new(NoteInput::new(title.into(), text)), ask)
    }

    /// A text to read.
    pub fn page(title: impl Into<String>, lines: Vec<String>) -> Layer<A> {
        Layer::Page(Page {
            title: title.into(),
            lines,
            drawn: None,
            scroll: 0,
        })
    }

    /// A text to read with something drawn behind its first line.
    pub fn page_with(title: impl Into<String>, lines: Vec<String>, drawn: Drawn) -> Layer<A> {
        Layer::Page(Page {
            title: title.into(),
            lines,
            drawn: Some(drawn),
            scroll: 0,
        })
    }
}

impl Page {
    /// Rows it takes at the least, before lines are wrapped.
    fn least_rows(&self) -> usize {
        let drawn = match &self.drawn {
            Some(Drawn::Ladder(_)) => LADDER_ROWS,
            // It fits what is shown at once.
            Some(Drawn::Picture(_)) | None => 0,
        };
        self.lines.len() + drawn
    }
}

/// Rows of the ladder in time with its key and an empty line, where everything in it is wide.
const LADDER_ROWS: usize = 20;

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
