//! Under way: all as usual in few keys, figures typed in one go and never lost, a sheet typed up, late and
//! missed rounds shown as what they are.

use std::time::{Duration, Instant};

use handlamp::checklist::RoundLook;
use handlamp::defects::UnderWay;
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use handlamp::terminal::app_loop::App as _;
use serde_json::json;

use crate::stage::{Stage, words};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

#[track_caller]
fn shots(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

/// A boat with a plan, in a theme.
fn boat_in(theme: Theme) -> Stage {
    let dir = tempfile::tempdir().expect("a folder");
    let mut stage = Stage::on(dir, theme);
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.of_known_age();
    stage.take(
        &json!({"type": "plan", "name": "crossing", "hours": 30, "days": 2, "waters": "offshore"})
            .to_string(),
    );
    stage
}

fn boat() -> Stage {
    boat_in(crate::stage::plain())
}

/// Under way since 02:00 with hourly rounds until 05:00; it is 07:40.
fn under_way_in(theme: Theme) -> Stage {
    let mut stage = boat_in(theme);
    let mut lines = vec![
        json!({"type": "under-way", "kind": "begins", "plan": "crossing",
        "at": "2026-05-03T02:00:00+02:00", "hours": 1240, "fuel": "100 L"}),
    ];
    for (n, degrees) in [(1, 80.0), (2, 81.0), (3, 80.0)] {
        lines.push(json!({"type": "under-way", "kind": "round",
            "at": format!("2026-05-03T0{}:00:00+02:00", 2 + n), "hours": 1240 + n,
            "fuel": format!("{} L", 100 - 3 * n), "rpm": 2200, "speed": {"value": 5.5, "unit": "kn"},
            "oil": {"value": 4, "unit": "bar"}, "temperature": {"value": degrees, "unit": "C"},
            "volts": {"value": 14.1, "unit": "V"}}));
    }
    let all: Vec<String> = lines.iter().map(ToString::to_string).collect();
    stage.take(&all.join("\n"));
    stage
}

fn under_way() -> Stage {
    under_way_in(crate::stage::plain())
}

fn lines(stage: &Stage) -> Vec<UnderWay> {
    let book = stage.book();
    let lines = book.history().under_way.iter();
    lines.map(|line| line.rec.clone()).collect()
}

#[test]
fn she_gets_under_way_by_a_form_typed_in_one_go() {
    let mut stage = boat();
    stage.keys("f10");
    shots(&stage, "under-way-lying");
    // The only plan stands there; the meter and the fuel are typed.
    stage.keys("enter enter '1243,8' enter '90' enter enter");
    let begun = lines(&stage);
    assert_eq!(begun.len(), 1);
    assert_eq!(begun[0].plan.as_deref(), Some("crossing"));
    assert_eq!(begun[0].fuel.map(|fuel| fuel.litres()), Some(90.0));
    assert_eq!(begun[0].every, Some(60));
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("Under way: crossing"), "{shown}");
    assert!(shown.contains("next round 08:40"), "{shown}");
}

/// Four keys at the most from the boat: the screen, all as usual, taken. What is pressed once more does
/// nothing.
#[test]
fn all_usual_takes_no_more_than_four_keys_and_once_more_does_no_harm() {
    let mut stage = under_way();
    let before = lines(&stage).len();
    let keys = "f10 enter enter";
    assert!(keys.split(' ').count() <= 4);
    stage.keys("f10 enter");
    let asked = words(&stage.text(140, 45));
    stage.keys("enter");
    let all = lines(&stage);
    assert_eq!(all.len(), before + 1);
    let round = &all[before];
    assert!(!round.usual.is_empty());
    for claim in &round.usual {
        assert!(
            asked.contains(claim),
            "{claim} was shown before it was claimed: {asked}"
        );
        assert!(RoundLook::all().iter().any(|look| look.usual == *claim));
    }
    // No figure is filled in.
    let bare = UnderWay {
        machine: round.machine.clone(),
        at: round.at,
        by: round.by.clone(),
        usual: round.usual.clone(),
        ..UnderWay::bare(round.kind)
    };
    assert_eq!(*round, bare);
    for _ in 0..4 {
        stage.keys("enter");
    }
    assert_eq!(
        lines(&stage).len(),
        before + 1,
        "enter pressed too often writes nothing"
    );
    stage.keys("esc esc f10 enter");
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("A round was noted 0 min ago"), "{shown}");
    // Later it is asked as before.
    stage.keys("esc");
    stage.clock.advance(Duration::from_secs(3000));
    stage.keys("enter");
    assert!(words(&stage.text(80, 24)).contains("All as usual?"));
}

