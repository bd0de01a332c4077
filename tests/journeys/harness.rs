//! A pseudo-terminal with a terminal emulator on the other side.
//!
//! Results are waited for on the rendered screen with a deadline: the bytes of a frame are cut
//! anywhere, and a fixed wait is either too short or too slow.

use std::fs::{File, OpenOptions};
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};
use rustix::termios::{LocalModes, tcgetattr};
use tempfile::TempDir;

use crate::keyscript;

/// How long anything may take on a busy machine before a test gives up.
pub const PATIENCE: Duration = Duration::from_secs(20);
/// Pause after each key, so that a script is no burst.
const KEY_PAUSE: Duration = Duration::from_millis(5);
/// Pause after Esc, so that the next key is not taken for Alt with it.
const ESC_PAUSE: Duration = Duration::from_millis(80);
/// How long nothing may happen in a program that rests.
const REST: Duration = Duration::from_millis(600);

/// What to run, and in which surroundings.
#[derive(Clone, Debug)]
pub struct Setup {
    program: PathBuf,
    args: Vec<String>,
    env: Vec<(String, String)>,
    size: (u16, u16),
    controlling: bool,
    behind_shell: bool,
}

impl Setup {
    /// A program with arguments, in an 80×24 terminal.
    pub fn new(program: impl AsRef<Path>, args: &[&str]) -> Setup {
        Setup {
            program: program.as_ref().to_path_buf(),
            args: args.iter().map(|a| a.to_string()).collect(),
            env: Vec::new(),
            size: (80, 24),
            controlling: true,
            behind_shell: false,
        }
    }

    /// One more variable in the otherwise sealed environment; an empty value stays an empty one.
    pub fn env(mut self, name: &str, value: &str) -> Setup {
        self.env.push((name.into(), value.into()));
        self
    }

    /// Columns and rows.
    pub fn size(mut self, columns: u16, rows: u16) -> Setup {
        self.size = (columns, rows);
        self
    }

    /// Without a controlling terminal, so that no SIGHUP comes when it goes away.
    pub fn uncontrolled(mut self) -> Setup {
        self.controlling = false;
        self
    }

    /// Run as a job of a shell. The shell says `STOPPED` when the job stops, runs `between`,
    /// waits for a line, brings the job back, and says `BACK` with its exit code.
    pub fn under_shell(mut self, between: &str) -> Setup {
        let script = format!(
            r#""$0" "$@"; echo "STOPPED"; {between} read line; fg >/dev/null; echo "BACK $?""#
        );
        let program = self.program.display().to_string();
        let args = std::mem::take(&mut self.args);
        self.args = [vec!["-mc".into(), script, program], args].concat();
        self.program = "/bin/sh".into();
        self.behind_shell = true;
        self
    }

    /// Run by another program that runs it in turn under the same process id, such as a tracer
    /// that steps aside or one that makes a place apart.
    pub fn under(mut self, runner: &[&str]) -> Setup {
        let (first, rest) = runner.split_first().expect("a runner");
        let program = self.program.display().to_string();
        let own = std::mem::take(&mut self.args);
        self.args = rest.iter().map(|a| a.to_string()).collect();
        self.args.push(program);
        self.args.extend(own);
        self.program = PathBuf::from(first);
        self
    }

    /// Starts it.
    pub fn start(self) -> Session {
        Session::start(self)
    }
}

struct Output {
    parser: vt100::Parser,
    raw: Vec<u8>,
    ended: bool,
    hang_up: bool,
}

/// A running program and the terminal it sees.
pub struct Session {
    master: Option<Box<dyn MasterPty + Send>>,
    writer: Option<Box<dyn Write + Send>>,
    child: Box<dyn Child + Send + Sync>,
    output: Arc<(Mutex<Output>, Condvar)>,
    tty: PathBuf,
    behind_shell: bool,
    home: TempDir,
}

