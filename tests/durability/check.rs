//! `handlamp logbook check` on damaged files of each kind: it ends with 1 where a record is lost or
//! in doubt, with 0 where none is, and changes nothing.

use std::process::Command;

use super::damage::{LINES, Original};

/// What `logbook check` says of a logbook with these record files: its exit code, and on its
/// standard output what is wrong.
fn check(files: &[&[u8]]) -> (Option<i32>, String) {
    let dir = tempfile::tempdir().expect("a folder");
    std::fs::create_dir_all(dir.path().join("log")).expect("made");
    let boat = r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric",
        "usual_hours_per_month":15,"machines":[{"id":"main","name":"Main engine","hours":1200}]}"#;
    std::fs::write(dir.path().join("boat.json"), boat).expect("written");
    for (n, bytes) in files.iter().enumerate() {
        std::fs::write(dir.path().join(format!("log/{n}.jsonl")), bytes).expect("written");
    }
    let mut command = Command::new(env!("CARGO_BIN_EXE_handlamp"));
    command.env_clear().env("HOME", dir.path()).arg("--logbook");
    command.arg(dir.path()).args(["logbook", "check"]);
    let out = command.args(["--now", "2026-11-25T08:00:00Z"]).output();
    let out = out.expect("it runs");
    for (n, bytes) in files.iter().enumerate() {
        let left = std::fs::read(dir.path().join(format!("log/{n}.jsonl")));
        assert_eq!(&left.expect("there"), bytes, "checking changed a file");
    }
    (
        out.status.code(),
        String::from_utf8(out.stdout).expect("text"),
    )
}

#[test]
fn the_program_ends_with_1_where_a_record_is_lost_or_in_doubt() {
    let original = Original::new();
    let (whole, later) = (&original.bytes, &original.later);
    let lines = original.lines();
    let end = whole.len();
    let flipped = |at: usize, bit: u8| {
        let mut bytes = whole.clone();
        bytes[at] ^= 1 << bit;
        bytes
    };
    let put = |at: usize, bytes: &[u8]| [&whole[..at], bytes, &whole[at..]].concat();
    let over = |at: usize, bytes: &[u8]| {
        [
            &whole[..at],
            bytes,
            whole.get(at + bytes.len()..).unwrap_or(&[]),
        ]
        .concat()
    };
    let without = |gone: usize| {
        let mut left = lines.clone();
        left.remove(gone);
        left.concat()
    };
    let clean = whole.len() - lines[LINES - 4..].concat().len();
    let mut rng = fastrand::Rng::with_seed(11);
    let mut harmed: Vec<(&str, Vec<Vec<u8>>)> = vec![
        ("a line lost", vec![without(0)]),
        ("a line lost", vec![without(30)]),
        ("a line lost", vec![without(LINES - 2)]),
        (
            "cut at a line's end, a later session",
            vec![whole[..clean].to_vec(), later.clone()],
        ),
        (
            "cut in a line, a later session",
            vec![whole[..clean + 50].to_vec(), later.clone()],
        ),
        (
            "joined to half a file",
            vec![[&whole[..clean + 50], later].concat()],
        ),
        (
            "zeros over the end, a later session",
            vec![over(end - 512, &[0; 512]), later.clone()],
        ),
        ("512 zeros over", vec![over(2048, &[0; 512])]),
        ("4096 zeros put in", vec![put(4096, &[0; 4096])]),
        ("newlines over", vec![over(1000, &[b'\n'; 512])]),
    ];
    for _ in 0..12 {
        let at = rng.usize(..end - 1);
        harmed.push(("a bit flipped", vec![flipped(at, rng.u8(..8))]));
        harmed.push(("NUL put in", vec![put(at, &[0])]));
        harmed.push(("RS put in", vec![put(at, &[0x1e])]));
    }
    let harmless: Vec<(&str, Vec<Vec<u8>>)> = vec![
        ("whole", vec![whole.clone()]),
        ("whole, a later session", vec![whole.clone(), later.clone()]),
        ("two copies", vec![whole.clone(), whole.clone()]),
        ("the last newline lost", vec![whole[..end - 1].to_vec()]),
        ("no end mark", vec![without(LINES - 1)]),
        ("half a last line", vec![whole[..end - 20].to_vec()]),
        ("a line twice", vec![[&whole[..], lines[9]].concat()]),
        ("two files in one", vec![[&whole[..], later].concat()]),
        ("an empty line", vec![put(lines[0].len(), b"\n")]),
        (
            "zeros after the end",
            vec![[&whole[..], &[0; 512]].concat()],
        ),
        (
            "an older copy beside",
            vec![whole.clone(), whole[..clean + 50].to_vec()],
        ),
    ];
    let cases = harmed.len() + harmless.len();
    for (expected, files, what) in harmed
        .iter()
        .map(|(what, files)| (1, files, what))
        .chain(harmless.iter().map(|(what, files)| (0, files, what)))
    {
        let files: Vec<&[u8]> = files.iter().map(Vec::as_slice).collect();
        let (code, said) = check(&files);
        assert_eq!(code, Some(expected), "{what}: {said}");
        assert_eq!(said.contains("- damage: "), expected == 1, "{what}: {said}");
    }
    println!("logbook check: {cases} damaged logbooks, each with the right exit code");
}
