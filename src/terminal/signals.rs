//! Signals as events for the loop, with an end that does not depend on the loop.

use std::io;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, SyncSender};
use std::sync::{Arc, Once};
use std::thread;
use std::time::{Duration, Instant};

use nix::unistd::{Pid, getpgid, getpgrp, getppid, getsid};
use rustix::process::kill_current_process_group;
use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGWINCH, SIGXFSZ};
use signal_hook::iterator::Signals;
use signal_hook::low_level::emulate_default_handler;

use crate::logbook::rescue;
use crate::terminal::input::{Arrivals, Incoming};
use crate::terminal::modes;

/// How long the loop has to save and leave after it was told to end.
const GRACE: Duration = Duration::from_secs(2);
/// How long the terminal has to take the bytes that reset it when the loop is stuck.
const RESET_WAIT: Duration = Duration::from_secs(1);

/// How long each place for a rescue file has when the loop is stuck, as on a disk that is gone.
const RESCUE_WAIT: Duration = Duration::from_millis(700);

/// How the system names a process outside of the namespace of the one that asks.
const OUTSIDE: Pid = Pid::from_raw(0);

static LAST_RESORT: Once = Once::new();
static OWN_STOP: AtomicBool = AtomicBool::new(false);
static RESIZED: AtomicBool = AtomicBool::new(false);

/// What a signal asks of the loop.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Signal {
    /// End: SIGTERM, SIGHUP, SIGINT or SIGQUIT, by number.
    Terminate(i32),
    /// Stop until continued (SIGTSTP from outside).
    Suspend,
    /// The program was stopped and goes on; files may have changed meanwhile.
    Continued,
}

/// Makes a file that reaches its size limit an error (EFBIG) instead of the death of the program.
///
/// # Errors
/// The system refuses the handler.
pub fn ignore_file_size_signal() -> io::Result<()> {
    signal_hook::flag::register(SIGXFSZ, Arc::new(AtomicBool::new(false))).map(drop)
}

/// Whether the system told of a window of another size since this was asked last.
pub(crate) fn was_resized() -> bool {
    RESIZED.swap(false, Ordering::SeqCst)
}

/// Starts the thread that turns signals into events.
pub(crate) fn watch(events: SyncSender<Arrivals>) -> io::Result<()> {
    let mut signals = Signals::new([SIGTERM, SIGHUP, SIGINT, SIGQUIT, SIGTSTP, SIGCONT, SIGWINCH])?;
    thread::Builder::new()
        .name("signals".into())
        .spawn(move || {
            for signal in signals.forever() {
                let at = Instant::now();
                let asked = match signal {
                    SIGTSTP if OWN_STOP.swap(false, Ordering::SeqCst) => continue,
                    // Neither may hold up a signal that ends the program when the loop is stuck
                    // and the queue full: the next frame asks for the size all the same.
                    SIGWINCH => {
                        RESIZED.store(true, Ordering::SeqCst);
                        let _ = events.try_send(Arrivals::one(at, Incoming::Resize));
                        continue;
                    }
                    SIGTSTP => {
                        let stop = Incoming::Signal(Signal::Suspend);
                        let _ = events.try_send(Arrivals::one(at, stop));
                        continue;
                    }
                    SIGCONT => Signal::Continued,
                    _ => {
                        end_without_the_loop(signal);
                        Signal::Terminate(signal)
                    }
                };
                // With no loop left to hear it, only the last resort matters.
                let _ = events.send(Arrivals::one(at, Incoming::Signal(asked)));
            }
        })
        .map(drop)
}

/// Gives the loop [`GRACE`] from now, then resets the terminal and dies by `signal`. The first
/// call counts.
pub(crate) fn end_without_the_loop(signal: i32) {
    LAST_RESORT.call_once(|| {
        thread::spawn(move || {
            thread::sleep(GRACE);
            rescue::write_all_held_within(RESCUE_WAIT);
            // The reset may block on a terminal that takes no bytes, so it is not waited for long.
            let (done, reset) = mpsc::channel();
            thread::spawn(move || {
                modes::leave();
                let _ = done.send(());
            });
            let _ = reset.recv_timeout(RESET_WAIT);
            die_by(signal);
        });
    });
}

/// Ends the process by this signal, so that the parent sees what ended it.
pub(crate) fn die_by(signal: i32) -> ! {
    let _ = emulate_default_handler(signal);
    std::process::exit(128 + signal);
}

/// Whether a stopped program could be continued by anyone: not when its terminal was opened for
/// it alone, with no shell of the same session to return to.
///
/// Inside a container's process namespace each of these ids may be 0: the process it names is
/// outside. rustix takes them for above 0 unchecked.
pub(crate) fn can_stop() -> bool {
    let (parent, Ok(session)) = (getppid(), getsid(None)) else {
        return false;
    };
    if parent == OUTSIDE {
        return false;
    }
    let same_session = getsid(Some(parent)).is_ok_and(|s| s == session);
    let led_by_parent = getpgid(Some(parent)).is_ok_and(|g| g == getpgrp()) && parent == session;
    same_session && !led_by_parent
}

/// Stops this process until it is continued; with `whole_job`, first the others of its job, which
/// a shell waits for.
///
/// # Errors
/// The system refuses the signal.
pub(crate) fn stop(whole_job: bool) -> io::Result<()> {
    if whole_job {
        OWN_STOP.store(true, Ordering::SeqCst);
        kill_current_process_group(rustix::process::Signal::TSTP)?;
    }
    emulate_default_handler(SIGTSTP)
}
