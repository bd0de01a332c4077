//! Keys of the layers: moving in a list, typing a line or a note, reading help.

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::checklist::Grade;
use crate::defects::admit::LONGEST_NOTE as LONGEST;
use crate::keys::key::{Code, Key};
use crate::keys::{Action, Context};
use crate::screen::kind::{Asks, moved};
use crate::screen::layers::draw::draw;
use crate::screen::layers::{Choice, HelpView, Layer, LineInput, NoteInput};
use crate::screen::shared::Setup;
use crate::text::safe_text;

/// More lines than any help has.
const MOST_HELP: usize = 201;

/// The layers over a screen, the topmost last.
pub struct Layers<A: Asks>(pub Vec<Layer<A>>);

/// What a key gave whoever asks.
pub enum Given<A: Asks> {
    /// No answer yet.
    Nothing,
    /// A line of a list, by its place.
    Picked(A::Pick, usize, Choice),
    /// A rung, given in spite of a question beside it.
    Rung(A::Pick, Grade),
    /// A line.
    Typed(A::Line, LineInput),
    /// A note.
    Noted(A::Line, Box<NoteInput>),
    /// A list was left.
    LeftList(A::Pick),
    /// A line was left.
    LeftLine(A::Line, LineInput),
}

impl<A: Asks> Layers<A> {
    /// The context of the topmost.
    pub fn context(&self) -> Option<Context> {
        self.0.last().map(Layer::context)
    }

    /// Draws all, the topmost last.
    pub fn draw(&self, setup: &Setup, frame: &mut Frame<'_>, area: Rect) {
        for layer in &self.0 {
            draw(setup, layer, frame, area);
        }
    }

    /// Shows the keys of a context, where they are not shown already.
    pub fn help(&mut self, context: Context) {
        if !matches!(self.0.last(), Some(Layer::Help(_))) {
            self.0.push(Layer::Help(HelpView { context, scroll: 0 }));
        }
    }

    /// Opens a line again with what is wrong with it.
    pub fn open_again(&mut self, line: LineInput, ask: A::Line, error: String) {
        let error = Some(error);
        self.0.push(Layer::Line(LineInput { error, ..line }, ask));
    }

    /// The place of what is typed on: help lies over it and ends nothing.
    fn typed_on(&self) -> usize {
        let reading = |layer: &&Layer<A>| matches!(layer, Layer::Help(_) | Layer::Page(_));
        let over = self.0.iter().rev().take_while(reading).count();
        self.0.len().wrapping_sub(over + 1)
    }

    /// The line typed on.
    pub fn line(&self) -> Option<(&A::Line, &LineInput)> {
        match self.0.get(self.typed_on()) {
            Some(Layer::Line(line, ask)) => Some((ask, line)),
            _ => None,
        }
    }

    /// The note typed on, where it holds more than is kept; it is taken for kept from now on.
    pub fn unkept_note(&mut self) -> Option<(&A::Line, &NoteInput)> {
        let at = self.typed_on();
        match self.0.get_mut(at) {
            Some(Layer::Note(note, ask)) if note.dirty => {
                note.dirty = false;
                Some((ask, note))
            }
            _ => None,
        }
    }

    /// True where something half typed is to be kept: a note, or a line that `keeps`.
    pub fn is_to_keep(&self, keeps: impl FnOnce(&A::Line) -> bool) -> bool {
        match self.0.get(self.typed_on()) {
            Some(Layer::Note(note, _)) => note.dirty,
            Some(Layer::Line(_, ask)) => keeps(ask),
            _ => false,
        }
    }

    /// An action on the topmost.
    pub fn act(
        &mut self,
        action: Action,
        complete: impl FnOnce(&A::Line, &mut LineInput),
    ) -> Given<A> {
        match action {
            Action::Back => return self.back(),
            Action::Pick => return self.pick(None),
            Action::Accept | Action::Save => return self.accept(),
            Action::Complete => {
                if let Some(Layer::Line(line, ask)) = self.0.last_mut() {
                    complete(ask, line);
                }
            }
            _ => {
                if let Some(digit) = action.own_digit().and_then(|d| d.to_digit(10)) {
                    return self.digit(digit as usize);
                }
                self.step(action);
            }
        }
        Given::Nothing
    }

