//! What the program is built from: licences, sources, no network, no second copies without a
//! reason. Asked of `Cargo.lock` and `cargo metadata`, which every machine that builds has.

use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

use serde_json::Value;

use super::harness::Setup;
use super::place::Place;

/// Licences under which the program may be handed on as it is. MPL-2.0 binds changed files alone,
/// and none is changed.
const LICENCES: [&str; 12] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "Apache-2.0 WITH LLVM-exception",
    "BSD-2-Clause",
    "BSL-1.0",
    "ISC",
    "MPL-2.0",
    "Unicode-3.0",
    "Unicode-DFS-2016",
    "Unlicense",
    "Zlib",
];

/// A package in the tree under another licence, and why it may stay.
const OTHER_LICENCES: [(&str, &str, &str); 1] = [(
    "terminfo",
    "WTFPL",
    "only behind a terminal library that is not built",
)];

/// Packages that speak over a network, or exist for those that do. `mio`, through which the terminal
/// library would wait for keys, has sockets built in and is never asked for one: the trace below.
const NETWORK: [&str; 30] = [
    "reqwest",
    "hyper",
    "h2",
    "h3",
    "http",
    "tokio",
    "async-std",
    "smol",
    "async-net",
    "socket2",
    "curl",
    "curl-sys",
    "isahc",
    "ureq",
    "attohttpc",
    "minreq",
    "surf",
    "openssl",
    "openssl-sys",
    "native-tls",
    "rustls",
    "quinn",
    "tungstenite",
    "hickory-resolver",
    "trust-dns-resolver",
    "libssh2-sys",
    "ssh2",
    "git2",
    "zbus",
    "webpki",
];

/// Packages that come in more than one version. All but `bitflags` and `signal-hook` are drawn in by
/// test tools, by other platforms or by terminal libraries that are not built; `syn` and the last
/// two by the transition of large libraries from one to the next.
const SEVERAL_VERSIONS: [&str; 10] = [
    "bitflags",
    "cfg_aliases",
    "cpufeatures",
    "getrandom",
    "nix",
    "r-efi",
    "signal-hook",
    "syn",
    "thiserror",
    "thiserror-impl",
];

/// Packages of which the program itself carries two versions: the older `bitflags`, which leaves no
/// code, is that of the reader of PNG; `signal-hook` its own and the terminal library's.
const SHIPPED_TWICE: [&str; 2] = ["bitflags", "signal-hook"];

fn metadata(more: &[&str]) -> Value {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--locked", "--format-version", "1"])
        .args(more)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    serde_json::from_slice(&out.stdout).expect("JSON")
}

fn packages(metadata: &Value) -> &[Value] {
    metadata["packages"].as_array().expect("packages")
}

/// Whether one of the choices of an SPDX expression is wholly allowed. `/` is the old spelling of
/// `OR`.
fn allowed(expression: &str) -> bool {
    let choice = |all: &str| {
        let all = all
            .trim()
            .trim_start_matches('(')
            .trim_end_matches(')')
            .trim();
        LICENCES.contains(&all)
    };
    // No expression of the tree nests deeper than a choice within a conjunction.
    let conjunction = expression.split(" AND ");
    conjunction.into_iter().all(|part| {
        let part = part.replace('/', " OR ");
        part.split(" OR ").any(choice)
    })
}

#[test]
fn every_licence_lets_the_program_be_handed_on() {
    let tree = metadata(&[]);
    let mut refused = Vec::new();
    for package in packages(&tree) {
        let name = package["name"].as_str().expect("a name");
        let licence = package["license"].as_str().unwrap_or("none named");
        let excepted = OTHER_LICENCES
            .iter()
            .any(|(n, l, _)| (*n, *l) == (name, licence));
        if !allowed(licence) && !excepted {
            refused.push(format!("{name}: {licence}"));
        }
    }
    assert!(
        packages(&tree).len() > 100 && refused.is_empty(),
        "{refused:#?}"
    );
    for expression in [
        "GPL-3.0-only",
        "MIT AND GPL-3.0-only",
        "none named",
        "",
        "AGPL-3.0 OR SSPL-1.0",
    ] {
        assert!(!allowed(expression), "{expression}");
    }
    for expression in [
        "MIT/Apache-2.0",
        "GPL-3.0-only OR MIT",
        "(MIT OR Apache-2.0) AND Unicode-3.0",
    ] {
        assert!(allowed(expression), "{expression}");
    }
}

