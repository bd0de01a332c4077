//! What is known of the boat, changed row by row.

use handlamp::boat::kinds::Drive;
use handlamp::boat::{Boat, Packing, Role, Waters};
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;

use crate::stage::{Stage, plain};

fn boat(stage: &Stage) -> Boat {
    stage.book().profile().clone()
}

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

/// The boat of three answers, her first check not yet made.
fn new_boat() -> Stage {
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), plain());
    stage.keys("1 'Kittiwake' enter 2 '812.4' enter");
    stage
}

#[test]
fn a_field_is_typed_in_ones_own_unit_and_taken_back() {
    let mut stage = Stage::demo();
    stage.keys("f2 / 'length' enter enter '9,8' enter");
    shows(&stage, "9.8 m");
    assert_eq!(boat(&stage).length_m, Some(9.8));
    stage.keys("enter ctrl-u '32 ft' enter");
    assert_eq!(boat(&stage).length_m, Some(9.7536));
    stage.keys("enter ctrl-u enter");
    shows(&stage, "not known, in m");
    assert_eq!(boat(&stage).length_m, None);
}

#[test]
fn what_is_refused_says_why_beside_it_and_stays_typed() {
    let mut stage = Stage::demo();
    let before = boat(&stage);
    stage.keys("f2 / 'sump' enter enter ctrl-u '900' enter");
    shows(&stage, "cannot be meant");
    shows(&stage, "│ 900");
    stage.keys("backspace backspace enter");
    assert_eq!(boat(&stage).machines[0].sump.map(|v| v.litres()), Some(9.0));
    stage.keys("home up");
    assert_eq!(boat(&stage).name, before.name);
    stage.keys("enter ctrl-u enter");
    shows(&stage, "Name has to be known");
    stage.keys("esc esc");
    shows(&stage, "Morning check");
    assert_eq!(boat(&stage).name, before.name);
}

#[test]
fn a_word_is_picked_and_an_own_arrow_begins_on_it() {
    let mut stage = new_boat();
    stage.keys("f2 / 'packed' enter enter 2");
    assert_eq!(boat(&stage).machines[0].packing, Some(Packing::LowDrip));
    stage.keys("/ 'drive' enter enter 1");
    assert_eq!(boat(&stage).machines[0].drive, Some(Drive::Shaft));
    // The arrow stands on what is known, so that Enter alone changes nothing.
    stage.keys("enter enter");
    assert_eq!(boat(&stage).machines[0].drive, Some(Drive::Shaft));
    stage.keys("enter 4");
    assert_eq!(boat(&stage).machines[0].drive, None);
}

#[test]
fn items_are_dropped_and_brought_back_by_the_same_keys() {
    let mut stage = Stage::demo();
    let before = boat(&stage).machines[0].without.clone();
    stage.keys("f2 / 'does not' enter enter enter 'drive b' enter");
    shows(&stage, "Drive belt");
    stage.keys("1");
    shows(&stage, "asked no more: Drive belt");
    let dropped = boat(&stage).machines[0].without.clone();
    assert_eq!(dropped.len(), before.len() + 1);
    assert_eq!(dropped.last().map(String::as_str), Some("drive-belt"));
    stage.keys("enter enter 'no such thing' enter");
    shows(&stage, "nothing asked of a machine");
    stage.keys("esc esc enter");
    for _ in 0..dropped.len() {
        stage.keys("down");
    }
    stage.keys("enter");
    assert_eq!(boat(&stage).machines[0].without, before);
}

#[test]
fn a_machine_is_added_named_anew_and_retired() {
    let mut stage = new_boat();
    stage.keys("f2 / 'add a machine' enter enter 'Generator' enter");
    shows(&stage, "added: Generator");
    // The arrow is on what it is for.
    stage.keys("enter 2");
    let with = boat(&stage);
    assert_eq!(with.machines[1].id, "generator");
    assert_eq!(with.machines[1].role, Role::Generator);
    stage.keys("up enter ctrl-u 'Diesel generator' enter");
    let named = boat(&stage);
    let machine = &named.machines[1];
    assert_eq!(
        (machine.id.as_str(), machine.name.as_str()),
        ("generator", "Diesel generator")
    );
    stage.keys("/ 'this machine' enter enter 1");
    assert_eq!(boat(&stage).machines.len(), 2, "it stays");
    stage.keys("enter 2");
    assert_eq!(boat(&stage).machines.len(), 1);
    let book = stage.book();
    assert_eq!(book.history().profiles.left.len(), 1, "recorded as retired");
    stage.keys("/ 'this machine' enter enter 2");
    shows(&stage, "a boat has at least one machine");
}

#[test]
fn tanks_and_banks_come_and_go() {
    let mut stage = new_boat();
    stage.keys("f2 / 'add a tank' enter enter 'Port tank' enter enter 1");
    stage.keys("/ 'capacity' enter enter '120' enter");
    stage.keys("/ 'add a battery' enter enter 'House' enter enter 2");
    stage.keys("/ 'fitted' enter");
    let known = boat(&stage);
    assert_eq!(known.tanks[0].capacity.map(|v| v.litres()), Some(120.0));
    assert_eq!(known.banks[0].id, "house");
    stage.keys("/ 'this tank' enter enter 2");
    assert!(boat(&stage).tanks.is_empty());
}

