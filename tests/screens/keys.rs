//! Keys as a person presses them, and what comes of them in the record.

use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use handlamp::assess::words::{Risk, Verdict};
use handlamp::checklist::{Cadence, Grade, Library, WearMark};
use handlamp::defects::State;
use handlamp::defects::judged::judge;
use handlamp::defects::list::{DefectList, Scenario};
use handlamp::logbook::FixedClock;
use handlamp::logbook::book::Book;
use handlamp::terminal::app_loop::App as _;
use handlamp::terminal::input::Incoming;
use handlamp::walk::{Better, Look, Outcome};

use crate::stage::{Stage, now};

/// What is on disk, read as another program would read it.
pub fn book(root: &Path) -> Book {
    let clock = Rc::new(FixedClock::new(now() + chrono::Duration::hours(1)));
    let library = Arc::new(Library::built_in().clone());
    Book::open(root, clock, library, None).expect("the logbook opens")
}

pub fn looks(book: &Book, item: &str) -> Vec<Look> {
    let walk = book.history().walks.last().expect("a walk");
    walk.looks_at(item).map(|t| Look::clone(&t.look)).collect()
}

fn list(book: &Book) -> DefectList {
    let condition = book.condition();
    let (exposure, waters) = condition.usual_plan();
    condition.list(Scenario::new(exposure, waters), false)
}

/// A boat of three answers, with a morning check begun and the meter read.
pub fn begun() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.of_known_age().keys("enter '1243.8' enter");
    stage
}

#[test]
fn a_line_is_corrected_by_letter_word_and_line() {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Heron' ctrl-w 'Ploverx' left delete home 'the ' ctrl-u enter");
    stage.keys("2 '1243' enter enter");
    assert_eq!(book(stage.dir.path()).profile().name, "Grey Plover");
}

#[test]
fn three_answers_make_a_boat_and_one_key_a_sound_row() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    let daily = Library::built_in().checklist("daily").expect("daily");
    let rows: usize = daily.phases.iter().map(|p| p.rows.len()).sum();
    let keys = vec!["0"; rows].join(" ");
    stage.keys(&keys).keys("f");
    let book = book(&root);
    let walk = book.history().walks.last().expect("a walk");
    assert_eq!(walk.hours.map(|h| h.get()), Some(1243.8));
    assert!(walk.finished.is_some());
    let items: usize = daily
        .phases
        .iter()
        .flat_map(|p| &p.rows)
        .map(|r| r.items.len())
        .sum();
    assert_eq!(walk.looks.len(), items, "every item has its look");
    let condition = book.condition();
    let judged = judge(
        book.boat(),
        book.library(),
        book.history(),
        &condition,
        walk,
    );
    assert_eq!(
        (judged.at_walk, judged.now),
        (Some(Verdict::ClearToRun), Some(Verdict::ClearToRun))
    );
    assert!(judged.not_seen.is_empty());
    assert!(stage.text(80, 24).contains("clear to run"));
}

/// Keys from Enter on the boat screen to the verdict on the second morning, by what is pressed at rows with
/// these items, `0` at all others.
fn second_morning(list: &str, findings: &[(&str, &str)]) -> (usize, String) {
    let mut stage = begun();
    let library = Library::built_in();
    let daily = library.checklist("daily").expect("built in");
    let all = daily.phases.iter().flat_map(|p| &p.rows).count();
    stage.keys(&"0 ".repeat(all)).keys("f esc");
    stage.clock.advance(Duration::from_secs(86_400));
    let lists = library.checklists();
    let at = lists.iter().position(|l| l.id == list).expect("built in");
    stage.keys(&"down ".repeat(at));
    let mut keys = "enter enter ".to_owned();
    let rows = lists[at].phases.iter().flat_map(|p| &p.rows);
    for row in rows.filter(|r| r.cadence == Cadence::EveryTime) {
        let found = findings
            .iter()
            .find(|(item, _)| row.items.iter().any(|i| i == item));
        keys += &format!("{} ", found.map_or("0", |(_, keys)| keys));
    }
    keys += "f";
    stage.keys(&keys);
    (keys.split_whitespace().count(), stage.text(80, 24))
}

