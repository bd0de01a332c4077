//! Reading and using strace.

use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::OnceLock;

use std::os::unix::process::ExitStatusExt;

use crate::skip::skipped;

/// The calls the record rests on.
pub const CALLS: &str =
    "openat,write,fdatasync,fsync,flock,rename,renameat2,mkdir,ftruncate,unlink,close";

/// One system call of a run.
#[derive(Clone, Debug)]
pub struct Call {
    /// Its name.
    pub name: String,
    /// Which of that name it is, from 1, as the tracer counts them for each thread.
    pub nth: usize,
    /// The line of the trace.
    pub line: String,
}

impl Call {
    /// Whether it could change a file.
    pub fn writes(&self) -> bool {
        match self.name.as_str() {
            "openat" => self.line.contains("O_CREAT"),
            "flock" | "close" => false,
            _ => true,
        }
    }
}

/// The calls of the main thread, in order, out of a trace made with `-f -y`.
pub fn calls(trace: &Path) -> Vec<Call> {
    let text = std::fs::read_to_string(trace).expect("a trace");
    let main = text.split_whitespace().next().unwrap_or("").to_owned();
    let mut calls: Vec<Call> = Vec::new();
    for line in text.lines() {
        let Some((thread, rest)) = line.split_once(' ') else {
            continue;
        };
        let rest = rest.trim_start();
        let Some((name, _)) = rest.split_once('(') else {
            continue;
        };
        let plain = !name.is_empty() && name.bytes().all(|b| b.is_ascii_alphanumeric());
        if thread != main || !plain {
            continue;
        }
        let nth = calls.iter().filter(|c| c.name == name).count() + 1;
        calls.push(Call {
            name: name.to_owned(),
            nth,
            line: rest.to_owned(),
        });
    }
    calls
}

/// Options that make the tracer watch one call and do something to some of its occurrences
/// (`signal=KILL`, `error=EIO`; `when` as strace takes it). Injecting into a call that is not
/// traced does nothing and says nothing, so both are named together.
pub fn inject(names: &str, what: &str, when: &str) -> Vec<String> {
    vec![
        "-f".into(),
        "-e".into(),
        format!("trace={names}"),
        "-e".into(),
        format!("inject={names}:{what}:when={when}"),
    ]
}

/// Whether faults can be injected here; says loudly when not.
pub fn works() -> bool {
    static WORKS: OnceLock<bool> = OnceLock::new();
    *WORKS.get_or_init(|| {
        let killed = Command::new("strace")
            .args(inject("write", "signal=KILL", "1"))
            .args(["-o", "/dev/null", "echo", "x"])
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .status();
        let works = killed.is_ok_and(|status| status.signal() == Some(9));
        if !works {
            skipped(
                "strace",
                "it is not there or may not inject faults; nothing was proved",
            );
        }
        works
    })
}
