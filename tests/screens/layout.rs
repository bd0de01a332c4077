//! What is seen at the three sizes, in every theme, and at every size there is.

use handlamp::paint::contrast::luminance;
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use ratatui::style::{Color, Modifier};

use crate::stage::{Stage, plain};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// Keys to each screen from the boat screen of the demo boat, and its name.
const SCREENS: [(&str, &str); 22] = [
    ("boat", ""),
    ("hours", "enter"),
    ("walk-row", "enter enter 0 0"),
    ("walk-item", "enter enter / 'water pump' enter right"),
    ("worse", "enter enter / 'pulleys' enter right 3"),
    ("defects", "d"),
    ("explain", "d enter"),
    ("defects-mended", "d pgdn pgdn up up"),
    ("explain-mended", "d pgdn pgdn up up enter"),
    ("compare", "d P 2"),
    ("walks", "b"),
    ("due", "q"),
    ("due-later", "q pgdn pgdn pgdn pgdn"),
    ("due-task", "q / 'oil and' enter enter"),
    ("due-calendar", "q M"),
    ("due-hours", "q / 'oil and' enter F enter"),
    (
        "due-recorded",
        "q / 'oil and' enter F enter '1241' enter '6.8' enter '7' enter '3/4' enter enter enter enter enter enter",
    ),
    ("readings", "y"),
    ("readings-level", "y down down down"),
    ("profile", "f2"),
    ("profile-machine", "f2 / 'marks ap' enter"),
    ("profile-word", "f2 / 'packed' enter enter"),
];

