//! Which room looks into which, and how large a circle of files is: read from the sources themselves.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// Each room uses only rooms before it. What stands in one line stands side by side.
const ROOMS: [&[&str]; 16] = [
    &["safety", "platform"],
    &["text"],
    &["photo"],
    &["boat"],
    &["checklist"],
    &["walk"],
    &["assess", "causes", "passage", "symptoms"],
    &["defects"],
    &["service", "arrangement"],
    &["logbook"],
    &["fleet"],
    &["report"],
    &["demo"],
    &["keys"],
    &["settings", "terminal", "paint"],
    &["screen", "cli"],
];

/// So many files may use each other in a circle.
const CIRCLE: usize = 3;

type Modules = BTreeMap<String, BTreeSet<String>>;

/// Every file but tests, by its path below `src` such as `screen/walk`, with the files it uses.
fn modules() -> Modules {
    let src = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut texts = BTreeMap::new();
    let mut folders = vec![src.clone()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).expect("a folder of sources") {
            let path = entry.expect("an entry").path();
            if path.is_dir() {
                folders.push(path);
                continue;
            }
            let name = path
                .strip_prefix(&src)
                .expect("below src")
                .with_extension("");
            let name = name.to_string_lossy().replace('\\', "/");
            let name = name.strip_suffix("/mod").unwrap_or(&name).to_owned();
            let test = name.split('/').any(|part| part == "tests");
            if !test && path.extension().is_some_and(|e| e == "rs") {
                let text = fs::read_to_string(&path).expect("a source");
                let lines = without_tests(&text)
                    .lines()
                    .map(|l| l.split("//").next().unwrap_or_default());
                texts.insert(name, lines.collect::<Vec<_>>().join("\n"));
            }
        }
    }
    let names: BTreeSet<String> = texts.keys().cloned().collect();
    let used = |(name, text): (&String, &String)| {
        let paths = ["crate::", "super::"].into_iter().flat_map(|from| {
            text.match_indices(from)
                .filter(|(at, _)| !text[..*at].ends_with("super::"))
                .flat_map(|(at, _)| paths(&text[at..]))
        });
        let used = paths.filter_map(|path| file_of(&path, name, &names));
        (name.clone(), used.filter(|used| used != name).collect())
    };
    texts.iter().map(used).collect()
}

/// A source without the tests that stand inline at its end.
fn without_tests(text: &str) -> &str {
    let inline = |rest: &str| {
        let item = rest.lines().find(|line| !line.starts_with("#["));
        item.is_some_and(|line| line.ends_with('{'))
    };
    let parts = text.rsplit_once("\n#[cfg(test)]\n");
    parts
        .filter(|(_, rest)| inline(rest))
        .map_or(text, |(code, _)| code)
}

/// The paths that begin a text: one, or several where it goes on with braces.
fn paths(text: &str) -> Vec<String> {
    let end = text.find(|c: char| !(c.is_alphanumeric() || "_:".contains(c)));
    let (head, rest) = text.split_at(end.unwrap_or(text.len()));
    if !head.ends_with("::") || !rest.starts_with('{') {
        return vec![head.to_owned()];
    }
    let mut all = Vec::new();
    let (mut depth, mut from) = (0, 1);
    for (at, c) in rest.char_indices() {
        depth += i32::from(c == '{') - i32::from(c == '}');
        if (c == ',' && depth == 1) || depth == 0 {
            let parts = paths(rest[from..at].trim());
            all.extend(parts.into_iter().map(|part| format!("{head}{part}")));
            from = at + 1;
        }
        if depth == 0 {
            break;
        }
    }
    all
}

/// The file a path written in a file leads to.
fn file_of(path: &str, here: &str, names: &BTreeSet<String>) -> Option<String> {
    let mut place: Vec<&str> = match path.starts_with("crate::") {
        true => Vec::new(),
        false => here.split('/').collect(),
    };
    for part in path.split("::").filter(|part| *part != "crate") {
        if part == "super" {
            place.pop();
            continue;
        }
        place.push(part);
        if !names.contains(&place.join("/")) {
            place.pop();
            break;
        }
    }
    Some(place.join("/")).filter(|place| !place.is_empty())
}

/// All files that can be come to from one.
fn reach<'a>(from: &'a str, modules: &'a Modules) -> BTreeSet<&'a str> {
    let (mut seen, mut ahead) = (BTreeSet::new(), vec![from]);
    while let Some(file) = ahead.pop() {
        let next = modules.get(file).into_iter().flatten();
        ahead.extend(next.map(String::as_str).filter(|file| seen.insert(*file)));
    }
    seen
}

fn room(file: &str) -> &str {
    file.split('/').next().unwrap_or(file)
}

#[test]
fn arrows_between_rooms_go_one_way() {
    let level = |room: &str| ROOMS.iter().position(|level| level.contains(&room));
    let modules = modules();
    assert!(modules.len() > 200, "the sources are read");
    for (file, used) in modules
        .iter()
        .filter(|(file, _)| !matches!(file.as_str(), "lib" | "main" | "rooms"))
    {
        let own = level(room(file)).unwrap_or_else(|| panic!("{file} lies in no room"));
        for other in used.iter().filter(|other| room(other) != room(file)) {
            assert!(
                level(room(other)).is_some_and(|level| level < own),
                "{file} uses {other}, which is no room before its own"
            );
        }
    }
}

#[test]
fn no_circle_of_files_is_large() {
    let modules = modules();
    let reached: BTreeMap<&str, BTreeSet<&str>> = modules
        .keys()
        .map(|file| (file.as_str(), reach(file, &modules)))
        .collect();
    for (file, others) in &reached {
        let circle: Vec<_> = others
            .iter()
            .filter(|other| reached[**other].contains(file))
            .collect();
        assert!(
            circle.len() <= CIRCLE,
            "{circle:?} use each other in a circle"
        );
    }
}
