//! The laws of the order: with all else the same, a worse grade, an older look, more exposure, a
//! worse severity or a larger beta never moves an item down; and the order is total.

use chrono::{DateTime, FixedOffset, TimeDelta};
use handlamp::assess::{
    Consequences, Decay, Dwells, Exposure, Known, LastLook, Level, Override, RankKey, Rating,
    Severity, default_stop_rung,
};
use handlamp::boat::Waters;
use handlamp::checklist::{Effect, EffectKind, Grade, Kind, Signs};
use proptest::prelude::*;
use proptest::sample::select;

/// A row of the list and all it depends on.
#[derive(Clone, Debug)]
struct Row {
    kind: Kind,
    grade: Grade,
    elapsed: Exposure,
    past_life: bool,
    ahead: Exposure,
    effects: Vec<Effect>,
    waters: Waters,
    set: Override,
    stop_at: Option<Grade>,
    opened_hours: i64,
    item: String,
}

impl Row {
    fn rating(&self) -> Rating {
        let known = Known {
            last: Some(LastLook {
                grade: self.grade,
                elapsed: self.elapsed,
            }),
            past_life: self.past_life,
            decay: Decay::of(self.kind, &Dwells::judgement(), Some(7)),
        };
        let consequences = Consequences {
            effects: &self.effects,
            signs: Signs::default(),
            waters: self.waters,
            set: self.set,
            removed: false,
        };
        consequences.rate(&known.prognosis(self.ahead).reach)
    }

    fn stop_rung(&self) -> Option<Grade> {
        let default = || default_stop_rung(&self.effects, self.waters);
        self.stop_at.or_else(default)
    }

    fn key(&self) -> RankKey<'_> {
        RankKey {
            stop: self.stop_rung().is_some_and(|rung| self.grade >= rung),
            rating: self.rating(),
            opened: Some(opened(self.opened_hours)),
            item: &self.item,
            machine: "main",
        }
    }
}

fn opened(hours: i64) -> DateTime<FixedOffset> {
    let epoch = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
    epoch + TimeDelta::hours(hours)
}

fn exposures() -> impl Strategy<Value = Exposure> {
    (0.0..400.0_f64, 0.0..400.0_f64).prop_map(|(hours, days)| Exposure { hours, days })
}

fn effects() -> impl Strategy<Value = Vec<Effect>> {
    let beta = prop_oneof![Just(1.0), 0.001..1.0_f64];
    let from = prop::option::of(select(Grade::ALL));
    let effect = (select(EffectKind::ALL), beta, from);
    prop::collection::vec(
        effect.prop_map(|(effect, beta, from)| Effect {
            from,
            ..Effect::new(effect, beta)
        }),
        1..4,
    )
}

fn overrides() -> impl Strategy<Value = Override> {
    let severity = prop::option::weighted(0.2, select(&Severity::ALL[..]));
    let level = prop::option::weighted(0.2, select(&Level::ALL[..5]));
    (severity, level).prop_map(|(s, l)| Override::new(s, l).expect("levels a to e"))
}

fn rows() -> impl Strategy<Value = Row> {
    let seen = (
        select(Kind::ALL),
        select(Grade::ALL),
        exposures(),
        any::<bool>(),
        exposures(),
    );
    let consequences = (effects(), select(Waters::ALL), overrides());
    let rest = (
        prop::option::of(select(Grade::ALL)),
        0..3_i64,
        select(&["belt", "clip"][..]),
    );
    (seen, consequences, rest).prop_map(|(seen, consequences, rest)| {
        let (kind, grade, elapsed, past_life, ahead) = seen;
        let (effects, waters, set) = consequences;
        let (stop_at, opened_hours, item) = rest;
        Row {
            kind,
            grade,
            elapsed,
            past_life,
            ahead,
            effects,
            waters,
            set,
            stop_at,
            opened_hours,
            item: item.to_string(),
        }
    })
}

/// Steps from a minute to a month; the chance holds its digits far below that.
fn steps() -> impl Strategy<Value = Exposure> {
    (0.02..700.0_f64, 0.02..30.0_f64).prop_map(|(hours, days)| Exposure { hours, days })
}

fn more(exposure: Exposure, by: Exposure) -> Exposure {
    Exposure {
        hours: exposure.hours + by.hours,
        days: exposure.days + by.days,
    }
}

