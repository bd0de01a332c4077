//! Counting and timing at an item, by keys, and what comes of it in the record.

use std::time::Duration;

use handlamp::checklist::{Grade, Leak};
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;

use crate::keys::{begun, book, looks};
use crate::stage::Stage;

/// The drop counter of the stuffing box, drops every so many seconds.
fn count(stage: &mut Stage, drops: usize, seconds: f64) {
    for _ in 0..drops {
        stage.keys("space");
        // Half a second has passed with the key.
        stage.clock.advance(Duration::from_secs_f64(seconds - 0.5));
    }
}

#[test]
fn drops_counted_become_the_reading_and_its_rung() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'stuffing' enter g 1");
    count(&mut stage, 11, 3.0);
    let shown = stage.text(80, 24);
    assert!(shown.contains("11 drops"), "{shown}");
    assert!(shown.contains("20.0 drops/min"), "{shown}");
    assert!(shown.contains("≈ 60 mL/h (30 to 120)"), "{shown}");
    assert!(shown.contains("≈ 1.4 L a day (0.72 to 2.9)"), "{shown}");
    assert!(
        shown.contains("proposes 3 failing"),
        "cold, at rest: {shown}"
    );
    stage.keys("enter");
    let look = looks(&book(&root), "stuffing-box")[0].clone();
    let reading = look.reading.expect("a reading");
    assert_eq!(reading.text(), "20 drops/min");
    assert_eq!(look.grade(), Some(Grade::Failing));
}

#[test]
fn drops_elsewhere_go_into_the_note_and_offer_class_three() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'front seal' enter g");
    count(&mut stage, 10, 6.0);
    let shown = stage.text(80, 24);
    assert!(shown.contains("≈ 30 mL/h (15 to 60)"), "{shown}");
    stage.keys("enter");
    let shown = stage.text(80, 24);
    assert!(shown.contains("drops that fall are III"), "{shown}");
    stage.keys("enter");
    let look = looks(&book(&root), "front-crankshaft-seal")[0].clone();
    assert_eq!(look.leak, Some(Leak::Iii));
    assert_eq!(look.reading, None);
    let note = look.note.expect("a note");
    assert_eq!(
        note,
        "10 drops in 54.0 s: 10.0 drops/min, about 30 mL/h (15 to 60)"
    );
}

#[test]
fn oil_is_reckoned_down_to_the_low_mark_where_the_marks_are_known() {
    let mut stage = Stage::demo();
    stage.keys("enter enter / 'front seal' enter right g");
    count(&mut stage, 11, 6.0);
    let shown = stage.text(80, 24);
    assert!(
        shown.contains("from the high mark to the low one"),
        "{shown}"
    );
}

#[test]
fn a_count_too_short_is_taken_only_when_asked_twice() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'stuffing' enter g 1 space enter");
    assert!(stage.text(80, 24).contains("two drops at least"));
    stage.keys("space space enter");
    assert!(stage.text(80, 24).contains("15 s is the least"));
    assert!(book(&root).history().walks.is_empty());
    stage.keys("enter");
    assert!(looks(&book(&root), "stuffing-box")[0].reading.is_some());
}

#[test]
fn leaving_a_count_says_what_is_left() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'stuffing' enter g 1 space space space u esc");
    let shown = stage.text(80, 24);
    assert!(
        shown.contains("2 drop(s) counted and not recorded"),
        "{shown}"
    );
    assert!(book(&root).history().walks.is_empty());
}

#[test]
fn seconds_until_water_become_the_reading() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'outlet' enter g 1 space");
    stage.clock.advance(Duration::from_millis(11_900));
    let shown = stage.text(80, 24);
    assert!(shown.contains("11.9 s"), "{shown}");
    assert!(shown.contains("1 early from 15 s, in 3.1 s"), "{shown}");
    stage.clock.advance(Duration::from_millis(4_000));
    assert!(stage.text(80, 24).contains("proposes 1 early"));
    stage.keys("enter");
    let look = looks(&book(&root), "raw-water-flow")[0].clone();
    assert_eq!(look.reading.expect("a reading").text(), "16.4 s");
    assert_eq!(look.grade(), Some(Grade::Early));
}

