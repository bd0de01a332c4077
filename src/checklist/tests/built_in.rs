use std::collections::HashSet;
use std::time::Instant;

use crate::checklist::library::{CATALOGUE, CHECKLISTS, TASKS};
use crate::checklist::*;
use Grade::{Failed, Failing, Worn};

#[test]
fn every_file_passes_without_a_complaint() {
    for (name, text) in CATALOGUE.iter().chain(CHECKLISTS).chain(TASKS) {
        let found = check_file(name, text, Library::built_in())
            .err()
            .unwrap_or_default();
        let told: Vec<_> = found.iter().map(ToString::to_string).collect();
        assert!(told.is_empty(), "{}", told.join("\n"));
    }
}

#[test]
fn no_id_is_given_twice_across_the_catalogue() {
    let texts = CATALOGUE
        .iter()
        .map(|(name, text)| ((*name).into(), (*text).into()));
    let files: Vec<(String, String)> = texts.collect();
    let (library, _) = Library::built_in().with_files(&files).expect("no fault");
    assert_eq!(&library, Library::built_in());
}

#[test]
fn stations_stand_in_walking_order_with_items_each() {
    let catalogue = Catalogue::built_in();
    let order = "hatch bilge sea-inlet front service-side fuel-side top back stern exhaust controls \
                 electrical space helm over-side";
    let ids: Vec<_> = catalogue.stations().iter().map(|s| s.id.as_str()).collect();
    assert_eq!(ids, order.split_whitespace().collect::<Vec<_>>());
    for station in catalogue.stations() {
        assert!(
            catalogue.items().iter().any(|i| i.station == station.id),
            "{}",
            station.id
        );
    }
    let ranks = catalogue
        .items()
        .iter()
        .map(|i| catalogue.station_rank(&i.station));
    assert!(ranks.is_sorted());
}

