//! Items, checklists and tasks of one's own: a logbook carries them, and what was seen is judged by
//! the text it was asked with.

use std::path::PathBuf;

use serde_json::{Value, json};

use super::harness::{Place, ages, copy, full_walk, record_files, session};

const SETTINGS: &str = "home/.config/handlamp/checklists/own.json";
const LIST: &str = "home/.config/handlamp/checklists/list.json";

/// A hose that the built-in catalogue does not know, and where it stops.
fn hose(stop_at: &str) -> Value {
    json!({"type":"catalogue","items":[{
        "id":"deck-wash-hose","title":"Deck wash hose","scope":"machine","kind":"hose","station":"bilge",
        "look":"Bend it at both clips.","ladder":["supple, dry","stiff","cracked","wet at a clip","burst"],
        "effects":[{"effect":"nuisance","beta":0.5}],"stop_at":stop_at,
        "remedy":{"do":"new hose","who":"owner","where":"in-port"},"seconds":5,"source":"judgement"}]})
}

/// A short check that asks it.
fn hoses() -> Value {
    json!({"type":"checklist","id":"wash-down","title":"Before washing down","purpose":"Will the hose hold?",
        "closes_with":"daily","phases":[{"id":"cold","title":"Cold","state":"cold",
        "rows":[{"station":"bilge","must_see":true,"items":["deck-wash-hose"]}]}]})
}

fn walk(id: &str, at: &str, grade: &str) -> Value {
    json!({"type":"walk","id":id,"checklist":"wash-down","at":at,"looks":[{"item":"deck-wash-hose","grade":grade}]})
}

/// A boat whose own hose was seen failing, by the settings folder.
fn place() -> Place {
    let place = Place::with_boat().of_known_age(&["main"]);
    place.file(SETTINGS, &hose("failing").to_string());
    place.file(LIST, &hoses().to_string());
    place.record(&walk("w1", "2026-05-03T07:00:00+02:00", "failing"));
    place
}

/// The same logbook on another computer, whose settings folder is empty.
fn elsewhere(place: &Place) -> Place {
    let other = Place::empty();
    copy(&place.logbook(), &other.logbook());
    other
}

/// Everything that is said of the boat.
fn said(place: &Place) -> Vec<String> {
    let asked: [&[&str]; 6] = [
        &["verdict", "--walk", "w1"],
        &["verdict", "--json"],
        &["defects", "--json"],
        &["explain", "deck-wash-hose"],
        &["walks"],
        &["logbook", "check"],
    ];
    asked
        .iter()
        .map(|args| place.run(args).to_string())
        .collect()
}

/// The kept texts of a sort, by the beginning of their content.
fn texts(place: &Place, begins: &str) -> Vec<PathBuf> {
    let listed = std::fs::read_dir(place.logbook().join("texts")).expect("listed");
    let paths = listed.map(|entry| entry.expect("listed").path());
    paths
        .filter(|path| std::fs::read_to_string(path).is_ok_and(|t| t.starts_with(begins)))
        .collect()
}

const OWN: &str = r#"{"type":"own-items""#;

#[test]
fn a_logbook_says_the_same_on_a_computer_that_never_heard_of_its_items() {
    let place = place();
    let here = said(&place);
    assert!(
        here[0].contains("As at the walk: do not run"),
        "{}",
        here[0]
    );
    assert!(here[2].contains("deck-wash-hose"), "{}", here[2]);
    assert!(here[5].contains("[exit 0]"), "{}", here[5]);
    let other = elsewhere(&place);
    assert_eq!(said(&other), here);
    // And the hose can be looked at again there.
    let mut again = walk("w2", "2026-05-03T08:00:00+02:00", "worn");
    again["looks"][0]["better"] = json!("misjudged");
    other.record(&again);
    assert_eq!(other.json("verdict", &["verdict"])["now"], "clear-to-run");
}

#[test]
fn a_logbook_from_before_the_boat_had_own_items_is_read_from_what_its_walks_were_asked() {
    let place = place();
    let here = said(&place);
    let other = elsewhere(&place);
    // As an earlier version left it: no record of own items, and no text of them.
    for file in record_files(&other.logbook()) {
        let text = std::fs::read_to_string(&file).expect("read");
        if text.contains(r#""ev":"own-items""#) {
            std::fs::remove_file(&file).expect("gone");
        }
    }
    for text in texts(&other, OWN) {
        std::fs::remove_file(text).expect("gone");
    }
    let there = said(&other);
    assert_eq!(there[..5], here[..5]);
    let list = other.run(&["checklist", "list"]).stdout;
    assert!(
        list.contains("deck-wash-hose") && list.contains("nowhere else here"),
        "{list}"
    );
}

