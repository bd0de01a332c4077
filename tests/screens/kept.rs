//! What was typed on a walk outlives the key that takes back or leaves out: a reading, a note, a picture.

use handlamp::walk::{Look, Outcome};

use crate::stage::Stage;

fn picture(stage: &Stage, name: &str) -> String {
    let path = stage.dir.path().join(name);
    let picture = image::RgbImage::from_pixel(60, 40, image::Rgb([90, 120, 60]));
    picture.save(&path).expect("written");
    path.display().to_string()
}

/// A boat new to all, on her own screen.
fn new_boat() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter");
    stage.of_known_age();
    stage
}

/// In a morning of that boat, the meter not read.
fn morning() -> Stage {
    let mut stage = new_boat();
    stage.keys("enter enter");
    stage
}

/// In a survey of that boat, nothing agreed, the meter not read.
fn survey() -> Stage {
    let mut stage = new_boat();
    stage.keys("down down enter esc enter");
    stage
}

/// The looks at an item that count in the last walk.
fn looks(stage: &Stage, item: &str) -> Vec<Look> {
    let walk = stage.last_walk();
    let looks = walk.looks.iter().filter(|t| t.look.item == item);
    looks.map(|t| Look::clone(&t.look)).collect()
}

#[test]
fn what_is_not_seen_keeps_what_was_read_of_it() {
    let mut stage = morning();
    // Read and graded by it, then left out.
    stage.keys("/ 'dipstick' enter r '15' enter enter");
    stage.keys("/ 'dipstick' enter x 1");
    let looks = looks(&stage, "engine-oil-level");
    let [look] = looks.as_slice() else {
        panic!("{looks:?}")
    };
    assert!(matches!(look.outcome, Outcome::NotSeen { .. }), "{look:?}");
    let note = look.note.as_deref().expect("a note");
    assert!(note.contains("read before: 15 %"), "{note}");
    let text = stage.text(80, 24);
    assert!(!text.contains("saved not"), "{text}");
}

#[test]
fn the_rest_of_a_survey_keeps_what_was_read_and_has_no_rung() {
    let mut stage = survey();
    // The figure means no rung in a strange boat, so that it waits for one.
    stage.keys("/ 'bilge water' enter r '120' enter");
    // The first row is seen, so that there is a survey to finish.
    stage.keys("home 0 f 2 1 'come back with a pump' enter");
    let looks = looks(&stage, "bilge-water");
    let first = looks.first().expect("left unseen, on record");
    assert_eq!(first.grade(), None);
    let note = first.note.as_deref().expect("a note");
    assert!(note.contains("read before: 120 mm"), "{note}");
}

#[test]
fn taking_a_grade_back_keeps_the_note() {
    let mut stage = morning();
    stage.keys("/ 'drive belt' enter n 'dust on the guard' ctrl-s 2");
    stage.keys("esc u");
    let text = stage.text(80, 24);
    assert!(text.contains("its note is kept"), "{text}");
    assert!(looks(&stage, "drive-belt").is_empty());
    // It stands there, outlives the program, and the next grade takes it along.
    let mut stage = stage.killed();
    stage.keys("enter / 'drive belt' enter");
    let text = stage.text(80, 24);
    assert!(text.contains("dust on the guard"), "{text}");
    stage.keys("1 esc");
    let looks = looks(&stage, "drive-belt");
    assert_eq!(looks[0].note.as_deref(), Some("dust on the guard"));
}

#[test]
fn taking_a_note_back_leaves_it_where_n_shows_it() {
    let mut stage = morning();
    stage.keys("/ 'drive belt' enter 0 / 'drive belt' enter n 'a squeal at the start' ctrl-s u");
    let seen = looks(&stage, "drive-belt");
    assert_eq!(seen.len(), 1, "{seen:?}");
    assert_eq!(seen[0].note, None, "taken back");
    stage.keys("/ 'drive belt' enter n");
    let text = stage.text(80, 24);
    assert!(text.contains("a squeal at the start"), "{text}");
}

#[test]
fn a_picture_after_a_grade_is_of_what_was_graded_and_says_so() {
    let mut stage = morning();
    let path = picture(&stage, "belt.png");
    stage.keys("/ 'drive belt' enter 0");
    stage.keys("C");
    for (columns, rows) in [(80, 24), (60, 20), (140, 45)] {
        let text = stage.text(columns, rows);
        assert!(text.contains("Drive belt, picture"), "{text}");
        assert!(text.contains("just graded"), "{text}");
    }
    stage.paste(&path);
    stage.keys("enter 'shiny' enter");
    let seen = looks(&stage, "drive-belt");
    assert_eq!(seen[0].photos.len(), 1, "{seen:?}");
    assert_eq!(seen[0].photos[0].caption.as_deref(), Some("shiny"));
    let pictures: usize = stage
        .last_walk()
        .looks
        .iter()
        .map(|t| t.look.photos.len())
        .sum();
    assert_eq!(pictures, 1, "of nothing else");
}

#[test]
fn once_one_has_moved_a_picture_is_of_what_is_in_front() {
    let mut stage = morning();
    let path = picture(&stage, "seacock.png");
    stage.keys("/ 'drive belt' enter 0");
    // Esc leaves it, and the same key again is of what is in front; so it is after any other key.
    stage.keys("C esc C");
    let text = stage.text(80, 24);
    assert!(!text.contains("Drive belt, picture"), "{text}");
    stage.keys("esc / 'dipstick' enter C");
    stage.paste(&path);
    stage.keys("enter enter");
    assert!(looks(&stage, "drive-belt")[0].photos.is_empty());
    let book = stage.book();
    let drafts = &book.history().drafts;
    let of: Vec<&str> = drafts.iter().map(|d| d.item.as_str()).collect();
    assert_eq!(of, ["engine-oil-level"]);
}
