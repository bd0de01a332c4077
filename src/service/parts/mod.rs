//! The parts page: what a task or a remedy needs of parts, with the numbers and measures known of each;
//! what one holds up at a counter.
//!
//! - [`fields`]: what can be said of a part, and of which
//! - [`mod@cautions`]: what the trade warns of in it
//! - [`page`]: one page to print or show
//!
//! A part is the same wherever its id stands: the impeller that two tasks and a remedy need is one part
//! of a machine, and what is said of it is said once.

pub mod cautions;
pub mod fields;
pub mod page;

use chrono::{DateTime, FixedOffset};
use schemars::JsonSchema;
use serde::Serialize;

pub use cautions::{Caution, CautionSort, cautions};
pub use fields::Field;

use crate::boat::profile::UnitHabit;
use crate::boat::{Boat, Machine};
use crate::checklist::{KnownPart, PartKind, Task, nearest};
use crate::defects::admit::Fault;
use crate::defects::condition::Condition;
use crate::defects::history::Stamped;
use crate::defects::part_said::names_number;
use crate::defects::{History, PartSaid};
use crate::text::safe_line;
use crate::walk::{Photo, When};

/// Said of a photograph whose kept file is missing or was changed.
pub const PHOTO_UNREAD: &str = "The photograph cannot be read: its file is missing or was changed; see: handlamp logbook check";

/// A part with everything that needs it, and what is known of it. Part of the outside surface.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PartRow {
    /// Its id.
    pub part: String,
    /// What it is, in plain words.
    pub title: String,
    /// What kind of part, which decides what is measured.
    pub kind: PartKind,
    /// Machine id; null for what the boat has once.
    pub machine: Option<String>,
    /// Ids of the tasks that need it; with none and no remedy, records name it and nothing here does.
    pub tasks: Vec<String>,
    /// Ids of the items whose remedy needs it.
    pub remedies: Vec<String>,
    /// What is known of it, field by field the newest word; null where nothing is.
    pub known: Option<PartSaid>,
    /// When something was said of it last.
    pub told: Option<DateTime<FixedOffset>>,
    /// What is to be warned of.
    pub cautions: Vec<Caution>,
}

/// Every part that a task or a remedy needs, or that records name: each machine's, then the boat's, in
/// the order of the tasks, then of the remedies.
pub fn parts(condition: &Condition, history: &History) -> Vec<PartRow> {
    let mut rows: Vec<PartRow> = Vec::new();
    for (task, machine) in condition.tasks() {
        for part in &task.parts {
            let title = KnownPart::of(&part.id).map_or(part.part.as_str(), |k| &k.title);
            let row = row_of(
                &mut rows,
                &part.id,
                machine,
                title,
                KnownPart::kind_of(part),
            );
            row.tasks.push(task.id.clone());
        }
    }
    let machines = condition.boat.machines.iter().map(|m| Some(m.id.as_str()));
    let places: Vec<Option<&str>> = machines.chain([None]).collect();
    for known in KnownPart::all() {
        for item in known.remedies.keys() {
            let is_hers = |machine: &&Option<&str>| {
                let subject = condition.subject(item, machine.unwrap_or_default());
                subject.machine.is_some() == machine.is_some() && condition.has(item, **machine)
            };
            for machine in places.iter().filter(is_hers) {
                let row = row_of(&mut rows, &known.id, *machine, &known.title, known.kind);
                row.remedies.push(item.clone());
            }
        }
    }
    for said in history.parts.iter().map(|s| &s.rec) {
        let known = KnownPart::of(&said.part);
        let title = known.map_or(said.part.as_str(), |known| &known.title);
        let kind = known.map_or(PartKind::Other, |known| known.kind);
        row_of(&mut rows, &said.part, said.machine.as_deref(), title, kind);
    }
    let place = |row: &PartRow| {
        let own = places.iter().position(|m| *m == row.machine.as_deref());
        own.unwrap_or(places.len())
    };
    // Stable: within a machine the order of the tasks stays.
    rows.sort_by_key(place);
    for row in &mut rows {
        tell(row, condition, history);
    }
    rows
}

