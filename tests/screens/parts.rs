//! Numbers and measures of parts by keys: from a task, and from what is known of the boat.

use handlamp::defects::PartSaid;

use crate::stage::Stage;

/// The parts of the oil change of the main engine.
const PARTS: &str = "q m / 'oil and' enter N";

fn known(stage: &Stage, part: &str) -> PartSaid {
    stage.book().history().part(part, Some("main"))
}

fn shows(stage: &Stage, text: &str) {
    let screen = stage.text(80, 24);
    assert!(screen.contains(text), "no '{text}' in\n{screen}");
}

#[test]
fn the_parts_of_a_task_are_said_field_by_field() {
    let mut stage = Stage::demo();
    stage.keys(PARTS).keys("/ 'oil filter' enter");
    for (columns, rows) in [(80, 24), (60, 20)] {
        insta::assert_snapshot!(
            format!("parts-empty-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
    stage.keys("enter 'K 100' enter enter 'R-7' enter");
    shows(&stage, "Other than specified: ");
    stage.keys("enter '5 mm shorter' enter");
    stage.keys("/ 'height' enter enter '79' enter");
    stage.keys("/ 'by-pass, on' enter enter 2 up");
    shows(&stage, "Refused: ");
    for (columns, rows) in [(80, 24), (60, 20)] {
        insta::assert_snapshot!(format!("parts-{columns}x{rows}"), stage.shot(columns, rows));
    }
    let said = known(&stage, "oil-filter");
    assert_eq!(said.makers_number.as_deref(), Some("K 100"));
    assert_eq!(said.fitted_number.as_deref(), Some("R-7"));
    assert_eq!(said.differs.as_deref(), Some("5 mm shorter"));
    assert_eq!(
        (said.height_mm, said.fitted_bypass),
        (Some(79.0), Some(false))
    );
    // Back on the list, at the same task, whose page tells of it.
    stage.keys("esc enter");
    shows(&stage, "Oil filter");
    shows(&stage, "maker's K 100; fitted R-7");
}

#[test]
fn enter_over_what_stands_says_nothing_and_a_wrong_measure_stays_typed() {
    let mut stage = Stage::demo();
    stage
        .keys(PARTS)
        .keys("/ 'oil filter' enter enter 'K 100' enter");
    let records = || stage.book().history().parts.len();
    let one = records();
    stage.keys("up enter enter / 'that have fitted' enter enter enter");
    assert_eq!(stage.book().history().parts.len(), one);
    stage.keys("up enter 'R 7; S 12' enter up enter 'T 1' enter");
    assert_eq!(known(&stage, "oil-filter").fits, ["R 7", "S 12", "T 1"]);
    stage.keys("/ 'height' enter enter '90000' enter");
    shows(&stage, "expected 0.5 to 600 mm");
    shows(&stage, "│ 90000");
    stage.keys("ctrl-u '3 in' enter");
    assert_eq!(known(&stage, "oil-filter").height_mm, Some(76.2));
    stage.keys("/ 'height' enter enter ctrl-u enter");
    assert_eq!(known(&stage, "oil-filter").height_mm, None);
}

#[test]
fn all_parts_are_found_from_what_is_known_of_the_boat() {
    let mut stage = Stage::demo();
    stage.keys("f2 / 'numbers, meas' enter enter");
    shows(&stage, "Parts: Engine oil");
    stage.keys("/ 'thermostat' enter enter '82 C' enter");
    shows(&stage, "82 C");
    stage.keys("esc");
    shows(&stage, "on the parts page");
}

#[test]
fn what_has_no_part_says_so() {
    let mut stage = Stage::demo();
    stage.keys("q / 'alignment' enter N");
    shows(&stage, "no part is listed for it");
}

/// A picture beside the logbook, by its path.
fn picture(stage: &Stage, name: &str) -> String {
    let mut bytes = Vec::new();
    let picture = image::RgbImage::from_pixel(32, 24, image::Rgb([90, 120, 60]));
    let mut encoder = image::codecs::jpeg::JpegEncoder::new(&mut bytes);
    encoder.encode_image(&picture).expect("encoded");
    let path = stage.dir.path().join(name);
    std::fs::write(&path, bytes).expect("written");
    path.display().to_string()
}

#[test]
fn a_photograph_is_taken_in_by_its_path_and_taken_off() {
    let mut stage = Stage::demo();
    stage
        .keys(PARTS)
        .keys("/ 'oil filter' enter / 'photograph' enter");
    let path = picture(&stage, "filter.jpg");
    stage.keys("enter");
    shows(&stage, "Tab completes it");
    stage.keys(&format!("'{path}x' enter"));
    shows(&stage, "is not there");
    stage
        .keys("esc enter ctrl-u")
        .keys(&format!("'{}' tab", &path[..path.len() - 6]));
    stage.keys("enter");
    for (columns, rows) in [(80, 24), (60, 20)] {
        let shot = stage.shot(columns, rows);
        insta::assert_snapshot!(format!("parts-photo-{columns}x{rows}"), shot);
    }
    let photo = known(&stage, "oil-filter").photo.expect("a photograph");
    assert_eq!(photo.path, "filter.jpg");
    let kept = photo.kept.expect("kept");
    assert!(stage.book().photo(&kept).is_ok());
    // Enter over what stands looks at it, and says nothing.
    stage.keys("/ 'oil filter' enter / 'photograph' enter enter enter");
    assert!(stage.text(80, 24).contains('▀'));
    assert!(known(&stage, "oil-filter").photo.is_some());
    stage.keys("esc");
    let file = stage.book().root().join("photos").join(&kept);
    std::fs::remove_file(file).expect("removed");
    stage.keys("esc N / 'oil filter' enter / 'photograph' enter");
    shows(&stage, "The photograph cannot be read");
    stage.keys("enter 1");
    shows(&stage, "cannot be read");
    stage.keys("enter 3");
    assert_eq!(known(&stage, "oil-filter").photo, None);
    // Whoever goes through the fields with Enter takes none in; C offers the newest at once.
    stage.keys("/ 'oil filter' enter / 'photograph' enter enter enter");
    assert_eq!(known(&stage, "oil-filter").photo, None);
    stage.keys("/ 'oil filter' enter C enter");
    let photo = known(&stage, "oil-filter").photo.expect("a photograph");
    assert_eq!(photo.path, "filter.jpg");
}
