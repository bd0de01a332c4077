//! A home, a logbook and the program.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use handlamp::checklist::Library;
use serde_json::{Value, json};

#[path = "../ages/mod.rs"]
pub mod ages;
#[path = "../counts/mod.rs"]
mod counts;

pub use counts::without_counts;

/// A sealed place to run the program in.
pub struct Place {
    dir: tempfile::TempDir,
    now: String,
}

/// What a run gave.
#[must_use = "look at what it said or how it ended"]
pub struct Run {
    pub line: String,
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

pub const PROFILE: &str = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15,"day_ahead":{"hours":10,"days":2},
 "machines":[{"id":"main","name":"Main engine","hours":1200.0,"sump":"7 L","between_marks":"1.5 L","gearbox":"1.2 L","without":["stuffing-box"]}]}
"#;

/// A profile with two engines.
pub const TWINS: &str = r#"{"type":"boat","name":"Two Terns","waters":"offshore","units":"us","usual_hours_per_month":20,
 "machines":[{"id":"port","name":"Port engine"},{"id":"starboard","name":"Starboard engine"}]}
"#;

impl Place {
    /// A home with nothing in it.
    pub fn empty() -> Place {
        Place {
            dir: tempfile::tempdir().expect("a temporary folder"),
            now: "2026-05-03T09:00:00+02:00".to_owned(),
        }
    }

    /// A home with a boat.
    pub fn with_boat() -> Place {
        Place::with(PROFILE)
    }

