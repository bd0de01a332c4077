//! The pictures of the README, written by the program itself. `HANDLAMP_BLESS=1` writes them anew.

use std::path::Path;

use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::svg::Palette;
use handlamp::paint::theme::{Theme, ThemeName};
use serde_json::json;

use crate::stage::{Stage, plain};

fn check(name: &str, stage: &Stage, palette: &Palette) {
    check_at(name, stage, palette, (80, 24));
}

fn check_at(name: &str, stage: &Stage, palette: &Palette, (columns, rows): (u16, u16)) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("assets")
        .join(format!("{name}.svg"));
    let picture = stage.app.picture_at(columns, rows, palette);
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
        (
            "ladder-worse",
            "enter enter 0 0 0 0 / 'pulleys' enter right 3",
        ),
        ("defects", "d down down"),
        ("readings", "y down down down"),
        ("found", "f3 'coolant hose' enter 4"),
    ];
    for (name, keys) in shots {
        let mut stage = Stage::demo_in(plain());
        stage.keys(keys);
        check(name, &stage, &Palette::DARK);
    }
    let mut stage = Stage::demo_in(plain());
    stage.keys("K");
    check_at("places", &stage, &Palette::DARK, (110, 34));
    let mut stage = Stage::demo_in(plain());
    stage.keys("enter '1241.0' enter");
    stage.keys("/ 'belt' enter 3 esc up n 'cord shows at one edge' ctrl-s tab");
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

/// A passage and a winter of the demo boat.
#[test]
fn the_pictures_of_a_watch_and_of_a_lay_up_are_what_the_program_draws() {
    let mut stage = Stage::demo_in(plain());
    stage.take(
        &json!({"type": "plan", "name": "crossing", "hours_per_day": 20, "days": 3, "waters": "offshore"})
            .to_string(),
    );
    let line = |kind: &str, n: u32| {
        let mut line = json!({"type": "under-way", "kind": kind, "machine": "main", "hours": 1241.0 + f64::from(n),
            "fuel": format!("{} L", 140 - 3 * n), "at": format!("2026-05-03T0{}:20:00+02:00", 3 + n)});
        match n {
            0 => line["plan"] = json!("crossing"),
            _ => {
                line["rpm"] = json!(1800);
                line["speed"] = json!({"value": 5.4, "unit": "kn"});
                line["temperature"] = json!({"value": 77 + n, "unit": "C"});
            }
        }
        line.to_string()
    };
    stage.take(&line("begins", 0));
    for n in 1..=4 {
        stage.take(&line("round", n));
    }
    let mut stage = stage.killed();
    stage.keys("f10");
    check_at("under-way", &stage, &Palette::DARK, (100, 30));
    let mut stage = Stage::demo_in(plain());
    stage.keys("down down down enter enter / 'impeller' enter right");
    check_at("lay-up", &stage, &Palette::DARK, (100, 30));
}

#[test]
fn a_picture_is_its_users_own_and_never_goes_where_something_else_lies() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let mut stage = Stage::empty();
    let at = |stage: &Stage, seconds: i64| {
        let then = crate::stage::now() + chrono::Duration::milliseconds(500 * seconds);
        let name = format!("handlamp-{}", then.format("%Y%m%dT%H%M%S"));
        stage.dir.path().join(name)
    };
    // Half a second passes with each key. A link where the first picture would go, a pipe where the
    // second, and a file of another where the third.
    let victim = stage.dir.path().join("victim");
    std::fs::write(&victim, "precious").expect("written");
    symlink(&victim, at(&stage, 1).with_extension("svg")).expect("a link");
    let pipe = at(&stage, 2).with_extension("svg");
    rustix::fs::mkfifoat(rustix::fs::CWD, &pipe, 0o600.into()).expect("a pipe");
    stage.keys("f12");
    assert!(stage.text(80, 24).contains("picture written"));
    stage.keys("f12 f12");
    assert_eq!(std::fs::read_to_string(&victim).expect("read"), "precious");
    let stem = |path: &Path| {
        path.file_name()
            .expect("a name")
            .to_string_lossy()
            .into_owned()
    };
    for (n, ending) in [(1, "-2"), (2, "-2"), (2, "-3")] {
        let path = at(&stage, n);
        let path = path.with_file_name(format!("{}{ending}.svg", stem(&path)));
        let found = std::fs::symlink_metadata(&path).expect("a picture");
        assert!(found.is_file(), "{}", path.display());
        assert_eq!(found.permissions().mode() & 0o777, 0o600);
        let text = std::fs::read_to_string(&path).expect("read");
        assert!(text.starts_with("<svg") && text.trim_end().ends_with("</svg>"));
    }
}

/// Grades every row that is left as it was last time: sound where nothing asks why, else the rung
/// that asks nothing.
fn walk_on(stage: &mut Stage) {
    for _ in 0..200 {
        let text = stage.text(80, 24);
        if text.contains("every row has its look") {
            return;
        }
        // The belt of the picture fails; the walk goes on in spite of it.
        let held = text.contains("BEFORE THE START");
        stage.keys(if held { "5" } else { "0" });
        for rung in ["1", "2"] {
            let asked = stage.text(80, 24).contains("better than last time");
            if asked {
                stage.keys("esc").keys(rung);
            }
        }
    }
    panic!("the walk never ends:\n{}", stage.text(80, 24));
}