#[test]
fn a_handbook_limit_needs_its_page_and_can_be_taken_out() {
    let mut stage = new_boat();
    stage.keys("f2 / 'add a handbook' enter enter enter '4 to 2' enter");
    shows(&stage, "4 is above 2");
    stage.keys("ctrl-u 'from 2' enter enter");
    shows(&stage, "say which page says so");
    stage.keys("'page 4' enter");
    let known = boat(&stage).machines[0].handbook.clone();
    assert_eq!((known.len(), known[0].from), (1, Some(2.0)));
    assert_eq!(known[0].source, "page 4");
    stage.keys("enter 2");
    assert!(boat(&stage).machines[0].handbook.is_empty());
}

/// As by command: a stop goes out of sight with a reason alone.
#[test]
fn a_stop_goes_out_of_sight_with_a_reason_alone() {
    let mut stage = new_boat();
    stage.keys("f3 'siphon' enter 3 esc");
    stage.keys("f2 / 'waters' enter enter 1");
    shows(&stage, "A stop would go out of sight");
    stage.keys("1");
    assert_eq!(boat(&stage).waters, Waters::Inshore);
    stage.keys("enter 1 esc esc");
    assert_eq!(boat(&stage).waters, Waters::Inshore);
    stage.keys("enter 1 2 enter");
    shows(&stage, "say why");
    stage.keys("'laid up on the canal' enter");
    assert_eq!(boat(&stage).waters, Waters::Sheltered);
    let told = stage.book().condition().not_counted();
    let told: Vec<String> = told.iter().map(|told| told.sentence()).collect();
    assert!(
        told.iter().any(|t| t.contains("laid up on the canal")),
        "{told:?}"
    );
}

/// What another window changed meanwhile stays.
#[test]
fn a_question_left_open_takes_back_nothing_another_window_changed() {
    let mut stage = new_boat();
    stage.keys("f2 / 'builder' enter enter 'a yard'");
    let mut other = stage.beside();
    other.keys("f2 / 'year' enter enter '1978' enter");
    let _ = stage.app.on(Incoming::Changed);
    stage.keys("enter");
    let known = boat(&stage);
    assert_eq!(
        (known.builder.as_deref(), known.year),
        (Some("a yard"), Some(1978))
    );
}

/// The ten answers come after the verdict of the first check alone, and never stand before it.
#[test]
fn what_sharpens_most_is_offered_once_after_the_first_verdict() {
    let mut stage = new_boat();
    stage.keys("enter enter 0 f 2");
    assert!(
        !stage.text(80, 24).contains("What sharpens"),
        "the verdict stands first"
    );
    stage.keys("enter");
    shows(&stage, "What sharpens the answers most; Esc leaves it");
    for (columns, rows) in [(80, 24), (60, 20), (140, 45)] {
        insta::assert_snapshot!(format!("ten-{columns}x{rows}"), stage.shot(columns, rows));
    }
    stage.keys("enter '7' enter enter '1.5' enter");
    let known = boat(&stage);
    assert_eq!(known.machines[0].sump.map(|v| v.litres()), Some(7.0));
    assert!(known.machines[0].between_marks.is_some());
    stage.keys("/ 'impeller' enter enter '2025' enter enter enter esc");
    shows(&stage, "Morning check");
    let told = stage.book().history().when_last.len();
    assert_eq!(told, 2, "a year, and nobody knows");
    // The second check ends on the boat.
    stage.keys("enter enter 0 f 2 enter");
    shows(&stage, "Morning check");
}

#[test]
fn a_photograph_stands_beside_where_a_thing_is() {
    let mut stage = new_boat();
    let mut bytes = Vec::new();
    let picture = image::RgbImage::from_pixel(32, 24, image::Rgb([90, 120, 60]));
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut bytes);
    encoder.encode_image(&picture).expect("encoded");
    let path = stage.dir.path().join("hull.jpg");
    std::fs::write(&path, bytes).expect("written");
    stage.keys("f2 / 'builder' enter C");
    shows(&stage, "beside what says where something is");
    stage.keys("/ 'seacocks' enter enter 'aft' enter C");
    shows(&stage, "Seacocks: photograph");
    let path = path.display().to_string();
    stage.keys(&format!("'{}' tab enter", &path[..path.len() - 6]));
    for (columns, rows) in [(80, 24), (60, 20)] {
        let shot = stage.shot(columns, rows);
        insta::assert_snapshot!(format!("profile-photo-{columns}x{rows}"), shot);
    }
    let photo = |stage: &Stage| {
        let book = stage.book();
        book.history().place_photo("seacocks_at", None).cloned()
    };
    let kept = photo(&stage).expect("a photograph").kept.expect("kept");
    // Enter over what stands looks at it, and says nothing.
    stage.keys("C enter");
    shows(&stage, "hull.jpg, 1 kB");
    assert!(photo(&stage).is_some());
    stage.keys("esc");
    std::fs::remove_file(stage.book().root().join("photos").join(kept)).expect("removed");
    stage.keys("esc f2 / 'seacocks' enter");
    shows(&stage, "The photograph cannot be read");
    stage.keys("C 3");
    assert_eq!(photo(&stage), None);
    shows(&stage, "taken off");
}
