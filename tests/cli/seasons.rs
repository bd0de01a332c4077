//! The seasons by command: laid up, what is due meanwhile, what stands open, rows for other boats.

use handlamp::checklist::Library;
use serde_json::{Value, json};

use super::harness::{Place, flat};

/// Laid up on 10 October with the impeller out, asked a month later.
fn laid_up() -> Place {
    let mut place = Place::with_boat().of_known_age(&["main"]);
    place.at("2026-10-10T12:00:00+02:00");
    place.record(
        &json!({"type": "walk", "id": "oct", "checklist": "lay-up", "at": "2026-10-10T10:00:00+02:00",
        "looks": [{"item": "bilge-water", "phase": "as-found", "grade": "sound"}]}),
    );
    place.record(
        &json!({"type": "opened", "item": "raw-water-impeller", "machine": "main", "at": "2026-10-10T11:00:00+02:00",
        "what": "impeller out", "forbids": "start"}),
    );
    place.at("2026-11-20T09:00:00+01:00");
    place
}

fn standing(place: &Place) -> Option<Value> {
    let due = place.json("due", &["due"]);
    let rows = due["rows"].as_array().cloned().unwrap_or_default();
    rows.into_iter().find(|row| row["what"] == "standing")
}

#[test]
fn ready_due_and_verdict_say_that_she_is_laid_up() {
    let place = laid_up();
    let ready = place.json("ready", &["ready"]);
    let told = &ready["laid_up"][0];
    assert_eq!(told["machine"], "main");
    assert_eq!(told["fitted_out"], false);
    let words = told["words"].as_str().expect("words");
    assert!(words.starts_with("laid up since 10 Oct 2026: "), "{words}");
    let run = place.run(&["ready"]);
    assert_eq!(run.code, Some(1));
    assert!(
        run.stdout.contains("laid up since 10 Oct 2026"),
        "{}",
        run.stdout
    );
    let row = standing(&place).expect("the look of each month");
    assert_eq!(row["due"], true);
    assert_eq!(row["due_date"], "2026-11-09");
    let run = place.run(&["verdict", "--walk", "oct"]);
    let said = flat(&run.stdout);
    assert!(said.contains("impeller out"), "{said}");
    assert!(
        said.contains("laid up since 10 Oct 2026; next look by 9 Nov 2026"),
        "{said}"
    );
    // Looked at, it is due a month later; launched, never.
    place.record(
        &json!({"type": "walk", "id": "nov", "checklist": "standing", "at": "2026-11-19T10:00:00+01:00",
        "looks": [{"item": "bilge-water", "grade": "sound", "phase": standing_phase(&place)}]}),
    );
    assert_eq!(standing(&place).expect("a look")["due_date"], "2026-12-19");
    place.record(
        &json!({"type": "walk", "id": "dec", "checklist": "launch", "at": "2026-11-19T12:00:00+01:00",
        "looks": [{"item": "bilge-water", "grade": "sound", "phase": "slings"}]}),
    );
    assert!(standing(&place).is_none());
    assert_eq!(place.json("ready", &["ready"])["laid_up"], json!([]));
    let said = flat(&place.run(&["verdict", "--walk", "dec"]).stdout);
    assert!(
        said.contains("impeller out"),
        "launched or not, it stands open: {said}"
    );
}

fn standing_phase(place: &Place) -> String {
    let list = place.json("checklist-show", &["checklist", "show", "standing"]);
    let phases = list["phases"].as_array().expect("phases");
    let asks = |phase: &&Value| phase.to_string().contains("\"item\":\"bilge-water\"");
    let phase = phases.iter().find(asks).expect("the bilge is looked at");
    phase["id"].as_str().expect("id").to_owned()
}

