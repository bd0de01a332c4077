//! What a walk asks, how far it has come, what it says of an item, how fast it went; and looks as
//! text.

use chrono::{DateTime, Duration, FixedOffset};
use proptest::prelude::*;

mod trial;

use super::pace::Pace;
use super::plan::{ItemPlace, rows_left_out};
use super::touched::Touched;
use super::*;
use crate::boat::{Measure, Role, units::Unit};
use crate::checklist::{Checklist, Grade, Leak, Library, WearMark};
use Grade::{Early, Failing, Sound, Worn};

fn at(seconds: i64) -> DateTime<FixedOffset> {
    let first = DateTime::parse_from_rfc3339("2026-05-03T07:40:00+02:00").expect("a time");
    first + Duration::seconds(seconds)
}

fn walk(looks: impl IntoIterator<Item = Look>) -> Walk {
    let timed = |(n, look): (usize, Look)| TimedLook {
        id: format!("l{n}").into(),
        at: at(10 * (n as i64 + 1)),
        place: n,
        verified: true,
        look: look.into(),
    };
    Walk {
        id: "w".into(),
        checklist: "daily".into(),
        asked: None,
        machine: "main".into(),
        at: at(0),
        by: None,
        hours: None,
        hours_by: None,
        entered_after: false,
        blind: false,
        unblinded: false,
        agreed: None,
        front: Default::default(),
        started_anyway: None,
        started_at: Vec::new(),
        told: Vec::new(),
        left_out: Vec::new(),
        joins: Vec::new(),
        disturbed: Vec::new(),
        guest: false,
        begun: Vec::new(),
        looks: looks.into_iter().enumerate().map(timed).collect(),
        finished: None,
        place: 0,
        finished_place: None,
        fuel: Vec::new(),
        is_stub: false,
    }
}

fn daily() -> &'static Checklist {
    Library::built_in().checklist("daily").expect("built in")
}

fn place(id: &str) -> Option<ItemPlace> {
    let catalogue = &Library::built_in().catalogue;
    let item = catalogue.item(id)?;
    Some(ItemPlace {
        title: item.title.clone(),
        station: item.station.clone(),
        station_rank: catalogue.station_rank(&item.station)?,
    })
}

fn join(item: &str, why: &str) -> Join {
    Join {
        item: item.into(),
        why: why.into(),
        cause: None,
        recheck: None,
    }
}

/// The daily walk on a machine of a role.
fn on(role: Role, left_out: &[LeftOut], joins: &[Join], fitted: impl Fn(&str) -> bool) -> Plan {
    let touched = Touched::unknown();
    Plan::compose(daily(), role, left_out, joins, &touched, place, fitted)
}

fn plan(joins: &[Join], without: &[&str]) -> Plan {
    on(Role::Propulsion, &[], joins, |i| !without.contains(&i))
}

/// Phase, row and row's place among those of its phase, of an item.
fn found<'p>(plan: &'p Plan, item: &str) -> (&'p PlanPhase, &'p PlanRow, usize) {
    let spot = plan
        .spots()
        .find(|s| plan.item(*s) == Some(item))
        .expect("asked");
    let phase = &plan.phases[spot.phase];
    (phase, &phase.rows[spot.row], spot.row)
}

#[test]
fn weekly_rows_are_left_out_only_when_every_item_is_fresh() {
    assert!(rows_left_out(daily(), |_| None).is_empty());
    let fresh = rows_left_out(daily(), |_| Some(0));
    assert!(!fresh.is_empty());
    for left in &fresh {
        assert!(daily().phases[left.phase].rows[left.row].cadence.days() > 0);
    }
    let week = rows_left_out(daily(), |_| Some(7));
    assert!(
        !week.is_empty() && week.len() < fresh.len(),
        "the monthly ones rest on"
    );
    assert!(rows_left_out(daily(), |_| Some(30)).is_empty());
    let one_stale = rows_left_out(daily(), |i| Some(if i == "alternator" { 7 } else { 0 }));
    assert_eq!(one_stale.len(), fresh.len() - 1);
    let shorter = on(Role::Propulsion, &fresh, &[], |_| true);
    assert_eq!(
        shorter.row_count(),
        plan(&[], &[]).row_count() - fresh.len()
    );
}

