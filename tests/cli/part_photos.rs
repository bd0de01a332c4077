//! A photograph of a part: taken in as a look's is, shown beside its measures, and never left out
//! without a word.

use std::os::unix::fs::symlink;
use std::path::PathBuf;
use std::process::Command;

use serde_json::{Value, json};

use super::harness::{Place, Run, copy};
use super::pictures::{jpeg, picture};

/// What is on the page where a photograph stands.
const SHOWN: &str = "<img src=\"data:image/jpeg;base64,";

/// A picture that no other here is like.
fn other_jpeg() -> Vec<u8> {
    let mut out = Vec::new();
    let picture = image::RgbImage::from_pixel(900, 700, image::Rgb([10, 20, 200]));
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut out);
    encoder.encode_image(&picture).expect("encoded");
    out
}

fn put(place: &Place, fields: &[&str]) -> Run {
    place.run(&[&["parts", "put", "oil-filter"], fields].concat())
}

#[track_caller]
fn done(run: Run) -> String {
    assert_eq!(run.code, Some(0), "{run}");
    run.stdout
}

/// The photograph that is known of the oil filter.
fn photo(place: &Place) -> Value {
    let answer = place.json("parts-page", &["parts", "--part", "oil-filter"]);
    answer["rows"][0]["known"]["photo"].clone()
}

fn file_of(place: &Place, photo: &Value) -> PathBuf {
    let name = photo["kept"].as_str().expect("kept");
    place.logbook().join("photos").join(name)
}

fn kept(place: &Place) -> usize {
    std::fs::read_dir(place.logbook().join("photos")).map_or(0, Iterator::count)
}

fn page(place: &Place) -> (Run, String) {
    let file = place.path().join("parts.html");
    let file = file.to_str().expect("UTF-8").to_owned();
    let run = place.run(&["parts", "--machine", "main", "--page", &file]);
    assert_eq!(run.code, Some(0), "{run}");
    let html = std::fs::read_to_string(&file).expect("written");
    assert!(!html.contains("<script"), "{html}");
    (run, html)
}

/// The path of a picture as it is typed.
fn typed(path: &std::path::Path) -> String {
    format!("photo={}", path.display())
}

#[test]
fn a_photograph_stands_beside_the_measures_without_place_or_camera() {
    let place = Place::with_boat();
    let path = picture(&place, "aboard/filter.jpg", &jpeg());
    let said = done(put(&place, &["height_mm=79", &typed(&path)]));
    assert!(said.contains("Photograph: filter.jpg, "), "{said}");
    let known = photo(&place);
    assert_eq!(known["path"], "filter.jpg");
    let content = std::fs::read(file_of(&place, &known)).expect("kept");
    assert!(!content.windows(5).any(|w| w == b"54 19"), "the position");
    let (_, html) = page(&place);
    assert_eq!(html.matches(SHOWN).count(), 1, "{html}");
    let shown = html.find(SHOWN).expect("shown");
    let caption = html[shown..].contains("<figcaption><bdi>Oil filter</bdi></figcaption>");
    assert!(caption, "the part's title is its caption");
    let next = html[shown..].find("</article>").expect("its part ends");
    assert!(
        html[shown..][..next].contains("79 mm"),
        "beside its measures"
    );
    done(place.run(&["logbook", "check"]));
    let words = place.json("entries", &["entries", "--kind", "part"]);
    let words = words["rows"][0]["words"].to_string();
    assert!(words.contains("photograph: filter.jpg"), "{words}");
}

#[test]
fn a_large_photograph_is_made_smaller_for_the_page() {
    let place = Place::with_boat();
    let mut large = Vec::new();
    let mut seed = fastrand::Rng::with_seed(7);
    let noise = image::RgbImage::from_fn(1600, 1200, |_, _| image::Rgb([seed.u8(..), 90, 90]));
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut large);
    encoder.encode_image(&noise).expect("encoded");
    let path = picture(&place, "large.jpg", &large);
    done(put(&place, &[&typed(&path)]));
    let (_, html) = page(&place);
    assert!(
        html.contains(SHOWN) && html.len() < large.len() / 2,
        "{}",
        html.len()
    );
}