#[test]
fn what_the_calendar_ends_while_she_stands_is_due_at_launch_in_every_answer() {
    let mut place = laid_up();
    place.at("2027-12-01T09:00:00+01:00");
    let due = place.json("due", &["due"]);
    let rows = due["rows"].as_array().expect("rows");
    let launch: Vec<&Value> = rows
        .iter()
        .filter(|r| r["at_launch"] == true && r["due"] == true)
        .collect();
    assert!(!launch.is_empty());
    let run = place.run(&["due"]);
    assert!(run.stdout.contains("Due at launch"), "{}", run.stdout);
    for row in launch {
        let title = row["title"].as_str().expect("title");
        assert!(
            flat(&run.stdout).contains(title),
            "{title} is not in\n{}",
            run.stdout
        );
    }
    // A report names them among what has come due.
    let file = place.path().join("now.md");
    let run = place.run(&["report", "now", "--to", &file.to_string_lossy()]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
}

#[test]
fn a_step_of_an_own_checklist_is_checked_by_its_field() {
    let place = Place::empty();
    let row = |step: Value| {
        let list = json!({"type": "checklist", "id": "own-winter", "title": "My winter", "purpose": "Is she put away?",
            "closes_with": "season", "phases": [{"id": "cold", "title": "Cold", "state": "cold",
            "rows": [{"station": "front", "items": ["drive-belt"], "step": step}]}]});
        place.file("winter.json", &list.to_string())
    };
    let good = row(json!({"do": "Slacken it.", "source": "judgement",
        "opens": [{"item": "drive-belt", "what": "belt slack", "forbids": "start"}]}));
    assert_eq!(place.run(&["checklist", "check", &good]).code, Some(0));
    let faults = [
        (json!({"do": " ", "source": "judgement"}), "step.do"),
        (json!({"do": "Slacken it.", "source": ""}), "step.source"),
        (
            json!({"do": "Slacken it.", "source": "judgement", "opens": [{"item": "stuffing-box", "what": "x", "forbids": "start"}]}),
            "step.opens[0].item",
        ),
        (
            json!({"do": "Slacken it.", "source": "judgement", "opens": [{"item": "drive-belt", "what": "x", "forbids": "swim"}]}),
            "forbids",
        ),
        (
            json!({"do": "Slacken it.", "source": "judgement", "tidy": 1}),
            "tidy",
        ),
    ];
    for (step, field) in faults {
        let run = place.run(&["checklist", "check", &row(step)]);
        assert_ne!(run.code, Some(0), "{field}");
        let said = format!("{}{}", run.stdout, run.stderr);
        assert!(
            said.contains(field) && said.contains("winter.json"),
            "{said}"
        );
    }
}

#[test]
fn the_profile_says_where_she_lies_up_and_takes_no_other_word() {
    let place = Place::with_boat();
    let run = place.run(&["boat", "put", "lies_up", "ashore"]);
    assert_eq!(run.code, Some(0), "{}", run.stderr);
    let shown = place.run(&["boat", "show", "--json"]);
    let shown: Value = serde_json::from_str(&shown.stdout).expect("JSON");
    assert!(
        shown.to_string().contains("\"lies_up\":\"ashore\""),
        "{shown}"
    );
    let run = place.run(&["boat", "put", "lies_up", "aloft"]);
    assert_eq!(run.code, Some(2));
    assert!(run.stderr.contains("afloat, ashore"), "{}", run.stderr);
}

/// US Army TB 740-97-4, paragraph 29: half a fluid ounce of preservative oil in a cylinder up to 25 cubic
/// inches, one to 50, one and a half to 75, two above; freezing of batteries by specific gravity from two
/// published tables that agree within 3 C; 30 to 70 % of coolant by climate, 50 % the rule (university
/// extension text); a belt counts as used after ten minutes (US Army TM 9-4310-397-14).
#[test]
fn the_steps_say_the_figures_of_their_sources() {
    let steps = |list: &str| -> Vec<(String, String)> {
        let list = Library::built_in().checklist(list).expect("built in");
        let rows = list.phases.iter().flat_map(|phase| &phase.rows);
        let steps = rows.filter_map(|row| row.step.as_ref());
        steps
            .map(|step| (step.action.clone(), step.source.clone()))
            .collect()
    };
    let said = |list: &str, figures: &[&str]| {
        let all = steps(list);
        let found = all
            .iter()
            .find(|(action, _)| figures.iter().all(|f| action.contains(f)));
        found
            .unwrap_or_else(|| panic!("{figures:?} is not in {list}"))
            .1
            .clone()
    };
    const CUBIC_INCH: f64 = 0.016_387_064;
    const OUNCE: f64 = 29.573_529_562_5;
    let litres = [25.0, 50.0, 75.0].map(|inches| format!("{:.2} L", inches * CUBIC_INCH));
    assert_eq!(litres, ["0.41 L", "0.82 L", "1.23 L"]);
    let amounts = [0.5, 1.0, 1.5, 2.0].map(|ounces: f64| (ounces * OUNCE / 5.0).round() * 5.0);
    assert_eq!(amounts, [15.0, 30.0, 45.0, 60.0]);
    let source = said("lay-up", &["0.41 L 15 mL", "0.82 L 30", "1.23 L 45", "60"]);
    assert!(source.contains("TB 740-97-4 para 29"), "{source}");
    said("lay-up", &["50 %", "30 to 70 %", "never neat"]);
    said("lay-up", &["0.025"]);
    said("standing", &["1.265", "minus 7 C"]);
    said("standing", &["1.225", "minus 37 C", "1.150", "minus 15"]);
    said("launch", &["5 to 10 s", "30 s in all"]);
    let source = said("launch", &["After ten minutes"]);
    assert!(source.contains("TM 9-4310-397-14"), "{source}");
}

/// What practice insists on: what is taken out, closed or slackened says what it forbids, and oil is changed
/// while she is afloat and warm, before the circuits are filled against frost.
#[test]
fn what_a_lay_up_leaves_open_forbids_what_practice_says() {
    let list = Library::built_in().checklist("lay-up").expect("built in");
    let place = |item: &str, task: Option<&str>| {
        list.phases.iter().position(|phase| {
            phase.rows.iter().any(|row| {
                let step = row.step.as_ref();
                let is = |task: &str| step.and_then(|s| s.task.as_deref()) == Some(task);
                let opens = step.is_some_and(|s| s.opens.iter().any(|o| o.item == item));
                task.map_or(opens, is)
            })
        })
    };
    let oil = place("", Some("oil-and-filter")).expect("oil is changed");
    let impeller = place("raw-water-impeller", None).expect("it comes out");
    assert!(oil < impeller, "oil hot and afloat, the impeller out last");
    let rows = list.phases.iter().flat_map(|phase| &phase.rows);
    let opens: Vec<_> = rows
        .filter_map(|row| row.step.as_ref())
        .flat_map(|s| &s.opens)
        .collect();
    for (item, forbids) in [
        ("raw-water-impeller", "start"),
        ("drive-belt", "start"),
        ("air-intake-filter", "start"),
        ("exhaust-outlet", "start"),
        ("raw-water-strainer", "float"),
    ] {
        let of = opens.iter().find(|leaves| leaves.item == item);
        let of = of.unwrap_or_else(|| panic!("{item} is left open by no step"));
        assert_eq!(of.forbids.as_str(), forbids, "{item}");
    }
}
