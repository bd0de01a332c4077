//! `checklist`.

use std::collections::HashSet;

use handlamp::boat::Role;
use handlamp::checklist::{Checklist, Library};
use serde_json::json;

use super::harness::{Place, flat, session};

const OWN: &str = r#"{"type":"checklist","id":"before-locks","title":"Before the locks","purpose":"Will she stop and go?","closes_with":"daily",
 "phases":[{"id":"idle","title":"Idle","state":"idle","rows":[{"station":"controls","items":["shift-cable"]}]}]}
"#;

#[test]
fn checklists_are_listed() {
    let place = Place::empty();
    let text = place.run(&["checklist", "list"]).stdout;
    let answer = place.json("checklist-list", &["checklist", "list"]);
    for (list, row) in Library::built_in().checklists().iter().zip(0..) {
        let row = &answer["rows"][row];
        let rows: Vec<_> = list.phases.iter().flat_map(|p| &p.rows).collect();
        let items: HashSet<_> = rows.iter().flat_map(|row| &row.items).collect();
        assert_eq!(
            (&row["id"], &row["rows"]),
            (&json!(list.id), &json!(rows.len()))
        );
        assert_eq!(row["items"], items.len());
        let line = format!(
            "{:<12}  {:>4}  {:>5}  {}",
            list.id,
            rows.len(),
            items.len(),
            list.title
        );
        assert!(text.contains(&line), "no '{line}' in\n{text}");
        assert!(
            text.replace("\n    ", " ").contains(&list.purpose),
            "{text}"
        );
    }
}

#[test]
fn a_checklist_is_shown_with_everything_known_of_its_items() {
    let place = Place::empty();
    for list in Library::built_in().checklists() {
        let answer = place.json("checklist-show", &["checklist", "show", &list.id]);
        let phases = answer["phases"].as_array().expect("phases");
        assert_eq!(phases.len(), list.phases.len());
        let item = &phases[0]["rows"][0]["items"][0];
        assert_eq!(item["ladder"].as_array().map(Vec::len), Some(5));
    }
    let text = place.run(&["checklist", "show", "daily"]).stdout;
    let head: Vec<&str> = text.lines().take(40).collect();
    insta::assert_snapshot!(head.join("\n"));
    let near = place.run(&["checklist", "show", "dayly"]);
    assert_eq!(near.code, Some(2));
    assert!(
        near.stderr.contains("nearest is 'daily'"),
        "{}",
        near.stderr
    );
}

#[test]
fn a_sheet_fits_the_paper_and_leaves_nothing_out() {
    let place = Place::empty();
    let library = Library::built_in();
    // Without a boat it is for an inboard engine, but for a list that asks nothing of one.
    let asked = |list: &Checklist, item: &str| {
        let item = library.catalogue.item(item).expect("known");
        item.is_for(Role::Propulsion) || !library.suits(list, Role::Propulsion)
    };
    for list in library.checklists() {
        let sheet = place.run(&["checklist", "sheet", &list.id]).stdout;
        for line in sheet.lines() {
            assert!(handlamp::text::width(line) <= 80, "{line}");
        }
        for item in list
            .phases
            .iter()
            .flat_map(|p| &p.rows)
            .flat_map(|r| &r.items)
            .filter(|item| asked(list, item))
        {
            assert!(sheet.contains(&format!("[{item}]")), "{item}");
        }
        let said: String = sheet.split_whitespace().collect();
        let catalogue = &Library::built_in().catalogue;
        for item in list
            .phases
            .iter()
            .flat_map(|p| &p.rows)
            .flat_map(|r| &r.items)
            .filter(|item| asked(list, item))
        {
            for caution in &catalogue.item(item).expect("known").cautions {
                let words: String = caution.split_whitespace().collect();
                assert!(said.contains(&words), "{caution}");
            }
        }
    }
    let head: Vec<String> = place
        .run(&["checklist", "sheet", "daily"])
        .stdout
        .lines()
        .take(45)
        .map(str::to_owned)
        .collect();
    insta::assert_snapshot!(head.join("\n"));
    assert_eq!(
        place.run(&["checklist", "sheet", "daily", "--json"]).code,
        Some(2)
    );
}

