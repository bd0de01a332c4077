//! Keys of the layers: moving in a list, typing a line or a note, reading help.

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::checklist::Grade;
use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::screen::kind::{Asks, moved};
use crate::screen::layers::draw::draw;
use crate::screen::layers::{Choice, HelpView, Layer, LineInput, NoteInput};
use crate::screen::shared::Setup;

/// More lines than any help has.
const MOST_HELP: usize = 201;

/// The layers over a screen, with the way back through a form of several questions.
pub struct Layers<A: Asks> {
    /// What stands there, the topmost last.
    stack: Vec<Layer<A>>,
    /// Questions answered whose answer led to another and put nothing on record, each with the height
    /// of the stack while that other stands: Esc goes back to them, the last first.
    behind: Vec<(usize, Layer<A>)>,
    /// What was typed in questions gone back from or left.
    typed: Vec<Typed>,
}

/// What was typed and not taken.
struct Typed {
    /// The first question of its form.
    form: String,
    question: String,
    text: String,
}

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
    /// One went back from a line to the question before it.
    WentBack(A::Line, LineInput),
    /// It was not taken, and why.
    Refused(&'static str),
}

impl<A: Asks> Layers<A> {
    /// Of questions, the last on top.
    pub fn of(stack: Vec<Layer<A>>) -> Layers<A> {
        Layers {
            stack,
            behind: Vec::new(),
            typed: Vec::new(),
        }
    }

    /// Nothing stands there.
    pub fn is_empty(&self) -> bool {
        self.stack.is_empty()
    }

    /// The context of the topmost.
    pub fn context(&self) -> Option<Context> {
        self.stack.last().map(Layer::context)
    }

    /// Draws all, the topmost last.
    pub fn draw(&self, setup: &Setup, frame: &mut Frame<'_>, area: Rect) {
        for layer in &self.stack {
            draw(setup, layer, frame, area);
        }
    }

    /// Shows the keys of a context, where they are not shown already.
    pub fn help(&mut self, context: Context) {
        if !matches!(self.stack.last(), Some(Layer::Help(_))) {
            self.stack
                .push(Layer::Help(HelpView { context, scroll: 0 }));
        }
    }

    /// The next question follows from an answer that put nothing on record: Esc there goes back to it.
    /// A question that stands behind already is gone back to.
    pub fn follow(&mut self, answered: Layer<A>, asked: Vec<Layer<A>>) {
        let begun = self.stack.len();
        let form = self.form_of(&answered);
        let again = asked.last().and_then(Layer::question);
        self.behind.push((begun + asked.len(), answered));
        let known =
            |(height, layer): &(usize, Layer<A>)| *height > begun && layer.question() == again;
        if let Some(at) = self.behind.iter().position(known) {
            for (_, layer) in self.behind.split_off(at) {
                self.keep(form.clone(), &layer);
            }
        }
        self.stack.extend(asked);
        self.fill_in(&form);
    }

    /// Puts questions over the others, with what was typed in them before. No way leads back into a
    /// form of which no question stands.
    pub fn put(&mut self, asked: Vec<Layer<A>>) {
        let standing = self.stack.len();
        self.behind.retain(|(height, _)| *height <= standing);
        for layer in asked {
            let form = layer.question().unwrap_or_default().to_owned();
            self.stack.push(layer);
            self.fill_in(&form);
        }
    }

    /// A form is on record.
    pub fn end(&mut self, answered: &Layer<A>) {
        let form = self.form_of(answered);
        self.typed.retain(|typed| typed.form != form);
    }

    /// A form was left: what was typed in it is there when it is opened again.
    pub fn left(&mut self, layer: &Layer<A>) {
        self.keep(self.form_of(layer), layer);
    }

    /// The first question of the form of a layer that stood on top.
    fn form_of(&self, layer: &Layer<A>) -> String {
        let stood = self.stack.len() + 1;
        let first = self.behind.iter().find(|(height, _)| *height == stood);
        let first = first.map_or(layer, |(_, first)| first);
        first.question().unwrap_or_default().to_owned()
    }