#[test]
fn a_morning_takes_few_keys() {
    let (keys, shown) = second_morning("daily", &[]);
    assert!(
        keys < 40 && shown.contains("clear to run"),
        "{keys}: {shown}"
    );
    let findings = [
        ("drive-belt", "2 enter"),
        ("raw-water-pump-cover", "1 6 enter 0"),
        ("engine-mounts", "2 enter enter 0"),
        ("fire-extinguisher", "1 enter enter 0"),
    ];
    let (keys, shown) = second_morning("daily", &findings);
    assert!(
        keys < 60 && shown.contains("run with care"),
        "{keys}: {shown}"
    );
    let (keys, shown) = second_morning("short", &[]);
    assert!(keys < 20, "{keys}");
    assert!(shown.contains("nothing seen against starting"), "{shown}");
    assert!(
        shown.contains("items of the full check not asked"),
        "{shown}"
    );
}

#[test]
fn the_full_check_is_offered_where_the_short_would_be_after_a_week() {
    let full_after = |days: u64, picked: &str| {
        let mut stage = begun();
        let root = stage.dir.path().to_owned();
        let daily = Library::built_in().checklist("daily").expect("built in");
        let all = daily.phases.iter().flat_map(|p| &p.rows).count();
        stage.keys(&"0 ".repeat(all)).keys("f esc");
        stage.clock.advance(Duration::from_secs(days * 86_400));
        let lists = Library::built_in().checklists();
        let at = lists
            .iter()
            .position(|l| l.id == "short")
            .expect("built in");
        stage.keys(&"down ".repeat(at)).keys("enter");
        let shown = stage.text(80, 24);
        let asked = shown.contains("The full check first?");
        assert_eq!(asked, days >= 7, "{shown}");
        stage.keys(picked).keys("enter 0");
        let walk = book(&root)
            .history()
            .walks
            .last()
            .expect("a walk")
            .checklist
            .clone();
        (asked, walk)
    };
    assert_eq!(full_after(6, ""), (false, "short".to_owned()));
    assert_eq!(full_after(7, "1"), (true, "daily".to_owned()));
    assert_eq!(full_after(7, "2"), (true, "short".to_owned()));
}

#[test]
fn the_sixth_item_of_a_row_is_within_reach_and_a_digit_stays_a_rung() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    let daily = Library::built_in().checklist("daily").expect("built in");
    let mut rows = daily.phases.iter().flat_map(|p| &p.rows);
    let row = rows.find(|r| r.items.len() == 6).expect("a row of six");
    let last = &row.items[5];
    let find = format!("/ '{}' enter ", row.title);
    stage.keys(&find).keys("1 2 down down down down down");
    let item = Library::built_in().catalogue.item(last).expect("an item");
    for (width, height) in [(80, 24), (60, 20)] {
        let shown = stage.text(width, height);
        assert!(shown.contains(&item.ladder[2]), "{shown}");
    }
    stage.keys("enter enter");
    let grade = |item: &str| looks(&book(&root), item).last().and_then(Look::grade);
    assert_eq!(
        grade(last),
        Some(Grade::Worn),
        "the second digit was the rung"
    );
    // The others by one digit each, those beyond the fifth one by one.
    stage.keys("1 9 enter");
    assert_eq!(grade(&row.items[4]), Some(Grade::Early));
    stage.keys("0");
    assert_eq!(grade(&row.items[0]), Some(Grade::Sound));
}

#[test]
fn a_finding_takes_its_mark_place_neighbour_and_note() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    // Find the pulleys, grade them worn, chafe where and against what, a note; then what is next.
    stage.keys(
        "/ 'pulleys' enter right 2 6 'inner edge' enter 'alternator bracket' enter up n 'frayed' ctrl-s",
    );
    let book = book(&root);
    let looks = looks(&book, "pulleys-and-guards");
    assert_eq!(looks.len(), 1, "details amend the look and do not add one");
    assert_eq!(looks[0].grade(), Some(Grade::Worn));
    assert_eq!(looks[0].note.as_deref(), Some("frayed"));
    let wear = &looks[0].wear[0];
    assert_eq!(wear.mark, WearMark::Chafe);
    assert_eq!(wear.r#where.as_deref(), Some("inner edge"));
    assert_eq!(wear.against.as_deref(), Some("alternator bracket"));
    assert_eq!(list(&book).rows[0].item, "pulleys-and-guards");
}

