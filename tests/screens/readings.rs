//! Readings in time: what is drawn, from where they are opened, and the ways back.

use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use ratatui::style::Color;

use crate::keys::begun;
use crate::stage::Stage;

/// A boat whose strainer was read in walks a day apart.
fn read(values: &[&str]) -> Stage {
    let mut stage = begun();
    for (n, value) in values.iter().enumerate() {
        if n > 0 {
            stage.clock.advance(std::time::Duration::from_secs(86_400));
            stage.keys("enter enter");
        }
        stage.keys(&format!("/ 'strainer' enter right r '{value}' enter"));
        let text = stage.text(80, 24);
        if text.contains("what of it?") || text.contains("leave it open") {
            stage.keys("enter enter");
        }
        stage.keys("f 2 esc");
    }
    stage.keys("y");
    stage
}

#[test]
fn none_one_and_equal_readings_are_said_in_words() {
    let mut stage = begun();
    stage.keys("esc esc y");
    let text = stage.text(80, 24);
    assert!(text.contains("No readings yet"), "{text}");
    let text = read(&["2"]).text(80, 24);
    assert!(text.contains("One reading: last 2 %, 0 sound"), "{text}");
    let text = read(&["2", "2", "2"]).text(80, 24);
    assert!(
        text.contains("3 readings since 3 May 2026, all 2 %."),
        "{text}"
    );
}

#[test]
fn each_reading_stands_as_its_rung_between_the_limits() {
    let text = read(&["2", "10", "30"]).text(80, 24);
    let rows: Vec<&str> = text.lines().collect();
    let find = |digit: char, word: &str| {
        let row = rows.iter().position(|r| r.ends_with(word));
        let plot = |r: &&str| {
            let cells = r.split_once(['│', '┼']).map_or("", |(_, cells)| cells);
            cells.chars().take(66).any(|c| c == digit)
        };
        (row, rows.iter().any(plot))
    };
    for (digit, word) in [('0', "0 sound"), ('1', "1 early"), ('2', "2 worn")] {
        let (named, drawn) = find(digit, word);
        assert!(named.is_some(), "{word} in\n{text}");
        assert!(drawn, "{digit} in\n{text}");
    }
}

#[test]
fn they_are_opened_at_the_item_in_front_and_left_for_where_one_was() {
    let mut stage = Stage::demo();
    stage.keys("enter enter / 'charging' enter down up");
    let walk = stage.text(80, 24);
    stage.keys("y");
    let text = stage.text(80, 24);
    assert!(text.contains("▸ Charging voltage [main]"), "{text}");
    stage.keys("down up esc");
    assert_eq!(stage.text(80, 24), walk);
    let mut stage = Stage::demo();
    stage.keys("d down down down down");
    assert!(stage.text(80, 24).contains("▸  5 ▲ 2A Drive belt"));
    stage.keys("y");
    let text = stage.text(80, 24);
    assert!(text.contains("▸ Drive belt, cold [main]"), "{text}");
    stage.keys("esc");
    assert!(stage.text(80, 24).contains("24 of 24 rows"));
}

#[test]
fn a_blind_walk_hides_them() {
    let mut stage = Stage::demo();
    stage.keys("down down enter esc enter y");
    let text = stage.text(80, 24);
    assert!(text.contains("hidden in a blind walk"), "{text}");
}

#[test]
fn colour_adds_nothing_to_the_words() {
    let mut seen = Vec::new();
    for name in ThemeName::ALL {
        let mut stage = Stage::demo_in(Theme {
            name: *name,
            glyphs: Glyphs::Unicode,
        });
        stage.keys("y down down");
        seen.push(stage.text(80, 24));
        if *name == ThemeName::Mono {
            let buffer = stage.buffer(80, 24);
            let coloured = |c: &ratatui::buffer::Cell| c.fg != Color::Reset || c.bg != Color::Reset;
            assert!(!buffer.content().iter().any(coloured));
        }
    }
    assert!(seen.windows(2).all(|pair| pair[0] == pair[1]));
}

#[test]
fn a_terminal_without_unicode_gets_a_chart_all_the_same() {
    let mut stage = Stage::demo_in(Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Ascii,
    });
    stage.keys("y down down down");
    insta::assert_snapshot!("readings-ascii-80x24", stage.shot(80, 24));
}

#[test]
fn a_level_that_falls_says_so_where_no_line_is_called() {
    let mut stage = begun();
    for (n, value) in ["80", "60", "40"].iter().enumerate() {
        if n > 0 {
            stage.clock.advance(std::time::Duration::from_secs(86_400));
            stage.keys(&format!("enter enter h '{}' enter", 1244 + 4 * n));
        }
        stage.keys(&format!("/ 'dipstick' enter r '{value}' enter f 2 esc"));
    }
    stage.keys("y");
    let text = stage.text(80, 24);
    assert!(text.contains("Falls about"), "{text}");
    assert!(text.contains("low mark in about"), "{text}");
}
