//! From a chance to a rating: which effect decides, how severe, how likely, how risky.

use std::cmp::Ordering;

use schemars::JsonSchema;
use serde::Serialize;

use super::chance::Reach;
use super::risk::code;
use super::words::{Level, Risk, Severity};
use crate::boat::Waters;
use crate::checklist::{Effect, EffectKind, Grade, Signs};

/// What is at stake when an item fails.
#[derive(Clone, Debug)]
pub struct Consequences<'a> {
    /// What follows the failure. Where nothing is listed, a failure is a nuisance.
    pub effects: &'a [Effect],
    /// What was seen beside the rung, on which some effects hang.
    pub signs: Signs,
    /// How far from help.
    pub waters: Waters,
    /// What a person set in place of the computed severity or level.
    pub set: Override,
    /// True where the item was removed for good.
    pub removed: bool,
}

/// Severity or level set by a person. It speaks for the item as a whole: every effect takes it,
/// so a worse condition still never lowers the rating.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Override {
    severity: Option<Severity>,
    level: Option<Level>,
    /// It was set for a better state than this one, and counts only where it is the worse rating.
    suspended: bool,
}

impl Override {
    /// No override: the method decides both.
    pub const NONE: Override = Override {
        severity: None,
        level: None,
        suspended: false,
    };

    /// Sets a severity, a level or both.
    ///
    /// # Errors
    /// For level F: no person's word eliminates a hazard, only removing the item does
    /// (MIL-STD-882E, 4.3.3.b).
    pub fn new(severity: Option<Severity>, level: Option<Level>) -> Result<Override, String> {
        if level == Some(Level::F) {
            return Err("level f is kept for an item removed for good".to_string());
        }
        Ok(Override {
            severity,
            level,
            suspended: false,
        })
    }

    /// The same where what was seen since is worse than what it was set for.
    #[must_use]
    pub fn suspended(self, suspended: bool) -> Override {
        Override { suspended, ..self }
    }
}

/// The rating of one effect, in the field order of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EffectAppraisal {
    /// The effect these figures are of.
    pub effect: EffectKind,
    /// How severe in these waters.
    pub severity: Severity,
    /// The rung from which it can follow.
    pub from: Grade,
    /// Chance that the item stands there or worse at the end of the exposure.
    pub reached: f64,
    /// Chance that it follows then.
    pub beta: f64,
    /// Chance that it comes about over the exposure: the one times the other.
    pub chance: f64,
    /// Level of that chance.
    pub level: Level,
    /// Severity and level, such as `1A`.
    pub code: String,
    /// Risk of the two.
    pub risk: Risk,
}

/// What an item's row stands on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rating {
    /// Index of the deciding effect.
    pub deciding: usize,
    /// Category in these waters, or as set by hand.
    pub severity: Severity,
    /// Level of chance × beta by MIL-STD-882E Table A-II, or as set by hand.
    pub level: Level,
    /// Risk of the deciding effect: the cell of MIL-STD-882E Table III at that severity and level.
    pub risk: Risk,
    /// Chance of the deciding effect: that its rung is reached, times its beta.
    pub chance: f64,
}

impl Rating {
    /// Severity and level, such as `1A`.
    pub fn code(&self) -> String {
        code(self.severity, self.level)
    }

    /// Worst risk first, then worst severity, then the larger chance of the deciding effect.
    pub fn worst_first(&self, other: &Rating) -> Ordering {
        let words = (self.risk, self.severity).cmp(&(other.risk, other.severity));
        words.then(other.chance.total_cmp(&self.chance))
    }
}

/// The whole appraisal of an item over one exposure.
#[derive(Clone, Debug, PartialEq)]
pub struct Appraisal {
    /// Chance of failure, before any beta.
    pub chance: f64,
    /// Each effect as computed.
    pub effects: Vec<EffectAppraisal>,
    /// What counts: as computed, or as set by a person.
    pub rating: Rating,
    /// By the method alone, without an override.
    pub computed: Rating,
    /// Worst severity over the effects, whatever their beta; serves verdict and coverage.
    pub worst_severity: Severity,
}

const NUISANCE: Effect = Effect::new(EffectKind::Nuisance, 1.0);