#[test]
fn a_file_of_ones_own_is_checked() {
    let place = Place::empty();
    let good = place.file("good.json", OWN);
    let bad = place.file(
        "bad.json",
        &OWN.replace("shift-cable", "shift-cabel")
            .replace("\"title\":\"Idle\"", "\"titel\":\"Idle\""),
    );
    let wrong = place.file("wrong.json", &OWN.replace("shift-cable", "shift-cabel"));
    let runs = [
        place.run(&["checklist", "check", &good]),
        place.run(&["checklist", "check", &bad]),
        place.run(&["checklist", "check", &wrong]),
        place.run(&["checklist", "check", "nowhere.json"]),
        place.run(&["checklist", "check"]),
    ];
    let codes: Vec<_> = runs.iter().map(|r| r.code).collect();
    assert_eq!(codes, [Some(0), Some(1), Some(1), Some(2), Some(2)]);
    insta::assert_snapshot!(session(&runs));
    let answer = place.json("checklist-check", &["checklist", "check", &wrong]);
    assert_eq!(answer["rows"][0]["field"], "phases[0].rows[0].items[0]");
    assert_eq!(answer["rows"][0]["line"], 2);
}

#[test]
fn files_in_the_settings_folder_count_everywhere_and_a_bad_one_is_named() {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.file("home/.config/handlamp/checklists/locks.json", OWN);
    let list = place.run(&["checklist", "list"]);
    assert!(list.stdout.contains("before-locks"), "{}", list.stdout);
    let walk = serde_json::json!({"type":"walk","id":"locks","checklist":"before-locks","at":"2026-05-03T06:00:00Z",
        "looks":[{"item":"shift-cable","grade":"sound"}]});
    place.record(&walk);
    assert_eq!(place.json("verdict", &["verdict"])["now"], "clear-to-run");
    place.file(
        "home/.config/handlamp/checklists/other.json",
        "{\"type\":\"checklist\",\n \"id\":7}",
    );
    let runs = [place.run(&["defects"]), place.run(&["checklist", "list"])];
    assert!(runs.iter().all(|r| r.code == Some(2)));
    insta::assert_snapshot!(session(&runs));
    // Another settings folder has none of it, and the boat has it still: she was walked by it.
    let mut command = place.command();
    command
        .args(["checklist", "list"])
        .env("HANDLAMP_CONFIG_DIR", place.path().join("other"));
    let run = place.finish(&["checklist", "list"], command.output().expect("run"));
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert!(
        run.stdout
            .contains("checklist before-locks: Before the locks (the boat's logbook)")
    );
}

/// The words a rung was given in stay those of it, though every other walk asks in others.
#[test]
fn a_rung_of_a_survey_is_told_in_the_words_of_a_first_look() {
    let place = Place::with_boat();
    let item = Library::built_in()
        .catalogue
        .item("bilge-water")
        .expect("known");
    let first = item
        .first_look
        .as_ref()
        .and_then(|first| first.worn.as_ref());
    let first = first.expect("words for it").as_str();
    place.record(
        &serde_json::json!({"type": "walk", "id": "s1", "checklist": "survey",
        "machine": "main", "at": "2026-05-03T08:00:00+02:00",
        "looks": [{"item": "bilge-water", "phase": "arrival", "grade": "worn"}]}),
    );
    let told = flat(&place.run(&["explain", "bilge-water"]).stdout);
    assert!(told.contains(first), "{told}");
    assert!(!told.contains(&item.ladder[2]), "{told}");
    for args in [["report", "s1"], ["report", "now"]] {
        let page = place.path().join("report.md").display().to_string();
        let run = place.run(&[&args[..], &["--to", &page]].concat());
        assert_eq!(run.code, Some(0), "{run}");
        let text = flat(&std::fs::read_to_string(&page).expect("written"));
        assert!(text.contains(first), "{args:?}: {text}");
    }
    // Looked at again on a morning it is told in the words of that.
    place.record(
        &serde_json::json!({"type": "walk", "id": "d1", "checklist": "daily",
        "machine": "main", "at": "2026-05-04T08:00:00+02:00",
        "looks": [{"item": "bilge-water", "phase": "cold", "grade": "worn"}]}),
    );
    let told = flat(&place.run(&["explain", "bilge-water"]).stdout);
    assert!(told.contains(&item.ladder[2]), "{told}");
}
