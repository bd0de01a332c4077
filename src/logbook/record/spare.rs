//! Something is said of a spare aboard, or what became of a stock: bought, used, counted, thrown away.

use super::event::{Event, Grounds, Time, Weight, at_a_time, fault, naming_nothing, on_no_item};
use crate::checklist::{KnownSpare, id_fault, nearest};
use crate::defects::admit::Fault;
use crate::defects::locker::title_of;
use crate::defects::spare_said::{SpareSaid, StockChange, StockMove};
use crate::logbook::input::Outside;
use crate::logbook::placed::{Applied, Folding, Placed};
use crate::logbook::table::{Export, Rows, tables};
use crate::text::safe_line;

/// No more of one spare are aboard a small boat.
const MOST: f64 = 999.0;
/// No spare takes more litres or kilograms.
const LARGEST: f64 = 1_000.0;
/// No spare costs more.
const DEAREST: f64 = 1e7;
/// Fitting one takes no longer: a week of hands.
const LONGEST: u32 = 10_080;

impl Event for SpareSaid {
    const NAME: &'static str = "spare";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // No verdict rests on it.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        let all = [
            ("title", &self.title),
            ("lies", &self.lies),
            ("note", &self.note),
        ];
        let said = all.into_iter();
        said.filter_map(|(field, text)| Some((field, text.as_deref()?)))
            .collect()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let mut faults = named_faults((&self.spare, self.machine.as_deref()), grounds);
        if self.is_empty() {
            let message = "say something of the spare, such as where it lies";
            faults.push(fault("spare", message));
        }
        let blank = |text: &Option<String>| text.as_ref().is_some_and(|t| t.trim().is_empty());
        let texts = [("title", &self.title), ("lies", &self.lies)];
        let empty = texts.into_iter().filter(|(_, text)| blank(text));
        faults.extend(empty.map(|(field, _)| fault(field, "it holds no words")));
        let known = KnownSpare::of(&self.spare);
        let standing = grounds.history.spare(&self.spare, self.machine.as_deref());
        if known.is_none() && standing.with(self).title.is_none() {
            let near = nearest(&self.spare, KnownSpare::all().iter().map(|k| k.id.as_str()));
            let message = format!(
                "'{}' is not on the built-in list{}: say what it is, as its title",
                safe_line(&self.spare),
                near.unwrap_or_default()
            );
            faults.push(fault("title", message));
        }
        let bounds = [
            ("litres", self.litres, LARGEST),
            ("kilos", self.kilos, LARGEST),
            ("price", self.price, DEAREST),
            ("minutes", self.minutes.map(f64::from), f64::from(LONGEST)),
        ];
        for (field, value, most) in bounds {
            if value.is_some_and(|v| !(0.0..=most).contains(&v)) {
                faults.push(fault(field, format!("expected 0 to {most}")));
            }
        }
        let ahead = self.fitted_once.filter(|d| *d > grounds.at.date_naive());
        faults.extend(ahead.map(|_| fault("fitted_once", "that is yet to come")));
        let unknown = self.serves.iter();
        faults.extend(unknown.filter_map(|id| unknown_work("serves", id, grounds)));
        for name in &self.not_known {
            let message = match SpareSaid::FIELDS.contains(&name.as_str()) {
                false => format!("there is no field '{}'", safe_line(name)),
                true if self.says().contains(&name.as_str()) => {
                    format!("{name} is said, and that nobody knows it")
                }
                true => continue,
            };
            faults.push(fault("not_known", message));
        }
        faults
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.spares, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        Some(format!("told of a spare, {}", self.called()))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.spares.iter().map(|s| SpareRow {
            id: s.id.clone(),
            spare: s.rec.spare.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            title: s.rec.title.clone(),
            lies: s.rec.lies.clone(),
            use_by: s.rec.use_by.map(|day| day.to_string()),
            fitted_once: s.rec.fitted_once.map(|day| day.to_string()),
            tools: s.rec.tools,
            instruction: s.rec.instruction,
            elsewhere: s.rec.elsewhere,
            litres: s.rec.litres,
            kilos: s.rec.kilos,
            price: s.rec.price,
            minutes: s.rec.minutes,
            serves: s.rec.serves.join("; "),
            not_known: s.rec.not_known.join("; "),
            note: s.rec.note.clone(),
        });
        vec![of.lines(rows)]
    }
}

impl SpareSaid {
    /// What it is called, with its machine.
    fn called(&self) -> String {
        let on = self.machine.as_ref().map(|id| format!(" ({id})"));
        let title = title_of(KnownSpare::of(&self.spare), self);
        format!("{}{}", safe_line(&title), on.unwrap_or_default())
    }
}

impl Event for StockChange {
    const NAME: &'static str = "stock";
    const OUTSIDE: Outside = Outside::act::<Self>();
    // No verdict rests on it.
    const LOST: Weight = Weight::Said;
    const CHANGED: Weight = Weight::Said;

    at_a_time!();

    on_no_item!();

