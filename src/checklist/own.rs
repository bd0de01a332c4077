//! What people add to the catalogue: stations, items, checklists and service tasks of their own, in
//! the settings folder for what several boats share, and with a boat for what is hers.

use serde::{Deserialize, Serialize};

use super::catalogue::Station;
use super::check::Parsed;
use super::faults::{self, Faults};
use super::item::Item;
use super::list::{Checklist, FINDING};
use super::own_row::OwnRow;
use super::rules;
use super::task::Task;
use super::task_rules;
use super::wording::plain;
use super::words::Scope;
use crate::text::{json_guard, words};

/// The most of one sort that a text may hold: a hundred times the built-in catalogue.
pub(super) const MOST: usize = 10_000;
/// The most stations, each of which is looked for among the others.
pub(super) const MOST_STATIONS: usize = 1_000;

words! {
    /// The mark of a text of people's own.
    OwnTag, "text of one's own" {
        /// Stations, items, checklists and service tasks.
        Own = "own-items",
    }
}

words! {
    /// What can be of one's own.
    Sort, "sort of thing" {
        /// A place to stand.
        Station = "station",
        /// Something to look at.
        Item = "item",
        /// A checklist.
        Checklist = "checklist",
        /// A service task.
        Task = "service-task",
        /// One more item in a checklist.
        Row = "row",
    }
}

words! {
    /// Where a station, an item, a checklist or a task comes from.
    Source, "source" {
        /// The program.
        BuiltIn = "built-in",
        /// The settings folder.
        Settings = "settings",
        /// The logbook of the boat.
        Boat = "boat",
        /// The text a walk was asked with; nothing else knows it here.
        Walk = "walk",
    }
}

/// Things of one's own, as the settings folder gives them and as a logbook keeps them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Own {
    /// Says what the text is.
    #[serde(rename = "type")]
    tag: OwnTag,
    /// Stations, in walking order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stations: Vec<Station>,
    /// One with a built-in id replaces it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub items: Vec<Item>,
    /// Checklists; one with a built-in id replaces it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checklists: Vec<Checklist>,
    /// Service tasks; one with a built-in id replaces it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tasks: Vec<Task>,
    /// Items asked in a checklist beside what it asks itself.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rows: Vec<OwnRow>,
}

impl Default for Own {
    fn default() -> Own {
        Own {
            tag: OwnTag::Own,
            stations: Vec::new(),
            items: Vec::new(),
            checklists: Vec::new(),
            tasks: Vec::new(),
            rows: Vec::new(),
        }
    }
}

/// One thing with an id.
pub(super) trait Named: Clone + PartialEq {
    const SORT: Sort;
    fn id(&self) -> &str;
    fn title(&self) -> &str;
}

macro_rules! named {
    ($($ty:ty = $sort:ident),+) => {
        $(impl Named for $ty {
            const SORT: Sort = Sort::$sort;
            fn id(&self) -> &str { &self.id }
            fn title(&self) -> &str { &self.title }
        })+
    };
}

named!(
    Station = Station,
    Item = Item,
    Checklist = Checklist,
    Task = Task
);

impl Named for OwnRow {
    const SORT: Sort = Sort::Row;
    fn id(&self) -> &str {
        &self.id
    }
    fn title(&self) -> &str {
        &self.item
    }
}

/// Adds a thing, or puts it in the place of that with its id.
pub(super) fn put<T: Named>(all: &mut Vec<T>, new: T) {
    match all.iter_mut().find(|known| known.id() == new.id()) {
        Some(known) => *known = new,
        None => all.push(new),
    }
}

fn named<T: Named>(all: &[T]) -> impl Iterator<Item = (Sort, &str, &str)> {
    all.iter().map(|x| (T::SORT, x.id(), x.title()))
}

impl Own {
    /// The same with what is known by these scopes: whose an item is does not change, or looks on
    /// record would be another's.
    pub(super) fn with_scopes(mut self, known: impl Fn(&str) -> Option<Scope>) -> Own {
        for item in &mut self.items {
            item.scope = known(&item.id).unwrap_or(item.scope);
        }
        self
    }