    /// A home with the boat of a profile, begun a week ago.
    pub fn with(profile: &str) -> Place {
        let place = Place::empty();
        let file = place.file("boat.json", profile);
        let run = place.run_at("2026-04-26T09:00:00+02:00", &["boat", "new", &file]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        place
    }

    /// A boat with a walk that found something, finished this morning.
    pub fn with_findings() -> Place {
        let place = Place::with_boat();
        let looks = [
            json!({"item":"drive-belt","grade":"worn"}),
            json!({"item":"raw-water-pump-seal","phase":"cold","grade":"early","note":"damp below the hole","leak":"i",
                   "wear":[{"mark":"contamination","where":"under the body","against":null}]}),
        ];
        let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &looks);
        let run = place.run(&["record", &place.file("w1.json", &sheet)]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        place
    }

    /// The same with what is due while nobody knows its age told as done a month ago, so that a sound
    /// morning is clear.
    pub fn of_known_age(self, machines: &[&str]) -> Place {
        let told = ages::told(
            machines,
            "2026-04-01T00:00:00+02:00",
            "2026-04-26T09:10:00+02:00",
        );
        let run = self.run(&["record", &self.file("ages.jsonl", &told)]);
        assert_eq!(run.code, Some(0), "{}", run.stderr);
        self
    }

    pub fn path(&self) -> &Path {
        self.dir.path()
    }

    /// The logbook's folder.
    pub fn logbook(&self) -> PathBuf {
        self.path().join("logbook")
    }

    /// Sets the time of the runs that follow.
    pub fn at(&mut self, now: &str) {
        now.clone_into(&mut self.now);
    }

    /// Writes a file and gives its path.
    pub fn file(&self, name: &str, text: &str) -> String {
        let path = self.path().join(name);
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(&path, text).expect("written");
        path.to_str().expect("UTF-8").to_owned()
    }

    /// The program with its surroundings, ready to be changed and run.
    pub fn command(&self) -> Command {
        sealed(self.path())
    }

    pub fn run(&self, args: &[&str]) -> Run {
        self.run_at(&self.now, args)
    }

    pub fn run_at(&self, now: &str, args: &[&str]) -> Run {
        let mut command = self.command();
        command.args(args).args(["--now", now]);
        self.finish(args, command.output().expect("the program runs"))
    }

    /// Runs where no file can hold more than so many bytes, as on a disk that fills up; none where no
    /// such limit can be set here.
    pub fn run_limited(&self, bytes: u32, args: &[&str]) -> Option<Run> {
        let base = self.command();
        let mut limited = Command::new("prlimit");
        limited
            .arg(format!("--fsize={bytes}:"))
            .arg(base.get_program())
            .args(args)
            .args(["--now", &self.now])
            .current_dir(self.path())
            .env_clear()
            .envs(base.get_envs().filter_map(|(k, v)| Some((k, v?))));
        Some(self.finish(args, limited.output().ok()?))
    }

    /// Runs on a terminal of its own, with what is typed; everything the terminal showed.
    pub fn run_on_terminal(&self, term: &str, args: &[&str], typed: &str) -> (u32, String) {
        use portable_pty::{CommandBuilder, PtySize, native_pty_system};
        let pair = native_pty_system()
            .openpty(PtySize::default())
            .expect("a terminal");
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_handlamp"));
        command.env_clear();
        let base = self.command();
        for (key, value) in base.get_envs().filter_map(|(k, v)| Some((k, v?))) {
            command.env(key, value);
        }
        command.env("TERM", term);
        command.args(args);
        command.cwd(self.path());
        let mut child = pair.slave.spawn_command(command).expect("the program runs");
        drop(pair.slave);
        let mut reader = pair.master.try_clone_reader().expect("a reader");
        let mut writer = pair.master.take_writer().expect("a writer");
        writer.write_all(typed.as_bytes()).expect("typed");
        let mut shown = Vec::new();
        // The terminal ends with an error once the program has left it.
        let _ = std::io::Read::read_to_end(&mut reader, &mut shown);
        let code = child.wait().expect("it ends").exit_code();
        (code, String::from_utf8_lossy(&shown).into_owned())
    }

    /// Runs with text on the standard input.
    pub fn run_with_input(&self, args: &[&str], input: &str) -> Run {
        let mut command = self.command();
        command.args(args).args(["--now", &self.now]);
        command
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().expect("the program runs");
        let mut stdin = child.stdin.take().expect("a pipe");
        stdin.write_all(input.as_bytes()).expect("written");
        drop(stdin);
        self.finish(args, child.wait_with_output().expect("it ends"))
    }

    /// What a command changed by the test gave.
    pub fn finish<S: AsRef<OsStr>>(&self, args: &[S], output: std::process::Output) -> Run {
        let args: Vec<_> = args
            .iter()
            .map(|a| a.as_ref().to_string_lossy().into_owned())
            .collect();
        // What is recorded keeps to the schema of it, in every test.
        if let [command, file, ..] = args.as_slice()
            && command == "record"
            && output.status.code() == Some(0)
            && let Ok(text) = std::fs::read_to_string(self.path().join(file))
        {
            let faults = record_faults(&text);
            assert!(faults.is_empty(), "{file}: {faults:?}");
        }
        let seal = |text: String| text.replace(self.path().to_str().expect("UTF-8"), "[DIR]");
        Run {
            line: seal(args.join(" ")),
            code: output.status.code(),
            stdout: seal(String::from_utf8(output.stdout).expect("UTF-8 on stdout")),
            stderr: seal(String::from_utf8(output.stderr).expect("UTF-8 on stderr")),
        }
    }

    /// Runs with `--json`, checks the answer against its committed schema, and gives it.
    pub fn json(&self, schema: &str, args: &[&str]) -> Value {
        let mut args = args.to_vec();
        args.push("--json");
        let run = self.run(&args);
        assert!(
            matches!(run.code, Some(0 | 1)),
            "{}: {}",
            run.line,
            run.stderr
        );
        let answer: Value = serde_json::from_str(&run.stdout).expect("JSON alone on stdout");
        assert_eq!(answer["schema"], format!("handlamp/{schema}/1"));
        let path = format!("{}/assets/schema/{schema}.json", env!("CARGO_MANIFEST_DIR"));
        let text = std::fs::read_to_string(path).expect("the schema is committed");
        let validator = jsonschema::validator_for(&serde_json::from_str(&text).expect("JSON"))
            .expect("a schema");
        let faults: Vec<String> = validator
            .iter_errors(&answer)
            .map(|e| e.to_string())
            .collect();
        assert!(faults.is_empty(), "{}: {faults:?}", run.line);
        answer
    }

    /// Records a document that has to be taken.
    pub fn record(&self, document: &Value) {
        let run = self.run_with_input(&["record", "-"], &document.to_string());
        assert_eq!(run.code, Some(0), "{}", run.stderr);
    }
}

/// The program sealed in a folder: its home there, and the logbook beside it.
pub fn sealed(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_handlamp"));
    command
        .env_clear()
        .env("HOME", folder.join("home"))
        .env("HANDLAMP_LOGBOOK", folder.join("logbook"))
        .env("TZ", "UTC")
        .env("TERM", "xterm-256color")
        .current_dir(folder)
        .stdin(Stdio::null());
    // A build with safeties to take out has to know which one; no other asks.
    if let Some(without) = std::env::var_os("HANDLAMP_WITHOUT") {
        command.env("HANDLAMP_WITHOUT", without);
    }
    command
}

/// Copies a folder.
pub fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("made");
    for entry in std::fs::read_dir(from).expect("listed") {
        let entry = entry.expect("listed");
        let into = to.join(entry.file_name());
        if entry.file_type().expect("known").is_dir() {
            copy(&entry.path(), &into);
        } else {
            std::fs::copy(entry.path(), into).expect("copied");
        }
    }
}

