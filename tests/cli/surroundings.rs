//! Homes, pipes, terminals, rights; help and its kin.

use std::process::{Command, Stdio};

use super::harness::{PROFILE, Place, session};

#[test]
fn without_a_home_the_option_is_named() {
    let place = Place::empty();
    for home in [None, Some(""), Some("relative")] {
        let mut command = place.command();
        command
            .args(["defects"])
            .env_remove("HANDLAMP_LOGBOOK")
            .env_remove("HOME");
        if let Some(home) = home {
            command.env("HOME", home);
        }
        let run = place.finish(&["defects"], command.output().expect("run"));
        assert_eq!(run.code, Some(2), "{home:?}");
        assert!(run.stderr.contains("--logbook"), "{}", run.stderr);
        assert_eq!(run.stderr.lines().count(), 1);
    }
    assert!(!place.path().join("relative").exists());
}

#[test]
fn with_a_home_the_logbook_lies_in_its_data_folder() {
    let place = Place::empty();
    let file = place.file("boat.json", PROFILE);
    let mut command = place.command();
    command
        .args(["boat", "new", &file])
        .env_remove("HANDLAMP_LOGBOOK");
    assert!(command.output().expect("run").status.success());
    assert!(
        place
            .path()
            .join("home/.local/share/handlamp/logbook/boat.json")
            .is_file()
    );
}

