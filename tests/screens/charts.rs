//! Charts of readings: read out one by one, a part of them in sight, what was done and added.

use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use serde_json::{Value, json};

use crate::stage::{Stage, plain};

/// A walk with one reading.
fn walk(n: usize, date: &str, hours: f64, look: Value) -> String {
    let walk = json!({"type": "walk", "id": format!("c{n}"), "checklist": "daily", "machine": "main",
        "at": format!("{date}T08:00:00+02:00"), "by": "A. Quay", "hours": hours, "looks": [look]});
    format!("{walk}\n")
}

fn level(percent: f64, added: Option<&str>) -> Value {
    let grade = if percent < 25.0 { "early" } else { "sound" };
    let mut look = json!({"item": "engine-oil-level", "phase": "cold", "grade": grade,
        "reading": {"value": percent, "unit": "%"}});
    if let Some(added) = added {
        look["added"] = json!(added);
    }
    look
}

/// The oil of a season: topped up twice, laid up for the winter, the oil changed, topped up again.
fn season(stage: &mut Stage) {
    stage.keys("f2 / 'between the' enter enter '1.5 L' enter esc");
    let weeks = [
        ("2025-08-03", 1100.0, 90.0, None),
        ("2025-08-10", 1108.0, 74.0, None),
        ("2025-08-17", 1116.0, 58.0, None),
        ("2025-08-24", 1124.0, 42.0, Some("0.6 L")),
        ("2025-08-31", 1132.0, 66.0, None),
        ("2025-09-07", 1140.0, 50.0, None),
        ("2025-09-14", 1148.0, 33.0, Some("0.9 L")),
        ("2025-09-21", 1156.0, 77.0, None),
        ("2025-09-28", 1164.0, 62.0, None),
        ("2026-03-22", 1166.0, 90.0, None),
        ("2026-03-29", 1176.0, 70.0, None),
        ("2026-04-05", 1186.0, 52.0, None),
        ("2026-04-12", 1196.0, 31.0, Some("0.75 L")),
        ("2026-04-19", 1206.0, 61.0, None),
        ("2026-04-26", 1216.0, 40.0, None),
        ("2026-05-02", 1226.0, 20.0, None),
    ];
    let walks = weeks.iter().enumerate();
    let mut told: String = walks
        .map(|(n, (date, hours, percent, added))| walk(n, date, *hours, level(*percent, *added)))
        .collect();
    let repair = json!({"type": "repair", "item": "engine-oil-level", "machine": "main",
        "at": "2026-03-21T10:00:00+02:00", "done": "fresh oil, filter"});
    told.push_str(&format!("{repair}\n"));
    stage.take(&told);
}

/// On the chart of the oil.
fn oil() -> Stage {
    oil_in(plain())
}

fn oil_in(theme: Theme) -> Stage {
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), theme);
    stage
        .keys("1 'Grey Plover' enter 2 '1227' enter")
        .of_known_age();
    season(&mut stage);
    stage.keys("y");
    stage
}

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

#[test]
fn a_season_with_what_was_done_and_added_is_drawn_and_read_out() {
    let mut stage = oil();
    for (name, keys) in [
        ("chart", ""),
        ("chart-read", "left left left left"),
        ("chart-closer", ") )"),
        ("chart-days", "c tab"),
    ] {
        stage.keys(keys);
        for (columns, rows) in SIZES {
            insta::assert_snapshot!(
                format!("{name}-{columns}x{rows}"),
                stage.shot(columns, rows)
            );
        }
    }
}

#[test]
fn a_terminal_of_plain_signs_says_the_same() {
    let mut stage = oil_in(Theme {
        name: ThemeName::Mono,
        glyphs: Glyphs::Ascii,
    });
    stage.keys("left left left left");
    insta::assert_snapshot!("chart-ascii-80x24", stage.shot(80, 24));
}

/// All that is said beside the list: from the reading that is read out on.
fn said(stage: &Stage) -> Vec<String> {
    let text = stage.text(140, 45);
    let right = text
        .lines()
        .map(|line| line.chars().skip(58).collect::<String>());
    let said = right.skip_while(|line| !line.starts_with("Reading "));
    let said: Vec<String> = said.take_while(|line| !line.contains(" looks ")).collect();
    assert!(said.len() > 4, "{text}");
    said
}