#[test]
fn what_is_offered_after_a_worse_grade_is_skipped_with_one_key() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter 2 enter");
    let looks = looks(&book(&root), "drive-belt");
    assert_eq!(
        (looks.len(), looks[0].wear.len(), looks[0].note.clone()),
        (1, 0, None)
    );
}

#[test]
fn a_row_of_several_asks_which_and_grades_the_rest_with_one_key() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'oil film' enter 1");
    // Each stands with its own words for the rung, and with its instruction.
    let catalogue = &Library::built_in().catalogue;
    let tray = catalogue.item("drip-tray").expect("an item");
    let shown = stage.text(80, 24);
    assert!(shown.contains(&tray.ladder[1]), "{shown}");
    let film = catalogue.item("bilge-oil").expect("an item");
    assert!(shown.contains(&film.look[..20]), "{shown}");
    stage.keys("6 enter");
    let shown = stage.text(80, 24);
    assert!(shown.contains("still unseen"), "{shown}");
    let after_one = book(&root);
    assert_eq!(
        looks(&after_one, "drip-tray")[0].grade(),
        Some(Grade::Early)
    );
    stage.keys("0");
    assert_eq!(
        looks(&book(&root), "bilge-oil")[0].grade(),
        Some(Grade::Sound)
    );
}

#[test]
fn a_reading_proposes_the_grade_and_differing_needs_a_reason() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'dipstick' enter r '10' enter");
    // Ten per cent is early or worse: the grade is taken, the offers follow.
    let first = looks(&book(&root), "engine-oil-level");
    assert_eq!(first[0].grade(), Some(Grade::Early));
    stage.keys("enter / 'dipstick' enter 0");
    assert!(
        stage.text(80, 24).contains("why?"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("7 enter");
    assert!(stage.text(80, 24).contains("a reason is needed"));
    stage.keys("'boat heels' enter");
    let second = looks(&book(&root), "engine-oil-level");
    assert_eq!(second.len(), 1, "a grade pressed anew replaces the look");
    assert_eq!(second[0].grade(), Some(Grade::Sound));
    assert_eq!(second[0].grade_reason.as_deref(), Some("boat heels"));
    // The rung pressed once more stays by it; the proposed one takes it back.
    stage.keys("/ 'dipstick' enter 2 2 enter / 'dipstick' enter 0");
    let stayed = looks(&book(&root), "engine-oil-level");
    assert_eq!(stayed[0].grade(), Some(Grade::Worn));
    assert!(stayed[0].grade_reason.is_some());
    stage.keys("1");
    let taken = looks(&book(&root), "engine-oil-level");
    assert_eq!(taken[0].grade(), Some(Grade::Early));
    assert_eq!(taken[0].grade_reason, None);
}

#[test]
fn a_rung_typed_past_a_question_is_the_grade_of_what_comes_next() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter 2 0");
    let after = book(&root);
    assert_eq!(looks(&after, "drive-belt")[0].grade(), Some(Grade::Worn));
    let next = looks(&after, "front-crankshaft-seal");
    assert_eq!(next[0].grade(), Some(Grade::Sound));
    // Of a row half seen it is the grade of the rest.
    stage.keys("/ 'oil film' enter 2 5 0");
    let after = book(&root);
    assert_eq!(looks(&after, "bilge-oil")[0].grade(), Some(Grade::Worn));
    assert_eq!(looks(&after, "drip-tray")[0].grade(), Some(Grade::Sound));
}

#[test]
fn a_top_up_keeps_what_was_found_and_grades_what_it_shows_now() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'dipstick' enter r '10' enter enter");
    stage.keys("/ 'dipstick' enter a '0.6 L' enter 0");
    let looks = looks(&book(&root), "engine-oil-level");
    let grades: Vec<_> = looks.iter().map(Look::grade).collect();
    assert_eq!(grades, [Some(Grade::Early), Some(Grade::Sound)]);
    assert_eq!(
        looks[0].added.map(|v| v.to_string()).as_deref(),
        Some("0.6 L")
    );
    assert_eq!(looks[1].reading, None);
}