fn never_moves_down(row: &Row, worse: &Row) -> Result<(), TestCaseError> {
    prop_assert!(
        worse.key() <= row.key(),
        "{:?}\nthen {:?}",
        row.key(),
        worse.key()
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1000))]

    #[test]
    fn a_worse_grade_never_moves_an_item_down(row in rows()) {
        let worse = Row { grade: row.grade.worse(), ..row.clone() };
        never_moves_down(&row, &worse)?;
    }

    #[test]
    fn an_older_look_never_moves_an_item_down(row in rows(), by in steps()) {
        let older = Row { elapsed: more(row.elapsed, by), ..row.clone() };
        never_moves_down(&row, &older)?;
    }

    #[test]
    fn more_exposure_never_moves_an_item_down(row in rows(), by in steps()) {
        let longer = Row { ahead: more(row.ahead, by), ..row.clone() };
        never_moves_down(&row, &longer)?;
    }

    #[test]
    fn a_passed_life_never_moves_an_item_down(row in rows()) {
        let young = Row { past_life: false, ..row.clone() };
        never_moves_down(&young, &Row { past_life: true, ..row })?;
    }

    #[test]
    fn waters_further_from_help_never_move_an_item_down(row in rows(), waters in select(Waters::ALL)) {
        let further = Row { waters: row.waters.max(waters), ..row.clone() };
        never_moves_down(&row, &further)?;
    }

    #[test]
    fn a_worse_effect_never_moves_an_item_down(
        row in rows(),
        at in any::<prop::sample::Index>(),
        effect in select(EffectKind::ALL),
    ) {
        let mut worse = row.clone();
        let at = at.index(row.effects.len());
        let severity = |effect| Severity::of(effect, row.waters);
        prop_assume!(severity(effect) <= severity(row.effects[at].effect));
        worse.effects[at].effect = effect;
        // Default stops follow the sort of effect, not its severity: mess over the side never stops.
        worse.stop_at = row.stop_rung();
        never_moves_down(&row, &worse)?;
    }

    #[test]
    fn a_worse_severity_by_hand_never_moves_an_item_down(row in rows(), step in 0..3_usize) {
        let with = |severity| {
            let set = Override::new(Some(severity), None).expect("no level");
            Row { set, ..row.clone() }
        };
        let (worse, better) = (Severity::ALL[step], Severity::ALL[step + 1]);
        never_moves_down(&with(better), &with(worse))?;
    }

    #[test]
    fn an_effect_that_follows_from_a_better_rung_never_moves_an_item_down(
        row in rows(),
        at in any::<prop::sample::Index>(),
        from in select(Grade::ALL),
    ) {
        let mut earlier = row.clone();
        let at = at.index(row.effects.len());
        // One without a rung speaks at all of them.
        earlier.effects[at].from = row.effects[at].from.map(|known| known.min(from));
        never_moves_down(&row, &earlier)?;
    }

    #[test]
    fn a_larger_beta_never_moves_an_item_down(
        row in rows(),
        at in any::<prop::sample::Index>(),
        beta in 0.001..1.0_f64,
    ) {
        let mut worse = row.clone();
        let effect = &mut worse.effects[at.index(row.effects.len())];
        effect.beta = effect.beta.max(beta);
        never_moves_down(&row, &worse)?;
    }

}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn the_order_is_total_and_the_same_whatever_the_order_given(
        mut list in prop::collection::vec(rows(), 2..12),
        turn in any::<prop::sample::Index>(),
    ) {
        for (number, row) in list.iter_mut().enumerate() {
            // Ids are unique in a list; everything else may tie.
            row.item = format!("{}-{number}", row.item);
        }
        let sorted = |list: &[Row]| {
            let mut keys: Vec<_> = list.iter().map(Row::key).collect();
            keys.sort_unstable();
            keys.iter().map(|key| key.item.to_string()).collect::<Vec<_>>()
        };
        let first = sorted(&list);
        let turned = turn.index(list.len());
        list.rotate_left(turned);
        prop_assert_eq!(&first, &sorted(&list));
        list.reverse();
        prop_assert_eq!(&first, &sorted(&list));
        let keys: Vec<_> = list.iter().map(Row::key).collect();
        for a in &keys {
            for b in &keys {
                prop_assert_eq!(a == b, a.item == b.item);
                prop_assert_eq!(a.cmp(b), b.cmp(a).reverse());
            }
        }
    }
}
