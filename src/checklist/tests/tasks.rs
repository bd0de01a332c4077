use std::collections::HashSet;

use crate::checklist::list::Closing;
use crate::checklist::task::Every;
use crate::checklist::*;
use crate::text::width;

const OWN: &str = r#"{
  "type": "service-tasks",
  "tasks": [
    {
      "id": "sail-drive-ring",
      "title": "Sail-drive ring",
      "scope": "machine",
      "item": "stern-tube-hose",
      "every": { "hours": 2000, "months": 84 },
      "first": { "hours": 1000 },
      "disturbs": ["stern-tube-hose"],
      "owes": [{ "item": "stern-tube-hose", "after": "next-morning", "why": "dry" }],
      "steps": [{ "caution": "Hauled out only.", "do": "Renew the ring." }],
      "who": "yard",
      "where": "hauled-out",
      "source": "the handbook, page 12"
    }
  ]
}"#;

fn told(from: &str, to: &str) -> String {
    assert!(OWN.contains(from), "{from}");
    let text = OWN.replacen(from, to, 1);
    let found = check_file("my.json", &text, Catalogue::built_in()).expect_err("a fault");
    let told: Vec<_> = found.iter().map(ToString::to_string).collect();
    told.join("\n").replace("my.json ", "")
}

fn tasks() -> &'static [Task] {
    Library::built_in().tasks()
}

