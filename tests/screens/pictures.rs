//! The pictures of the README, written by the program itself. `HANDLAMP_BLESS=1` writes them anew.

use std::path::Path;

use handlamp::screen::glyphs::Glyphs;
use handlamp::screen::svg::Palette;
use handlamp::screen::theme::{Theme, ThemeName};

use crate::stage::{Stage, plain};

fn check(name: &str, stage: &Stage, palette: &Palette) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("assets")
        .join(format!("{name}.svg"));
    let picture = stage.app.picture_at(80, 24, palette);
    if std::env::var_os("HANDLAMP_BLESS").is_some() {
        std::fs::write(&path, picture).expect("the picture is written");
        return;
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        kept == picture,
        "assets/{name}.svg is not what the program draws; HANDLAMP_BLESS=1 writes it anew"
    );
}

#[test]
fn the_pictures_are_what_the_program_draws() {
    let shots = [
        ("boat", ""),
        ("walk", "enter enter 0 0 0 0 / 'water pump' enter right"),
        ("ladder-worse", "enter enter 0 0 0 0 / 'belt' enter 3"),
        ("defects", "d down down"),
        ("readings", "y down down down"),
    ];
    for (name, keys) in shots {
        let mut stage = Stage::demo_in(plain());
        stage.keys(keys);
        check(name, &stage, &Palette::DARK);
    }
    let mut stage = Stage::demo_in(plain());
    stage.keys("enter '1241.0' enter");
    stage.keys("/ 'belt' enter 3 enter 'cord shows at one edge' enter");
    walk_on(&mut stage);
    stage.keys("f");
    check("verdict", &stage, &Palette::LIGHT);
    let mut stage = Stage::demo_in(Theme {
        name: ThemeName::Night,
        glyphs: Glyphs::Unicode,
    });
    stage.keys("enter enter 0 0 0 / 'belt' enter");
    check("night", &stage, &Palette::NIGHT);
}

/// Grades every row that is left as it was last time: sound where nothing asks why, else the rung
/// that asks nothing.
fn walk_on(stage: &mut Stage) {
    for _ in 0..200 {
        let text = stage.text(80, 24);
        if text.contains("every row has its look") {
            return;
        }
        stage.keys("0");
        for rung in ["1", "2"] {
            let asked = stage.text(80, 24).contains("better than last time");
            if asked {
                stage.keys("esc").keys(rung);
            }
        }
    }
    panic!("the walk never ends:\n{}", stage.text(80, 24));
}