#[test]
fn better_than_last_time_asks_why() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter 2 enter esc");
    // The next walk: the belt is sound without a repair.
    stage.clock.advance(Duration::from_secs(86_400));
    stage.keys("esc down enter '1250' enter / 'belt' enter 0");
    assert!(
        stage.text(80, 24).contains("better than last time"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("6");
    let looks = looks(&book(&root), "drive-belt");
    assert_eq!(looks[0].better, Some(Better::Adjusted));
}

#[test]
fn a_contradiction_within_one_walk_is_asked_and_the_answer_recorded() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'finger under' enter right 2 enter / 'new drip' enter 0");
    let shown = stage.text(80, 24);
    assert!(shown.contains("worse a moment ago"), "{shown}");
    stage.keys("7");
    let seal = looks(&book(&root), "raw-water-pump-seal");
    let seen: Vec<_> = seal.iter().map(|l| (l.grade(), l.better)).collect();
    let adjusted = Some(Better::Adjusted);
    assert_eq!(
        seen,
        [(Some(Grade::Worn), None), (Some(Grade::Sound), adjusted)]
    );
}

#[test]
fn undo_takes_back_the_last_entry_and_stands_where_it_was_made() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("0 0");
    let before = book(&root).history().walks[0].looks.len();
    stage.keys("/ 'oil film' enter 0 u");
    let after = book(&root).history().walks[0].looks.len();
    assert_eq!(after, before, "the whole row is taken back");
    assert!(stage.text(80, 24).contains("taken back"));
    stage.keys("u u u u");
    assert_eq!(book(&root).history().walks[0].looks.len(), 0);
    assert!(stage.text(80, 24).contains("nothing to take back"));
}

#[test]
fn not_seen_has_a_reason_and_a_thing_she_has_not_leaves_her_list() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter x 3");
    let book_now = book(&root);
    assert!(
        matches!(&looks(&book_now, "drive-belt")[0].outcome, Outcome::NotSeen { why, .. } if why == "too dark or dirty")
    );
    stage.keys("/ 'stuffing' enter right");
    stage.keys("/ 'stuffing' enter x 6");
    assert!(
        book(&root).boat().machines[0].without.is_empty(),
        "asked first"
    );
    stage.keys("2");
    let book_now = book(&root);
    assert!(
        book_now.boat().machines[0]
            .without
            .iter()
            .any(|w| w == "stuffing-box"),
        "{}",
        stage.text(80, 24)
    );
}

#[test]
fn what_the_boat_has_once_is_asked_about_before_she_has_none() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'extinguisher' enter right x 6");
    let shown = stage.text(80, 24);
    assert!(shown.contains("has she really none?"), "{shown}");
    assert!(
        book(&root).history().walks.is_empty(),
        "nothing is recorded yet"
    );
    stage.keys("2");
    let seen = looks(&book(&root), "fire-extinguisher");
    assert!(
        matches!(&seen[0].outcome, Outcome::NotSeen { why, .. } if why.contains("has none")),
        "{seen:?}"
    );
}

#[test]
fn what_was_read_stays_though_the_item_was_not_seen() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'strainer' enter right r '2' enter / 'strainer' enter right x 3");
    let seen = looks(&book(&root), "raw-water-strainer");
    assert_eq!(seen[0].grade(), None);
    assert!(
        seen[0].note.as_deref().is_some_and(|n| n.contains("2 %")),
        "{seen:?}"
    );
}

#[test]
fn a_caution_is_said_once_at_a_station_and_stays_one_key_away() {
    let catalogue = &Library::built_in().catalogue;
    let belt = catalogue.item("drive-belt").expect("an item");
    let caution = &belt.cautions[0];
    let mut stage = begun();
    stage.keys("/ 'belt' enter");
    assert!(
        stage.text(140, 45).contains(&caution[..20]),
        "not passed by"
    );
    stage.keys("!");
    let shown = stage.text(140, 45);
    assert!(
        shown.contains("Cautions here") && shown.contains(&caution[..20]),
        "{shown}"
    );
}

