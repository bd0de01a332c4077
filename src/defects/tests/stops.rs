//! The stop column of the morning check, through the whole way from look to verdict; and the leak
//! classes of the operator checks.

use std::collections::BTreeSet;

use super::story::{Story, Told, all_but, look};
use crate::assess::words::Verdict::{self, ClearToRun, DoNotLeave, DoNotRun, NotSignedOff};
use crate::boat::Waters;
use crate::checklist::Grade::{Early, Failing, Sound, Worn};
use crate::checklist::{Catalogue, Grade, Leak, Library, Order, leak_grade};

/// What forbids a start or ends a run in a morning check: the item, the rung that does, where that
/// stands, what is seen. This is the one table of it.
///
/// - `common`: common practice, no single source
/// - `iii`: class III goes to the mechanic at once; US Army TM 5-2010-205-14 p 4-4,
///   TM 10-4930-229-12&P p 2-7, TM 5-3895-369-14 4-10
/// - `level`: TM 5-3895-369-14 4-10
/// - `fuel`: no fuel leak of any class is operated with; TM 5-3805-290-23-2 WP 0019,
///   TM 10-4930-229-12&P p 2-7
/// - `cable`: TM 55-1930-209-14&P-17, Table C-1
const STOPS: &str = "
engine-space-smell       failing  common   a smell of fuel, exhaust or burning
bilge-water              failed   common   bilge water rising while watched
drip-tray                failed   common   fuel in the tray
bilge-oil                failed   common   fuel in the bilge
bilge-pump               failed   common   no bilge pump
engine-seacock           failing  common   seacock stuck or leaking
raw-water-strainer       failing  common   strainer more than half full
raw-water-inlet-hose     failing  common   inlet hose weeps below the waterline
raw-water-inlet-clips    failing  common   a clip eaten through below the waterline
raw-water-pump-seal      failing  common   drops fall from the sea-water pump, or spray
drive-belt               failing  common   a cord of the belt bare, or a piece gone
front-crankshaft-seal    failing  iii      class III at the front seal
coolant-pump-seal        failing  iii      class III at the coolant pump
oil-filter-seat          failing  iii      class III at the oil filter
rocker-cover-gasket      failed   iii      class III at the rocker cover
sump-gasket              failed   common   a stream at the sump
oil-cooler               failing  iii      class III at the oil cooler
engine-oil-level         failing  level    engine oil off the stick, or risen
gearbox-oil-level        failing  level    gearbox oil off the stick
engine-oil-condition     failing  common   engine oil cloudy or milky
gearbox-oil-condition    failing  common   gearbox oil milky
fuel-prefilter-bowl      failed   common   the bowl full of water, or drawing air
fuel-prefilter-outside   failing  fuel     any fuel outside the pre-filter
fuel-hoses               failing  fuel     any fuel at a hose
fuel-fine-filter         failing  fuel     any fuel at the fine filter
injector-line-unions     failing  fuel     any fuel at the injector lines
coolant-level            failing  common   coolant below the low mark
coolant-hoses            failing  common   a coolant hose swollen or cracked
exhaust-manifold-gasket  failing  common   a gas streak at the manifold
exhaust-elbow            failing  common   a gas streak at the elbow
engine-mounts            failing  common   a mount loose
shaft-coupling           failing  common   the coupling loose
stuffing-box             failed   common   a stream at the stuffing box
dripless-shaft-seal      failed   common   a stream at the face seal
stern-tube-hose          failed   common   a stream at the stern hose
stern-tube-clips         failing  common   a clip of the stern hose eaten through
exhaust-hose             failed   common   exhaust hose split
throttle-cable           failing  cable    throttle stiff, frayed, a pin missing
shift-cable              failing  cable    shift stiff, frayed, a pin missing
start-battery            failed   common   a dead cell
start-battery-case       failing  common   a battery case swollen or warm
fire-extinguisher        failed   common   no extinguisher charged
alarm-panel              failing  common   buzzer dead
cold-start               failed   common   does not start
oil-pressure             failing  common   the oil lamp flickers, or the needle drops
raw-water-flow           failed   common   no water at the outlet
gear-response            failing  common   no sure neutral or astern
";

/// Where the stop is of the boat and not of the engine, which may run: water coming in is never
/// answered by stopping it (common practice, no single source).
const MAY_RUN: &str = "
bilge-water bilge-pump bilge-alarm stuffing-box dripless-shaft-seal stern-tube-hose exhaust-outlet
throttle-cable shift-cable control-cable-run control-adjustment helm-lever-and-interlock gear-response
fire-extinguisher carbon-monoxide-alarm start-battery house-battery engine-space-ventilation stern-tube-clips
kill-cord outboard-clamps outboard-cowling outboard-interlock outboard-shift-and-throttle outboard-steering
petrol-electrics
shaft-in-gear tank-dip tank-breathing bleed-screw battery-over-night engine-keeps-speed speed-at-usual-revs
full-speed-in-neutral boat-speed propeller-nut
";

fn forbidden(item: &str) -> Verdict {
    match MAY_RUN.split_whitespace().any(|known| known == item) {
        true => DoNotLeave,
        false => DoNotRun,
    }
}

