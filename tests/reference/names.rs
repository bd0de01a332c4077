//! The names of the built-in texts, against a digest that is not the program's own.

use std::collections::BTreeMap;
use std::io::Write;
use std::process::{Command, Stdio};

use handlamp::checklist::Library;

/// The digest by the system's `sha256sum` (GNU coreutils); none where it is not here.
fn digest(text: &[u8]) -> Option<String> {
    let mut tool = Command::new("sha256sum")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    let mut into = tool.stdin.take().expect("piped");
    into.write_all(text).expect("it takes the text");
    drop(into);
    let said = tool.wait_with_output().expect("it ends");
    assert!(said.status.success());
    let said = String::from_utf8(said.stdout).expect("text");
    said.split_whitespace().next().map(str::to_owned)
}

/// A text is named by the SHA-256 of its content. The first is the example of FIPS 180-2, B.1.
#[test]
fn the_committed_names_are_the_digests_of_the_texts() {
    let Some(of_abc) = digest(b"abc") else {
        crate::skip::skipped("sha256sum", "it is not here");
        return;
    };
    assert_eq!(
        of_abc,
        "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    );
    let names = include_str!("../../checklists/asked-names.json");
    let names: BTreeMap<String, String> = serde_json::from_str(names).expect("JSON");
    let library = Library::built_in();
    let listed = |id: &String| names.contains_key(id);
    assert!(library.checklists().iter().all(|list| listed(&list.id)));
    // A finding is asked by no list and has a name all the same.
    let lists = names.keys().filter_map(|id| library.checklist(id));
    let digests: BTreeMap<String, String> = lists
        .map(|list| {
            let text = library.asked_text(list).expect("a text");
            let name = digest(text.as_bytes()).expect("it was here");
            (list.id.clone(), name)
        })
        .collect();
    assert_eq!(digests, names);
}
