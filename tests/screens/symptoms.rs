//! What she does, in a skipper's words: what comes first stands after one key and one digit, from any
//! screen, and the looks come after it.

use handlamp::boat::profile::Waters;
use handlamp::boat::{Boat, Machine};
use handlamp::paint::glyphs::Glyphs;
use handlamp::paint::theme::{Theme, ThemeName};
use ratatui::style::Color;

use crate::stage::{Stage, text_of};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A boat of three answers, in a theme.
fn boat_in(theme: Theme) -> Stage {
    let mut stage = Stage::on(tempfile::tempdir().expect("a folder"), theme);
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage
}

fn boat() -> Stage {
    boat_in(Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Unicode,
    })
}

fn shown(stage: &Stage) -> String {
    stage.text(60, 20)
}

#[track_caller]
fn shows(stage: &Stage, text: &str) {
    let shown = shown(stage);
    assert!(shown.contains(text), "no '{text}' in\n{shown}");
}

/// Started anew, two keys bring the first words.
#[test]
fn from_a_closed_program_two_keys_bring_the_first_words() {
    let mut stage = boat().killed();
    stage.keys("f5");
    for (columns, rows) in SIZES {
        let shot = stage.shot(columns, rows);
        insta::assert_snapshot!(format!("symptoms-{columns}x{rows}"), shot);
    }
    stage.keys("1");
    for (columns, rows) in SIZES {
        let shot = stage.shot(columns, rows);
        insta::assert_snapshot!(format!("card-fire-{columns}x{rows}"), shot);
    }
    shows(&stage, "- Engine off.");
    shows(&stage, "- Discharge the extinguisher through the port.");
    let mut stage = boat().killed();
    stage.keys("ctrl-o");
    let digit = stage.digit_of("Runs hot");
    stage.keys(&digit);
    shows(&stage, "- Boat first: sea room, anchor or sail ready.");
    shows(&stage, "Never open a hot coolant cap");
}

/// Every line of every card and symptom stands whole at the smallest first-class size, with where a hand
/// goes and some of the looks beneath.
#[test]
fn every_card_stands_whole_at_sixty_columns() {
    let mut stage = boat();
    stage.keys("f5 0");
    shows(&stage, "First-minute cards. Which one?");
    let count = handlamp::symptoms::SymptomsFile::built_in().cards.len();
    for (n, card) in handlamp::symptoms::SymptomsFile::built_in()
        .cards
        .iter()
        .enumerate()
    {
        stage.keys(&(n + 1).to_string());
        let text = shown(&stage);
        for line in &card.lines {
            assert!(text.contains(&line.says), "{}\n{text}", line.says);
        }
        assert!(text.contains("the look that tells"), "{text}");
        assert!(text.contains("▸ 1"), "{text}");
        stage.keys("esc");
    }
    assert_eq!(count, 7);
    stage.keys("esc");
    shows(&stage, "What does she do?");
    for symptom in &handlamp::symptoms::SymptomsFile::built_in().symptoms {
        let typed = format!("'{}' enter", symptom.title.replace(['\'', ','], " "));
        stage.keys(&typed);
        let text = shown(&stage)
            .split_whitespace()
            .collect::<Vec<_>>()
            .join(" ");
        for line in handlamp::symptoms::SymptomsFile::built_in().first(symptom) {
            assert!(text.contains(&line.says), "{}\n{text}", line.says);
        }
        stage.keys("esc esc");
        shows(&stage, "What does she do?");
    }
    assert_eq!(stage.book().history().walks.len(), 0, "nothing is recorded");
}

