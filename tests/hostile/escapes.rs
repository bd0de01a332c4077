//! Text that would act on a terminal, from every place text comes from, through the screens in a
//! real terminal and through the commands; the streams are recorded and searched byte for byte.

use std::path::Path;

use serde_json::json;

use super::harness::{Session, Setup};
use super::laws::acts;
use super::place::{PROFILE, Place, Run};

const BINARY: &str = env!("CARGO_BIN_EXE_handlamp");

/// One of each kind: erase, title, link, clipboard, device string, application command, request of
/// settings, end of a paste, eight-bit forms, bell, backspace, return, direction, nothing, tag.
const EVIL: &str = "\u{1b}[2J\u{1b}]0;owned\u{7}\u{1b}]8;;x:y\u{1b}\\\u{1b}]52;c;cm0=\u{7}\u{1b}Pq\u{1b}\\\u{1b}_x\u{1b}\\\u{1b}P$qm\u{1b}\\\u{1b}[201~\u{9b}31m\u{9d}0;x\u{9c}\u{7}\u{8}\r\u{202e}x\u{2066}\u{200b}\u{feff}\u{e0041}";

/// As much of it as fits into a name of 80 bytes.
const EVIL_SHORT: &str =
    "\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\u{8}\r\u{202e}\u{200b}\u{feff}\u{e0041}";

/// What a file name can hold of it: no slash, no NUL.
const EVIL_NAME: &str = "a\u{1b}[2J\u{1b}]0;owned\u{7}\u{9b}31m\u{8}\r\u{202e}\u{200b}\u{e0041}\nb";

/// Nothing but text and line ends.
#[track_caller]
fn tame(run: &Run) {
    for text in [&run.stdout, &run.stderr] {
        assert!(!text.contains(|c| acts(c) && c != '\n'), "{run}");
    }
}

/// The stream of a full-screen program with its own control sequences taken out: `ESC [`, figures
/// and signs, one letter. Panics at any other escape.
fn without_own_sequences(raw: &[u8]) -> String {
    let text = String::from_utf8(raw.to_vec()).expect("the program writes UTF-8");
    let mut rest = text.as_str();
    let mut out = String::new();
    while let Some(at) = rest.find('\u{1b}') {
        out.push_str(&rest[..at]);
        let tail = &rest[at + 1..];
        let body = tail.strip_prefix('[').unwrap_or_else(|| {
            panic!(
                "an escape that is no CSI: {:?}",
                &tail[..tail.len().min(20)]
            )
        });
        let end = body
            .find(|c: char| c.is_ascii_alphabetic() || c == '~')
            .expect("it ends");
        let (figures, last) = (&body[..end], &body[end..=end]);
        assert!(
            figures
                .chars()
                .all(|c| c.is_ascii_digit() || ";?:".contains(c)),
            "{figures}{last}"
        );
        assert!("mHhlJKABCDG".contains(last), "{figures}{last}");
        rest = &body[end + 1..];
    }
    out.push_str(rest);
    out
}

#[track_caller]
fn stream_is_tame(session: &Session) {
    let shown = without_own_sequences(&session.raw());
    // The terminal itself turns a line end into CR LF when the program has left.
    let odd = shown.replace("\r\n", "").chars().find(|c| acts(*c));
    assert!(odd.is_none(), "{odd:?} in {shown:?}");
}

/// A boat, a catalogue, a checklist and records with such text wherever text is taken.
fn evil_place() -> Place {
    let mut profile: serde_json::Value = serde_json::from_str(PROFILE).expect("JSON");
    profile["name"] = format!("Plover{EVIL_SHORT}").into();
    profile["machines"][0]["name"] = format!("Engine{EVIL_SHORT}").into();
    let place = Place::with(&profile.to_string());
    place.record(&json!({"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T07:40:00+02:00","by":EVIL,"hours":1203.6,
        "looks":[{"item":"drive-belt","grade":"worn","note":EVIL,"grade_reason":EVIL,"wear":[{"mark":"chafe","where":EVIL,"against":EVIL}]},
                 {"item":"bilge-alarm","not_seen":format!("dark{EVIL}"),"close_by":EVIL}]}));
    place.record(&json!({"type":"plan","name":format!("p{EVIL_SHORT}"),"hours":5}));
    place.record(&json!({"type":"recheck","item":"drive-belt","due_hours":1203.7,"why":EVIL}));
    place
}

