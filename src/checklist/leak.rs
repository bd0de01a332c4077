//! Which rung a leak class means, by what leaks and from where. The table is data
//! (`checklists/leak-classes.json`) after the leak classes of the US Army operator checks.

use std::sync::LazyLock;

use serde::Deserialize;

use super::compiled::compiled_in;
use super::item::Item;
use super::words::{Fluid, Grade, Leak, Place};

#[derive(Deserialize)]
struct Table {
    worse_near_heat: Vec<Fluid>,
    rows: Vec<Row>,
}

#[derive(Deserialize)]
struct Row {
    fluid: Fluid,
    places: Vec<Place>,
    i: Grade,
    ii: Grade,
    iii: Grade,
    stream: Grade,
}

static TABLE: LazyLock<Table> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/leak-classes.json")));

fn row(fluid: Fluid, place: Place) -> Option<&'static Row> {
    TABLE
        .rows
        .iter()
        .find(|r| r.fluid == fluid && r.places.contains(&place))
}

/// True where the table says what a leak of this fluid at this place means, or where sea water
/// is judged by other means (a packed gland).
pub(super) fn is_known(fluid: Fluid, place: Place) -> bool {
    (fluid, place) == (Fluid::RawWater, Place::Gland) || row(fluid, place).is_some()
}

/// The rung that a leak class proposes: sound for none, one rung worse for oil that can reach
/// something hot. `None` where the class proposes nothing: a packed gland, meant to drip and
/// judged by drops per minute, and pairs of fluid and place that no boat has.
pub fn leak_grade(fluid: Fluid, place: Place, near_heat: bool, leak: Leak) -> Option<Grade> {
    let row = row(fluid, place)?;
    let grade = match leak {
        Leak::None => return Some(Grade::Sound),
        Leak::I => row.i,
        Leak::Ii => row.ii,
        Leak::Iii => row.iii,
        Leak::Stream => row.stream,
    };
    let worse = near_heat && TABLE.worse_near_heat.contains(&fluid);
    Some(if worse { grade.worse() } else { grade })
}

/// True where fuel comes out at all: no class of fuel leak is allowed, every one forbids running.
pub fn fuel_leak(item: &Item, leak: Leak) -> bool {
    item.fluid == Some(Fluid::Fuel) && leak != Leak::None
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checklist::Catalogue;
    use Grade::{Early, Failed, Failing, Sound, Worn};

    /// Fluid, place, heat, and the rungs of classes I, II, III and stream. Source of classes:
    /// US Army operator checks; of rungs: common practice, no single source.
    const EXPECTED: &[(Fluid, Place, bool, [Grade; 4])] = &[
        (
            Fluid::Fuel,
            Place::Static,
            false,
            [Failing, Failed, Failed, Failed],
        ),
        (
            Fluid::Fuel,
            Place::Static,
            true,
            [Failing, Failed, Failed, Failed],
        ),
        (
            Fluid::ExhaustGas,
            Place::Static,
            true,
            [Failing, Failing, Failing, Failed],
        ),
        (
            Fluid::Oil,
            Place::Static,
            false,
            [Early, Worn, Failing, Failed],
        ),
        (
            Fluid::Oil,
            Place::Static,
            true,
            [Worn, Failing, Failed, Failed],
        ),
        (
            Fluid::Oil,
            Place::Rotating,
            false,
            [Early, Worn, Failing, Failed],
        ),
        (
            Fluid::GearOil,
            Place::Rotating,
            true,
            [Worn, Failing, Failed, Failed],
        ),
        (
            Fluid::Coolant,
            Place::Rotating,
            true,
            [Early, Worn, Failing, Failed],
        ),
        (
            Fluid::RawWater,
            Place::BelowWaterline,
            false,
            [Worn, Failing, Failed, Failed],
        ),
        (
            Fluid::RawWater,
            Place::AboveWaterline,
            false,
            [Early, Worn, Failing, Failed],
        ),
    ];

    #[test]
    fn the_classes_mean_their_rungs() {
        for &(fluid, place, heat, rungs) in EXPECTED {
            for (leak, rung) in [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream]
                .into_iter()
                .zip(rungs)
            {
                assert_eq!(
                    leak_grade(fluid, place, heat, leak),
                    Some(rung),
                    "{fluid} {place} {leak}"
                );
            }
        }
    }

    #[test]
    fn a_worse_class_or_heat_is_never_a_better_rung() {
        for (&fluid, &place) in Fluid::ALL
            .iter()
            .flat_map(|f| Place::ALL.iter().map(move |p| (f, p)))
        {
            let rungs = |heat| {
                Leak::ALL
                    .iter()
                    .map(move |l| leak_grade(fluid, place, heat, *l))
            };
            assert!(rungs(false).is_sorted(), "{fluid} {place}");
            assert!(rungs(false).zip(rungs(true)).all(|(cold, hot)| cold <= hot));
            assert_eq!(
                leak_grade(fluid, place, true, Leak::None).is_some(),
                row(fluid, place).is_some()
            );
        }
        assert_eq!(
            leak_grade(Fluid::Oil, Place::Static, true, Leak::None),
            Some(Sound)
        );
    }

    #[test]
    fn a_gland_is_not_judged_by_class() {
        for leak in Leak::ALL {
            assert_eq!(
                leak_grade(Fluid::RawWater, Place::Gland, false, *leak),
                None
            );
        }
    }

    #[test]
    fn any_class_of_fuel_stops() {
        for item in Catalogue::built_in().items() {
            for leak in Leak::ALL {
                let expected = item.fluid == Some(Fluid::Fuel) && *leak > Leak::None;
                assert_eq!(fuel_leak(item, *leak), expected, "{}", item.id);
            }
        }
    }
}
