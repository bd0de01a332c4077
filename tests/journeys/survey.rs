//! A whole survey of a used boat on the real program: every key typed on its terminal, killed in
//! the middle of a step of the sea trial, gone on with there, finished and reported.

use std::path::Path;

use handlamp::checklist::Library;
use serde_json::{Value, json};

use crate::boat::{json as answer, new_boat, on, start};
use crate::harness::{Session, rows};
use crate::keyscript::keys;

/// A person at the keyboard, whose keys are counted.
struct Surveyor {
    session: Session,
    pressed: usize,
}

impl Surveyor {
    /// Types, then waits for what the screen says of it.
    #[track_caller]
    fn types(&mut self, script: &str, said: &str) {
        self.pressed += keys(script).len();
        self.session.send(script);
        self.session.wait_for_text(said);
    }

    /// Goes to a row by a part of a name, and sees the cursor on it.
    #[track_caller]
    fn finds(&mut self, name: &str, row: &str) {
        self.types("/", "Find");
        self.types(&format!("{name}<Enter>"), &format!("▸· {row}"));
    }

    /// Types the reading of an item.
    #[track_caller]
    fn reads(&mut self, item: &str, value: &str, said: &str) {
        self.types("r", &format!("{item}, reading"));
        self.types(&format!("{value}<Enter>"), said);
    }

    /// Grades the row sound that the cursor is on, and sees it move on. Where an item was worse before
    /// in the walk, both are so.
    #[track_caller]
    fn sound(&mut self) {
        let shown = self.session.contents();
        let (row, before) = (row(&shown), seen(&shown));
        let contradicts = |text: &str| text.contains("worse a moment ago");
        let moved = |text: &str| {
            let moved = |now: String| now != row && is_whole(&now);
            seen(text) == before + 1 && row_there(text).is_some_and(moved)
        };
        self.pressed += 1;
        self.session.send("0");
        self.session.wait_for(|screen| {
            let text = screen.contents();
            contradicts(&text) || moved(&text)
        });
        if contradicts(&self.session.contents()) {
            self.pressed += 1;
            self.session.send("<Enter>");
            self.session.wait_for(|screen| moved(&screen.contents()));
        }
    }
}

fn seen(shown: &str) -> usize {
    rows(shown).map_or(0, |(seen, _)| seen)
}

/// The row the cursor is on, without its marks.
fn row_there(shown: &str) -> Option<String> {
    let line = shown.lines().find(|line| line.starts_with('▸'))?;
    let row: String = line.chars().skip(2).take(36).collect();
    Some(row.trim().to_owned())
}

/// True for a row of the survey as it is shown, not half of it from a frame still being drawn.
fn is_whole(row: &str) -> bool {
    let survey = Library::built_in().checklist("survey").expect("built in");
    let mut titles = survey.phases.iter().flat_map(|p| &p.rows).map(|r| &r.title);
    // A long one goes on beneath itself, after a word.
    let first = row
        .trim_end_matches(|c: char| c.is_ascii_digit())
        .trim_end();
    titles.any(|title| row.starts_with(title.as_str()) || title.starts_with(&format!("{first} ")))
}

#[track_caller]
fn row(shown: &str) -> String {
    row_there(shown).unwrap_or_else(|| panic!("no row in\n{shown}"))
}

/// What a table of the export holds.
fn table(folder: &Path, name: &str) -> Vec<Value> {
    let text = std::fs::read_to_string(folder.join(format!("{name}.ndjson"))).expect("a table");
    let rows = text.lines().map(serde_json::from_str);
    rows.collect::<Result<_, _>>().expect("rows")
}

