//! The table against the profile's own fields, and what is typed against what is kept.

use std::collections::BTreeSet;

use super::*;
use crate::boat::UnitHabit;
use crate::boat::profile::HandbookLimit;
use crate::boat::units::Unit;

fn boat() -> Boat {
    serde_json::from_str(
        r#"{"type":"boat","name":"Grey Plover","waters":"inshore","units":"metric","usual_hours_per_month":15,
            "machines":[{"id":"main","name":"Main engine","sump":"7 L","without":["stuffing-box","drive-belt"]}],
            "tanks":[{"id":"fuel","name":"Fuel tank"}],"banks":[{"id":"house","name":"House bank"}]}"#,
    )
    .expect("a boat")
}

fn place(of: Of) -> Place {
    let boat = boat();
    let mut all = Place::all(&boat).into_iter();
    all.rfind(|place| place.of == of).expect("one")
}

fn fact(name: &str, of: Of) -> &'static Fact {
    Fact::named(name, of).expect("a fact")
}

/// What is typed is read, put and shown again, in the units of a habit.
fn said(name: &str, of: Of, habit: UnitHabit, text: &str) -> Result<(Boat, String), String> {
    let mut boat = boat();
    boat.units = habit;
    let (fact, place) = (fact(name, of), place(of));
    let value = fact.read(text, &boat)?;
    let boat = fact.put(&boat, &place, value)?;
    let shown = fact.shown(&boat, &place).unwrap_or(NOT_KNOWN.to_owned());
    Ok((boat, shown))
}

/// No field of the profile is missing from the table, and none stands there that is not in it.
#[test]
fn the_table_is_the_profile() {
    let schema = serde_json::to_value(schemars::schema_for!(Boat)).expect("JSON");
    let fields = |of: &Value| -> BTreeSet<String> {
        let fields = of["properties"].as_object().expect("fields");
        fields.keys().cloned().collect()
    };
    for (of, name) in [
        (Of::Boat, None),
        (Of::Machine, Some("Machine")),
        (Of::Tank, Some("Tank")),
        (Of::Bank, Some("Bank")),
    ] {
        let mut wanted = match name {
            None => fields(&schema),
            Some(name) => fields(&schema["$defs"][name]),
        };
        // What tells them apart, and lists.
        for other in [
            "type", "id", "machines", "tanks", "banks", "without", "handbook",
        ] {
            wanted.remove(other);
        }
        if wanted.remove("day_ahead") {
            let parts = fields(&schema["$defs"]["DayAhead"]).into_iter();
            wanted.extend(parts.map(|part| format!("day_ahead.{part}")));
        }
        let told: Vec<String> = place(of).facts().map(|f| f.name.to_owned()).collect();
        assert_eq!(told.iter().cloned().collect::<BTreeSet<_>>(), wanted);
        assert_eq!(told.len(), wanted.len(), "no fact stands there twice");
    }
}

#[test]
fn what_is_typed_is_kept_in_one_unit_and_shown_in_ones_own() {
    use UnitHabit::{Imperial, Metric, Us};
    for (name, of, habit, typed, kept, shown) in [
        ("length_m", Of::Boat, Metric, "9,8", "9.8", "9.8 m"),
        ("length_m", Of::Boat, Us, "32", "9.7536", "32 ft"),
        (
            "length_m",
            Of::Boat,
            Imperial,
            "9.7536 m",
            "9.7536",
            "32 ft",
        ),
        ("rated_kw", Of::Machine, Us, "28", "20.8796", "28 hp"),
        (
            "rated_kw",
            Of::Machine,
            Metric,
            "28 PS",
            "20.594",
            "20.59 kW",
        ),
        ("rated_rpm", Of::Machine, Us, "3600", "3600.0", "3600 rpm"),
        ("thermostat_c", Of::Machine, Us, "180", "82.2222", "180 F"),
        ("sump", Of::Machine, Us, "7", "\"7 qt\"", "7 qt"),
        (
            "fuel_per_hour",
            Of::Machine,
            Us,
            "0.6",
            "\"0.6 gal\"",
            "0.6 gal",
        ),
        (
            "mm_between_marks",
            Of::Machine,
            Metric,
            "22",
            "22.0",
            "22 mm",
        ),
        ("year", Of::Boat, Metric, "1978", "1978", "1978"),
        ("ah", Of::Bank, Metric, "110 Ah", "110.0", "110 Ah"),
        ("turbocharger", Of::Machine, Metric, "No", "false", "no"),
        (
            "stopping",
            Of::Machine,
            Metric,
            "Solenoid to run",
            "\"solenoid-to-run\"",
            "solenoid to run",
        ),
        (
            "hours",
            Of::Machine,
            Metric,
            "1243,6 h",
            "1243.6",
            "1243.6 h",
        ),
        (
            "fitted",
            Of::Bank,
            Metric,
            "2023-05",
            "\"2023-05\"",
            "2023-05",
        ),
        ("day_ahead.hours", Of::Boat, Metric, "4", "4.0", "4 h"),
        (
            "builder",
            Of::Boat,
            Metric,
            " a yard ",
            "\"a yard\"",
            "a yard",
        ),
    ] {
        let (boat, told) = said(name, of, habit, typed).expect(name);
        let value = fact(name, of).of(&boat, &place(of)).expect("known");
        assert_eq!(
            (value.to_string().as_str(), told.as_str()),
            (kept, shown),
            "{name} {typed}"
        );
        assert!(faults(&boat).is_empty(), "{name} {typed}");
    }
}

