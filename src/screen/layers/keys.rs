//! Keys of the layers: moving in a list, typing a line or a note, reading help.

use std::time::{Duration, Instant};

use crate::keys::Action;
use crate::keys::key::{Code, Key};
use crate::screen::app::App;
use crate::screen::layers::ask::Ask;
use crate::screen::layers::{Layer, Step};
use crate::text::safe_text;

/// A pause in typing after which a note is kept as a draft.
const PAUSE: Duration = Duration::from_millis(700);
/// Longest note, bytes; see [`crate::defects::admit::LONGEST_NOTE`].
const LONGEST: usize = crate::defects::admit::LONGEST_NOTE;

impl App {
    pub(crate) fn layer_act(&mut self, action: Action) {
        match action {
            Action::Back => self.layer_back(),
            Action::MoveUp => self.layer_move(-1),
            Action::MoveDown => self.layer_move(1),
            Action::PageUp => self.layer_move(-10),
            Action::PageDown => self.layer_move(10),
            Action::First => self.layer_move(isize::MIN / 2),
            Action::Last => self.layer_move(isize::MAX / 2),
            Action::Pick => self.pick(None),
            Action::Tap => self.tap(),
            Action::Undo => self.untap(),
            Action::Accept if matches!(self.layers.last(), Some(Layer::Measure(_))) => {
                self.accept_measure();
            }
            Action::Accept => self.accept_line(),
            Action::Save => self.accept_note(),
            Action::Complete => self.complete_line(),
            _ => {
                if let Some(digit) = action.own_digit().and_then(|d| d.to_digit(10)) {
                    self.pick((digit as usize).checked_sub(1));
                }
            }
        }
    }

    /// A key that is no command here: text for a field.
    pub(crate) fn layer_key(&mut self, key: Key) {
        match self.layers.last_mut() {
            Some(Layer::Line(line)) => match key.code() {
                Code::Backspace => line.backspace(),
                Code::Left => line.step(Step::Left),
                Code::Right => line.step(Step::Right),
                Code::Home => line.step(Step::Start),
                Code::End => line.step(Step::End),
                _ => {
                    if let Some(c) = key.typed() {
                        line.insert(c.encode_utf8(&mut [0; 4]));
                    }
                }
            },
            Some(Layer::Note(note)) => {
                let grows = key.typed().is_some() || matches!(key.code(), Code::Enter | Code::Tab);
                let full = note.area.lines().iter().map(|l| l.len() + 1).sum::<usize>() >= LONGEST;
                if grows && full {
                    self.warn("the note is full");
                    return;
                }
                if note.area.input(key.to_editor()) {
                    note.dirty = true;
                    self.draft_at = Some(Instant::now() + PAUSE);
                }
            }
            _ => {}
        }
        self.keep_form_soon();
    }

    /// Pasted text goes into fields and nowhere else.
    pub(crate) fn paste(&mut self, text: &str) {
        match self.layers.last_mut() {
            Some(Layer::Line(line)) => line.insert(text),
            Some(Layer::Note(note)) => {
                let used = note.area.lines().iter().map(|l| l.len() + 1).sum::<usize>();
                let clean = safe_text(text);
                let mut end = clean.len().min(LONGEST.saturating_sub(used));
                while !clean.is_char_boundary(end) {
                    end -= 1;
                }
                note.area.insert_str(&clean[..end]);
                note.dirty = true;
                self.draft_at = Some(Instant::now() + PAUSE);
                if end < clean.len() {
                    self.warn("the note is full; the rest of the paste is left out");
                }
            }
            _ => self.warn("paste goes into a note or a field; open one first"),
        }
        self.keep_form_soon();
    }

    /// An answer about a service is kept as a note is, once the typing pauses.
    fn keep_form_soon(&mut self) {
        if let Some(Layer::Line(line)) = self.layers.last()
            && matches!(line.ask, Ask::Service(_))
        {
            self.draft_at = Some(Instant::now() + PAUSE);
        }
    }