impl Session {
    fn start(setup: Setup) -> Session {
        let home = tempfile::tempdir().expect("a home folder");
        let (columns, rows) = setup.size;
        let pty = native_pty_system()
            .openpty(pty_size(columns, rows))
            .expect("a terminal");
        let mut command = CommandBuilder::new(&setup.program);
        command.args(&setup.args);
        command.env_clear();
        command.cwd(home.path());
        command.set_controlling_tty(setup.controlling);
        for (name, value) in [
            ("PATH", "/usr/bin:/bin"),
            ("TERM", "xterm-256color"),
            ("LANG", "C.UTF-8"),
            ("TZ", "UTC"),
        ] {
            command.env(name, value);
        }
        command.env("HOME", home.path());
        for (name, folder) in [
            ("XDG_DATA_HOME", "data"),
            ("XDG_CONFIG_HOME", "config"),
            ("XDG_CACHE_HOME", "cache"),
            ("XDG_STATE_HOME", "state"),
        ] {
            command.env(name, home.path().join(folder));
        }
        for (name, value) in &setup.env {
            command.env(name, value);
        }
        let child = pty
            .slave
            .spawn_command(command)
            .expect("the program starts");
        drop(pty.slave);
        let parser = vt100::Parser::new(shown(rows, 24), shown(columns, 80), 0);
        let output = Arc::new((
            Mutex::new(Output {
                parser,
                raw: Vec::new(),
                ended: false,
                hang_up: false,
            }),
            Condvar::new(),
        ));
        let reader = pty.master.try_clone_reader().expect("a reader");
        let shared = Arc::clone(&output);
        thread::spawn(move || follow(reader, &shared));
        Session {
            tty: pty.master.tty_name().expect("a terminal with a name"),
            writer: Some(pty.master.take_writer().expect("a writer")),
            master: Some(pty.master),
            child,
            output,
            behind_shell: setup.behind_shell,
            home,
        }
    }

    /// The folder that is `HOME`; data and settings are below it.
    pub fn home(&self) -> &Path {
        self.home.path()
    }

    /// Types a script key by key, as a hand would: each key is read before the next comes.
    #[track_caller]
    pub fn send(&mut self, script: &str) {
        for key in keyscript::keys(script) {
            let before = chars_read(self.pid());
            self.send_raw(&key);
            self.wait_until("the program reads its keys", |s| {
                // A shell around the program reads no keys of it.
                let read = |now: u64, then: u64| s.behind_shell || now >= then + key.len() as u64;
                let all = chars_read(s.pid())
                    .zip(before)
                    .is_none_or(|(n, t)| read(n, t));
                all && s.unread() == 0
            });
            thread::sleep(if key == b"\x1b" { ESC_PAUSE } else { KEY_PAUSE });
        }
    }

    /// Takes the line of what is offered that has these words, by its digit.
    #[track_caller]
    pub fn take(&mut self, words: &str) {
        self.wait_for(|screen| digit_of(&screen.contents(), words).is_some());
        let digit = digit_of(&self.contents(), words).expect("it is offered");
        self.send(&digit.to_string());
    }

    /// From the first page into a whole morning check, nothing graded yet.
    #[track_caller]
    pub fn begin_walk(&mut self) {
        self.wait_for_text("Morning check");
        self.wait_until_taken();
        self.send("<Enter>");
        self.wait_for_text("Hour meter");
        self.send("<Enter>");
        self.wait_for_seen(0);
    }

    /// Puts bytes on the line at once.
    pub fn send_raw(&mut self, bytes: &[u8]) {
        let writer = self.writer.as_mut().expect("the terminal is there");
        // A program that ended meanwhile is found out by what is waited for next.
        let _ = writer.write_all(bytes).and_then(|()| writer.flush());
    }

    /// Waits until the rendered screen is as wanted.
    #[track_caller]
    pub fn wait_for(&self, wanted: impl Fn(&vt100::Screen) -> bool) {
        let came = self.comes(wanted);
        assert!(came, "the program ended; it shows:\n{}", self.contents());
    }

