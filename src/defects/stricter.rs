//! One item in two texts, that of the look and that of today: what the look is judged by.

use std::collections::BTreeSet;

use crate::assess::stop::{default_stop_rung, stop_rung};
use crate::boat::{Measure, Waters};
use crate::checklist::item::PhaseBands;
use crate::checklist::{
    Band, Effect, Fluid, Grade, Item, PhaseState, Reading, ServiceLife, Versus,
};

/// What a standing rests on where that is not today's text alone.
#[derive(Clone, Debug)]
pub(super) enum Rest {
    /// On another text than today's.
    Stricter(Box<Stricter>),
    /// On a text that is lost: its name, the walk that names it, and why.
    Lost {
        asked: String,
        walk: String,
        why: String,
    },
}

/// What to judge an item by where two texts of it differ.
#[derive(Clone, Debug)]
pub(super) struct Stricter {
    pub(super) item: Item,
    /// Its effects where its machine does not drive the boat.
    pub(super) undriven: Vec<Effect>,
    /// In what the texts differ, in words.
    pub(super) differs: Vec<String>,
}

/// The item as the look was asked of it, with the stricter of both texts wherever they differ in
/// what an answer rests on. How it is called, where it stands and what puts it right are of today.
pub(super) fn stricter(then: &Item, now: &Item) -> Item {
    let mut item = Item {
        kind: then.kind,
        ladder: then.ladder.clone(),
        reading: readings(then.reading.as_ref(), now.reading.as_ref()),
        fluid: then.fluid,
        place: then.place,
        near_heat: then.near_heat,
        effects: effects(&then.effects, &now.effects),
        stop_at: stop_at(then, now),
        life: life(then.life.as_ref(), now.life.as_ref()),
        look_every_days: match (then.look_every_days, now.look_every_days) {
            (Some(a), Some(b)) => Some(a.min(b)),
            // An item without a chain of its own needs one.
            (a, b) => a.or(b),
        },
        ..now.clone()
    };
    // Fuel that comes out stops, whichever of the two says that it is fuel.
    if now.fluid == Some(Fluid::Fuel) {
        (item.fluid, item.place) = (now.fluid, now.place);
    }
    item
}

/// In what the two texts differ, so that answers differ by it; in words, for a note.
pub(super) fn differences(then: &Item, now: &Item, waters: Waters) -> Vec<String> {
    let rung = |item: &Item| match stop_rung(item, &item.effects, waters) {
        Some(rung) => format!("with a stop at {rung}"),
        None => "without a stop".to_owned(),
    };
    let mut found = Vec::new();
    let (before, today) = (rung(then), rung(now));
    if before != today {
        found.push(format!("asked {before}, today {today}"));
    } else if fuel(then) != fuel(now) {
        found.push("fuel in one text and not in the other".to_owned());
    }
    let sorted = |item: &Item| {
        let mut all = item.effects.clone();
        all.sort_by_key(|e| (e.effect, e.rung(), e.fluid, e.mark));
        all
    };
    if sorted(then) != sorted(now) {
        found.push("other effects".to_owned());
    }
    if then.reading != now.reading {
        found.push("other limits of its reading".to_owned());
    }
    // What is advised about an age that nobody knows, and the source, change no answer.
    let life = |item: &Item| item.life.as_ref().map(|l| (l.hours, l.months));
    if life(then) != life(now) {
        found.push("another life".to_owned());
    }
    found
}

fn fuel(item: &Item) -> bool {
    item.fluid == Some(Fluid::Fuel)
}

/// Those of both texts; where they follow from the same, the larger beta.
fn effects(then: &[Effect], now: &[Effect]) -> Vec<Effect> {
    let mut all = then.to_vec();
    now.iter().for_each(|effect| join(&mut all, effect));
    all
}

/// Adds an effect; of one that follows from the same rung and signs the larger beta counts.
pub(super) fn join(all: &mut Vec<Effect>, effect: &Effect) {
    let hangs_on = |e: &Effect| (e.effect, e.from, e.fluid, e.mark);
    match all.iter_mut().find(|e| hangs_on(e) == hangs_on(effect)) {
        Some(same) => same.beta = same.beta.max(effect.beta),
        None => all.push(effect.clone()),
    }
}

