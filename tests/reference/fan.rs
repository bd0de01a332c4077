//! When worse rungs are likely to be met: against quantiles of SciPy (`fan_reference.py`, SciPy
//! 1.17.1), and against the chain's own distribution.

use handlamp::assess::fan::{CHANCES, FirstPassage};
use handlamp::assess::{
    Consequences, Decay, Dwell, Dwells, Exposure, Known, LastLook, Override, WearCourse,
};
use handlamp::boat::Waters;
use handlamp::checklist::{Grade, Kind, Signs};
use proptest::prelude::*;
use proptest::sample::select;

#[derive(serde::Deserialize)]
struct Reference {
    scipy: String,
    chances: [f64; 3],
    cases: Vec<Case>,
}

/// Wear from a rung to another by which each chance has come.
#[derive(serde::Deserialize)]
struct Case {
    means: [f64; 4],
    from: usize,
    to: usize,
    wear: [f64; 3],
}

fn course(grade: Grade, decay: Decay, elapsed: Exposure, past_life: bool) -> WearCourse<'static> {
    WearCourse {
        known: Known {
            last: Some(LastLook { grade, elapsed }),
            past_life,
            decay,
        },
        consequences: Consequences {
            signs: Signs::default(),
            effects: &[],
            waters: Waters::Inshore,
            set: Override::NONE,
            removed: false,
        },
        stopped: false,
        rate_of_use: 24.0,
    }
}

#[test]
fn passages_are_the_quantiles_of_scipy() {
    let text = include_str!("fan_reference.json");
    let reference: Reference = serde_json::from_str(text).expect("the reference file");
    assert_eq!(
        (reference.scipy.as_str(), reference.chances),
        ("1.17.1", CHANCES)
    );
    assert_eq!(reference.cases.len(), 60);
    for case in &reference.cases {
        let dwell = Dwell::new(0.5, case.means).expect("good means");
        let grade = Grade::from_rung(case.from).expect("a rung");
        let fan = course(grade, Decay::Chain(dwell), Exposure::NONE, false).fan();
        let passage = &fan[case.to - case.from - 1];
        assert_eq!(passage.rung.rung(), case.to);
        for (found, exact) in passage.wear.iter().zip(case.wear) {
            let found = found.expect("within twenty years of running");
            let error = (found / exact - 1.0).abs();
            assert!(
                error < 1e-8,
                "{:?} {} to {}: {found}, by SciPy {exact}",
                case.means,
                case.from,
                case.to
            );
        }
    }
}

fn kinds() -> Vec<Kind> {
    let wears = |kind: &&Kind| kind.wears();
    Kind::ALL.iter().filter(wears).copied().collect()
}

proptest! {
    /// At each passage the chain's own chance of that rung or a worse one is the chance it is told at.
    #[test]
    fn each_passage_is_where_the_chain_has_its_chance(
        kind in select(kinds()),
        rung in 0_usize..4,
        past_life in any::<bool>(),
        days in 0.0..400.0_f64,
    ) {
        let grade = Grade::from_rung(rung).expect("a rung");
        let decay = Decay::of(kind, &Dwells::judgement(), None);
        let fresh = course(grade, decay, Exposure::NONE, past_life);
        let elapsed = Exposure::from_days(days, 0.5);
        let fan = fresh.fan();
        prop_assert_eq!(fan.first().map(|p| p.rung.rung()), Some(if past_life { rung.max(2) + 1 } else { rung + 1 }));
        for FirstPassage { rung, wear } in &fan {
            for (wear, chance) in wear.iter().zip(CHANCES) {
                let wear = wear.expect("within twenty years of running");
                let reach = fresh.known.prognosis_after(wear).reach.at(*rung);
                prop_assert!((reach / chance - 1.0).abs() < 1e-9, "{} {}: {}", kind, rung, reach);
            }
        }
        // Counted from the look: whatever has passed since, each stays where it is.
        let later = course(grade, decay, elapsed, past_life).fan();
        for (was, is) in fan.iter().zip(&later) {
            for (was, is) in was.wear.iter().flatten().zip(is.wear.iter().flatten()) {
                prop_assert!((is / was - 1.0).abs() < 1e-9);
            }
        }
    }

    /// A surer passage is later, and so is that of a worse rung.
    #[test]
    fn passages_open_as_a_fan(kind in select(kinds()), rung in 0_usize..4) {
        let grade = Grade::from_rung(rung).expect("a rung");
        let decay = Decay::of(kind, &Dwells::judgement(), None);
        let fan = course(grade, decay, Exposure::NONE, false).fan();
        for passage in &fan {
            prop_assert!(passage.wear[0] < passage.wear[1] && passage.wear[1] < passage.wear[2]);
        }
        for pair in fan.windows(2) {
            prop_assert!(pair[0].rung < pair[1].rung);
            prop_assert!(pair[0].wear.iter().zip(&pair[1].wear).all(|(a, b)| a < b));
        }
    }
}

#[test]
fn without_a_chain_or_a_look_or_below_failed_there_is_none() {
    let seal = Decay::of(Kind::Seal, &Dwells::judgement(), None);
    let level = Decay::of(Kind::Level, &Dwells::judgement(), Some(7));
    assert_eq!(course(Grade::Early, level, Exposure::NONE, false).fan(), []);
    assert_eq!(course(Grade::Failed, seal, Exposure::NONE, false).fan(), []);
    let mut unseen = course(Grade::Sound, seal, Exposure::NONE, false);
    unseen.known.last = None;
    assert_eq!(unseen.fan(), []);
}