    fn keep(&mut self, form: String, layer: &Layer<A>) {
        if let Layer::Line(line, _) = layer {
            let question = line.title.clone();
            self.typed
                .retain(|t| (&t.form, &t.question) != (&form, &question));
            self.typed.push(Typed {
                form,
                question,
                text: line.text().to_owned(),
            });
        }
    }

    /// Puts what was typed before into the line on top.
    fn fill_in(&mut self, form: &str) {
        let Some(Layer::Line(line, _)) = self.stack.last_mut() else {
            return;
        };
        let mut typed = self.typed.iter();
        let same = |t: &&Typed| (t.form.as_str(), &t.question) == (form, &line.title);
        if let Some(text) = typed.find(same).map(|t| t.text.clone())
            && !text.is_empty()
        {
            let error = line.error.take();
            line.clear();
            line.insert(&text);
            line.error = error;
        }
        self.look_into_folder();
    }

    /// The pictures beneath a line are those of the folder that stands in it.
    fn look_into_folder(&mut self) {
        if let Some(Layer::Line(line, _)) = self.stack.last_mut() {
            line.follow();
        }
    }

    /// True where a picture beside what is typed is to be opened once no key comes.
    pub fn wants_look(&self) -> bool {
        self.line().is_some_and(|(_, line)| line.wants_look())
    }

    /// Opens it.
    pub fn open_look(&mut self) {
        let at = self.typed_on();
        if let Some(Layer::Line(line, _)) = self.stack.get_mut(at) {
            line.open_look();
        }
    }

    /// Opens a line again with what is wrong with it.
    pub fn open_again(&mut self, mut line: LineInput, ask: A::Line, error: String) {
        line.take_out_front();
        line.error = Some(error);
        self.stack.push(Layer::Line(line, ask));
    }

    /// The place of what is typed on: help lies over it and ends nothing.
    fn typed_on(&self) -> usize {
        let reading = |layer: &&Layer<A>| matches!(layer, Layer::Help(_) | Layer::Page(_));
        let over = self.stack.iter().rev().take_while(reading).count();
        self.stack.len().wrapping_sub(over + 1)
    }

    /// What is asked beside the rungs, where that is on top.
    pub fn beside_rungs(&self) -> Option<&A::Pick> {
        match self.stack.last() {
            Some(Layer::Choice(choice, ask)) if choice.beside_rungs.is_some() => Some(ask),
            _ => None,
        }
    }

    /// Takes the topmost away without an answer.
    pub fn take_away(&mut self) {
        self.stack.pop();
    }

    /// The line typed on.
    pub fn line(&self) -> Option<(&A::Line, &LineInput)> {
        match self.stack.get(self.typed_on()) {
            Some(Layer::Line(line, ask)) => Some((ask, line)),
            _ => None,
        }
    }

    /// The note typed on, where it holds more than is kept; it is taken for kept from now on.
    pub fn unkept_note(&mut self) -> Option<(&A::Line, &NoteInput)> {
        let at = self.typed_on();
        match self.stack.get_mut(at) {
            Some(Layer::Note(note, ask)) if note.dirty => {
                note.dirty = false;
                Some((ask, note))
            }
            _ => None,
        }
    }

    /// True where something half typed is to be kept: a note, or a line that `keeps`.
    pub fn is_to_keep(&self, keeps: impl FnOnce(&A::Line) -> bool) -> bool {
        match self.stack.get(self.typed_on()) {
            Some(Layer::Note(note, _)) => note.dirty,
            Some(Layer::Line(_, ask)) => keeps(ask),
            _ => false,
        }
    }

