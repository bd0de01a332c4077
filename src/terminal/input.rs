//! The thread that reads the terminal and sees it hang up.

use std::io::{self, PipeReader, PipeWriter, Read, Write};
use std::sync::mpsc::SyncSender;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::io::Errno;
use signal_hook::consts::SIGHUP;

use crate::keys::key::Key;
use crate::terminal::changes::Changes;
use crate::terminal::decode::{Decoded, Decoder};
use crate::terminal::signals::{self, Signal};

/// Something for the loop to act on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Incoming {
    /// A key.
    Key(Key),
    /// Text that the terminal marked as pasted: at most 64 KiB, unfiltered.
    Paste(String),
    /// This many keys came faster than a hand types where no text is taken, and were dropped.
    Burst(usize),
    /// The window changed its size.
    Resize,
    /// A signal.
    Signal(Signal),
    /// The terminal went away; the process ends in two seconds at most.
    Hangup,
    /// The terminal can no longer be read.
    InputError(String),
    /// Somebody wrote in the log's folders, perhaps this very program.
    Changed,
    /// Stopping was asked for where nothing could continue the program.
    CannotSuspend,
}

/// Events read together, with the time they were read.
#[derive(Clone, Debug)]
pub(crate) struct Arrivals {
    pub(crate) at: Instant,
    pub(crate) events: Vec<Incoming>,
}