#[test]
fn what_the_machine_lacks_is_not_asked() {
    let all = plan(&[], &[]);
    let less = plan(&[], &["stuffing-box", "bilge-water"]);
    assert!(less.spots().all(|s| less.item(s) != Some("stuffing-box")));
    assert_eq!(
        less.row_count(),
        all.row_count() - 1,
        "a row of nothing is no row"
    );
    let joined = plan(&[join("stuffing-box", "owed")], &["stuffing-box"]);
    assert!(
        joined
            .spots()
            .all(|s| joined.item(s) != Some("stuffing-box"))
    );
}

#[test]
fn a_join_stands_at_its_station_in_the_phase_where_it_can_be_seen() {
    let plan = plan(
        &[
            join("propeller-shaft", "owed: look"),
            join("full-throttle-speed", "owed"),
        ],
        &[],
    );
    let (phase, row, spot) = found(&plan, "propeller-shaft");
    assert_eq!((phase.id.as_str(), row.station.as_str()), ("cold", "stern"));
    assert_eq!(row.why.as_deref(), Some("owed: look"));
    assert_eq!(
        phase.rows[spot - 1].station,
        "stern",
        "after its station's own rows"
    );
    assert!(!row.must_see);
    let (phase, ..) = found(&plan, "full-throttle-speed");
    assert_eq!(phase.id, "idle", "a running sign needs the engine running");
}

#[test]
fn a_join_without_rows_at_its_station_keeps_the_walking_order() {
    let left = rows_left_out(daily(), |_| Some(0));
    let keep: Vec<_> = daily().phases[0].rows.iter().enumerate().collect();
    let mut left_out = left;
    left_out.extend(
        keep.iter()
            .filter(|(_, r)| r.station == "controls")
            .map(|(row, _)| LeftOut {
                phase: 0,
                row: *row,
            }),
    );
    let joins = [join("throttle-cable", "owed")];
    let plan = on(Role::Propulsion, &left_out, &joins, |_| true);
    let (phase, _, spot) = found(&plan, "throttle-cable");
    let rank = |row: &PlanRow| place(&row.items[0]).expect("known").station_rank;
    assert!(rank(&phase.rows[spot - 1]) <= rank(&phase.rows[spot]));
    assert!(rank(&phase.rows[spot + 1]) > rank(&phase.rows[spot]));
}

#[test]
fn a_join_already_asked_only_says_why_and_says_it_once() {
    let joins = [
        join("drive-belt", "open defect"),
        join("drive-belt", "open defect"),
        join("drive-belt", "owed: nip it"),
    ];
    let with = plan(&joins, &[]);
    assert_eq!(with.row_count(), plan(&[], &[]).row_count());
    let (_, row, _) = found(&with, "drive-belt");
    assert_eq!(row.why.as_deref(), Some("open defect; owed: nip it"));
}

#[test]
fn next_unseen_goes_on_and_comes_round_once() {
    let plan = plan(&[], &[]);
    let first = Spot {
        phase: 0,
        row: 0,
        item: 0,
    };
    assert_eq!(plan.next_unseen(&walk([]), None), Some(first));
    let spots: Vec<Spot> = plan.spots().collect();
    let looked = |s: &Spot| {
        Look::graded(
            plan.item(*s).expect("there"),
            Some(&plan.phases[s.phase].id),
            Sound,
        )
    };
    let begun = walk(spots[1..3].iter().map(looked));
    assert_eq!(plan.next_unseen(&begun, Some(spots[1])), Some(spots[3]));
    let last_done = walk(spots[1..].iter().map(looked));
    assert_eq!(
        plan.next_unseen(&last_done, Some(spots[5])),
        Some(first),
        "round to the start"
    );
    let all = walk(spots.iter().map(looked));
    assert_eq!(plan.next_unseen(&all, Some(spots[5])), None);
    assert_eq!(plan.rows_done(&all), plan.row_count());
    assert!(plan.not_seen(&all).is_empty() && plan.must_see_missing(&all).is_empty());
}