    /// Waits until the rendered screen is as wanted; false where the program ends before that.
    #[track_caller]
    pub fn comes(&self, wanted: impl Fn(&vt100::Screen) -> bool) -> bool {
        let deadline = Instant::now() + PATIENCE;
        let mut output = self.output();
        while !wanted(output.parser.screen()) {
            if output.ended {
                return false;
            }
            let left = deadline.saturating_duration_since(Instant::now());
            assert!(
                !left.is_zero(),
                "the screen never came; it shows:\n{}",
                output.parser.screen().contents()
            );
            output = match self.output.1.wait_timeout(output, left) {
                Ok((output, _)) => output,
                Err(poisoned) => poisoned.into_inner().0,
            };
        }
        true
    }

    /// Whether the program has left its terminal for good.
    pub fn has_ended(&self) -> bool {
        self.output().ended
    }

    /// Waits until the screen shows the text.
    #[track_caller]
    pub fn wait_for_text(&self, text: &str) {
        self.wait_for(|screen| screen.contents().contains(text));
    }

    /// Waits until so many rows of the walk have their look.
    #[track_caller]
    pub fn wait_for_seen(&self, wanted: usize) {
        self.wait_for(|screen| rows(&screen.contents()).is_some_and(|(seen, _)| seen == wanted));
    }

    /// Waits for something that is not on the screen.
    #[track_caller]
    pub fn wait_until(&self, what: &str, mut holds: impl FnMut(&Session) -> bool) {
        let deadline = Instant::now() + PATIENCE;
        while !holds(self) {
            assert!(
                Instant::now() < deadline,
                "{what}: not so; the screen:\n{}",
                self.contents()
            );
            thread::sleep(Duration::from_millis(1));
        }
    }

    /// Waits until the program is at rest: no thread of it wakes, and no processor time goes.
    #[track_caller]
    pub fn wait_until_at_rest(&self) {
        self.wait_until("it rests", |s| {
            let before = work(s.pid());
            thread::sleep(REST);
            work(s.pid()) == before
        });
    }

    /// Frames drawn so far.
    pub fn frames(&self) -> usize {
        let begun = b"\x1b[?2026h";
        self.raw()
            .windows(begun.len())
            .filter(|w| w == begun)
            .count()
    }

    /// The screen's text.
    pub fn contents(&self) -> String {
        self.screen().contents()
    }

    /// The screen as it is now.
    pub fn screen(&self) -> vt100::Screen {
        self.output().parser.screen().clone()
    }

    /// Every byte the program wrote.
    pub fn raw(&self) -> Vec<u8> {
        self.output().raw.clone()
    }

    /// Changes the window; the program is told by SIGWINCH.
    pub fn resize(&self, columns: u16, rows: u16) {
        let master = self.master.as_ref().expect("the terminal is there");
        // The emulator first: a frame of the new size must not meet the old one.
        let mut output = self.output();
        let screen = (shown(rows, 24), shown(columns, 80));
        output.parser.set_size(screen.0, screen.1);
        master.resize(pty_size(columns, rows)).expect("resized");
    }

    /// Process id of the program, or of the shell around it.
    pub fn pid(&self) -> i32 {
        self.child.process_id().expect("running") as i32
    }

    /// Sends a signal to the program.
    pub fn signal(&self, signal: Signal) {
        signal_to(self.pid(), signal);
    }

    /// Kills it without any chance to react.
    pub fn kill_9(&mut self) {
        self.signal(Signal::KILL);
        self.exit_status();
    }

    /// Closes the terminal, as closing its window does.
    pub fn hang_up(&mut self) {
        // The reader holds the terminal too, asleep: one byte wakes it to let go.
        self.output().hang_up = true;
        self.open_tty()
            .write_all(b" ")
            .expect("the terminal is there");
        self.wait_until("the reader lets go", |s| s.output().ended);
        self.writer = None;
        self.master = None;
    }

