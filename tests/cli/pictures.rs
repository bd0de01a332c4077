//! Surveys and pictures as commands.

use std::os::unix::fs::symlink;
use std::path::PathBuf;

use serde_json::{Value, json};

use super::harness::{Place, session};

/// A JPEG with a position in it.
pub fn jpeg() -> Vec<u8> {
    let mut out = Vec::new();
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut out);
    let picture = image::RgbImage::from_pixel(32, 24, image::Rgb([90, 120, 60]));
    encoder.encode_image(&picture).expect("encoded");
    let told = b"\xFF\xE1\x00\x1DExif\0\0N 54 19.3 E 10 08.4";
    [&out[..2], &told[..], &[0, 0], &out[2..]].concat()
}

pub fn picture(place: &Place, name: &str, bytes: &[u8]) -> PathBuf {
    let path = place.path().join(name);
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
    std::fs::write(&path, bytes).expect("written");
    path
}

pub fn survey(looks: Value) -> Value {
    json!({"type":"walk","id":"s1","checklist":"survey","at":"2026-05-03T08:00:00+02:00","by":"R. Quay","hours":1203.6,
        "blind":true,
        "agreed":{"runs":"the owner","samples":"engine oil"},
        "told":[{"items":["fuel-hoses"],"whom":"the owner","at":"2026-05-03T08:40:00+02:00"}],
        "looks":looks})
}

pub fn looks() -> Value {
    json!([
        {"item":"fuel-hoses","grade":"failed","leak":"ii","said":"new last year","photos":[{"path":"trial/hose.jpg","caption":"at the lift pump"}]},
        {"item":"oil-pressure","phase":"under-way","grade":"sound","at_rpm":1500,"reading":{"value":45,"unit":"psi"}},
        {"item":"oil-pressure","phase":"under-way","grade":"early","at_rpm":2000,"reading":{"value":41,"unit":"psi"}},
        {"item":"engine-oil-sample","not_seen":"no bottle","close_by":"laboratory"}
    ])
}

fn kept(place: &Place) -> Vec<String> {
    let listed = std::fs::read_dir(place.logbook().join("photos"));
    let names = listed
        .into_iter()
        .flatten()
        .filter_map(|e| e.ok()?.file_name().into_string().ok());
    let mut names: Vec<_> = names.collect();
    names.sort();
    names
}