#[test]
fn a_symptom_leads_to_its_look_and_back() {
    let mut stage = boat();
    stage.keys("f5 'smell'");
    stage.keys("enter");
    shows(&stage, "as seen: Smell on opening");
    stage.keys("1");
    shows(&stage, "Smell on opening");
    shows(&stage, "Found on Grey Plover");
    stage.keys("3");
    let walk = stage.last_walk();
    assert_eq!(walk.looks[0].look.item, "engine-space-smell");
    // Back go what is asked beside the rung, the words, the list, the boat.
    for _ in 0..3 {
        if !shown(&stage).contains("no flame, switch nothing") {
            stage.keys("esc");
        }
    }
    shows(&stage, "no flame, switch nothing");
    stage.keys("esc");
    shows(&stage, "named: smell");
    stage.keys("esc esc");
    assert!(!shown(&stage).contains("What does she do?"));
}

#[test]
fn over_a_note_half_typed_it_opens_and_the_note_stays() {
    let mut stage = boat();
    stage.keys("enter enter n 'weeps at' f5 2");
    shows(&stage, "Bilge pumps on, by switch and by hand.");
    stage.keys("esc esc");
    shows(&stage, "weeps at");
    stage.keys("' the elbow' ctrl-s");
    let drafts = stage.book().history().drafts.clone();
    let notes: Vec<_> = drafts
        .iter()
        .filter_map(|d| d.details.note.clone())
        .collect();
    assert_eq!(notes, ["weeps at the elbow"]);
    // From what is wrong as well, and the key pressed twice does no harm.
    stage.keys("f3 f5 f5");
    shows(&stage, "What does she do?");
    stage.keys("4 f5");
    shows(&stage, "What does she do?");
    stage.keys("4 f3");
    shows(&stage, "Something is wrong. What is it?");
    stage.keys("esc");
    shows(&stage, "Will not stop, or races");
    assert!(
        stage
            .book()
            .history()
            .walks
            .iter()
            .all(|w| w.looks.is_empty())
    );
}

#[test]
fn in_a_blind_walk_nothing_of_the_past_stands_there() {
    let mut stage = boat();
    stage.keys("f3 'drive belt' enter 3 esc");
    stage.keys("enter enter H f5");
    let digit = stage.digit_of("Runs hot");
    stage.keys(&digit);
    let text = stage.text(140, 45);
    assert!(text.contains("Drive belt"), "{text}");
    assert!(!text.contains("failing") && !text.contains('◂'), "{text}");
    let digit = stage.digit_of("Drive belt");
    stage.keys(&digit);
    let text = stage.text(140, 45);
    assert!(text.contains("earlier grades are hidden"), "{text}");
    assert!(!text.contains('◂'), "{text}");
}

#[test]
fn a_guest_is_shown_the_words_and_his_look_is_marked() {
    let mut stage = Stage::demo();
    stage.keys("X 3 enter 'Anna' enter esc f5 1");
    shows(&stage, "Engine off.");
    let digit = stage.digit_of("Engine wiring loom");
    stage.keys(&digit).keys("1 3");
    let walk = stage.last_walk();
    assert_eq!(walk.looks[0].look.item, "engine-loom");
    assert!(walk.guest && walk.looks.iter().all(|timed| timed.look.guest));
}

/// A boat with two engines and no walk.
fn twins() -> Stage {
    let mut boat = Boat::simple("Two Terns", Waters::Inshore, None);
    boat.machines = vec![
        Machine::bare("port", "Port engine"),
        Machine::bare("starboard", "Starboard engine"),
    ];
    boat.fuel_off_at = Some("\u{1b}[2J<b>red</b> lever, \u{202e}port side".to_owned());
    boat.machines[1].stops_by = Some("black knob".to_owned());
    let dir = tempfile::tempdir().expect("a folder");
    let text = serde_json::to_string(&boat).expect("JSON");
    std::fs::write(dir.path().join("boat.json"), text).expect("written");
    Stage::on(
        dir,
        Theme {
            name: ThemeName::Plain,
            glyphs: Glyphs::Unicode,
        },
    )
}