    /// Waits for the end and says how it was.
    #[track_caller]
    pub fn exit_status(&mut self) -> ExitStatus {
        let deadline = Instant::now() + PATIENCE;
        loop {
            if let Some(status) = self.child.try_wait().expect("a child") {
                return status;
            }
            assert!(
                Instant::now() < deadline,
                "still running:\n{}",
                self.contents()
            );
            thread::sleep(Duration::from_millis(1));
        }
    }

    /// Whether the terminal gives keys at once and unseen.
    pub fn is_raw(&self) -> bool {
        let modes = tcgetattr(self.open_tty()).expect("a terminal").local_modes;
        !modes.intersects(LocalModes::ICANON | LocalModes::ECHO | LocalModes::ISIG)
    }

    /// Whether the terminal edits lines, echoes and makes signals from keys, as a shell needs.
    pub fn is_cooked(&self) -> bool {
        let modes = tcgetattr(self.open_tty()).expect("a terminal").local_modes;
        modes.contains(LocalModes::ICANON | LocalModes::ECHO | LocalModes::ISIG)
    }

    /// Waits until every mode of the screens is set.
    #[track_caller]
    pub fn wait_until_taken(&self) {
        self.wait_until("the terminal is taken", |s| {
            let screen = s.screen();
            s.is_raw() && screen.alternate_screen() && screen.bracketed_paste()
        });
    }

    /// Waits until every mode is as a shell needs it: cooked, the user's own screen, cursor
    /// shown, pastes plain.
    #[track_caller]
    pub fn wait_until_given_back(&self) {
        self.wait_until("the terminal is given back", |s| {
            let screen = s.screen();
            s.is_cooked()
                && !screen.alternate_screen()
                && !screen.hide_cursor()
                && !screen.bracketed_paste()
        });
    }

    fn output(&self) -> MutexGuard<'_, Output> {
        lock(&self.output.0)
    }

    /// Bytes typed but not yet read, as far as the system has passed them on.
    fn unread(&self) -> u64 {
        rustix::io::ioctl_fionread(self.open_tty()).unwrap_or(0)
    }

    fn open_tty(&self) -> File {
        let no_ctty = rustix::fs::OFlags::NOCTTY.bits() as i32;
        OpenOptions::new()
            .read(true)
            .write(true)
            .custom_flags(no_ctty)
            .open(&self.tty)
            .expect("the terminal opens")
    }
}

impl Drop for Session {
    fn drop(&mut self) {
        if let Ok(None) = self.child.try_wait() {
            signal_to(self.pid(), Signal::KILL);
            let _ = self.child.wait();
        }
    }
}

/// Rows with a look, and rows in all, as the title of a walk has them.
pub fn rows(shown: &str) -> Option<(usize, usize)> {
    let title = shown.lines().next()?;
    let mut words = title.split_whitespace().filter_map(|w| w.split_once('/'));
    words.find_map(|(seen, all)| Some((seen.parse().ok()?, all.parse().ok()?)))
}

/// The digit that takes the line with these words; none where no such line is offered.
fn digit_of(shown: &str, words: &str) -> Option<char> {
    let lines = shown.lines().filter_map(|line| line.split_once(words));
    let leads = lines.filter_map(|(lead, _)| lead.trim_end().chars().next_back());
    leads.into_iter().find(char::is_ascii_digit)
}

/// Sends a signal to a process by its id; one that has ended does not mind.
pub fn signal_to(pid: i32, signal: Signal) {
    let pid = Pid::from_raw(pid).expect("a process id");
    let _ = kill_process(pid, signal);
}

/// Bytes a process has read in all; none once it has ended.
fn chars_read(pid: i32) -> Option<u64> {
    let stat = std::fs::read_to_string(format!("/proc/{pid}/stat")).ok()?;
    if stat.rsplit(')').next()?.trim_start().starts_with('Z') {
        return None;
    }
    let io = std::fs::read_to_string(format!("/proc/{pid}/io")).ok()?;
    io.lines()
        .find_map(|l| l.strip_prefix("rchar: "))?
        .trim()
        .parse()
        .ok()
}