/// A catalogue and a checklist of the user's with text that cannot be seen. What would act is
/// refused when they are loaded; what hides alone is taken and has to be shown.
fn own_files(place: &Place, title: &str) {
    let text = |file: &str| {
        std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(file)).expect("text")
    };
    let mut catalogue: serde_json::Value =
        serde_json::from_str(&text("checklists/catalogue/hatch.json")).expect("JSON");
    let items = catalogue["items"].as_array_mut().expect("items");
    items.truncate(1);
    items[0]["id"] = "own-smell".into();
    items[0]["station"] = "own-station".into();
    for field in ["title", "look", "source"] {
        items[0][field] = format!("{field} {title}").into();
    }
    for rung in items[0]["ladder"].as_array_mut().expect("rungs") {
        *rung = format!("{} {title}", rung.as_str().expect("text")).into();
    }
    items[0]["cautions"] = json!([format!("care {title}")]);
    items[0]["remedy"]["do"] = format!("do {title}").into();
    catalogue["stations"] =
        json!([{"id":"own-station","title":format!("Station {title}"),"after":"hatch"}]);
    place.file(
        "home/.config/handlamp/checklists/catalogue.json",
        &catalogue.to_string(),
    );
    let list = json!({"type":"checklist","id":"own","title":format!("List {title}"),"purpose":format!("Why {title}"),"closes_with":"daily",
        "phases":[{"id":"cold","title":format!("Cold {title}"),"state":"cold","before":format!("Before {title}"),
                   "rows":[{"title":format!("Row {title}"),"station":"own-station","items":["own-smell"]}]}]});
    place.file(
        "home/.config/handlamp/checklists/list.json",
        &list.to_string(),
    );
}

fn on(place: &Place, args: &[&str]) -> Session {
    let text = |path: std::path::PathBuf| path.to_str().expect("UTF-8").to_owned();
    Setup::new(BINARY, args)
        .env("HANDLAMP_LOGBOOK", &text(place.logbook()))
        .env(
            "HANDLAMP_CONFIG_DIR",
            &text(place.path().join("home/.config/handlamp")),
        )
        .start()
}

#[test]
fn the_screens_show_what_was_recorded_and_obey_none_of_it() {
    let place = evil_place();
    own_files(&place, "dark\u{200b}\u{e0041}\u{ad}\u{2060}");
    let mut session = on(&place, &[]);
    session.wait_for_text("Plover⟪ESC⟫[2J");
    for (keys, wanted) in [
        ("d", "rows"),
        ("<Enter>", "Drive belt"),
        ("<Esc>", "rows"),
        ("<Esc>", "Morning check"),
        ("b", "⟪ESC⟫"),
        ("<Esc>", "Morning check"),
        ("?", "Keys"),
        ("<Esc>", "Morning check"),
        ("<Enter>", "go on"),
    ] {
        session.send(keys);
        if !(wanted == "go on" || wanted == "Keys") {
            session.wait_for_text(wanted);
        }
    }
    session.send_raw(b"\x03");
    assert_eq!(session.exit_status().exit_code(), 0);
    stream_is_tame(&session);
    let mut session = on(&place, &["walk", "own"]);
    session.wait_for_text("dark⟪200B⟫⟪E0041⟫⟪00AD⟫⟪2060⟫");
    session.send_raw(b"\x03");
    session.exit_status();
    stream_is_tame(&session);
}

#[test]
fn what_is_pasted_is_shown_and_obeyed_nowhere() {
    let place = Place::with_boat();
    let mut session = on(&place, &["walk", "daily"]);
    session.wait_for_text("Hour meter");
    session.send("<Enter>");
    session.wait_for_text("0/");
    session.send("n");
    session.wait_for_text("note");
    // The end of a paste inside it ends it; what follows comes as keys, faster than any hand.
    let paste = format!("\u{1b}[200~before{}after", EVIL.replace("\u{1b}[201~", ""));
    session.send_raw(paste.as_bytes());
    session.send_raw(b"\x1b[201~");
    session.wait_for_text("⟪202E⟫");
    session.send_raw(b"\x13");
    session.send("00");
    session.wait_for_text("1/");
    session.send_raw(b"\x03");
    session.exit_status();
    stream_is_tame(&session);
    let mut export = place.command();
    assert!(
        export
            .args(["logbook", "export", "tables"])
            .status()
            .expect("run")
            .success()
    );
    let looks = std::fs::read_to_string(place.path().join("tables/looks.ndjson")).expect("looks");
    assert!(
        looks.contains("before⟪ESC⟫[2J"),
        "kept as it was shown: {looks}"
    );
}

#[test]
fn titles_that_would_act_are_refused_and_those_that_hide_are_shown() {
    let place = Place::with_boat();
    own_files(&place, EVIL);
    for args in [&["checklist", "list"][..], &["defects"], &["walk", "own"]] {
        let run = place.run(args);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(run.stderr.contains("hidden control character"), "{run}");
        tame(&run);
    }
    own_files(&place, "dark\u{200b}\u{e0041}");
    for args in [
        &["checklist", "list"][..],
        &["checklist", "show", "own"],
        &["checklist", "sheet", "own"],
        &["checklist", "list", "--json"],
        &["checklist", "show", "own", "--json"],
    ] {
        let run = place.run(args);
        assert_eq!(run.code, Some(0), "{run}");
        tame(&run);
        assert!(
            args.contains(&"--json") || run.stdout.contains("dark⟪200B⟫⟪E0041⟫"),
            "{run}"
        );
    }
}

