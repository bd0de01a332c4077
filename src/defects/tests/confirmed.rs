//! What repairs say of the causes they named, in histories with their running hours.

use serde_json::{Value, json};

use super::story::{Story, Told, day, look};
use crate::boat::Hours;
use crate::checklist::Grade;
use crate::defects::OwnCauses;
use crate::defects::acts::Repair;
use crate::defects::behind::confirmed::{Proof, Stands};
use crate::defects::list::Scenario;
use crate::logbook::record::{Record, Undo};
use crate::walk::Look;

const FLOW: &str = "raw-water-flow";
const IMPELLER: &str = "raw-water-impeller";

fn flow(grade: Grade) -> Look {
    look(FLOW, grade).during("idle")
}

impl Story {
    fn morning(self, on: f64, hours: f64, looks: impl IntoIterator<Item = Look>) -> Story {
        self.walk("daily", "main", on, Some(hours), looks)
    }

    fn put_right_as(self, on: f64, item: &str, hours: Option<f64>, cause: Option<&str>) -> Story {
        let repair = Repair {
            item: item.to_owned(),
            machine: Some("main".to_owned()),
            at: Some(day(on)),
            hours: hours.map(|h| Hours::new(h).expect("hours")),
            done: "renewed".into(),
            by: None,
            temporary: None,
            cause: cause.map(str::to_owned),
            minutes: None,
        };
        self.write(on, Record::from(repair))
    }

    fn proofs(&self, on: f64) -> Vec<Proof> {
        let history = self.history().as_of(day(on));
        self.on(on).proofs(&history, "main")
    }

    fn stands(&self, on: f64) -> Stands {
        let proofs = self.proofs(on);
        assert_eq!(proofs.len(), 1, "{proofs:?}");
        proofs[0].stands
    }

    fn own_causes(self, on: f64, file: Value) -> Story {
        self.write(on, Record::from(OwnCauses { file, at: None }))
    }

    /// The chance of a cause by all that is on record.
    fn chance(&self, on: f64, id: &str) -> f64 {
        let behind = self.on(on).behind(&self.history(), "main");
        let judged = behind.judge();
        let of = judged.candidates.iter().find(|c| c.cause.id == id);
        of.expect("on the list").chance
    }
}

/// Water astern was well at 100 h and thin at 112 h; the impeller was renewed at 113 h and named as the
/// cause.
fn thin_flow(cause: Option<&str>) -> Story {
    Story::new()
        .morning(0.0, 100.0, [flow(Grade::Sound)])
        .morning(10.0, 112.0, [flow(Grade::Worn)])
        .put_right_as(11.0, IMPELLER, Some(113.0), cause)
}

fn named() -> Story {
    thin_flow(Some("impeller"))
}

#[test]
fn it_is_confirmed_after_as_many_hours_as_it_took_to_show() {
    let story = named();
    let at_once = &story.proofs(12.0)[0];
    assert_eq!((at_once.stands, at_once.hours_run), (Stands::Waiting, 0.0));
    assert!((at_once.hours_needed - 12.0).abs() < 0.01, "{at_once:?}");
    let story = story.morning(13.0, 118.0, [flow(Grade::Sound)]);
    let proof = &story.proofs(13.5)[0];
    assert_eq!(proof.stands, Stands::Waiting);
    assert_eq!(
        proof.words(),
        "says nothing of the cause until she has run 7 h more and is seen sound"
    );
    // She ran on, and nobody has looked.
    let ran = story.clone().morning(18.0, 124.5, []);
    assert_eq!(ran.stands(18.5), Stands::Waiting);
    assert_eq!(
        ran.proofs(18.5)[0].words(),
        "says nothing of the cause until she has run 1 h more and is seen sound"
    );
    let ran = ran.morning(19.0, 125.5, []);
    assert_eq!(
        ran.proofs(19.5)[0].words(),
        "not come back in 12 h; says nothing of the cause until she is seen sound"
    );
    let seen = ran.morning(20.0, 126.0, [flow(Grade::Sound)]);
    assert_eq!(seen.stands(20.5), Stands::Confirmed);
    // A new fault years on is another one.
    let later = seen.morning(300.0, 300.0, [flow(Grade::Worn)]);
    assert_eq!(later.stands(300.5), Stands::Confirmed);
}

#[test]
fn what_shows_at_once_is_confirmed_after_five_hours_and_no_sooner() {
    let story = |hours: f64| {
        Story::new()
            .morning(0.0, 100.0, [flow(Grade::Sound)])
            .morning(1.0, 101.0, [flow(Grade::Worn)])
            .put_right_as(1.5, IMPELLER, Some(101.0), Some("impeller"))
            .morning(4.0, hours, [flow(Grade::Sound)])
    };
    assert_eq!(story(105.5).stands(5.0), Stands::Waiting);
    assert_eq!(story(106.5).stands(5.0), Stands::Confirmed);
}