/// What each thread of a process has done: times it was given a processor, and clock ticks on it.
fn work(pid: i32) -> Vec<(String, String)> {
    let threads = std::fs::read_dir(format!("/proc/{pid}/task")).expect("running");
    let threads = threads.filter_map(|thread| {
        let path = thread.ok()?.path();
        let status = std::fs::read_to_string(path.join("status")).ok()?;
        let woken = status.lines().filter(|line| line.contains("ctxt_switches"));
        let stat = std::fs::read_to_string(path.join("stat")).ok()?;
        let ticks = stat.rsplit(')').next()?.split_whitespace().skip(11).take(2);
        Some((woken.collect(), ticks.collect()))
    });
    threads.collect()
}

fn follow(mut reader: Box<dyn Read + Send>, shared: &(Mutex<Output>, Condvar)) {
    let (state, changed) = shared;
    let mut buffer = [0; 8192];
    loop {
        let read = reader.read(&mut buffer).unwrap_or(0);
        let mut output = lock(state);
        output.raw.extend_from_slice(&buffer[..read]);
        output.parser.process(&buffer[..read]);
        if read == 0 || output.hang_up {
            drop(reader);
            output.ended = true;
            changed.notify_all();
            return;
        }
        changed.notify_all();
    }
}

/// The state even after an assertion failed under the lock: the first failure is the one to read.
fn lock(state: &Mutex<Output>) -> MutexGuard<'_, Output> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Of a window that claims more than any screen has, as much as fits; of one that does not know its
/// size, the usual.
fn shown(n: u16, usual: u16) -> NonZeroU16 {
    let n = if n == 0 { usual } else { n.min(1000) };
    NonZeroU16::new(n).unwrap_or(NonZeroU16::MIN)
}

fn pty_size(columns: u16, rows: u16) -> PtySize {
    PtySize {
        rows,
        cols: columns,
        pixel_width: 0,
        pixel_height: 0,
    }
}

/// Everything in the log of a logbook.
pub fn logged(book: &Path) -> String {
    let mut text = String::new();
    let mut folders = vec![book.join("log")];
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(&folder).into_iter().flatten().flatten() {
            if entry.path().is_dir() {
                folders.push(entry.path());
            } else {
                text += &std::fs::read_to_string(entry.path()).unwrap_or_default();
            }
        }
    }
    text
}

/// A command on the logbook `book` in a folder, where the settings are too.
pub fn command_on(program: &str, dir: &Path) -> Command {
    let mut command = Command::new(program);
    command
        .env("HANDLAMP_LOGBOOK", dir.join("book"))
        .env("HANDLAMP_CONFIG_DIR", dir.join("settings"));
    command
}

/// A folder, and in it the logbook of a boat, begun by the program.
pub fn new_boat(program: &str) -> (TempDir, PathBuf) {
    let profile = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
        "usual_hours_per_month":15,"machines":[{"id":"main","name":"Main engine","hours":1200.0,
        "sump":"7 L"}]}"#;
    logbook_of(program, profile, &chrono::Utc::now().to_rfc3339(), "")
}

/// A folder, and in it the logbook of a boat, begun at a time by the program, with these lines recorded.
pub fn logbook_of(program: &str, profile: &str, begun: &str, lines: &str) -> (TempDir, PathBuf) {
    let dir = tempfile::tempdir().expect("a folder");
    given(
        program,
        dir.path(),
        &["boat", "new", "--now", begun],
        profile,
    );
    if !lines.is_empty() {
        given(program, dir.path(), &["record"], lines);
    }
    let book = dir.path().join("book");
    (dir, book)
}

/// Gives a text to a command on the logbook in a folder.
pub fn given(program: &str, dir: &Path, args: &[&str], text: &str) {
    let file = dir.join("given.json");
    std::fs::write(&file, text).expect("written");
    let mut command = command_on(program, dir);
    let run = command.args(args).arg(&file).output().expect("it runs");
    let told = String::from_utf8_lossy(&run.stderr);
    assert!(run.status.success(), "{args:?}: {told}");
}