#[test]
fn screens_are_laid_out_as_they_were() {
    for (name, keys) in SCREENS {
        let mut stage = Stage::demo();
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
fn the_first_start_asks_three_questions() {
    let mut stage = Stage::empty();
    insta::assert_snapshot!("start-80x24", stage.shot(80, 24));
    stage.keys("1");
    insta::assert_snapshot!("start-name-80x24", stage.shot(80, 24));
}

#[test]
fn help_lists_the_keys_of_the_screen_beneath() {
    let mut stage = Stage::demo();
    stage.keys("enter enter ?");
    insta::assert_snapshot!("help-walk-80x24", stage.shot(80, 24));
}

/// Every symbol that styles could be hiding behind: grades and risks are told by digits, codes and
/// words in every theme, so the text is the same whatever the theme.
#[test]
fn no_theme_changes_the_words() {
    let themes = ThemeName::ALL.iter().map(|name| Theme {
        name: *name,
        glyphs: Glyphs::Unicode,
    });
    let seen: Vec<_> = themes
        .map(|theme| {
            let mut stage = Stage::demo_in(theme);
            stage.keys("d");
            stage.text(80, 24)
        })
        .collect();
    assert!(seen.windows(2).all(|pair| pair[0] == pair[1]));
}

#[test]
fn the_selected_row_is_reversed_and_pointed_at_in_mono() {
    let mut stage = Stage::demo_in(Theme {
        name: ThemeName::Mono,
        glyphs: Glyphs::Unicode,
    });
    stage.keys("d");
    let buffer = stage.buffer(80, 24);
    let selected = &buffer[(20, 1)];
    assert!(selected.modifier.contains(Modifier::REVERSED));
    assert!(
        stage
            .text(80, 24)
            .lines()
            .nth(1)
            .expect("a row")
            .starts_with('▸')
    );
    assert!(
        buffer
            .content()
            .iter()
            .all(|c| c.fg == Color::Reset && c.bg == Color::Reset),
        "mono has no colour"
    );
}

#[test]
fn night_is_red_and_nothing_else() {
    let mut stage = Stage::demo_in(Theme {
        name: ThemeName::Night,
        glyphs: Glyphs::Unicode,
    });
    stage.keys("enter enter / 'belt' enter 3");
    for cell in stage.buffer(80, 24).content() {
        for colour in [cell.fg, cell.bg] {
            let red = match colour {
                Color::Rgb(_, green, blue) => green < 60 && blue < 60,
                other => other == Color::Reset && cell.symbol() == " ",
            };
            assert!(red, "{:?} at {:?}", colour, cell.symbol());
        }
    }
}

#[test]
fn ascii_terminals_get_ascii_marks() {
    let mut stage = Stage::demo_in(Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Ascii,
    });
    for keys in ["", "d", "esc enter enter / 'belt' enter 3"] {
        stage.keys(keys);
        let text = stage.text(80, 24);
        // Frames, the ≈ of estimates and the middle dot are drawn by words all the same.
        let strange: Vec<char> = text
            .chars()
            .filter(|c| "▲◆■□▸◂▹┠┨┃▬▭".contains(*c))
            .collect();
        assert!(strange.is_empty(), "{strange:?} in\n{text}");
    }
}

#[test]
fn every_size_draws_and_keys_still_work() {
    let mut stage = Stage::demo();
    for (_, keys) in SCREENS {
        stage = Stage::demo();
        stage.keys(keys);
        for columns in (1..=30).chain([39, 40, 41, 59, 60, 71, 72, 80, 117, 118, 140, 220]) {
            for rows in (1..=14).chain([20, 24, 45, 60]) {
                let buffer = stage.buffer(columns, rows);
                assert_eq!((buffer.area.width, buffer.area.height), (columns, rows));
            }
        }
    }
    let _ = stage.text(20, 5);
}

#[test]
fn hostile_names_stay_in_their_columns() {
    let mut stage = Stage::empty();
    let name = "Gr\u{202e}ey \u{1b}[2J 鷸鷸鷸 👩‍🔧 e\u{301}\u{301}\u{301}\u{301}\u{301}\u{301} very long name of a boat that does not fit at all";
    stage.keys("1");
    let _ = handlamp::terminal::app_loop::App::on(
        &mut stage.app,
        handlamp::terminal::input::Incoming::Paste(name.into()),
    );
    stage.keys("enter 2 enter");
    for columns in 1..=40 {
        for rows in 1..=12 {
            let buffer = stage.buffer(columns, rows);
            assert_eq!((buffer.area.width, buffer.area.height), (columns, rows));
        }
    }
    for (columns, rows) in [(40, 12), (60, 20), (80, 24)] {
        let text = stage.text(columns, rows);
        assert!(
            !text.contains('\u{1b}') && !text.contains('\u{202e}'),
            "{text}"
        );
        for line in text.lines() {
            assert!(
                handlamp::text::width(line) <= usize::from(columns),
                "{line}"
            );
        }
        assert!(text.contains("inshore waters"), "{text}");
    }
    let _ = plain();
}

/// Of the light of a whole screen in full red; a letter covers a seventh of its cell (judgement).
fn brightness(stage: &Stage) -> f64 {
    let cells = stage.buffer(140, 45).content;
    let red = |colour: Color| match colour {
        Color::Rgb(red, _, _) => luminance((red, 0, 0)) / luminance((255, 0, 0)),
        _ => 0.0,
    };
    let light = cells.iter().map(|cell| {
        let lit = cell.modifier.contains(Modifier::REVERSED);
        let (ink, ground) = if lit {
            (cell.bg, cell.fg)
        } else {
            (cell.fg, cell.bg)
        };
        let covered = if cell.symbol().trim().is_empty() {
            0.0
        } else {
            1.0 / 7.0
        };
        red(ink) * covered + red(ground) * (1.0 - covered)
    });
    light.sum::<f64>() / cells.len() as f64
}

/// The most light that a screen sheds at night.
const BRIGHTEST: f64 = 0.045;

/// At night no screen sheds more than a fiftieth of the light of a red one: half of what it was with
/// text in full red and lit bars.
#[test]
fn the_night_theme_is_no_floodlight() {
    let night = Theme {
        name: ThemeName::Night,
        glyphs: Glyphs::Unicode,
    };
    let all = SCREENS.into_iter().chain([("places", "K")]);
    let light = all.map(|(name, keys)| {
        let mut stage = Stage::demo_in(night);
        stage.keys(keys);
        (name, brightness(&stage))
    });
    let light: Vec<(&str, f64)> = light.collect();
    println!("{light:.4?}");
    let glaring: Vec<_> = light
        .iter()
        .filter(|(_, light)| *light > BRIGHTEST)
        .collect();
    assert!(glaring.is_empty(), "{glaring:?}");
}
