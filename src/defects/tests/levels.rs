//! Levels that fall, are filled, and rise.

use super::story::{Story, Told, all_but, look};
use crate::assess::words::Verdict;
use crate::boat::Unit;
use crate::checklist::Chore;
use crate::checklist::Grade::{Early, Failing, Sound, Worn};
use crate::checklist::{Library, Own, PhaseState};
use crate::defects::life::Filled;
use crate::defects::trend_answer::ProjectionRow;
use crate::defects::trends::TrendQuery;
use crate::walk::Look;

const OIL: &str = "engine-oil-level";
const COOLANT: &str = "coolant-level";

fn dip(value: f64) -> Look {
    let grade = if value < 25.0 { Early } else { Sound };
    look(OIL, grade).percent(value).during("cold")
}

/// Mornings with the meter read, from 80 % down by so much an hour, an hour and a half apart.
fn mornings(n: u32, per_hour: f64) -> Story {
    let morning = |story: Story, n: u32| {
        let run = 1.6 * f64::from(n);
        let looks = all_but([dip(80.0 - per_hour * run)]);
        story.walk("daily", "main", f64::from(n), Some(1200.0 + run), looks)
    };
    (0..n).fold(Story::new().of_known_age(), morning)
}

fn projection(story: &Story, item: &str, on: f64) -> Option<ProjectionRow> {
    let condition = story.on(on);
    let subject = condition.subject(item, "main");
    let asked = TrendQuery::default();
    let answer = condition.trend(&story.history(), &subject, asked);
    answer.expect("a level").projection
}

/// From 80 % to 15 % in 20.8 h the low mark is 4.8 h away: common arithmetic.
#[test]
fn fourteen_mornings_of_falling_oil_are_said_and_change_the_verdict() {
    let story = mornings(14, 65.0 / 20.8);
    let found = projection(&story, OIL, 13.1).expect("it falls");
    assert!((found.per_hour + 3.125).abs() < 1e-9);
    let about = found.about.expect("read").hours.expect("hours");
    assert!((about - 4.8).abs() < 0.3, "about {about} h");
    let not_before = found.not_before.expect("read").hours.expect("hours");
    assert!(not_before < about && not_before > 0.0);
    let judged = story.judged(13.1);
    assert_eq!(judged.now, Some(Verdict::RunWithCare));
    assert!(
        judged
            .reasons
            .iter()
            .all(|r| r.item == OIL && r.rule.contains("low mark in about"))
    );
    let row = story.row(13.1, OIL).expect("a row");
    assert!(row.chance > 0.5, "{}", row.chance);
    assert!(row.why.contains("low mark in about"), "{}", row.why);
}

#[test]
fn a_fall_whose_middle_lies_beyond_the_day_ahead_changes_no_verdict() {
    let story = mornings(10, 2.0);
    assert!(projection(&story, OIL, 9.1).is_some());
    let condition = story.on(9.1);
    let subject = condition.subject(OIL, "main");
    let item = condition.item(&subject).expect("an item");
    let life = condition.life(OIL, "main").expect("a life");
    assert_eq!(condition.care(&subject, item, life), None);
    assert!(
        condition.watch(&subject, item, life).is_some(),
        "it is said"
    );
}

#[test]
fn a_steady_level_projects_nothing_and_three_readings_are_enough_for_a_fall() {
    assert!(projection(&mornings(14, 0.0), OIL, 13.1).is_none());
    assert!(projection(&mornings(2, 20.0), OIL, 1.1).is_none());
    assert!(projection(&mornings(3, 10.0), OIL, 2.1).is_some());
}

/// Coolant expands: warm looks never make a fall, stone-cold ones do.
#[test]
fn coolant_speaks_only_stone_cold() {
    let story = |phase: &str, list: &str| {
        (0..5).fold(Story::new().of_known_age(), |story, n| {
            let looks = [look(COOLANT, Sound)
                .percent(90.0 - 12.0 * f64::from(n))
                .during(phase)];
            let run = Some(1200.0 + 2.0 * f64::from(n));
            story.walk(list, "main", f64::from(n), run, looks)
        })
    };
    assert!(projection(&story("settled", "leak-run"), COOLANT, 4.1).is_none());
    assert!(projection(&story("cold", "daily"), COOLANT, 4.1).is_some());
}