    /// The same with what an item leaves out of its roles, its marks, and of what comes before
    /// starting, as the program's own item has it; called for and hidden afloat as that one is, and its
    /// words for a first look where those for every other are the same.
    pub(super) fn completed<'a>(mut self, known: impl Fn(&str) -> Option<&'a Item>) -> Own {
        for item in &mut self.items {
            let Some(known) = known(&item.id) else {
                continue;
            };
            item.called_for |= known.called_for;
            item.hidden_afloat |= known.hidden_afloat;
            if item.roles.is_none() {
                item.roles.clone_from(&known.roles);
            }
            if item.before_start.is_none() {
                item.before_start.clone_from(&known.before_start);
            }
            if item.first_look.is_none() {
                item.take_first_look(known);
            }
            if item.marks.is_none() && item.is_between_marks() {
                item.marks.clone_from(&known.marks);
            }
        }
        self
    }

    pub(super) fn scope_of(&self, id: &str) -> Option<Scope> {
        self.items.iter().find(|i| i.id == id).map(|i| i.scope)
    }

    /// Nothing of one's own.
    pub fn is_empty(&self) -> bool {
        self.things().next().is_none()
    }

    /// Sort, id and title of everything.
    pub fn things(&self) -> impl Iterator<Item = (Sort, &str, &str)> {
        let (stations, items) = (named(&self.stations), named(&self.items));
        let lists = named(&self.checklists).chain(named(&self.tasks));
        stations.chain(items).chain(lists).chain(named(&self.rows))
    }

    /// Sort and id of everything, as a record names what a change held.
    pub fn names(&self) -> Vec<String> {
        let things = self.things();
        things.map(|(sort, id, _)| format!("{sort} {id}")).collect()
    }

    /// Whether it has a thing.
    pub fn has(&self, sort: Sort, id: &str) -> bool {
        self.things().any(|(s, known, _)| s == sort && known == id)
    }

    /// Adds things, or puts them in the place of those with their ids.
    pub fn put(&mut self, new: Own) {
        new.stations
            .into_iter()
            .for_each(|x| put(&mut self.stations, x));
        new.items.into_iter().for_each(|x| put(&mut self.items, x));
        new.checklists
            .into_iter()
            .for_each(|x| put(&mut self.checklists, x));
        new.tasks.into_iter().for_each(|x| put(&mut self.tasks, x));
        new.rows.into_iter().for_each(|x| put(&mut self.rows, x));
    }

    /// Takes a checked file in.
    pub(super) fn put_file(&mut self, file: Parsed) {
        let mut own = Own::default();
        match file {
            Parsed::Catalogue(file) => (own.stations, own.items) = (file.stations, file.items),
            Parsed::Checklist(list) => own.checklists.push(list),
            Parsed::Tasks(file) => own.tasks = file.tasks,
        }
        self.put(own);
    }

    /// What of it is wanted.
    pub(super) fn only(&self, wanted: &Wanted<'_>) -> Own {
        fn some<T: Named>(all: &[T], wanted: impl Fn(Sort, &str) -> bool) -> Vec<T> {
            all.iter()
                .filter(|x| wanted(T::SORT, x.id()))
                .cloned()
                .collect()
        }
        Own {
            tag: OwnTag::Own,
            stations: some(&self.stations, wanted),
            items: some(&self.items, wanted),
            checklists: some(&self.checklists, wanted),
            tasks: some(&self.tasks, wanted),
            rows: some(&self.rows, wanted),
        }
    }

    /// Whether both have a thing in the same words.
    pub(super) fn agrees(&self, other: &Own, sort: Sort, id: &str) -> bool {
        fn same<T: Named>(a: &[T], b: &[T], id: &str) -> bool {
            let of = |all: &'_ [T]| all.iter().position(|x| x.id() == id);
            matches!((of(a), of(b)), (Some(x), Some(y)) if a[x] == b[y])
        }
        match sort {
            Sort::Station => same(&self.stations, &other.stations, id),
            Sort::Item => same(&self.items, &other.items, id),
            Sort::Checklist => same(&self.checklists, &other.checklists, id),
            Sort::Task => same(&self.tasks, &other.tasks, id),
            Sort::Row => same(&self.rows, &other.rows, id),
        }
    }

    /// The text under which a logbook keeps it.
    ///
    /// # Errors
    /// None in practice: it holds no map and no number that is not finite.
    pub fn text(&self) -> serde_json::Result<String> {
        Ok(json_guard(&serde_json::to_string(self)?).into_owned())
    }

    /// Reads a text that a logbook kept. It was checked before it was kept; what is asked again is
    /// what no later rule can have changed, and that nothing in it acts on a terminal.
    ///
    /// # Errors
    /// Why it is none, one sentence without a full stop.
    pub fn read(text: &[u8]) -> Result<Own, String> {
        let own: Own = serde_json::from_slice(text).map_err(|e| plain(&e))?;
        match own.fault() {
            Some(fault) => Err(fault),
            None => Ok(own),
        }
    }

    fn fault(&self) -> Option<String> {
        if self.stations.len() > MOST_STATIONS {
            return Some(format!("it has more than {MOST_STATIONS} stations"));
        }
        if self.things().take(MOST + 1).count() > MOST {
            return Some(format!("it has more than {MOST} things"));
        }
        let mut faults = Faults::default();
        for (n, station) in self.stations.iter().enumerate() {
            faults::id(&station.id, &format!("stations[{n}].id"), &mut faults);
        }
        for (n, item) in self.items.iter().enumerate() {
            rules::item_alone(item, &format!("items[{n}]"), &mut faults);
        }
        for list in &self.checklists {
            rules::checklist_alone(list, &mut faults);
        }
        for (n, task) in self.tasks.iter().enumerate() {
            task_rules::task_alone(task, &format!("tasks[{n}]"), &mut faults);
        }
        for (n, row) in self.rows.iter().enumerate() {
            row_alone(row, &format!("rows[{n}]"), &mut faults);
        }
        faults::hidden_characters(self, &mut faults);
        faults.first()
    }
}

