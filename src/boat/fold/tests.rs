//! Two or three devices change one profile; what is left is what each of them changed.

use proptest::prelude::*;

use super::*;
use crate::boat::Waters;

fn boat() -> Boat {
    serde_json::from_str(
        r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15,
            "machines":[{"id":"main","name":"Main engine","sump":"7 L","without":["stuffing-box"]}]}"#,
    )
    .expect("a boat")
}

fn machine(id: &str) -> Machine {
    let text = format!(r#"{{"id":"{id}","name":"{id}"}}"#);
    serde_json::from_str(&text).expect("a machine")
}

/// Records told one after another, each naming what it was made from.
#[derive(Default)]
struct Told(Vec<(String, Owned)>);

#[derive(Clone)]
enum Owned {
    Set(Box<ProfileSet>),
    Retired(Retired),
}

impl Told {
    fn set(&mut self, id: &str, base: &[&str], boat: Boat) {
        let mut set = ProfileSet::from(boat);
        set.base = base.iter().map(|b| (*b).to_owned()).collect();
        self.0.push((id.to_owned(), Owned::Set(Box::new(set))));
    }

    fn retire(&mut self, id: &str, base: &[&str], machine: &str) {
        let retired = Retired {
            machine: Some(machine.to_owned()),
            base: base.iter().map(|b| (*b).to_owned()).collect(),
            ..Retired::default()
        };
        self.0.push((id.to_owned(), Owned::Retired(retired)));
    }

    fn fold(&self) -> Folded {
        fold(&nodes(&self.0))
    }

    fn boat(&self) -> Boat {
        self.fold().boat.expect("a profile")
    }
}

fn nodes(told: &[(String, Owned)]) -> Vec<Node<'_>> {
    fn step(owned: &Owned) -> ProfileStep<'_> {
        match owned {
            Owned::Set(set) => ProfileStep::Set(set),
            Owned::Retired(retired) => ProfileStep::Retired(retired),
        }
    }
    told.iter()
        .map(|(id, owned)| (id.as_str(), step(owned)))
        .collect()
}

fn ids(boat: &Boat) -> Vec<&str> {
    boat.machines.iter().map(|m| m.id.as_str()).collect()
}

#[test]
fn one_profile_is_itself_and_none_is_none() {
    assert_eq!(Told::default().fold(), Folded::default());
    let mut told = Told::default();
    told.set("p0", &[], boat());
    assert_eq!(told.boat(), boat());
    assert_eq!(told.fold().heads, ["p0"]);
}

#[test]
fn two_devices_keep_both_changes_and_the_newer_of_one_field() {
    let mut told = Told::default();
    told.set("p0", &[], boat());
    let mut with_generator = boat();
    with_generator.machines.push(machine("generator"));
    with_generator.waters = Waters::Offshore;
    told.set("a1", &["p0"], with_generator);
    let mut renamed = boat();
    renamed.name = "Kittiwake".into();
    renamed.machines[0].without.clear();
    told.set("b1", &["p0"], renamed);
    let both = told.boat();
    assert_eq!(
        ids(&both),
        ["main", "generator"],
        "a machine it never knew stays"
    );
    assert_eq!(
        (both.name.as_str(), both.waters),
        ("Kittiwake", Waters::Offshore)
    );
    assert!(both.machines[0].without.is_empty());
    assert_eq!(both.machines[0].sump, boat().machines[0].sump);
    let mut folded = told.fold();
    folded.heads.sort();
    assert_eq!(folded.heads, ["a1", "b1"]);
    let mut ocean = boat();
    ocean.waters = Waters::Ocean;
    told.set("c1", &["p0"], ocean);
    assert_eq!(told.boat().waters, Waters::Ocean, "the newest of one field");
}

