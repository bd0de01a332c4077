//! Whose window, which terminal, whose home, how much memory.

use std::process::{Command, Stdio};

use rustix::process::Signal;

use super::harness::{Session, Setup};
use super::place::Place;
use super::skip::skipped;

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

fn on(place: &Place, change: impl FnOnce(Setup) -> Setup) -> Session {
    let book = place.logbook();
    let setup = Setup::new(BINARY, &[]).env("HANDLAMP_LOGBOOK", book.to_str().expect("UTF-8"));
    let session = change(setup).start();
    session.wait_for_text("Grey Plover");
    session
}

fn walk_one_row(session: &mut Session) {
    session.send("<Enter>");
    session.wait_for_text("Hour meter");
    session.send("<Enter>");
    session.wait_for_text("0/");
    session.send("0");
    session.wait_for_text("1/");
}

#[test]
fn beside_a_window_that_is_stopped_a_second_one_works_and_says_so() {
    let place = Place::with_findings();
    let mut first = on(&place, |setup| setup);
    walk_one_row(&mut first);
    first.signal(Signal::STOP);
    let mut second = on(&place, |setup| setup);
    second.wait_for_text("another window");
    second.send("d");
    second.wait_for_text("rows");
    second.send("<C-c>");
    assert_eq!(second.exit_status().exit_code(), 0);
    let run = place.run(&["repair", "drive-belt", "--done", "new belt"]);
    assert_eq!(run.code, Some(0), "{run}");
    first.signal(Signal::CONT);
    first.send("0");
    first.wait_for_text("2/");
    first.send("<C-c>");
    assert_eq!(first.exit_status().exit_code(), 0);
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
    let third = on(&place, |setup| setup);
    assert!(
        !third.contents().contains("another window"),
        "{}",
        third.contents()
    );
}

/// Two run side by side on one logbook, and some of the runs are killed on the way: whatever was
/// acknowledged is there once, and nothing is damaged.
#[test]
fn two_at_once_and_some_killed_lose_nothing_acknowledged() {
    let place = Place::with_findings();
    let place = &place;
    let record = move |who: usize| -> Vec<String> {
        let mut acknowledged = Vec::new();
        for n in 0..25_u64 {
            let done = format!("by {who}, run {n}");
            let mut command = place.command();
            command.args(["repair", "oil-hoses", "--done", &done, "--json"]);
            command.stdout(Stdio::piped()).stderr(Stdio::piped());
            let mut child = command.spawn().expect("it starts");
            if n % 5 == 4 {
                std::thread::sleep(std::time::Duration::from_millis(n));
                // One that has ended meanwhile has nothing left to lose.
                let _ = child.kill();
            }
            let out = child.wait_with_output().expect("it ends");
            if out.status.success() {
                acknowledged.push(done);
            }
        }
        acknowledged
    };
    let both: Vec<String> = std::thread::scope(|scope| {
        let runs = [0, 1].map(|who| scope.spawn(move || record(who)));
        runs.into_iter()
            .flat_map(|run| run.join().expect("it ran"))
            .collect()
    });
    assert!(both.len() >= 40, "{}", both.len());
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(check["damaged"], false, "{check}");
    let mut export = place.command();
    export.args(["logbook", "export", "tables"]);
    assert!(export.output().expect("run").status.success());
    let table = place.path().join("tables/repairs.ndjson");
    let repairs = std::fs::read_to_string(table).expect("repairs");
    for done in both {
        assert_eq!(repairs.matches(&format!("\"{done}\"")).count(), 1, "{done}");
    }
}

#[test]
fn any_terminal_with_places_will_do_and_ascii_where_no_more_is_known() {
    let place = Place::with_findings();
    for term in ["vt100", "no-such-terminal", "linux", "xterm-direct"] {
        let mut session = on(&place, |setup| setup.env("TERM", term));
        session.send("<C-c>");
        assert_eq!(session.exit_status().exit_code(), 0, "{term}");
    }
    for (locale, ascii) in [
        ("C", true),
        ("POSIX", true),
        ("en_GB.ISO-8859-1", true),
        ("C.UTF-8", false),
    ] {
        let mut session = on(&place, |setup| {
            setup.env("LANG", locale).env("LC_ALL", locale)
        });
        session.send("d");
        session.wait_for_text("rows");
        let text = session.contents();
        assert_eq!(text.contains('▸'), !ascii, "{locale}:\n{text}");
        session.send("<C-c>");
        session.exit_status();
    }
}

#[test]
fn a_user_whom_no_list_knows_gets_a_sentence_that_names_the_option() {
    let out = Command::new("setpriv")
        .args([
            "--reuid=12345",
            "--regid=12345",
            "--clear-groups",
            BINARY,
            "defects",
        ])
        .env_clear()
        .current_dir("/")
        .stdin(Stdio::null())
        .output();
    let Ok(out) = out else {
        skipped("setpriv", "it is not here");
        return;
    };
    let said = String::from_utf8(out.stderr).expect("UTF-8");
    if said.contains("setpriv") {
        skipped("setpriv", &said);
        return;
    }
    assert_eq!(out.status.code(), Some(2), "{said}");
    assert!(
        said.contains("--logbook") && said.lines().count() == 1,
        "{said}"
    );
}

/// Too little memory for ten years of records ends in a sentence, an abort or a full answer, and
/// the records are whole afterwards.
#[test]
fn too_little_memory_harms_no_record() {
    let place = Place::with_findings();
    let before = place.json("logbook-check", &["logbook", "check"]);
    let mut ended = Vec::new();
    for mib in [8_u64, 16, 24, 48, 96] {
        let base = place.command();
        let mut command = Command::new("prlimit");
        command
            .args([
                &format!("--as={}", mib << 20),
                BINARY,
                "repair",
                "oil-hoses",
                "--done",
                "new clip",
            ])
            .env_clear()
            .envs(base.get_envs().filter_map(|(k, v)| Some((k, v?))))
            .env("PATH", "/usr/bin:/bin")
            .current_dir(place.path());
        let Ok(out) = command.output() else {
            skipped("prlimit", "no limit can be set; no memory was short");
            return;
        };
        ended.push((mib, out.status.code()));
    }
    let worked = ended.iter().filter(|(_, code)| *code == Some(0)).count() as u64;
    println!("with so many MiB it ended so: {ended:?}");
    assert!(worked > 0, "{ended:?}");
    let after = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(after["damaged"], false);
    let records = |answer: &serde_json::Value| answer["records"].as_u64().expect("a number");
    assert_eq!(
        records(&after),
        records(&before) + worked,
        "as many records as were acknowledged"
    );
}
