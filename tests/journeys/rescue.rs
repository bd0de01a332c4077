//! What cannot be saved when the program ends lies in a rescue file, and the next start takes it in.

use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use rustix::process::Signal;
use serde_json::Value;
use tempfile::TempDir;

use crate::harness::{Session, Setup, logged, new_boat};
use crate::toy;

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

/// What takes the disk away.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Fault {
    /// The records cannot be written, the folder around them can.
    Log,
    /// Neither can.
    Folder,
}

impl Fault {
    /// What is taken away of a logbook.
    fn of(self, book: &Path) -> PathBuf {
        match self {
            Fault::Log => book.join("log"),
            Fault::Folder => book.to_owned(),
        }
    }
}

/// A walk in which three rows could not be saved.
struct Scene {
    dir: TempDir,
    book: PathBuf,
    session: Session,
}

impl Scene {
    fn new(fault: Fault) -> Scene {
        let (dir, book) = new_boat(BINARY);
        let mut session = Setup::new(BINARY, &[])
            .env("HANDLAMP_LOGBOOK", &book.to_string_lossy())
            .env("TMPDIR", &dir.path().to_string_lossy())
            .start();
        session.begin_walk();
        session.send("0");
        session.wait_for_seen(1);
        let broken = fault.of(&book);
        std::fs::rename(&broken, dir.path().join("away")).expect("moved");
        std::fs::write(&broken, "").expect("in its place");
        session.send("0");
        session.wait_for_seen(2);
        session.wait_for_text("NOT SAVED (");
        session.send("0");
        session.wait_for_seen(3);
        Scene { dir, book, session }
    }

    /// The disk is back.
    fn mend(&self, fault: Fault) {
        let broken = fault.of(&self.book);
        // What was written beside it meanwhile stays.
        std::fs::remove_file(&broken).expect("gone");
        std::fs::rename(self.dir.path().join("away"), &broken).expect("back");
    }

    fn run(&self, args: &[&str]) -> Output {
        let home = self.session.home();
        Command::new(BINARY)
            .args(args)
            .env_clear()
            .env("HANDLAMP_LOGBOOK", &self.book)
            .env("HOME", home)
            .env("XDG_STATE_HOME", home.join("state"))
            .env("TMPDIR", self.dir.path())
            .env("TZ", "UTC")
            .output()
            .expect("it runs")
    }

    /// What an answer says is not counted.
    fn not_counted(&self) -> Vec<String> {
        let out = self.run(&["defects", "--json"]);
        let answer: Value = serde_json::from_slice(&out.stdout).expect("JSON");
        let rows = answer["not_counted"].as_array().into_iter().flatten();
        rows.map(|row| row["why"].as_str().expect("a sentence").to_owned())
            .collect()
    }

    /// Records something; what was said beside the answer.
    fn record(&self) -> String {
        let out = self.run(&["service", "done", "oil-and-filter", "--hours", "1200"]);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert_eq!(out.status.code(), Some(0), "{said}");
        said
    }

    fn rescued(&self, fault: Fault) -> Vec<PathBuf> {
        rescue_files(&match fault {
            Fault::Log => self.book.clone(),
            Fault::Folder => self.session.home().join("state/handlamp"),
        })
    }
}

fn rescue_files(place: &Path) -> Vec<PathBuf> {
    let found = std::fs::read_dir(place).into_iter().flatten().flatten();
    let mut found: Vec<_> = found.map(|entry| entry.path()).collect();
    found.retain(|path| {
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        name.starts_with("rescue-")
    });
    found
}

/// Every look in the log, each once.
fn looks(book: &Path) -> usize {
    let text = logged(book);
    let looks = text.lines().filter(|line| line.contains("\"ev\":\"look\""));
    let ids = looks.filter_map(|line| line.split("\"id\":\"").nth(1)?.split('"').next());
    ids.collect::<std::collections::BTreeSet<_>>().len()
}