/// The rung at which either of them stops, or none where the default of the effects of both says
/// it: that is never above the default of one of them.
fn stop_at(then: &Item, now: &Item) -> Option<Grade> {
    match (then.stop_at, now.stop_at) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (None, None) => None,
        (Some(own), None) => with_default(own, &now.effects),
        (None, Some(own)) => with_default(own, &then.effects),
    }
}

/// An own rung beside the default of other effects, which may hang on the waters.
fn with_default(own: Grade, effects: &[Effect]) -> Option<Grade> {
    let defaults = Waters::ALL
        .iter()
        .map(|waters| default_stop_rung(effects, *waters).map_or(own, |rung| rung.min(own)));
    let (least, most) = (defaults.clone().min(), defaults.max());
    // Where they differ the default of all effects holds, which is at least as strict.
    if least == most { least } else { None }
}

fn life(then: Option<&ServiceLife>, now: Option<&ServiceLife>) -> Option<ServiceLife> {
    let (Some(a), Some(b)) = (then, now) else {
        return then.or(now).cloned();
    };
    let less = |a: Option<u32>, b: Option<u32>| a.zip(b).map(|(a, b)| a.min(b)).or(a).or(b);
    Some(ServiceLife {
        hours: less(a.hours, b.hours),
        months: less(a.months, b.months),
        // What to do about an age that nobody knows is today's advice.
        unknown_age: b.unknown_age,
        source: b.source.clone(),
    })
}

/// Wherever both say what a value means, the worse.
fn readings(then: Option<&Reading>, now: Option<&Reading>) -> Option<Reading> {
    let (Some(a), Some(b)) = (then, now) else {
        return then.or(now).cloned();
    };
    let alike = (a.quantity, a.unit, a.versus) == (b.quantity, b.unit, b.versus);
    if !alike || a == b {
        return Some(a.clone());
    }
    let own = a.by_phase.iter().chain(&b.by_phase);
    let own: BTreeSet<_> = own.map(|p| (p.state, p.packing)).collect();
    let by_phase = own.into_iter().map(|(state, packing)| {
        let of = |reading: &Reading| reading.bands_in(Some(state), packing).to_vec();
        PhaseBands {
            state,
            packing,
            bands: bands(&of(a), &of(b)),
        }
    });
    Some(Reading {
        bands: bands(&a.bands, &b.bands),
        by_phase: by_phase.collect(),
        ..a.clone()
    })
}

fn bands(a: &[Band], b: &[Band]) -> Vec<Band> {
    let mut ends: Vec<f64> = a
        .iter()
        .chain(b)
        .flat_map(|b| [b.from, b.to])
        .flatten()
        .collect();
    ends.sort_by(f64::total_cmp);
    ends.dedup();
    let lower = std::iter::once(None).chain(ends.iter().copied().map(Some));
    let upper = ends.iter().copied().map(Some).chain(std::iter::once(None));
    let mut all: Vec<Band> = Vec::new();
    for (from, to) in lower.zip(upper) {
        let inside = from.unwrap_or(f64::NEG_INFINITY);
        let rung = |bands: &[Band]| bands.iter().find(|b| b.holds(inside)).map(|b| b.grade);
        let Some(grade) = rung(a).max(rung(b)) else {
            continue;
        };
        match all
            .last_mut()
            .filter(|b| b.grade == grade && b.to.is_some() && b.to == from)
        {
            Some(last) => last.to = to,
            None => all.push(Band { grade, from, to }),
        }
    }
    all
}

