//! The worked example of MIL-STD-1629A (24 Nov 1980), Appendix A 50.6, and the case against
//! multiplying ranks.

use handlamp::assess::chain::chance_failed;
use handlamp::assess::{
    Appraisal, Consequences, Level, Override, RankKey, Rating, Reach, Risk, Severity,
};
use handlamp::boat::Waters;
use handlamp::checklist::{Effect, EffectKind, Grade, Signs};

/// A failure mode as an item one exponential dwell away from failing, appraised over one hour.
fn mode(rate_per_hour: f64, effect: EffectKind, beta: f64) -> Appraisal {
    let mean = 1.0 / rate_per_hour;
    let consequences = Consequences {
        signs: Signs::default(),
        effects: &[Effect::new(effect, beta)],
        waters: Waters::Offshore,
        set: Override::NONE,
        removed: false,
    };
    consequences.appraise(&Reach::of_failure(chance_failed(
        &[mean; 4],
        Grade::Failing,
        1.0,
    )))
}

/// The sum within one severity class, which is all the standard allows (3.2.1.7).
fn sum_within(modes: &[Appraisal], severity: Severity) -> f64 {
    let effects = modes.iter().flat_map(|mode| &mode.effects);
    effects
        .filter(|e| e.severity == severity)
        .map(|e| e.chance)
        .sum()
}

/// Part failure rate 0.10e-6/h times factors 1.5, 40 and 1.2; beta 0.5; one hour; mode ratios 0.3
/// and 0.2 in category II, 0.5 in category IV. Cm = beta alpha lambda t is 1.08e-6 and 0.72e-6, Cr of
/// category II 1.80e-6; taking in the third mode would give 3.60e-6. The chance after beta is the
/// same number for times short against the mean: 1 - exp(-x) = x (1 - x/2 ...) with x = 2e-6.
#[test]
fn criticality_numbers_of_the_worked_example() {
    let rate = 0.10e-6 * 1.5 * 40.0 * 1.2;
    let modes = [
        mode(0.3 * rate, EffectKind::LossOfPropulsion, 0.5),
        mode(0.2 * rate, EffectKind::LossOfPropulsion, 0.5),
        mode(0.5 * rate, EffectKind::Nuisance, 0.5),
    ];
    let near = |value: f64, printed: f64| (value / printed - 1.0).abs() < 2e-6;
    assert!(near(modes[0].effects[0].chance, 1.08e-6));
    assert!(near(modes[1].effects[0].chance, 0.72e-6));
    let critical = sum_within(&modes, Severity::Critical);
    assert!(near(critical, 1.80e-6));
    let trap = critical + sum_within(&modes, Severity::Negligible);
    assert!(near(trap, 3.60e-6));
    // Beta comes after the failure: the chance of failure itself is twice the effect's here.
    assert!(near(modes[0].chance, 2.16e-6));
}

/// Products of ranks tie unlike things and turn orders round: of 1000 products of three ranks only
/// 120 differ, and ranks 10, 1, 1 tie with 1, 10, 1 (published criticism of risk priority numbers,
/// 2011). Here a rare fire, 1D (serious), comes before a certain mess, 4A (medium), and at equal risk
/// severity speaks before likelihood.
#[test]
fn severity_is_not_bought_off_by_likelihood() {
    let row = |severity, level, chance| Rating {
        deciding: 0,
        severity,
        level,
        risk: Risk::of(severity, level),
        chance,
    };
    let key = |rating| RankKey {
        stop: false,
        rating,
        opened: None,
        item: "item",
        machine: "main",
    };
    let rare_fire = key(row(Severity::Catastrophic, Level::D, 1e-5));
    let sure_mess = key(row(Severity::Negligible, Level::A, 1.0));
    assert_eq!(rare_fire.rating.risk, Risk::Serious);
    assert_eq!(sure_mess.rating.risk, Risk::Medium);
    assert!(rare_fire < sure_mess);
    let rarest_fire = key(row(Severity::Catastrophic, Level::E, 1e-7));
    assert_eq!(rarest_fire.rating.risk, Risk::Medium);
    assert!(rarest_fire < sure_mess);
}

/// The order is lexicographic over every pair of cells: risk, then severity.
#[test]
fn cells_rank_by_risk_then_severity() {
    let cell = |severity: Severity, level: Level| Rating {
        deciding: 0,
        severity,
        level,
        risk: Risk::of(severity, level),
        chance: 0.5,
    };
    let cells: Vec<_> = (Severity::ALL.iter())
        .flat_map(|s| Level::ALL.iter().map(|l| cell(*s, *l)))
        .collect();
    for a in &cells {
        for b in &cells {
            let words = (a.risk, a.severity).cmp(&(b.risk, b.severity));
            assert_eq!(a.worst_first(b), words);
        }
    }
}
