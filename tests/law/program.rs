//! The same asked of the real program, in a process of its own, and scenes held to say alike.

use std::path::Path;

use handlamp::assess::words::Verdict;
use handlamp::checklist::Grade;
use handlamp::defects::State;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::aboard::time;
use super::count::Count;
use super::harness::sealed;
use super::oracle::{Answer, Asked, ask, care, rank};
use super::scenes::{NOW, SCENES};

pub fn run(root: &Path, args: &[&str]) -> std::process::Output {
    assert!(root.ends_with("logbook"), "{}", root.display());
    let mut command = sealed(root.parent().expect("a folder"));
    command.args(args).output().expect("the program runs")
}

pub fn body(output: &std::process::Output) -> Option<Value> {
    let answered = matches!(output.status.code(), Some(0 | 1));
    let text = std::str::from_utf8(&output.stdout).expect("UTF-8");
    answered.then(|| serde_json::from_str(text).expect("JSON"))
}

fn read<T: DeserializeOwned>(value: &Value) -> T {
    serde_json::from_value(value.clone()).expect("a known word")
}

fn words(body: &Value) -> Vec<String> {
    let told = body["not_counted"].as_array().cloned().unwrap_or_default();
    let words = told
        .iter()
        .map(|told| told["why"].as_str().expect("words").to_owned());
    words.collect()
}

/// Asks verdict, list and report. Where a command gives no answer the whole is refused.
pub fn asked_of(root: &Path, now: &str, machines: &[&str]) -> Answer {
    let mut said = Answer::default();
    let refused = |output: &std::process::Output| Answer {
        refused: Some(String::from_utf8_lossy(&output.stderr).into_owned()),
        ..Answer::default()
    };
    for machine in machines {
        let output = run(
            root,
            &["verdict", "--machine", machine, "--json", "--now", now],
        );
        // A machine without a walk has no verdict: exit 2, which says so.
        let Some(body) = body(&output) else {
            continue;
        };
        if let Ok(word) = serde_json::from_value::<Verdict>(body["now"].clone()) {
            said.now.insert((*machine).to_owned(), rank(word));
        }
        if let Ok(word) = serde_json::from_value::<Verdict>(body["at_walk"].clone()) {
            let walk = body["walk"].as_str().expect("an id").to_owned();
            said.at_walk
                .insert((*machine).to_owned(), (walk, rank(word)));
        }
        said.told.extend(words(&body));
    }
    let output = run(root, &["defects", "--json", "--now", now]);
    let Some(list) = body(&output) else {
        return refused(&output);
    };
    said.told.extend(words(&list));
    let subject = |row: &Value| {
        let machine = row["machine"].as_str().map(str::to_owned);
        (row["item"].as_str().expect("an item").to_owned(), machine)
    };
    for row in list["rows"].as_array().expect("rows") {
        if row["stop"] == true {
            said.stops.insert(subject(row));
        }
        if let Some(care) = care(read::<State>(&row["state"])) {
            said.standing.insert(subject(row), care);
        }
        said.grades
            .insert(subject(row), read::<Grade>(&row["grade"]));
    }
    for row in list["next_looks"].as_array().expect("next looks") {
        said.grades
            .insert(subject(row), read::<Grade>(&row["grade"]));
    }
    let file = root.join("../report.json");
    let to = file.to_str().expect("UTF-8");
    let output = run(root, &["report", "now", "--to", to, "--now", now]);
    if output.status.code() != Some(0) {
        return refused(&output);
    }
    let report: Value =
        serde_json::from_slice(&std::fs::read(&file).expect("a report")).expect("JSON");
    said.told.extend(words(&report));
    let rows = report["defects"].as_array().expect("defects");
    let named = |row: &Value| (subject(row), row["stop"] == true);
    let listed = list["rows"].as_array().expect("rows");
    let (listed, reported): (Vec<_>, Vec<_>) = (
        listed.iter().map(named).collect(),
        rows.iter().map(named).collect(),
    );
    assert_eq!(reported, listed, "report and list differ");
    said
}

/// What both ways of asking tell: the program lists a grade for what has a defect or a next look.
pub fn alike(here: &Answer, there: &Answer) -> Answer {
    let mut here = here.clone();
    here.grades
        .retain(|subject, _| there.grades.contains_key(subject));
    here
}

#[test]
fn another_process_says_the_same_of_every_intact_logbook() {
    let mut count = Count::new("intact, here and by the program");
    for scene in &SCENES {
        let dir = tempfile::tempdir().expect("a folder");
        let root = dir.path().join("logbook");
        let mut aboard = (scene.play)(&root);
        let machines: Vec<String> = aboard
            .book
            .boat()
            .machines
            .iter()
            .map(|m| m.id.clone())
            .collect();
        let machines: Vec<&str> = machines.iter().map(String::as_str).collect();
        aboard.book.finish();
        let asked = Asked {
            at_walk: true,
            ..Asked::default()
        };
        let here = ask(&root, time(NOW), asked);
        let there = asked_of(&root, NOW, &machines);
        assert_eq!(there.refused, None, "{}", scene.name);
        assert!(
            !there.grades.is_empty() && !there.now.is_empty(),
            "{}",
            scene.name
        );
        count.holds(here.told.is_empty(), || {
            format!("{}: {:?}", scene.name, here.told)
        });
        count.equal(&there, &alike(&here, &there), || scene.name.to_owned());
    }
    count.tell(2 * SCENES.len());
}