fn row_of<'a>(
    rows: &'a mut Vec<PartRow>,
    part: &str,
    machine: Option<&str>,
    title: &str,
    kind: PartKind,
) -> &'a mut PartRow {
    let known = rows.iter().position(|row| row.is_of(part, machine));
    let at = known.unwrap_or(rows.len());
    if known.is_none() {
        rows.push(PartRow {
            part: part.to_owned(),
            title: title.to_owned(),
            kind,
            machine: machine.map(str::to_owned),
            tasks: Vec::new(),
            remedies: Vec::new(),
            known: None,
            told: None,
            cautions: Vec::new(),
        });
    }
    &mut rows[at]
}

fn tell(row: &mut PartRow, condition: &Condition, history: &History) {
    let machine = row.machine.as_deref();
    let known = history.part(&row.part, machine);
    row.cautions = cautions(&known, machine_of(&condition.boat, machine));
    row.cautions
        .extend(older_than_the_work(row, &known, condition, history));
    row.told = history
        .part_told(&row.part, machine)
        .map(|told: &Stamped<_>| told.at);
    row.known = (!known.is_empty()).then_some(known);
}

/// Where work that may have renewed it was done after its number was said, that number may be of the
/// one before; none where the service names the number itself.
fn older_than_the_work(
    row: &PartRow,
    known: &PartSaid,
    condition: &Condition,
    history: &History,
) -> Option<Caution> {
    let (number, machine) = (known.fitted_number.as_ref()?, row.machine.as_deref());
    let mut told = history.parts.iter().rev();
    let told = told.find(|s| s.rec.is_of(&row.part, machine) && s.rec.fitted_number.is_some())?;
    let cut = When::last_at(condition.now);
    let since = row.tasks.iter().filter_map(|task| {
        let done = history.task_done(task, machine, cut).next()?;
        (done.when() > told.when()).then_some(done)
    });
    let last = since.max_by_key(|done| done.when())?;
    let named = last.rec.parts.iter().any(|part| names_number(part, number));
    let task = condition.library.task(&last.rec.task);
    let title = task.map_or(last.rec.task.as_str(), |task| &task.title);
    (!named).then(|| Caution::of_old_number(number, told.at, title, last.at))
}

fn machine_of<'a>(boat: &'a Boat, id: Option<&str>) -> Option<&'a Machine> {
    boat.machines.iter().find(|m| Some(m.id.as_str()) == id)
}

/// Which parts are asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wanted {
    /// What the task, or the remedy of the item, of this id needs; none for all.
    pub needed_for: Option<String>,
    /// The machine; none for all, or for what the boat has once.
    pub machine: Option<String>,
    /// What stands above them.
    pub title: String,
}

impl Wanted {
    /// Every part aboard.
    pub fn all() -> Wanted {
        Wanted {
            needed_for: None,
            machine: None,
            title: "Parts".to_owned(),
        }
    }

    /// The parts, as they are known now.
    pub fn of(&self, condition: &Condition, history: &History) -> Vec<PartRow> {
        let mut rows = parts(condition, history);
        if let Some(id) = &self.needed_for {
            rows.retain(|row| row.is_for(id) && row.machine == self.machine);
        }
        rows
    }
}

impl PartRow {
    /// True for the row of this part.
    pub fn is_of(&self, part: &str, machine: Option<&str>) -> bool {
        self.part == part && self.machine.as_deref() == machine
    }

    /// True where a task needs it, or the remedy of an item.
    pub fn is_for(&self, task_or_item: &str) -> bool {
        let mut all = self.tasks.iter().chain(&self.remedies);
        all.any(|id| id == task_or_item)
    }

    /// What is known, each field's words with what they say.
    pub fn lines(&self, habit: UnitHabit) -> Vec<(&'static Field, String)> {
        let known = self.known.as_ref();
        let fields = fields::FIELDS.iter();
        fields
            .filter_map(|field| Some((field, field.shown(known?, habit)?)))
            .collect()
    }

    /// The photograph of it; none where there is none.
    pub fn photo(&self) -> Option<&Photo> {
        self.known.as_ref()?.photo.as_ref()
    }

