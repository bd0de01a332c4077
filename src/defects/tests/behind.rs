//! What the looks of a logbook say to the questions of the causes.

use std::collections::BTreeMap;

use super::story::{Story, Told, look};
use crate::causes::{ABNORMAL, OK};
use crate::checklist::Grade::{self, Early, Failed, Failing, Sound, Worn};
use crate::logbook::record::Record;
use crate::walk::Look;

/// An item, its rung, and what is said beside it.
type Made = (&'static str, Grade, &'static [(&'static str, &'static str)]);
/// What it is about; looks of the first day; the day on which it is asked; every answer that follows, by
/// its question.
type Row = (
    &'static str,
    &'static [Made],
    f64,
    &'static [(&'static str, &'static str)],
);

fn made((item, grade, signs): &Made) -> Look {
    let signs = signs
        .iter()
        .map(|(q, a)| ((*q).to_owned(), (*a).to_owned()));
    Look {
        signs: signs.collect(),
        ..look(item, *grade)
    }
}

/// Questions and answers on a day.
fn said(story: &Story, on: f64) -> Vec<(String, String)> {
    let behind = story.on(on).behind(&story.history(), "main");
    let looks = behind.seen.looks.into_iter();
    let mut said: Vec<_> = looks.map(|look| (look.question, look.answer)).collect();
    said.sort();
    said
}

#[track_caller]
fn says(story: &Story, on: f64, expected: &[(&str, &str)]) {
    let own = |(q, a): &(&str, &str)| ((*q).to_owned(), (*a).to_owned());
    let mut expected: Vec<_> = expected.iter().map(own).collect();
    expected.sort();
    assert_eq!(said(story, on), expected);
}

const PLAIN: &[(&str, &str)] = &[];

