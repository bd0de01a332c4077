//! What may lie in the folder instead of a file of ours, and whose it may be.

use std::fs::{self, Permissions};
use std::os::unix::fs::{PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::Duration;

use handlamp::logbook::line::{EntryId, encode};
use handlamp::logbook::{Disk, RealDisk, Stamp};
use serde_json::Value;

use super::harness::Setup;
use super::place::Place;

pub const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");
/// Somebody else, for whom there is no entry in any list of users.
pub const NOBODY: u32 = 12345;

/// Whether the program can be run as somebody else here; says so loudly where it cannot.
pub fn can_be_nobody() -> bool {
    let able = as_nobody(Path::new("/"), &["--version"]).is_ok_and(|out| out.status.success());
    if !able {
        crate::skip::skipped("setpriv", "the program cannot be run as another user here");
    }
    able
}

fn nobody(args: &[&str]) -> Vec<String> {
    let id = NOBODY.to_string();
    let mut all = vec![
        format!("--reuid={id}"),
        format!("--regid={id}"),
        "--clear-groups".into(),
        BINARY.into(),
    ];
    all.extend(args.iter().map(|a| (*a).to_owned()));
    all
}

pub fn as_nobody(logbook: &Path, args: &[&str]) -> std::io::Result<std::process::Output> {
    Command::new("setpriv")
        .args(nobody(args))
        .env_clear()
        .env("HANDLAMP_LOGBOOK", logbook)
        .current_dir("/")
        .stdin(Stdio::null())
        .output()
}

pub fn mode(path: &Path, mode: u32) {
    fs::set_permissions(path, Permissions::from_mode(mode)).expect("a mode");
}

/// Every file and folder at and below a place.
pub fn all_below(root: &Path) -> Vec<PathBuf> {
    let mut found = vec![root.to_owned()];
    let mut at = 0;
    while at < found.len() {
        if fs::symlink_metadata(&found[at]).expect("there").is_dir() {
            let listed = fs::read_dir(&found[at]).expect("a folder");
            found.extend(listed.map(|entry| entry.expect("an entry").path()));
        }
        at += 1;
    }
    found
}

pub fn opened_to_all(place: &Place) {
    mode(place.path(), 0o755);
    for path in all_below(&place.logbook()) {
        mode(&path, if path.is_dir() { 0o755 } else { 0o644 });
    }
}

pub fn records(place: &Place) -> Vec<PathBuf> {
    let mut all = all_below(&place.logbook().join("log"));
    all.retain(|path| path.extension().is_some_and(|e| e == "jsonl"));
    all.sort();
    all
}

/// Rows of `logbook check` and its exit code.
pub fn check(place: &Place) -> (Vec<String>, bool) {
    let answer = place.json("logbook-check", &["logbook", "check"]);
    let rows = answer["rows"].as_array().expect("rows");
    let text = |row: &Value| {
        format!(
            "{}: {}",
            row["file"].as_str().unwrap_or_default(),
            row["message"].as_str().unwrap_or_default()
        )
    };
    (rows.iter().map(text).collect(), answer["damaged"] == true)
}

#[test]
fn a_folder_that_cannot_be_written_is_shown_and_says_at_once_that_nothing_is_saved() {
    if !can_be_nobody() {
        return;
    }
    let place = Place::with_findings();
    opened_to_all(&place);
    let before: Vec<_> = all_below(&place.logbook());
    let args = nobody(&[]);
    let args: Vec<&str> = args.iter().map(String::as_str).collect();
    let book = place.logbook();
    let mut session = Setup::new("setpriv", &args)
        .env("HANDLAMP_LOGBOOK", book.to_str().expect("UTF-8"))
        .env("HANDLAMP_CONFIG_DIR", "/nowhere")
        .start();
    session.wait_for_text("Grey Plover");
    session.wait_for_text("read-only: nothing recorded here can be saved");
    session.send_raw(b"d");
    session.wait_for_text("rows");
    session.send_raw(b"\x1b");
    std::thread::sleep(Duration::from_millis(200));
    session.wait_for_text("Morning check");
    session.send_raw(b"\r");
    session.wait_for_text("Hour meter");
    session.send_raw(b"\r");
    session.wait_for_text("0/");
    session.send_raw(b"0");
    session.wait_for_text("NOT SAVED");
    session.send_raw(b"\x03");
    session.wait_for(|screen| !screen.contents().is_empty());
    drop(session);
    assert_eq!(all_below(&place.logbook()), before, "nothing was written");
}

#[test]
fn one_unreadable_file_is_named_and_the_rest_is_read() {
    if !can_be_nobody() {
        return;
    }
    let place = Place::with_findings();
    place.record(&serde_json::json!({"type":"repair","item":"drive-belt","done":"new belt"}));
    opened_to_all(&place);
    let holds_repair = |path: &PathBuf| {
        fs::read_to_string(path).is_ok_and(|text| text.contains("\"ev\":\"repair\""))
    };
    let last = records(&place)
        .into_iter()
        .find(holds_repair)
        .expect("the repair");
    mode(&last, 0o000);
    let run = place.finish(
        &["logbook check"],
        as_nobody(&place.logbook(), &["logbook", "check"]).expect("run"),
    );
    assert_eq!(run.code, Some(3), "{run}");
    let name = last.file_name().expect("a name").to_str().expect("UTF-8");
    assert!(
        run.stdout.replace(['\n', ' '], "").contains(name) && run.stdout.contains("cannot be read"),
        "{run}"
    );
    let walks = place.finish(
        &["walks"],
        as_nobody(&place.logbook(), &["walks"]).expect("run"),
    );
    assert!(
        walks.code == Some(3) && walks.stdout.contains("w1"),
        "{walks}"
    );
}

#[test]
fn a_planted_link_is_never_written_through() {
    let place = Place::with_findings();
    let victim = place.path().join("victim");
    fs::write(&victim, "precious").expect("written");
    // A session file's name taken by a link, even one that leads nowhere.
    for target in [victim.as_path(), Path::new("/nowhere/at/all")] {
        let name = place.logbook().join("log/planted.jsonl");
        symlink(target, &name).expect("a link");
        let refused = RealDisk.create_new(&name).map(|_| ()).expect_err("refused");
        assert_eq!(refused.kind(), std::io::ErrorKind::AlreadyExists);
        fs::remove_file(name).expect("gone");
    }
    // The profile and the explanation are links: they are replaced, not written through.
    let boat = place.logbook().join("boat.json");
    let kept = fs::read(&boat).expect("read");
    fs::remove_file(&boat).expect("gone");
    symlink(&victim, &boat).expect("a link");
    let run = place.run(&["boat", "show"]);
    assert_eq!(
        (run.code, run.stderr.contains("not a regular file")),
        (Some(0), true),
        "{run}"
    );
    fs::remove_file(&boat).expect("gone");
    fs::write(&boat, kept).expect("back");
    let readme = place.logbook().join("README.txt");
    fs::remove_file(&readme).expect("gone");
    symlink(&victim, &readme).expect("a link");
    let texts = place.logbook().join("texts");
    for kept in fs::read_dir(&texts).expect("texts") {
        let path = kept.expect("a text").path();
        fs::remove_file(&path).expect("gone");
        symlink(&victim, path).expect("a link");
    }
    place.record(&serde_json::json!({"type":"walk","checklist":"daily","at":"2026-05-03T08:00:00+02:00","finished":false,"looks":[{"item":"drive-belt","grade":"worn"}]}));
    let merged = place.path().join("copy");
    let name = merged.to_str().expect("UTF-8");
    assert!(place.run(&["logbook", "export", name]).code == Some(0));
    let table = merged.join("looks.ndjson");
    fs::remove_file(&table).expect("gone");
    symlink(&victim, &table).expect("a link");
    assert!(place.run(&["logbook", "export", name]).code == Some(0));
    assert!(
        fs::symlink_metadata(&table).expect("there").is_file(),
        "the link was replaced"
    );
    assert_eq!(fs::read_to_string(&victim).expect("read"), "precious");
    // A folder the user names may be a link.
    let link = place.path().join("link");
    symlink(&merged, &link).expect("a link");
    assert_eq!(
        place
            .run(&["logbook", "export", link.to_str().expect("UTF-8")])
            .code,
        Some(0)
    );
}

#[test]
fn what_is_acknowledged_is_read_though_a_year_is_a_link_out_of_the_folder() {
    let place = Place::with_boat();
    let outside = tempfile::tempdir().expect("a folder");
    let year = place.logbook().join("log/2026");
    for file in fs::read_dir(&year).expect("a year") {
        let path = file.expect("a file").path();
        fs::rename(
            &path,
            place
                .logbook()
                .join("log")
                .join(path.file_name().expect("a name")),
        )
        .expect("moved");
    }
    fs::remove_dir(&year).expect("gone");
    symlink(outside.path(), &year).expect("a link");
    place.record(&serde_json::json!({"type":"repair","item":"drive-belt","done":"new belt"}));
    assert_eq!(
        fs::read_dir(outside.path()).expect("a folder").count(),
        0,
        "nothing goes out of the folder"
    );
    let (rows, damaged) = check(&place);
    assert!(
        damaged && rows.len() == 1 && rows[0].starts_with("log/2026: "),
        "{rows:?}"
    );
    let answer = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(answer["records"], 2, "the profile and the repair");
}

#[test]
fn what_is_no_file_hangs_nothing_wherever_it_lies() {
    let place = Place::with_findings();
    let fifo = |path: PathBuf| {
        fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        rustix::fs::mkfifoat(rustix::fs::CWD, path, 0o600.into()).expect("a pipe");
    };
    let log = place.logbook().join("log");
    fifo(log.join("pipe.jsonl"));
    let _socket =
        std::os::unix::net::UnixListener::bind(log.join("socket.jsonl")).expect("a socket");
    symlink("/dev/zero", log.join("device.jsonl")).expect("a link");
    symlink(&log, log.join("loop")).expect("a link");
    symlink("itself.jsonl", log.join("itself.jsonl")).expect("a link");
    fs::create_dir(log.join("folder.jsonl")).expect("a folder");
    let (rows, damaged) = check(&place);
    let named = |name: &str| {
        rows.iter()
            .any(|row| row.starts_with(&format!("log/{name}: ")))
    };
    for name in [
        "pipe.jsonl",
        "socket.jsonl",
        "device.jsonl",
        "loop",
        "itself.jsonl",
        "folder.jsonl",
    ] {
        assert!(named(name), "{name} in {rows:?}");
    }
    assert!(damaged && rows.len() == 6, "{rows:?}");
    // Settings: a pipe would be waited for without end, a device read without end.
    let settings = place.path().join("home/.config/handlamp");
    for (name, args) in [
        ("checklists/own.json", &["checklist", "list"][..]),
        ("config.json", &[]),
    ] {
        for device in [false, true] {
            let path = settings.join(name);
            let _ = fs::remove_file(&path);
            if device {
                symlink("/dev/zero", &path).expect("a link");
            } else {
                fifo(path.clone());
            }
            let (code, said) = place.run_on_terminal("xterm", args, "");
            assert!(
                code == 2 && said.contains("not a regular file"),
                "{code} {said}"
            );
            fs::remove_file(&path).expect("gone");
        }
    }
    // The profile, and a pipe where the log should be.
    let boat = place.logbook().join("boat.json");
    fs::remove_file(&boat).expect("gone");
    fifo(boat);
    let run = place.run(&["defects"]);
    assert!(
        run.code == Some(0) && run.stderr.contains("not a regular file"),
        "{run}"
    );
    assert!(place.run(&["logbook", "merge", "/dev"]).code != Some(0));
}

#[test]
fn a_setting_may_be_a_link_to_where_it_is_kept() {
    let place = Place::empty();
    let kept = place.file("dotfiles/own.json", r#"{"type":"checklist","id":"before-locks","title":"Before the locks","purpose":"Will she stop?","closes_with":"daily",
        "phases":[{"id":"idle","title":"Idle","state":"idle","rows":[{"station":"controls","items":["shift-cable"]}]}]}"#);
    let folder = place.path().join("home/.config/handlamp/checklists");
    fs::create_dir_all(&folder).expect("made");
    symlink(kept, folder.join("own.json")).expect("a link");
    let list = place.run(&["checklist", "list"]);
    assert!(list.stdout.contains("before-locks"), "{list}");
}

fn line(n: u32, rec: &str) -> String {
    let at = chrono::DateTime::parse_from_rfc3339("2026-05-01T09:00:00+02:00").expect("a time");
    let id = EntryId::new(&format!("given-{n}")).expect("an id");
    let ms = u64::try_from(at.timestamp_millis()).expect("after 1970") + u64::from(n);
    encode(&id, Stamp(ms, 0), at, "repair", rec).expect("a line")
}

#[test]
fn great_files_long_lines_and_many_files_are_capped_told_and_read() {
    let place = Place::with_findings();
    let log = place.logbook().join("log");
    let huge = fs::File::create(log.join("huge.jsonl")).expect("a file");
    huge.set_len(1 << 30).expect("1 GiB, sparse");
    let mut long = vec![b'x'; 10 << 20];
    long.push(b'\n');
    long.extend_from_slice(
        line(
            0,
            r#"{"item":"drive-belt","machine":"main","at":"2026-05-01T09:00:00+02:00","done":"x"}"#,
        )
        .as_bytes(),
    );
    fs::write(log.join("long.jsonl"), long).expect("written");
    let many = log.join("many");
    fs::create_dir(&many).expect("made");
    let files = 100_000;
    for n in 1..=files {
        let rec =
            r#"{"item":"oil-hoses","machine":"main","at":"2026-05-01T09:00:00+02:00","done":"x"}"#;
        fs::write(many.join(format!("{n}.jsonl")), line(n, rec)).expect("written");
    }
    let run = place.run(&["walks"]);
    assert!(run.code == Some(0) && run.stdout.contains("w1"), "{run}");
    let (rows, damaged) = check(&place);
    assert!(damaged && rows.len() == 3, "{rows:?}");
    assert!(
        rows[2].contains("100000 before it have no end mark"),
        "{rows:?}"
    );
    assert!(
        rows[0].starts_with("log/huge.jsonl: ") && rows[0].contains("larger than 64 MiB"),
        "{rows:?}"
    );
    assert!(
        rows[1].starts_with("log/long.jsonl: ") && rows[1].contains("longer than any line"),
        "{rows:?}"
    );
    let answer = place.json("logbook-check", &["logbook", "check"]);
    assert!(
        answer["records"]
            .as_u64()
            .is_some_and(|n| n > u64::from(files)),
        "the line after the long one counts"
    );
    // What a user hands in has its cap too.
    let input = fs::File::create(place.path().join("huge.json")).expect("a file");
    input.set_len(1 << 30).expect("1 GiB, sparse");
    for args in [["record", "huge.json"], ["record", "/dev/zero"]] {
        let run = place.run(&args);
        assert!(
            run.code == Some(2) && run.stderr.contains("larger than 16 MiB"),
            "{run}"
        );
    }
}
