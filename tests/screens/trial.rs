//! The sea trial on its grid of engine speeds.

use handlamp::paint::glyphs::Glyphs;
use handlamp::walk::TimedLook;

use crate::stage::{Stage, plain};

const SIZES: [(u16, u16); 3] = [(60, 20), (80, 24), (140, 45)];

/// In the survey of a new boat whose engine is rated at 3600 rpm, in the phase of the steps, on the grid.
fn on_the_grid() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter");
    stage.of_known_age();
    stage.keys("f2 / 'rated speed' enter enter '3600' enter esc esc");
    stage.keys("down down enter esc enter / 'at each step' enter %");
    stage
}

fn shown(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("trial-{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

/// Speed, value in the unit typed, and rung of each look at an item.
fn looks(stage: &Stage, item: &str) -> Vec<(Option<u32>, Option<f64>, Option<usize>)> {
    let walk = stage.last_walk();
    let told = |t: &TimedLook| {
        let value = t.look.reading.map(|m| m.value());
        (t.look.at_rpm, value, t.look.grade().map(|g| g.rung()))
    };
    walk.looks_at(item).map(told).collect()
}

/// The row of a step, as the screen has it.
fn row(stage: &Stage, step: &str) -> String {
    let text = stage.text(140, 45);
    let mut rows = text.lines().map(|line| line.trim_start_matches(['▸', ' ']));
    let row = rows.find(|line| line.starts_with(step));
    row.unwrap_or_else(|| panic!("no row {step}:\n{text}"))
        .to_owned()
}

#[test]
fn a_row_is_filled_by_keys_and_the_next_speed_begins_unseen() {
    let mut stage = on_the_grid();
    shown(&stage, "begun");
    stage.keys("enter '45 psi' enter 0");
    stage.keys("enter '82' enter 0 enter '14.1' enter");
    stage.keys("0 0 1 enter enter '2' enter 0 enter '60' enter");
    stage.keys("enter '45' enter enter '50' enter 0 enter '4.5 kn' enter 0");
    assert_eq!(
        looks(&stage, "oil-pressure"),
        [(Some(1440), Some(45.0), Some(0))]
    );
    assert_eq!(
        looks(&stage, "coolant-temperature"),
        [(Some(1440), Some(82.0), Some(0))]
    );
    assert_eq!(
        looks(&stage, "charging-voltage"),
        [(Some(1440), Some(14.1), Some(0))]
    );
    assert_eq!(
        looks(&stage, "exhaust-smoke"),
        [(Some(1440), None, Some(0))]
    );
    assert_eq!(
        looks(&stage, "raw-water-flow"),
        [(Some(1440), None, Some(1))]
    );
    assert_eq!(
        looks(&stage, "exhaust-hose"),
        [(Some(1440), Some(60.0), Some(0))]
    );
    let text = stage.text(80, 24);
    assert!(
        text.contains("every cell of this speed has its look"),
        "{text}"
    );
    assert!(
        !row(&stage, "40 %").contains('·'),
        "{}",
        row(&stage, "40 %")
    );
    // Pressed once too often nothing is said of another speed.
    stage.keys("0");
    assert_eq!(looks(&stage, "exhaust-hose").len(), 1);
    stage.keys("down");
    let next = row(&stage, "60 %");
    assert_eq!(next.matches('·').count(), 7, "{next}");
    stage.keys("left left left left left left left left left left");
    stage.keys("enter '48 psi' enter 0 enter '84' enter 0");
    let pressures = looks(&stage, "oil-pressure");
    assert_eq!(
        pressures,
        [
            (Some(1440), Some(45.0), Some(0)),
            (Some(2160), Some(48.0), Some(0))
        ]
    );
    shown(&stage, "two-rows");
    stage.keys("up left");
    shown(&stage, "chart");
}

/// A reading that is typed and waits for its rung waits at its own speed.
#[test]
fn what_is_typed_at_one_speed_is_not_graded_at_another() {
    let mut stage = on_the_grid();
    stage.keys("enter '45 psi' enter down");
    let text = stage.text(80, 24);
    assert!(text.contains("not read; enter types it"), "{text}");
    stage.keys("0 left");
    assert_eq!(looks(&stage, "oil-pressure"), [(Some(2160), None, Some(0))]);
    assert!(
        row(&stage, "40 %").contains("3.10 (?)"),
        "{}",
        row(&stage, "40 %")
    );
    let mut stage = stage.killed();
    stage.keys("enter %");
    assert!(
        row(&stage, "40 %").contains("3.10 (?)"),
        "{}",
        row(&stage, "40 %")
    );
    stage.keys("home down down 1 enter");
    assert_eq!(
        looks(&stage, "oil-pressure"),
        [
            (Some(2160), None, Some(0)),
            (Some(1440), Some(45.0), Some(1))
        ]
    );
}

#[test]
fn a_trial_that_was_killed_goes_on_where_it_was() {
    let mut stage = on_the_grid();
    stage.keys("enter '45 psi' enter 0 down left enter '48 psi' enter 0");
    let mut stage = stage.killed();
    stage.keys("enter");
    let text = stage.text(140, 45);
    assert!(text.contains("this step: 2160 rpm"), "{text}");
    stage.keys("f6");
    assert!(
        row(&stage, "60 %").contains("3.31 (0)"),
        "{}",
        row(&stage, "60 %")
    );
    assert!(
        stage
            .text(80, 24)
            .contains("Coolant temperature at 60 %, 2160 rpm")
    );
    stage.keys("enter '84' enter 0");
    assert_eq!(
        looks(&stage, "coolant-temperature"),
        [(Some(2160), Some(84.0), Some(0))]
    );
}

#[test]
fn a_cell_is_put_right_taken_back_and_said_not_to_be_seen() {
    let mut stage = on_the_grid();
    stage.keys("enter '45 psi' enter 0 left enter '46 psi' enter");
    assert_eq!(
        looks(&stage, "oil-pressure"),
        [(Some(1440), Some(46.0), Some(0))]
    );
    stage.keys("u u");
    assert_eq!(looks(&stage, "oil-pressure"), []);
    stage.keys("x 1 'come again' enter");
    assert_eq!(looks(&stage, "oil-pressure"), [(Some(1440), None, None)]);
    stage.keys("left");
    let text = stage.text(80, 24);
    assert!(text.contains("not seen: no access"), "{text}");
}

#[test]
fn a_step_has_the_speed_she_really_ran_at() {
    let mut stage = on_the_grid();
    stage.keys("E '1450' enter");
    assert!(row(&stage, "40 %").contains("1450 rpm"));
    stage.keys("enter '45 psi' enter 0");
    assert_eq!(
        looks(&stage, "oil-pressure"),
        [(Some(1450), Some(45.0), Some(0))]
    );
    // A speed between two steps has a row of its own.
    stage.keys("enter '2500: 83' enter 0");
    assert_eq!(
        looks(&stage, "coolant-temperature"),
        [(Some(2500), Some(83.0), Some(0))]
    );
    assert!(row(&stage, "69 %").contains("83 (0)"));
    assert!(row(&stage, "60 %").contains("2160 rpm"));
}

/// A share of the rated speed has one source here: the profile's own figure.
#[test]
fn an_engine_speed_is_a_reading_of_its_own_and_is_held_against_the_rated_one() {
    for (typed, rung) in [("3400", 2), ("3590 rpm", 0), ("3200rpm", 3), ("-2", 0)] {
        let mut stage = on_the_grid();
        stage.keys(&format!("esc / 'against rated' enter r '{typed}' enter"));
        let seen = looks(&stage, "full-throttle-speed");
        let (at, read, grade) = *seen.first().expect("graded by its reading");
        assert_eq!(grade, Some(rung), "{typed}");
        let number: f64 = typed
            .trim_end_matches("rpm")
            .trim()
            .parse()
            .expect("a number");
        assert_eq!(read, Some(number), "{typed}: kept as it was typed");
        let speed = (number > 100.0).then_some(number as u32);
        assert_eq!(at, speed, "{typed}: the step is at that speed");
    }
}

/// A speed one passed by on the grid is not that of the looks made in the list afterwards.
#[test]
fn to_pass_a_speed_by_sets_none() {
    let mut stage = on_the_grid();
    stage.keys("down down esc");
    let text = stage.text(140, 45);
    assert!(!text.contains("this step:"), "{text}");
    stage.keys("0");
    assert_eq!(looks(&stage, "oil-pressure"), [(None, None, Some(0))]);
    // What was seen at no told speed has a row of its own, and fills none of a step.
    stage.keys("f6");
    let unseen = row(&stage, "40 %").matches('·').count();
    assert_eq!(unseen, 9, "{}", row(&stage, "40 %"));
    assert!(stage.text(140, 45).contains("no speed"));
}

#[test]
fn other_phases_are_rows_of_it_and_their_cautions_stand_there() {
    let mut stage = on_the_grid();
    stage.keys("down down down down");
    let text = stage.text(80, 24);
    assert!(text.contains("at full, 3600 rpm"), "{text}");
    assert!(text.contains("! Sea room, all holding on"), "{text}");
    stage.keys("enter '55 psi' enter 0");
    let walk = stage.last_walk();
    let look = &walk.looks.last().expect("a look").look;
    assert_eq!(look.phase.as_deref(), Some("full-throttle"));
    assert_eq!(look.at_rpm, Some(3600));
    stage.keys("left");
    shown(&stage, "full");
}

#[test]
fn it_is_drawn_in_plain_characters_and_on_a_boat_of_no_rated_speed() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter");
    stage.of_known_age();
    stage.keys("down down enter esc enter / 'at each step' enter % enter '1500: 45 psi' enter 0");
    assert_eq!(
        looks(&stage, "oil-pressure"),
        [(Some(1500), Some(45.0), Some(0))]
    );
    shown(&stage, "not-rated");
    let mut theme = plain();
    theme.glyphs = Glyphs::Ascii;
    let mut stage = Stage::demo_in(theme);
    stage.keys("down down enter esc enter / 'at each step' enter %");
    assert!(stage.text(140, 45).is_ascii());
    let mut stage = Stage::demo();
    stage.keys("enter enter %");
    assert!(stage.text(80, 24).contains("asks nothing at engine speeds"));
}
