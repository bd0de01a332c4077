//! Photographs of where things are, on the hand-over page beside the words.

use std::os::unix::fs::symlink;
use std::process::Command;

use serde_json::{Value, json};

use super::harness::{Place, Run, TWINS, copy};
use super::pictures::{jpeg, picture};

/// What is on the page where a photograph stands.
const SHOWN: &str = "<img src=\"data:image/jpeg;base64,";

#[track_caller]
fn done(run: Run) -> String {
    assert_eq!(run.code, Some(0), "{run}");
    run.stdout
}

fn put(place: &Place, args: &[&str]) -> Run {
    place.run(&[&["boat", "put"], args].concat())
}

/// A picture in the folder of the place, by its path.
fn path_of(place: &Place, name: &str) -> String {
    picture(place, name, &jpeg()).display().to_string()
}

fn page(place: &Place) -> (Run, String) {
    let file = place.path().join("her.html");
    let file = file.to_str().expect("UTF-8").to_owned();
    let run = place.run(&["hand-over", &file]);
    assert_eq!(run.code, Some(0), "{run}");
    let html = std::fs::read_to_string(&file).expect("written");
    assert!(!html.contains("<script"), "{html}");
    (run, html)
}

/// The photographs on the hand-over page: the fact and the name each file had.
fn shown(place: &Place) -> Vec<(String, String)> {
    let answer = place.json("hand-over", &["hand-over"]);
    let photographs = answer["photographs"].as_array().expect("photographs");
    let text = |value: &Value| value.as_str().expect("text").to_owned();
    let pair = |shown: &Value| (text(&shown["fact"]), text(&shown["photo"]["path"]));
    photographs.iter().map(pair).collect()
}

#[test]
fn a_photograph_stands_beside_where_a_thing_is() {
    let place = Place::with_boat();
    let hull = path_of(&place, "hull.jpg");
    done(put(&place, &["seacocks_at", "under the cabin sole"]));
    let told = done(put(&place, &["seacocks_at", "--photo", &hull]));
    assert!(
        told.contains("under the cabin sole, photograph hull.jpg"),
        "{told}"
    );
    let stop = path_of(&place, "stop.jpg");
    done(put(&place, &["stops_by", "--photo", &stop]));
    let (_, html) = page(&place);
    assert_eq!(html.matches(SHOWN).count(), 2, "{html}");
    let text = done(place.run(&["hand-over"]));
    assert!(text.contains("Seacocks: under the cabin sole"), "{text}");
    assert!(text.contains("Photograph: hull.jpg"), "{text}");
    let stands = done(place.run(&["boat", "show"]));
    assert!(stands.contains("photograph hull.jpg"), "{stands}");
    done(place.run(&["logbook", "check"]));
    let kept = std::fs::read_dir(place.logbook().join("photos")).expect("listed");
    for entry in kept {
        let content = std::fs::read(entry.expect("an entry").path()).expect("kept");
        assert!(!content.windows(5).any(|w| w == b"54 19"), "the position");
    }
}

#[test]
fn the_newest_holds_place_by_place_and_is_taken_back() {
    let mut place = Place::with_boat();
    let (first, second) = (path_of(&place, "first.jpg"), path_of(&place, "second.jpg"));
    done(put(&place, &["seacocks_at", "--photo", &first]));
    place.at("2026-05-03T10:00:00+02:00");
    let other = place.path().join("other");
    copy(&place.logbook(), &other);
    let there = other.to_str().expect("UTF-8").to_owned();
    done(put(&place, &["seacocks_at", "--photo", &second]));
    done(put(
        &place,
        &["isolators_at", "--photo", &first, "--logbook", &there],
    ));
    done(place.run(&["logbook", "merge", &there]));
    let pair = |fact: &str, path: &str| (fact.to_owned(), path.to_owned());
    let isolators = pair("isolators_at", "first.jpg");
    assert_eq!(
        shown(&place),
        [pair("seacocks_at", "second.jpg"), isolators.clone()]
    );
    let entries = place.json("entries", &["entries", "--kind", "place-photo"]);
    let rows = entries["rows"].as_array().expect("rows");
    let second = rows
        .iter()
        .find(|row| row["words"].to_string().contains("second.jpg"));
    let id = second.expect("its entry")["id"]
        .as_str()
        .expect("an id")
        .to_owned();
    done(place.run(&["entries", "take-back", &id]));
    assert_eq!(
        shown(&place),
        [pair("seacocks_at", "first.jpg"), isolators.clone()]
    );
    // The profile replaced whole takes no picture with it.
    let profile = place.json("boat", &["boat", "show"])["boat"].to_string();
    done(place.run(&["boat", "set", &place.file("boat.json", &profile)]));
    assert_eq!(shown(&place).len(), 2);
    place.at("2026-05-03T11:00:00+02:00");
    done(put(&place, &["seacocks_at", "--photo", ""]));
    assert_eq!(shown(&place), [isolators]);
}

