//! The catalogue, the checklists and the service tasks together: compiled in, extended by a
//! user's files.

use std::borrow::Cow;
use std::collections::HashMap;
use std::sync::{Arc, LazyLock};

use super::asked::Earlier;
use super::catalogue::{Catalogue, CatalogueFile, CatalogueTag};
use super::check::check_file;
use super::compiled::compiled_in;
use super::complaint::{Complaint, complain, type_of};
use super::item::Item;
use super::list::{Checklist, ChecklistFile, FINDING, Row};
use super::own::{Own, Sort, Source, put};
use super::own_row::{OwnRow, placed};
use super::task::{Task, TasksFile};
use super::words::Scope;
use crate::boat::{Machine, Role};

macro_rules! files {
    ($($path:literal),+ $(,)?) => {
        &[$(($path, include_str!(concat!("../../checklists/", $path)))),+]
    };
}
pub(super) use files;

/// Name and text of the catalogue files compiled in, in walking order of their stations.
pub(super) const CATALOGUE: &[(&str, &str)] = files!(
    "catalogue/hatch.json",
    "catalogue/bilge.json",
    "catalogue/sea-inlet.json",
    "catalogue/front.json",
    "catalogue/service-side.json",
    "catalogue/fuel-side.json",
    "catalogue/top.json",
    "catalogue/back.json",
    "catalogue/stern.json",
    "catalogue/exhaust.json",
    "catalogue/controls.json",
    "catalogue/electrical.json",
    "catalogue/space.json",
    "catalogue/helm.json",
    "catalogue/over-side.json",
    "catalogue/outboard.json",
);

/// Name and text of the checklists compiled in.
pub(super) const CHECKLISTS: &[(&str, &str)] = files!(
    "daily.json",
    "outboard.json",
    "leak-run.json",
    "survey.json",
    "lay-up.json",
    "standing.json",
    "recommission.json",
    "launch.json",
    "short.json",
);

/// The checklist of a finding, which nobody walks: what was found brings its item in.
static FOUND: LazyLock<Checklist> = LazyLock::new(|| {
    compiled_in::<ChecklistFile>(include_str!("../../checklists/finding.json")).into()
});

/// Name and text of the service tasks compiled in.
pub(super) const TASKS: &[(&str, &str)] = files!("service-tasks.json");

/// Everything a walk can be made of, and the work that recurs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Library {
    /// Stations and items.
    pub catalogue: Arc<Catalogue>,
    /// As they are asked: `plain` with `rows` among them.
    checklists: Arc<Vec<Checklist>>,
    /// As they were given.
    plain: Arc<Vec<Checklist>>,
    rows: Vec<OwnRow>,
    tasks: Arc<Vec<Task>>,
    /// What of it the settings folder gave.
    pub(super) settings: Own,
    /// What of it the logbook of the boat gave.
    pub(super) boat: Own,
    /// What only the text of a walk knew.
    pub(super) found: Own,
    /// What should be there and cannot be read.
    pub(super) lost: Vec<LostText>,
    pub(super) earlier: Earlier,
}

/// A text of one's own that a record put into the boat and that cannot be read any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LostText {
    /// Its name under `texts/`, without ending, as the record has it.
    pub name: String,
    /// One plain sentence without a full stop.
    pub why: String,
    /// What it changed, as [`Own::names`] has it, where it was a change of single things; else empty.
    pub only: Vec<String>,
}

