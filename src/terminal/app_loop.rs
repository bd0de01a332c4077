//! The loop: draw, take what came or the deadline, update, draw again.

use std::collections::VecDeque;
use std::io::{self, Write};
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::mpsc::RecvTimeoutError;
use std::time::{Duration, Instant};

use ratatui::backend::Backend;
use ratatui::layout::Rect;
use ratatui::{Frame, Terminal};
use signal_hook::consts::SIGHUP;

use crate::terminal::bounded::Bounded;
use crate::terminal::burst::{Burst, WINDOW};
use crate::terminal::decode::PASTE_LIMIT;
use crate::terminal::frames::Frames;
use crate::terminal::guard::Guard;
use crate::terminal::input::{Arrivals, Incoming};
use crate::terminal::signals::{self, Signal};

/// Events that are already waiting are taken together for at most this long between two frames.
const FRAME: Duration = Duration::from_millis(16);

/// The bell of the terminal; it goes out with the next frame.
const BELL: &[u8] = b"\x07";

/// Events taken from the channel ahead of acting on them.
const GATHERED: usize = 4096;

/// What the loop does after an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Flow {
    /// Draw and wait for the next.
    Stay,
    /// Leave the screens.
    Quit,
    /// Stop the program and its job, as the suspend key asks.
    Suspend,
}

/// Why the loop ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// The user left.
    Quit,
    /// A signal, by number.
    Signal(i32),
    /// The terminal went away.
    Hangup,
}

impl Exit {
    /// Ends the program as it should be seen from outside: done, or by the very signal. Call it
    /// when everything is saved; the terminal is back by then.
    pub fn finish(self) -> ExitCode {
        match self {
            Exit::Quit => ExitCode::SUCCESS,
            Exit::Signal(signal) => signals::die_by(signal),
            Exit::Hangup => signals::die_by(SIGHUP),
        }
    }
}

/// What the loop drives.
pub trait App {
    /// Draws the whole screen. Any size can come, down to nothing.
    fn draw(&self, frame: &mut Frame<'_>);

    /// Acts on one event. [`Signal::Terminate`], [`Incoming::Hangup`] and
    /// [`Incoming::InputError`] end the loop afterwards whatever this returns: save now.
    /// Before [`Signal::Suspend`] takes effect, and before [`Flow::Suspend`], the same holds.
    fn on(&mut self, incoming: Incoming) -> Flow;

    /// When [`App::on_deadline`] wants to be called, if at all.
    fn deadline(&self) -> Option<Instant>;

    /// Acts on a deadline that has passed; it must move or clear it.
    fn on_deadline(&mut self);

    /// Whether the bell of the terminal is to sound; true once for each time.
    fn is_heard(&mut self) -> bool {
        false
    }

    /// The folders in which others may write what the app shows; it gets [`Incoming::Changed`] when
    /// they do.
    fn folders(&self) -> Vec<PathBuf> {
        Vec::new()
    }

    /// Whether typed characters are text now. Where they are not, keys that come faster than a
    /// hand types are a paste gone astray, and are dropped; where they are, all but text is.
    fn takes_text(&self) -> bool;
}

/// Runs the screens until the user leaves, a signal ends them or the terminal goes away. The
/// terminal is given back before this returns.
///
/// # Errors
/// The terminal cannot be read, sized or taken again after a stop.
pub fn run(app: &mut impl App, guard: Guard) -> io::Result<Exit> {
    let frames = Frames::default();
    let terminal = Terminal::new(Bounded::new(frames.clone()))?;
    let mut running = Loop {
        guard,
        terminal,
        frames,
        queue: VecDeque::new(),
        burst: Burst::default(),
        dropped: 0,
        typed_by_burst: 0,
    };
    // A line may stand there, and blanks are not drawn over it.
    running.repaint()?;
    // Before the first frame the size of the terminal is news, as it is after each change.
    app.on(Incoming::Resize);
    loop {
        if running.draw(app).is_err() {
            // Nobody sees it any more; the app still gets to save.
            app.on(Incoming::Hangup);
            return Ok(Exit::Hangup);
        }
        if let Some(exit) = running.turn(app)? {
            return Ok(exit);
        }
    }
}

struct Loop {
    guard: Guard,
    terminal: Terminal<Bounded>,
    frames: Frames,
    queue: VecDeque<(Instant, Incoming)>,
    burst: Burst,
    dropped: usize,
    typed_by_burst: usize,
}

impl Loop {
    fn draw(&mut self, app: &impl App) -> io::Result<()> {
        self.terminal.draw(|frame| app.draw(frame))?;
        self.frames.send()
    }

    /// Everything between two frames.
    fn turn(&mut self, app: &mut impl App) -> io::Result<Option<Exit>> {
        if self.guard.followed.follow(app.folders()) {
            self.queue.push_back((Instant::now(), Incoming::Changed));
        }
        self.wait(self.next_deadline(app));
        let until = Instant::now() + FRAME;
        loop {
            let now = Instant::now();
            if app.deadline().is_some_and(|d| d <= now) {
                app.on_deadline();
                if app.is_heard() {
                    self.frames.write_all(BELL)?;
                }
            }
            self.gather();
            let exit = match self.next(app, now) {
                Some(incoming) => self.act(app, incoming)?,
                None => return Ok(None),
            };
            if exit.is_some() || Instant::now() >= until {
                return Ok(exit);
            }
        }
    }