#[test]
fn what_is_no_picture_or_no_place_is_refused() {
    let place = Place::with_boat();
    let good = picture(&place, "good.jpg", &jpeg());
    symlink(&good, place.path().join("link.jpg")).expect("linked");
    let made = Command::new("mkfifo")
        .arg(place.path().join("pipe.jpg"))
        .status();
    assert!(made.expect("it runs").success());
    picture(&place, "words.jpg", b"no picture");
    let huge = std::fs::File::create(place.path().join("huge.jpg")).expect("made");
    huge.set_len((64 << 20) + 1).expect("grown");
    for (name, why) in [
        ("none.jpg", "is not there"),
        ("link.jpg", "is a link"),
        ("pipe.jpg", "is no regular file"),
        ("words.jpg", "is no picture"),
        ("huge.jpg", "is larger than 64 MiB"),
        ("", "is a folder"),
    ] {
        let path = place.path().join(name).display().to_string();
        let run = put(&place, &["seacocks_at", "--photo", &path]);
        assert_eq!(run.code, Some(2), "{run}");
        assert!(run.stderr.contains(why), "{name}: {run}");
    }
    let good = good.display().to_string();
    let run = put(&place, &["builder", "--photo", &good]);
    assert_eq!(run.code, Some(2), "{run}");
    assert!(run.stderr.contains("says of nothing where it is"), "{run}");
    for odd in [
        json!({"type":"place-photo","fact":"\u{1b}[2J"}),
        json!({"type":"place-photo","fact":"seacocks_at","machine":"main"}),
        json!({"type":"place-photo","fact":"stops_by","machine":"none"}),
        json!({"type":"place-photo","fact":"stops_by","photo":{"path":"x","kept":"../../boat.json"}}),
        json!({"type":"place-photo","fact":"stops_by","photo":{"path":"good.jpg","caption":"x".repeat(2000)}}),
    ] {
        let run = place.run(&["record", &place.file("odd.json", &odd.to_string())]);
        assert_eq!(run.code, Some(2), "{odd}: {run}");
        assert!(!run.stderr.contains('\u{1b}'), "{run}");
    }
    assert!(shown(&place).is_empty());
    assert!(!place.logbook().join("photos").exists(), "nothing is kept");
}

#[test]
fn a_file_that_is_gone_is_said_on_the_page() {
    let place = Place::with_boat();
    let hull = path_of(&place, "hull.jpg");
    done(put(&place, &["seacocks_at", "--photo", &hull]));
    std::fs::remove_dir_all(place.logbook().join("photos")).expect("removed");
    let (run, html) = page(&place);
    assert!(
        run.stderr.contains("1 photograph(s) cannot be read"),
        "{run}"
    );
    assert!(
        html.contains("The photograph is not shown: its file is missing"),
        "{html}"
    );
    let text = done(place.run(&["hand-over"]));
    assert!(text.contains("The photograph is not shown"), "{text}");
    assert_eq!(place.run(&["logbook", "check"]).code, Some(1));
}

#[test]
fn of_a_machine_it_stands_with_that_machine() {
    let place = Place::with(TWINS);
    let stop = path_of(&place, "stop.jpg");
    assert_eq!(put(&place, &["stops_by", "--photo", &stop]).code, Some(2));
    let boat = place.json("boat", &["boat", "show"]);
    let machines = boat["boat"]["machines"].as_array().expect("machines");
    let ids: Vec<&str> = machines.iter().filter_map(|m| m["id"].as_str()).collect();
    done(put(
        &place,
        &["stops_by", "--photo", &stop, "--machine", ids[1]],
    ));
    let of = |machine: &str| {
        let answer = place.json("hand-over", &["hand-over", "--machine", machine]);
        answer["photographs"].as_array().expect("photographs").len()
    };
    assert_eq!((of(ids[0]), of(ids[1])), (0, 1));
}