#[test]
fn an_item_that_nobody_has_a_text_for_is_said_and_the_verdict_is_not_clear() {
    let place = place();
    let other = elsewhere(&place);
    for text in texts(&other, "{") {
        std::fs::remove_file(text).expect("gone");
    }
    for (name, args) in [("verdict", ["verdict"]), ("defects", ["defects"])] {
        let answer = other.json(name, &args);
        let told = answer["not_counted"].as_array().expect("told");
        let hose = told
            .iter()
            .find(|t| t["item"] == "deck-wash-hose")
            .expect("named");
        let file = hose["file"].as_str().expect("a file");
        assert!(
            file.starts_with("texts/") && file.len() == "texts/.json".len() + 64,
            "{file}"
        );
        assert!(told.len() >= 2, "{told:?}");
        let run = other.run(&args);
        assert!(run.stdout.contains("deck-wash-hose"), "{run}");
    }
    // A daily check that finds nothing is no clear verdict while the hose is not counted.
    other.record(
        &serde_json::from_str(&full_walk("w2", "2026-05-03T08:00:00+02:00", 1204.0, &[]))
            .expect("JSON"),
    );
    let answer = other.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "run-with-care", "{answer}");
    let check = other.run(&["logbook", "check"]);
    assert_eq!(check.code, Some(1), "{check}");
    assert!(
        check
            .stdout
            .contains("the walk w1 says that it was asked with it"),
        "{check}"
    );
    // Whoever still has the file puts it in, and all is counted again.
    let file = other.file("own.json", &hose("failing").to_string());
    let list = other.file("list.json", &hoses().to_string());
    let add = other.run(&["checklist", "add", &file, &list]);
    assert_eq!(add.code, Some(0), "{add}");
    let answer = other.json("defects", &["defects"]);
    assert_eq!(answer["rows"][0]["item"], "deck-wash-hose");
    assert_eq!(answer["rows"][0]["stop"], true);
}

#[test]
fn a_damaged_text_is_told_by_check_and_stops_no_answer_that_does_not_need_it() {
    let place = place();
    for text in texts(&place, "{") {
        let mut bytes = std::fs::read(&text).expect("read");
        let middle = bytes.len() / 2;
        bytes[middle] ^= 1;
        std::fs::write(&text, bytes).expect("written");
    }
    // What is asked today is what was asked then: nothing is missing.
    let answer = place.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "do-not-run");
    assert!(answer.get("not_counted").is_none(), "{answer}");
    let check = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(check["damaged"], true);
    assert_eq!(check["rows"].as_array().map(Vec::len), Some(2), "{check}");
    let row = &check["rows"][0];
    assert!(
        row["message"]
            .as_str()
            .expect("words")
            .contains("no longer matches its name"),
        "{row}"
    );
    // With another text in the settings the damaged one is needed.
    place.file(SETTINGS, &hose("failed").to_string());
    let answer = place.json("verdict", &["verdict"]);
    let told = answer["not_counted"].as_array().expect("told");
    assert_eq!(told[0]["item"], "deck-wash-hose", "{answer}");
    assert_eq!(answer["now"], "run-with-care");
}

#[test]
fn a_text_changed_since_lifts_no_stop_and_the_difference_is_said_once() {
    let place = place();
    place.file(SETTINGS, &hose("failed").to_string());
    let answer = place.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "do-not-run", "{answer}");
    assert!(answer.get("not_counted").is_none(), "{answer}");
    let notes = answer["notes"].as_array().expect("notes");
    assert_eq!(notes.len(), 1);
    let note = notes[0].as_str().expect("words");
    assert!(
        note.contains("asked with a stop at failing, today with a stop at failed"),
        "{note}"
    );
    let list = place.run(&["defects"]);
    assert_eq!(list.stdout.matches("Note: ").count(), 1, "{list}");
    // Whatever was said at the walk stays as it was.
    assert_eq!(answer["at_walk"], "do-not-run");
    // Looked at again, it is judged by the text of that look.
    place.record(&walk("w2", "2026-05-03T08:00:00+02:00", "failing"));
    let answer = place.json("verdict", &["verdict"]);
    assert_ne!(answer["now"], "do-not-run", "{answer}");
    assert!(answer.get("notes").is_none(), "{answer}");
    let first = place.json("verdict", &["verdict", "--walk", "w1"]);
    assert_eq!(first["at_walk"], "do-not-run", "{first}");
    let walks = place.run(&["walks"]).stdout;
    assert!(walks.contains("do not run"), "{walks}");
    // A text made stricter counts at once.
    place.file(SETTINGS, &hose("worn").to_string());
    assert_eq!(place.json("verdict", &["verdict"])["now"], "do-not-run");
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
}