/// The rung that a value means by today's limits where that is worse than what it meant when it was
/// asked. Limits against the boat's own usual value say nothing here.
pub(super) fn tightened(
    then: &Item,
    now: &Item,
    measure: Measure,
    state: Option<PhaseState>,
) -> Option<Grade> {
    let rung = |item: &Item| {
        let reading = item.reading.as_ref()?;
        let reading = Some(reading).filter(|r| r.versus == Versus::Absolute)?;
        reading.grade_of(measure.value_in(reading.unit)?, state, None)
    };
    rung(now).filter(|today| rung(then).is_none_or(|before| *today > before))
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::checklist::Catalogue;
    use proptest::prelude::*;

    fn item(id: &str) -> Item {
        Catalogue::built_in().item(id).expect("built in").clone()
    }

    fn anything() -> impl Strategy<Value = Item> {
        let all = Catalogue::built_in().items();
        let stop = proptest::option::of(1..5usize);
        (0..all.len(), stop, 0.01..1.0f64).prop_map(move |(n, stop, beta)| {
            let mut item = all[n].clone();
            item.stop_at = stop.and_then(Grade::from_rung);
            item.effects[0].beta = beta;
            item
        })
    }

    proptest! {
        #[test]
        fn neither_text_is_ever_stricter_than_both_together(a in anything(), b in anything()) {
            let both = stricter(&a, &b);
            for waters in Waters::ALL {
                let of = |item: &Item| stop_rung(item, &item.effects, *waters).map_or(9, |g| g.rung());
                prop_assert!(of(&both) <= of(&a).min(of(&b)), "{waters}");
                // Nor is it stricter without need, but where one stops by a rung of its own and
                // the other by a default that hangs on the waters.
                if (a.stop_at.is_none()) == (b.stop_at.is_none()) {
                    prop_assert_eq!(of(&both), of(&a).min(of(&b)));
                }
            }
            for one in [&a, &b] {
                for effect in &one.effects {
                    let alike = |e: &&Effect| {
                        (e.effect, e.from, e.fluid, e.mark)
                            == (effect.effect, effect.from, effect.fluid, effect.mark)
                    };
                    let known = both.effects.iter().find(alike);
                    prop_assert!(known.is_some_and(|known| known.beta >= effect.beta));
                }
            }
            prop_assert_eq!(stricter(&a, &a).effects, a.effects.clone());
        }

        #[test]
        fn of_two_limits_the_worse_rung_counts(from in 0.0..50.0f64, to in 51.0..99.0f64, at in -10.0..120.0f64) {
            let band = |grade, from, to| Band { grade, from, to };
            let a = [band(Grade::Failing, None, Some(20.0)), band(Grade::Sound, Some(20.0), None)];
            let b = [band(Grade::Worn, None, Some(from)), band(Grade::Sound, Some(from), Some(to)), band(Grade::Failed, Some(to), None)];
            let rung = |bands: &[Band]| bands.iter().find(|b| b.holds(at)).map(|b| b.grade);
            let both = bands(&a, &b);
            prop_assert_eq!(rung(&both), rung(&a).max(rung(&b)));
            let apart = both.windows(2).all(|w| w[0].to.is_some_and(|to| w[1].from.is_some_and(|from| to <= from)));
            prop_assert!(apart, "{:?}", both);
        }
    }

    #[test]
    fn what_differs_is_said_in_words() {
        let now = item("drive-belt");
        assert!(differences(&now, &now, Waters::Inshore).is_empty());
        let mut then = now.clone();
        then.title = "Another title".into();
        assert!(differences(&then, &now, Waters::Inshore).is_empty());
        then.stop_at = Some(Grade::Worn);
        let words = differences(&then, &now, Waters::Inshore);
        assert_eq!(words.len(), 1);
        assert!(
            words[0].starts_with("asked with a stop at worn, today "),
            "{words:?}"
        );
        then.effects[0].beta = 0.9999;
        assert_eq!(differences(&then, &now, Waters::Inshore).len(), 2);
    }

    #[test]
    fn fuel_in_either_text_stops_at_any_leak() {
        let water = item("raw-water-pump-seal");
        let mut fuel = water.clone();
        fuel.fluid = Some(Fluid::Fuel);
        for (then, now) in [(&water, &fuel), (&fuel, &water)] {
            assert_eq!(stricter(then, now).fluid, Some(Fluid::Fuel));
        }
    }

    #[test]
    fn a_limit_made_tighter_counts_and_one_made_wider_does_not() {
        let mut then = item("engine-oil-level");
        let reading = then.reading.as_mut().expect("a level");
        reading.versus = Versus::Absolute;
        reading.by_phase.clear();
        reading.bands = vec![Band {
            grade: Grade::Sound,
            from: Some(20.0),
            to: None,
        }];
        let mut now = then.clone();
        now.reading.as_mut().expect("a level").bands = vec![Band {
            grade: Grade::Worn,
            from: None,
            to: Some(50.0),
        }];
        let measure: Measure = serde_json::from_str(r#"{"value":30,"unit":"%"}"#).expect("read");
        assert_eq!(tightened(&then, &now, measure, None), Some(Grade::Worn));
        assert_eq!(tightened(&now, &then, measure, None), None);
    }
}