#[test]
fn a_bucket_in_the_users_unit_becomes_a_flow() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'outlet' enter g 2 '0' enter");
    assert!(stage.text(80, 24).contains("holds nothing"));
    stage.keys("backspace '10' enter space");
    stage.clock.advance(Duration::from_millis(39_500));
    stage.keys("space enter 0");
    let note = looks(&book(&root), "raw-water-flow")[0].note.clone();
    assert_eq!(note.as_deref(), Some("10 L in 40.0 s: 15 L/min"));
    stage.keys("/ 'outlet' enter g 2");
    assert!(stage.text(80, 24).contains("10 L again"));
}

#[test]
fn the_key_is_offered_only_where_something_can_be_measured() {
    let mut stage = begun();
    assert!(!stage.text(140, 45).contains("g gauge"));
    stage.keys("g");
    assert!(stage.text(80, 24).contains("nothing to count"));
    stage.keys("/ 'outlet' enter");
    let shown = stage.text(140, 45);
    assert!(shown.contains("g gauge"), "{shown}");
    assert!(shown.contains("g stopwatch"), "{shown}");
}

#[test]
fn a_clock_running_is_drawn_by_deadline_and_rests_otherwise() {
    let mut stage = begun();
    stage.keys("/ 'outlet' enter g 1");
    assert_eq!(stage.app.deadline(), None);
    stage.keys("space");
    assert!(stage.app.deadline().is_some());
    stage.keys("space");
    assert_eq!(stage.app.deadline(), None);
}

#[test]
fn a_clock_that_parted_from_the_wall_is_told() {
    let mut stage = begun();
    stage.keys("/ 'outlet' enter g 1 space");
    let later = crate::stage::now() + chrono::Duration::hours(3);
    stage.clock.set(later);
    stage.keys("space");
    let shown = stage.text(80, 24);
    assert!(shown.contains("begin again"), "{shown}");
    stage.keys("enter");
    assert!(stage.text(140, 45).contains("all the same"));
}

#[test]
fn a_stopped_program_says_that_its_clock_ran_on() {
    let mut stage = begun();
    stage.keys("/ 'outlet' enter g 1 space ctrl-z");
    assert!(stage.text(80, 24).contains("ran on"));
    let _ = stage.app.on(Incoming::Resize);
}

#[test]
fn tools_are_laid_out_as_they_were() {
    for (name, keys, after) in [
        ("drops-ready", "/ 'weep hole' enter g 1", 0),
        ("drops", "/ 'front seal' enter right g", 9),
        ("clock", "/ 'outlet' enter g 1 space", 0),
        ("bucket", "/ 'outlet' enter g 2 '10' enter space", 0),
    ] {
        for theme in [ThemeName::Plain, ThemeName::Night, ThemeName::Mono] {
            let mut stage = Stage::demo_in(Theme {
                name: theme,
                glyphs: Glyphs::Unicode,
            });
            stage.keys("enter enter").keys(keys);
            count(&mut stage, after, 4.0);
            stage.clock.advance(Duration::from_millis(2_300));
            for (columns, rows) in [(80, 24), (60, 20), (140, 45)] {
                let shot = stage.shot(columns, rows);
                // Themes change no words: one snapshot holds for all.
                insta::assert_snapshot!(format!("{name}-{columns}x{rows}"), shot);
            }
        }
    }
}

#[test]
fn volumes_are_told_in_the_units_of_the_person() {
    let mut stage = begun();
    stage.keys("0 esc esc");
    let mut book = book(stage.dir.path());
    let mut boat = book.profile().clone();
    boat.units = handlamp::boat::UnitHabit::Us;
    book.set_boat(boat).expect("set");
    drop(book);
    let mut stage = stage.killed();
    stage.keys("enter / 'front seal' enter g");
    count(&mut stage, 8, 6.0);
    let shown = stage.text(80, 24);
    assert!(shown.contains("≈ 0.76 qt a day (0.38 to 1.5)"), "{shown}");
    stage.keys("esc / 'outlet' enter g 2 '2 gal' enter space");
    stage.clock.advance(Duration::from_millis(29_500));
    let shown = stage.text(80, 24);
    assert!(shown.contains("4.1 gal/min if full now"), "{shown}");
}
