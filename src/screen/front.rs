//! A screen with the questions over it, as the program holds it: keys go to the topmost question, its
//! answer comes back to the screen that asked.

use std::time::{Duration, Instant};

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::keys::key::Key;
use crate::keys::{Action, Context};
use crate::logbook::book::Book;
use crate::screen::kind::{Cx, Go, Screen, Shown, View};
use crate::screen::layers::Layer;
use crate::screen::layers::keys::{Given, Layers};
use crate::screen::shared::Shared;

/// A pause in typing after which what is half typed is kept.
const PAUSE: Duration = Duration::from_millis(700);
/// A pause after which the picture in front is opened, and looked for again: who goes through a list waits
/// for none.
const LOOK: Duration = Duration::from_millis(150);

/// What all screens rest on.
pub struct Base {
    /// What all screens share.
    pub shared: Shared,
    /// The logbook; none before there is one.
    pub book: Option<Book>,
}

/// What stands on the stack: a screen with its questions, or the start before there is a logbook.
pub trait Open {
    /// What it shows; none at the start.
    fn shown(&self) -> Option<&dyn Shown>;
    /// The context whose keys work now.
    fn context(&self) -> Context;
    /// Nothing stands over it.
    fn is_bare(&self) -> bool;
    /// Draws it; `alone` where nothing lies over it.
    fn draw(&self, base: &Base, frame: &mut Frame<'_>, area: Rect, alone: bool);
    /// Draws what stands over it, in the area that what is told and the footer leave.
    fn draw_over(&self, base: &Base, frame: &mut Frame<'_>, area: Rect);
    /// A key that does something.
    fn act(&mut self, action: Action, base: &mut Base) -> Option<Go>;
    /// A key that is no command here: text for a field.
    fn key(&mut self, key: &Key, base: &mut Base) -> Option<Go>;
    /// Text for a field.
    fn paste(&mut self, text: &str, base: &mut Base);
    /// False for a key of the footer that does nothing here and now.
    fn offers(&self, action: Action) -> bool {
        let shown = self.shown().filter(|_| self.is_bare());
        shown.is_none_or(|screen| screen.offers(action))
    }
    /// Shows the keys that work here, over all.
    fn help(&mut self);
    /// Keeps what is half typed.
    fn keep(&mut self, _base: &mut Base) {}
    /// Takes in what the book says now; false where there is nothing left to show.
    fn renew(&mut self, _book: &Book) -> bool {
        true
    }
    /// Reckons anew when it is to be woken.
    fn rest(&mut self, _base: &Base) {}
    /// When it is to be woken.
    fn wakes_at(&self) -> Option<Instant> {
        None
    }
    /// Does what was to be done by now.
    fn wake(&mut self, _now: Instant, _base: &mut Base) -> Option<Go> {
        None
    }
    /// A key came, or the program goes on after a stop.
    fn look_at_clock(&mut self, _base: &mut Base) {}
}

/// A screen and its questions.
pub struct Front<S: Screen> {
    screen: S,
    layers: Layers<S>,
    draft_at: Option<Instant>,
    look_at: Option<Instant>,
    wakes_at: Option<Instant>,
}

impl<S: Screen> Front<S> {
    /// With the questions it begins with, the last on top.
    pub fn begin(
        mut screen: S,
        shared: &mut Shared,
        book: &mut Book,
        ask: impl FnOnce(&mut S, &mut Cx<'_, S>),
    ) -> Box<dyn Open> {
        let mut cx = Cx::new(shared, book);
        ask(&mut screen, &mut cx);
        let layers = Layers::of(cx.asked);
        Box::new(Front {
            screen,
            layers,
            draft_at: None,
            look_at: None,
            wakes_at: None,
        })
    }

    /// Without a question.
    pub fn of(screen: S) -> Box<dyn Open> {
        Box::new(Front {
            screen,
            layers: Layers::of(Vec::new()),
            draft_at: None,
            look_at: None,
            wakes_at: None,
        })
    }

    /// Lets the screen act; its questions come on top of the others.
    fn turn(&mut self, base: &mut Base, act: impl FnOnce(&mut S, &mut Cx<'_, S>)) -> Option<Go> {
        let mut cx = Cx::new(&mut base.shared, base.book.as_mut()?);
        act(&mut self.screen, &mut cx);
        self.layers.put(cx.asked);
        cx.go
    }

    /// Goes on from an answer: what is asked next follows from it, unless something is on record by it
    /// that one cannot go back over.
    fn go_on(&mut self, from: Layer<S>, (done, asked): (bool, Vec<Layer<S>>)) {
        if done || asked.is_empty() {
            self.layers.end(&from);
            self.layers.put(asked);
        } else {
            self.layers.follow(from, asked);
        }
    }

    fn answer(&mut self, given: Given<S>, base: &mut Base) -> Option<Go> {
        match given {
            Given::Nothing => {
                self.keep_soon();
                None
            }
            Given::Refused(why) => {
                base.shared.warn(why);
                None
            }
            Given::Picked(ask, at, choice) => {
                let mut cx = Cx::new(&mut base.shared, base.book.as_mut()?);
                self.screen.picked(ask.clone(), at, &choice, &mut cx);
                let (go, next) = (cx.go, (cx.done, cx.asked));
                self.go_on(Layer::Choice(choice, ask), next);
                go
            }
            Given::Rung(ask, grade) => {
                self.turn(base, |screen, cx| screen.rung_beside(ask, grade, cx))
            }
            Given::Typed(ask, line) => {
                let mut cx = Cx::new(&mut base.shared, base.book.as_mut()?);
                let text = line.text().trim();
                let typed = self.screen.typed(ask.clone(), text, &mut cx);
                if let Some(error) = typed.err().or(cx.refused) {
                    let go = cx.go;
                    self.layers.open_again(line, ask, error);
                    return go;
                }
                let done = cx.done && !self.screen.can_be_answered_again(&ask);
                let (go, next) = (cx.go, (done, cx.asked));
                self.go_on(Layer::Line(line, ask), next);
                go
            }
            Given::WentBack(ask, line) => {
                self.turn(base, |screen, cx| screen.went_back(ask, line.text(), cx))
            }
            Given::Noted(ask, note) => {
                self.draft_at = None;
                self.turn(base, |screen, cx| screen.noted(ask, &note, true, cx))
            }
            Given::LeftList(ask) => {
                let go = self.turn(base, |screen, cx| screen.left_list(ask, cx));
                go.or(self.gone())
            }
            Given::LeftLine(ask, line) => {
                let (text, fills_in) = (line.text().to_owned(), self.screen.fills_in(&ask));
                let line = Layer::Line(line, ask.clone());
                if fills_in {
                    self.layers.left(&line);
                }
                let go = self.turn(base, |screen, cx| screen.left_line(ask, &text, cx));
                go.or(self.gone())
            }
        }
    }

    /// A box goes with its last question.
    fn gone(&self) -> Option<Go> {
        (self.screen.is_box() && self.layers.is_empty()).then_some(Go::Back)
    }

    /// What is half typed is kept once the typing pauses.
    fn keep_soon(&mut self) {
        if self.layers.is_to_keep(|ask| self.screen.keeps(ask)) {
            self.draft_at = Some(Instant::now() + PAUSE);
        }
    }

    fn view<'a>(&self, base: &'a Base, alone: bool) -> Option<View<'a>> {
        Some(View {
            setup: &base.shared.setup,
            book: base.book.as_ref()?,
            covered: !alone || !self.is_bare(),
        })
    }
}

impl<S: Screen> Open for Front<S> {
    fn shown(&self) -> Option<&dyn Shown> {
        Some(&self.screen)
    }

    fn context(&self) -> Context {
        self.layers
            .context()
            .unwrap_or_else(|| self.screen.context())
    }

    fn is_bare(&self) -> bool {
        self.layers.is_empty() && self.screen.is_bare()
    }

    fn draw(&self, base: &Base, frame: &mut Frame<'_>, area: Rect, alone: bool) {
        if let Some(view) = self.view(base, alone) {
            self.screen.draw(&view, frame, area);
        }
    }

    fn draw_over(&self, base: &Base, frame: &mut Frame<'_>, area: Rect) {
        if let Some(view) = self.view(base, false) {
            self.screen.draw_over(&view, frame, area);
        }
        self.layers.draw(&base.shared.setup, frame, area);
    }

    fn act(&mut self, action: Action, base: &mut Base) -> Option<Go> {
        if self.layers.is_empty() {
            return self.turn(base, |screen, cx| screen.act(action, cx));
        }
        self.look_at = None;
        let given = match self.layers.act(action) {
            Given::Typed(ask, line) if action == Action::Another => {
                Given::Typed(self.screen.with_another(ask), line)
            }
            given => given,
        };
        self.answer(given, base)
    }

    fn key(&mut self, key: &Key, base: &mut Base) -> Option<Go> {
        if self.layers.is_empty() {
            return self.turn(base, |screen, cx| screen.key(key, cx));
        }
        let beneath = self.screen.context();
        let action = base.shared.setup.keys.lookup(beneath, key);
        let asked = self.layers.beside_rungs();
        if let Some((asked, action)) = asked.zip(action)
            && self.screen.makes_way(asked, action)
        {
            self.layers.take_away();
            return self.act(action, base);
        }
        self.look_at = None;
        match self.layers.key(key) {
            Ok(()) => self.keep_soon(),
            Err(full) => base.shared.warn(full),
        }
        None
    }

    fn paste(&mut self, text: &str, base: &mut Base) {
        let mut taken = false;
        if self.layers.is_empty() {
            self.turn(base, |screen, cx| taken = screen.paste(text, cx));
        }
        if !taken && let Err(told) = self.layers.paste(text) {
            base.shared.warn(told);
        }
        self.keep_soon();
    }

    fn help(&mut self) {
        self.layers.help(self.context());
    }

    fn keep(&mut self, base: &mut Base) {
        self.draft_at = None;
        let Some(book) = base.book.as_mut() else {
            return;
        };
        // What it would ask or go to while it keeps something is nobody's wish.
        let mut cx = Cx::new(&mut base.shared, book);
        let screen = &mut self.screen;
        if let Some((ask, note)) = self.layers.unkept_note() {
            screen.noted(ask.clone(), note, false, &mut cx);
        } else if let Some((ask, line)) = self.layers.line()
            && screen.keeps(ask)
        {
            screen.keep(ask.clone(), line.text(), &mut cx);
        }
    }

    fn renew(&mut self, book: &Book) -> bool {
        self.screen.renew(book)
    }

    fn rest(&mut self, base: &Base) {
        let soon = || Instant::now() + LOOK;
        let wants = self.layers.wants_look();
        self.look_at = wants.then(|| self.look_at.unwrap_or_else(soon));
        let book = base.book.as_ref();
        self.wakes_at = book.and_then(|book| self.screen.wakes_at(&base.shared, book));
    }

    fn wakes_at(&self) -> Option<Instant> {
        let pauses = self.draft_at.into_iter().chain(self.look_at);
        pauses.chain(self.wakes_at).min()
    }

    fn wake(&mut self, now: Instant, base: &mut Base) -> Option<Go> {
        if self.draft_at.is_some_and(|at| at <= now) {
            self.keep(base);
        }
        if self.look_at.is_some_and(|at| at <= now) {
            self.look_at = None;
            self.layers.open_look();
        }
        if self.wakes_at.is_some_and(|at| at <= now) {
            return self.turn(base, |screen, cx| screen.woken(cx));
        }
        None
    }

    fn look_at_clock(&mut self, base: &mut Base) {
        self.turn(base, |screen, cx| screen.look_at_clock(cx));
    }
}
