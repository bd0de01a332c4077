//! `front`, `issue`, `issued`, `verify`: a report frozen under a number.

use std::fs;

use super::harness::{Place, Run, full_walk, record_files};
use serde_json::{Value, json};

const SURVEY: &str = "2026-05-02T10:00:00+02:00";

/// An owner's boat: her failing belt is on record, and a surveyor has walked a day later without seeing it.
fn surveyed() -> Place {
    let place = Place::with_boat();
    let looks = [json!({"item":"drive-belt","grade":"failing","phase":"cold"})];
    let sheet = full_walk("owner", "2026-05-01T07:40:00+02:00", 1200.0, &looks);
    let run = place.run(&["record", &place.file("owner.json", &sheet)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    place.record(&survey("s1", SURVEY, "S. Surveyor", &looks_of_survey()));
    place
}

fn looks_of_survey() -> Value {
    json!([
        {"item":"coolant-hoses","grade":"worn","note":"hard at the clip"},
        {"item":"raw-water-pump-seal","grade":"early"},
        {"item":"drive-belt","not_seen":"guard on","close_by":"take the guard off"}
    ])
}

fn survey(id: &str, at: &str, by: &str, looks: &Value) -> Value {
    json!({"type":"walk","id":id,"checklist":"survey","machine":"main","at":at,"by":by,
           "hours":1201.0,"blind":true,"looks":looks})
}

impl Place {
    fn page(&self, name: &str) -> String {
        self.path().join(name).to_str().expect("UTF-8").to_owned()
    }

    fn issue(&self, args: &[&str]) -> Value {
        let args = [&["issue"], args].concat();
        self.json("issue", &args)
    }

    fn refused(&self, args: &[&str]) -> String {
        let run = self.run(args);
        assert_eq!(run.code, Some(2), "{}: {}", run.line, run.stderr);
        run.stderr
    }

    fn verify(&self, page: &str, code: &str) -> Value {
        self.json("verify", &["verify", page, code])
    }

    /// The content kept of an issue.
    fn content(&self, number: &str, revision: &str) -> Value {
        let rows = self.json("issued", &["issued"]);
        let rows = rows["rows"].as_array().expect("rows").clone();
        let mut rows = rows.iter();
        let row = rows.find(|row| row["number"] == number && row["revision"] == revision);
        let code = row.expect("it was issued")["code"]
            .as_str()
            .expect("a code")
            .to_owned();
        let kept = fs::read_dir(self.logbook().join("issued")).expect("a folder");
        let texts = kept.map(|file| file.expect("a file").path());
        let mut texts = texts.filter(|path| path.extension().is_some_and(|e| e == "json"));
        let read = texts.find_map(|path| {
            let text = fs::read_to_string(path).expect("text");
            let content: Value = serde_json::from_str(&text).expect("JSON");
            (content["code"] == *code).then_some(content)
        });
        read.expect("it is kept")
    }
}

fn findings(content: &Value) -> Vec<(u64, &str, &str)> {
    let rows = content["findings"].as_array().expect("findings").iter();
    rows.map(|row| {
        let number = row["number"].as_u64().expect("a number");
        (
            number,
            row["item"].as_str().expect("an id"),
            row["grade"].as_str().expect("a word"),
        )
    })
    .collect()
}

#[test]
fn the_findings_are_those_of_the_walk_and_what_others_found_is_named_beside_them() {
    let place = surveyed();
    let page = place.page("r.html");
    let answer = place.issue(&["s1", "--to", &page]);
    assert_eq!(
        (&answer["number"], &answer["revision"]),
        (&json!("2026-01"), &json!("A"))
    );
    let left = answer["not_in_it"].as_array().expect("sentences");
    let first = left[0].as_str().expect("a sentence");
    assert!(
        first.contains("forbids running") && first.contains("belt"),
        "{first}"
    );
    // The answer at the head of the page does not stand without them.
    let text = fs::read_to_string(&page).expect("written");
    let head = text.split("<nav").next().expect("the front page");
    assert!(head.contains("not among these findings"), "{head}");
    let content = place.content("2026-01", "A");
    let items: Vec<&str> = findings(&content)
        .iter()
        .map(|(_, item, _)| *item)
        .collect();
    assert!(
        items.contains(&"coolant-hoses") && !items.contains(&"drive-belt"),
        "{items:?}"
    );
    assert_eq!(
        content["report"]["issued"]["not_in_it"],
        answer["not_in_it"]
    );
    assert_eq!(content["report"]["costs"], Value::Null);
    let numbers: Vec<u64> = findings(&content).iter().map(|(n, ..)| *n).collect();
    assert_eq!(numbers, (1..=numbers.len() as u64).collect::<Vec<_>>());
    // A draft says what is on record.
    let draft = place.page("draft.json");
    assert_eq!(place.run(&["report", "s1", "--to", &draft]).code, Some(0));
    let draft = fs::read_to_string(draft).expect("text");
    assert!(draft.contains("drive-belt"));
}

#[test]
fn a_walk_of_the_owner_put_on_record_later_enters_no_issue() {
    let mut place = surveyed();
    let page = place.page("r.html");
    let code = place.issue(&["s1", "--to", &page])["code"]
        .as_str()
        .expect("a code")
        .to_owned();
    let before = fs::read(&page).expect("a page");
    place.at("2026-05-03T12:00:00+02:00");
    // Told as walked before the survey.
    let looks = [
        json!({"item":"coolant-hoses","grade":"failed","phase":"cold"}),
        json!({"item":"drive-belt","grade":"failing","phase":"cold"}),
    ];
    let late = full_walk("late", "2026-05-02T08:00:00+02:00", 1200.5, &looks);
    let run = place.run(&["record", &place.file("late.json", &late)]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let again = place.page("again.html");
    assert_eq!(
        place.run(&["issued", "2026-01", "--to", &again]).code,
        Some(0)
    );
    assert_eq!(fs::read(&again).expect("a page"), before, "byte for byte");
    assert_eq!(place.verify(&again, &code)["state"], "whole");
    let rows = place.json("issued", &["issued"]);
    assert_eq!(
        rows["rows"][0]["changed_since"], false,
        "it is of no walk of the report"
    );
    let told = place.issue(&[
        "s1",
        "--to",
        &again,
        "--why",
        "asked for again",
        "--only-tell",
    ]);
    assert_eq!(told["issued"], false);
    let report = told["not_in_it"].to_string();
    assert!(report.contains("belt"), "{report}");
}

#[test]
fn a_page_is_verified_by_a_code_from_elsewhere_and_without_a_logbook() {
    let place = surveyed();
    let page = place.page("r.html");
    let code = place.issue(&["s1", "--to", &page])["code"]
        .as_str()
        .expect("a code")
        .to_owned();
    let whole = place.verify(&page, &code);
    assert_eq!(whole["state"], "whole");
    assert!(
        whole["code_comes"]
            .as_str()
            .expect("words")
            .contains("another way")
    );
    let typed = code
        .to_lowercase()
        .replace('-', "")
        .replace('0', "o")
        .replace('1', "l");
    assert_eq!(place.verify(&page, &typed)["state"], "whole");
    let text = fs::read_to_string(&page).expect("text");
    let changed = place.file("changed.html", &text.replacen("Survey", "Sorvey", 1));
    let answer = place.verify(&changed, &code);
    assert_eq!(
        (&answer["state"], &answer["number"]),
        (&json!("changed"), &json!("2026-01"))
    );
    let logbook = place.logbook();
    let logbook = logbook.to_str().expect("UTF-8");
    let with = ["verify", &changed, &code, "--logbook", logbook];
    let with = place.json("verify", &with);
    assert_eq!(
        (&with["compared"], &with["code_of"]),
        (&json!(true), &json!("2026-01 revision A"))
    );
    let draft = place.page("draft.html");
    assert_eq!(place.run(&["report", "s1", "--to", &draft]).code, Some(0));
    assert_eq!(place.verify(&draft, &code)["state"], "no-report");
    assert_eq!(
        place.verify(&place.file("x.html", "\0<!--part "), &code)["state"],
        "no-report"
    );
    place.record(&survey(
        "s2",
        "2026-05-02T15:00:00+02:00",
        "S. Surveyor",
        &looks_of_survey(),
    ));
    let other = place.page("other.html");
    let second = place.issue(&["s2", "--to", &other]);
    assert_eq!(second["number"], "2026-02");
    let answer = place.json("verify", &["verify", &other, &code, "--logbook", logbook]);
    assert_eq!(
        (&answer["state"], &answer["number"]),
        (&json!("other"), &json!("2026-02"))
    );
    assert_eq!(answer["code_of"], "2026-01 revision A");
    let first = code.chars().next().expect("a character");
    let slip = code.replacen(first, if first == 'A' { "B" } else { "A" }, 1);
    assert!(
        place
            .refused(&["verify", &page, &slip])
            .contains("a character is wrong")
    );
    place.refused(&["verify", &place.page("none.html"), &code]);
}

#[test]
fn what_is_put_right_later_makes_a_revision_and_never_changes_what_was_issued() {
    let mut place = surveyed();
    let page = place.page("a.html");
    place.issue(&["s1", "--to", &page]);
    let before = fs::read(&page).expect("a page");
    let first = place.content("2026-01", "A");
    place.at("2026-05-04T09:00:00+02:00");
    let entries = place.json(
        "entries",
        &["entries", "--item", "coolant-hoses", "--walk", "s1"],
    );
    let id = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    let right = [
        "entries",
        "put-right",
        &id,
        "grade=early",
        "--why",
        "the other hose",
    ];
    let run = place.run(&right);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let row = place.json("issued", &["issued"])["rows"][0].clone();
    assert_eq!(row["changed_since"], true);
    let second = place.page("b.html");
    let refused = place.refused(&["issue", "s1", "--to", &second]);
    assert!(refused.contains("--why"), "{refused}");
    let entries = place.json(
        "entries",
        &["entries", "--item", "raw-water-pump-seal", "--walk", "s1"],
    );
    let seal = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    let back = ["entries", "take-back", &seal, "--why", "a drop of rain"];
    assert_eq!(place.run(&back).code, Some(0));
    let answer = place.issue(&["s1", "--to", &second, "--why", "two entries were wrong"]);
    assert_eq!(
        (&answer["number"], &answer["revision"]),
        (&json!("2026-01"), &json!("B"))
    );
    let what = answer["what"].as_str().expect("words");
    assert!(
        what.contains("withdrawn") && what.contains("early instead of worn"),
        "{what}"
    );
    let now = place.content("2026-01", "B");
    let numbers = |content: &Value| -> Vec<(u64, String)> {
        let all = findings(content).into_iter();
        all.map(|(number, item, _)| (number, item.to_owned()))
            .collect()
    };
    let (was, is) = (numbers(&first), numbers(&now));
    assert!(is.iter().all(|row| was.contains(row)), "{was:?} {is:?}");
    let gone = &now["withdrawn"][0];
    assert_eq!(gone["item"], "raw-water-pump-seal");
    assert_eq!(gone["why"], "a drop of rain");
    assert!(was.contains(&(
        gone["number"].as_u64().expect("a number"),
        "raw-water-pump-seal".into()
    )));
    assert_eq!(now["revisions"].as_array().map(Vec::len), Some(2));
    let again = place.page("again.html");
    let run = place.run(&["issued", "2026-01", "--revision", "A", "--to", &again]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert_eq!(fs::read(&again).expect("a page"), before);
    // What was withdrawn is seen again: it has a number that none had.
    place.at("2026-05-04T10:00:00+02:00");
    assert_eq!(place.run(&["entries", "put-back", &seal]).code, Some(0));
    place.issue(&["s1", "--to", &second, "--why", "it was no rain"]);
    let third = place.content("2026-01", "C");
    let anew = findings(&third)
        .into_iter()
        .find(|(_, item, _)| *item == "raw-water-pump-seal");
    let (number, ..) = anew.expect("it is a finding");
    assert!(
        was.iter().all(|(known, _)| *known != number),
        "{number} {was:?}"
    );
}

#[test]
fn a_number_is_never_given_again() {
    let place = surveyed();
    let page = place.page("a.html");
    let first = place.issue(&["s1", "--to", &page, "--number", "R7"]);
    let id = first["id"].as_str().expect("an id");
    let run = place.run(&[
        "entries",
        "take-back",
        id,
        "--why",
        "sent to the wrong client",
    ]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let row = place.json("issued", &["issued"])["rows"][0].clone();
    assert_eq!(
        (&row["number"], &row["taken_back"]),
        (&json!("R7"), &json!(true))
    );
    let refused = place.refused(&["issue", "s1", "--to", &page, "--number", "r7"]);
    assert!(refused.contains("given before"), "{refused}");
    for odd in ["-->", "a--b", "", "a b"] {
        let number = format!("--number={odd}");
        assert_eq!(
            place.run(&["issue", "s1", "--to", &page, &number]).code,
            Some(2),
            "{odd}"
        );
    }
    assert_eq!(place.issue(&["s1", "--to", &page])["number"], "2026-01");
    place.record(&survey(
        "s2",
        "2026-05-02T15:00:00+02:00",
        "S. Surveyor",
        &looks_of_survey(),
    ));
    // Killed between content and record: what is there nothing names.
    let kept = place.logbook().join("issued");
    let mut content = place.content("2026-01", "A");
    content["number"] = json!("2026-02");
    let text = content.to_string();
    let name = sha256(text.as_bytes());
    fs::write(kept.join(format!("{name}.json")), text).expect("written");
    let check = place.json("logbook-check", &["logbook", "check"]);
    let rows = check["rows"].to_string();
    assert!(
        rows.contains(&name) && rows.contains("no record names it"),
        "{rows}"
    );
    assert_eq!(check["damaged"], false);
    assert_eq!(place.issue(&["s2", "--to", &page])["number"], "2026-03");
}

fn sha256(bytes: &[u8]) -> String {
    use sha2::{Digest, Sha256};
    let each = Sha256::digest(bytes);
    each.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[test]
fn an_addendum_leaves_the_findings_and_says_what_it_adds_and_closes() {
    let mut place = surveyed();
    let page = place.page("a.html");
    place.issue(&["s1", "--to", &page]);
    place.at("2026-05-06T09:00:00+02:00");
    let why = ["--why", "the laboratory wrote"];
    let args = [&["issue", "s1", "--addendum", "--to", &page][..], &why].concat();
    let nothing = place.refused(&args);
    assert!(nothing.contains("nothing is on record"), "{nothing}");
    let front = ["front", "s1", "oil-analysis=iron 40 ppm\\ncopper 12 ppm"];
    assert_eq!(place.run(&front).code, Some(0));
    let added = place.issue(&args[1..]);
    assert_eq!(added["revision"], "A.1");
    assert!(
        added["what"]
            .as_str()
            .expect("words")
            .contains("Oil samples"),
        "{added}"
    );
    assert_eq!(
        findings(&place.content("2026-01", "A")),
        findings(&place.content("2026-01", "A.1"))
    );
    let looks = json!([{"item":"coolant-hoses","grade":"sound","better":"repaired"},
                       {"item":"bilge-alarm","grade":"failed"}]);
    place.record(&survey(
        "s2",
        "2026-05-05T10:00:00+02:00",
        "S. Surveyor",
        &looks,
    ));
    let args = [
        "s2",
        "--addendum",
        "--number",
        "2026-01",
        "--to",
        &page,
        "--why",
        "second visit",
    ];
    let visit = place.issue(&args);
    assert_eq!(visit["revision"], "A.2");
    let first = place.content("2026-01", "A");
    let hoses = findings(&first)
        .into_iter()
        .find(|(_, item, _)| *item == "coolant-hoses");
    let (number, ..) = hoses.expect("a finding");
    assert_eq!(visit["closes"], json!([number]));
    let second = place.content("2026-01", "A.2");
    let taken: Vec<u64> = findings(&first).iter().map(|(n, ..)| *n).collect();
    let alarm = findings(&second)
        .into_iter()
        .find(|(_, item, _)| *item == "bilge-alarm");
    assert!(!taken.contains(&alarm.expect("a finding").0));
    // Findings that are others now are no matter of an addendum.
    let entries = place.json(
        "entries",
        &["entries", "--item", "coolant-hoses", "--walk", "s1"],
    );
    let id = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    let right = [
        "entries",
        "put-right",
        &id,
        "grade=early",
        "--why",
        "the other hose",
    ];
    assert_eq!(place.run(&right).code, Some(0));
    let refused = place.refused(&["issue", "s1", "--addendum", "--to", &page, "--why", "x"]);
    assert!(refused.contains("Issue a revision"), "{refused}");
}

#[test]
fn looks_of_an_assistant_are_in_it_and_marked_so() {
    let place = surveyed();
    let looks = json!([{"item":"engine-mounts","grade":"failing"}]);
    place.record(&survey(
        "s2",
        "2026-05-02T11:00:00+02:00",
        "A. Mate",
        &looks,
    ));
    let page = place.page("a.html");
    place.issue(&["s1", "--assistant", "s2", "--to", &page]);
    let content = place.content("2026-01", "A");
    let report = &content["report"];
    let walks = report["issued"]["walks"].as_array().expect("walks");
    assert_eq!((walks.len(), &walks[1]["assistant"]), (2, &json!(true)));
    let looks = report["looks"].as_array().expect("looks").iter();
    let marked: Vec<&str> = looks
        .filter(|look| {
            look["joined"]
                .as_str()
                .is_some_and(|why| why.contains("A. Mate"))
        })
        .filter_map(|look| look["item"].as_str())
        .collect();
    assert_eq!(marked, ["engine-mounts"]);
    assert!(
        findings(&content)
            .iter()
            .any(|(_, item, _)| *item == "engine-mounts")
    );
    let refused = place.refused(&[
        "issue",
        "s1",
        "--assistant",
        "s1",
        "--to",
        &page,
        "--why",
        "x",
    ]);
    assert!(refused.contains("named twice"), "{refused}");
}

#[test]
fn front_matter_is_entered_offered_taken_out_and_refused_by_field() {
    let place = surveyed();
    let answer = place.json("front", &["front", "s1"]);
    let of = |answer: &Value, name: &str| -> Value {
        let rows = answer["entries"].as_array().expect("entries").iter();
        rows.clone()
            .find(|row| row["entry"] == name)
            .expect("an entry")
            .clone()
    };
    assert_eq!(of(&answer, "surveyor")["offered"], "S. Surveyor");
    assert_eq!(of(&answer, "hour-meter")["offered"], "1201.0 h, as read");
    assert_eq!(of(&answer, "surveyor")["value"], Value::Null);
    let said = ["front", "s1", "client=A. Finch", "lying=afloat"];
    let answer = place.json("front", &said);
    assert_eq!(of(&answer, "client")["value"], "A. Finch");
    assert_eq!(answer["recorded"].as_array().map(Vec::len), Some(1));
    let answer = place.json("front", &["front", "s1", "client="]);
    assert_eq!(of(&answer, "client")["value"], Value::Null);
    assert_eq!(of(&answer, "lying")["value"], "afloat");
    let long = format!("client={}", "x".repeat(301));
    let odd = [
        "lying=on a trailer",
        "client=a\nb",
        "clients=x",
        "client",
        &long,
    ];
    for entry in odd {
        let refused = place.refused(&["front", "s1", entry]);
        assert!(
            refused.contains("client") || refused.contains("lying"),
            "{refused}"
        );
    }
    place.refused(&["front", "nowhere", "client=x"]);
    // In a sheet, and as a record by itself.
    let mut sheet = survey(
        "s2",
        "2026-05-02T15:00:00+02:00",
        "B. Other",
        &looks_of_survey(),
    );
    sheet["front"] = json!({"client":"B. Finch","instruments":"lamp\nmirror"});
    place.record(&sheet);
    assert_eq!(
        of(&place.json("front", &["front", "s2"]), "client")["value"],
        "B. Finch"
    );
    sheet["id"] = json!("s3");
    sheet["at"] = json!("2026-05-02T16:00:00+02:00");
    sheet["front"] = json!({"arrival":"tepid"});
    let run = place.run_with_input(&["record", "-"], &sheet.to_string());
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("front.arrival"), "{}", run.stderr);
    place.record(
        &json!({"type":"front-matter","walk":"s2","entries":{"client":null,"flag":"none"}}),
    );
    let answer = place.json("front", &["front", "s2"]);
    assert_eq!(
        (
            &of(&answer, "client")["value"],
            &of(&answer, "flag")["value"]
        ),
        (&Value::Null, &json!("none"))
    );
    // It is an entry like any other: put right, taken back.
    let entries = place.json(
        "entries",
        &["entries", "--kind", "front-matter", "--walk", "s2"],
    );
    let id = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    let run = place.run(&[
        "entries",
        "put-right",
        &id,
        "flag=British",
        "--why",
        "seen at the stern",
    ]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    assert_eq!(
        of(&place.json("front", &["front", "s2"]), "flag")["value"],
        "British"
    );
    let run = place.run(&["entries", "take-back", &id]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let answer = place.json("front", &["front", "s2"]);
    assert_eq!(
        (
            &of(&answer, "client")["value"],
            &of(&answer, "flag")["value"]
        ),
        (&json!("B. Finch"), &Value::Null)
    );
}

#[test]
fn what_is_lost_or_changed_is_said_in_the_document_and_of_what_is_kept() {
    let place = surveyed();
    let page = place.page("a.html");
    // A look of the survey is changed in its line, and one of the owner is spoilt.
    for file in record_files(&place.logbook()) {
        let text = fs::read_to_string(&file).expect("text");
        let lines = text
            .lines()
            .map(|line| match line.contains("hard at the clip") {
                true => line.replace("worn", "sound"),
                false if line.contains("\"failing\"") => line[..line.len() / 2].to_owned(),
                false => line.to_owned(),
            });
        let lines: Vec<String> = lines.collect();
        fs::write(&file, lines.join("\n") + "\n").expect("written");
    }
    let answer = place.issue(&["s1", "--to", &page]);
    assert!(!answer["not_counted"].as_array().expect("told").is_empty());
    let told = answer["not_in_it"].to_string();
    assert!(told.contains("Not counted"), "{told}");
    let content = place.content("2026-01", "A");
    assert!(
        !content["report"]["not_counted"]
            .as_array()
            .expect("told")
            .is_empty()
    );
    let code = answer["code"].as_str().expect("a code").to_owned();
    for ending in ["json", "html"] {
        let kept = fs::read_dir(place.logbook().join("issued")).expect("a folder");
        let mut kept = kept.map(|file| file.expect("a file").path());
        let file = kept.find(|path| path.extension().is_some_and(|e| e == ending));
        let file = file.expect("it is kept");
        let sound = fs::read_to_string(&file).expect("text");
        fs::write(&file, sound.replacen("2026", "2027", 1)).expect("written");
        let name = file
            .file_name()
            .and_then(|n| n.to_str())
            .expect("a name")
            .to_owned();
        let issued = place.json("issued", &["issued"]);
        assert!(
            issued["rows"][0]["faults"].to_string().contains(&name),
            "{issued}"
        );
        assert_eq!(place.run(&["issued"]).code, Some(1));
        let check = place.json("logbook-check", &["logbook", "check"]);
        assert!(check["rows"].to_string().contains(&name), "{check}");
        if ending == "html" {
            let run = place.run(&["issued", "2026-01", "--to", &place.page("b.html")]);
            assert_eq!(run.code, Some(3), "{}", run.stderr);
            assert!(run.stderr.contains(&name), "{}", run.stderr);
            let logbook = place.logbook();
            let run = place.run(&[
                "verify",
                &page,
                &code,
                "--logbook",
                logbook.to_str().expect("UTF-8"),
            ]);
            assert!(run.stderr.contains(&name), "{}", run.stderr);
        }
        fs::remove_file(&file).expect("removed");
        let check = place.json("logbook-check", &["logbook", "check"]);
        assert!(
            check["rows"].to_string().contains("is not there"),
            "{check}"
        );
        assert_eq!(check["damaged"], true);
        fs::write(&file, sound).expect("written");
    }
    // A line of its walk is lost after it was issued.
    for file in record_files(&place.logbook()) {
        let text = fs::read_to_string(&file).expect("text");
        let lines = text
            .lines()
            .filter(|line| !line.contains("raw-water-pump-seal"));
        let lines: Vec<&str> = lines.collect();
        fs::write(&file, lines.join("\n") + "\n").expect("written");
    }
    assert_eq!(
        place.json("issued", &["issued"])["rows"][0]["changed_since"],
        true
    );
}

#[test]
fn where_nothing_can_be_kept_nothing_is_issued_and_where_only_the_page_cannot_be_written_it_is_said()
 {
    let place = surveyed();
    let page = place.page("a.html");
    let kept = place.logbook().join("issued");
    fs::write(&kept, "in the way").expect("written");
    let run = place.run(&["issue", "s1", "--to", &page]);
    assert_eq!(run.code, Some(3), "{}", run.stderr);
    assert!(!fs::exists(&page).expect("asked"));
    assert_eq!(
        place.json("entries", &["entries", "--kind", "issued"])["rows"],
        json!([])
    );
    fs::remove_file(&kept).expect("removed");
    let run = place.run(&["issue", "s1", "--to", "/proc/handlamp/a.html"]);
    assert_eq!(run.code, Some(3), "{}", run.stderr);
    assert!(
        run.stderr.contains("2026-01 revision A is issued and kept"),
        "{}",
        run.stderr
    );
    assert_eq!(
        place.run(&["issued", "2026-01", "--to", &page]).code,
        Some(0)
    );
    for (args, why) in [
        (["issue", "s1", "--to", "a.md"], ".html"),
        (["issue", "nowhere", "--to", "a.html"], "no walk"),
        (["issued", "2026-09", "--to", "a.html"], "was not issued"),
    ] {
        let refused = place.refused(&args);
        assert!(refused.contains(why), "{refused}");
    }
}

#[test]
fn what_was_issued_goes_with_a_merge_and_stays_when_the_history_is_given_on() {
    let place = surveyed();
    let page = place.page("a.html");
    let told = place.run(&["front", "s1", "client=A. Finch", "hull-number=GB 12"]);
    assert_eq!(told.code, Some(0), "{}", told.stderr);
    place.issue(&["s1", "--to", &page]);
    let other = place.path().join("other");
    fs::create_dir(&other).expect("made");
    let other = other.to_str().expect("UTF-8");
    let logbook = place.logbook();
    let run = place.run(&[
        "logbook",
        "merge",
        logbook.to_str().expect("UTF-8"),
        "--logbook",
        other,
    ]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let issued = place.json("issued", &["issued", "--logbook", other]);
    assert_eq!(issued["rows"][0]["number"], "2026-01");
    assert_eq!(issued["rows"][0]["faults"], json!([]));
    assert_eq!(issued["rows"][0]["changed_since"], false);
    let hers = place.page("hers");
    let run = place.run(&["give-on", &hers]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let issued = place.json("issued", &["issued", "--logbook", &hers]);
    assert_eq!(issued["rows"], json!([]));
    let mut told = String::new();
    for file in record_files(std::path::Path::new(&hers)) {
        told += &fs::read_to_string(file).expect("text");
    }
    assert!(
        !told.contains("A. Finch") && told.contains("GB 12"),
        "{told}"
    );
}

/// The names of what is kept of reports.
fn kept(place: &Place) -> Vec<String> {
    let Ok(listed) = fs::read_dir(place.logbook().join("issued")) else {
        return Vec::new();
    };
    let names = listed.map(|file| file.expect("a file").file_name());
    names
        .map(|name| name.to_string_lossy().into_owned())
        .collect()
}

/// The survey with a photograph that does not get smaller, so that the page is longer than its content.
fn photographed() -> Place {
    let place = surveyed();
    let mut rng = fastrand::Rng::with_seed(7);
    let picture = image::RgbImage::from_fn(300, 300, |_, _| {
        image::Rgb([rng.u8(..), rng.u8(..), rng.u8(..)])
    });
    picture.save(place.path().join("noise.png")).expect("saved");
    let looks = json!([{"item":"coolant-hoses","grade":"worn","photos":[{"path":"noise.png","caption":"the clip"}]}]);
    place.record(&survey(
        "s2",
        "2026-05-02T14:00:00+02:00",
        "S. Surveyor",
        &looks,
    ));
    place
}

/// `issue` of its survey with as many bytes to a file at most; none where no limit can be set.
fn limited(place: &mut Place, limit: u64, more: &[&str]) -> Option<Run> {
    place.at("2026-05-03T09:00:00+02:00");
    let limit = u32::try_from(limit).expect("a small file");
    let args = [&FULL[..], more, &["--to", "r.html"]].concat();
    let run = place.run_limited(limit, &args);
    if run.is_none() {
        crate::skip::skipped("prlimit", "no limit can be set; no disk was filled");
    }
    run
}

const FULL: [&str; 4] = ["issue", "s2", "--photographs", "full"];

#[test]
fn a_full_disk_leaves_nothing_half_issued_and_the_number_free() {
    let whole = photographed();
    let run = whole.run(&[&FULL[..], &["--to", "r.html"]].concat());
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let size = |ending: &str| {
        let name = kept(&whole).into_iter().find(|name| name.ends_with(ending));
        let path = whole.logbook().join("issued").join(name.expect("kept"));
        fs::metadata(path).expect("there").len()
    };
    let (content, page) = (size(".json"), size(".html"));
    assert!(content < page, "{content} {page}");
    let mut place = photographed();
    // Before the content is whole, and behind it before the page is.
    let limits = [content / 2, u64::midpoint(content, page)];
    let fails = |place: &mut Place, more: &[&str], rows: usize| {
        for limit in limits {
            let before = kept(place);
            let Some(run) = limited(place, limit, more) else {
                return false;
            };
            assert_eq!(run.code, Some(3), "{run}");
            for told in ["nothing was issued: ", "cannot be written"] {
                assert!(run.stderr.contains(told), "{run}");
            }
            assert!(run.stdout.is_empty(), "{run}");
            assert_eq!(kept(place), before, "{limit}");
            let issued = place.json("issued", &["issued"]);
            let issued = issued["rows"].as_array().expect("rows");
            assert_eq!(issued.len(), rows, "{limit}");
            assert!(issued.iter().all(|row| row["faults"] == json!([])));
            let check = place.json("logbook-check", &["logbook", "check"]);
            assert_eq!(check["rows"], json!([]), "{limit}");
        }
        true
    };
    if !fails(&mut place, &[], 0) {
        return;
    }
    assert!(!place.path().join("r.html").exists());
    // There is room again: the number is the one it would have had, even where somebody asks for it.
    let page = place.page("r.html");
    let answer = place.issue(&["s2", "--number", "2026-01", "--to", &page]);
    assert_eq!(answer["revision"], "A", "{answer}");
    let written = fs::read(&page).expect("a page");
    // Of a revision the same, and what was issued before stays as it is.
    assert!(fails(&mut place, &["--why", "a wrong word"], 1));
    assert_eq!(fs::read(&page).expect("a page"), written);
    let answer = place.issue(&["s2", "--why", "a wrong word", "--to", &page]);
    assert_eq!(
        (&answer["number"], &answer["revision"]),
        (&json!("2026-01"), &json!("B"))
    );
}