#[test]
fn however_the_program_ends_what_was_not_saved_is_there_at_the_next_start() {
    type End = fn(&mut Session);
    let ends: [(&str, End); 4] = [
        ("its terminal closed", Session::hang_up),
        ("SIGTERM", |session| session.signal(Signal::TERM)),
        ("SIGHUP", |session| session.signal(Signal::HUP)),
        ("left", |session| {
            session.send("<C-c>");
            session.wait_for_text("are NOT SAVED and in memory only");
            session.send("3");
        }),
    ];
    for ((how, end), fault) in ends
        .into_iter()
        .flat_map(|end| [(end, Fault::Log), (end, Fault::Folder)])
    {
        let mut scene = Scene::new(fault);
        end(&mut scene.session);
        scene.session.exit_status();
        let told = format!("{how}, {fault:?}");
        let found = scene.rescued(fault);
        assert_eq!(found.len(), 1, "{told}");
        let mode = std::fs::metadata(&found[0])
            .expect("there")
            .permissions()
            .mode();
        assert_eq!(mode & 0o777, 0o600, "{told}");
        if how == "left" || how == "SIGTERM" {
            scene.session.wait_until("all is read", Session::has_ended);
            let raw = String::from_utf8(scene.session.raw()).expect("text");
            let name = found[0].file_name().expect("a name").to_string_lossy();
            assert!(raw.contains(&*name), "{told}: it says where");
            assert!(!raw.contains("keep the lines below"), "{told}");
        }
        scene.mend(fault);
        let before = looks(&scene.book);
        let whys = scene.not_counted();
        assert_eq!(whys.len(), 1, "{told}: {whys:?}");
        assert!(
            whys[0].contains("rescued when they could not be saved"),
            "{whys:?}"
        );
        assert_eq!(looks(&scene.book), before, "reading takes nothing in");
        let said = scene.record();
        assert!(
            said.contains("could not be saved before are taken in"),
            "{told}: {said}"
        );
        assert!(looks(&scene.book) >= before + 2, "{told}");
        assert_eq!(scene.rescued(fault), Vec::<PathBuf>::new(), "{told}");
        assert_eq!(scene.not_counted(), Vec::<String>::new(), "{told}");
        let check = scene.run(&["logbook", "check"]);
        let said = String::from_utf8_lossy(&check.stdout).into_owned();
        assert_eq!(check.status.code(), Some(0), "{told}: {said}");
    }
}

#[test]
fn the_screens_take_it_in_and_say_so_in_one_sentence() {
    let mut scene = Scene::new(Fault::Log);
    scene.session.hang_up();
    scene.session.exit_status();
    scene.mend(Fault::Log);
    let found = scene.rescued(Fault::Log);
    // The start before was stopped between taking it in and removing it.
    let kept = std::fs::read(&found[0]).expect("read");
    let before = looks(&scene.book);
    let again = Setup::new(BINARY, &[]).env("HANDLAMP_LOGBOOK", &scene.book.to_string_lossy());
    let mut session = again.clone().start();
    session.wait_for_text("could not be saved before are taken in from");
    session.send("<C-c>");
    session.exit_status();
    let after = looks(&scene.book);
    assert!(after >= before + 2);
    std::fs::write(&found[0], kept).expect("written");
    std::fs::set_permissions(&found[0], PermissionsExt::from_mode(0o600)).expect("mode");
    let mut session = again.start();
    session.wait_for_text("Morning check");
    assert!(!session.contents().contains("taken in"));
    session.send("<C-c>");
    session.exit_status();
    assert_eq!(looks(&scene.book), after);
    assert_eq!(scene.rescued(Fault::Log), Vec::<PathBuf>::new());
}

