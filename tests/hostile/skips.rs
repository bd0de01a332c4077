//! What is left out of the tests is left out by name, and never in silence where they judge.

use std::path::{Path, PathBuf};
use std::process::Command;

use super::disk::all_below;
use super::skip::may_skip;

#[test]
fn where_the_tests_judge_only_what_is_named_may_be_left_out() {
    let cases = [
        (None, None, true),
        (Some(""), None, true),
        (Some("false"), None, true),
        (Some("true"), None, false),
        (Some("true"), Some(""), false),
        (Some("1"), Some("fuzz"), false),
        (Some("true"), Some("fuzz,strace"), true),
        (Some("true"), Some("strace fuzz"), true),
        (Some("true"), Some("straces"), false),
        (Some("true"), Some("1"), true),
    ];
    let script = tests().join("../.ci/skipped");
    for (ci, allowed, may) in cases {
        assert_eq!(may_skip(ci, allowed, "strace"), may, "{ci:?} {allowed:?}");
        let mut command = Command::new(&script);
        command
            .args(["strace", "not here"])
            .env_remove("CI")
            .env_remove("ALLOW_SKIP");
        command
            .envs(ci.map(|v| ("CI", v)))
            .envs(allowed.map(|v| ("ALLOW_SKIP", v)));
        let out = command.output().expect("a shell");
        assert_eq!(out.status.success(), may, "{ci:?} {allowed:?}");
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(said.starts_with("SKIPPED strace: not here"), "{said}");
    }
}

/// There is one way to leave something out.
#[test]
fn no_test_leaves_anything_out_by_itself() {
    let word = ["SKIP", "PED"].concat();
    let says = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).unwrap_or_default();
        let tells = |line: &str| line.contains(&word) && line.contains("print");
        text.lines().any(tells)
    };
    let mut found = all_below(&tests());
    found.retain(|p| p.extension().is_some_and(|e| e == "rs") && says(p));
    assert_eq!(found, [tests().join("skip/mod.rs")]);
}

fn tests() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}