impl Library {
    /// What is compiled into the program, read once.
    pub fn built_in() -> &'static Library {
        static BUILT_IN: LazyLock<Library> = LazyLock::new(Library::read_built_in);
        &BUILT_IN
    }

    pub(super) fn read_built_in() -> Library {
        let files = CATALOGUE.iter().map(|(_, text)| compiled_in(text));
        let mut library = Library {
            catalogue: Arc::new(Catalogue::of(files)),
            ..Library::default()
        };
        for (_, text) in CHECKLISTS {
            library.put(compiled_in::<ChecklistFile>(text).into());
        }
        library.checklists = Arc::clone(&library.plain);
        for (_, text) in TASKS {
            library.put_tasks(compiled_in::<TasksFile>(text).tasks);
        }
        library
    }

    /// The built-in library with a user's catalogue files, checklists and service tasks (name
    /// and text of each) on top: an id known already is overridden, a new one added. Catalogue
    /// files come first whatever their place, in the order given, since the others may name their
    /// items.
    ///
    /// # Errors
    /// Every complaint about every file; an id defined by two of the files is one too.
    pub fn with_user_files(files: &[(String, String)]) -> Result<Library, Vec<Complaint>> {
        let (mut library, settings) = Library::built_in().with_files(files)?;
        library.settings = settings;
        Ok(library)
    }

    /// The library with files on top, and what the files give; see [`Library::with_user_files`].
    ///
    /// # Errors
    /// Every complaint about every file.
    pub fn with_files(&self, files: &[(String, String)]) -> Result<(Library, Own), Vec<Complaint>> {
        let mut library = self.clone();
        let mut given = Own::default();
        let mut complaints = Vec::new();
        let mut owners: HashMap<(&str, String), &str> = HashMap::new();
        let names_items = ["checklist", "service-tasks"];
        let is_list = |name: &str, text: &str| {
            let said = type_of(name, text).ok().flatten();
            said.is_some_and(|said| names_items.contains(&&*said))
        };
        let (lists, catalogues): (Vec<_>, Vec<_>) =
            files.iter().partition(|(name, text)| is_list(name, text));
        for (name, text) in catalogues.into_iter().chain(lists) {
            let parsed = match check_file(name, text, &library.catalogue) {
                Ok(parsed) => parsed,
                Err(found) => {
                    complaints.extend(found);
                    continue;
                }
            };
            let mut twice = Vec::new();
            for (what, path, id) in parsed.defines() {
                if let Some(other) = owners.insert((what, id.clone()), name) {
                    twice.push((path, format!("the {what} '{id}' stands in {other} too")));
                }
            }
            complaints.extend(complain(name, text, twice));
            let mut own = Own::default();
            own.put_file(parsed);
            library = library.with(&own);
            given.put(own);
        }
        if complaints.is_empty() {
            Ok((library, given))
        } else {
            Err(complaints)
        }
    }

    /// The library with things of one's own on top: an id known already is overridden.
    pub fn with(&self, own: &Own) -> Library {
        let mut library = self.clone();
        if !(own.stations.is_empty() && own.items.is_empty()) {
            let built_in = &Library::built_in().catalogue;
            let own = own.clone();
            let own = own.with_scopes(|id| built_in.item(id).map(|item| item.scope));
            let own = own.completed(|id| built_in.item(id));
            let file = CatalogueFile {
                tag: CatalogueTag::Catalogue,
                stations: own.stations,
                items: own.items,
            };
            library.catalogue = Arc::new(Catalogue::of([library.catalogue.to_file(), file]));
        }
        for list in &own.checklists {
            library.put(list.clone());
        }
        for row in &own.rows {
            put(&mut library.rows, row.clone());
        }
        library.checklists = match library.rows.is_empty() {
            true => Arc::clone(&library.plain),
            false => Arc::new(library.with_rows()),
        };
        library.put_tasks(own.tasks.clone());
        library
    }

    /// The library with a checklist in just these rows, whatever else is asked in it today.
    pub(super) fn with_list(mut self, list: &Checklist) -> Library {
        put(Arc::make_mut(&mut self.checklists), list.clone());
        self
    }

    fn with_rows(&self) -> Vec<Checklist> {
        let asks = |own: &OwnRow| {
            let item = self.catalogue.item(&own.item)?;
            Some(Row::alone(item, own.cadence))
        };
        let stations = self.catalogue.stations();
        let way = |id: &str| stations.iter().position(|station| station.id == id);
        placed(&self.plain, &self.rows, asks, way)
    }

    /// Why a row of one's own cannot be put in, or taken out; none where it can. One sentence without a
    /// full stop.
    pub fn row_fault(&self, row: &OwnRow) -> Option<String> {
        if row.checklist == FINDING {
            return Some("a finding asks nothing by itself".to_owned());
        }
        let own = self.own_rows().any(|known| known.id == row.id);
        let list = self.checklist(&row.checklist);
        let phases = list.into_iter().flat_map(|list| &list.phases);
        let mut rows = phases.filter(|p| p.id == row.phase).flat_map(|p| &p.rows);
        let asked = rows.any(|known| known.items.contains(&row.item));
        match (row.gone, own, asked) {
            (true, false, true) => Some(format!(
                "the checklist '{}' asks it by itself; what a machine does not have is said with: handlamp boat lacks {}",
                row.checklist, row.item
            )),
            (true, false, false) => Some(format!("'{}' does not ask it", row.checklist)),
            (false, false, true) => Some(format!("'{}' asks it already", row.checklist)),
            _ => None,
        }
    }

    /// The checklists in which an item can be asked of one of these machines.
    pub fn lists_asking<'l>(
        &'l self,
        item: &'l Item,
        machines: &'l [Machine],
    ) -> impl Iterator<Item = &'l Checklist> {
        let asks = |list: &Checklist, role: Role| item.is_for(role) && self.suits(list, role);
        let lists = self.checklists.iter();
        lists.filter(move |list| machines.iter().any(|m| asks(list, m.role)))
    }

    /// Items asked in a checklist beside what it asks itself.
    pub fn own_rows(&self) -> impl Iterator<Item = &OwnRow> {
        self.rows.iter().filter(|row| !row.gone)
    }

    /// Whether it asks what the program alone asks.
    pub(super) fn is_built_in(&self) -> bool {
        let built_in = Library::built_in();
        Arc::ptr_eq(&self.catalogue, &built_in.catalogue)
            && Arc::ptr_eq(&self.checklists, &built_in.checklists)
    }

    /// What the settings folder gave of it.
    pub fn settings(&self) -> &Own {
        &self.settings
    }

    /// What the boat's own should hold and cannot be read.
    pub fn lost(&self) -> &[LostText] {
        &self.lost
    }

    /// Where a thing it has comes from.
    pub fn source(&self, sort: Sort, id: &str) -> Source {
        let from = [
            (&self.found, Source::Walk),
            (&self.boat, Source::Boat),
            (&self.settings, Source::Settings),
        ];
        let found = from.into_iter().find(|(own, _)| own.has(sort, id));
        found.map_or(Source::BuiltIn, |(_, source)| source)
    }

    /// Everything that is not the program's own: sort, id, title and where it comes from.
    pub fn own(&self) -> Vec<(Sort, &str, &str, Source)> {
        let all = [&self.found, &self.boat, &self.settings];
        let all = all.into_iter().flat_map(Own::things);
        let mut seen = std::collections::HashSet::new();
        let once = all.filter(|(sort, id, _)| seen.insert((*sort, *id)));
        let mut own: Vec<_> = once
            .map(|(sort, id, title)| (sort, id, title, self.source(sort, id)))
            .collect();
        own.sort();
        own
    }

    /// The checklists that can be walked, built-in ones first.
    pub fn checklists(&self) -> &[Checklist] {
        &self.checklists
    }

    /// The checklist of that id, that of a finding among them.
    pub fn checklist(&self, id: &str) -> Option<&Checklist> {
        if id == FINDING {
            return Some(&FOUND);
        }
        self.checklists.iter().find(|c| c.id == id)
    }

    /// True where a checklist can be walked on a machine of a role: it asks something of it, or asks
    /// of no machine at all.
    pub fn suits(&self, list: &Checklist, role: Role) -> bool {
        let rows = list.phases.iter().flat_map(|p| &p.rows);
        let items = rows.flat_map(|row| &row.items);
        let items = items.filter_map(|id| self.catalogue.item(id));
        let mut own = items.filter(|i| i.scope == Scope::Machine).peekable();
        own.peek().is_none() || own.any(|item| item.is_for(role))
    }

    /// Why a checklist is not walked on a machine; none where it suits its role. One sentence without a
    /// full stop.
    pub fn unsuited(&self, list: &Checklist, machine: &Machine) -> Option<String> {
        let (id, role) = (&machine.id, machine.role);
        if self.suits(list, role) {
            return None;
        }
        let suited: Vec<_> = self.checklists_for(role).map(|l| l.id.as_str()).collect();
        let instead = match suited.is_empty() {
            true => "not covered here: there is no checklist for it".to_owned(),
            false => format!("for it there are {}", suited.join(", ")),
        };
        Some(format!(
            "'{}' asks nothing of '{id}', whose role is {role}; {instead}",
            list.id
        ))
    }

    /// A checklist as it is asked where the machines have these roles: without what none of them is asked,
    /// and in the order and with the words of the role where it is but one. One that suits none of them
    /// stays whole.
    pub fn asked_of<'l>(&self, list: &'l Checklist, roles: &[Role]) -> Cow<'l, Checklist> {
        if !roles.iter().any(|role| self.suits(list, *role)) {
            return Cow::Borrowed(list);
        }
        let asks = |id: &String| {
            let item = self.catalogue.item(id);
            item.is_none_or(|item| roles.iter().any(|role| item.is_for(*role)))
        };
        let mut own = list.clone();
        for phase in &mut own.phases {
            if let [role] = roles {
                phase.before = phase.before(*role).map(str::to_owned);
                phase.rows.sort_by_key(|row| !row.first_for.contains(role));
            }
            phase.rows.iter_mut().for_each(|row| row.items.retain(asks));
            phase.rows.retain(|row| !row.items.is_empty());
        }
        own.phases.retain(|phase| !phase.rows.is_empty());
        Cow::Owned(own)
    }

    /// Stations and items in the words in which a checklist asks them.
    pub fn catalogue_of(&self, list: &Checklist) -> Arc<Catalogue> {
        match list.is_first_look() {
            true => Arc::new(self.catalogue.at_first_look()),
            false => Arc::clone(&self.catalogue),
        }
    }

    /// The library with its items in the words in which a checklist asks them.
    #[must_use]
    pub fn in_words_of(&self, list: &Checklist) -> Library {
        Library {
            catalogue: self.catalogue_of(list),
            ..self.clone()
        }
    }

    /// The checklists that can be walked on a machine of a role, built-in ones first; none that was put
    /// away.
    pub fn checklists_for(&self, role: Role) -> impl Iterator<Item = &Checklist> {
        let offered = self.checklists.iter().filter(|list| !list.put_away);
        offered.filter(move |list| self.suits(list, role))
    }

    /// True where anything here is made for a machine of a role.
    pub fn covers(&self, role: Role) -> bool {
        let mut items = self.catalogue.items().iter();
        items.any(|item| item.scope == Scope::Machine && item.is_for(role))
    }

    /// The service tasks, built-in ones first.
    pub fn tasks(&self) -> &[Task] {
        &self.tasks
    }

    /// The service task of that id.
    pub fn task(&self, id: &str) -> Option<&Task> {
        self.tasks.iter().find(|t| t.id == id)
    }

    fn put_tasks(&mut self, new: Vec<Task>) {
        for task in new {
            put(Arc::make_mut(&mut self.tasks), task);
        }
    }

    /// Adds a checklist or puts it in the place of the one with its id. A row of one item
    /// without a title of its own takes the item's.
    fn put(&mut self, mut list: Checklist) {
        for row in list.phases.iter_mut().flat_map(|p| &mut p.rows) {
            let item = row.items.first().and_then(|id| self.catalogue.item(id));
            if let (true, Some(item)) = (row.title.is_empty(), item) {
                row.title.clone_from(&item.title);
            }
        }
        put(Arc::make_mut(&mut self.plain), list);
    }
}

impl Catalogue {
    /// The catalogue compiled into the program.
    pub fn built_in() -> &'static Catalogue {
        &Library::built_in().catalogue
    }
}