impl Arrivals {
    /// One event by itself.
    pub(crate) fn one(at: Instant, event: Incoming) -> Arrivals {
        Arrivals {
            at,
            events: vec![event],
        }
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Gate {
    Open,
    Closing,
    Closed,
}

/// The handle of the reading thread.
pub(crate) struct Input {
    gate: Arc<(Mutex<Gate>, Condvar)>,
    wake: PipeWriter,
}

/// How long a pause waits for the thread; it is never busy for longer than one read.
const PAUSE_WAIT: Duration = Duration::from_millis(500);

/// Keys that are taken together at most.
const TOGETHER: usize = 4096;
/// How long the rest of keys that came together may lag behind.
const REST_WAIT: Duration = Duration::from_millis(5);

impl Input {
    /// Starts reading the standard input, which is a terminal in raw mode.
    /// Notices of changes arrive the same way.
    pub(crate) fn start(events: SyncSender<Arrivals>, changes: Changes) -> io::Result<Input> {
        let (woken, wake) = io::pipe()?;
        let gate = Arc::new((Mutex::new(Gate::Open), Condvar::new()));
        let of_thread = Arc::clone(&gate);
        thread::Builder::new()
            .name("input".into())
            .spawn(move || read_terminal(&events, &woken, &changes, &of_thread))?;
        Ok(Input { gate, wake })
    }

    /// Stops reading until [`Input::resume`], so that keys typed to the shell stay the shell's.
    pub(crate) fn pause(&mut self) {
        let (state, changed) = &*self.gate;
        *lock(state) = Gate::Closing;
        if self.wake.write_all(b".").is_ok() {
            let closing = lock(state);
            drop(changed.wait_timeout_while(closing, PAUSE_WAIT, |g| *g == Gate::Closing));
        }
    }

    /// Reads again.
    pub(crate) fn resume(&mut self) {
        let (state, changed) = &*self.gate;
        *lock(state) = Gate::Open;
        changed.notify_all();
    }
}

fn lock(state: &Mutex<Gate>) -> MutexGuard<'_, Gate> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

fn wait_at(gate: &(Mutex<Gate>, Condvar)) {
    let (state, changed) = gate;
    let mut now = lock(state);
    if *now == Gate::Closing {
        *now = Gate::Closed;
        changed.notify_all();
    }
    drop(changed.wait_while(now, |g| *g != Gate::Open));
}

enum Wake {
    Bytes(usize),
    Changed,
    Nothing,
    Pause,
    HungUp,
}

fn read_terminal(
    events: &SyncSender<Arrivals>,
    woken: &PipeReader,
    changes: &Changes,
    gate: &(Mutex<Gate>, Condvar),
) {
    let mut decoder = Decoder::default();
    let mut buffer = [0u8; 4096];
    loop {
        let woke = wait_for_bytes(&mut buffer, woken, changes, decoder.deadline());
        let at = Instant::now();
        let late = decoder.expire(at);
        let read: Vec<Incoming> = match woke {
            Ok(Wake::Bytes(n)) => {
                let read = read_together(&mut decoder, &mut buffer, n, at);
                late.into_iter().chain(read).map(incoming).collect()
            }
            Ok(Wake::Nothing) => late.into_iter().map(incoming).collect(),
            Ok(Wake::Changed) => {
                // Where the queue is full there is something in it after which a look is taken.
                let _ = events.try_send(Arrivals::one(at, Incoming::Changed));
                late.into_iter().map(incoming).collect()
            }
            Ok(Wake::Pause) => {
                wait_at(gate);
                continue;
            }
            Ok(Wake::HungUp) => {
                signals::end_without_the_loop(SIGHUP);
                let _ = events.send(Arrivals::one(at, Incoming::Hangup));
                return;
            }
            Err(error) => {
                let _ = events.send(Arrivals::one(at, Incoming::InputError(error.to_string())));
                return;
            }
        };
        if !read.is_empty() && events.send(Arrivals { at, events: read }).is_err() {
            return;
        }
    }
}

/// What `n` bytes of the buffer mean. More than one key at once is seldom a hand's work; the rest
/// is waited for a moment, so that a stray paste is known as one before its first key acts.
fn read_together(decoder: &mut Decoder, buffer: &mut [u8], n: usize, at: Instant) -> Vec<Decoded> {
    let mut all = decoder.feed(&buffer[..n], at);
    while (2..TOGETHER).contains(&all.len()) {
        match more_bytes(buffer) {
            0 => break,
            n => all.extend(decoder.feed(&buffer[..n], at)),
        }
    }
    all
}

/// Bytes that come within [`REST_WAIT`]; none also for any trouble, which the next wait will see.
fn more_bytes(buffer: &mut [u8]) -> usize {
    let terminal = rustix::stdio::stdin();
    let mut watched = [PollFd::new(&terminal, PollFlags::IN)];
    let ready = poll(&mut watched, Some(&timespec(REST_WAIT))).is_ok();
    if ready && watched[0].revents() == PollFlags::IN {
        rustix::io::read(terminal, buffer).unwrap_or(0)
    } else {
        0
    }
}

fn timespec(span: Duration) -> Timespec {
    Timespec {
        tv_sec: span.as_secs() as i64,
        tv_nsec: span.subsec_nanos().into(),
    }
}

fn incoming(decoded: Decoded) -> Incoming {
    match decoded {
        Decoded::Key(key) => Incoming::Key(key),
        Decoded::Paste(text) => Incoming::Paste(text),
    }
}

/// Sleeps until the terminal has bytes, hangs up, a pause is asked for, a notice of a change comes,
/// or the deadline passes.
/// It reads only when bytes are there, so nothing but the terminal's own silence is waited for.
fn wait_for_bytes(
    buffer: &mut [u8],
    mut woken: &PipeReader,
    changes: &Changes,
    deadline: Option<Instant>,
) -> io::Result<Wake> {
    let terminal = rustix::stdio::stdin();
    let timeout = deadline.map(|d| timespec(d.saturating_duration_since(Instant::now())));
    let notices = changes.fd();
    let third = notices.as_ref().unwrap_or(&terminal);
    let mut watched = [
        PollFd::new(&terminal, PollFlags::IN),
        PollFd::new(woken, PollFlags::IN),
        PollFd::new(third, PollFlags::IN),
    ];
    let waited = if notices.is_some() { 3 } else { 2 };
    match poll(&mut watched[..waited], timeout.as_ref()) {
        Ok(_) | Err(Errno::INTR) => {}
        Err(error) => return Err(error.into()),
    }
    let (tty, pipe) = (watched[0].revents(), watched[1].revents());
    let changed = !watched[2].revents().is_empty();
    if pipe.contains(PollFlags::IN) {
        woken.read_exact(&mut [0])?;
        return Ok(Wake::Pause);
    }
    if tty.intersects(PollFlags::HUP | PollFlags::ERR | PollFlags::NVAL) {
        return Ok(Wake::HungUp);
    }
    if !tty.contains(PollFlags::IN) {
        if changed {
            changes.drain();
            return Ok(Wake::Changed);
        }
        return Ok(Wake::Nothing);
    }
    match rustix::io::read(terminal, buffer) {
        // No bytes and no hang-up: an end-of-file key typed while the terminal was not raw.
        Ok(0) | Err(Errno::INTR | Errno::AGAIN) => Ok(Wake::Nothing),
        Ok(n) => Ok(Wake::Bytes(n)),
        Err(error) => Err(error.into()),
    }
}