#[test]
fn a_built_in_item_replaced_by_ones_own_stops_wherever_the_logbook_is_read() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let belt = handlamp::checklist::Catalogue::built_in()
        .item("drive-belt")
        .expect("built in");
    let mut belt = serde_json::to_value(belt).expect("JSON");
    belt["stop_at"] = json!("worn");
    place.file(
        SETTINGS,
        &json!({"type":"catalogue","items":[belt]}).to_string(),
    );
    let worn = [json!({"item":"drive-belt","grade":"worn"})];
    let sheet = full_walk("w1", "2026-05-03T07:40:00+02:00", 1203.6, &worn);
    place.record(&serde_json::from_str(&sheet).expect("JSON"));
    assert_eq!(place.json("verdict", &["verdict"])["now"], "do-not-run");
    let here = said_of_belt(&place);
    let other = elsewhere(&place);
    assert_eq!(said_of_belt(&other), here);
    // Without the boat's own text the one it was asked with still stops, and the built-in is said.
    for text in texts(&other, OWN) {
        std::fs::remove_file(text).expect("gone");
    }
    let answer = other.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "do-not-run", "{answer}");
    assert_eq!(answer["at_walk"], "do-not-run", "{answer}");
    assert_eq!(
        answer["notes"].as_array().map(Vec::len),
        Some(1),
        "{answer}"
    );
}

fn said_of_belt(place: &Place) -> Vec<String> {
    let asked: [&[&str]; 4] = [
        &["verdict", "--json"],
        &["defects", "--json"],
        &["explain", "drive-belt"],
        &["logbook", "check"],
    ];
    asked
        .iter()
        .map(|args| place.run(args).to_string())
        .collect()
}

#[test]
fn a_walk_of_a_checklist_that_only_its_text_knows_is_judged_by_it() {
    let place = place();
    let here = place.run(&["verdict", "--walk", "w1"]).to_string();
    let other = elsewhere(&place);
    for text in texts(&other, OWN) {
        std::fs::remove_file(text).expect("gone");
    }
    let there = other.run(&["verdict", "--walk", "w1"]);
    assert!(
        there.stdout.contains("As at the walk: do not run"),
        "{there}"
    );
    assert!(there.stdout.contains("Before washing down"), "{there}");
    assert!(
        there.stdout.contains("NOT COUNTED"),
        "what was lost is said: {there}"
    );
    assert!(!here.contains("NOT COUNTED"), "{here}");
    let show = other.run(&["checklist", "show", "wash-down"]);
    assert!(show.stdout.contains("Deck wash hose"), "{show}");
}

#[test]
fn own_items_of_two_copies_are_merged_and_the_later_of_one_id_counts() {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    let other = elsewhere(&place);
    let mut pump = hose("failing");
    pump["items"][0]["id"] = json!("deck-wash-pump");
    pump["items"][0]["title"] = json!("Deck wash pump");
    let pump = other.file("pump.json", &pump.to_string());
    let lax = other.file("hose.json", &hose("failed").to_string());
    assert_eq!(other.run(&["checklist", "add", &pump, &lax]).code, Some(0));
    place.at("2026-05-03T10:00:00+02:00");
    let strict = place.file("hose.json", &hose("worn").to_string());
    assert_eq!(place.run(&["checklist", "add", &strict]).code, Some(0));
    let again = place.run(&["checklist", "add", &strict]);
    assert!(again.stdout.contains("has all of it already"), "{again}");
    let from = other.logbook();
    let from = from.to_str().expect("UTF-8");
    assert_eq!(place.run(&["logbook", "merge", from]).code, Some(0));
    let list = place.json("checklist-list", &["checklist", "list"]);
    let own: Vec<_> = list["own"]
        .as_array()
        .expect("own")
        .iter()
        .map(|row| (row["id"].as_str(), row["source"].as_str()))
        .collect();
    assert_eq!(
        own,
        [
            (Some("deck-wash-hose"), Some("boat")),
            (Some("deck-wash-pump"), Some("boat"))
        ]
    );
    let daily = |grade: &str| {
        json!({"type":"walk","id":grade,"checklist":"daily","at":"2026-05-03T09:30:00+02:00",
        "looks":[{"item":"deck-wash-hose","phase":"cold","grade":grade}]})
    };
    place.record(&daily("worn"));
    assert_eq!(place.json("verdict", &["verdict"])["now"], "do-not-run");
}