#[test]
fn a_survey_by_keys_alone_killed_on_the_sea_trial_and_finished() {
    let dir = new_boat();
    let book = dir.path().join("book");
    let mut surveyor = Surveyor {
        session: start(&book),
        pressed: 0,
    };
    // Agreed before anything is touched: who runs her, what may be opened, nothing on samples.
    surveyor.types("<Down><Down><Enter>", "Agreed: who runs the engine?");
    surveyor.types("the owner<Enter>", "may be opened?");
    surveyor.types("pump cover<Enter>", "samples");
    surveyor.types("<Enter>", "full throttle");
    surveyor.types("five minutes<Enter>", "cold or warm?");
    surveyor.types("cold<Enter>", "Hour meter");
    surveyor.types("1200.1<Enter>", "Main engine · 1200.1 h");
    // The seller speaks; what he says is kept apart from what is seen.
    surveyor.types("Q", "what was said of it?");
    surveyor.types("never smells<Enter>", "said: never smells");
    surveyor.sound();
    // Fuel drops: the leak class alone forbids running.
    surveyor.finds("fuel hoses", "Fuel hoses");
    surveyor.types("l", "leak class");
    surveyor.types("4", "what of it?");
    surveyor.types("5", "A note?");
    surveyor.types("wet at the clip<Enter>", "▸· Lift pump");
    // One thing nobody may touch.
    surveyor.finds("shore-power", "Shore-power");
    surveyor.types("x", "not seen");
    surveyor.types("1", "How could it be seen?");
    surveyor.types("unplug and lift the panel<Enter>", "BEFORE THE START");
    // The fuel holds her: whoever answers for the boat was told, and starts her.
    surveyor.types("5", "Who was told");
    surveyor.types("the owner<Enter>", " 3/");
    // Everything before the sea trial, row by row.
    surveyor.types("<Home>", "▸0 Smell on opening");
    surveyor.types("<Tab>", "▸· Gas alarm");
    while row(&surveyor.session.contents()) != "Oil pressure at each step" {
        surveyor.sound();
    }
    // The first step of speed.
    surveyor.types("E", "Engine speed of this step?");
    surveyor.types("1500<Enter>", "looks from here on are at 1500 rpm");
    surveyor.reads("Oil pressure", "45 psi", "now grade it");
    surveyor.sound();
    surveyor.reads("Coolant temperature", "82", "now grade it");
    surveyor.sound();
    // A figure with a limit of its own proposes the rung, which is taken.
    surveyor.reads("Charging voltage", "14.1", "▸· Vibration");
    surveyor.sound();
    surveyor.sound();
    surveyor.sound();
    // The second: killed with a figure typed and its rung not yet.
    surveyor.types("E", "Engine speed of this step?");
    surveyor.types("2000<Enter>", "looks from here on are at 2000 rpm");
    surveyor.reads("Oil pressure", "3.4", "now grade it");
    surveyor.types("0", "▸· Temperature at each step");
    surveyor.reads("Coolant temperature", "84", "now grade it");
    let at = rows(&surveyor.session.contents()).expect("in a walk");
    surveyor.session.kill_9();
    surveyor.session = on(&book).start();
    let begun = format!("{} of {} rows", at.0, at.1);
    surveyor.session.wait_for_text(&begun);
    // It goes on at that item, at that speed, with that figure.
    surveyor.types("<Enter>", "▸  · Coolant temperature");
    surveyor.session.wait_for_text("this step: 2000 rpm");
    surveyor.session.wait_for_text("◃ reading 84 C");
    assert_eq!(rows(&surveyor.session.contents()).expect("in a walk"), at);
    surveyor.types("0", "▸· Charging");
    surveyor.reads("Charging voltage", "14.2", "▸· Vibration");
    surveyor.types("0", "▸· Smoke");
    surveyor.types("0", "▸· Flow");
    surveyor.types("0", "▸· Pre-filter vacuum");
    // The rest of it, but two rows nobody gets to.
    let (mut seen, all) = at;
    while seen < all - 2 {
        surveyor.sound();
        seen += 1;
    }
    surveyor.types("f", "2 row(s) have no look yet");
    surveyor.types("2", "All the rest was not seen: why?");
    surveyor.types("4", "How could");
    // A survey wants to know how the gap could be closed.
    surveyor.types("<Enter>", "a survey needs it");
    surveyor.types("come again<Enter>", "Who started her?");
    surveyor.types("the owner<Enter>", "told: the owner");
    surveyor.types("X", "What is made of this survey?");
    surveyor.types("1", "Write a report of this walk to which file?");
    surveyor.types("survey.html<Enter>", "report written: ");
    surveyor.types("<Enter>", "q due");
    println!("{} keys for a whole survey", surveyor.pressed);
    assert_eq!(surveyor.pressed, all + 237, "keys besides one for each row");
    let report = std::fs::read_to_string(surveyor.session.home().join("survey.html"));
    let report = report.expect("the report");
    for said in [
        "the owner was told and started her",
        "unplug and lift the panel",
        "never smells",
    ] {
        assert!(report.contains(said), "{said}");
    }
    surveyor.session.send("<C-c>");
    assert_eq!(surveyor.session.exit_status().exit_code(), 0);
    on_record(&book, dir.path());
}