    fn texts(&self) -> Vec<(&'static str, &str)> {
        self.note.iter().map(|n| ("note", n.as_str())).collect()
    }

    naming_nothing!();

    fn check(&mut self, grounds: &Grounds<'_>) -> Vec<Fault> {
        let machine = self.machine.as_deref();
        let mut faults = named_faults((&self.spare, machine), grounds);
        let title = grounds.history.spare(&self.spare, machine).title;
        if KnownSpare::of(&self.spare).is_none() && title.is_none() && faults.is_empty() {
            let near = nearest(&self.spare, KnownSpare::all().iter().map(|k| k.id.as_str()));
            let message = format!(
                "there is no spare '{}' on the built-in list or on record{}",
                safe_line(&self.spare),
                near.unwrap_or_default()
            );
            faults.push(fault("spare", message));
        }
        let least = match self.moved {
            StockMove::Counted => 0.0,
            StockMove::Bought | StockMove::Used | StockMove::ThrownAway => f64::MIN_POSITIVE,
        };
        if !(least..=MOST).contains(&self.count) {
            let from = if least > 0.0 { "more than 0" } else { "0" };
            faults.push(fault(
                "count",
                format!("expected {from} and at most {MOST}"),
            ));
        }
        let unknown = self.used_for.iter();
        faults.extend(unknown.filter_map(|id| unknown_work("used_for", id, grounds)));
        faults
    }

    fn apply(&self, placed: &Placed<'_>, state: &mut Folding<'_>) -> Applied {
        placed.put(&mut state.history.stock, self)
    }

    fn deed(&self, _: &dyn Fn(&str) -> String) -> Option<String> {
        let of = SpareSaid::of(&self.spare, self.machine.as_deref());
        let moved = self.moved.as_str().replace('-', " ");
        Some(format!(
            "said of the locker: {moved} {} of {}",
            self.count,
            of.called()
        ))
    }

    fn tables(of: &Export<'_>) -> Vec<Rows> {
        let rows = of.history.stock.iter().map(|s| StockRow {
            id: s.id.clone(),
            spare: s.rec.spare.clone(),
            machine: s.rec.machine.clone(),
            at: s.at,
            moved: s.rec.moved,
            count: s.rec.count,
            used_for: s.rec.used_for.clone(),
            note: s.rec.note.clone(),
        });
        vec![of.lines(rows)]
    }
}

/// What is wrong with an id that is to be of an item or a task.
fn unknown_work(field: &'static str, id: &str, grounds: &Grounds<'_>) -> Option<Fault> {
    let library = &grounds.condition.library;
    let known = library.catalogue.item(id).is_some() || library.task(id).is_some();
    let message = || format!("there is no item and no task '{}'", safe_line(id));
    (!known).then(|| fault(field, message()))
}

/// What is wrong with the name of a spare and with its machine.
fn named_faults((spare, machine): (&str, Option<&str>), grounds: &Grounds<'_>) -> Vec<Fault> {
    let id = id_fault(spare).map(|why| fault("spare", why));
    let known = |id: &str| grounds.condition.boat.machines.iter().any(|m| m.id == id);
    let machine = machine.filter(|id| !known(id));
    let machine = machine.map(|id| fault("machine", grounds.condition.unknown_machine(id)));
    id.into_iter().chain(machine).collect()
}

tables! {
    /// What was said of a spare aboard.
    SpareRow = "spares" key(id) {
        /// Record id.
        id: String,
        /// Id of the spare.
        spare: String,
        /// The machine that it fits alone; null where it fits any.
        machine: Option<String>,
        /// When it was told.
        at: Time,
        /// What it is, in words of one's own.
        title: Option<String>,
        /// Where it lies.
        lies: Option<String>,
        /// Until when it can be used, as a date.
        use_by: Option<String>,
        /// When one like it was fitted once in harbour, as a date.
        fitted_once: Option<String>,
        /// The tools that fitting it takes are aboard.
        tools: Option<bool>,
        /// How it is fitted is written down aboard.
        instruction: Option<bool>,
        /// It lies ashore or aboard another boat.
        elsewhere: Option<bool>,
        /// Litres one takes.
        litres: Option<f64>,
        /// Kilograms of one.
        kilos: Option<f64>,
        /// What one costs.
        price: Option<f64>,
        /// Minutes it took to fit one in harbour.
        minutes: Option<u32>,
        /// Items and tasks it serves, with `; ` between them.
        serves: String,
        /// Fields that nobody knows any more, with `; ` between them.
        not_known: String,
        /// In the words of who said it.
        note: Option<String>,
    }
    /// What went in or out of the locker, or was counted in it.
    StockRow = "stock" key(id) {
        /// Record id.
        id: String,
        /// Id of the spare.
        spare: String,
        /// The machine that it fits alone; null where it fits any.
        machine: Option<String>,
        /// When.
        at: Time,
        /// What became of it.
        moved: StockMove,
        /// How many, in the unit of the spare.
        count: f64,
        /// The item or the task it went into.
        used_for: Option<String>,
        /// In the words of who said it.
        note: Option<String>,
    }
}