impl Consequences<'_> {
    /// The appraisal for the chances of the rungs.
    pub fn appraise(&self, reach: &Reach) -> Appraisal {
        let each = self.effects().map(|e| self.effect(e, reach));
        Appraisal {
            chance: reach.at(Grade::Failed),
            effects: each.collect(),
            rating: self.rate(reach),
            computed: self.rate_with(reach, Override::NONE),
            worst_severity: Severity::worst_of(self.listed(), self.waters),
        }
    }

    /// The rating that counts for the chances of the rungs. Of one set by hand that is suspended and
    /// the computed one the worse counts, so that seeing something worse never makes it better.
    pub fn rate(&self, reach: &Reach) -> Rating {
        let set = self.rate_with(reach, self.set);
        if !self.set.suspended {
            return set;
        }
        let computed = self.rate_with(reach, Override::NONE);
        match computed.worst_first(&set) {
            Ordering::Less => computed,
            Ordering::Equal | Ordering::Greater => set,
        }
    }

    /// The rating of the deciding effect: worst risk, then severity, then chance times beta; of
    /// equals the first listed.
    fn rate_with(&self, reach: &Reach, set: Override) -> Rating {
        let rated = |(deciding, effect): (usize, &Effect)| {
            let chance = reach.at(effect.rung()) * effect.beta;
            let severity = Severity::of(effect.effect, self.waters);
            let severity = set.severity.unwrap_or(severity);
            let level = set.level.filter(|_| !self.removed);
            let level = level.unwrap_or_else(|| self.level(chance));
            Rating {
                deciding,
                severity,
                level,
                risk: Risk::of(severity, level),
                chance,
            }
        };
        let mut all = self.effects().enumerate().map(rated);
        let first = all.next().unwrap_or_else(|| rated((0, &NUISANCE)));
        all.fold(first, |worst, next| {
            if next.worst_first(&worst) == Ordering::Less {
                next
            } else {
                worst
            }
        })
    }

    fn effect(&self, effect: &Effect, reach: &Reach) -> EffectAppraisal {
        let severity = Severity::of(effect.effect, self.waters);
        let reached = reach.at(effect.rung());
        let chance = reached * effect.beta;
        let level = self.level(chance);
        EffectAppraisal {
            effect: effect.effect,
            severity,
            from: effect.rung(),
            reached,
            beta: effect.beta,
            chance,
            level,
            code: code(severity, level),
            risk: Risk::of(severity, level),
        }
    }

    /// The effects that count, never none.
    pub(super) fn effects(&self) -> impl Iterator<Item = &Effect> {
        let none = self.listed().next().is_none();
        self.listed().chain(none.then_some(&NUISANCE))
    }

    /// Those of the item that count by what was seen.
    fn listed(&self) -> impl Iterator<Item = &Effect> {
        self.effects.iter().filter(|e| e.counts(&self.signs))
    }

    fn level(&self, chance: f64) -> Level {
        if self.removed {
            Level::F
        } else {
            Level::of_chance(chance)
        }
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn consequences(effects: &[Effect]) -> Consequences<'_> {
        Consequences {
            effects,
            signs: Signs::default(),
            waters: Waters::Offshore,
            set: Override::NONE,
            removed: false,
        }
    }

    fn effect(effect: EffectKind, beta: f64) -> Effect {
        Effect::new(effect, beta)
    }

    fn failed(chance: f64) -> Reach {
        Reach::of_failure(chance)
    }

    #[test]
    fn an_effect_takes_the_chance_of_the_rung_it_follows_from() {
        use crate::assess::{Decay, Dwells, Exposure, Known, LastLook};
        let known = |grade| Known {
            last: Some(LastLook {
                grade,
                elapsed: Exposure::NONE,
            }),
            past_life: false,
            decay: Decay::of(crate::checklist::Kind::Hose, &Dwells::judgement(), None),
        };
        let effects = [
            effect(EffectKind::LossOfPropulsion, 0.5),
            Effect {
                from: Some(Grade::Failing),
                ..effect(EffectKind::EngineDamage, 0.25)
            },
        ];
        let ahead = Exposure::from_days(2.0, 5.0);
        let seen = |grade| consequences(&effects).appraise(&known(grade).prognosis(ahead).reach);
        let failing = seen(Grade::Failing);
        assert_eq!(failing.effects[0].chance, 0.5 * failing.chance);
        assert!((failing.effects[1].chance - 0.25).abs() < 1e-12);
        let worn = seen(Grade::Worn);
        let shares = known(Grade::Worn)
            .prognosis(ahead)
            .distribution
            .expect("a chain");
        assert!((worn.effects[1].reached - shares[3] - shares[4]).abs() < 1e-15);
    }

    #[test]
    fn what_hangs_on_a_sign_counts_while_it_is_seen() {
        use crate::checklist::{Fluid, WearMark};
        let effects = [
            effect(EffectKind::Nuisance, 1.0),
            Effect {
                fluid: Some(Fluid::Oil),
                mark: Some(WearMark::Heat),
                ..effect(EffectKind::Fire, 0.5)
            },
        ];
        let severity = |fluid, marks: &[WearMark]| {
            let signs = Signs {
                fluid,
                marks: marks.to_vec(),
            };
            let consequences = Consequences {
                signs,
                ..consequences(&effects)
            };
            consequences.appraise(&failed(0.5)).worst_severity
        };
        assert_eq!(severity(Some(Fluid::Oil), &[]), Severity::Negligible);
        assert_eq!(severity(None, &[WearMark::Heat]), Severity::Negligible);
        let both = severity(Some(Fluid::Oil), &[WearMark::Chafe, WearMark::Heat]);
        assert_eq!(both, Severity::Catastrophic);
    }

    #[test]
    fn the_worst_risk_decides_then_the_severity_then_the_chance() {
        // 2B high beats 1D serious.
        let effects = [
            effect(EffectKind::Fire, 0.01),
            effect(EffectKind::LossOfPropulsion, 1.0),
        ];
        let rating = consequences(&effects).rate(&failed(0.02));
        assert_eq!((rating.deciding, rating.code().as_str()), (1, "2B"));
        // 1C high and 2A high: the severity.
        let rating = consequences(&effects).rate(&failed(0.2));
        assert_eq!((rating.deciding, rating.code().as_str()), (0, "1C"));
        // Same risk and severity: the chance.
        let effects = [
            effect(EffectKind::Injury, 0.2),
            effect(EffectKind::LossOfPropulsion, 0.5),
            effect(EffectKind::LossOfControl, 0.5),
        ];
        let rating = consequences(&effects).rate(&failed(0.2));
        assert_eq!(rating.deciding, 1);
        assert_eq!(rating.chance, 0.1);
    }

    #[test]
    fn an_override_counts_and_the_computed_rating_stays_beside_it() {
        let effects = [effect(EffectKind::Fire, 0.5)];
        let set = Override::new(Some(Severity::Marginal), None).expect("allowed");
        let appraisal = Consequences {
            set,
            ..consequences(&effects)
        }
        .appraise(&failed(0.02));
        assert_eq!(appraisal.rating.code(), "3B");
        assert_eq!(appraisal.computed.code(), "1B");
        assert_eq!(appraisal.effects[0].code, "1B");
        assert_eq!(appraisal.worst_severity, Severity::Catastrophic);
        let set = Override::new(None, Some(Level::E)).expect("allowed");
        let rating = Consequences {
            set,
            ..consequences(&effects)
        }
        .rate(&failed(0.9));
        assert_eq!(rating.code(), "1E");
    }

    #[test]
    fn only_removal_eliminates() {
        assert!(Override::new(None, Some(Level::F)).is_err());
        let effects = [effect(EffectKind::Fire, 0.5)];
        assert_eq!(consequences(&effects).rate(&failed(0.0)).level, Level::E);
        let removed = Consequences {
            removed: true,
            ..consequences(&effects)
        };
        assert_eq!(removed.appraise(&failed(1.0)).rating.risk, Risk::Eliminated);
    }

    #[test]
    fn an_item_without_effects_is_a_nuisance() {
        let appraisal = consequences(&[]).appraise(&failed(1.0));
        assert_eq!(appraisal.rating.code(), "4A");
        assert_eq!(appraisal.effects[0].effect, EffectKind::Nuisance);
    }
}