#[test]
fn a_survey_is_recorded_with_all_that_belongs_to_it() {
    let place = Place::with_boat();
    picture(&place, "trial/hose.jpg", &jpeg());
    let file = place.file("survey.json", &survey(looks()).to_string());
    let runs = [
        place.run(&["record", &file]),
        place.run(&["record", &file]),
        place.run(&["walks"]),
        place.run(&["logbook", "check"]),
    ];
    insta::assert_snapshot!(session(&runs));
    let walks = place.json("walks", &["walks"]);
    assert_eq!(walks["rows"][0]["blind"], true);
    let names = kept(&place);
    assert_eq!(names.len(), 1);
    let content = std::fs::read(place.logbook().join("photos").join(&names[0])).expect("read");
    assert!(
        !content.windows(5).any(|w| w == b"54 19"),
        "the position is out"
    );
    let out = place.path().join("tables");
    place.json(
        "logbook-export",
        &["logbook", "export", out.to_str().expect("UTF-8")],
    );
    let table = |name: &str| std::fs::read_to_string(out.join(name)).expect("a table");
    assert!(table("photos.ndjson").contains(&names[0]));
    assert!(table("looks.ndjson").contains(r#""said":"new last year""#));
    assert!(table("told.ndjson").contains(r#""whom":"the owner""#));
    assert!(table("walks.ndjson").contains(r#""samples":"engine oil""#));
}

#[test]
fn what_a_survey_needs_is_told_by_field() {
    let place = Place::with_boat();
    let mut sheet = survey(json!([
        {"item":"fuel-hoses","grade":"sound"},
        {"item":"bilge-alarm","not_seen":"no access"},
        {"item":"bilge-pump","grade":"sound","photos":[{"path":"none.jpg"}]}
    ]));
    sheet["told"] = json!([{"items":["fuel-hose"],"whom":" ","at":"2026-05-02T08:40:00+02:00"}]);
    let late = json!({"type":"told","walk":"s9","told":{"items":[],"whom":"","at":"2026-05-02T08:40:00+02:00"}});
    let agreed = json!({"type":"agreement","walk":"s9","agreed":{"runs":"x".repeat(2000)}});
    let runs = [
        place.run(&["record", &place.file("a.json", &sheet.to_string())]),
        place.run(&["record", &place.file("b.json", &late.to_string())]),
        place.run(&["record", &place.file("c.json", &agreed.to_string())]),
        place.run(&["walks"]),
    ];
    insta::assert_snapshot!(session(&runs));
    assert!(kept(&place).is_empty());
}

#[test]
fn what_was_agreed_and_told_can_be_recorded_later() {
    let place = Place::with_boat();
    let mut sheet = survey(json!([{"item":"fuel-hoses","grade":"failed","leak":"ii"}]));
    sheet["told"] = json!([]);
    sheet["agreed"] = Value::Null;
    place.record(&sheet);
    let told = json!({"items":["fuel-hoses"],"whom":"the broker","at":"2026-05-03T08:50:00+02:00"});
    place.record(&json!({"type":"told","walk":"s1","told":told}));
    place.record(&json!({"type":"agreement","walk":"s1","agreed":{"may_open":"anodes"}}));
    let out = place.path().join("tables");
    place.json(
        "logbook-export",
        &["logbook", "export", out.to_str().expect("UTF-8")],
    );
    let table = |name: &str| std::fs::read_to_string(out.join(name)).expect("a table");
    assert!(table("told.ndjson").contains("the broker"));
    assert!(table("walks.ndjson").contains(r#""may_open":"anodes""#));
}

/// Who did not see the earlier grade cannot be asked why this one is better.
#[test]
fn a_better_grade_needs_no_reason_in_a_blind_walk_alone() {
    let place = Place::with_findings();
    let better = json!([{"item":"drive-belt","grade":"sound"}]);
    let mut sheet = survey(better);
    sheet["told"] = json!([]);
    sheet["at"] = json!("2026-05-03T08:30:00+02:00");
    sheet["blind"] = json!(false);
    let run = place.run(&["record", &place.file("a.json", &sheet.to_string())]);
    assert_eq!(run.code, Some(2), "{}", run.stderr);
    assert!(run.stderr.contains("better"), "{}", run.stderr);
    sheet["blind"] = json!(true);
    place.record(&sheet);
}

#[test]
fn pictures_that_cannot_be_taken_leave_nothing_behind() {
    let place = Place::with_boat();
    let good = picture(&place, "good.jpg", &jpeg());
    symlink(&good, place.path().join("link.jpg")).expect("linked");
    let pipe = place.path().join("pipe.jpg");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("it runs").success());
    picture(&place, "words.jpg", b"no picture");
    picture(&place, "half.jpg", &jpeg()[..300]);
    let huge = std::fs::File::create(place.path().join("huge.jpg")).expect("made");
    huge.set_len((64 << 20) + 1).expect("grown");
    std::fs::create_dir(place.path().join("folder.jpg")).expect("made");
    let mut photos: Vec<Value> = [
        "good.jpg",
        "none.jpg",
        "link.jpg",
        "pipe.jpg",
        "words.jpg",
        "half.jpg",
        "huge.jpg",
        "folder.jpg",
        "",
        "gpj.\u{202e}exe\u{1b}[2J",
    ]
    .iter()
    .map(|path| json!({"path": path}))
    .collect();
    photos.push(json!({"path":"x","kept":"../../boat.json"}));
    let sheet = json!({"type":"walk","id":"w1","checklist":"daily","at":"2026-05-03T08:00:00+02:00",
        "looks":[{"item":"drive-belt","grade":"sound","photos":photos}]});
    let file = place.file("w.json", &sheet.to_string());
    let runs = [place.run(&["record", &file]), place.run(&["walks"])];
    let told = session(&runs);
    assert!(
        !told.contains('\u{1b}') && !told.contains('\u{202e}'),
        "{told}"
    );
    insta::assert_snapshot!(told.replace(" (Invalid argument (os error 22))", ""));
    assert!(kept(&place).is_empty());
}

/// A record of an older program, or one whose picture was never taken in, stays readable; so does
/// one that is recorded again by the name of what was kept.
#[test]
fn pictures_are_checked_merged_and_named_again() {
    let place = Place::with_boat();
    picture(&place, "trial/hose.jpg", &jpeg());
    let mut sheet = survey(looks());
    let file = place.file("survey.json", &sheet.to_string());
    assert_eq!(place.run(&["record", &file]).code, Some(0));
    let name = kept(&place).remove(0);
    let stored = place.logbook().join("photos").join(&name);
    sheet["id"] = json!("s2");
    sheet["at"] = json!("2026-05-03T08:10:00+02:00");
    sheet["hours"] = json!(1203.7);
    sheet["told"] = json!([]);
    sheet["looks"] = json!([{"item":"fuel-hoses","grade":"failed","leak":"ii","photos":[{"path":"again","kept":name}]}]);
    place.record(&sheet);

    let copy = Place::with_boat();
    let from = place.logbook();
    let merged = copy.json(
        "logbook-merge",
        &["logbook", "merge", from.to_str().expect("UTF-8")],
    );
    assert_eq!(merged["photos"], 1);
    assert_eq!(kept(&copy), std::slice::from_ref(&name));

    std::fs::write(&stored, b"spoilt").expect("spoilt");
    let spoilt = place.json("logbook-check", &["logbook", "check"]);
    assert_eq!(spoilt["damaged"], true);
    assert_eq!(
        spoilt["rows"][0]["message"],
        "the picture no longer matches its name"
    );
    std::fs::remove_file(&stored).expect("removed");
    let gone = place.run(&["logbook", "check"]);
    assert_eq!(gone.code, Some(1));
    assert!(gone.stdout.contains("it is not there"), "{}", gone.stdout);
    let other = copy.logbook();
    let merged = place.json(
        "logbook-merge",
        &["logbook", "merge", other.to_str().expect("UTF-8")],
    );
    assert_eq!(merged["photos"], 1);
    assert_eq!(place.run(&["logbook", "check"]).code, Some(0));
}