#[test]
fn only_a_sound_look_of_the_owners_in_the_same_state_confirms() {
    let cold = look(FLOW, Grade::Sound).during("cold");
    let story = named().morning(20.0, 130.0, [cold]);
    assert_eq!(
        story.stands(20.5),
        Stands::Waiting,
        "seen with the engine still"
    );
    let mut guest = flow(Grade::Sound);
    guest.guest = true;
    let story = named().morning(20.0, 130.0, [guest]);
    assert_eq!(story.stands(20.5), Stands::Waiting, "seen by a guest");
    let not_seen = Look::not_seen(FLOW, Some("idle"), "rain", None);
    let story = named().morning(20.0, 130.0, [not_seen]);
    assert_eq!(story.stands(20.5), Stands::Waiting, "not seen");
}

#[test]
fn found_again_it_was_not_the_cause() {
    let story = named().morning(13.0, 116.0, [flow(Grade::Failing)]);
    assert_eq!(story.stands(13.5), Stands::CameBack);
    // Sound later on after other work, it stays so.
    let story = story
        .put_right_as(14.0, "raw-water-strainer", None, None)
        .morning(30.0, 140.0, [flow(Grade::Sound)]);
    assert_eq!(story.stands(30.5), Stands::CameBack);
}

#[test]
fn everything_it_explained_has_to_be_seen_sound() {
    let temperature = |grade| look("coolant-temperature", grade).during("idle");
    let story = Story::new()
        .morning(0.0, 100.0, [flow(Grade::Sound), temperature(Grade::Sound)])
        .morning(
            10.0,
            110.0,
            [flow(Grade::Worn), temperature(Grade::Failing)],
        )
        .put_right_as(11.0, IMPELLER, Some(110.0), Some("impeller"))
        .morning(25.0, 125.0, [flow(Grade::Sound)]);
    assert_eq!(story.proofs(25.5)[0].explains.len(), 2);
    assert_eq!(story.stands(25.5), Stands::Waiting);
    let story = story.morning(26.0, 126.0, [temperature(Grade::Sound)]);
    assert_eq!(story.stands(26.5), Stands::Confirmed);
}

#[test]
fn work_done_together_confirms_none_of_it_alone() {
    let sound = |story: Story| story.morning(20.0, 130.0, [flow(Grade::Sound)]);
    let also = |item: &str, cause| named().put_right_as(11.2, item, None, cause);
    let strainer = sound(also("raw-water-strainer", None));
    assert_eq!(strainer.stands(20.5), Stands::NotAlone);
    let both = sound(also("raw-water-strainer", Some("inlet-blocked")));
    assert!(
        both.proofs(20.5)
            .iter()
            .all(|p| p.stands == Stands::NotAlone)
    );
    let unrelated = sound(also("fuel-fine-filter", None));
    assert_eq!(unrelated.stands(20.5), Stands::Confirmed);
    let serviced = sound(named().service(11.3, &["raw-water-strainer"], &[]));
    assert_eq!(serviced.stands(20.5), Stands::NotAlone);
    // What was done before it was found again did not help.
    let before = Story::new()
        .morning(0.0, 100.0, [flow(Grade::Sound)])
        .put_right_as(5.0, "raw-water-strainer", None, None)
        .morning(10.0, 112.0, [flow(Grade::Worn)])
        .put_right_as(11.0, IMPELLER, Some(113.0), Some("impeller"));
    assert_eq!(sound(before).stands(20.5), Stands::Confirmed);
}

#[test]
fn a_cause_that_explains_nothing_found_is_never_confirmed() {
    let story = thin_flow(Some("air-filter")).morning(20.0, 130.0, [flow(Grade::Sound)]);
    assert_eq!(story.stands(20.5), Stands::NothingFound);
    assert!(thin_flow(None).proofs(20.0).is_empty());
    // One that nobody knows here says nothing.
    assert!(thin_flow(Some("gremlins")).proofs(20.0).is_empty());
}

#[test]
fn a_confirmed_cause_counts_and_taking_the_repair_back_takes_that_away() {
    let confirm = |story: Story| story.morning(20.0, 130.0, [flow(Grade::Sound)]);
    let found = |story: Story| story.morning(21.0, 132.0, [flow(Grade::Worn)]);
    let without = found(confirm(thin_flow(None)));
    let with = found(confirm(named()));
    let repair = with.written.iter();
    let mut repair = repair.filter(|w| matches!(w.record, Record::Repair(_)));
    let id = repair.next().expect("a repair").id.to_string();
    let plain = without.chance(21.5, "impeller");
    assert!(with.chance(21.5, "impeller") > plain + 1e-3);
    let undone = with.write(21.6, Record::from(Undo::of(id)));
    assert!(undone.proofs(22.0).is_empty());
    // Without the repair the record is that of nobody having named it.
    let never = Story {
        written: undone
            .written
            .iter()
            .filter(|w| !matches!(w.record, Record::Repair(_) | Record::Undo(_)))
            .cloned()
            .collect(),
        ..undone.clone()
    };
    assert_eq!(
        undone.chance(22.0, "impeller"),
        never.chance(22.0, "impeller")
    );
    // What only waits teaches nothing.
    let waiting = |story: Story| story.chance(12.0, "impeller");
    assert_eq!(waiting(named()), waiting(thin_flow(None)));
}

