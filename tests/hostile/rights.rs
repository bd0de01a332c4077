//! Whose the files are, and who else may change them.

use std::fs;
use std::os::unix::fs::MetadataExt;
use std::process::Command;

use serde_json::Value;

use super::disk::{
    BINARY, NOBODY, all_below, as_nobody, can_be_nobody, check, mode, opened_to_all, records,
};
use super::place::Place;

#[test]
fn everything_written_is_for_its_user_alone_whatever_the_umask() {
    for umask in ["000", "022", "077"] {
        let place = Place::with_findings();
        fs::remove_dir_all(place.logbook()).expect("gone");
        let boat = place.file("boat.json", super::place::PROFILE);
        let script = format!(
            "umask {umask} && h() {{ \"$0\" --now 2026-05-03T09:00:00+02:00 \"$@\"; }} && h boat new {boat} --now 2026-04-26T09:00:00+02:00 && h record w1.json && h repair drive-belt --done 'new belt' && h logbook export tables && h demo --json demo"
        );
        let base = place.command();
        let mut shell = Command::new("sh");
        shell
            .args(["-c", &script, BINARY])
            .env_clear()
            .current_dir(place.path());
        shell.envs(base.get_envs().filter_map(|(k, v)| Some((k, v?))));
        let out = shell.output().expect("a shell");
        assert!(
            out.status.success(),
            "{}",
            String::from_utf8_lossy(&out.stderr)
        );
        let mut count = 0;
        for root in [
            place.logbook(),
            place.path().join("tables"),
            place.path().join("demo"),
        ] {
            for path in all_below(&root) {
                let meta = fs::metadata(&path).expect("there");
                let wanted = if meta.is_dir() { 0o700 } else { 0o600 };
                assert_eq!(
                    meta.mode() & 0o7777,
                    wanted,
                    "umask {umask}: {}",
                    path.display()
                );
                count += 1;
            }
        }
        assert!(count > 20, "{count}");
    }
}

#[test]
fn a_record_that_others_may_change_is_noticed() {
    let place = Place::with_findings();
    let first = records(&place).swap_remove(0);
    mode(&first, 0o666);
    mode(&place.logbook().join("log"), 0o770);
    mode(&place.logbook().join("boat.json"), 0o620);
    let (rows, damaged) = check(&place);
    assert!(!damaged, "a notice, no damage: {rows:?}");
    assert_eq!(
        rows.iter()
            .filter(|row| row.contains("others may change"))
            .count(),
        3,
        "{rows:?}"
    );
    opened_to_all(&place);
    assert_eq!(
        check(&place).0,
        Vec::<String>::new(),
        "reading alone is the owner's business"
    );
}

#[test]
fn what_root_wrote_for_somebody_belongs_to_them_and_what_is_not_theirs_is_reported() {
    if !can_be_nobody() {
        return;
    }
    let place = Place::with_findings();
    mode(place.path(), 0o755);
    for path in all_below(&place.logbook()) {
        std::os::unix::fs::chown(&path, Some(NOBODY), Some(NOBODY)).expect("theirs");
    }
    // Run as root, as with sudo: a new year, a new file, a new profile.
    let run = place.run_at(
        "2027-01-02T09:00:00+02:00",
        &["repair", "drive-belt", "--done", "new belt"],
    );
    assert_eq!(run.code, Some(0), "{run}");
    for path in all_below(&place.logbook()) {
        assert_eq!(
            fs::metadata(&path).expect("there").uid(),
            NOBODY,
            "{}",
            path.display()
        );
    }
    let answer = as_nobody(
        &place.logbook(),
        &[
            "logbook",
            "check",
            "--json",
            "--now",
            "2027-01-02T10:00:00+02:00",
        ],
    )
    .expect("run");
    let answer: Value = serde_json::from_slice(&answer.stdout).expect("JSON");
    assert_eq!(
        (&answer["damaged"], &answer["rows"]),
        (&false.into(), &serde_json::json!([]))
    );
    // A file that stayed root's is told, not passed over.
    let theirs = records(&place).pop().expect("files");
    std::os::unix::fs::chown(&theirs, Some(0), Some(0)).expect("root's");
    let run = place.finish(
        &["logbook check"],
        as_nobody(&place.logbook(), &["logbook", "check"]).expect("run"),
    );
    assert!(
        run.code == Some(3) && run.stdout.contains("cannot be read"),
        "{run}"
    );
}