#[test]
fn a_row_is_done_when_each_item_has_a_look_in_that_phase() {
    let plan = plan(&[], &[]);
    let (_, row, index) = found(&plan, "engine-seacock");
    assert_eq!(row.items.len(), 1);
    let graded = |phase| walk([Look::graded("engine-seacock", Some(phase), Sound)]);
    assert!(plan.row_done(&graded("cold"), 0, index));
    assert!(!plan.row_done(&graded("idle"), 0, index));
    let unseen = walk([Look::not_seen(
        "engine-seacock",
        Some("cold"),
        "stowed over",
        None,
    )]);
    assert!(plan.row_done(&unseen, 0, index));
    assert!(
        plan.must_see_missing(&unseen)
            .contains(&"engine-seacock".to_owned())
    );
    let reason = (
        String::from("engine-seacock"),
        Some(String::from("stowed over")),
    );
    assert!(plan.not_seen(&unseen).contains(&reason));
    assert!(!plan.row_done(&walk([]), 99, 0) && !plan.row_done(&walk([]), 0, 99));
}

const SEAL: &str = "raw-water-pump-seal";

fn counted(looks: impl IntoIterator<Item = Look>, repaired: &[i64]) -> Option<Grade> {
    let restarts: Vec<_> = repaired.iter().map(|s| When::last_at(at(*s))).collect();
    walk(looks).counted(SEAL, &restarts).map(|(grade, _)| grade)
}

#[test]
fn the_worst_look_counts_until_something_is_put_right() {
    let seen = |grade| Look::graded(SEAL, None, grade);
    assert_eq!(counted([], &[]), None);
    assert_eq!(counted([seen(Worn), seen(Sound)], &[]), Some(Worn));
    assert_eq!(counted([seen(Sound), seen(Failing)], &[]), Some(Failing));
    // Looks are made at 10 and 20 seconds.
    assert_eq!(counted([seen(Worn), seen(Sound)], &[15]), Some(Sound));
    assert_eq!(counted([seen(Worn), seen(Sound)], &[10]), Some(Sound));
    assert_eq!(
        counted([seen(Worn), seen(Sound)], &[5]),
        Some(Worn),
        "mended before either"
    );
    assert_eq!(
        counted([seen(Worn), seen(Sound)], &[20]),
        Some(Worn),
        "mended after both"
    );
    let mut better = seen(Early);
    better.better = Some(Better::Adjusted);
    assert_eq!(counted([seen(Worn), better], &[]), Some(Early));
    let mut topped_up = seen(Failing);
    topped_up.added = Some("1 L".parse().expect("a volume"));
    assert_eq!(counted([topped_up, seen(Sound)], &[]), Some(Sound));
    let unseen = Look::not_seen(SEAL, None, "dark", None);
    assert_eq!(counted([seen(Early), unseen], &[]), Some(Early));
}

#[test]
fn a_pace_is_measured_over_enough_rows_walked_and_typed_at_once() {
    let plan = plan(&[], &[]);
    let rows: Vec<_> = plan.rows().take(10).collect();
    let looks = |n: usize| -> Vec<Look> {
        let items = rows.iter().take(n).flat_map(|&(p, r)| {
            let phase = &plan.phases[p];
            phase.rows[r]
                .items
                .iter()
                .map(|i| Look::graded(i, Some(&phase.id), Sound))
        });
        items.collect()
    };
    let seconds = |_: &str| Some(60);
    assert_eq!(Pace::of(&walk(looks(3)), &plan, seconds), None);
    let pace = Pace::of(&walk(looks(10)), &plan, seconds).expect("enough");
    assert_eq!(pace.looks, 10);
    assert!(pace.hurried(), "{pace:?}");
    assert!(
        !Pace::of(&walk(looks(10)), &plan, |_| Some(10))
            .expect("enough")
            .hurried()
    );
    let mut after = walk(looks(10));
    after.entered_after = true;
    assert_eq!(Pace::of(&after, &plan, seconds), None);
}

