//! Where things are in an installation of no boat in particular: a place for every item and boxes for what
//! is large. The table is data (`checklists/arrangement.json`); all of it is judgement, and the owner puts
//! things where they are in her own boat.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use serde::Deserialize;

use super::catalogue::Catalogue;
use super::compiled::compiled_in;
use super::item::Item;
use super::words::Scope;
use crate::boat::{Point, Role};

/// About the middle of the engine.
const ENGINE: Point = Point { x: 50, y: 0, z: 40 };

/// With what a thing moves.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Group {
    /// It is on the engine, and is turned and mirrored with it.
    OnEngine,
    /// It belongs to a machine and stands beside it.
    WithEngine,
    /// It is judged from the helm or over the side.
    SeenFrom,
    /// The boat has it once.
    Aboard,
}

/// Something large, as a box.
#[derive(Clone, Debug, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// What it is.
    pub name: String,
    /// What is written on it; empty for what is known by its shape.
    #[serde(default)]
    pub title: String,
    /// With what it moves.
    pub group: Group,
    /// Roles of the machines that have it; none for all, and for what the boat has once.
    #[serde(default)]
    pub roles: Option<Vec<Role>>,
    /// Its forward, port, lower corner.
    pub from: Point,
    /// Its aft, starboard, upper corner.
    pub to: Point,
}

/// The table.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FirstPlaces {
    #[serde(rename = "type")]
    _type: String,
    #[serde(rename = "frame")]
    _frame: String,
    place_asked: Vec<String>,
    on_engine: BTreeMap<String, Point>,
    with_engine: BTreeMap<String, Point>,
    seen_from: BTreeMap<String, Point>,
    aboard: BTreeMap<String, Point>,
    bodies: Vec<Body>,
}

impl Body {
    /// It is what the machine itself is drawn as.
    pub fn is_engine(&self) -> bool {
        matches!(self.name.as_str(), "engine block" | "outboard")
    }
}

static TABLE: LazyLock<FirstPlaces> =
    LazyLock::new(|| compiled_in(include_str!("../../checklists/arrangement.json")));

impl FirstPlaces {
    /// The table compiled in.
    pub fn built_in() -> &'static FirstPlaces {
        &TABLE
    }

    /// What is large.
    pub fn bodies(&self) -> &[Body] {
        &self.bodies
    }

    /// True for what is in another place in every boat, so that where it is has to be told.
    pub fn is_asked(&self, item: &str) -> bool {
        self.place_asked.iter().any(|asked| asked == item)
    }

    fn groups(&self) -> [(Group, &BTreeMap<String, Point>); 4] {
        [
            (Group::OnEngine, &self.on_engine),
            (Group::WithEngine, &self.with_engine),
            (Group::SeenFrom, &self.seen_from),
            (Group::Aboard, &self.aboard),
        ]
    }

    fn listed(&self, item: &str) -> Option<(Group, Point)> {
        let mut groups = self.groups().into_iter();
        groups.find_map(|(group, points)| Some((group, *points.get(item)?)))
    }

    /// Where an item is; one that people added stands in the middle of the others of its station.
    pub fn of(&self, item: &Item, catalogue: &Catalogue) -> (Group, Point) {
        if let Some(listed) = self.listed(&item.id) {
            return listed;
        }
        let others = catalogue.items().iter();
        let others = others.filter(|other| other.station == item.station);
        let points: Vec<Point> = others.filter_map(|o| Some(self.listed(&o.id)?.1)).collect();
        let group = match item.scope {
            Scope::Boat => Group::Aboard,
            Scope::Machine => Group::WithEngine,
        };
        (group, Point::middle(&points).unwrap_or(ENGINE))
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;
    use crate::checklist::Library;

    #[test]
    fn every_item_has_its_place_and_no_place_is_of_nothing() {
        let (table, catalogue) = (FirstPlaces::built_in(), &Library::built_in().catalogue);
        let without: Vec<&str> = catalogue.items().iter().map(|i| i.id.as_str()).collect();
        let without: Vec<&&str> = without
            .iter()
            .filter(|id| table.listed(id).is_none())
            .collect();
        assert!(without.is_empty(), "no place for {without:?}");
        let mut listed = std::collections::BTreeSet::new();
        for (group, points) in table.groups() {
            for (id, point) in points {
                let item = catalogue.item(id);
                assert!(item.is_some(), "{id} is no item");
                assert!(listed.insert(id), "{id} stands in two groups");
                assert!(point.is_aboard(), "{id}");
                let once = item.is_some_and(|i| i.scope == Scope::Boat);
                assert_eq!(once, group == Group::Aboard, "{id}");
            }
        }
        assert!(
            table
                .place_asked
                .iter()
                .all(|id| table.listed(id).is_some())
        );
    }

    /// Common practice, no single source: the pulleys are at the free end, the gearbox at the flywheel end,
    /// the shaft leaves it aft; what is filled and dipped is on the service side, injectors on the fuel side.
    #[test]
    fn the_first_arrangement_is_the_right_way_round() {
        let table = FirstPlaces::built_in();
        let at = |item: &str| {
            table
                .listed(item)
                .map(|(_, point)| point)
                .unwrap_or_default()
        };
        let aft = [
            "drive-belt",
            "engine-oil-level",
            "gearbox-oil-level",
            "shaft-coupling",
            "stuffing-box",
        ];
        assert!(aft.map(|item| at(item).x).is_sorted());
        assert!(at("engine-oil-level").y > 0 && at("injector-line-unions").y < 0);
        assert!(at("sump-gasket").z < at("cylinder-head-joint").z);
        assert!(at("bilge-water").z < at("stuffing-box").z);
    }

    #[test]
    fn a_body_has_a_length_a_width_and_a_height() {
        for body in FirstPlaces::built_in().bodies() {
            let (from, to) = (body.from, body.to);
            assert!(
                from.x < to.x && from.y < to.y && from.z < to.z,
                "{}",
                body.name
            );
            assert!(from.is_aboard() && to.is_aboard());
        }
    }

    #[test]
    fn an_item_of_ones_own_stands_at_its_station() {
        let (table, library) = (FirstPlaces::built_in(), Library::built_in());
        let belt = library
            .catalogue
            .item("drive-belt")
            .cloned()
            .expect("built in");
        let own = Item {
            id: "second-belt".to_owned(),
            ..belt
        };
        let (group, point) = table.of(&own, &library.catalogue);
        assert_eq!(group, Group::WithEngine);
        assert!(point.x < 10, "at the free end: {point:?}");
    }
}
