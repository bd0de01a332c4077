//! Checks a user's file, and our own: first its shape, then whether it makes sense.

use super::catalogue::{Catalogue, CatalogueFile};
use super::complaint::{Complaint, Shape, checked, other_type, shape, type_of};
use super::item::Item;
use super::list::{Checklist, ChecklistFile, Phase, Row};
use super::rules;
use super::task::{Task, TasksFile};
use super::task_rules;

/// The types of file there are.
const TYPES: [&str; 3] = ["checklist", "catalogue", "service-tasks"];

/// A file that passed.
#[derive(Clone, Debug, PartialEq)]
pub enum Parsed {
    /// Stations and items, a file of type `catalogue`.
    Catalogue(CatalogueFile),
    /// A checklist, a file of type `checklist`.
    Checklist(Checklist),
    /// Service tasks, a file of type `service-tasks`.
    Tasks(TasksFile),
}

impl Parsed {
    /// Everything the file gives an id to: what it is, path of the id, the id.
    pub(super) fn defines(&self) -> Vec<(&'static str, String, String)> {
        match self {
            Parsed::Catalogue(file) => {
                let stations = file.stations.iter().enumerate();
                let items = file.items.iter().enumerate();
                stations
                    .map(|(n, s)| ("station", format!("stations[{n}].id"), s.id.clone()))
                    .chain(items.map(|(n, i)| ("item", format!("items[{n}].id"), i.id.clone())))
                    .collect()
            }
            Parsed::Checklist(list) => vec![("checklist", "id".into(), list.id.clone())],
            Parsed::Tasks(file) => {
                let tasks = file.tasks.iter().enumerate();
                tasks
                    .map(|(n, t)| ("service task", format!("tasks[{n}].id"), t.id.clone()))
                    .collect()
            }
        }
    }
}

/// Reads a catalogue file, a checklist or service tasks and checks it against what is known already: `known`
/// holds the items and stations it may name besides its own.
///
/// # Errors
/// Everything that is wrong, in the order it stands in the file. A fault of syntax hides what
/// comes after it, and faults of shape (a missing field, a word for a number) hide the rules.
pub fn check_file(name: &str, text: &str, known: &Catalogue) -> Result<Parsed, Vec<Complaint>> {
    match type_of(name, text)?.as_deref() {
        Some("catalogue") => {
            let rules =
                |file: &CatalogueFile, faults: &mut _| rules::catalogue(file, known, faults);
            checked(name, text, &CATALOGUE, rules).map(Parsed::Catalogue)
        }
        Some("checklist") => {
            let rules = |file: &ChecklistFile, faults: &mut _| {
                rules::checklist(&file.clone().into(), known, faults);
            };
            let file = checked(name, text, &CHECKLIST, rules)?;
            Ok(Parsed::Checklist(file.into()))
        }
        Some("service-tasks") => {
            let rules = |file: &TasksFile, faults: &mut _| task_rules::tasks(file, known, faults);
            checked(name, text, &TASKS, rules).map(Parsed::Tasks)
        }
        other => Err(other_type(name, text, other, &TYPES)),
    }
}

static STATION: Shape = shape::<super::catalogue::Station>(&[]);
static ITEM: Shape = shape::<Item>(&[]);
static ROW: Shape = shape::<Row>(&[]);
static PHASE: Shape = shape::<Phase>(&[("rows", &ROW)]);
static CHECKLIST: Shape = shape::<ChecklistFile>(&[("phases", &PHASE)]);
static TASK: Shape = shape::<Task>(&[]);
static TASKS: Shape = shape::<TasksFile>(&[("tasks", &TASK)]);
static CATALOGUE: Shape = shape::<CatalogueFile>(&[("stations", &STATION), ("items", &ITEM)]);
