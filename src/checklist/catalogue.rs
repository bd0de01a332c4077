//! Stations and items: what the program knows to look at, and what a user's file adds to it.

use std::collections::HashMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::item::Item;
use crate::text::{Hashed, words};

/// A place to stand.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Station {
    /// Lower-case words joined by hyphens.
    pub id: String,
    /// As it stands on screen.
    pub title: String,
    /// Id of the station it follows in the walking order; at the end where none is named.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
}

words! {
    /// The mark of a catalogue file.
    CatalogueTag, "catalogue file" {
        /// Stations and items.
        Catalogue = "catalogue",
    }
}

/// A catalogue file: the program's own and a user's additions have the same form.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CatalogueFile {
    /// Says what the file is.
    #[serde(rename = "type")]
    pub tag: CatalogueTag,
    /// Stations, in walking order.
    #[serde(default)]
    pub stations: Vec<Station>,
    /// Items; one with a known id replaces it.
    #[serde(default)]
    pub items: Vec<Item>,
}

/// Every station in walking order, every item in the order of its station.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Catalogue {
    stations: Vec<Station>,
    items: Vec<Item>,
    by_id: Hashed<String, usize>,
}

impl Catalogue {
    /// A catalogue of several files, later ones extending or overriding the earlier.
    pub fn of(files: impl IntoIterator<Item = CatalogueFile>) -> Catalogue {
        let mut catalogue = Catalogue::default();
        for file in files {
            file.stations
                .into_iter()
                .for_each(|s| catalogue.put_station(s));
            for item in file.items {
                match catalogue.by_id.get(&item.id) {
                    Some(&at) => catalogue.items[at] = item,
                    None => {
                        catalogue
                            .by_id
                            .insert(item.id.clone(), catalogue.items.len());
                        catalogue.items.push(item);
                    }
                }
            }
        }
        catalogue.sort_items();
        catalogue
    }

    /// The stations in walking order.
    pub fn stations(&self) -> &[Station] {
        &self.stations
    }

    /// The items, station by station.
    pub fn items(&self) -> &[Item] {
        &self.items
    }

    /// The item of that id.
    pub fn item(&self, id: &str) -> Option<&Item> {
        self.by_id.get(id).map(|&at| &self.items[at])
    }

    /// The station of that id.
    pub fn station(&self, id: &str) -> Option<&Station> {
        self.station_rank(id).map(|rank| &self.stations[rank])
    }

    /// Place of a station in the walking order, first is 0.
    pub fn station_rank(&self, id: &str) -> Option<usize> {
        self.stations.iter().position(|s| s.id == id)
    }

    /// The whole catalogue as one file, as a walk keeps it: [`Catalogue::of`] reads it back equal.
    pub fn to_file(&self) -> CatalogueFile {
        CatalogueFile {
            tag: CatalogueTag::Catalogue,
            stations: self.stations.clone(),
            items: self.items.clone(),
        }
    }

    /// Adds a station, or puts it in the place of the one with its id. Several stations that
    /// follow the same one keep the order in which they came.
    fn put_station(&mut self, station: Station) {
        let rank = self.station_rank(&station.id);
        let Some(after) = station.after.as_deref().and_then(|a| self.station_rank(a)) else {
            match rank {
                Some(rank) => self.stations[rank] = station,
                None => self.stations.push(station),
            }
            return;
        };
        let follows = |s: &&Station| s.after == station.after && s.id != station.id;
        let place = after
            + 1
            + self.stations[after + 1..]
                .iter()
                .take_while(follows)
                .count();
        match rank {
            // Taking it out first would shift the place when it stood before.
            Some(rank) => {
                self.stations.insert(place, station);
                self.stations
                    .remove(if rank < place { rank } else { rank + 1 });
            }
            None => self.stations.insert(place, station),
        }
    }

    fn sort_items(&mut self) {
        let ranks: HashMap<&str, usize> = self
            .stations
            .iter()
            .enumerate()
            .map(|(rank, s)| (s.id.as_str(), rank))
            .collect();
        let last = ranks.len();
        self.items
            .sort_by_key(|i| ranks.get(i.station.as_str()).copied().unwrap_or(last));
        self.by_id = self
            .items
            .iter()
            .enumerate()
            .map(|(at, i)| (i.id.clone(), at))
            .collect();
    }
}

#[cfg(test)]
#[allow(clippy::expect_used)]
mod tests {
    use super::*;

    fn station(id: &str, after: Option<&str>) -> Station {
        Station {
            id: id.into(),
            title: id.to_uppercase(),
            after: after.map(String::from),
        }
    }

    fn file(stations: Vec<Station>, items: Vec<Item>) -> CatalogueFile {
        CatalogueFile {
            tag: CatalogueTag::Catalogue,
            stations,
            items,
        }
    }

    fn order(catalogue: &Catalogue) -> Vec<&str> {
        catalogue.stations().iter().map(|s| s.id.as_str()).collect()
    }

    #[test]
    fn stations_slot_in_after_the_one_they_name() {
        let base = file(
            vec![station("a", None), station("b", None), station("c", None)],
            vec![],
        );
        let more = file(
            vec![
                station("x", Some("a")),
                station("y", Some("a")),
                station("z", None),
            ],
            vec![],
        );
        let catalogue = Catalogue::of([base.clone(), more]);
        assert_eq!(order(&catalogue), ["a", "x", "y", "b", "c", "z"]);
        assert_eq!(Catalogue::of([catalogue.to_file()]), catalogue);

        let moved = file(
            vec![station("a", Some("c")), station("c", Some("b"))],
            vec![],
        );
        let catalogue = Catalogue::of([base, moved]);
        assert_eq!(order(&catalogue), ["b", "c", "a"]);
        assert_eq!(catalogue.station_rank("a"), Some(2));
    }

    #[test]
    fn an_item_of_a_known_id_replaces_it_and_may_move() {
        let built_in = Catalogue::built_in();
        let mut item = built_in.item("drive-belt").expect("built in").clone();
        item.title = "Both belts".into();
        item.station = "helm".into();
        let catalogue = Catalogue::of([built_in.to_file(), file(vec![], vec![item.clone()])]);
        assert_eq!(catalogue.item("drive-belt"), Some(&item));
        assert_eq!(catalogue.items().len(), built_in.items().len());
        let ranks: Vec<_> = catalogue
            .items()
            .iter()
            .map(|i| catalogue.station_rank(&i.station))
            .collect();
        assert!(ranks.is_sorted());
        for item in catalogue.items() {
            assert_eq!(catalogue.item(&item.id), Some(item));
        }
        assert_eq!(catalogue.item("no-such-item"), None);
    }
}