fn with_tank(name: &str, litres: Option<&str>) -> Boat {
    let mut with = boat();
    let capacity = litres.map(|l| format!(r#","capacity":"{l}""#));
    let text = format!(
        r#"{{"id":"fuel","name":"{name}"{}}}"#,
        capacity.unwrap_or_default()
    );
    with.tanks = vec![serde_json::from_str(&text).expect("a tank")];
    with
}

/// Tanks and banks go by id and field by field, and leave with their fields.
#[test]
fn what_two_devices_say_of_one_tank_stands_side_by_side() {
    let mut told = Told::default();
    told.set("p0", &[], with_tank("Fuel", None));
    told.set("a1", &["p0"], with_tank("Fuel", Some("120 L")));
    told.set("b1", &["p0"], with_tank("Day tank", None));
    assert_eq!(
        told.boat().tanks,
        with_tank("Day tank", Some("120 L")).tanks
    );
    let mut gone = Told::default();
    gone.set("p0", &[], with_tank("Fuel", None));
    gone.set("a1", &["p0"], boat());
    assert_eq!(gone.boat(), boat());
    gone.set("b1", &["p0"], with_tank("Fuel", Some("120 L")));
    assert!(gone.boat().tanks.is_empty(), "taken out by one who knew it");
    gone.set("c1", &["a1", "b1"], with_tank("Fuel", Some("80 L")));
    assert_eq!(gone.boat().tanks, with_tank("Fuel", Some("80 L")).tanks);
}

#[test]
fn a_change_made_after_a_merge_takes_back_nothing_it_did_not_mean() {
    let mut told = Told::default();
    told.set("p0", &[], boat());
    let mut a = boat();
    a.machines[0].without.push("drive-belt".into());
    told.set("a1", &["p0"], a);
    let mut b = boat();
    b.waters = Waters::Offshore;
    told.set("b1", &["p0"], b);
    // Somebody who knows a alone says that the belt is there after all.
    told.set("c1", &["a1"], boat());
    // Somebody who knows a and b, but not c, changes the name.
    let mut merged = boat();
    merged.waters = Waters::Offshore;
    merged.machines[0].without.push("drive-belt".into());
    merged.name = "Kittiwake".into();
    told.set("d1", &["a1", "b1"], merged);
    let all = told.boat();
    assert_eq!(all.machines[0].without, ["stuffing-box"]);
    assert_eq!(
        (all.name.as_str(), all.waters),
        ("Kittiwake", Waters::Offshore)
    );
}

#[test]
fn records_without_a_base_are_held_against_the_one_before() {
    let mut told = Told::default();
    told.set("p0", &[], boat());
    let mut more = boat();
    more.machines.push(machine("generator"));
    told.set("a1", &[], more);
    let mut other = boat();
    other.waters = Waters::Sheltered;
    told.set("b1", &["gone"], other);
    let all = told.boat();
    assert_eq!(
        (ids(&all), all.waters),
        (vec!["main", "generator"], Waters::Sheltered)
    );
}

#[test]
fn a_machine_leaves_by_a_record_of_its_own_and_comes_back_by_a_profile() {
    let mut told = Told::default();
    let mut two = boat();
    two.machines.push(machine("generator"));
    told.set("p0", &[], two.clone());
    told.set("p1", &["p0"], boat());
    assert_eq!(
        ids(&told.boat()),
        ["main", "generator"],
        "merely lacking it"
    );
    told.retire("r1", &["p1"], "generator");
    assert_eq!(ids(&told.boat()), ["main"]);
    assert_eq!(told.fold().left[0].1, two.machines[1]);
    // Another device, which has not heard of it, changes something else of that machine.
    let mut unaware = two.clone();
    unaware.machines[1].name = "Diesel generator".into();
    unaware.waters = Waters::Ocean;
    told.set("b1", &["p0"], unaware);
    assert_eq!(ids(&told.boat()), ["main"]);
    assert_eq!(told.boat().waters, Waters::Ocean);
    told.set("p2", &["r1", "b1"], two);
    assert_eq!(
        ids(&told.boat()),
        ["main", "generator"],
        "named again, it is back"
    );
    assert!(told.fold().left.is_empty());
    told.retire("r2", &["p2"], "generator");
    told.retire("r3", &["r2"], "main");
    assert_eq!(ids(&told.boat()), ["main"], "the last machine stays");
}

#[test]
fn the_order_of_machines_and_lists_is_kept() {
    let mut told = Told::default();
    let mut two = boat();
    two.machines[0].without = vec!["water-tank".into(), "drive-belt".into()];
    two.machines.insert(0, machine("port"));
    told.set("p0", &[], boat());
    told.set("p1", &["p0"], two.clone());
    assert_eq!(told.boat(), two);
    let mut turned = two.clone();
    turned.machines.reverse();
    told.set("p2", &["p1"], turned.clone());
    assert_eq!(told.boat(), turned);
}

#[test]
fn more_records_than_are_compared_still_add_up() {
    let mut told = Told::default();
    told.set("p0", &[], boat());
    for n in 1..=MOST {
        let mut next = boat();
        next.usual_hours_per_month = n as f64;
        told.set(&format!("p{n}"), &[], next);
    }
    assert_eq!(told.boat().usual_hours_per_month, MOST as f64);
    assert_eq!(told.fold().heads, [format!("p{MOST}")]);
}

/// One change somebody makes.
fn change(boat: &mut Boat, what: u8) -> &'static str {
    match what % 8 {
        0 => boat.waters = Waters::Offshore,
        1 => boat.name = "Kittiwake".into(),
        2 => boat.usual_hours_per_month = 30.0,
        3 => boat.day_ahead.hours = 4.0,
        4 => boat.day_ahead.days = 9.0,
        5 if boat.machines.len() == 1 => boat.machines.push(machine("generator")),
        5 => {}
        6 if boat.machines[0].without.len() == 1 => {
            boat.machines[0].without.push("drive-belt".into())
        }
        6 => {}
        _ => boat.machines[0].gearbox = "1 L".parse().ok(),
    }
    [
        "waters",
        "name",
        "usual_hours_per_month",
        "day_ahead.hours",
        "day_ahead.days",
        "machines.generator",
        "machines.main.without.drive-belt",
        "machines.main.gearbox",
    ][usize::from(what % 8)]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Devices that know only the first profile change one field each. Every change is there
    /// whatever the order of the log, and nothing else is.
    #[test]
    fn concurrent_changes_of_different_fields_all_hold(
        changes in prop::collection::btree_set(0..8_u8, 1..8), seed in any::<u64>(),
    ) {
        let mut records = Vec::new();
        let mut names = Vec::new();
        for what in changes {
            let mut told = Told::default();
            let mut own = boat();
            names.push(change(&mut own, what).to_owned());
            told.set(&format!("c{what}"), &["p0"], own);
            records.extend(told.0);
        }
        fastrand::Rng::with_seed(seed).shuffle(&mut records);
        let mut told = Told::default();
        told.set("p0", &[], boat());
        told.0.extend(records);
        let found = Fields::of(&told.boat()).differences(&Fields::of(&boat()));
        let mut found: Vec<String> = found.into_iter().map(|d| d.field).collect();
        found.sort();
        names.sort();
        prop_assert_eq!(found, names);
    }

    /// Devices that change, merge and change again: each field has the value of the newest record
    /// that changed it, which every device finds alike, and a profile set with all known is taken
    /// whole.
    #[test]
    fn each_field_is_that_of_the_newest_record_that_changed_it(
        steps in prop::collection::vec((0..3_usize, 0..8_u8, any::<bool>()), 1..14),
    ) {
        let mut log = Told::default();
        log.set("p0", &[], boat());
        let mut known = vec![vec![true]; 3];
        // What the newest change of each number said, in the order of the log.
        for (n, (device, what, merges)) in steps.iter().enumerate() {
            let own = &mut known[*device];
            own.resize(log.0.len(), *merges);
            if *merges {
                own.iter_mut().for_each(|k| *k = true);
            }
            let here: Vec<_> = log.0.iter().zip(own.iter()).filter(|(_, k)| **k).map(|(r, _)| r.clone()).collect();
            let folded = fold(&nodes(&here));
            let mut next = folded.boat.clone().expect("a profile");
            let before = Fields::of(&next);
            change(&mut next, *what);
            next.usual_hours_per_month = n as f64;
            let id = format!("n{n}");
            let heads: Vec<&str> = folded.heads.iter().map(String::as_str).collect();
            log.set(&id, &heads, next.clone());
            known[*device].push(true);
            let all = log.fold();
            let meant = Fields::of(&next).changes_from(&before);
            let last = all.changes.last().map(Changed::fields);
            prop_assert_eq!(last, Some(&meant[..]), "it changed what its writer changed");
            let replayed = replay(all.changes.iter()).as_ref().map(Fields::of);
            prop_assert_eq!(replayed, all.boat.as_ref().map(Fields::of));
            prop_assert_eq!(all.boat.map(|b| b.usual_hours_per_month), Some(n as f64));
        }
    }

    /// Whatever is in a profile comes back from its fields.
    #[test]
    fn a_profile_is_the_sum_of_its_fields(changes in prop::collection::btree_set(0..8_u8, 0..8)) {
        let mut all = boat();
        for what in changes {
            change(&mut all, what);
        }
        prop_assert_eq!(Fields::of(&Fields::of(&all).boat().expect("a profile")), Fields::of(&all));
    }
}
