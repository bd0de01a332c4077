//! A survey by keys: what is agreed, blind looks, steps of speed, pictures, the end of it.

use crate::stage::Stage;

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A new boat with one machine, on her own screen.
fn new_boat() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1200' enter");
    stage.of_known_age();
    stage
}

/// In a survey of that boat, nothing agreed, the meter not read.
fn surveying() -> Stage {
    let mut stage = new_boat();
    stage.keys("down down enter esc enter");
    stage
}

fn shown(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("survey-{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

fn picture(stage: &Stage, name: &str) -> String {
    let path = stage.dir.path().join(name);
    let picture = image::RgbImage::from_pixel(320, 240, image::Rgb([90, 120, 60]));
    picture.save(&path).expect("written");
    path.display().to_string()
}

/// Every row of it: all but some by one key, the rest of the keys for what is to be told.
#[test]
fn a_whole_survey_by_keys() {
    let mut stage = new_boat();
    let mut keys = 0;
    let mut press = |stage: &mut Stage, script: &str| {
        let typed: usize = script.split('\'').skip(1).step_by(2).map(str::len).sum();
        let named: usize = script
            .split('\'')
            .step_by(2)
            .map(|s| s.split_whitespace().count())
            .sum();
        keys += typed + named;
        stage.keys(script);
    };
    press(&mut stage, "down down enter");
    shown(&stage, "agreed");
    press(
        &mut stage,
        "'the owner' enter 'anode' enter enter 'yes' enter 'cold' enter '1200' enter",
    );
    // The first item: said, seen, and a picture.
    press(&mut stage, "Q 'never smells' enter");
    let path = picture(&stage, "hatch.png");
    press(&mut stage, "C");
    stage.paste(&path);
    press(&mut stage, "enter 'hatch open' enter");
    shown(&stage, "said");
    press(&mut stage, "0");
    // A fuel leak stops by its class.
    press(&mut stage, "/ 'fuel hoses' enter l 4 enter enter");
    // One thing cannot be seen.
    press(
        &mut stage,
        "/ 'shore-power' enter x 1 'unplug and lift the panel' enter",
    );
    // Three steps of speed.
    // The way on is to the starter, and the fuel hose holds her: whoever answers for the boat was told,
    // and starts her.
    press(&mut stage, "5 'the owner' enter");
    press(&mut stage, "/ 'at each step' enter");
    for (rpm, psi) in [("1500", "45"), ("2000", "48"), ("2500", "50")] {
        press(&mut stage, &format!("E '{rpm}' enter"));
        press(
            &mut stage,
            &format!("r '{psi} psi' enter 0 r '82' enter 0 r '14.1' enter 0 0 0"),
        );
    }
    press(&mut stage, "up up up up");
    shown(&stage, "speeds");
    press(&mut stage, "tab");
    // All the rest is sound, but two rows nobody gets to.
    for _ in 0..200 {
        let text = stage.text(140, 45);
        let done = text
            .lines()
            .next()
            .expect("a head")
            .split_whitespace()
            .find(|word| word.contains('/') && word.starts_with(|c: char| c.is_ascii_digit()));
        let (done, all) = done.expect("a count").split_once('/').expect("a count");
        let left =
            all.parse::<usize>().expect("a number") - done.parse::<usize>().expect("a number");
        if left == 2 {
            break;
        }
        press(&mut stage, "0");
    }
    press(&mut stage, "f 2 4");
    // How it could be seen is needed.
    press(&mut stage, "enter");
    assert!(
        stage.text(80, 24).contains("a survey needs it"),
        "{}",
        stage.text(80, 24)
    );
    press(&mut stage, "'come again' enter");
    // She ran, so that it is asked who started her.
    press(&mut stage, "'R. Quay' enter");
    shown(&stage, "untold");
    press(&mut stage, "T 'R. Quay, owner' enter enter");
    shown(&stage, "end");
    assert_eq!(keys, 428, "keys of a whole survey");

    let walk = stage.last_walk();
    assert!(walk.was_blind() && walk.finished.is_some());
    let agreed = walk.agreed.as_ref().expect("agreed");
    assert_eq!(agreed.runs.as_deref(), Some("the owner"));
    assert_eq!(agreed.samples, None);
    assert_eq!(agreed.on_arrival.as_deref(), Some("cold"));
    assert_eq!(agreed.started_by.as_deref(), Some("R. Quay"));
    assert_eq!(walk.told[0].whom, "the owner");
    assert_eq!(walk.told[0].items, ["fuel-hoses"]);
    let why = walk.started_anyway.as_deref();
    assert_eq!(why, Some("the owner was told and started her"));
    let speeds: Vec<_> = walk
        .looks_in("under-way", "oil-pressure")
        .map(|t| (t.look.at_rpm, t.look.reading.map(|m| m.value())))
        .collect();
    assert_eq!(
        speeds,
        [
            (Some(1500), Some(45.0)),
            (Some(2000), Some(48.0)),
            (Some(2500), Some(50.0))
        ]
    );
    let first = &walk
        .looks_at("engine-space-smell")
        .next()
        .expect("a look")
        .look;
    assert_eq!(first.said.as_deref(), Some("never smells"));
    let photo = &first.photos[0];
    assert_eq!(photo.caption.as_deref(), Some("hatch open"));
    assert_eq!(photo.path, "hatch.png");
    let content = stage.book().photo(photo.kept.as_deref().expect("kept"));
    assert_eq!(
        content.expect("read").len() as u64,
        photo.bytes.expect("a size")
    );
    for timed in walk.looks.iter().filter(|t| t.look.grade().is_none()) {
        let handlamp::walk::Outcome::NotSeen { close_by, .. } = &timed.look.outcome else {
            panic!("not seen");
        };
        assert!(close_by.is_some(), "{}", timed.look.item);
    }
}

/// On a boat with the better part of a year of records nothing of them is in sight before a look.
#[test]
fn a_blind_walk_shows_nothing_of_the_past_until_the_look_is_made() {
    let mut stage = Stage::demo();
    stage.keys("down down enter esc enter");
    let told = [
        "last note",
        "last reading",
        "d ago",
        "h ago",
        "mo ago",
        "owed",
        "mended",
        "open defect",
        "◂0",
        "◂1",
        "◂2",
        "◂3",
        "◂4",
    ];
    for n in 0..180 {
        for (columns, rows) in SIZES {
            let text = stage.text(columns, rows);
            for word in told {
                assert!(!text.contains(word), "{word:?} at row {n}\n{text}");
            }
            // As in "last 14.1 V" and ", usual 14.1".
            for word in ["last ", ", usual "] {
                let figure = text.match_indices(word).any(|(at, _)| {
                    let next = text[at + word.len()..].chars().next();
                    next.is_some_and(|c| c.is_ascii_digit())
                });
                assert!(!figure, "{word:?} and a figure at row {n}\n{text}");
            }
        }
        stage.keys("right down");
    }
    // Once it is made the past is there.
    stage.keys("y");
    assert!(stage.text(80, 24).contains("hidden in a blind walk"));
    stage.keys("/ 'drive belt' enter 0");
    stage.keys("esc / 'drive belt' enter");
    assert!(
        stage.text(140, 45).contains("ago"),
        "{}",
        stage.text(140, 45)
    );
}

#[test]
fn why_it_is_better_is_asked_when_the_blind_look_is_made() {
    let mut stage = new_boat();
    stage.keys("enter enter / 'drive belt' enter 2 enter esc");
    // The walk left open stands first.
    stage.keys("down down down enter esc enter / 'belt: press' enter 0");
    assert!(
        stage.text(80, 24).contains("better than last time"),
        "{}",
        stage.text(80, 24)
    );
    let look = |stage: &Stage| {
        let walk = stage.last_walk();
        let look = walk
            .looks_at("drive-belt")
            .last()
            .expect("a look")
            .look
            .clone();
        (look.grade().expect("a grade").rung(), look.better)
    };
    assert_eq!(look(&stage), (0, None), "the grade stands already");
    stage.keys("6");
    assert_eq!(look(&stage), (0, Some(handlamp::walk::Better::Adjusted)));
}

#[test]
fn any_walk_can_be_made_blind_and_the_record_keeps_when_it_was_not() {
    let mut stage = Stage::demo();
    stage.keys("enter enter / 'belt' enter");
    assert!(
        stage.text(80, 24).contains(" ago"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("H");
    assert!(
        !stage.text(80, 24).contains(" ago"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("home 0");
    assert!(stage.last_walk().was_blind());
    stage.keys("H H");
    let walk = stage.last_walk();
    assert!(walk.blind && !walk.was_blind());
}

#[test]
fn a_picture_that_cannot_be_taken_says_why_and_the_line_stays() {
    let mut stage = surveying();
    std::fs::write(stage.dir.path().join("words.jpg"), "words").expect("written");
    let cases = [
        ("none.jpg", "is not there"),
        ("words.jpg", "is no picture"),
        ("log", "is a folder"),
    ];
    for (name, why) in cases {
        stage.keys(&format!(
            "C ctrl-u '{}/{name}' enter",
            stage.dir.path().display()
        ));
        let text = stage.text(140, 45);
        assert!(text.contains(why) && text.contains("picture"), "{text}");
        stage.keys("esc");
    }
    let path = picture(&stage, "seal one.png");
    let stem = path.trim_end_matches("eal one.png").to_owned();
    stage.keys(&format!("C ctrl-u '{stem}' tab enter"));
    assert!(
        stage.text(140, 45).contains("what does it show?"),
        "{}",
        stage.text(140, 45)
    );
    // Killed before the caption: the picture is on record.
    let mut stage = stage.killed();
    stage.keys("enter");
    let text = stage.text(140, 45);
    assert!(text.contains("picture seal one.png, 2 kB"), "{text}");
}

#[test]
fn nothing_agreed_is_kept_as_that() {
    let mut stage = surveying();
    stage.keys("0");
    let walk = stage.last_walk();
    assert!(walk.agreed.expect("recorded").is_nothing());
}

/// Why a row joins may be about an item of it that has no look yet.
#[test]
fn a_row_says_why_it_is_asked_when_all_of_it_is_looked_at() {
    let mut stage = new_boat();
    stage.keys("down enter enter enter / 'oil filter' enter 3 enter enter f 2 esc");
    stage.keys("down enter enter enter H / 'drain plug' enter 0");
    stage.keys("up");
    let text = stage.text(140, 45);
    assert!(
        text.contains("Sump drain plug and drain hose  2 of"),
        "{text}"
    );
    assert!(!text.contains("open defect"), "{text}");
    stage.keys("down");
    stage.keys("left 0 up");
    let text = stage.text(140, 45);
    assert!(text.contains("open defect"), "{text}");
}