#[test]
fn every_package_comes_from_the_registry() {
    let lock = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.lock"))
        .expect("committed");
    let mut count = 0;
    for part in lock.split("[[package]]").skip(1) {
        let own = part.contains("name = \"handlamp\"\n");
        let registry =
            part.contains("source = \"registry+https://github.com/rust-lang/crates.io-index\"\n");
        let sealed = part.contains("\nchecksum = \"");
        assert!(own || (registry && sealed), "{part}");
        count += 1;
    }
    assert!(count > 100, "{count}");
}

#[test]
fn nothing_in_the_tree_speaks_over_a_network() {
    let tree = metadata(&[]);
    for package in packages(&tree) {
        let name = package["name"].as_str().expect("a name");
        assert!(!NETWORK.contains(&name), "{name} speaks over a network");
    }
}

#[test]
fn no_package_comes_twice_without_a_reason() {
    let tree = metadata(&[]);
    let mut versions: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for package in packages(&tree) {
        let text = |field: &str| package[field].as_str().expect("text");
        versions
            .entry(text("name"))
            .or_default()
            .insert(text("version"));
    }
    let several: Vec<&str> = versions
        .iter()
        .filter(|(_, v)| v.len() > 1)
        .map(|(name, _)| *name)
        .collect();
    assert_eq!(
        several, SEVERAL_VERSIONS,
        "keep this list as short as the tree allows"
    );
    // What the program itself carries on this platform, without what only builds or tests it.
    let out = Command::new(env!("CARGO"))
        .args([
            "tree",
            "--locked",
            "--edges",
            "normal,no-proc-macro",
            "--prefix",
            "none",
            "--format",
            "{p}",
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    let shown = String::from_utf8(out.stdout).expect("UTF-8");
    let mut shipped: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for line in shown.lines() {
        let mut words = line.split_whitespace();
        if let (Some(name), Some(version)) = (words.next(), words.next()) {
            shipped.entry(name).or_default().insert(version);
        }
    }
    assert!(shipped.len() > 30, "{shown}");
    let twice: Vec<&str> = shipped
        .iter()
        .filter(|(_, v)| v.len() > 1)
        .map(|(name, _)| *name)
        .collect();
    assert_eq!(twice, SHIPPED_TWICE);
}

#[test]
fn no_socket_is_opened_from_first_start_to_last_command() {
    if !Command::new("strace")
        .arg("-V")
        .output()
        .is_ok_and(|o| o.status.success())
    {
        crate::skip::skipped("strace", "it is not here, so no system call was watched");
        return;
    }
    let place = Place::with_findings();
    let trace = place.path().join("trace");
    let trace = trace.to_str().expect("UTF-8");
    let under = [
        "-f",
        "-qq",
        "-A",
        "-o",
        trace,
        "-e",
        "trace=%network,execve",
        env!("CARGO_BIN_EXE_handlamp"),
    ];
    let book = place.logbook();
    let book = book.to_str().expect("UTF-8");
    let mut session = Setup::new("strace", &under)
        .env("HANDLAMP_LOGBOOK", book)
        .start();
    session.wait_for_text("Grey Plover");
    session.send_raw(b"\r");
    session.wait_for_text("Hour meter");
    session.send_raw(b"\r");
    session.wait_for_text("0/");
    session.send_raw(b"0");
    session.wait_for_text("1/");
    session.send_raw(b"\x03");
    assert_eq!(session.exit_status().exit_code(), 0);
    for args in [
        &["defects"][..],
        &["logbook", "check"],
        &["walks"],
        &["demo", "--json", "demo"],
    ] {
        let base = place.command();
        let mut command = Command::new("strace");
        command.args(under).args(args).env_clear();
        command
            .envs(base.get_envs().filter_map(|(k, v)| Some((k, v?))))
            .current_dir(place.path());
        assert!(
            command.output().expect("strace runs").status.success(),
            "{args:?}"
        );
    }
    let calls = std::fs::read_to_string(trace).expect("a trace");
    assert_eq!(
        calls.matches("execve(").count(),
        5,
        "all five runs were watched"
    );
    let strange: Vec<&str> = calls
        .lines()
        .filter(|line| {
            !line.contains("execve(") && !line.contains("AF_UNIX") && !line.contains("+++")
        })
        .filter(|line| {
            line.contains("socket(")
                || line.contains("socketpair(")
                || line.contains("connect(")
                || line.contains("bind(")
        })
        .collect();
    assert!(strange.is_empty(), "{strange:#?}");
}
