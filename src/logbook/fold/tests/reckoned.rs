//! What was reckoned from a reading follows it.

use super::*;

/// A walk with a reading noted in it, and a look owed five hours on, which names that.
fn leak_run() -> Vec<Written> {
    let mut all = written(vec![Step::Begin(0, 0), Step::Note(0, 1243.0)]);
    all.push(owed("owed", 1248.0, "r1"));
    all
}

fn owed(id: &str, due: f64, from: &str) -> Written {
    let recheck = Recheck {
        item: item(2),
        machine: Some("main".into()),
        at: None,
        due_at: None,
        due_hours: Hours::new(due).ok(),
        from: Some(from.into()),
        why: "disturbed".into(),
    };
    Written::new(id, at(3), Record::from(recheck))
}

fn undo(id: &str, of: &str) -> Written {
    Written::new(id, at(4000), Record::from(Undo::of(of)))
}

fn due(all: &[Written]) -> Vec<f64> {
    let rechecks = fold(all).rechecks.into_iter();
    rechecks
        .filter_map(|r| Some(r.rec.due_hours?.get()))
        .collect()
}

/// The entries that the looks owed name.
fn from(all: &[Written]) -> Vec<String> {
    let rechecks = fold(all).rechecks.into_iter();
    rechecks.filter_map(|r| r.rec.from).collect()
}

#[test]
fn a_look_owed_follows_the_reading_it_was_reckoned_from() {
    let mut all = leak_run();
    assert_eq!(due(&all), [1248.0]);
    all.push(correction("a", "r1", &[], Some(noted(0, 1234.0))));
    assert_eq!(due(&all), [1239.0]);
    // Reckoned once the reading was right, it names what says so.
    all.push(owed("later", 1239.0, "a"));
    assert_eq!(due(&all), [1239.0, 1239.0]);
    assert_eq!(from(&all), ["r1", "r1"], "the entry, whatever put it right");
    all.push(correction("b", "r1", &["a"], Some(noted(0, 1240.0))));
    assert_eq!(due(&all), [1245.0, 1245.0], "each by its own difference");
    all.push(undo("c", "b"));
    all.push(undo("d", "a"));
    assert_eq!(due(&all), [1248.0, 1248.0], "as it was");
}

#[test]
fn it_stays_where_no_reading_stands_in_the_place_of_the_one_taken_back() {
    let mut all = leak_run();
    all.push(undo("a", "r1"));
    assert_eq!(due(&all), [1248.0]);
    all.push(Written::new("b", at(4), noted(0, 1234.0)));
    assert_eq!(due(&all), [1239.0], "typed anew in the same walk");
}

#[test]
fn it_follows_no_reading_of_another_machine() {
    let mut all = leak_run();
    let mut moved = record(Step::Begin(0, 0), 0);
    if let Record::WalkStarted(walk) = &mut moved {
        walk.machine = "aux".into();
    }
    all.push(correction("a", "r0", &[], Some(moved)));
    all.push(correction("b", "r1", &[], Some(noted(0, 77.0))));
    assert_eq!(due(&all), [1248.0]);
}

#[test]
fn corrections_made_apart_shift_by_the_one_that_holds() {
    let mut all = leak_run();
    all.push(correction("a", "r1", &[], Some(noted(0, 1234.0))));
    all.push(correction("b", "r1", &[], Some(noted(0, 1240.0))));
    assert_eq!(due(&all), [1245.0], "the newest");
    all.push(correction("c", "r1", &["a", "b"], Some(noted(0, 1230.0))));
    assert_eq!(due(&all), [1235.0], "answered");
}

#[test]
fn a_reading_changed_outside_shifts_nothing() {
    let mut all = leak_run();
    all.push(correction("a", "r1", &[], Some(noted(0, 1234.0))));
    all[3].trust.sound = false;
    assert_eq!(due(&all), [1248.0]);
}

#[test]
fn another_meter_follows_the_reading_it_took_the_place_of() {
    let mut all = written(vec![Step::Begin(0, 0), Step::Note(0, 1243.0)]);
    let change = MeterChange {
        machine: "main".into(),
        at: at(0),
        old: Hours::new(1243.0).expect("hours"),
        from: Some("r1".into()),
        new: Hours::new(12.0).expect("hours"),
    };
    all.push(Written::new("m", at(5), Record::from(change)));
    all.push(correction("a", "r1", &[], Some(noted(0, 1234.0))));
    let meters = fold(&all).meters;
    assert_eq!(meters[0].rec.old.get(), 1234.0);
    assert_eq!(meters[0].rec.new.get(), 12.0, "which somebody typed");
}
