//! Before leaving: the plans, the form typed in one go, the three groups, jobs taken in and left out.

use serde_json::{Value, json};

use crate::stage::{Stage, words};

const SIZES: [(u16, u16); 3] = [(80, 24), (60, 20), (140, 45)];

/// A boat with worn things of yesterday, no stop among them.
fn boat() -> Stage {
    let mut stage = Stage::empty();
    stage.keys("1 'Grey Plover' enter 2 '1243,6' enter");
    stage.take(
        &json!({"type": "walk", "id": "may", "checklist": "daily", "at": "2026-05-02T08:00:00+02:00",
            "looks": [
                {"item": "drive-belt", "grade": "worn"},
                {"item": "engine-mounts", "grade": "worn"},
                {"item": "shift-cable", "grade": "worn"},
                {"item": "fuel-prefilter-bowl", "grade": "worn"},
                {"item": "stuffing-box", "grade": "worn"},
            ]})
        .to_string(),
    );
    let mut stage = stage.killed();
    stage.of_known_age();
    stage
}

#[track_caller]
fn shots(stage: &Stage, name: &str) {
    for (columns, rows) in SIZES {
        insta::assert_snapshot!(
            format!("{name}-{columns}x{rows}"),
            stage.shot(columns, rows)
        );
    }
}

fn plan(stage: &Stage, name: &str) -> Value {
    let book = stage.book();
    let plan = book.history().plans.get(name).expect("a plan");
    serde_json::to_value(plan).expect("JSON")
}

#[test]
fn a_plan_is_typed_in_one_go_and_enter_passes_what_stands_there() {
    let mut stage = boat();
    stage.keys("f8");
    assert!(words(&stage.text(140, 45)).contains("no plan of your own yet"));
    stage.keys("ctrl-n enter enter enter enter enter enter enter enter");
    let known = plan(&stage, "passage");
    assert_eq!(known["hours_per_day"], 8.0);
    assert_eq!(known["days"], 3.0);
    assert_eq!(known["work"], 360);
    let shown = words(&stage.text(140, 45));
    assert!(shown.contains("24 h and 3 d, 8 h a day,"), "{shown}");
    // Typed over what stands there, left half way and gone on with: nothing of it is lost.
    stage.keys("ctrl-n ctrl-u 'crossing' enter ctrl-u '20' enter esc esc esc ctrl-n enter");
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("20"), "{shown}");
    stage.keys("enter ctrl-u '4' enter ctrl-u 'offshore' enter ctrl-u '2h30' enter '300' enter ctrl-u 'owner, mechanic=1h' enter '5' enter");
    let known = plan(&stage, "crossing");
    assert_eq!(known["hours_per_day"], 20.0);
    assert_eq!(known["work"], 150);
    assert_eq!(known["spend"], 300.0);
    assert_eq!(known["hands"][1]["minutes"], 60);
    assert_eq!(known["ashore_days"], 5.0);
    assert!(words(&stage.text(100, 400)).contains("WHAT NEEDS HER OUT OF THE WATER"));
    let shown = words(&stage.text(140, 45));
    assert!(
        shown.contains("80 h and 4 d, 20 h a day, in offshore waters"),
        "{shown}"
    );
    // What is wrong is said, and stays to be put right.
    stage.keys("ctrl-n enter ctrl-u '30' enter");
    let shown = words(&stage.text(80, 24));
    assert!(shown.contains("expected 0 to 24"), "{shown}");
}