fn text() -> impl Strategy<Value = String> {
    "[a-zA-Z0-9 äß\"\\\\\u{202e}\n]{0,12}"
}

fn maybe<T: std::fmt::Debug>(of: impl Strategy<Value = T>) -> impl Strategy<Value = Option<T>> {
    prop::option::of(of)
}

fn wear() -> impl Strategy<Value = Wear> {
    let mark = prop::sample::select(WearMark::ALL.to_vec());
    (mark, maybe(text()), maybe(text())).prop_map(|(mark, r#where, against)| Wear {
        mark,
        r#where,
        against,
    })
}

fn graded() -> impl Strategy<Value = Look> {
    let measure = (-1e6..1e6f64).prop_map(|v| Measure::new(v, Unit::Percent).expect("fits"));
    let volume = (0u32..9000).prop_map(|v| format!("{v} mL").parse().expect("a volume"));
    let said = (
        prop::sample::select(Grade::ALL.to_vec()),
        maybe(prop::sample::select(Leak::ALL.to_vec())),
        prop::collection::vec(wear(), 0..3),
        maybe(measure),
        maybe(volume),
    );
    let told = (
        maybe(text()),
        maybe(text()),
        maybe(prop::sample::select(Better::ALL.to_vec())),
        maybe(any::<u32>()),
        prop::collection::vec(
            (text(), maybe(text()), maybe(text()), maybe(any::<u64>())),
            0..2,
        ),
        maybe(text()),
    );
    (said, told).prop_map(|((grade, leak, wear, reading, added), told)| {
        let (note, grade_reason, better, at_rpm, photos, said) = told;
        let photo = |(path, caption, kept, bytes)| Photo {
            path,
            caption,
            kept,
            bytes,
        };
        Look {
            note,
            said,
            leak,
            wear,
            reading,
            added,
            grade_reason,
            better,
            at_rpm,
            photos: photos.into_iter().map(photo).collect(),
            ..Look::graded("drive-belt", Some("cold"), grade)
        }
    })
}

proptest! {
    #[test]
    fn what_is_printed_reads_back_the_same(look in graded()) {
        let printed = serde_json::to_string(&look).expect("prints");
        let read: Look = serde_json::from_str(&printed).expect("reads");
        prop_assert_eq!(&read, &look);
        prop_assert_eq!(serde_json::to_string(&read).expect("prints"), printed);
        prop_assert_eq!(look.clone().with(look.details()), look);
    }

    #[test]
    fn an_item_not_seen_reads_back_the_same(why in "[a-z]{1,9}", close_by in maybe(text())) {
        let look = Look::not_seen("bilge-alarm", None, &why, close_by);
        let printed = serde_json::to_string(&look).expect("prints");
        prop_assert_eq!(serde_json::from_str::<Look>(&printed).expect("reads"), look);
    }
}

#[test]
fn an_early_record_tells_by_its_words_why_an_item_joined() {
    let read = |why: &str| -> Join {
        let join = serde_json::json!({"item": "drive-belt", "why": why});
        serde_json::from_value(join).expect("a record")
    };
    let owed = read("owed: nip the clip");
    assert_eq!(owed.cause, Some(Cause::Owed));
    assert!(owed.is_for("any", "nip the clip") && !owed.is_for("any", "another"));
    assert_eq!(
        read("repaired, not yet looked at").cause,
        Some(Cause::Mended)
    );
    assert_eq!(
        read("open defect, worn since 1 May").cause,
        Some(Cause::Open)
    );
    assert_eq!(read("because").cause, None);
    let new = Join::owed("drive-belt", "r1", "nip the clip");
    let read: Join =
        serde_json::from_value(serde_json::to_value(&new).expect("JSON")).expect("read");
    assert_eq!(read, new);
    assert!(new.is_for("r1", "other words") && !new.is_for("r2", "nip the clip"));
}
