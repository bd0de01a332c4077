//! How long repairs and looks may wait, against the exponential's own inverse.

use handlamp::assess::{
    Consequences, Decay, Dwells, Exposure, Known, LastLook, Level, Override, Risk, Severity,
    Threshold, WearCourse, WearSpan, Whole,
};
use handlamp::boat::Waters;
use handlamp::checklist::{Effect, EffectKind, Grade, Kind, Signs};

const PROPULSION: [Effect; 1] = [Effect::new(EffectKind::LossOfPropulsion, 1.0)];

fn course(kind: Kind, grade: Grade, effects: &[Effect]) -> WearCourse<'_> {
    WearCourse {
        known: Known {
            last: Some(LastLook {
                grade,
                elapsed: Exposure::NONE,
            }),
            past_life: false,
            decay: Decay::of(kind, &Dwells::judgement(), Some(7)),
        },
        consequences: Consequences {
            signs: Signs::default(),
            effects,
            waters: Waters::Inshore,
            set: Override::NONE,
            removed: false,
        },
        stopped: false,
        rate_of_use: 0.5,
    }
}

/// A failing seal fails with 1 - exp(-x / 60): the chance 0.01, where 2B becomes high, is passed at
/// -60 ln 0.99 wear hours. At 0.5 h a day and 0.5 wear hours a day standing, each day is one wear hour.
#[test]
fn the_span_of_one_exponential_is_its_inverse() {
    let course = course(Kind::Seal, Grade::Failing, &PROPULSION);
    let exact = -60.0 * f64::ln(0.99);
    let span = course.waits().fix_within.expect("a span");
    assert_eq!(span.threshold, Threshold::High);
    assert!((span.wear_hours / exact - 1.0).abs() < 1e-8);
    assert!((span.hours.expect("hours") / (exact / 2.0) - 1.0).abs() < 1e-8);
    assert!((span.days.expect("a date") / exact - 1.0).abs() < 1e-8);
    let look = course.waits().look_again_within.expect("a span");
    assert_eq!(look.threshold, Threshold::High);
    assert!((look.wear_hours / (exact / 2.0) - 1.0).abs() < 1e-8);
}

#[test]
fn wear_since_the_look_is_taken_off_the_span() {
    let fresh = course(Kind::Seal, Grade::Worn, &PROPULSION);
    let mut older = fresh.clone();
    older.known.last = Some(LastLook {
        grade: Grade::Worn,
        elapsed: Exposure {
            hours: 4.0,
            days: 8.0,
        },
    });
    let wear = |course: WearCourse| course.waits().fix_within.expect("a span").wear_hours;
    assert!((wear(fresh) - wear(older) - 8.0).abs() < 1e-6);
}

/// The end of a span, counted from the look, is the same whenever it is asked.
#[test]
fn the_end_of_a_span_stands_still() {
    for kind in [Kind::Seal, Kind::Hose, Kind::Belt, Kind::Level] {
        for grade in Grade::ALL {
            let at = |days: f64| {
                let mut course = course(kind, *grade, &PROPULSION);
                let elapsed = Exposure {
                    hours: days / 2.0,
                    days,
                };
                course.known.last = Some(LastLook {
                    grade: *grade,
                    elapsed,
                });
                let waits = course.waits();
                [waits.fix_within, waits.look_again_within].map(|w| w.and_then(|w| w.whole))
            };
            let levels = kind == Kind::Level;
            let first = at(0.0);
            for days in [1.0, 6.0, 30.0, 400.0] {
                // A level whose look is old is ten times as likely to fail: that may end its wait.
                let [fix, look] = at(days);
                assert_eq!(look, first[1], "{kind} {grade} {days} d");
                assert!(fix == first[0] || levels, "{kind} {grade} {days} d");
            }
        }
    }
}

#[test]
fn beyond_the_span_the_rating_has_reached_its_threshold() {
    let effects = [
        Effect::new(EffectKind::Fire, 0.07),
        Effect::new(EffectKind::EngineDamage, 0.3),
    ];
    for grade in [Grade::Sound, Grade::Early, Grade::Worn, Grade::Failing] {
        let course = course(Kind::Hose, grade, &effects);
        let span = course.waits().fix_within.expect("a span");
        let code = |wear: f64| {
            let reach = course.known.prognosis_after(wear).reach;
            course.consequences.rate(&reach).code()
        };
        // A fire at beta 0.07 becomes 1C before the damage at beta 0.3 becomes 3B.
        assert_eq!(code(span.wear_hours * (1.0 - 1e-7)), "1D", "{grade}");
        assert_eq!(code(span.wear_hours * (1.0 + 1e-7)), "1C", "{grade}");
    }
}

/// Every span ends where its threshold is, to a ten-millionth of its length, whatever the kind, the
/// rung and the age of the look: just before it the risk is not yet high, just after it is.
#[test]
fn every_span_ends_at_its_threshold() {
    let mut spans = 0;
    for kind in Kind::ALL.iter().filter(|kind| kind.wears()) {
        for grade in [Grade::Sound, Grade::Early, Grade::Worn, Grade::Failing] {
            for days in [0.0, 0.65, 3.0, 45.0, 300.0] {
                let mut course = course(*kind, grade, &PROPULSION);
                let elapsed = Exposure {
                    hours: days / 2.0,
                    days,
                };
                course.known.last = Some(LastLook { grade, elapsed });
                let span = course.waits().fix_within.expect("a span");
                if span.wear_hours == 0.0 || span.threshold != Threshold::High {
                    continue;
                }
                let high = |wear: f64| {
                    let reach = course.known.prognosis_after(wear).reach;
                    course.consequences.rate(&reach).risk == Risk::High
                };
                assert!(
                    !high(span.wear_hours * (1.0 - 1e-7)),
                    "{kind} {grade} {days} d"
                );
                assert!(
                    high(span.wear_hours * (1.0 + 1e-7)),
                    "{kind} {grade} {days} d"
                );
                spans += 1;
            }
        }
    }
    assert!(spans > 100, "{spans}");
}