    /// An action on the topmost.
    pub fn act(&mut self, action: Action) -> Given<A> {
        match action {
            Action::Back => return self.leave(),
            Action::Pick if self.context() != Some(Context::Files) => return self.pick(None),
            Action::Pick | Action::Accept | Action::Save => return self.accept(),
            Action::Another => {
                let line = self.line();
                if line.is_some_and(|(_, line)| line.another.is_some()) {
                    return self.accept();
                }
            }
            Action::Complete => {
                if let Some(Layer::Line(line, _)) = self.stack.last_mut()
                    && line.files.is_some()
                {
                    line.complete_path();
                }
                self.look_into_folder();
            }
            _ => {
                let edited = match self.stack.last_mut() {
                    Some(Layer::Line(line, _)) => Ok(line.edit(action)),
                    Some(Layer::Note(note, _)) => note.edit(action),
                    _ => Ok(false),
                };
                match edited {
                    Err(full) => return Given::Refused(full),
                    Ok(true) => {
                        self.look_into_folder();
                        return Given::Nothing;
                    }
                    Ok(false) => {}
                }
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
        match self.stack.last_mut() {
            Some(Layer::Line(line, _)) => line.key(key),
            Some(Layer::Note(note, _)) => note.key(key)?,
            _ => {}
        }
        self.look_into_folder();
        Ok(())
    }

    /// Pasted text goes into fields and nowhere else.
    ///
    /// # Errors
    /// What of it was not taken, and why.
    pub fn paste(&mut self, text: &str) -> Result<(), &'static str> {
        match self.stack.last_mut() {
            Some(Layer::Line(line, _)) => line.insert(text),
            Some(Layer::Note(note, _)) => note.insert(text)?,
            _ => return Err(NOWHERE),
        }
        self.look_into_folder();
        Ok(())
    }

    /// Goes one question back, or leaves the topmost. A note keeps what was typed.
    fn leave(&mut self) -> Given<A> {
        let height = self.stack.len();
        let back = match self.stack.last() {
            Some(Layer::Choice(..) | Layer::Line(..)) => {
                self.behind.pop_if(|(of, _)| *of == height)
            }
            _ => None,
        };
        if let Some((_, before)) = back {
            let left = self.stack.pop();
            if let Some(left) = &left {
                self.behind.push((height, before));
                self.keep(self.form_of(left), left);
                self.stack
                    .extend(self.behind.pop().map(|(_, before)| before));
            }
            return match left {
                Some(Layer::Line(line, ask)) => Given::WentBack(ask, line),
                _ => Given::Nothing,
            };
        }
        match self.stack.pop() {
            Some(Layer::Choice(_, ask)) => Given::LeftList(ask),
            Some(Layer::Line(line, ask)) => Given::LeftLine(ask, line),
            Some(Layer::Note(note, ask)) => Given::Noted(ask, note),
            Some(Layer::Help(_) | Layer::Page(_)) | None => Given::Nothing,
        }
    }

    fn step(&mut self, action: Action) {
        let (at, count) = match self.stack.last_mut() {
            Some(Layer::Line(line, _)) => return line.step(action),
            Some(Layer::Choice(choice, _)) => (&mut choice.cursor, choice.options.len()),
            Some(Layer::Help(help)) => (&mut help.scroll, MOST_HELP),
            Some(Layer::Page(page)) => {
                let rows = page.least_rows();
                (&mut page.scroll, rows)
            }
            _ => return,
        };
        *at = moved(action, *at, count, 10).unwrap_or(*at);
    }

    fn digit(&mut self, digit: usize) -> Given<A> {
        let Some(Layer::Choice(choice, _)) = self.stack.last() else {
            return Given::Nothing;
        };
        if let Some(line) = choice.line_of(digit) {
            return self.pick(Some(line));
        }
        let grade = Grade::ALL.get(digit);
        match grade.and_then(|grade| Some((self.stack.pop()?, *grade))) {
            Some((Layer::Choice(_, ask), grade)) => Given::Rung(ask, grade),
            _ => Given::Nothing,
        }
    }

    fn pick(&mut self, nth: Option<usize>) -> Given<A> {
        let Some(Layer::Choice(choice, _)) = self.stack.last_mut() else {
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
        match self.stack.pop() {
            Some(Layer::Choice(choice, ask)) => Given::Picked(ask, at, choice),
            _ => Given::Nothing,
        }
    }

    fn accept(&mut self) -> Given<A> {
        if let Some(Layer::Line(line, _)) = self.stack.last_mut()
            && !line.put_front()
        {
            return Given::Nothing;
        }
        match self
            .stack
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