#[test]
fn coming_closer_changes_nothing_that_is_said() {
    let mut stage = oil();
    stage.keys("left left");
    let told = said(&stage);
    assert!(
        told.iter().any(|line| line.contains("per 100 h")),
        "{told:?}"
    );
    for _ in 0..12 {
        stage.keys(")");
        let text = stage.text(140, 45);
        assert!(text.contains(" before, "), "{text}");
        assert_eq!(said(&stage), told);
    }
    stage.keys("c");
    assert!(!stage.text(140, 45).contains(" before, "));
    assert_eq!(said(&stage), told);
}

/// The number of the reading that is read out.
fn read_out(stage: &Stage) -> Option<usize> {
    let text = stage.text(140, 45);
    let (_, rest) = text.split_once("Reading ")?;
    rest.split_once(' ')?.0.parse().ok()
}

#[test]
fn the_arrows_read_every_reading_once_by_time_whatever_is_in_sight() {
    for keys in ["", ") ) )", "tab", "tab ) )"] {
        let mut stage = oil();
        assert_eq!(read_out(&stage), None);
        stage.keys("left").keys(keys).keys("home");
        let mut visited = Vec::new();
        for _ in 0..16 {
            visited.extend(read_out(&stage));
            stage.keys("right");
        }
        let every: Vec<usize> = (1..=16).collect();
        assert_eq!(visited, every, "{keys}");
        assert_eq!(read_out(&stage), Some(16), "there is none after the last");
        stage.keys("end left");
        assert_eq!(read_out(&stage), Some(15));
    }
}

#[test]
fn the_window_says_how_many_lie_outside_and_follows_the_cursor() {
    let mut stage = oil();
    stage.keys("left home ) )");
    let outside = |stage: &Stage| -> (usize, usize) {
        let text = stage.text(140, 45);
        let (left, right) = text.split_once(" before, ").expect("outside");
        let number = |t: &str| t.trim().parse().expect("a number");
        let before = left.rsplit(' ').next().expect("a word");
        (
            number(before),
            number(right.split(' ').next().expect("a word")),
        )
    };
    let (before, after) = outside(&stage);
    assert!(before == 0 && after > 8, "{before} {after}");
    stage.keys("end");
    let (before, after) = outside(&stage);
    assert!(before > 8 && after == 0, "{before} {after}");
    // Once back the reading is left, and all is in sight; once more the screen.
    stage.keys("esc");
    assert_eq!(read_out(&stage), None);
    assert!(!stage.text(140, 45).contains(" before, "));
    assert!(stage.text(140, 45).contains("Engine oil level, %"));
    stage.keys("esc");
    assert!(!stage.text(140, 45).contains("Engine oil level, %"));
}

#[test]
fn what_was_added_is_told_with_the_reading_it_belongs_to() {
    let mut stage = oil();
    stage.keys("left left left left");
    let with_it = stage.text(140, 45);
    assert!(
        with_it.contains("0.75 L added after it was read"),
        "{with_it}"
    );
    // Two were before the series began anew: shown, and not counted with what was added since.
    assert!(with_it.contains("+ topped up, 3 times"), "{with_it}");
    assert!(with_it.contains("Added 0.8 L in 60 h"), "{with_it}");
    assert!(with_it.contains("by A. Quay"), "{with_it}");
    stage.keys("right");
    assert!(!stage.text(140, 45).contains("added a"), "each once");
    stage.keys("home");
    assert!(stage.text(140, 45).contains("before the series began anew"));
}

#[test]
fn another_window_leaves_the_cursor_and_what_is_in_sight() {
    let mut stage = oil();
    stage.keys("left left left left ) )");
    let title = |stage: &Stage| stage.text(140, 45).lines().next().map(str::to_owned);
    let then = title(&stage).expect("a title");
    stage.take(&walk(99, "2026-05-03", 1227.0, level(18.0, None)).replace("T08", "T07"));
    assert_eq!(read_out(&stage), Some(13));
    assert!(stage.text(140, 45).contains("Reading 13 of 17"));
    let now = title(&stage).expect("a title");
    assert_eq!(now.replace("3 after", "2 after"), then);
}

