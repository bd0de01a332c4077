//! What a role asks for, and what goes on counting though it does not.

use super::story::{Story, look};
use crate::assess::words::Verdict;
use crate::boat::Role;
use crate::checklist::{Catalogue, Grade, Library, Scope};
use crate::defects::condition::Condition;
use crate::defects::list::Scenario;
use crate::defects::verdicts::verdicts;

/// The story with its last machine in a role.
fn as_a(role: Role, mut story: Story) -> Story {
    story.boat.machines.last_mut().expect("a machine").role = role;
    story
}

/// A boat with one machine in a role.
fn boat(role: Role) -> Story {
    as_a(role, Story::new())
}

fn has(story: &Story, item: &str) -> bool {
    story.on(9.0).life(item, "main").is_some()
}

/// Items of the machine that are asked.
fn asked(condition: &Condition) -> Vec<&str> {
    let own = condition.lives.keys().filter(|s| s.machine.is_some());
    own.map(|s| s.item.as_str()).collect()
}

#[test]
fn each_role_is_asked_its_own_items_and_no_others() {
    let items = Catalogue::built_in().items().iter();
    let machines = items.filter(|i| i.scope == Scope::Machine && !i.called_for);
    for role in Role::ALL {
        let story = boat(*role);
        let condition = story.on(0.0);
        let asked = asked(&condition);
        for item in machines.clone() {
            assert_eq!(
                asked.contains(&&*item.id),
                item.is_for(*role),
                "{}",
                item.id
            );
        }
    }
    let names = |role| boat(role).on(0.0).lives.len();
    assert!(names(Role::Generator) < names(Role::Propulsion));
    let drive = [
        "stuffing-box",
        "gearbox-oil-level",
        "throttle-cable",
        "gear-response",
    ];
    let is_asked = |role, item: &str| has(&boat(role), item);
    assert!(drive.iter().all(|item| is_asked(Role::Propulsion, item)));
    assert!(!drive.iter().any(|item| is_asked(Role::Generator, item)));
    assert!(!is_asked(Role::Outboard, "drive-belt") && is_asked(Role::Outboard, "kill-cord"));
    // What the boat has once is hers because of a machine, or always.
    assert!(is_asked(Role::Outboard, "petrol-vapour") && is_asked(Role::Outboard, "bilge-water"));
    assert!(!is_asked(Role::Propulsion, "petrol-vapour"));
    assert!(is_asked(Role::Other, "bilge-water") && !is_asked(Role::Other, "kill-cord"));
}

/// The law of answers: a stop holds as it held, whatever role its machine is given.
#[test]
fn a_stop_on_what_a_role_does_not_ask_keeps_its_verdict() {
    for (item, grade) in [
        ("stuffing-box", Grade::Failed),
        ("throttle-cable", Grade::Failed),
        ("fuel-hoses", Grade::Failing),
        ("kill-cord", Grade::Failed),
    ] {
        for role in Role::ALL {
            let found = Story::new().daily(0.0, [look(item, grade)]);
            let stops = |story: &Story| {
                let stops = story.on(1.0).open_stops().into_iter();
                stops.map(|stop| stop.passed()).collect::<Vec<_>>()
            };
            let before = stops(&found);
            let story = as_a(*role, found);
            assert_eq!(stops(&story), before, "{item} as {role}");
            let now = story.judged_walk(1.0, "daily-0").now;
            assert!(
                matches!(now, Some(Verdict::DoNotRun | Verdict::DoNotLeave)),
                "{item} as {role}: {now:?}"
            );
            assert!(story.row(1.0, item).is_some(), "{item} as {role}");
        }
    }
}

#[test]
fn what_a_role_does_not_ask_stays_until_nothing_is_left_to_say_of_it() {
    let generator = |story| as_a(Role::Generator, story);
    let box_is = |grade| Story::new().daily(0.0, [look("stuffing-box", grade)]);
    assert!(!has(&generator(box_is(Grade::Sound)), "stuffing-box"));
    let worn = box_is(Grade::Worn);
    assert!(has(&generator(worn.clone()), "stuffing-box"));
    // Put right it waits for a look, and a sound one ends it.
    let mended = worn.clone().repair(1.0, "stuffing-box");
    assert!(has(&generator(mended.clone()), "stuffing-box"));
    let seen = mended.daily(2.0, [look("stuffing-box", Grade::Sound)]);
    assert!(!has(&generator(seen), "stuffing-box"));
    let patched = worn.patch(1.0, "stuffing-box", "next harbour");
    let holds = patched.daily(2.0, [look("stuffing-box", Grade::Sound)]);
    assert!(has(&generator(holds), "stuffing-box"));
    // What is left open, and a look that is owed, without any look.
    let open = Story::new().opened(0.0, "stern-tube-hose", "clip off");
    assert!(has(&generator(open), "stern-tube-hose"));
    // Another machine's word of the same item says nothing of this one.
    let two = Story::with(&["main", "generator"]).daily(0.0, [look("stuffing-box", Grade::Worn)]);
    let two = as_a(Role::Generator, two).on(9.0);
    assert!(two.life("stuffing-box", "main").is_some());
    assert!(two.life("stuffing-box", "generator").is_none());
}

