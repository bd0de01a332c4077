//! Where things are: a walk on the drawing, the boat's drawing, and things put where they are in her.

use handlamp::arrangement::Arrangement;
use handlamp::boat::Point;
use handlamp::checklist::Grade;
use handlamp::defects::Subject;
use handlamp::logbook::record::{Record, Undo};
use handlamp::walk::Walk;

use crate::stage::Stage;

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

fn snapshots(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("places-{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

/// A new boat of known ages, at the first row of her morning check.
fn morning() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.of_known_age().keys("enter enter");
    stage
}

/// Presses a key until every row has its look or the engine has to run; how often.
fn all_sound(stage: &mut Stage) -> usize {
    let mut pressed = 0;
    while !stage.text(140, 45).contains("every row has its look") {
        assert!(pressed < 200, "{}", stage.text(80, 24));
        stage.keys("0");
        pressed += 1;
    }
    pressed
}

fn looks(walk: &Walk) -> Vec<(String, Option<String>, Option<Grade>)> {
    let looks = walk.looks.iter();
    looks
        .map(|t| (t.look.item.clone(), t.look.phase.clone(), t.look.grade()))
        .collect()
}

#[test]
fn a_morning_on_the_drawing_is_the_morning_in_the_list() {
    let mut listed = morning();
    let in_list = all_sound(&mut listed);
    let mut drawn = morning();
    drawn.keys("f4");
    let on_drawing = all_sound(&mut drawn);
    assert_eq!(
        on_drawing, in_list,
        "one key to the drawing, and as many as in the list"
    );
    assert_eq!(looks(&drawn.last_walk()), looks(&listed.last_walk()));
}

#[test]
fn the_drawing_of_a_walk_at_three_sizes() {
    let mut stage = Stage::demo();
    stage.keys("enter enter f4 right down");
    snapshots(&stage, "walk");
    stage.keys("f4");
    snapshots(&stage, "walk-side");
    stage.keys("f4");
    let shown = stage.text(80, 24);
    assert!(!shown.contains("forward"), "in the list again: {shown}");
}

/// Arrows stay within the phase: what another phase asks is not on the drawing.
#[test]
fn arrows_on_the_drawing_stay_in_the_phase_and_a_digit_grades_what_is_in_front() {
    let mut stage = morning();
    stage.keys("f4");
    let head = |stage: &Stage| {
        stage
            .text(80, 24)
            .lines()
            .nth(1)
            .unwrap_or_default()
            .to_owned()
    };
    let phase = head(&stage);
    for key in ["right", "down", "left", "up"].iter().cycle().take(60) {
        stage.keys(key);
        assert_eq!(head(&stage), phase);
    }
    // The dipstick, found by its name, is where the hand is.
    stage.keys("/ 'dipstick' enter");
    if stage.text(80, 24).contains("Which") {
        stage.keys("1");
    }
    let walk = |stage: &Stage| {
        stage
            .book()
            .history()
            .walks
            .last()
            .map(looks)
            .unwrap_or_default()
    };
    assert!(walk(&stage).is_empty());
    stage.keys("0");
    assert_eq!(walk(&stage).len(), 1, "{}", stage.text(80, 24));
}

/// In a blind walk nothing of the past is in sight before the look: no rung, no reason it is asked for.
#[test]
fn the_drawing_of_a_blind_walk_tells_nothing_of_the_past() {
    let mut stage = Stage::demo();
    stage.keys("enter enter f4");
    let marks = |stage: &Stage| {
        let text = stage.text(140, 45);
        let drawn = text
            .lines()
            .skip_while(|line| !line.contains("starboard up"))
            .collect::<Vec<_>>()
            .join("\n");
        let legend = drawn.find("f4 from").unwrap_or(drawn.len());
        drawn[..legend].to_owned()
    };
    assert!(
        marks(&stage).contains('◂') && marks(&stage).matches('◂').count() > 3,
        "{}",
        marks(&stage)
    );
    stage.keys("H");
    assert_eq!(
        marks(&stage).matches('◂').count(),
        1,
        "the caption alone: {}",
        marks(&stage)
    );
}

#[test]
fn the_boats_drawing_at_three_sizes() {
    let mut stage = Stage::demo();
    stage.keys("K");
    snapshots(&stage, "boat");
    stage.keys("K");
    snapshots(&stage, "boat-side");
    stage.keys("esc");
    assert!(stage.text(80, 24).contains("Morning check"));
}

/// Where is finding 4? One key.
#[test]
fn a_digit_leads_to_the_finding_of_that_number() {
    let mut stage = Stage::demo();
    stage.keys("d down down down");
    let fourth = stage.text(80, 24);
    stage.keys("f4");
    let there = stage.text(80, 24);
    assert!(there.contains("number 4 in the list"), "{there}\n{fourth}");
    stage.keys("2");
    assert!(stage.text(80, 24).contains("number 2 in the list"));
    stage.keys("enter 1");
    assert!(
        stage.text(80, 24).contains("┠─0─┨"),
        "its ladder: {}",
        stage.text(80, 24)
    );
    stage.keys("esc");
    assert!(
        stage.text(80, 24).contains("number 2 in the list"),
        "back on the drawing"
    );
}

fn point(stage: &Stage, item: &str) -> Point {
    let book = stage.book();
    let condition = book.condition();
    let arrangement = Arrangement::of(&condition, book.history());
    let mut machines = condition
        .boat
        .machines
        .iter()
        .map(|m| Some(m.id.clone()))
        .chain([None]);
    let of = |machine| {
        arrangement.place(&Subject {
            item: item.to_owned(),
            machine,
        })
    };
    machines.find_map(of).expect("aboard").point
}

fn to(stage: &mut Stage, item: &str) {
    stage.keys(&format!("/ '{item}' enter"));
    if stage.text(80, 24).contains("Which one?") {
        stage.keys("1");
    }
}

#[test]
fn a_thing_is_put_where_it_is_taken_back_and_stays_after_the_end_of_the_program() {
    let mut stage = morning();
    stage.keys("esc K");
    let first = point(&stage, "engine-seacock");
    to(&mut stage, "engine seacock");
    assert!(
        stage.text(80, 24).contains("place not told"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("enter 2 left left down");
    assert!(
        stage.text(80, 24).contains("moving: "),
        "{}",
        stage.text(80, 24)
    );
    assert_eq!(
        point(&stage, "engine-seacock"),
        first,
        "nothing is on record before it is put down"
    );
    stage.keys("esc enter 2 left left down enter");
    let moved = point(&stage, "engine-seacock");
    assert_eq!(
        moved,
        Point {
            x: first.x - 6,
            y: first.y - 5,
            ..first
        }
    );
    assert!(!stage.text(80, 24).contains("place not told"));
    let mut stage = stage.killed();
    assert_eq!(point(&stage, "engine-seacock"), moved);
    stage.keys("K");
    to(&mut stage, "engine seacock");
    stage.keys("enter 3");
    assert_eq!(point(&stage, "engine-seacock"), first, "as at first");
    stage.keys("u");
    assert_eq!(
        point(&stage, "engine-seacock"),
        moved,
        "taken back: where it was put"
    );
}

#[test]
fn an_engine_is_turned_and_mirrored_and_twice_is_as_before() {
    let mut stage = morning();
    stage.keys("esc K");
    let items = [
        "drive-belt",
        "engine-oil-level",
        "gearbox-oil-level",
        "stuffing-box",
    ];
    let all = |stage: &Stage| items.map(|item| point(stage, item));
    let first = all(&stage);
    stage.keys("Y 1");
    let turned = all(&stage);
    assert_eq!(turned[0].x, 100 - first[0].x, "the pulleys are aft");
    assert_eq!(turned[3], first[3], "the gland is where it was");
    stage.keys("Y 2");
    assert_eq!(all(&stage)[1].y, -first[1].y, "the dipstick is to port");
    stage.keys("Y 1 Y 2");
    assert_eq!(all(&stage), first);
    // What another window says of the same engine is the newest word there.
    let mut beside = stage.beside();
    beside.keys("K Y 2");
    stage.noticed();
    assert_eq!(all(&stage)[1].y, -first[1].y);
}

#[test]
fn a_bulkhead_and_a_tank_are_put_in_moved_and_taken_off() {
    let mut stage = morning();
    stage.keys("esc K");
    let drawn = |stage: &Stage| {
        let book = stage.book();
        let all = Arrangement::of(&book.condition(), book.history());
        all.boxes
            .into_iter()
            .filter(|found| found.thing.is_some())
            .map(|found| found.title)
            .collect::<Vec<_>>()
    };
    stage.keys("Y");
    let line = stage.digit_of("put in a tank");
    stage.keys(&format!("{line} 'Water tank' enter right right enter"));
    assert_eq!(drawn(&stage), ["water tank"]);
    assert!(
        stage.text(140, 45).contains("water tank"),
        "{}",
        stage.text(140, 45)
    );
    stage.keys("Y");
    let line = stage.digit_of("take water tank off");
    stage.keys(&line);
    assert!(drawn(&stage).is_empty());
    stage.keys("u");
    assert_eq!(drawn(&stage), ["water tank"]);
    stage.keys("Y");
    let line = stage.digit_of("put in a bulkhead");
    stage.keys(&format!("{line} 'a\u{202E}b' enter"));
    assert!(
        stage.text(80, 24).contains("is no id"),
        "{}",
        stage.text(80, 24)
    );
}

/// The look before a stop that was taken back does not stand as sound: a look is owed, and the drawing says so.
#[test]
fn an_item_whose_stop_was_taken_back_is_owed_a_look_on_the_drawing() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    let walk = |id: &str, day: u8, grade: &str| {
        let at = format!("2026-05-0{day}T07:00:00+02:00");
        format!(
            r#"{{"type":"walk","id":"{id}","checklist":"daily","at":"{at}","looks":[{{"item":"drive-belt","grade":"{grade}"}}]}}"#
        ) + "\n"
    };
    stage.take(&(walk("w1", 1, "sound") + &walk("w2", 2, "failed")));
    let mut book = stage.book();
    let undo = Record::from(Undo::of("w2.1"));
    book.record(vec![undo]).expect("recorded");
    book.finish();
    stage.noticed().keys("K");
    to(&mut stage, "drive belt");
    let text = stage.text(80, 24);
    assert!(
        text.contains("▸0?") && text.contains("a look is owed"),
        "{text}"
    );
    // Away from its station it does not go under among what is sound.
    to(&mut stage, "fuel tank");
    let text = stage.text(140, 45);
    assert!(text.contains("0?"), "{text}");
}

#[test]
fn a_seacock_nobody_placed_is_drawn_so_and_no_legend_is_cut() {
    let mut stage = morning();
    stage.keys("esc K");
    for (columns, rows) in SIZES {
        let text = stage.text(columns, rows);
        assert!(text.contains("░ place not told"), "{text}");
        let legend = text
            .lines()
            .find(|line| line.contains("not seen  "))
            .expect("a legend");
        assert!(!legend.contains('…'), "{legend}");
    }
    stage.keys("esc enter enter f4");
    for (columns, rows) in SIZES {
        let text = stage.text(columns, rows);
        let legend = text
            .lines()
            .find(|line| line.contains("f4 from the side"))
            .expect("a legend");
        let legend = legend.split("f4 from").nth(1).expect("its signs");
        assert!(!legend.contains('…'), "{text}");
    }
}