#[rustfmt::skip]
const ROWS: &[Row] = &[
    ("one answer fits the rung", &[("coolant-temperature", Worn, PLAIN)], 1.0, &[("temp", "load")]),
    ("one of several", &[("coolant-temperature", Failing, PLAIN)], 1.0, &[("temp", ABNORMAL)]),
    ("told which", &[("coolant-temperature", Failing, &[("temp", "sudden")])], 1.0, &[("temp", "sudden")]),
    ("too cold shows at an early rung", &[("coolant-temperature", Early, &[("temp", "cold")])], 1.0, &[("temp", "cold")]),
    ("sound within its week", &[("coolant-temperature", Sound, PLAIN)], 6.0, &[("temp", OK)]),
    ("sound and too old", &[("coolant-temperature", Sound, PLAIN)], 8.0, &[]),
    ("a finding stands after two years", &[("coolant-temperature", Worn, PLAIN)], 730.0, &[("temp", "load")]),
    ("thin from the first sign", &[("raw-water-flow", Early, PLAIN)], 0.5, &[("flow", "thin")]),
    ("no water", &[("raw-water-flow", Failing, PLAIN)], 0.5, &[("flow", "none")]),
    ("salt at the hole", &[("raw-water-pump-seal", Early, PLAIN)], 1.0, &[("weep", "water")]),
    ("a drop of what", &[("raw-water-pump-seal", Worn, &[("weep", "oil")])], 1.0, &[("weep", "oil")]),
    ("sound seats prove no quiet", &[("injector-seats", Sound, PLAIN)], 1.0, &[]),
    ("blowing seats are heard", &[("injector-seats", Failing, PLAIN)], 1.0, &[("noise", "chuff")]),
    ("one look, two questions", &[("vibration-and-noise", Sound, PLAIN)], 1.0, &[("noise", OK), ("vib", OK)]),
    ("a knock is no shaking", &[("vibration-and-noise", Failed, &[("noise", "knock")])], 1.0, &[("noise", "knock")]),
    ("a clunk is a noise, and not late", &[("gear-response", Worn, PLAIN)], 1.0, &[("noise", "clunk")]),
    ("what rose, and when", &[("bilge-water", Worn, &[("bkind", "salt"), ("bwhen", "rest")])], 1.0,
        &[("bkind", "salt"), ("bwhen", "rest")]),
    ("a little water has a kind only", &[("bilge-water", Early, PLAIN)], 1.0, &[("bkind", ABNORMAL)]),
    ("one of five that have to be sound", &[("coolant-hoses", Sound, PLAIN)], 1.0, &[]),
    ("all five", &[("coolant-hoses", Sound, PLAIN), ("water-heater-hoses", Sound, PLAIN), ("header-cap", Sound, PLAIN),
        ("coolant-pump-seal", Sound, PLAIN), ("heat-exchanger", Sound, PLAIN)], 1.0, &[("cwet", OK)]),
    ("two findings at one question", &[("coolant-hoses", Early, PLAIN), ("coolant-pump-seal", Early, PLAIN),
        ("header-cap", Sound, PLAIN)], 1.0, &[("cwet", "hose"), ("cwet", "pump")]),
    ("a worn fuel hose is dry", &[("fuel-hoses", Worn, PLAIN)], 1.0, &[]),
    ("damp with fuel", &[("fuel-hoses", Failing, PLAIN)], 1.0, &[("fdamp", "damp")]),
    ("thin oil", &[("engine-oil-condition", Early, PLAIN)], 1.0, &[("olook", "fuel")]),
    ("milky, and what water it is", &[("engine-oil-condition", Failing, &[("owater", "salt")])], 1.0,
        &[("olook", "milky"), ("owater", "salt")]),
    ("called for and sound", &[("propeller-seen", Sound, PLAIN)], 30.0, &[("prop", OK)]),
    ("called for, sound, too old", &[("propeller-seen", Sound, PLAIN)], 91.0, &[]),
    ("called for and found", &[("propeller-seen", Failed, &[("prop", "rope")])], 400.0, &[("prop", "rope")]),
    ("a shaft that runs true proves no play", &[("propeller-shaft", Sound, PLAIN)], 1.0, &[]),
    ("the alarm sounded", &[("carbon-monoxide-sounded", Failing, PLAIN)], 1.0, &[("co", "sounds")]),
    ("two lamps", &[("oil-alarm-came-on", Worn, PLAIN), ("charge-lamp-came-on", Failing, PLAIN)], 1.0,
        &[("alarm", "charge"), ("alarm", "oil")]),
    ("what nobody called for stands in no way", &[("cold-start", Sound, PLAIN), ("starter-motor", Sound, PLAIN)], 1.0,
        &[("start", OK)]),
    ("told beside a rung that says nothing", &[("engine-seacock", Sound, &[("inlet", "weak")])], 1.0, &[("inlet", "weak")]),
    ("told in words, whatever stands beside it", &[("gear-response", Worn, &[("noise", OK)]),
        ("injector-seats", Sound, PLAIN)], 1.0, &[("noise", OK)]),
    ("a rough sea is told", &[("engine-keeps-speed", Failing, &[("hist", "rough")])], 1.0,
        &[("hist", "rough"), ("stall", "slow")]),
];

#[test]
fn looks_say_what_they_say() {
    for (about, looks, on, expected) in ROWS {
        let story = Story::new().daily(0.0, looks.iter().map(made));
        let mut answers: Vec<_> = expected.to_vec();
        answers.sort_unstable();
        let said = said(&story, *on);
        let said: Vec<_> = said.iter().map(|(q, a)| (q.as_str(), a.as_str())).collect();
        // Of a boat that has not run for long something else is said as well.
        let said: Vec<_> = said
            .into_iter()
            .filter(|s| *s != ("hist", "standing"))
            .collect();
        assert_eq!(said, answers, "{about}");
    }
}

#[test]
fn what_was_put_right_says_nothing_until_it_is_looked_at_again() {
    let item = "raw-water-impeller";
    let found = Story::new().daily(0.0, [look(item, Failed)]);
    says(&found, 0.5, &[("imp", "missing")]);
    let mended = found.clone().repair(1.0, item);
    says(&mended, 1.5, &[]);
    says(&mended.clone().undo(1.6), 1.7, &[("imp", "missing")]);
    let seen = mended.daily(2.0, [look(item, Sound)]);
    says(&seen, 2.5, &[("imp", OK)]);
    says(&seen.removed(3.0, item), 3.5, &[]);
    // A temporary repair that holds proves nothing sound.
    let patched = found
        .patch(1.0, item, "next harbour")
        .daily(2.0, [look(item, Sound)]);
    says(&patched, 2.5, &[]);
}