#[test]
fn what_cannot_be_meant_is_refused_in_words() {
    for (name, of, typed, told) in [
        ("name", Of::Boat, " ", "Name has to be known"),
        ("waters", Of::Boat, "not known", "Waters has to be known"),
        (
            "waters",
            Of::Boat,
            "inland",
            "'inland' is not one of sheltered",
        ),
        ("year", Of::Boat, "78", "expected 1850 to 2200"),
        ("year", Of::Boat, "1978.5", "not a whole number"),
        ("length_m", Of::Boat, "9800", "expected 1 to 100 m"),
        ("length_m", Of::Boat, "9 L", "does not fit here"),
        ("sump", Of::Machine, "0", "more than 0"),
        ("sump", Of::Machine, "900", "at most 200 L"),
        ("sump", Of::Machine, "-1", "less than nothing"),
        ("rated_kw", Of::Machine, "1e9", "expected"),
        ("ah", Of::Bank, "nan", "not a number"),
        (
            "fitted",
            Of::Bank,
            "last year",
            "not a day, a month or a year",
        ),
        ("turbocharger", Of::Machine, "perhaps", "yes or no"),
        ("builder", Of::Boat, &"x".repeat(81), "longer than 80 bytes"),
    ] {
        let refused = said(name, of, UnitHabit::Metric, typed).expect_err(name);
        assert!(refused.contains(told), "{name} {typed}: {refused}");
    }
}

#[test]
fn what_is_no_longer_known_leaves_no_trace_and_all_else_stays_in_its_order() {
    let (known, _) = said("drive", Of::Machine, UnitHabit::Metric, "shaft").expect("said");
    assert_eq!(known.machines[0].without, boat().machines[0].without);
    let drive = fact("drive", Of::Machine);
    for text in ["", "not known", "not-known"] {
        let value = drive.read(text, &known).expect("read");
        let unknown = drive.put(&known, &place(Of::Machine), value).expect("put");
        assert_eq!(unknown, boat());
    }
    let nowhere = Place::new(Of::Machine, "port");
    assert!(drive.put(&known, &nowhere, None).is_err());
}

#[test]
fn machines_tanks_and_banks_come_and_go() {
    for (of, name, id) in [
        (Of::Machine, "Main", "main-2"),
        (Of::Tank, "Port water, 200 L", "port-water-200-l"),
        (Of::Bank, "Бак", "bank"),
    ] {
        let made = id_for(&boat(), of, name);
        assert_eq!(made, id);
        let place = Place::new(of, id);
        let more = with_new(&boat(), &place, name).expect("added");
        assert_eq!(place.name(&more), Some(name));
        assert!(with_new(&more, &place, name).is_err(), "twice");
        assert_eq!(without(&more, &place).expect("taken out"), boat());
        assert!(without(&boat(), &place).is_err(), "not there");
    }
    let last = without(&boat(), &place(Of::Machine));
    assert!(last.expect_err("refused").contains("at least one machine"));
}

#[test]
fn items_are_dropped_and_brought_back() {
    let names = |items: &[&str]| -> Vec<String> { items.iter().map(|i| (*i).to_owned()).collect() };
    let changed = lacking(
        &boat(),
        "main",
        &names(&["alternator", "drive-belt"]),
        &names(&["stuffing-box"]),
    );
    assert_eq!(
        changed.expect("changed").machines[0].without,
        ["drive-belt", "alternator"]
    );
    assert!(lacking(&boat(), "port", &[], &[]).is_err());
}

#[test]
fn a_handbook_limit_is_read_as_it_is_said() {
    let typed = |range: &str| HandbookLimit::typed("oil-pressure", range, Unit::Bar, "page 4");
    for (range, from, to, unit) in [
        ("2 to 4 bar", Some(2.0), Some(4.0), Unit::Bar),
        ("30 psi to 60 psi", Some(30.0), Some(60.0), Unit::Psi),
        ("from 1,5", Some(1.5), None, Unit::Bar),
        ("2 bar", Some(2.0), None, Unit::Bar),
        ("to 95 kPa", None, Some(95.0), Unit::Kilopascal),
    ] {
        let limit = typed(range).expect(range);
        assert_eq!(
            (limit.from, limit.to, limit.unit),
            (from, to, unit),
            "{range}"
        );
        assert_eq!(typed(&limit.range()).expect("again"), limit);
    }
    for range in ["", "to", "high", "2 to 4 C", "4 to 2"] {
        assert!(typed(range).is_err(), "{range}");
    }
    let two = limited(&boat(), "main", typed("2 to 4 bar").expect("a limit")).expect("put");
    let one = limited(&two, "main", typed("2 to 5 bar").expect("a limit")).expect("put");
    assert_eq!(one.machines[0].handbook.len(), 1, "one for each item");
    assert_eq!(
        unlimited(&one, "main", "oil-pressure").expect("out"),
        boat()
    );
    assert!(unlimited(&boat(), "main", "oil-pressure").is_err());
}