#[test]
fn the_newest_word_holds_and_what_is_taken_back_gives_back_the_former() {
    let mut place = Place::with_boat();
    let first = picture(&place, "first.jpg", &jpeg());
    let second = picture(&place, "second.jpg", &other_jpeg());
    done(put(&place, &[&typed(&first), "height_mm=79"]));
    place.at("2026-05-03T10:00:00+02:00");
    done(put(&place, &[&typed(&second)]));
    assert_eq!(photo(&place)["path"], "second.jpg");
    let entries = place.json("entries", &["entries", "--kind", "part"]);
    let id = entries["rows"][0]["id"].as_str().expect("an id").to_owned();
    let named = typed(&first);
    let run = place.run(&["entries", "put-right", &id, &named, "--why", "no"]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(run.stderr.contains("is taken in anew"), "{run}");
    done(place.run(&["entries", "take-back", &id]));
    assert_eq!(photo(&place)["path"], "first.jpg");
    // It can be put back, so that its file is still asked for.
    let taken_back = other_kept(&place, &photo(&place));
    std::fs::remove_file(&taken_back).expect("removed");
    let check = place.run(&["logbook", "check"]);
    assert_eq!(check.code, Some(1), "{check}");
    assert!(check.stdout.contains("names this picture"), "{check}");
    place.at("2026-05-03T11:00:00+02:00");
    done(put(&place, &["photo="]));
    assert_eq!(photo(&place), Value::Null);
    let answer = place.json("parts-page", &["parts", "--part", "oil-filter"]);
    assert_eq!(answer["rows"][0]["known"]["height_mm"], 79.0);
}

/// The kept file that is not the one of this photograph.
fn other_kept(place: &Place, photo: &Value) -> PathBuf {
    let own = file_of(place, photo);
    let listed = std::fs::read_dir(place.logbook().join("photos")).expect("listed");
    let mut paths = listed.map(|entry| entry.expect("an entry").path());
    paths.find(|path| *path != own).expect("another")
}

#[test]
fn what_is_no_picture_is_refused_in_words_and_leaves_nothing_behind() {
    let place = Place::with_boat();
    let good = picture(&place, "good.jpg", &jpeg());
    symlink(&good, place.path().join("link.jpg")).expect("linked");
    let pipe = place.path().join("pipe.jpg");
    let made = Command::new("mkfifo").arg(&pipe).status();
    assert!(made.expect("it runs").success());
    picture(&place, "words.jpg", b"no picture");
    let huge = std::fs::File::create(place.path().join("huge.jpg")).expect("made");
    huge.set_len((64 << 20) + 1).expect("grown");
    std::fs::create_dir(place.path().join("folder.jpg")).expect("made");
    for (name, why) in [
        ("none.jpg", "is not there"),
        ("link.jpg", "is a link"),
        ("pipe.jpg", "is no regular file"),
        ("words.jpg", "is no picture"),
        ("huge.jpg", "is larger than 64 MiB"),
        ("folder.jpg", "is a folder"),
    ] {
        let run = put(&place, &["height_mm=79", &typed(&place.path().join(name))]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(run.stderr.contains(why), "{name}: {run}");
        let sheet = json!({"type":"part","part":"oil-filter","photo":{"path":name}});
        let run = place.run(&["record", &place.file("part.json", &sheet.to_string())]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(
            run.stderr.contains("photo.path") && run.stderr.contains(why),
            "{name}: {run}"
        );
    }
    let odd =
        json!({"type":"part","part":"oil-filter","photo":{"path":"x","kept":"../../boat.json"}});
    let run = place.run(&["record", &place.file("part.json", &odd.to_string())]);
    assert_eq!(run.code, Some(2), "{run}");
    // A measure that is wrong keeps no picture either.
    let run = put(&place, &[&typed(&good), "height_mm=90000"]);
    assert_eq!(run.code, Some(2), "{run}");
    assert_eq!(kept(&place), 0);
    assert_eq!(photo(&place), Value::Null);
}

#[test]
fn a_file_names_it_from_its_own_folder() {
    let place = Place::with_boat();
    picture(&place, "trial/filter.jpg", &jpeg());
    let said = json!({"type":"part","part":"oil-filter",
        "photo":{"path":"trial/filter.jpg","caption":"<b>seen from \u{202e}below</b>"}});
    place.record(&said);
    let known = photo(&place);
    assert_eq!(known["path"], "filter.jpg");
    assert!(file_of(&place, &known).exists());
    let (_, html) = page(&place);
    assert!(html.contains(SHOWN) && !html.contains("<b>"), "{html}");
    assert!(
        html.contains("seen from ") && !html.contains('\u{202e}'),
        "{html}"
    );
}

#[test]
fn a_file_that_is_missing_or_changed_is_said() {
    let place = Place::with_boat();
    let path = picture(&place, "filter.jpg", &jpeg());
    done(put(&place, &[&typed(&path)]));
    let kept = file_of(&place, &photo(&place));
    for change in ["changed", "gone"] {
        match change {
            "changed" => std::fs::write(&kept, other_jpeg()).expect("changed"),
            _ => std::fs::remove_file(&kept).expect("removed"),
        }
        let (run, html) = page(&place);
        assert!(!html.contains(SHOWN), "{html}");
        assert!(
            html.contains("The photograph is not shown: its file is missing"),
            "{html}"
        );
        let told = "1 photograph(s) cannot be read and are left out";
        assert!(run.stderr.contains(told), "{change}: {run}");
        assert!(
            run.stdout.contains("The photograph cannot be read"),
            "{run}"
        );
        let answer = place.json("parts-page", &["parts"]);
        assert_eq!(answer["unread"].as_array().map(Vec::len), Some(1));
        assert_eq!(place.run(&["logbook", "check"]).code, Some(1));
    }
}

#[test]
fn it_travels_with_a_merge_a_seal_and_an_export() {
    let place = Place::with_boat();
    let other = place.path().join("other");
    copy(&place.logbook(), &other);
    let there = other.to_str().expect("UTF-8").to_owned();
    let path = picture(&place, "filter.jpg", &jpeg());
    let away = typed(&path);
    let run = ["parts", "put", "oil-filter", &away, "--logbook", &there];
    done(place.run(&run));
    let merged = place.json("logbook-merge", &["logbook", "merge", &there]);
    assert_eq!(merged["photos"], 1);
    let known = photo(&place);
    assert!(file_of(&place, &known).exists());
    assert!(page(&place).1.contains(SHOWN));
    let sealed = place.json("logbook-seal", &["logbook", "seal"]);
    let code = sealed["code"].as_str().expect("a code").to_owned();
    done(place.run(&["logbook", "verify-seal", &code]));
    let out = place.path().join("tables");
    let out = out.to_str().expect("UTF-8").to_owned();
    done(place.run(&["logbook", "export", &out]));
    let table = std::fs::read_to_string(place.path().join("tables/parts.ndjson")).expect("a table");
    assert!(
        table.contains(known["kept"].as_str().expect("kept")),
        "{table}"
    );
}
