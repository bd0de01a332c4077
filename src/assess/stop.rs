//! The rung at which an item alone forbids running.

use super::words::Severity;
use crate::boat::Waters;
use crate::checklist::{Effect, EffectKind, Grade, Item};

/// The stop rung of an item: its own where the catalogue gives one, else the default of what
/// follows its failure where it is fitted. `None` where it never stops the boat.
pub fn stop_rung<'e>(
    item: &Item,
    effects: impl IntoIterator<Item = &'e Effect>,
    waters: Waters,
) -> Option<Grade> {
    item.stop_at.or_else(|| default_stop_rung(effects, waters))
}

/// True where an item seen at `grade` forbids running by itself.
pub fn stops<'e>(
    item: &Item,
    effects: impl IntoIterator<Item = &'e Effect>,
    grade: Grade,
    waters: Waters,
) -> bool {
    stop_rung(item, effects, waters).is_some_and(|rung| grade >= rung)
}

/// The stop rung where an item names none: failing where a failure is catastrophic or takes control
/// away; failed for any other effect; never for mess in the boat or over the side (judgement). No
/// effect stops before the rung from which it can follow.
pub fn default_stop_rung<'e>(
    effects: impl IntoIterator<Item = &'e Effect>,
    waters: Waters,
) -> Option<Grade> {
    let rung = |effect: &Effect| {
        let rung = match effect.effect {
            EffectKind::Pollution | EffectKind::Nuisance => return None,
            EffectKind::LossOfControl => Grade::Failing,
            kind if Severity::of(kind, waters) == Severity::Catastrophic => Grade::Failing,
            _ => Grade::Failed,
        };
        Some(effect.from.map_or(rung, |from| from.max(rung)))
    };
    effects.into_iter().filter_map(rung).min()
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn default_of(kinds: &[EffectKind], waters: Waters) -> Option<Grade> {
        let effect = |kind: &EffectKind| Effect::new(*kind, 0.1);
        let effects: Vec<_> = kinds.iter().map(effect).collect();
        default_stop_rung(&effects, waters)
    }

    #[test]
    fn defaults_follow_the_worst_effect() {
        use EffectKind::*;
        let inshore = Waters::Inshore;
        assert_eq!(default_of(&[Nuisance, Pollution], inshore), None);
        assert_eq!(default_of(&[], inshore), None);
        assert_eq!(default_of(&[LossOfSafeguard], inshore), Some(Grade::Failed));
        assert_eq!(
            default_of(&[LossOfPropulsion, Nuisance], inshore),
            Some(Grade::Failed)
        );
        assert_eq!(
            default_of(&[EngineDamage, LossOfControl], inshore),
            Some(Grade::Failing)
        );
        assert_eq!(
            default_of(&[Pollution, Fire], inshore),
            Some(Grade::Failing)
        );
    }

    #[test]
    fn flooding_stops_later_in_sheltered_waters() {
        let rung = |waters| default_of(&[EffectKind::Flooding], waters);
        assert_eq!(rung(Waters::Sheltered), Some(Grade::Failed));
        assert_eq!(rung(Waters::Inshore), Some(Grade::Failing));
    }

    #[test]
    fn no_effect_stops_before_it_can_follow() {
        let rung = |effect, from| {
            let effect = Effect {
                from,
                ..Effect::new(effect, 0.1)
            };
            default_stop_rung(&[effect], Waters::Inshore)
        };
        let fire = |from| rung(EffectKind::Fire, from);
        assert_eq!(fire(Some(Grade::Early)), fire(None));
        assert_eq!(fire(Some(Grade::Failed)), Some(Grade::Failed));
        let propulsion = rung(EffectKind::LossOfPropulsion, Some(Grade::Worn));
        assert_eq!(propulsion, Some(Grade::Failed));
    }

    #[test]
    fn the_items_own_rung_comes_before_the_default() {
        let mut item: Item = serde_json::from_value(serde_json::json!({
            "id": "raw-water-pump-seal", "title": "Raw-water pump seal", "scope": "machine",
            "kind": "seal", "station": "front", "look": "Wipe a finger below the body.",
            "ladder": ["dry", "damp", "a drop hangs", "drops fall", "a stream"],
            "effects": [{"effect": "engine-damage", "beta": 0.2}],
            "remedy": {"do": "fit a seal", "who": "owner", "where": "in-port"},
            "seconds": 5, "source": "common practice"
        }))
        .expect("a whole item");
        let inshore = Waters::Inshore;
        let rung = |item: &Item, effects: &[Effect]| stop_rung(item, effects, inshore);
        let stops = |item: &Item, grade| stops(item, &item.effects, grade, inshore);
        assert_eq!(rung(&item, &item.effects), Some(Grade::Failed));
        assert_eq!(rung(&item, &[]), None);
        assert!(!stops(&item, Grade::Failing));
        assert!(stops(&item, Grade::Failed));
        item.stop_at = Some(Grade::Worn);
        assert!(stops(&item, Grade::Worn));
        assert!(!stops(&item, Grade::Early));
        // Where the catalogue names a rung, no effect left aside takes it away.
        assert_eq!(rung(&item, &[]), Some(Grade::Worn));
    }
}