#[test]
fn the_survey_covers_every_item() {
    let survey = Library::built_in().checklist("survey").expect("built in");
    let covered: HashSet<_> = items(survey).map(|(_, item)| item).collect();
    let missing: Vec<_> = Catalogue::built_in()
        .items()
        .iter()
        .filter(|i| !covered.contains(i.id.as_str()))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn each_checklist_closes_by_its_own_rules() {
    let closings = Library::built_in()
        .checklists()
        .iter()
        .map(|c| (c.id.as_str(), c.closes_with));
    let expected = [
        ("daily", Closing::Daily),
        ("leak-run", Closing::LeakRun),
        ("survey", Closing::Survey),
    ];
    assert!(closings.eq(expected));
}

#[test]
fn a_clear_morning_needs_the_looks_that_matter() {
    let daily = Library::built_in().checklist("daily").expect("built in");
    let rows = daily.phases.iter().flat_map(|p| &p.rows);
    let needed: HashSet<_> = rows
        .filter(|r| r.must_see)
        .flat_map(|r| r.items.iter().map(String::as_str))
        .collect();
    let expected = "bilge-water engine-seacock engine-oil-level fuel-hoses fuel-fine-filter \
                    injector-line-unions coolant-level drive-belt stuffing-box throttle-cable \
                    shift-cable raw-water-flow oil-pressure";
    for id in expected.split_whitespace() {
        assert!(needed.contains(id), "{id}");
    }
    let weekly = |c: Cadence| c != Cadence::EveryTime;
    let rows = daily.phases.iter().flat_map(|p| &p.rows);
    assert!(rows.filter(|r| weekly(r.cadence)).all(|r| !r.must_see));
}

/// A joint that was wiped dry before the start is followed until drops had time to fall.
#[test]
fn the_leak_run_sees_every_joint_through_to_settled() {
    let run = Library::built_in().checklist("leak-run").expect("built in");
    let seen = |phase: &str| -> HashSet<&str> {
        items(run)
            .filter(|(p, _)| *p == phase)
            .map(|(_, item)| item)
            .collect()
    };
    let (dead, idle, settled) = (seen("dead"), seen("idle"), seen("settled"));
    // No service of the engine opens these; the tap's own joint is among the fuel hoses.
    let apart = ["fuel-shut-off", "fuel-tank-and-vent", "exhaust-outlet"];
    let leaks = Catalogue::built_in()
        .items()
        .iter()
        .filter(|i| i.fluid.is_some());
    let missing: Vec<_> = leaks
        .map(|i| i.id.as_str())
        .filter(|id| !apart.contains(id))
        .filter(|id| {
            ![&dead, &idle, &settled]
                .iter()
                .all(|phase| phase.contains(id))
        })
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn texts_fit_the_screen() {
    for list in Library::built_in().checklists() {
        for phase in &list.phases {
            let before = phase.before.as_deref().unwrap_or_default();
            assert!(
                !before.is_empty() && before.chars().count() <= 160,
                "{}/{}",
                list.id,
                phase.id
            );
            for row in &phase.rows {
                assert!(row.title.chars().count() <= 34, "{}/{}", list.id, row.title);
            }
        }
    }
}

#[test]
fn a_walk_can_keep_the_catalogue_and_read_it_back() {
    let text = serde_json::to_string(&Catalogue::built_in().to_file()).expect("writes");
    let file: CatalogueFile = serde_json::from_str(&text).expect("reads");
    assert_eq!(&Catalogue::of([file]), Catalogue::built_in());
    for list in Library::built_in().checklists() {
        let text = serde_json::to_string(&ChecklistFile::from(list.clone())).expect("writes");
        let file: ChecklistFile = serde_json::from_str(&text).expect("reads");
        assert_eq!(&Checklist::from(file), list);
    }
}

#[test]
fn reading_what_is_compiled_in_is_quick() {
    let read = |_| {
        let started = Instant::now();
        assert_eq!(&Library::read_built_in(), Library::built_in());
        started.elapsed()
    };
    // The best of several, since other work shares the machine.
    let took = (0..9).map(read).min().expect("nine readings");
    let limit = if cfg!(debug_assertions) { 100 } else { 5 };
    assert!(took.as_millis() < limit, "{took:?}");
}

const COMMON: &str = "common practice, no single source";

/// What forbids a start or ends a run in a morning check: what is seen, the item, the rung that
/// looks so. Class III and the fluid levels after US Army TM 5-3895-369-14, 4-10; fuel after
/// TM 5-3805-290-23-2, WP 0019; cables after TM 55-1930-209-14&P-17, Table C-1.
const STOPS: &[(&str, &str, Grade, &str)] = &[
    (
        "smell of fuel, exhaust or burning",
        "engine-space-smell",
        Failing,
        COMMON,
    ),
    (
        "bilge water rising while watched",
        "bilge-water",
        Failed,
        COMMON,
    ),
    ("fuel in the drip tray", "drip-tray", Failed, COMMON),
    ("no bilge pump", "bilge-pump", Failed, COMMON),
    ("seacock shut or leaking", "engine-seacock", Failing, COMMON),
    (
        "strainer more than half full",
        "raw-water-strainer",
        Failing,
        COMMON,
    ),
    (
        "inlet hose weeps below the waterline",
        "raw-water-inlet-hose",
        Failing,
        COMMON,
    ),
    (
        "drops fall from the sea-water pump",
        "raw-water-pump-seal",
        Failing,
        COMMON,
    ),
    (
        "belt with cord showing or a piece gone",
        "drive-belt",
        Failing,
        COMMON,
    ),
    (
        "class III at the front seal",
        "front-crankshaft-seal",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "class III at the coolant pump",
        "coolant-pump-seal",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "engine oil off the stick or risen",
        "engine-oil-level",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "engine oil cloudy or milky",
        "engine-oil-condition",
        Failing,
        COMMON,
    ),
    (
        "class III at the oil filter",
        "oil-filter-seat",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "class III at the rocker cover",
        "rocker-cover-gasket",
        Failed,
        "TM 5-3895-369-14",
    ),
    (
        "class III at the sump",
        "sump-gasket",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "class III at the oil cooler",
        "oil-cooler",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "water up to the filter element",
        "fuel-prefilter-bowl",
        Failing,
        COMMON,
    ),
    (
        "any fuel at a hose",
        "fuel-hoses",
        Failing,
        "TM 5-3805-290-23-2",
    ),
    (
        "any fuel at the fine filter",
        "fuel-fine-filter",
        Failing,
        "TM 5-3805-290-23-2",
    ),
    (
        "any fuel at the injector lines",
        "injector-line-unions",
        Failing,
        "TM 5-3805-290-23-2",
    ),
    ("no coolant", "coolant-level", Failed, COMMON),
    (
        "gas streak at the manifold",
        "exhaust-manifold-gasket",
        Failing,
        COMMON,
    ),
    ("gas streak at the elbow", "exhaust-elbow", Failing, COMMON),
    (
        "gearbox oil off the stick",
        "gearbox-oil-level",
        Failing,
        "TM 5-3895-369-14",
    ),
    (
        "gearbox oil milky",
        "gearbox-oil-condition",
        Failing,
        COMMON,
    ),
    ("mount loose", "engine-mounts", Failing, COMMON),
    ("coupling loose", "shaft-coupling", Failing, COMMON),
    ("stream at the stuffing box", "stuffing-box", Failed, COMMON),
    (
        "stream at the face seal",
        "dripless-shaft-seal",
        Failed,
        COMMON,
    ),
    (
        "stream at the stern hose",
        "stern-tube-hose",
        Failed,
        COMMON,
    ),
    ("exhaust hose split", "exhaust-hose", Failed, COMMON),
    (
        "throttle stiff, frayed, pin missing",
        "throttle-cable",
        Failing,
        "TM 55-1930-209-14&P-17",
    ),
    (
        "shift stiff, frayed, pin missing",
        "shift-cable",
        Failing,
        "TM 55-1930-209-14&P-17",
    ),
    (
        "start battery below 12.2 V",
        "start-battery",
        Failing,
        COMMON,
    ),
    (
        "no extinguisher charged",
        "fire-extinguisher",
        Failed,
        COMMON,
    ),
    ("buzzer dead", "alarm-panel", Failing, COMMON),
    ("more than 15 s to fire", "cold-start", Failing, COMMON),
    ("no oil pressure", "oil-pressure", Failed, COMMON),
    ("no water at the outlet", "raw-water-flow", Failed, COMMON),
    (
        "spray at the sea-water pump",
        "raw-water-pump-seal",
        Failing,
        COMMON,
    ),
    (
        "no sure neutral or astern",
        "gear-response",
        Failing,
        COMMON,
    ),
];

/// Where an item says nothing: failing for what can burn, gas, flood or take the helm away,
/// failed for the rest but mess and bother.
fn stops_at(item: &Item) -> Option<Grade> {
    use EffectKind::*;
    let rung = |effect: &Effect| match effect.effect {
        Fire | ExhaustGas | Flooding | LossOfControl => Some(Failing),
        Pollution | Nuisance => None,
        _ => Some(Failed),
    };
    item.stop_at
        .or_else(|| item.effects.iter().filter_map(rung).min())
}

#[test]
fn the_morning_check_stops_where_the_trade_does() {
    for (seen, id, rung, source) in STOPS {
        let item = Catalogue::built_in()
            .item(id)
            .unwrap_or_else(|| panic!("no item {id}"));
        let stop = stops_at(item).unwrap_or_else(|| panic!("{id} never stops ({seen})"));
        assert!(
            stop <= *rung,
            "{seen}: {id} stops only at {stop}, not at {rung} ({source})"
        );
        assert!(
            stop > Worn,
            "{seen}: {id} stops at {stop} already: no morning would be clear"
        );
    }
    let daily = Library::built_in().checklist("daily").expect("built in");
    let asked: HashSet<_> = items(daily).map(|(_, item)| item).collect();
    assert!(STOPS.iter().all(|(_, id, ..)| asked.contains(id)));
}

/// Where the stop is written as a leak class, the class proposes a rung that stops.
#[test]
fn class_three_and_any_fuel_reach_the_stop() {
    let classes = STOPS.iter().filter_map(|(seen, id, ..)| {
        let three = seen.starts_with("class III").then_some(Leak::Iii);
        Some((
            *id,
            three.or(seen.starts_with("any fuel").then_some(Leak::I))?,
        ))
    });
    for (id, leak) in classes {
        let item = Catalogue::built_in().item(id).expect("in the catalogue");
        let (fluid, place) = item.fluid.zip(item.place).expect("can leak");
        let rung = leak_grade(fluid, place, item.near_heat, leak);
        assert!(rung >= stops_at(item), "{id}: class {leak} means {rung:?}");
    }
}

/// Phase and item of every place in a checklist.
fn items(list: &Checklist) -> impl Iterator<Item = (&str, &str)> {
    list.phases.iter().flat_map(|p| {
        let rows = p.rows.iter().flat_map(|r| &r.items);
        rows.map(|item| (p.id.as_str(), item.as_str()))
    })
}