#[test]
fn what_forbids_leaving_alone_is_what_the_engine_runs_without() {
    let items = Catalogue::built_in().items().iter();
    let leave = items.filter(|item| item.order == Some(Order::DoNotLeave));
    let leave: BTreeSet<&str> = leave.map(|item| item.id.as_str()).collect();
    assert_eq!(leave, MAY_RUN.split_whitespace().collect());
}

/// A row of the table: item, rung, source, what is seen.
fn stops() -> impl Iterator<Item = (&'static str, Grade, &'static str, &'static str)> {
    STOPS.lines().filter(|line| !line.is_empty()).map(|line| {
        let (item, rest) = line.split_once(' ').expect("an item");
        let (rung, rest) = rest.trim_start().split_once(' ').expect("a rung");
        let (source, seen) = rest.trim_start().split_once(' ').expect("a source");
        (item, rung.parse().expect("a grade"), source, seen.trim())
    })
}

#[test]
fn each_row_of_the_stop_column_forbids_running() {
    let daily = Library::built_in().checklist("daily").expect("built in");
    for (item, grade, source, seen) in stops() {
        let told = format!("{seen}: {item} {grade} ({source})");
        let rows = daily.phases.iter().flat_map(|p| &p.rows);
        assert!(rows.flat_map(|r| &r.items).any(|i| i == item), "{told}");
        let story = Story::new()
            .of_known_age()
            .daily(0.0, all_but([look(item, grade)]));
        let judged = story.judged(0.1);
        assert_eq!(judged.at_walk, Some(forbidden(item)), "{told}");
        assert_eq!(judged.now, Some(forbidden(item)), "{told}");
        assert_eq!(judged.reasons[0].item, item);
    }
}

/// Where the stop is written as a leak class, the class proposes the rung that stops.
#[test]
fn class_three_and_any_fuel_reach_the_stop() {
    for (id, rung, source, _) in stops() {
        let leak = match source {
            "iii" => Leak::Iii,
            "fuel" => Leak::I,
            _ => continue,
        };
        let item = Catalogue::built_in().item(id).expect("in the catalogue");
        let (fluid, place) = item.fluid.zip(item.place).expect("can leak");
        let proposed = leak_grade(fluid, place, item.near_heat, leak);
        assert!(
            proposed >= Some(rung),
            "{id}: class {leak} means {proposed:?}"
        );
    }
}

#[test]
fn early_alone_never_forbids_and_never_asks_for_care() {
    for item in Catalogue::built_in().items() {
        let story = Story::new()
            .of_known_age()
            .daily(0.0, all_but([look(&item.id, Early)]));
        assert_eq!(story.verdict(0.1), Some(ClearToRun), "{}", item.id);
    }
}

#[test]
fn worn_alone_never_forbids() {
    for item in Catalogue::built_in().items() {
        for waters in Waters::ALL {
            let story = Story::new().of_known_age().waters(*waters);
            let verdict = story
                .daily(0.0, all_but([look(&item.id, Worn)]))
                .verdict(0.1);
            assert_ne!(verdict, Some(forbidden(&item.id)), "{} {waters}", item.id);
        }
    }
}

/// The decision table of the operator checks (`iii` and `fuel` above): class I and II of anything but fuel is operated with
/// and watched, class III is reported at once; fuel of any class is not operated with.
#[test]
fn the_leak_classes_lead_where_the_manuals_lead() {
    let classes = [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream];
    for item in Catalogue::built_in().items() {
        let Some((fluid, place)) = item.fluid.zip(item.place) else {
            continue;
        };
        let fuel = fluid == crate::checklist::Fluid::Fuel;
        for leak in classes {
            let Some(grade) = leak_grade(fluid, place, item.near_heat, leak) else {
                continue;
            };
            let seen = look(&item.id, grade).leak(leak);
            let verdict = Story::new()
                .of_known_age()
                .daily(0.0, all_but([seen.clone()]))
                .verdict(0.1);
            let told = format!("{} {leak} {grade}", item.id);
            if fuel {
                assert_eq!(verdict, Some(DoNotRun), "{told}");
                let run = Story::new()
                    .of_known_age()
                    .walk("leak-run", "main", 0.0, None, [seen]);
                assert_eq!(run.verdict(0.1), Some(NotSignedOff), "{told}");
            } else if leak >= Leak::Iii {
                assert!(grade >= Failing, "{told}");
                assert_ne!(verdict, Some(ClearToRun), "{told}");
            }
        }
    }
}

#[test]
fn fuel_graded_early_by_hand_stops_all_the_same() {
    for leak in [Leak::I, Leak::Ii, Leak::Iii, Leak::Stream] {
        let seen = look("fuel-bleed-and-return-unions", Early).leak(leak);
        let story = Story::new().of_known_age().daily(0.0, all_but([seen]));
        assert_eq!(story.verdict(0.1), Some(DoNotRun), "{leak}");
        let row = story
            .row(0.1, "fuel-bleed-and-return-unions")
            .expect("a row");
        assert!(row.stop && row.stop_rule.is_some_and(|r| r.contains("fuel comes out")));
    }
}

#[test]
fn fuel_graded_sound_with_a_leak_class_stops_too() {
    let seen = look("fuel-hoses", Sound).leak(Leak::I);
    let story = Story::new().of_known_age().daily(0.0, all_but([seen]));
    assert_eq!(story.verdict(0.1), Some(DoNotRun));
}
