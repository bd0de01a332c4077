//! The catalogue, the checklists and the service tasks together: compiled in, extended by a
//! user's files.

use std::collections::HashMap;
use std::sync::LazyLock;

use serde::de::DeserializeOwned;

use super::catalogue::Catalogue;
use super::check::{Complaint, Parsed, check_file, complain, file_type};
use super::list::{Checklist, ChecklistFile};
use super::task::{Task, TasksFile};
use super::words::PhaseState;

macro_rules! files {
    ($($path:literal),+ $(,)?) => {
        &[$(($path, include_str!(concat!("../../checklists/", $path)))),+]
    };
}

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
);

/// Name and text of the checklists compiled in.
pub(super) const CHECKLISTS: &[(&str, &str)] = files!("daily.json", "leak-run.json", "survey.json");

/// Name and text of the service tasks compiled in.
pub(super) const TASKS: &[(&str, &str)] = files!("service-tasks.json");

/// Everything a walk can be made of, and the work that recurs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Library {
    /// Stations and items.
    pub catalogue: Catalogue,
    checklists: Vec<Checklist>,
    tasks: Vec<Task>,
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
            catalogue: Catalogue::of(files),
            checklists: Vec::new(),
            tasks: Vec::new(),
        };
        for (_, text) in CHECKLISTS {
            library.put(compiled_in::<ChecklistFile>(text).into());
        }
        for (_, text) in TASKS {
            library.put_tasks(compiled_in::<TasksFile>(text));
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
        let mut library = Library::built_in().clone();
        let mut complaints = Vec::new();
        let mut owners: HashMap<(&str, String), &str> = HashMap::new();
        let names_items = ["checklist", "service-tasks"];
        let is_list = |text: &str| file_type(text).is_some_and(|t| names_items.contains(&&*t));
        let (lists, catalogues): (Vec<_>, Vec<_>) = files.iter().partition(|f| is_list(&f.1));
        for (name, text) in catalogues.into_iter().chain(lists) {
            let parsed = match check_file(name, text, &library) {
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
            match parsed {
                Parsed::Catalogue(file) => {
                    library.catalogue = Catalogue::of([library.catalogue.to_file(), file]);
                }
                Parsed::Checklist(list) => library.put(list),
                Parsed::Tasks(file) => library.put_tasks(file),
            }
        }
        if complaints.is_empty() {
            Ok(library)
        } else {
            Err(complaints)
        }
    }

    /// The checklists, built-in ones first.
    pub fn checklists(&self) -> &[Checklist] {
        &self.checklists
    }

    /// The state of the engine in a phase of a checklist, by their ids.
    pub fn phase_state(&self, checklist: &str, phase: &str) -> Option<PhaseState> {
        let phases = &self.checklist(checklist)?.phases;
        phases.iter().find(|p| p.id == phase).map(|p| p.state)
    }

    /// The checklist of that id.
    pub fn checklist(&self, id: &str) -> Option<&Checklist> {
        self.checklists.iter().find(|c| c.id == id)
    }

    /// The service tasks, built-in ones first.
    pub fn tasks(&self) -> &[Task] {
        &self.tasks
    }

    /// The service task of that id.
    pub fn task(&self, id: &str) -> Option<&Task> {
        self.tasks.iter().find(|t| t.id == id)
    }

    fn put_tasks(&mut self, file: TasksFile) {
        for task in file.tasks {
            match self.tasks.iter_mut().find(|t| t.id == task.id) {
                Some(known) => *known = task,
                None => self.tasks.push(task),
            }
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
        match self.checklists.iter_mut().find(|c| c.id == list.id) {
            Some(known) => *known = list,
            None => self.checklists.push(list),
        }
    }
}

/// Reads a file that was compiled in. It is part of the program: a fault in it is a fault of the
/// build, and the tests read every one.
pub(super) fn compiled_in<T: DeserializeOwned>(text: &str) -> T {
    #[expect(
        clippy::expect_used,
        reason = "the text is part of the program; tests read all of it"
    )]
    serde_json::from_str(text).expect("a file compiled into the program is whole")
}