#[test]
fn a_filling_begins_anew_and_the_fall_goes_on() {
    // Four mornings down, filled to the high mark, three mornings down.
    let levels = [80.0, 70.0, 60.0, 50.0, 90.0, 80.0, 70.0];
    let story =
        levels
            .into_iter()
            .enumerate()
            .fold(Story::new().of_known_age(), |story, (n, value)| {
                let look = dip(value);
                let look = if n == 3 { look.added("0.5 L") } else { look };
                story.walk(
                    "daily",
                    "main",
                    n as f64,
                    Some(1200.0 + 2.0 * n as f64),
                    [look],
                )
            });
    let found = projection(&story, OIL, 6.1).expect("one common fall");
    assert!((found.per_hour + 5.0).abs() < 1e-9, "{}", found.per_hour);
    let about = found.about.expect("read").hours.expect("hours");
    assert!((about - 14.0).abs() < 0.5, "by the newest filling: {about}");
}

#[test]
fn an_addition_typed_in_either_order_is_no_rise_of_itself() {
    let marked = |litres: f64| {
        let mut story = Story::new().of_known_age();
        let volume = format!("{litres} L").parse().expect("a volume");
        story.boat.machines[0].between_marks = Some(volume);
        story
    };
    // Found at 20, half a litre of one between the marks: 70 either way.
    let stop = |story: &Story| story.row(2.1, OIL).is_some_and(|row| row.stop);
    let as_found = marked(1.0)
        .daily(0.0, [dip(22.0)])
        .daily(1.0, [dip(20.0).added("0.5 L")])
        .daily(2.0, [dip(70.0)]);
    let after = marked(1.0)
        .daily(0.0, [dip(22.0)])
        .daily(1.0, [dip(70.0).added("0.5 L")])
        .daily(2.0, [dip(69.0)]);
    let unknown = Story::new()
        .of_known_age()
        .daily(0.0, [dip(22.0)])
        .daily(1.0, [dip(70.0).added("0.5 L")])
        .daily(2.0, [dip(69.0)]);
    for story in [&as_found, &after, &unknown] {
        assert!(!stop(story));
    }
    // Half a litre raises it by half the span; what is beyond that came from elsewhere.
    let water = marked(1.0)
        .daily(0.0, [dip(20.0).added("0.5 L")])
        .daily(1.0, [dip(95.0)]);
    assert!(stop(&water));
    assert_eq!(
        water.life(OIL).status.rise.map(|r| r.filled),
        Some(Filled::Known)
    );
}

#[test]
fn a_filling_lifts_the_stop_of_a_low_level_and_asks_for_a_reading() {
    let low = || look(OIL, Failing).percent(-20.0).during("cold");
    let verdict = |story: &Story| story.verdict(1.1);
    let found = Story::new().of_known_age().daily(0.0, all_but([low()]));
    assert_eq!(verdict(&found), Some(Verdict::DoNotRun));
    let filled = Story::new()
        .of_known_age()
        .daily(0.0, all_but([low().added("0.6 L")]));
    assert_eq!(verdict(&filled), Some(Verdict::RunWithCare));
    let reasons = filled.judged(1.1).reasons;
    assert!(reasons.iter().all(|r| r.rule.contains("read it again")));
    let mut small = Story::new().of_known_age();
    small.boat.machines[0].between_marks = Some("1 L".parse().expect("a volume"));
    let small = small.daily(0.0, all_but([low().added("0.1 L")]));
    assert_eq!(
        verdict(&small),
        Some(Verdict::DoNotRun),
        "too little to reach it"
    );
    let over: Look = look(OIL, Failing)
        .percent(120.0)
        .during("cold")
        .added("0.1 L");
    let over = Story::new().of_known_age().daily(0.0, [over]);
    assert_eq!(
        verdict(&over),
        Some(Verdict::DoNotRun),
        "filling cures no overfill"
    );
}