    /// Leaves the topmost layer. A note keeps what was typed; a question that stands before others
    /// leaves everything as it was.
    fn layer_back(&mut self) {
        match self.layers.last() {
            Some(Layer::Note(_)) => return self.accept_note(),
            // It stays in sight until it is known what came of it.
            Some(Layer::Report(waiting)) => return waiting.stop(),
            _ => {}
        }
        let Some(layer) = self.layers.pop() else {
            return;
        };
        let ask = match layer {
            Layer::Choice(choice) => choice.ask,
            Layer::Line(line) => match line.ask {
                Ask::Service(step) => return self.left_form(step, &line.text),
                ask => ask,
            },
            Layer::Note(note) => note.ask,
            Layer::Measure(measuring) => return self.left_measure(&measuring),
            Layer::Help(_) | Layer::Page(_) | Layer::Report(_) => return,
        };
        match ask {
            // Offered after a grade: leaving the offer goes on with the walk.
            Ask::Mark(_, true)
            | Ask::MarkWhere(_, _, true)
            | Ask::MarkAgainst(_, _, _, true)
            | Ask::LeakSeen(..)
            | Ask::QuickNote(_) => {
                self.advance();
            }
            Ask::Touched(_) => self.ask_hours(),
            // In a blind walk the grade stands already, and only its reason is left open.
            Ask::WhyBetter(spot, _)
                if self.walking().is_some_and(|(walk, book)| {
                    walk.walk(book).blind && walk.look(book, spot).is_some()
                }) =>
            {
                self.leave_better_open(spot);
            }
            // What is not answered was not agreed.
            Ask::Agreed(_, agreed) => self.put_agreed(agreed),
            Ask::FirstChoice | Ask::WhichBoat => self.leaving = true,
            Ask::BoatName | Ask::BoatWaters | Ask::BoatHours => self.first_layer(),
            _ => {}
        }
    }

    fn layer_move(&mut self, by: isize) {
        match self.layers.last_mut() {
            Some(Layer::Choice(choice)) => {
                let last = choice.options.len().saturating_sub(1);
                choice.cursor = choice.cursor.saturating_add_signed(by).min(last);
            }
            Some(Layer::Help(help)) => help.scroll = help.scroll.saturating_add_signed(by).min(200),
            Some(Layer::Page(page)) => {
                let last = page.lines.len().saturating_sub(1);
                page.scroll = page.scroll.saturating_add_signed(by).min(last);
            }
            _ => {}
        }
    }

    fn pick(&mut self, nth: Option<usize>) {
        let Some(Layer::Choice(choice)) = self.layers.last_mut() else {
            return;
        };
        let at = nth.unwrap_or(choice.cursor);
        if at >= choice.options.len() {
            return;
        }
        if let Some(on) = choice.ticks.as_mut().and_then(|t| t.get_mut(at))
            && at > 0
        {
            *on = !*on;
            choice.cursor = at;
            return;
        }
        let Some(Layer::Choice(choice)) = self.layers.pop() else {
            return;
        };
        match (choice.ask, choice.ticks) {
            (Ask::Touched(joints), Some(ticks)) => self.touched(&joints, &ticks),
            (ask, _) => self.picked(ask, at, &choice.options[at]),
        }
    }

    fn accept_line(&mut self) {
        let Some(Layer::Line(line)) = self.layers.pop() else {
            return;
        };
        if let Err(error) = self.typed(line.ask.clone(), line.text.trim()) {
            let error = Some(error);
            self.layers
                .push(Layer::Line(crate::screen::layers::LineInput {
                    error,
                    ..line
                }));
        }
    }

    fn accept_note(&mut self) {
        let Some(Layer::Note(note)) = self.layers.pop() else {
            return;
        };
        self.draft_at = None;
        let Ask::Note(spot) = note.ask else { return };
        let text = note.area.lines().join("\n");
        let text = Some(text.trim_end().to_owned()).filter(|t| !t.trim().is_empty());
        let before = self
            .walking()
            .and_then(|(walk, book)| walk.standing_details(book, spot).note);
        if text != before || note.dirty {
            self.amend(spot, |details| details.note = text);
        }
    }
}
