//! The program talks to nobody: no call of the network family in a whole journey.

use crate::harness::Setup;
use crate::scene::{BINARY, Home, NOW};
use crate::trace::works;

/// What a traced run called that has to do with a network. Sockets within the machine are none.
fn outside(trace: &std::path::Path) -> Vec<String> {
    let text = std::fs::read_to_string(trace).expect("a trace");
    assert!(text.contains("+++ exited"), "the run was traced to its end");
    let family = ["socket(", "socketpair(", "connect(", "bind(", "sendto("];
    text.lines()
        .filter(|line| family.iter().any(|call| line.contains(call)))
        .filter(|line| !line.contains("AF_UNIX"))
        .map(str::to_owned)
        .collect()
}

#[test]
fn nothing_is_said_to_any_network() {
    if !works() {
        return;
    }
    let home = Home::with_findings();
    let trace = home.path().join("network");
    let traced: Vec<String> = ["strace", "-f", "-e", "trace=network", "-o"]
        .map(str::to_owned)
        .into_iter()
        .chain([trace.display().to_string()])
        .collect();
    let mut runs = 0;
    for args in [
        &["demo", "demo", "--json"][..],
        &["boat", "show"],
        &["boat", "set", "changed.json"],
        &["record", "w0.json"],
        &["verdict"],
        &["defects", "--parts"],
        &["explain", "drive-belt"],
        &["repair", "drive-belt", "--done", "new belt"],
        &["walks"],
        &["plan", "list"],
        &["checklist", "list"],
        &["checklist", "sheet", "daily"],
        &["logbook", "check"],
        &["logbook", "export", "tables"],
        &["keys"],
        &["man"],
    ] {
        let out = home.run_under(&traced, args);
        let said = String::from_utf8_lossy(&out.stderr).into_owned();
        assert!(
            matches!(out.status.code(), Some(0 | 1)),
            "{args:?}: {:?} {said}",
            out.status
        );
        assert_eq!(outside(&trace), Vec::<String>::new(), "{args:?}");
        runs += 1;
    }
    let runner: Vec<&str> = std::iter::once("strace")
        .chain(["-DDD", "-I1"])
        .chain(traced[1..].iter().map(String::as_str))
        .collect();
    let mut session = Setup::new(BINARY, &["--now", NOW])
        .env("HANDLAMP_LOGBOOK", &home.book().to_string_lossy())
        .under(&runner)
        .start();
    session.wait_for_text("Morning check");
    for (keys, shown) in [
        ("<Enter>", "Hour meter"),
        ("<Enter>", "0/"),
        ("0", "1/"),
        ("<Esc>", "Morning check"),
        ("d", "rows"),
    ] {
        session.send(keys);
        session.wait_for_text(shown);
    }
    session.send("<C-c>");
    assert_eq!(session.exit_status().exit_code(), 0);
    // The tracer writes its last line after the program is gone.
    session.wait_until("the trace is whole", |_| {
        std::fs::read_to_string(&trace).is_ok_and(|t| t.contains("+++ exited"))
    });
    assert_eq!(outside(&trace), Vec::<String>::new());
    eprintln!("network: {runs} commands and a journey by keys, no socket");
}
