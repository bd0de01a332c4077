//! From a chance to a rating: which effect decides, how severe, how likely, how risky.

use std::cmp::Ordering;

use schemars::JsonSchema;
use serde::Serialize;

use super::risk::code;
use super::words::{Level, Risk, Severity};
use crate::boat::Waters;
use crate::checklist::{Effect, EffectKind};

/// What is at stake when an item fails.
#[derive(Clone, Copy, Debug)]
pub struct Consequences<'a> {
    /// What follows the failure. Where nothing is listed, a failure is a nuisance.
    pub effects: &'a [Effect],
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
}

impl Override {
    /// No override: the method decides both.
    pub const NONE: Override = Override {
        severity: None,
        level: None,
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
        Ok(Override { severity, level })
    }
}

/// The rating of one effect, in the field order of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EffectAppraisal {
    /// The effect these figures are of.
    pub effect: EffectKind,
    /// How severe in these waters.
    pub severity: Severity,
    /// Chance that it follows the failure.
    pub beta: f64,
    /// Chance that it comes about over the exposure: chance of failure times beta.
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
    /// Chance of the deciding effect: chance of failure times its beta.
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

const NUISANCE: [Effect; 1] = [Effect {
    effect: EffectKind::Nuisance,
    beta: 1.0,
}];

impl Consequences<'_> {
    /// The appraisal for a chance of failure.
    pub fn appraise(&self, chance: f64) -> Appraisal {
        let each = self.effects().iter().map(|e| self.effect(e, chance));
        Appraisal {
            chance,
            effects: each.collect(),
            rating: self.rate(chance),
            computed: self.rate_with(chance, Override::NONE),
            worst_severity: Severity::worst_of(self.effects, self.waters),
        }
    }

    /// The rating that counts for a chance of failure.
    pub fn rate(&self, chance: f64) -> Rating {
        self.rate_with(chance, self.set)
    }

    /// The rating of the deciding effect: worst risk, then severity, then chance times beta; of
    /// equals the first listed.
    fn rate_with(&self, chance: f64, set: Override) -> Rating {
        let rated = |(deciding, effect): (usize, &Effect)| {
            let chance = chance * effect.beta;
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
        let effects = self.effects();
        let all = effects.iter().enumerate().map(rated);
        all.fold(rated((0, &effects[0])), |worst, next| {
            if next.worst_first(&worst) == Ordering::Less {
                next
            } else {
                worst
            }
        })
    }

    fn effect(&self, effect: &Effect, chance: f64) -> EffectAppraisal {
        let severity = Severity::of(effect.effect, self.waters);
        let chance = chance * effect.beta;
        let level = self.level(chance);
        EffectAppraisal {
            effect: effect.effect,
            severity,
            beta: effect.beta,
            chance,
            level,
            code: code(severity, level),
            risk: Risk::of(severity, level),
        }
    }

    /// The effects that count, never empty.
    pub(super) fn effects(&self) -> &[Effect] {
        if self.effects.is_empty() {
            &NUISANCE
        } else {
            self.effects
        }
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
            waters: Waters::Offshore,
            set: Override::NONE,
            removed: false,
        }
    }

    fn effect(effect: EffectKind, beta: f64) -> Effect {
        Effect { effect, beta }
    }

    #[test]
    fn the_worst_risk_decides_then_the_severity_then_the_chance() {
        // 2B high beats 1D serious.
        let effects = [
            effect(EffectKind::Fire, 0.01),
            effect(EffectKind::LossOfPropulsion, 1.0),
        ];
        let rating = consequences(&effects).rate(0.02);
        assert_eq!((rating.deciding, rating.code().as_str()), (1, "2B"));
        // 1C high and 2A high: the severity.
        let rating = consequences(&effects).rate(0.2);
        assert_eq!((rating.deciding, rating.code().as_str()), (0, "1C"));
        // Same risk and severity: the chance.
        let effects = [
            effect(EffectKind::Injury, 0.2),
            effect(EffectKind::LossOfPropulsion, 0.5),
            effect(EffectKind::LossOfControl, 0.5),
        ];
        let rating = consequences(&effects).rate(0.2);
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
        .appraise(0.02);
        assert_eq!(appraisal.rating.code(), "3B");
        assert_eq!(appraisal.computed.code(), "1B");
        assert_eq!(appraisal.effects[0].code, "1B");
        assert_eq!(appraisal.worst_severity, Severity::Catastrophic);
        let set = Override::new(None, Some(Level::E)).expect("allowed");
        let rating = Consequences {
            set,
            ..consequences(&effects)
        }
        .rate(0.9);
        assert_eq!(rating.code(), "1E");
    }

    #[test]
    fn only_removal_eliminates() {
        assert!(Override::new(None, Some(Level::F)).is_err());
        let effects = [effect(EffectKind::Fire, 0.5)];
        assert_eq!(consequences(&effects).rate(0.0).level, Level::E);
        let removed = Consequences {
            removed: true,
            ..consequences(&effects)
        };
        assert_eq!(removed.appraise(1.0).rating.risk, Risk::Eliminated);
    }

    #[test]
    fn an_item_without_effects_is_a_nuisance() {
        let appraisal = consequences(&[]).appraise(1.0);
        assert_eq!(appraisal.rating.code(), "4A");
        assert_eq!(appraisal.effects[0].effect, EffectKind::Nuisance);
    }
}