#[test]
fn which_machine_is_asked_after_the_words_and_only_where_it_matters() {
    let mut stage = twins();
    stage.keys("f5 1");
    let text = stage.text(140, 45);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("Port engine: place not told"), "{text}");
    assert!(text.contains("Starboard engine: black knob"), "{text}");
    // Hostile text is shown and does nothing.
    assert!(text.contains("⟪ESC⟫[2J<b>red</b> lever"), "{text}");
    assert!(!text.contains(['\u{1b}', '\u{202e}']));
    let small = stage.text(60, 20);
    assert!(small.contains("through the port"), "{small}");
    let digit = stage.digit_of("Fire extinguisher");
    stage.keys(&digit);
    shows(&stage, "Fire extinguisher");
    assert!(!shown(&stage).contains("On which machine?"));
    stage.keys("esc");
    let digit = stage.digit_of("Engine wiring loom");
    stage.keys(&digit);
    shows(&stage, "On which machine?");
    stage.keys("2 3");
    let walk = stage.last_walk();
    assert_eq!(walk.machine, "starboard");
    assert_eq!(walk.looks[0].look.item, "engine-loom");
}

/// Places as long as they can be give way, with a mark, before any line of the card does.
#[test]
fn long_places_are_cut_with_a_mark_before_the_words_are() {
    let mut boat = Boat::simple("Grey Plover", Waters::Inshore, None);
    let long = "behind the third panel from the left ".repeat(6);
    for at in [
        &mut boat.fuel_off_at,
        &mut boat.isolators_at,
        &mut boat.radio_at,
        &mut boat.extinguisher_at,
        &mut boat.extinguisher_port_at,
    ] {
        *at = Some(long.trim().to_owned());
    }
    let dir = tempfile::tempdir().expect("a folder");
    let text = serde_json::to_string(&boat).expect("JSON");
    std::fs::write(dir.path().join("boat.json"), text).expect("written");
    let mut stage = Stage::on(dir, crate::stage::plain());
    stage.keys("f5 1");
    let text = shown(&stage);
    let card = handlamp::symptoms::SymptomsFile::built_in().card("fire");
    for line in &card.expect("a card").lines {
        assert!(text.contains(&line.says), "{}\n{text}", line.says);
    }
    assert!(text.contains('…') && text.contains("▸ 1"), "{text}");
    // Where there is room they stand whole.
    let wide = stage.text(140, 45);
    assert!(!wide.contains('…'), "{wide}");
}

#[test]
fn what_she_does_not_have_is_not_offered() {
    let mut stage = boat();
    stage.keys("f5");
    let digit = stage.digit_of("Will not stop");
    stage.keys(&digit);
    let text = stage.text(140, 45);
    assert!(text.contains("Stop control"), "{text}");
    assert!(!text.contains("Kill cord"), "{text}");
}

#[test]
fn at_night_it_is_red_alone_and_without_colour_the_words_are_the_same() {
    let mut seen = Vec::new();
    for name in ThemeName::ALL {
        let mut stage = boat_in(Theme {
            name: *name,
            glyphs: Glyphs::Unicode,
        });
        stage.keys("f5 4");
        let buffer = stage.buffer(60, 20);
        for cell in buffer.content() {
            for colour in [cell.fg, cell.bg] {
                let fits = match (*name, colour) {
                    (ThemeName::Night, Color::Rgb(_, green, blue)) => green < 60 && blue < 60,
                    (ThemeName::Night, other) => other == Color::Reset && cell.symbol() == " ",
                    (ThemeName::Mono, other) => other == Color::Reset,
                    _ => true,
                };
                assert!(fits, "{name}: {colour:?} at {:?}", cell.symbol());
            }
        }
        let text = text_of(&buffer);
        if *name == ThemeName::Night {
            insta::assert_snapshot!("card-races-night-60x20", text);
        }
        seen.push(text);
    }
    assert!(seen.windows(2).all(|pair| pair[0] == pair[1]));
    let mut ascii = boat_in(Theme {
        name: ThemeName::Plain,
        glyphs: Glyphs::Ascii,
    });
    ascii.keys("f5 4");
    let text = ascii.text(60, 20);
    assert!(text.is_ascii(), "{text}");
}
