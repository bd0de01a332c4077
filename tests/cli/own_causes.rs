//! Questions and causes of the boat's own, and causes that repairs name.

use serde_json::{Value, json};

use super::harness::{Place, copy, full_walk, record_files};

const FLOW: &str = "raw-water-flow";

fn cowl(item: &str) -> Value {
    json!({"type": "causes",
        "questions": [{"id": "cowl", "title": "cowl", "ask": "Does the cowl rattle?", "ok": "It is quiet.",
            "answers": [{"id": "rattles", "words": "It rattles.", "alone": "common"}],
            "seconds": 5, "state": "cold", "from": [{"item": item, "worn": "rattles"}]}],
        "causes": [{"id": "cowl-loose", "title": "the cowl is loose", "weight": 3.0,
            "signs": [{"question": "cowl", "answer": "rattles", "strength": "almost-always"}],
            "apart": "A hand on it.", "ignored": "It falls off.",
            "source": "common practice, no single source"}]})
}

fn add(place: &Place, file: &Value) -> Value {
    let file = place.file("own.json", &file.to_string());
    place.json("causes-add", &["causes", "add", &file])
}

fn list(place: &Place) -> Value {
    place.json("causes-list", &["causes", "list"])
}

/// The entry that gave a cause; none where it is the program's own, or is not there.
fn entry_of(place: &Place, id: &str) -> Option<String> {
    let all = list(place);
    let rows = all["causes"].as_array().expect("causes");
    let row = rows.iter().find(|row| row["id"] == id)?;
    assert_eq!(row["source"] == "boat", row["entry"].is_string());
    row["entry"].as_str().map(str::to_owned)
}

#[test]
fn they_are_put_in_listed_taken_back_and_go_with_a_copy() {
    let mut place = Place::with_boat();
    let built_in = list(&Place::empty());
    assert!(built_in["causes"].as_array().expect("causes").len() >= 60);
    assert!(built_in == list(&place), "a boat without any of her own");
    assert_eq!(add(&place, &cowl("drive-belt"))["added"], true);
    let files = record_files(&place.logbook()).len();
    assert_eq!(add(&place, &cowl("drive-belt"))["added"], false);
    assert_eq!(
        record_files(&place.logbook()).len(),
        files,
        "nothing written twice"
    );
    let entry = entry_of(&place, "cowl-loose").expect("hers");
    assert_eq!(entry_of(&place, "impeller"), None);
    let told = place.run(&["entries"]);
    assert!(told.stdout.contains("the cowl is loose"), "{told}");
    // A copy merged in has them too.
    let mut other = Place::empty();
    copy(&place.logbook(), &other.logbook());
    place.at("2026-05-03T10:00:00+02:00");
    other.at("2026-05-03T11:00:00+02:00");
    let mut changed = cowl("drive-belt");
    changed["causes"][0]["title"] = json!("the cowl has lost a screw");
    add(&place, &changed);
    let from = place.logbook();
    let merged = other.run(&["logbook", "merge", from.to_str().expect("UTF-8")]);
    assert_eq!(merged.code, Some(0), "{merged}");
    assert!(list(&other) == list(&place), "a copy says the same");
    assert!(
        list(&place)
            .to_string()
            .contains("the cowl has lost a screw")
    );
    let newer = entry_of(&place, "cowl-loose").expect("hers");
    assert_ne!(newer, entry);
    let back = place.run(&["entries", "take-back", &newer]);
    assert_eq!(back.code, Some(0), "{back}");
    assert_eq!(entry_of(&place, "cowl-loose"), Some(entry.clone()));
    let back = place.run(&["entries", "take-back", &entry]);
    assert_eq!(back.code, Some(0), "{back}");
    assert!(list(&place) == built_in, "taken back");
}