#[test]
fn as_last_time_is_one_key_and_a_look() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage
        .keys("/ 'shaft coupling' enter")
        .keys("/ 'mounts' enter 2 5 enter 0 f 2 esc");
    let day = Duration::from_secs(86_400);
    for n in 1..=6 {
        stage.clock.advance(day);
        stage.keys("enter enter / 'mounts' enter \"");
        if n == 6 {
            let shown = stage.text(80, 24);
            assert!(shown.contains("5 times in a row"), "{shown}");
            break;
        }
        let mounts = looks(&book(&root), "engine-mounts");
        let seen: Vec<_> = mounts.iter().map(|l| (l.grade(), l.as_last_time)).collect();
        assert_eq!(seen, [(Some(Grade::Worn), true)], "{}", stage.text(80, 24));
        stage.keys("f 2 esc");
    }
    let open = list(&book(&root));
    assert!(open.rows.iter().any(|r| r.item == "engine-mounts"));
}

#[test]
fn a_thing_with_a_stop_is_not_taken_off_her_list() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'stuffing' enter 4 enter enter");
    let stops = |book: &Book| {
        let stops = book.condition().open_stops();
        stops.iter().any(|s| s.subject.item == "stuffing-box")
    };
    assert!(stops(&book(&root)), "{}", stage.text(80, 24));
    stage.keys("/ 'stuffing' enter x 6 2");
    let shown = stage.text(80, 24);
    assert!(shown.contains("holds a stop"), "{shown}");
    let book_now = book(&root);
    assert!(book_now.profile().machines[0].without.is_empty() && stops(&book_now));
}

#[test]
fn a_walk_broken_off_goes_on_at_its_row_and_a_half_typed_note_is_kept() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("0 0 / 'belt' enter n 'oily and'");
    std::thread::sleep(Duration::from_millis(750));
    stage.app.on_deadline();
    let stage = stage.killed();
    let mut stage = stage;
    assert!(
        stage.text(80, 24).contains("go on"),
        "{}",
        stage.text(80, 24)
    );
    stage.keys("enter");
    let text = stage.text(80, 24);
    assert!(text.contains("half typed is kept"), "{text}");
    stage.keys("/ 'belt' enter");
    assert!(stage.text(80, 24).contains("oily and"));
    stage.keys("n ' hot' ctrl-s 2 enter");
    let looks = looks(&book(&root), "drive-belt");
    assert_eq!(looks[0].note.as_deref(), Some("oily and hot"));
    assert!(book(&root).history().drafts.is_empty());
}

#[test]
fn paste_is_text_in_a_note_and_nothing_elsewhere() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    let _ = stage.app.on(Incoming::Paste("3\n4q".into()));
    assert_eq!(book(&root).history().walks.len(), 0, "nothing was graded");
    stage.keys("n");
    let _ = stage
        .app
        .on(Incoming::Paste("rust\u{1b}[2J trail\nbelow".into()));
    stage.keys("ctrl-s 0");
    let note = looks(&book(&root), "engine-space-smell")[0]
        .note
        .clone()
        .expect("a note");
    assert!(
        note.contains("rust") && note.contains("below") && !note.contains('\u{1b}'),
        "{note}"
    );
}

#[test]
fn the_list_is_ranked_anew_as_the_exposure_changes() {
    let mut stage = begun();
    stage.keys("/ 'belt' enter 1 enter esc d");
    let before = stage.text(100, 30);
    stage.keys(&"+ ".repeat(30));
    let after = stage.text(100, 30);
    assert_ne!(before, after);
    assert!(
        after.lines().next().expect("a line").contains("h and"),
        "{after}"
    );
    stage.keys("v v");
    assert!(stage.text(100, 30).contains("ocean waters"));
    stage.keys("p");
    assert!(stage.text(100, 30).contains("(usual)"));
}

#[test]
fn a_defect_is_deferred_repaired_and_confirmed_by_keys() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter 2 enter esc d");
    stage.keys("D '2026-06-01' enter 'new belt ordered' enter");
    let deferred = list(&book(&root));
    assert_eq!(deferred.rows[0].state, State::Deferred);
    assert_eq!(
        deferred.rows[0].deferred.as_ref().map(|d| d.why.as_str()),
        Some("new belt ordered")
    );
    stage.keys("R 'belt renewed' enter 1 enter");
    assert_eq!(list(&book(&root)).rows[0].state, State::Repaired);
    stage.keys("esc enter / 'belt' enter 0");
    let closed = book(&root).condition();
    let life = closed.life("drive-belt", "main").expect("a life");
    assert_eq!(life.defects[0].state, State::Confirmed);
    assert!(list(&book(&root)).rows.is_empty());
}