    /// The numbers in one line, as they stand beside the part in a list; none where none is known.
    pub fn numbers(&self) -> Option<String> {
        let known = self.known.as_ref()?;
        let makers = known.makers_number.as_ref().map(|n| format!("maker's {n}"));
        let fitted = known.fitted_number.as_ref().map(|n| format!("fitted {n}"));
        let fits = (!known.fits.is_empty()).then(|| format!("fits {}", known.fits.join(", ")));
        let specified = known.specification.clone();
        let all = [makers, specified, fitted, fits].into_iter().flatten();
        let all: Vec<String> = all.collect();
        (!all.is_empty()).then(|| all.join("; "))
    }
}

/// What is known by number of the parts of a task, a sentence for each, with what is to be warned of.
pub fn told_of_parts(
    condition: &Condition,
    history: &History,
    task: &Task,
    machine: Option<&str>,
) -> Vec<String> {
    let rows = parts(condition, history);
    let own = rows
        .iter()
        .filter(|row| row.machine.as_deref() == machine && row.tasks.contains(&task.id));
    let several = condition.boat.machines.len() > 1;
    own.filter_map(|row| {
        let cautions = row.cautions.iter().map(Caution::sentence);
        let told: Vec<String> = row.numbers().into_iter().chain(cautions).collect();
        let on = machine.filter(|_| several).map(|id| format!(" ({id})"));
        (!told.is_empty()).then(|| {
            format!(
                "{}{}: {}",
                row.title,
                on.unwrap_or_default(),
                told.join(". ")
            )
        })
    })
    .collect()
}

/// The row of a part: of the machine named, or of the only one that has it.
///
/// # Errors
/// Nothing aboard needs such a part, or several machines do and none is named.
pub fn part_of<'a>(
    rows: &'a [PartRow],
    part: &str,
    machine: Option<&str>,
) -> Result<&'a PartRow, Fault> {
    let having: Vec<&PartRow> = rows.iter().filter(|row| row.part == part).collect();
    let fault = |field: &str, message: String| (field.to_owned(), message);
    let Some(first) = having.first() else {
        let near = nearest(part, rows.iter().map(|row| row.part.as_str()));
        let message = format!(
            "'{}' is no part that a task or a remedy needs here{}; see: handlamp parts",
            safe_line(part),
            near.unwrap_or_default()
        );
        return Err(fault("part", message));
    };
    let machines: Vec<&str> = having
        .iter()
        .filter_map(|row| row.machine.as_deref())
        .collect();
    match (machine, having.as_slice()) {
        (None, [only]) => Ok(only),
        (None, _) => Err(fault(
            "machine",
            format!(
                "several machines have it; name one of {}",
                machines.join(", ")
            ),
        )),
        // What the boat has once is hers, whichever machine is named.
        (Some(_), [only]) if only.machine.is_none() => Ok(only),
        (Some(named), _) => {
            let own = having.iter().find(|row| row.machine.as_deref() == machine);
            own.copied().ok_or_else(|| {
                let message = match machines.is_empty() {
                    true => format!("the machine '{}' has no {}", safe_line(named), first.part),
                    false => format!(
                        "the machine '{}' has no {}; it is needed on {}",
                        safe_line(named),
                        first.part,
                        machines.join(", ")
                    ),
                };
                fault("machine", message)
            })
        }
    }
}

/// What is wrong with what is said of a part, against what is known of it; its machine filled in.
pub fn said_faults(said: &mut PartSaid, condition: &Condition, history: &History) -> Vec<Fault> {
    let rows = parts(condition, history);
    let row = match part_of(&rows, &said.part, said.machine.as_deref()) {
        Ok(row) => row,
        Err(fault) => return vec![fault],
    };
    said.machine.clone_from(&row.machine);
    let mut faults = fields::faults(said, row.kind);
    let known = history.part(&row.part, row.machine.as_deref());
    let refused = cautions::no_equivalent(&known.with(said));
    faults.extend(refused.map(|why| (PartSaid::FITS.to_owned(), why)));
    faults
}