#[test]
fn what_comes_before_starting_is_listed_until_it_is_done_and_looked_at() {
    let chores = |story: &Story| {
        let chores = story.on(1.1).before_start(Some("main"));
        let told = chores.into_iter().map(|c| (c.chore, c.item, c.litres));
        told.collect::<Vec<_>>()
    };
    let mut story = Story::new().of_known_age();
    story.boat.machines[0].between_marks = Some("1 L".parse().expect("a volume"));
    let low = look(OIL, Failing).percent(-32.0).during("cold");
    let bowl = look("fuel-prefilter-bowl", Worn).read(12.0, Unit::Millimetre);
    let low = story.clone().daily(0.0, [low, bowl.clone()]);
    let drain = (Chore::Drain, "fuel-prefilter-bowl".to_owned(), None);
    let top_up = (Chore::TopUp, OIL.to_owned(), Some(0.4));
    assert_eq!(chores(&low), [top_up, drain.clone()]);
    let filled = look(OIL, Failing)
        .percent(-32.0)
        .during("cold")
        .added("0.6 L");
    let filled = story.daily(0.0, [filled, bowl]);
    let again = (Chore::ReadAgain, OIL.to_owned(), None);
    assert_eq!(chores(&filled), [again, drain.clone()]);
    let read = filled.daily(1.0, [dip(28.0)]);
    assert_eq!(chores(&read), [drain]);
    assert!(
        read.row(1.1, "fuel-prefilter-bowl").is_some(),
        "a defect all the same"
    );
    let falling = mornings(14, 65.0 / 20.8);
    let told = falling.on(13.1).before_start(Some("main"));
    assert_eq!(told.len(), 1);
    assert!(told[0].how.contains("low mark in about"), "{}", told[0].how);
}

#[test]
fn a_rise_is_said_at_the_stick_by_the_rung_its_ladder_names() {
    let proposed = |story: &Story, found: Look| {
        let condition = story.on(1.1);
        let item = condition.library.catalogue.item(OIL).expect("an item");
        let cold = Some(PhaseState::Cold);
        let proposal = condition.proposal(item, "main", &found, cold);
        proposal.map(|p| (p.grade, p.by.contains("rise")))
    };
    let story = Story::new().of_known_age().daily(0.0, [dip(60.0)]);
    assert_eq!(proposed(&story, dip(66.0)), Some((Sound, false)));
    assert_eq!(proposed(&story, dip(80.0)), Some((Failing, true)));
    let filled = Story::new()
        .of_known_age()
        .daily(0.0, [dip(20.0).added("0.5 L")]);
    assert_eq!(proposed(&filled, dip(80.0)), Some((Sound, false)));
    let coolant = |value| look(COOLANT, Sound).percent(value).during("cold");
    let story = Story::new().of_known_age().daily(0.0, [coolant(50.0)]);
    let condition = story.on(1.1);
    let item = condition.library.catalogue.item(COOLANT).expect("an item");
    let told = condition.proposal(item, "main", &coolant(75.0), Some(PhaseState::Cold));
    assert_eq!(
        told.map(|p| p.grade),
        Some(Sound),
        "coolant rises with its warmth"
    );
}

/// A stick read well teaches it, and what it taught is said.
#[test]
fn dips_teach_their_own_scatter() {
    // Half a per cent about a fall of 2 % an hour, by turns up and down.
    let morning = |story: Story, n: u32| {
        let run = 2.0 * f64::from(n);
        let about = if n.is_multiple_of(2) { 3.0 } else { -3.0 };
        let looks = [dip(90.0 - run + about)];
        story.walk("daily", "main", f64::from(n), Some(1200.0 + run), looks)
    };
    let told = |n: u32| {
        let story = (0..n).fold(Story::new().of_known_age(), morning);
        let condition = story.on(f64::from(n));
        let subject = condition.subject(OIL, "main");
        let error = condition.reading_error(&subject).expect("a level");
        let asked = TrendQuery::default();
        let answer = condition.trend(&story.history(), &subject, asked);
        (error.of_one, answer.expect("a level"))
    };
    let (few, answer) = told(9);
    assert_eq!(few, 10.0, "a tenth of the marks");
    assert!(answer.notes.iter().all(|n| !n.contains("scatter")));
    let (many, answer) = told(14);
    assert!((3.0..4.0).contains(&many), "{many}");
    let said = answer
        .notes
        .iter()
        .any(|n| n.contains("your dips scatter by about 3 %, from 14"));
    assert!(said, "{:?}", answer.notes);
    let projection = answer.projection.expect("it falls");
    assert_eq!(projection.error_learned_from, Some(14));
}