    fn next_deadline(&self, app: &impl App) -> Option<Instant> {
        // While keys are being dropped the loop comes back to say so once they stop.
        let quiet = (self.dropped > 0).then(|| Instant::now() + WINDOW);
        [app.deadline(), quiet].into_iter().flatten().min()
    }

    /// Sleeps until something is in the queue or the deadline passes.
    fn wait(&mut self, deadline: Option<Instant>) {
        if !self.queue.is_empty() {
            return;
        }
        let arrived = match deadline {
            None => {
                let arrived = self.guard.events.recv();
                arrived.map_err(|_| RecvTimeoutError::Disconnected)
            }
            Some(at) => {
                let left = at.saturating_duration_since(Instant::now());
                self.guard.events.recv_timeout(left)
            }
        };
        match arrived {
            Ok(arrivals) => self.put(arrivals),
            Err(RecvTimeoutError::Timeout) => {}
            // The signals thread keeps its sender for life, so this cannot come to pass; if it
            // did, nothing could be heard any more.
            Err(RecvTimeoutError::Disconnected) => {
                let deaf = Incoming::InputError("no more events".into());
                self.put(Arrivals::one(Instant::now(), deaf));
            }
        }
    }

    /// Queues what has come, so that a burst is seen before its first key is acted on.
    fn gather(&mut self) {
        while self.queue.len() < GATHERED
            && let Ok(arrivals) = self.guard.events.try_recv()
        {
            self.put(arrivals);
        }
    }

    fn put(&mut self, arrivals: Arrivals) {
        for event in arrivals.events {
            if matches!(event, Incoming::Key(_)) {
                self.burst.note(arrivals.at);
            }
            self.queue.push_back((arrivals.at, event));
        }
    }

    /// The next event to act on, stray pastes taken out, resizes and notices in a row made one.
    fn next(&mut self, app: &impl App, now: Instant) -> Option<Incoming> {
        while let Some((at, event)) = self.queue.pop_front() {
            if self.is_stray(app, at, &event) {
                self.dropped += 1;
                continue;
            }
            let following = self.queue.front().map(|(_, event)| event);
            let once = matches!(event, Incoming::Resize | Incoming::Changed);
            if once && following == Some(&event) {
                continue;
            }
            return Some(event);
        }
        let over = self.dropped > 0 && self.burst.quiet_at(now);
        over.then(|| Incoming::Burst(std::mem::take(&mut self.dropped)))
    }

    /// Whether an event is a part of a paste that is not to act. Where the terminal marks no pastes,
    /// or what is pasted ends the mark itself, a paste comes as keys: into a field it may type, as
    /// much as a marked one could, and nothing in it is a command.
    fn is_stray(&mut self, app: &impl App, at: Instant, event: &Incoming) -> bool {
        let Incoming::Key(key) = event else {
            return false;
        };
        if !self.burst.covers(at) {
            self.typed_by_burst = 0;
            return false;
        }
        let text = app.takes_text() && key.is_text();
        self.typed_by_burst += usize::from(text);
        !text || self.typed_by_burst > PASTE_LIMIT
    }

    fn act(&mut self, app: &mut impl App, incoming: Incoming) -> io::Result<Option<Exit>> {
        let flow = app.on(incoming.clone());
        match incoming {
            Incoming::Signal(Signal::Terminate(signal)) => return Ok(Some(Exit::Signal(signal))),
            Incoming::Hangup => return Ok(Some(Exit::Hangup)),
            Incoming::InputError(why) => return Err(io::Error::other(why)),
            Incoming::Signal(Signal::Suspend) => self.suspend(app, false)?,
            Incoming::Signal(Signal::Continued) => {
                self.guard.retake()?;
                self.repaint()?;
            }
            _ => {}
        }
        match flow {
            Flow::Stay => Ok(None),
            Flow::Quit => Ok(Some(Exit::Quit)),
            Flow::Suspend => self.suspend(app, true).map(|()| None),
        }
    }

    fn suspend(&mut self, app: &mut impl App, whole_job: bool) -> io::Result<()> {
        if self.guard.suspend(whole_job)? {
            self.repaint()
        } else {
            app.on(Incoming::CannotSuspend);
            Ok(())
        }
    }

    /// Makes the next frame a whole one. `Terminal::clear` would ask the terminal for its cursor
    /// and wait two seconds for a silent one; a resize to the same size asks nothing.
    fn repaint(&mut self) -> io::Result<()> {
        // While it was stopped nobody told of a window of another size.
        self.terminal.backend().ask_anew();
        let size = self.terminal.backend().size()?;
        self.terminal
            .resize(Rect::from((ratatui::layout::Position::ORIGIN, size)))
    }
}