    /// A key that is no command here: text for a field.
    ///
    /// # Errors
    /// Why it was not taken.
    pub fn key(&mut self, key: &Key) -> Result<(), &'static str> {
        match self.0.last_mut() {
            Some(Layer::Line(line, _)) => line.key(key),
            Some(Layer::Note(note, _)) => {
                let grows = key.typed().is_some() || matches!(key.code(), Code::Enter | Code::Tab);
                if grows && note.length() >= LONGEST {
                    return Err("the note is full");
                }
                note.dirty |= note.area.input(key.to_editor());
            }
            _ => {}
        }
        Ok(())
    }

    /// Pasted text goes into fields and nowhere else.
    ///
    /// # Errors
    /// What of it was not taken, and why.
    pub fn paste(&mut self, text: &str) -> Result<(), &'static str> {
        match self.0.last_mut() {
            Some(Layer::Line(line, _)) => line.insert(text),
            Some(Layer::Note(note, _)) => {
                let clean = safe_text(text);
                let mut end = clean.len().min(LONGEST.saturating_sub(note.length()));
                while !clean.is_char_boundary(end) {
                    end -= 1;
                }
                note.area.insert_str(&clean[..end]);
                note.dirty = true;
                if end < clean.len() {
                    return Err("the note is full; the rest of the paste is left out");
                }
            }
            _ => return Err(NOWHERE),
        }
        Ok(())
    }

    /// Leaves the topmost. A note keeps what was typed.
    fn back(&mut self) -> Given<A> {
        match self.0.pop() {
            Some(Layer::Choice(_, ask)) => Given::LeftList(ask),
            Some(Layer::Line(line, ask)) => Given::LeftLine(ask, line),
            Some(Layer::Note(note, ask)) => Given::Noted(ask, note),
            Some(Layer::Help(_) | Layer::Page(_)) | None => Given::Nothing,
        }
    }

    fn step(&mut self, action: Action) {
        let (at, count) = match self.0.last_mut() {
            Some(Layer::Choice(choice, _)) => (&mut choice.cursor, choice.options.len()),
            Some(Layer::Help(help)) => (&mut help.scroll, MOST_HELP),
            Some(Layer::Page(page)) => (&mut page.scroll, page.lines.len()),
            _ => return,
        };
        *at = moved(action, *at, count, 10).unwrap_or(*at);
    }

    fn digit(&mut self, digit: usize) -> Given<A> {
        let Some(Layer::Choice(choice, _)) = self.0.last() else {
            return Given::Nothing;
        };
        if let Some(line) = choice.line_of(digit) {
            return self.pick(Some(line));
        }
        let grade = Grade::ALL.get(digit);
        match grade.and_then(|grade| Some((self.0.pop()?, *grade))) {
            Some((Layer::Choice(_, ask), grade)) => Given::Rung(ask, grade),
            _ => Given::Nothing,
        }
    }

    fn pick(&mut self, nth: Option<usize>) -> Given<A> {
        let Some(Layer::Choice(choice, _)) = self.0.last_mut() else {
            return Given::Nothing;
        };
        let at = nth.unwrap_or(choice.cursor);
        if at >= choice.options.len() {
            return Given::Nothing;
        }
        if let Some(on) = choice.ticks.as_mut().and_then(|t| t.get_mut(at))
            && at > 0
        {
            *on = !*on;
            choice.cursor = at;
            return Given::Nothing;
        }
        match self.0.pop() {
            Some(Layer::Choice(choice, ask)) => Given::Picked(ask, at, choice),
            _ => Given::Nothing,
        }
    }

    fn accept(&mut self) -> Given<A> {
        match self
            .0
            .pop_if(|top| matches!(top, Layer::Line(..) | Layer::Note(..)))
        {
            Some(Layer::Line(line, ask)) => Given::Typed(ask, line),
            Some(Layer::Note(note, ask)) => Given::Noted(ask, note),
            _ => Given::Nothing,
        }
    }
}

/// Said where there is no field for a paste.
const NOWHERE: &str = "paste goes into a note or a field; open one first";

impl NoteInput {
    fn length(&self) -> usize {
        self.area.lines().iter().map(|l| l.len() + 1).sum()
    }
}