#[test]
fn the_leak_run_asks_every_joint_a_task_disturbs() {
    let library = Library::built_in();
    let lists = library.checklists().iter();
    let run = lists
        .filter(|c| c.closes_with == Closing::LeakRun)
        .flat_map(|c| &c.phases);
    let asked: HashSet<&str> = run
        .flat_map(|p| &p.rows)
        .flat_map(|r| &r.items)
        .map(String::as_str)
        .collect();
    let missing: Vec<_> = tasks()
        .iter()
        .flat_map(|t| t.disturbs.iter().map(move |item| (&t.id, item)))
        .filter(|(_, item)| !asked.contains(item.as_str()))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn what_restarts_has_readings_to_restart() {
    let catalogue = Catalogue::built_in();
    for task in tasks() {
        for id in &task.restarts {
            let item = catalogue.item(id).expect("known");
            assert!(
                item.reading.is_some() || item.look_every_days.is_some(),
                "{}: {id}",
                task.id
            );
        }
    }
}

#[test]
fn work_on_the_sea_side_on_fuel_and_on_what_turns_begins_with_a_caution() {
    let warned = |task: &Task, words: &[&str]| {
        let first = task.steps.first().and_then(|s| s.caution.as_deref());
        first.is_some_and(|c| words.iter().any(|w| c.to_lowercase().contains(w)))
    };
    let catalogue = Catalogue::built_in();
    for task in tasks() {
        let fluid = |fluid| {
            let mut items = task.disturbs.iter().filter_map(|id| catalogue.item(id));
            items.any(|i| i.fluid == Some(fluid))
        };
        if fluid(Fluid::RawWater) {
            assert!(warned(task, &["seacock", "sea side"]), "{}", task.id);
        }
        if fluid(Fluid::Fuel) {
            assert!(warned(task, &["flame", "spray"]), "{}", task.id);
        }
        assert!(
            task.steps.iter().any(|s| s.caution.is_some()),
            "{}",
            task.id
        );
    }
}

#[test]
fn filters_name_their_turn_nowhere_but_ask_for_it() {
    let turned: Vec<_> = tasks().iter().filter(|t| t.turn).map(|t| &t.id).collect();
    assert_eq!(
        turned,
        ["oil-and-filter", "fuel-prefilter", "fuel-fine-filter"]
    );
    for task in tasks().iter().filter(|t| t.turn) {
        let steps = task.steps.iter().map(|s| s.action.as_str());
        let steps = steps.collect::<Vec<_>>().join(" ");
        assert!(steps.contains("printed on"), "{}", task.id);
        assert!(steps.to_lowercase().contains("count off"), "{}", task.id);
        let named = ["1/4", "1/2", "3/4", "quarter", "half a turn"];
        assert!(!named.iter().any(|n| steps.contains(n)), "{}", task.id);
    }
}

#[test]
fn oil_and_filter_are_due_by_hours_or_months_and_sooner_the_first_time() {
    let oil = Library::built_in()
        .task("oil-and-filter")
        .expect("built in");
    let bounds = |hours, months| Every { hours, months };
    assert_eq!(oil.every, bounds(Some(100), Some(6)));
    assert_eq!(oil.first, bounds(Some(50), None));
    assert_eq!(oil.capacity, Some(Capacity::Sump));
}

#[test]
fn titles_fit_a_list_and_no_two_are_alike() {
    let mut titles = HashSet::new();
    for task in tasks() {
        assert!(width(&task.title) <= 32, "{}", task.title);
        assert!(titles.insert(&task.title), "{}", task.title);
    }
}

#[test]
fn a_users_task_is_added_and_a_built_in_one_replaced() {
    let own = |text: String| ("my.json".to_owned(), text);
    let library = Library::with_user_files(&[own(OWN.to_owned())]).expect("good");
    assert_eq!(library.tasks().len(), tasks().len() + 1);
    assert!(library.task("sail-drive-ring").is_some());
    let replaced = OWN.replace("sail-drive-ring", "gearbox-oil");
    let library = Library::with_user_files(&[own(replaced)]).expect("good");
    assert_eq!(library.tasks().len(), tasks().len());
    let task = library.task("gearbox-oil").expect("still there");
    assert_eq!(task.title, "Sail-drive ring");
}

#[test]
fn a_task_keeps_to_its_rules() {
    for (from, to, expected) in [
        (
            "\"item\": \"stern-tube-hose\",\n      \"every\"",
            "\"item\": \"stern-tube-house\",\n      \"every\"",
            "line 8, column 15: field `tasks[0].item`: 'stern-tube-house' is no item known here; nearest is 'stern-tube-hose'",
        ),
        (
            "[\"stern-tube-hose\"]",
            "[\"stern-tube-hose\", \"stern-tube-hose\"]",
            "line 11, column 39: field `tasks[0].disturbs[1]`: the item 'stern-tube-hose' stands here twice",
        ),
        (
            "\"hours\": 1000",
            "\"hours\": 3000",
            "line 10, column 16: field `tasks[0].first`: the first interval is longer than the later ones",
        ),
        (
            "\"months\": 84",
            "\"months\": 0",
            "line 9, column 43: field `tasks[0].every.months`: expected 1 to 600 months",
        ),
        (
            "[{ \"caution\": \"Hauled out only.\", \"do\": \"Renew the ring.\" }]",
            "[]",
            "line 13, column 16: field `tasks[0].steps`: a task needs a step",
        ),
        (
            "\"scope\": \"machine\"",
            "\"scope\": \"boat\", \"capacity\": \"sump\"",
            "line 7, column 36: field `tasks[0].capacity`: a capacity belongs to a machine, and the task to the boat\n\
             line 8, column 15: field `tasks[0].item`: each machine has its own, and the task is the boat's\n\
             line 11, column 20: field `tasks[0].disturbs[0]`: each machine has its own, and the task is the boat's\n\
             line 12, column 26: field `tasks[0].owes[0].item`: each machine has its own, and the task is the boat's",
        ),
        (
            "\"after\": \"next-morning\"",
            "\"after\": \"next-mornin\"",
            "line 12, column 54: field `tasks[0].owes[0].after`: 'next-mornin' is no word known here; nearest is 'next-morning'; known are next-morning, first-heat-cycle, first-hours",
        ),
        (
            "\"source\"",
            "\"torque\": 5, \"source\"",
            "line 16, column 17: field `tasks[0].torque`: 'torque' is no field known here",
        ),
    ] {
        assert_eq!(told(from, to), expected, "{from}");
    }
}