#[test]
fn names_of_files_and_folders_act_on_nothing() {
    let place = evil_place();
    let put = |path: std::path::PathBuf, text: &str| {
        std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
        std::fs::write(path, text).expect("written");
    };
    put(
        place
            .logbook()
            .join("log")
            .join(format!("{EVIL_NAME}.jsonl")),
        "rubbish\n",
    );
    put(
        place.logbook().join("log").join(EVIL_NAME).join("x.jsonl"),
        "rubbish\n",
    );
    let check = place.run(&["logbook", "check"]);
    assert_eq!(check.code, Some(1), "{check}");
    assert!(check.stdout.contains("a⟪ESC⟫[2J"), "{check}");
    tame(&check);
    tame(&place.run(&["logbook", "check", "--json"]));
    put(
        place
            .path()
            .join("home/.config/handlamp/checklists")
            .join(format!("{EVIL_NAME}.json")),
        "{\"type\":\"checklist\",\"id\":7}",
    );
    let list = place.run(&["checklist", "list"]);
    assert_eq!(list.code, Some(2));
    tame(&list);
    assert!(
        list.stderr.contains("u{1b}") || list.stderr.contains("⟪ESC⟫"),
        "{list}"
    );
    let named = place.path().join(EVIL_NAME);
    let name = named.to_str().expect("UTF-8");
    put(named.join("boat.json"), "{");
    for args in [
        &["defects", "--logbook", name][..],
        &["record", name],
        &["checklist", "check", name],
        &["boat", "set", name],
        &["logbook", "merge", name],
        &["logbook", "export", name],
        &["demo", name, "--json"],
        &["fleet", name],
        &["fleet", "--rates", name],
        &["learning", "start", name],
        &["issue", "w1", "--to", name],
        &["issued", "2026-01", "--to", name],
        &["verify", name, "SKNX4Q-07S8H8-J2WP4Y"],
        &["leaving", "--logbook", name],
        &["front", "w1", name],
    ] {
        let run = place.run(args);
        assert_ne!(run.code, Some(0), "{run}");
        tame(&run);
    }
    // Names that are no UTF-8 at all.
    use std::os::unix::ffi::OsStrExt;
    let bytes = std::ffi::OsStr::from_bytes(b"\xff\x1b[2J\x9b.jsonl");
    put(place.logbook().join("log").join(bytes), "rubbish\n");
    tame(&place.run(&["logbook", "check"]));
    let mut command = place.command();
    command.args(["record"]).arg(bytes);
    let run = place.finish(&["record"], command.output().expect("run"));
    assert_eq!(run.code, Some(2), "{run}");
    tame(&run);
    let mut command = place.command();
    command.arg(bytes);
    let run = place.finish(&[bytes], command.output().expect("run"));
    assert_eq!(run.code, Some(2));
    tame(&run);
}

#[test]
fn variables_of_the_environment_act_on_nothing() {
    let place = evil_place();
    for (name, value) in [
        ("HANDLAMP_LOGBOOK", format!("/nowhere/{EVIL}")),
        ("HANDLAMP_CONFIG_DIR", format!("/nowhere/{EVIL}")),
        ("HOME", format!("/{EVIL}")),
        ("XDG_DATA_HOME", format!("/{EVIL}")),
        ("XDG_CONFIG_HOME", format!("/{EVIL}")),
        ("TERM", EVIL.to_owned()),
        ("COLUMNS", EVIL.to_owned()),
        ("LANG", EVIL.to_owned()),
        ("LC_ALL", EVIL.to_owned()),
        ("NO_COLOR", EVIL.to_owned()),
        ("TZ", EVIL.to_owned()),
    ] {
        for args in [
            &["defects"][..],
            &["leaving"],
            &["front", "w1"],
            &["issued"],
            &["fleet"],
            &["learning", "start", "none.json"],
            &["verify", "none.html", "SKNX4Q-07S8H8-J2WP4Y"],
            &["logbook", "check"],
            &[],
        ] {
            let mut command = place.command();
            command.args(args).env(name, &value);
            if name.starts_with("XDG_DATA") || name == "HOME" {
                command.env_remove("HANDLAMP_LOGBOOK");
            }
            let run = place.finish(args, command.output().expect("run"));
            tame(&run);
        }
    }
    place.file(
        "home/.config/handlamp/config.json",
        &json!({"by":EVIL,"theme":EVIL,"keys":{EVIL:[EVIL]},EVIL:1}).to_string(),
    );
    let (code, shown) = place.run_on_terminal("xterm", &[], "");
    assert_eq!(code, 2, "{shown}");
    assert!(
        !shown
            .replace("\r\n", "\n")
            .contains(|c| acts(c) && c != '\n'),
        "{shown:?}"
    );
}

#[test]
fn the_files_of_a_logbook_may_be_shown_by_anything() {
    let place = evil_place();
    let mut folders = vec![place.logbook()];
    let mut files = 0;
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).expect("a folder") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let text = std::fs::read_to_string(&path).expect("UTF-8");
            let odd = text.chars().find(|c| acts(*c) && *c != '\n');
            assert!(odd.is_none(), "{odd:?} in {}", path.display());
            files += 1;
        }
    }
    assert!(files >= 5);
}
