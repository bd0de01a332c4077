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
    ];
    for (name, keys) in shots {
        let mut stage = Stage::demo_in(plain());
        stage.keys(keys);
        check(name, &stage, &Palette::DARK);
    }
    let mut stage = Stage::demo_in(plain());
    stage.keys("enter enter").keys(&"0 ".repeat(60));
    stage.keys("f 2");
    check("verdict", &stage, &Palette::LIGHT);
    let mut stage = Stage::demo_in(Theme {
        name: ThemeName::Night,
        glyphs: Glyphs::Unicode,
    });
    stage.keys("enter enter 0 0 0 / 'belt' enter");
    check("night", &stage, &Palette::NIGHT);
}