/// Everything typed is there, by the word of the commands.
fn on_record(book: &Path, folder: &Path) {
    let walks = answer(book, &["walks"]);
    let walk = &walks["rows"][0];
    assert_eq!(walks["rows"].as_array().map(Vec::len), Some(1));
    assert_eq!(
        (&walk["checklist"], &walk["finished"], &walk["hours"]),
        (&json!("survey"), &json!(true), &json!(1200.1))
    );
    let list = answer(book, &["defects"]);
    let worst = &list["rows"][0];
    assert_eq!(list["rows"].as_array().map(Vec::len), Some(1));
    assert_eq!(
        (&worst["item"], &worst["grade"], &worst["stop"]),
        (&json!("fuel-hoses"), &json!("failed"), &json!(true))
    );
    let coverage = answer(book, &["coverage"]);
    let count = |of: &str| coverage[of].as_u64().expect("a count");
    assert_eq!(count("asked"), count("seen") + 1);
    let unseen = json!([{"item": "shore-power-near-engine", "reason": "no access"}]);
    assert_eq!(coverage["not_seen"], unseen);
    let tables = folder.join("tables");
    answer(book, &["logbook", "export", &tables.to_string_lossy()]);
    let looks = table(&tables, "looks");
    let of = |item: &str, phase: &str| -> Vec<&Value> {
        let here = looks
            .iter()
            .filter(|l| l["item"] == item && l["phase"] == phase);
        here.collect()
    };
    let smell = of("engine-space-smell", "arrival");
    assert_eq!(smell[0]["said"], "never smells");
    assert_eq!((smell.len(), &smell[0]["grade"]), (1, &json!("sound")));
    let hoses = of("fuel-hoses", "oil-and-fuel");
    assert_eq!(
        (&hoses[0]["leak"], &hoses[0]["note"]),
        (&json!("iii"), &json!("wet at the clip"))
    );
    let shore = of("shore-power-near-engine", "electrical-at-rest");
    assert_eq!(shore[0]["close_by"], "unplug and lift the panel");
    // Two rows of the last phase, three items, for want of time.
    let late = looks.iter().filter(|l| l["not_seen"] == "no time");
    let late: Vec<_> = late.map(|l| (&l["phase"], &l["close_by"])).collect();
    assert_eq!(late, [(&json!("close"), &json!("come again")); 3]);
    // The grid of speeds, with what was typed before the kill and after.
    let readings = table(&tables, "readings");
    let grid = |item: &str| -> Vec<(Value, Value)> {
        let looks = of(item, "under-way").into_iter();
        let read = looks.map(|look| {
            let read = readings.iter().find(|r| r["look"] == look["look"]);
            let entered = read.map_or(Value::Null, |r| r["value"].clone());
            (look["at_rpm"].clone(), entered)
        });
        read.collect()
    };
    let steps =
        |at_1500: Value, at_2000: Value| vec![(json!(1500), at_1500), (json!(2000), at_2000)];
    assert_eq!(grid("oil-pressure"), steps(json!(45.0), json!(3.4)));
    assert_eq!(grid("coolant-temperature"), steps(json!(82.0), json!(84.0)));
    assert_eq!(grid("charging-voltage"), steps(json!(14.1), json!(14.2)));
    for item in ["vibration-and-noise", "exhaust-smoke", "raw-water-flow"] {
        assert_eq!(grid(item), steps(Value::Null, Value::Null));
    }
    let told = table(&tables, "told");
    assert_eq!(
        (told.len(), &told[0]["item"], &told[0]["whom"]),
        (1, &json!("fuel-hoses"), &json!("the owner"))
    );
    let file = folder.join("survey.json");
    let id = walk["id"].as_str().expect("an id");
    answer(book, &["report", id, "--to", &file.to_string_lossy()]);
    let report = std::fs::read_to_string(file).expect("the report");
    let report: Value = serde_json::from_str(&report).expect("JSON");
    let agreed = json!({"runs": "the owner", "may_open": "pump cover", "full_throttle": "five minutes", "on_arrival": "cold", "started_by": "the owner"});
    assert_eq!(report["agreed"], agreed);
    let columns = report["trial"]["columns"].as_array().expect("columns");
    let oil = columns.iter().position(|c| c["item"] == "oil-pressure");
    let oil = oil.expect("a column");
    let read = |rpm: u32| {
        let mut rows = report["trial"]["rows"].as_array().expect("rows").iter();
        let row = rows.find(|r| r["rpm"] == rpm).expect("a row");
        row["cells"][oil]["looks"][0]["reading"].clone()
    };
    assert_eq!(
        (read(1500), read(2000)),
        (json!("45 psi"), json!("3.4 bar"))
    );
}