#[test]
fn a_stop_or_a_passed_threshold_leaves_no_time() {
    let mut stopped = course(Kind::Seal, Grade::Failing, &PROPULSION);
    stopped.stopped = true;
    let zero = |threshold| {
        Some(WearSpan {
            wear_hours: 0.0,
            hours: Some(0.0),
            days: Some(0.0),
            threshold,
            whole: Some(Whole::Wear(0.0)),
        })
    };
    assert_eq!(stopped.waits().fix_within, zero(Threshold::Stop));
    assert_eq!(stopped.waits().look_again_within, zero(Threshold::Stop));
    let failed = course(Kind::Seal, Grade::Failed, &PROPULSION);
    assert_eq!(failed.waits().fix_within, zero(Threshold::High));
    let pollution = [Effect::new(EffectKind::Pollution, 1.0)];
    let failed = course(Kind::Seal, Grade::Failed, &pollution);
    assert_eq!(failed.waits().fix_within, zero(Threshold::Serious));
}

#[test]
fn a_nuisance_may_wait_but_is_looked_at_again() {
    let nuisance = [Effect::new(EffectKind::Nuisance, 1.0)];
    let course = course(Kind::Seal, Grade::Failing, &nuisance);
    assert_eq!(course.waits().fix_within, None);
    let look = course.waits().look_again_within.expect("a span");
    assert_eq!(look.threshold, Threshold::Chance);
    assert!((look.wear_hours / (-60.0 * f64::ln(0.99)) - 1.0).abs() < 1e-8);
}

#[test]
fn what_a_person_set_moves_the_span() {
    let mut set = course(Kind::Seal, Grade::Failing, &PROPULSION);
    set.consequences.set = Override::new(Some(Severity::Marginal), None).expect("allowed");
    // 3B is serious, from the same chance on.
    let span = set.waits().fix_within.expect("a span");
    assert_eq!(span.threshold, Threshold::Serious);
    set.consequences.set = Override::new(None, Some(Level::D)).expect("allowed");
    assert_eq!(set.waits().fix_within, None);
    set.consequences.set = Override::new(None, Some(Level::A)).expect("allowed");
    assert_eq!(
        set.waits().fix_within.map(|span| span.wear_hours),
        Some(0.0)
    );
}

#[test]
fn a_boat_at_rest_wears_only_what_ages_in_the_berth() {
    let mut hose = course(Kind::Hose, Grade::Failing, &PROPULSION);
    hose.rate_of_use = 0.0;
    let span = hose.waits().fix_within.expect("a span");
    // Hours do not limit it: 0 h would read as now.
    assert_eq!((span.hours, span.is_over()), (None, false));
    assert!((span.days.expect("a date") - span.wear_hours / 2.0).abs() < 1e-9);
    // A chafe point wears with running alone: hours, but no date.
    let mut chafe = course(Kind::ChafePoint, Grade::Failing, &PROPULSION);
    chafe.rate_of_use = 0.0;
    let span = chafe.waits().fix_within.expect("a span");
    assert_eq!(span.days, None);
    assert_eq!(span.hours, Some(span.wear_hours));
    assert!((span.wear_hours / (-30.0 * f64::ln(0.99)) - 1.0).abs() < 1e-8);
}

#[test]
fn nothing_is_followed_beyond_twenty_years() {
    let faint = [Effect::new(EffectKind::LossOfPropulsion, 0.01)];
    let mut course = course(Kind::Mount, Grade::Sound, &faint);
    course.rate_of_use = 0.001;
    let span = course.waits().fix_within.expect("a span");
    assert_eq!(span.threshold, Threshold::Horizon);
    assert_eq!(span.days, Some(7305.0));
    // A beta too small for any chance of failure to matter has no threshold at all.
    let fainter = [Effect::new(EffectKind::LossOfPropulsion, 0.001)];
    course.consequences.effects = &fainter;
    assert_eq!(course.waits().fix_within, None);
}

#[test]
fn without_a_chain_the_interval_says_when_to_look() {
    let mut level = course(Kind::Level, Grade::Early, &PROPULSION);
    assert_eq!(level.waits().fix_within, None);
    let look = level.waits().look_again_within.expect("an interval");
    assert_eq!((look.days, look.hours), (Some(7.0), Some(3.5)));
    assert_eq!(look.threshold, Threshold::Interval);
    level.rate_of_use = 0.0;
    let idle = level.waits().look_again_within.expect("an interval");
    assert_eq!(
        (idle.days, idle.hours, idle.is_over()),
        (Some(7.0), None, false)
    );
    level.rate_of_use = 0.5;
    level.known.last = Some(LastLook {
        grade: Grade::Early,
        elapsed: Exposure {
            hours: 0.0,
            days: 9.0,
        },
    });
    assert_eq!(
        level.waits().look_again_within.and_then(|s| s.days),
        Some(0.0)
    );
    level.known.decay = Decay::of(Kind::Level, &Dwells::judgement(), None);
    assert_eq!(level.waits().look_again_within, None);
}
