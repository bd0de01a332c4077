//! What was left open is no defect, forbids clear and holds a start until it is put back.

use super::story::{Story, Told, all_but, look};
use crate::assess::words::Verdict;
use crate::checklist::Grade::{Failing, Sound};
use crate::checklist::{Chore, Forbids, Order};
use crate::defects::condition::Condition;
use crate::defects::gate::{Gate, InForce};
use crate::defects::verdicts::verdicts;
use crate::walk::Walk;

const SEACOCK: &str = "engine-seacock";
const WHAT: &str = "seacock shut";

/// Everything sound in the morning, then the seacock shut at noon of the next day.
fn shut() -> Story {
    let morning = Story::new()
        .of_known_age()
        .daily(0.0, all_but([look(SEACOCK, Sound)]));
    morning.opened(1.0, SEACOCK, WHAT)
}

fn id(story: &Story) -> String {
    story.history().opened.last().expect("opened").id.clone()
}

/// What holds a start; the answer to a finding of the same item says no less.
fn held(condition: &Condition, story: &Story) -> Vec<InForce> {
    let history = story.history();
    let walk: &Walk = history.walks.last().expect("a walk");
    let mut all = condition.in_force(walk);
    all.retain(|stop| stop.holds(Gate::Start));
    for stop in &all {
        let Some(answer) = condition.answer(&stop.subject, None) else {
            continue;
        };
        let orders = answer.orders.expect("what holds a start orders something");
        assert_eq!(orders.still, Order::DoNotStart);
        let told = format!("{:?} {:?}", orders.rule, orders.start);
        assert!(told.contains(&stop.rule), "{told}: {}", stop.rule);
    }
    all
}

#[test]
fn it_forbids_clear_with_its_reason_until_it_is_put_back() {
    let story = shut();
    let judged = story.judged(2.0);
    assert_eq!(judged.now, Some(Verdict::RunWithCare));
    assert_eq!(judged.reasons.len(), 1, "{:?}", judged.reasons);
    let reason = &judged.reasons[0];
    assert_eq!(reason.item, SEACOCK);
    assert_eq!(reason.rule, "left open: seacock shut, since 2 May 2026");
    assert!(reason.records.contains(&id(&story)), "{reason:?}");
    assert_eq!(
        judged.at_walk,
        Some(Verdict::ClearToRun),
        "it was open then"
    );
    let back = story.clone().closed(3.0, &id(&story));
    assert_eq!(back.verdict(4.0), Some(Verdict::ClearToRun));
    assert_eq!(back.undo(4.0).verdict(5.0), Some(Verdict::RunWithCare));
    assert_eq!(story.undo(2.0).verdict(3.0), Some(Verdict::ClearToRun));
}

#[test]
fn a_sound_look_puts_nothing_back() {
    let story = shut().daily(2.0, all_but([look(SEACOCK, Sound)]));
    assert_eq!(story.verdict(2.1), Some(Verdict::RunWithCare));
    let told = story.judged(2.1).at_walk;
    assert_eq!(told, Some(Verdict::RunWithCare));
    let condition = story.on(2.1);
    let (boat, history) = (&condition.boat, story.history());
    let all = verdicts(boat, &condition.library, &history);
    assert_eq!(
        all.last(),
        Some(&told),
        "the pass through all walks says the same"
    );
}

#[test]
fn it_holds_a_start_and_stands_before_it_and_is_no_defect() {
    let story = shut();
    let condition = story.on(2.0);
    let held = held(&condition, &story);
    assert_eq!(held.len(), 1, "{held:?}");
    assert_eq!(held[0].left_open, Some(id(&story)));
    let chores = condition.before_start(Some("main"));
    assert_eq!(chores[0].chore, Chore::PutBack);
    assert_eq!(chores[0].of, Some(id(&story)));
    assert!(chores[0].how.contains(WHAT), "{:?}", chores[0]);
    assert!(story.list(2.0).rows.is_empty());
    assert!(story.life(SEACOCK).defects.is_empty());
}

#[test]
fn it_teaches_nothing() {
    let story = |opened: bool| {
        let story = Story::new()
            .of_known_age()
            .daily(0.0, [look("drive-belt", Sound)]);
        let story = match opened {
            true => story.opened(1.0, "drive-belt", "belt off"),
            false => story,
        };
        let dwells = story.daily(30.0, [look("drive-belt", Failing)]).on(31.0);
        dwells.dwells
    };
    assert_eq!(story(true), story(false));
}

#[test]
fn what_was_left_open_after_a_closing_stays_open() {
    let story = shut();
    let first = id(&story);
    let both = story.closed(3.0, &first).opened(4.0, SEACOCK, "hose off");
    let open = |story: &Story| {
        let condition = story.on(5.0);
        let open = condition.left_open(Some("main"));
        open.map(|(_, o)| o.opened.rec.what.clone())
            .collect::<Vec<_>>()
    };
    assert_eq!(open(&both), ["hose off"]);
    // By the same id too, as a merge can bring it: whoever closed did not know of it.
    let mut merged = both;
    if let Some(last) = merged.written.last_mut() {
        last.id = first.into();
    }
    assert_eq!(open(&merged), ["hose off"]);
}