/// One look recorded after the other says what the whole history says.
#[test]
fn a_look_beside_the_role_comes_in_by_itself() {
    let before = boat(Role::Generator);
    let mut condition = before.on(1.0);
    let subject = condition.subject("stuffing-box", "main");
    for (grade, is_there) in [(Grade::Failed, true), (Grade::Sound, false)] {
        let story = before.clone().daily(0.0, [look("stuffing-box", grade)]);
        condition.retell(&subject, &story.history());
        assert_eq!(condition.lives.contains_key(&subject), is_there);
        let (exposure, waters) = condition.usual_plan();
        let list = condition.list(Scenario::new(exposure, waters), false);
        assert_eq!(list.rows.iter().any(|r| r.item == subject.item), is_there);
    }
}

#[test]
fn a_walk_that_is_not_for_its_machine_is_never_clear() {
    let sound = |list: &str, story: Story| {
        let items = Library::built_in().checklist(list).expect("built in");
        let items = items.phases.iter().flat_map(|p| &p.rows);
        let looks: Vec<_> = items
            .flat_map(|row| &row.items)
            .map(|item| look(item, Grade::Sound))
            .collect();
        let walked = story.of_known_age().walk(list, "main", 0.0, None, looks);
        let judged = walked.judged_walk(0.1, &format!("{list}-0"));
        let told: Vec<_> = judged.reasons.into_iter().map(|r| r.rule).collect();
        (judged.now, told.join("; "))
    };
    let (now, _) = sound("outboard", boat(Role::Outboard));
    assert_eq!(now, Some(Verdict::ClearToRun));
    let (now, told) = sound("daily", boat(Role::Outboard));
    assert_eq!(now, Some(Verdict::RunWithCare));
    assert!(told.contains("'daily' asks nothing of a machine with the role outboard"));
    let (now, told) = sound("daily", boat(Role::Other));
    assert_eq!(now, Some(Verdict::RunWithCare));
    assert!(
        told.contains("not covered here: main (role other)"),
        "{told}"
    );
    let notes = boat(Role::Other).on(0.0).notes();
    assert!(notes.len() == 1 && notes[0].starts_with("not covered here: main"));
    assert!(boat(Role::Outboard).on(0.0).notes().is_empty());
}

/// The verdicts on all walks in one pass are those of each walk alone.
#[test]
fn one_pass_judges_what_no_role_asks_for_like_each_walk_alone() {
    for role in Role::ALL {
        let story = Story::new()
            .daily(
                0.0,
                [
                    look("stuffing-box", Grade::Failed),
                    look("kill-cord", Grade::Worn),
                ],
            )
            .daily(1.0, [look("stuffing-box", Grade::Sound)])
            .daily(2.0, [look("drive-belt", Grade::Failing)]);
        let story = as_a(*role, story);
        let library = std::sync::Arc::new(Library::built_in().clone());
        let all = verdicts(&story.boat, &library, &story.history());
        let alone = ["daily-0", "daily-1", "daily-2"].map(|id| story.judged_walk(2.1, id).at_walk);
        assert_eq!(all, alone, "{role}");
    }
}

/// Any smell of petrol holds every machine (common practice, no single source).
#[test]
fn petrol_smelled_on_the_outboards_walk_stops_the_engine_too() {
    let two = Story::with(&["main", "dinghy"]);
    let story = as_a(Role::Outboard, two).daily(0.0, [look("bilge-water", Grade::Sound)]);
    let clear = story.judged_walk(1.0, "daily-0").now;
    assert_ne!(clear, Some(Verdict::DoNotRun));
    let smelled = [look("petrol-vapour", Grade::Failing)];
    let story = story.walk("outboard", "dinghy", 0.5, None, smelled);
    assert_eq!(
        story.judged_walk(1.0, "daily-0").now,
        Some(Verdict::DoNotRun)
    );
}

#[test]
fn a_generators_gas_comes_first_and_its_start_is_locked_out() {
    let plan = |role| {
        let condition = boat(role).on(0.0);
        let list = condition.library.checklist("daily").expect("built in");
        condition.compose(list, &[], &[], "main")
    };
    let (engine, generator) = (plan(Role::Propulsion), plan(Role::Generator));
    let rows = &generator.phases[0].rows;
    let place = |item: &str| rows.iter().position(|r| r.items.iter().any(|i| i == item));
    let belt = place("drive-belt").expect("asked");
    for gas in [
        "engine-space-smell",
        "carbon-monoxide-alarm",
        "exhaust-hose",
        "exhaust-elbow",
    ] {
        assert!(place(gas).expect("asked") < belt, "{gas}");
    }
    let before = |plan: &crate::walk::Plan| plan.phases[0].before.clone().expect("cautions");
    assert!(before(&generator).contains("lock it out before hands go in"));
    assert!(!before(&engine).contains("lock it out"));
    assert!(generator.phases.iter().all(|p| p.id != "in-gear"));
    let tries = generator_task_is_due();
    assert!(tries, "its shut-downs are tried on a date");
}

fn generator_task_is_due() -> bool {
    let story = boat(Role::Generator);
    let condition = story.on(0.0);
    let rows = crate::service::due::due(&condition, &story.history());
    rows.iter()
        .any(|row| row.id == "generator-shut-downs" && row.due)
}