/// Planted, of others, damaged, or of another boat: it stays where it is, and that is said.
#[test]
fn what_is_not_surely_ours_is_not_taken_in() {
    let mut scene = Scene::new(Fault::Log);
    scene.session.signal(Signal::TERM);
    scene.session.exit_status();
    scene.mend(Fault::Log);
    let path = scene.rescued(Fault::Log).swap_remove(0);
    let name = path
        .file_name()
        .expect("a name")
        .to_string_lossy()
        .into_owned();
    let whole = std::fs::read(&path).expect("read");
    let text = String::from_utf8(whole.clone()).expect("text");
    let put = |bytes: &[u8]| {
        let _ = std::fs::remove_file(&path);
        std::fs::write(&path, bytes).expect("written");
        std::fs::set_permissions(&path, PermissionsExt::from_mode(0o600)).expect("mode");
    };
    let outside = scene.dir.path().join("outside");
    std::fs::write(&outside, &whole).expect("written");
    let before = looks(&scene.book);
    let changed = text.replacen("\"sound\"", "\"failed\"", 1);
    let mut parts: Vec<&str> = name.split('-').collect();
    let of = parts.len() - 2;
    parts[of] = "000000000000";
    let other = path.with_file_name(parts.join("-"));
    let cases: [(&str, &str, &dyn Fn()); 9] = [
        ("damaged", "it is damaged", &|| put(changed.as_bytes())),
        ("cut off", "it is damaged", &|| {
            put(&whole[..whole.len() - 3])
        }),
        ("empty", "it is damaged", &|| put(b"")),
        ("a link", "it is no plain file", &|| {
            std::fs::remove_file(&path).expect("gone");
            symlink(&outside, &path).expect("a link");
        }),
        ("a pipe", "it is no plain file", &|| {
            std::fs::remove_file(&path).expect("gone");
            rustix::fs::mkfifoat(rustix::fs::CWD, &path, 0o600.into()).expect("a pipe");
        }),
        ("huge", "it is larger", &|| {
            put(b"");
            let file = std::fs::OpenOptions::new()
                .write(true)
                .open(&path)
                .expect("open");
            file.set_len(65 << 20).expect("long");
        }),
        ("open to others", "others may have changed it", &|| {
            put(&whole);
            std::fs::set_permissions(&path, PermissionsExt::from_mode(0o622)).expect("mode");
        }),
        ("under two names", "others may have changed it", &|| {
            put(&whole);
            std::fs::hard_link(&path, scene.dir.path().join("second")).expect("a name");
        }),
        ("of another boat", "it is of another boat", &|| {
            std::fs::remove_file(&path).expect("gone");
            std::fs::write(&other, &whole).expect("written");
            std::fs::set_permissions(&other, PermissionsExt::from_mode(0o600)).expect("mode");
        }),
    ];
    for (what, why, plant) in cases {
        plant();
        let whys = scene.not_counted();
        assert_eq!(whys.len(), 1, "{what}: {whys:?}");
        assert!(
            whys[0].contains("not taken in") && whys[0].contains(why),
            "{what}: {whys:?}"
        );
        let said = scene.record();
        assert!(said.contains(why), "{what}: {said}");
        assert_eq!(looks(&scene.book), before, "{what}");
        let planted = [&path, &other]
            .into_iter()
            .filter(|p| p.symlink_metadata().is_ok());
        assert_eq!(planted.count(), 1, "{what}: it stays");
    }
    // As it was, it is still taken in.
    std::fs::remove_file(&other).expect("gone");
    put(&whole);
    scene.record();
    assert!(looks(&scene.book) >= before + 2);
}

/// A disk that takes nothing: the answers say what lies beside them.
#[test]
fn where_it_cannot_be_taken_in_it_is_named_as_not_counted() {
    let mut scene = Scene::new(Fault::Folder);
    scene.session.hang_up();
    scene.session.exit_status();
    scene.mend(Fault::Folder);
    let before = looks(&scene.book);
    // No file can be put below the log, and the folder of this year is as good as read-only.
    let mut limited = Command::new("prlimit");
    limited
        .args([
            "--fsize=100:",
            BINARY,
            "repair",
            "drive-belt",
            "--done",
            "x",
        ])
        .env_clear()
        .env("PATH", "/usr/bin:/bin")
        .env("HANDLAMP_LOGBOOK", &scene.book)
        .env("HOME", scene.session.home())
        .env("XDG_STATE_HOME", scene.session.home().join("state"))
        .env("TZ", "UTC");
    let Ok(out) = limited.output() else {
        crate::skip::skipped("prlimit", "no limit can be set");
        return;
    };
    assert_ne!(out.status.code(), Some(0));
    assert_eq!(looks(&scene.book), before);
    assert_eq!(
        scene.rescued(Fault::Folder).len(),
        1,
        "it stays until it is taken in"
    );
    assert_eq!(scene.not_counted().len(), 1);
    let verdict = scene.run(&["verdict", "--json"]);
    let text = String::from_utf8_lossy(&verdict.stdout).into_owned();
    assert!(!text.contains("\"clear-to-run\""), "{text}");
}

#[test]
fn a_panic_on_any_thread_and_a_loop_that_hangs_write_what_waits() {
    for key in ["<F1>", "<F2>", "<F3>", "<F4>"] {
        let mut session = toy::setup().start();
        session.wait_for_text("toy ready");
        session.wait_until_taken();
        session.send("<F6>");
        if key == "<F4>" {
            session.send_raw(b"\x1bOS");
            let stuck = session.home().join("stuck");
            session.wait_until("it hangs", |_| stuck.exists());
            session.signal(Signal::TERM);
        } else {
            session.send(key);
        }
        session.exit_status();
        let found = rescue_files(&session.home().join("book"));
        assert_eq!(found.len(), 1, "{key}");
        assert_eq!(std::fs::read_to_string(&found[0]).expect("read"), "{}\n");
        let name = found[0].file_name().expect("a name").to_string_lossy();
        assert!(name.starts_with("rescue-grey-plover-"), "{name}");
        if key != "<F4>" {
            session.wait_until("all is read", Session::has_ended);
            let raw = String::from_utf8_lossy(&session.raw()).into_owned();
            assert!(raw.contains(&*name), "{key}: {raw}");
        }
    }
}
