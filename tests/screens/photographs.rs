//! A photograph taken in is looked at, named and taken off again.

use image::{DynamicImage, ImageFormat, Rgb, RgbImage};
use ratatui::style::Color;

use crate::stage::Stage;

/// At the drive belt of a morning, with a picture of it: red on the left, blue on the right.
fn at_the_belt() -> Stage {
    let mut stage = Stage::demo();
    let path = stage.dir.path().join("belt.png");
    let picture = RgbImage::from_fn(60, 40, |x, _| {
        if x < 30 {
            Rgb([255, 0, 0])
        } else {
            Rgb([0, 0, 255])
        }
    });
    DynamicImage::from(picture)
        .save_with_format(&path, ImageFormat::Png)
        .expect("written");
    stage.keys("enter enter / 'drive belt' enter");
    stage.keys(&format!(
        "C '{}' enter 'dust at the edge' enter",
        path.display()
    ));
    stage
}

fn photos(stage: &Stage) -> Vec<Option<String>> {
    let book = stage.book();
    let drafts = book.history().drafts.iter();
    let drafted = drafts.flat_map(|draft| draft.details.photos.clone());
    let walk = book.history().walks.last().expect("a walk").clone();
    let looked = walk
        .looks
        .iter()
        .flat_map(|timed| timed.look.photos.clone())
        .collect::<Vec<_>>();
    drafted.chain(looked).map(|photo| photo.caption).collect()
}

#[test]
fn a_picture_is_looked_at_in_the_terminal() {
    let mut stage = at_the_belt();
    stage.keys("C");
    assert!(
        stage.text(80, 24).contains("dust at the edge"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("2 1");
    for (columns, rows) in [(140, 45), (80, 24), (60, 20)] {
        let buffer = stage.buffer(columns, rows);
        let drawn: Vec<_> = buffer
            .content
            .iter()
            .filter(|cell| cell.symbol() == "▀")
            .collect();
        let of = |colour| {
            drawn
                .iter()
                .filter(|cell| cell.fg == Color::Indexed(colour))
                .count()
        };
        assert!(drawn.len() > 100, "{}", stage.text(columns, rows));
        assert!(
            of(196).abs_diff(of(21)) <= drawn.len() / 10,
            "half red, half blue"
        );
        assert!(stage.text(columns, rows).contains("belt.png"));
    }
    stage.keys("esc");
    assert!(!stage.text(80, 24).contains('▀'));
}

#[test]
fn a_picture_is_named_anew_and_taken_off() {
    let mut stage = at_the_belt();
    assert_eq!(photos(&stage), [Some("dust at the edge".to_owned())]);
    stage.keys("C 2 2 ctrl-u 'black dust' enter");
    assert_eq!(photos(&stage), [Some("black dust".to_owned())]);
    // It goes along with the look, and stays where the program ends.
    stage.keys("2 esc");
    let mut stage = stage.killed();
    stage.keys("enter / 'drive belt' enter");
    assert_eq!(photos(&stage), [Some("black dust".to_owned())]);
    stage.keys("C 2 3");
    assert!(photos(&stage).is_empty(), "{:?}", photos(&stage));
    let text = stage.text(80, 24);
    assert!(text.contains("stays in the logbook"), "{text}");
}
