use std::collections::HashSet;

use crate::checklist::library::{CATALOGUE, CHECKLISTS, TASKS};
use crate::checklist::*;

#[test]
fn what_is_asked_of_a_turning_engine_is_looked_at_and_not_touched() {
    let library = Library::built_in();
    let hands = [
        "squeeze",
        "press ",
        "feel ",
        "finger",
        "rock ",
        "push ",
        "thumbnail",
        "bend ",
        "wipe ",
        "stopped",
        "cold",
        "tap it",
        "screw one",
        "lift the cap",
        "try each",
    ];
    // What is done at the helm, at a panel or from the deck is no hand in the engine space.
    let elsewhere = ["helm", "over-side", "controls", "electrical", "space"];
    for list in library.checklists() {
        let shown = library.catalogue_of(list);
        for phase in list.phases.iter().filter(|p| p.state.turns()) {
            for id in phase.rows.iter().flat_map(|r| &r.items) {
                let item = shown.item(id).expect("known");
                if item.kind == Kind::Safeguard || elsewhere.contains(&item.station.as_str()) {
                    continue;
                }
                let look = item.look_in(Some(phase.state)).to_lowercase();
                for word in hands {
                    assert!(!look.contains(word), "{id} in {}: {look}", phase.title);
                }
            }
        }
    }
}

#[test]
fn every_file_passes_without_a_complaint() {
    for (name, text) in CATALOGUE.iter().chain(CHECKLISTS).chain(TASKS) {
        let found = check_file(name, text, Catalogue::built_in())
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
fn items_stand_in_the_order_of_their_stations_and_each_station_has_some() {
    let catalogue = Catalogue::built_in();
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
        .filter(|i| !covered.contains(i.id.as_str()) && !i.called_for)
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

/// What only a finding or a survey calls for makes no morning longer, wears by no chain that looks made
/// for a reason would teach, and says before the instruction what can hurt.
#[test]
fn what_is_called_for_is_asked_by_no_checklist_but_a_survey_and_is_whole() {
    let library = Library::built_in();
    let items = library.catalogue.items().iter();
    let called: Vec<&Item> = items.filter(|item| item.called_for).collect();
    assert!(called.len() >= 20, "{}", called.len());
    let lists = library.checklists().iter();
    let lists = lists.filter(|list| list.closes_with != Closing::Survey);
    let asked: HashSet<&str> = lists.flat_map(items_of).collect();
    for item in called {
        assert!(!asked.contains(item.id.as_str()), "{}", item.id);
        assert!(
            matches!(item.kind, Kind::Sign | Kind::Reading),
            "{}",
            item.id
        );
        assert!(!item.cautions.is_empty(), "{}", item.id);
        let rungs: HashSet<&str> = item.ladder.iter().map(String::as_str).collect();
        assert_eq!(rungs.len(), 5, "{}", item.id);
    }
    let order = |id: &str| {
        let item = library.catalogue.item(id).expect("known");
        (item.order, item.stop_at)
    };
    let now = Some(Order::StopNow);
    assert_eq!(
        order("carbon-monoxide-sounded"),
        (now, Some(Grade::Failing))
    );
    assert_eq!(order("oil-alarm-came-on"), (now, Some(Grade::Failing)));
    assert_eq!(
        order("temperature-alarm-came-on"),
        (None, Some(Grade::Failing))
    );
    let gas = library.catalogue.item("carbon-monoxide-sounded");
    assert!(
        gas.is_some_and(|item| item.cautions[0].starts_with("Everybody out into the air first"))
    );
}

fn items_of(list: &Checklist) -> impl Iterator<Item = &str> {
    items(list).map(|(_, item)| item)
}

#[test]
fn each_checklist_closes_by_its_own_rules() {
    let closings = Library::built_in()
        .checklists()
        .iter()
        .map(|c| (c.id.as_str(), c.closes_with));
    let expected = [
        ("daily", Closing::Daily),
        ("outboard", Closing::Daily),
        ("leak-run", Closing::LeakRun),
        ("survey", Closing::Survey),
        ("lay-up", Closing::Season),
        ("standing", Closing::Season),
        ("recommission", Closing::Season),
        ("launch", Closing::Season),
        ("short", Closing::Short),
    ];
    assert!(closings.eq(expected));
}

/// Common practice, no single source: what is worth a look before every start, the nose first and last.
#[test]
fn the_short_check_is_short_and_every_row_of_it_counts() {
    let library = Library::built_in();
    let short = library.checklist("short").expect("built in");
    let rows: Vec<_> = short.phases.iter().flat_map(|p| &p.rows).collect();
    assert!(rows.len() < 15, "{} rows", rows.len());
    assert!(
        rows.iter()
            .all(|r| r.must_see && r.cadence == Cadence::EveryTime)
    );
    for end in [rows.first(), rows.last()] {
        assert_eq!(end.expect("a row").items, ["engine-space-smell"]);
    }
    let full: HashSet<_> = items(library.checklist("daily").expect("built in"))
        .map(|(_, item)| item)
        .collect();
    assert!(items(short).all(|(_, item)| full.contains(item)));
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
            for own in &phase.before_for {
                assert!(own.before.chars().count() <= 160, "{}", own.before);
            }
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

/// Petrol cautions: common practice, no single source; blower and bilge: 33 CFR 183.610; the interlock:
/// 33 CFR 183.710.
#[test]
fn the_outboards_morning_begins_and_ends_with_the_nose_and_tries_the_kill_cord() {
    let library = Library::built_in();
    let list = library.checklist("outboard").expect("built in");
    let rows: Vec<_> = list.phases.iter().flat_map(|p| &p.rows).collect();
    for end in [rows.first(), rows.last()] {
        assert_eq!(end.expect("a row").items, ["petrol-vapour"]);
    }
    let tried = rows.iter().find(|r| r.items == ["kill-cord"]);
    let tried = tried.expect("asked");
    assert!(tried.must_see && tried.cadence == Cadence::EveryTime);
    let item = |id: &str| library.catalogue.item(id).expect("known");
    let vapour = item("petrol-vapour");
    assert_eq!(
        (vapour.scope, vapour.stop_at),
        (Scope::Boat, Some(Grade::Failing))
    );
    assert!(vapour.before_key && vapour.look.contains("Blower four minutes"));
    assert!(vapour.ladder[3].contains("a whiff"), "any smell stops");
    assert!(item("outboard-tank").cautions[0].contains("ashore"));
    assert!(item("outboard-propeller").cautions[0].contains("out of gear"));
    assert!(item("generator-shut-downs").cautions[1].contains("lock it out before hands go in"));
    let own = items(list).map(|(_, id)| item(id));
    let mut own = own.filter(|i| i.scope == Scope::Machine);
    assert!(own.all(|i| i.roles.as_deref() == Some(&[crate::boat::Role::Outboard])));
}

/// Phase and item of every place in a checklist.
fn items(list: &Checklist) -> impl Iterator<Item = (&str, &str)> {
    list.phases.iter().flat_map(|p| {
        let rows = p.rows.iter().flat_map(|r| &r.items);
        rows.map(|item| (p.id.as_str(), item.as_str()))
    })
}