type Wanted<'a> = dyn Fn(Sort, &str) -> bool + 'a;

/// What is wrong with a row by itself.
fn row_alone(row: &OwnRow, base: &str, faults: &mut Faults) {
    let named = [
        (&row.checklist, "checklist"),
        (&row.phase, "phase"),
        (&row.item, "item"),
    ];
    for (id, field) in named {
        faults::id(id, &format!("{base}.{field}"), faults);
    }
    faults.refuse(
        !row.is_itself(),
        &format!("{base}.id"),
        "the id is checklist, phase and item with full stops between",
    );
    faults.refuse(
        row.checklist == FINDING,
        &format!("{base}.checklist"),
        "a finding asks nothing by itself",
    );
}

#[cfg(test)]
#[allow(clippy::expect_used)]
pub(super) mod tests {
    use super::*;

    /// Items of one's own that stop at a rung.
    pub fn own(stop: &str, ids: &[&str]) -> Own {
        let item = |id: &&str| {
            serde_json::json!({
                "id": id, "title": id, "scope": "machine", "kind": "hose", "station": "bilge",
                "look": "Bend it.", "ladder": ["a", "b", "c", "d", "e"],
                "effects": [{"effect": "nuisance", "beta": 0.5}], "stop_at": stop,
                "remedy": {"do": "new", "who": "owner", "where": "in-port"},
                "seconds": 5, "source": "judgement"
            })
        };
        let items: Vec<_> = ids.iter().map(item).collect();
        let text = serde_json::json!({"type": "own-items", "items": items}).to_string();
        Own::read(text.as_bytes()).expect("in order")
    }

    #[test]
    fn hostile_texts_are_refused_in_one_sentence() {
        let good = own("worn", &["a"]).text().expect("text");
        assert_eq!(
            Own::read(good.as_bytes()).expect("in order"),
            own("worn", &["a"])
        );
        for (from, to) in [
            (r#""id":"a""#, r#""id":"../a""#),
            (r#""title":"a""#, r#""title":"\u001b]0;x""#),
            (r#""beta":0.5"#, r#""beta":-3.0"#),
            (r#""type":"own-items""#, r#""type":"catalogue""#),
            (r#""seconds":5"#, r#""seconds":1e99"#),
        ] {
            let text = good.replacen(from, to, 1);
            assert_ne!(text, good, "{from}");
            assert!(Own::read(text.as_bytes()).is_err(), "{to}");
        }
        let ids: Vec<String> = (0..=MOST).map(|n| format!("i{n}")).collect();
        let item = &good[good.find("[{").map_or(0, |n| n + 1)..good.len() - 2];
        let items: Vec<_> = ids
            .iter()
            .map(|id| item.replace(r#""id":"a""#, &format!(r#""id":"{id}""#)))
            .collect();
        let many = format!(r#"{{"type":"own-items","items":[{}]}}"#, items.join(","));
        let why = Own::read(many.as_bytes()).expect_err("too many");
        assert!(why.contains("more than"), "{why}");
    }
}