#[test]
fn a_file_that_is_wrong_is_put_in_not_at_all() {
    let place = Place::with_boat();
    let before = record_files(&place.logbook());
    let wrong = place.file("own.json", &cowl("drive-bolt").to_string());
    let run = place.run(&["causes", "add", &wrong]);
    assert_eq!(run.code, Some(2), "{run}");
    for word in ["own.json", "questions[0].from[0].item", "drive-belt"] {
        assert!(run.stderr.contains(word), "{word}: {run}");
    }
    let mut long = cowl("drive-belt");
    long["causes"][0]["apart"] = json!("x".repeat(60_000));
    let long = place.file("long.json", &long.to_string());
    let run = place.run(&["causes", "add", &long]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(run.stderr.contains("as several files"), "{run}");
    let other = place.file("list.json", r#"{"type":"checklist"}"#);
    assert_eq!(place.run(&["causes", "add", &other]).code, Some(2));
    assert_eq!(record_files(&place.logbook()), before);
    // It is no document of `record`.
    let record = json!({"type": "own-causes", "file": cowl("drive-belt")});
    let file = place.file("record.json", &record.to_string());
    assert_eq!(place.run(&["record", &file]).code, Some(2));
}

#[test]
fn one_that_names_what_is_not_known_is_said_in_every_answer_and_given_on_whole() {
    let place = Place::with_findings();
    // The item is of the settings folder here, and goes into the logbook with what rests on it.
    let hose = json!({"type":"catalogue","items":[{
        "id":"deck-wash-hose","title":"Deck wash hose","scope":"machine","kind":"hose","station":"bilge",
        "look":"Bend it at both clips.","ladder":["supple, dry","stiff","cracked","wet at a clip","burst"],
        "effects":[{"effect":"nuisance","beta":0.5}],"stop_at":"failing",
        "remedy":{"do":"new hose","who":"owner","where":"in-port"},"seconds":5,"source":"judgement"}]});
    place.file(
        "home/.config/handlamp/checklists/own.json",
        &hose.to_string(),
    );
    add(&place, &cowl("deck-wash-hose"));
    let given = place.run(&["give-on", "given"]);
    assert_eq!(given.code, Some(0), "{given}");
    let other = Place::empty();
    copy(&place.path().join("given"), &other.logbook());
    assert!(entry_of(&other, "cowl-loose").is_some());
    let words = list(&other).to_string();
    assert!(words.contains("the cowl is loose"), "{words}");
    // Where the text of her own items is lost, the causes that rest on it are named.
    for text in std::fs::read_dir(other.logbook().join("texts")).expect("listed") {
        let path = text.expect("listed").path();
        let own = std::fs::read_to_string(&path)
            .expect("text")
            .starts_with(r#"{"type":"own-items""#);
        if own {
            std::fs::remove_file(path).expect("removed");
        }
    }
    for args in [&["defects"][..], &["verdict"], &["causes", "list"]] {
        let run = other.run(&[args, &["--json"]].concat());
        assert!(run.stdout.contains("deck-wash-hose"), "{run}");
        assert!(run.stdout.contains("they are not asked now"), "{run}");
    }
    assert_eq!(entry_of(&other, "cowl-loose"), None);
}

/// The boat with water astern that grew thin, and the impeller renewed, with a cause named or none.
fn repaired(cause: Option<&str>) -> Place {
    let mut place = Place::with_boat();
    let walk = |id: &str, at: &str, hours: f64, grade: &str| {
        let mut look = json!({"item": FLOW, "phase": "idle", "grade": grade});
        if id == "w3" {
            look["better"] = json!("repaired");
        }
        serde_json::from_str::<Value>(&full_walk(id, at, hours, &[look])).expect("a sheet")
    };
    place.record(&walk("w1", "2026-05-01T07:00:00+02:00", 1200.0, "sound"));
    place.record(&walk("w2", "2026-05-03T07:00:00+02:00", 1208.0, "worn"));
    let mut repair = json!({"type": "repair", "id": "mended", "item": "raw-water-impeller",
        "at": "2026-05-03T08:00:00+02:00", "hours": 1208.0, "done": "new impeller"});
    if let Some(cause) = cause {
        repair["cause"] = json!(cause);
    }
    place.record(&repair);
    place.at("2026-05-09T09:00:00+02:00");
    place.record(&walk("w3", "2026-05-09T07:00:00+02:00", 1217.0, "sound"));
    place
}

#[test]
fn a_named_cause_changes_no_defect_and_no_verdict() {
    let (with, without) = (repaired(Some("impeller")), repaired(None));
    let proof = &list(&with)["repairs"][0];
    assert_eq!(
        (&proof["state"], &proof["repair"], &proof["hours_run"]),
        (&json!("confirmed"), &json!("mended"), &json!(9.0))
    );
    assert!(list(&without).get("repairs").is_none());
    for args in [
        &["defects", "--all", "--json"][..],
        &["verdict", "--json"],
        &["explain", FLOW, "--json"],
        &["due", "--json"],
        &["coverage", "--json"],
    ] {
        let (with, without) = (with.run(args), without.run(args));
        assert_eq!(with.code, without.code, "{with}");
        assert_eq!(with.stdout, without.stdout, "{}", args.join(" "));
    }
    // Taken back it says nothing any more.
    let back = with.run(&["entries", "take-back", "mended"]);
    assert_eq!(back.code, Some(0), "{back}");
    assert!(list(&with).get("repairs").is_none());
}

#[test]
fn a_repair_names_a_cause_that_is_known() {
    let place = Place::with_findings();
    let repair = |cause: &str| {
        place.run(&[
            "repair",
            "drive-belt",
            "--done",
            "new belt",
            "--cause",
            cause,
        ])
    };
    let refused = repair("belt-slak");
    assert_eq!(refused.code, Some(2), "{refused}");
    for words in ["--cause", "belt-slak", "belt-slack", "causes list"] {
        assert!(refused.stderr.contains(words), "{words}: {refused}");
    }
    let done = repair("belt-slack");
    assert_eq!(done.code, Some(0), "{done}");
    let told = place.run(&["causes", "list"]);
    let told = told.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        told.contains("says nothing of the cause until she has run 5 h more and is seen sound"),
        "{told}"
    );
    let entries = place.run(&["entries", "--kind", "repair"]);
    assert!(entries.stdout.contains("cause belt-slack"), "{entries}");
    let sheet =
        json!({"type": "repair", "item": "drive-belt", "done": "again", "cause": "nobody-knows"});
    let file = place.file("repair.json", &sheet.to_string());
    let refused = place.run(&["record", &file]);
    assert_eq!(refused.code, Some(2), "{refused}");
    assert!(refused.stderr.contains("cause"), "{refused}");
}