/// The record files of a logbook, by name.
pub fn record_files(logbook: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for year in std::fs::read_dir(logbook.join("log")).expect("a log") {
        let files = std::fs::read_dir(year.expect("a year").path()).expect("files");
        found.extend(files.map(|file| file.expect("a file").path()));
    }
    found.sort();
    found
}

/// Text for people in one line, however it was wrapped.
pub fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

impl std::fmt::Display for Run {
    /// The whole run, as a golden file keeps it: without what the catalogue counts.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        writeln!(f, "$ handlamp {}", self.line)?;
        f.write_str(&without_counts(&self.stdout))?;
        if !self.stderr.is_empty() {
            write!(f, "[stderr]\n{}", self.stderr)?;
        }
        match self.code {
            Some(code) => write!(f, "[exit {code}]"),
            None => write!(f, "[killed]"),
        }
    }
}

/// Several runs in one golden file.
pub fn session(runs: &[Run]) -> String {
    let runs: Vec<String> = runs.iter().map(Run::to_string).collect();
    runs.join("\n\n")
}

/// A finished morning check on `main`: everything sound but the looks given.
pub fn full_walk(id: &str, at: &str, hours: f64, looks: &[Value]) -> String {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let given = |item: &str| looks.iter().any(|look| look["item"] == item);
    let mut all = looks.to_vec();
    for phase in &daily.phases {
        for item in phase.rows.iter().flat_map(|row| &row.items) {
            if item != "stuffing-box" && !given(item) {
                all.push(json!({"item": item, "phase": phase.id, "grade": "sound"}));
            }
        }
    }
    json!({"type":"walk","id":id,"checklist":"daily","machine":"main","at":at,"by":"R. Quay","hours":hours,"looks":all}).to_string()
}

/// What the schema of `record` says against a text: a document, a list of them, or JSON Lines.
pub fn record_faults(text: &str) -> Vec<String> {
    static SCHEMA: std::sync::LazyLock<jsonschema::Validator> = std::sync::LazyLock::new(|| {
        let schema = handlamp::logbook::input::schema();
        jsonschema::validator_for(schema.as_value()).expect("a schema")
    });
    let text = text.trim_start_matches('\u{feff}');
    let documents = serde_json::Deserializer::from_str(text).into_iter::<Value>();
    let faults = |document: Result<Value, serde_json::Error>| match document {
        Ok(document) => SCHEMA
            .iter_errors(&document)
            .map(|e| format!("{}: {e}", e.instance_path()))
            .collect(),
        Err(error) => vec![error.to_string()],
    };
    documents.flat_map(faults).collect()
}