#[test]
fn one_finding_confirms_a_cause_once() {
    let story = named()
        .put_right_as(11.1, "raw-water-pump-seal", None, Some("impeller"))
        .morning(20.0, 130.0, [flow(Grade::Sound)]);
    let proofs = story.proofs(20.5);
    assert!(
        proofs.iter().all(|p| p.stands == Stands::Confirmed),
        "{proofs:?}"
    );
    let once = named().morning(20.0, 130.0, [flow(Grade::Sound)]);
    let again = |story: Story| story.morning(21.0, 132.0, [flow(Grade::Worn)]);
    let chance = |story: Story| again(story).chance(21.5, "impeller");
    assert_eq!(chance(story.clone()), chance(once));
}

#[test]
fn a_named_cause_changes_no_grade_no_list_and_no_verdict() {
    let to_the_end = |story: Story| {
        story
            .morning(20.0, 130.0, [flow(Grade::Sound)])
            .morning(30.0, 140.0, [flow(Grade::Early)])
    };
    for on in [11.5, 20.5, 30.5] {
        let (with, without) = (to_the_end(named()), to_the_end(thin_flow(None)));
        let list = |story: &Story| {
            let condition = story.on(on);
            let (exposure, waters) = condition.usual_plan();
            condition.list(Scenario::new(exposure, waters), true)
        };
        assert_eq!(
            format!("{:?}", list(&with)),
            format!("{:?}", list(&without))
        );
        let lives = |story: &Story| format!("{:?}", story.on(on).lives);
        assert_eq!(lives(&with), lives(&without));
        assert_eq!(with.verdict(on), without.verdict(on));
    }
}

fn own(items: &[&str]) -> Value {
    let from: Vec<Value> = items
        .iter()
        .map(|item| json!({"item": item, "worn": "rattles", "failing": "rattles"}))
        .collect();
    json!({"type": "causes",
        "questions": [{"id": "cowl", "title": "cowl", "ask": "Does the cowl rattle?", "ok": "It is quiet.",
            "answers": [{"id": "rattles", "words": "It rattles.", "alone": "common"}],
            "seconds": 5, "state": "cold", "from": from}],
        "causes": [{"id": "cowl-loose", "title": "the cowl is loose", "weight": 3.0,
            "signs": [{"question": "cowl", "answer": "rattles", "strength": "almost-always"}],
            "apart": "A hand on it.", "ignored": "It falls off.", "source": "common practice, no single source"}]})
}

#[test]
fn causes_of_her_own_are_asked_and_what_does_not_check_any_more_is_said() {
    let story = Story::new().own_causes(0.0, own(&["drive-belt"])).morning(
        1.0,
        100.0,
        [look("drive-belt", Grade::Worn).during("cold")],
    );
    let condition = story.on(2.0);
    assert!(condition.not_counted().is_empty());
    assert_eq!(condition.cause_given_by("cowl-loose"), Some("r0"));
    assert_eq!(condition.cause_given_by("impeller"), None);
    let behind = condition.behind(&story.history(), "main");
    let answered = |question: &str| behind.seen.looks.iter().any(|l| l.question == question);
    assert!(answered("cowl"));
    assert!(condition.unknown_cause("cowl-loose").is_none());
    // An item that is not known here: that record is named, the other one counts.
    let story = story.own_causes(3.0, own(&["cowl-of-another-boat"]));
    let condition = story.on(4.0);
    let told = condition.not_counted();
    assert_eq!(told.len(), 1, "{told:?}");
    assert!(told[0].why.contains("cowl-of-another-boat"), "{told:?}");
    assert_eq!(condition.cause_given_by("cowl-loose"), Some("r0"));
    // Any JSON may stand in a record of a later version.
    for odd in [json!(null), json!({"type": "causes"}), json!([1, "x"])] {
        let condition = story.clone().own_causes(5.0, odd).on(6.0);
        assert_eq!(condition.not_counted().len(), 2);
        assert_eq!(condition.cause_given_by("cowl-loose"), Some("r0"));
    }
}

#[test]
fn of_each_id_the_newest_by_the_order_of_the_log_holds_and_an_undo_gives_back() {
    let mut newer = own(&["drive-belt"]);
    newer["causes"][0]["title"] = json!("the cowl has lost a screw");
    let story = Story::new()
        .own_causes(5.0, own(&["drive-belt"]))
        .own_causes(4.0, newer);
    let title = |story: &Story| {
        let condition = story.on(9.0);
        let causes = condition.causes().causes().iter();
        let mut own = causes.filter(|cause| cause.id == "cowl-loose");
        own.next().map(|cause| cause.title.clone())
    };
    assert_eq!(title(&story).as_deref(), Some("the cowl has lost a screw"));
    let undone = story.undo(6.0);
    assert_eq!(title(&undone).as_deref(), Some("the cowl is loose"));
    let none = undone.write(7.0, Record::from(Undo::of("r0")));
    assert_eq!(title(&none), None);
}