#[test]
fn a_relative_logbook_is_taken_from_here() {
    let place = Place::empty();
    let file = place.file("boat.json", PROFILE);
    let run = place.run(&["boat", "new", &file, "--logbook", "her log"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(place.path().join("her log/boat.json").is_file());
    assert!(run.stdout.contains("[DIR]/her log"));
    assert_eq!(place.run(&["boat", "show", "--logbook", ""]).code, Some(2));
}

#[test]
fn a_logbook_that_is_not_there_or_spoilt_is_its_own_exit_code() {
    let place = Place::empty();
    let spoilt = place.file("spoilt/boat.json", "{\"type\":\"boat\"");
    let spoilt = spoilt.trim_end_matches("/boat.json");
    let file = place.file("a-file", "x");
    let runs = [
        place.run(&["defects"]),
        place.run(&["defects", "--logbook", spoilt]),
        place.run(&["defects", "--logbook", &file]),
        place.run(&[
            "boat",
            "new",
            &place.file("boat.json", PROFILE),
            "--logbook",
            &file,
        ]),
    ];
    assert!(
        runs.iter()
            .all(|r| r.code == Some(3) && r.stdout.is_empty())
    );
    insta::assert_snapshot!(session(&runs));
}

/// Root may read everything, so the program is run as somebody else.
#[test]
fn a_folder_that_may_not_be_read_or_written_is_told() {
    let place = Place::with_findings();
    let as_nobody = |args: &[&str]| {
        let mut command = Command::new("setpriv");
        command
            .args(["--reuid=65534", "--regid=65534", "--clear-groups"])
            .arg(env!("CARGO_BIN_EXE_handlamp"))
            .args(args)
            .env_clear()
            .env("HANDLAMP_LOGBOOK", place.logbook())
            .env("HOME", place.path())
            .current_dir("/")
            .stdin(Stdio::null());
        command.output()
    };
    let able = as_nobody(&["--version"]).is_ok_and(|o| o.status.success());
    if !able {
        crate::skip::skipped("setpriv", "the program cannot be run as another user here");
        return;
    }
    let open = |path: &std::path::Path, mode: u32| {
        use std::os::unix::fs::PermissionsExt;
        std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).expect("mode");
    };
    open(place.path(), 0o755);
    // Logbooks are private: another user may not even look.
    let run = place.finish(&["defects"], as_nobody(&["defects"]).expect("run"));
    assert_eq!(run.code, Some(3), "{run}");
    assert!(run.stderr.contains("cannot be read"), "{}", run.stderr);
    // Readable and not writable: the list is shown, an act refused.
    let opened = Command::new("chmod")
        .args(["-R", "a+rX"])
        .arg(place.logbook())
        .status();
    assert!(opened.expect("chmod").success());
    let run = place.finish(&["defects"], as_nobody(&["defects"]).expect("run"));
    assert_eq!(run.code, Some(0), "{run}");
    let args = ["repair", "drive-belt", "--done", "new belt"];
    let run = place.finish(&args, as_nobody(&args).expect("run"));
    assert_eq!(run.code, Some(3), "{run}");
    assert!(run.stderr.contains("cannot be written"), "{}", run.stderr);
}

#[test]
fn a_reader_that_leaves_is_no_failure() {
    let place = Place::with_findings();
    let mut command = place.command();
    command
        .args(["checklist", "show", "survey"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    let mut child = command.spawn().expect("run");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    let run = place.finish(&["checklist", "show", "survey"], output);
    assert_eq!((run.code, run.stderr.as_str()), (Some(0), ""));
}

#[test]
fn a_full_disk_behind_the_answer_is_told() {
    let place = Place::with_findings();
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .expect("/dev/full");
    let mut command = place.command();
    command.arg("defects").stdout(full);
    let run = place.finish(&["defects"], command.output().expect("run"));
    assert_eq!(run.code, Some(3));
    assert!(
        run.stderr.contains("the answer cannot be written"),
        "{}",
        run.stderr
    );
}

#[test]
fn closed_streams_touch_nothing_and_do_no_harm() {
    let place = Place::with_findings();
    let mut sealed = Vec::new();
    for (script, code) in [
        ("\"$0\" defects <&- >&- 2>&-", 0),
        ("\"$0\" record - <&-", 2),
        ("\"$0\" <&- >&-", 2),
        ("\"$0\" </dev/null", 2),
        (
            "\"$0\" walk daily </dev/null | cat; exit ${PIPESTATUS[0]}",
            2,
        ),
    ] {
        let base = place.command();
        let mut command = Command::new("bash");
        command
            .arg("-c")
            .arg(script)
            .arg(env!("CARGO_BIN_EXE_handlamp"))
            .env_clear();
        command.envs(base.get_envs().filter_map(|(k, v)| Some((k, v?))));
        command
            .env("PATH", "/usr/bin:/bin")
            .current_dir(place.path());
        let run = place.finish(&[script], command.output().expect("run"));
        assert_eq!(run.code, Some(code), "{run}");
        assert!(!run.stdout.contains('\u{1b}') && !run.stderr.contains('\u{1b}'));
        sealed.push(run);
    }
    insta::assert_snapshot!(session(&sealed));
}

#[test]
fn the_same_time_gives_the_same_records() {
    let ids = |place: &Place| {
        let answer = place.json("recorded", &["repair", "drive-belt", "--done", "new belt"]);
        let again = place.json("recorded", &["repair", "oil-hoses", "--done", "new clip"]);
        assert_ne!(
            answer["ids"], again["ids"],
            "two sessions at one time differ"
        );
        assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
        (answer["ids"].clone(), again["ids"].clone())
    };
    assert_eq!(ids(&Place::with_findings()), ids(&Place::with_findings()));
}

#[test]
fn help_version_and_misuse() {
    let place = Place::empty();
    let plain = |args: &[&str]| {
        let mut command = place.command();
        place.finish(args, command.args(args).output().expect("run"))
    };
    let runs = [
        plain(&["--help"]),
        plain(&["-h"]),
        plain(&["defects", "-h"]),
        plain(&["boat", "new", "--help"]),
        plain(&["--now", "yesterday", "walks"]),
        plain(&["defect"]),
        plain(&["defects", "--theme", "pink"]),
        plain(&["dew"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let version = plain(&["--version"]);
    assert_eq!(
        version.stdout,
        format!("handlamp {}\n", env!("CARGO_PKG_VERSION"))
    );
}

#[test]
fn completions_and_manual_pages_know_every_command() {
    let place = Place::empty();
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let run = place.run(&["completions", shell]);
        assert_eq!(run.code, Some(0));
        assert!(run.stdout.contains("withdraw"), "{shell}");
    }
    let page = place.run(&["man"]).stdout;
    for command in [
        "walk",
        "boat",
        "record",
        "verdict",
        "defects",
        "defer",
        "override",
        "repair",
        "withdraw",
        "explain",
        "plan",
        "walks",
        "checklist",
        "logbook",
        "demo",
        "keys",
    ] {
        assert!(
            page.contains(&format!("handlamp\\-{command}(1)")),
            "{command}"
        );
        let own = place.run(&["man", command]).stdout;
        assert!(own.contains(".SH NAME"), "{command}");
    }
    assert!(
        place
            .run(&["man", "boat", "new"])
            .stdout
            .contains("handlamp boat new")
    );
    assert!(
        place
            .run(&["man", "bota"])
            .stderr
            .contains("nearest is 'boat'")
    );
}

#[test]
fn a_terminal_without_places_gets_no_screens() {
    let place = Place::with_boat();
    for term in ["dumb", ""] {
        let (code, shown) = place.run_on_terminal(term, &["walk", "daily"], "");
        assert_eq!(code, 2, "{shown}");
        assert!(
            shown.contains("TERM") && !shown.contains('\u{1b}'),
            "{shown}"
        );
    }
    let (code, shown) = place.run_on_terminal("dumb", &["defects"], "");
    assert_eq!(code, 0, "commands need no such terminal: {shown}");
}

#[test]
fn the_demo_boat_is_written_where_it_is_wanted_and_her_records_are_whole() {
    let place = Place::empty();
    let folder = place.path().join("demo boat");
    let name = folder.to_str().expect("UTF-8");
    let answer = place.json("demo", &["demo", name]);
    assert_eq!(answer["logbook"], "[DIR]/demo boat");
    let there =
        |schema: &str, args: &[&str]| place.json(schema, &[args, &["--logbook", name]].concat());
    let check = there("logbook-check", &["logbook", "check"]);
    assert_eq!(
        (&check["damaged"], &check["rows"]),
        (&false.into(), &serde_json::json!([]))
    );
    let list = there("defects", &["defects", "--all"]);
    assert!(list["rows"].as_array().is_some_and(|rows| rows.len() > 3));
    assert!(
        there("walks", &["walks"])["rows"]
            .as_array()
            .is_some_and(|rows| rows.len() > 10)
    );
    let bare = place.run(&["demo"]);
    assert_eq!(
        (bare.code, bare.stdout.as_str()),
        (Some(2), ""),
        "the screens need a terminal"
    );
}

#[test]
fn the_keys_are_printed() {
    let place = Place::empty();
    let answer = place.json("keys", &["keys"]);
    let rows = answer["rows"].as_array().expect("rows");
    assert!(rows.iter().any(|row| row["keys"] == "0"));
    let text = place.run(&["keys"]).stdout;
    assert!(
        text.lines().count() > 20 && text.contains("Sound"),
        "{text}"
    );
    // Into a pipe too every row says all of it.
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let long = "Start the selected checklist, or go on with the walk left open";
    let row = words(&text.replace("Moving", "").replace("enter", ""));
    assert!(!text.contains('…') && row.contains(long), "{text}");
}