#[test]
fn over_engine_speed_readings_stand_by_speed_without_a_trend() {
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), plain());
    stage
        .keys("1 'Grey Plover' enter 2 '1243,6' enter")
        .of_known_age();
    let at = |n: usize, date: &str, rpm: Option<u32>, volts: f64| {
        let mut look = json!({"item": "charging-voltage", "phase": "idle", "grade": "sound",
            "reading": {"value": volts, "unit": "V"}});
        if let Some(rpm) = rpm {
            look["at_rpm"] = json!(rpm);
        }
        walk(n, date, 1200.0 + n as f64, look)
    };
    let told = [
        at(0, "2026-04-01", Some(2400), 14.3),
        at(1, "2026-04-02", Some(800), 13.7),
        at(2, "2026-04-03", None, 14.0),
        at(3, "2026-04-04", Some(1600), 14.1),
    ];
    stage.take(&told.concat()).keys("y");
    assert!(stage.text(80, 24).contains("over running hours"));
    stage.keys("tab tab");
    let text = stage.text(80, 24);
    assert!(text.contains("over engine speed"), "{text}");
    assert!(
        text.contains("3 of 4 readings tell the engine speed"),
        "{text}"
    );
    assert!(text.contains("Limits: "), "{text}");
    assert!(
        text.contains("800 rpm") && text.contains("2400 rpm"),
        "{text}"
    );
    insta::assert_snapshot!("chart-speed-80x24", stage.shot(80, 24));
    // From the slowest on, each with its own speed; the one that tells none is not there.
    stage.keys("left home");
    let mut speeds = Vec::new();
    for _ in 0..3 {
        let text = stage.text(140, 45);
        let (before, _) = text.split_once(" rpm, ").expect("a speed");
        speeds.push(before.rsplit(' ').next().map(str::to_owned));
        stage.keys("right");
    }
    let expected = ["800", "1600", "2400"].map(|s| Some(s.to_owned()));
    assert_eq!(speeds, expected);
    stage.keys("tab");
    assert!(stage.text(80, 24).contains("over running hours"));
}

/// What is said beside the list of all readings, without the reading that is read out.
fn said_of_all(stage: &Stage) -> Vec<String> {
    let text = stage.text(140, 45);
    let right = text
        .lines()
        .map(|line| line.chars().skip(58).collect::<String>());
    let below = right.skip_while(|line| !line.contains("rung given"));
    let said = below.skip(1).take_while(|line| !line.contains(" looks "));
    said.filter(|line| !line.is_empty()).collect()
}

/// Random levels with random pauses, several at one hour, some topped up.
fn random(random: &mut fastrand::Rng) -> String {
    let mut day = chrono::NaiveDate::from_ymd_opt(2025, 6, 1).expect("a date");
    let (mut hours, mut percent) = (1000.0, 90.0);
    let mut told = String::new();
    for n in 0..30 {
        day += chrono::Duration::days(if random.u8(..10) == 0 {
            40
        } else {
            random.i64(1..6)
        });
        hours += f64::from(random.u8(..4));
        percent -= f64::from(random.u8(..12));
        let added = (percent < 20.0).then_some("0.9 L");
        let look = level(percent.max(0.0), added);
        told.push_str(&walk(n, &day.to_string(), hours, look));
        percent += if added.is_some() { 60.0 } else { 0.0 };
    }
    told
}

#[test]
fn whatever_is_pressed_what_all_readings_say_stays() {
    for seed in 0..6 {
        let mut rng = fastrand::Rng::with_seed(seed);
        let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), plain());
        stage
            .keys("1 'Grey Plover' enter 2 '1227' enter")
            .of_known_age();
        stage.take(&random(&mut rng)).keys("y");
        let told = said_of_all(&stage);
        assert!(told.len() > 1, "{}", stage.text(140, 45));
        for _ in 0..25 {
            let key = [
                "left", "right", "home", "end", ")", ")", "(", "c", "esc left",
            ];
            stage.keys(key[rng.usize(..key.len())]);
            let now = said_of_all(&stage);
            // The reading that is read out stands before it, and may leave it less room.
            let from = now.iter().position(|line| *line == told[0]);
            let from = from.unwrap_or_else(|| panic!("{told:?}\n{}", stage.text(140, 45)));
            let whole = now[from..].iter().take_while(|line| !line.ends_with('…'));
            let kept = whole.zip(&told).filter(|(now, then)| *now == *then).count();
            assert!(
                kept == told.len() || (now[from..].iter().any(|l| l.ends_with('…')) && kept > 0),
                "{told:?}\n{}",
                stage.text(140, 45)
            );
            let number = read_out(&stage);
            assert!(number.is_none_or(|n| (1..=30).contains(&n)));
        }
    }
}