/// An owner's own level and chore are followed like the program's: no id is known in the code.
#[test]
fn an_owner_s_own_items_have_marks_and_come_before_starting() {
    let built_in = Library::built_in();
    let own = |id: &str, from: &str| {
        let mut item = built_in.catalogue.item(from).expect("built in").clone();
        (item.id, item.title) = (id.to_owned(), format!("My {id}"));
        item
    };
    let mut tank = own("day-tank-header", COOLANT);
    tank.marks.as_mut().expect("marks").between_marks = Some("2 L".parse().expect("a volume"));
    let valve = own("fuel-valve", "engine-seacock");
    let mut things = Own::default();
    things.items.extend([tank, valve]);
    let library = built_in.with(&things);
    let tank = look("day-tank-header", Failing)
        .percent(-10.0)
        .during("cold");
    let story = Story::new()
        .of_known_age()
        .daily(0.0, [tank, look("fuel-valve", Failing)]);
    let condition = story.by(library, 0.5);
    let told = condition.before_start(Some("main"));
    let told = told.into_iter().map(|c| (c.chore, c.item, c.litres));
    let expected = [
        (Chore::TopUp, "day-tank-header".to_owned(), Some(0.2)),
        (Chore::Open, "fuel-valve".to_owned(), None),
    ];
    assert_eq!(told.collect::<Vec<_>>(), expected);
}

/// With a look planned before the low mark the word is to carry and dip; it stays with care.
#[test]
fn a_look_planned_before_the_low_mark_makes_it_carry_and_dip() {
    let mut falling = mornings(4, 10.0);
    falling.boat.machines[0].between_marks = Some("1 L".parse().expect("a volume"));
    let care = |story: &Story| {
        let condition = story.on(3.1);
        let subject = condition.subject(OIL, "main");
        let item = condition.item(&subject).expect("an item");
        let life = condition.life(OIL, "main").expect("a life");
        condition.care(&subject, item, life).expect("low soon")
    };
    // From 80 % by 10 % an hour over 4.8 h: 32 % left, 3.2 h.
    let plain = care(&falling);
    assert!(plain.contains("read it again in"), "{plain}");
    assert!(plain.contains("carry"), "{plain}");
    let planned = falling.clone().recheck(3.05, OIL, None, Some(1206.3));
    let told = care(&planned);
    assert!(
        told.starts_with("carry and dip: with ") && told.contains(" L aboard"),
        "{told}"
    );
    assert_eq!(planned.verdict(3.1), Some(Verdict::RunWithCare));
    let late = falling.recheck(3.05, OIL, None, Some(1220.0));
    assert!(!care(&late).contains("carry and dip"), "after the low mark");
}

/// 0.25 to 0.5 % of the fuel is usual, above 1 % worn (published trade figures); one litre between
/// marks falling by 75 % in 60 h is 12.5 mL an hour, 0.5 % of 2.5 L (common arithmetic).
#[test]
fn oil_is_held_against_the_fuel_after_fifty_hours() {
    let used = |hours: f64, last: f64, fuel: Option<&str>| {
        let mut story = Story::new().of_known_age();
        let machine = &mut story.boat.machines[0];
        machine.between_marks = Some("1 L".parse().expect("a volume"));
        machine.fuel_per_hour = fuel.map(|f| f.parse().expect("a volume"));
        let read = |story: Story, day: f64, run: f64, value| {
            story.walk("daily", "main", day, Some(1200.0 + run), [dip(value)])
        };
        let story = read(read(story, 0.0, 0.0, 90.0), 30.0, hours, last);
        let condition = story.on(30.1);
        let subject = condition.subject(OIL, "main");
        let answer = condition.trend(&story.history(), &subject, TrendQuery::default());
        let used = answer.expect("a level").oil_use;
        let (exposure, waters) = condition.usual_plan();
        let scenario = crate::defects::list::Scenario::new(exposure, waters);
        let explained = condition.explain(&story.history(), &subject, scenario);
        let steps = explained.expect("a level").steps;
        let told = used.map(|used| used.words());
        assert!(told.is_none_or(|told| steps.contains(&told)), "{steps:?}");
        used
    };
    let usual = used(60.0, 15.0, Some("2.5 L")).expect("sixty hours");
    assert!((usual.litres_per_hour - 0.0125).abs() < 1e-12);
    assert!((usual.share_of_fuel.expect("known") - 0.005).abs() < 1e-12);
    assert!(
        usual.words().contains("not to be told from usual"),
        "{}",
        usual.words()
    );
    assert_eq!(used(49.0, 15.0, Some("2.5 L")), None);
    let unknown = used(60.0, 15.0, None).expect("sixty hours");
    assert_eq!(unknown.share_of_fuel, None);
    assert!(unknown.words().contains("set fuel_per_hour"));
    let words = |last, fuel| used(100.0, last, Some(fuel)).expect("a figure").words();
    assert!(words(90.0, "2.5 L").contains("less than usual: fuel or water"));
    assert!(words(20.0, "0.8 L").contains("more than usual"));
    assert!(words(10.0, "0.5 L").contains("as a worn engine"));
}