#[test]
fn a_temporary_repair_is_one_key_more_and_stays_in_the_list_by_that_name() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter 3 enter esc d R 'tied up with cord' enter 2");
    stage.keys("'next harbour' enter");
    assert_eq!(list(&book(&root)).rows[0].state, State::Repaired);
    stage.keys("esc enter / 'belt' enter 0");
    let row = list(&book(&root)).rows.remove(0);
    assert_eq!((row.state, row.grade), (State::Temporary, Grade::Worn));
    stage.keys("esc d");
    let text = stage.text(80, 24);
    assert!(text.contains("temporary"), "{text}");
}

#[test]
fn an_override_shows_both_ratings_and_can_be_lifted() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("/ 'belt' enter 2 enter esc d O '4E' enter 'spare engine aboard' enter");
    let row = &list(&book(&root)).rows[0];
    assert_eq!((row.code.as_str(), row.risk), ("4E", Risk::Low));
    assert!(row.why.contains("set by hand"), "{}", row.why);
    stage.keys("O enter 'it was sold' enter");
    assert_ne!(list(&book(&root)).rows[0].code, "4E");
}

#[test]
fn what_cannot_be_saved_is_kept_told_and_saved_later() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("0");
    // The record's folder is gone and a file stands in its place: nothing can be written.
    std::fs::rename(root.join("log"), root.join("away")).expect("moved");
    std::fs::write(root.join("log"), "in the way").expect("written");
    stage.keys("0 0");
    let text = stage.text(80, 24);
    assert!(text.contains("NOT SAVED"), "{text}");
    stage.keys("ctrl-c");
    assert!(stage.text(80, 24).contains("save to another folder"));
    std::fs::remove_file(root.join("log")).expect("removed");
    std::fs::rename(root.join("away"), root.join("log")).expect("moved back");
    stage.keys("1");
    assert!(
        stage.text(80, 24).contains("nothing was lost"),
        "{}",
        stage.text(80, 24)
    );
    assert!(stage.app.unsaved_lines().is_empty());
    let looks = book(&root).history().walks[0].looks.len();
    assert!(looks >= 3, "{looks} looks on disk");
}

#[test]
fn another_folder_takes_what_this_one_refuses() {
    let mut stage = begun();
    let root = stage.dir.path().to_owned();
    stage.keys("0");
    std::fs::rename(root.join("log"), root.join("away")).expect("moved");
    std::fs::write(root.join("log"), "in the way").expect("written");
    let stick = tempfile::tempdir().expect("a folder");
    stage.keys("0 ctrl-c 2");
    for c in stick.path().to_string_lossy().chars() {
        let key = c.to_string().parse().expect("a key");
        let _ = stage.app.on(Incoming::Key(key));
    }
    stage.keys("enter");
    assert!(
        stage.app.unsaved_lines().is_empty(),
        "{}",
        stage.text(80, 24)
    );
    assert!(stick.path().join("log").is_dir());
}

#[test]
fn the_list_is_held_against_a_plan_and_stays_as_it_was() {
    let mut stage = Stage::demo();
    stage.keys("d");
    let before = stage.text(80, 24);
    stage.keys("P");
    let asked = stage.text(80, 24);
    assert!(asked.contains("Held against which plan?") && asked.contains("next passage"));
    assert!(!asked.contains("usual:"), "not against itself:\n{asked}");
    stage.keys("2");
    let shown = stage.text(80, 24);
    let words = shown
        .lines()
        .filter_map(|line| Some(line.strip_prefix("│ ")?.get(..5)?.to_owned()));
    let shifts: Vec<_> = words.filter(|w| w == "rises" || w == "falls").collect();
    assert!(shifts.len() > 3 && shifts[0] == "rises", "{shown}");
    assert!(shifts.is_sorted_by(|a, b| a >= b), "{shifts:?}");
    stage.keys("esc");
    assert_eq!(stage.text(80, 24), before);
}