#[test]
fn what_was_put_into_the_boat_counts_above_the_settings_folder() {
    let place = place();
    let file = place.file("own.json", &hose("early").to_string());
    let list = place.run(&["checklist", "list"]).stdout;
    assert!(
        list.contains("item deck-wash-hose: Deck wash hose (the boat's logbook)"),
        "{list}"
    );
    place.json("checklist-add", &["checklist", "add", &file]);
    // The settings folder still says failing, and a change of it is not taken over any more.
    place.file(SETTINGS, &hose("failed").to_string());
    place.record(&walk("w2", "2026-05-03T08:00:00+02:00", "failing"));
    let answer = place.json("verdict", &["verdict"]);
    assert_eq!(answer["now"], "do-not-run", "{answer}");
    let bad = place.file(
        "bad.json",
        &hose("early").to_string().replace("nuisance", "nuisence"),
    );
    let refused = place.run(&["checklist", "add", &bad]);
    assert_eq!(refused.code, Some(2), "{refused}");
    assert!(
        refused.stderr.contains("nearest is 'nuisance'"),
        "{refused}"
    );
}

#[test]
fn what_the_settings_folder_has_is_taken_over_once() {
    let place = place();
    let own = || texts(&place, OWN).len();
    assert_eq!(own(), 1);
    place.record(&walk("w2", "2026-05-03T08:00:00+02:00", "failing"));
    assert_eq!(own(), 1);
    let records =
        |place: &Place| place.json("logbook-check", &["logbook", "check"])["records"].clone();
    // The boat, her ages, two walks of three records, and one of own items.
    let before = records(&place);
    assert_eq!(before, 8 + ages::told(&["main"], "", "").lines().count());
    place.file(SETTINGS, &hose("worn").to_string());
    place.record(&json!({"type":"repair","item":"deck-wash-hose","done":"new hose"}));
    assert_eq!(own(), 2);
    assert_eq!(records(&place).as_u64(), before.as_u64().map(|n| n + 2));
}

#[test]
fn a_task_of_ones_own_goes_with_the_logbook() {
    let place = Place::with_boat().of_known_age(&["main"]);
    let tasks = json!({"type":"service-tasks","tasks":[{
        "id":"descale-heater","title":"Descale the water heater","scope":"machine","item":"drive-belt",
        "every":{"months":12},"first":{},"range":"yearly","parts":[],"tools":[],
        "steps":[{"do":"Fill with vinegar and wait."}],"disturbs":[],"renews":[],"restarts":[],"owes":[],
        "who":"owner","where":"in-port","source":"judgement"}]});
    place.file(SETTINGS, &tasks.to_string());
    place.record(&json!({"type":"service","task":"descale-heater"}));
    let here = place.run(&["due", "--json"]).to_string();
    assert!(here.contains("descale-heater"), "{here}");
    let other = elsewhere(&place);
    assert_eq!(other.run(&["due", "--json"]).to_string(), here);
    for text in texts(&other, OWN) {
        std::fs::remove_file(text).expect("gone");
    }
    let answer = other.json("defects", &["defects"]);
    assert!(
        answer["not_counted"].to_string().contains("descale-heater"),
        "{answer}"
    );
}

#[test]
fn a_link_a_pipe_or_a_folder_under_the_name_of_a_text_is_told_and_never_opened() {
    for kind in ["link", "pipe", "folder", "large"] {
        let place = place();
        let other = elsewhere(&place);
        for text in texts(&other, "{") {
            let content = std::fs::read(&text).expect("read");
            std::fs::remove_file(&text).expect("gone");
            match kind {
                "link" => {
                    let target = other.path().join("target.json");
                    std::fs::write(&target, content).expect("written");
                    std::os::unix::fs::symlink(target, &text).expect("linked");
                }
                "pipe" => {
                    let made = std::process::Command::new("mkfifo").arg(&text).status();
                    assert!(made.expect("mkfifo runs").success());
                }
                "folder" => std::fs::create_dir(&text).expect("made"),
                _ => std::fs::File::create(&text)
                    .expect("made")
                    .set_len(1 << 30)
                    .expect("long"),
            }
        }
        let answer = other.json("verdict", &["verdict"]);
        assert!(
            answer["not_counted"].to_string().contains("deck-wash-hose"),
            "{kind}: {answer}"
        );
        let check = other.json("logbook-check", &["logbook", "check"]);
        assert_eq!(check["damaged"], true, "{kind}: {check}");
        let rows = check["rows"].as_array().expect("rows");
        let texts = rows.iter().filter(|row| {
            row["file"]
                .as_str()
                .is_some_and(|f| f.starts_with("texts/"))
        });
        assert_eq!(texts.count(), 2, "{kind}: {check}");
    }
}

/// Golden files keep no count of the catalogue: with an item more they read the same.
#[test]
fn an_item_more_changes_no_golden_file() {
    let told = |own: bool| {
        let place = Place::with_findings();
        if own {
            place.file(SETTINGS, &hose("failing").to_string());
        }
        let asked = [&["verdict"][..], &["defects"], &["walks"], &["coverage"]];
        session(&asked.map(|args| place.run(args)))
    };
    let plain = told(false);
    assert!(plain.contains("Not yet looked at: #"), "{plain}");
    assert_eq!(told(true), plain);
}
