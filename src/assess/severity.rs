//! Severity of an effect by the kind of waters.

use super::words::Severity;
use crate::boat::Waters;
use crate::checklist::{Effect, EffectKind};

impl Severity {
    /// The category of an effect in some waters (judgement, scaled after MIL-STD-882E Table I for
    /// small craft).
    pub fn of(effect: EffectKind, waters: Waters) -> Severity {
        use Severity::{Catastrophic, Critical, Marginal, Negligible};
        // Sheltered, inshore, offshore, ocean.
        let row = match effect {
            EffectKind::Fire | EffectKind::ExhaustGas => [Catastrophic; 4],
            EffectKind::Flooding => [Critical, Catastrophic, Catastrophic, Catastrophic],
            EffectKind::LossOfControl | EffectKind::Injury | EffectKind::LossOfSafeguard => {
                [Critical; 4]
            }
            EffectKind::LossOfPropulsion => [Marginal, Critical, Critical, Critical],
            EffectKind::EngineDamage => [Marginal, Marginal, Critical, Critical],
            EffectKind::LossOfStarting => [Negligible, Marginal, Marginal, Critical],
            EffectKind::Pollution => [Marginal; 4],
            EffectKind::Nuisance => [Negligible; 4],
        };
        match waters {
            Waters::Sheltered => row[0],
            Waters::Inshore => row[1],
            Waters::Offshore => row[2],
            Waters::Ocean => row[3],
        }
    }

    /// The worst category over an item's effects, whatever their beta; negligible where none is
    /// listed.
    pub fn worst_of<'e>(effects: impl IntoIterator<Item = &'e Effect>, waters: Waters) -> Severity {
        let each = effects.into_iter().map(|e| Severity::of(e.effect, waters));
        each.min().unwrap_or(Severity::Negligible)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_further_from_help_the_worse() {
        for effect in EffectKind::ALL {
            for pair in Waters::ALL.windows(2) {
                let (near, far) = (
                    Severity::of(*effect, pair[0]),
                    Severity::of(*effect, pair[1]),
                );
                assert!(far <= near, "{effect} {} {}", pair[0], pair[1]);
            }
        }
    }

    #[test]
    fn the_table_stands_as_stated() {
        let digits = |effect| {
            let each = Waters::ALL.iter().map(|w| Severity::of(effect, *w).digit());
            each.fold(0, |number, digit| number * 10 + u32::from(digit))
        };
        let stated = [
            (EffectKind::Fire, 1111),
            (EffectKind::ExhaustGas, 1111),
            (EffectKind::Flooding, 2111),
            (EffectKind::LossOfControl, 2222),
            (EffectKind::Injury, 2222),
            (EffectKind::LossOfSafeguard, 2222),
            (EffectKind::LossOfPropulsion, 3222),
            (EffectKind::EngineDamage, 3322),
            (EffectKind::LossOfStarting, 4332),
            (EffectKind::Pollution, 3333),
            (EffectKind::Nuisance, 4444),
        ];
        assert_eq!(stated.len(), EffectKind::ALL.len());
        for (effect, row) in stated {
            assert_eq!(digits(effect), row, "{effect}");
        }
    }

    #[test]
    fn the_worst_effect_counts_however_unlikely() {
        let effect = Effect::new;
        let effects = [
            effect(EffectKind::Nuisance, 1.0),
            effect(EffectKind::Fire, 0.001),
        ];
        assert_eq!(
            Severity::worst_of(&effects, Waters::Sheltered),
            Severity::Catastrophic
        );
        assert_eq!(Severity::worst_of(&[], Waters::Ocean), Severity::Negligible);
    }
}