/// The newest look holds, with all it says beside its rung.
#[test]
fn a_newer_look_replaces_what_an_older_one_said() {
    let with = |answer: &str| Look {
        signs: BTreeMap::from([("plume".to_owned(), answer.to_owned())]),
        ..look("exhaust-smoke", Failing)
    };
    let story = Story::new().daily(0.0, [with("black")]);
    let newer = story.clone().daily(1.0, [look("exhaust-smoke", Worn)]);
    says(&newer, 1.5, &[("plume", ABNORMAL)]);
    says(&story.daily(1.0, [with("blue")]), 1.5, &[("plume", "blue")]);
}

#[test]
fn a_level_tells_by_its_figure_which_way_it_is_wrong() {
    let oil = |grade| look("engine-oil-level", grade);
    let told = |looks: Vec<Look>| {
        let each = looks.into_iter().enumerate();
        each.fold(Story::new(), |story, (n, look)| {
            story.daily(n as f64, [look])
        })
    };
    let low = told(vec![oil(Failing).percent(-20.0)]);
    says(&low, 0.5, &[("olevel", "low")]);
    let over = told(vec![oil(Failing).percent(130.0)]);
    says(&over, 0.5, &[("olevel", "over")]);
    let risen = told(vec![oil(Sound).percent(40.0), oil(Failing).percent(95.0)]);
    says(&risen, 1.5, &[("olevel", "risen")]);
    let filled = told(vec![
        oil(Sound).percent(40.0),
        oil(Failing).percent(130.0).added("1 L"),
    ]);
    says(&filled, 1.5, &[("olevel", "over")]);
    says(&told(vec![oil(Failing)]), 0.5, &[("olevel", ABNORMAL)]);
    says(&told(vec![oil(Early)]), 0.5, &[("olevel", "low")]);
    // Coolant goes nowhere by itself: who has to fill it has seen it fall.
    let coolant = told(vec![look("coolant-level", Sound).added("0.3 L")]);
    says(&coolant, 0.5, &[("clevel", "falls")]);
}

#[test]
fn services_and_a_long_stand_say_what_happened_lately() {
    let service = |story: Story, on: f64, task: &str| {
        let mut story = story.service(on, &[], &[]);
        let last = story.written.last_mut().expect("a record");
        if let Record::Service(service) = &mut last.record {
            service.task = task.to_owned();
        }
        story
    };
    let ran = |story: Story, on: f64, hours: f64| {
        let idle = look("raw-water-flow", Worn).during("idle");
        story.walk("daily", "main", on, Some(hours), [idle])
    };
    let thin = ("flow", "thin");
    let begun = ran(Story::new(), 0.0, 100.0);
    let serviced = service(begun.clone(), 5.0, "fuel-prefilter");
    says(&serviced, 6.0, &[("hist", "filter"), thin]);
    says(
        &service(begun.clone(), 5.0, "oil-and-filter"),
        19.0,
        &[("hist", "oil"), thin],
    );
    says(&service(begun.clone(), 5.0, "coolant"), 6.0, &[thin]);
    // Long ago by the calendar and by the meter; by the calendar alone.
    let much = ran(serviced.clone(), 25.0, 130.0);
    says(&much, 25.5, &[thin]);
    let little = ran(serviced, 25.0, 103.0);
    says(&little, 25.5, &[("hist", "filter"), thin]);
    // She stood for forty days; it is told for some time after she runs again.
    says(&begun, 29.0, &[thin]);
    says(&begun, 40.0, &[("hist", "standing"), thin]);
    let again = ran(begun.clone(), 40.0, 100.0);
    says(&again, 41.0, &[("hist", "standing"), thin]);
    let much = ran(again, 60.0, 130.0);
    says(&much, 61.0, &[thin]);
    // Of a boat of which nobody saw her run nothing is said.
    let never = Story::new().daily(0.0, [look("drive-belt", Worn)]);
    assert!(said(&never, 400.0).iter().all(|(q, _)| q != "hist"));
}