#[test]
fn late_and_missed_rounds_are_shown_and_what_is_left_in_hours_and_miles() {
    let mut stage = under_way();
    stage.keys("f10");
    let shown = words(&stage.text(140, 45));
    assert!(shown.contains("LATE by 100 min, due 06:00"), "{shown}");
    assert_eq!(shown.matches("MISSED").count(), 2, "{shown}");
    // 30 h planned, 3 h run: 27 h at 5.5 kn are about 148 nm (27 * 5.5 = 148.5, to the even mile).
    assert!(
        shown.contains("Left: 27 h and 1.8 d, about 148 nm"),
        "{shown}"
    );
    // 91 L at 3 L/h, 9.1 not counted on: thirds ask for 27 * 3 * 1.5 + 9.1 = 130.6 L, 39.6 L or 13.2 h more.
    assert!(shown.contains("FUEL SHORT by 13.2 h"), "{shown}");
    shots(&stage, "under-way");
    stage.keys("enter");
    shots(&stage, "under-way-all-usual");
}

#[test]
fn every_theme_shows_it() {
    for (name, glyphs) in [
        (ThemeName::Mono, Glyphs::Ascii),
        (ThemeName::Night, Glyphs::Unicode),
    ] {
        let mut stage = under_way_in(Theme { name, glyphs });
        stage.keys("f10");
        insta::assert_snapshot!(format!("under-way-{name}-80x24"), stage.shot(80, 24));
        if glyphs == Glyphs::Ascii {
            assert!(stage.text(140, 45).is_ascii());
        }
    }
}

#[test]
fn figures_outside_their_usual_are_said_at_once() {
    let mut stage = under_way();
    // Hours, rpm, speed, oil, temperature.
    stage.keys(
        "f10 r enter '2200' enter enter enter '89' enter enter enter enter enter enter enter enter",
    );
    let last = lines(&stage).pop().expect("a line");
    assert_eq!(last.rpm, Some(2200.0));
    let shown = words(&stage.text(80, 24));
    assert!(
        shown.contains("stop the engine as soon as the boat is safe"),
        "{shown}"
    );
    assert!(shown.contains("usually 80: 9 over"), "{shown}");
    shots(&stage, "under-way-hot");
}

#[test]
fn what_is_typed_of_a_round_outlives_a_kill_and_goes_on_where_it_was() {
    let mut stage = under_way();
    let before = lines(&stage).len();
    stage.keys("f10 r '1243,7' enter '2150' enter");
    let mut stage = stage.killed();
    assert_eq!(lines(&stage).len(), before);
    stage.keys("f10 r");
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("1243,7"), "{shown}");
    stage.keys("enter enter enter enter enter enter enter enter enter enter enter 'quiet' enter");
    let last = lines(&stage).pop().expect("a line");
    assert_eq!(lines(&stage).len(), before + 1);
    assert_eq!(
        (last.rpm, last.remark.as_deref()),
        (Some(2150.0), Some("quiet"))
    );
    assert!(
        stage.book().history().round_drafts.is_empty(),
        "the draft is gone with the line"
    );
    // Left half way: kept, and the same key goes on with it.
    stage.keys("r enter '1900' esc esc");
    assert!(stage.book().history().round_drafts.len() == 1);
    stage.keys("r enter");
    assert!(words(&stage.text(80, 24)).contains("1900"));
}

#[test]
fn a_paper_sheet_is_typed_up_line_by_line_the_missed_rounds_offered_in_turn() {
    let mut stage = under_way();
    stage.keys("f10 e");
    assert!(words(&stage.text(80, 24)).contains("06:00"));
    stage.keys("end ' 1243.2 2200 5.5 4 80 14.1 - 10 12 88 calm' enter enter");
    // The next missed round is offered by itself.
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("07:00"), "{shown}");
    stage.keys("ctrl-u '07:05 1243.4 2200' enter enter");
    let all = lines(&stage);
    let typed: Vec<String> = all
        .iter()
        .rev()
        .take(2)
        .map(|line| line.at.expect("a time").format("%H:%M").to_string())
        .collect();
    assert_eq!(typed, ["07:05", "06:00"]);
    let sheet = &all[all.len() - 2];
    assert_eq!(sheet.fuel.map(|fuel| fuel.litres()), Some(88.0));
    assert_eq!(
        (sheet.vacuum, sheet.remark.as_deref()),
        (None, Some("calm"))
    );
    // What cannot be is said where it was typed.
    stage.keys("e ctrl-u '04:30 1100' enter");
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("1100") || shown.contains("meter"), "{shown}");
}