#[test]
fn jobs_are_taken_in_and_left_out_and_stay_so() {
    let mut stage = boat();
    stage.keys("_ ctrl-n enter enter enter enter ctrl-u '2h' enter enter enter enter down up");
    shots(&stage, "leaving");
    let item = |stage: &Stage| stage.text(140, 45);
    let before = item(&stage);
    stage.keys("end");
    stage.keys("home");
    assert_eq!(item(&stage), before, "to the end and back is where it was");
    // What must be done stays; the first job that is weighed is left out.
    let mut musts = 0;
    loop {
        stage.keys("left");
        let shown = words(&stage.text(140, 45));
        if shown.contains("left out; the rest is chosen anew") {
            break;
        }
        assert!(
            shown.contains("it must be done, whatever is taken in or left out"),
            "{shown}"
        );
        musts += 1;
        assert!(musts < 60, "no job can be left out");
        stage.keys("right down");
    }
    assert!(musts > 0);
    shots(&stage, "leaving-left-out");
    stage.keys("enter");
    shots(&stage, "leaving-job");
    stage.keys("esc d");
    let kept = plan(&stage, "passage");
    assert_eq!(kept["without"].as_array().map(Vec::len), Some(1), "{kept}");
    // In again, and in whatever it gains; the plan on record says so in a new run as well.
    stage.keys("f8");
    assert!(words(&stage.text(100, 400)).contains("you left it out"));
    let mut stage = stage.killed();
    stage.keys("f8");
    assert!(words(&stage.text(100, 400)).contains("you left it out"));
}

/// The screen says what the command says: the same three groups, in the same words.
#[test]
fn the_screen_tells_no_other_groups_than_the_rules() {
    let mut stage = boat();
    stage.keys("f8 ctrl-n enter enter enter enter ctrl-u '90min' enter enter enter enter");
    let book = stage.book();
    let condition = book.condition();
    let known = book.history().plans.get("passage").expect("a plan");
    let scenario = condition.under(known, None);
    let asked = known.asked(scenario, None);
    let rows = handlamp::service::leaving::coming(&condition, book.history(), None);
    let outlook = condition.outlook(book.history(), (scenario, None), rows);
    let leaving = condition
        .leaving(book.history(), &asked, &outlook)
        .expect("an answer");
    let shown = words(&stage.text(100, 400));
    for group in leaving.said(&asked, false) {
        assert!(
            shown.contains(&group.group.title().to_uppercase()),
            "{shown}"
        );
        for row in &group.rows {
            assert!(
                shown.contains(&words(&row.head.to_string())),
                "{}: {shown}",
                row.head
            );
        }
        for told in &group.after {
            assert!(shown.contains(&words(told)), "{told}: {shown}");
        }
    }
    for told in &leaving.not_here {
        assert!(shown.contains(&words(told)), "{told}: {shown}");
    }
    assert!(shown.contains("Key out, engine still and cold"));
}

/// The owner's own minutes: what counts stands in the line, what is typed is on record and chosen with at once,
/// what was left half typed stands there again.
#[test]
fn the_minutes_of_a_job_are_said_with_one_key() {
    let mut stage = boat();
    stage.keys("f8 ctrl-n enter enter enter enter ctrl-u '2h' enter enter enter enter");
    let said = |stage: &Stage| {
        let book = stage.book();
        book.history()
            .job_minutes
            .last()
            .map(|s| (s.rec.item.clone(), s.rec.minutes))
    };
    let mut down = 0;
    loop {
        stage.keys("ctrl-t");
        if stage.text(80, 24).contains("How long does it take here?") {
            break;
        }
        down += 1;
        assert!(down < 60, "no job has minutes");
        stage.keys("down");
    }
    // What is judged is not made one's own by Enter alone.
    stage.keys("enter");
    assert_eq!(said(&stage), None);
    stage.keys("ctrl-t '17' esc ctrl-t");
    assert!(
        words(&stage.text(80, 24)).contains("17"),
        "what was typed stays"
    );
    stage.keys("ctrl-u '0' enter");
    assert!(words(&stage.text(80, 24)).contains("expected 1 to 120000 minutes"));
    stage.keys("ctrl-u '17' enter");
    let (item, minutes) = said(&stage).expect("on record");
    assert!(item.is_some());
    assert_eq!(minutes, Some(17));
    let shown = words(&stage.text(140, 45));
    assert!(shown.contains("About 17 min by your own figure"), "{shown}");
    stage.keys("ctrl-t ctrl-u enter");
    assert_eq!(said(&stage).expect("on record").1, None);
    let shown = words(&stage.text(140, 45));
    assert!(!shown.contains("by your own figure"), "{shown}");
}