#[test]
fn what_nobody_ever_looked_at_can_be_left_open() {
    let story = Story::new().of_known_age().daily(0.0, all_but([])).opened(
        1.0,
        "engine-anodes",
        "anode out, plug loose",
    );
    assert!(story.on(1.5).life("engine-anodes", "main").is_some());
    assert_eq!(story.verdict(2.0), Some(Verdict::RunWithCare));
    assert_eq!(held(&story.on(2.0), &story).len(), 1);
}

#[test]
fn she_is_not_without_what_is_left_open() {
    let mut story = shut();
    story.boat.machines[0].without = vec![SEACOCK.to_owned()];
    let history = story.history();
    let library = story.on(2.0).library;
    let now = super::story::day(2.0);
    let found = crate::defects::aboard::aboard(&story.boat, &library, &history, now);
    assert!(found.boat.machines[0].without.is_empty());
}

#[test]
fn levels_outside_their_marks_hold_a_start_over_the_high_one_too() {
    // Common practice, no single source: never start on a level below its low mark, nor with oil or
    // coolant over the high one before it was read again.
    let holds = |item: &str, percent: f64| {
        let grade = match (item, percent > 100.0) {
            ("coolant-level", true) => crate::checklist::Grade::Early,
            _ if (0.0..=100.0).contains(&percent) => Sound,
            _ => Failing,
        };
        let seen = look(item, grade).percent(percent).during("cold");
        let story = Story::new().of_known_age().daily(0.0, all_but([seen]));
        held(&story.on(0.1), &story).len()
    };
    for item in ["engine-oil-level", "gearbox-oil-level", "coolant-level"] {
        assert_eq!(holds(item, -5.0), 1, "{item} below");
        assert_eq!(holds(item, 60.0), 0, "{item} between");
        assert_eq!(holds(item, 110.0), 1, "{item} over");
    }
    let low = look("engine-oil-level", Failing)
        .percent(-5.0)
        .during("cold");
    let filled = Story::new()
        .of_known_age()
        .daily(0.0, all_but([low.added("0.6 L")]));
    assert!(held(&filled.on(0.1), &filled).is_empty(), "filled lifts it");
    assert_eq!(filled.on(0.1).before_start(None)[0].chore, Chore::ReadAgain);
}

#[test]
fn what_says_what_it_forbids_makes_the_verdict_no_better_and_no_milder() {
    let morning = || Story::new().of_known_age().daily(0.0, all_but([]));
    let forbids = |forbids| morning().forbidding(1.0, SEACOCK, "hose off", forbids);
    assert_eq!(morning().verdict(2.0), Some(Verdict::ClearToRun));
    for (deed, told) in [
        (Forbids::Float, Verdict::DoNotRun),
        (Forbids::Start, Verdict::DoNotRun),
        (Forbids::Leave, Verdict::DoNotLeave),
    ] {
        let judged = forbids(deed).judged(2.0);
        assert_eq!(judged.now, Some(told), "{deed}");
        let words = format!(
            "left open: hose off, since 2 May 2026; forbids {}",
            deed.words()
        );
        assert_eq!(judged.reasons[0].rule, words);
        let story = forbids(deed);
        let back = story.clone().closed(3.0, &id(&story));
        assert_eq!(back.verdict(4.0), Some(Verdict::ClearToRun));
    }
    // A stop found stays, and what forbids to leave alone makes none milder.
    let broken = Story::new()
        .of_known_age()
        .daily(0.0, all_but([look("drive-belt", Failing)]));
    assert_eq!(broken.verdict(0.5), Some(Verdict::DoNotRun));
    let both = broken.forbidding(1.0, SEACOCK, "hose off", Forbids::Leave);
    let judged = both.judged(2.0);
    assert_eq!(judged.now, Some(Verdict::DoNotRun));
    assert_eq!(judged.reasons[0].item, "drive-belt");
    assert!(judged.reasons.iter().any(|r| r.item == SEACOCK));
}

#[test]
fn told_put_back_is_not_seen_put_back() {
    let story = Story::new()
        .of_known_age()
        .daily(0.0, all_but([]))
        .forbidding(1.0, SEACOCK, "hose off", Forbids::Float);
    let open = id(&story);
    let told = story.told_back(2.0, &open, "the yard");
    let judged = told.judged(3.0);
    assert_eq!(judged.now, Some(Verdict::RunWithCare));
    assert_eq!(
        judged.reasons[0].rule,
        "put back as told by the yard, not seen; left open: hose off, since 2 May 2026; forbids to float"
    );
    assert_eq!(held(&told.on(3.0), &told).len(), 1, "it holds until seen");
    let seen = told.closed(4.0, &open);
    assert_eq!(seen.verdict(5.0), Some(Verdict::ClearToRun));
    // Told again after it was seen opens nothing.
    let again = seen.told_back(6.0, &open, "the yard");
    assert_eq!(again.verdict(7.0), Some(Verdict::ClearToRun));
}