#[test]
fn with_the_engine_off_its_hours_are_counted_and_the_run_in_neutral_is_asked_for() {
    let mut stage = under_way();
    stage.keys("f10 enter 3 1");
    let last = lines(&stage).pop().expect("a line");
    assert!(last.engine_off);
    assert!(
        last.usual
            .iter()
            .all(|claim| !claim.contains("temperature")),
        "{:?}",
        last.usual
    );
    // The engine ran last at 05:00: eight hours are over at 13:00.
    let shown = words(&stage.text(80, 24));
    assert!(
        shown.contains("run the engine in neutral by 13:00"),
        "{shown}"
    );
    stage.clock.advance(Duration::from_secs(6 * 3600));
    stage.keys("up");
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("RUN THE ENGINE"), "{shown}");
    assert!(
        shown.contains("at least five minutes, gearbox oil at its mark, slower than she motors"),
        "{shown}"
    );
    assert!(shown.contains("The handbook decides"), "{shown}");
    stage.keys("enter");
    let digit = stage.digit_of("run in neutral");
    stage.keys(&digit);
    let shown = words(&stage.text(80, 24));
    assert!(!shown.contains("RUN THE ENGINE"), "{shown}");
    // Where the profile says that it is held nothing is asked.
    let mut book = stage.book();
    let mut boat = book.profile().clone();
    boat.machines[0].shaft_turns = Some(handlamp::boat::kinds::ShaftUnderSail::Held);
    book.set_boat(boat).expect("set");
    book.finish();
    drop(book);
    stage.noticed().keys("up");
    assert!(!words(&stage.text(80, 24)).contains("in neutral by"));
}

#[test]
fn a_finding_says_what_it_does_to_what_is_left() {
    let mut stage = under_way();
    stage.take(
        &json!({"type": "walk", "id": "f", "checklist": "finding", "at": "2026-05-03T07:30:00+02:00",
            "looks": [{"item": "coolant-hoses", "grade": "failed"}]})
        .to_string(),
    );
    stage.keys("f10");
    let shown = words(&stage.text(80, 24));
    assert!(
        shown.contains("Worst over what is left: Coolant hoses, failed"),
        "{shown}"
    );
    let long = [
        "To be put right: now",
        "To be put right: before you leave or next shelter",
    ];
    assert!(long.iter().any(|words| shown.contains(words)), "{shown}");
    shots(&stage, "under-way-found");
}

#[test]
fn a_line_is_taken_back_by_the_usual_key() {
    let mut stage = under_way();
    stage.keys("f10 enter enter");
    let before = lines(&stage).len();
    stage.keys("u");
    let shown = words(&stage.text(80, 24));
    assert!(
        shown.contains("Take back: Made a round under way"),
        "{shown}"
    );
    stage.keys("'pressed too often' enter 2");
    assert_eq!(lines(&stage).len(), before - 1, "{}", stage.text(80, 24));
}

/// With the setting off nothing wakes; with it on the bell is heard once when a round becomes late, and not
/// for one that was late before.
#[test]
fn the_bell_of_a_late_round_is_heard_once_and_only_where_it_is_asked_for() {
    let stage = under_way();
    assert_eq!(stage.app.deadline(), None);
    let mut stage = stage.with_bell();
    assert_eq!(stage.app.deadline(), None, "it was late before");
    stage.keys("f10 enter enter");
    let due = stage.app.deadline().expect("it waits for the next round");
    assert!(due > Instant::now() + Duration::from_secs(3000));
    // A second before that round.
    stage.clock.advance(Duration::from_secs(3598));
    let mut stage = stage.with_bell();
    let due = stage.app.deadline().expect("it waits for the next round");
    std::thread::sleep(due.saturating_duration_since(Instant::now()));
    assert!(!stage.app.is_heard());
    stage.app.on_deadline();
    assert!(stage.app.is_heard(), "once");
    assert!(!stage.app.is_heard());
    assert!(words(&stage.text(80, 24)).contains("is late"));
    stage.keys("up");
    assert_eq!(
        stage.app.deadline(),
        None,
        "and not again for the same round"
    );
}
